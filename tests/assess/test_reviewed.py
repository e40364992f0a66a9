"""Cases in which an earlier engine cleared a unit that it should not have, or fell over."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from hazardreport.assess.assessment import assess
from hazardreport.case.reading import Load, LoadKind, PlugPosition, Quantity, State, SwitchPosition
from hazardreport.case.wiring import SecondPart
from hazardreport.severity.terms import SignalWord

Make = Callable[..., Any]
RESISTANCE, VOLTAGE, LAMP = Quantity.RESISTANCE, Quantity.VOLTAGE, Quantity.LAMP
DEAD = State(switch=SwitchPosition.ON)
REVERSED_OFF = State(plug=PlugPosition.REVERSED, switch=SwitchPosition.OFF)
STATES = [
    State(plug=plug, switch=switch)
    for plug in (PlugPosition.STRAIGHT, PlugPosition.REVERSED)
    for switch in (SwitchPosition.OFF, SwitchPosition.ON)
]
HEAVY = Load(kind=LoadKind.RESISTOR, resistance=47e3, tolerance=0.01)
LOW = Load(kind=LoadKind.RESISTOR, resistance=3e3, tolerance=0.01)
BULB = Load(kind=LoadKind.LAMP, rated_voltage=120.0, rated_power=25.0)


def clean(bench: Make, **wiring: object) -> Any:
    """A unit whose first part reads next to nothing in all four states, with and without load."""
    made = bench(**wiring).typed("FG", VOLTAGE, State(), "120.0 V")
    for state in STATES:
        made.typed("AE", VOLTAGE, state, "0.01 V").typed("AE", VOLTAGE, state, "0.00 V", HEAVY)
    return made


def test_a_clean_unit_is_cleared_by_four_loaded_states(bench: Make) -> None:
    assert assess(clean(bench).case).verdict.word is SignalWord.NONE_SHOWN


def test_a_second_part_that_nobody_measured_is_not_cleared_with_the_first(bench: Make) -> None:
    found = assess(clean(bench, second_part=SecondPart.SEPARATE).case)

    assert found.verdict.word is SignalWord.NOT_EXCLUDED


@pytest.mark.parametrize(
    ("typed", "quantity", "load", "word"),
    [
        ("full", LAMP, BULB, SignalWord.DANGER),
        ("119.9 V", VOLTAGE, Load(), SignalWord.NOT_EXCLUDED),
        ("118.0 V", VOLTAGE, LOW, SignalWord.WARNING),
    ],
)
def test_a_live_second_part_beside_a_clean_first_one_is_told(
    bench: Make, typed: str, quantity: Quantity, load: Load, word: SignalWord
) -> None:
    made = clean(bench, second_part=SecondPart.SEPARATE).typed("HE", quantity, REVERSED_OFF, typed, load)
    order = [SignalWord.NONE_SHOWN, SignalWord.CAUTION, SignalWord.NOT_EXCLUDED, SignalWord.WARNING, SignalWord.DANGER]

    assert order.index(assess(made.case).verdict.word) >= order.index(word)


def test_a_second_part_alone_is_enough_for_a_verdict(bench: Make) -> None:
    made = bench(second_part=SecondPart.SEPARATE).typed("FG", VOLTAGE, State(), "120.0 V")
    made.typed("HE", LAMP, REVERSED_OFF, "full", BULB)

    assert assess(made.case).verdict.word is SignalWord.DANGER


def test_next_to_nothing_under_load_is_no_crash_and_no_absurd_doubt(bench: Make) -> None:
    made = bench().typed("FG", VOLTAGE, State(), "120.0 V")
    made.typed("AE", VOLTAGE, REVERSED_OFF, "0.02 V").typed("AE", VOLTAGE, REVERSED_OFF, "0.00 V", HEAVY)
    meter = replace(made.case.instruments[0], input_capacitance=100e-12)
    found = assess(replace(made.case, instruments=(meter,)))

    for cell in found.states:
        if cell.open_circuit_voltage:
            assert found.number(cell.open_circuit_voltage).measured.standard_uncertainty < 60.0


def test_ohmmeter_readings_that_no_fault_of_a_whole_element_gives_make_no_route(bench: Make) -> None:
    """Legs of 96 and 120 ohm on an element of 9.6: the difference of the legs cannot be more than the element."""
    made = bench().typed("FG", VOLTAGE, State(), "120.0 V")
    for points, typed in (("BC", "9.60 Ω"), ("BA", "96.0 Ω"), ("CA", "120.0 Ω")):
        made.typed(points, RESISTANCE, DEAD, typed)

    assert assess(made.case).routes == ()


def test_a_lit_lamp_with_the_plug_not_noted_counts_for_one_of_both_ways(bench: Make) -> None:
    made = bench().typed("FG", VOLTAGE, State(), "120.0 V")
    made.typed("AE", LAMP, State(plug=PlugPosition.UNKNOWN, switch=SwitchPosition.OFF), "full", BULB)
    found = assess(made.case)

    assert found.verdict.word is SignalWord.DANGER
    assert "position not known" in found.verdict.sentence

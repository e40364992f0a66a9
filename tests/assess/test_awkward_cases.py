"""Awkward cases: the word is never lower than the readings allow, and an assessment never fails."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from hazardreport.assess.assessment import assess
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer
from hazardreport.case.edits import set_household, set_wiring
from hazardreport.case.reading import Load, LoadKind, PlugPosition, Quantity, State, SupplyKind, SwitchPosition
from hazardreport.case.wiring import Element, Plug, ProtectiveEarth, SwitchPoles
from hazardreport.severity.terms import LimitDecision, SignalWord

Make = Callable[..., Any]
DEAD = State(plug=PlugPosition.UNPLUGGED, switch=SwitchPosition.ON)
STRAIGHT_ON = State(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.ON)
STRAIGHT_OFF = State(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.OFF)
REVERSED_OFF = State(plug=PlugPosition.REVERSED, switch=SwitchPosition.OFF)
LAMP = Load(kind=LoadKind.LAMP, rated_voltage=120.0, rated_power=15.0, tolerance=0.08)
VOLTAGE, RESISTANCE = Quantity.VOLTAGE, Quantity.RESISTANCE


def resistor(resistance: float) -> Load:
    return Load(kind=LoadKind.RESISTOR, resistance=resistance, tolerance=0.01)


def with_supply(bench: Any) -> Any:
    return bench.typed("FG", VOLTAGE, DEAD, "120.0 V")


def word(case: Case) -> SignalWord:
    return assess(case).verdict.word


def at_part(case: Case, **changes: object) -> Case:
    """The case with every reading at the touchable part changed."""
    readings = tuple(replace(r, **changes) if r.first == "A" else r for r in case.readings)  # type: ignore[arg-type]
    return replace(case, readings=readings)


def test_the_supply_alone_assesses_nothing(bench: Make) -> None:
    assert word(with_supply(bench()).case) is SignalWord.NOT_ASSESSED


@pytest.mark.parametrize("typed", ["0 V", "-118 V", "150 V", "119.8 V", "2.0 V ± 2.5 V"])
def test_one_unloaded_reading_never_clears_the_states_that_nobody_read(bench: Make, typed: str) -> None:
    found = assess(with_supply(bench()).typed("AE", VOLTAGE, REVERSED_OFF, typed).case)

    assert found.verdict.word is SignalWord.NOT_EXCLUDED
    assert "do not use" in found.verdict.sentence


@pytest.mark.parametrize(
    ("brightness", "expected"),
    [
        ("full", SignalWord.DANGER),
        ("dim", SignalWord.WARNING),
        ("glow", SignalWord.WARNING),
        ("dark", SignalWord.NOT_EXCLUDED),
    ],
)
def test_a_lamp_alone_proves_what_its_least_voltage_and_current_drive_through_a_person(
    bench: Make, brightness: str, expected: SignalWord
) -> None:
    """A 15 W lamp for 120 V: full from 96 V on, dim from 60 V, glow from 24 V; a dark one proves nothing."""
    found = assess(with_supply(bench()).typed("AE", Quantity.LAMP, REVERSED_OFF, brightness, LAMP).case)

    assert found.verdict.word is expected
    assert "at least" in found.verdict.sentence or expected is SignalWord.NOT_EXCLUDED


@pytest.mark.parametrize(("typed", "expected"), [("36 mA", SignalWord.WARNING), ("tripped", SignalWord.NOT_EXCLUDED)])
def test_a_current_alone_proves_that_a_person_carries_no_less(bench: Make, typed: str, expected: SignalWord) -> None:
    """36 mA through 3 kilohm stand at 108 V, which drives more than that through a person: at least 36 mA flow."""
    found = assess(with_supply(bench()).typed("AE", Quantity.CURRENT, REVERSED_OFF, typed, resistor(3e3)).case)

    assert found.verdict.word is expected
    if found.least:
        assert found.number(found.least[0].number).measured.value < 36e-3


def test_a_harmless_lower_bound_clears_nothing(bench: Make) -> None:
    made = with_supply(bench()).typed("AE", Quantity.CURRENT, REVERSED_OFF, "0.10 mA", resistor(3e3))

    assert word(made.case) is SignalWord.NOT_EXCLUDED


def test_a_harmless_state_says_nothing_of_the_others(bench: Make) -> None:
    made = with_supply(bench(100.0)).typed("AE", VOLTAGE, STRAIGHT_OFF, "0.000 V")
    found = assess(made.typed("AE", VOLTAGE, STRAIGHT_OFF, "0.000 V", resistor(3e3)).case)

    assert found.verdict.word is SignalWord.NOT_EXCLUDED
    assert "switched off, plug straight" not in found.verdict.sentence


@pytest.mark.parametrize(
    "change", [{"proved": False}, {"supply": SupplyKind.ISOLATING}, {"supply": SupplyKind.UNKNOWN}]
)
def test_readings_that_decide_nothing_neither_condemn_nor_clear(bench: Make, change: dict[str, object]) -> None:
    made = with_supply(bench(100.0)).read("AE", VOLTAGE, REVERSED_OFF)
    made.read("AE", VOLTAGE, REVERSED_OFF, resistor(3e3))

    assert word(made.case) is SignalWord.DANGER
    assert word(at_part(made.case, **change)) is SignalWord.NOT_EXCLUDED


def test_a_current_that_flowed_with_the_plug_position_unknown_is_carried_in_both_positions(bench: Make) -> None:
    made = with_supply(bench(100.0)).read("AE", VOLTAGE, STRAIGHT_ON)
    made.read("AE", VOLTAGE, STRAIGHT_ON, resistor(3e3))
    unknown = State(plug=PlugPosition.UNKNOWN, switch=SwitchPosition.ON)

    found = assess(at_part(made.case, state=unknown))

    assert found.verdict.word is SignalWord.DANGER
    assert {cell.state.plug for cell in found.states if cell.established} == {
        PlugPosition.STRAIGHT,
        PlugPosition.REVERSED,
    }


def test_a_harmless_reading_with_the_plug_position_unknown_clears_neither_position(bench: Make) -> None:
    """Pole 1 is switched: plugged in straight the part is at neutral when off, reversed at full mains."""
    off = State(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.OFF)
    made = with_supply(bench(100.0)).read("AE", VOLTAGE, off)
    made.read("AE", VOLTAGE, off, resistor(3e3))
    unknown = State(plug=PlugPosition.UNKNOWN, switch=SwitchPosition.OFF)

    assert word(at_part(made.case, state=unknown)) is SignalWord.NOT_EXCLUDED


def test_an_ohmmeter_that_shows_nothing_is_a_bound_and_clears_nothing(bench: Make) -> None:
    made = with_supply(bench())
    for points, typed in (("BC", "9.6 Ω"), ("BA", "OL"), ("CA", "OL")):
        made.typed(points, RESISTANCE, DEAD, typed)

    assert word(made.case) is SignalWord.NOT_EXCLUDED


@pytest.mark.parametrize(("switch", "pin"), [(SwitchPoles.POLE_1, "C"), (SwitchPoles.POLE_2, "B")])
def test_one_finite_leg_fixes_the_off_state(bench: Make, switch: SwitchPoles, pin: str) -> None:
    """With one pole open the part stands at full mains behind the other leg, wherever the fault is."""
    off = State(plug=PlugPosition.UNPLUGGED, switch=SwitchPosition.OFF)
    found = assess(with_supply(bench(switch=switch)).typed(f"{pin}A", RESISTANCE, off, "336 Ω").case)

    assert found.verdict.word is SignalWord.DANGER
    assert "switched off" in found.verdict.sentence


def test_an_open_element_behind_a_one_way_plug_is_not_cleared(bench: Make) -> None:
    """Leg 1 of 20 ohm, element open: switched on the part stands at full mains."""
    made = with_supply(bench(plug=Plug.ONE_WAY))
    for points, typed in (("BC", "OL"), ("BA", "20.0 Ω"), ("CA", "OL")):
        made.typed(points, RESISTANCE, DEAD, typed)

    assert word(made.case) is SignalWord.NOT_EXCLUDED


def test_a_switch_of_unknown_poles_may_leave_the_part_live_when_off(dead_bench: Make) -> None:
    """Fault at terminal 2, one-way plug: harmless if pole 1 is switched, full mains when off if pole 2 is."""
    known = [
        dead_bench(100.0, 1.0, plug=Plug.ONE_WAY, switch=item) for item in (SwitchPoles.POLE_1, SwitchPoles.POLE_2)
    ]
    unknown = dead_bench(100.0, 1.0, plug=Plug.ONE_WAY, switch=SwitchPoles.UNKNOWN)

    assert [word(made.case) for made in known] == [SignalWord.CAUTION, SignalWord.DANGER]
    assert word(unknown.case) is SignalWord.NOT_EXCLUDED


@pytest.mark.parametrize(
    ("fault", "place", "expected"),
    [
        (0.0, 0.0, SignalWord.DANGER),
        (0.0, 0.25, SignalWord.DANGER),
        (100.0, 0.0, SignalWord.DANGER),
        (100.0, 1.0, SignalWord.DANGER),
        (20e3, 0.25, SignalWord.WARNING),
        (200e3, 0.25, SignalWord.CAUTION),
        (1e6, 0.25, SignalWord.NONE_SHOWN),
    ],
)
def test_the_word_at_the_edges_of_the_network(
    dead_bench: Make, fault: float, place: float, expected: SignalWord
) -> None:
    found = assess(dead_bench(fault, place).case)

    assert found.verdict.word is expected
    assert "safe" not in found.verdict.sentence.replace("no statement that the unit is safe", "")


def test_a_sound_earth_makes_a_fault_neither_harmless_nor_a_danger(dead_bench: Make) -> None:
    case = dead_bench(100.0, protective_earth=ProtectiveEarth.CONNECTED, cord_cores=3).case
    found = assess(case)
    no_earth = set_household(case, replace(case.household, socket_earth=Answer.NO))

    assert found.verdict.word is SignalWord.NOT_EXCLUDED
    assert "Only the protective earth" in found.verdict.sentence
    assert any(item.decision is LimitDecision.EXCEEDED for item in found.limits)
    assert word(no_earth) is SignalWord.DANGER


def test_an_earth_that_leaves_the_part_live_is_judged_by_what_it_leaves(dead_bench: Make) -> None:
    """Bolted fault at terminal 1, 0.3 ohm of earth: 71 V stay on the part; 70.8 V by ngspice with 1 milliohm."""
    found = assess(dead_bench(0.0, 0.0, protective_earth=ProtectiveEarth.CONNECTED, cord_cores=3).case)

    assert found.verdict.word in (SignalWord.WARNING, SignalWord.DANGER)
    assert found.verdict.headline is not None
    assert found.verdict.headline.earthed


def test_a_lawful_capacitor_under_load_is_no_exceeded_touch_voltage(bench: Make) -> None:
    """4.7 nF from line to the part, 120 V 60 Hz: 0.2126 V across 1 kilohm (ngspice); 0.21 mA are not felt."""
    made = with_supply(bench()).typed("AE", VOLTAGE, REVERSED_OFF, "119.8 V")
    for typed, load in (("9.98 V", 47e3), ("0.2126 V", 1e3)):
        made.typed("AE", VOLTAGE, REVERSED_OFF, typed, resistor(load))
    found = assess(made.case)

    assert not any(item.decision is LimitDecision.EXCEEDED for item in found.limits)
    assert found.verdict.word is SignalWord.NOT_EXCLUDED


def test_an_ohmmeter_decides_nothing_of_a_protective_earth_but_open(dead_bench: Make) -> None:
    made = dead_bench(100.0, protective_earth=ProtectiveEarth.UNKNOWN, cord_cores=3)
    found = assess(made.typed("DA", RESISTANCE, DEAD, "0.30 Ω").case)
    earth = next(item for item in found.limits if item.limit == "limits.earth-continuity.limit")

    assert earth.decision is LimitDecision.NOT_DECIDED


def test_the_sentence_speaks_of_a_state_that_earns_its_word(dead_bench: Make) -> None:
    """Fault near the live end behind 9 ohm, pole 1 switched, plug one way: off is harmless, on is not."""
    found = assess(dead_bench(100.0, 0.0, plug=Plug.ONE_WAY).case)

    assert found.verdict.word is SignalWord.DANGER
    assert found.verdict.headline is not None
    assert found.verdict.headline.switch is SwitchPosition.ON


def _impossible(case: Case) -> dict[str, Case]:
    wiring = case.wiring
    ideal = replace(
        wiring,
        line_resistance=0.0,
        neutral_resistance=0.0,
        unit_earth_resistance=0.0,
        installation_earth_resistance=0.0,
    )
    return {
        "no voltage": set_wiring(case, replace(wiring, nominal_voltage=None)),
        "negative voltage": set_wiring(case, replace(wiring, nominal_voltage=-120.0)),
        "frequency zero": set_wiring(case, replace(wiring, frequency=0.0)),
        "ideal conductors": set_wiring(case, ideal),
        "hot factor zero": set_wiring(case, replace(wiring, element=Element(hot_factor=0.0))),
        "rating zero": set_wiring(case, replace(wiring, element=Element(rated_voltage=0.0, rated_power=-5.0))),
        "meter of zero ohm": replace(case, instruments=(replace(case.instruments[0], input_resistance=0.0),)),
        "no instrument": replace(case, instruments=()),
        "no point": replace(case, points=()),
    }


IMPOSSIBLE = (
    "no voltage",
    "negative voltage",
    "frequency zero",
    "ideal conductors",
    "hot factor zero",
    "rating zero",
    "meter of zero ohm",
    "no instrument",
    "no point",
)


@pytest.mark.parametrize("name", IMPOSSIBLE)
@pytest.mark.parametrize("fault", [0.0, 100.0])
def test_an_assessment_never_fails(dead_bench: Make, name: str, fault: float) -> None:
    made = dead_bench(fault, 0.0).read("AE", VOLTAGE, REVERSED_OFF)
    found = assess(_impossible(made.case)[name])

    assert isinstance(found, Assessment)
    assert found.verdict.word is not SignalWord.NONE_SHOWN


def test_readings_of_one_meter_do_not_average_its_gain_away(bench: Make) -> None:
    """Twenty readings of one supply: a meter of 0.1 % stays one of 0.1 % (rectangular: 0.058 %), however often read."""
    made = bench(100.0).read("AE", VOLTAGE, REVERSED_OFF)
    for _ in range(20):
        made.typed("FG", VOLTAGE, DEAD, "120.0 V")
    found = assess(made.case)
    supply = found.number("fit.U").measured

    assert supply.standard_uncertainty >= 0.99 * 0.001 * 120.0 / 3**0.5


@pytest.mark.parametrize(("fault", "expected"), [(820.0, SignalWord.DANGER), (900.0, SignalWord.WARNING)])
def test_near_a_threshold_the_verdict_says_how_near(bench: Make, fault: float, expected: SignalWord) -> None:
    """A median adult behind 0.86 kilohm carries about 50 mA from 120 V: the word follows the estimate."""
    made = with_supply(bench(fault)).typed("AE", VOLTAGE, REVERSED_OFF, "120 V ± 6 V")
    level = 3000.0 / (3000.0 + fault + 7.2)
    made.typed("AE", VOLTAGE, REVERSED_OFF, f"{120.0 * level:.1f} V ± 6 V", resistor(3e3))
    found = assess(made.case)

    assert found.verdict.word is expected
    assert "probability" in found.verdict.reason

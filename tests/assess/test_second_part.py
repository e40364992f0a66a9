"""A second touchable part: to earth, and between the parts."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from hazardreport.assess.assessment import assess
from hazardreport.assess.records import Assessment, PartSource
from hazardreport.case.reading import Load, LoadKind, PlugPosition, Quantity, State, SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import SecondPart
from hazardreport.severity.terms import SignalWord

Make = Callable[..., Any]
DEAD = State(plug=PlugPosition.UNPLUGGED, switch=SwitchPosition.ON)
OFF = State(plug=PlugPosition.REVERSED, switch=SwitchPosition.OFF)
REVERSED_OFF = UnitState(plug=PlugPosition.REVERSED, switch=SwitchPosition.OFF)
RESISTOR = Load(kind=LoadKind.RESISTOR, resistance=3e3, tolerance=0.001)


def dead(made: Any, *more: str) -> Any:
    made.typed("FG", Quantity.VOLTAGE, DEAD, "120.0 V")
    for points in ("BA", "CA", "BC", *more):
        made.read(points, Quantity.RESISTANCE, DEAD)
    return made


def there(found: Assessment, *, between: bool, state: UnitState = REVERSED_OFF) -> PartSource:
    return next(item for item in found.second_part if item.between is between and item.state == state)


def test_a_unit_with_one_part_says_nothing_of_a_second(bench: Make) -> None:
    assert assess(dead(bench()).case).second_part == ()


def test_parts_joined_by_metal_stand_at_the_same_voltage(bench: Make) -> None:
    found = assess(dead(bench(100.0, second_part=SecondPart.JOINED)).case)

    second = there(found, between=False)
    cell = found.cell(REVERSED_OFF)
    assert cell is not None
    first = found.number(cell.open_circuit_voltage).measured.value
    assert found.number(second.voltage).measured.value == pytest.approx(first, rel=1e-6)
    assert found.number(there(found, between=True).voltage).measured.value == pytest.approx(0.0, abs=1e-6)


def test_a_separate_part_without_a_path_drives_nothing(bench: Make) -> None:
    """Between a live part and an insulated one next to no current can flow, whatever a meter shows."""
    found = assess(dead(bench(100.0, second_part=SecondPart.SEPARATE), "BH", "CH", "AH").case)

    assert found.number(there(found, between=False).current).measured.value < 1e-6
    assert found.number(there(found, between=True).current).measured.value < 1e-6


def test_a_second_part_that_nobody_measured_is_a_problem_and_no_number(bench: Make) -> None:
    found = assess(dead(bench(100.0, second_part=SecondPart.SEPARATE)).case)

    assert found.second_part == ()
    assert "second_part_not_read" in {problem.key for problem in found.problems}


def test_two_faults_at_different_places_leave_a_voltage_between_the_parts(bench: Make) -> None:
    """Faults at a quarter and at three quarters of the element: half the supply between the parts while it heats."""
    made = bench(1.0, 0.25, second_part=SecondPart.SEPARATE)
    made.parameters = replace(made.parameters, second_fault_position=0.75, second_fault_resistance=1.0)
    found = assess(dead(made, "BH", "CH", "AH").case)
    state = UnitState(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.ON)

    between = there(found, between=True, state=state)
    assert found.number(between.voltage).measured.value == pytest.approx(57.7, rel=0.02)
    assert between.established
    assert found.verdict.word is SignalWord.DANGER


def test_readings_at_the_second_part_enter_the_fit(bench: Make) -> None:
    made = bench(1e6, 0.25, second_part=SecondPart.SEPARATE)
    made.parameters = replace(made.parameters, second_fault_position=0.5, second_fault_resistance=200.0)
    dead(made, "BH", "CH")
    made.read("HE", Quantity.VOLTAGE, OFF)
    made.read("HE", Quantity.VOLTAGE, OFF, RESISTOR)
    found = assess(made.case)

    assert found.fit is not None
    assert found.fit.consistent is not False
    assert found.number(there(found, between=False).voltage).measured.value == pytest.approx(120.0, rel=0.01)
    assert found.verdict.word is SignalWord.DANGER
    assert "second touchable part" in found.verdict.sentence

"""The characteristic of the source and the points where loads meet it."""

from collections.abc import Callable
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.unit_state import UnitState
from hazardreport.circuit.loads import Lamp, loaded_voltage
from hazardreport.figures.drawing import Drawing, Stroke, Words
from hazardreport.figures.load_lines import load_lines, meeting
from hazardreport.figures.source_line import source_characteristic, spread


def test_a_resistor_meets_the_source_where_the_divider_says(case: Case, off_state: UnitState) -> None:
    lines = {line.name.replace("\u00a0", " "): line for line in load_lines(case, off_state, 120.0, 20.0)}
    assert lines["Person, 1 kΩ"].voltage == pytest.approx(120.0 * 1000 / 1020)
    assert lines["Person, 1 kΩ"].amperes == pytest.approx(120.0 / 1020)
    assert lines["Person, 1 kΩ"].person
    assert not lines["Test resistor, 1.5 kΩ"].person


def test_a_lamp_meets_the_source_where_the_circuit_says(case: Case, off_state: UnitState) -> None:
    lamp = next(line for line in load_lines(case, off_state, 117.4, 900.0) if line.name.startswith("Lamp"))
    expected = loaded_voltage(117.4, 900.0, Lamp(rated_voltage=120.0, rated_power=15.0))
    assert lamp.voltage == pytest.approx(expected, rel=1e-9)


def test_the_loads_are_those_of_the_readings_in_that_state(case: Case, on_state: UnitState) -> None:
    assert [line.person for line in load_lines(case, on_state, 120.0, 20.0)] == [True, True, True]


@settings(derandomize=True, deadline=None)
@given(voltage=st.floats(1, 500), impedance=st.floats(0.01, 1e6), load=st.floats(1, 1e7))
def test_meeting_is_the_divider(voltage: float, impedance: float, load: float) -> None:
    found = meeting(voltage, impedance, lambda volts: volts / load)
    assert found == pytest.approx(voltage * load / (load + impedance), rel=1e-9)


@settings(derandomize=True, deadline=None)
@given(st.lists(st.floats(0, 100), min_size=1, max_size=12).map(lambda found: tuple(sorted(found))))
def test_heights_are_spread_a_step_apart_and_stay_between_the_ends(wished: tuple[float, ...]) -> None:
    heights = spread(wished, 4.0, 0.0, 100.0)
    assert all(second - first >= 4.0 - 1e-6 for first, second in pairwise(heights))
    assert all(-1e-6 <= height <= 100.0 + 1e-6 for height in heights)


def test_the_figure_holds_its_words_and_says_what_it_shows(
    case: Case,
    assessment: Assessment,
    beyond_the_edge: Callable[[Drawing], list[str]],
    texts_upon_each_other: Callable[[Drawing], list[tuple[str, str]]],
) -> None:
    drawing = source_characteristic(case, assessment, 170, 100)
    assert beyond_the_edge(drawing) == []
    assert texts_upon_each_other(drawing) == []
    assert "117.4\u00a0V" in drawing.description
    assert "Lamp" in drawing.description
    assert min(shape.size for shape in drawing.shapes if isinstance(shape, Words)) >= 2.3


def test_a_source_that_is_not_determined_is_said_so(case: Case, assessment: Assessment, on_state: UnitState) -> None:
    drawing = source_characteristic(case, assessment, 170, 100, on_state)
    assert "not determined" in drawing.description
    assert not any(isinstance(shape, Stroke) for shape in drawing.shapes)

"""A window may have any size: every figure is drawn in it, with all its words inside."""

from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.unit_state import UnitState
from hazardreport.figures.drawing import Drawing
from hazardreport.figures.schematic import schematic
from hazardreport.figures.source_line import source_characteristic
from hazardreport.figures.time_current import time_current_chart

sizes = st.tuples(st.floats(10, 400), st.floats(10, 400))


@settings(derandomize=True, deadline=None, max_examples=40)
@given(size=sizes, soon=st.booleans())
def test_any_size_holds_the_figures(
    case: Case,
    assessment: Assessment,
    off_state: UnitState,
    on_state: UnitState,
    beyond_the_edge: Callable[[Drawing], list[str]],
    size: tuple[float, float],
    soon: bool,
) -> None:
    width, height = size
    for drawing in (
        time_current_chart(assessment, width, height, on_state if soon else off_state),
        schematic(case, assessment, width, height, person=soon),
        source_characteristic(case, assessment, width, height),
    ):
        assert beyond_the_edge(drawing) == []
        assert drawing.width / drawing.height == pytest.approx(width / height)

"""The time-current chart puts curves and operating points where they belong."""

import math
from collections.abc import Callable
from dataclasses import replace
from itertools import product

import pytest

from hazardreport.assess.records import Assessment
from hazardreport.case.unit_state import UnitState
from hazardreport.figures.axes import LogAxis
from hazardreport.figures.drawing import Disc, Drawing, Fill, Words
from hazardreport.figures.inks import ZONE_INKS
from hazardreport.figures.operating_points import operating_points
from hazardreport.figures.time_current import time_current_chart
from hazardreport.severity.terms import Zone
from hazardreport.severity.zones import curve

SIZES = [pytest.param(170.0, 105.0, id="report"), pytest.param(75.0, 60.0, id="panel")]


def zone_at(drawing: Drawing, x: float, y: float) -> Zone | None:
    """The zone whose ground is painted at a place, by counting crossings."""
    found = None
    for shape in drawing.shapes:
        zone = next((z for z, colour in ZONE_INKS.items() if isinstance(shape, Fill) and shape.ink == colour), None)
        if zone is None or not isinstance(shape, Fill):
            continue
        ends = zip(shape.points, (*shape.points[1:], shape.points[0]), strict=True)
        crossings = sum(
            (y1 > y) != (y2 > y) and x < x1 + (y - y1) / (y2 - y1) * (x2 - x1) for (x1, y1), (x2, y2) in ends
        )
        if crossings % 2:
            found = zone
    return found


def axes(drawing: Drawing) -> tuple[LogAxis, LogAxis]:
    """The two axes, read off the labels as a person would."""
    labels = {shape.text.replace("\u00a0", " "): shape for shape in drawing.shapes if isinstance(shape, Words)}
    one, hundred = labels["1 mA"].x, labels["100 mA"].x
    centre = 0.716 * labels["1 s"].size / 2
    short, long = labels["10 ms"].y - centre, labels["1 s"].y - centre
    return (
        LogAxis(low=1e-3, high=0.1, start=one, end=hundred, unit="A"),
        LogAxis(low=0.01, high=1.0, start=short, end=long, unit="s"),
    )


def place(axis: LogAxis, value: float) -> float:
    share = math.log(value / axis.low) / math.log(axis.high / axis.low)
    return axis.start + share * (axis.end - axis.start)


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_grounds_of_the_zones_meet_at_the_curves(assessment: Assessment, width: float, height: float) -> None:
    drawing = time_current_chart(assessment, width, height)
    current, time = axes(drawing)
    for name, below, above in (
        ("a", Zone.AC_1, Zone.AC_2),
        ("b", Zone.AC_2, Zone.AC_3),
        ("c1", Zone.AC_3, Zone.AC_4_1),
        ("c2", Zone.AC_4_1, Zone.AC_4_2),
        ("c3", Zone.AC_4_2, Zone.AC_4_3),
    ):
        for duration in (0.02, 0.1, 0.5, 1.0, 3.0):
            x, y = place(current, curve(name, duration)), place(time, duration)
            assert zone_at(drawing, x - 0.4, y) is below, (name, duration)
            assert zone_at(drawing, x + 0.4, y) is above, (name, duration)


def test_the_median_adult_stands_at_its_current(assessment: Assessment, off_state: UnitState) -> None:
    drawing = time_current_chart(assessment, 170, 105)
    current, _ = axes(drawing)
    discs = [shape.x for shape in drawing.shapes if isinstance(shape, Disc)]
    points = operating_points(assessment, off_state)
    assert len(points) == 4
    for point in points:
        assert min(abs(x - place(current, point.middle)) for x in discs) < 0.01


def test_points_that_end_soon_are_tied_to_their_time(assessment: Assessment, on_state: UnitState) -> None:
    drawing = time_current_chart(assessment, 170, 105, on_state)
    _, time = axes(drawing)
    label = next(s for s in drawing.shapes if isinstance(s, Words) and s.text.replace("\u00a0", " ") == "300 ms")
    assert label.y == pytest.approx(place(time, 0.3) - 0.7, abs=0.01)
    assert "300\u00a0ms" in drawing.description


def test_spread_and_median_are_those_of_the_percentiles(assessment: Assessment, off_state: UnitState) -> None:
    worst = operating_points(assessment, off_state)[0]
    assert (worst.low, worst.middle, worst.high) == (0.102, 0.170, 0.284)
    assert worst.zone is Zone.AC_4_3


def test_only_plausible_exposures_are_shown_where_there_are_any(assessment: Assessment, off_state: UnitState) -> None:
    mixed = replace(
        assessment, exposures=tuple(replace(e, plausible=e.path.value == "hand to hand") for e in assessment.exposures)
    )
    none = replace(assessment, exposures=tuple(replace(e, plausible=False) for e in assessment.exposures))
    assert {point.path.value for point in operating_points(mixed, off_state)} == {"hand to hand"}
    assert len(operating_points(none, off_state)) == 4
    assert "circumstances not stated" in " ".join(
        shape.text for shape in time_current_chart(none, 170, 105).shapes if isinstance(shape, Words)
    )


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_all_is_inside_and_no_text_lies_on_another(
    assessment: Assessment,
    on_state: UnitState,
    off_state: UnitState,
    width: float,
    height: float,
    beyond_the_edge: Callable[[Drawing], list[str]],
    texts_upon_each_other: Callable[[Drawing], list[tuple[str, str]]],
) -> None:
    times = [(name, value) for name in ("long", "short") for value in (0.01, 0.025, 0.04, 0.3, 2.0, 9.9)]
    for name, value in times:
        numbers = tuple(
            replace(n, measured=replace(n.measured, value=value)) if n.id == name else n for n in assessment.trace
        )
        other = replace(assessment, trace=replace(assessment.trace, numbers=numbers))
        hidden = replace(other, exposures=tuple(replace(e, plausible=False) for e in other.exposures))
        for state, case in product((on_state, off_state), (other, hidden)):
            drawing = time_current_chart(case, width, height, state)
            assert beyond_the_edge(drawing) == []
            assert texts_upon_each_other(drawing) == [], (name, value, state)
    for drawing in (
        time_current_chart(None, width, height),
        time_current_chart(assessment, width, height, on_state),
        time_current_chart(assessment, width, height, off_state),
    ):
        assert beyond_the_edge(drawing) == []
        assert texts_upon_each_other(drawing) == []


@pytest.mark.parametrize(("width", "size"), [(170.0, 2.3), (75.0, 1.9)])
def test_words_are_large_enough_to_read(assessment: Assessment, width: float, size: float) -> None:
    drawing = time_current_chart(assessment, width, width * 0.65)
    assert min(shape.size for shape in drawing.shapes if isinstance(shape, Words)) >= size


def test_the_chart_says_in_words_what_it_shows(assessment: Assessment) -> None:
    said = time_current_chart(assessment, 170, 105).description
    assert "plug reversed, switch off" in said
    assert "170\u00a0mA" in said
    assert "AC-4.3" in said
    assert "No operating point" in time_current_chart(None, 170, 105).description


@pytest.mark.parametrize("factor", [1e-9, 1e-3, 0.1, 10.0, 1e6])
def test_any_current_stays_in_the_chart(
    assessment: Assessment, factor: float, beyond_the_edge: Callable[[Drawing], list[str]]
) -> None:
    numbers = tuple(
        replace(n, measured=replace(n.measured, value=n.measured.value * factor)) if n.measured.unit == "A" else n
        for n in assessment.trace
    )
    scaled = replace(assessment, trace=replace(assessment.trace, numbers=numbers))
    for width, height in ((170.0, 105.0), (75.0, 60.0)):
        assert beyond_the_edge(time_current_chart(scaled, width, height)) == []


def test_the_sources_of_the_curves_are_named_with_their_status(assessment: Assessment) -> None:
    sources = time_current_chart(assessment, 170, 105).sources
    assert any(source.key.startswith("iec-60479") for source in sources)
    assert len(set(sources)) == len(sources)

"""The curve of adults: share over current, thresholds where they belong, a legend that leaves the curve free."""

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.figures.drawing import Drawing, Fill, Stroke, Words
from hazardreport.figures.inks import ACCENT, luminance
from hazardreport.figures.pieces import words_box
from hazardreport.figures.population_curve import PopulationCurve, Threshold, population_curve

THRESHOLDS = (
    Threshold(mark="felt", meaning="500 µA: may be felt", current=0.0005, share="> 99 %"),
    Threshold(mark="let go", meaning="5.0 mA: up to here everybody can let go", current=0.005, share="> 99 %"),
    Threshold(mark="c1", meaning="100 mA: c1, from here fibrillation is possible", current=0.1, share="93 %"),
    Threshold(mark="c2", meaning="125 mA: c2, fibrillation at about 5 %", current=0.125, share="70 %"),
)


def made_up(median: float) -> PopulationCurve:
    """A share that falls over a factor of four about its median."""
    points = tuple((median * 2.0 ** (step / 20 - 1), 1.0 - step / 40) for step in range(41))
    return PopulationCurve(points=points, thresholds=THRESHOLDS, exposure="hand to hand, dry skin", median=median)


def curve_line(drawing: Drawing) -> Stroke:
    return next(shape for shape in drawing.shapes if isinstance(shape, Stroke) and shape.ink == ACCENT)


def upright(drawing: Drawing) -> list[Stroke]:
    """Lines of the thresholds: as high as the plot."""
    return [
        shape
        for shape in drawing.shapes
        if isinstance(shape, Stroke)
        and len(shape.points) == 2
        and shape.points[0][0] == shape.points[1][0]
        and shape.width >= 0.25
        and abs(shape.points[0][1] - shape.points[1][1]) > 20
    ]


@pytest.mark.parametrize("median", [0.0002, 0.004, 0.02, 0.15, 0.9], ids=str)
@pytest.mark.parametrize("size", [(170.0, 66.0), (120.0, 60.0), (60.0, 30.0)], ids=str)
def test_all_is_inside_and_no_text_lies_on_another(
    median: float,
    size: tuple[float, float],
    beyond_the_edge: Callable[[Drawing], list[str]],
    texts_upon_each_other: Callable[[Drawing], list[tuple[str, str]]],
) -> None:
    drawing = population_curve(made_up(median), *size)
    assert beyond_the_edge(drawing) == []
    assert texts_upon_each_other(drawing) == []


@pytest.mark.parametrize("median", [0.0002, 0.004, 0.02, 0.15, 0.9], ids=str)
def test_the_curve_falls_from_ten_to_none_and_passes_five_at_its_median(median: float) -> None:
    drawing = population_curve(made_up(median), 170, 66)
    heights = [y for _, y in curve_line(drawing).points]
    assert heights == sorted(heights)
    ticks = {shape.text: shape for shape in drawing.shapes if isinstance(shape, Words) and shape.text in ("0", "10")}
    middle = (ticks["0"].y + ticks["10"].y) / 2
    nearest = min(heights, key=lambda y: abs(y - (heights[0] + heights[-1]) / 2))
    assert nearest == pytest.approx((heights[0] + heights[-1]) / 2, abs=0.7)
    assert middle - nearest == pytest.approx(ticks["10"].y - heights[0], abs=0.7)


def test_each_threshold_stands_at_its_current_with_a_line_of_its_own() -> None:
    drawing = population_curve(made_up(0.15), 170, 66)
    lines = upright(drawing)
    assert len(lines) == len(THRESHOLDS)
    places = [line.points[0][0] for line in lines]
    assert places == sorted(places)
    assert len({line.dashes for line in lines}) == len(THRESHOLDS)
    decades = (places[1] - places[0], places[2] - places[1])
    assert decades[1] / decades[0] == pytest.approx(1.30103, abs=1e-4)


@pytest.mark.parametrize("median", [0.0002, 0.004, 0.02, 0.15, 0.9], ids=str)
def test_the_legend_does_not_hide_the_curve(median: float) -> None:
    drawing = population_curve(made_up(median), 170, 66)
    meanings = {threshold.meaning for threshold in THRESHOLDS}
    boxes = [words_box(shape) for shape in drawing.shapes if isinstance(shape, Words) and shape.text in meanings]
    assert len(boxes) == len(THRESHOLDS)
    for left, top, right, bottom in boxes:
        for x, y in curve_line(drawing).points[1:-1]:
            assert not (left < x < right and top < y < bottom)


def test_it_can_be_read_in_grey() -> None:
    drawing = population_curve(made_up(0.15), 170, 66)
    inks = [shape.ink for shape in drawing.shapes if isinstance(shape, Stroke | Words) and shape.ink.role != "rule"]
    assert all(luminance(ink) < 0.25 for ink in inks)
    ground = next(shape for shape in drawing.shapes if isinstance(shape, Fill))
    assert ground.ink.opacity < 0.2


def test_the_words_say_exposure_median_and_every_share() -> None:
    text = population_curve(made_up(0.15), 170, 66).description.replace("\u00a0", " ")
    assert "hand to hand, dry skin" in text
    assert "150 mA" in text
    for threshold in THRESHOLDS:
        assert f"{threshold.meaning}: {threshold.share}" in text


def test_thresholds_of_one_place_keep_their_marks_apart(
    texts_upon_each_other: Callable[[Drawing], list[tuple[str, str]]],
) -> None:
    same = tuple(replace(threshold, current=0.1) for threshold in THRESHOLDS)
    assert texts_upon_each_other(population_curve(replace(made_up(0.15), thresholds=same), 170, 66)) == []


@settings(derandomize=True, deadline=None, max_examples=60)
@given(width=st.floats(10, 400), height=st.floats(10, 400), median=st.floats(1e-5, 20.0))
def test_any_size_and_any_source_holds_the_figure(
    beyond_the_edge: Callable[[Drawing], list[str]],
    texts_upon_each_other: Callable[[Drawing], list[tuple[str, str]]],
    width: float,
    height: float,
    median: float,
) -> None:
    drawing = population_curve(made_up(median), width, height)
    assert beyond_the_edge(drawing) == []
    assert texts_upon_each_other(drawing) == []
    assert drawing.width / drawing.height == pytest.approx(width / height)

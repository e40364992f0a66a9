"""Plates: points where they belong, labels inside the frame and off each other."""

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.case.case import Case
from hazardreport.case.picture import Mark, MarkKind, Picture, Placement, Point
from hazardreport.case.reading import Quantity, Reading
from hazardreport.figures.drawing import Disc, Drawing, Fill, PictureArea, Words
from hazardreport.figures.pieces import overlap
from hazardreport.figures.plate import LETTER_RADIUS, plate

VALUES = {
    "reading-001": "117.4 V ± 1.2 V",
    "reading-002": "116.2 V ± 1.2 V",
    "reading-004": "20.1 Ω ± 0.4 Ω",
}
LETTERS = "ABCDEFGH"


@pytest.fixture
def drawn(case: Case) -> Drawing:
    return plate(case, case.pictures[0], 170.0, 110.0, VALUES)


def label_boxes(drawing: Drawing) -> list[tuple[float, float, float, float]]:
    """Grounds of the values and texts, and the discs of the letters."""
    grounds = [
        (
            min(x for x, _ in shape.points),
            min(y for _, y in shape.points),
            max(x for x, _ in shape.points),
            max(y for _, y in shape.points),
        )
        for shape in drawing.shapes
        if isinstance(shape, Fill) and len(shape.points) > 8
    ]
    discs = [
        (shape.x - shape.radius, shape.y - shape.radius, shape.x + shape.radius, shape.y + shape.radius)
        for shape in drawing.shapes
        if isinstance(shape, Disc) and shape.radius == LETTER_RADIUS
    ]
    return grounds + discs


def test_the_plate_has_the_shape_of_its_picture(drawn: Drawing) -> None:
    area = drawn.shapes[0]
    assert isinstance(area, PictureArea)
    assert (area.width, area.height) == (drawn.width, drawn.height)
    assert drawn.height == pytest.approx(110.0)
    assert drawn.width / drawn.height == pytest.approx(1600 / 1200)


def test_each_point_stands_on_its_spot(case: Case, drawn: Drawing) -> None:
    scale = drawn.width / 1600
    discs = [(shape.x, shape.y) for shape in drawn.shapes if isinstance(shape, Disc)]
    for placement in case.pictures[0].placements:
        assert any(abs(x - placement.x * scale) < 1e-9 and abs(y - placement.y * scale) < 1e-9 for x, y in discs), (
            placement.letter
        )


def test_letters_values_and_texts_are_all_there(drawn: Drawing) -> None:
    shown = [shape.text for shape in drawn.shapes if isinstance(shape, Words)]
    assert {"A", "B", "C", "D", *VALUES.values(), "cord enters here", "plug", "bench, wooden"} <= set(shown)


def test_readings_without_a_value_or_a_point_here_are_left_out(case: Case) -> None:
    picture = replace(case.pictures[0], placements=case.pictures[0].placements[:1])
    drawing = plate(case, picture, 100, 80, VALUES)
    shown = " ".join(shape.text for shape in drawing.shapes if isinstance(shape, Words))
    assert "V" not in shown
    assert "Ω" not in shown


def test_labels_keep_off_each_other(drawn: Drawing) -> None:
    boxes = label_boxes(drawn)
    assert len(boxes) == 4 + 2 + 3
    assert all(overlap(first, second) == 0.0 for i, first in enumerate(boxes) for second in boxes[:i])


def test_the_plate_says_in_words_what_it_shows(drawn: Drawing) -> None:
    assert "A, pot rim, bare metal" in drawn.description
    assert "A to D, 117.4 V ± 1.2 V" in drawn.description


def test_many_values_between_two_points_are_counted(case: Case) -> None:
    readings = tuple(
        Reading(id=f"reading-{n:03d}", first="A", second="B", quantity=Quantity.VOLTAGE, typed="1 V") for n in range(7)
    )
    values = {reading.id: f"{n} V" for n, reading in enumerate(readings)}
    drawing = plate(replace(case, readings=readings), case.pictures[0], 170, 110, values)
    assert "and 4 more" in [shape.text for shape in drawing.shapes if isinstance(shape, Words)]


coordinates = st.tuples(st.floats(-50, 4050), st.floats(-50, 3050))
pictures = st.builds(
    lambda size, spots, vertices, kind, text: Picture(
        id="picture-001",
        file="picture-001.jpg",
        original_name="a.jpg",
        media_type="image/jpeg",
        sha256="0" * 64,
        size=1,
        width=size[0],
        height=size[1],
        placements=tuple(Placement(letter=letter, x=x, y=y) for letter, (x, y) in zip(LETTERS, spots, strict=False)),
        marks=(Mark(id="mark-001", kind=kind, vertices=tuple(vertices), text=text),),
    ),
    st.tuples(st.integers(60, 4000), st.integers(60, 3000)),
    st.lists(coordinates, max_size=8),
    st.lists(coordinates, max_size=5),
    st.sampled_from(MarkKind),
    st.text(max_size=60),
)


@settings(derandomize=True, deadline=None, max_examples=80)
@given(picture=pictures, width=st.floats(40, 190), height=st.floats(30, 240))
def test_any_placements_keep_everything_inside(
    beyond_the_edge: Callable[[Drawing], list[str]], picture: Picture, width: float, height: float
) -> None:
    case = Case(
        id="case-1",
        points=tuple(Point(letter=letter) for letter in LETTERS),
        pictures=(picture,),
        readings=tuple(
            Reading(id=f"{a}{b}", first=a, second=b, quantity=Quantity.VOLTAGE, typed="1 V")
            for a, b in ("AB", "AC", "CD", "EF")
        ),
    )
    drawing = plate(case, picture, width, height, {reading.id: "117.4 V ± 1.2 V" for reading in case.readings})
    assert beyond_the_edge(drawing) == []


@settings(derandomize=True, deadline=None, max_examples=60)
@given(spots=st.lists(st.tuples(st.floats(0, 1600), st.floats(0, 1200)), min_size=1, max_size=8))
def test_a_plate_with_room_has_no_label_on_another(case: Case, spots: list[tuple[float, float]]) -> None:
    placements = tuple(Placement(letter=letter, x=x, y=y) for letter, (x, y) in zip(LETTERS, spots, strict=False))
    picture = replace(case.pictures[0], placements=placements)
    boxes = label_boxes(plate(case, picture, 170, 120, VALUES))
    assert all(overlap(first, second) < 1e-9 for i, first in enumerate(boxes) for second in boxes[:i])


def test_values_stand_in_the_given_order_and_equal_ones_once(case: Case) -> None:
    values = {"reading-003": "114 V", "reading-001": "117 V", "reading-002": "117 V"}
    drawing = plate(case, case.pictures[0], 170, 110, values)
    shown = [shape.text for shape in drawing.shapes if isinstance(shape, Words) and shape.text.endswith(" V")]
    assert shown == ["114 V", "117 V"]

"""A cover that bares what it hid takes back what somebody said about the picture."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.picture import Cover, Picture, Recognisable

COVER = Cover(id="cover-001", left=10, top=20, right=60, bottom=50, reason="face")


def case_with(*covers: Cover, recognisable: Recognisable = Recognisable.NO) -> Case:
    picture = Picture(
        id="picture-001",
        file="picture-001.jpg",
        original_name="a.jpg",
        media_type="image/jpeg",
        sha256="0" * 64,
        size=1,
        width=100,
        height=80,
        covers=covers,
        recognisable=recognisable,
    )
    return Case(id="T", pictures=(picture,))


def said(case: Case) -> Recognisable:
    return case.pictures[0].recognisable


@pytest.mark.parametrize("change", [{"left": 11}, {"top": 21}, {"right": 59}, {"bottom": 49}, {"left": 0, "right": 50}])
def test_a_smaller_or_shifted_cover_opens_the_question(change: dict[str, float]) -> None:
    assert said(edits.change_cover(case_with(COVER), "picture-001", replace(COVER, **change))) is Recognisable.OPEN


@pytest.mark.parametrize("change", [{"left": 9}, {"bottom": 80}, {"reason": "face, reflected"}, {}])
def test_a_larger_cover_or_another_reason_leaves_the_answer(change: dict[str, object]) -> None:
    assert said(edits.change_cover(case_with(COVER), "picture-001", replace(COVER, **change))) is Recognisable.NO


def test_one_more_cover_leaves_the_answer_and_one_less_takes_it_back() -> None:
    case = edits.add_cover(case_with(), "picture-001", COVER)
    assert said(case) is Recognisable.NO
    assert said(edits.remove_cover(case, "picture-001", COVER.id)) is Recognisable.OPEN


@settings(derandomize=True, deadline=None)
@given(st.lists(st.floats(0, 100), min_size=4, max_size=4), st.lists(st.floats(0, 100), min_size=4, max_size=4))
def test_no_pixel_is_bared_under_the_answer_no(one: list[float], two: list[float]) -> None:
    (left, right), (top, bottom) = sorted(one[:2]), sorted(one[2:])
    old = replace(COVER, left=left, right=right, top=top, bottom=bottom)
    (left, right), (top, bottom) = sorted(two[:2]), sorted(two[2:])
    new = replace(COVER, left=left, right=right, top=top, bottom=bottom)
    case = edits.change_cover(case_with(old), "picture-001", new)
    if said(case) is Recognisable.NO:
        for x, y in ((old.left, old.top), (old.right, old.bottom)):
            assert new.left <= x <= new.right
            assert new.top <= y <= new.bottom

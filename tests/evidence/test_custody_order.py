"""Remarks on custody: each is raised by what it names, and goes when that is mended."""

from dataclasses import replace
from itertools import permutations
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport import wording
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, Custody
from hazardreport.case.custody import Item, ItemKind, Step, StepEffect, Transfer
from hazardreport.case.picture import Picture
from hazardreport.case.reading import Quantity, Reading
from hazardreport.case.stated import value
from hazardreport.evidence.custody_order import KINDS, Remark, Weight, custody_remarks, first_opening
from hazardreport.evidence.moments import is_later, moment
from hazardreport.quantity.trace import Status
from hazardreport.standards.references import reference


def picture(id: str, claimed: str = "", as_found: bool = True) -> Picture:
    return Picture(
        id=id,
        file=f"{id}.jpg",
        original_name="a.jpg",
        media_type="image/jpeg",
        sha256="0" * 64,
        size=1,
        width=10,
        height=10,
        claimed_time=claimed,
        as_found=as_found,
    )


def reading(id: str, taken: str = "", as_found: bool = True) -> Reading:
    return Reading(
        id=id, first="A", second="B", quantity=Quantity.RESISTANCE, typed="5 Ω", taken=taken, as_found=as_found
    )


UNIT = Item(
    id="item-001",
    description="wax pot with its cord",
    label="seal 0417",
    place="cabinet of the club",
    condition="whole, soot at the vent",
    since="2026-05-04T09:00+02:00",
    pictures=("picture-001",),
)
HANDED = Transfer(
    id="transfer-001",
    items=("item-001",),
    giver="R. Oakes",
    taker="Test bench, room 3",
    when="2026-05-06T10:00+02:00",
    purpose="examination",
    place="club",
    condition="as received",
    seal_whole=Answer.YES,
    picture="picture-002",
)
BACK = replace(
    HANDED, id="transfer-002", giver="test bench  Room 3", taker="R Oakes", when="2026-05-08T10:00+02:00", place="club"
)
LOOKED = Step(
    id="step-001", what="looked at", when="2026-05-04T12:00+02:00", by="K. Sander", effect=StepEffect.NON_DESTRUCTIVE
)
OPENED = Step(
    id="step-002",
    what="base taken off",
    when="2026-05-07T08:00Z",
    by="K. Sander",
    effect=StepEffect.DESTRUCTIVE,
    opens=True,
    informed="maker, by letter of 2026-05-05; no answer",
    items=("item-001",),
    pictures=("picture-003",),
)
INSIDE = Step(id="step-003", what="measured inside", effect=StepEffect.NON_DESTRUCTIVE, pictures=("picture-001",))
WHOLE = Case(
    id="C-1",
    pictures=(
        picture("picture-001", "2026-05-04T11:00+02:00"),
        picture("picture-002", as_found=False),
        picture("picture-003", "2026-05-07T08:10Z", as_found=False),
    ),
    readings=(reading("reading-001", "2026-05-04T12:30+02:00"), reading("reading-002", "yesterday", as_found=False)),
    items=(UNIT,),
    transfers=(HANDED, BACK),
    steps=(LOOKED, OPENED),
    custody=Custody(kept_at=value("Club, cabinet behind the bar")),
)


def keys(case: Case) -> list[tuple[str, str]]:
    return [(remark.key, remark.link) for remark in custody_remarks(case)]


def with_item(**changes: Any) -> Case:
    return replace(WHOLE, items=(replace(UNIT, **changes),))


def with_transfer(**changes: Any) -> Case:
    return replace(WHOLE, transfers=(HANDED, replace(BACK, **changes)))


def with_opening(**changes: Any) -> Case:
    return replace(WHOLE, steps=(LOOKED, replace(OPENED, **changes)))


def with_pictures(*pictures: Picture) -> Case:
    return replace(WHOLE, pictures=(*pictures, *WHOLE.pictures[1:]))


BROKEN: dict[str, tuple[Case, str]] = {
    "no_item": (Case(id="C-1", pictures=WHOLE.pictures), "items"),
    "item_without_description": (with_item(description=" "), "item-001"),
    "item_without_label": (with_item(label=""), "item-001"),
    "item_without_place": (with_item(place="\t"), "item-001"),
    "item_without_condition": (with_item(condition=""), "item-001"),
    "item_without_picture": (with_item(pictures=()), "item-001"),
    "unknown_record": (with_item(pictures=("picture-001", "picture-099")), "item-001"),
    "transfer_of_nothing": (with_transfer(items=()), "transfer-002"),
    "transfer_of_unknown_item": (with_transfer(items=("item-001", "item-009")), "transfer-002"),
    "transfer_without_giver": (with_transfer(giver=""), "transfer-002"),
    "transfer_without_taker": (with_transfer(taker=""), "transfer-002"),
    "transfer_by_another": (with_transfer(giver="Somebody else"), "transfer-002"),
    "transfer_without_time": (with_transfer(when=""), "transfer-002"),
    "transfer_before_last": (with_transfer(when="2026-05-06T07:59Z"), "transfer-002"),
    "transfer_without_purpose": (with_transfer(purpose=""), "transfer-002"),
    "transfer_without_picture": (with_transfer(picture=""), "transfer-002"),
    "seal_broken": (with_transfer(seal_whole=Answer.NO), "transfer-002"),
    "seal_broken_without_condition": (with_transfer(seal_whole=Answer.NO, condition=""), "transfer-002"),
    "step_without_effect": (with_opening(effect=StepEffect.OPEN), "step-002"),
    "step_before_last": (with_opening(when="2026-05-04T11:30+02:00", opens=False), "step-002"),
    "destructive_without_notice": (with_opening(informed=""), "step-002"),
    "destructive_without_as_found": (with_pictures(picture("picture-001", as_found=False)), "step-002"),
    "opened_without_as_found": (
        replace(
            with_opening(effect=StepEffect.NON_DESTRUCTIVE),
            pictures=(picture("picture-001", as_found=False), *WHOLE.pictures[1:]),
        ),
        "step-002",
    ),
    "picture_as_found_after_opening": (
        replace(WHOLE, pictures=(*WHOLE.pictures[:2], picture("picture-003", "2026-05-07T10:00:01+02:00"))),
        "picture-003",
    ),
    "reading_as_found_after_opening": (
        replace(WHOLE, readings=(reading("reading-001", "2026-05-07T08:01Z"),)),
        "reading-001",
    ),
    "picture_as_found_in_later_step": (replace(WHOLE, steps=(LOOKED, OPENED, INSIDE)), "picture-001"),
    "reading_as_found_in_later_step": (
        replace(WHOLE, steps=(LOOKED, OPENED, replace(INSIDE, pictures=(), readings=("reading-001",)))),
        "reading-001",
    ),
    "kept_at_behind": (replace(WHOLE, custody=Custody(kept_at=value("loft"))), "custody.kept_at"),
}


def test_a_whole_chain_has_no_remark() -> None:
    assert custody_remarks(WHOLE) == ()


@pytest.mark.parametrize("key", BROKEN)
def test_each_remark_is_raised_once_by_what_it_names_and_by_nothing_else(key: str) -> None:
    case, link = BROKEN[key]
    assert keys(case) == [(key, link)]


def test_every_kind_of_remark_is_tried_and_has_its_sentences() -> None:
    assert set(BROKEN) == set(KINDS)
    assert {key.split(".")[1] for key in wording.keys("custody")} == set(KINDS)
    for case, _ in BROKEN.values():
        for remark in custody_remarks(case):
            assert remark.what.endswith(".")
            assert remark.remedy.endswith(".")
            assert "{" not in remark.what + remark.remedy


def test_what_rests_on_practice_names_it_with_its_status() -> None:
    for _, sources in KINDS.values():
        for source in sources:
            assert reference(source.key).body == "ASTM International"
    notice = Remark(key="destructive_without_notice", link="step-001")
    assert [source.status for source in notice.sources] == [Status.CONFIRMED, Status.FROM_MEMORY]
    assert Remark(key="transfer_before_last", link="x").weight is Weight.MEND
    assert Remark(key="kept_at_behind", link="x").weight is Weight.SAY


@pytest.mark.parametrize("when", ["2026-05-06", "2026-05-06T07:00", "early in May", ""])
def test_times_that_cannot_be_compared_are_not(when: str) -> None:
    assert moment(when) is None
    assert not is_later(when, HANDED.when)
    assert not is_later(HANDED.when, when)
    assert "transfer_before_last" not in dict(keys(with_transfer(when=when)))
    early = picture("picture-001", when)
    assert keys(with_pictures(early)) == []


def test_moments_are_compared_across_offsets() -> None:
    assert is_later("2026-05-06T10:00+02:00", "2026-05-06T07:59:59Z")
    assert not is_later("2026-05-06T10:00+02:00", "2026-05-06T08:00Z")
    assert is_later("9999-12-31T23:59-14:00", "0001-01-01T00:00+14:00")


def test_an_item_that_was_handed_over_is_followed_apart_from_the_others() -> None:
    cord = replace(UNIT, id="item-002", kind=ItemKind.CORD)
    other = replace(HANDED, id="transfer-003", items=("item-002",), giver="Club", taker="Laboratory", when="")
    case = replace(WHOLE, items=(UNIT, cord), transfers=(HANDED, other, BACK))
    assert keys(case) == [("transfer_without_time", "transfer-003")]
    both = replace(BACK, items=("item-001", "item-002"))
    assert keys(replace(case, transfers=(HANDED, other, both)))[-1] == ("transfer_by_another", "transfer-002")


def test_who_gives_is_the_last_taker_however_it_is_typed() -> None:
    assert keys(with_transfer(giver="TEST BENCH,  room 3.")) == []


def test_the_first_opening_is_found_by_time_or_else_by_order() -> None:
    later = replace(OPENED, id="step-003", when="2026-05-09T08:00Z")
    assert first_opening(replace(WHOLE, steps=(later, OPENED))) == OPENED
    assert first_opening(replace(WHOLE, steps=(replace(later, when="May"), OPENED))) == replace(later, when="May")
    assert first_opening(replace(WHOLE, steps=(LOOKED,))) is None


def test_what_a_later_step_shows_is_not_as_found_whatever_its_clock_says() -> None:
    after = replace(INSIDE, readings=("reading-001",))
    case = replace(WHOLE, steps=(LOOKED, OPENED, after))
    assert keys(case) == [
        ("picture_as_found_in_later_step", "picture-001"),
        ("reading_as_found_in_later_step", "reading-001"),
    ]
    assert "step-003" in custody_remarks(case)[0].what
    earlier = replace(after, id="step-003", when="2026-05-04T13:00+02:00")
    assert keys(replace(WHOLE, steps=(LOOKED, OPENED, earlier))) == [("step_before_last", "step-003")]


def test_the_place_of_keeping_is_asked_for_the_unit_only() -> None:
    case = replace(WHOLE, items=(replace(UNIT, kind=ItemKind.CORD),), custody=Custody())
    assert keys(case) == []
    assert keys(replace(WHOLE, custody=Custody())) == [("kept_at_behind", "custody.kept_at")]


def test_a_publication_is_not_judged() -> None:
    assert custody_remarks(replace(Case(id="C-1"), published_from="1" * 64)) == ()


def test_the_order_of_pictures_changes_no_remark() -> None:
    case, _ = BROKEN["picture_as_found_after_opening"]
    every = {tuple(sorted(keys(replace(case, pictures=order)))) for order in permutations(case.pictures)}
    assert len(every) == 1


TEXTS = st.sampled_from(
    ["", " ", "x", "{item}", "R. Oakes", "2026-05-06T10:00Z", "0001-01-01T00:00+23:59", "\u202e{0}"]
)
IDS = st.lists(st.sampled_from(["item-001", "picture-001", "reading-001", "gone"]), max_size=3).map(tuple)
ITEMS = st.builds(Item, id=st.sampled_from(["item-001", "item-002"]), label=TEXTS, place=TEXTS, pictures=IDS)
TRANSFERS = st.builds(
    Transfer, id=st.just("transfer-001"), items=IDS, giver=TEXTS, taker=TEXTS, when=TEXTS, picture=TEXTS, place=TEXTS
)
STEPS = st.builds(
    Step,
    id=st.sampled_from(["step-001", "step-002"]),
    when=TEXTS,
    effect=st.sampled_from(StepEffect),
    opens=st.booleans(),
    items=IDS,
    pictures=IDS,
    readings=IDS,
)


@given(
    items=st.lists(ITEMS, max_size=2).map(tuple),
    transfers=st.lists(TRANSFERS, max_size=3).map(tuple),
    steps=st.lists(STEPS, max_size=3).map(tuple),
    claimed=TEXTS,
)
@settings(derandomize=True, deadline=None, max_examples=150)
def test_any_record_gets_remarks_that_can_be_said(
    items: tuple[Item, ...], transfers: tuple[Transfer, ...], steps: tuple[Step, ...], claimed: str
) -> None:
    case = replace(WHOLE, items=items, transfers=transfers, steps=steps, pictures=(picture("picture-001", claimed),))
    for remark in custody_remarks(case):
        assert remark.key in KINDS
        assert remark.link
        assert remark.what
        assert remark.remedy

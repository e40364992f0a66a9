"""Edits are pure: a new case comes out, the old one stays the very same object and value."""

from collections.abc import Callable
from dataclasses import FrozenInstanceError, fields, replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.case import edits
from hazardreport.case.attachment import Attachment
from hazardreport.case.case import Case
from hazardreport.case.circumstances import (
    Answer,
    CautionShown,
    Competence,
    Consents,
    Custody,
    Finding,
    FindingAnswer,
    Household,
    Occurrence,
    Submitter,
)
from hazardreport.case.confirmation import TableConfirmation
from hazardreport.case.custody import Anchor, AnchorKind, Item, ItemKind, Step, StepEffect, Transfer
from hazardreport.case.exposure import OwnExposure
from hazardreport.case.letter import Letter, LetterKind
from hazardreport.case.picture import Cover, Mark, MarkKind, Picture, Placement, Point, PointRole, Recognisable
from hazardreport.case.reading import Instrument, Quantity, Reading
from hazardreport.case.requirement import RequirementAnswer
from hazardreport.case.scenario import HarmFactors, Scenario
from hazardreport.case.situation import Situation, Territory
from hazardreport.case.stated import not_applicable, unknown, value
from hazardreport.case.unit import ConformityMark, Unit
from hazardreport.case.upkeep import Kept, Knowing, Upkeep
from hazardreport.case.wiring import Wiring
from hazardreport.errors import NoSuchRecordError


def picture(id: str, **more: Any) -> Picture:
    return Picture(
        id=id,
        file=f"{id}.jpg",
        original_name="a.jpg",
        media_type="image/jpeg",
        sha256="0" * 64,
        size=1,
        width=100,
        height=80,
        **more,
    )


def reading(id: str, typed: str = "5 V") -> Reading:
    return Reading(id=id, first="A", second="B", quantity=Quantity.VOLTAGE, typed=typed)


def mark(id: str) -> Mark:
    return Mark(id=id, kind=MarkKind.ARROW, vertices=((0.0, 0.0), (1.0, 1.0)))


def cover(id: str, **more: Any) -> Cover:
    return Cover(id=id, left=1.0, top=2.0, right=30.0, bottom=40.0, **more)


def attachment(id: str, **more: Any) -> Attachment:
    return Attachment(
        id=id, file=f"{id}.pdf", original_name="a.pdf", media_type="application/pdf", sha256="1" * 64, size=1, **more
    )


CASE = Case(
    id="C-1",
    points=(Point(letter="A"), Point(letter="B", role=PointRole.EARTH)),
    pictures=(
        picture("picture-001", placements=(Placement(letter="A", x=1.0, y=2.0),), marks=(mark("mark-001"),)),
        picture("picture-002", covers=(cover("cover-001"),), recognisable=Recognisable.NO),
    ),
    instruments=(Instrument(id="instrument-001", name="meter"),),
    readings=(reading("reading-001"), reading("reading-002")),
    findings=(Finding(id="finding-001", text="no earth"),),
    exposures=(OwnExposure(id="exposure-001"),),
    attachments=(attachment("attachment-001"),),
    items=(Item(id="item-001"),),
    transfers=(Transfer(id="transfer-001", items=("item-001",)),),
    steps=(Step(id="step-001"),),
    conformity_marks=(ConformityMark(id="conformity-mark-001"),),
    requirements=(RequirementAnswer(id="earth-contact", answer=FindingAnswer.SEEN),),
    scenarios=(Scenario(id="scenario-001"),),
    confirmations=(TableConfirmation(id="confirmation-001", table="iec-60335-1-2001/clause-27-5"),),
    letters=(Letter(id="letter-001"),),
)

COMPETENCE = Competence(name="Kim", qualification="electrician", permitted="workshop", stated="2026-05-04")
CAUTION = CautionShown(caution="second-person", test="t", by="Kim", when="2026-05-04")
LABELLED = replace(mark("mark-001"), text="here")
ANCHOR = Anchor(id="anchor-001", kind=AnchorKind.SENT, revision=3, head="2" * 64, whom="market surveillance")

NO_EARTH_CONTACT = RequirementAnswer(id="earth-contact", answer=FindingAnswer.NOT_SEEN)

ALL_EDITS: dict[str, Callable[[Case], Case]] = {
    "set_title": lambda case: edits.set_title(case, "x"),
    "choose_addressee": lambda case: edits.choose_addressee(case, "x"),
    "set_unit": lambda case: edits.set_unit(case, Unit(brand=value("x"))),
    "set_unit_field": lambda case: edits.set_unit_field(case, "brand", unknown("scratched")),
    "set_wiring": lambda case: edits.set_wiring(case, Wiring(cord_cores=3)),
    "set_household": lambda case: edits.set_household(case, Household(children=Answer.YES)),
    "set_occurrence": lambda case: edits.set_occurrence(case, Occurrence(date=value("May"))),
    "set_submitter": lambda case: edits.set_submitter(case, Submitter(country=value("x"))),
    "set_consents": lambda case: edits.set_consents(case, Consents(publish=Answer.NO)),
    "set_custody": lambda case: edits.set_custody(case, Custody(kept_at=value("shelf"))),
    "state_competence": lambda case: edits.state_competence(case, COMPETENCE),
    "record_caution": lambda case: edits.record_caution(case, CAUTION),
    "state_absence": lambda case: edits.state_absence(case, "pictures", "unit is gone"),
    "add_point": lambda case: edits.add_point(case, Point(letter="C")),
    "change_point": lambda case: edits.change_point(case, Point(letter="A", description="rim")),
    "remove_point": lambda case: edits.remove_point(case, "A"),
    "add_picture": lambda case: edits.add_picture(case, picture("picture-003")),
    "change_picture": lambda case: edits.change_picture(case, picture("picture-001", caption="plate")),
    "remove_picture": lambda case: edits.remove_picture(case, "picture-001"),
    "place_point": lambda case: edits.place_point(case, "picture-002", Placement(letter="A", x=3.0, y=4.0)),
    "take_point_off": lambda case: edits.take_point_off(case, "picture-001", "A"),
    "add_mark": lambda case: edits.add_mark(case, "picture-002", mark("mark-002")),
    "change_mark": lambda case: edits.change_mark(case, "picture-001", LABELLED),
    "remove_mark": lambda case: edits.remove_mark(case, "picture-001", "mark-001"),
    "add_instrument": lambda case: edits.add_instrument(case, Instrument(id="instrument-002")),
    "change_instrument": lambda case: edits.change_instrument(case, Instrument(id="instrument-001", serial="7")),
    "remove_instrument": lambda case: edits.remove_instrument(case, "instrument-001"),
    "add_reading": lambda case: edits.add_reading(case, reading("reading-003")),
    "add_readings": lambda case: edits.add_readings(case, (reading("reading-003"), reading("reading-004"))),
    "change_reading": lambda case: edits.change_reading(case, reading("reading-001", "6 V")),
    "remove_reading": lambda case: edits.remove_reading(case, "reading-001"),
    "add_finding": lambda case: edits.add_finding(case, Finding(id="finding-002", text="x")),
    "change_finding": lambda case: edits.change_finding(case, Finding(id="finding-001", text="x")),
    "remove_finding": lambda case: edits.remove_finding(case, "finding-001"),
    "add_exposure": lambda case: edits.add_exposure(case, OwnExposure(id="exposure-002")),
    "change_exposure": lambda case: edits.change_exposure(case, OwnExposure(id="exposure-001", percentile=5)),
    "remove_exposure": lambda case: edits.remove_exposure(case, "exposure-001"),
    "add_cover": lambda case: edits.add_cover(case, "picture-001", cover("cover-002")),
    "change_cover": lambda case: edits.change_cover(case, "picture-002", cover("cover-001", reason="face")),
    "remove_cover": lambda case: edits.remove_cover(case, "picture-002", "cover-001"),
    "add_attachment": lambda case: edits.add_attachment(case, attachment("attachment-002")),
    "change_attachment": lambda case: edits.change_attachment(case, attachment("attachment-001", caption="receipt")),
    "remove_attachment": lambda case: edits.remove_attachment(case, "attachment-001"),
    "add_item": lambda case: edits.add_item(case, Item(id="item-002", kind=ItemKind.CORD)),
    "change_item": lambda case: edits.change_item(case, Item(id="item-001", label="seal 7")),
    "remove_item": lambda case: edits.remove_item(case, "item-001"),
    "add_transfer": lambda case: edits.add_transfer(case, Transfer(id="transfer-002")),
    "change_transfer": lambda case: edits.change_transfer(case, Transfer(id="transfer-001", seal_whole=Answer.YES)),
    "remove_transfer": lambda case: edits.remove_transfer(case, "transfer-001"),
    "add_step": lambda case: edits.add_step(case, Step(id="step-002")),
    "change_step": lambda case: edits.change_step(case, Step(id="step-001", effect=StepEffect.DESTRUCTIVE)),
    "remove_step": lambda case: edits.remove_step(case, "step-001"),
    "record_anchor": lambda case: edits.record_anchor(case, ANCHOR),
    "set_situation": lambda case: edits.set_situation(case, Situation(residence=Territory.EU)),
    "set_upkeep": lambda case: edits.set_upkeep(case, Upkeep(cord=Kept(known=Knowing.SEEN))),
    "set_harm_factors": lambda case: edits.set_harm_factors(case, HarmFactors(pattern=value("each unit of the lot"))),
    "answer_requirement": lambda case: edits.answer_requirement(case, NO_EARTH_CONTACT),
    "take_answer_back": lambda case: edits.take_answer_back(case, "earth-contact"),
    "add_conformity_mark": lambda case: edits.add_conformity_mark(case, ConformityMark(id="conformity-mark-002")),
    "change_conformity_mark": lambda case: edits.change_conformity_mark(
        case, ConformityMark(id="conformity-mark-001", holder="x")
    ),
    "remove_conformity_mark": lambda case: edits.remove_conformity_mark(case, "conformity-mark-001"),
    "add_scenario": lambda case: edits.add_scenario(case, Scenario(id="scenario-002")),
    "change_scenario": lambda case: edits.change_scenario(case, Scenario(id="scenario-001", severity=4)),
    "remove_scenario": lambda case: edits.remove_scenario(case, "scenario-001"),
    "add_confirmation": lambda case: edits.add_confirmation(case, TableConfirmation(id="confirmation-002", table="x")),
    "change_confirmation": lambda case: edits.change_confirmation(
        case, TableConfirmation(id="confirmation-001", table="iec-60335-1-2001/clause-27-5", page="88")
    ),
    "remove_confirmation": lambda case: edits.remove_confirmation(case, "confirmation-001"),
    "add_letter": lambda case: edits.add_letter(case, Letter(id="letter-002")),
    "change_letter": lambda case: edits.change_letter(case, Letter(id="letter-001", kind=LetterKind.ANSWER)),
    "remove_letter": lambda case: edits.remove_letter(case, "letter-001"),
    "set_private_words": lambda case: edits.set_private_words(case, ("Sander",)),
}


def test_every_edit_is_tried_here() -> None:
    offered = {
        name
        for name, one in vars(edits).items()
        if callable(one)
        and getattr(one, "__module__", "") == edits.__name__
        and not name.startswith("_")
        and one.__annotations__.get("return") is Case
    }
    assert offered == set(ALL_EDITS)


@pytest.mark.parametrize("name", ALL_EDITS)
def test_an_edit_makes_another_case_and_leaves_the_old_one(name: str) -> None:
    before = {field.name: getattr(CASE, field.name) for field in fields(CASE)}

    changed = ALL_EDITS[name](CASE)

    assert changed != CASE
    assert all(getattr(CASE, field) is old for field, old in before.items())
    assert changed == ALL_EDITS[name](CASE)


@pytest.mark.parametrize("name", ALL_EDITS)
def test_an_edit_keeps_every_record_that_it_does_not_concern(name: str) -> None:
    changed = ALL_EDITS[name](CASE)
    kept = [field.name for field in fields(Case) if getattr(changed, field.name) is getattr(CASE, field.name)]
    assert len(kept) >= len(fields(Case)) - 2


@given(names=st.lists(st.sampled_from(sorted(ALL_EDITS)), max_size=12))
@settings(derandomize=True, deadline=None, max_examples=100)
def test_undo_gives_the_very_same_case(names: list[str]) -> None:
    """Undo keeps the case before each edit, as the window does; no edit may have touched it."""
    present, stack = CASE, []
    for name in names:
        try:
            changed = ALL_EDITS[name](present)
        except NoSuchRecordError:
            continue
        stack.append((present, hash(present)))
        present = changed
    while stack:
        present, fingerprint = stack.pop()
        assert hash(present) == fingerprint
    assert present is CASE


READINGS = st.builds(reading, st.from_regex(r"reading-[1-9]\d\d", fullmatch=True), st.text(max_size=5))
PICTURES = st.builds(picture, st.from_regex(r"picture-[1-9]\d\d", fullmatch=True))
INSTRUMENTS = st.builds(Instrument, id=st.from_regex(r"instrument-[1-9]\d\d", fullmatch=True), name=st.text(max_size=5))
FINDINGS = st.builds(Finding, id=st.from_regex(r"finding-[1-9]\d\d", fullmatch=True), text=st.text(max_size=5))
MARKS = st.builds(mark, st.from_regex(r"mark-[1-9]\d\d", fullmatch=True))
COVERS = st.builds(cover, st.from_regex(r"cover-[1-9]\d\d", fullmatch=True), reason=st.text(max_size=5))
ATTACHMENTS = st.builds(attachment, st.from_regex(r"attachment-[1-9]\d\d", fullmatch=True))
ITEMS = st.builds(Item, id=st.from_regex(r"item-[1-9]\d\d", fullmatch=True), label=st.text(max_size=5))
TRANSFERS = st.builds(Transfer, id=st.from_regex(r"transfer-[1-9]\d\d", fullmatch=True), giver=st.text(max_size=5))
STEPS = st.builds(Step, id=st.from_regex(r"step-[1-9]\d\d", fullmatch=True), what=st.text(max_size=5))
LETTERS = st.sampled_from(["C", "D", "Z", "AA"])


@given(one=ATTACHMENTS, other=ITEMS, third=TRANSFERS, fourth=STEPS, fifth=COVERS)
@settings(derandomize=True, deadline=None, max_examples=60)
def test_taking_away_what_custody_was_given_gives_the_case_before(
    one: Attachment, other: Item, third: Transfer, fourth: Step, fifth: Cover
) -> None:
    assert edits.remove_attachment(edits.add_attachment(CASE, one), one.id) == CASE
    assert edits.remove_item(edits.add_item(CASE, other), other.id) == CASE
    assert edits.remove_transfer(edits.add_transfer(CASE, third), third.id) == CASE
    assert edits.remove_step(edits.add_step(CASE, fourth), fourth.id) == CASE
    assert edits.remove_cover(edits.add_cover(CASE, "picture-001", fifth), "picture-001", fifth.id) == CASE
    assert edits.set_private_words(edits.set_private_words(CASE, ("x",)), ()) == CASE


@given(one=READINGS, other=PICTURES, third=INSTRUMENTS, fourth=FINDINGS, fifth=MARKS, letter=LETTERS)
@settings(derandomize=True, deadline=None, max_examples=60)
def test_taking_away_what_was_added_gives_the_case_before(
    one: Reading, other: Picture, third: Instrument, fourth: Finding, fifth: Mark, letter: str
) -> None:
    assert edits.remove_reading(edits.add_reading(CASE, one), one.id) == CASE
    assert edits.remove_picture(edits.add_picture(CASE, other), other.id) == CASE
    assert edits.remove_instrument(edits.add_instrument(CASE, third), third.id) == CASE
    assert edits.remove_finding(edits.add_finding(CASE, fourth), fourth.id) == CASE
    assert edits.remove_mark(edits.add_mark(CASE, "picture-002", fifth), "picture-002", fifth.id) == CASE
    placed = edits.place_point(CASE, "picture-002", Placement(letter=letter, x=1.0, y=1.0))
    assert edits.remove_point(placed, letter) == CASE
    assert edits.state_absence(edits.state_absence(CASE, "pictures", "gone"), "pictures", " ") == CASE


@given(typed=st.text(max_size=8), caption=st.text(max_size=8), brand=st.text(min_size=1, max_size=8))
@settings(derandomize=True, deadline=None, max_examples=60)
def test_changing_back_gives_the_case_before(typed: str, caption: str, brand: str) -> None:
    first, plate = CASE.readings[0], CASE.pictures[0]
    assert edits.change_reading(edits.change_reading(CASE, replace(first, typed=typed)), first) == CASE
    assert edits.change_picture(edits.change_picture(CASE, replace(plate, caption=caption)), plate) == CASE
    assert edits.set_unit_field(edits.set_unit_field(CASE, "brand", value(brand)), "brand", CASE.unit.brand) == CASE


@pytest.mark.parametrize(
    "edit",
    [
        lambda: edits.change_reading(CASE, reading("reading-009")),
        lambda: edits.remove_reading(CASE, "reading-009"),
        lambda: edits.change_picture(CASE, picture("picture-009")),
        lambda: edits.remove_picture(CASE, "picture-009"),
        lambda: edits.change_point(CASE, Point(letter="Q")),
        lambda: edits.remove_point(CASE, "Q"),
        lambda: edits.place_point(CASE, "picture-009", Placement(letter="A", x=0.0, y=0.0)),
        lambda: edits.take_point_off(CASE, "picture-009", "A"),
        lambda: edits.change_mark(CASE, "picture-001", mark("mark-009")),
        lambda: edits.remove_mark(CASE, "picture-001", "mark-009"),
        lambda: edits.change_instrument(CASE, Instrument(id="instrument-009")),
        lambda: edits.remove_instrument(CASE, "instrument-009"),
        lambda: edits.change_finding(CASE, Finding(id="finding-009", text="")),
        lambda: edits.remove_finding(CASE, "finding-009"),
        lambda: edits.set_unit_field(CASE, "colour", value("red")),
        lambda: edits.add_cover(CASE, "picture-009", cover("cover-009")),
        lambda: edits.change_cover(CASE, "picture-002", cover("cover-009")),
        lambda: edits.remove_cover(CASE, "picture-002", "cover-009"),
        lambda: edits.change_attachment(CASE, attachment("attachment-009")),
        lambda: edits.remove_attachment(CASE, "attachment-009"),
        lambda: edits.change_item(CASE, Item(id="item-009")),
        lambda: edits.remove_item(CASE, "item-009"),
        lambda: edits.change_transfer(CASE, Transfer(id="transfer-009")),
        lambda: edits.remove_transfer(CASE, "transfer-009"),
        lambda: edits.change_step(CASE, Step(id="step-009")),
        lambda: edits.remove_step(CASE, "step-009"),
    ],
)
def test_an_edit_of_a_record_that_is_not_there_says_so(edit: Callable[[], Case]) -> None:
    with pytest.raises(NoSuchRecordError):
        edit()


def test_a_removed_point_leaves_the_pictures_but_not_the_readings() -> None:
    changed = edits.remove_point(CASE, "A")
    assert changed.point("A") is None
    assert changed.pictures[0].placements == ()
    assert changed.pictures[1] is CASE.pictures[1]
    assert changed.readings is CASE.readings


def test_a_point_stands_once_on_a_picture_and_may_stand_on_several() -> None:
    moved = edits.place_point(CASE, "picture-001", Placement(letter="A", x=9.0, y=9.0))
    assert moved.pictures[0].placements == (Placement(letter="A", x=9.0, y=9.0),)
    both = edits.place_point(moved, "picture-002", Placement(letter="A", x=5.0, y=5.0))
    assert [len(one.placements) for one in both.pictures] == [1, 1]
    assert both.points is CASE.points


def test_placing_an_unknown_letter_makes_the_point() -> None:
    placed = edits.place_point(CASE, "picture-002", Placement(letter="C", x=5.0, y=5.0))
    assert placed.point("C") == Point(letter="C")


def test_a_picture_that_lost_a_cover_must_be_looked_at_again() -> None:
    changed = edits.remove_cover(CASE, "picture-002", "cover-001").pictures[1]
    assert (changed.covers, changed.recognisable) == ((), Recognisable.OPEN)
    moved = edits.change_cover(CASE, "picture-002", cover("cover-001", reason="face")).pictures[1]
    assert moved.covers[0].reason == "face"


def test_anchors_only_grow() -> None:
    twice = edits.record_anchor(edits.record_anchor(CASE, ANCHOR), replace(ANCHOR, id="anchor-002"))
    assert twice.anchors == (ANCHOR, replace(ANCHOR, id="anchor-002"))
    assert not any("anchor" in name and name != "record_anchor" for name in ALL_EDITS)


def test_private_words_are_kept_once_and_without_blanks() -> None:
    assert edits.set_private_words(CASE, (" Kim ", "", "Kim", "Oak Lane 3", "\t")).private_words == (
        "Kim",
        "Oak Lane 3",
    )


def test_a_caution_answered_again_replaces_its_answer() -> None:
    kept = replace(CAUTION, kept=Answer.YES)
    assert edits.record_caution(edits.record_caution(CASE, CAUTION), kept).cautions == (kept,)


def test_ids_are_the_next_free_number() -> None:
    assert edits.next_id("picture", ()) == "picture-001"
    assert edits.next_id("picture", ("picture-001", "picture-007", "plate")) == "picture-008"
    assert edits.next_id("picture", ("picture-999",)) == "picture-1000"


@pytest.mark.parametrize(("count", "letter"), [(0, "A"), (25, "Z"), (26, "AA"), (51, "AZ"), (52, "BA"), (702, "AAA")])
def test_letters_go_on_after_z(count: int, letter: str) -> None:
    points: list[Point] = []
    for _ in range(count):
        points.append(Point(letter=edits.next_letter(points)))
    assert edits.next_letter(points) == letter


def test_a_letter_that_became_free_is_given_again() -> None:
    assert edits.next_letter((Point(letter="A"), Point(letter="C"))) == "B"


def test_records_cannot_be_changed_in_place() -> None:
    with pytest.raises(FrozenInstanceError):
        CASE.title = "x"  # type: ignore[misc]


def test_a_field_says_what_it_is_or_why_not() -> None:
    assert value("x").answered
    assert not value("  ").answered
    assert unknown("scratched").answered
    assert not unknown(" ").answered
    assert not_applicable("made here").answered

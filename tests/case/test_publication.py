"""A publication holds nothing that identifies a person, and everything else as it was."""

from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from enum import Enum
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hazardreport.case.attachment import Attachment
from hazardreport.case.case import Case
from hazardreport.case.circumstances import CautionShown, Competence, Finding, Occurrence, Submitter
from hazardreport.case.confirmation import TableConfirmation
from hazardreport.case.custody import Anchor, AnchorKind, Item, Step, Transfer
from hazardreport.case.letter import Letter
from hazardreport.case.personal import PERSONAL
from hazardreport.case.picture import Mark, MarkKind, Picture, Placement, Point, Recognisable
from hazardreport.case.publication import Why, Withheld, published
from hazardreport.case.publication_places import CLAIMED, IDS, KEPT, LINKS
from hazardreport.case.reading import Instrument, Quantity, Reading
from hazardreport.case.scenario import HarmFactors
from hazardreport.case.stated import Standing, Stated, unknown, value
from hazardreport.case.unit import Unit
from hazardreport.wording import sentence
from tests.case.planted_words import planted, texts
from tests.case.test_personal import text_places
from tests.storage.generated_cases import records

HEAD = "ab" * 32
WITHHELD = "[withheld]"
PLANTED = "Quandtfeld"
REASON = sentence("publication.reason")


def picture(number: int, recognisable: Recognisable = Recognisable.NO, **more: Any) -> Picture:
    return Picture(
        id=f"picture-{number:03d}",
        file=f"picture-{number:03d}.png",
        original_name="Ottilies kitchen.png",
        media_type="image/png",
        sha256=f"{number:064x}",
        size=4,
        width=40,
        height=30,
        recognisable=recognisable,
        **more,
    )


def reading(**more: Any) -> Reading:
    fixed = {"id": "reading-001", "first": "A", "second": "B", "quantity": Quantity.VOLTAGE, "typed": "230 V"}
    return Reading(**(fixed | more))


def numbers_and_choices(value: object) -> Iterator[object]:
    if isinstance(value, Enum) or value is None or isinstance(value, bool | int | float):
        yield value
    elif isinstance(value, tuple):
        for item in value:
            yield from numbers_and_choices(item)
    elif is_dataclass(value):
        for field in fields(value):
            yield from numbers_and_choices(getattr(value, field.name))


QUIET = settings(
    derandomize=True,
    deadline=None,
    max_examples=40,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
CASES = records(Case)


@QUIET
@given(CASES, st.sampled_from(["words", "name"]))
def test_no_planted_word_is_left_anywhere(case: Case, by: str) -> None:
    """The word stands in every text; it is known from the private words, or only from the name of the submitter."""
    case = planted(case, "", PLANTED)
    told = Submitter(last_name=value(PLANTED)) if by == "name" else case.submitter
    case = replace(case, submitter=told, private_words=(PLANTED,) if by == "words" else ())
    found = published(case, HEAD).case
    assert [place for place, text in texts(found) if PLANTED.casefold() in text.casefold()] == []


def test_the_planted_words_are_there_before() -> None:
    case = planted(Case(id="a", readings=(reading(),), pictures=(picture(1),)), "", PLANTED)
    hit = {place for place, text in texts(case) if PLANTED.casefold() in text.casefold()}
    assert {"title", "unit.brand.text", "unit.brand.reason", "readings[].typed", "pictures[].caption"} <= hit


@QUIET
@given(CASES)
def test_publishing_again_gives_the_same(case: Case) -> None:
    once = published(case, HEAD)
    again = published(once.case, HEAD)
    assert again.case == once.case
    assert again.withheld == ()
    assert again.replaced == ()


@QUIET
@given(CASES)
def test_what_holds_no_word_stays_as_it_was(case: Case) -> None:
    """Without personal texts nothing is known to look for: ids, numbers, states and typed values are the same."""
    found = published(case, HEAD).case
    kept = [one for one in case.pictures if one.recognisable is Recognisable.NO]
    assert [one.id for one in found.pictures] == [one.id for one in kept] or _names_its_words(case)
    assert list(numbers_and_choices(found.wiring)) == list(numbers_and_choices(case.wiring))
    assert list(numbers_and_choices(found.readings)) == list(numbers_and_choices(case.readings))
    assert list(numbers_and_choices(found.exposures)) == list(numbers_and_choices(case.exposures))
    assert found.consents.publish is case.consents.publish
    if not _names_its_words(case):
        assert [one.typed for one in found.readings] == [one.typed for one in case.readings]
        assert [one.id for one in found.readings] == [one.id for one in case.readings]
        assert found.title == case.title
        assert found.id == case.id


def _names_its_words(case: Case) -> bool:
    """Whether any text of the case is personal, so that words of it are looked for in the others."""
    personal = any(
        place.removesuffix(".text").removesuffix(".reason") in PERSONAL and text for place, text in texts(case)
    )
    return (
        personal
        or any(getattr(case.unit, one.name).private for one in fields(Unit))
        or any(
            stated.private
            for record in (case.household, case.occurrence, case.submitter, case.custody)
            for one in fields(record)
            if isinstance(stated := getattr(record, one.name), Stated)
        )
    )


@pytest.mark.parametrize("place", sorted(PERSONAL))
def test_of_each_personal_field_nothing_is_left(place: str) -> None:
    case = planted(FULL, "", PLANTED)
    assert any(one.removesuffix(".text").removesuffix(".reason") == place and text for one, text in texts(case))
    found = published(case, HEAD).case
    left = {text for one, text in texts(found) if one.removesuffix(".text").removesuffix(".reason") == place}
    assert left <= {"", REASON, WITHHELD}


def test_every_place_that_a_publication_treats_is_a_text_of_the_record() -> None:
    places = set(text_places(Case))
    assert {*LINKS, *IDS, *KEPT, *CLAIMED} <= places
    assert not (KEPT | LINKS.keys() | IDS.keys()) & PERSONAL.keys()


FULL = Case(
    id="HR-1",
    title="Wax pot of Ottilie Quandt",
    unit=Unit(
        serial=replace(value("SN-40417733", picture="picture-001"), private=True),
        brand=value("Lumenta", picture="picture-002"),
    ),
    occurrence=Occurrence(
        contacts=value("told the seller"), narrative=value("Quandts pot, SN 40417733"), injured_person=value("aged 9")
    ),
    harm_factors=HarmFactors(assessor=value("W. Urteil")),
    submitter=Submitter(
        guardian=value("V. Vormund"),
        first_name=value("Ottilie"),
        last_name=value("Quandt"),
        address=value("Birkenweg 9"),
        email=value("o@q.example"),
        phone=value("0221 5550147"),
    ),
    competence=Competence(name="T. Musterhaft", qualification="trained", permitted="at the club", stated="2026-05-12"),
    points=(Point(letter="A", description="rim, seen by Musterhaft"), Point(letter="B")),
    pictures=(
        picture(1, placements=(Placement(letter="A", x=3.0, y=4.0),), camera="Ottilies phone", has_position=True),
        picture(2, Recognisable.YES),
        picture(3, Recognisable.OPEN, illustration=True),
    ),
    instruments=(Instrument(id="quandt-meter", name="meter"),),
    readings=(
        reading(by="T. Musterhaft", picture="picture-002", instrument="quandt-meter", note="steady"),
        reading(id="reading-002", by="R. Oakes", picture="picture-001", typed="12.5 V"),
    ),
    findings=(Finding(id="finding-001", text="burnt", pictures=("picture-001", "picture-002", "picture-003")),),
    cautions=(CautionShown(caution="plug_out", test="photograph", by="T. Musterhaft", when="2026-05-12"),),
    attachments=(
        Attachment(
            id="attachment-001",
            file="attachment-001.pdf",
            original_name="Quandt.pdf",
            media_type="application/pdf",
            sha256="c" * 64,
            size=1,
            still="picture-001",
        ),
    ),
    items=(Item(id="item-001", description="pot", place="Birkenweg 9, shelf", pictures=("picture-002",)),),
    transfers=(
        Transfer(
            id="transfer-001", items=("item-001",), giver="R. Oakes", taker="Q", place="club", picture="picture-001"
        ),
    ),
    steps=(
        Step(id="step-001", what="opened", by="R. Oakes", informed="Quandt by telephone", pictures=("picture-003",)),
    ),
    anchors=(
        Anchor(
            id="anchor-001", kind=AnchorKind.SENT, revision=3, head="d" * 64, whom="Quandt", attachment="attachment-001"
        ),
    ),
    private_words=("Lindner",),
    confirmations=(
        TableConfirmation(id="confirmation-001", table="own/one", name="Z. Anders", second_reader="Y. Blank"),
    ),
    letters=(Letter(id="letter-001", person="X. Amt", attachments=("attachment-001",), text="came in"),),
)


def test_a_case_that_has_everything() -> None:
    found = published(FULL, HEAD)
    case, lost = found.case, sentence("publication.reference_lost")
    assert case.published_from == HEAD
    assert case.title == f"Wax pot of {WITHHELD}"
    assert case.unit.serial == unknown(REASON)
    assert case.unit.brand == value("Lumenta")
    assert case.occurrence.narrative.text == f"{WITHHELD} pot, {WITHHELD}"
    assert case.competence is None
    assert case.points[0].description == f"rim, seen by {WITHHELD}"
    assert [one.id for one in case.pictures] == ["picture-001"]
    assert case.pictures[0].file == "picture-001.jpg"
    assert (case.pictures[0].camera, case.pictures[0].has_position, case.pictures[0].original_name) == ("", False, "")
    assert case.pictures[0].placements == FULL.pictures[0].placements
    assert [one.id for one in case.instruments] == ["instrument-001"]
    assert [one.instrument for one in case.readings] == ["instrument-001", ""]
    assert [one.picture for one in case.readings] == ["", "picture-001"]
    assert [one.note for one in case.readings] == [f"steady {lost}", ""]
    assert [one.typed for one in case.readings] == ["230 V", "12.5 V"]
    assert [one.by for one in case.readings] == [WITHHELD, WITHHELD]
    assert case.findings[0].pictures == ("picture-001",)
    assert case.findings[0].text == f"burnt {lost}"
    assert case.items[0].pictures == ()
    assert case.transfers[0].items == ("item-001",)
    assert case.transfers[0].picture == "picture-001"
    assert case.transfers[0].purpose == ""
    assert case.steps[0].what == f"opened {lost}"
    assert case.anchors[0].attachment == ""
    assert (case.anchors[0].revision, case.anchors[0].head, case.anchors[0].whom) == (3, "d" * 64, WITHHELD)
    assert case.attachments == ()
    assert case.private_words == ()
    assert case.absences == ()


def test_what_was_left_out_is_told_with_place_and_reason() -> None:
    found = published(FULL, HEAD)
    assert Withheld(place="pictures[picture-002]", why=Why.RECOGNISABLE, sha256=f"{2:064x}") in found.withheld
    assert Withheld(place="pictures[picture-003]", why=Why.NOT_LOOKED_AT, sha256=f"{3:064x}") in found.withheld
    assert Withheld(place="attachments[attachment-001]", why=Why.ATTACHMENT, sha256="c" * 64) in found.withheld
    assert Withheld(place="unit.serial", why=Why.PRIVATE, shown_on="picture-001") in found.withheld
    assert Withheld(place="instruments[quandt-meter].id", why=Why.ID) in found.withheld
    assert Withheld(place="readings[reading-001].picture", why=Why.REFERENCE) in found.withheld
    assert Withheld(place="readings[reading-002].by", why=Why.PERSONAL) in found.withheld
    assert Withheld(place="pictures[picture-001].camera", why=Why.CLAIM) in found.withheld
    assert {one.place: one.count for one in found.replaced} == {
        "title": 1,
        "occurrence.narrative": 2,
        "points[A].description": 1,
    }
    assert [one.id for one in found.originals] == ["picture-001"]


def test_a_case_without_published_pictures_says_why() -> None:
    case = Case(id="a", pictures=(picture(1, Recognisable.OPEN),))
    assert published(case, HEAD).case.absence("pictures") == sentence("publication.no_pictures")
    assert published(Case(id="a"), HEAD).case.absence("pictures") == ""


def test_an_open_personal_field_stays_open_and_one_without_value_tells_no_reason() -> None:
    case = Case(id="a", submitter=Submitter(email=unknown("Ottilie has none"), country=value("Germany")))
    submitter = published(case, HEAD).case.submitter
    assert submitter.email == unknown(REASON)
    assert submitter.phone == Stated()
    assert submitter.country.standing is Standing.VALUE


def test_pictures_whose_ids_make_no_file_names_get_free_ones() -> None:
    odd = replace(picture(1), id="my picture")
    case = Case(id="a", pictures=(odd, picture(2), replace(picture(3), id="picture-002")))
    assert [one.file for one in published(case, HEAD).case.pictures] == [
        "picture-003.jpg",
        "picture-002.jpg",
        "picture-004.jpg",
    ]


def test_a_letter_of_a_point_that_holds_a_word_gets_another_everywhere() -> None:
    marks = (Mark(id="mark-Quandt", kind=MarkKind.TEXT, vertices=(), text="Quandt"),)
    case = Case(
        id="a",
        private_words=("Quandt",),
        points=(Point(letter="Quandt"), Point(letter="A")),
        pictures=(picture(1, placements=(Placement(letter="Quandt", x=1.0, y=2.0),), marks=marks),),
        readings=(reading(first="Quandt", second="A"),),
    )
    found = published(case, HEAD).case
    assert [one.letter for one in found.points] == ["B", "A"]
    assert (found.readings[0].first, found.readings[0].second) == ("B", "A")
    assert found.pictures[0].placements[0].letter == "B"
    assert (found.pictures[0].marks[0].id, found.pictures[0].marks[0].text) == ("mark-001", WITHHELD)

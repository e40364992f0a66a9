"""A firm without the consent to get name and contact reads neither, wherever somebody wrote them."""

import re
from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from enum import Enum
from typing import Any

import pytest

from hazardreport.addressees.addressed import addressed, names_allowed
from hazardreport.addressees.form_text import AttachmentKind, form_text
from hazardreport.addressees.profiles import profile, profile_keys
from hazardreport.assess.assessment import assess
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, Competence
from hazardreport.case.custody import Item, Step, Transfer
from hazardreport.case.personal import FREE_TEXT, PERSONAL
from hazardreport.case.stated import Standing, Stated, value
from hazardreport.report.build import report_document
from hazardreport.report.context import RevisionLine
from hazardreport.report.pdf.draw import draw_pdf

CREATED = "2026-11-25T12:00:00+00:00"
FIRMS = tuple(key for key in profile_keys() if profile(key).contact_consent)
TOLD = "Johanna Quarzmann of Elm Lane 12, jq@ex.org, 0221 555-0147, for Ottilie Vandrell and Tilda"
PLANTED = ("johanna", "quarzmann", "elmlane", "jq@ex", "5550147", "ottilie", "vandrell", "tilda")
LOG = (RevisionLine(revision=1, time=CREATED, author="Johanna Quarzmann", changed=f"Note: {TOLD}", hash="ab" * 32),)


def planted(held: Any, place: str = "") -> Any:
    """The record with the words in every text that is written freely."""
    if isinstance(held, Stated):
        free = place in FREE_TEXT or place == "occurrence.contacts"
        if not free:
            return held
        if held.standing in (Standing.UNKNOWN, Standing.NOT_APPLICABLE):
            return replace(held, reason=f"{held.reason}, says {TOLD}")
        return replace(held, standing=Standing.VALUE, text=f"{held.text} says {TOLD}")
    if isinstance(held, str) and not isinstance(held, Enum):
        return f"{held} says {TOLD}" if place in FREE_TEXT else held
    if isinstance(held, tuple):
        return tuple(planted(item, f"{place}[]") for item in held)
    if is_dataclass(held) and not isinstance(held, type):
        changes = {
            field.name: planted(getattr(held, field.name), f"{place}.{field.name}" if place else field.name)
            for field in fields(held)
        }
        return replace(held, **changes)
    return held


def with_consent(case: Case, answer: Answer) -> Case:
    return replace(case, consents=replace(case.consents, contact_to_firm=answer))


@pytest.fixture(scope="module")
def told(full: Case) -> Case:
    submitter = replace(
        full.submitter,
        first_name=value("Johanna"),
        last_name=value("Quarzmann"),
        address=value("Elm Lane 12, Oldtown"),
        email=value("jq@ex.org"),
        phone=value("+49 221 5550147"),
        guardian=value("Ottilie Vandrell"),
    )
    case = replace(
        full,
        submitter=submitter,
        occurrence=replace(full.occurrence, injured_person=value("Tilda, 10 years")),
        custody=replace(full.custody, kept_at=value("Elm Lane 12, Oldtown")),
        competence=Competence(
            name="Johanna Quarzmann", qualification="electrician", permitted="Elm Lane 12", stated=CREATED
        ),
        items=(*full.items, Item(id="item-701", description="cord", place="Elm Lane 12")),
        transfers=(*full.transfers, Transfer(id="transfer-701", giver="Johanna Quarzmann", taker="A. Carrier")),
        steps=(*full.steps, Step(id="step-701", what="opened", by="Johanna Quarzmann", informed="Ottilie Vandrell")),
    )
    return with_consent(planted(case), Answer.NO)


@pytest.fixture(scope="module")
def assessed(told: Case) -> Assessment:
    return assess(told)


def squeezed(text: str) -> str:
    """Without blanks, hyphens and line breaks, so that a word broken over two lines is found."""
    return re.sub(r"[\s\-\u00ad\u2010\u2011\ufffe\u200b]", "", text).lower()


def found(text: str) -> list[str]:
    return [word for word in PLANTED if word in squeezed(text)]


def pdf_text(
    case: Case, assessment: Assessment, key: str, pictures: Callable[[str], bytes], pages_of: Callable[..., Any]
) -> str:
    document = report_document(case, assessment, profile(key), created=CREATED, log=LOG)
    return "\n".join(pages_of(draw_pdf(document, pictures)))


def test_makers_sellers_and_marketplaces_need_the_consent() -> None:
    assert {"us-maker", "eu-maker-notice", "seller", "eu-marketplace"} <= set(FIRMS)


@pytest.mark.parametrize("key", FIRMS)
def test_no_word_of_the_submitter_stands_in_a_report_to_a_firm(
    told: Case, assessed: Assessment, key: str, pictures: Callable[[str], bytes], pages_of: Callable[..., Any]
) -> None:
    text = pdf_text(told, assessed, key, pictures, pages_of)
    assert found(text) == []
    assert squeezed("are left out: where a word told who reports") in squeezed(text)
    assert found(repr(report_document(told, assessed, profile(key), created=CREATED, log=LOG))) == []


def test_with_the_consent_the_same_words_stand_there(
    told: Case, assessed: Assessment, pictures: Callable[[str], bytes], pages_of: Callable[..., Any]
) -> None:
    text = pdf_text(with_consent(told, Answer.YES), assessed, "eu-maker-notice", pictures, pages_of)
    assert found(text) == list(PLANTED)


@pytest.mark.parametrize("key", FIRMS)
def test_no_word_of_the_submitter_stands_in_text_to_enter(told: Case, assessed: Assessment, key: str) -> None:
    entered = form_text(told, profile(key), assessed)
    assert found(repr(entered)) == []
    assert any(entry.text and "left out of this text" in entry.note for entry in entered.entries)
    open_ = form_text(with_consent(told, Answer.YES), profile(key), assessed)
    assert set(PLANTED) <= set(found(repr(open_)))


def test_the_whole_pack_is_not_attached_for_such_a_firm(told: Case, assessed: Assessment) -> None:
    def kinds(case: Case) -> set[AttachmentKind]:
        return {one.kind for one in form_text(case, profile("eu-marketplace"), assessed).attachments}

    assert AttachmentKind.PACK not in kinds(told)
    assert AttachmentKind.PACK in kinds(with_consent(told, Answer.YES))
    told_so = form_text(told, profile("eu-marketplace"), assessed).withheld
    assert any("holds name and contact" in line for line in told_so)


@pytest.mark.parametrize("answer", [Answer.OPEN, Answer.UNKNOWN, Answer.NO])
def test_only_a_yes_is_a_consent(told: Case, answer: Answer) -> None:
    assert not names_allowed(with_consent(told, answer), profile("seller"))
    assert found(repr(addressed(with_consent(told, answer), profile("seller")))) == []


def test_an_authority_sees_the_case_as_it_is(told: Case) -> None:
    assert addressed(told, profile("eu-authority-record")) is told


def test_the_addressed_case_stays_as_it_is_when_it_is_addressed_again(told: Case) -> None:
    once = addressed(told, profile("seller"))
    assert addressed(once, profile("seller")) == once


def test_a_field_marked_as_private_is_withheld_and_its_text_found_elsewhere() -> None:
    case = Case(id="x")
    case = replace(
        case,
        unit=replace(case.unit, serial=replace(value("RG-77120"), private=True), condition=value("plate RG-77120")),
    )
    shown = addressed(case, profile("seller"))
    assert shown.unit.serial.standing is Standing.NOT_APPLICABLE
    assert shown.unit.condition.text == "plate [withheld]"


def test_what_a_firm_calls_itself_and_where_it_is_stays() -> None:
    case = Case(id="x")
    case = replace(
        case,
        submitter=replace(case.submitter, address=value("Elm Lane 12, Oldtown")),
        unit=replace(case.unit, seller_address=value("Market 3, Oldtown"), seller_contact=value("help@lumora.example")),
        occurrence=replace(
            case.occurrence,
            narrative=value("At home in Oldtown."),
            contacts=value("Mail from jq@ex.org to help@lumora.example"),
        ),
    )
    shown = addressed(case, profile("seller"))
    assert shown.unit == case.unit
    assert shown.occurrence.narrative.text == "At home in [withheld]."
    assert shown.occurrence.contacts.text == "Mail from [withheld] to help@lumora.example"


def test_where_the_unit_is_kept_is_told_on_request(told: Case) -> None:
    shown = addressed(told, profile("seller"))
    assert "on request" in shown.custody.kept_at.text
    assert {item.place for item in shown.items} <= {"place withheld", ""}


@pytest.mark.parametrize(
    ("hurt", "narrative", "shown"),
    [
        ("Tilda, 10 years", "Tilda felt it.", "[withheld] felt it."),
        ("Girl of 10", "A girl felt it.", "A girl felt it."),
        ("pupil Tilda Quarzmann", "TILDA felt it.", "[withheld] felt it."),
        ("Left-handed woman", "Her left hand.", "Her left hand."),
        ("nobody", "Nobody was hurt.", "Nobody was hurt."),
    ],
)
def test_names_of_the_person_hurt_are_found_and_common_words_stay(hurt: str, narrative: str, shown: str) -> None:
    case = Case(id="x")
    case = replace(case, occurrence=replace(case.occurrence, injured_person=value(hurt), narrative=value(narrative)))
    assert addressed(case, profile("seller")).occurrence.narrative.text == shown


def test_a_reason_for_an_absent_address_is_no_word() -> None:
    case = Case(id="x")
    case = replace(
        case,
        submitter=replace(case.submitter, phone=Stated(standing=Standing.UNKNOWN, reason="no answer")),
        occurrence=replace(case.occurrence, narrative=value("There was no answer.")),
    )
    assert addressed(case, profile("seller")).occurrence.narrative.text == "There was no answer."


def test_every_field_about_the_submitter_is_withheld() -> None:
    own = {place for place, person in PERSONAL.items() if person.value == "submitter"}
    assert own == {
        *(f"submitter.{name}" for name in ("first_name", "last_name", "address", "email", "phone", "guardian")),
        "occurrence.contacts",
    }

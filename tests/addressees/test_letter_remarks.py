"""What is odd about a letter is told, and the letter is kept as it was recorded."""

from dataclasses import replace
from datetime import date

import pytest

from hazardreport import wording
from hazardreport.addressees.days import FIRST, LAST
from hazardreport.addressees.letter_answers import answers_due
from hazardreport.addressees.letter_remarks import remarks
from hazardreport.case.attachment import Attachment
from hazardreport.case.case import Case
from hazardreport.case.letter import AttackedPoint, Letter, LetterKind

KEY = "us-agency-harm"
TODAY = date(2026, 11, 16)
PAPER = Attachment(
    id="attachment-001", file="a.pdf", original_name="a.pdf", media_type="application/pdf", sha256="0" * 64, size=1
)
REPORT = Letter(id="letter-001", addressee=KEY, whom="office", day="2026-11-12", revision=3, file_sha256="0" * 64)
RECEIPT = Letter(
    id="letter-002",
    kind=LetterKind.RECEIPT,
    addressee=KEY,
    whom="office",
    day="2026-11-13",
    reference="R-1",
    answers="letter-001",
)
DISPUTE = replace(
    RECEIPT,
    id="letter-003",
    kind=LetterKind.CORRECTION_REQUEST,
    disputes=AttackedPoint.HARM,
    text="a passage",
    answer_by="2026-12-01",
)
CASE = Case(id="C-1", revision=3, attachments=(PAPER,))


def keys(*letters: Letter) -> set[str]:
    return {remark.key for remark in remarks(replace(CASE, letters=letters), TODAY)}


def test_letters_in_order_call_for_no_remark() -> None:
    assert keys(replace(REPORT, attachments=("attachment-001",)), RECEIPT, DISPUTE) == set()


ODD = {
    "day_missing": replace(REPORT, day=" "),
    "day_no_date": replace(REPORT, day="2026-02-31"),
    "day_in_future": replace(REPORT, day="2026-11-17"),
    "answer_before": replace(RECEIPT, day="2026-11-11"),
    "answers_unknown": replace(RECEIPT, answers="letter-009"),
    "answers_itself": replace(RECEIPT, answers="letter-002"),
    "answers_elsewhere": replace(RECEIPT, addressee="eu-maker-notice"),
    "addressee_missing": replace(REPORT, addressee=""),
    "addressee_unknown": replace(REPORT, addressee="nobody-knows"),
    "whom_missing": replace(REPORT, whom=""),
    "reference_missing": replace(RECEIPT, reference=""),
    "revision_unknown": replace(REPORT, revision=4),
    "revision_missing": replace(REPORT, revision=0),
    "file_missing": replace(REPORT, file_sha256=""),
    "hash_malformed": replace(REPORT, file_sha256="abc"),
    "attachment_unknown": replace(REPORT, attachments=("attachment-009",)),
    "dispute_missing": replace(DISPUTE, disputes=AttackedPoint.NONE),
    "dispute_misplaced": replace(RECEIPT, disputes=AttackedPoint.DATE),
    "passage_missing": replace(DISPUTE, text=""),
    "answer_by_no_date": replace(DISPUTE, answer_by="soon"),
    "answer_by_outside": replace(DISPUTE, answer_by="9999-12-31"),
    "answer_by_before": replace(DISPUTE, answer_by="2026-11-12"),
}


@pytest.mark.parametrize("key", ODD)
def test_each_oddity_is_told_with_what_to_do_and_changes_nothing(key: str) -> None:
    others = tuple(one for one in (REPORT, RECEIPT) if one.id != ODD[key].id)
    if key == "reference_missing":
        others = (REPORT,)
    case = replace(CASE, letters=(*others, ODD[key]))
    found = [one for one in remarks(case, TODAY) if one.key == key]
    assert [one.letter for one in found] == [ODD[key].id]
    assert found[0].what
    assert found[0].remedy
    assert case.letter(ODD[key].id) is ODD[key]


def test_every_remark_of_the_wording_is_made_by_some_letter() -> None:
    told = {key.split(".")[2] for key in wording.keys("letters") if key.startswith("letters.remarks.")}
    assert told == set(ODD)


def test_two_letters_that_answer_each_other_are_told_both() -> None:
    case = replace(CASE, letters=(replace(REPORT, answers="letter-002"), RECEIPT))
    assert [one.letter for one in remarks(case, TODAY) if one.key == "answers_itself"] == ["letter-001", "letter-002"]


@pytest.mark.parametrize("revision", [-1, 4, 10**9])
def test_a_revision_that_the_case_never_had_is_told(revision: int) -> None:
    assert "revision_unknown" in keys(replace(REPORT, revision=revision))


@pytest.mark.parametrize("day", ["1900-01-01", "0001-01-01"])
def test_a_day_long_ago_is_kept_without_a_claim(day: str) -> None:
    assert keys(replace(REPORT, day=day)) == set()


@pytest.mark.parametrize("text", ["2026-12-01T10:00", "2026-12-01 10:00", "1 December 2026", "Tuesday 2026-12-01"])
def test_a_day_of_an_answer_that_is_counted_is_not_told_to_be_none(text: str) -> None:
    case = replace(CASE, letters=(REPORT, RECEIPT, replace(DISPUTE, answer_by=text)))
    assert remarks(case, TODAY) == ()
    assert [due.by for due in answers_due(case, TODAY)] == [date(2026, 12, 1)]


@pytest.mark.parametrize("text", ["20261201", "2026-W49", "2026-W49-2", "2026-12", "03/04/2026", "about 2026-12-01"])
def test_what_is_not_one_day_is_told_and_not_counted_anywhere(text: str) -> None:
    case = replace(CASE, letters=(REPORT, replace(DISPUTE, answers="", answer_by=text, day=text)))
    assert {one.key for one in remarks(case, TODAY)} == {"day_no_date", "answer_by_no_date"}
    assert [due.by for due in answers_due(case, TODAY)] == [None]


@pytest.mark.parametrize("text", ["9999-12-31", "2100-01-01", "1989-12-31"])
def test_an_answer_beyond_the_calendar_is_told_to_be_so_and_is_never_overdue(text: str) -> None:
    case = replace(CASE, letters=(replace(REPORT, answer_by=text),))
    (told,) = remarks(case, TODAY)
    assert "beyond the calendar: it goes from 1990-01-01 to 2099-12-31" in told.what
    (due,) = answers_due(case, date(2100, 1, 2))
    assert (due.by, due.overdue) == (None, False)
    assert f"{FIRST.year} to {LAST.year}" in wording.sentence("letters.due.no_day")

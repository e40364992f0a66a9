"""What is odd about the recorded letters: kept as they are, and told. Sentences: wording file `letters`."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from hazardreport import wording
from hazardreport.addressees.days import FIRST, LAST
from hazardreport.addressees.letter_days import answered_letters, day_in, day_of, in_calendar, in_order
from hazardreport.addressees.profiles import profile_keys
from hazardreport.case.case import Case
from hazardreport.case.letter import AttackedPoint, Letter, LetterKind

WITH_REFERENCE = (LetterKind.RECEIPT, LetterKind.FORWARDED, LetterKind.PUBLISHED, LetterKind.CORRECTION_REQUEST)
"""Letters of an office that carry the number it gave to the report."""


@dataclass(frozen=True, kw_only=True, slots=True)
class LetterRemark:
    """One thing about a letter that a person should mend or know.

    key, fields  of the wording: "letters.remarks.<key>.what" and ".remedy"
    letter       id of the letter
    gentle       good to know; nothing is wrong
    """

    key: str
    letter: str
    fields: tuple[tuple[str, str], ...] = ()
    gentle: bool = False

    @property
    def what(self) -> str:
        """What is odd."""
        return wording.sentence(f"letters.remarks.{self.key}.what", **dict(self.fields))

    @property
    def remedy(self) -> str:
        """What to do about it."""
        return wording.sentence(f"letters.remarks.{self.key}.remedy", **dict(self.fields))


Found = tuple[str, dict[str, object], bool]


def remarks(case: Case, today: date) -> tuple[LetterRemark, ...]:
    """What is odd, letter by letter in the order of the correspondence."""
    found = []
    known, answered = profile_keys(), answered_letters(case)
    for letter in in_order(case):
        rows = (
            *_about_day(letter, today),
            *_about_answer(case, letter, answered),
            *_about_addressee(case, letter, known),
            *_about_sending(case, letter),
            *_about_correction(letter),
            *_about_answer_by(letter),
        )
        for key, fields, gentle in rows:
            told = tuple((name, str(field)) for name, field in fields.items())
            found.append(LetterRemark(key=key, letter=letter.id, fields=told, gentle=gentle))
    return tuple(found)


def _about_day(letter: Letter, today: date) -> Iterator[Found]:
    day = day_of(letter)
    if not letter.day.strip():
        yield "day_missing", {}, False
    elif day is None:
        yield "day_no_date", {"text": letter.day}, False
    elif day > today:
        yield "day_in_future", {"day": day, "today": today}, False


def _about_answer(case: Case, letter: Letter, answered: Mapping[str, frozenset[str]]) -> Iterator[Found]:
    if not letter.answers:
        return
    other = case.letter(letter.answers)
    if other is None:
        yield "answers_unknown", {"other": letter.answers}, False
        return
    if letter.id in answered[other.id]:
        yield "answers_itself", {"other": other.id}, False
        return
    day, before = day_of(letter), day_of(other)
    if day is not None and before is not None and day < before:
        yield "answer_before", {"day": day, "other": other.id, "before": before}, False
    if letter.addressee != other.addressee:
        yield "answers_elsewhere", {"other": other.id}, True


def _about_addressee(case: Case, letter: Letter, known: tuple[str, ...]) -> Iterator[Found]:
    if not letter.addressee:
        yield "addressee_missing", {}, True
    elif letter.addressee not in known:
        yield "addressee_unknown", {"addressee": letter.addressee}, False
    if not letter.whom.strip():
        yield "whom_missing", {}, False
    if letter.kind in WITH_REFERENCE and letter.addressee:
        of_office = (one for one in case.letters if one.addressee == letter.addressee)
        if not any(one.reference.strip() for one in of_office):
            yield "reference_missing", {}, True


def _about_sending(case: Case, letter: Letter) -> Iterator[Found]:
    if letter.revision < 0 or letter.revision > case.revision:
        yield "revision_unknown", {"revision": letter.revision, "last": case.revision}, False
    elif letter.kind is LetterKind.REPORT and not letter.revision:
        yield "revision_missing", {}, True
    if letter.file_sha256 and not re.fullmatch("[0-9a-f]{64}", letter.file_sha256):
        yield "hash_malformed", {"text": letter.file_sha256}, False
    elif letter.kind is LetterKind.REPORT and not letter.file_sha256:
        yield "file_missing", {}, True
    for attachment in letter.attachments:
        if case.attachment(attachment) is None:
            yield "attachment_unknown", {"attachment": attachment}, False


def _about_correction(letter: Letter) -> Iterator[Found]:
    disputed = letter.disputes is not AttackedPoint.NONE
    if letter.kind is not LetterKind.CORRECTION_REQUEST:
        if disputed:
            yield "dispute_misplaced", {"kind": letter.kind, "point": letter.disputes}, False
        return
    if not disputed:
        yield "dispute_missing", {}, False
    if not letter.text.strip():
        yield "passage_missing", {}, False


def _about_answer_by(letter: Letter) -> Iterator[Found]:
    if not letter.answer_by.strip():
        return
    by, day = day_in(letter.answer_by), day_of(letter)
    if by is None:
        yield "answer_by_no_date", {"text": letter.answer_by}, False
    elif not in_calendar(by):
        yield "answer_by_outside", {"by": by, "first": FIRST, "last": LAST}, False
    elif day is not None and by < day:
        yield "answer_by_before", {"by": by, "day": day}, False

"""What a letter asks for: answers until a day, requests for correction, comments of the maker."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from hazardreport.addressees.letter_days import answered_letters, day_in, in_calendar, in_order
from hazardreport.case.case import Case
from hazardreport.case.letter import AttackedPoint, Letter, LetterKind


@dataclass(frozen=True, kw_only=True, slots=True)
class AnswerDue:
    """A letter that asks for an answer until a day.

    letter       id; whom: office or firm that wrote it or got it
    ours         the submitter has to answer; else the other side was asked to
    by           last day, None where what stands there is no day of the calendars' years
    answered_by  id of the first letter of the other direction that answers it, or ""
    """

    letter: str
    whom: str
    ours: bool
    by: date | None
    answered_by: str
    overdue: bool


def _asked_by(letter: Letter) -> date | None:
    day = day_in(letter.answer_by)
    return day if day is not None and in_calendar(day) else None


def _reply(letters: Iterable[Letter], answered: Mapping[str, frozenset[str]], letter: Letter) -> Letter | None:
    """The first letter of the other direction that answers it."""
    return next(
        (one for one in letters if one.kind.sent is not letter.kind.sent and letter.id in answered[one.id]), None
    )


def answers_due(case: Case, today: date) -> tuple[AnswerDue, ...]:
    """Every letter that asks for an answer until a day, in the order of the correspondence."""
    found = []
    letters, answered = in_order(case), answered_letters(case)
    for letter in letters:
        if not letter.answer_by.strip():
            continue
        by = _asked_by(letter)
        reply = _reply(letters, answered, letter)
        found.append(
            AnswerDue(
                letter=letter.id,
                whom=letter.whom,
                ours=not letter.kind.sent,
                by=by,
                answered_by=reply.id if reply else "",
                overdue=reply is None and by is not None and by < today,
            )
        )
    return tuple(found)


@dataclass(frozen=True, kw_only=True, slots=True)
class Correction:
    """A request that disputes the report.

    letter       id of the request
    point        of the four that a request may dispute; passage: what it disputes, as recorded
    by           day until which it asks for an answer, None if it names none
    answered_by  id of the first letter of the submitter that answers it, or ""
    """

    letter: str
    point: AttackedPoint
    passage: str
    by: date | None
    answered_by: str
    overdue: bool


def corrections(case: Case, today: date) -> tuple[Correction, ...]:
    """Every request for correction, in the order of the correspondence."""
    due = {one.letter: one for one in answers_due(case, today)}
    found = []
    letters, answered = in_order(case), answered_letters(case)
    for letter in letters:
        if letter.kind is LetterKind.CORRECTION_REQUEST:
            reply = _reply(letters, answered, letter)
            asked = due.get(letter.id)
            found.append(
                Correction(
                    letter=letter.id,
                    point=letter.disputes,
                    passage=letter.text,
                    by=asked.by if asked else None,
                    answered_by=reply.id if reply else "",
                    overdue=asked.overdue if asked else False,
                )
            )
    return tuple(found)


def comments(case: Case) -> tuple[Letter, ...]:
    """Comments of the maker, in the order of the correspondence."""
    return tuple(letter for letter in in_order(case) if letter.kind is LetterKind.MAKER_COMMENT)

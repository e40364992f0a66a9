"""Correspondence in its order, and what follows from it: what is expected by when, and what was met.

A day that is expected is computed from the rule that the profile cites; nobody has promised it. Nothing here is kept in
the case: the letters are, and "today" comes in.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from hazardreport import wording
from hazardreport.addressees.asked import Clause, Counting, FollowUp, Profile
from hazardreport.addressees.conditions import Holds, any_holds
from hazardreport.addressees.days import how_counted, last_day
from hazardreport.addressees.profiles import profile as profile_of
from hazardreport.addressees.profiles import profile_keys
from hazardreport.case.case import Case
from hazardreport.case.letter import AttackedPoint, Letter, LetterKind
from hazardreport.errors import DayOutsideCalendarError


class ExpectedState(StrEnum):
    """How a date that follows stands."""

    NOT_STARTED = "not started"
    NO_DAY = "no day is counted"
    UNDATED = "cannot be counted"
    EXPECTED = "expected"
    PASSED = "passed"
    OVERDUE = "overdue"
    MET = "met"


@dataclass(frozen=True, kw_only=True, slots=True)
class Expected:
    """One thing that is expected after a letter.

    profile, follow_up   keys of the addressee and of its date that follows; text, clauses: of that
    waits_for  kind of letter that ends the wait, None if none is due
    earliest, latest     first and last day on which it is expected; None where no day can be counted
    started_by id of the letter from which it is counted, "" if that has not come
    owed       a clause stands behind the day and a letter is due; nothing else is ever overdue or late
    estimated  counted from the last day on which the letter that starts it is itself expected
    met_by     id of the letter that ended the wait, or ""; met_on: its day; late: it came after `latest`
    counted    how the days were counted, as a sentence
    """

    profile: str
    follow_up: str
    text: str
    clauses: tuple[Clause, ...]
    state: ExpectedState
    waits_for: LetterKind | None = None
    earliest: date | None = None
    latest: date | None = None
    started_by: str = ""
    owed: bool = False
    estimated: bool = False
    met_by: str = ""
    met_on: date | None = None
    late: bool = False
    counted: str = ""

    @property
    def overdue(self) -> bool:
        """Whether its latest day is over, a law owes it, and nothing is recorded that met it."""
        return self.state is ExpectedState.OVERDUE

    @property
    def open(self) -> bool:
        """Whether it is still expected, its latest day not being over."""
        return self.state is ExpectedState.EXPECTED

    @property
    def sentence(self) -> str:
        """How it stands, for people."""
        key = self.state.name.lower()
        if self.estimated and self.open:
            key = "estimated"
        elif self.late:
            key = "met_late"
        elif self.state is ExpectedState.PASSED and self.waits_for is not None:
            key = "passed_unowed"
        return wording.sentence(
            f"letters.expected.{key}",
            earliest=self.earliest or "",
            latest=self.latest or "",
            started_by=self.started_by,
            met_by=self.met_by,
            met_on=self.met_on or wording.sentence("letters.no_day"),
        )


def day_of(letter: Letter) -> date | None:
    """The day of a letter, or None where what stands there is no day."""
    return _day(letter.day)


def _day(text: str) -> date | None:
    try:
        return datetime.fromisoformat(text.strip()).date()
    except ValueError:
        return None


def in_order(case: Case) -> tuple[Letter, ...]:
    """The letters by day, those of one day as they were recorded; those without a day last."""
    return tuple(sorted(case.letters, key=lambda letter: day_of(letter) or date.max))


def answered_letters(case: Case) -> Mapping[str, frozenset[str]]:
    """By letter: ids of all that it answers, directly or by answering what answers them."""
    named = {letter.id: letter.answers for letter in case.letters}
    found = {}
    for one in named:
        through: dict[str, None] = {}
        at = named[one]
        while at and at not in through:
            through[at] = None
            at = named.get(at, "")
        found[one] = frozenset(through)
    return found


def _met_by(
    letters: Iterable[Letter], answered: Mapping[str, frozenset[str]], start: Letter, kind: LetterKind
) -> Letter | None:
    """The first letter of that kind and addressee that answers the start, or names no letter and is not earlier."""
    began = day_of(start)
    for letter in letters:
        if letter.kind is not kind or letter.id == start.id:
            continue
        came = day_of(letter)
        if start.id in answered[letter.id]:
            return letter
        if not letter.answers and (began is None or came is None or came >= began):
            return letter
    return None


def _span(day: date, follow: FollowUp) -> tuple[date, date] | None:
    """First and last day on which a follow-up is expected after a day; None where they cannot be counted."""
    if follow.days is None or follow.counting is Counting.NONE:
        return None
    try:
        first = last_day(day, 1, follow.counting, follow.holidays)
        return first, last_day(day, follow.days, follow.counting, follow.holidays)
    except DayOutsideCalendarError:
        return None


def _state(follow: FollowUp, span: tuple[date, date] | None, reply: Letter | None, today: date) -> ExpectedState:
    if reply is not None:
        return ExpectedState.MET
    if follow.days is None:
        return ExpectedState.NO_DAY
    if span is None:
        return ExpectedState.UNDATED
    if span[1] >= today:
        return ExpectedState.EXPECTED
    return ExpectedState.OVERDUE if _owed(follow) else ExpectedState.PASSED


def _owed(follow: FollowUp) -> bool:
    """Whether a law owes the sender a letter by that day: what we only ask for has no clause."""
    return follow.waits_for is not None and bool(follow.clauses)


def _from_letter(
    letters: Iterable[Letter],
    answered: Mapping[str, frozenset[str]],
    profile: Profile,
    follow: FollowUp,
    start: Letter,
    today: date,
) -> Expected:
    day = day_of(start)
    span = _span(day, follow) if day is not None and day <= today else None
    reply = _met_by(letters, answered, start, follow.waits_for) if follow.waits_for is not None else None
    met_on = day_of(reply) if reply is not None else None
    return Expected(
        profile=profile.key,
        follow_up=follow.key,
        text=follow.text,
        clauses=follow.clauses,
        state=_state(follow, span, reply, today),
        waits_for=follow.waits_for,
        earliest=span[0] if span else None,
        latest=span[1] if span else None,
        started_by=start.id,
        met_by=reply.id if reply is not None else "",
        met_on=met_on,
        owed=_owed(follow),
        late=bool(_owed(follow) and span and met_on and met_on > span[1]),
        counted=how_counted(follow.counting, follow.holidays),
    )


def _not_begun(profile: Profile, follow: FollowUp, before: tuple[Expected, ...], today: date) -> Expected:
    """A follow-up whose letter has not come: counted from when that letter is expected, where that is known."""
    waited = [one for one in before if one.waits_for is follow.starts and one.state is ExpectedState.EXPECTED]
    spans = [span for one in waited if one.latest and (span := _span(one.latest, follow))]
    firsts = [span[0] for one in waited if one.earliest and (span := _span(one.earliest, follow))]
    state = ExpectedState.EXPECTED if spans else ExpectedState.NOT_STARTED
    if follow.starts is None:
        state = ExpectedState.NO_DAY
    return Expected(
        profile=profile.key,
        follow_up=follow.key,
        text=follow.text,
        clauses=follow.clauses,
        state=state,
        waits_for=follow.waits_for,
        earliest=min(firsts) if spans else None,
        latest=max(span[1] for span in spans) if spans else None,
        owed=_owed(follow),
        estimated=bool(spans),
        counted=how_counted(follow.counting, follow.holidays),
    )


def expected(case: Case, profile: Profile, today: date) -> tuple[Expected, ...]:
    """What is expected of an addressee, in the order of its profile; one line for each letter that starts a wait.

    A letter dated after today ends no wait, and starts none that can be counted; nor does one outside the years of the
    calendars. Where the letter that starts a wait has not come but is itself expected, the days are counted from its
    expected days. What the case rules out (a condition of the profile that does not hold) is left out.
    """
    found: tuple[Expected, ...] = ()
    letters = tuple(letter for letter in in_order(case) if letter.addressee == profile.key)
    answered = answered_letters(case)
    came = tuple(letter for letter in letters if (day_of(letter) or today) <= today)
    for follow in profile.follow_up:
        if any_holds(case, follow.only_if).holds is Holds.NO:
            continue
        starts = [letter for letter in letters if letter.kind is follow.starts]
        if starts:
            found += tuple(_from_letter(came, answered, profile, follow, start, today) for start in starts)
        else:
            found += (_not_begun(profile, follow, found, today),)
    return found


def every_expected(case: Case, today: date) -> tuple[Expected, ...]:
    """What is expected of every addressee that a letter of the case belongs to."""
    known = profile_keys()
    keys = dict.fromkeys(letter.addressee for letter in in_order(case) if letter.addressee in known)
    return tuple(one for key in keys for one in expected(case, profile_of(key), today))


@dataclass(frozen=True, kw_only=True, slots=True)
class AnswerDue:
    """A letter that asks for an answer until a day.

    letter       id; whom: office or firm that wrote it or got it
    ours         the submitter has to answer; else the other side was asked to
    by           last day, None where what stands there is no day
    answered_by  id of the first letter of the other direction that answers it, or ""
    """

    letter: str
    whom: str
    ours: bool
    by: date | None
    answered_by: str
    overdue: bool


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
        by = _day(letter.answer_by)
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

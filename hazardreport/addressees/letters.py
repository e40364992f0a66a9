"""Correspondence in its order, and what follows from it: what is expected by when, and what was met.

A day that is expected is computed from the rule that the profile cites; nobody has promised it. Nothing here is kept in
the case: the letters are, and "today" comes in.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from hazardreport import wording
from hazardreport.addressees.asked import Clause, Counting, FollowUp, Profile
from hazardreport.addressees.conditions import Holds, any_holds, open_links
from hazardreport.addressees.days import how_counted, last_day
from hazardreport.addressees.letter_days import answered_letters, counted_day, day_of, has_come, in_order
from hazardreport.addressees.letter_waits import disputes, end_without_start, ends, held_back_by
from hazardreport.addressees.links import gap_name
from hazardreport.addressees.profiles import profile as profile_of
from hazardreport.addressees.profiles import profile_keys
from hazardreport.case.case import Case
from hazardreport.case.letter import Letter, LetterKind
from hazardreport.errors import DayOutsideCalendarError


class ExpectedState(StrEnum):
    """How a date that follows stands."""

    NOT_STARTED = "not started"
    NO_DAY = "no day is counted"
    UNDECIDED = "not decided"
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
    owed       a rule owes it to the sender, or to everybody by that day; nothing else is ever overdue or late
    estimated  counted from the last day on which the letter that starts it is itself expected
    met_by     id of the letter that ended the wait, or ""; met_on: its day; late: it came after `latest`
    by_later   the wait was ended by another kind of letter, which shows that what was waited for has happened
    stayed_by  id of the request for which `latest` was put off by `stay` further days, or ""
    undecided  links to the answers of the case on which it depends and that are not given
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
    by_later: bool = False
    stayed_by: str = ""
    stay: int = 0
    undecided: tuple[str, ...] = ()
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
        if self.state is ExpectedState.UNDECIDED:
            return " ".join(wording.sentence(f"letters.undecided.{gap_name(link)}") for link in self.undecided)
        told = wording.sentence(
            f"letters.expected.{self._key}",
            earliest=self.earliest or "",
            latest=self.latest or "",
            started_by=self.started_by,
            met_by=self.met_by,
            met_on=self.met_on or wording.sentence("letters.no_day"),
        )
        if not self.stayed_by or self.latest is None:
            return told
        return " ".join((told, wording.sentence("letters.stay", letter=self.stayed_by, days=self.stay)))

    @property
    def _key(self) -> str:
        if self.estimated and self.open:
            return "estimated"
        if self.by_later:
            return "met_by_later"
        if self.late:
            return "met_late"
        if self.state is ExpectedState.PASSED and self.waits_for is not None:
            return "passed_unowed" if self.clauses else "passed_asked"
        return self.state.name.lower()


Span = tuple[date, date]


def _span(day: date, follow: FollowUp) -> Span | None:
    """First and last day on which a follow-up is expected after a day; None where they cannot be counted."""
    if follow.days is None or follow.counting is Counting.NONE:
        return None
    try:
        first = last_day(day, 1, follow.counting, follow.holidays)
        return first, last_day(day, follow.days, follow.counting, follow.holidays)
    except DayOutsideCalendarError:
        return None


def _state(one: Expected, follow: FollowUp, today: date) -> ExpectedState:
    """How it stands once its days and the letter that ended the wait are known."""
    if one.met_by:
        return ExpectedState.MET
    if one.undecided:
        return ExpectedState.UNDECIDED
    if follow.starts is None:
        return ExpectedState.NO_DAY
    if not one.started_by and not one.estimated:
        return ExpectedState.NOT_STARTED
    if follow.days is None:
        return ExpectedState.NO_DAY
    if one.latest is None:
        return ExpectedState.UNDATED
    if one.latest >= today:
        return ExpectedState.EXPECTED
    return ExpectedState.OVERDUE if one.owed else ExpectedState.PASSED


@dataclass(frozen=True, kw_only=True, slots=True)
class _Addressee:
    """What is known of one addressee: its letters that came, in their order, and which letter answers which."""

    case: Case
    profile: Profile
    today: date
    came: tuple[Letter, ...]
    answered: Mapping[str, frozenset[str]]

    def row(self, follow: FollowUp, undecided: tuple[str, ...]) -> Expected:
        """A follow-up of which nothing is known yet but what its rule says."""
        return Expected(
            profile=self.profile.key,
            follow_up=follow.key,
            text=follow.text,
            clauses=follow.clauses,
            state=ExpectedState.NOT_STARTED,
            waits_for=follow.waits_for,
            owed=follow.owed,
            undecided=undecided,
            counted=how_counted(follow.counting, follow.holidays),
        )

    def ended(self, row: Expected, follow: FollowUp, end: Letter | None) -> Expected:
        """The row with the letter that ended its wait, if one did."""
        if end is None:
            return row
        by_later = end.kind is not follow.waits_for
        met_on = day_of(end)
        late = not by_later and row.owed and row.latest is not None and met_on is not None and met_on > row.latest
        return replace(row, met_by=end.id, met_on=met_on, by_later=by_later, late=late)

    def stayed(self, row: Expected, follow: FollowUp, start: Letter | None, since: date) -> Expected:
        """The row with its latest day put off, where a request can hold it back; without days if they run out."""
        if row.latest is None or follow.extended_days is None:
            return row
        found = disputes(self.case, self.profile, follow.extended_by, self.today)
        sent = (day_of(letter) for letter in self.came if letter.kind is LetterKind.REPORT)
        first = max((day for day in sent if day is not None and day <= since), default=since)
        request = held_back_by(found, start, first, row.latest, self.answered)
        if request is None:
            return row
        try:
            latest = last_day(row.latest, follow.extended_days, follow.counting, follow.holidays)
        except DayOutsideCalendarError:
            return replace(row, earliest=None, latest=None)
        return replace(row, latest=latest, stayed_by=request.id, stay=follow.extended_days)

    def from_letter(self, row: Expected, follow: FollowUp, start: Letter, end: Letter | None) -> Expected:
        """A follow-up counted from the letter that starts it."""
        row = replace(row, started_by=start.id)
        day = counted_day(start, self.today)
        span = _span(day, follow) if day is not None and not row.undecided else None
        if day is not None and span is not None:
            row = self.stayed(replace(row, earliest=span[0], latest=span[1]), follow, start, day)
        row = self.ended(row, follow, end)
        return replace(row, state=_state(row, follow, self.today))

    def not_begun(self, row: Expected, follow: FollowUp, before: tuple[Expected, ...]) -> Expected:
        """A follow-up whose letter has not come: counted from when that letter is expected, where that is known."""
        end = end_without_start(follow, self.came)
        waited = [one for one in before if one.waits_for is follow.starts and one.state is ExpectedState.EXPECTED]
        lasts = [span[1] for one in waited if one.latest and (span := _span(one.latest, follow))]
        firsts = [(span[0], one.earliest) for one in waited if one.earliest and (span := _span(one.earliest, follow))]
        if end is None and lasts and firsts and not row.undecided:
            earliest, since = min(firsts)
            row = replace(row, earliest=earliest, latest=max(lasts), estimated=True)
            row = self.stayed(row, follow, None, since)
        row = self.ended(row, follow, end)
        return replace(row, state=_state(row, follow, self.today))


def expected(case: Case, profile: Profile, today: date) -> tuple[Expected, ...]:
    """What is expected of an addressee, in the order of its profile; one line for each letter that starts a wait.

    A letter dated after today ends no wait, and starts none that can be counted; nor does one outside the years of the
    calendars. Where the letter that starts a wait has not come but is itself expected, the days are counted from its
    expected days. A letter that shows that a step has been taken ends the wait for it as well. What the case rules out
    (a condition of the profile that does not hold) is left out; what hangs on an answer that it does not give has none.
    """
    letters = tuple(letter for letter in in_order(case) if letter.addressee == profile.key)
    addressee = _Addressee(
        case=case,
        profile=profile,
        today=today,
        came=tuple(letter for letter in letters if has_come(letter, today)),
        answered=answered_letters(case),
    )
    found: tuple[Expected, ...] = ()
    for follow in profile.follow_up:
        held = any_holds(case, follow.only_if).holds
        if held is Holds.NO:
            continue
        row = addressee.row(follow, open_links(case, follow.only_if) if held is Holds.OPEN else ())
        starts = [letter for letter in letters if letter.kind is follow.starts]
        if starts:
            ended = ends(follow, starts, addressee.came, addressee.answered)
            found += tuple(addressee.from_letter(row, follow, start, ended.get(start.id)) for start in starts)
        else:
            found += (addressee.not_begun(row, follow, found),)
    return found


def every_expected(case: Case, today: date) -> tuple[Expected, ...]:
    """What is expected of every addressee that a letter of the case belongs to."""
    known = profile_keys()
    keys = dict.fromkeys(letter.addressee for letter in in_order(case) if letter.addressee in known)
    return tuple(one for key in keys for one in expected(case, profile_of(key), today))

"""A calendar file with the days by which something is expected: for the calendar program of whoever keeps the case.

The bytes depend on nothing but what is given, so that the same case gives the same file. No name of a person, office or
firm enters it: whom an entry is about is told by the title of the addressee's profile and the id of the letter, which
case by its number, unless that holds a name.

References
----------
rfc-5545, 3.1 (lines of at most 75 octets, CRLF), 3.6.1 (whole days; the end is the day after), 3.8.4.7 (UID).
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from uuid import NAMESPACE_URL, uuid5

from hazardreport import wording
from hazardreport.addressees.asked import Clause, ClauseStatus
from hazardreport.addressees.letter_answers import AnswerDue
from hazardreport.addressees.letter_days import in_calendar
from hazardreport.addressees.letters import Expected
from hazardreport.addressees.profiles import profile
from hazardreport.case.case import Case
from hazardreport.case.identifying_words import identifying_words
from hazardreport.errors import NothingExpectedError


@dataclass(frozen=True, kw_only=True, slots=True)
class Entry:
    """One whole day of the calendar; key tells it from every other of the case, for ever."""

    key: str
    day: date
    summary: str
    description: str


def calendar_file(case: Case, expected: Iterable[Expected], due: Iterable[AnswerDue], stamp: datetime) -> bytes:
    """The calendar as RFC 5545 writes it; what is met, passed, without a day or beyond the calendars has none.

    Parameters
    ----------
    case : Case
        Its number and the time it was made keep the entries of two cases apart.
    expected, due : iterables
        What follows from the letters.
    stamp : datetime
        When the file is made, with its offset from UTC.

    Raises
    ------
    NothingExpectedError
        If no entry is left: a calendar holds at least one.

    References
    ----------
    rfc-5545, 3.6, 3.6.1.
    """
    from icalendar import Calendar, Event

    entries = tuple(entry for entry in (*_expected(expected), *_due(due)) if in_calendar(entry.day))
    if not entries:
        raise NothingExpectedError
    calendar = Calendar()
    calendar.add("prodid", "-//hazardreport//expected days//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    for entry in entries:
        event = Event()
        event.add("uid", str(uuid5(NAMESPACE_URL, f"hazardreport:{case.id}:{case.created}:{entry.key}")))
        event.add("dtstamp", stamp.astimezone(UTC).replace(microsecond=0))
        event.add("dtstart", entry.day)
        event.add("dtend", entry.day + timedelta(days=1))
        event.add("summary", _numbered(case, entry))
        event.add("description", entry.description)
        event.add("transp", "TRANSPARENT")
        calendar.add_component(event)
    return bytes(calendar.to_ical())


def _expected(rows: Iterable[Expected]) -> Iterator[Entry]:
    for one in rows:
        if one.latest is None or not (one.overdue or one.open):
            continue
        title = profile(one.profile).title
        waits_for = wording.sentence("letters.calendar_file.something") if one.waits_for is None else one.waits_for
        summary = wording.sentence("letters.calendar_file.summary", waits_for=waits_for, profile=title)
        clauses = "; ".join(map(_clause, one.clauses)) or wording.sentence("letters.calendar_file.no_clause")
        source = wording.sentence("letters.calendar_file.source", clauses=clauses)
        lines = [title, one.text, one.sentence, one.counted, source]
        yield Entry(
            key=f"{one.profile}:{one.follow_up}:{one.started_by}",
            day=one.latest,
            summary=summary,
            description="\n".join(line for line in lines if line),
        )


def _clause(clause: Clause) -> str:
    """A clause by the name of its law; how it was checked is said unless it was read in the public text."""
    name = wording.sentence(f"profiles.law_names.{clause.reference}", place=clause.place)
    if clause.status is ClauseStatus.READ:
        return name
    return f"{name} ({wording.sentence(f'profiles.clause_status.{clause.status.value}')})"


def _numbered(case: Case, entry: Entry) -> str:
    """The summary of an entry with the number of the case, unless a person can be recognised by that."""
    if not case.id or identifying_words(case).spans(case.id):
        return entry.summary
    return wording.sentence("letters.calendar_file.of_case", summary=entry.summary, case=case.id)


def _due(rows: Iterable[AnswerDue]) -> Iterator[Entry]:
    for one in rows:
        if one.by is None or one.answered_by:
            continue
        key = "ours" if one.ours else "theirs"
        yield Entry(
            key=f"answer:{one.letter}",
            day=one.by,
            summary=wording.sentence(f"letters.calendar_file.{key}", letter=one.letter),
            description=wording.sentence(f"letters.calendar_file.{key}_more", letter=one.letter),
        )

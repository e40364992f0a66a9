"""The calendar file: read back by a library, looked at byte by byte, and always the same."""

import re
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone
from uuid import UUID

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from icalendar import Calendar

from hazardreport.addressees.calendar_file import calendar_file
from hazardreport.addressees.letter_answers import AnswerDue, answers_due
from hazardreport.addressees.letters import Expected, ExpectedState, every_expected
from hazardreport.addressees.profiles import profile
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, Consents, Submitter
from hazardreport.case.letter import Letter, LetterKind
from hazardreport.case.stated import value
from hazardreport.errors import NothingExpectedError

STAMP = datetime(2026, 11, 16, 9, 30, tzinfo=UTC)
TODAY = date(2026, 11, 16)
REPORT = Letter(
    id="letter-001",
    addressee="us-agency-harm",
    whom="Bureau Quillfeather",
    person="Ottilie Quandt",
    day="2026-11-12",
    reference="R-77-Quandt",
    text="Quandt wrote",
    answer_by="2026-11-30",
)
DISPUTE = replace(REPORT, id="letter-002", kind=LetterKind.CORRECTION_REQUEST, day="2026-11-14", answer_by="2026-12-01")
CASE = Case(id="C-1", created="2026-11-01T00:00:00Z", consents=Consents(publish=Answer.YES), letters=(REPORT, DISPUTE))


def made(case: Case = CASE, stamp: datetime = STAMP, today: date = TODAY) -> bytes:
    return calendar_file(case, every_expected(case, today), answers_due(case, today), stamp)


def unfolded(data: bytes) -> list[str]:
    """Logical lines, by the letter of RFC 5545, 3.1, without the library."""
    return data.replace(b"\r\n ", b"").decode("utf-8").split("\r\n")[:-1]


@pytest.mark.published("rfc-5545", "3.1, lines of at most 75 octets that end with CRLF")
def test_every_line_is_short_and_ends_as_it_must() -> None:
    data = made()
    assert data.endswith(b"\r\n")
    lines = data.split(b"\r\n")
    assert not any(b"\r" in line or b"\n" in line for line in lines)
    assert max(len(line) for line in lines) <= 75
    assert any(line.startswith(b" ") for line in lines)
    assert all(re.match(r"[A-Z-]+[;:]", line) for line in unfolded(data))


@pytest.mark.published("rfc-5545", "3.6.1, an entry of whole days ends on the day after; 3.8.4.7, a UID of its own")
def test_a_second_reader_finds_whole_days_with_a_mark_of_their_own() -> None:
    calendar = Calendar.from_ical(made())
    assert (calendar["version"], calendar["calscale"]) == ("2.0", "GREGORIAN")
    events = calendar.walk("VEVENT")
    days = [event.decoded("dtstart") for event in events]
    # sent on by the 19th; published 15 days after it, no serial being known, and 5 for the dispute: 14 to 18 December;
    # two answers that were asked for
    assert sorted(days) == [date(2026, 11, 19), date(2026, 11, 30), date(2026, 12, 1), date(2026, 12, 18)]
    assert all(event.decoded("dtend") - event.decoded("dtstart") == timedelta(days=1) for event in events)
    assert all(event.decoded("dtstamp") == STAMP for event in events)
    uids = [UUID(str(event["uid"])) for event in events]
    assert len(set(uids)) == len(events)
    raw = unfolded(made())
    assert raw.count("DTSTART;VALUE=DATE:20261119") == 1
    assert raw.count("DTEND;VALUE=DATE:20261120") == 1
    assert raw.count("DTSTAMP:20261116T093000Z") == len(events)
    assert raw.count("BEGIN:VEVENT") == raw.count("END:VEVENT") == len(events)


def test_nothing_of_a_person_or_an_office_is_in_it() -> None:
    text = "\n".join(unfolded(made()))
    for word in ("Quandt", "Quillfeather", "R-77", "Ottilie"):
        assert word not in text
    assert "us-agency" not in text
    assert "(C)" not in text


def test_the_entries_of_two_cases_are_told_apart_by_number_and_addressee() -> None:
    summaries = [str(event["summary"]) for event in Calendar.from_ical(made()).walk("VEVENT")]
    assert all(summary.endswith(", case C-1") for summary in summaries)
    title = profile("us-agency-harm").title
    assert f"Latest expected day: notice of publication ({title}), case C-1" in summaries


@pytest.mark.parametrize("number", ["Quandt-1", "2026 rosa"])
def test_a_number_that_holds_a_name_is_left_out(number: str) -> None:
    case = replace(CASE, id=number, submitter=Submitter(first_name=value("Rosa"), last_name=value("Example")))
    text = "\n".join(unfolded(made(case))).casefold()
    assert "quandt" not in text
    assert "rosa" not in text


def test_the_file_is_always_the_same_and_another_case_has_other_marks() -> None:
    assert made() == made()
    assert made(stamp=STAMP.astimezone(timezone(timedelta(hours=9)))) == made()
    other = made(replace(CASE, id="C-2"))
    mine = {line for line in unfolded(made()) if line.startswith("UID:")}
    assert mine.isdisjoint(line for line in unfolded(other) if line.startswith("UID:"))


def test_an_entry_keeps_its_mark_when_its_day_moves() -> None:
    later = replace(CASE, letters=(replace(REPORT, day="2026-11-13"), DISPUTE))
    uids = [{line for line in unfolded(made(case)) if line.startswith("UID:")} for case in (CASE, later)]
    assert uids[0] == uids[1]


def test_what_came_is_not_entered() -> None:
    came = Letter(id="letter-003", kind=LetterKind.FORWARDED, addressee="us-agency-harm", day="2026-11-16")
    text = "\n".join(unfolded(made(replace(CASE, letters=(*CASE.letters, came)))))
    assert "notice of forwarding" not in text
    assert "SUMMARY:Latest expected day: notice of publication" in text


@pytest.mark.published("rfc-5545", "3.6, a calendar holds at least one entry")
def test_without_anything_expected_there_is_no_calendar() -> None:
    for letters in ((), (replace(REPORT, day="31 February", answer_by=""),)):
        with pytest.raises(NothingExpectedError):
            made(replace(CASE, letters=letters))


@given(text=st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs")), max_size=300))
@settings(derandomize=True, deadline=None, max_examples=100)
def test_any_text_comes_back_as_it_was(text: str) -> None:
    one = Expected(
        profile="us-agency-harm",
        follow_up="x",
        text=text,
        clauses=(),
        state=ExpectedState.EXPECTED,
        earliest=TODAY,
        latest=TODAY,
        started_by="letter-001",
    )
    due = AnswerDue(letter="letter-001", whom=text, ours=True, by=TODAY, answered_by="", overdue=False)
    data = calendar_file(CASE, (one,), (due,), STAMP)
    assert max(len(line) for line in data.split(b"\r\n")) <= 75
    first, _ = Calendar.from_ical(data).walk("VEVENT")
    lines = str(first["description"]).split("\n")
    assert ("\n".join(lines[1:-2]) if text else "") == text


FAR = ["9999-12-31", "2100-01-01", "9999-12-30", "0001-01-01", "1989-12-31"]


@pytest.mark.parametrize("day", FAR)
def test_a_day_beyond_the_calendars_has_no_entry_and_stops_nothing(day: str) -> None:
    far = replace(CASE, letters=(replace(REPORT, answer_by=day), replace(DISPUTE, answer_by=day, day=day)))
    (last,) = [row for row in every_expected(far, TODAY) if row.follow_up == "transmission"]
    days = [event.decoded("dtstart") for event in Calendar.from_ical(made(far)).walk("VEVENT")]
    assert last.latest in days
    assert all(date(1990, 1, 1) <= found <= date(2099, 12, 31) for found in days)


@pytest.mark.parametrize("day", [date.min, date.max])
def test_rows_with_the_first_and_the_last_day_of_all_are_left_out(day: date) -> None:
    row = Expected(
        profile="us-agency-harm", follow_up="x", text="", clauses=(), state=ExpectedState.EXPECTED, latest=day
    )
    due = AnswerDue(letter="letter-001", whom="", ours=True, by=day, answered_by="", overdue=False)
    with pytest.raises(NothingExpectedError):
        calendar_file(CASE, (row,), (due,), STAMP)
    data = calendar_file(CASE, (row,), (due, replace(due, by=TODAY)), STAMP)
    assert len(Calendar.from_ical(data).walk("VEVENT")) == 1

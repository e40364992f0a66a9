"""What ends a wait, what puts it off, and what is not expected at all: by the rules of the profiles themselves."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport import wording
from hazardreport.addressees.letters import Expected, ExpectedState, every_expected, expected
from hazardreport.addressees.links import gap_name
from hazardreport.addressees.profiles import profile, profile_keys
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, Consents
from hazardreport.case.letter import AttackedPoint, Letter, LetterKind
from hazardreport.case.situation import Situation
from hazardreport.case.stated import value
from hazardreport.case.unit import Unit

KEY = "us-agency-harm"
CASE = Case(id="C-1", consents=Consents(publish=Answer.YES), unit=Unit(model=value("M"), serial=value("S")))
REPORT = Letter(id="letter-001", addressee=KEY, whom="office", day="2026-10-01")
FORWARDED = replace(REPORT, id="letter-002", kind=LetterKind.FORWARDED, day="2026-10-05", answers="letter-001")
PUBLISHED = replace(REPORT, id="letter-003", kind=LetterKind.PUBLISHED, day="2026-10-15", answers="letter-001")
DISPUTE = replace(
    REPORT, id="letter-004", kind=LetterKind.CORRECTION_REQUEST, disputes=AttackedPoint.HARM, day="2026-10-14", text="x"
)
TODAY = date(2026, 11, 25)
IN_PLAY = (ExpectedState.EXPECTED, ExpectedState.OVERDUE, ExpectedState.PASSED)


def rows(*letters: Letter, today: date = TODAY, case: Case = CASE) -> dict[str, Expected]:
    return {one.follow_up: one for one in expected(replace(case, letters=letters), profile(KEY), today)}


# --- a recorded publication ends what comes before it -----------------------------------------------------------------


@pytest.mark.parametrize("answers", ["letter-001", ""])
@pytest.mark.parametrize("day", ["2026-10-15", ""])
def test_a_publication_ends_the_wait_for_itself_and_for_the_transmission(answers: str, day: str) -> None:
    found = rows(REPORT, replace(PUBLISHED, answers=answers, day=day))
    for key, by_later in (("transmission", True), ("publication", False)):
        one = found[key]
        assert (one.state, one.met_by, one.by_later, one.late) == (ExpectedState.MET, "letter-003", by_later, False)
    assert "shows that it has happened" in found["transmission"].sentence
    assert found["publication"].sentence.startswith("Came: letter-003")


def test_the_notice_of_forwarding_itself_is_named_where_it_came() -> None:
    found = rows(REPORT, FORWARDED, PUBLISHED)
    assert (found["transmission"].met_by, found["transmission"].by_later) == ("letter-002", False)


def test_a_publication_that_answers_the_report_ends_the_wait_that_the_forwarding_started() -> None:
    found = rows(REPORT, FORWARDED, PUBLISHED)["publication"]
    assert (found.started_by, found.met_by, found.state) == ("letter-002", "letter-003", ExpectedState.MET)


def test_a_publication_after_today_ends_nothing() -> None:
    found = rows(REPORT, PUBLISHED, today=date(2026, 10, 14))
    assert found["transmission"].met_by == ""
    assert found["publication"].state is not ExpectedState.MET


def test_what_was_published_is_not_entered_as_expected_for_another_report() -> None:
    other = replace(REPORT, id="letter-008", day="2026-10-12")
    found = expected(replace(CASE, letters=(REPORT, other, PUBLISHED)), profile(KEY), TODAY)
    sent_on = {one.started_by: one for one in found if one.follow_up == "transmission"}
    assert sent_on["letter-001"].met_by == "letter-003"
    assert (sent_on["letter-008"].met_by, sent_on["letter-008"].state) == ("", ExpectedState.PASSED)


# --- an answer belongs to one letter ----------------------------------------------------------------------------------


def maker(*letters: Letter, today: date = TODAY) -> dict[str, Expected]:
    found = expected(Case(id="C-1", letters=letters), profile("eu-maker-notice"), today)
    return {one.started_by: one for one in found if one.follow_up == "answer"}


NOTICE = Letter(id="letter-001", addressee="eu-maker-notice", whom="maker", day="2026-11-01")
ANSWER = replace(NOTICE, id="letter-009", kind=LetterKind.ANSWER, day="2026-11-10")


def test_an_answer_that_names_no_letter_leaves_the_second_notice_open() -> None:
    second = replace(NOTICE, id="letter-002", day="2026-11-10")
    found = maker(NOTICE, second, ANSWER)
    assert {key: one.met_by for key, one in found.items()} == {"letter-001": "letter-009", "letter-002": ""}
    both = maker(NOTICE, second, ANSWER, replace(ANSWER, id="letter-010", day="2026-11-12"))
    assert both["letter-002"].met_by == "letter-010"


def test_an_answer_that_names_its_letter_leaves_the_other_to_one_that_names_none() -> None:
    second = replace(NOTICE, id="letter-002", day="2026-11-02")
    named, unnamed = replace(ANSWER, answers="letter-001"), replace(ANSWER, id="letter-010", day="2026-11-09")
    found = maker(NOTICE, second, named, unnamed)
    assert {key: one.met_by for key, one in found.items()} == {"letter-001": "letter-009", "letter-002": "letter-010"}


@pytest.mark.parametrize("kind", [LetterKind.MAKER_COMMENT, LetterKind.CORRECTION_REQUEST])
def test_a_maker_who_comments_or_disputes_has_answered(kind: LetterKind) -> None:
    (found,) = maker(NOTICE, replace(ANSWER, kind=kind, answers="letter-001")).values()
    assert (found.state, found.met_by, found.by_later) == (ExpectedState.MET, "letter-009", True)


# --- the stay after a notice of inaccuracy ----------------------------------------------------------------------------


@pytest.mark.published("15-usc-2055a", "(c)(3), (c)(4)(A): 10 business days, 5 more; days counted by hand")
@pytest.mark.parametrize(
    "change",
    [
        {},
        {"day": ""},
        {"day": "2026-10-02"},
        {"day": "2026-10-20"},
        {"day": "2026-10-30", "answers": "letter-001"},
        {"addressee": ""},
        {"addressee": "us-maker"},
        {"addressee": "eu-maker-notice"},
    ],
)
def test_a_request_for_correction_puts_the_publication_off(change: dict[str, Any]) -> None:
    dispute = replace(DISPUTE, **change)
    # 6, 7, 8, 9, 13, 14, 15, 16, 19, 20 October, the 12th being Columbus Day; then 21, 22, 23, 26, 27
    assert rows(REPORT, FORWARDED, today=date(2026, 10, 31))["publication"].latest == date(2026, 10, 20)
    found = rows(REPORT, FORWARDED, dispute, today=date(2026, 10, 31))["publication"]
    assert (found.latest, found.stayed_by, found.state) == (date(2026, 10, 27), "letter-004", ExpectedState.OVERDUE)
    assert "5 further days by which letter-004 can hold it back" in found.sentence


def test_it_is_not_overdue_before_the_stay_is_over() -> None:
    states = [
        rows(REPORT, FORWARDED, DISPUTE, today=date(2026, 10, day))["publication"].state for day in (21, 26, 27, 28)
    ]
    assert states == [ExpectedState.EXPECTED] * 3 + [ExpectedState.OVERDUE]


@pytest.mark.parametrize(
    "change",
    [
        {"day": "2026-09-30"},
        {"day": "2026-10-21"},
        {"day": "2026-11-26"},
        {"addressee": "eu-authority-record"},
        {"kind": LetterKind.ANSWER},
    ],
)
def test_what_came_before_the_report_or_after_the_latest_day_puts_nothing_off(change: dict[str, Any]) -> None:
    dispute = replace(DISPUTE, **change)
    found = rows(REPORT, FORWARDED, dispute)["publication"]
    assert (found.latest, found.stayed_by, found.stay) == (date(2026, 10, 20), "", 0)
    assert "further days" not in found.sentence


def test_it_puts_off_a_publication_that_is_only_estimated_as_well() -> None:
    report, dispute = replace(REPORT, day="2026-11-12"), replace(DISPUTE, day="2026-11-13")
    # sent on by the 19th of November, published by the 4th of December; 7, 8, 9, 10, 11 December more
    found = rows(report, dispute, today=date(2026, 11, 16))["publication"]
    assert (found.latest, found.estimated, found.stayed_by) == (date(2026, 12, 11), True, "letter-004")


def test_at_the_end_of_the_calendar_a_stay_leaves_no_day() -> None:
    letters = (replace(REPORT, day="2099-12-01"), replace(FORWARDED, day="2099-12-11"))
    today = date(2099, 12, 20)
    assert rows(*letters, today=today)["publication"].latest == date(2099, 12, 28)
    found = rows(*letters, replace(DISPUTE, day="2099-12-14"), today=today)["publication"]
    assert (found.state, found.latest) == (ExpectedState.UNDATED, None)


# --- consent ----------------------------------------------------------------------------------------------------------


@pytest.mark.published("16-cfr-1102", "1102.10(d)(8): without consent a report is not published")
@pytest.mark.parametrize("consent", [Answer.OPEN, Answer.UNKNOWN, Answer.NO])
@pytest.mark.parametrize("unit", [Unit(), CASE.unit])
@pytest.mark.parametrize("letters", [(REPORT,), (REPORT, FORWARDED), (REPORT, FORWARDED, DISPUTE)])
def test_without_a_consent_no_publication_is_expected(consent: Answer, unit: Unit, letters: tuple[Letter, ...]) -> None:
    case = replace(CASE, unit=unit, consents=Consents(publish=consent))
    for today in (date(2026, 10, 6), TODAY):
        found = [one for key, one in rows(*letters, today=today, case=case).items() if key.startswith("publication")]
        assert len(found) == (0 if consent is Answer.NO else 1)
        for one in found:
            assert (one.state, one.latest, one.earliest) == (ExpectedState.UNDECIDED, None, None)
            assert not one.overdue
            assert not one.open
            assert "no consent to publication is recorded" in one.sentence


def test_a_publication_that_came_is_told_whatever_the_consent() -> None:
    found = rows(REPORT, PUBLISHED, case=replace(CASE, consents=Consents()))
    assert (found["publication"].state, found["transmission"].state) == (ExpectedState.MET, ExpectedState.MET)
    assert rows(REPORT, PUBLISHED, case=replace(CASE, consents=Consents(publish=Answer.NO)))["transmission"].met_by


def test_every_answer_on_which_a_date_hangs_has_its_sentence() -> None:
    asked = {
        gap_name(term.link)
        for key in profile_keys()
        for follow in profile(key).follow_up
        for condition in follow.only_if
        for term in condition.terms
        if term.word not in ("present", "missing")
    }
    told = {key.rpartition(".")[2] for key in wording.keys("letters") if key.startswith("letters.undecided.")}
    assert asked == told


def test_whether_a_rule_on_injuries_applies_is_not_decided_without_an_answer() -> None:
    letters = (replace(NOTICE, day="2026-11-20"),)
    for injured in (Answer.OPEN, Answer.UNKNOWN):
        case = Case(id="C-1", situation=Situation(injured=injured), letters=letters)
        found = {one.follow_up: one for one in every_expected(case, TODAY)}["accident"]
        assert found.state is ExpectedState.UNDECIDED
        assert "injured" in found.sentence


# --- days that cannot be, and never too early -------------------------------------------------------------------------

ODD_DAYS = ["", "someday", "2026-02-31", "2026-W45", "2026-10", "2026-11-26", "2099-01-01", "9999-12-31", "1900-01-01"]


@pytest.mark.parametrize("day", ODD_DAYS)
def test_a_letter_that_cannot_have_come_starts_no_clock(day: str) -> None:
    for letters in ((replace(REPORT, day=day),), (REPORT, replace(FORWARDED, day=day))):
        for one in rows(*letters).values():
            if one.started_by == letters[-1].id:
                assert (one.earliest, one.latest, one.overdue) == (None, None, False)


DAYS = st.dates(date(2026, 9, 1), date(2027, 1, 31))
KINDS = st.sampled_from(list(LetterKind))
LETTERS = st.lists(st.tuples(KINDS, DAYS | st.none(), st.integers(0, 6)), min_size=1, max_size=6)


def letters_of(drawn: list[tuple[LetterKind, date | None, int]]) -> tuple[Letter, ...]:
    return tuple(
        Letter(
            id=f"letter-{number}",
            kind=kind,
            addressee=KEY,
            day="" if day is None else day.isoformat(),
            answers=f"letter-{answers}" if answers else "",
        )
        for number, (kind, day, answers) in enumerate(drawn, start=1)
    )


@given(LETTERS, DAYS, DAYS)
@settings(derandomize=True, deadline=None, max_examples=150)
def test_one_more_request_for_correction_never_makes_anything_overdue_earlier(
    drawn: list[tuple[LetterKind, date | None, int]], asked: date, today: date
) -> None:
    letters = letters_of(drawn)
    dispute = replace(DISPUTE, id="letter-99", day=asked.isoformat())
    before = expected(replace(CASE, letters=letters), profile(KEY), today)
    after = expected(replace(CASE, letters=(*letters, dispute)), profile(KEY), today)
    overdue = {(one.follow_up, one.started_by): one.latest for one in before if one.overdue}
    for one in after:
        if one.overdue:
            latest, was = one.latest, overdue[one.follow_up, one.started_by]
            assert latest is not None
            assert was is not None
            assert latest >= was


@given(LETTERS, st.integers(0, 60))
@settings(derandomize=True, deadline=None, max_examples=150)
def test_what_is_overdue_began_with_a_letter_and_has_no_publication(
    drawn: list[tuple[LetterKind, date | None, int]], wait: int
) -> None:
    letters = letters_of(drawn)
    today = date(2026, 12, 1) + timedelta(days=wait)
    for one in expected(replace(CASE, letters=letters), profile(KEY), today):
        if one.overdue:
            start = next(letter for letter in letters if letter.id == one.started_by)
            assert start.kind is LetterKind.FORWARDED
            assert one.latest is not None
            assert start.day < one.latest.isoformat() < today.isoformat()
            assert not any(
                letter.kind is LetterKind.PUBLISHED and one.started_by == letter.answers for letter in letters
            )

"""The correspondence: its order, what follows from a letter and by when, what was met."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.addressees.asked import Clause, ClauseStatus, Counting, FollowUp, Profile
from hazardreport.addressees.letter_answers import answers_due, comments, corrections
from hazardreport.addressees.letter_days import in_order
from hazardreport.addressees.letters import Expected, ExpectedState, every_expected, expected
from hazardreport.addressees.profiles import profile, profile_keys
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, Consents
from hazardreport.case.letter import AttackedPoint, Letter, LetterKind
from hazardreport.case.situation import Situation
from hazardreport.case.stated import value
from hazardreport.case.unit import Unit

CASE = Case(id="C-1", revision=7, consents=Consents(publish=Answer.YES))
KEY = "us-agency-harm"
CLAUSE = Clause(reference="15-usc-2055a", place="(c)(1)", status=ClauseStatus.READ)
SENT_ON = FollowUp(
    key="transmission",
    text="sent on",
    clauses=(CLAUSE,),
    starts=LetterKind.REPORT,
    days=5,
    counting=Counting.BUSINESS,
    holidays="US",
    waits_for=LetterKind.FORWARDED,
)
OWED = replace(SENT_ON, owed=True)
PUBLISHED = replace(
    OWED, key="publication", starts=LetterKind.FORWARDED, days=10, waits_for=LetterKind.PUBLISHED, text="published"
)
STAYED = replace(SENT_ON, key="stay", starts=LetterKind.CORRECTION_REQUEST, days=5, waits_for=None)
OPEN_ENDED = replace(SENT_ON, key="accident", days=None, counting=Counting.NONE, holidays="", waits_for=None)
PROFILE = replace(profile(KEY), follow_up=(SENT_ON, PUBLISHED, STAYED, OPEN_ENDED))

REPORT = Letter(id="letter-001", addressee=KEY, whom="office", day="2026-11-12", revision=7, file_sha256="0" * 64)
RECEIPT = Letter(
    id="letter-002", kind=LetterKind.RECEIPT, addressee=KEY, whom="office", day="2026-11-13", reference="R-1"
)
FORWARDED = replace(RECEIPT, id="letter-003", kind=LetterKind.FORWARDED, day="2026-11-18")
TODAY = date(2026, 11, 16)


def rows(*letters: Letter, today: date = TODAY, given: Profile = PROFILE) -> dict[str, Expected]:
    found = expected(replace(CASE, letters=letters), given, today)
    assert len({one.follow_up for one in found}) == len(found)
    return {one.follow_up: one for one in found}


def test_letters_stand_by_their_day_and_those_without_one_last() -> None:
    undated, odd = replace(REPORT, id="letter-004", day=""), replace(REPORT, id="letter-005", day="31 February")
    case = replace(CASE, letters=(undated, FORWARDED, odd, RECEIPT, replace(RECEIPT, id="letter-006"), REPORT))
    assert [one.id[-1] for one in in_order(case)] == ["1", "2", "6", "3", "4", "5"]


def test_without_a_letter_nothing_is_counted() -> None:
    found = rows()
    assert {one.state for key, one in found.items() if key != "accident"} == {ExpectedState.NOT_STARTED}
    assert all(one.latest is None and not one.started_by and not one.overdue for one in found.values())


@pytest.mark.published("15-usc-2055a", "(c)(1), (c)(3): 5 and 10 business days; days counted by hand")
def test_a_report_starts_what_the_law_counts_from_it() -> None:
    found = rows(REPORT)
    # 13, 16, 17, 18, 19 November
    sent_on = found["transmission"]
    assert (sent_on.earliest, sent_on.latest) == (date(2026, 11, 13), date(2026, 11, 19))
    assert (sent_on.state, sent_on.started_by, sent_on.estimated) == (ExpectedState.EXPECTED, "letter-001", False)
    # at the earliest the day after the 13th; at the latest ten days after the 19th, the 26th being Thanksgiving Day
    published = found["publication"]
    assert (published.earliest, published.latest) == (date(2026, 11, 16), date(2026, 12, 4))
    assert (published.state, published.started_by, published.estimated) == (ExpectedState.EXPECTED, "", True)
    assert "if the letter from which it is counted comes" in published.sentence
    assert "Nobody has promised it" in published.sentence
    assert "Nobody has promised it" in sent_on.sentence
    assert "federal holidays" in sent_on.counted


def test_the_letter_itself_is_counted_from_once_it_has_come() -> None:
    found = rows(REPORT, FORWARDED, today=date(2026, 11, 18))
    assert found["transmission"].state is ExpectedState.MET
    assert (found["transmission"].met_by, found["transmission"].met_on) == ("letter-003", date(2026, 11, 18))
    assert not found["transmission"].late
    # 19, 20, 23, 24, 25, 27, 30 November, 1, 2, 3 December
    assert found["publication"].latest == date(2026, 12, 3)
    assert (found["publication"].started_by, found["publication"].estimated) == ("letter-003", False)


def test_a_letter_dated_after_today_has_not_come() -> None:
    found = rows(REPORT, FORWARDED)
    assert found["transmission"].state is ExpectedState.EXPECTED
    assert found["publication"].state is ExpectedState.UNDATED


def test_it_is_overdue_the_day_after_the_latest_and_not_before() -> None:
    assert rows(REPORT, today=date(2026, 11, 19))["transmission"].state is ExpectedState.EXPECTED
    owed = replace(PROFILE, follow_up=(OWED, PUBLISHED))
    late = rows(REPORT, today=date(2026, 11, 20), given=owed)
    assert late["transmission"].overdue
    assert "Ask whether it came another way" in late["transmission"].sentence
    assert late["publication"].state is ExpectedState.NOT_STARTED


def test_what_came_after_its_day_is_met_late() -> None:
    letters, owed = (REPORT, replace(FORWARDED, day="2026-11-20")), replace(PROFILE, follow_up=(OWED,))
    found = rows(*letters, today=date(2026, 12, 1), given=owed)["transmission"]
    assert (found.state, found.late) == (ExpectedState.MET, True)
    assert "after the day" in found.sentence


def test_what_nobody_has_to_answer_is_over_and_not_overdue() -> None:
    dispute = replace(RECEIPT, id="letter-009", kind=LetterKind.CORRECTION_REQUEST, day="2026-11-02")
    # 3, 4, 5, 6, 9 November
    found = rows(dispute)["stay"]
    assert (found.latest, found.state, found.overdue) == (date(2026, 11, 9), ExpectedState.PASSED, False)


ASKED = replace(SENT_ON, key="answer", clauses=(), waits_for=LetterKind.ANSWER)


def test_what_we_only_ask_for_is_never_overdue_and_never_late() -> None:
    asking = replace(PROFILE, follow_up=(ASKED,))
    found = rows(REPORT, today=date(2026, 11, 20), given=asking)["answer"]
    assert (found.latest, found.state, found.overdue) == (date(2026, 11, 19), ExpectedState.PASSED, False)
    assert "No law that was read owes it" in found.sentence
    reply = replace(RECEIPT, id="letter-004", kind=LetterKind.ANSWER, day="2026-11-27")
    came = rows(REPORT, reply, today=date(2026, 12, 1), given=asking)["answer"]
    assert (came.state, came.late) == (ExpectedState.MET, False)
    assert "after the day" not in came.sentence


@pytest.mark.parametrize("key", [key for key in profile_keys() if profile(key).kind.value in ("maker", "seller")])
def test_no_firm_is_told_to_be_overdue_with_an_answer_that_no_law_owes(key: str) -> None:
    report = replace(REPORT, addressee=key, day="2026-12-24")
    found = expected(replace(CASE, letters=(report,)), profile(key), date(2027, 2, 20))
    assert any(one.state is ExpectedState.PASSED for one in found)
    assert not any(one.overdue or one.owed for one in found)


@pytest.mark.published("16-cfr-1115", "1115.14: 5 days for the news, 10 for the investigation; days counted by hand")
def test_the_investigation_of_a_firm_is_expected_and_then_over() -> None:
    report = replace(REPORT, addressee="us-maker", day="2026-12-24")
    case = replace(CASE, letters=(report,))
    # 28, 29, 30, 31 December, 4, 5, 6, 7, 8, 11, 12, 13, 14, 15, 19 January; the 18th is a holiday
    for today, state in ((date(2027, 1, 19), ExpectedState.EXPECTED), (date(2027, 1, 20), ExpectedState.PASSED)):
        found = {one.follow_up: one for one in expected(case, profile("us-maker"), today)}["investigation"]
        assert (found.latest, found.state, found.waits_for) == (date(2027, 1, 19), state, None)


def test_a_marketplace_has_its_days_and_is_not_overdue_with_an_answer_that_no_rule_owes() -> None:
    report = replace(REPORT, addressee="eu-marketplace", day="2026-12-24")
    case = replace(CASE, letters=(report,))
    for today, state in ((date(2026, 12, 30), ExpectedState.EXPECTED), (date(2026, 12, 31), ExpectedState.PASSED)):
        found = {one.follow_up: one for one in expected(case, profile("eu-marketplace"), today)}["notice"]
        assert (found.earliest, found.latest) == (date(2026, 12, 28), date(2026, 12, 30))
        assert found.state is state
    assert "By the rule it was to be done by 2026-12-30" in found.sentence
    assert "no day is fixed" in found.sentence


def test_only_a_publication_is_owed_by_a_day() -> None:
    owed = {(key, follow.key) for key in profile_keys() for follow in profile(key).follow_up if follow.owed}
    assert owed == {(KEY, "publication"), (KEY, "publication_without_numbers")}


def test_where_no_number_of_days_is_fixed_none_is_shown() -> None:
    found = rows(REPORT)["accident"]
    assert (found.state, found.earliest, found.latest, found.counted) == (ExpectedState.NO_DAY, None, None, "")


@pytest.mark.parametrize(
    "day", ["", "31 February", "2026-02-31", "2026-11-17", "9999-12-31", "1900-01-01", "0001-01-01"]
)
def test_from_an_absurd_day_nothing_is_counted(day: str) -> None:
    found = rows(replace(REPORT, day=day))
    assert found["transmission"].state is ExpectedState.UNDATED
    assert found["transmission"].latest is None
    assert found["publication"].latest is None
    assert "Cannot be counted" in found["transmission"].sentence


def test_an_answer_belongs_to_the_letter_that_it_names() -> None:
    second = replace(REPORT, id="letter-008", day="2026-11-13")
    reply = replace(FORWARDED, answers="letter-008")
    only = replace(PROFILE, follow_up=(SENT_ON,))
    first, other = expected(replace(CASE, letters=(REPORT, second, reply)), only, date(2026, 11, 18))
    assert (first.started_by, first.met_by) == ("letter-001", "")
    assert (other.started_by, other.met_by) == ("letter-008", "letter-003")


def test_an_answer_to_the_receipt_answers_the_report() -> None:
    receipt, reply = replace(RECEIPT, answers="letter-001"), replace(FORWARDED, answers="letter-002")
    assert rows(REPORT, receipt, reply, today=date(2026, 11, 18))["transmission"].met_by == "letter-003"


def test_letters_that_answer_each_other_end() -> None:
    one, other = replace(RECEIPT, answers="letter-003"), replace(FORWARDED, answers="letter-002")
    assert rows(REPORT, one, other)["transmission"].met_by == ""


def test_letters_of_another_addressee_count_nothing() -> None:
    found = rows(replace(REPORT, addressee="eu-maker-notice"), replace(FORWARDED, addressee=""))
    assert {one.state for key, one in found.items() if key != "accident"} == {ExpectedState.NOT_STARTED}
    assert rows(REPORT, replace(FORWARDED, addressee=""))["transmission"].met_by == ""


def test_an_earlier_letter_that_names_none_does_not_answer() -> None:
    assert rows(REPORT, replace(FORWARDED, day="2026-11-11"))["transmission"].met_by == ""


def test_what_the_case_rules_out_is_not_expected() -> None:
    with_numbers = replace(CASE, letters=(REPORT,), unit=Unit(model=value("M"), serial=value("S")))
    without = replace(CASE, letters=(REPORT,))
    keys = [{one.follow_up for one in every_expected(case, TODAY)} for case in (with_numbers, without)]
    assert keys[0] - keys[1] == {"publication"}
    assert keys[1] - keys[0] == {"publication_without_numbers"}


def test_only_addressees_that_a_letter_belongs_to_are_looked_at() -> None:
    letters = (
        REPORT,
        replace(REPORT, id="letter-007", addressee="nobody-knows"),
        replace(REPORT, id="letter-008", addressee=""),
    )
    assert {one.profile for one in every_expected(replace(CASE, letters=letters), TODAY)} == {KEY}


@pytest.mark.parametrize("key", profile_keys())
def test_every_rule_of_every_profile_can_be_counted(key: str) -> None:
    addressee, case = profile(key), replace(CASE, situation=Situation(injured=Answer.YES))
    for follow in addressee.follow_up:
        start = replace(REPORT, addressee=key, kind=follow.starts or LetterKind.REPORT)
        for one in expected(replace(case, letters=(start,)), replace(addressee, follow_up=(follow,)), TODAY):
            assert one.state is (ExpectedState.EXPECTED if follow.days else ExpectedState.NO_DAY), one
            assert bool(one.counted) is bool(follow.days)
            assert one.sentence


DISPUTE = replace(
    RECEIPT,
    id="letter-004",
    kind=LetterKind.CORRECTION_REQUEST,
    disputes=AttackedPoint.HARM,
    day="2026-11-02",
    text="“half the mains on the rim”",
    answer_by="2026-11-13",
)


def test_a_request_for_correction_says_what_it_disputes_and_until_when() -> None:
    (found,) = corrections(replace(CASE, letters=(REPORT, DISPUTE)), TODAY)
    assert (found.letter, found.point, found.passage) == ("letter-004", AttackedPoint.HARM, DISPUTE.text)
    assert (found.by, found.answered_by, found.overdue) == (date(2026, 11, 13), "", True)
    reply = Letter(id="letter-005", kind=LetterKind.MESSAGE, day="2026-11-10", answers="letter-004")
    (found,) = corrections(replace(CASE, letters=(DISPUTE, reply)), TODAY)
    assert (found.answered_by, found.overdue) == ("letter-005", False)
    (found,) = corrections(replace(CASE, letters=(replace(DISPUTE, answer_by=""),)), TODAY)
    assert (found.by, found.overdue) == (None, False)


def test_answers_are_due_in_both_directions() -> None:
    asked = replace(REPORT, answer_by="2026-11-16")
    case = replace(CASE, letters=(DISPUTE, asked, replace(RECEIPT, answers="letter-004"), REPORT))
    ours, theirs = answers_due(case, TODAY)
    assert (ours.letter, ours.ours, ours.overdue, ours.answered_by) == ("letter-004", True, True, "")
    assert (theirs.letter, theirs.ours, theirs.overdue) == ("letter-001", False, False)
    (found,) = answers_due(replace(CASE, letters=(replace(DISPUTE, answer_by="soon"),)), TODAY)
    assert (found.by, found.overdue) == (None, False)


def test_comments_of_the_maker_stand_by_themselves() -> None:
    comment = replace(RECEIPT, id="letter-006", kind=LetterKind.MAKER_COMMENT, text="never heard of it")
    assert comments(replace(CASE, letters=(REPORT, comment))) == (comment,)


@given(
    days=st.lists(st.dates(date(2020, 1, 1), date(2030, 1, 1)), min_size=1, max_size=6),
    today=st.dates(date(2020, 1, 1), date(2031, 1, 1)),
    wait=st.integers(0, 60),
)
@settings(derandomize=True, deadline=None, max_examples=100)
def test_waiting_never_makes_an_overdue_letter_expected_again(days: list[date], today: date, wait: int) -> None:
    letters = tuple(replace(REPORT, id=f"letter-{n:03d}", day=day.isoformat()) for n, day in enumerate(days))
    case = replace(CASE, letters=letters)
    now, then = expected(case, PROFILE, today), expected(case, PROFILE, today + timedelta(days=wait))
    for one in now:
        assert one.earliest is None or (one.latest is not None and one.earliest <= one.latest)
        if one.overdue:
            (later,) = [
                other for other in then if (other.follow_up, other.started_by) == (one.follow_up, one.started_by)
            ]
            assert later.overdue
            assert later.latest == one.latest

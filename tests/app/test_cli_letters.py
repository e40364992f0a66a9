"""The commands letter and letters: one line of the correspondence each time, kept, listed, put into a calendar."""

import hashlib
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from icalendar import Calendar

from hazardreport.addressees.profiles import profile
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Consents
from hazardreport.case.letter import AttackedPoint, Letter, LetterKind
from hazardreport.errors import ExitCode
from hazardreport.storage.folder import open_case, save_case

Answered = Callable[..., Any]
REPORT = ("--kind", "report", "--to", "reports office", "--day", "2026-05-12", "--addressee", "us-agency-harm")


def saved(folder: Path) -> Case:
    return open_case(folder, for_writing=False).case


@pytest.fixture
def case(answered: Answered, tmp_path: Path) -> Path:
    folder = tmp_path / "case"
    sheet = tmp_path / "unit.toml"
    sheet.write_text('title = "Wax pot"\n[consents]\npublish = "yes"\n', encoding="utf-8")
    assert answered("new", folder).code == 0
    assert answered("import-unit", folder, sheet).code == 0
    return folder


@pytest.fixture
def report(tmp_path: Path) -> Path:
    file = tmp_path / "report.pdf"
    file.write_bytes(b"%PDF-1.7 report")
    return file


def test_a_report_that_was_sent_is_recorded_with_the_hash_of_its_file(
    answered: Answered, case: Path, report: Path
) -> None:
    answer = answered(
        "letter",
        case,
        *REPORT,
        "--revision",
        "2",
        "--file",
        report,
        "--means",
        "own form on a website",
        "--person",
        "Ada Clerk",
        "--author",
        "Rosa Example",
    )
    assert (answer.code, answer.err) == (0, "")
    assert "Recorded as letter-001 in revision 3." in answer.out
    assert saved(case).letters == (
        Letter(
            id="letter-001",
            addressee="us-agency-harm",
            whom="reports office",
            person="Ada Clerk",
            day="2026-05-12",
            means="own form on a website",
            revision=2,
            file_sha256=hashlib.sha256(b"%PDF-1.7 report").hexdigest(),
        ),
    )
    assert "letter-001 added" in answered("log", case).out


def test_every_kind_of_letter_goes_into_the_log_and_back(answered: Answered, case: Path, report: Path) -> None:
    assert answered("letter", case, *REPORT, "--revision", "2", "--file", report).code == 0
    incoming = ("receipt", "answer", "forwarded", "published", "comment")
    for kind in incoming:
        words = (
            "--from",
            "reports office",
            "--day",
            "2026-05-20",
            "--addressee",
            "us-agency-harm",
            "--reference",
            "R-1",
        )
        assert answered("letter", case, "--kind", kind, *words, "--answers", "letter-001").code == 0
    words = ("--from", "the maker", "--day", "2026-05-22", "--text", "the rim cannot be live", "--disputes", "harm")
    assert answered("letter", case, "--kind", "correction", *words, "--answer-by", "2026-06-10").code == 0
    assert answered("letter", case, "--kind", "message", "--to", "the maker", "--day", "2026-05-25").code == 0
    before = saved(case)
    assert [one.kind for one in before.letters] == [
        LetterKind.REPORT,
        LetterKind.RECEIPT,
        LetterKind.ANSWER,
        LetterKind.FORWARDED,
        LetterKind.PUBLISHED,
        LetterKind.MAKER_COMMENT,
        LetterKind.CORRECTION_REQUEST,
        LetterKind.MESSAGE,
    ]
    dispute = before.letters[6]
    assert (dispute.disputes, dispute.answer_by) == (AttackedPoint.HARM, "2026-06-10")
    save_case(before, case)
    assert saved(case).letters == before.letters
    assert answered("verify", case).code == 0


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("--kind", "report", "--from", "office", "--day", "2026-05-12"), "say with --to"),
        (("--kind", "receipt", "--to", "office", "--day", "2026-05-12"), "say with --from"),
        (("--kind", "receipt", "--from", "office", "--day", "31 February"), "is no day"),
        (("--kind", "receipt", "--from", "office", "--day", "2026-02-31"), "is no day"),
        (("--kind", "receipt", "--from", "office", "--day", "2031-01-01"), "today is 2026-06-01"),
        (("--kind", "receipt", "--from", " ", "--day", "2026-05-12"), "from whom it came"),
        ((*REPORT[:6], "--addressee", "nobody-knows"), "knows no addressee “nobody-knows”"),
        ((*REPORT, "--revision", "9"), "has had revisions up to 2"),
        ((*REPORT, "--attachment", "attachment-009"), "names attachment-009"),
        ((*REPORT, "--answers", "letter-009"), "answers letter-009, which is not recorded"),
        ((*REPORT, "--disputes", "harm"), "cannot dispute a point"),
        ((*REPORT, "--answer-by", "2026-05-01"), "before the letter itself"),
        ((*REPORT, "--answer-by", "9999-12-31"), "beyond the calendar: it goes from 1990-01-01 to 2099-12-31"),
        ((*REPORT, "--answer-by", "2026-W23"), "is no day until which"),
        (("--kind", "correction", "--from", "maker", "--day", "2026-05-12", "--disputes", "harm"), "passage"),
        (("--kind", "correction", "--from", "maker", "--day", "2026-05-12", "--text", "x"), "which point"),
    ],
)
def test_what_cannot_be_so_is_refused_and_nothing_is_saved(
    answered: Answered, case: Path, words: tuple[str, ...], why: str
) -> None:
    answer = answered("letter", case, *words)
    assert answer.code == ExitCode.INPUT_REFUSED
    assert why in answer.err
    assert (saved(case).letters, saved(case).revision) == ((), 2)


def test_an_answer_dated_before_what_it_answers_is_refused(answered: Answered, case: Path) -> None:
    answered("letter", case, *REPORT)
    words = ("--kind", "receipt", "--from", "office", "--day", "2026-05-11", "--addressee", "us-agency-harm")
    answer = answered("letter", case, *words, "--answers", "letter-001")
    assert answer.code == ExitCode.INPUT_REFUSED
    assert "answers letter-001 of 2026-05-12, which is later" in answer.err
    assert len(saved(case).letters) == 1


def test_what_is_worth_saying_is_told_and_recorded(answered: Answered, case: Path) -> None:
    answer = answered("letter", case, *REPORT)
    assert answer.code == 0
    assert "It is not said which revision of the case was sent." in answer.err
    assert "The hash of the file that was sent is not recorded" in answer.err
    assert len(saved(case).letters) == 1


@pytest.mark.parametrize(
    "words", [("--kind", "report", "--day", "2026-05-12"), (*REPORT, "--from", "x"), ("--kind", "rumour")]
)
def test_words_that_do_not_fit_together_are_told(answered: Answered, case: Path, words: tuple[str, ...]) -> None:
    assert answered("letter", case, *words).code == ExitCode.USAGE


def test_a_file_that_is_not_there_is_named(answered: Answered, case: Path, tmp_path: Path) -> None:
    answer = answered("letter", case, *REPORT, "--file", tmp_path / "nothing.pdf")
    assert answer.code == ExitCode.INPUT_REFUSED
    assert "nothing.pdf" in answer.err
    assert saved(case).letters == ()


def test_the_list_shows_letters_in_order_with_what_is_expected(answered: Answered, case: Path) -> None:
    answered("letter", case, *REPORT, "--revision", "2")
    words = ("--from", "reports office", "--day", "2026-05-13", "--addressee", "us-agency-harm", "--reference", "R-9")
    answered("letter", case, "--kind", "receipt", *words, "--answers", "letter-001")
    answer = answered("letters", case)
    assert answer.code == 0
    lines = answer.out.splitlines()
    assert lines[0] == "letter-001  2026-05-12  report to reports office"
    assert "letter-002  2026-05-13  acknowledgement of receipt from reports office" in lines
    assert "    reference: R-9" in lines
    assert "Expected by rule; nobody has promised it" in lines
    # 13, 14, 15, 18, 19 May; today is 1 June
    assert "By the rule it was to be done by 2026-05-19, counted from letter-001, and nothing of it" in answer.out
    assert "overdue" not in answer.out.lower()
    assert "federal holidays of the United States" in answer.out


def test_a_request_for_correction_is_listed_with_its_point_its_passage_and_its_day(
    answered: Answered, case: Path
) -> None:
    words = ("--from", "the maker", "--day", "2026-05-22", "--text", "half the mains\non the rim", "--disputes", "harm")
    answered("letter", case, "--kind", "correction", *words, "--answer-by", "2026-05-29")
    out = answered("letters", case).out
    assert "letter-001 disputes: harm or risk. Passage: half the mains on the rim" in out
    assert "An answer is asked for by 2026-05-29." in out
    assert "letter-001 of the maker asks you for an answer. The day was 2026-05-29; no answer is recorded." in out
    answered("letter", case, "--kind", "message", "--to", "the maker", "--day", "2026-05-28", "--answers", "letter-001")
    assert "Answered with letter-002." in answered("letters", case).out


def test_absurd_days_in_a_case_are_listed_and_kept(answered: Answered, case: Path) -> None:
    odd = Letter(id="letter-001", addressee="us-agency-harm", whom="office", day="31 February\x1b[2J", revision=99)
    future = Letter(id="letter-002", addressee="us-agency-harm", whom="office", day="9999-12-31")
    opened = open_case(case)
    save_case(replace(opened.case, letters=(odd, future)), case)
    opened.close()
    answer = answered("letters", case)
    assert answer.code == ExitCode.INCOMPLETE_OR_CHANGED
    assert "is no day; nothing can be counted from it." in answer.out
    assert "The letter is dated 9999-12-31" in answer.out
    assert "Revision 99 is said to have been sent" in answer.out
    assert "\x1b" not in answer.out
    assert [one.day for one in saved(case).letters] == [odd.day, future.day]


def test_the_calendar_holds_what_is_open_and_is_always_the_same(answered: Answered, case: Path, tmp_path: Path) -> None:
    answered("letter", case, *REPORT[:4], "--day", "2026-05-28", *REPORT[6:], "--revision", "2")
    for name in ("a.ics", "b.ics"):
        answer = answered("letters", case, "--calendar", tmp_path / name)
        assert answer.code == 0
        assert f"{name} holds the expected days that are still open." in answer.out
    data = (tmp_path / "a.ics").read_bytes()
    assert data == (tmp_path / "b.ics").read_bytes()
    days = [event.decoded("dtstart").isoformat() for event in Calendar.from_ical(data).walk("VEVENT")]
    # 29 May, 1, 2, 3, 4 June; then 15 days: 5, 8 to 12, 15 to 18, 22 to 26 June, the 19th being a holiday
    assert days == ["2026-06-04", "2026-06-26"]
    assert b"reports office" not in data


def kept(case: Path, *letters: Letter) -> None:
    opened = open_case(case)
    save_case(replace(opened.case, letters=letters), case)
    opened.close()


@pytest.mark.parametrize("day", ["9999-12-31", "2100-01-01"])
def test_a_day_beyond_the_calendar_in_a_case_is_told_and_left_out_of_the_calendar_file(
    answered: Answered, case: Path, tmp_path: Path, day: str
) -> None:
    report = Letter(id="letter-001", addressee="us-agency-harm", whom="office", day="2026-05-28")
    kept(case, report, replace(report, id="letter-002", answer_by=day), replace(report, id="letter-003", day=day))
    answer = answered("letters", case, "--calendar", tmp_path / "a.ics")
    assert answer.code == ExitCode.INCOMPLETE_OR_CHANGED
    assert f"An answer is asked for by {day}, which lies beyond the calendar" in answer.out
    assert "no day of the years 1990 to 2099" in answer.out
    events = Calendar.from_ical((tmp_path / "a.ics").read_bytes()).walk("VEVENT")
    assert {event.decoded("dtstart").year for event in events} == {2026}


def test_what_hangs_on_a_consent_that_is_not_given_is_not_in_the_calendar(
    answered: Answered, case: Path, tmp_path: Path
) -> None:
    answered("letter", case, *REPORT[:4], "--day", "2026-05-28", *REPORT[6:], "--revision", "2")
    opened = open_case(case)
    save_case(replace(opened.case, consents=Consents()), case)
    opened.close()
    answer = answered("letters", case, "--calendar", tmp_path / "a.ics")
    assert "Not expected: no consent to publication is recorded" in answer.out
    (event,) = Calendar.from_ical((tmp_path / "a.ics").read_bytes()).walk("VEVENT")
    assert event.decoded("dtstart").isoformat() == "2026-06-04"


def test_a_calendar_is_not_written_into_the_case(answered: Answered, case: Path) -> None:
    answer = answered("letters", case, "--calendar", case / "expected.ics")
    assert answer.code == ExitCode.COULD_NOT_WRITE
    assert not (case / "expected.ics").exists()


def test_without_anything_expected_no_calendar_is_written(answered: Answered, case: Path, tmp_path: Path) -> None:
    answer = answered("letters", case, "--calendar", tmp_path / "expected.ics")
    assert answer.code == ExitCode.INCOMPLETE_OR_CHANGED
    assert "No calendar file was written" in answer.err
    assert not (tmp_path / "expected.ics").exists()


def test_a_case_without_letters_says_so_and_a_pack_can_be_listed(
    answered: Answered, case: Path, tmp_path: Path
) -> None:
    assert answered("letters", case).out == "No letter is recorded.\n"
    answered("letter", case, *REPORT)
    assert answered("pack", case, "--out", tmp_path / "case.zip").code == 0
    assert "report to reports office" in answered("letters", tmp_path / "case.zip").out


def test_a_publication_is_held_back_with_a_warning_until_both_have_the_report(
    answered: Answered, case: Path, tmp_path: Path
) -> None:
    answered("letter", case, *REPORT)
    first = answered("pack", case, "--for-publication", "--out", tmp_path / "first.zip")
    assert first.code == 0
    assert "Hold this publication back: no letter shows that the report has reached the maker." in first.err
    words = ("--kind", "report", "--to", "the maker", "--day", "2026-05-12", "--addressee", "eu-maker-notice")
    answered("letter", case, *words)
    second = answered("pack", case, "--for-publication", "--out", tmp_path / "second.zip")
    assert second.code == 0
    assert "Hold this publication back" not in second.err
    assert "An authority has the report, as letter-001 shows; the maker has it, as letter-002 shows." in second.err


def test_reports_that_cannot_have_gone_out_hold_a_publication_back(
    answered: Answered, case: Path, tmp_path: Path
) -> None:
    report = Letter(id="letter-001", addressee="us-agency-harm", whom="office", day="2099-01-01")
    kept(case, report, replace(report, id="letter-002", addressee="us-maker", day="someday"))
    answer = answered("pack", case, "--for-publication", "--out", tmp_path / "first.zip")
    assert "no letter shows that the report has reached an authority, the maker." in answer.err
    assert "letter-001, letter-002 cannot show it" in answer.err


def test_a_reason_for_publishing_early_is_told(answered: Answered, case: Path, tmp_path: Path) -> None:
    sheet = tmp_path / "unit.toml"
    sheet.write_text('[consents]\nearly_publication = "children use it every day"\n', encoding="utf-8")
    assert answered("import-unit", case, sheet).code == 0
    answer = answered("pack", case, "--for-publication", "--out", tmp_path / "early.zip")
    assert answer.code == 0
    assert "It is published before, for this reason: children use it every day" in answer.err


def test_letters_and_what_is_expected_name_the_addressee_by_its_title(answered: Answered, case: Path) -> None:
    answered("letter", case, *REPORT)
    answer = answered("letters", case)
    title = profile("us-agency-harm").title

    assert f"    belongs to: {title}\n" in answer.out
    assert f"\n  {title}\n" in answer.out
    assert "us-agency-harm" not in answer.out


def test_what_is_only_good_to_know_is_said_once_after_the_log(answered: Answered, case: Path) -> None:
    for day in ("2026-05-12", "2026-05-13"):
        answered("letter", case, "--kind", "report", "--to", "the office", "--day", day)
    answer = answered("letters", case)

    assert answer.out.count("It is not said which revision of the case was sent.") == 1
    assert "Good to know, letter-001, letter-002: It is not said which revision" in answer.out
    assert answer.out.index("2026-05-13") < answer.out.index("Good to know")


def test_none_names_no_addressee(answered: Answered, case: Path) -> None:
    words = ("--kind", "report", "--to", "the office", "--day", "2026-05-12", "--addressee", "none")
    assert answered("letter", case, *words).code == 0
    assert saved(case).letters[-1].addressee == ""

"""Answers across fields that contradict each other; counts and ways of contact that cannot be."""

from dataclasses import replace

import pytest

from hazardreport.assess.record_problems import record_problems
from hazardreport.case.answer_remarks import answer_remarks
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, Custody, Occasion, Occurrence, Submitter
from hazardreport.case.situation import Situation
from hazardreport.case.stated import Stated, not_applicable, unknown, value
from hazardreport.wording import sentence

CASE = Case(id="C-1", created="2026-05-12T07:00:00Z")


def keys(case: Case) -> list[str]:
    return [remark.key for remark in answer_remarks(case)]


@pytest.mark.parametrize(
    ("occasion", "injured", "injury", "told"),
    [
        (Occasion.DISCOVERY, Answer.YES, value("burn on one finger"), True),
        (Occasion.DISCOVERY, Answer.YES, Stated(), True),
        (Occasion.DISCOVERY, Answer.OPEN, value("burn on one finger"), True),
        (Occasion.DISCOVERY, Answer.OPEN, value("nobody was hurt"), False),
        (Occasion.DISCOVERY, Answer.OPEN, not_applicable("nobody was hurt"), False),
        (Occasion.DISCOVERY, Answer.NO, value("burn on one finger"), False),
        (Occasion.DISCOVERY, Answer.NO, Stated(), False),
        (Occasion.INCIDENT, Answer.YES, value("burn on one finger"), False),
        (Occasion.OPEN, Answer.YES, value("burn on one finger"), False),
    ],
)
def test_a_discovery_with_somebody_hurt_is_said(
    occasion: Occasion, injured: Answer, injury: Stated, told: bool
) -> None:
    case = replace(CASE, occurrence=Occurrence(occasion=occasion, injury=injury), situation=Situation(injured=injured))
    assert keys(case) == ["discovery_with_injury"] * told


@pytest.mark.parametrize(
    ("examined", "faulty", "told"),
    [
        (value("1"), value("3"), True),
        (value("2 of one batch"), value("10, all alike"), True),
        (value("3"), value("3"), False),
        (value("10"), value("9"), False),
        (value("1.5"), value("3"), False),
        (value("one"), value("three"), False),
        (unknown("nobody counted"), value("3"), False),
        (value("1"), Stated(), False),
    ],
)
def test_more_faulty_units_than_examined_are_said(examined: Stated, faulty: Stated, told: bool) -> None:
    case = replace(CASE, custody=Custody(units_examined=examined, units_faulty=faulty))
    assert keys(case) == ["more_faulty_than_examined"] * told


@pytest.mark.parametrize(
    ("email", "phone", "expected"),
    [
        ("berta at example", "abc", ["email_without_at", "phone_without_digits"]),
        ("berta@example.org", "+43 1 234567", []),
        ("@", "ext. 4", ["email_without_at"]),
        ("", "", []),
    ],
)
def test_a_way_of_contact_that_leads_nowhere_is_gently_said(email: str, phone: str, expected: list[str]) -> None:
    case = replace(CASE, submitter=Submitter(email=value(email), phone=value(phone)))
    assert keys(case) == expected
    assert all(remark.gentle for remark in answer_remarks(case))


def test_each_remark_has_its_words_and_names_no_address() -> None:
    case = replace(
        CASE,
        occurrence=Occurrence(occasion=Occasion.DISCOVERY),
        situation=Situation(injured=Answer.YES),
        custody=Custody(units_examined=value("1"), units_faulty=value("3")),
        submitter=Submitter(email=value("berta at example"), phone=value("abc")),
    )
    problems = [problem for problem in record_problems(case) if problem.key in keys(case)]

    assert len(problems) == 4
    told = " ".join(
        sentence(f"problems.{problem.key}.{part}", **dict(problem.fields))
        for problem in problems
        for part in ("what", "remedy")
    )
    assert "faulty (3) than were examined (1)" in told
    assert "berta" not in told

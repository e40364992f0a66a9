"""Absurd days and half answers: kept as entered, and said."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.assess.assessment import live_part
from hazardreport.assess.record_problems import record_problems
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, Consents, Occasion, Occurrence, Submitter
from hazardreport.case.confirmation import TableConfirmation
from hazardreport.case.day_remarks import day_remarks
from hazardreport.case.picture import Picture
from hazardreport.case.record_remarks import record_remarks
from hazardreport.case.scenario import HarmFactors
from hazardreport.case.situation import Situation
from hazardreport.case.stated import Stated, not_applicable, unknown, value
from hazardreport.case.unit import Unit
from hazardreport.case.upkeep import Alteration, Excluded
from hazardreport.wording import sentence

CASE = Case(id="C-1", created="2026-05-12T07:00:00Z")


def with_days(*, created: str = CASE.created, happened: str = "", **unit: str) -> Case:
    return replace(
        CASE,
        created=created,
        unit=Unit(**{name: value(text) for name, text in unit.items()}),
        occurrence=Occurrence(date=value(happened)),
    )


def keys(case: Case, *, gentle: bool = False) -> list[str]:
    return [remark.key for remark in (*day_remarks(case), *record_remarks(case)) if remark.gentle is gentle]


@pytest.mark.parametrize(
    ("days", "expected"),
    [
        ({"purchased": "2026-05-04", "happened": "2026-05-11"}, []),
        ({"purchased": "2026-05-04", "happened": "2026-05-04"}, []),
        ({"purchased": "2026-05-12", "happened": "2026-05-11"}, ["purchased_after_occurrence"]),
        ({"purchased": "May 2026", "happened": "2026-05-11"}, []),
        ({"purchased": "about 2026-05-14", "happened": "2026-05-11"}, []),
        ({"purchased": "2026", "happened": "2025"}, ["purchased_after_occurrence"]),
        ({"manufactured": "2026-03", "purchased": "2026-02-20"}, ["manufactured_after_purchase"]),
        ({"manufactured": "March 2026", "purchased": "2026-03-01"}, []),
        ({"manufactured": "2026-05", "happened": "2026-04-30"}, ["manufactured_after_occurrence"]),
        ({"manufactured": "1900-01"}, ["manufactured_too_early"]),
        ({"manufactured": "1900"}, ["manufactured_too_early"]),
        ({"manufactured": "1931"}, []),
        ({"manufactured": "2031"}, ["manufactured_after_case"]),
        ({"happened": "2026-05-14"}, ["occurred_after_case"]),
        ({"happened": "2026-05-13"}, ["occurred_after_case"]),
        ({"happened": "2026-05-12"}, []),
        ({"happened": "2026-05-13", "created": "2026-05-12T10:00:00Z"}, []),
        ({"happened": "2026-05-14", "created": "not a time"}, []),
        ({"purchased": "2027"}, ["purchased_after_case"]),
        ({"listing_seen": "2025-12-24", "purchased": "2026-05-04"}, []),
        ({"listing_seen": "2026-02-31"}, ["no_such_day"]),
        ({"purchased": "31 February 2026"}, ["no_such_day"]),
        ({"purchased": "03/04/2026"}, ["ambiguous_day"]),
        ({"purchased": "Monday, 12 May 2026"}, ["weekday_differs"]),
        ({"date_code_meaning": "6: 2026, D: fourth month"}, []),
        ({"date_code_meaning": "week 1 of 1900"}, ["date_code_year"]),
        ({"date_code_meaning": "week 14 of 2041, 2000 V tested"}, ["date_code_year"]),
        ({"date_code_meaning": "0.2099 of 2026"}, []),
        ({"date_code_meaning": "no key known"}, []),
        ({"date_code_meaning": "week 54 of 1899"}, ["date_code_year"]),
        ({"date_code_meaning": "year 1895"}, ["date_code_year"]),
        ({"date_code_meaning": "1895"}, ["date_code_year"]),
        ({"date_code": "1219", "date_code_meaning": "1219: week 12 of 2019"}, []),
        ({"date_code_meaning": "made for 1500 W, week 12 of 2019"}, []),
        ({"date_code": "1900"}, ["date_code_1900"]),
        ({"date_code": "1900-12"}, ["date_code_1900"]),
        ({"date_code": "1899-12-31"}, ["date_code_1900"]),
        ({"date_code": "1900", "date_code_meaning": "week 19 of 2000"}, []),
        ({"date_code": "1219"}, []),
        ({"date_code": "2019-12"}, []),
        ({"date_code": "L1900"}, []),
    ],
)
def test_days_that_cannot_be_are_said(days: dict[str, str], expected: list[str]) -> None:
    assert keys(with_days(**days)) == expected


def test_a_day_that_is_no_day_is_only_good_to_know() -> None:
    case = with_days(happened="in the week after Easter")
    assert (keys(case), keys(case, gentle=True)) == ([], ["day_not_understood"])


def test_days_beside_the_stated_fields_are_read_too() -> None:
    case = replace(
        CASE,
        consents=Consents(verified_on="2026-02-30"),
        harm_factors=HarmFactors(assessed_on="01/02/2026"),
        confirmations=(TableConfirmation(id="confirmation-001", table="x/y", day="2026-04-31", second_day="?"),),
    )
    assert [(remark.key, remark.kind, remark.id) for remark in day_remarks(case)] == [
        ("no_such_day", "consents", "verified_on"),
        ("ambiguous_day", "harm_factors", "assessed_on"),
        ("no_such_day", "confirmation", "confirmation-001"),
        ("day_not_understood", "confirmation", "confirmation-001"),
    ]


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        ({"unit": Unit(barcode=value("2001423377067"))}, []),
        ({"unit": Unit(barcode=value("2001423377068"))}, ["barcode_check_digit"]),
        ({"unit": Unit(barcode=value("12"))}, ["barcode_length"]),
        ({"unit": Unit(barcode=value("2001A"))}, ["barcode_not_digits"]),
        ({"unit": Unit(barcode=unknown("torn off"))}, []),
        ({"submitter": Submitter(minor=Answer.NO)}, []),
        ({"submitter": Submitter(minor=Answer.YES)}, ["minor_without_guardian"]),
        ({"submitter": Submitter(minor=Answer.YES, guardian=unknown("nobody asked"))}, ["minor_without_guardian"]),
        (
            {
                "submitter": Submitter(minor=Answer.YES, guardian=value("N. N.")),
            },
            ["guardian_does_not_agree"],
        ),
        (
            {
                "submitter": Submitter(minor=Answer.YES, guardian=value("N. N.")),
                "consents": Consents(guardian_agrees=Answer.YES),
            },
            [],
        ),
        ({"situation": Situation(injured=Answer.YES)}, ["injury_not_described"]),
        (
            {
                "situation": Situation(injured=Answer.YES),
                "occurrence": Occurrence(injury=not_applicable("nobody hurt")),
            },
            ["injury_denied"],
        ),
        (
            {"situation": Situation(injured=Answer.YES), "occurrence": Occurrence(injury=value("none"))},
            ["injury_denied"],
        ),
        ({"situation": Situation(injured=Answer.YES), "occurrence": Occurrence(injury=value("burn"))}, []),
        ({"situation": Situation(injured=Answer.YES), "occurrence": Occurrence(injury=unknown("she left"))}, []),
        (
            {"situation": Situation(injured=Answer.NO), "occurrence": Occurrence(injury=value("burn on a hand"))},
            ["injury_against_answer"],
        ),
        ({"situation": Situation(injured=Answer.NO), "occurrence": Occurrence(injury=value("Nobody was hurt"))}, []),
        ({"situation": Situation(injured=Answer.NO), "occurrence": Occurrence(injury=not_applicable("no one"))}, []),
        ({"occurrence": Occurrence(occasion=Occasion.INCIDENT)}, ["incident_without_date"]),
        ({"occurrence": Occurrence(occasion=Occasion.INCIDENT, date=value("May 2026"))}, []),
        ({"occurrence": Occurrence(occasion=Occasion.DISCOVERY)}, []),
    ],
)
def test_answers_that_contradict_each_other_are_said(changed: dict[str, Any], expected: list[str]) -> None:
    assert keys(replace(CASE, **changed)) == expected


def test_an_incident_whose_date_is_not_known_for_a_reason_is_only_good_to_know() -> None:
    case = replace(CASE, occurrence=Occurrence(occasion=Occasion.INCIDENT, date=unknown("told by a neighbour")))
    assert (keys(case), keys(case, gentle=True)) == ([], ["incident_without_date"])


def everything_wrong() -> Case:
    return replace(
        with_days(
            purchased="2027-01-01",
            manufactured="2031",
            listing_seen="2026-02-31",
            date_code_meaning="1900",
            barcode="2001423377068",
            happened="2026-12-24",
        ),
        submitter=Submitter(minor=Answer.YES),
        situation=Situation(injured=Answer.YES),
    )


def test_every_remark_has_its_two_sentences_and_no_field_is_left() -> None:
    cases = (everything_wrong(), with_days(happened="?"), with_days(purchased="03/04/2026", manufactured="1900"))
    problems = [problem for case in cases for problem in record_problems(case)]
    assert len({problem.key for problem in problems}) > 10
    for problem in problems:
        for part in ("what", "remedy"):
            assert "{" not in sentence(f"problems.{problem.key}.{part}", **dict(problem.fields))


def test_they_are_problems_of_the_assessment_and_the_case_is_as_it_was() -> None:
    case = everything_wrong()
    found = {(problem.key, problem.kind, problem.id) for problem in live_part(case).assessment.problems}
    assert ("purchased_after_occurrence", "unit", "purchased") in found
    assert ("no_such_day", "unit", "listing_seen") in found
    assert ("barcode_check_digit", "unit", "barcode") in found
    assert ("minor_without_guardian", "submitter", "guardian") in found
    assert case == everything_wrong()


@settings(derandomize=True, deadline=None, max_examples=200)
@given(
    days=st.lists(st.dates(date(1950, 1, 1), date(2026, 5, 12)), min_size=3, max_size=3).map(sorted),
    form=st.sampled_from(["%Y-%m-%d", "%d.%m.%Y", "%Y-%m", "%Y"]),
)
def test_days_in_their_order_are_never_flagged(days: list[date], form: str) -> None:
    made, bought, happened = (day.strftime(form) for day in days)
    assert keys(with_days(manufactured=made, purchased=bought, happened=happened)) == []


@settings(derandomize=True, deadline=None, max_examples=200)
@given(happened=st.dates(date(1950, 1, 1), date(2026, 5, 12)), later=st.integers(1, 20000))
def test_a_purchase_after_what_happened_is_always_flagged(happened: date, later: int) -> None:
    bought = happened + timedelta(days=later)
    assert "purchased_after_occurrence" in keys(with_days(purchased=str(bought), happened=str(happened)))


@settings(derandomize=True, deadline=None, max_examples=150)
@given(texts=st.lists(st.text(max_size=30), min_size=6, max_size=6))
def test_any_text_in_any_of_these_fields_gives_remarks_and_no_error(texts: list[str]) -> None:
    names = ("purchased", "manufactured", "listing_seen", "date_code_meaning", "barcode")
    unit = Unit(
        **{name: Stated(standing=value("x").standing, text=text) for name, text in zip(names, texts, strict=False)}
    )
    case = replace(CASE, unit=unit, occurrence=Occurrence(date=value(texts[5]), injury=value(texts[0])))
    record_problems(replace(case, created=texts[1], situation=Situation(injured=Answer.NO)))


def test_four_digits_that_can_be_week_and_year_are_told_gently_and_kept() -> None:
    case = with_days(date_code="1819")
    assert keys(case, gentle=True) == ["date_code_early"]
    assert case.unit.date_code.text == "1819"


@pytest.mark.parametrize("name", ["repairs", "changes", "misuse"])
@pytest.mark.parametrize(
    ("result", "key"),
    [(Excluded.FOUND, "upkeep_found_unsupported"), (Excluded.EXCLUDED, "upkeep_excluded_unsupported")],
)
def test_found_or_excluded_needs_a_word_or_a_picture(name: str, result: Excluded, key: str) -> None:
    def told(answer: Alteration) -> list[str]:
        return keys(replace(CASE, upkeep=replace(CASE.upkeep, **{name: answer})), gentle=True)

    before = told(Alteration())
    assert told(Alteration(result=result)) == [*before, key]
    assert told(Alteration(result=result, pictures=("picture-999",))) == [*before, key]
    assert told(Alteration(result=result, text="screws sealed")) == before
    assert told(Alteration(result=Excluded.COULD_NOT_TELL)) == before


def test_a_picture_of_the_case_shows_what_was_found() -> None:
    picture = Picture(
        id="picture-901",
        file="picture-901.jpg",
        original_name="",
        media_type="image/jpeg",
        sha256="ab" * 32,
        size=1,
        width=1,
        height=1,
    )
    answer = Alteration(result=Excluded.FOUND, pictures=("picture-901",))
    case = replace(CASE, pictures=(picture,), upkeep=replace(CASE.upkeep, repairs=answer))
    assert "upkeep_found_unsupported" not in keys(case, gentle=True)


def test_remarks_on_upkeep_are_told_in_words() -> None:
    answer = Alteration(result=Excluded.EXCLUDED)
    case = replace(CASE, upkeep=replace(CASE.upkeep, misuse=answer))
    found = [problem for problem in record_problems(case) if problem.kind == "upkeep"]
    assert [sentence(f"problems.{one.key}.what", **dict(one.fields)) for one in found] == [
        "Misuse is said to have been looked for and excluded, and neither a word nor a picture says by what."
    ]

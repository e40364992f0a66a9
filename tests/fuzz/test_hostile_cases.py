"""Whatever a case holds, it is saved, assessed, checked for every addressee, published and reported on.

Nothing here may raise: not an error of ours either, since a case that was opened has been accepted.
"""

import random
from collections.abc import Callable
from datetime import UTC, date, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport import wording
from hazardreport.addressees.calendar_file import calendar_file
from hazardreport.addressees.completeness import element_states
from hazardreport.addressees.form_text import form_text
from hazardreport.addressees.letter_answers import answers_due, comments, corrections
from hazardreport.addressees.letter_days import in_order
from hazardreport.addressees.letter_remarks import remarks as letter_remarks
from hazardreport.addressees.letters import every_expected, expected
from hazardreport.addressees.profiles import profile, profile_keys
from hazardreport.addressees.publication_hold import publication_hold
from hazardreport.app.cli_check import completeness, overview
from hazardreport.assess.assessment import assess
from hazardreport.case.case import Case
from hazardreport.case.day_remarks import day_remarks
from hazardreport.case.erasing import without_person
from hazardreport.case.loaded_words import wording_remarks
from hazardreport.case.personal import Person
from hazardreport.case.publication import published
from hazardreport.case.record_remarks import record_remarks
from hazardreport.errors import NothingExpectedError
from hazardreport.report.build import report_document
from hazardreport.storage.case_json import case_bytes, case_from_bytes
from tests.fuzz.hostile_cases import HOSTILE, hostile
from tests.fuzz.targets import table_digits, typed_day, typed_probability

NOW = datetime(2026, 6, 1, 12, tzinfo=UTC)
TODAYS = (date(2026, 6, 1), date(1990, 1, 1), date.min, date.max)
CREATED = "2026-06-01T12:00:00Z"
RANDOM = st.integers(min_value=0, max_value=2**32).map(random.Random)
few = settings(derandomize=True, deadline=None, max_examples=60)
many = settings(derandomize=True, deadline=None, max_examples=300)


def times(few_: int, many_: int) -> pytest.MarkDecorator:
    """A few examples each time, many where the slow tests run."""
    return pytest.mark.parametrize(
        "examples", [pytest.param(few_, id="few"), pytest.param(many_, id="many", marks=pytest.mark.slow)]
    )


def for_each(examples: int, holds: Callable[[Case], None]) -> None:
    given(HOSTILE)(settings(derandomize=True, deadline=None, max_examples=examples)(holds))()


@given(HOSTILE)
@few
def test_it_is_saved_and_read_again_equal(case: Case) -> None:
    assert case_from_bytes(case_bytes(case), "case.json") == case


@given(HOSTILE, st.sampled_from(TODAYS))
@few
def test_its_letters_and_days_are_looked_at(case: Case, today: date) -> None:
    for remark in (*day_remarks(case), *record_remarks(case), *wording_remarks(case)):
        assert wording.sentence(f"problems.{remark.key}.what", **dict(remark.fields)).strip()
    for told in letter_remarks(case, today):
        assert told.what.strip()
    assert set(comments(case)) <= set(in_order(case))
    assert sorted(one.id for one in in_order(case)) == sorted(one.id for one in case.letters)
    corrections(case, today)
    assert all(one.strip() for one in publication_hold(case, today).sentences)
    for key in profile_keys():
        for row in expected(case, profile(key), today):
            assert row.sentence.strip()
            assert row.earliest is None or row.latest is None or row.earliest <= row.latest
    try:
        calendar = calendar_file(case, every_expected(case, today), answers_due(case, today), NOW)
    except NothingExpectedError:
        return
    assert calendar.startswith(b"BEGIN:VCALENDAR")


@given(HOSTILE)
@settings(derandomize=True, deadline=None, max_examples=20)
def test_it_is_published_and_a_person_is_taken_out_of_it(case: Case) -> None:
    found = published(case, "ab" * 32).case
    assert published(found, "ab" * 32).case == found
    without = without_person(case, frozenset(Person), "as asked")
    assert without_person(without, frozenset(Person), "as asked") == without


@times(8, 80)
def test_it_is_assessed_and_checked_for_every_addressee(examples: int) -> None:
    def holds(case: Case) -> None:
        assessment = assess(case)
        assert len(assessment.risk.scenarios) == len(case.scenarios)
        assert {one.id for one in case.requirements} <= {one.key for one in assessment.requirements}
        assert overview(case, assessment)[0].strip()
        for problem in assessment.problems:
            assert wording.sentence(f"problems.{problem.key}.what", **dict(problem.fields)).strip()
            assert wording.sentence(f"problems.{problem.key}.remedy", **dict(problem.fields)).strip()
        for key in profile_keys():
            asked = profile(key)
            states = element_states(case, asked, assessment)
            assert [state.element for state in states] == list(asked.elements)
            assert completeness(case, asked, states).strip()
            for entry in form_text(case, asked, assessment).entries:
                assert entry.characters == len(entry.text)

    for_each(examples, holds)


@times(2, 25)
def test_every_addressee_has_its_report(examples: int) -> None:
    def holds(case: Case) -> None:
        assessment = assess(case)
        for key in profile_keys():
            document = report_document(case, assessment, profile(key), created=CREATED)
            assert len(document.parts) == len(profile(key).parts)

    for_each(examples, holds)


def test_the_odd_cases_reach_what_they_are_meant_to_reach() -> None:
    """A generator that makes none of them would let everything pass."""
    cases = [hostile(seed) for seed in range(150)]
    scenarios = [one for case in cases for one in case.scenarios]

    assert sum(not one.steps for one in scenarios) > 10
    assert sum(len(one.steps) > 1 for one in scenarios) > 10
    assert len({step.probability for one in scenarios for step in one.steps}) > 20
    assert sum(not one.pictures and not one.readings for case in cases for one in case.requirements) > 10
    assert {one.kind.value for case in cases for one in case.letters} >= {"report", "request for correction", "answer"}
    assert any(one.rows for case in cases for one in case.confirmations)


@given(random_=RANDOM)
@many
def test_changed_probabilities_are_read_or_refused(random_: random.Random) -> None:
    typed_probability.one_input(typed_probability.changed(random_.choice(typed_probability.seeds()), random_))


@given(random_=RANDOM)
@many
def test_changed_days_are_read_or_refused(random_: random.Random) -> None:
    typed_day.one_input(typed_day.changed(random_.choice(typed_day.seeds()), random_))


@given(random_=RANDOM)
@few
def test_changed_digits_of_a_table_are_read_or_refused(random_: random.Random) -> None:
    table_digits.one_input(table_digits.changed(random_.choice(table_digits.seeds()), random_))


@given(text=st.text(st.characters(exclude_categories=("Cs",))))
@many
def test_any_text_is_a_probability_or_a_day_or_refused(text: str) -> None:
    typed_probability.one_input(text.encode())
    typed_day.one_input(text.encode())

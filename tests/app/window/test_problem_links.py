"""Problems of the record lead to the page that shows their field or record."""

from dataclasses import replace

import pytest

from hazardreport.app.page_states import PROBLEM_PAGES, page_of
from hazardreport.app.pages.severity import problem_link
from hazardreport.assess.record_problems import record_problems
from hazardreport.assess.records import Problem
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, Consents, Finding, Occasion, Occurrence, Submitter
from hazardreport.case.confirmation import TableConfirmation
from hazardreport.case.letter import Letter
from hazardreport.case.scenario import HarmFactors, Scenario
from hazardreport.case.situation import Situation
from hazardreport.case.stated import value
from hazardreport.case.unit import Unit

CASE = Case(
    id="C-1",
    created="2026-05-12T07:00:00Z",
    unit=Unit(purchased=value("2027"), barcode=value("1"), date_code_meaning=value("1900")),
    occurrence=Occurrence(occasion=Occasion.INCIDENT, narrative=value("a killer"), injury=value("burn")),
    submitter=Submitter(minor=Answer.YES),
    situation=Situation(injured=Answer.NO),
    consents=Consents(verified_on="2026-02-31"),
    harm_factors=HarmFactors(assessed_on="2026-02-31"),
    confirmations=(TableConfirmation(id="confirmation-001", table="x/y", day="2026-02-31"),),
    findings=(Finding(id="finding-001", text="a death trap"),),
    scenarios=(Scenario(id="scenario-001", title="a time bomb"),),
    letters=(Letter(id="letter-001", text="crooks"),),
)
PAGES = {
    "unit.purchased": "unit",
    "unit.barcode": "unit",
    "unit.date_code_meaning": "unit",
    "occurrence.date": "unit",
    "occurrence.narrative": "unit",
    "submitter.guardian": "unit",
    "situation.injured": "unit",
    "consents.verified_on": "unit",
    "harm_factors.assessed_on": "findings",
    "confirmation-001": "findings",
    "finding-001": "findings",
    "scenario-001": "findings",
    "letter-001": "report",
}


def test_each_problem_of_the_record_has_its_link_and_its_page() -> None:
    links = {problem_link(problem) for problem in record_problems(CASE)}
    assert {link: page_of(link) for link in links} == PAGES


@pytest.mark.parametrize("problem", record_problems(CASE), ids=lambda problem: f"{problem.kind}-{problem.key}")
def test_what_is_to_be_mended_counts_on_a_page(problem: Problem) -> None:
    assert problem.gentle or PROBLEM_PAGES[problem.kind] == page_of(problem_link(problem))


def test_a_guardian_who_does_not_agree_leads_to_the_consents() -> None:
    case = replace(CASE, submitter=Submitter(minor=Answer.YES, guardian=value("N. N.")))
    assert "consents.guardian_agrees" in {problem_link(problem) for problem in record_problems(case)}

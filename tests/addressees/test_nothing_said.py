"""What a button makes, and nobody has filled in, satisfies nobody; what is only begun is told as such."""

from dataclasses import replace
from types import ModuleType
from typing import Any

import pytest

from hazardreport.addressees.asked import Level
from hazardreport.addressees.completeness import State, element_states, field_state, gaps
from hazardreport.addressees.form_text import form_text
from hazardreport.addressees.links import FIRMS, REASON_LINKS
from hazardreport.addressees.profiles import profile, profile_keys
from hazardreport.assess.assessment import assess
from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Finding, FindingAnswer, FindingClaim
from hazardreport.case.letter import Letter, LetterKind
from hazardreport.case.picture import Picture
from hazardreport.case.reading import Quantity, Reading
from hazardreport.case.requirement import RequirementAnswer
from hazardreport.case.scenario import Scenario, ScenarioStep
from hazardreport.case.stated import not_applicable, unknown, value
from hazardreport.case.unit import ConformityMark, Unit
from hazardreport.case.upkeep import Alteration, Excluded

UNSURE = FindingAnswer.COULD_NOT_CHECK
EMPTY: dict[str, dict[str, Any]] = {
    "findings.dangerous": {"findings": (Finding(id="finding-001", text=""),)},
    "findings.protection": {"findings": (Finding(id="finding-001", text=" \n", claim=FindingClaim.PROTECTION),)},
    "readings": {"readings": (Reading(id="r", first="A", second="D", quantity=Quantity.RESISTANCE, typed=""),)},
    "requirements": {"requirements": (RequirementAnswer(id="energised-metal", answer=UNSURE),)},
    "scenarios": {"scenarios": (Scenario(id="scenario-001", steps=(ScenarioStep(),)),)},
    "conformity_marks": {"conformity_marks": (ConformityMark(id="conformity-mark-001"),)},
    "letters.sent": {"letters": (Letter(id="letter-001", day="2026-11-20"),)},
}
"""Records as the buttons of the window add them."""
FOUND = {"findings.dangerous": "findings", "findings.protection": "findings"}


def emptied(cases: ModuleType, link: str) -> Case:
    """The full case in which that link has nothing but the empty record."""
    without: Case = cases.omitted(cases.full_case(), link)
    return replace(without, **EMPTY[link])


@pytest.mark.parametrize("link", EMPTY)
def test_an_empty_record_is_begun_and_no_more(cases: ModuleType, link: str) -> None:
    found = field_state(emptied(cases, link), link)
    assert found.state is State.MISSING
    assert (found.text, found.reason) == ("", "")
    assert found.pending.startswith("1 ")


@pytest.mark.parametrize("link", EMPTY)
def test_an_empty_record_satisfies_no_addressee(cases: ModuleType, link: str) -> None:
    case = emptied(cases, link)
    for key in profile_keys():
        for state in element_states(case, profile(key), cases.assessment()):
            if state.element.fields == (link,):
                assert state.state is State.MISSING, key
                assert state.pending
                assert state.complete is (state.element.level is not Level.REQUIRED)


@pytest.mark.parametrize("link", EMPTY)
def test_an_empty_record_does_not_take_away_the_reason_for_having_none(cases: ModuleType, link: str) -> None:
    case = edits.state_absence(emptied(cases, link), link, "it was taken away")
    assert field_state(case, link).state is State.ABSENT_WITH_REASON
    assert field_state(case, link).reason == "it was taken away"


@pytest.mark.parametrize("link", [link for link in EMPTY if link not in FOUND])
def test_an_empty_record_beside_a_full_one_is_not_counted(cases: ModuleType, link: str) -> None:
    full = cases.full_case()
    ((record, (empty,)),) = EMPTY[link].items()
    both = replace(full, **{record: (*getattr(full, record), replace(empty, id="another"))})
    assert field_state(both, link).text == field_state(full, link).text
    assert "1" in field_state(both, link).text


def test_a_finding_that_nobody_worded_enters_no_form(cases: ModuleType) -> None:
    case = emptied(cases, "findings.dangerous")
    entries = {one.element: one for one in form_text(case, profile("eu-consumer-report"), cases.assessment()).entries}
    assert entries["danger_found"].text == ""
    assert "no text says what was seen" in entries["danger_found"].note


def test_a_finding_counts_by_what_it_says_not_by_what_it_is_tied_to(cases: ModuleType) -> None:
    case = emptied(cases, "findings.dangerous")
    tied = Finding(id="finding-001", text="", pictures=(cases.PICTURE.id,), readings=("reading-001",))
    assert field_state(replace(case, findings=(tied,)), "findings.dangerous").state is State.MISSING
    worded = Finding(id="finding-001", text=" The rim was live. ")
    assert field_state(replace(case, findings=(worded,)), "findings.dangerous").text == "The rim was live."


@pytest.mark.parametrize("answer", [FindingAnswer.NOT_SEEN, UNSURE])
def test_a_finding_without_a_word_is_no_reason_either(answer: FindingAnswer) -> None:
    case = Case(id="WP-5", findings=(Finding(id="finding-001", text="", answer=answer),))
    assert field_state(case, "findings.dangerous").state is State.MISSING


def test_what_could_not_be_checked_answers_no_requirement_and_hides_none_that_was(cases: ModuleType) -> None:
    unsure = RequirementAnswer(id="earth-contact", answer=UNSURE, note="no screwdriver that fits")
    only = replace(cases.full_case(), requirements=(unsure,))
    (gap,) = gaps(only, profile("eu-authority-record"), cases.assessment())
    assert (gap.element.key, gap.pending) == ("requirements", "1 could not be checked; none was answered")
    both = replace(only, requirements=(unsure, *cases.full_case().requirements))
    assert gaps(both, profile("eu-authority-record"), cases.assessment()) == ()


def test_a_way_to_an_injury_needs_a_step_that_says_what_happens(cases: ModuleType) -> None:
    titled = replace(cases.full_case(), scenarios=(Scenario(id="scenario-001", title="A child lifts the pot"),))
    assert field_state(titled, "scenarios").state is State.MISSING


def test_an_empty_way_to_an_injury_gives_no_reason_for_having_no_level() -> None:
    case = Case(id="WP-6", **EMPTY["scenarios"])
    states = {s.element.key: s for s in element_states(case, profile("eu-authority-record"), assess(case))}
    for key in ("scenarios", "risk_level"):
        assert (states[key].state, states[key].complete) == (State.MISSING, False)
        assert states[key].pending


def test_why_there_is_no_level_of_risk_can_be_said_and_the_reason_for_no_scenarios_is_enough() -> None:
    assert "risk.level" in REASON_LINKS
    for link in ("risk.level", "scenarios"):
        case = edits.state_absence(Case(id="WP-7"), link, "for the authority to judge")
        found = field_state(case, "risk.level", assess(case))
        assert (found.state, found.reason) == (State.ABSENT_WITH_REASON, "for the authority to judge")


def test_marks_told_in_words_stand_beside_an_empty_row(cases: ModuleType) -> None:
    case = replace(cases.full_case(), **EMPTY["conformity_marks"])
    assert field_state(case, "conformity_marks").text == "marks as told"


ALTERED = ("upkeep.repairs", "upkeep.changes", "upkeep.misuse")


@pytest.mark.parametrize("link", ALTERED)
@pytest.mark.parametrize("result", [Excluded.FOUND, Excluded.EXCLUDED])
def test_what_was_found_or_excluded_needs_words_or_a_picture(cases: ModuleType, link: str, result: Excluded) -> None:
    name = link.partition(".")[2]
    picture: Picture = cases.PICTURE

    def stands(altered: Alteration) -> Any:
        case = cases.full_case()
        return field_state(replace(case, upkeep=replace(case.upkeep, **{name: altered})), link)

    bare = stands(Alteration(result=result))
    assert (bare.state, bare.text) == (State.MISSING, "")
    assert "neither words nor a picture" in bare.pending
    assert stands(Alteration(result=result, text="  ")).state is State.MISSING
    assert stands(Alteration(result=result, pictures=(picture.id,))).state is State.PRESENT
    assert stands(Alteration(result=result, text="screws sealed")).text.endswith("screws sealed")


def test_what_could_not_be_told_says_so_without_a_loose_end(cases: ModuleType) -> None:
    case = cases.full_case()
    case = replace(case, upkeep=replace(case.upkeep, repairs=Alteration(result=Excluded.COULD_NOT_TELL)))
    found = field_state(case, "upkeep.repairs")
    assert (found.state, found.reason) == (State.ABSENT_WITH_REASON, "could not be told.")


def test_a_letter_that_came_in_counts_neither_as_sent_nor_as_begun(cases: ModuleType) -> None:
    case = replace(cases.full_case(), letters=(Letter(id="letter-001", kind=LetterKind.ANSWER),))
    assert field_state(case, "letters.sent").pending == ""


@pytest.mark.parametrize("link", FIRMS)
def test_a_firm_that_there_is_not_has_no_address(link: str) -> None:
    firm, place = FIRMS[link].removeprefix("unit."), link.removeprefix("unit.")
    none = Case(id="a", unit=replace(Unit(), **{firm: not_applicable("made in the Union")}))
    hidden = Case(id="a", unit=replace(Unit(), **{firm: unknown("label gone")}))
    told = Case(id="a", unit=replace(none.unit, **{place: value("Dock 1")}))

    assert field_state(none, link).state is State.ABSENT_WITH_REASON
    assert "made in the Union" in field_state(none, link).reason
    assert field_state(hidden, link).state is State.MISSING
    assert field_state(told, link).text == "Dock 1"

"""What a scenario leaves out is told, each thing with its place; nothing is refused."""

from dataclasses import replace
from string import Formatter

import pytest

from hazardreport import wording
from hazardreport.assess.risk import risk_problems
from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Finding
from hazardreport.case.reading import Quantity, Reading
from hazardreport.case.scenario import (
    Consumer,
    HarmFactors,
    HarmGrade,
    Likelihood,
    ProbabilityBasis,
    Scenario,
    ScenarioStep,
)
from hazardreport.case.stated import unknown, value
from hazardreport.risk.gaps import Evidence, Gap, gaps, gaps_of_all
from hazardreport.risk.scenario_risk import STEPS_AT_MOST, scenario_result

STEP = ScenarioStep(text="metal is touched", probability="1/10", reason="seen")
WHOLE = Scenario(
    id="scenario-001",
    consumer=Consumer.OTHER,
    hazard="high-or-low-voltage",
    steps=(STEP, STEP),
    injury="electric-shock",
    severity=4,
    severity_reason="could be fatal",
)
FACTORS = HarmFactors(plausibility=value("fits"), assessor=value("N. N."), assessed_on="2026-11-20")


HELD = Evidence(
    readings=frozenset(("reading-001",)), pictures=frozenset(("picture-001",)), findings=frozenset(("finding-001",))
)


def with_step(**changes: object) -> Scenario:
    return replace(WHOLE, steps=(STEP, replace(STEP, **changes)))


def test_a_whole_scenario_has_no_gap() -> None:
    assert gaps(WHOLE, HELD) == ()
    assert gaps_of_all((WHOLE,), FACTORS) == ()


CASES = {
    "scenario_no_steps": replace(WHOLE, steps=()),
    "scenario_too_many_steps": replace(WHOLE, steps=(STEP,) * (STEPS_AT_MOST + 1)),
    "scenario_step_no_text": with_step(text=" "),
    "scenario_step_open": with_step(probability=""),
    "scenario_step_refused": with_step(probability="3/2"),
    "scenario_step_no_reason": with_step(reason=" "),
    "scenario_step_unsupported": with_step(reason="", basis=ProbabilityBasis.MEASURED),
    "scenario_missing_evidence": with_step(readings=("reading-001", "reading-002")),
    "scenario_missing_finding": replace(WHOLE, findings=("finding-001", "finding-009")),
    "scenario_severity_open": replace(WHOLE, severity=0),
    "scenario_severity_unknown": replace(WHOLE, severity=7),
    "scenario_severity_no_reason": replace(WHOLE, severity_reason=""),
    "scenario_injury_not_listed": replace(WHOLE, severity=3),
    "scenario_injury_open": replace(WHOLE, injury=""),
    "scenario_injury_unknown": replace(WHOLE, injury="boredom"),
    "scenario_hazard_open": replace(WHOLE, hazard=""),
    "scenario_hazard_unknown": replace(WHOLE, hazard="boredom"),
    "scenario_consumer_open": replace(WHOLE, consumer=Consumer.OPEN),
}
OF_ALL = {
    "risk_likelihood_no_reason": replace(FACTORS, likelihood=Likelihood.LIKELY, harm=HarmGrade.SERIOUS),
    "risk_plausibility_open": replace(FACTORS, plausibility=unknown("")),
    "risk_assessment_unsigned": replace(FACTORS, assessor=unknown(""), assessed_on=""),
    "risk_assessor_open": replace(FACTORS, assessor=unknown("")),
    "risk_assessed_on_open": replace(FACTORS, assessed_on=""),
}


def told(gap: Gap) -> str:
    return " ".join(wording.sentence(f"problems.{gap.key}.{part}", **dict(gap.fields)) for part in ("what", "remedy"))


@pytest.mark.parametrize("key", CASES)
def test_each_gap_is_told_alone_with_what_to_do(key: str) -> None:
    found = gaps(CASES[key], HELD)

    assert [gap.key for gap in found] == [key]
    assert told(found[0])
    asked = {name for _, name, _, _ in Formatter().parse(wording.template(f"problems.{key}.what")) if name}
    assert asked == set(dict(found[0].fields))


@pytest.mark.parametrize("key", CASES)
def test_what_is_only_good_to_know_never_costs_the_level(key: str) -> None:
    found = gaps(CASES[key], HELD)[0]
    if found.gentle:
        assert scenario_result(CASES[key]).level is not None


@pytest.mark.parametrize("key", OF_ALL)
def test_gaps_of_the_whole_assessment_of_risk(key: str) -> None:
    found = gaps_of_all((WHOLE,), OF_ALL[key])

    assert [gap.key for gap in found] == [key]
    assert told(found[0])


def test_a_case_without_scenarios_is_not_asked_who_assessed_them() -> None:
    assert gaps_of_all((), HarmFactors()) == ()


def test_the_step_is_named() -> None:
    assert "Step 2" in told(gaps(CASES["scenario_step_refused"], HELD)[0])
    assert "more than 1" in told(gaps(CASES["scenario_step_refused"], HELD)[0])


def test_a_measured_step_needs_no_reason_where_a_reading_is_linked() -> None:
    assert gaps(with_step(reason="", basis=ProbabilityBasis.MEASURED, readings=("reading-001",)), HELD) == ()


@pytest.mark.parametrize("links", [{"readings": ("reading-002",)}, {"pictures": ("picture-002",)}])
def test_a_step_that_rests_on_what_was_removed_is_unsupported(links: dict[str, tuple[str, ...]]) -> None:
    found = gaps(with_step(reason="", basis=ProbabilityBasis.MEASURED, **links), HELD)
    assert [gap.key for gap in found] == ["scenario_missing_evidence", "scenario_step_unsupported"]
    assert not found[0].gentle
    assert "-002" in told(found[0])


def test_removing_a_reading_and_a_finding_of_a_case_is_told_of_its_scenarios() -> None:
    step = replace(STEP, basis=ProbabilityBasis.MEASURED, readings=("reading-001",))
    case = Case(
        id="x",
        readings=(Reading(id="reading-001", first="A", second="B", quantity=Quantity.VOLTAGE, typed="117 V"),),
        findings=(Finding(id="finding-001", text="The rim is live."),),
        scenarios=(replace(WHOLE, steps=(step,), findings=("finding-001",)),),
        harm_factors=FACTORS,
    )
    assert risk_problems(case) == ()
    less = edits.remove_finding(edits.remove_reading(case, "reading-001"), "finding-001")
    assert [problem.key for problem in risk_problems(less)] == ["scenario_missing_evidence", "scenario_missing_finding"]


def test_every_problem_of_a_scenario_has_its_test() -> None:
    keys = {key.split(".")[1] for key in wording.keys("problems")}
    assert {key for key in keys if key.startswith(("scenario_", "risk_"))} == {*CASES, *OF_ALL}

"""The risk within an assessment: levels live, shares of adults settled, tables named, problems told."""

from dataclasses import replace
from fractions import Fraction

import pytest

from hazardreport.app.cli_risk import risk_lines, risk_rows
from hazardreport.app.cli_summary import summary
from hazardreport.assess.assessment import assess, live_part
from hazardreport.assess.records import Risk, ShareRelation
from hazardreport.assess.risk import LEAST_TOLERANCE, risk, risk_problems
from hazardreport.case.case import Case
from hazardreport.case.confirmation import TableConfirmation
from hazardreport.case.scenario import (
    Consumer,
    HarmFactors,
    HarmGrade,
    Likelihood,
    ProbabilityBasis,
    Scenario,
    ScenarioStep,
)
from hazardreport.case.stated import value
from hazardreport.quantity.trace import Status
from hazardreport.resources_dir import DEMO_CASE
from hazardreport.risk.records import RiskLevel
from hazardreport.standards.tables import table_as_filed
from hazardreport.storage.folder import open_case

TOUCHED = ScenarioStep(text="a hand touches the metal", probability="1/10", reason="the handle is metal")


def calculated(probability: str, *readings: str) -> ScenarioStep:
    return ScenarioStep(
        text="the current is one that can stop the heart",
        probability=probability,
        basis=ProbabilityBasis.CALCULATED,
        reason="shares of adults of this case",
        readings=readings,
    )


def shock(*steps: ScenarioStep, id: str = "scenario-001", severity: int = 4) -> Scenario:
    return Scenario(
        id=id,
        consumer=Consumer.OTHER,
        hazard="high-or-low-voltage",
        steps=steps,
        injury="electric-shock",
        severity=severity,
        severity_reason="could be fatal",
    )


@pytest.fixture(scope="module")
def demo() -> Case:
    return replace(open_case(DEMO_CASE, for_writing=False).case, scenarios=(), harm_factors=HarmFactors())


@pytest.fixture(scope="module")
def shares(demo: Case) -> dict[str, float]:
    """Shares of adults of the first contact in the headline state, by threshold."""
    found = assess(demo)
    assert found.settled is not None
    first = next(result for result in found.settled.population if result.state == found.verdict.headline)
    ids = {"let_go": first.above_let_go, "c1": first.above_c1, "c2": first.above_c2}
    return {threshold: found.number(number).measured.value for threshold, number in ids.items()}


def test_a_case_without_scenarios_has_no_risk_and_no_new_problem(demo: Case) -> None:
    found = live_part(demo).assessment

    assert (found.risk.scenarios, found.risk.level, found.risk.leading, found.risk.sources) == ((), None, (), ())
    assert [problem for problem in found.problems if problem.kind == "scenario"] == []
    assert (risk_rows(demo, found), risk_lines(found)) == ((), ())


def test_levels_are_live_and_the_same_in_the_settled_part(demo: Case) -> None:
    case = replace(demo, scenarios=(shock(TOUCHED, calculated("1/2")), shock(TOUCHED, id="scenario-002", severity=2)))
    live, whole = live_part(case).assessment, assess(case)

    assert live.risk.level is RiskLevel.SERIOUS
    assert live.risk.supports == ()
    assert replace(whole.risk, supports=()) == live.risk
    assert whole.risk.leading == ("scenario-001", "scenario-002")
    assert whole.risk.scenario("scenario-002") == whole.risk.scenarios[1]
    assert whole.risk.scenario("scenario-003") is None


def test_shares_of_adults_stand_beside_a_calculated_step_and_never_replace_its_number(demo: Case) -> None:
    case = replace(demo, scenarios=(shock(TOUCHED, calculated("1/7"), TOUCHED),))
    found = assess(case)

    assert {(support.scenario, support.step) for support in found.risk.supports} == {("scenario-001", 2)}
    assert found.risk.scenarios[0].steps == ("1/10", "1/7", "1/10")
    assert found.risk.scenarios[0].overall == "1/700"
    assert found.risk.support("scenario-001") == found.risk.supports
    assert ["no probabilities of death" in support.sentence for support in found.risk.supports] == [
        *[False] * (len(found.risk.supports) - 1),
        True,
    ]
    for support in found.risk.supports:
        assert support.state == found.verdict.headline
        assert [share.threshold for share in support.shares] == ["let_go", "c1", "c2"]
        assert all(share.number in found.trace for share in support.shares)
        assert support.sources


@pytest.mark.parametrize("threshold", ["let_go", "c1", "c2"])
def test_a_number_within_the_tolerance_of_a_share_agrees_and_one_beyond_it_does_not(
    demo: Case, shares: dict[str, float], threshold: str
) -> None:
    share = shares[threshold]
    near = Fraction(min(share, 1.0)).limit_denominator(10_000)
    far = near / 2
    found = assess(replace(demo, scenarios=(shock(calculated(str(near)), calculated(str(far))),)))
    agreeing, differing = (next(s for s in found.risk.supports if s.step == step) for step in (1, 2))
    relations = {share.threshold: share.relation for share in agreeing.shares}

    assert relations[threshold] is ShareRelation.WITHIN
    assert not agreeing.outside
    assert "agrees" in agreeing.sentence
    assert differing.outside
    assert {share.relation for share in differing.shares} == {ShareRelation.BELOW}
    assert "outside" in differing.sentence


def test_a_number_above_every_share_is_told_as_above(demo: Case) -> None:
    found = assess(replace(demo, scenarios=(shock(calculated("1")),)))
    for support in found.risk.supports:
        for share in support.shares:
            value = found.number(share.number).measured.value
            assert (share.relation is ShareRelation.ABOVE) == (value < 1.0 - LEAST_TOLERANCE)


@pytest.mark.parametrize(
    "scenario",
    [
        shock(TOUCHED),
        replace(shock(calculated("1/2")), injury="burn-or-scald"),
        shock(calculated("often")),
        shock(replace(calculated("1/2"), basis=ProbabilityBasis.MEASURED)),
    ],
    ids=["judged", "burn", "refused", "measured"],
)
def test_other_steps_are_offered_no_share(demo: Case, scenario: Scenario) -> None:
    assert assess(replace(demo, scenarios=(scenario,))).risk.supports == ()


def test_linked_readings_choose_the_states_of_the_contacts(demo: Case) -> None:
    whole = assess(demo)
    assert whole.settled is not None
    states = {result.state for result in whole.settled.population}
    reading = next(
        reading
        for reading in demo.readings
        if any((state.plug, state.switch) == (reading.state.plug, reading.state.switch) for state in states)
    )
    found = assess(replace(demo, scenarios=(shock(calculated("1/2", reading.id, "reading-999")),)))

    assert found.risk.supports
    assert {(support.state.plug, support.state.switch) for support in found.risk.supports} == {
        (reading.state.plug, reading.state.switch)
    }


def test_tables_of_the_risk_are_among_those_used(demo: Case) -> None:
    factors = HarmFactors(harm=HarmGrade.SERIOUS, likelihood=Likelihood.POSSIBLE, pattern=value("one unit"))
    before = {key for key, *_ in assess(demo).editions}
    used = assess(replace(demo, scenarios=(shock(TOUCHED),), harm_factors=factors)).editions
    named = {(key, table, status) for key, table, _, status, _ in used}

    assert not before & {"eu-2019-417", "us-recall-handbook", "16-cfr-1115"}
    assert ("eu-2019-417", "Risk level from severity and probability", "from memory") in named
    assert ("eu-2019-417", "Levels of severity", "confirmed") in named
    assert ("us-recall-handbook", "Hazard priority", "from memory") in named
    assert {key for key, *_ in used} > before


def test_problems_name_the_scenario_and_the_step(demo: Case) -> None:
    case = replace(
        demo, scenarios=(shock(replace(TOUCHED, probability="2"), id="scenario-007"), shock(id="scenario-008"))
    )
    found = [problem for problem in live_part(case).assessment.problems if problem.kind == "scenario"]

    assert [(problem.id, problem.key) for problem in found if not problem.gentle] == [
        ("scenario-007", "scenario_step_refused"),
        ("scenario-008", "scenario_no_steps"),
    ]
    assert dict(found[0].fields)["step"] == "1"


def test_a_reader_of_the_document_takes_the_mark_away_in_the_assessment(demo: Case) -> None:
    filed = table_as_filed("eu-2019-417", "risk-level")
    confirmation = TableConfirmation(
        id="confirmation-001",
        table="eu-2019-417/risk-level",
        sha256=filed.sha256,
        edition="2019/417",
        page="1",
        name="N. N.",
        day="2026-11-20",
        rows=filed.rows,
    )
    case = replace(demo, scenarios=(shock(TOUCHED),))
    for held, status in ((case, Status.FROM_MEMORY), (replace(case, confirmations=(confirmation,)), Status.CONFIRMED)):
        found = live_part(held).assessment.risk
        assert found.product.source is not None
        assert found.product.source.status is status
        assert ("from memory" in found.product.sentence) == (status is Status.FROM_MEMORY)


def test_digits_that_a_reader_has_otherwise_change_no_level(demo: Case) -> None:
    filed = table_as_filed("eu-2019-417", "risk-level")
    confirmation = TableConfirmation(
        id="confirmation-001",
        table="eu-2019-417/risk-level",
        sha256=filed.sha256,
        edition="2019/417",
        page="1",
        name="N. N.",
        day="2026-11-20",
        rows=(("> 1/100", "L", "L", "L", "L"),),
    )
    case = replace(demo, scenarios=(shock(TOUCHED),), confirmations=(confirmation,))
    found = live_part(case).assessment

    assert found.risk.level is RiskLevel.SERIOUS
    assert found.risk.product.source is not None
    assert found.risk.product.source.status is Status.FROM_MEMORY
    assert "confirmation_differs" in {problem.key for problem in found.problems}


def test_five_hundred_scenarios_are_judged() -> None:
    scenarios = tuple(
        shock(replace(TOUCHED, probability=f"1/{number + 1}"), TOUCHED, id=f"scenario-{number:03d}")
        for number in range(500)
    )
    case = Case(id="C-1", scenarios=scenarios)
    found = risk(case)

    assert len(found.scenarios) == 500
    assert found.leading[0] == "scenario-000"
    assert len({result.overall for result in found.scenarios}) == 500
    assert [problem.key for problem in risk_problems(case) if not problem.gentle] == []


def test_an_empty_case_has_the_factors_open() -> None:
    found = risk(Case(id="C-1"))

    assert replace(found, factors=()) == Risk()
    assert found.factors


def test_the_command_line_tells_the_risk_in_a_few_lines(demo: Case) -> None:
    factors = HarmFactors(harm=HarmGrade.GRIEVOUS, likelihood=Likelihood.LIKELY, pattern=value("one unit"))
    long = replace(shock(TOUCHED, calculated("1/7")), title="a very long name " * 30)
    case = replace(demo, scenarios=(long, shock(id="scenario-002")), harm_factors=factors)
    told = summary(case, assess(case), "folder")
    part = told[told.index("Risk, by the scenarios") :].split("\n\n")[0]

    assert "1/70" in part
    assert "serious (table cell from memory)" in part
    assert "no level yet" in part
    assert "differ from the assessor's number, which stands" in " ".join(part.split())
    assert "US hazard priority" in part
    assert max(map(len, part.splitlines())) < 170


def test_a_case_without_scenarios_prints_no_risk(demo: Case) -> None:
    assert "Risk, by" not in summary(demo, assess(demo), "folder")

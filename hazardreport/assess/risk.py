"""The assessor's scenarios to levels, their gaps to problems, and computed shares beside the steps they concern.

The live part gives levels; shares of adults are of the settled part. No computed share replaces an assessor's number.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction

from hazardreport.assess.records import (
    Assessment,
    ComparedShare,
    PopulationResult,
    Problem,
    Risk,
    ShareRelation,
    Support,
)
from hazardreport.assess.routes import state_name
from hazardreport.case.case import Case
from hazardreport.case.scenario import ProbabilityBasis, Scenario, ScenarioStep
from hazardreport.circuit.unit_network import unit_state
from hazardreport.quantity.trace import Source
from hazardreport.risk.cells import table_source
from hazardreport.risk.gaps import Gap, evidence, gaps, gaps_of_all
from hazardreport.risk.hazards import HAZARDS
from hazardreport.risk.injuries import INJURIES, LEVELS
from hazardreport.risk.level import TABLE
from hazardreport.risk.probability import spoken
from hazardreport.risk.product_risk import product_risk
from hazardreport.risk.scenario_risk import joined, scenario_result
from hazardreport.risk.us_priority import FACTORS, PRIORITY, hazard_priority, weighed
from hazardreport.wording import sentence

SHOCK = "electric-shock"
THRESHOLDS = ("let_go", "c1", "c2")


def risk(case: Case) -> Risk:
    """The live part: levels, product risk, US priority and factors.

    References
    ----------
    eu-2019-417, guidelines for consumer products.
    """
    results = tuple(scenario_result(scenario) for scenario in case.scenarios)
    return Risk(
        scenarios=results,
        product=product_risk(results),
        priority=hazard_priority(case.harm_factors),
        factors=weighed(case.harm_factors),
        sources=tuple(_sources(case, any(result.level is not None for result in results))),
    )


def _sources(case: Case, judged: bool) -> Iterator[Source]:
    """The tables that a result of this case rests on, or that its words were chosen from."""
    if judged:
        yield table_source(*TABLE)
        yield table_source(*LEVELS)
    if any(scenario.injury for scenario in case.scenarios):
        yield table_source(*INJURIES)
    if any(scenario.hazard for scenario in case.scenarios):
        yield table_source(*HAZARDS)
    if hazard_priority(case.harm_factors).letter:
        yield table_source(*PRIORITY)
    if any(factor.text for factor in weighed(case.harm_factors)):
        yield table_source(*FACTORS)


def risk_problems(case: Case) -> tuple[Problem, ...]:
    """What the scenarios and the assessment of risk leave out."""
    whole = (_problem("", gap) for gap in gaps_of_all(case.scenarios, case.harm_factors))
    held = evidence(case)
    return (*(_problem(scenario.id, gap) for scenario in case.scenarios for gap in gaps(scenario, held)), *whole)


def _problem(id: str, gap: Gap) -> Problem:
    return Problem(key=gap.key, kind="scenario", id=id, fields=gap.fields, gentle=gap.gentle)


def with_supports(case: Case, assessment: Assessment) -> Risk:
    """The risk with what the settled part computed beside the steps that it concerns.

    A step is concerned if it is marked as calculated and its scenario ends in an electric shock. It is offered the
    contacts in the states of the readings that it links, or, if it links none that was computed, in the headline state.
    """
    shares = assessment.settled.population if assessment.settled is not None else ()
    found = []
    for scenario, outcome in zip(case.scenarios, assessment.risk.scenarios, strict=True):
        if scenario.injury != SHOCK:
            continue
        for number, (step, typed) in enumerate(zip(scenario.steps, outcome.steps, strict=True), 1):
            if step.basis is ProbabilityBasis.CALCULATED and typed:
                concerned = _concerned(case, step, shares, assessment)
                found += _noted(_support(scenario, number, one, Fraction(typed), assessment) for one in concerned)
    return replace(assessment.risk, supports=tuple(found))


def _noted(supports: Iterable[Support]) -> list[Support]:
    """What is offered beside one step; the last of it says what such shares are not."""
    found = list(supports)
    if found:
        told = f"{found[-1].sentence} {sentence('risk.support.limits')}"
        found[-1] = replace(found[-1], sentence=told)
    return found


def _concerned(
    case: Case, step: ScenarioStep, shares: tuple[PopulationResult, ...], assessment: Assessment
) -> tuple[PopulationResult, ...]:
    linked = [reading for key in step.readings if (reading := case.reading(key)) is not None]
    states = {unit_state(reading.state, case.wiring) for reading in linked}
    chosen = tuple(result for result in shares if result.state in states)
    return chosen or tuple(result for result in shares if result.state == assessment.verdict.headline)


def _support(
    scenario: Scenario, number: int, result: PopulationResult, judged: Fraction, assessment: Assessment
) -> Support:
    ids = (result.above_let_go, result.above_c1, result.above_c2)
    compared = tuple(
        ComparedShare(
            threshold=threshold,
            number=number_id,
            relation=_relation(judged, assessment.number(number_id).measured.value, result.tolerance),
        )
        for threshold, number_id in zip(THRESHOLDS, ids, strict=True)
    )
    within = [share.threshold for share in compared if share.relation is ShareRelation.WITHIN]
    return Support(
        scenario=scenario.id,
        step=number,
        state=result.state,
        skin=result.skin,
        path=result.path,
        shares=compared,
        tolerance=max(result.tolerance, LEAST_TOLERANCE),
        outside=not within,
        sentence=_sentence(result, compared, within, judged, assessment),
        sources=result.sources,
    )


LEAST_TOLERANCE = 0.005
"""Shares are told to one percent at most; a finer difference is no contradiction."""


def _relation(judged: Fraction, share: float, tolerance: float) -> ShareRelation:
    difference = float(judged) - share
    if abs(difference) <= max(tolerance, LEAST_TOLERANCE):
        return ShareRelation.WITHIN
    return ShareRelation.ABOVE if difference > 0.0 else ShareRelation.BELOW


def _sentence(
    result: PopulationResult,
    compared: tuple[ComparedShare, ...],
    within: list[str],
    judged: Fraction,
    assessment: Assessment,
) -> str:
    tolerance = 100.0 * max(result.tolerance, LEAST_TOLERANCE)
    values = {share.threshold: share_text(assessment.number(share.number).measured.value) for share in compared}
    parts = [
        sentence(
            "risk.support.shares",
            state=state_name(result.state),
            skin=result.skin.value,
            path=result.path.value,
            tolerance=f"{tolerance:.2g}",
            **values,
        )
    ]
    if within:
        names = joined([sentence(f"risk.support.{threshold}") for threshold in within])
        parts.append(sentence("risk.support.agrees", probability=spoken(judged), thresholds=names))
    else:
        parts.append(sentence("risk.support.outside", probability=spoken(judged)))
    return " ".join(parts)


def share_text(share: float) -> str:
    """A share [1] to one percent at most; its ends are never told as nobody or everybody.

    >>> share_text(0.452), share_text(0.9999)
    ('45 %', 'more than 99.5 %')
    """
    if share < LEAST_TOLERANCE:
        return sentence("risk.support.few")
    if share > 1.0 - LEAST_TOLERANCE:
        return sentence("risk.support.nearly_all")
    return f"{100.0 * share:.0f} %"

"""The risk by the assessor's scenarios as a few lines for a terminal."""

from fractions import Fraction
from itertools import groupby
from textwrap import shorten

from hazardreport.assess.records import Assessment, Support
from hazardreport.case.case import Case
from hazardreport.case.scenario import Scenario
from hazardreport.risk.marking import marked
from hazardreport.risk.open_level import why_open
from hazardreport.risk.probability import spoken
from hazardreport.risk.records import FactorStanding, ScenarioResult
from hazardreport.risk.scenario_risk import joined, level_word
from hazardreport.wording import sentence

TITLE = 40


def risk_rows(case: Case, assessment: Assessment) -> tuple[tuple[str, ...], ...]:
    """A row for each scenario under a row of headings; none without a scenario."""
    results = assessment.risk.scenarios
    if not results:
        return ()
    columns = ("scenario", "probability", "severity", "level", "sensitivity")
    heading = tuple(sentence(f"risk.summary.column_{column}") for column in columns)
    return (heading, *(_row(one, result) for one, result in zip(case.scenarios, results, strict=True)))


def _row(scenario: Scenario, result: ScenarioResult) -> tuple[str, ...]:
    title = shorten(scenario.title, TITLE, placeholder="…")
    name = sentence("risk.summary.name", id=scenario.id, title=title) if title else scenario.id
    overall = spoken(Fraction(result.overall)) if result.overall else sentence("risk.summary.nothing")
    severity = str(scenario.severity) if scenario.severity else sentence("risk.summary.nothing")
    if result.level is None:
        return name, overall, severity, sentence("risk.summary.no_level", why=why_open(scenario)), ""
    stays = sentence("risk.summary.stays" if result.robust else "risk.summary.depends")
    return name, overall, severity, marked(level_word(result.level), result.source), stays


def risk_lines(assessment: Assessment) -> tuple[str, ...]:
    """What else is said beside the rows: product, computed shares, US priority and factors."""
    risk = assessment.risk
    lines = [risk.product.sentence] if risk.product.sentence else []
    if risk.scenarios:
        lines.append(sentence("risk.product.judgement"))
    lines += [_support(list(those)) for _, those in groupby(risk.supports, key=lambda one: (one.scenario, one.step))]
    if risk.priority.sentence:
        lines.append(risk.priority.sentence)
    asked = [factor for factor in risk.factors if factor.standing is not FactorStanding.FOR_THE_AUTHORITY]
    open_ones = [factor.name for factor in asked if factor.standing is FactorStanding.OPEN]
    if asked and len(open_ones) < len(asked):
        told = sentence("risk.summary.factors", answered=len(asked) - len(open_ones), total=len(asked))
        lines.append(told + (" " + sentence("risk.summary.open", names=joined(open_ones)) if open_ones else ""))
    return tuple(lines)


def _support(supports: list[Support]) -> str:
    """One line for one step, however many contacts were computed."""
    outside = sum(support.outside for support in supports)
    key = "within" if not outside else "outside" if outside == len(supports) else "partly"
    first = supports[0]
    return sentence(f"risk.summary.support_{key}", scenario=first.scenario, step=first.step, count=len(supports))

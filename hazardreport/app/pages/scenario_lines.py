"""What stands beside a way to an injury, from the tables and the results. Decides nothing."""

from collections.abc import Mapping
from fractions import Fraction
from textwrap import shorten
from typing import TYPE_CHECKING

from hazardreport import wording
from hazardreport.app.models.understood import Understood
from hazardreport.app.pages.severity_rows import share_cell
from hazardreport.app.problem_lines import problem_texts
from hazardreport.app.views.fact_table import Cell, StrongCell
from hazardreport.app.views.record_list import Note
from hazardreport.app.views.result_card import ResultText
from hazardreport.app.views.severity_field import SeverityText
from hazardreport.app.views.step_card import StepRemarks
from hazardreport.assess.records import Assessment, Problem, ShareRelation, Support
from hazardreport.case.scenario import Consumer, Scenario
from hazardreport.figures.naming import state_words
from hazardreport.quantity.trace import Status
from hazardreport.risk.records import RiskLevel, ScenarioResult

if TYPE_CHECKING:
    from hazardreport.case.confirmation import TableConfirmation

RISK_TABLES = ("risk-level", "severity", "injuries", "hazards", "consumers")
FIELD_OF_STEP = "step"
LIST_TITLE = 90
"""Longer titles are cut in the list, so that the level below them is seen. [signs]"""


def understood_probability(typed: str) -> Understood:
    """What was understood of a typed probability, or why it was refused."""
    from hazardreport.errors import ProbabilityRefusedError
    from hazardreport.risk.probability import probability

    if not typed.strip():
        return Understood(text="")
    try:
        found = probability(typed)
    except ProbabilityRefusedError as error:
        fault = f"{wording.what(error)} {wording.remedy(error)}"
        return Understood(text=wording.sentence("findings.step.refused"), fault=fault)
    return Understood(text=f"= {chance(found)}")


def chance(value: Fraction) -> str:
    """A probability for people: exact, as one in so many, and in percent where that reads well."""
    from hazardreport.risk.probability import spoken

    if value == 1:
        return wording.sentence("findings.step.certain")
    told = [spoken(value)]
    percent = 100 * value
    if value.numerator == 1:
        told.append(wording.sentence("findings.step.one_in", count=f"{value.denominator:,}".replace(",", "\u00a0")))
    if percent >= 1 and (10 * percent).denominator == 1:
        told.append(f"{float(percent):g}\u00a0%")
    return ", ".join(told)


def level_words(level: RiskLevel | None) -> str:
    """A level in words."""
    if level is None:
        return wording.sentence("findings.level.none")
    return wording.sentence(f"findings.level.{level.value}")


def entry_text(scenario: Scenario, result: ScenarioResult | None) -> str:
    """A way to an injury in the list: title, level."""
    level = _level_line(scenario, result) if result is not None else level_words(None)
    title = shorten(scenario.title, LIST_TITLE, placeholder="…")
    return f"{title or wording.sentence('findings.scenarios.untitled')}\n{level}"


def _level_line(scenario: Scenario, result: ScenarioResult) -> str:
    """The level, or that there is none yet and why, with the step."""
    from hazardreport.risk.open_level import why_open

    told = level_words(result.level)
    why = why_open(scenario) if result.level is None else ""
    if why:
        return wording.sentence("findings.level.none_because", why=why)
    return wording.sentence("findings.level.boundary", level=told) if result.on_boundary else told


def consumer_words(consumer: Consumer) -> str:
    """Who a kind of consumer is."""
    from hazardreport.risk.consumers import consumer_kinds
    from hazardreport.risk.marking import marked

    kind = next((kind for kind in consumer_kinds() if kind.consumer is consumer), None)
    return marked(kind.who, kind.source) if kind is not None else wording.sentence("findings.scenarios.consumer_open")


def hazard_words(key: str) -> str:
    """The typical scenario and injury of a hazard."""
    from hazardreport.risk.hazards import hazard
    from hazardreport.risk.marking import marked

    found = hazard(key) if key else None
    if found is None:
        return wording.sentence("findings.scenarios.hazard_unknown", name=key) if key else ""
    if not found.scenario:
        return ""
    return marked(
        wording.sentence("findings.scenarios.hazard", scenario=found.scenario, injury=found.injury), found.source
    )


def severity_texts(key: str) -> Mapping[int, SeverityText]:
    """What the tables say of each level of severity, with their status."""
    from hazardreport.risk.injuries import injury, severities
    from hazardreport.risk.marking import marked

    found = injury(key) if key else None
    texts = {}
    for level in severities():
        entry = ""
        if found is not None:
            told = found.severities.get(level.severity, "")
            none = wording.sentence("findings.scenarios.no_entry")
            entry = marked(told, found.sources[level.severity]) if told else none
        meaning = wording.sentence(
            "findings.scenarios.meaning", level=level.severity, meaning=marked(level.meaning, level.source)
        )
        texts[level.severity] = SeverityText(meaning=meaning, injury=entry)
    return texts


def tables_from_memory(confirmations: "tuple[TableConfirmation, ...]") -> tuple[tuple[str, str], ...]:
    """The tables of the method that are not confirmed, as (key, name for people)."""
    from hazardreport.standards.confirmed import confirmations_count
    from hazardreport.standards.tables import table

    with confirmations_count(confirmations):
        held = {name: table("eu-2019-417", name) for name in RISK_TABLES}
        return tuple(
            (f"eu-2019-417/{name}", one.citation.table)
            for name, one in held.items()
            if not one.own_words and one.source().status is not Status.CONFIRMED
        )


def result_text(scenario: Scenario, result: ScenarioResult | None, problems: tuple[Problem, ...]) -> ResultText:
    """A result in words."""
    if result is None:
        return ResultText(level=wording.sentence("findings.result.waiting"))
    open_things = tuple(
        Note(text=" ".join(problem_texts(problem)), problem=not problem.gentle)
        for problem in problems
        if problem.kind == "scenario" and problem.id == result.scenario and FIELD_OF_STEP not in dict(problem.fields)
    )
    if result.level is None:
        return ResultText(level=_level_line(scenario, result), product=_product(result), notes=open_things)
    key = "robust" if result.robust else "not_robust"
    return ResultText(
        level=_level_line(scenario, result),
        product="\n".join(part for part in (_product(result), result.sentence) if part),
        notes=open_things,
        rows=tuple(_shift_rows(result)),
        robust=(f"{wording.sentence(f'findings.result.{key}')} {result.sensitivity}",),
    )


def _product(result: ScenarioResult) -> str:
    if not result.overall:
        return ""
    return wording.sentence(
        "findings.result.product", steps=" × ".join(result.steps), overall=chance(Fraction(result.overall))
    )


def _shift_rows(result: ScenarioResult) -> list[tuple[Cell, ...]]:
    from hazardreport.risk.marking import marked

    rows: list[tuple[Cell, ...]] = []
    for shift in result.shifts:
        told = wording.sentence(f"findings.shift.{shift.kind.name.lower()}")
        changed = wording.sentence("findings.shift.changes" if shift.changes else "findings.shift.stays")
        level = marked(level_words(shift.level), shift.source)
        rows.append((told, StrongCell(text=level) if shift.changes else level, changed))
    for step in (one for one in result.step_shifts if one.within_ten):
        key = "step_up" if step.up else "step_down"
        told = wording.sentence(
            f"findings.shift.{key}", step=step.step, times=_times(step.factor), threshold=step.threshold
        )
        rows.append((told, level_words(step.level), wording.sentence("findings.shift.changes")))
    return rows


def _times(factor: str) -> str:
    value = Fraction(factor)
    times = value if value >= 1 else 1 / value
    return f"{float(times):.3g}"


def step_remarks(
    scenario: Scenario, number: int, assessment: Assessment | None, supports: tuple[Support, ...]
) -> StepRemarks:
    """What the results say beside one step, number from 0; a refused probability says so in its own field."""
    if assessment is None:
        return StepRemarks()
    notes = tuple(
        Note(text=" ".join(problem_texts(problem)), problem=not problem.gentle)
        for problem in assessment.problems
        if problem.kind == "scenario"
        and problem.id == scenario.id
        and dict(problem.fields).get(FIELD_OF_STEP) == str(number + 1)
        and "refused" not in problem.key
    )
    those = tuple(support for support in supports if support.scenario == scenario.id and support.step == number + 1)
    if not those:
        return StepRemarks(notes=notes)
    rows = tuple(
        (_contact(support, those), *(share_cell(assessment, share.number) for share in support.shares))
        for support in those
    )
    return StepRemarks(notes=notes, support=_support_lines(those), rows=rows)


def _contact(support: Support, those: tuple[Support, ...]) -> str:
    told = f"{support.skin.value}, {support.path.value}"
    several = len({one.state for one in those}) > 1
    return f"{state_words(support.state)}: {told}" if several else told


def _support_lines(those: tuple[Support, ...]) -> tuple[str, ...]:
    agreeing = [
        f"{_contact(support, those)} ({wording.sentence(f'risk.support.{share.threshold}')})"
        for support in those
        for share in support.shares
        if share.relation is ShareRelation.WITHIN
    ]
    states = "; ".join(dict.fromkeys(state_words(support.state) for support in those))
    if agreeing:
        stands = wording.sentence("findings.support.agrees", contacts="; ".join(agreeing))
    else:
        stands = wording.sentence("findings.support.outside")
    return (
        wording.sentence("findings.support.offered", states=states),
        stands,
        wording.sentence("findings.support.curves"),
    )

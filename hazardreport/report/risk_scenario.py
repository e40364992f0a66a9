"""One injury scenario: who, by what hazard, step by step to which injury; its level, and how that would move."""

from fractions import Fraction

from hazardreport.assess.records import Problem
from hazardreport.case.scenario import Consumer, Scenario, ScenarioStep
from hazardreport.report.context import Context, source_runs
from hazardreport.report.document import (
    Block,
    Column,
    KeyValue,
    KeyValues,
    Missing,
    Paragraph,
    Row,
    Runs,
    Section,
    Table,
)
from hazardreport.report.links import findings_of, scenario_anchor, scenario_name, shown_by
from hazardreport.report.risk_support import support_blocks
from hazardreport.risk.consumers import consumer_kinds
from hazardreport.risk.hazards import hazard
from hazardreport.risk.injuries import injury, severities
from hazardreport.risk.marking import marked
from hazardreport.risk.open_level import why_open
from hazardreport.risk.probability import spoken
from hazardreport.risk.records import ScenarioResult
from hazardreport.wording import sentence


def scenario_section(context: Context, scenario: Scenario) -> Section:
    """A scenario with its steps, result and sensitivity."""
    result = context.assessment.risk.scenario(scenario.id) or ScenarioResult(scenario=scenario.id)
    return Section(
        title=sentence("report_risk.scenario.title", name=scenario_name(scenario)),
        blocks=(
            Paragraph(runs=(sentence("report_risk.scenario.id", id=scenario.id),), role="small"),
            KeyValues(rows=_start(context, scenario), anchor=scenario_anchor(scenario.id)),
            *_steps(context, scenario, result),
            *support_blocks(context, scenario),
            KeyValues(rows=_end(context, scenario, result)),
            *_sensitivity(result),
        ),
    )


def _start(context: Context, scenario: Scenario) -> tuple[KeyValue, ...]:
    findings = findings_of(context, scenario.findings)
    return (
        _who(scenario),
        _hazard(scenario),
        KeyValue(
            label=sentence("report_risk.scenario.findings"),
            runs=findings or (sentence("report_risk.scenario.no_findings"),),
            known=bool(findings),
        ),
    )


def _who(scenario: Scenario) -> KeyValue:
    kind = sentence(f"report_risk.consumer.{scenario.consumer.name.lower()}")
    who = scenario.who.strip()
    said = sentence("report_risk.scenario.who_value", kind=kind, who=who) if who else kind
    means = [
        sentence("report_risk.scenario.kind_means", text=marked(one.who, one.source))
        for one in consumer_kinds()
        if one.consumer is scenario.consumer
    ]
    return KeyValue(
        label=sentence("report_risk.scenario.who"),
        runs=(said,),
        note=tuple(means),
        known=scenario.consumer is not Consumer.OPEN,
    )


def _hazard(scenario: Scenario) -> KeyValue:
    held = hazard(scenario.hazard) if scenario.hazard else None
    note: Runs = ()
    if held is not None:
        said = marked(held.name, held.source)
        if held.scenario:
            note = (sentence("report_risk.scenario.hazard_typical", text=marked(held.scenario, held.source)),)
    elif scenario.hazard:
        said = sentence("report_risk.scenario.unknown_hazard", name=scenario.hazard)
    else:
        said = sentence("report.words.open")
    return KeyValue(label=sentence("report_risk.scenario.hazard"), runs=(said,), note=note, known=held is not None)


def _steps(context: Context, scenario: Scenario, result: ScenarioResult) -> tuple[Block, ...]:
    if not scenario.steps:
        return (Missing(what=sentence("report_risk.steps.none"), why=sentence("report_risk.steps.none_why")),)
    columns = (
        Column(title=sentence("report_risk.steps.number"), share=0.6),
        Column(title=sentence("report_risk.steps.text"), share=3.4),
        Column(title=sentence("report_risk.steps.probability"), share=1.5),
        Column(title=sentence("report_risk.steps.basis"), share=1.6),
        Column(title=sentence("report_risk.steps.reason"), share=3.4),
    )
    exact = result.steps or ("",) * len(scenario.steps)
    rows = tuple(
        Row(cells=((str(place),), *_step(context, step, fraction)))
        for place, (step, fraction) in enumerate(zip(scenario.steps, exact, strict=True), start=1)
    )
    return (
        Table(
            caption=sentence("report_risk.steps.caption"),
            columns=columns,
            rows=rows,
            note=sentence("report_risk.steps.note"),
        ),
    )


def _step(context: Context, step: ScenarioStep, fraction: str) -> tuple[Runs, ...]:
    shown = shown_by(context, step.pictures, step.readings)
    reason: Runs = (step.reason if step.reason.strip() else sentence("report_risk.steps.no_reason"),)
    if shown:
        reason = (*reason, sentence("report_risk.steps.shown_by"), *shown)
    return (
        (step.text if step.text.strip() else sentence("report_risk.steps.no_text"),),
        (_probability(step.probability, fraction),),
        (sentence(f"report_risk.basis.{step.basis.name.lower()}"),),
        reason,
    )


def _probability(typed: str, fraction: str) -> str:
    """The exact fraction, with what was typed where that reads otherwise; or why there is none."""
    if not fraction:
        shown = typed.strip()
        key = "report_risk.steps.refused" if shown else "report_risk.steps.open_probability"
        return sentence(key, typed=shown)
    exact = spoken(Fraction(fraction))
    if typed.strip() in (exact, fraction):
        return exact
    return sentence("report_risk.steps.typed", exact=exact, typed=typed.strip())


def _end(context: Context, scenario: Scenario, result: ScenarioResult) -> tuple[KeyValue, ...]:
    overall = spoken(Fraction(result.overall)) if result.overall else sentence("report_risk.scenario.no_overall")
    told = result.sentence or sentence("report_risk.scenario.no_result", why=why_open(scenario))
    rows = [
        _injury(scenario),
        _severity(scenario),
        KeyValue(label=sentence("report_risk.scenario.overall"), runs=(overall,), known=bool(result.overall)),
        KeyValue(
            label=sentence("report_risk.scenario.result"),
            runs=(told,),
            note=source_runs((result.source,)) if result.source is not None else (),
            known=result.level is not None,
        ),
    ]
    problems = [one for one in context.assessment.problems if one.kind == "scenario" and one.id == scenario.id]
    if problems:
        told_open = " ".join(_told(problem) for problem in problems)
        rows.append(KeyValue(label=sentence("report_risk.scenario.open"), runs=(told_open,), known=False))
    return tuple(rows)


def _told(problem: Problem) -> str:
    return sentence(f"problems.{problem.key}.what", **dict(problem.fields))


def _injury(scenario: Scenario) -> KeyValue:
    held = injury(scenario.injury) if scenario.injury else None
    if held is not None:
        said = marked(held.name, held.source)
    elif scenario.injury:
        said = sentence("report_risk.scenario.unknown_injury", name=scenario.injury)
    else:
        said = sentence("report.words.open")
    return KeyValue(label=sentence("report_risk.scenario.injury"), runs=(said,), known=held is not None)


def _severity(scenario: Scenario) -> KeyValue:
    """The severity with what the injury looks like at it, what that level means, and why it was chosen."""
    label = sentence("report_risk.scenario.severity")
    if not scenario.severity:
        return KeyValue(label=label, runs=(sentence("report_risk.scenario.severity_open"),), known=False)
    severity = scenario.severity
    held = injury(scenario.injury)
    if held is None:
        said = str(severity)
    elif severity in held.severities:
        text = marked(held.severities[severity], held.sources[severity])
        said = sentence("report_risk.scenario.severity_value", severity=severity, text=text)
    else:
        said = sentence("report_risk.scenario.severity_not_in_table", severity=severity)
    reason = scenario.severity_reason.strip()
    because = (
        sentence("report_risk.scenario.severity_reason", reason=reason)
        if reason
        else sentence("report_risk.scenario.no_severity_reason")
    )
    means = [
        sentence("report_risk.scenario.severity_means", severity=severity, text=marked(one.meaning, one.source))
        for one in severities()
        if one.severity == severity
    ]
    return KeyValue(label=label, runs=(said,), note=("; ".join((because, *means)),))


def _sensitivity(result: ScenarioResult) -> tuple[Block, ...]:
    if result.level is None:
        return ()
    columns = (
        Column(title=sentence("report_risk.sensitivity.moved"), share=3.0),
        Column(title=sentence("report_risk.sensitivity.level"), share=3.4),
        Column(title=sentence("report_risk.sensitivity.changes"), share=2.0),
    )
    rows = tuple(
        Row(
            strong=shift.changes,
            cells=(
                (sentence(f"report_risk.sensitivity.{shift.kind.name.lower()}"),),
                (marked(sentence(f"risk.level.{shift.level.name.lower()}"), shift.source),),
                (sentence(f"report_risk.sensitivity.{'changed' if shift.changes else 'same'}"),),
            ),
        )
        for shift in result.shifts
    )
    return (
        Table(caption=sentence("report_risk.sensitivity.caption"), columns=columns, rows=rows),
        *((Paragraph(runs=(result.sensitivity,)),) if result.sensitivity else ()),
    )

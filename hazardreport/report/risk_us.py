"""The US view beside the European level: hazard priority, and the factors of 16 CFR 1115 in words."""

from hazardreport.assess.records import Assessment
from hazardreport.case.scenario import HarmGrade, Likelihood
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
from hazardreport.report.links import stated_row
from hazardreport.risk.records import Factor, FactorStanding
from hazardreport.wording import sentence


def us_section(context: Context) -> Section:
    """Hazard priority and factors."""
    return Section(
        title=sentence("report_risk.us.title"),
        blocks=(
            Paragraph(runs=(sentence("report_risk.us.opening"),)),
            KeyValues(rows=_priority(context)),
            *_factors(context.assessment),
        ),
    )


def _priority(context: Context) -> tuple[KeyValue, ...]:
    factors, priority = context.case.harm_factors, context.assessment.risk.priority
    return (
        KeyValue(
            label=sentence("report_risk.us.harm"),
            runs=(sentence(f"report_risk.harm.{factors.harm.name.lower()}"),),
            known=factors.harm is not HarmGrade.OPEN,
        ),
        KeyValue(
            label=sentence("report_risk.us.likelihood"),
            runs=(sentence(f"report_risk.likelihood.{factors.likelihood.name.lower()}"),),
            known=factors.likelihood is not Likelihood.OPEN,
        ),
        stated_row(context, sentence("report_risk.us.likelihood_reason"), factors.likelihood_reason),
        KeyValue(
            label=sentence("report_risk.us.priority"),
            runs=(priority.sentence or sentence("report_risk.us.no_priority"),),
            note=source_runs((priority.source,)) if priority.source is not None else (),
            known=bool(priority.letter),
        ),
    )


def _factors(assessment: Assessment) -> tuple[Block, ...]:
    factors = assessment.risk.factors
    if not factors:
        why = sentence("report_risk.us.no_factors_why")
        return (Missing(what=sentence("report_risk.us.no_factors"), why=why),)
    columns = (
        Column(title=sentence("report_risk.us.factor"), share=2.6),
        Column(title=sentence("report_risk.us.answer"), share=4.6),
        Column(title=sentence("report_risk.us.clause"), share=2.4),
    )
    rows = tuple(Row(cells=((factor.name,), _answer(factor), source_runs((factor.source,)))) for factor in factors)
    return (Table(caption=sentence("report_risk.us.factors_caption"), columns=columns, rows=rows),)


def _answer(factor: Factor) -> Runs:
    if factor.text.strip():
        return (factor.text,)
    if factor.standing is FactorStanding.FOR_THE_AUTHORITY:
        return (sentence("report_risk.standing.for_the_authority"),)
    return (sentence("report_risk.standing.open"),)

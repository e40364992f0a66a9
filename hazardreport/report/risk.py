"""The part on risk: scenarios, the one risk of the product, the table behind it, and what a level does not mean."""

from hazardreport.addressees.asked import Clause, ClauseStatus
from hazardreport.quantity.trace import Source, Status
from hazardreport.report.context import (
    MEMORY_MARK,
    Context,
    clauses_paragraph,
    moment_text,
    source_runs,
    sources_paragraph,
)
from hazardreport.report.document import (
    Block,
    Column,
    Items,
    KeyValue,
    KeyValues,
    Missing,
    Paragraph,
    Part,
    Row,
    Runs,
    Section,
    Table,
)
from hazardreport.report.links import scenarios_of, stated_row
from hazardreport.report.risk_scenario import scenario_section
from hazardreport.report.risk_us import us_section
from hazardreport.risk.injuries import severities
from hazardreport.risk.level import SEVERITIES, bands
from hazardreport.risk.marking import marked
from hazardreport.risk.records import RiskLevel
from hazardreport.wording import lines, sentence

METHOD = (
    Clause(reference="eu-2019-417", place="Annex, guidelines on risk assessment", status=ClauseStatus.READ),
    Clause(reference="eu-2023-988", place="art. 18(3)(a)", status=ClauseStatus.READ),
)


def risk(context: Context, number: int) -> Part:
    """The part on risk."""
    scenarios = context.case.scenarios
    opening = Section(
        title="",
        blocks=(
            Paragraph(runs=(sentence("report_risk.part.opening"),)),
            Paragraph(runs=(sentence("report_risk.part.method"),), role="small"),
            clauses_paragraph(METHOD),
        ),
    )
    sections = [opening, Section(title=sentence("report_risk.product.title"), blocks=_product(context))]
    sections += [scenario_section(context, scenario) for scenario in scenarios]
    if scenarios:
        sections.append(Section(title=sentence("report_risk.matrix.title"), blocks=_matrix()))
    sections += [
        us_section(context),
        Section(
            title=sentence("report_risk.means.title"),
            blocks=(Items(items=tuple((line,) for line in lines("report_risk.means.items"))),),
        ),
    ]
    return Part(key="risk", number=number, title=sentence("report.parts.risk"), sections=tuple(sections))


def level_word(level: RiskLevel) -> str:
    """A level in words."""
    return sentence(f"risk.level.{level.name.lower()}")


def _product(context: Context) -> tuple[Block, ...]:
    factors, product = context.case.harm_factors, context.assessment.risk.product
    who = stated_row(context, sentence("report_risk.product.assessor"), factors.assessor)
    day = factors.assessed_on.strip()
    when = KeyValue(
        label=sentence("report_risk.product.assessed_on"),
        runs=(moment_text(day) if day else sentence("report.words.open"),),
        known=bool(day),
    )
    plausible = stated_row(context, sentence("report_risk.product.plausibility"), factors.plausibility)
    if not context.case.scenarios:
        why = context.case.absence("scenarios") or sentence("report_risk.part.no_scenarios_why")
        none = Missing(what=sentence("report_risk.part.no_scenarios"), why=why)
        return (none, KeyValues(rows=(who, when, plausible)))
    told: Runs = (product.sentence or sentence("report_risk.product.no_level"),)
    leading = scenarios_of(context, product.leading) or (sentence("report_risk.product.no_leading"),)
    rows = (
        KeyValue(
            label=sentence("report_risk.product.level"),
            runs=told,
            note=source_runs((product.source,)) if product.source is not None else (),
            known=product.level is not None,
        ),
        KeyValue(label=sentence("report_risk.product.leading"), runs=leading, known=bool(product.leading)),
        who,
        when,
        plausible,
    )
    return (KeyValues(rows=rows),)


def _matrix() -> tuple[Block, ...]:
    """The whole table as it was used, cells from memory marked; and what the levels of severity mean."""
    columns = (
        Column(title=sentence("report_risk.matrix.probability"), share=1.6),
        *(Column(title=sentence("report_risk.matrix.severity", severity=one), share=1.4) for one in SEVERITIES),
    )
    held = bands()
    rows = tuple(
        Row(
            cells=(
                (band.printed,),
                *((_cell(level, source),) for level, source in zip(band.levels, band.sources, strict=True)),
            )
        )
        for band in held
    )
    meanings = tuple(
        KeyValue(
            label=sentence("report_risk.matrix.meaning_label", severity=one.severity),
            runs=(marked(one.meaning, one.source),),
        )
        for one in severities()
    )
    sources = [source for band in held for source in band.sources]
    memory = any(source.status is Status.FROM_MEMORY for source in sources)
    return (
        Table(
            caption=sentence("report_risk.matrix.caption"),
            columns=columns,
            rows=rows,
            note=sentence("report_risk.matrix.note", mark=MEMORY_MARK) if memory else "",
        ),
        *sources_paragraph(sources),
        KeyValues(title=sentence("report_risk.matrix.meaning"), rows=meanings),
    )


def _cell(level: RiskLevel, source: Source) -> str:
    mark = MEMORY_MARK if source.status is Status.FROM_MEMORY else ""
    return f"{level_word(level)}{mark}"

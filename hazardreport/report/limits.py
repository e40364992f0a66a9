"""Limits of this report: what it is not, what it took from memory, editions, choices, and the bibliography."""

from collections.abc import Iterable

from hazardreport import __version__
from hazardreport.addressees.asked import ClauseStatus
from hazardreport.quantity.formatting import format_value
from hazardreport.quantity.trace import Number, Status
from hazardreport.report.confirmed import confirmed_tables
from hazardreport.report.context import Context, reference_anchor, sources_paragraph
from hazardreport.report.document import (
    Block,
    Column,
    Items,
    Missing,
    Paragraph,
    Part,
    Reference,
    Row,
    Section,
    Table,
    blocks_of,
    runs_of,
)
from hazardreport.report.population import population_results
from hazardreport.report.unplugged import pin_sources
from hazardreport.risk.requirements import BasisStatus, requirement
from hazardreport.standards.references import reference
from hazardreport.standards.tables import Table as StandardTable
from hazardreport.standards.tables import table
from hazardreport.wording import lines, sentence

FALSE_ALARM = "honest"
"""How the rows of the coverage study begin that count false alarms."""


def limits(context: Context, number: int, parts: Iterable[Part] = ()) -> Part:
    """The part on limits; its bibliography has every document that the given parts refer to."""
    return Part(
        key="limits",
        number=number,
        title=sentence("report.parts.limits"),
        sections=(
            Section(title="", blocks=_statements(context)),
            Section(title=sentence("report.limits.coverage"), blocks=_coverage()),
            Section(title=sentence("report.limits.memory"), blocks=_memory(context)),
            Section(title=sentence("report_limits.confirmed.title"), blocks=confirmed_tables(context)),
            Section(title=sentence("report.limits.choices"), blocks=_choices(context)),
            Section(title=sentence("report.limits.editions"), blocks=_editions(context)),
            Section(title=sentence("report.limits.references"), blocks=_references(context, parts)),
        ),
    )


def _statements(context: Context) -> tuple[Block, ...]:
    on_risk = sentence(f"report_limits.risk.{'there' if 'risk' in context.profile.parts else 'not_there'}")
    left_out = sentence("report.words.left_out", mark=sentence("publication.withheld"))
    told = (*lines("report.limits.statements"), on_risk, *((left_out,) if context.names_left_out else ()))
    return (Items(items=tuple((line,) for line in told)),)


def coverage_study() -> StandardTable:
    """Simulated cases by quantity, and in how many of them the stated interval held the truth."""
    return table("own-choices", "coverage-study")


def _coverage() -> tuple[Block, ...]:
    """How often the stated intervals held the truth where it was known, and how often honest readings were accused."""
    study = coverage_study()
    held = [row for row in study.rows if not row[0].startswith(FALSE_ALARM)]
    accused = [row for row in study.rows if row[0].startswith(FALSE_ALARM)]
    columns = (
        Column(title=sentence("report.limits.quantity"), share=5.0),
        Column(title=sentence("report.limits.covered"), share=2.0),
        Column(title=sentence("report.limits.rate"), unit="%", numeric=True, share=1.2),
    )
    rows = tuple(
        Row(
            cells=(
                (quantity,),
                (sentence("report.limits.of", count=covered, cases=cases),),
                (format_value(100.0 * float(covered) / float(cases), "1"),),
            )
        )
        for quantity, cases, covered in held
    )
    alarms = tuple(
        (sentence("report.limits.alarm", name=name, count=count, cases=cases),) for name, cases, count in accused
    )
    return (
        Paragraph(runs=(sentence("report.limits.coverage_text"),)),
        Table(
            caption=sentence("report.limits.coverage_caption"),
            columns=columns,
            rows=rows,
        ),
        Paragraph(runs=(sentence("report.limits.alarms"),)),
        Items(items=alarms),
        Paragraph(runs=(" ".join(study.remarks),), role="small"),
        *sources_paragraph((study.source(),)),
    )


def _memory(context: Context) -> tuple[Block, ...]:
    """Tables used from memory, and clauses that are cited without having been read."""
    risk = context.assessment.risk
    used = [source for number in context.assessment.trace for source in number.sources]
    used += [*risk.sources, *(one.source for one in risk.scenarios if one.source is not None)]
    tables = sorted({(one.key, one.place) for one in used if one.status is Status.FROM_MEMORY})
    clauses = sorted(_clauses_from_memory(context))
    blocks: list[Block] = []
    if tables:
        items = tuple((f"{key}, {place}" if place else key,) for key, place in tables)
        blocks += [Paragraph(runs=(sentence("report.limits.memory_text"),)), Items(items=items)]
    else:
        blocks.append(Paragraph(runs=(sentence("report.limits.no_memory"),)))
    if clauses:
        listed = "; ".join(f"{key}, {place}" for key, place in clauses)
        blocks.append(Paragraph(runs=(sentence("report_limits.clauses_from_memory", listed=listed),)))
    return tuple(blocks)


def _clauses_from_memory(context: Context) -> set[tuple[str, str]]:
    """Document and place of every clause that this addressee's elements or an answered requirement cite from memory."""
    found = {(one.reference, one.place) for one in context.profile.clauses if one.status is ClauseStatus.FROM_MEMORY}
    answered = [one.key for one in context.assessment.requirements if one.answer is not None]
    held = [one for key in answered if (one := requirement(key)) is not None]
    return found | {
        (clause.reference, clause.place)
        for one in held
        for clause in one.clauses
        if clause.status is BasisStatus.FROM_MEMORY
    }


def _choices(context: Context) -> tuple[Block, ...]:
    if not context.assessment.choices:
        return (Missing(what=sentence("report.limits.no_choices"), why=sentence("report.limits.no_choices_why")),)
    items = tuple((sentence(f"choices.{key}"),) for key in context.assessment.choices)
    return (Paragraph(runs=(sentence("report.limits.choices_text"),)), Items(items=items))


def _editions(context: Context) -> tuple[Block, ...]:
    version = Paragraph(runs=(sentence("report.limits.version", version=__version__),))
    if not context.assessment.editions:
        return (
            version,
            Missing(what=sentence("report.limits.no_editions"), why=sentence("report.limits.no_editions_why")),
        )
    columns = (
        Column(title=sentence("report.limits.document"), share=1.9),
        Column(title=sentence("report.limits.table"), share=2.4),
        Column(title=sentence("report.limits.edition"), share=2.0),
        Column(title=sentence("report.limits.status"), share=1.4),
        Column(title=sentence("report.limits.sha256"), share=1.8),
    )
    rows = tuple(
        Row(cells=((key,), (table,), (edition or "\u2013",), (_status(status),), (sha256[:16],)))
        for key, table, edition, status, sha256 in context.assessment.editions
    )
    note = sentence("report.limits.editions_note")
    return (version, Table(caption=sentence("report.limits.editions_caption"), columns=columns, rows=rows, note=note))


def _status(text: str) -> str:
    known = {status.value for status in Status}
    return sentence(f"report.status.{Status(text).name.lower()}") if text in known else text


def cited(context: Context, parts: Iterable[Part] = ()) -> tuple[str, ...]:
    """Keys of every document that this report cites, sorted."""
    laws = {clause.reference for clause in context.profile.clauses}
    return tuple(sorted(laws | _of_numbers(context.assessment.trace) | _of_results(context) | _of_parts(parts)))


def _of_parts(parts: Iterable[Part]) -> set[str]:
    """Documents that runs of the parts lead to."""
    start = reference_anchor("")
    runs = (run for part in parts for block in blocks_of(part) for line in runs_of(block) for run in line)
    targets = {run.target for run in runs if isinstance(run, Reference)}
    return {target.removeprefix(start) for target in targets if target.startswith(start)}


def _of_numbers(numbers: Iterable[Number]) -> set[str]:
    return {source.key for number in numbers for source in number.sources}


def _of_results(context: Context) -> set[str]:
    assessment = context.assessment
    keys = {source.key for exposure in assessment.exposures for source in exposure.sources}
    keys |= {source.key for device in assessment.devices for source in device.sources}
    keys |= {source.key for comparison in assessment.limits for source in comparison.sources}
    keys |= {source.key for one in assessment.as_built for device in one.devices for source in device.sources}
    keys |= {source.key for result in population_results(context) for source in result.sources}
    keys |= {source.key for source in pin_sources(context)}
    keys |= {source.key for remark in context.custody for source in remark.sources}
    keys.add(coverage_study().citation.key)
    return keys | {edition[0] for edition in assessment.editions}


def _references(context: Context, parts: Iterable[Part]) -> tuple[Block, ...]:
    columns = (
        Column(title=sentence("report.limits.key"), share=1.7),
        Column(title=sentence("report.limits.title"), share=4.3),
        Column(title=sentence("report.limits.body"), share=2.0),
        Column(title=sentence("report.limits.where"), share=2.0),
    )
    rows = []
    for key in cited(context, parts):
        entry = reference(key)
        cost = sentence("report.limits.free" if entry.free else "report.limits.bought")
        title = f"{entry.title} ({entry.year})" if entry.year else entry.title
        rows.append(
            Row(
                anchor=reference_anchor(key),
                cells=((key,), (title,), (entry.body,), (f"{entry.where} ({cost})",)),
            )
        )
    return (Table(caption=sentence("report.limits.references_caption"), columns=columns, rows=tuple(rows)),)

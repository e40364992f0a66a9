"""Tables that somebody compared with the document: who read what, and where the digits were read otherwise."""

from hazardreport.case.confirmation import TableConfirmation
from hazardreport.report.context import Context, moment_text
from hazardreport.report.document import Block, Column, Items, Paragraph, Row, Runs, Table
from hazardreport.standards.confirmed import Comparison, comparisons
from hazardreport.wording import sentence


def confirmed_tables(context: Context) -> tuple[Block, ...]:
    """Every confirmation of the case: what agrees, what does not count and why, and every digit read otherwise."""
    confirmations = context.case.confirmations
    if not confirmations:
        return (Paragraph(runs=(sentence("report_limits.confirmed.none"),)),)
    columns = tuple(
        Column(title=sentence(f"report_limits.confirmed.{name}"), share=share)
        for name, share in (("table", 2.4), ("edition", 2.0), ("reader", 2.0), ("second", 2.0), ("result", 2.6))
    )
    found = comparisons(confirmations)
    rows = tuple(Row(cells=_cells(one)) for one in found)
    differing = tuple((line,) for one in found for line in _differing(one))
    blocks: tuple[Block, ...] = (
        Paragraph(runs=(sentence("report_limits.confirmed.text"),)),
        Table(caption=sentence("report_limits.confirmed.caption"), columns=columns, rows=rows),
    )
    if differing:
        blocks += (Paragraph(runs=(sentence("report_limits.confirmed.differing"),)), Items(items=differing))
    return blocks


def _cells(one: Comparison) -> tuple[Runs, ...]:
    confirmation = one.confirmation
    return (
        (confirmation.table.strip() or sentence("report.words.not_stated"),),
        (_edition(confirmation),),
        (_who(confirmation.name, confirmation.day),),
        (_who(confirmation.second_reader, confirmation.second_day),),
        (_result(one),),
    )


def _edition(confirmation: TableConfirmation) -> str:
    not_stated = sentence("report.words.not_stated")
    return sentence(
        "report_limits.confirmed.edition_value",
        edition=confirmation.edition.strip() or not_stated,
        page=confirmation.page.strip() or not_stated,
    )


def _who(name: str, day: str) -> str:
    if not name.strip():
        return sentence("report_limits.confirmed.nobody")
    when = moment_text(day) if day.strip() else sentence("report.words.not_stated")
    return sentence("report_limits.confirmed.who", name=name, day=when)


def _result(one: Comparison) -> str:
    if one.not_counted:
        return sentence(f"report_limits.not_counted.{one.not_counted}")
    """Counted as the command line counts: of the cells that were read; only what there is is told."""
    told = [
        sentence("report_limits.confirmed.agreeing", agreeing=len(one.agreeing), compared=one.compared, cells=one.cells)
    ]
    if one.differing:
        told.append(sentence("report_limits.confirmed.other", count=len(one.differing)))
    if one.unfit:
        key = "unfit_one" if len(one.unfit) == 1 else "unfit_many"
        told.append(sentence(f"report_limits.confirmed.{key}", count=len(one.unfit)))
    return "; ".join(told)


def _differing(one: Comparison) -> tuple[str, ...]:
    return tuple(
        sentence(
            "report_limits.confirmed.cell",
            table=one.confirmation.table,
            row=", ".join(cell.arguments),
            column=cell.column,
            held=cell.held or sentence("report_limits.confirmed.nothing"),
            read=cell.read,
        )
        for cell in one.differing
    )

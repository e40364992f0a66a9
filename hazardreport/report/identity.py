"""Identity of the unit: every field as value, unknown because …, or not applicable; and where it was read."""

from dataclasses import fields, replace

from hazardreport.case.barcode import barcode_fault
from hazardreport.case.stated import Standing
from hazardreport.case.unit import ConformityMark, Unit
from hazardreport.quantity.trace import Source
from hazardreport.report.context import Context, source_runs
from hazardreport.report.document import (
    Block,
    Column,
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
from hazardreport.report.links import stated_row, where_read
from hazardreport.report.wiring import wiring_rows
from hazardreport.wording import sentence

GROUPS: dict[str, str] = {
    "product": "product_name common_names category classification brand model description packaging",
    "plate": "rated_voltage rated_frequency supply_nature rated_power rated_current protection_class ip_code "
    "plate_otherwise",
    "numbers": "serial batch date_code date_code_meaning manufactured barcode stock_number customs_code",
    "marks": "marks",
    "firms": "maker maker_address maker_contact importer importer_address responsible_person "
    "responsible_person_address exporter distributor country destinations counterfeit",
    "sale": "seller seller_address seller_contact marketplace marketplace_contact listing listing_seen purchased "
    "purchase_place price still_on_sale",
    "papers": "standards_claimed documents",
    "condition": "condition repairs_and_changes",
}
"""Fields of the unit by group, in the order of the report."""
USUAL = frozenset(("product_name", "brand", "model", "serial", "maker", "seller", "purchased", "condition"))
"""Fields with a row of their own in any case, answered or not."""
CHECK_DIGIT = Source(key="gs1-check-digit", place="")


def identity(context: Context, number: int) -> Part:
    """The part on identity."""
    named = {group: tuple(names.split()) for group, names in GROUPS.items()}
    shown = {name for names in named.values() for name in names}
    groups = {**named, "more": tuple(field.name for field in fields(Unit) if field.name not in shown)}
    sections = [
        Section(title=sentence(f"report.identity.{group}"), blocks=_group(context, group, names))
        for group, names in groups.items()
        if names
    ]
    opening = Section(title="", blocks=(Paragraph(runs=(sentence("report.identity.opening"),)),))
    wiring = Section(
        title=sentence("report.identity.wiring"), blocks=(KeyValues(rows=wiring_rows(context.case.wiring)),)
    )
    return Part(
        key="identity",
        number=number,
        title=sentence("report.parts.identity"),
        sections=(opening, *sections, wiring),
    )


def _asked(context: Context) -> set[str]:
    """Fields of the unit that this addressee asks for or names."""
    links = (link.partition(".") for element in context.profile.elements for link in element.fields)
    return {name for record, _, name in links if record == "unit"}


def _group(context: Context, group: str, names: tuple[str, ...]) -> tuple[Block, ...]:
    own_row = _asked(context) | USUAL
    unit = context.case.unit
    rows, left = [], []
    for name in names:
        if getattr(unit, name).answered or name in own_row:
            rows.append(_row(context, name))
        else:
            left.append(sentence(f"report.unit_fields.{name}"))
    if left:
        text = sentence("report.identity.not_answered_value", names="; ".join(left))
        rows.append(KeyValue(label=sentence("report.identity.not_answered"), runs=(text,), known=False))
    marks = _marks(context) if group == "marks" else ()
    return (KeyValues(rows=tuple(rows)), *marks)


def _row(context: Context, name: str) -> KeyValue:
    stated = getattr(context.case.unit, name)
    row = stated_row(context, sentence(f"report.unit_fields.{name}"), stated)
    if name != "barcode" or stated.standing is not Standing.VALUE:
        return row
    fault = barcode_fault(stated.text)
    said = sentence(f"report.identity.{fault or 'barcode_good'}")
    rule: Runs = (sentence("report.identity.barcode_by"), *source_runs((CHECK_DIGIT,)))
    return replace(row, note=(said, *rule, *(("; ", *row.note) if row.note else ())))


def _marks(context: Context) -> tuple[Block, ...]:
    marks = context.case.conformity_marks
    if not marks:
        why = context.case.absence("conformity_marks") or sentence("report.identity.no_marks")
        return (Missing(what=sentence("report.identity.marks_caption"), why=why),)
    columns = (
        Column(title=sentence("report.identity.mark"), share=1.4),
        Column(title=sentence("report.identity.holder"), share=2.0),
        Column(title=sentence("report.identity.mark_number"), share=1.8),
        Column(title=sentence("report.identity.mark_place"), share=1.4),
        Column(title=sentence("report.identity.mark_note"), share=2.6),
        Column(title=sentence("report.identity.mark_shown"), share=1.8),
    )
    rows = tuple(Row(cells=_mark(context, mark)) for mark in marks)
    note = sentence("report.identity.marks_note")
    return (Table(caption=sentence("report.identity.marks_caption"), columns=columns, rows=rows, note=note),)


def _mark(context: Context, mark: ConformityMark) -> tuple[Runs, ...]:
    not_stated = sentence("report.words.not_stated")
    told = (mark.mark, mark.holder, mark.number, mark.place)
    return (
        *((text if text.strip() else not_stated,) for text in told),
        (mark.note if mark.note.strip() else sentence("report.identity.mark_not_looked_up"),),
        where_read(context, mark.picture, mark.point) or (sentence("report.identity.mark_not_shown"),),
    )

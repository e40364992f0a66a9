"""Identity of the unit: every field as value, unknown because …, or not applicable; and where it was read."""

from dataclasses import fields

from hazardreport.case.stated import Standing
from hazardreport.case.unit import Unit
from hazardreport.report.context import Context
from hazardreport.report.document import KeyValue, KeyValues, Part, Section
from hazardreport.report.links import stated_row
from hazardreport.report.wiring import wiring_rows
from hazardreport.wording import sentence

GROUPS = {
    "product": ("product_name", "category", "brand", "model", "serial", "batch", "date_code", "date_code_meaning"),
    "numbers": ("barcode", "rated_voltage", "rated_frequency", "rated_power", "protection_class", "marks"),
    "firms": ("maker", "maker_address", "maker_contact", "importer", "importer_address", "country"),
    "sale": ("seller", "seller_address", "marketplace", "listing", "purchased", "price", "still_on_sale"),
    "condition": ("condition", "repairs_and_changes"),
}


def identity(context: Context, number: int) -> Part:
    """The part on identity."""
    shown = {name for names in GROUPS.values() for name in names}
    groups = {**GROUPS, "more": tuple(field.name for field in fields(Unit) if field.name not in shown)}
    sections = [
        Section(title=sentence(f"report.identity.{group}"), blocks=(KeyValues(rows=_rows(context, names)),))
        for group, names in groups.items()
        if names
    ]
    wiring = Section(
        title=sentence("report.identity.wiring"), blocks=(KeyValues(rows=wiring_rows(context.case.wiring)),)
    )
    return Part(key="identity", number=number, title=sentence("report.parts.identity"), sections=(*sections, wiring))


def _rows(context: Context, names: tuple[str, ...]) -> tuple[KeyValue, ...]:
    rows = []
    for name in names:
        stated = getattr(context.case.unit, name)
        row = stated_row(context, sentence(f"report.unit_fields.{name}"), stated)
        if name == "barcode" and stated.standing is Standing.VALUE:
            key = "report.identity.barcode_good" if barcode_holds(stated.text) else "report.identity.barcode_bad"
            note = (sentence(key), *((", ", *row.note) if row.note else ()))
            row = KeyValue(label=row.label, runs=row.runs, note=note, known=row.known)
        rows.append(row)
    return tuple(rows)


def barcode_holds(text: str) -> bool:
    """Whether a GTIN of 8, 12, 13 or 14 digits ends with its check digit.

    Examples
    --------
    >>> barcode_holds("6291041500213"), barcode_holds("6291041500214"), barcode_holds("12")
    (True, False, False)
    """
    digits = text.replace(" ", "").replace("\u00a0", "")
    if not (digits.isascii() and digits.isdigit() and len(digits) in (8, 12, 13, 14)):
        return False
    body = [int(digit) for digit in reversed(digits[:-1])]
    total = sum(digit * (3 if place % 2 == 0 else 1) for place, digit in enumerate(body))
    return (total + int(digits[-1])) % 10 == 0

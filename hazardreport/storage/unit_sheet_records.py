"""Lists of records in a unit sheet: which record of the case a table describes, and whether what it names is there.

A record with an id describes the one of the case anew; without an id it is the one with the same telling fields, else
it is added: so that a sheet can be imported again.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Finding
from hazardreport.case.custody import Item, Step, Transfer
from hazardreport.case.letter import Letter
from hazardreport.case.scenario import Scenario
from hazardreport.case.unit import ConformityMark
from hazardreport.storage.toml_fields import Sheet

ID = re.compile("[A-Za-z0-9][A-Za-z0-9_-]{0,39}")

Kept = TypeVar("Kept", Item, Transfer, Step, Finding, ConformityMark, Scenario, Letter)


def records(
    kind: type[Kept],
    present: Iterable[Kept],
    document: Mapping[str, Any],
    sheet: Sheet,
    name: str,
    alike: Callable[[Kept, Kept], bool],
) -> Iterator[tuple[str, Kept]]:
    """Each record of a list of tables with its place; `alike` tells which of the case one without id describes."""
    known = {one.id: one for one in present}
    seen: set[str] = set()
    for place, table in sheet.tables(document.get(name, []), name):
        faults = len(sheet.faults)
        read = _described(kind, known, table, sheet, place, alike, name.removesuffix("s").replace("_", "-"))
        if read is None:
            continue
        if not ID.fullmatch(read.id):
            sheet.found(f"{place}.id", "no_id", text=read.id)
        elif read.id in seen:
            sheet.found(f"{place}.id", "repeated", text=read.id)
        seen.add(read.id)
        if len(sheet.faults) == faults:
            known[read.id] = read
            yield place, read


def _described(
    kind: type[Kept],
    known: Mapping[str, Kept],
    table: Mapping[str, Any],
    sheet: Sheet,
    place: str,
    alike: Callable[[Kept, Kept], bool],
    id: str,
) -> Kept | None:
    """The record of a table, or None where it lacks what it needs; `id` is the beginning of ids that are given."""
    given = table.get("id", "")
    if isinstance(given, str) and given.strip() in known:
        return sheet.changed(known[given.strip()], table, place)
    read = sheet.made(kind, {**table, "id": id if given == "" else given}, place)
    if read is None or given != "":
        return read
    same = next((one for one in known.values() if alike(one, read)), None)
    if same is None:
        return replace(read, id=edits.next_id(id, known))
    return sheet.changed(same, {**table, "id": same.id}, place)


def check_named(case: Case, place: str, sheet: Sheet, **named: Iterable[str]) -> None:
    """Faults for what is named and not in the case: ids of pictures, readings, findings, attachments by field."""
    there = {
        "pictures": ("unknown_picture", {one.id for one in case.pictures}),
        "readings": ("unknown_reading", {one.id for one in case.readings}),
        "findings": ("unknown_finding", {one.id for one in case.findings}),
        "attachments": ("unknown_attachment", {one.id for one in case.attachments}),
    }
    for field, names in named.items():
        key, known = there[field]
        for name in names:
            if name not in known:
                sheet.found(f"{place}.{field}", key, text=name)

"""The part of a unit sheet on keeping: items of evidence, transfers, steps, and the words that stay private.

A record with an id describes the one of the case anew; without an id it is the one with the same telling fields, else
it is added: so that a sheet can be imported again. Transfers and steps name items by id, or by the label on them.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.custody import Item, Step, Transfer
from hazardreport.storage.toml_fields import Sheet

NAMES = ("private_words", "items", "transfers", "steps")
"""Top-level names of a sheet that are read here."""

ID = re.compile("[A-Za-z0-9][A-Za-z0-9_-]{0,39}")

Kept = TypeVar("Kept", Item, Transfer, Step)


def with_custody(case: Case, document: Mapping[str, Any], sheet: Sheet) -> Case:
    """The case with what the sheet says about keeping; faults go to the sheet."""
    case = _with_private_words(case, document.get("private_words", []), sheet)
    for place, item in _records(Item, case.items, document.get("items", []), sheet, "items", _alike_items):
        _check_pictures(case, item.pictures, f"{place}.pictures", sheet)
        case = (edits.add_item if case.item(item.id) is None else edits.change_item)(case, item)
    rows = _records(Transfer, case.transfers, document.get("transfers", []), sheet, "transfers", _alike_transfers)
    for place, transfer in rows:
        _check_pictures(case, [transfer.picture] if transfer.picture else [], f"{place}.picture", sheet)
        transfer = replace(transfer, items=_named_items(case, transfer.items, f"{place}.items", sheet))
        new = all(one.id != transfer.id for one in case.transfers)
        case = (edits.add_transfer if new else edits.change_transfer)(case, transfer)
    for place, step in _records(Step, case.steps, document.get("steps", []), sheet, "steps", _alike_steps):
        _check_pictures(case, step.pictures, f"{place}.pictures", sheet)
        for reading in step.readings:
            if case.reading(reading) is None:
                sheet.found(f"{place}.readings", "unknown_reading", text=reading)
        step = replace(step, items=_named_items(case, step.items, f"{place}.items", sheet))
        new = all(one.id != step.id for one in case.steps)
        case = (edits.add_step if new else edits.change_step)(case, step)
    return case


def _with_private_words(case: Case, found: object, sheet: Sheet) -> Case:
    """Words are only ever added: a sheet cannot make public what the case keeps private."""
    words = sheet.read(found, tuple[str, ...], "private_words", ())
    if not isinstance(words, tuple):
        return case
    return edits.set_private_words(case, (*case.private_words, *words))


def _alike_items(old: Item, new: Item) -> bool:
    if old.label and new.label:
        return old.label == new.label
    return (old.kind, old.description) == (new.kind, new.description)


def _alike_transfers(old: Transfer, new: Transfer) -> bool:
    return (old.giver, old.taker, old.when) == (new.giver, new.taker, new.when)


def _alike_steps(old: Step, new: Step) -> bool:
    return (old.what, old.when) == (new.what, new.when)


def _records(
    kind: type[Kept],
    present: Iterable[Kept],
    tables: object,
    sheet: Sheet,
    name: str,
    alike: Callable[[Kept, Kept], bool],
) -> Iterator[tuple[str, Kept]]:
    """Each record of a list of tables with its place; `alike` tells which of the case one without id describes."""
    known = {one.id: one for one in present}
    seen: set[str] = set()
    for place, table in sheet.tables(tables, name):
        given = table.get("id", "")
        faults = len(sheet.faults)
        read = sheet.made(kind, {**table, "id": "new" if given == "" else given}, place)
        if read is None:
            continue
        key = read.id
        if given == "":
            same = next((one for one in known.values() if alike(one, read)), None)
            key = same.id if same else edits.next_id(name.removesuffix("s"), known)
        if not ID.fullmatch(key):
            sheet.found(f"{place}.id", "no_id", text=key)
        elif key in seen:
            sheet.found(f"{place}.id", "repeated", text=key)
        seen.add(key)
        if len(sheet.faults) == faults:
            known[key] = (
                sheet.changed(known[key], {**table, "id": key}, place) if key in known else replace(read, id=key)
            )
            yield place, known[key]


def _check_pictures(case: Case, pictures: Iterable[str], place: str, sheet: Sheet) -> None:
    for picture in pictures:
        if case.picture(picture) is None:
            sheet.found(place, "unknown_picture", text=picture)


def _named_items(case: Case, names: Iterable[str], place: str, sheet: Sheet) -> tuple[str, ...]:
    """Ids of items that are named by id or by label; a label on two items names neither."""
    ids = []
    for name in names:
        labelled = [item.id for item in case.items if item.label == name]
        if case.item(name) is not None:
            ids.append(name)
        elif len(labelled) == 1:
            ids.extend(labelled)
        else:
            sheet.found(place, "label_twice" if labelled else "unknown_item", text=name)
    return tuple(dict.fromkeys(ids))

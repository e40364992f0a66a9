"""The part of a unit sheet on keeping: items of evidence, transfers, steps, and the words that stay private.

Transfers and steps name items by id, or by the label on them.
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.custody import Item, Step, Transfer
from hazardreport.storage.toml_fields import Sheet
from hazardreport.storage.unit_sheet_records import check_named, records

NAMES = ("private_words", "items", "transfers", "steps")
"""Top-level names of a sheet that are read here."""


def with_custody(case: Case, document: Mapping[str, Any], sheet: Sheet) -> Case:
    """The case with what the sheet says about keeping; faults go to the sheet."""
    case = _with_private_words(case, document.get("private_words", []), sheet)
    for place, item in records(Item, case.items, document, sheet, "items", _alike_items):
        check_named(case, place, sheet, pictures=item.pictures)
        case = (edits.add_item if case.item(item.id) is None else edits.change_item)(case, item)
    rows = records(Transfer, case.transfers, document, sheet, "transfers", _alike_transfers)
    for place, transfer in rows:
        if transfer.picture and case.picture(transfer.picture) is None:
            sheet.found(f"{place}.picture", "unknown_picture", text=transfer.picture)
        transfer = replace(transfer, items=_named_items(case, transfer.items, f"{place}.items", sheet))
        new = all(one.id != transfer.id for one in case.transfers)
        case = (edits.add_transfer if new else edits.change_transfer)(case, transfer)
    for place, step in records(Step, case.steps, document, sheet, "steps", _alike_steps):
        check_named(case, place, sheet, pictures=step.pictures, readings=step.readings)
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

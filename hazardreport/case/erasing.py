"""A case without what it says about one person. The texts in the log are erased by `storage.erasing`."""

from dataclasses import fields, is_dataclass, replace
from typing import Any

from hazardreport.case.case import Case
from hazardreport.case.personal import Person, person_of
from hazardreport.case.stated import Stated, unknown


def without_person(case: Case, persons: frozenset[Person], reason: str) -> Case:
    """The case with every text that is always about one of these persons gone.

    Parameters
    ----------
    case : Case
        As it is now.
    persons : frozenset of Person
        Whose texts go.
    reason : str
        Stands in place of an answered field: "erased on 2026-05-04 at the person's request".
    """
    cleared: Case = _cleared(case, "", persons, reason)
    if Person.MEASURER in persons and cleared.competence is not None:
        cleared = replace(cleared, competence=None)
    return cleared


_OF_PICTURES = frozenset(("picture", "pictures", "still"))
_OF_ATTACHMENTS = frozenset(("attachment", "attachments"))
"""Fields of any record that hold ids of pictures, and of attachments."""


def without_picture(case: Case, ids: frozenset[str]) -> Case:
    """The case without pictures that must not be kept, and without what points to them."""
    kept = replace(case, pictures=tuple(picture for picture in case.pictures if picture.id not in ids))
    unlinked: Case = _without_links(kept, _OF_PICTURES, ids)
    return unlinked


def without_attachment(case: Case, ids: frozenset[str]) -> Case:
    """The case without attachments that must not be kept, and without what points to them."""
    kept = replace(case, attachments=tuple(one for one in case.attachments if one.id not in ids))
    unlinked: Case = _without_links(kept, _OF_ATTACHMENTS, ids)
    return unlinked


def _without_links(record: Any, names: frozenset[str], ids: frozenset[str]) -> Any:
    """The record, and all records in it, whose fields of these names no longer hold one of the ids."""
    changed: dict[str, object] = {}
    for field in fields(record):
        before = getattr(record, field.name)
        after = _unlinked(before, names, ids, is_link=field.name in names)
        if after != before:
            changed[field.name] = after
    return replace(record, **changed) if changed else record


def _unlinked(value: Any, names: frozenset[str], ids: frozenset[str], *, is_link: bool) -> Any:
    if isinstance(value, str):
        return "" if is_link and value in ids else value
    if isinstance(value, tuple):
        kept = (one for one in value if not (is_link and isinstance(one, str) and one in ids))
        return tuple(_unlinked(one, names, ids, is_link=False) for one in kept)
    return _without_links(value, names, ids) if is_dataclass(value) else value


def _cleared(record: Any, place: str, persons: frozenset[Person], reason: str) -> Any:
    changed: dict[str, object] = {}
    for field in fields(record):
        inner = f"{place}.{field.name}" if place else field.name
        before = getattr(record, field.name)
        after = _after(before, inner, persons, reason)
        if after != before:
            changed[field.name] = after
    return replace(record, **changed) if changed else record


def _after(value: Any, place: str, persons: frozenset[Person], reason: str) -> Any:
    hit = person_of(place) in persons
    if isinstance(value, Stated):
        return unknown(reason) if hit and (value.text or value.reason) and value.reason != reason else value
    if isinstance(value, str):
        return "" if hit else value
    if isinstance(value, tuple):
        if person_of(f"{place}[]") in persons:
            return ()
        return tuple(_after(one, f"{place}[]", persons, reason) for one in value)
    return _cleared(value, place, persons, reason) if is_dataclass(value) else value

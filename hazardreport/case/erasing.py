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


def without_picture(case: Case, ids: frozenset[str]) -> Case:
    """The case without pictures that must not be kept, and without what points to them."""
    kept = tuple(picture for picture in case.pictures if picture.id not in ids)
    return replace(
        case,
        pictures=kept,
        readings=tuple(replace(one, picture="") if one.picture in ids else one for one in case.readings),
        findings=tuple(replace(one, pictures=_others(one.pictures, ids)) for one in case.findings),
        items=tuple(replace(one, pictures=_others(one.pictures, ids)) for one in case.items),
        steps=tuple(replace(one, pictures=_others(one.pictures, ids)) for one in case.steps),
        transfers=tuple(replace(one, picture="") if one.picture in ids else one for one in case.transfers),
        attachments=tuple(replace(one, still="") if one.still in ids else one for one in case.attachments),
        unit=_without_links(case.unit, ids),
        household=_without_links(case.household, ids),
        occurrence=_without_links(case.occurrence, ids),
        submitter=_without_links(case.submitter, ids),
        custody=_without_links(case.custody, ids),
    )


def _others(ids: tuple[str, ...], gone: frozenset[str]) -> tuple[str, ...]:
    return tuple(one for one in ids if one not in gone)


def _without_links(record: Any, ids: frozenset[str]) -> Any:
    """The record with its `Stated` fields no longer pointing to a picture that is gone."""
    changed = {
        field.name: replace(stated, picture="")
        for field in fields(record)
        if isinstance(stated := getattr(record, field.name), Stated) and stated.picture in ids
    }
    return replace(record, **changed) if changed else record


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

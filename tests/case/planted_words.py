"""A word in each text of a record, and all texts of a record with their places."""

from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from enum import Enum
from typing import Any

from hazardreport.case.publication_places import IDS, KEPT, LINKS
from hazardreport.case.stated import Stated


def texts(value: object, place: str = "") -> Iterator[tuple[str, str]]:
    """All texts of a record, ids and choices included, with the places of the model."""
    if isinstance(value, str) and not isinstance(value, Enum):
        yield place, value
    elif isinstance(value, tuple):
        for item in value:
            yield from texts(item, f"{place}[]")
    elif is_dataclass(value):
        for field in fields(value):
            yield from texts(getattr(value, field.name), f"{place}.{field.name}" if place else field.name)


def planted(value: Any, place: str, word: str) -> Any:
    """The record with a word in each of its texts but in keys, hashes and names of files, which nobody types."""
    if isinstance(value, Stated):
        return replace(value, text=f"{value.text} {word}!", reason=f"{word}, {value.reason}")
    if isinstance(value, str) and not isinstance(value, Enum):
        if place in KEPT or place in LINKS or place in IDS:
            return value
        return f"{value} {word}. {word.upper()}"
    if isinstance(value, tuple):
        return tuple(planted(item, f"{place}[]", word) for item in value)
    if is_dataclass(value) and not isinstance(value, type):
        changes = {
            field.name: planted(getattr(value, field.name), f"{place}.{field.name}" if place else field.name, word)
            for field in fields(value)
        }
        return replace(value, **changes)
    return value

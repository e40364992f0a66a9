"""Names and choices that the records know: with them, changed documents get deep into the readers."""

import dataclasses
import types
import typing
from collections.abc import Iterator
from enum import StrEnum
from functools import cache
from typing import Any

from hazardreport.case.case import Case


@cache
def names() -> tuple[str, ...]:
    """Every field of every record of a case."""
    return tuple(sorted({field.name for record in records() for field in dataclasses.fields(record)}))


@cache
def choices() -> tuple[str, ...]:
    """Every choice of every enumeration of a case."""
    hints = [hint for record in records() for hint in typing.get_type_hints(record).values()]
    kinds = {
        inner for hint in hints for inner in _inner(hint) if isinstance(inner, type) and issubclass(inner, StrEnum)
    }
    return tuple(sorted({option.value for kind in kinds for option in kind}))


@cache
def records() -> tuple[Any, ...]:
    """Every record within a case, the case first."""
    found: dict[Any, None] = {}

    def look(kind: Any) -> None:
        if dataclasses.is_dataclass(kind) and kind not in found:
            found[kind] = None
            for hint in typing.get_type_hints(kind).values():
                for inner in _inner(hint):
                    look(inner)

    look(Case)
    return tuple(found)


def _inner(hint: Any) -> Iterator[Any]:
    if typing.get_origin(hint) in (tuple, types.UnionType, typing.Union):
        for one in typing.get_args(hint):
            yield from _inner(one)
    else:
        yield hint

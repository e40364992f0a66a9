"""A case in which every record stands at least once, of invented things: what fuzzing starts from."""

import dataclasses
import types
import typing
from enum import StrEnum
from functools import cache
from typing import Any

from hazardreport.case.case import Case
from hazardreport.case.picture import Picture, Point
from hazardreport.case.reading import Instrument

SMALL = Case(
    id="C-1",
    title="Wax-melting pot",
    points=tuple(Point(letter=letter) for letter in ("A", "B", "C", "E")),
    instruments=(Instrument(id="instrument-001", name="Multimeter 1"),),
    pictures=(
        Picture(
            id="picture-001",
            file="picture-001.jpg",
            original_name="pot.jpg",
            media_type="image/jpeg",
            sha256="0" * 64,
            size=1,
            width=1,
            height=1,
        ),
    ),
)
"""Points, an instrument and a picture that sheets may name."""


@cache
def full_case() -> Case:
    """Every field set, every list with one record."""
    case: Case = _example(Case, "")
    return case


def _example(hint: Any, name: str) -> Any:
    origin, inner = typing.get_origin(hint), typing.get_args(hint)
    if origin in (types.UnionType, typing.Union):
        return _example(inner[0], name)
    if origin is tuple:
        return tuple(_example(one, name) for one in inner if one is not Ellipsis)
    if dataclasses.is_dataclass(hint):
        hints = typing.get_type_hints(hint)
        return typing.cast(Any, hint)(**{key: _example(one, key) for key, one in hints.items()})
    if issubclass(hint, StrEnum):
        return list(hint)[-1]
    texts = {"file": "picture-001.jpg", "sha256": "0" * 64, "head": "0" * 64, "letter": "A", "original_name": "pot.jpg"}
    return texts.get(name, f"{name} é") if hint is str else hint(1)

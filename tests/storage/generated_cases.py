"""Any case that a person could make: a value of every field of every record."""

import dataclasses
import types
import typing
from enum import StrEnum
from typing import Any

from hypothesis import strategies as st

from hazardreport.case.attachment import Attachment
from hazardreport.case.picture import Picture

TEXTS = st.text(st.characters(exclude_categories=("Cs",)), max_size=8)
NUMBERS = st.floats(allow_nan=False, allow_infinity=False)


def records(hint: Any) -> st.SearchStrategy[Any]:
    """Any value of a field's type, records within records included."""
    if typing.get_origin(hint) in (types.UnionType, typing.Union):
        return st.one_of(*(records(option) for option in typing.get_args(hint)))
    if typing.get_origin(hint) is tuple:
        inner = typing.get_args(hint)
        if inner[-1] is Ellipsis:
            return st.lists(records(inner[0]), max_size=2).map(tuple)
        return st.tuples(*(records(one) for one in inner))
    if dataclasses.is_dataclass(hint):
        hints = typing.get_type_hints(hint)
        return st.fixed_dictionaries(
            {}, optional={name: records(one) for name, one in hints.items()} | _fixed(hint)
        ).flatmap(lambda given: _made(hint, hints, given))
    simple: dict[Any, st.SearchStrategy[Any]] = {
        str: TEXTS,
        float: NUMBERS,
        int: st.integers(min_value=0, max_value=10**9),
        bool: st.booleans(),
        types.NoneType: st.none(),
    }
    return st.sampled_from(list(hint)) if issubclass(hint, StrEnum) else simple[hint]


def _fixed(hint: Any) -> dict[str, st.SearchStrategy[Any]]:
    if hint not in (Picture, Attachment):
        return {}
    return {
        "file": st.from_regex(r"[a-z][a-z0-9-]{0,9}\.jpg", fullmatch=True),
        "sha256": st.from_regex(r"[0-9a-f]{64}", fullmatch=True),
    }


def _made(hint: Any, hints: dict[str, Any], given: dict[str, Any]) -> st.SearchStrategy[Any]:
    needed = [
        one.name for one in dataclasses.fields(hint) if one.default is dataclasses.MISSING and one.name not in given
    ]
    rest = {name: _fixed(hint).get(name, records(hints[name])) for name in needed}
    return st.fixed_dictionaries(rest).map(lambda more: hint(**given, **more))

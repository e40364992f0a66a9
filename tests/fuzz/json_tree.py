"""JSON as a tree that can hold what a record cannot: repeated keys, odd numbers; and odd changes to it."""

import copy
import json
import random
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from tests.fuzz import odd


@dataclass(slots=True)
class Members:
    """An object: its members in order, repeated keys allowed."""

    pairs: list[list[Any]]


@dataclass(frozen=True, slots=True)
class Raw:
    """A number, or anything else, written as it stands."""

    text: str


Place = tuple[list[Any], int, bool]
"""A list, the index in it, and whether a member ([key, value]) stands there; else it is an item."""


def tree(data: bytes) -> Any:
    """The tree of a JSON text; raises ValueError or RecursionError where it is none."""
    return json.loads(
        data,
        object_pairs_hook=lambda pairs: Members([list(pair) for pair in pairs]),
        parse_int=Raw,
        parse_float=Raw,
        parse_constant=Raw,
    )


def documents(data: bytes) -> list[bytes]:
    """A record in small: one document for each field of its case, with what is beside the case."""
    whole = tree(data)
    beside = [pair for pair in whole.pairs if pair[0] != "case"]
    case = next(pair[1] for pair in whole.pairs if pair[0] == "case")
    needed = [pair for pair in case.pairs if pair[0] == "id"]
    return [
        written(Members([*beside, ["case", Members([*needed, pair])]])).encode()
        for pair in case.pairs
        if pair not in needed
    ]


def written(value: Any) -> str:
    """The tree as JSON; lone surrogates are escaped."""
    if isinstance(value, Members):
        return "{" + ",".join(f"{json.dumps(key)}:{written(item)}" for key, item in value.pairs) + "}"
    if isinstance(value, list):
        return "[" + ",".join(map(written, value)) + "]"
    return value.text if isinstance(value, Raw) else json.dumps(value)


def places(value: Any) -> Iterator[Place]:
    """Every member and item, outermost first."""
    if isinstance(value, Members):
        for index, (_, item) in enumerate(value.pairs):
            yield value.pairs, index, True
            yield from places(item)
    elif isinstance(value, list):
        for index, item in enumerate(value):
            yield value, index, False
            yield from places(item)


def odd_value(random_: random.Random) -> Any:
    """A value of any type."""
    kind = random_.randrange(9)
    if kind == 0:
        return Raw(random_.choice(odd.NUMBERS))
    if kind == 1:
        return random_.choice(odd.HALVES)
    if kind in (2, 3, 4):
        return odd.text(random_)
    if kind == 5:
        return random_.choice((None, True, False))
    if kind == 6:
        return Raw(random_.choice(("NaN", "-Infinity", "tru", "01", "1.", "'x'", "[,]", "", '{"a"}', "-", "0x1")))
    if kind == 7:
        return nested(random_.choice((1, 2, 30, 34, 200)), random_)
    return random_.choice(([], Members([]), Members([["", 0]]), [[[]]], [None] * 50))


def nested(depth: int, random_: random.Random) -> Any:
    """Lists or objects within each other."""
    value: Any = Raw("1")
    for _ in range(depth):
        value = [value] if random_.random() < 0.5 else Members([["a", value]])
    return value


def changed(data: bytes, random_: random.Random) -> bytes:
    """The JSON after one to four odd changes; the same bytes where they are no JSON."""
    try:
        root = [tree(data)]
        for _ in range(random_.choice((1, 1, 1, 2, 2, 4))):
            _change(root, random_)
        return written(root[0]).encode()
    except (ValueError, RecursionError):
        return data


def _change(root: list[Any], random_: random.Random) -> None:
    every = [*places(root)]
    inside, index, member = random_.choice(every)
    kind = random_.randrange(8)
    if kind == 0 and inside is not root:
        del inside[index]
    elif kind == 1:
        inside[index:index] = [copy.deepcopy(inside[index])] * random_.choice((1, 1, 2, 40))
    elif member and kind == 2:
        inside[index][0] = random_.choice((odd.text(random_), random_.choice(odd.HALVES), _name(every, random_)))
    elif member and kind == 3:
        inside.append([_name(every, random_), odd_value(random_)])
    elif member:
        inside[index][1] = _value(every, random_)
    else:
        inside[index] = _value(every, random_)


def _name(every: list[Place], random_: random.Random) -> str:
    """A name that the document uses somewhere."""
    inside, index, member = random_.choice(every)
    return str(inside[index][0]) if member else "x"


def _value(every: list[Place], random_: random.Random) -> Any:
    """An odd value, or a copy of something else in the document."""
    if random_.random() < 0.7:
        return odd_value(random_)
    inside, index, member = random_.choice(every)
    return copy.deepcopy(inside[index][1] if member else inside[index])

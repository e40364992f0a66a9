"""Differences between two JSON documents as JSON Patch (RFC 6902), and documents after such a patch.

Only the operations add, remove and replace are written and read. Lists are compared item by item between what they
share at their beginning and at their end, so that one record added or taken out is one operation.
"""

from collections.abc import Iterator
from typing import Any

import msgspec

from hazardreport.errors import PatchRefusedError

Operation = dict[str, Any]

DEPTH_LIMIT = 32
LIST_LIMIT = 100_000
POINTER_LIMIT = 2_000
"""Values within each other, items of a list, characters of a place: what goes beyond is no case."""


def difference(before: Any, after: Any) -> list[Operation]:
    """Operations that make `after` of `before`; both are plain JSON values."""
    return list(_difference(before, after, ""))


def patched(document: Any, operations: list[Operation]) -> Any:
    """The document after the operations; the document given is changed on the way and must not be used any more.

    Raises
    ------
    PatchRefusedError
        If an operation names a place that is not there.
    """
    for operation in operations:
        document = _patched(document, operation)
    return document


def is_deep(value: Any, limit: int) -> bool:
    """Whether a JSON value holds more than so many lists and objects within each other."""
    if isinstance(value, dict):
        return limit == 0 or any(is_deep(item, limit - 1) for item in value.values() if isinstance(item, dict | list))
    if isinstance(value, list):
        return limit == 0 or any(is_deep(item, limit - 1) for item in value if isinstance(item, dict | list))
    return False


def escaped(key: str) -> str:
    """A key as one token of a JSON Pointer (RFC 6901)."""
    return key.replace("~", "~0").replace("/", "~1")


def tokens(pointer: str) -> list[str]:
    """Keys of a JSON Pointer."""
    if not pointer:
        return []
    if not pointer.startswith("/") or len(pointer) > POINTER_LIMIT:
        raise PatchRefusedError(path=pointer[:80])
    return [token.replace("~1", "/").replace("~0", "~") for token in pointer[1:].split("/")]


def _same(one: Any, other: Any) -> bool:
    """Equal as JSON text: 1, 1.0 and true are three values."""
    return msgspec.json.encode(one) == msgspec.json.encode(other)


def _difference(before: Any, after: Any, path: str) -> Iterator[Operation]:
    if isinstance(before, dict) and isinstance(after, dict):
        for key in before:
            if key not in after:
                yield {"op": "remove", "path": f"{path}/{escaped(key)}"}
        for key, value in after.items():
            inner = f"{path}/{escaped(key)}"
            if key in before:
                yield from _difference(before[key], value, inner)
            else:
                yield {"op": "add", "path": inner, "value": value}
    elif isinstance(before, list) and isinstance(after, list):
        yield from _list_difference(before, after, path)
    elif _same(before, after):
        return
    elif path:
        yield {"op": "replace", "path": path, "value": after}
    else:
        yield {"op": "add", "path": "", "value": after}


def _list_difference(before: list[Any], after: list[Any], path: str) -> Iterator[Operation]:
    ours = [msgspec.json.encode(item) for item in before]
    theirs = [msgspec.json.encode(item) for item in after]
    shorter = min(len(ours), len(theirs))
    start = next((index for index in range(shorter) if ours[index] != theirs[index]), shorter)
    end = next((index for index in range(shorter - start) if ours[-1 - index] != theirs[-1 - index]), shorter - start)
    old, new = len(before) - start - end, len(after) - start - end
    for index in range(start, start + min(old, new)):
        yield from _difference(before[index], after[index], f"{path}/{index}")
    for index in range(start + old - 1, start + new - 1, -1):
        yield {"op": "remove", "path": f"{path}/{index}"}
    for index in range(start + old, start + new):
        yield {"op": "add", "path": f"{path}/{index}", "value": after[index]}


def _patched(document: Any, operation: Operation) -> Any:
    kind, path = operation.get("op"), operation.get("path")
    if (
        not isinstance(path, str)
        or kind not in ("add", "remove", "replace")
        or (kind != "remove") != ("value" in operation)
    ):
        raise PatchRefusedError(path=str(path)[:80])
    keys = tokens(path)
    if len(keys) > DEPTH_LIMIT or is_deep(operation.get("value"), DEPTH_LIMIT):
        raise PatchRefusedError(path=path[:80])
    if not keys:
        if kind == "remove":
            raise PatchRefusedError(path=path)
        return operation["value"]
    holder = document
    for key in keys[:-1]:
        holder = _inner(holder, key, path)
    _change(holder, keys[-1], operation, path)
    return document


def _inner(holder: Any, key: str, path: str) -> Any:
    if isinstance(holder, dict) and key in holder:
        return holder[key]
    if isinstance(holder, list):
        return holder[_index(key, len(holder), path)]
    raise PatchRefusedError(path=path[:80])


def _change(holder: Any, key: str, operation: Operation, path: str) -> None:
    kind = operation["op"]
    if isinstance(holder, dict) and (kind == "add" or key in holder):
        if kind == "remove":
            del holder[key]
        else:
            holder[key] = operation["value"]
    elif isinstance(holder, list):
        appended = kind == "add" and key == "-"
        index = len(holder) if appended else _index(key, len(holder) + (kind == "add"), path)
        if kind == "add" and len(holder) >= LIST_LIMIT:
            raise PatchRefusedError(path=path[:80])
        if kind == "add":
            holder.insert(index, operation["value"])
        elif kind == "replace":
            holder[index] = operation["value"]
        else:
            del holder[index]
    else:
        raise PatchRefusedError(path=path[:80])


def _index(key: str, length: int, path: str) -> int:
    if not (key.isascii() and key.isdigit() and len(key) < 8 and int(key) < length and str(int(key)) == key):
        raise PatchRefusedError(path=path[:80])
    return int(key)

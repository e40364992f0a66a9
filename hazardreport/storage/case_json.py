"""A case as JSON and back, strictly: what a reader might understand in two ways is refused, with its place.

Refused besides what does not fit the records: unknown and repeated keys, numbers that are not finite, deep nesting,
characters that no text can hold (lone surrogates), and picture files that would lie outside the folder of pictures.
"""

import json
import math
import re
import types
import typing
from collections.abc import Hashable, Iterator
from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from typing import Any

import msgspec

from hazardreport.case.case import Case
from hazardreport.errors import CaseInvalidError, CaseNotSavableError, Fault, NewerCaseFormatError
from hazardreport.storage.faults import at_line, fault, listing

FORMAT = 1
"""Number of the format; raised only when an older program would misread a case."""

DEPTH_LIMIT = 32
BYTE_LIMIT = 64_000_000
_LARGEST_INTEGER = 2**53
_STRING = re.compile(rb'"(?:[^"\\]|\\.)*"', re.DOTALL)
_SURROGATE = re.compile("[\ud800-\udfff]")
_FILE_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_.-]{0,99}")


@dataclass(frozen=True, slots=True)
class _Pairs:
    """An object as read, repeated keys and all."""

    pairs: list[tuple[str, Any]]


@dataclass(frozen=True, slots=True)
class _NoNumber:
    """NaN, Infinity, or a number too large to hold."""

    text: str


def case_bytes(case: Case, **beside: str) -> bytes:
    """The case as indented UTF-8 JSON with its format number; `beside` are further texts beside the case.

    Raises
    ------
    CaseNotSavableError
        If a value could not be read back as it is: a number that is not finite, a lone surrogate.
    """
    faults = () if _holds_well(case) else tuple(value_faults(case, "case"))
    if faults:
        raise CaseNotSavableError(count=len(faults), listing=listing(faults), details=faults)
    document = msgspec.json.encode({"format": FORMAT, **beside, "case": case})
    return msgspec.json.format(document, indent=2) + b"\n"


def case_from_bytes(data: bytes, path: str) -> Case:
    """The case in the bytes of a case.json; `path` is for the message.

    Raises
    ------
    NewerCaseFormatError
        If a newer program wrote it.
    CaseInvalidError
        If anything in it cannot be read, with every place that was found.
    """
    return document_from_bytes(data, path, ())[0]


def document_from_bytes(data: bytes, path: str, beside: tuple[str, ...]) -> tuple[Case, dict[str, str]]:
    """The case and the named texts beside it."""

    def refuse(*faults: Fault) -> CaseInvalidError:
        return CaseInvalidError(path=path, count=len(faults), listing=listing(faults), details=faults)

    faults: list[Fault] = []
    document = _plain(_loaded(data, refuse), "", faults)
    if not isinstance(document, dict) or "format" not in document:
        raise refuse(fault("", "no_format"))
    number = document["format"]
    if isinstance(number, int) and not isinstance(number, bool) and number > FORMAT:
        raise NewerCaseFormatError(path=path, format=number, supported=FORMAT)
    if number != FORMAT or isinstance(number, bool):
        faults.append(fault("format", "unknown_format"))
    faults += [fault(name, "unknown_key") for name in document if name not in ("format", "case", *beside)]
    faults += [
        fault(name, "no_text", text=str(document.get(name))[:60])
        for name in beside
        if not isinstance(document.get(name), str)
    ]
    if "case" not in document:
        raise refuse(*faults, fault("case", "missing_key"))
    faults += _unknown_keys(document["case"], Case, "case")
    try:
        case = msgspec.convert(document["case"], Case, strict=True)
    except msgspec.ValidationError as error:
        problem, _, place = str(error).partition(" - at `$")
        raise refuse(*faults, fault("case" + place.rstrip("`"), "does_not_fit", problem=problem)) from error
    faults += _file_faults(case)
    if faults:
        raise refuse(*faults)
    return case, {name: document[name] for name in beside}


def _holds_well(case: Case) -> bool:
    """Whether the case has no fault of value; quick, so that a journal costs little."""
    try:
        json.dumps(msgspec.to_builtins(case), allow_nan=False, ensure_ascii=False).encode()
    except ValueError:
        return False
    return not _file_faults(case)


def value_faults(value: object, place: str) -> Iterator[Fault]:
    """Values in a record, however deep, that JSON cannot hold; and picture files that lie elsewhere."""
    if isinstance(value, float) and not math.isfinite(value):
        yield fault(place, "not_finite", text=str(value))
    elif isinstance(value, str) and _SURROGATE.search(value):
        yield fault(place, "lone_surrogate")
    elif isinstance(value, tuple):
        for index, item in enumerate(value):
            yield from value_faults(item, f"{place}[{index}]")
    elif is_dataclass(value):
        for field in fields(value):
            yield from value_faults(getattr(value, field.name), f"{place}.{field.name}")
        if isinstance(value, Case):
            yield from _file_faults(value)


def _file_faults(case: Case) -> list[Fault]:
    return [
        fault(f"case.pictures[{index}].file", "file_elsewhere", file=picture.file)
        for index, picture in enumerate(case.pictures)
        if not _FILE_NAME.fullmatch(picture.file)
    ]


def _loaded(data: bytes, refuse: typing.Callable[..., CaseInvalidError]) -> object:
    if len(data) > BYTE_LIMIT:
        raise refuse(fault("", "too_many_bytes", limit=BYTE_LIMIT // 1_000_000))
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise refuse(fault("", "not_utf8", byte=error.start)) from error
    depth = _depth(data)
    if depth > DEPTH_LIMIT:
        raise refuse(fault("", "too_deep", depth=depth, limit=DEPTH_LIMIT))
    try:
        return json.loads(
            text, object_pairs_hook=_Pairs, parse_constant=_NoNumber, parse_float=_number, parse_int=_integer
        )
    except json.JSONDecodeError as error:
        raise refuse(fault(at_line(error.lineno, ""), "no_json", problem=error.msg)) from error


def _depth(data: bytes) -> int:
    """Deepest nesting of brackets outside of strings."""
    deepest = depth = 0
    for byte in re.findall(rb"[\[\]{}]", _STRING.sub(b"", data)):
        depth += 1 if byte in b"[{" else -1
        deepest = max(deepest, depth)
    return deepest


def _number(text: str) -> float | _NoNumber:
    number = float(text)
    return number if math.isfinite(number) else _NoNumber(text)


def _integer(text: str) -> int | _NoNumber:
    return int(text) if len(text) < 18 and abs(int(text)) <= _LARGEST_INTEGER else _NoNumber(text[:20])


def _plain(value: object, place: str, faults: list[Fault]) -> object:
    """The value with plain dicts, after its repeated keys, numbers and characters were looked at."""
    if isinstance(value, _Pairs):
        result: dict[str, object] = {}
        for key, item in value.pairs:
            inner = f"{place}.{key}" if place else key
            if key in result:
                faults.append(fault(inner, "repeated_key"))
            if _SURROGATE.search(key):
                faults.append(fault(place, "lone_surrogate"))
                continue
            result[key] = _plain(item, inner, faults)
        return result
    if isinstance(value, list):
        return [_plain(item, f"{place}[{index}]", faults) for index, item in enumerate(value)]
    if isinstance(value, _NoNumber):
        faults.append(fault(place, "not_finite", text=value.text))
        return 0
    if isinstance(value, str) and _SURROGATE.search(value):
        faults.append(fault(place, "lone_surrogate"))
        return ""
    return value


@cache
def _hints(record: Hashable) -> dict[str, Any]:
    return typing.get_type_hints(record)


def _unknown_keys(value: object, type_: Any, place: str) -> list[Fault]:
    """Keys for which the records have no field, at any depth."""
    if not isinstance(value, dict | list):
        return []
    if is_dataclass(type_) and isinstance(value, dict):
        hints = _hints(typing.cast(Hashable, type_))
        found = [fault(f"{place}.{key}", "unknown_key") for key in value if key not in hints]
        for key, hint in hints.items():
            found += _unknown_keys(value.get(key), hint, f"{place}.{key}")
        return found
    if typing.get_origin(type_) is tuple and isinstance(value, list):
        inner = typing.get_args(type_)[0]
        return [one for index, item in enumerate(value) for one in _unknown_keys(item, inner, f"{place}[{index}]")]
    if typing.get_origin(type_) in (types.UnionType, typing.Union):
        return [one for option in typing.get_args(type_) for one in _unknown_keys(value, option, place)]
    return []

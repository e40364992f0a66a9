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
from hazardreport.storage.faults import Gathered, at_line, fault, listing
from hazardreport.storage.record_text import Texts, joined, laid_out, proved

FORMAT = 3
"""Number of the format; raised only when an older program would misread a case.

1: up to 0.2.0, without log; 2: with log.jsonl and values.jsonl; 3: with scenarios, requirements, letters, more fields.
"""

OLDEST_READER = 2
"""Programs that know formats up to this one may show our cases, read-only, without what they do not know."""

DEPTH_LIMIT = 32
BYTE_LIMIT = 32_000_000
VALUE_LIMIT = 2_000_000
"""So many values, keys and brackets are read: some sixty times those of a case with 1,000 pictures."""
_LARGEST_INTEGER = 2**53
_STRING = re.compile(rb'"[^"\\]*+(?:\\.[^"\\]*+)*+(?:"|\\?\Z)', re.DOTALL)
"""A text, also one that nothing ends: looked at once, not again from each quote in it."""
_LONGEST_KEY = 100
"""Of longer keys only the beginning stands in a place."""
_SURROGATE = re.compile("[\ud800-\udfff]")
_FILE_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_.-]{0,99}")


@dataclass(frozen=True, kw_only=True, slots=True)
class Document:
    """What a case.json holds.

    format   as the file says
    beside   texts beside the case
    unknown  what a newer program wrote and this one does not know
    """

    case: Case
    format: int
    beside: dict[str, str]
    unknown: tuple[Fault, ...] = ()


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
    return document_bytes(canonical(case)[1], **beside)


def document_bytes(texts: Texts, **beside: str) -> bytes:
    """What `canonical` gave, as the bytes of a case.json."""
    data = laid_out({"format": FORMAT, "oldest_reader": OLDEST_READER, **beside}, texts)
    if len(data) > BYTE_LIMIT:
        raise _not_savable(fault("case", "too_many_bytes", limit=BYTE_LIMIT // 1_000_000))
    return data


def canonical(case: Case) -> tuple[Case, Texts]:
    """The case as it will be read back, equal to the one given, and its JSON field by field.

    Raises
    ------
    CaseNotSavableError
        If a value could not be read back as it is.
    """
    found = proved(case)
    if found is None or _file_faults(found[0]):
        raise _not_savable(*value_faults(case, "case"))
    return found


def _not_savable(*faults: Fault) -> CaseNotSavableError:
    return CaseNotSavableError(count=len(faults), listing=listing(faults), details=faults)


def plain_document(case: Case) -> Any:
    """The case as plain JSON values.

    Raises
    ------
    CaseNotSavableError
        If a value could not be read back as it is.
    """
    return msgspec.json.decode(joined(canonical(case)[1]))


def record_in(data: bytes) -> Any:
    """The record in the bytes of a case.json as plain JSON values, fields that later programs added left out."""
    return msgspec.json.decode(data, type=dict[str, Any])["case"]


def case_from_bytes(data: bytes, path: str) -> Case:
    """The case in the bytes of a case.json; `path` is for the message.

    Raises
    ------
    NewerCaseFormatError
        If a newer program wrote it.
    CaseInvalidError
        If anything in it cannot be read, with every place that was found.
    """
    return document(data, path).case


def document_from_bytes(data: bytes, path: str, beside: tuple[str, ...]) -> tuple[Case, dict[str, str]]:
    """The case and the named texts beside it; they must all be there."""
    found = document(data, path, beside)
    return found.case, found.beside


def document(data: bytes, path: str, beside: tuple[str, ...] | None = None) -> Document:
    """What the bytes of a case.json hold; with `beside`, exactly these texts must stand beside the case.

    A file that is written as we write it is read at once; any other is looked through value by value.

    Raises
    ------
    NewerCaseFormatError
        If a newer program wrote it and does not say that this one may show it.
    CaseInvalidError
        If anything in it cannot be read, with every place that was found.
    """
    quick = _written_by_us(data, beside)
    return quick if quick is not None else _looked_through(data, path, beside)


def case_from_document(record: Any, path: str) -> Case:
    """The case of a plain JSON value, as a log gives it back.

    Raises
    ------
    CaseInvalidError
        If it does not fit the records.
    """
    wrapped = {"format": FORMAT, "oldest_reader": OLDEST_READER, "case": record}
    try:
        return document(msgspec.json.encode(wrapped), path).case
    except (UnicodeEncodeError, msgspec.EncodeError) as error:
        one = fault("case", "does_not_fit", problem=str(error)[:120])
        raise CaseInvalidError(path=path, count=1, listing=listing((one,)), details=(one,)) from error


BESIDE = ("log_head",)
"""Texts that may stand beside the case in case.json: the hash of the log's last line."""


def _written_by_us(data: bytes, beside: tuple[str, ...] | None) -> Document | None:
    """The document if writing it again gives the very same bytes, else None.

    So nothing in it is unknown, repeated, or has two readings.
    """
    if len(data) > BYTE_LIMIT:
        return None
    names = BESIDE if beside is None else beside
    try:
        raw = msgspec.json.decode(data, type=dict[str, msgspec.Raw])
        if list(raw) not in (["format", "oldest_reader", *names, "case"], ["format", "oldest_reader", "case"]):
            return None
        if (bytes(raw["format"]), bytes(raw["oldest_reader"])) != (b"%d" % FORMAT, b"%d" % OLDEST_READER):
            return None
        texts = {name: msgspec.json.decode(raw[name], type=str) for name in raw if name in names}
        if beside is not None and set(texts) != set(beside):
            return None
        case = msgspec.json.decode(raw["case"], type=Case)
        again = {"format": FORMAT, "oldest_reader": OLDEST_READER, **texts, "case": case}
        if msgspec.json.format(msgspec.json.encode(again), indent=2) + b"\n" != data or _file_faults(case):
            return None
    except (msgspec.MsgspecError, UnicodeError, RecursionError):
        return None
    return Document(case=case, format=FORMAT, beside=texts)


def _looked_through(data: bytes, path: str, beside: tuple[str, ...] | None) -> Document:
    def refuse(*more: Fault) -> CaseInvalidError:
        faults.extend(more)
        return CaseInvalidError(path=path, count=len(faults), listing=listing(faults), details=tuple(faults))

    faults = Gathered()
    document = _plain(_loaded(data, refuse), "", faults)
    if not isinstance(document, dict) or "format" not in document:
        faults = Gathered()
        raise refuse(fault("", "no_format"))
    number, oldest = document["format"], document.get("oldest_reader", document["format"])
    newer = isinstance(number, int) and not isinstance(number, bool) and number > FORMAT
    if newer and not (isinstance(oldest, int) and 0 < oldest <= FORMAT):
        raise NewerCaseFormatError(path=path, format=number, supported=FORMAT)
    if not newer and (isinstance(number, bool) or number not in range(1, FORMAT + 1)):
        faults.append(fault("format", "unknown_format"))
    allowed = BESIDE if beside is None else beside
    unknown = Gathered()
    unknown.extend(fault(name, "unknown_key") for name in document if name not in (*_OUTER, *allowed))
    present = [name for name in allowed if name in document] if beside is None else list(beside)
    faults.extend(
        fault(name, "no_text", text=str(document.get(name))[:60])
        for name in present
        if not isinstance(document.get(name), str)
    )
    if "case" not in document:
        raise refuse(fault("case", "missing_key"))
    _unknown_keys(document["case"], Case, "case", unknown)
    if not newer:
        faults.extend(unknown)
        faults.count += len(unknown) - len(unknown.kept)
    try:
        case = msgspec.convert(document["case"], Case, strict=True)
    except msgspec.ValidationError as error:
        if newer:
            raise NewerCaseFormatError(path=path, format=number, supported=FORMAT) from error
        problem, _, place = str(error).partition(" - at `$")
        raise refuse(fault("case" + place.rstrip("`"), "does_not_fit", problem=problem)) from error
    faults.extend(_file_faults(case))
    if faults:
        raise refuse()
    texts = {name: document[name] for name in present}
    return Document(case=case, format=number, beside=texts, unknown=tuple(unknown) if newer else ())


_OUTER = ("format", "oldest_reader", "case")


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
    files = [("pictures", index, one.file) for index, one in enumerate(case.pictures)]
    files += [("attachments", index, one.file) for index, one in enumerate(case.attachments)]
    return [
        fault(f"case.{name}[{index}].file", "file_elsewhere", file=file)
        for name, index, file in files
        if not _FILE_NAME.fullmatch(file)
    ]


def _loaded(data: bytes, refuse: typing.Callable[..., CaseInvalidError]) -> object:
    if len(data) > BYTE_LIMIT:
        raise refuse(fault("", "too_many_bytes", limit=BYTE_LIMIT // 1_000_000))
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise refuse(fault("", "not_utf8", byte=error.start)) from error
    depth, count = _depth(data)
    if depth > DEPTH_LIMIT:
        raise refuse(fault("", "too_deep", depth=depth, limit=DEPTH_LIMIT))
    if count > VALUE_LIMIT:
        raise refuse(fault("", "too_many_values", limit=VALUE_LIMIT))
    try:
        return json.loads(
            text, object_pairs_hook=_Pairs, parse_constant=_NoNumber, parse_float=_number, parse_int=_integer
        )
    except json.JSONDecodeError as error:
        raise refuse(fault(at_line(error.lineno, ""), "no_json", problem=error.msg)) from error


def _depth(data: bytes) -> tuple[int, int]:
    """Deepest nesting of brackets outside of strings, and how many brackets, commas and colons there are."""
    if (quotes := data.count(b'"')) > 2 * VALUE_LIMIT:
        return 0, quotes
    deepest = depth = 0
    bare = _STRING.sub(b"", data)
    count = sum(bare.count(sign) for sign in (b"[", b"{", b",", b":"))
    if count > VALUE_LIMIT:
        return 0, count
    for found in re.finditer(rb"[\[\]{}]", bare):
        depth += 1 if found[0] in b"[{" else -1
        deepest = max(deepest, depth)
        if deepest > DEPTH_LIMIT:
            break
    return deepest, count


def _number(text: str) -> float | _NoNumber:
    number = float(text)
    return number if math.isfinite(number) else _NoNumber(text)


def _integer(text: str) -> int | _NoNumber:
    return int(text) if len(text) < 18 and abs(int(text)) <= _LARGEST_INTEGER else _NoNumber(text[:20])


def _plain(value: object, place: str, faults: Gathered) -> object:
    """The value with plain dicts, after its repeated keys, numbers and characters were looked at."""
    if isinstance(value, _Pairs):
        result: dict[str, object] = {}
        for key, item in value.pairs:
            inner = f"{place}.{key[:_LONGEST_KEY]}" if place else key[:_LONGEST_KEY]
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


def _unknown_keys(value: object, type_: Any, place: str, found: Gathered) -> None:
    """Keys for which the records have no field, at any depth, go to `found`."""
    if not isinstance(value, dict | list):
        return
    if is_dataclass(type_) and isinstance(value, dict):
        hints = _hints(typing.cast(Hashable, type_))
        found.extend(fault(f"{place}.{key[:_LONGEST_KEY]}", "unknown_key") for key in value if key not in hints)
        for key, hint in hints.items():
            _unknown_keys(value.get(key), hint, f"{place}.{key}", found)
    elif typing.get_origin(type_) is tuple and isinstance(value, list):
        inner = typing.get_args(type_)[0]
        for index, item in enumerate(value):
            _unknown_keys(item, inner, f"{place}[{index}]", found)
    elif typing.get_origin(type_) in (types.UnionType, typing.Union):
        for option in typing.get_args(type_):
            _unknown_keys(value, option, place, found)

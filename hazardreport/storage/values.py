"""The texts that stand in the log only as salted hashes.

A text that identifies a person, or may do so, enters the log as {"sha256": …}: the SHA-256 of sixteen random bytes, the
salt, followed by the text in UTF-8. Text and salt are in values.jsonl, one line for each hash. Whoever has that file
can read every revision; without it the log still holds, and tells nothing about the person. Erasing a person takes
lines out of values.jsonl and nothing out of the log.
"""

import hashlib
import re
import secrets
from collections.abc import Callable, Iterable, Mapping
from typing import Any

import msgspec

from hazardreport.case.personal import is_withheld_in_log
from hazardreport.errors import Fault
from hazardreport.storage.faults import Gathered, at_line, fault

BYTE_LIMIT = 64_000_000
LINE_LIMIT = 1_000_000
"""Longest file of values that is read [byte], and its lines."""

SALT_BYTES = 16
HASH = "sha256"
_HEX = re.compile(r"[0-9a-f]{64}")

Salt = Callable[[], bytes]


def random_salt() -> bytes:
    """Sixteen bytes that nobody can guess."""
    return secrets.token_bytes(SALT_BYTES)


class Value(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A text and the salt of its hash.

    sha256  of salt and text, hexadecimal
    salt    hexadecimal
    text    as it stands in the record
    """

    sha256: str
    salt: str
    text: str

    @property
    def holds(self) -> bool:
        """Salt and text give the hash."""
        return re.fullmatch(r"[0-9a-f]{32}", self.salt) is not None and _hash(self.salt, self.text) == self.sha256


def _hash(salt: str, text: str) -> str:
    return hashlib.sha256(bytes.fromhex(salt) + text.encode()).hexdigest()


def value_of(text: str, salt: bytes) -> Value:
    """The text with its hash under that salt."""
    return Value(sha256=_hash(salt.hex(), text), salt=salt.hex(), text=text)


def withheld(document: Any, place: str, salt: Salt) -> tuple[Any, list[Value]]:
    """A part of a record as it enters the log, and the values behind the hashes in it.

    `place` is where the part stands: "" for the whole record, "readings[].note".
    """
    values: list[Value] = []

    def walk(part: Any, place: str) -> Any:
        if isinstance(part, dict):
            return {key: walk(item, f"{place}.{key}" if place else key) for key, item in part.items()}
        if isinstance(part, list):
            return [walk(item, f"{place}[]") for item in part]
        if isinstance(part, str) and part and is_withheld_in_log(place):
            values.append(value_of(part, salt()))
            return {HASH: values[-1].sha256}
        return part

    return walk(document, place), values


def hash_in(part: Any) -> str:
    """The hash that stands for a text, or "" if the part is no such stand-in."""
    if isinstance(part, dict) and len(part) == 1 and isinstance(found := part.get(HASH), str):
        return found if _HEX.fullmatch(found) else ""
    return ""


def hashes_in(document: Any) -> Iterable[str]:
    """All hashes that stand for texts in a document."""
    if found := hash_in(document):
        yield found
    elif isinstance(document, dict):
        for item in document.values():
            yield from hashes_in(item)
    elif isinstance(document, list):
        for item in document:
            yield from hashes_in(item)


def opened(document: Any, texts: Mapping[str, str], missing: set[str]) -> Any:
    """The document with the texts in place of their hashes; a hash whose text is gone stays and goes into `missing`."""
    if found := hash_in(document):
        if found in texts:
            return texts[found]
        missing.add(found)
        return document
    if isinstance(document, dict):
        return {key: opened(item, texts, missing) for key, item in document.items()}
    if isinstance(document, list):
        return [opened(item, texts, missing) for item in document]
    return document


def values_bytes(values: Iterable[Value]) -> bytes:
    """Lines of values.jsonl."""
    return b"".join(msgspec.json.encode(value) + b"\n" for value in values)


def too_dear(data: bytes) -> Fault | None:
    """Why a file of values is not read at all, or None."""
    if len(data) > BYTE_LIMIT:
        return fault("", "too_many_bytes", limit=BYTE_LIMIT // 1_000_000)
    if len(data) > LINE_LIMIT and data.count(b"\n") > LINE_LIMIT:
        return fault("", "too_many_lines", limit=LINE_LIMIT)
    return None


def values_from_bytes(data: bytes) -> tuple[list[Value], list[Fault]]:
    """The values of the file, and what is wrong with its lines: unreadable, written otherwise than we write, false."""
    if refused := too_dear(data):
        return [], [refused]
    values: list[Value] = []
    faults = Gathered()
    for number, line in lines_of(data):
        try:
            value = msgspec.json.decode(line, type=Value)
        except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
            faults.append(fault(at_line(number, ""), "no_json", problem=str(error)[:120]))
            continue
        if msgspec.json.encode(value) != line:
            faults.append(fault(at_line(number, ""), "written_otherwise"))
        elif not value.holds:
            faults.append(fault(at_line(number, ""), "value_false"))
        else:
            values.append(value)
    return values, faults.kept


def lines_of(data: bytes) -> list[tuple[int, bytes]]:
    """Numbered lines; each ends with a line feed, so a last one without it keeps a mark that no line has."""
    lines = data.split(b"\n")
    last = lines.pop()
    if last:
        lines.append(last + b" (no line feed)")
    return list(enumerate(lines, 1))

"""The log of a case: one line for each saved revision, each with the hash of the line before.

A line says number, time, author, program and what changed, as JSON Patch over the record of the revision before. Texts
that may identify a person stand in it as salted hashes (`storage.values`). Whoever replays all lines gets the record;
so a case whose record was damaged can be had back from its log, and a record that was changed without a revision is
found. The chain shows order and completeness only against those who cannot rewrite it: that is what anchors are for.
"""

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import msgspec
from msgspec import UNSET

from hazardreport.errors import Fault, PatchRefusedError
from hazardreport.storage.faults import Gathered, at_line, fault
from hazardreport.storage.patch import DEPTH_LIMIT, Operation, is_deep, patched
from hazardreport.storage.values import HASH, Salt, Value, hash_in, lines_of, opened, value_of, withheld

BYTE_LIMIT = 64_000_000
LINE_LIMIT = 200_000
VALUE_LIMIT = 4_000_000
"""Longest log that is read [byte], its lines, and its brackets and commas."""


class Change(msgspec.Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """One operation of a JSON Patch."""

    op: str
    path: str
    value: Any = UNSET


class Line(msgspec.Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """One line of the log.

    revision     number of the saved revision
    time         ISO 8601 UTC, by the clock of the computer
    author       stand-in of the author's name, {"sha256": …}; empty if nobody was named
    program      name and version of the program
    before       SHA-256 of the line before, without its line feed; "" in the first
    changes      from the revision before to this one; in the first line, from nothing
    from_format  number of the older format that the case was taken over from, in the first line after that
    restarted    SHA-256 of a log that could not be continued, in the first line of the one that follows it
    erased       hashes whose texts were erased with this revision
    """

    revision: int
    time: str
    author: dict[str, str]
    program: str
    before: str
    changes: list[Change]
    from_format: int = 0
    restarted: str = ""
    erased: list[str] = []


@dataclass(frozen=True, kw_only=True, slots=True)
class Log:
    """The lines of a log as far as they hold together.

    lines   that could be read, in order; hashes: of each of them
    head    hash of the last line, readable or not; "" if there is none
    faults  what is wrong, with the number of the line
    """

    lines: tuple[Line, ...] = ()
    hashes: tuple[str, ...] = ()
    head: str = ""
    faults: tuple[Fault, ...] = ()


def line_hash(line: bytes) -> str:
    """SHA-256 of a line without its line feed."""
    return hashlib.sha256(line).hexdigest()


def log_from_bytes(data: bytes) -> Log:
    """The log in the bytes of log.jsonl; what does not hold together is told in `faults`, nothing is raised."""
    if refused := too_dear(data):
        return Log(faults=(refused,))
    lines: list[Line] = []
    hashes: list[str] = []
    faults = Gathered()
    head = ""
    for number, data_of_line in lines_of(data):
        place = at_line(number, "")
        before, head = head, line_hash(data_of_line)
        try:
            line = msgspec.json.decode(data_of_line, type=Line)
        except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
            faults.append(fault(place, "no_json", problem=str(error)[:120]))
            continue
        if any(is_deep(change.value, DEPTH_LIMIT) for change in line.changes):
            faults.append(fault(place, "too_deep", depth=DEPTH_LIMIT + 1, limit=DEPTH_LIMIT))
            continue
        if line_bytes(line) != data_of_line:
            faults.append(fault(place, "written_otherwise"))
        if line.before != before:
            faults.append(fault(place, "chain_broken", revision=line.revision))
        if lines and line.revision <= lines[-1].revision:
            faults.append(fault(place, "revision_order", revision=line.revision))
        lines.append(line)
        hashes.append(head)
    return Log(lines=tuple(lines), hashes=tuple(hashes), head=head, faults=tuple(faults))


def too_dear(data: bytes) -> Fault | None:
    """Why a log is not read at all, or None."""
    if len(data) > BYTE_LIMIT:
        return fault("", "too_many_bytes", limit=BYTE_LIMIT // 1_000_000)
    if len(data) > LINE_LIMIT and data.count(b"\n") > LINE_LIMIT:
        return fault("", "too_many_lines", limit=LINE_LIMIT)
    if len(data) > VALUE_LIMIT and sum(data.count(sign) for sign in (b"[", b"{", b",")) > VALUE_LIMIT:
        return fault("", "too_many_values", limit=VALUE_LIMIT)
    return None


def line_bytes(line: Line) -> bytes:
    """The line as it stands in the file, without its line feed."""
    return msgspec.json.encode(line)


def new_line(
    operations: Sequence[Operation],
    *,
    revision: int,
    time: str,
    author: str,
    program: str,
    log: Log,
    texts: Mapping[str, str],
    salt: Salt,
    from_format: int = 0,
    restarted: str = "",
    erased: Sequence[str] = (),
) -> tuple[Line, list[Value]]:
    """The next line of the log, and the values behind the hashes that are new in it.

    An author who has written before keeps the hash, so that one can see who wrote what without knowing the name.
    """
    changes: list[Change] = []
    values: list[Value] = []
    for operation in operations:
        if "value" not in operation:
            changes.append(Change(op=operation["op"], path=operation["path"]))
            continue
        value, found = withheld(operation["value"], place_of(operation["path"]), salt)
        values += found
        changes.append(Change(op=operation["op"], path=operation["path"], value=value))
    stand_in: dict[str, str] = {}
    if author:
        known = next((hash_in(line.author) for line in log.lines if texts.get(hash_in(line.author)) == author), "")
        if not known:
            values.append(value_of(author, salt()))
            known = values[-1].sha256
        stand_in = {HASH: known}
    line = Line(
        revision=revision,
        time=time,
        author=stand_in,
        program=program,
        before=log.head,
        changes=changes,
        from_format=from_format,
        restarted=restarted,
        erased=list(erased),
    )
    return line, values


def place_of(pointer: str) -> str:
    """A JSON Pointer as the model of personal fields writes places: /readings/6/by -> readings[].by"""
    place = ""
    for token in pointer.split("/")[1:]:
        place += "[]" if token.isdigit() else f".{token}" if place else token
    return place


def operations_of(line: Line) -> list[Operation]:
    """The changes of a line as plain operations."""
    return [
        {"op": change.op, "path": change.path, **({} if change.value is UNSET else {"value": change.value})}
        for change in line.changes
    ]


def replayed(lines: Iterable[Line]) -> Any:
    """The record after these lines, hashes and all.

    Raises
    ------
    PatchRefusedError
        If a line changes what is not there.
    """
    document: Any = None
    for line in lines:
        document = patched(document, msgspec.json.decode(msgspec.json.encode(operations_of(line))))
    if document is None:
        raise PatchRefusedError(path="")
    return document


def record_of(log: Log, texts: Mapping[str, str], count: int | None = None) -> tuple[Any, set[str]]:
    """The record after the first `count` lines (all, if not said), and the hashes in it whose texts are gone."""
    missing: set[str] = set()
    return opened(replayed(log.lines[:count]), texts, missing), missing


def texts_of(values: Iterable[Value]) -> dict[str, str]:
    """Texts by their hash."""
    return {value.sha256: value.text for value in values}


def erased_in(log: Log) -> frozenset[str]:
    """All hashes whose texts were erased, as the log says."""
    return frozenset(one for line in log.lines for one in line.erased)

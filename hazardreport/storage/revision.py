"""What a save writes: the record, and log and values with one line more.

The new line goes on from what the log says was saved last, not from whatever the record holds now: a record that was
changed outside of the program shows up as a change of the next revision.
"""

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Any

import msgspec

import hazardreport
from hazardreport.case.case import Case
from hazardreport.errors import CaseInvalidError, NewerCaseFormatError, PatchRefusedError
from hazardreport.storage.case_json import FORMAT, canonical, document, document_bytes
from hazardreport.storage.log import Line, Log, line_bytes, line_hash, log_from_bytes, new_line, record_of, texts_of
from hazardreport.storage.patch import difference
from hazardreport.storage.record_text import Texts, joined, parts_that_differ
from hazardreport.storage.values import Salt, Value, hash_in, random_salt, values_bytes, values_from_bytes

PROGRAM = f"hazardreport {hazardreport.__version__}"


@dataclass(frozen=True, kw_only=True, slots=True)
class Before:
    """What was saved last, as bytes; empty where there is nothing.

    hashes  SHA-256 of case, log and values, in this order; empty if nobody has made them
    sound   the manifest confirms all of it
    """

    case: bytes = b""
    log: bytes = b""
    values: bytes = b""
    hashes: tuple[str, ...] = ()
    sound: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Signature:
    """Who saves, and when.

    author   name, "" if nobody is named
    time     ISO 8601 UTC; "" for the computer's clock
    salt     gives the salts of hashed texts
    program  name and version of what saves
    """

    author: str = ""
    time: str = ""
    salt: Salt = random_salt
    program: str = PROGRAM

    @property
    def moment(self) -> str:
        """The time that goes into the log."""
        return self.time or datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


@dataclass(frozen=True, kw_only=True, slots=True)
class Written:
    """What is to be written.

    damaged  parts of `Before` that could not be continued and are to be kept beside the case: "case", "log", "values"
    read     what reading these bytes again would say
    """

    case: Case
    record: bytes
    log: bytes
    values: bytes
    damaged: tuple[str, ...] = ()
    read: "Read | None" = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Read:
    """What is known of `Before` once it was read.

    revision, format  of the record; 0, 0 if there is none
    log               its lines, those of a sound log without their changes
    texts             behind the hashes of the log, or only those of its authors
    values            lines of values.jsonl; empty where they are not needed, since they are sound
    last              the record that the log goes on from, None if it begins here
    record            the same as JSON text by its fields, where this process wrote it
    damaged           see `Written`
    """

    revision: int
    format: int
    log: Log
    texts: Mapping[str, str]
    values: tuple[Value, ...] = ()
    last: Any = None
    record: Texts | None = None
    damaged: tuple[str, ...] = ()


_remembered: dict[tuple[str, ...], Read] = {}
"""What is known of the bytes that this process wrote last, by their hashes: they need not be read through again."""


def remember(written: Written, hashes: tuple[str, ...]) -> None:
    """The next save that finds bytes with these hashes need not read log and values through."""
    if written.read is not None:
        _remembered.clear()
        _remembered[hashes] = written.read


def next_revision(case: Case, before: Before, signature: Signature, erase: Sequence[str] = ()) -> Written:
    """The case with the next revision number, and the bytes of its files; `erase` are hashes whose texts go.

    Raises
    ------
    CaseNotSavableError
        If the case holds a value that no file could give back.
    NewerCaseFormatError
        If a newer program saved what was there before.
    """
    read = _remembered.get(before.hashes) if before.sound and not erase else None
    read = read or _read(before)
    numbers = (case.revision, read.revision, *(line.revision for line in read.log.lines[-1:]))
    saved, record = canonical(replace(case, revision=max(numbers) + 1))
    if read.record is not None:
        last, after = parts_that_differ(read.record, record)
    else:
        last, after = read.last, msgspec.json.decode(joined(record))
    line, added = new_line(
        difference(last, after),
        revision=saved.revision,
        time=signature.moment,
        author=signature.author,
        program=signature.program,
        log=read.log,
        texts=read.texts,
        salt=signature.salt,
        from_format=read.format if read.format == 1 and not read.log.lines else 0,
        restarted=hashlib.sha256(before.log).hexdigest() if "log" in read.damaged else "",
        erased=erase,
    )
    data = line_bytes(line)
    return Written(
        case=saved,
        record=document_bytes(record, log_head=line_hash(data)),
        log=b"".join((before.log if read.log.lines else b"", data, b"\n")),
        values=_next_values(before.values, read.values, added, erase, rewrite="values" in read.damaged),
        damaged=read.damaged,
        read=_after(read, line, line_hash(data), added, record),
    )


def _read(before: Before) -> Read:
    """Everything that was saved last, read through."""
    old, old_format, case_damaged = _record(before.case)
    log = log_from_bytes(before.log)
    values, value_faults = values_from_bytes(before.values)
    texts = texts_of(values)
    last, log_damaged = _last_record(log, texts)
    kept = (("case", case_damaged), ("log", log_damaged and bool(before.log)), ("values", bool(value_faults)))
    return Read(
        revision=old.revision if old else 0,
        format=old_format,
        log=Log() if log_damaged else log,
        texts=texts,
        values=tuple(values),
        last=last,
        damaged=tuple(name for name, is_so in kept if is_so),
    )


def _after(read: Read, line: Line, head: str, added: Sequence[Value], record: Texts) -> Read:
    """What reading the log again would say once the line stands in it."""
    lines = tuple(msgspec.structs.replace(one, changes=[]) if one.changes else one for one in (*read.log.lines, line))
    texts = {**read.texts, **texts_of(added)}
    authors = {hash_in(one.author) for one in lines}
    return Read(
        revision=line.revision,
        format=FORMAT,
        log=Log(lines=lines, hashes=(*read.log.hashes, head), head=head),
        texts={one: texts[one] for one in authors if one in texts and one not in line.erased},
        record=record,
    )


def _record(data: bytes) -> tuple[Case | None, int, bool]:
    """The record, its format, and whether it is there but cannot be read."""
    if not data:
        return None, 0, False
    try:
        found = document(data, "case.json")
    except CaseInvalidError:
        return None, 0, True
    if found.unknown:
        raise NewerCaseFormatError(path="case.json", format=found.format, supported=FORMAT)
    return found.case, found.format, False


def _last_record(log: Log, texts: dict[str, str]) -> tuple[Any, bool]:
    """The record that the log goes on from, None if it begins here; and whether the log cannot be continued."""
    if not log.lines and not log.faults:
        return None, False
    if log.faults:
        return None, True
    try:
        return record_of(log, texts)[0], False
    except PatchRefusedError:
        return None, True


def _next_values(
    data: bytes, values: Sequence[Value], added: Sequence[Value], erase: Sequence[str], *, rewrite: bool
) -> bytes:
    if not erase and not rewrite:
        return data + values_bytes(added)
    gone = frozenset(erase)
    return values_bytes(value for value in (*values, *added) if value.sha256 not in gone)

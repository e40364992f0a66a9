"""What a save writes: the record, and log and values with one line more.

The new line goes on from what the log says was saved last, not from whatever the record holds now: a record that was
changed outside of the program shows up as a change of the next revision.
"""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Any

import msgspec

import hazardreport
from hazardreport.case.case import Case
from hazardreport.errors import CaseInvalidError, NewerCaseFormatError, PatchRefusedError
from hazardreport.storage.case_json import FORMAT, canonical, document, document_bytes, record_in
from hazardreport.storage.log import Log, line_bytes, line_hash, log_from_bytes, new_line, record_of, texts_of
from hazardreport.storage.patch import difference
from hazardreport.storage.values import Salt, Value, random_salt, values_bytes, values_from_bytes

PROGRAM = f"hazardreport {hazardreport.__version__}"


@dataclass(frozen=True, kw_only=True, slots=True)
class Before:
    """What was saved last, as bytes; empty where there is nothing.

    sound  the manifest confirms all of it, so that the record need not be had from the log
    """

    case: bytes = b""
    log: bytes = b""
    values: bytes = b""
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
    """

    case: Case
    record: bytes
    log: bytes
    values: bytes
    damaged: tuple[str, ...] = ()


def next_revision(case: Case, before: Before, signature: Signature, erase: Sequence[str] = ()) -> Written:
    """The case with the next revision number, and the bytes of its files; `erase` are hashes whose texts go.

    Raises
    ------
    CaseNotSavableError
        If the case holds a value that no file could give back.
    NewerCaseFormatError
        If a newer program saved what was there before.
    """
    old, old_format, case_damaged = _record(before.case)
    log = log_from_bytes(before.log)
    values, value_faults = values_from_bytes(before.values)
    texts = texts_of(values)
    last, log_damaged = _last_record(old, before, log, texts)
    if log_damaged:
        log = Log()
    numbers = (case.revision, old.revision if old else 0, *(line.revision for line in log.lines[-1:]))
    saved, text = canonical(replace(case, revision=max(numbers) + 1))
    after = msgspec.json.decode(text)
    line, added = new_line(
        difference(last, after),
        revision=saved.revision,
        time=signature.moment,
        author=signature.author,
        program=signature.program,
        log=log,
        texts=texts,
        salt=signature.salt,
        from_format=old_format if old_format == 1 and not log.lines else 0,
        restarted=hashlib.sha256(before.log).hexdigest() if log_damaged and before.log else "",
        erased=erase,
    )
    data = line_bytes(line)
    record = document_bytes(text, log_head=line_hash(data))
    damaged = [name for name, is_so in (("case", case_damaged), ("log", log_damaged and bool(before.log))) if is_so]
    if value_faults:
        damaged.append("values")
    return Written(
        case=saved,
        record=record,
        log=(b"" if log_damaged else before.log) + data + b"\n",
        values=_next_values(before.values, values, added, erase, rewrite=bool(value_faults)),
        damaged=tuple(damaged),
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


def _last_record(old: Case | None, before: Before, log: Log, texts: dict[str, str]) -> tuple[Any, bool]:
    """The record that the log goes on from, None if it begins here; and whether the log cannot be continued."""
    if not log.lines and not log.faults:
        return None, False
    if log.faults:
        return None, True
    if before.sound and old is not None:
        return record_in(before.case), False
    try:
        return record_of(log, texts)[0], False
    except PatchRefusedError:
        return None, True


def _next_values(data: bytes, values: list[Value], added: list[Value], erase: Sequence[str], *, rewrite: bool) -> bytes:
    if not erase and not rewrite:
        return data + values_bytes(added)
    gone = frozenset(erase)
    return values_bytes(value for value in (*values, *added) if value.sha256 not in gone)

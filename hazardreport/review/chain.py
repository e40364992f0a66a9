"""Whether the log of a case holds together and gives the record, and whose hands its hashes are in.

Nothing is written, and no table or engine is needed. The chain shows order and completeness against everybody who
cannot rewrite it; its author can. What shows that he did not is an anchor: the hash of a revision in other hands.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from hazardreport.case.case import Case
from hazardreport.case.custody import Anchor
from hazardreport.errors import (
    AnchorDisagreesError,
    CaseInvalidError,
    Fault,
    HazardReportError,
    LogDamagedError,
    LogDisagreesError,
    LogMissingError,
    NewerCaseFormatError,
    PatchRefusedError,
    ValuesDamagedError,
    ValuesMissingError,
)
from hazardreport.storage import layout
from hazardreport.storage.case_json import document, record_in
from hazardreport.storage.faults import fault, listing
from hazardreport.storage.log import Line, Log, erased_in, log_from_bytes, operations_of, replayed, texts_of
from hazardreport.storage.patch import difference
from hazardreport.storage.values import hash_in, hashes_in, opened, values_from_bytes


@dataclass(frozen=True, kw_only=True, slots=True)
class Revision:
    """One line of the log, for people.

    number, time   of the revision
    author         name, or "" if nobody was named, or if the name was erased
    author_hash    stand-in of the name, so that one can see who wrote what although a name was erased
    program        that wrote it
    sha256         of the line; before: of the line before
    changes        JSON Patch of the record, with the texts that are still there in place of their hashes
    from_format    older format that the case was taken over from, 0 if none
    restarted      hash of a log that could not be continued, "" if none
    erased         how many texts were erased with this revision
    """

    number: int
    time: str
    author: str
    author_hash: str
    program: str
    sha256: str
    before: str
    changes: tuple[Mapping[str, Any], ...]
    from_format: int = 0
    restarted: str = ""
    erased: int = 0


@dataclass(frozen=True, kw_only=True, slots=True)
class Anchored:
    """An anchor, and whether its hash is the one that the log has for that revision."""

    anchor: Anchor
    confirmed: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Chain:
    """The log of a case as it was found; `problems` are errors that were not raised.

    published_from  hash of the line that a publication was derived from, "" for a case itself
    strays          how many texts of values.jsonl no line of a sound log names: they are of a log that was restarted
    """

    revisions: tuple[Revision, ...] = ()
    anchors: tuple[Anchored, ...] = ()
    published_from: str = ""
    strays: int = 0
    problems: tuple[HazardReportError, ...] = ()

    @property
    def head(self) -> str:
        """Hash of the last line, "" if there is none."""
        return self.revisions[-1].sha256 if self.revisions else ""


def check_chain(case_bytes: bytes, log_bytes: bytes | None, values_bytes: bytes | None, folder: str = "") -> Chain:
    """The log against itself and against the record.

    Parameters
    ----------
    case_bytes, log_bytes, values_bytes : bytes
        Of case.json, log.jsonl, values.jsonl; None for a file that is not there.
    folder : str
        For the messages.
    """
    names = {name: f"{folder}/{name}" if folder else name for name in layout.RECORD}
    try:
        found = document(case_bytes, names[layout.CASE])
    except (CaseInvalidError, NewerCaseFormatError):
        case, number, head = None, 0, ""
    else:
        case, number, head = found.case, found.format, found.beside.get("log_head", "")
    if log_bytes is None:
        problem = () if number == 1 else (LogMissingError(path=names[layout.LOG]),)
        return Chain(problems=problem)
    log = log_from_bytes(log_bytes)
    values, value_faults = values_from_bytes(values_bytes or b"")
    texts = texts_of(values)
    problems: list[HazardReportError] = []
    if log.faults:
        problems.append(_told(LogDamagedError, names[layout.LOG], log.faults))
    if value_faults:
        problems.append(_told(ValuesDamagedError, names[layout.VALUES], value_faults))
    if back := erased_in(log) & texts.keys():
        told = [fault(sha256[:8], "value_erased") for sha256 in sorted(back)]
        problems.append(_told(ValuesDamagedError, names[layout.VALUES], told))
    named = _named(log)
    missing = len(named - texts.keys() - erased_in(log))
    if missing:
        problems.append(ValuesMissingError(path=names[layout.VALUES], count=missing))
    if case is not None:
        problems += _disagreement(record_in(case_bytes), head, log, texts, names[layout.CASE])
    anchors = _anchors(case, log) if case is not None else ()
    problems += [
        AnchorDisagreesError(revision=one.anchor.revision, whom=one.anchor.whom or "?")
        for one in anchors
        if not one.confirmed
    ]
    return Chain(
        revisions=tuple(_revision(line, sha256, texts) for line, sha256 in zip(log.lines, log.hashes, strict=True)),
        anchors=anchors,
        published_from=case.published_from if case is not None else "",
        strays=0 if log.faults else len(texts.keys() - named),
        problems=tuple(problems),
    )


def _told(kind: type[LogDamagedError | ValuesDamagedError], path: str, faults: tuple[Fault, ...] | list[Fault]) -> Any:
    return kind(path=path, count=len(faults), listing=listing(faults))


def _named(log: Log) -> set[str]:
    """Hashes in the log that stand for texts."""
    named = {hash_in(line.author) for line in log.lines} - {""}
    for line in log.lines:
        for change in line.changes:
            named.update(hashes_in(change.value))
    return named


def _disagreement(
    saved: Any, head: str, log: Log, texts: Mapping[str, str], path: str
) -> list[LogDisagreesError | PatchRefusedError]:
    """Places at which the record is not what the log gives."""
    places = [fault("log_head", "otherwise_in_log")] if head and head != log.head else []
    refused: list[LogDisagreesError | PatchRefusedError] = []
    try:
        record = opened(replayed(log.lines), texts, set())
    except PatchRefusedError as error:
        refused.append(error)
    else:
        places += [
            fault("case" + operation["path"].replace("/", "."), "otherwise_in_log")
            for operation in difference(record, saved)
        ]
    return [LogDisagreesError(path=path, listing=listing(places)), *refused] if places else refused


def _revision(line: Line, sha256: str, texts: Mapping[str, str]) -> Revision:
    author = hash_in(line.author)
    return Revision(
        number=line.revision,
        time=line.time,
        author=texts.get(author, ""),
        author_hash=author,
        program=line.program,
        sha256=sha256,
        before=line.before,
        changes=tuple(opened(operation, texts, set()) for operation in operations_of(line)),
        from_format=line.from_format,
        restarted=line.restarted,
        erased=len(line.erased),
    )


def _anchors(case: Case, log: Log) -> tuple[Anchored, ...]:
    """Anchors against the log; those of a publication are against the log of the whole case, which is not in it."""
    if case.published_from:
        return ()
    by_number = {line.revision: sha256 for line, sha256 in zip(log.lines, log.hashes, strict=True)}
    return tuple(Anchored(anchor=one, confirmed=by_number.get(one.revision) == one.head) for one in case.anchors)

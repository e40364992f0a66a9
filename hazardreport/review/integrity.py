"""Whether a saved case is whole, file by file. Nothing is written, not even a lock.

A hash shows that a file is the one that was listed; it does not show who listed it or when.
"""

import os
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from hazardreport.case.case import Case
from hazardreport.errors import (
    AttachmentChangedError,
    AttachmentMissingError,
    CaseInvalidError,
    CouldNotReadError,
    HazardReportError,
    ManifestDamagedError,
    ManifestMissingError,
    NewerCaseFormatError,
    NoCaseError,
    PictureHashesDisagreeError,
    PictureMissingError,
)
from hazardreport.evidence.names import shown
from hazardreport.review.chain import Chain, check_chain
from hazardreport.storage import files, layout
from hazardreport.storage.case_json import case_from_bytes
from hazardreport.storage.manifest import (
    Counting,
    Manifest,
    counting,
    evidence_files,
    manifest_bytes,
    odd_files,
    read_manifest,
    steady,
)


class FileState(StrEnum):
    """How a file stands to the manifest."""

    WHOLE = "whole"
    CHANGED = "changed"
    MISSING = "missing"
    NOT_LISTED = "not listed"


@dataclass(frozen=True, kw_only=True, slots=True)
class FileCheck:
    """One file of the case.

    path    in the folder, with "/"; odd characters shown as [U+202E]
    state   to the manifest
    sha256  found, "" if there is no file to read
    listed  in the manifest, "" if it is not listed
    """

    path: str
    state: FileState
    sha256: str = ""
    listed: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Integrity:
    """Every file, and what else keeps the case from being whole (errors that were not raised)."""

    files: tuple[FileCheck, ...]
    problems: tuple[HazardReportError, ...] = ()
    chain: Chain = Chain()

    @property
    def whole(self) -> bool:
        """Every file is listed and as listed; the record can be read, agrees with the manifest, and is the log's."""
        return not self.problems and bool(self.files) and all(file.state is FileState.WHOLE for file in self.files)


def check_folder(folder: Path, step: Callable[[int, int], object] = lambda done, total: None) -> Integrity:
    """The integrity of a case's folder; `step` is told before each file how many of how many are done.

    Raises
    ------
    NoCaseError
        If there is neither a record nor a manifest to check against.
    CouldNotReadError
        If the folder cannot be listed.
    """
    return steady(folder, lambda: _checked(folder, step), lambda found: found.whole)


def _checked(folder: Path, step: Callable[[int, int], object]) -> Integrity:
    count = counting(folder)
    problems: list[HazardReportError] = []
    try:
        manifest = read_manifest(count.manifest)
        written = None if manifest is None else files.read(count.manifest)
    except CouldNotReadError as error:
        manifest, written = Manifest(hashes={}), None
        problems.append(error)
    if manifest is None and not count.case.is_file():
        raise NoCaseError(path=str(folder))
    if manifest is None:
        problems.append(ManifestMissingError(path=str(folder / layout.MANIFEST)))
        manifest = Manifest(hashes={})
    elif manifest.damaged:
        lines = ", ".join(str(number) for number in manifest.damaged)
        problems.append(ManifestDamagedError(path=str(folder / layout.MANIFEST), lines=lines))
    case, record_problems = _record(folder, count)
    problems += record_problems
    checks = _checks(folder, count, manifest, step)
    if case is not None:
        problems += disagreements(case, manifest, {check.path for check in checks})
    if manifest.hashes and not manifest.damaged and written != manifest_bytes(manifest.hashes):
        problems.append(ManifestDamagedError(path=str(folder / layout.MANIFEST), lines="–"))
    chain = _chain(folder, count)
    return Integrity(files=checks, problems=(*problems, *chain.problems), chain=chain)


def check_log(folder: Path) -> Chain:
    """The log of a case's folder alone; no picture is read.

    Raises
    ------
    NoCaseError
        If there is no record.
    """

    def read() -> Chain:
        count = counting(folder)
        if not count.case.is_file():
            raise NoCaseError(path=str(folder))
        return _chain(folder, count)

    return steady(folder, read, lambda found: not found.problems)


def _chain(folder: Path, count: Counting) -> Chain:
    def found(name: str) -> bytes | None:
        return files.read(count.located(name)) if count.located(name).is_file() else None

    record = found(layout.CASE)
    return Chain() if record is None else check_chain(record, found(layout.LOG), found(layout.VALUES), str(folder))


def _record(folder: Path, count: Counting) -> tuple[Case | None, list[HazardReportError]]:
    if not count.case.exists():
        return None, []
    try:
        return case_from_bytes(files.read(count.case), str(folder / layout.CASE)), []
    except (CaseInvalidError, CouldNotReadError, NewerCaseFormatError) as error:
        return None, [error]


def _checks(
    folder: Path, count: Counting, manifest: Manifest, step: Callable[[int, int], object]
) -> tuple[FileCheck, ...]:
    """The record first, then the other listed files, then those that are not listed."""
    listed = sorted({layout.CASE, *manifest.hashes}, key=lambda path: (path != layout.CASE, path))
    known = frozenset(listed)
    found = [path for path in (*evidence_files(folder), *odd_files(folder), *_beside(folder)) if path not in known]
    checks: list[FileCheck] = []
    for path in (*listed, *found):
        step(len(checks), len(listed) + len(found))
        checks.append(_check(count.located(path), path, manifest.hashes.get(path, "")))
    return tuple(checks)


def _beside(folder: Path) -> list[str]:
    """Further files in the folder itself that are no part of a case."""
    known = (layout.MANIFEST, layout.PICTURES, layout.ATTACHMENTS)
    try:
        names = sorted(path.name for path in folder.iterdir())
    except OSError as error:
        raise CouldNotReadError(path=str(folder), reason=files.reason(error)) from error
    return [name for name in names if name not in known and not layout.is_beside_the_case(name)]


def _check(path: Path, name: str, listed: str) -> FileCheck:
    name = shown(name)
    if not os.path.lexists(path):
        return FileCheck(path=name, state=FileState.MISSING, listed=listed)
    found = ""
    if path.is_file() and not path.is_symlink():
        try:
            found = files.sha256(path)
        except CouldNotReadError:
            found = ""
    if not listed:
        return FileCheck(path=name, state=FileState.NOT_LISTED, sha256=found)
    state = FileState.WHOLE if found == listed else FileState.CHANGED
    return FileCheck(path=name, state=state, sha256=found, listed=listed)


def disagreements(case: Case, manifest: Manifest, paths: set[str]) -> list[HazardReportError]:
    """Pictures and attachments about which the record says otherwise than the manifest, or which are nowhere."""
    problems: list[HazardReportError] = []
    for attachment in case.attachments:
        path = f"{layout.ATTACHMENTS}/{attachment.file}"
        if path not in paths:
            problems.append(AttachmentMissingError(attachment=attachment.id, file=attachment.file))
        elif manifest.hashes.get(path, attachment.sha256) != attachment.sha256:
            problems.append(AttachmentChangedError(attachment=attachment.id, file=attachment.file))
    for picture in case.pictures:
        path = f"{layout.PICTURES}/{picture.file}"
        if path not in paths:
            problems.append(PictureMissingError(picture=picture.id, file=picture.file))
        elif manifest.hashes.get(path, picture.sha256) != picture.sha256:
            problems.append(PictureHashesDisagreeError(picture=picture.id, file=picture.file))
    return problems

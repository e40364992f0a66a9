"""In which condition the folder of a case is: the record that can be read, unsaved work, and everything that is wrong.

Nothing is written here. A problem is an error of its kind that is not raised.
"""

import contextlib
import stat
from dataclasses import replace
from pathlib import Path
from typing import Literal

from hazardreport import wording
from hazardreport.case.attachment import Attachment
from hazardreport.case.case import Case
from hazardreport.case.picture import Picture
from hazardreport.errors import (
    AttachmentChangedError,
    AttachmentMissingError,
    CaseFileChangedError,
    CaseFileDamagedError,
    CaseInvalidError,
    CouldNotReadError,
    HazardReportError,
    JournalDamagedError,
    LogMissingError,
    ManifestDamagedError,
    ManifestMissingError,
    NewerCaseFormatError,
    NewerCaseReadOnlyError,
    PatchRefusedError,
    PictureChangedError,
    PictureMissingError,
    UnsavedWorkRecoveredError,
)
from hazardreport.storage import files, journal, layout
from hazardreport.storage.case_json import FORMAT, case_from_document, document, document_from_bytes
from hazardreport.storage.faults import listing
from hazardreport.storage.log import log_from_bytes, record_of, texts_of
from hazardreport.storage.manifest import Counting, read_manifest
from hazardreport.storage.values import values_from_bytes


def picture_path(folder: Path, file: str) -> Path:
    """Where a picture of that file name lies in the folder of a case."""
    return folder / layout.PICTURES / file


def attachment_path(folder: Path, file: str) -> Path:
    """Where an attachment of that file name lies in the folder of a case."""
    return folder / layout.ATTACHMENTS / file


def saved_record(folder: Path, count: Counting) -> tuple[Case, list[HazardReportError]]:
    """The saved case; where its file cannot be read, the one that the log gives, or an older one, with the reason."""
    path = str(folder / layout.CASE)
    try:
        found = document(files.read(count.case), path)
    except (CaseInvalidError, CouldNotReadError) as error:
        other, case = _from_elsewhere(folder, count)
        if case is None:
            raise
        told = error.listing if isinstance(error, CaseInvalidError) else f"- {error.reason}"
        damaged = CaseFileDamagedError(path=path, used=other.name, revision=case.revision, listing=told)
        if other.name == layout.JOURNAL:
            return case, [damaged, UnsavedWorkRecoveredError(path=str(other), revision=case.revision)]
        return case, [damaged]
    if found.unknown:
        newer = NewerCaseReadOnlyError(path=path, format=found.format, supported=FORMAT, listing=listing(found.unknown))
        return found.case, [newer]
    return found.case, []


def _from_elsewhere(folder: Path, count: Counting) -> tuple[Path, Case | None]:
    """The record that the log gives; else the one before the last save; else the journal, whatever it goes on from."""
    with contextlib.suppress(CouldNotReadError, CaseInvalidError, PatchRefusedError):
        log = log_from_bytes(files.read(count.located(layout.LOG)))
        texts = texts_of(values_from_bytes(files.read(count.located(layout.VALUES)))[0])
        if log.lines and not log.faults:
            return folder / layout.LOG, case_from_document(record_of(log, texts)[0], layout.LOG)
    for name, beside in ((layout.PREVIOUS, ()), (layout.JOURNAL, ("goes_on_from",))):
        with contextlib.suppress(CaseInvalidError, CouldNotReadError):
            return folder / name, document_from_bytes(files.read(folder / name), name, beside)[0]
    return folder / layout.PREVIOUS, None


def manifest_problems(count: Counting) -> list[HazardReportError]:
    """What is wrong with the list of hashes, and record files that are not as listed."""
    try:
        manifest = read_manifest(count.manifest)
    except CouldNotReadError as error:
        return [error]
    if manifest is None:
        return [ManifestMissingError(path=str(count.manifest))]
    problems: list[HazardReportError] = []
    if manifest.damaged:
        lines = ", ".join(str(number) for number in manifest.damaged)
        problems.append(ManifestDamagedError(path=str(count.manifest), lines=lines))
    for name in layout.RECORD:
        listed, path = manifest.hashes.get(name), count.located(name)
        if listed is None:
            continue
        if not path.exists():
            if name == layout.LOG:
                problems.append(LogMissingError(path=str(path)))
        else:
            try:
                if files.sha256(path) != listed:
                    problems.append(CaseFileChangedError(path=str(path)))
            except CouldNotReadError as error:
                problems.append(error)
    return problems


def with_unsaved_work(folder: Path, case: Case) -> tuple[Case, list[HazardReportError]]:
    path = str(folder / layout.JOURNAL)
    try:
        unsaved = journal.journalled_case(folder)
    except CaseInvalidError as error:
        return case, [JournalDamagedError(path=path, listing=error.listing)]
    except CouldNotReadError as error:
        return case, [JournalDamagedError(path=path, listing=f"- {error.reason}")]
    except NewerCaseFormatError as error:
        return case, [JournalDamagedError(path=path, listing=f"- {wording.what(error)}")]
    if unsaved is None or replace(unsaved, revision=case.revision) == case:
        return case, []
    return unsaved, [UnsavedWorkRecoveredError(path=path, revision=unsaved.revision)]


def evidence_problems(case: Case, folder: Path, *, thorough: bool = False) -> list[HazardReportError]:
    """Pictures and attachments whose file is missing, or is not the one that was taken in.

    By its size only, unless `thorough`: then every byte is read, which takes seconds for a thousand pictures.
    """
    problems: list[HazardReportError] = []
    for picture in case.pictures:
        state = _state(picture_path(folder, picture.file), picture, problems, thorough=thorough)
        if state == "missing":
            problems.append(PictureMissingError(picture=picture.id, file=picture.file))
        elif state == "changed":
            problems.append(PictureChangedError(picture=picture.id, file=picture.file))
    for attachment in case.attachments:
        state = _state(attachment_path(folder, attachment.file), attachment, problems, thorough=thorough)
        if state == "missing":
            problems.append(AttachmentMissingError(attachment=attachment.id, file=attachment.file))
        elif state == "changed":
            problems.append(AttachmentChangedError(attachment=attachment.id, file=attachment.file))
    return problems


def _state(
    path: Path, record: Picture | Attachment, problems: list[HazardReportError], *, thorough: bool
) -> Literal["", "missing", "changed"]:
    try:
        status = path.lstat()
    except FileNotFoundError:
        return "missing"
    except OSError as error:
        problems.append(CouldNotReadError(path=str(path), reason=files.reason(error)))
        return ""
    if not stat.S_ISREG(status.st_mode) or status.st_size != record.size:
        return "changed"
    try:
        return "changed" if thorough and files.sha256(path) != record.sha256 else ""
    except CouldNotReadError as error:
        problems.append(error)
        return ""

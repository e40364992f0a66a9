"""In which condition the folder of a case is: the record that can be read, unsaved work, and everything that is wrong.

Nothing is written here. A problem is an error of its kind that is not raised.
"""

import contextlib
from dataclasses import replace
from pathlib import Path

from hazardreport.case.case import Case
from hazardreport.errors import (
    CaseFileChangedError,
    CaseFileDamagedError,
    CaseInvalidError,
    CouldNotReadError,
    HazardReportError,
    JournalDamagedError,
    ManifestDamagedError,
    ManifestMissingError,
    PictureChangedError,
    PictureMissingError,
    UnsavedWorkRecoveredError,
)
from hazardreport.storage import files, journal, layout
from hazardreport.storage.case_json import case_from_bytes, document_from_bytes
from hazardreport.storage.manifest import Counting, read_manifest


def picture_path(folder: Path, file: str) -> Path:
    """Where a picture of that file name lies in the folder of a case."""
    return folder / layout.PICTURES / file


def saved_record(folder: Path, count: Counting) -> tuple[Case, list[HazardReportError]]:
    """The saved case, or the one before it with the reason."""
    try:
        return case_from_bytes(files.read(count.case), str(folder / layout.CASE)), []
    except (CaseInvalidError, CouldNotReadError) as error:
        path, case = _older_record(folder)
        if case is None:
            raise
        told = error.listing if isinstance(error, CaseInvalidError) else f"- {error.reason}"
        damaged = CaseFileDamagedError(
            path=str(folder / layout.CASE), used=path.name, revision=case.revision, listing=told
        )
        if path.name == layout.JOURNAL:
            return case, [damaged, UnsavedWorkRecoveredError(path=str(path), revision=case.revision)]
        return case, [damaged]


def _older_record(folder: Path) -> tuple[Path, Case | None]:
    """The record before the last save; else the journal, whatever it goes on from."""
    for name, beside in ((layout.PREVIOUS, ()), (layout.JOURNAL, ("goes_on_from",))):
        with contextlib.suppress(CaseInvalidError, CouldNotReadError):
            return folder / name, document_from_bytes(files.read(folder / name), name, beside)[0]
    return folder / layout.PREVIOUS, None


def manifest_problems(count: Counting) -> list[HazardReportError]:
    manifest = read_manifest(count.manifest)
    if manifest is None:
        return [ManifestMissingError(path=str(count.manifest))]
    problems: list[HazardReportError] = []
    if manifest.damaged:
        lines = ", ".join(str(number) for number in manifest.damaged)
        problems.append(ManifestDamagedError(path=str(count.manifest), lines=lines))
    listed = manifest.hashes.get(layout.CASE)
    if listed is not None and count.case.exists() and files.sha256(count.case) != listed:
        problems.append(CaseFileChangedError(path=str(count.case)))
    return problems


def with_unsaved_work(folder: Path, case: Case) -> tuple[Case, list[HazardReportError]]:
    path = str(folder / layout.JOURNAL)
    try:
        unsaved = journal.journalled_case(folder)
    except CaseInvalidError as error:
        return case, [JournalDamagedError(path=path, listing=error.listing)]
    except CouldNotReadError as error:
        return case, [JournalDamagedError(path=path, listing=f"- {error.reason}")]
    if unsaved is None or replace(unsaved, revision=case.revision) == case:
        return case, []
    return unsaved, [UnsavedWorkRecoveredError(path=path, revision=unsaved.revision)]


def picture_problems(case: Case, folder: Path) -> list[HazardReportError]:
    """Pictures of the case whose file is missing, or is not the one that was taken in."""
    problems: list[HazardReportError] = []
    for picture in case.pictures:
        path = picture_path(folder, picture.file)
        if path.is_symlink() or (path.exists() and not path.is_file()):
            problems.append(PictureChangedError(picture=picture.id, file=picture.file))
        elif not path.exists():
            problems.append(PictureMissingError(picture=picture.id, file=picture.file))
        else:
            try:
                if files.sha256(path) != picture.sha256:
                    problems.append(PictureChangedError(picture=picture.id, file=picture.file))
            except CouldNotReadError as error:
                problems.append(error)
    return problems

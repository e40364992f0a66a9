"""Edits since the last save, as the whole case in one small file beside it.

The journal names the case.json that it goes on from by its hash, so a journal that a later save has overtaken is known
as old. Write it after every edit; when edits came while a save was under way, write it once more after the save.
"""

import contextlib
from dataclasses import replace
from pathlib import Path

from hazardreport.case.case import Case
from hazardreport.errors import CaseInvalidError, CouldNotReadError, CouldNotWriteError, NewerCaseFormatError
from hazardreport.storage import files, layout
from hazardreport.storage.case_json import case_bytes, document_from_bytes
from hazardreport.storage.manifest import counting, read_manifest

NEVER_SAVED = "-"


def write_journal(case: Case, folder: Path) -> None:
    """The case is on the disk in the folder's journal; the saved case is untouched.

    Raises
    ------
    CouldNotWriteError
        If the disk is full or the folder may not be written; the journal before it is intact.
    CaseNotSavableError
        If the case holds a value that no file could give back.
    """
    files.write_atomically(folder / layout.JOURNAL, case_bytes(case, goes_on_from=_saved(folder)[0]))


def journalled_case(folder: Path) -> Case | None:
    """The case of the journal if it goes on from what is saved now; None if there is none or a save has overtaken it.

    Raises
    ------
    CaseInvalidError, CouldNotReadError, NewerCaseFormatError
        If there is a journal that cannot be read.
    """
    path = folder / layout.JOURNAL
    if not path.exists():
        return None
    case, beside = document_from_bytes(files.read(path), str(path), ("goes_on_from",))
    return case if beside["goes_on_from"] in _saved(folder) else None


def overtaken(folder: Path) -> bool:
    """Whether there is a journal that can be read and that a save has overtaken."""
    with contextlib.suppress(CaseInvalidError, CouldNotReadError, NewerCaseFormatError):
        return (folder / layout.JOURNAL).exists() and journalled_case(folder) is None
    return False


def is_no_news(folder: Path, case: Case) -> bool:
    """Whether there is a journal and, whatever it goes on from, it holds this very case: nothing is lost with it.

    Raises
    ------
    CaseInvalidError, CouldNotReadError, NewerCaseFormatError
        If it cannot be read.
    """
    path = folder / layout.JOURNAL
    if not path.exists():
        return False
    held = document_from_bytes(files.read(path), str(path), ("goes_on_from",))[0]
    return replace(held, revision=case.revision) == case


def clear_journal(folder: Path) -> None:
    """No journal is in the folder."""
    try:
        files.remove(folder / layout.JOURNAL)
    except OSError as error:
        raise CouldNotWriteError(path=str(folder / layout.JOURNAL), reason=files.reason(error)) from error


def _saved(folder: Path) -> tuple[str, ...]:
    """Hash of the saved case as it lies there, and as the manifest says it was saved."""
    count = counting(folder)
    hashes = []
    with contextlib.suppress(CouldNotReadError):
        hashes.append(files.sha256(count.case))
    with contextlib.suppress(CouldNotReadError):
        manifest = read_manifest(count.manifest)
        if manifest is not None and layout.CASE in manifest.hashes:
            hashes.append(manifest.hashes[layout.CASE])
    return tuple(hashes) or (NEVER_SAVED,)

"""A case as a folder: made, saved, opened, copied. A save is whole or has not happened; opening loses nothing."""

import contextlib
import os
import shutil
from dataclasses import dataclass
from io import BufferedReader
from pathlib import Path

from hazardreport.case.case import Case
from hazardreport.errors import (
    CaseInvalidError,
    CaseOpenElsewhereError,
    CaseReadOnlyError,
    CouldNotReadError,
    CouldNotWriteError,
    FolderNotEmptyError,
    HazardReportError,
    JournalDamagedError,
    NewerCaseFormatError,
    NewerCaseReadOnlyError,
    NoCaseError,
)
from hazardreport.evidence.settling import clear_abandoned
from hazardreport.storage import files, layout
from hazardreport.storage.begun import MARKER, finish
from hazardreport.storage.condition import (
    attachment_path,
    evidence_problems,
    manifest_problems,
    picture_path,
    saved_record,
    with_unsaved_work,
)
from hazardreport.storage.journal import clear_journal, is_no_news, overtaken
from hazardreport.storage.lock import CaseLock, acquire, elsewhere
from hazardreport.storage.manifest import Counting, counting, evidence_files, read_manifest, steady
from hazardreport.storage.saving import finish_interrupted_save, save_case

__all__ = [
    "OpenedCase",
    "attachment_path",
    "copy_case",
    "create_case",
    "open_case",
    "picture_path",
    "save_case",
]


READ_ONLY = (CaseReadOnlyError, NewerCaseReadOnlyError)
"""Problems that keep a case from being saved where it is."""


@dataclass(frozen=True, kw_only=True, slots=True)
class OpenedCase:
    """A case as it was found.

    problems   what is wrong or worth knowing, each an error of its kind that was not raised: `wording.what` tells it
    read_only  it may be looked at but not saved here; one of the problems says why, unless it was opened only to read
    lock       the right to write, held until `close`
    """

    case: Case
    folder: Path
    problems: tuple[HazardReportError, ...] = ()
    read_only: bool = False
    lock: CaseLock | None = None

    def close(self) -> None:
        """Others may write to the folder from now on."""
        if self.lock is not None:
            self.lock.release()


def create_case(folder: Path, case: Case, *, author: str = "", time: str = "") -> Case:
    """The case, saved as revision 1 in a folder that was new or empty.

    Raises
    ------
    FolderNotEmptyError
        If something is there already.
    CouldNotWriteError
        If it could not be made; then nothing is left of it.
    """
    new = _is_free(folder)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        (folder / layout.PICTURES).mkdir()
        return save_case(case, folder, author=author, time=time)
    except BaseException as error:
        with contextlib.suppress(OSError):
            (folder / layout.PICTURES).rmdir()
            if new:
                folder.rmdir()
        if isinstance(error, OSError):
            raise CouldNotWriteError(path=str(folder), reason=files.reason(error)) from error
        raise


def _is_free(folder: Path) -> bool:
    """True if nothing is there, False if an empty folder is; anything else is refused."""
    try:
        if not folder.exists() and not folder.is_symlink():
            return True
        if folder.is_dir() and not any(folder.iterdir()):
            return False
    except OSError as error:
        raise CouldNotReadError(path=str(folder), reason=files.reason(error)) from error
    raise FolderNotEmptyError(path=str(folder))


def _finish_erasing(folder: Path, count: Counting, case: Case) -> None:
    """An erase that was cut off is finished, or forgotten if its save did not happen; not without a manifest."""
    manifest = read_manifest(count.manifest)
    if manifest is None:
        return
    named = {f"{layout.PICTURES}/{one.file}" for one in case.pictures}
    named |= {f"{layout.ATTACHMENTS}/{one.file}" for one in case.attachments}
    if finish(folder, named | manifest.hashes.keys()) and overtaken(folder):
        clear_journal(folder)


def _clear_leftovers(folder: Path, count: Counting, case: Case, problems: list[HazardReportError]) -> None:
    """Half-written files of a process that died are gone, and files that it took in but never put into any record.

    So is a journal that says what is saved, where all that is saved is sound. Only the first to open the folder may do
    this; after a journal that cannot be read nothing is thrown away.
    """
    with contextlib.suppress(OSError, CouldNotReadError, CouldNotWriteError):
        _finish_erasing(folder, count, case)
    for part in folder.glob(".*.part"):
        if part.name == MARKER:
            continue
        with contextlib.suppress(OSError):
            files.unlink(part)
    if any(isinstance(problem, JournalDamagedError) for problem in problems):
        return
    with contextlib.suppress(CaseInvalidError, CouldNotReadError, CouldNotWriteError, NewerCaseFormatError):
        if count.complete and not problems and is_no_news(folder, case):
            clear_journal(folder)
    try:
        manifest = read_manifest(count.manifest)
    except CouldNotReadError:
        return
    listed = [Path(path).name for path in (manifest.hashes if manifest else ())]
    named = [picture.file for picture in case.pictures] + [one.file for one in case.attachments]
    for name in (layout.PICTURES, layout.ATTACHMENTS):
        clear_abandoned(folder / name, frozenset((*listed, *named)))


def open_case(folder: Path, *, for_writing: bool = True) -> OpenedCase:
    """The case of a folder with all problems that do not keep it from being read.

    Parameters
    ----------
    folder : Path
        Folder of the case.
    for_writing : bool
        Take the lock and finish a save that was cut off. Without it nothing is written, not even a lock.

    Raises
    ------
    NoCaseError
        If there is no case.
    NewerCaseFormatError
        If a newer program saved it.
    CaseInvalidError, CouldNotReadError
        If its record cannot be read and there is no older copy either.
    """
    try:
        present = [name for name in (*layout.RECORD[:2], layout.PREVIOUS, layout.JOURNAL) if (folder / name).exists()]
    except OSError as error:
        raise CouldNotReadError(path=str(folder), reason=files.reason(error)) from error
    if not present and not counting(folder).files:
        raise NoCaseError(path=str(folder))
    problems: list[HazardReportError] = []
    held: CaseLock | None = None
    if for_writing:
        try:
            held = acquire(folder)
            with held.saving:
                finish_interrupted_save(folder)
        except (CaseOpenElsewhereError, CaseReadOnlyError) as error:
            problems.append(error)
        except CouldNotWriteError as error:
            problems.append(CaseReadOnlyError(path=error.path, reason=error.reason))
    try:
        count, case, found = steady(folder, lambda: _saved(folder), lambda found: not found[2])
        problems += found
        if not elsewhere(folder):
            case, found = with_unsaved_work(folder, case)
            problems += found
        if held is not None and held.holders == 1:
            _clear_leftovers(folder, count, case, problems)
        problems += evidence_problems(case, folder)
    except BaseException:
        if held is not None:
            held.release()
        raise
    read_only = held is None or any(isinstance(problem, READ_ONLY) for problem in problems)
    if read_only and held is not None:
        held.release()
        held = None
    return OpenedCase(case=case, folder=folder, problems=tuple(problems), read_only=read_only, lock=held)


def _saved(folder: Path) -> tuple[Counting, Case, list[HazardReportError]]:
    """The files that count, the case in them, and what is wrong with record and manifest."""
    count = counting(folder)
    case, problems = saved_record(folder, count)
    return count, case, problems + manifest_problems(count)


def copy_case(source: Path, target: Path) -> Path:
    """The folder of a copy: record, manifest and pictures byte by byte, without journal, lock and older records.

    Raises
    ------
    NoCaseError
        If the source holds no case.
    FolderNotEmptyError
        If something is at the target.
    CouldNotReadError, CouldNotWriteError
        If it could not be copied; then nothing is left at the target.
    """
    if not counting(source).case.is_file():
        raise NoCaseError(path=str(source))
    new = _is_free(target)
    target = target.absolute()
    part = target.with_name(f".{target.name}.part")
    try:
        part.parent.mkdir(parents=True, exist_ok=True)
        shutil.rmtree(part, ignore_errors=True)
        part.mkdir()
        (part / layout.PICTURES).mkdir()
        for name, place in _copied_files(source):
            (part / name).parent.mkdir(parents=True, exist_ok=True)
            _copy(place, part / name)
        if not new:
            target.rmdir()
        files.replace(part, target)
        files.sync_folder(target.parent)
    except OSError as error:
        shutil.rmtree(part, ignore_errors=True)
        raise CouldNotWriteError(path=str(target), reason=files.reason(error)) from error
    except HazardReportError:
        shutil.rmtree(part, ignore_errors=True)
        raise
    return target


def _copy(place: Path, target: Path) -> None:
    """The bytes of a file in a new one, on the disk, however many there are."""
    with files.opened_regular(place) as stream:
        descriptor = files.create(target, os.O_WRONLY | os.O_CREAT | os.O_EXCL | files.NEVER_ELSEWHERE)
        try:
            while piece := _piece(stream, place):
                files.write_all(descriptor, piece)
            files.fsync(descriptor)
        finally:
            os.close(descriptor)


def _piece(stream: BufferedReader, place: Path) -> bytes:
    try:
        return stream.read(files.PIECE)
    except OSError as error:
        raise CouldNotReadError(path=str(place), reason=files.reason(error)) from error


def _copied_files(source: Path) -> list[tuple[str, Path]]:
    count = counting(source)
    found = [(name, place) for name, place in count.files.items() if place.is_file()]
    if count.manifest.is_file():
        found.append((layout.MANIFEST, count.manifest))
    return found + [
        (name, source / name)
        for name in evidence_files(source)
        if (source / name).is_file() and not (source / name).is_symlink()
    ]

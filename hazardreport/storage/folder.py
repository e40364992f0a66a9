"""A case as a folder: made, saved, opened, copied. A save is whole or has not happened; opening loses nothing."""

import contextlib
import os
import shutil
from dataclasses import dataclass, replace
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
    NoCaseError,
)
from hazardreport.storage import files, layout
from hazardreport.storage.case_json import case_bytes, case_from_bytes
from hazardreport.storage.condition import (
    manifest_problems,
    picture_path,
    picture_problems,
    saved_record,
    with_unsaved_work,
)
from hazardreport.storage.lock import CaseLock, acquire, elsewhere
from hazardreport.storage.manifest import counting, manifest_bytes, picture_hashes, read_manifest

__all__ = ["OpenedCase", "copy_case", "create_case", "open_case", "picture_path", "save_case"]


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


def create_case(folder: Path, case: Case) -> Case:
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
        return save_case(case, folder)
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


def save_case(case: Case, folder: Path) -> Case:
    """The case as saved, with the next revision.

    The order makes every moment safe: new record and new manifest are written beside the old ones, the old record is
    copied to case.previous.json, then two renames. Between them, the pending manifest tells which record counts.

    Raises
    ------
    CouldNotWriteError
        If the disk is full or the folder may not be written; the case saved before is intact.
    CaseNotSavableError
        If the case holds a value that no file could give back.
    CaseOpenElsewhereError
        If another process that is alive has the case open.
    NewerCaseFormatError
        If a newer program saved there.
    """
    try:
        held = acquire(folder)
    except CaseReadOnlyError as error:
        raise CouldNotWriteError(path=error.path, reason=error.reason) from error
    try:
        return _saved(case, folder)
    finally:
        held.release()


def _saved(case: Case, folder: Path) -> Case:
    _finish_interrupted_save(folder)
    path = folder / layout.CASE
    old_bytes, old = _old(path)
    saved = replace(case, revision=max(case.revision, old.revision if old else 0) + 1)
    data = case_bytes(saved)
    hashes = picture_hashes(saved, folder, read_manifest(folder / layout.MANIFEST))
    pending_case, pending_manifest = folder / layout.PENDING_CASE, folder / layout.PENDING_MANIFEST
    try:
        files.write_through(pending_case, data)
        hashes[layout.CASE] = files.sha256(pending_case)
        files.write_through(pending_manifest, manifest_bytes(hashes))
        if old_bytes is not None:
            files.write_atomically(_kept_as(folder, whole=old is not None), old_bytes)
        files.sync_folder(folder)
        files.rename(pending_case, path)
    except HazardReportError:
        with contextlib.suppress(OSError):
            pending_manifest.unlink(missing_ok=True)
            pending_case.unlink(missing_ok=True)
        raise
    files.rename(pending_manifest, folder / layout.MANIFEST)
    files.sync_folder(folder)
    return saved


def _old(path: Path) -> tuple[bytes | None, Case | None]:
    """Bytes of the record there, and the case in them if they can be read."""
    if not path.exists():
        return None, None
    data = files.read(path)
    try:
        return data, case_from_bytes(data, str(path))
    except CaseInvalidError:
        return data, None


def _kept_as(folder: Path, *, whole: bool) -> Path:
    if whole:
        return folder / layout.PREVIOUS
    number = 1
    while (path := folder / layout.DAMAGED.format(number=number)).exists():
        number += 1
    return path


def _finish_interrupted_save(folder: Path) -> None:
    """Renames that a save did not come to are made, and its leftovers removed."""
    count = counting(folder)
    for found, name in ((count.case, layout.CASE), (count.manifest, layout.MANIFEST)):
        if found.name != name:
            files.rename(found, folder / name)
    try:
        for name in (layout.PENDING_CASE, layout.PENDING_MANIFEST):
            (folder / name).unlink(missing_ok=True)
    except OSError as error:
        raise CouldNotWriteError(path=str(folder), reason=files.reason(error)) from error


def _remove_parts(folder: Path) -> None:
    """Half-written files of a process that died are gone; only the first to open the folder may do this."""
    for place in (folder, folder / layout.PICTURES):
        for part in place.glob(".*.part"):
            with contextlib.suppress(OSError):
                part.unlink()


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
        present = [name for name in (layout.CASE, layout.PREVIOUS, layout.JOURNAL) if (folder / name).exists()]
    except OSError as error:
        raise CouldNotReadError(path=str(folder), reason=files.reason(error)) from error
    if not present:
        raise NoCaseError(path=str(folder))
    problems: list[HazardReportError] = []
    held: CaseLock | None = None
    if for_writing:
        try:
            held = acquire(folder)
            _finish_interrupted_save(folder)
            if held.holders == 1:
                _remove_parts(folder)
        except (CaseOpenElsewhereError, CaseReadOnlyError) as error:
            problems.append(error)
        except CouldNotWriteError as error:
            problems.append(CaseReadOnlyError(path=error.path, reason=error.reason))
    try:
        count = counting(folder)
        case, found = saved_record(folder, count)
        problems += found
        problems += manifest_problems(count)
        if not elsewhere(folder):
            case, found = with_unsaved_work(folder, case)
            problems += found
        problems += picture_problems(case, folder)
    except BaseException:
        if held is not None:
            held.release()
        raise
    read_only = held is None or any(isinstance(problem, CaseReadOnlyError) for problem in problems)
    return OpenedCase(case=case, folder=folder, problems=tuple(problems), read_only=read_only, lock=held)


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
    if not (source / layout.CASE).is_file():
        raise NoCaseError(path=str(source))
    new = _is_free(target)
    part = target.with_name(f".{target.name}.part")
    try:
        part.parent.mkdir(parents=True, exist_ok=True)
        shutil.rmtree(part, ignore_errors=True)
        part.mkdir()
        (part / layout.PICTURES).mkdir()
        for name in _copied_files(source):
            (part / name).parent.mkdir(parents=True, exist_ok=True)
            files.write_through(part / name, files.read(source / name))
        if not new:
            target.rmdir()
        os.replace(part, target)
        files.sync_folder(target.parent)
    except OSError as error:
        shutil.rmtree(part, ignore_errors=True)
        raise CouldNotWriteError(path=str(target), reason=files.reason(error)) from error
    except HazardReportError:
        shutil.rmtree(part, ignore_errors=True)
        raise
    return target


def _copied_files(source: Path) -> list[str]:
    names = [name for name in (layout.CASE, layout.MANIFEST) if (source / name).is_file()]
    pictures = source / layout.PICTURES
    if pictures.is_dir():
        names += [
            path.relative_to(source).as_posix()
            for path in sorted(pictures.rglob("*"))
            if path.is_file() and not path.is_symlink() and not layout.is_beside_the_case(path.name)
        ]
    return names

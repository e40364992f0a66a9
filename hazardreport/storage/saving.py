"""A save is whole or has not happened.

All new files are written beside the old ones and brought to the disk, while the hashes for the manifest are worked out;
the manifest comes last and in one step; then they take their places. From the moment that the new manifest has its
pending name the new revision counts (`storage.manifest.counting`), whatever happens to the renames; before it, the old
one does.
"""

import contextlib
from collections.abc import Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from hazardreport.case.case import Case
from hazardreport.errors import CaseReadOnlyError, CouldNotWriteError, HazardReportError, LogFullError
from hazardreport.storage import files, layout, log, values
from hazardreport.storage.faults import sentence
from hazardreport.storage.lock import acquire
from hazardreport.storage.manifest import (
    Counting,
    Manifest,
    counting,
    evidence_hashes,
    manifest_bytes,
    read_manifest,
)
from hazardreport.storage.revision import Before, Signature, Written, next_revision, remember


def save_case(
    case: Case,
    folder: Path,
    *,
    author: str = "",
    time: str = "",
    signature: Signature | None = None,
    erase: Sequence[str] = (),
    erase_files: frozenset[str] = frozenset(),
) -> Case:
    """The case as saved, with the next revision.

    Parameters
    ----------
    case : Case
        As it is now.
    folder : Path
        Folder of the case.
    author, time : str
        Who saves and when, for the log; without a time the computer's clock tells it. `signature` says both, and
        where salts come from.
    erase : sequence of str
        Hashes whose texts are taken out of values.jsonl.
    erase_files : frozenset of str
        Paths of pictures and attachments that are no longer part of the case.

    Raises
    ------
    CouldNotWriteError
        If the disk is full or the folder may not be written; the case saved before is intact.
    CaseNotSavableError
        If the case holds a value that no file could give back.
    LogFullError
        If log or values would be longer than they are read; the case saved before is intact.
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
        with held.saving:
            return _saved(case, folder, signature or Signature(author=author, time=time), erase, erase_files)
    finally:
        held.release()


def _saved(case: Case, folder: Path, signature: Signature, erase: Sequence[str], erase_files: frozenset[str]) -> Case:
    count = finish_interrupted_save(folder)
    manifest = read_manifest(folder / layout.MANIFEST)
    before = _before(count, manifest)
    written = next_revision(case, before, signature, erase)
    _refuse_what_would_not_be_read(folder, written)
    _keep_damaged(folder, before, written)
    data = {layout.CASE: written.record, layout.LOG: written.log, layout.VALUES: written.values}
    try:
        with ThreadPoolExecutor(1) as disk:
            writing = disk.submit(_write_pending, folder, data)
            hashes = evidence_hashes(written.case, folder, manifest, erase_files)
            hashes |= {name: files.digest(content) for name, content in data.items()}
            listed = manifest_bytes(hashes)
            writing.result()
        remember(written, tuple(hashes[name] for name in layout.RECORD))
        files.write_atomically(folder / layout.pending(layout.MANIFEST), listed)
    except HazardReportError:
        with contextlib.suppress(HazardReportError):
            _remove_pending(folder)
        raise
    _take_their_places(folder)
    with contextlib.suppress(OSError):
        files.unlink(folder / layout.PREVIOUS)
    return written.case


def _write_pending(folder: Path, data: Mapping[str, bytes]) -> None:
    """The new files are on the disk, one after the other; none of them counts before the new manifest is there."""
    for name, content in data.items():
        files.write_through(folder / layout.pending(name), content)


def _refuse_what_would_not_be_read(folder: Path, written: Written) -> None:
    """A log or values beyond the limits of their readers are not written: the next save would have to begin anew."""
    looks = ((layout.LOG, log.too_dear(written.log)), (layout.VALUES, values.too_dear(written.values)))
    for name, refused in looks:
        if refused is not None:
            raise LogFullError(path=str(folder / name), problem=sentence(refused))


def _take_their_places(folder: Path) -> None:
    """The new files under their own names. The new revision counts already; a rename that fails is tried once more."""
    try:
        for name in (*layout.RECORD, layout.MANIFEST):
            files.rename(folder / layout.pending(name), folder / name)
    except CouldNotWriteError:
        finish_interrupted_save(folder)
    files.sync_folder(folder)


def _before(count: Counting, manifest: Manifest | None) -> Before:
    """What was saved last; the lock is held, so files that counted as listed a moment ago need no second look."""
    listed = manifest.hashes if manifest else {}
    places = {name: count.located(name) for name in layout.RECORD}
    found = {name: files.read(place) if place.exists() else b"" for name, place in places.items()}
    sound = count.complete and all(name in listed for name in layout.RECORD)
    hashes = tuple(listed[name] for name in layout.RECORD) if sound else ()
    return Before(
        case=found[layout.CASE], log=found[layout.LOG], values=found[layout.VALUES], hashes=hashes, sound=sound
    )


def _keep_damaged(folder: Path, before: Before, written: Written) -> None:
    """What could not be continued is kept beside the case."""
    names = {"case": layout.CASE, "log": layout.LOG, "values": layout.VALUES}
    for part in written.damaged:
        stem, _, suffix = names[part].partition(".")
        number = 1
        while (path := folder / layout.DAMAGED.format(stem=stem, number=number, suffix=suffix)).exists():
            number += 1
        files.write_atomically(path, getattr(before, part))


def finish_interrupted_save(folder: Path) -> Counting:
    """Renames that a save did not come to are made, and what is left of an unfinished one is removed.

    Raises
    ------
    CouldNotWriteError
        If the folder may not be written; what counts is then still where `counting` finds it.
    """
    count = counting(folder)
    late = [(place, name) for name, place in (*count.files.items(), (layout.MANIFEST, count.manifest))]
    late = [(place, name) for place, name in late if place.name != name]
    for place, name in late:
        files.rename(place, folder / name)
    _remove_pending(folder)
    return counting(folder) if late else count


def _remove_pending(folder: Path) -> None:
    """The manifest goes first: without it the others count for nothing."""
    try:
        for name in (layout.MANIFEST, *layout.RECORD):
            files.remove(folder / layout.pending(name))
    except OSError as error:
        raise CouldNotWriteError(path=str(folder), reason=files.reason(error)) from error

"""A case as one file: a bag in a zip file, the same bytes for the same case, date and program.

What is packed is what was hashed: each file is read once, and a pack is made only if every hash is the listed one.
"""

import hashlib
import os
import stat
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

import hazardreport
from hazardreport import wording
from hazardreport.case.case import Case
from hazardreport.errors import (
    CaseNotPackedError,
    CouldNotReadError,
    CouldNotWriteError,
    Fault,
    NoCaseError,
    UnsavedWorkError,
)
from hazardreport.storage import bag, files, layout
from hazardreport.storage.canonical_zip import CanonicalZip, SizeChangedError
from hazardreport.storage.case_json import case_from_bytes
from hazardreport.storage.condition import with_unsaved_work
from hazardreport.storage.faults import fault, listing
from hazardreport.storage.log import Log, log_from_bytes
from hazardreport.storage.manifest import Counting, counting, read_manifest
from hazardreport.storage.pack_names import case_path_fault, clashes, safe_name
from hazardreport.storage.packed_bag import record_faults

PIECE = 1 << 20
Step = Callable[[int, int], object]
"""Told before each file how many of how many are packed; whatever it raises ends the packing."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Packed:
    """A pack that was made: where, and what its bag-info.txt says."""

    path: Path
    info: bag.BagInfo


def pack_case(
    folder: Path, out: Path, *, created: str, overwrite: bool = False, step: Step = lambda done, total: None
) -> Packed:
    """The pack of a saved case.

    Parameters
    ----------
    folder : Path
        Folder of the case; nothing is written into it.
    out : Path
        File to write.
    created : str
        Time of packing, ISO 8601; its date stands in the pack.
    overwrite : bool
        A file that is there already is replaced once the pack is whole.
    step : callable
        Told how far it is.

    Raises
    ------
    NoCaseError
        If the folder holds no case.
    UnsavedWorkError
        If the journal holds edits that the pack would not have.
    CaseNotPackedError
        If a file is changed, missing or not listed, or has a name that not every system knows: each is told.
    CaseInvalidError, CouldNotReadError
        If the record cannot be read.
    FileInTheWayError, CouldNotWriteError
        If the pack could not be written; then nothing is left of it.
    """
    out = out.absolute()
    if out.resolve().is_relative_to(folder.resolve()):
        raise CouldNotWriteError(path=str(out), reason=wording.sentence("storage.inside_case"))
    count = counting(folder)
    if not count.case.is_file():
        raise NoCaseError(path=str(folder))
    record = files.read(count.case)
    case = case_from_bytes(record, str(folder / layout.CASE))
    if with_unsaved_work(folder, case)[1]:
        raise UnsavedWorkError(path=str(folder))
    hashes, faults = _standing(folder, count, case)
    if faults:
        faults += _content_faults(count, hashes)
    else:
        try:
            return _written(count, case, hashes, out, created=created, overwrite=overwrite, step=step)
        except _ChangedError as error:
            faults = _content_faults(count, hashes) or [fault(error.path, "file_changing")]
    raise CaseNotPackedError(path=str(folder), count=len(faults), listing=listing(faults), details=tuple(faults))


class _ChangedError(Exception):
    """A file is not, or no longer, the one that is listed."""

    def __init__(self, path: str) -> None:
        super().__init__(path)
        self.path = path


def _standing(folder: Path, count: Counting, case: Case) -> tuple[Mapping[str, str], list[Fault]]:
    """The listed hashes, and everything that is wrong without looking into the files."""
    manifest = read_manifest(count.manifest)
    if manifest is None:
        return {}, [fault(layout.MANIFEST, "manifest_none")]
    faults = [fault(f"{layout.MANIFEST}, line {number}", "manifest_line") for number in manifest.damaged]
    hashes = manifest.hashes
    faults += [fault(path, found) for path in hashes if (found := case_path_fault(path))]
    faults += clashes(hashes)
    faults += record_faults(case, hashes)
    return hashes, faults + [fault(path, "file_not_listed_here") for path in _present(folder) if path not in hashes]


def _present(folder: Path) -> Iterator[str]:
    """Paths of all files in the folder that are not the program's own work."""
    for place, folders, names in os.walk(folder, onerror=_unreadable):
        folders.sort()
        links = [name for name in folders if os.path.islink(os.path.join(place, name))]
        for name in sorted((*names, *links)):
            path = Path(place, name).relative_to(folder).as_posix()
            if path != layout.MANIFEST and not layout.is_beside_the_case(name):
                yield path


def _unreadable(error: OSError) -> None:
    raise CouldNotReadError(path=str(error.filename), reason=files.reason(error)) from error


def _content_faults(count: Counting, hashes: Mapping[str, str]) -> list[Fault]:
    """Listed files that are missing, no files, or changed."""
    faults = []
    for path, sha256 in hashes.items():
        place = count.located(path)
        if not os.path.lexists(place):
            faults.append(fault(path, "file_missing_here"))
        elif not _is_file(place) or files.sha256(place) != sha256:
            faults.append(fault(path, "file_changed"))
    return faults


def _is_file(path: Path) -> bool:
    try:
        return stat.S_ISREG(path.lstat().st_mode)
    except OSError:
        return False


def _written(
    count: Counting,
    case: Case,
    hashes: Mapping[str, str],
    out: Path,
    *,
    created: str,
    overwrite: bool,
    step: Step,
) -> Packed:
    """The pack; what comes first in it is known before the files are read."""
    sizes = {path: _size(count, path) for path in hashes}
    log = _log(count, hashes)
    lines = log_from_bytes(log)
    info = bag.BagInfo(
        octets=sum(sizes.values()),
        streams=len(sizes),
        date=created[:10],
        identifier=case.id,
        agent=f"hazardreport {hazardreport.__version__}",
        revision=case.revision,
        head=log_head(log),
        anchored=anchored(case, lines),
        derived=derived(case, lines),
    )
    root = safe_name(case.id) + "/"
    tags = {
        bag.INFO: bag.info_bytes(info),
        bag.BAGIT: bag.DECLARATION,
        bag.MANIFEST: bag.payload_manifest(hashes),
    }
    tags[bag.TAG_MANIFEST] = bag.tag_manifest({name: files.digest(data) for name, data in tags.items()})
    names = sorted([*tags, *(bag.DATA + path for path in hashes)], key=str.encode)
    with CanonicalZip(out, overwrite=overwrite) as target:
        for number, name in enumerate(names):
            step(number, len(names))
            if name in tags:
                target.add(root + name, len(tags[name]), [tags[name]])
            else:
                _add(target, root + name, count, name.removeprefix(bag.DATA), sizes, hashes)
    return Packed(path=out, info=info)


def _size(count: Counting, path: str) -> int:
    place = count.located(path)
    if not _is_file(place):
        raise _ChangedError(path)
    return place.lstat().st_size


def _log(count: Counting, hashes: Mapping[str, str]) -> bytes:
    return files.read(count.located(layout.LOG)) if layout.LOG in hashes else b""


def log_head(data: bytes) -> str:
    """Hash of the last line in the bytes of a log, without its line feed; "" if there is none."""
    last = data.rstrip(b"\n").rpartition(b"\n")[2]
    return files.digest(last) if last else ""


def anchored(case: Case, log: Log) -> str:
    """Which revision's hash is in somebody else's hands, in words; an anchor counts only with the hash of the log.

    Of a publication, only that of the revision that it was derived from counts.
    """
    heads = {line.revision: sha256 for line, sha256 in zip(log.lines, log.hashes, strict=False)}
    if case.published_from:
        heads = {line.revision: case.published_from for line in log.lines[:1]}
    true = [anchor for anchor in case.anchors if heads.get(anchor.revision) == anchor.head]
    if not true and case.published_from:
        return wording.sentence("storage.anchored_published")
    if not true:
        return wording.sentence("storage.anchored_no")
    last = max(true, key=lambda anchor: anchor.revision)
    return wording.sentence("storage.anchored", revision=last.revision, kind=last.kind.value, when=last.when)


def derived(case: Case, log: Log) -> str:
    """What a publication was derived from, in words; "" for a case itself."""
    if not case.published_from:
        return ""
    revision = log.lines[0].revision if log.lines else case.revision
    return wording.sentence("storage.derived", revision=revision, head=case.published_from)


def _add(
    target: CanonicalZip,
    name: str,
    count: Counting,
    path: str,
    sizes: Mapping[str, int],
    hashes: Mapping[str, str],
) -> None:
    digest = hashlib.sha256()

    def pieces() -> Iterator[bytes]:
        place = count.located(path)
        try:
            with files.opened_regular(place) as stream:
                while piece := stream.read(PIECE):
                    digest.update(piece)
                    yield piece
        except OSError as error:
            raise CouldNotReadError(path=str(place), reason=files.reason(error)) from error

    try:
        target.add(name, sizes[path], pieces())
    except SizeChangedError as error:
        raise _ChangedError(path) from error
    if digest.hexdigest() != hashes[path]:
        raise _ChangedError(path)

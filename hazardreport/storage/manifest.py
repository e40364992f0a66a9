"""The list of hashes of a case (hash, two spaces, path), and which of two files counts after a save was cut off."""

import contextlib
import os
import re
import time
from collections.abc import Callable, Container, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from hazardreport.case.case import Case
from hazardreport.errors import CouldNotReadError, HazardReportError
from hazardreport.evidence.settling import settling_names
from hazardreport.storage import files, layout
from hazardreport.storage.begun import begun

READINGS = 5
"""So often the files of a case are read while somebody saves."""
BETWEEN_READINGS = 0.02
"""[s]"""

Found = TypeVar("Found")

_DRIVE = re.compile("[A-Za-z]:")
_NO_PARTS = frozenset(("", ".", ".."))
_PLAIN_LINE = re.compile(
    r"^([0-9a-f]{64})  ([A-Za-z0-9][A-Za-z0-9_-]*(?:[./][A-Za-z0-9][A-Za-z0-9_-]*)*)\n", re.MULTILINE
)
_LINE = re.compile(r"([0-9a-fA-F]{64}) [ *]([^\r\n]+)\r?", re.DOTALL)


@dataclass(frozen=True, kw_only=True, slots=True)
class Manifest:
    """Hashes by path, in the order of the file, and numbers of the lines that could not be read."""

    hashes: Mapping[str, str]
    damaged: tuple[int, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Counting:
    """The files that count: those under their own names, or those of a save that was cut off after it was complete.

    manifest  the list of hashes
    files     where case.json, log.jsonl and values.jsonl lie, by name; only those that are there
    complete  the manifest names them and each of them is as it is listed
    """

    folder: Path
    manifest: Path
    files: Mapping[str, Path]
    complete: bool = False

    @property
    def case(self) -> Path:
        """The record."""
        return self.files.get(layout.CASE, self.folder / layout.CASE)

    def located(self, path: str) -> Path:
        """Where the file that the manifest calls so lies."""
        return self.files.get(path, self.folder / path)


def manifest_bytes(hashes: Mapping[str, str]) -> bytes:
    """The lines of a manifest, sorted by path."""
    return "".join(f"{hashes[path]}  {_written(path)}\n" for path in sorted(hashes)).encode(errors="surrogateescape")


def read_manifest(path: Path) -> Manifest | None:
    """The manifest of a file, or None if there is none."""
    if not path.exists() and not path.is_symlink():
        return None
    return _manifest(files.read(path))


@lru_cache(maxsize=2)
def _manifest(data: bytes) -> Manifest:
    """The manifest of these bytes; a save asks for the same ones several times."""
    if (plain := _plain(data)) is not None:
        return plain
    text = data.decode("utf-8", "surrogateescape")
    hashes: dict[str, str] = {}
    damaged = []
    for number, line in enumerate(text.split("\n"), 1):
        if not line.strip():
            continue
        found = _LINE.fullmatch(line)
        name = read_path(found[2]) if found else ""
        if found is None or not _inside(name) or name in hashes:
            damaged.append(number)
        else:
            hashes[name] = found[1].lower()
    return Manifest(hashes=MappingProxyType(hashes), damaged=tuple(damaged))


def _plain(data: bytes) -> Manifest | None:
    """The manifest, if every line is as we write it and names a plain path; else None, and each line is looked at."""
    found = _PLAIN_LINE.findall(data.decode("latin-1"))
    hashes = {path: sha256 for sha256, path in found}
    whole = len(hashes) == len(found) and sum(map(len, hashes)) + len(found) * 67 == len(data)
    return Manifest(hashes=MappingProxyType(hashes)) if whole else None


def _written(path: str) -> str:
    return path.replace("%", "%25").replace("\n", "%0A").replace("\r", "%0D")


def read_path(path: str) -> str:
    """A path of a manifest with its percent signs undone."""
    if "%" not in path:
        return path
    return re.sub("%0[aA]", "\n", re.sub("%0[dD]", "\r", path)).replace("%25", "%")


def _inside(path: str) -> bool:
    """Whether a path stays in the folder: relative, with "/" only, without "..", and written in one way only."""
    return "\\" not in path and "\0" not in path and not _DRIVE.match(path) and _NO_PARTS.isdisjoint(path.split("/"))


def counting(folder: Path) -> Counting:
    """Which of the files count; nothing is written.

    A manifest with all the files of the record that it names makes a complete case, whether they lie under their own
    names or still under those that a save gave them. The newer manifest is asked first.
    """
    pending = folder / layout.pending(layout.MANIFEST)
    for manifest in (pending, folder / layout.MANIFEST):
        listed = _listed(manifest)
        if listed is None or layout.CASE not in listed:
            continue
        found = {name: _found(folder, name, listed[name]) for name in layout.RECORD if name in listed}
        places = {name: path for name, path in found.items() if path is not None}
        if len(places) == len(found):
            return Counting(folder=folder, manifest=manifest, files=places, complete=True)
    own = {name: folder / name for name in layout.RECORD if (folder / name).exists()}
    return Counting(folder=folder, manifest=folder / layout.MANIFEST, files=own)


def steady(folder: Path, read: Callable[[], Found], is_whole: Callable[[Found], bool]) -> Found:
    """What reading the files of a case gives; read again while somebody saves, unless nothing is wrong with it."""
    for number in range(READINGS):
        before = _trace(folder)
        last = number == READINGS - 1
        try:
            found = read()
        except (HazardReportError, OSError):
            if last or _trace(folder) == before:
                raise
        else:
            if last or is_whole(found) or _trace(folder) == before:
                return found
        time.sleep(BETWEEN_READINGS)
    raise AssertionError


def _trace(folder: Path) -> tuple[object, ...]:
    """What differs as soon as a save has done anything to the record or the manifest."""
    found: list[object] = []
    for name in (*layout.RECORD, layout.MANIFEST):
        for place in (folder / name, folder / layout.pending(name)):
            try:
                status = place.lstat()
                found.append((status.st_ino, status.st_size, status.st_mtime_ns))
            except OSError:
                found.append(None)
    with contextlib.suppress(CouldNotReadError):
        found.append(files.read(folder / layout.MANIFEST))
    return tuple(found)


def _found(folder: Path, name: str, listed: str) -> Path | None:
    for path in (folder / name, folder / layout.pending(name)):
        if _hash(path) == listed:
            return path
    return None


def _hash(path: Path) -> str | None:
    try:
        return files.sha256(path)
    except CouldNotReadError:
        return None


def _listed(path: Path) -> Mapping[str, str] | None:
    try:
        manifest = read_manifest(path)
    except CouldNotReadError:
        return None
    return None if manifest is None else manifest.hashes


def evidence_files(folder: Path, known: Container[str] = ()) -> tuple[str, ...]:
    """Paths of all files in the folders of pictures and attachments that a manifest can list.

    Hidden parts are left out, and those that are known.
    """
    found = _all_paths(folder)
    return tuple(path for path, is_regular in found if path not in known and is_regular and _inside(path))


def odd_files(folder: Path) -> tuple[str, ...]:
    """Paths of what lies there and cannot be listed: links, pipes, devices, names that no manifest holds."""
    return tuple(path for path, is_regular in _all_paths(folder) if not (is_regular and _inside(path)))


def _all_paths(folder: Path) -> list[tuple[str, bool]]:
    """Each path in the folders of pictures and attachments, and whether a regular file, no link to one, lies there."""
    found: list[tuple[str, bool]] = []
    for name in (layout.PICTURES, layout.ATTACHMENTS):
        if (folder / name).is_dir():
            try:
                found += sorted(_paths_in(folder, name))
            except OSError as error:
                raise CouldNotReadError(path=str(folder / name), reason=files.reason(error)) from error
    return found


def _paths_in(folder: Path, name: str) -> Iterator[tuple[str, bool]]:
    """The system tells with each name what lies there, so none of the files is asked for on its own."""
    places = [name]
    while places:
        start = places.pop()
        with os.scandir(os.path.join(folder, start)) as entries:
            for entry in entries:
                path = f"{start}/{entry.name}"
                if entry.is_dir(follow_symlinks=False):
                    places.append(path)
                elif not layout.is_beside_the_case(entry.name):
                    yield path, entry.is_file(follow_symlinks=False)


def evidence_hashes(case: Case, folder: Path, before: Manifest | None, without: frozenset[str]) -> dict[str, str]:
    """Hashes of pictures and attachments for the next manifest; files of `without` were erased and are not listed.

    A hash is what was found when the file was taken in, or what the manifest said before; only a file that nobody has
    listed is read. So a save never gives a changed picture a fresh hash. Not listed is a file that cannot be read, and
    one that is still being taken in: nobody has listed it and the record does not name it.
    """
    known = {path: listed for path, listed in before.hashes.items() if path not in layout.RECORD} if before else {}
    named = {f"{layout.PICTURES}/{picture.file}": picture.sha256 for picture in case.pictures}
    named |= {f"{layout.ATTACHMENTS}/{attachment.file}": attachment.sha256 for attachment in case.attachments}
    listed = {**known, **named}
    new = evidence_files(folder, listed)
    coming = _settling(folder) | begun(folder) if new else frozenset()
    for path in new:
        if path not in coming and path not in without and (sha256 := _hash(folder / path)):
            listed[path] = sha256
    return {path: sha256 for path, sha256 in listed.items() if path not in without}


def _settling(folder: Path) -> frozenset[str]:
    """Paths of files that have their names while their record is not safe on the disk yet."""
    places = (layout.PICTURES, layout.ATTACHMENTS)
    return frozenset(f"{place}/{name}" for place in places for name in settling_names(folder / place))

"""A pack opened as the folder of a case: every byte checked against the manifest, nothing left where anything is wrong.

Packs of other zip and bag programs are taken too, within limits. What is refused, and why, is told member by member.
"""

import contextlib
import hashlib
import os
import re
import shutil
import tempfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from hazardreport.errors import (
    CouldNotReadError,
    CouldNotWriteError,
    Fault,
    FolderNotEmptyError,
    HazardReportError,
    PackNotCanonicalError,
)
from hazardreport.storage import bag, files, layout
from hazardreport.storage.case_json import case_from_bytes
from hazardreport.storage.faults import fault, listing
from hazardreport.storage.manifest import manifest_bytes
from hazardreport.storage.packed_bag import PackedBag, manifest_faults, packed_bag, record_faults
from hazardreport.storage.zip_check import container
from hazardreport.storage.zip_reader import (
    BadContentError,
    Member,
    central_directory,
    member_fault,
    pieces,
    refused,
    with_starts,
)

TAG_LIMIT = 32_000_000
"""Largest tag file. [byte]"""
TAGS_LIMIT = 2 * TAG_LIMIT
"""All tag files together that are read whole. [byte]"""
SIZE_LIMIT = 256_000_000_000
"""Most that a pack may unpack to. [byte]"""
RATIO_LIMIT = 200
"""A member may unpack to so many times its size in the file, or to a megabyte."""
ROOM_LEFT = 64_000_000
"""So much of the disk stays free. [byte]"""

_ALGORITHMS = {"md5": 32, "sha1": 40, "sha224": 56, "sha256": 64, "sha384": 96, "sha512": 128}
_WEAK = ("md5", "sha1")

Hashes = Mapping[str, Mapping[str, str]]
"""By algorithm, then by path."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Unpacked:
    """A pack that was opened.

    folder   of the case
    remarks  what is worth knowing, each an error of its kind that was not raised
    """

    folder: Path
    remarks: tuple[HazardReportError, ...] = ()


def unpack(path: Path, into: Path) -> Unpacked:
    """The folder of the case in a pack.

    Parameters
    ----------
    path : Path
        The pack.
    into : Path
        Folder to make; it must not exist, or be empty.

    Raises
    ------
    PackRefusedError
        If it is no pack, might do harm, or is not whole: every fault that was found before anything was written, or
        every fault of its contents.
    CaseInvalidError, NewerCaseFormatError
        If its record cannot be read.
    FolderNotEmptyError, CouldNotReadError, CouldNotWriteError
        If there is no place for it or it cannot be read. In every case nothing is left at the place.
    """
    new = _is_free(into)
    try:
        stream = files.opened_regular(path)
    except OSError as error:
        raise CouldNotReadError(path=str(path), reason=files.reason(error)) from error
    with stream:
        found = _checked_bag(stream, path, into)
        part = _temporary(into)
        try:
            _fill(stream, path, found, part)
            remarks = _remarks(stream, path)
            _put_in_place(part, into, new=new)
        except BaseException as error:
            shutil.rmtree(part, ignore_errors=True)
            if isinstance(error, OSError):
                raise CouldNotReadError(path=str(path), reason=files.reason(error)) from error
            raise
    return Unpacked(folder=into, remarks=remarks)


def _is_free(into: Path) -> bool:
    """True if nothing is there, False if an empty folder is."""
    try:
        if not into.exists() and not into.is_symlink():
            return True
        if into.is_dir() and not into.is_symlink() and not any(into.iterdir()):
            return False
    except OSError as error:
        raise CouldNotReadError(path=str(into), reason=files.reason(error)) from error
    raise FolderNotEmptyError(path=str(into))


def _existing(into: Path) -> Path:
    """The nearest folder above that is there."""
    return next(place for place in into.absolute().parents if place.is_dir())


def _temporary(into: Path) -> Path:
    with _writing(into):
        return Path(tempfile.mkdtemp(prefix=".", suffix=".part", dir=_existing(into)))


def _put_in_place(part: Path, into: Path, *, new: bool) -> None:
    with _writing(into):
        into.parent.mkdir(parents=True, exist_ok=True)
        part.chmod(0o755)
        if not new:
            into.rmdir()
        files.replace(part, into)
    files.sync_folder(into.parent)


@contextlib.contextmanager
def _writing(place: Path) -> Iterator[None]:
    """What the system refuses here, it refuses to write."""
    try:
        yield
    except OSError as error:
        raise CouldNotWriteError(path=str(place), reason=files.reason(error)) from error


def _remarks(stream: BinaryIO, path: Path) -> tuple[HazardReportError, ...]:
    faults = container(stream, path.name).faults
    if not faults:
        return ()
    return (PackNotCanonicalError(path=str(path), count=len(faults), listing=listing(faults)),)


def _checked_bag(stream: BinaryIO, path: Path, into: Path) -> PackedBag:
    """The bag of the zip file, after everything was looked at that can be judged without its contents."""
    directory = central_directory(stream, str(path))
    members, faults = with_starts(stream, directory)
    faults += [one for member in members if (one := member_fault(member)) is not None]
    faults += [fault(one.name, "zip_ratio") for one in members if one.size > 1_000_000 + RATIO_LIMIT * one.packed]
    found = packed_bag(members)
    faults += found.faults
    total = sum(member.size for member in members)
    room = shutil.disk_usage(_existing(into)).free - ROOM_LEFT
    if total > min(SIZE_LIMIT, room):
        faults.append(fault("", "zip_no_room", size=total, limit=max(0, min(SIZE_LIMIT, room))))
    faults += [fault(one.name, "tag_too_large", limit=TAG_LIMIT) for one in found.tags.values() if one.size > TAG_LIMIT]
    if sum(found.tags[name].size for name in _known_tags(found)) > TAGS_LIMIT:
        faults.append(fault("", "tag_too_large", limit=TAGS_LIMIT))
    if faults:
        raise refused(str(path), *faults)
    return found


def _fill(stream: BinaryIO, path: Path, found: PackedBag, part: Path) -> None:
    """The folder of the case, whole, or an error with every fault of the contents."""
    faults: list[Fault] = []
    tags = {name: content(stream, found.tags[name], faults) for name in _known_tags(found)}
    if faults:
        raise refused(str(path), *faults)
    payload = _manifests(tags, bag.PAYLOAD_MANIFEST, faults)
    tag_hashes = _manifests(tags, bag.TAG_MANIFESTS, faults)
    if not bag.is_declaration(tags[bag.BAGIT]):
        faults.append(fault(bag.BAGIT, "bag_declaration"))
    if not any(algorithm not in _WEAK for algorithm in payload):
        faults.append(fault("", "bag_no_manifest"))
    for algorithm, hashes in payload.items():
        faults += manifest_faults(hashes, found.payload, f"manifest-{algorithm}.txt")
    faults += _tag_faults(stream, found, tag_hashes)
    if faults:
        raise refused(str(path), *faults)
    with _writing(part):
        (part / layout.PICTURES).mkdir()
    sha256: dict[str, str] = {}
    for name, member in found.payload.items():
        with _writing(part):
            (part / name).parent.mkdir(parents=True, exist_ok=True)
        digests = _taken(stream, member, part / name, {*payload, "sha256"}, faults)
        sha256[name] = digests.get("sha256", "")
        faults += [
            fault(bag.DATA + name, "file_changed_in_pack", manifest=f"manifest-{algorithm}.txt")
            for algorithm, hashes in payload.items()
            if digests and digests[algorithm] != hashes[bag.DATA + name]
        ]
    faults += _oxum_faults(tags, found)
    if not faults:
        case = case_from_bytes(files.read(part / layout.CASE), f"{path.name}: {layout.CASE}")
        faults += record_faults(case, sha256)
    if faults:
        raise refused(str(path), *faults)
    files.write_through(part / layout.MANIFEST, manifest_bytes(sha256))
    for folder in (part, *(place for place in part.rglob("*") if place.is_dir())):
        files.sync_folder(folder)


def _known_tags(found: PackedBag) -> list[str]:
    """The tag files that mean something here; of the others only the hashes count."""
    patterns = (bag.PAYLOAD_MANIFEST, bag.TAG_MANIFESTS)
    named = (bag.BAGIT, bag.INFO)
    return [name for name in found.tags if name in named or any(one.fullmatch(name) for one in patterns)]


def content(stream: BinaryIO, member: Member, faults: list[Fault]) -> bytes:
    """The content of a small member; what is wrong with it is added to the faults."""
    try:
        return b"".join(pieces(stream, member))
    except BadContentError as error:
        faults.append(error.fault)
        return b""


def _manifests(tags: Mapping[str, bytes], pattern: re.Pattern[str], faults: list[Fault]) -> dict[str, dict[str, str]]:
    """Hashes by path, of every manifest of a kind, by algorithm."""
    found: dict[str, dict[str, str]] = {}
    for name, data in tags.items():
        match = pattern.fullmatch(name)
        if match is None:
            continue
        if match[1] not in _ALGORITHMS:
            faults.append(fault(name, "manifest_algorithm"))
            continue
        hashes, line_faults = bag.listed(data, name)
        faults += line_faults
        faults += [
            fault(path, "manifest_hash", manifest=name)
            for path, value in hashes.items()
            if len(value) != _ALGORITHMS[match[1]]
        ]
        found[match[1]] = hashes
    return found


def _tag_faults(stream: BinaryIO, found: PackedBag, tag_hashes: Hashes) -> Iterator[Fault]:
    """Tag files whose content is bad, or that are not as a tag manifest says."""
    digests: dict[str, Mapping[str, str]] = {}
    for path, member in found.tags.items():
        workers = {name: hashlib.new(name, usedforsecurity=False) for name in tag_hashes}
        try:
            for piece in pieces(stream, member):
                for worker in workers.values():
                    worker.update(piece)
        except BadContentError as error:
            yield error.fault
            continue
        digests[path] = {name: worker.hexdigest() for name, worker in workers.items()}
    for algorithm, hashes in tag_hashes.items():
        name = f"tagmanifest-{algorithm}.txt"
        for path, value in hashes.items():
            if path not in found.tags:
                yield fault(path, "file_missing", manifest=name)
            elif path in digests and digests[path][algorithm] != value:
                yield fault(path, "file_changed_in_pack", manifest=name)


def _oxum_faults(tags: Mapping[str, bytes], found: PackedBag) -> Iterator[Fault]:
    said = bag.info_from_bytes(tags.get(bag.INFO, b"")).get("Payload-Oxum", "")
    octets = sum(member.size for member in found.payload.values())
    if said and said != f"{octets}.{len(found.payload)}":
        yield fault(bag.INFO, "bag_oxum", said=said, found=f"{octets}.{len(found.payload)}")


def _taken(stream: BinaryIO, member: Member, target: Path, algorithms: set[str], faults: list[Fault]) -> dict[str, str]:
    """Hashes by algorithm of a member that was written to a new file; empty if its content is bad."""
    workers = {name: hashlib.new(name, usedforsecurity=False) for name in algorithms}
    try:
        with _writing(target):
            descriptor = files.create(target, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0))
        try:
            for piece in pieces(stream, member):
                for worker in workers.values():
                    worker.update(piece)
                with _writing(target):
                    files.write_all(descriptor, piece)
            with _writing(target):
                files.fsync(descriptor)
        finally:
            os.close(descriptor)
    except BadContentError as error:
        faults.append(error.fault)
        return {}
    return {name: worker.hexdigest() for name, worker in workers.items()}

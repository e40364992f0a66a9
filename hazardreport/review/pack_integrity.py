"""Whether a pack is whole: each file, each byte of the zip file around them, and what the pack says about its case.

Demanded are the very bytes that this program writes: a tag file or a header that says the same in another way counts as
changed. Hashing lets other threads run, so several files are hashed at once; memory stays bounded.
"""

import hashlib
import os
import zlib
from collections.abc import Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from io import FileIO
from pathlib import Path
from typing import BinaryIO

from hazardreport.case.case import Case
from hazardreport.errors import (
    CaseInvalidError,
    CouldNotReadError,
    Fault,
    HazardReportError,
    NewerCaseFormatError,
    PackDisagreesError,
    PackRefusedError,
)
from hazardreport.evidence.names import shown
from hazardreport.review.chain import Chain, check_chain
from hazardreport.review.integrity import FileCheck, FileState
from hazardreport.storage import bag, files, layout
from hazardreport.storage.case_json import case_from_bytes
from hazardreport.storage.faults import fault, listing
from hazardreport.storage.log import BYTE_LIMIT as RECORD_LIMIT
from hazardreport.storage.log import log_from_bytes
from hazardreport.storage.pack import derived, log_head
from hazardreport.storage.pack_names import safe_name
from hazardreport.storage.packed_bag import PackedBag, packed_bag, record_faults
from hazardreport.storage.unpack import TAG_LIMIT
from hazardreport.storage.zip_check import container
from hazardreport.storage.zip_format import STORED
from hazardreport.storage.zip_reader import BadContentError, Member, pieces

WORKERS = min(8, max(2, os.cpu_count() or 2))
SMALL = 2_000_000
"""A pack below this size is hashed by one thread. [byte]"""
PIECE = 1 << 18


@dataclass(frozen=True, kw_only=True, slots=True)
class PackIntegrity:
    """Every file of a pack, and what else keeps it from being whole.

    files      tag files first, then the files of the case, then what belongs to neither
    container  bytes of the zip file, names and contents that are not as this program writes them
    problems   errors that were not raised
    chain      the log of the case
    """

    files: tuple[FileCheck, ...]
    container: tuple[Fault, ...] = ()
    problems: tuple[HazardReportError, ...] = ()
    chain: Chain = Chain()

    @property
    def whole(self) -> bool:
        """Every byte of the file is the one that packing this case gives."""
        return (
            not self.problems
            and not self.container
            and bool(self.files)
            and all(file.state is FileState.WHOLE for file in self.files)
        )


@dataclass(frozen=True, kw_only=True, slots=True)
class _Found:
    """What hashing a member gave; `fault` if its content is bad."""

    sha256: str
    fault: Fault | None = None


def check_pack(path: Path) -> PackIntegrity:
    """The integrity of a pack.

    Raises
    ------
    PackRefusedError
        If it is no zip file at all, or no bag is in it.
    CouldNotReadError
        If it cannot be read.
    """
    try:
        with files.opened_regular(path) as stream:
            box = container(stream, path.name)
            found = packed_bag(box.members)
            if not found.payload and not found.tags.keys() & set(bag.TAG_FILES):
                faults = box.faults or found.faults
                raise PackRefusedError(path=str(path), count=len(faults), listing=listing(faults), details=faults)
            hashes = _hashes(path, box.members)
            tags = {
                name: _content(stream, member, TAG_LIMIT)
                for name, member in found.tags.items()
                if name in bag.TAG_FILES
            }
            records = {
                name: _content(stream, found.payload[name], RECORD_LIMIT)
                for name in layout.RECORD
                if name in found.payload
            }
    except OSError as error:
        raise CouldNotReadError(path=str(path), reason=files.reason(error)) from error
    listed, lines = bag.listed(tags.get(bag.MANIFEST, b""), bag.MANIFEST)
    checks = (*_tag_checks(found, tags, hashes, listed), *_payload_checks(found, hashes, listed))
    bad = tuple(one.fault for one in hashes.values() if one.fault is not None)
    chain = _chain(path, records)
    problems = (*_problems(path, found, tags, records, hashes), *chain.problems)
    return PackIntegrity(
        files=checks, container=(*box.faults, *found.faults, *lines, *bad), problems=problems, chain=chain
    )


def _hashes(path: Path, members: Sequence[Member]) -> dict[Member, _Found]:
    """What each member holds; the large ones first, so that no thread waits for the last."""
    ordered = sorted(members, key=lambda member: -member.packed)
    if sum(member.packed for member in members) < SMALL:
        return {member: _hash(path, member) for member in ordered}
    with ThreadPoolExecutor(WORKERS) as threads:
        return dict(zip(ordered, threads.map(lambda member: _hash(path, member), ordered), strict=True))


def _hash(path: Path, member: Member) -> _Found:
    digest = hashlib.sha256()
    with path.open("rb", buffering=0) as stream:
        if member.method == STORED:
            return _hash_stored(stream, member)
        try:
            for piece in pieces(stream, member):
                digest.update(piece)
        except BadContentError as error:
            return _Found(sha256=digest.hexdigest(), fault=error.fault)
    return _Found(sha256=digest.hexdigest())


def _hash_stored(stream: FileIO, member: Member) -> _Found:
    """The same without a copy for each piece."""
    digest = hashlib.sha256()
    room = memoryview(bytearray(min(PIECE, member.size)))
    crc, left = 0, member.size
    stream.seek(member.start)
    while left:
        piece = room[: min(left, PIECE)]
        count = stream.readinto(piece)
        if not count:
            break
        digest.update(piece[:count])
        crc = zlib.crc32(piece[:count], crc)
        left -= count
    bad = fault(member.name, "zip_size") if left else None
    if bad is None and crc != member.crc:
        bad = fault(member.name, "zip_checksum")
    return _Found(sha256=digest.hexdigest(), fault=bad)


def _content(stream: BinaryIO, member: Member, limit: int) -> bytes:
    """The content of a member as far as it can be had, up to a limit."""
    found = bytearray()
    try:
        for piece in pieces(stream, member):
            found += piece
            if len(found) > limit:
                break
    except BadContentError:
        return bytes(found)
    return bytes(found)


def _tag_checks(
    found: PackedBag, tags: Mapping[str, bytes], hashes: Mapping[Member, _Found], listed: Mapping[str, str]
) -> list[FileCheck]:
    """The tag files: each must be the very bytes that we write, and as the list of tag files says."""
    said, _ = bag.listed(tags.get(bag.TAG_MANIFEST, b""), bag.TAG_MANIFEST)
    digests = {name: hashes[member].sha256 for name, member in found.tags.items()}
    others = [name for name in bag.TAG_FILES if name != bag.TAG_MANIFEST]
    canonical = {
        bag.BAGIT: bag.DECLARATION,
        bag.INFO: _canonical_info(tags.get(bag.INFO, b"")),
        bag.MANIFEST: bag.payload_manifest({path.removeprefix(bag.DATA): sha256 for path, sha256 in listed.items()}),
        bag.TAG_MANIFEST: bag.tag_manifest({name: digests[name] for name in others if name in digests}),
    }
    checks = []
    for name in bag.TAG_FILES:
        sha256, expected = digests.get(name, ""), said.get(name, "")
        if name not in tags:
            state = FileState.MISSING
        elif tags[name] != canonical[name] or (name in others and sha256 != expected):
            state = FileState.CHANGED
        else:
            state = FileState.WHOLE
        checks.append(FileCheck(path=name, state=state, sha256=sha256, listed=expected))
    unknown = [
        FileCheck(path=shown(name), state=FileState.NOT_LISTED, sha256=digests[name])
        for name in sorted(found.tags)
        if name not in bag.TAG_FILES
    ]
    return checks + unknown


def _canonical_info(data: bytes) -> bytes:
    """bag-info.txt as we would write what it says; empty if it does not say all that we say."""
    said = bag.info_from_bytes(data)
    octets, _, streams = said.get("Payload-Oxum", "").partition(".")
    revision = said.get("Case-Revision", "")
    if not all(text.isascii() and text.isdigit() for text in (octets, streams, revision)):
        return b""
    return bag.info_bytes(
        bag.BagInfo(
            octets=int(octets[:30]),
            streams=int(streams[:30]),
            date=said.get("Bagging-Date", ""),
            identifier=said.get("External-Identifier", ""),
            agent=said.get("Bag-Software-Agent", ""),
            revision=int(revision[:30]),
            head=said.get("Log-Head", ""),
            anchored=said.get("Anchored", ""),
            derived=said.get("Derived", ""),
        )
    )


def _payload_checks(found: PackedBag, hashes: Mapping[Member, _Found], listed: Mapping[str, str]) -> list[FileCheck]:
    """The files of the case, then members that are no part of the bag."""
    present = {bag.DATA + path: member for path, member in found.payload.items()}
    checks = []
    for path in sorted({*listed, *present}):
        expected = listed.get(path, "")
        sha256 = hashes[present[path]].sha256 if path in present else ""
        if path not in present:
            state = FileState.MISSING
        elif not expected:
            state = FileState.NOT_LISTED
        else:
            state = FileState.WHOLE if sha256 == expected else FileState.CHANGED
        checks.append(FileCheck(path=shown(path), state=state, sha256=sha256, listed=expected))
    return checks + [
        FileCheck(path=shown(member.name), state=FileState.NOT_LISTED, sha256=hashes[member].sha256)
        for member in found.left_out
    ]


def _chain(path: Path, records: Mapping[str, bytes]) -> Chain:
    if layout.CASE not in records:
        return Chain()
    record, log, values = (records.get(name) for name in layout.RECORD)
    return check_chain(record or b"", log, values, path.name)


def _problems(
    path: Path,
    found: PackedBag,
    tags: Mapping[str, bytes],
    records: Mapping[str, bytes],
    hashes: Mapping[Member, _Found],
) -> tuple[HazardReportError, ...]:
    """What the record, the pack's own statement and the files say otherwise than each other."""
    try:
        case = case_from_bytes(records.get(layout.CASE, b""), f"{path.name}: {layout.CASE}")
    except (CaseInvalidError, NewerCaseFormatError) as error:
        return (error,) if layout.CASE in records else ()
    payload = {name: hashes[member].sha256 for name, member in found.payload.items()}
    faults = [*record_faults(case, payload), *_said_otherwise(found, tags, records, case)]
    if not faults:
        return ()
    return (PackDisagreesError(path=str(path), listing=listing(faults)),)


def _said_otherwise(
    found: PackedBag, tags: Mapping[str, bytes], records: Mapping[str, bytes], case: Case
) -> list[Fault]:
    if bag.INFO not in tags:
        return []
    said = bag.info_from_bytes(tags[bag.INFO])
    octets = sum(member.size for member in found.payload.values())
    facts = {
        "Payload-Oxum": f"{octets}.{len(found.payload)}",
        "External-Identifier": case.id,
        "Case-Revision": str(case.revision),
        "Log-Head": log_head(records.get(layout.LOG, b"")),
        "Derived": derived(case, log_from_bytes(records.get(layout.LOG, b""))),
    }
    faults = [
        fault(f"{bag.INFO}, {label}", "bag_info_says", said=said.get(label, ""), found=bag.cut(fact))
        for label, fact in facts.items()
        if said.get(label, "") != bag.cut(fact)
    ]
    if found.root != safe_name(case.id) + "/":
        faults.append(fault("", "bag_info_says", said=found.root, found=safe_name(case.id) + "/"))
    return faults

"""A zip file of whatever origin, read with suspicion: what two programs might read in two ways is refused.

Nothing is unpacked here; the directory is read and checked against the headers, contents come as bounded pieces.
"""

import os
import stat
import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import BinaryIO

from hazardreport.errors import Fault, PackRefusedError
from hazardreport.storage.faults import fault, listing
from hazardreport.storage.zip_format import (
    CENTRAL,
    CENTRAL_HEAD,
    DEFLATED,
    ENCRYPTED,
    END,
    END_64,
    END_64_HEAD,
    END_HEAD,
    FULL_16,
    FULL_32,
    LOCAL,
    LOCAL_HEAD,
    LOCATOR_64,
    LOCATOR_64_HEAD,
    STORED,
    UTF8,
)

MEMBER_LIMIT = 100_000
DIRECTORY_LIMIT = 64_000_000
PIECE = 1 << 18
_SECRET = ENCRYPTED | 0x0040 | 0x2000
_REPARSE_POINT = 0x0400
_FOLDER = 0x0010


@dataclass(frozen=True, kw_only=True, slots=True)
class Member:
    """One member as the directory of the zip file has it.

    name     as it stands there; raw: its bytes
    size     of the content; packed: in the file [byte]
    crc      CRC-32 of the content
    offset   of the header; start: of the packed content, 0 until the header was read [byte]
    method   0 stored, 8 deflated, others are refused
    """

    name: str
    raw: bytes
    size: int
    packed: int
    crc: int
    offset: int
    flags: int
    method: int
    attributes: int
    start: int = 0

    @property
    def is_folder(self) -> bool:
        """An entry for a folder, without content."""
        return self.name.endswith("/")


@dataclass(frozen=True, kw_only=True, slots=True)
class Directory:
    """Members in the order of the directory, and the place where the directory begins."""

    members: tuple[Member, ...]
    start: int


def refused(path: str, *faults: Fault) -> PackRefusedError:
    """The error with these faults."""
    return PackRefusedError(path=path, count=len(faults), listing=listing(faults), details=faults)


def central_directory(stream: BinaryIO, path: str) -> Directory:
    """The directory of a zip file; `path` is for the message.

    Raises
    ------
    PackRefusedError
        If there is none, or it does not end where the file ends.
    """
    length = stream.seek(0, os.SEEK_END)
    count, size, start = _end(stream, length, path)
    if count > MEMBER_LIMIT or size > DIRECTORY_LIMIT:
        raise refused(path, fault("", "zip_too_many", count=count, limit=MEMBER_LIMIT))
    data = at(stream, start, size)
    members: list[Member] = []
    place = 0
    while place < len(data):
        member, place = _central_member(data, place, path)
        members.append(member)
    if len(members) != count:
        raise refused(path, fault("", "zip_directory", byte=start))
    return Directory(members=tuple(members), start=start)


def at(stream: BinaryIO, place: int, size: int) -> bytes:
    """Bytes at a place, fewer where the file ends."""
    if place >= 1 << 62:
        return b""
    stream.seek(place)
    return stream.read(size)


def _end(stream: BinaryIO, length: int, path: str) -> tuple[int, int, int]:
    """Number of members, size and place of the directory."""
    tail_start = max(0, length - END_HEAD.size - FULL_16)
    tail = at(stream, tail_start, length - tail_start)
    place = tail.rfind(END)
    while place >= 0:
        fields = tail[place : place + END_HEAD.size]
        if len(fields) == END_HEAD.size and place + END_HEAD.size + END_HEAD.unpack(fields)[7] == len(tail):
            break
        place = tail.rfind(END, 0, place)
    if place < 0:
        raise refused(path, fault("", "no_zip"))
    _, disk, first_disk, here, count, size, start, _ = END_HEAD.unpack(fields)
    end = tail_start + place
    locator = at(stream, end - LOCATOR_64_HEAD.size, LOCATOR_64_HEAD.size) if end >= LOCATOR_64_HEAD.size else b""
    if locator.startswith(LOCATOR_64):
        _, _, end_64, _ = LOCATOR_64_HEAD.unpack(locator)
        wide = at(stream, end_64, END_64_HEAD.size)
        if len(wide) != END_64_HEAD.size or not wide.startswith(END_64):
            raise refused(path, fault("", "zip_directory", byte=end))
        _, length_64, _, _, disk, first_disk, here, count, size, start = END_64_HEAD.unpack(wide)
        if end_64 + 12 + length_64 != end - LOCATOR_64_HEAD.size:
            raise refused(path, fault("", "zip_directory", byte=end_64))
        end = end_64
    if disk or first_disk or here != count or start + size != end:
        raise refused(path, fault("", "zip_directory", byte=end))
    return count, size, start


def _central_member(data: bytes, place: int, path: str) -> tuple[Member, int]:
    """The member at a place of the directory, and the place after it."""
    head = data[place : place + CENTRAL_HEAD.size]
    if len(head) < CENTRAL_HEAD.size or not head.startswith(CENTRAL):
        raise refused(path, fault("", "zip_directory", byte=place))
    fields = CENTRAL_HEAD.unpack(head)
    flags, method, crc, packed, size = fields[3], fields[4], fields[7], fields[8], fields[9]
    name_length, extra_length, comment_length, disk = fields[10:14]
    attributes, offset = fields[15], fields[16]
    begin = place + CENTRAL_HEAD.size
    after = begin + name_length + extra_length + comment_length
    raw = data[begin : begin + name_length]
    if after > len(data) or disk not in (0, FULL_16):
        raise refused(path, fault("", "zip_directory", byte=place))
    wide = wide_numbers(data[begin + name_length : begin + name_length + extra_length])
    numbers = []
    for number in (size, packed, offset):
        if number == FULL_32 and wide:
            number = wide.pop(0)
        numbers.append(number)
    member = Member(
        name=decoded_name(raw, flags),
        raw=raw,
        size=numbers[0],
        packed=numbers[1],
        crc=crc,
        offset=numbers[2],
        flags=flags,
        method=method,
        attributes=attributes,
    )
    return member, after


def wide_numbers(extra: bytes) -> list[int]:
    """The 64-bit numbers of the extra field that has them."""
    place = 0
    while len(extra) - place >= 4:
        kind, size = struct.unpack_from("<2H", extra, place)
        if kind == 1:
            body = extra[place + 4 : place + 4 + size]
            whole = len(body) // 8
            return list(struct.unpack(f"<{whole}Q", body[: 8 * whole]))
        place += 4 + size
    return []


def decoded_name(raw: bytes, flags: int) -> str:
    """The name; bytes that are no text become lone surrogates, which no name may have."""
    try:
        return raw.decode()
    except UnicodeDecodeError:
        return raw.decode("utf-8", "surrogateescape") if flags & UTF8 else raw.decode("cp437")


def member_fault(member: Member) -> Fault | None:
    """Why a member is not taken, apart from its name and content."""
    kind = stat.S_IFMT(member.attributes >> 16)
    wanted = (0, stat.S_IFDIR) if member.is_folder else (0, stat.S_IFREG)
    if (
        kind not in wanted
        or member.attributes & _REPARSE_POINT
        or (member.attributes & _FOLDER and not member.is_folder)
    ):
        return fault(member.name, "zip_no_file")
    if member.flags & _SECRET:
        return fault(member.name, "zip_encrypted")
    if member.method not in (STORED, DEFLATED):
        return fault(member.name, "zip_method", method=member.method)
    if (member.method == STORED and member.size != member.packed) or (member.is_folder and member.size):
        return fault(member.name, "zip_size")
    return None


def with_starts(stream: BinaryIO, directory: Directory) -> tuple[list[Member], list[Fault]]:
    """Members with the place of their content, and what their headers say otherwise than the directory."""
    found: list[Member] = []
    faults: list[Fault] = []
    covered = 0
    for member in sorted(directory.members, key=lambda one: one.offset):
        start = _start(stream, member)
        end = start + member.packed
        if not start or end > directory.start:
            faults.append(fault(member.name, "zip_header", byte=member.offset))
        elif member.offset < covered:
            faults.append(fault(member.name, "zip_overlap", byte=member.offset))
        else:
            found.append(replace(member, start=start))
        covered = max(covered, end)
    return found, faults


def _start(stream: BinaryIO, member: Member) -> int:
    """Where the content begins; 0 if the header is not there or says something else."""
    head = at(stream, member.offset, LOCAL_HEAD.size)
    if len(head) < LOCAL_HEAD.size or not head.startswith(LOCAL):
        return 0
    _, _, flags, method, _, _, _, packed, size, name_length, extra_length = LOCAL_HEAD.unpack(head)
    if (flags, method) != (member.flags, member.method) or stream.read(name_length) != member.raw:
        return 0
    later = flags & 0x0008
    wide = wide_numbers(stream.read(extra_length))
    said = [wide.pop(0) if number == FULL_32 and wide else number for number in (size, packed)]
    if said != [member.size, member.packed] and not (later and said == [0, 0]):
        return 0
    return int(member.offset + LOCAL_HEAD.size + name_length + extra_length)


class BadContentError(Exception):
    """The content of a member is not what its header says; `fault` tells it."""

    def __init__(self, fault: Fault) -> None:
        super().__init__(fault.key)
        self.fault = fault


def pieces(stream: BinaryIO, member: Member) -> Iterator[bytes]:
    """The content of a member in pieces of bounded size, never more than declared.

    Raises
    ------
    BadContentError
        If it is longer or shorter than declared, cannot be decompressed, or has another checksum.
    """
    length = crc = 0
    source = _stored(stream, member) if member.method == STORED else _inflated(stream, member)
    for piece in source:
        length += len(piece)
        if length > member.size:
            raise BadContentError(fault(member.name, "zip_size"))
        crc = zlib.crc32(piece, crc)
        yield piece
    if length != member.size:
        raise BadContentError(fault(member.name, "zip_size"))
    if crc != member.crc:
        raise BadContentError(fault(member.name, "zip_checksum"))


def _stored(stream: BinaryIO, member: Member) -> Iterator[bytes]:
    stream.seek(member.start)
    left = member.packed
    while left:
        piece = stream.read(min(left, PIECE))
        if not piece:
            return
        left -= len(piece)
        yield piece


def _inflated(stream: BinaryIO, member: Member) -> Iterator[bytes]:
    worker = zlib.decompressobj(-zlib.MAX_WBITS)
    try:
        for packed in _stored(stream, member):
            if worker.eof:
                raise BadContentError(fault(member.name, "zip_content"))
            rest = packed
            while rest and not worker.eof:
                yield worker.decompress(rest, PIECE)
                rest = worker.unconsumed_tail
        while not worker.eof and (more := worker.decompress(b"", PIECE)):
            yield more
    except zlib.error as error:
        raise BadContentError(fault(member.name, "zip_content")) from error
    if not worker.eof or worker.unused_data:
        raise BadContentError(fault(member.name, "zip_content"))

"""Whether a zip file is, byte by byte, the one that our writer makes of its members.

Every byte belongs to something: to a header, a content, the directory or the end. What is written otherwise, or belongs
to nothing, is told with the member that it concerns and its place in the file. Contents are not read here: whoever
hashes them compares their checksums with those of the members.
"""

import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from hazardreport.errors import CouldNotReadError, Fault, PackRefusedError
from hazardreport.storage import files
from hazardreport.storage.faults import fault
from hazardreport.storage.zip_format import (
    LOCAL,
    LOCAL_HEAD,
    STORED,
    UTF8,
    Entry,
    central_header,
    end_records,
    local_header,
    order,
    placed,
)
from hazardreport.storage.zip_reader import (
    MEMBER_LIMIT,
    BadContentError,
    Directory,
    Member,
    at,
    central_directory,
    decoded_name,
    member_fault,
    pieces,
    wide_numbers,
    with_starts,
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Container:
    """A zip file as it was found.

    members  with the places of their contents, in the order of the file, as far as they can be told
    faults   every deviation from the bytes that our writer makes, contents left aside
    """

    members: tuple[Member, ...]
    faults: tuple[Fault, ...]


def check_zip(path: Path) -> tuple[Fault, ...]:
    """Every deviation from the bytes that our writer makes of these members, checksums of the contents included."""
    try:
        with files.opened_regular(path) as stream:
            found = container(stream, path.name)
            return found.faults + tuple(
                one for member in found.members if (one := _content_fault(stream, member)) is not None
            )
    except OSError as error:
        raise CouldNotReadError(path=str(path), reason=files.reason(error)) from error


def _content_fault(stream: BinaryIO, member: Member) -> Fault | None:
    try:
        for _ in pieces(stream, member):
            pass
    except BadContentError as error:
        return error.fault
    return None


def container(stream: BinaryIO, name: str) -> Container:
    """Members and deviations of a zip file; `name` stands in the deviations that concern no member.

    The directory at the end and the headers before the contents say the same twice. The directory counts where it fits
    the file; where it does not, the headers do.
    """
    length = stream.seek(0, os.SEEK_END)
    try:
        directory: Directory | None = central_directory(stream, name)
        refusal: tuple[Fault, ...] = ()
    except PackRefusedError as error:
        directory, refusal = None, error.details
    if directory is not None and (members := _in_place(directory)):
        return Container(members=members, faults=tuple(_deviations(stream, length, members, name)))
    walked = _walked(stream, length)
    if walked and (directory is None or len(walked) >= len(directory.members)):
        return Container(members=walked, faults=tuple(_deviations(stream, length, walked, name)))
    if directory is None:
        return Container(members=(), faults=refusal)
    found, faults = with_starts(stream, directory)
    faults += [one for member in found if (one := member_fault(member)) is not None]
    readable = tuple(member for member in found if member_fault(member) is None)
    return Container(members=readable, faults=(*faults, *_deviations(stream, length, found, name)))


def _entry(member: Member) -> Entry:
    return Entry(name=member.name, size=member.size, crc=member.crc, offset=member.offset)


def _in_place(directory: Directory) -> tuple[Member, ...]:
    """Members of the directory if they fill the file from its first byte up to the directory, as ours do; else none."""
    if any(member.method != STORED or not _is_text(member.name) for member in directory.members):
        return ()
    members = tuple(_member(entry) for entry in placed([(one.name, one.size, one.crc) for one in directory.members]))
    end = members[-1].start + members[-1].size if members else 0
    fits = end == directory.start and all(
        one.offset == other.offset for one, other in zip(members, directory.members, strict=True)
    )
    return members if fits else ()


def _is_text(name: str) -> bool:
    return name.isascii() or not any("\ud800" <= sign <= "\udfff" for sign in name)


def _member(entry: Entry) -> Member:
    return Member(
        name=entry.name,
        raw=entry.name.encode(),
        size=entry.size,
        packed=entry.size,
        crc=entry.crc,
        offset=entry.offset,
        flags=UTF8,
        method=STORED,
        attributes=0,
        start=entry.offset + len(local_header(entry)),
    )


def _walked(stream: BinaryIO, length: int) -> tuple[Member, ...]:
    """Members from the first byte on, by their headers alone, as far as those are ours."""
    members: list[Member] = []
    place = 0
    while len(members) < MEMBER_LIMIT:
        head = at(stream, place, LOCAL_HEAD.size)
        if len(head) < LOCAL_HEAD.size or not head.startswith(LOCAL):
            return tuple(members)
        fields = LOCAL_HEAD.unpack(head)
        raw, extra = stream.read(fields[9]), stream.read(fields[10])
        size = next(iter(wide_numbers(extra)), fields[8])
        name = decoded_name(raw, UTF8)
        if not _is_text(name):
            return tuple(members)
        entry = Entry(name=name, size=size, crc=fields[6], offset=place)
        expected = local_header(entry)
        if expected != head + raw + extra or place + len(expected) + size > length:
            return tuple(members)
        members.append(_member(entry))
        place += len(expected) + size
    return tuple(members)


def _deviations(stream: BinaryIO, length: int, members: Sequence[Member], name: str) -> Iterator[Fault]:
    """What the bytes around the contents have otherwise than the writer would make them."""
    place = 0
    before = b""
    for member in members:
        if before and order(member.name) <= before:
            yield fault(member.name, "zip_order")
        before = order(member.name) if _is_text(member.name) else member.raw
        if member.offset != place:
            yield fault(member.name, "zip_gap", start=min(place, member.offset), end=max(place, member.offset))
        yield from _header_deviations(stream, member)
        place = member.start + member.packed
    yield from _tail_deviations(stream, length, place, members, name)


def _header_deviations(stream: BinaryIO, member: Member) -> Iterator[Fault]:
    if not _is_text(member.name):
        yield fault(member.name, "name_no_text")
        return
    found = at(stream, member.offset, member.start - member.offset)
    expected = local_header(_entry(member))
    if found == expected:
        return
    byte = member.offset + _first_difference(found, expected)
    yield fault(member.name, "zip_header", byte=byte)
    name_length = len(member.raw)
    other = decoded_name(found[LOCAL_HEAD.size : LOCAL_HEAD.size + name_length], UTF8)
    if other != member.name:
        yield fault(other, "zip_other_name", other=member.name)


def _tail_deviations(
    stream: BinaryIO, length: int, start: int, members: Sequence[Member], name: str
) -> Iterator[Fault]:
    """The directory and the end, piece by piece, against those that follow from the members."""
    parts = [(one.name, central_header(_entry(one)) if _is_text(one.name) else b"") for one in members]
    size = sum(len(part) for _, part in parts)
    parts.append((name, end_records(len(members), size, start)))
    place = start
    for owner, expected in parts:
        found = at(stream, place, len(expected))
        if found != expected:
            yield fault(owner, "zip_directory_of", byte=place + _first_difference(found, expected))
        place += len(expected)
    if length > place:
        yield fault(name, "zip_trailing", byte=place, count=length - place)


def _first_difference(found: bytes, expected: bytes) -> int:
    pairs = zip(found, expected, strict=False)
    return next((index for index, (one, other) in enumerate(pairs) if one != other), min(len(found), len(expected)))

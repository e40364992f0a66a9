"""The bytes of a zip file as our packs have them: every field is determined by names, sizes and checksums.

Stored, not compressed; date 1980-01-01; ordinary files of mode 0644; names in UTF-8; 64-bit fields only where 32 bits
do not hold the number. No comment, no other extra field, nothing between the parts.

References
----------
APPNOTE.TXT, version 6.3.10, 4.3 and 4.5.3.
"""

import struct
from collections.abc import Sequence
from dataclasses import dataclass

LOCAL, CENTRAL, END, END_64, LOCATOR_64 = b"PK\x03\x04", b"PK\x01\x02", b"PK\x05\x06", b"PK\x06\x06", b"PK\x06\x07"
LOCAL_HEAD = struct.Struct("<4s5H3I2H")
CENTRAL_HEAD = struct.Struct("<4s6H3I5H2I")
END_HEAD = struct.Struct("<4s4H2IH")
END_64_HEAD = struct.Struct("<4sQ2H2I4Q")
LOCATOR_64_HEAD = struct.Struct("<4sIQI")

FULL_16, FULL_32 = 0xFFFF, 0xFFFFFFFF
UTF8 = 0x0800
ENCRYPTED = 0x0001
STORED, DEFLATED = 0, 8
_DATE = (1 << 5) | 1
_UNIX = 3 << 8
_MODE = 0o100644 << 16
_VERSION, _VERSION_64 = 20, 45

limit = FULL_32
"""From this number on a size or place is written in 64 bits; a test may lower it to see such files."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Entry:
    """One member.

    name    with its folders, "/" between
    size    [byte]
    crc     CRC-32 of the content
    offset  of its header in the file [byte]
    """

    name: str
    size: int
    crc: int
    offset: int


def local_header(entry: Entry) -> bytes:
    """What stands before the content."""
    name = entry.name.encode()
    large = entry.size >= limit
    extra = struct.pack("<2H2Q", 1, 16, entry.size, entry.size) if large else b""
    size = FULL_32 if large else entry.size
    version = _VERSION_64 if large else _VERSION
    head = LOCAL_HEAD.pack(LOCAL, version, UTF8, STORED, 0, _DATE, entry.crc, size, size, len(name), len(extra))
    return head + name + extra


def central_header(entry: Entry) -> bytes:
    """What stands in the directory at the end."""
    name = entry.name.encode()
    large, far = entry.size >= limit, entry.offset >= limit
    numbers = ([entry.size, entry.size] if large else []) + ([entry.offset] if far else [])
    extra = struct.pack(f"<2H{len(numbers)}Q", 1, 8 * len(numbers), *numbers) if numbers else b""
    size = FULL_32 if large else entry.size
    version = _VERSION_64 if numbers else _VERSION
    head = CENTRAL_HEAD.pack(
        CENTRAL,
        _UNIX | version,
        version,
        UTF8,
        STORED,
        0,
        _DATE,
        entry.crc,
        size,
        size,
        len(name),
        len(extra),
        0,
        0,
        0,
        _MODE,
        FULL_32 if far else entry.offset,
    )
    return head + name + extra


def end_records(count: int, size: int, start: int) -> bytes:
    """What stands after the directory of `count` members with `size` bytes that begins at `start`."""
    many, large, far = count >= FULL_16, size >= limit, start >= limit
    wide = b""
    if many or large or far:
        version = _VERSION_64
        wide = END_64_HEAD.pack(END_64, 44, _UNIX | version, version, 0, 0, count, count, size, start)
        wide += LOCATOR_64_HEAD.pack(LOCATOR_64, 0, start + size, 1)
    short = FULL_16 if many else count
    return wide + END_HEAD.pack(END, 0, 0, short, short, FULL_32 if large else size, FULL_32 if far else start, 0)


def placed(members: Sequence[tuple[str, int, int]]) -> tuple[Entry, ...]:
    """Members given by name, size and checksum, at the places that follow from their order."""
    entries: list[Entry] = []
    offset = 0
    for name, size, crc in members:
        entry = Entry(name=name, size=size, crc=crc, offset=offset)
        entries.append(entry)
        offset += len(local_header(entry)) + size
    return tuple(entries)


def order(name: str) -> bytes:
    """What members are sorted by."""
    return name.encode("utf-8", "surrogateescape")

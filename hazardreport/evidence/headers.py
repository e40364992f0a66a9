"""What would keep a decoder busy or fill the memory although the file is small, found before any decoder sees it.

A JPEG may ask for one pass over the whole picture with every ten bytes, and JPEG and PNG may hold millions of empty
parts, each of which a decoder keeps. Real pictures stay far below the limits here: a progressive JPEG has about ten
scans, and cameras write some dozens of parts.
"""

import re
from typing import BinaryIO

from hazardreport.errors import PictureDamagedError

SCAN_LIMIT = 50
PART_LIMIT = 10_000
JUNK_LIMIT = 65_536
"""Bytes between the parts of a JPEG that belong to none. [byte]"""

_FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
_PROGRESSIVE = frozenset((0xC2, 0xC6, 0xCA, 0xCE))
_SCAN, _END = 0xDA, 0xD9
_WITHOUT_LENGTH = frozenset((0x00, 0x01, 0xD8, _END, *range(0xD0, 0xD8)))
_MARKER = re.compile(rb"\xff+([^\x00\xff\xd0-\xd7])")


def check_jpeg(stream: BinaryIO, name: str) -> None:
    """Refuse a JPEG with more parts, or with more scans, than a picture has; one that is merely broken passes."""
    stream.seek(2)
    parts = junk = components = 0
    progressive = False
    while sign := stream.read(1):
        kind = sign
        while kind == b"\xff":
            kind = stream.read(1)
            junk += kind == b"\xff"
        if sign != b"\xff" or not kind or kind[0] in _WITHOUT_LENGTH:
            junk += 1
            if junk > JUNK_LIMIT:
                raise PictureDamagedError(name=name, reason="there is no picture behind its header")
            continue
        length = max(2, int.from_bytes(stream.read(2), "big"))
        parts += 1
        if parts > PART_LIMIT:
            raise PictureDamagedError(name=name, reason=f"it has more than {PART_LIMIT} parts")
        if kind[0] == _SCAN:
            if progressive or stream.read(1) != bytes((components,)):
                _check_scans(stream, name)
            return
        begun = stream.tell()
        if kind[0] in _FRAMES:
            components, progressive = (stream.read(6)[5:] or b"\0")[0], kind[0] in _PROGRESSIVE
        stream.seek(begun + length - 2)


def _check_scans(stream: BinaryIO, name: str) -> None:
    """Counted roughly first, since exactly takes ten times as long, and only what is suspicious exactly."""
    begun, count, last = stream.tell(), 1, b""
    while chunk := stream.read(1 << 20):
        count += (last + chunk).count(b"\xff\xda")
        last = chunk[-1:]
    if count <= SCAN_LIMIT:
        return
    stream.seek(begun)
    data = stream.read()
    place, scans = 0, 1
    while (found := _MARKER.search(data, place)) and found[1][0] != _END:
        scans += found[1][0] == _SCAN
        if scans > SCAN_LIMIT:
            raise PictureDamagedError(name=name, reason=f"it has more than {SCAN_LIMIT} scans")
        place = found.end() + int.from_bytes(data[found.end() : found.end() + 2], "big")


def check_png(stream: BinaryIO, name: str) -> None:
    """Refuse a PNG with more parts, those of its pixels aside, than a picture has."""
    stream.seek(8)
    parts = 0
    while len(head := stream.read(8)) == 8 and head[4:] != b"IEND":
        parts += head[4:] != b"IDAT"
        if parts > PART_LIMIT:
            raise PictureDamagedError(name=name, reason=f"it has more than {PART_LIMIT} parts")
        stream.seek(int.from_bytes(head[:4], "big") + 4, 1)

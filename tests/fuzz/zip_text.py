"""Zip files of any form: members with any names, sizes, flags, methods; and odd changes to a pack."""

import hashlib
import io
import random
import re
import struct
import zipfile
import zlib
from dataclasses import dataclass, replace

from tests.fuzz import odd

NAMES = (
    "../case.json",
    "/etc/passwd",
    "C:\\x",
    "a\\b",
    "data/../../x",
    "data/pictures/con.jpg",
    "data/pictures/a.jpg/b.jpg",
    "data/pictures/PICTURE-001.JPG",
    "data/pictures/picture-001.jpg",
    "data/pictures/e\u0301.jpg",
    "data/pictures/\u00e9.jpg",
    "data/case.json",
    "data/CASE.JSON",
    "data/log.jsonl",
    "data/",
    "data",
    "bagit.txt",
    "bag-info.txt",
    "fetch.txt",
    "manifest-md5.txt",
    "manifest-sha512.txt",
    "tagmanifest-sha256.txt",
    "manifest-none.txt",
    "__MACOSX/._case.json",
    "x/y/bagit.txt",
    "",
    ".",
    "a" * 300,
    "d/" * 400,
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Part:
    """One member; what is None follows from the content."""

    name: bytes
    data: bytes
    method: int = 0
    flags: int = 0x0800
    attributes: int = 0o100644 << 16
    crc: int | None = None
    size: int | None = None
    extra: bytes = b""
    twice: bytes | None = None


def written(parts: list[Part], comment: bytes = b"") -> bytes:
    """A zip file of these members."""
    body, directory = io.BytesIO(), io.BytesIO()
    for part in parts:
        offset = body.tell()
        packed = _deflated(part.data) if part.method == 8 else part.data
        crc = zlib.crc32(part.data) if part.crc is None else part.crc
        size = len(part.data) if part.size is None else part.size
        name = part.name if part.twice is None else part.twice
        numbers = (0x0800 if part.flags is None else part.flags, part.method, 0, 33, crc, len(packed), size)
        lengths = (len(part.extra), 0, 0, 0)
        body.write(struct.pack("<4s5H3L2H", b"PK\3\4", 20, *numbers, len(part.name), len(part.extra)))
        body.write(part.name + part.extra + packed)
        head = struct.pack("<4s6H3L5H2L", b"PK\1\2", 20, 20, *numbers, len(name), *lengths, part.attributes, offset)
        directory.write(head + name + part.extra)
    entries = directory.getvalue()
    count = len(parts) & 0xFFFF
    end = struct.pack("<4s4H2LH", b"PK\5\6", 0, 0, count, count, len(entries), body.tell(), len(comment))
    return body.getvalue() + entries + end + comment


def _deflated(data: bytes) -> bytes:
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    return packer.compress(data) + packer.flush()


def parts_of(data: bytes) -> list[Part]:
    """The members of a zip file that the standard library reads; raises ValueError where it does not."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as source:
            return [Part(name=one.filename.encode(), data=source.read(one)) for one in source.infolist()]
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError, EOFError, zlib.error, OSError) as error:
        raise ValueError(str(error)) from error


def changed(data: bytes, random_: random.Random) -> bytes:
    """The pack after one to four odd changes; most of the time its manifests are made to agree again."""
    try:
        parts = parts_of(data)
    except ValueError:
        return data
    for _ in range(random_.choice((1, 1, 1, 2, 2, 4))):
        if parts:
            _change(parts, random_)
    if random_.random() < 0.7:
        parts = listed(parts)
    return written(parts, random_.choice((b"", b"", b"", b"PK\5\6", b"x" * 70)))


def _change(parts: list[Part], random_: random.Random) -> None:
    index = random_.randrange(len(parts))
    part = parts[index]
    kind = random_.randrange(12)
    if kind == 0:
        del parts[index]
    elif kind == 1:
        parts.insert(random_.randrange(len(parts)), part)
    elif kind == 2:
        parts[index] = replace(part, name=_name(part, random_))
    elif kind == 3:
        parts.append(replace(part, name=_name(part, random_)))
    elif kind == 4:
        parts[index] = replace(part, method=random_.choice((0, 8, 8, 8, 9, 12, 99)))
    elif kind == 5:
        parts[index] = replace(part, flags=random_.choice((0, 1, 8, 0x40, 0x808, 0xFFFF)))
    elif kind == 6:
        parts[index] = replace(part, attributes=random_.choice((0o120777, 0o010644, 0o060644, 0o040755, 0)) << 16)
    elif kind == 7:
        parts[index] = replace(part, crc=random_.choice((0, 1, 0xFFFFFFFF)))
    elif kind == 8:
        parts[index] = replace(part, size=random_.choice((0, 1, len(part.data) + 1, 0x7FFFFFFF, 0xFFFFFFFF)))
    elif kind == 9:
        wide = struct.pack("<HH3Q", 1, 24, *(random_.choice((0, len(part.data), 1 << 40, (1 << 64) - 1)),) * 3)
        parts[index] = replace(part, extra=random_.choice((wide, wide[:7], b"\1\0\xff\xff", b"up\4\0abcd")))
    elif kind == 10:
        parts[index] = replace(part, twice=_name(part, random_))
    else:
        parts[index] = replace(part, data=_content(part.data, random_), method=random_.choice((part.method, 8)))


def _name(part: Part, random_: random.Random) -> bytes:
    root = part.name.partition(b"/")[0] + b"/"
    kind = random_.randrange(4)
    if kind == 0:
        return odd.text(random_).encode()
    if kind == 1:
        return random_.choice((b"\xff\xfe", b"data/\x80.jpg", part.name.upper(), part.name + b"/", root + part.name))
    return (root if kind == 2 else b"") + random_.choice(NAMES).encode()


def _content(data: bytes, random_: random.Random) -> bytes:
    kind = random_.randrange(5)
    lines = data.split(b"\n")
    at = random_.randrange(len(lines))
    if kind == 0:
        return data[: random_.randrange(len(data) + 1)]
    if kind == 1:
        lines.insert(at, lines[random_.randrange(len(lines))])
    elif kind == 2:
        lines[at] = random_.choice(
            (b"", b" x", b"\xff\xff", b"a" * 64 + b"  data/x", b"A: B", b"0  data/%0a", b"x" * 9999)
        )
    elif kind == 3:
        lines[at] = re.sub(rb"[0-9a-f]{64}", random_.choice((b"0" * 64, b"", b"f" * 128)), lines[at])
    else:
        return b"\0" * random_.choice((0, 1, 5_000, 3_000_000))
    return b"\n".join(lines)


def listed(parts: list[Part]) -> list[Part]:
    """The members with their payload and tag manifests written anew."""
    root = next((one.name[: -len(b"bagit.txt")] for one in parts if one.name.endswith(b"bagit.txt")), b"")

    def lines(those: list[Part]) -> bytes:
        every = {one.name.removeprefix(root): hashlib.sha256(one.data).hexdigest().encode() for one in those}
        return b"".join(value + b"  " + name + b"\n" for name, value in sorted(every.items()))

    def with_content(name: bytes, data: bytes) -> None:
        nonlocal parts
        parts = [replace(one, data=data) if one.name == root + name else one for one in parts]

    with_content(b"manifest-sha256.txt", lines([one for one in parts if one.name.startswith(root + b"data/")]))
    tags = [one for one in parts if one.name.startswith(root) and b"/" not in one.name.removeprefix(root)]
    with_content(b"tagmanifest-sha256.txt", lines([one for one in tags if b"tagmanifest" not in one.name]))
    return parts

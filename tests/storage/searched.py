"""Every stream in a file, however it is packed, and a search for words in all of them.

Zip members, segments of JPEG and chunks of PNG, streams and strings of PDF with what is attached to it, the text that
its pages show: each is given as it lies there and decompressed.
"""

import io
import struct
import unicodedata
import zipfile
import zlib
from collections.abc import Iterable, Iterator

import pikepdf
import pypdfium2
from PIL import Image

from tests.evidence.planted import segments

Stream = tuple[str, bytes]


def streams(name: str, data: bytes) -> Iterator[Stream]:
    """A file and everything inside of it, each with where it was found."""
    yield name, data
    yield f"{name}: name", name.encode()
    if data.startswith(b"PK"):
        yield from _zip(name, data)
    elif data.startswith(b"\xff\xd8"):
        yield from ((f"{name}: segment {marker:02X}", content) for marker, content in segments(data))
    elif data.startswith(b"\x89PNG"):
        yield from _png(name, data)
    elif data.startswith(b"%PDF"):
        yield from _pdf(name, data)


def _zip(name: str, data: bytes) -> Iterator[Stream]:
    with zipfile.ZipFile(io.BytesIO(data)) as box:
        yield f"{name}: comment", box.comment
        for one in box.infolist():
            yield f"{name}: extra of {one.filename}", one.extra + one.comment
            yield from streams(f"{name}/{one.filename}", box.read(one))


def _png(name: str, data: bytes) -> Iterator[Stream]:
    at = 8
    while at + 8 <= len(data):
        length, kind = struct.unpack_from(">I4s", data, at)
        content = data[at + 8 : at + 8 + length]
        yield f"{name}: chunk {kind!r}", content
        for start in range(len(content) if kind in (b"zTXt", b"iTXt", b"iCCP") else 0):
            if content[start] == 0x78:
                try:
                    yield f"{name}: chunk {kind!r} decompressed", zlib.decompressobj().decompress(content[start:])
                except zlib.error:
                    continue
        at += length + 12


def _pdf(name: str, data: bytes) -> Iterator[Stream]:
    with pikepdf.open(io.BytesIO(data)) as pdf:
        for number, found in enumerate(pdf.objects):
            yield from _pdf_strings(f"{name}: object {number}", found)
            if isinstance(found, pikepdf.Stream):
                try:
                    content = found.read_bytes()
                except pikepdf.PdfError:
                    content = found.read_raw_bytes()
                yield from streams(f"{name}: stream {number}", bytes(content))
    document = pypdfium2.PdfDocument(data)
    try:
        for number in range(len(document)):
            page = document[number]
            text = page.get_textpage()
            yield f"{name}: page {number + 1}", " ".join(text.get_text_range().split()).encode()
            text.close()
            page.close()
    finally:
        document.close()


def _pdf_strings(name: str, found: pikepdf.Object) -> Iterator[Stream]:
    """Strings and names of an object, also those of what it holds directly."""
    if isinstance(found, pikepdf.String):
        yield f"{name}, string", bytes(found)
        yield f"{name}, text", str(found).encode()
    elif isinstance(found, pikepdf.Name):
        yield f"{name}, name", str(found).encode()
    elif isinstance(found, pikepdf.Array):
        for item in found:
            if isinstance(item, pikepdf.Object) and not item.is_indirect:
                yield from _pdf_strings(name, item)
    elif isinstance(found, pikepdf.Dictionary | pikepdf.Stream):
        names = sorted(found.keys())
        for key in names:
            yield f"{name}, key", key.encode()
            item = found[key]
            if isinstance(item, pikepdf.Object) and not item.is_indirect:
                yield from _pdf_strings(f"{name}{key}", item)


def written(word: str) -> dict[str, bytes]:
    """How a word may stand in bytes, whose ASCII letters were made small: its other letters keep their case."""
    forms: dict[str, bytes] = {}
    for case in dict.fromkeys((word, word.lower(), word.upper())):
        for form in dict.fromkeys((case, unicodedata.normalize("NFD", case))):
            for code in ("utf-8", "utf-16-le", "utf-16-be"):
                data = form.encode(code)
                forms[f"{form}, {code}"] = data.lower()
                forms[f"{form}, {code} in hex"] = data.hex().encode()
            forms[f"{form}, Latin-1"] = form.encode("latin-1", "replace").lower()
    return forms


def hits(found: Iterable[Stream], words: Iterable[str], raw: Iterable[bytes] = ()) -> dict[str, set[str]]:
    """Where each word was found, and in which form; `raw` are bytes that are no words."""
    forms = [(word, form, data) for word in words for form, data in written(word).items()]
    told: dict[str, set[str]] = {}
    for place, data in found:
        lower = data.lower()
        for word, form, sought in forms:
            if sought in lower:
                told.setdefault(word, set()).add(f"{place} ({form})")
        for sought in raw:
            if sought in data:
                told.setdefault(sought.hex(), set()).add(place)
    return told


def pictures(found: Iterable[Stream]) -> Iterator[tuple[str, Image.Image]]:
    """Every picture that can be decoded, in RGB."""
    for place, data in found:
        if data.startswith((b"\xff\xd8\xff", b"\x89PNG")) and "segment" not in place:
            with Image.open(io.BytesIO(data)) as image:
                yield place, image.convert("RGB")


def nearest(image: Image.Image, colour: tuple[int, int, int]) -> int:
    """How far the pixel that is most like a colour is from it, in the channel that differs most."""
    colours = image.getcolors(image.width * image.height) or []
    return min(max(abs(one - other) for one, other in zip(found, colour, strict=True)) for _, found in colours)

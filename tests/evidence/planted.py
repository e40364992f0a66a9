"""Picture files that carry everything that must never be passed on; each secret is a word to look for."""

import io
import struct
import zlib
from collections.abc import Iterator

from PIL import Image, ImageCms, TiffImagePlugin

SECRETS = (
    b"Ottilie Quandt",
    b"SN-40417733",
    b"Birkenweg 9",
    b"secret-comment",
    b"secret-tail",
    b"secret-iptc",
    b"MAKERSECRET",
)
HIDDEN = (250, 0, 180)
"""Colour of the earlier pictures: embedded thumbnail, second picture, bytes after the end."""


def picture(size: tuple[int, int] = (320, 200)) -> Image.Image:
    """Blue and white stripes; nothing in it is of the hidden colour."""
    image = Image.new("RGB", size, (40, 90, 200))
    for left in range(0, size[0], 40):
        image.paste("white", (left, 0, left + 12, size[1]))
    return image


def earlier() -> bytes:
    """A small JPEG of the hidden colour."""
    return _jpeg(Image.new("RGB", (64, 40), HIDDEN))


def _jpeg(image: Image.Image) -> bytes:
    buffer = io.BytesIO()
    image.save(buffer, "JPEG", quality=90)
    return buffer.getvalue()


def _entry(tag: int, kind: int, value: bytes, count: int, heap: bytearray, at: int) -> bytes:
    if len(value) <= 4:
        return struct.pack(">HHI", tag, kind, count) + value.ljust(4, b"\0")
    place = at + len(heap)
    heap += value + b"\0" * (len(value) % 2)
    return struct.pack(">HHII", tag, kind, count, place)


def _directory(at: int, entries: list[tuple[int, int, bytes, int]], following: int = 0) -> bytes:
    """An Exif directory at an offset, its values behind it."""
    heap, table = bytearray(), b""
    values = at + 2 + 12 * len(entries) + 4
    for tag, kind, value, count in sorted(entries):
        table += _entry(tag, kind, value, count, heap, values)
    return struct.pack(">H", len(entries)) + table + struct.pack(">I", following) + bytes(heap)


def _text(tag: int, words: bytes) -> tuple[int, int, bytes, int]:
    return tag, 2, words + b"\0", len(words) + 1


def exif(orientation: int = 1) -> bytes:
    """A TIFF block: owner, serial numbers, position, maker's note and a thumbnail of an earlier state."""
    degrees = struct.pack(">IIIIII", 52, 1, 31, 1, 4499, 100)
    gps = [(1, 2, b"N\0", 2), (2, 5, degrees, 3), (3, 2, b"E\0", 2), (4, 5, degrees, 3)]
    details = [
        _text(0x9003, b"2026:03:14 09:26:53"),
        _text(0xA430, b"Ottilie Quandt"),
        _text(0xA431, b"SN-40417733"),
        _text(0xA435, b"SN-40417733-L"),
        (0x927C, 7, b"MAKERSECRET" * 4, 44),
        (0x9286, 7, b"ASCII\0\0\0Birkenweg 9", 19),
    ]
    thumbnail = earlier()
    top = [
        _text(0x010F, b"Lumenta"),
        (0x0112, 3, struct.pack(">H", orientation), 1),
        _text(0x013B, b"Ottilie Quandt"),
        _text(0x8298, b"Ottilie Quandt"),
        (0x8769, 4, b"\0\0\0\0", 1),
        (0x8825, 4, b"\0\0\0\0", 1),
    ]
    at_details = 8 + len(_directory(8, top))
    at_gps = at_details + len(_directory(at_details, details))
    at_second = at_gps + len(_directory(at_gps, gps))
    second = [(0x0103, 3, struct.pack(">H", 6), 1), (0x0201, 4, b"\0\0\0\0", 1), (0x0202, 4, b"\0\0\0\0", 1)]
    at_thumbnail = at_second + len(_directory(at_second, second))
    top[4] = (0x8769, 4, struct.pack(">I", at_details), 1)
    top[5] = (0x8825, 4, struct.pack(">I", at_gps), 1)
    second[1] = (0x0201, 4, struct.pack(">I", at_thumbnail), 1)
    second[2] = (0x0202, 4, struct.pack(">I", len(thumbnail)), 1)
    return (
        b"MM\0*\0\0\0\x08"
        + _directory(8, top, at_second)
        + _directory(at_details, details)
        + _directory(at_gps, gps)
        + _directory(at_second, second)
        + thumbnail
    )


def xmp() -> bytes:
    """An XMP packet with an owner and a place."""
    return (
        b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
        b'<rdf:Description xmlns:dc="http://purl.org/dc/elements/1.1/" dc:creator="Ottilie Quandt" '
        b'xmlns:photoshop="http://ns.adobe.com/photoshop/1.0/" photoshop:City="Birkenweg 9"/></rdf:RDF></x:xmpmeta>'
    )


def iptc() -> bytes:
    """An image resource block with IPTC records: by-line, sub-location."""
    records = b"".join(
        b"\x1c\x02" + bytes([number]) + struct.pack(">H", len(words)) + words
        for number, words in ((80, b"secret-iptc Ottilie Quandt"), (92, b"Birkenweg 9"))
    )
    return b"8BIM\x04\x04\0\0" + struct.pack(">I", len(records)) + records + b"\0" * (len(records) % 2)


def profile() -> bytes:
    """An sRGB profile whose description carries a serial number."""
    plain = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    return plain.replace("sRGB built-in".encode("utf-16-be"), "SN-40417733  ".encode("utf-16-be"))


def _segment(marker: int, content: bytes) -> bytes:
    return b"\xff" + bytes([marker]) + struct.pack(">H", len(content) + 2) + content


def _second_pictures(plain_size: int, second_size: int) -> bytes:
    """A multi-picture index of two pictures, as phones write it."""
    entries = struct.pack(">IIIHH", 0x030000, plain_size, 0, 0, 0) + struct.pack(
        ">IIIHH", 0x020000, second_size, plain_size, 0, 0
    )
    body = _directory(8, [(0xB000, 7, b"0100", 4), (0xB001, 4, struct.pack(">I", 2), 1), (0xB002, 7, entries, 32)])
    return b"MPF\0MM\0*\0\0\0\x08" + body


def planted_jpeg(orientation: int = 1) -> bytes:
    """A JPEG with all of it in front of its pixels, and a second picture and more bytes behind its end."""
    plain, second = _jpeg(picture()), earlier()
    front = (
        _segment(0xE1, b"Exif\0\0" + exif(orientation))
        + _segment(0xE1, b"http://ns.adobe.com/xap/1.0/\0" + xmp())
        + _segment(0xE2, b"ICC_PROFILE\0\x01\x01" + profile())
        + _segment(0xED, b"Photoshop 3.0\0" + iptc())
        + _segment(0xFE, b"secret-comment Ottilie Quandt")
    )
    size = len(plain) + len(front) + len(_segment(0xE2, _second_pictures(0, 0)))
    front += _segment(0xE2, _second_pictures(size, len(second)))
    return plain[:2] + front + plain[2:] + second + b"secret-tail Birkenweg 9"


def planted_webp(orientation: int = 1) -> bytes:
    """A WebP with Exif, XMP and a profile."""
    buffer = io.BytesIO()
    picture().save(
        buffer, "WEBP", lossless=True, exif=b"Exif\0\0" + exif(orientation), xmp=xmp(), icc_profile=profile()
    )
    return buffer.getvalue()


def planted_tiff(orientation: int = 1) -> bytes:
    """A TIFF with owner, XMP, IPTC, a profile, and a second page of the hidden colour."""
    buffer = io.BytesIO()
    tags = TiffImagePlugin.ImageFileDirectory_v2()
    tags[0x0112], tags[0x013B], tags[0x8298] = orientation, "Ottilie Quandt", "SN-40417733 Birkenweg 9"
    tags[0x010E] = "secret-comment secret-tail MAKERSECRET"
    tags[700], tags[33723], tags[34377] = xmp(), iptc()[12:], iptc()
    tags.tagtype[700], tags.tagtype[33723], tags.tagtype[34377] = 1, 7, 1
    second = Image.new("RGB", (64, 40), HIDDEN)
    picture().save(
        buffer, "TIFF", tiffinfo=tags, icc_profile=profile(), save_all=True, append_images=[second], compression="raw"
    )
    return buffer.getvalue()


def _chunk(kind: bytes, content: bytes) -> bytes:
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))


def planted_png(orientation: int = 1) -> bytes:
    """A PNG with text in its three forms, Exif, XMP, a profile and bytes behind its end."""
    buffer = io.BytesIO()
    picture().save(buffer, "PNG")
    plain = buffer.getvalue()
    front = (
        _chunk(b"iCCP", b"SN-40417733\0\0" + zlib.compress(profile()))
        + _chunk(b"tEXt", b"Author\0Ottilie Quandt")
        + _chunk(b"zTXt", b"Comment\0\0" + zlib.compress(b"secret-comment"))
        + _chunk(b"iTXt", b"Source\0\0\0\0\0Birkenweg 9")
        + _chunk(b"iTXt", b"XML:com.adobe.xmp\0\0\0\0\0" + xmp())
        + _chunk(b"tIME", struct.pack(">HBBBBB", 2026, 3, 14, 9, 26, 53))
        + _chunk(b"eXIf", exif(orientation))
    )
    return plain[:33] + front + plain[33:] + b"secret-tail Birkenweg 9"


def segments(data: bytes) -> Iterator[tuple[int, bytes]]:
    """Every segment of a JPEG with its content, pixels with their scan's header, to the last byte of the file."""
    assert data[:2] == b"\xff\xd8"
    yield 0xD8, b""
    at = 2
    while at < len(data):
        assert data[at] == 0xFF, f"byte {at} belongs to no segment"
        marker = data[at + 1]
        if marker == 0xD9:
            yield marker, data[at + 2 :]
            return
        end = at + 2 + int.from_bytes(data[at + 2 : at + 4], "big")
        if marker == 0xDA:
            while data[end] != 0xFF or data[end + 1] == 0 or 0xD0 <= data[end + 1] <= 0xD7:
                end += 1
        yield marker, data[at + 4 : end]
        at = end
    raise AssertionError("no end of picture")

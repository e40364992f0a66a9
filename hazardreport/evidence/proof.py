"""Proof that a picture is whole: it decodes to its end, and its data last for all the pixels that it claims.

A JPEG is decoded at an eighth of its size: the decoder then reads every bit of the data all the same, so whatever ends
too early is found; only the arithmetic of the pixels is saved. Where the data end before the pixels do, JPEG decoders
fill up with an even grey without a word; that is looked for. What nobody can find without a second copy: bytes
changed so that they still decode, to another picture.
"""

import random
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from threading import Lock
from typing import BinaryIO

from PIL import Image, ImageFile, PngImagePlugin

from hazardreport.errors import CouldNotReadError, PictureDamagedError
from hazardreport.evidence.claims import Claims, claims
from hazardreport.evidence.kinds import JPEG, PNG
from hazardreport.evidence.opening import damage_named, decoded, has_more, opened

_LARGE = 30_000_000
"""From here on one picture is decoded at a time, so that memory stays bounded. [pixel]"""

_large_lock = Lock()
_GREY = (127, 128)
_END_OF_SCAN = re.compile(rb"\xff+[^\x00\xff\xd0-\xd7]")
_PNG_END = b"\xae\x42\x60\x82"
_JPEG_END = b"\xff\xd9"
_TAIL = 1 << 16
_FILLING = random.Random(1).randbytes(1 << 16).replace(b"\xff", b"\x55")


@dataclass(frozen=True, kw_only=True, slots=True)
class Proof:
    """What is known of a whole picture.

    claims         of its metadata
    width, height  of the upright picture [pixel]
    more           the file holds more pages, frames or pictures than the one that counts
    """

    claims: Claims
    width: int
    height: int
    more: bool


def proved(path: Path, type: str, name: str) -> Proof:
    """What is known of a picture that is whole.

    Raises
    ------
    PictureDamagedError, PictureTooLargeError, PictureTypeRefusedError, PictureFileTooBigError
        If it is not, or not of a kind or size that is decoded.
    CouldNotReadError
        If the file cannot be read.
    """
    try:
        with path.open("rb") as stream:
            return _proved(stream, type, name)
    except OSError as error:
        raise CouldNotReadError(path=str(path), reason=error.strerror or str(error)) from error


def _proved(stream: BinaryIO, type: str, name: str) -> Proof:
    image = opened(stream, type, name)
    scan = stream.tell()
    more = has_more(image)
    width, height = image.size
    with _room_for(width * height, type):
        if type == JPEG:
            _draft(image)
            _check_end(decoded(image, name), stream, scan, name)
        else:
            width, height = decoded(image, name).size
    found = claims(image)
    if type == PNG:
        _check_sums(stream, name)
    if found.orientation >= 5:
        width, height = height, width
    return Proof(claims=found, width=width, height=height, more=more)


@contextmanager
def _room_for(pixels: int, type: str) -> Iterator[None]:
    if type == JPEG or pixels < _LARGE:
        yield
        return
    with _large_lock:
        yield


def _draft(image: ImageFile.ImageFile) -> None:
    image.draft("L", (max(1, image.width // 8), max(1, image.height // 8)))


def _check_sums(stream: BinaryIO, name: str) -> None:
    """The sums that PNG carries for each of its parts."""
    stream.seek(0)
    with damage_named(name):
        PngImagePlugin.PngImageFile(stream).verify()
        if stream.read(len(_PNG_END)) != _PNG_END:
            raise EOFError("the last part is cut off")


def _has_end_marker(stream: BinaryIO, scan: int) -> bool:
    """Looked for behind the start of the scan, first where it mostly is; previews in the header have one too."""
    size = stream.seek(0, 2)
    for begun, last in ((max(scan, size - _TAIL), b""), (scan, b"")):
        stream.seek(begun)
        while chunk := stream.read(_TAIL):
            if _JPEG_END in last + chunk:
                return True
            last = chunk[-1:]
    return False


def _check_end(image: Image.Image, stream: BinaryIO, scan: int, name: str) -> None:
    """Refuse a JPEG without its end marker, or whose data end before its pixels.

    The second only if the last pixel is the grey of the decoder's filling: then it is decoded once more with other
    data put behind the first scan. In a whole picture they are skipped; else they become pixels.
    """
    if not _has_end_marker(stream, scan):
        raise PictureDamagedError(name=name, reason="its end is cut off")
    last = image.getpixel((image.width - 1, image.height - 1))
    if not all(level in _GREY for level in (last if isinstance(last, tuple) else (last,))):
        return
    stream.seek(0)
    data = stream.read()
    again = opened(BytesIO(_filled_up(data)), JPEG, name)
    _draft(again)
    if decoded(again, name).tobytes() != image.tobytes():
        raise PictureDamagedError(name=name, reason="the data end before the picture does")


def _filled_up(data: bytes) -> bytes:
    """The same JPEG with data put behind its first scan."""
    place = 2
    while place + 4 <= len(data) and data[place : place + 2] != b"\xff\xda":
        marker = data[place] == 0xFF and data[place + 1] != 0xFF
        place += 2 + int.from_bytes(data[place + 2 : place + 4], "big") if marker else 1
    end = _END_OF_SCAN.search(data, place + 2)
    return data if end is None else data[: end.start()] + _FILLING + data[end.start() :]

"""A picture file opened safely: kind and size from the first bytes, and only then the decoder of that kind.

Pillow's general opener is never used, so no other format is tried, its process-wide pixel limit is never touched, and
nothing is decoded that is larger than `PIXEL_LIMIT`.
"""

import struct
import threading
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from typing import BinaryIO

from PIL import Image, ImageFile, JpegImagePlugin, PngImagePlugin

from hazardreport.errors import NotAPictureError, PictureDamagedError, PictureTooLargeError, PictureTypeRefusedError

PIXEL_LIMIT = 120_000_000
"""Largest picture that is decoded: phones make up to 108 megapixels. [pixel]"""

JPEG, PNG = "image/jpeg", "image/png"

_OTHER_TYPES = (
    (0, b"GIF87a", "GIF"),
    (0, b"GIF89a", "GIF"),
    (0, b"BM", "BMP"),
    (0, b"II*\x00", "TIFF"),
    (0, b"MM\x00*", "TIFF"),
    (0, b"%PDF", "PDF"),
    (8, b"WEBP", "WebP"),
    (4, b"ftypheic", "HEIC"),
    (4, b"ftypheix", "HEIC"),
    (4, b"ftyphevc", "HEIC"),
    (4, b"ftypmif1", "HEIC"),
    (4, b"ftypmsf1", "HEIC"),
    (4, b"ftypavif", "AVIF"),
    (0, b"\x00\x00\x00\x0cjP  ", "JPEG 2000"),
    (0, b"\x00\x00\x00\x0cJXL ", "JPEG XL"),
)
DAMAGE = (
    OSError,
    SyntaxError,
    ValueError,
    EOFError,
    LookupError,
    TypeError,
    AttributeError,
    ArithmeticError,
    struct.error,
    zlib.error,
)
"""What Pillow's decoders raise about broken data."""

_warnings_lock = threading.Lock()


def media_type(start: bytes, name: str) -> str:
    """Kind of a picture by its first bytes, never by its name.

    Raises
    ------
    PictureTypeRefusedError
        If it is a picture of a kind that is not taken in.
    NotAPictureError
        If it is no picture that we know.
    """
    if start.startswith(b"\xff\xd8\xff"):
        return JPEG
    if start.startswith(b"\x89PNG\r\n\x1a\n"):
        return PNG
    for offset, magic, kind in _OTHER_TYPES:
        if start[offset : offset + len(magic)] == magic:
            raise PictureTypeRefusedError(name=name, type=kind)
    raise NotAPictureError(name=name)


@contextmanager
def quiet() -> Iterator[None]:
    """Pillow's remarks about odd metadata kept quiet; one thread at a time, since filters are process-wide."""
    with _warnings_lock, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        yield


@contextmanager
def damage_named(name: str) -> Iterator[None]:
    """What a decoder raises about broken data, as `PictureDamagedError`."""
    try:
        yield
    except DAMAGE as error:
        raise PictureDamagedError(name=name, reason=_reason(error)) from error


def _reason(error: Exception) -> str:
    return str(error).splitlines()[0][:120] if str(error) else type(error).__name__


def opened(stream: BinaryIO, type: str, name: str) -> ImageFile.ImageFile:
    """The picture in a stream with its header read and its size found within the limit; no pixel is decoded yet."""
    with quiet(), damage_named(name):
        image: ImageFile.ImageFile
        image = JpegImagePlugin.JpegImageFile(stream) if type == JPEG else PngImagePlugin.PngImageFile(stream)
    width, height = image.size
    if width * height > PIXEL_LIMIT:
        raise PictureTooLargeError(name=name, width=width, height=height, limit=PIXEL_LIMIT // 1_000_000)
    return image


def decoded(image: ImageFile.ImageFile, name: str) -> Image.Image:
    """The same picture decoded to its last pixel."""
    with damage_named(name):
        image.load()
    return image

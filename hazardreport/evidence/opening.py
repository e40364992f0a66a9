"""A picture file opened safely: kind and size from the first bytes, and only then the decoder of that kind.

Pillow's general opener is never used, so no other format is tried, its process-wide pixel limit is never touched, and
nothing is decoded that is larger than `PIXEL_LIMIT`. Of a file with several pictures the first counts, of HEIC the one
that the file names. TIFF and HEIC come out upright already; their orientation is then 1.
"""

import struct
import threading
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from typing import BinaryIO

from PIL import Image, ImageFile, JpegImagePlugin, PngImagePlugin, TiffImagePlugin, WebPImagePlugin

from hazardreport.errors import (
    PictureDamagedError,
    PictureFileTooBigError,
    PictureTooLargeError,
    PictureTypeRefusedError,
)
from hazardreport.evidence.headers import check_jpeg, check_png
from hazardreport.evidence.kinds import HEIC, JPEG, PNG, RAW, TIFF, WEBP

__all__ = ["HEIC", "JPEG", "PNG", "TIFF", "WEBP", "damage_named", "decoded", "has_more", "opened", "quiet"]

PIXEL_LIMIT = 120_000_000
"""Largest picture that is decoded: phones make up to 108 megapixels. [pixel]"""

HELD_LIMIT = 100_000_000
"""Largest WebP and HEIC file, whose decoders hold it in memory whole. [byte]"""

DAMAGE = (
    OSError,
    SyntaxError,
    ValueError,
    EOFError,
    LookupError,
    TypeError,
    AttributeError,
    ArithmeticError,
    RuntimeError,
    AssertionError,
    Image.DecompressionBombError,
    struct.error,
    zlib.error,
)
"""What decoders raise about broken data."""

_MODES = {"1", "L", "LA", "P", "PA", "RGB", "RGBA", "RGBX", "RGBa", "CMYK", "YCbCr", "I;16", "I;16B", "I;16L"}
_SUBFILE, _DNG = 0x00FE, 0xC612

_Plugin = type[ImageFile.ImageFile]
_PLUGINS: dict[str, _Plugin] = {
    JPEG: JpegImagePlugin.JpegImageFile,
    PNG: PngImagePlugin.PngImageFile,
    TIFF: TiffImagePlugin.TiffImageFile,
    WEBP: WebPImagePlugin.WebPImageFile,
}

_HEADERS = {JPEG: check_jpeg, PNG: check_png}

_warnings_lock = threading.Lock()


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
    """The picture in a stream with its header read and its size found within the limit; no pixel is decoded yet.

    Raises
    ------
    PictureDamagedError
        If the header cannot be read, or asks for more work than a picture does.
    PictureTooLargeError, PictureFileTooBigError
        If it has more pixels, or for WebP and HEIC more bytes, than are decoded.
    PictureTypeRefusedError
        If it is a camera's raw data, whose first picture is only a preview, or has values that are no colours.
    """
    if type in (WEBP, HEIC):
        _check_held(stream, type, name)
    elif type in _HEADERS:
        _HEADERS[type](stream, name)
    stream.seek(0)
    with quiet(), damage_named(name):
        image = _plugin(type)(stream)
    _check_pixels(image.size, name)
    if isinstance(image, TiffImagePlugin.TiffImageFile):
        with damage_named(name):
            raw = _DNG in image.tag_v2 or bool(int(image.tag_v2.get(_SUBFILE, 0)) & 1)
        if raw:
            raise PictureTypeRefusedError(name=name, type=RAW)
        if _covered(image) < image.width * image.height:
            raise PictureDamagedError(name=name, reason="its strips do not fill the picture")
    if image.mode not in _MODES:
        raise PictureTypeRefusedError(name=name, type=f"{image.format} ({image.mode})")
    return image


def decoded(image: ImageFile.ImageFile, name: str) -> Image.Image:
    """The same picture decoded to its last pixel."""
    with damage_named(name):
        if isinstance(image, TiffImagePlugin.TiffImageFile):
            with quiet():
                image.load()
        else:
            image.load()
    _check_pixels(image.size, name)
    return image


def has_more(image: ImageFile.ImageFile) -> bool:
    """Whether the file holds more pages, frames or pictures than the one that counts; asked before it is decoded."""
    return bool(getattr(image, "is_animated", False))


def _plugin(type: str) -> _Plugin:
    if type == HEIC:
        from pi_heif import HeifImageFile

        heic: _Plugin = HeifImageFile
        return heic
    return _PLUGINS[type]


def _covered(image: TiffImagePlugin.TiffImageFile) -> int:
    """How many pixels the strips of a TIFF fill; the decoder leaves the others black without a word. [pixel]"""
    places = {tile.extents for tile in image.tile if tile.extents is not None}
    return sum((right - left) * (lower - upper) for left, upper, right, lower in places)


def _check_pixels(size: tuple[int, int], name: str) -> None:
    width, height = size
    if width * height > PIXEL_LIMIT:
        raise PictureTooLargeError(name=name, width=width, height=height, limit=PIXEL_LIMIT // 1_000_000)


def _check_held(stream: BinaryIO, type: str, name: str) -> None:
    """Refuse before the decoder is made: it takes memory for the whole file, that of WebP for the whole picture too."""
    size = stream.seek(0, 2)
    stream.seek(0)
    if size > HELD_LIMIT:
        raise PictureFileTooBigError(name=name, size=size // 1_000_000, limit=HELD_LIMIT // 1_000_000)
    if type == WEBP:
        start = stream.read(30)
        stream.seek(0)
        _check_pixels(_webp_size(start), name)


def _webp_size(start: bytes) -> tuple[int, int]:
    """Size of the canvas in a WebP header; (0, 0) if there is none, which the decoder then refuses."""
    if start[12:16] == b"VP8 " and start[23:26] == b"\x9d\x01\x2a":
        width, height = struct.unpack_from("<HH", start.ljust(30, b"\0"), 26)
        return width & 0x3FFF, height & 0x3FFF
    if start[12:16] == b"VP8L":
        bits = int.from_bytes(start[21:25], "little")
        return (bits & 0x3FFF) + 1, (bits >> 14 & 0x3FFF) + 1
    if start[12:16] == b"VP8X":
        return int.from_bytes(start[24:27], "little") + 1, int.from_bytes(start[27:30], "little") + 1
    return 0, 0

"""Pictures for showing, printing and publishing: upright, covered, scaled, on white, without any metadata.

What a cover hides is replaced in the decoded picture before anything is scaled, and as far around it as the coding of
the file mixed it in. Nothing below it has a part in any pixel of the answer, but for the rounding in WebP and HEIC that
`derived_covers` tells of. The answer carries pixels in sRGB and nothing else. The original is only read.
"""

import errno
import hashlib
import io
import os
import stat
import textwrap
from io import BufferedReader
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

from hazardreport.case.picture import Picture
from hazardreport.errors import CouldNotReadError, PictureChangedError
from hazardreport.evidence.derived_colour import in_srgb
from hazardreport.evidence.derived_covers import fill, spread, stored_boxes
from hazardreport.evidence.opening import JPEG, damage_named, decoded, opened
from hazardreport.resources_dir import RESOURCES

PUBLISHED_SIDE = 6000
"""Longest side of a published picture; larger ones are scaled down to it. [pixel]"""

PUBLISHED_QUALITY = 90

_UPRIGHT = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}


def original_bytes(path: Path, picture: Picture) -> bytes:
    """The bytes of a picture's file, which are those that were taken in.

    Raises
    ------
    CouldNotReadError
        If the file cannot be read.
    PictureChangedError
        If it is another file than the one that was taken in: covers were not drawn for it.
    """
    data = _read(path)
    if hashlib.sha256(data).hexdigest() != picture.sha256:
        raise PictureChangedError(picture=picture.id, file=picture.file)
    return data


def upright_image(path: Path, picture: Picture, longest_side: int) -> Image.Image:
    """The picture upright in RGB with its covers, not larger than asked and never enlarged.

    Parameters
    ----------
    path : Path
        File of the picture.
    picture : Picture
        Its record; kind, orientation and covers are taken from here.
    longest_side : int
        Longest side of the answer, at least 1. [pixel]

    Raises
    ------
    CouldNotReadError, PictureDamagedError, PictureTooLargeError
        If the file is gone, broken or too large to decode.
    PictureChangedError
        If there are covers and the file is not of the size that they were drawn for.
    """
    return _upright(_read(path), picture, longest_side)


def upright_jpeg(path: Path, picture: Picture, longest_side: int, quality: int = 85) -> bytes:
    """The same as JPEG bytes that carry pixels and nothing else; the same input gives the same bytes."""
    return jpeg_of(_read(path), picture, longest_side, quality)


def jpeg_of(data: bytes, picture: Picture, longest_side: int, quality: int = 85) -> bytes:
    """The same from the bytes of the original."""
    return _jpeg(_upright(data, picture, longest_side), quality)


def published_jpeg(path: Path, picture: Picture) -> tuple[bytes, int, int]:
    """The picture for a publication: JPEG bytes, width and height.

    It is upright, covered and as large as the original, but no side is longer than `PUBLISHED_SIDE`: places on it are
    those of the record times the answer's width over the record's.

    Raises
    ------
    CouldNotReadError, PictureDamagedError, PictureTooLargeError
        If the file is gone, broken or too large to decode.
    PictureChangedError
        If the file is not the one that was taken in.
    """
    image = _upright(original_bytes(path, picture), picture, PUBLISHED_SIDE)
    return _jpeg(image, PUBLISHED_QUALITY), image.width, image.height


def stand_in_jpeg(picture: Picture, longest_side: int, text: str) -> bytes:
    """An empty field with the proportions of a picture that must not be shown, and the text that says why."""
    width, height = _fitted((max(1, picture.width), max(1, picture.height)), longest_side)
    image = Image.new("RGB", (width, height), (232, 232, 232))
    draw = ImageDraw.Draw(image)
    draw.line((0, 0, width, height), fill=(205, 205, 205), width=2)
    draw.line((0, height, width, 0), fill=(205, 205, 205), width=2)
    size = max(8, min(width, height) // 14)
    font = ImageFont.truetype(str(RESOURCES / "fonts" / "Arimo-Regular.ttf"), size)
    lines = "\n".join(textwrap.wrap(text, max(8, round(1.6 * width / size))))
    draw.multiline_text((width / 2, size / 2), lines, fill=(60, 60, 60), font=font, anchor="ma", align="center")
    return _jpeg(image, 85)


def opened_original(path: Path) -> BufferedReader:
    """A stream of a regular file; an OSError says that it is none, and a pipe or device is never waited for."""
    descriptor = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    if not stat.S_ISREG(os.fstat(descriptor).st_mode):
        os.close(descriptor)
        raise OSError(errno.EINVAL, os.strerror(errno.EINVAL))
    return os.fdopen(descriptor, "rb")


def _read(path: Path) -> bytes:
    try:
        with opened_original(path) as stream:
            return stream.read()
    except OSError as error:
        raise CouldNotReadError(path=str(path), reason=error.strerror or str(error)) from error


def _jpeg(image: Image.Image, quality: int) -> bytes:
    buffer = io.BytesIO()
    image.save(buffer, "JPEG", quality=quality)
    return buffer.getvalue()


def _upright(data: bytes, picture: Picture, longest_side: int) -> Image.Image:
    image = opened(io.BytesIO(data), picture.media_type, picture.file)
    whole = image.size
    reach = spread(image, picture.media_type, data)
    if picture.media_type == JPEG and not picture.covers:
        image.draft("RGB", _fitted(whole, longest_side))
        pixels = decoded(image, picture.file)
    else:
        pixels = decoded(image, picture.file)
        whole = pixels.size
    if picture.covers and _turned(whole, picture.orientation) != (picture.width, picture.height):
        raise PictureChangedError(picture=picture.id, file=picture.file)
    with damage_named(picture.file):
        pixels = in_srgb(pixels)
        fill(pixels, stored_boxes(picture.covers, picture.orientation, *whole), reach)
        scaled = _scaled(pixels, _fitted(whole, longest_side))
    upright = scaled.transpose(_UPRIGHT[picture.orientation]) if picture.orientation in _UPRIGHT else scaled
    upright.info = {}
    return upright


def _turned(size: tuple[int, int], orientation: int) -> tuple[int, int]:
    return (size[1], size[0]) if orientation >= 5 else size


def _fitted(size: tuple[int, int], longest_side: int) -> tuple[int, int]:
    factor = min(1.0, max(1, longest_side) / max(size))
    return max(1, round(size[0] * factor)), max(1, round(size[1] * factor))


def _scaled(image: Image.Image, size: tuple[int, int]) -> Image.Image:
    """A new image without the old one's metadata."""
    if image.size == size:
        return image.copy()
    return image.resize(size, Image.Resampling.LANCZOS, reducing_gap=2.0)

"""Covers of a picture: which stored pixels are replaced so that what lies below has no part in a derived picture.

A lossy file codes blocks of pixels together: what stands below a cover tells of itself in the rest of every block that
the cover touches, and a decoder smooths colours and edges beyond that. A cover is widened by as much: in JPEG to whole
coded units of the file, in WebP to macroblocks and the reach of their smoothing, in TIFF and HEIC, whose blocks may
begin anywhere once they are upright, by a whole block on each side.

Of JPEG, and of TIFF with JPEG data, no pixel of the answer then depends on what was below. WebP and HEIC also predict
each block from those before it, code the rest rounded, and choose how finely by the whole picture, so that rounding
may differ anywhere. Measured in WebP of quality 40 to 90, other things below the same cover: differences up to 8 levels
of 255 in flat surroundings and even slopes, 50 in noise of 60 levels, at any distance. HEIC was not measured. Only
leaving the picture out would avoid it. Nor is undone what a camera did before coding, such as sharpening across an
edge: covers are drawn with room.
"""

from collections.abc import Iterable, Iterator
from math import ceil, floor, gcd

from PIL import Image

from hazardreport.case.picture import Cover
from hazardreport.evidence.opening import JPEG, PNG, TIFF, WEBP

FILL = (104, 110, 116)
"""Colour of a cover in everything derived: one flat grey."""

Box = tuple[int, int, int, int]
_WHOLE = (1, 1, 0, 0)
_MACROBLOCKS = (16, 16, 8, 8)
_BLOCK = 8
_LARGEST_HEIC_BLOCK, _SMOOTHED_EDGE = 32, 8
_PHOTOMETRIC, _LUMA_AND_COLOURS, _PARTS = 262, 6, 530
_LOSSLESS = {"raw", "tiff_raw_16", "packbits", "tiff_lzw", "tiff_deflate", "tiff_adobe_deflate", "lzma", "zstd"}
_LOSSLESS |= {"tiff_ccitt", "group3", "group4"}
_SMOOTHED_TERMS = range(1, 10)
"""Coefficients of a block whose absence makes a decoder smooth the blocks around it."""


def stored_boxes(covers: Iterable[Cover], orientation: int, width: int, height: int) -> tuple[Box, ...]:
    """Covers as boxes of the stored picture, edges rounded outward; what lies outside is cut off.

    Parameters
    ----------
    covers : iterable of Cover
        In pixels of the upright picture.
    orientation : int
        Exif orientation 1…8 by which the stored picture becomes upright.
    width, height : int
        Of the stored picture. [pixel]
    """
    return tuple(
        box for cover in covers if (box := _stored(cover, orientation, width, height))[0] < box[2] and box[1] < box[3]
    )


def _stored(cover: Cover, orientation: int, width: int, height: int) -> Box:
    corners = [
        _stored_place(x, y, orientation, width, height)
        for x, y in ((cover.left, cover.top), (cover.right, cover.bottom))
    ]
    (left, right), (top, bottom) = sorted(x for x, _ in corners), sorted(y for _, y in corners)
    return max(0, floor(left)), max(0, floor(top)), min(width, ceil(right)), min(height, ceil(bottom))


def _stored_place(x: float, y: float, orientation: int, width: int, height: int) -> tuple[float, float]:
    """Where a place of the upright picture is in the stored one."""
    match orientation:
        case 2:
            return width - x, y
        case 3:
            return width - x, height - y
        case 4:
            return x, height - y
        case 5:
            return y, x
        case 6:
            return y, height - x
        case 7:
            return width - y, height - x
        case 8:
            return width - y, x
        case _:
            return x, y


def spread(image: Image.Image, media_type: str, data: bytes) -> tuple[int, int, int, int]:
    """How far a file's coding and its decoder carry pixels: the grid that an edge is widened to, and pixels beyond it.

    Parameters
    ----------
    image : Image
        Opened, its header read.
    media_type : str
        Of the file; kinds whose coding is not known here are taken to be as coarse as HEIC.
    data : bytes
        The whole file.

    Returns
    -------
    tuple of int
        Grid across and along, reach across and along; 1, 1, 0, 0 if each pixel stands for itself. [pixel]
    """
    if media_type == PNG:
        return _WHOLE
    if media_type == TIFF:
        return _of_tiff(image)
    if media_type == WEBP:
        return _MACROBLOCKS if b"VP8 " in data else _WHOLE
    if media_type != JPEG:
        reach = _LARGEST_HEIC_BLOCK + _SMOOTHED_EDGE
        return 1, 1, reach, reach
    return _of_jpeg(image, data)


def _of_jpeg(image: Image.Image, data: bytes) -> tuple[int, int, int, int]:
    """Whole coded units, and the pixel that colours of less resolution are smoothed over."""
    layers: list[tuple[int, int, int, int]] = getattr(image, "layer", [])
    wide, high = ([layer[at] for layer in layers] or [4] for at in (1, 2))
    if image.info.get("progressive") and _ends_early(data, [layer[0] for layer in layers]):
        return _BLOCK * max(wide), _BLOCK * max(high), 16 * max(wide) + 1, 16 * max(high) + 1
    across, along = max(wide) // gcd(*wide), max(high) // gcd(*high)
    return _BLOCK * across, _BLOCK * along, int(across > 1), int(along > 1)


def _of_tiff(tiff: Image.Image) -> tuple[int, int, int, int]:
    """A whole block on each side if the file holds lossy data, or colours at a part of the resolution."""
    tags = getattr(tiff, "tag_v2", {})
    if tiff.info.get("compression") in _LOSSLESS and tags.get(_PHOTOMETRIC) != _LUMA_AND_COLOURS:
        return _WHOLE
    parts = tags.get(_PARTS, (2, 2))
    reach = _BLOCK * max(3, *(part for part in parts if isinstance(part, int) and part <= 4))
    return 1, 1, reach, reach


def fill(image: Image.Image, boxes: Iterable[Box], spread: tuple[int, int, int, int]) -> None:
    """Replace the pixels of the boxes, each widened by what coding spreads, in place."""
    across, along, beside, below = spread
    for left, top, right, bottom in boxes:
        image.paste(
            FILL,
            (
                max(0, left // across * across - beside),
                max(0, top // along * along - below),
                min(image.width, -(-right // across) * across + beside),
                min(image.height, -(-bottom // along) * along + below),
            ),
        )


def _ends_early(data: bytes, components: list[int]) -> bool:
    """Whether a progressive JPEG lacks the last scans of a coefficient that decoders otherwise make up."""
    missing = {(component, term) for component in components for term in _SMOOTHED_TERMS}
    for scan in _scan_headers(data):
        count = scan[0]
        if len(scan) < 2 * count + 4:
            return True
        first, last, low = scan[2 * count + 1], scan[2 * count + 2], scan[2 * count + 3] & 15
        if low == 0:
            missing -= {
                (component, term) for component in scan[1 : 2 * count + 1 : 2] for term in range(first, last + 1)
            }
    return bool(missing)


def _scan_headers(data: bytes) -> Iterator[bytes]:
    """Headers of the scans up to the end of the picture, without marker and length."""
    at = 2
    while 0 <= (at := data.find(b"\xff", at)) < len(data) - 3:
        marker = data[at + 1]
        if marker == 0xD9:
            return
        if marker in (0x00, 0x01, 0xFF) or 0xD0 <= marker <= 0xD8:
            at += 1 if marker == 0xFF else 2
            continue
        length = int.from_bytes(data[at + 2 : at + 4], "big")
        if marker == 0xDA and length > 2:
            yield data[at + 4 : at + 2 + length]
        at += 2 + length

"""Lossy files: whatever stands below a cover, each pixel of what is derived is the same.

Each file is encoded anew by Pillow for several contents of one place; only the derived pictures are compared.
"""

import hashlib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from hazardreport.case.picture import Cover, Picture
from hazardreport.evidence.derived import upright_image
from hazardreport.evidence.derived_covers import FILL

SIDE = 154
"""No multiple of a block: turned, blocks begin elsewhere."""
ALIGNED, UNALIGNED, SMALL = (48, 48, 96, 96), (52, 52, 90, 90), (61, 39, 83, 77)
BOXES = pytest.mark.parametrize("box", [ALIGNED, UNALIGNED, SMALL], ids=["aligned", "unaligned", "small"])
SLOPE = np.add.outer(np.arange(SIDE), np.arange(SIDE)) * 255 // (2 * SIDE)
AROUND: dict[str, NDArray[np.uint8]] = {
    "flat": np.full((SIDE, SIDE, 3), 120, np.uint8),
    "slope": np.stack([SLOPE] * 3, axis=2).astype(np.uint8),
    "noise": np.random.default_rng(1).integers(90, 150, (SIDE, SIDE, 3), dtype=np.uint8),
}
BELOW = ((255, 0, 0), (0, 0, 255), (255, 255, 255), (0, 0, 0), None)
Box = tuple[int, int, int, int]


def derived(
    place: Path, around: str, box: Box, kind: str, below: tuple[int, int, int] | None, turn: int = 1, **options: Any
) -> Image.Image:
    """`box` is in the upright picture; `turn` is an Exif orientation, 1, 3 or 6."""
    left, top, right, bottom = box
    pixels = AROUND[around].copy()
    noise = np.random.default_rng(5).integers(0, 256, (bottom - top, right - left, 3))
    pixels[top:bottom, left:right] = noise if below is None else below
    if turn != 1:
        pixels = np.ascontiguousarray(np.rot90(pixels, {3: 2, 6: 1}[turn]))
        options["tiffinfo"] = {0x0112: turn}
    path = place / "picture-001"
    Image.fromarray(pixels).save(path, kind, **options)
    data = path.read_bytes()
    picture = Picture(
        id="picture-001",
        file="picture-001",
        original_name="",
        media_type=f"image/{kind.lower()}",
        sha256=hashlib.sha256(data).hexdigest(),
        size=len(data),
        width=SIDE,
        height=SIDE,
        covers=(Cover(id="cover-001", left=left, top=top, right=right, bottom=bottom),),
    )
    return upright_image(path, picture, SIDE)


def difference(place: Path, around: str, box: Box, kind: str, **options: Any) -> int:
    """Largest difference of any two derived pictures. [level of 255]"""
    stack = np.stack([np.asarray(derived(place, around, box, kind, below, **options)).astype(int) for below in BELOW])
    return int((stack.max(axis=0) - stack.min(axis=0)).max())


@BOXES
@pytest.mark.parametrize("around", AROUND)
@pytest.mark.parametrize("sampling", [0, 1, 2], ids=["4:4:4", "4:2:2", "4:2:0"])
@pytest.mark.parametrize("progressive", [False, True])
def test_a_jpeg_tells_nothing_of_what_is_below_a_cover(
    tmp_path: Path, box: Box, around: str, sampling: int, *, progressive: bool
) -> None:
    for quality in (40, 75, 90):
        options = {"quality": quality, "subsampling": sampling, "progressive": progressive}
        assert difference(tmp_path, around, box, "JPEG", **options) == 0


@BOXES
@pytest.mark.parametrize("around", AROUND)
@pytest.mark.parametrize("turn", [1, 3, 6])
def test_nor_does_a_tiff_with_jpeg_data(tmp_path: Path, box: Box, around: str, turn: int) -> None:
    """Turned, its cover is drawn on the upright picture, and blocks begin at the other edge of it."""
    assert difference(tmp_path, around, box, "TIFF", turn=turn, compression="jpeg", quality=40) == 0


@BOXES
@pytest.mark.parametrize(("around", "most"), [("flat", 8), ("slope", 8), ("noise", 50)])
def test_the_rounding_of_a_webp_is_no_more_than_is_said(tmp_path: Path, box: Box, around: str, most: int) -> None:
    """The figures that `derived_covers` states; without the wider cover the flat one differs by up to 16."""
    for quality in (40, 75, 90):
        assert difference(tmp_path, around, box, "WEBP", quality=quality) <= most


def test_a_lossless_webp_is_covered_to_the_pixel(tmp_path: Path) -> None:
    assert difference(tmp_path, "noise", UNALIGNED, "WEBP", lossless=True) == 0
    image = derived(tmp_path, "flat", UNALIGNED, "WEBP", (255, 0, 0), lossless=True)
    assert image.getpixel((51, 60)) == (120, 120, 120)
    assert image.getpixel((52, 60)) == FILL

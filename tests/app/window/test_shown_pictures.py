"""The screen shows a picture as its record says: upright for every orientation and kind, covered where asked."""

import io
from pathlib import Path

import pytest
from PIL import Image, ImageOps
from PySide6.QtGui import QColor

from hazardreport.app.shown_pictures import shown_image
from hazardreport.app.views.picture_covers import COVER
from hazardreport.case.picture import Cover, Picture
from hazardreport.evidence.derived import upright_image
from hazardreport.evidence.derived_covers import FILL
from hazardreport.evidence.intake import take_in


def taken_in(folder: Path, kind: str, turn: int) -> tuple[Path, Picture]:
    image = Image.new("RGB", (40, 24), "white")
    image.paste((220, 20, 20), (0, 0, 20, 12))
    image.paste((20, 20, 220), (0, 12, 10, 24))
    exif = Image.Exif()
    exif[0x0112] = turn
    source = folder / f"a.{kind}"
    image.save(source, exif=exif, **({"quality": 95, "subsampling": 0} if kind == "jpg" else {}))
    picture = take_in(source, folder / "pictures", "picture-001", "")
    return folder / "pictures" / picture.file, picture


@pytest.mark.parametrize("turn", range(1, 9))
@pytest.mark.parametrize("kind", ["jpg", "png"])
def test_every_orientation_stands_as_pillow_transposes_it(tmp_path: Path, kind: str, turn: int) -> None:
    path, picture = taken_in(tmp_path, kind, turn)
    shown = shown_image(path, picture)
    with Image.open(io.BytesIO(path.read_bytes())) as original:
        wanted = ImageOps.exif_transpose(original).convert("RGB")
    assert (shown.width(), shown.height()) == wanted.size == (picture.width, picture.height)
    for x in range(2, wanted.width, 4):
        for y in range(2, wanted.height, 4):
            found = shown.pixelColor(x, y)
            red, green, blue = wanted.getpixel((x, y))
            assert max(abs(found.red() - red), abs(found.green() - green), abs(found.blue() - blue)) < 12


@pytest.mark.parametrize("turn", range(1, 9))
def test_a_covered_thumbnail_is_the_derived_picture(tmp_path: Path, turn: int) -> None:
    path, picture = taken_in(tmp_path, "png", turn)
    cover = Cover(id="cover-001", left=1, top=2, right=9, bottom=7)
    covered = Picture(**{name: getattr(picture, name) for name in picture.__slots__} | {"covers": (cover,)})
    derived = upright_image(path, covered, 20)
    shown = shown_image(path, covered, 20, covered=True)
    assert (shown.width(), shown.height()) == derived.size
    for x in range(derived.width):
        for y in range(derived.height):
            assert shown.pixelColor(x, y).getRgb()[:3] == derived.getpixel((x, y))
    assert shown_image(path, covered, 20).pixelColor(2, 2).getRgb()[:3] != shown.pixelColor(2, 2).getRgb()[:3]


def test_a_cover_has_one_colour_in_window_and_report() -> None:
    assert QColor(*FILL) == COVER


def test_a_file_that_cannot_be_read_gives_no_image(tmp_path: Path) -> None:
    path, picture = taken_in(tmp_path, "jpg", 1)
    path.unlink()
    assert shown_image(path, picture).isNull()

"""Derived pictures stand upright and carry pixels only."""

import io
import struct
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image, ImageOps

from hazardreport import errors
from hazardreport.case.picture import Picture
from hazardreport.evidence.derived import stand_in_jpeg, upright_image, upright_jpeg
from hazardreport.evidence.intake import take_in

MakePicture = Callable[..., Path]
RED, WHITE = (220, 20, 20), (255, 255, 255)


def taken_in(source: Path) -> tuple[Path, Picture]:
    picture = take_in(source, source.parent / "pictures", "picture-001", "")
    return source.parent / "pictures" / picture.file, picture


def near(found: object, wanted: tuple[int, int, int], by: int = 12) -> bool:
    assert isinstance(found, tuple)
    return all(abs(one - other) <= by for one, other in zip(found, wanted, strict=True))


def segments(data: bytes) -> Iterator[int]:
    """Markers of a JPEG up to its pixels."""
    position = 2
    while data[position + 1] != 0xDA:
        yield data[position + 1]
        position += 2 + struct.unpack(">H", data[position + 2 : position + 4])[0]


@pytest.mark.parametrize("orientation", range(1, 9))
def test_every_orientation_comes_out_as_pillow_transposes_it(jpeg: MakePicture, orientation: int) -> None:
    source = jpeg(top={0x0112: orientation})
    path, picture = taken_in(source)
    upright = upright_image(path, picture, 1000)
    with Image.open(source) as original:
        reference = ImageOps.exif_transpose(original)
    assert upright.size == (picture.width, picture.height) == reference.size
    assert upright.tobytes() == reference.tobytes()


@pytest.mark.parametrize(("longest", "size"), [(20, (20, 12)), (40, (40, 24)), (4000, (40, 24)), (1, (1, 1))])
def test_the_longest_side_fits_and_nothing_is_enlarged(jpeg: MakePicture, longest: int, size: tuple[int, int]) -> None:
    path, picture = taken_in(jpeg())
    assert upright_image(path, picture, longest).size == size


def test_a_large_picture_is_scaled_by_the_decoder_first(jpeg: MakePicture) -> None:
    image = Image.new("RGB", (1600, 1200), "white")
    image.paste(RED, (0, 0, 800, 600))
    path, picture = taken_in(jpeg(image=image, top={0x0112: 6}))
    upright = upright_image(path, picture, 200)
    assert upright.size == (150, 200)
    assert near(upright.getpixel((140, 10)), RED)
    assert near(upright.getpixel((10, 10)), WHITE)


def test_no_metadata_is_left(jpeg: MakePicture) -> None:
    source = jpeg(top={0x010F: "Lumenta", 0x0112: 3}, gps={1: "N", 2: (52.0, 5.0, 0.0), 3: "E", 4: (9.0, 3.0, 0.0)})
    path, picture = taken_in(source)
    data = upright_jpeg(path, picture, 30)
    assert set(segments(data)) <= {0xE0, 0xDB, 0xC0, 0xC4}
    assert b"Lumenta" not in data
    assert b"private" not in data
    assert upright_image(path, picture, 40).info == {}
    assert upright_jpeg(path, picture, 30) == data


def test_cmyk_becomes_rgb(jpeg: MakePicture) -> None:
    path, picture = taken_in(jpeg(image=Image.new("CMYK", (20, 10), (0, 255, 255, 0))))
    upright = upright_image(path, picture, 20)
    assert upright.mode == "RGB"
    assert near(upright.getpixel((5, 5)), (255, 0, 0))


def test_sixteen_bits_are_scaled_not_clipped(png: MakePicture) -> None:
    path, picture = taken_in(png("deep.png", Image.new("I;16", (8, 8), 0x8000)))
    assert near(upright_image(path, picture, 8).getpixel((3, 3)), (127, 127, 127), by=1)


def palette_with_transparency() -> Image.Image:
    image = Image.new("P", (8, 8), 0)
    image.putpalette([0, 0, 0, 220, 20, 20])
    image.putpixel((0, 0), 1)
    image.info["transparency"] = bytes([0, 255])
    return image


@pytest.mark.parametrize(
    ("image", "pixel", "colour"),
    [
        pytest.param(Image.new("RGBA", (8, 8), (0, 0, 0, 0)), (3, 3), WHITE, id="transparent"),
        pytest.param(Image.new("LA", (8, 8), (0, 255)), (3, 3), (0, 0, 0), id="grey with alpha"),
        pytest.param(palette_with_transparency(), (3, 3), WHITE, id="palette, transparent"),
        pytest.param(palette_with_transparency(), (0, 0), RED, id="palette, opaque"),
        pytest.param(Image.new("1", (8, 8), 1), (3, 3), WHITE, id="one bit"),
        pytest.param(Image.new("L", (8, 8), 100), (3, 3), (100, 100, 100), id="grey"),
    ],
)
def test_every_mode_becomes_rgb_on_white(
    png: MakePicture, image: Image.Image, pixel: tuple[int, int], colour: tuple[int, int, int]
) -> None:
    path, picture = taken_in(png("a.png", image))
    upright = upright_image(path, picture, 8)
    assert upright.mode == "RGB"
    assert near(upright.getpixel(pixel), colour, by=1)


def test_the_original_is_only_read(jpeg: MakePicture) -> None:
    path, picture = taken_in(jpeg())
    before = path.read_bytes()
    upright_jpeg(path, picture, 10)
    assert path.read_bytes() == before


def test_a_file_that_is_gone_or_broken_is_named(jpeg: MakePicture) -> None:
    path, picture = taken_in(jpeg(image=Image.effect_noise((100, 100), 50)))
    data = path.read_bytes()
    path.write_bytes(data[: len(data) // 2])
    with pytest.raises(errors.PictureDamagedError):
        upright_image(path, picture, 100)
    with pytest.raises(errors.PictureDamagedError):
        upright_image(path, replace(picture, media_type="image/png"), 100)
    path.unlink()
    with pytest.raises(errors.CouldNotReadError):
        upright_image(path, picture, 10)


def test_quality_changes_the_size_only(jpeg: MakePicture) -> None:
    path, picture = taken_in(jpeg(image=Image.effect_noise((100, 100), 50)))
    small, large = (upright_jpeg(path, picture, 100, quality=quality) for quality in (40, 95))
    assert len(small) < len(large)
    with Image.open(io.BytesIO(small)) as image:
        assert image.size == (100, 100)


@pytest.mark.parametrize(("upright", "size"), [((400, 240), (300, 180)), ((240, 400), (180, 300))])
def test_the_field_in_place_of_a_picture_stands_as_it_would(
    jpeg: MakePicture, upright: tuple[int, int], size: tuple[int, int]
) -> None:
    """Width and height of the record are those of the upright picture, whatever its orientation."""
    _, picture = taken_in(jpeg(image=Image.new("RGB", (400, 240), "red")))
    turned = replace(picture, orientation=6, width=upright[0], height=upright[1])
    data = stand_in_jpeg(turned, 300, "picture-001: changed; not shown.")
    with Image.open(io.BytesIO(data)) as image:
        assert image.size == size
        assert not image.getexif()
        assert image.convert("L").getextrema()[0] < 100

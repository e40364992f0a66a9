"""JPEG, PNG, TIFF, WebP and HEIC are taken in; what is more than one picture, or none that can be shown, is said."""

import io
import struct
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageOps, TiffImagePlugin

from hazardreport import errors, wording
from hazardreport.case.picture import Picture
from hazardreport.evidence import opening, source
from hazardreport.evidence.derived import upright_image
from hazardreport.evidence.intake import take_in
from hazardreport.evidence.kinds import PICTURES
from hazardreport.evidence.proof import proved
from tests.evidence.heic_files import heic, turned

RED, WHITE = (220, 20, 20), (255, 255, 255)
TakeIn = Callable[[bytes], tuple[Path, Picture]]
XMP = b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:Description exif:GPSLatitude="52,5.0N"/></x:xmpmeta>'


def drawing(width: int = 40, height: int = 24, mode: str = "RGB") -> Image.Image:
    """White with a red block in the top left quarter."""
    image = Image.new("RGB", (width, height), "white")
    image.paste(RED, (0, 0, width // 2, height // 2))
    return image.convert(mode)


def encoded(kind: str, image: Image.Image | None = None, **options: Any) -> bytes:
    buffer = io.BytesIO()
    (image or drawing()).save(buffer, kind, **options)
    return buffer.getvalue()


def exif(orientation: int = 1) -> Image.Exif:
    found = Image.Exif()
    found.update({0x010F: "Lumenta", 0x0110: "P5", 0x0112: orientation})
    found.get_ifd(0x8769).update({0x9003: "2026:05:03 17:04:05", 0x9011: "+02:00"})
    found.get_ifd(0x8825).update({1: "N", 2: (52.0, 5.0, 0.0), 3: "E", 4: (9.0, 3.0, 0.0)})
    return found


def tiff_with_claims() -> bytes:
    tags = TiffImagePlugin.ImageFileDirectory_v2()
    tags[0x010F], tags[0x0110] = "Lumenta", "P5"
    tags[0x8769] = {0x9003: "2026:05:03 17:04:05", 0x9011: "+02:00"}
    tags[0x8825] = {1: "N", 2: (52.0, 5.0, 0.0), 3: "E", 4: (9.0, 3.0, 0.0)}
    return encoded("TIFF", tiffinfo=tags)


@pytest.fixture
def take(tmp_path: Path) -> TakeIn:
    def take(data: bytes) -> tuple[Path, Picture]:
        path = tmp_path / "came as.jpg"
        path.write_bytes(data)
        picture = take_in(path, tmp_path / "pictures", "picture-001", "")
        return tmp_path / "pictures" / picture.file, picture

    return take


def refusal(take: TakeIn, data: bytes) -> errors.HazardReportError:
    with pytest.raises(errors.HazardReportError) as caught:
        take(data)
    assert wording.what(caught.value)
    assert "attached as it is" in wording.remedy(caught.value)
    return caught.value


def near(found: object, wanted: tuple[int, int, int], by: int = 12) -> bool:
    assert isinstance(found, tuple)
    return all(abs(one - other) <= by for one, other in zip(found, wanted, strict=True))


@pytest.mark.parametrize(
    ("data", "media_type", "size"),
    [
        pytest.param(encoded("TIFF"), "image/tiff", (40, 24), id="TIFF"),
        pytest.param(encoded("TIFF", big_tiff=True), "image/tiff", (40, 24), id="BigTIFF"),
        pytest.param(encoded("TIFF", compression="tiff_lzw"), "image/tiff", (40, 24), id="TIFF, LZW"),
        pytest.param(encoded("TIFF", compression="jpeg", quality=95), "image/tiff", (40, 24), id="TIFF, JPEG"),
        pytest.param(encoded("TIFF", drawing(mode="CMYK")), "image/tiff", (40, 24), id="TIFF, CMYK"),
        pytest.param(encoded("TIFF", drawing(mode="1"), compression="group4"), "image/tiff", (40, 24), id="TIFF, fax"),
        pytest.param(encoded("WEBP"), "image/webp", (40, 24), id="WebP"),
        pytest.param(encoded("WEBP", lossless=True), "image/webp", (40, 24), id="WebP, lossless"),
        pytest.param(encoded("JPEG", drawing(mode="CMYK")), "image/jpeg", (40, 24), id="JPEG, CMYK"),
        pytest.param(encoded("MPO", save_all=True, append_images=[drawing()]), "image/jpeg", (40, 24), id="MPO"),
        pytest.param(encoded("JPEG") + b"\0\0\0\x18ftypmp42" + bytes(999), "image/jpeg", (40, 24), id="motion photo"),
        pytest.param(heic("plain"), "image/heic", (48, 32), id="HEIC"),
        pytest.param(heic("ten-bit"), "image/heic", (48, 32), id="HEIC, 10 bit"),
    ],
)
def test_each_kind_is_taken_in_by_its_content(
    take: TakeIn, data: bytes, media_type: str, size: tuple[int, int]
) -> None:
    path, picture = take(data)
    assert (picture.media_type, path.suffix) == (media_type, PICTURES[media_type])
    assert (picture.width, picture.height) == size
    assert path.read_bytes() == data
    assert not proved(path, media_type, "").more
    upright = upright_image(path, picture, 100)
    assert upright.size == size
    assert near(upright.getpixel((size[0] - 4, size[1] - 4)), WHITE)


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("kind", ["PNG", "TIFF", "WEBP"])
def test_orientation_size_and_upright_picture_agree(take: TakeIn, kind: str, orientation: int) -> None:
    data = encoded(kind, exif=exif(orientation), **({"lossless": True} if kind == "WEBP" else {}))
    with Image.open(io.BytesIO(data)) as original:
        reference = ImageOps.exif_transpose(original).convert("RGB")

    path, picture = take(data)

    upright = upright_image(path, picture, 100)
    assert upright.size == (picture.width, picture.height) == reference.size
    assert upright.tobytes() == reference.tobytes()


@pytest.mark.parametrize(
    ("quarter_turns", "size", "red"), [(0, (48, 32), (2, 2)), (1, (32, 48), (2, 45)), (3, (32, 48), (29, 2))]
)
def test_a_turned_heic_stands_upright_and_its_orientation_is_one(
    take: TakeIn, quarter_turns: int, size: tuple[int, int], red: tuple[int, int]
) -> None:
    """Sizes and colours are those that heif-convert (libheif 1.15.1) gives for the same bytes."""
    path, picture = take(turned(heic("plain"), quarter_turns))
    upright = upright_image(path, picture, 100)
    assert (picture.width, picture.height) == upright.size == size
    assert picture.orientation == 1
    assert near(upright.getpixel(red), RED)
    assert near(upright.getpixel((size[0] // 2 + 4, size[1] // 2 + 4)), WHITE)


@pytest.mark.parametrize(
    "data",
    [
        pytest.param(encoded("PNG", exif=exif()), id="PNG"),
        pytest.param(tiff_with_claims(), id="TIFF"),
        pytest.param(encoded("WEBP", exif=exif()), id="WebP"),
        pytest.param(heic("claims"), id="HEIC"),
    ],
)
def test_every_kind_claims_time_camera_and_position(take: TakeIn, data: bytes) -> None:
    _, picture = take(data)
    assert picture.claimed_time == "2026-05-03T17:04:05+02:00"
    assert picture.camera in ("Lumenta P5", "P5")
    assert picture.has_position


def png_with_xmp() -> bytes:
    from PIL.PngImagePlugin import PngInfo

    text = PngInfo()
    text.add_itxt("XML:com.adobe.xmp", XMP.decode())
    return encoded("PNG", pnginfo=text)


@pytest.mark.parametrize(
    "data",
    [
        pytest.param(encoded("JPEG", xmp=XMP), id="JPEG"),
        pytest.param(encoded("WEBP", xmp=XMP), id="WebP"),
        pytest.param(encoded("TIFF", tiffinfo={700: XMP}), id="TIFF"),
        pytest.param(png_with_xmp(), id="PNG"),
    ],
)
def test_a_position_in_xmp_is_flagged(take: TakeIn, data: bytes) -> None:
    assert take(data)[1].has_position


@pytest.mark.parametrize(
    "data",
    [
        pytest.param(encoded("TIFF", save_all=True, append_images=[drawing(8, 8)]), id="TIFF of two pages"),
        pytest.param(encoded("PNG", save_all=True, append_images=[drawing(mode="L")]), id="animated PNG"),
        pytest.param(encoded("WEBP", save_all=True, append_images=[drawing().rotate(180)]), id="animated WebP"),
        pytest.param(heic("two"), id="HEIC of two pictures"),
    ],
)
def test_of_several_the_first_is_shown_and_that_is_known(take: TakeIn, data: bytes) -> None:
    path, picture = take(data)
    assert proved(path, picture.media_type, "").more
    upright = upright_image(path, picture, 100)
    assert upright.size == (picture.width, picture.height)
    assert near(upright.getpixel((2, 2)), RED, by=20)
    assert path.read_bytes() == data


@pytest.mark.parametrize("big_endian", [False, True])
def test_sixteen_bits_are_scaled_not_clipped(take: TakeIn, big_endian: bool) -> None:
    image = Image.new("I;16B" if big_endian else "I;16", (8, 8), 0x8000)
    path, picture = take(encoded("TIFF", image))
    assert near(upright_image(path, picture, 8).getpixel((3, 3)), (127, 127, 127), by=1)


def rgb_of_sixteen_bits() -> bytes:
    """A TIFF of one pixel with three samples of 16 bits, written by hand."""
    tags = [(256, 4, 1), (257, 4, 1), (258, 3, 3), (259, 3, 1), (262, 3, 1), (273, 4, 1), (277, 3, 1), (279, 4, 1)]
    offset = 8 + 2 + 12 * len(tags) + 4
    values = {256: 1, 257: 1, 258: offset, 259: 1, 262: 2, 273: offset + 6, 277: 3, 279: 6}
    entries = b"".join(struct.pack("<HHII", tag, kind, count, values[tag]) for tag, kind, count in tags)
    return (
        struct.pack("<2sHIH", b"II", 42, 8, len(tags)) + entries + bytes(4)
        + struct.pack("<HHH", 16, 16, 16) + struct.pack("<HHH", 0x8000, 0xFFFF, 0)
    )  # fmt: skip


def test_sixteen_bits_of_each_colour_are_scaled_not_clipped(take: TakeIn) -> None:
    path, picture = take(rgb_of_sixteen_bits())
    assert near(upright_image(path, picture, 8).getpixel((0, 0)), (128, 255, 0), by=1)


@pytest.mark.parametrize(
    ("data", "told"),
    [
        pytest.param(encoded("GIF"), "GIF", id="GIF"),
        pytest.param(encoded("GIF", save_all=True, append_images=[drawing(mode="L")]), "GIF", id="animated GIF"),
        pytest.param(encoded("BMP"), "BMP", id="BMP"),
        pytest.param(encoded("TIFF", Image.new("F", (4, 4), 0.5)), "TIFF (F)", id="TIFF of numbers"),
        pytest.param(encoded("TIFF", Image.new("I", (4, 4), 70000)), "TIFF (I)", id="TIFF of 32 bits"),
        pytest.param(encoded("TIFF", drawing(), tiffinfo={254: 1}), "camera raw", id="preview of a raw picture"),
        pytest.param(encoded("TIFF", drawing(), tiffinfo={50706: b"\1\4\0\0"}), "camera raw", id="DNG"),
    ],
)
def test_pictures_that_cannot_be_shown_are_refused_with_their_kind(take: TakeIn, data: bytes, told: str) -> None:
    error = refusal(take, data)
    assert isinstance(error, errors.PictureTypeRefusedError)
    assert told in wording.what(error)


def webp_header(width: int, height: int, chunk: bytes) -> bytes:
    if chunk == b"VP8X":
        body = bytes(4) + (width - 1).to_bytes(3, "little") + (height - 1).to_bytes(3, "little")
    elif chunk == b"VP8L":
        body = b"\x2f" + ((height - 1 & 0x3FFF) << 14 | (width - 1 & 0x3FFF)).to_bytes(4, "little")
    else:
        body = bytes(3) + b"\x9d\x01\x2a" + struct.pack("<HH", width, height)
    body = body.ljust(40, b"\0")
    return b"RIFF" + struct.pack("<I", 12 + len(body)) + b"WEBP" + chunk + struct.pack("<I", len(body)) + body


@pytest.mark.parametrize("chunk", [b"VP8X", b"VP8L", b"VP8 "])
def test_a_webp_that_claims_too_much_is_refused_before_its_decoder_is_made(
    take: TakeIn, chunk: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(opening._PLUGINS, opening.WEBP, lambda _: pytest.fail("decoder made"))
    error = refusal(take, webp_header(16_000, 10_000, chunk))
    assert isinstance(error, errors.PictureTooLargeError)
    assert (error.width, error.height) == (16_000, 10_000)


def test_a_tiff_and_a_heic_that_claim_too_much_are_refused_before_they_are_decoded(take: TakeIn) -> None:
    tiff = bytearray(rgb_of_sixteen_bits())
    tiff[18:22], tiff[30:34] = struct.pack("<I", 30_000), struct.pack("<I", 30_000)
    assert isinstance(refusal(take, bytes(tiff)), errors.PictureTooLargeError)
    data = heic("plain")
    size = struct.pack(">II", 48, 32)
    assert data.count(size) == 1
    assert isinstance(
        refusal(take, data.replace(size, struct.pack(">II", 30_000, 30_000))), errors.PictureTooLargeError
    )


@pytest.mark.parametrize("data", [encoded("WEBP"), heic("plain")], ids=["WebP", "HEIC"])
def test_kinds_that_are_held_in_memory_whole_have_a_limit_of_bytes(
    take: TakeIn, data: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(opening, "HELD_LIMIT", len(data) - 1)
    assert isinstance(refusal(take, data), errors.PictureFileTooBigError)


def test_a_tiff_with_endless_pages_is_read_no_further_than_its_first(take: TakeIn) -> None:
    data = encoded("TIFF", save_all=True, append_images=[drawing(8, 8)])
    with Image.open(io.BytesIO(data)) as image:
        assert isinstance(image, TiffImagePlugin.TiffImageFile)
        first = image.tag_v2._offset
    count = struct.unpack_from("<H", data, first)[0]
    link = first + 2 + 12 * count
    loop = data[:link] + struct.pack("<I", first) + data[link + 4 :]
    path, picture = take(loop)
    assert upright_image(path, picture, 100).size == (40, 24)


def test_the_limits_are_told_where_people_read_them() -> None:
    told = wording.template("cli.add_pictures.files")
    for number, unit in (
        (opening.PIXEL_LIMIT, "megapixels"),
        (source.PICTURE_BYTES, "megabytes"),
        (opening.HELD_LIMIT, ")"),
    ):
        assert f"{number // 1_000_000}{'' if unit == ')' else ' '}{unit}" in told
    assert f"{source.ATTACHMENT_BYTES // 1_000_000} megabytes" in wording.template("cli.attach.files")

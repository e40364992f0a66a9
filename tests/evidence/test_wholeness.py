"""A picture that ends too early is found, wherever it ends; so is one that changes while it is read."""

import io
import os
import struct
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, JpegImagePlugin

from hazardreport import errors
from hazardreport.evidence import source as source_of
from hazardreport.evidence.intake import take_in
from hazardreport.evidence.kinds import HEIC, JPEG, PNG, TIFF, WEBP
from hazardreport.evidence.proof import proved
from tests.evidence.heic_files import heic


def noise(mode: str = "RGB", width: int = 72, height: int = 56) -> Image.Image:
    return Image.effect_noise((width, height), 80).convert(mode)


def encoded(kind: str, image: Image.Image | None = None, **options: Any) -> bytes:
    buffer = io.BytesIO()
    (image or noise()).save(buffer, kind, **options)
    return buffer.getvalue()


JPEGS = [
    pytest.param(encoded("JPEG", quality=90), id="baseline"),
    pytest.param(encoded("JPEG", quality=90, progressive=True), id="progressive"),
    pytest.param(encoded("JPEG", quality=90, restart_marker_blocks=3), id="restart markers"),
    pytest.param(encoded("JPEG", noise("L"), quality=90), id="grey"),
    pytest.param(encoded("JPEG", noise("CMYK"), quality=90), id="CMYK"),
    pytest.param(encoded("JPEG", quality=95, subsampling=0), id="no subsampling"),
]


@pytest.mark.parametrize("number", range(10))
def test_a_missing_end_marker_is_found_although_every_pixel_is_there(tmp_path: Path, number: int) -> None:
    """Full decoding lets some of these pass; the preview in the header has an end marker of its own."""
    exif = Image.Exif()
    exif[0x010F] = "Lumenta"
    data = encoded("JPEG", noise(width=65 + number), quality=95, exif=exif.tobytes() + b"\xff\xd9" * 3)
    assert is_whole(tmp_path, data, JPEG)
    assert is_whole(tmp_path, data + bytes(200_000), JPEG)
    assert not is_whole(tmp_path, data[:-1], JPEG)
    assert not is_whole(tmp_path, data[:-2], JPEG)


def is_whole(tmp_path: Path, data: bytes, kind: str) -> bool:
    path = tmp_path / "picture"
    path.write_bytes(data)
    try:
        proved(path, kind, "picture")
    except errors.PictureDamagedError:
        return False
    return True


def places(length: int) -> Iterator[int]:
    """The last sixty bytes, and one in seventeen before."""
    yield from range(1, 60)
    yield from range(60, length - 4, 17)


@pytest.mark.parametrize("data", JPEGS)
def test_a_jpeg_cut_anywhere_is_found_as_surely_as_by_full_decoding(tmp_path: Path, data: bytes) -> None:
    assert is_whole(tmp_path, data, JPEG)
    for cut in places(len(data)):
        part = data[:-cut]
        if cut > 2:
            with pytest.raises((OSError, SyntaxError, IndexError)):
                JpegImagePlugin.JpegImageFile(io.BytesIO(part)).load()
        assert not is_whole(tmp_path, part, JPEG), cut


@pytest.mark.parametrize(
    ("data", "kind"),
    [
        pytest.param(encoded("PNG"), PNG, id="PNG"),
        pytest.param(encoded("TIFF"), TIFF, id="TIFF"),
        pytest.param(encoded("TIFF", compression="tiff_lzw"), TIFF, id="TIFF, LZW"),
        pytest.param(encoded("WEBP"), WEBP, id="WebP"),
        pytest.param(encoded("WEBP", lossless=True), WEBP, id="WebP, lossless"),
        pytest.param(heic("noise"), HEIC, id="HEIC"),
    ],
)
def test_other_kinds_cut_anywhere_are_found(tmp_path: Path, data: bytes, kind: str) -> None:
    assert is_whole(tmp_path, data, kind)
    assert [cut for cut in places(len(data)) if is_whole(tmp_path, data[:-cut], kind)] == []


@pytest.mark.parametrize("options", [{}, {"compression": "tiff_lzw"}, {"compression": "packbits"}], ids=str)
@pytest.mark.parametrize("tag", [0x0100, 0x0101], ids=["wider", "taller"])
def test_a_tiff_that_claims_more_than_its_strips_hold_is_found(
    tmp_path: Path, options: dict[str, Any], tag: int
) -> None:
    data = encoded("TIFF", **options)
    entry = max(data.find(struct.pack("<HHI", tag, kind, 1)) for kind in (3, 4))
    (number,) = struct.unpack_from("<I", data, entry + 8)
    assert not is_whole(tmp_path, data[: entry + 8] + struct.pack("<I", 5 * number) + data[entry + 12 :], TIFF)


def taller(data: bytes, height: int) -> bytes:
    """The same JPEG with another height in its frame header."""
    frame = next(place for marker in (b"\xff\xc0", b"\xff\xc2") if (place := data.find(marker)) > 0)
    return data[: frame + 5] + height.to_bytes(2, "big") + data[frame + 7 :]


@pytest.mark.parametrize("data", JPEGS)
@pytest.mark.parametrize("height", [72, 112, 560])
def test_a_jpeg_that_claims_more_rows_than_it_has_is_found(tmp_path: Path, data: bytes, height: int) -> None:
    """Decoders fill up with grey without an error, as the first line shows."""
    JpegImagePlugin.JpegImageFile(io.BytesIO(taller(data, height))).load()
    assert not is_whole(tmp_path, taller(data, height), JPEG)


@pytest.mark.parametrize("data", JPEGS)
def test_a_jpeg_cut_and_closed_again_is_found(tmp_path: Path, data: bytes) -> None:
    """Programs that recover pictures put an end marker behind what they have."""
    start = data.rindex(b"\xff\xda") if b"\xff\xc2" not in data else data.index(b"\xff\xda")
    for share in (0.3, 0.6, 0.9):
        end = start + int(share * (len(data) - start))
        if b"\xff\xc2" in data and data.count(b"\xff\xda", 0, end) > 1:
            continue
        assert not is_whole(tmp_path, data[:end].rstrip(b"\xff") + b"\xff\xd9", JPEG), share


@pytest.mark.parametrize("options", [{}, {"progressive": True}, {"restart_marker_blocks": 1}])
@pytest.mark.parametrize("mode", ["L", "RGB", "CMYK"])
def test_a_whole_picture_that_ends_in_the_same_grey_is_whole(
    tmp_path: Path, mode: str, options: dict[str, Any]
) -> None:
    image = Image.new(mode, (40, 24), (128,) * len(Image.new(mode, (1, 1)).getbands()))
    image.paste(Image.effect_noise((20, 12), 70).convert(mode), (0, 0))
    assert is_whole(tmp_path, encoded("JPEG", image, **options), JPEG)


def test_a_png_whose_sums_are_wrong_is_found(tmp_path: Path) -> None:
    data = encoded("PNG")
    for place in (len(data) - 1, len(data) - 14, data.index(b"IDAT") + 40):
        changed = data[:place] + bytes([data[place] ^ 1]) + data[place + 1 :]
        assert not is_whole(tmp_path, changed, PNG), place


@pytest.mark.parametrize("how", ["longer", "shorter", "rewritten"])
def test_a_file_that_changes_while_it_is_read_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, how: str
) -> None:
    path, folder = tmp_path / "a.jpg", tmp_path / "pictures"
    path.write_bytes(encoded("JPEG"))
    os.utime(path, (1_000_000, 1_000_000))
    read: Callable[..., bytes] = source_of._read

    def reading(stream: Any, source: Path) -> bytes:
        data = read(stream, source)
        if data and how == "longer":
            with path.open("ab") as more:
                more.write(b"more")
        elif how == "shorter":
            os.truncate(path, 10)
        elif data:
            with path.open("r+b") as other:
                other.seek(100)
                other.write(b"other")
        return data if how != "longer" or len(data) > 4 else b""

    monkeypatch.setattr(source_of, "_read", reading)
    with pytest.raises(errors.FileChangedWhileReadError):
        take_in(path, folder, "picture-001", "")
    assert list(folder.iterdir()) == []

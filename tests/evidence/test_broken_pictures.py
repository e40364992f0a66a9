"""Whatever a picture file holds, it is taken in whole or refused by an error of ours, without a warning."""

import io
import warnings
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from hazardreport.errors import HazardReportError
from hazardreport.evidence.derived import upright_jpeg
from hazardreport.evidence.intake import take_in
from tests.evidence.heic_files import heic


def sample(kind: str, mode: str, **options: Any) -> bytes:
    exif = Image.Exif()
    exif.update({0x010F: "Lumenta", 0x0112: 6, 0x0132: "2026:05:03 17:04:05"})
    exif.get_ifd(0x8769).update({0x9003: "2026:05:03 17:04:05", 0x9011: "+02:00"})
    exif.get_ifd(0x8825).update({1: "N", 2: (52.0, 5.0, 0.0), 3: "E", 4: (9.0, 3.0, 0.0)})
    buffer = io.BytesIO()
    Image.effect_noise((24, 16), 60).convert(mode).save(buffer, kind, exif=exif, **options)
    return buffer.getvalue()


SAMPLES = [
    *(sample("JPEG", mode) for mode in ("RGB", "L", "CMYK")),
    *(sample("PNG", mode) for mode in ("RGB", "RGBA", "P", "LA", "1", "I;16")),
    *(sample("TIFF", mode) for mode in ("RGB", "RGBA", "P", "CMYK", "1", "I;16")),
    *(sample("TIFF", "RGB", compression=name) for name in ("tiff_lzw", "tiff_adobe_deflate", "jpeg", "packbits")),
    *(sample("WEBP", mode) for mode in ("RGB", "RGBA")),
    sample("WEBP", "RGB", lossless=True),
    *(heic(name) for name in ("plain", "claims", "two", "noise")),
]


@st.composite
def broken(draw: st.DrawFn) -> bytes:
    """A picture with a few bytes changed, or a piece taken out or doubled."""
    data = bytearray(draw(st.sampled_from(SAMPLES)))
    for _ in range(draw(st.integers(1, 4))):
        place = draw(st.integers(0, len(data) - 1))
        kind = draw(st.sampled_from(["change", "change", "remove", "double"]))
        if kind == "change":
            data[place] = draw(st.integers(0, 255))
        elif kind == "remove":
            del data[place : place + draw(st.integers(1, 20))]
        else:
            data[place:place] = data[place : place + draw(st.integers(1, 20))]
        if not data:
            return b"\xff\xd8\xff"
    return bytes(data)


@given(data=broken())
@settings(derandomize=True, deadline=None, max_examples=800)
def test_a_broken_picture_is_whole_or_refused(tmp_path_factory: pytest.TempPathFactory, data: bytes) -> None:
    base = tmp_path_factory.getbasetemp() / "broken"
    folder = base / "pictures"
    folder.mkdir(parents=True, exist_ok=True)
    for path in folder.iterdir():
        path.unlink()
    source = base / "source.jpg"
    Path(source).write_bytes(data)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        try:
            picture = take_in(source, folder, "picture-001", "")
        except HazardReportError:
            assert list(folder.iterdir()) == []
            return
        assert (folder / picture.file).read_bytes() == data
        assert upright_jpeg(folder / picture.file, picture, 10).startswith(b"\xff\xd8")

"""Independent readers find nothing but pixels in any derived picture, whatever its original carried."""

import io
import json
import shutil
import subprocess
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType
from typing import Any

import exifread
import pytest
from PIL import Image

from hazardreport.case.picture import Cover, Picture
from hazardreport.evidence.derived import published_jpeg, stand_in_jpeg, upright_jpeg
from hazardreport.evidence.derived_cache import DerivedPictures
from hazardreport.evidence.intake import take_in
from tests.evidence.planted import HIDDEN, SECRETS, planted_jpeg, planted_png, planted_tiff, planted_webp, segments

COVER = Cover(id="cover-001", left=20, top=30, right=90, bottom=80, reason="face")
EXIFTOOL = shutil.which("exiftool")
HEIC = Path(__file__).parents[1] / "material" / "heic"
PIXELS_ONLY = {
    "SourceFile", "ExifTool:ExifToolVersion", "File:FileType", "File:FileTypeExtension", "File:MIMEType",
    "File:ImageWidth", "File:ImageHeight", "File:EncodingProcess", "File:BitsPerSample", "File:ColorComponents",
    "File:YCbCrSubSampling", "JFIF:JFIFVersion", "JFIF:ResolutionUnit", "JFIF:XResolution", "JFIF:YResolution",
    "Composite:ImageSize", "Composite:Megapixels",
    "File:FileName", "File:Directory", "File:FileSize", "File:FileModifyDate", "File:FileAccessDate",
    "File:FileInodeChangeDate", "File:FilePermissions",
}  # fmt: skip


SOURCES: Mapping[str, Callable[[int], bytes]] = MappingProxyType(
    {"jpg": planted_jpeg, "png": planted_png, "webp": planted_webp, "tif": planted_tiff}
)

Derive = Callable[[Path, Picture], bytes]
KINDS: Mapping[str, Derive] = MappingProxyType(
    {
        "report picture": lambda path, picture: DerivedPictures().jpeg(path, picture, 1600),
        "report picture, scaled": lambda path, picture: upright_jpeg(path, picture, 120),
        "thumbnail": lambda path, picture: upright_jpeg(path, picture, 64),
        "publication picture": lambda path, picture: published_jpeg(path, picture)[0],
        "stand-in": lambda path, picture: stand_in_jpeg(picture, 300, "picture-001 was changed; it is not shown."),
    }
)


@pytest.fixture(
    params=[(kind, turn) for kind in SOURCES for turn in (1, 6)], ids=lambda one: f"{one[0]}, turned {one[1]}"
)
def original(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[Path, Picture]:
    kind, turn = request.param
    source = tmp_path / f"source.{kind}"
    source.write_bytes(SOURCES[kind](turn))
    picture = take_in(source, tmp_path / "pictures", "picture-001", "")
    return tmp_path / "pictures" / picture.file, replace(picture, covers=(COVER,))


@pytest.fixture(params=KINDS)
def derived(request: pytest.FixtureRequest, original: tuple[Path, Picture]) -> bytes:
    return KINDS[request.param](*original)


def read_by_exiftool(path: Path) -> dict[str, Any]:
    assert EXIFTOOL is not None
    command = [EXIFTOOL, "-config", "", "-json", "-G", "-a", "-u", "-ee", str(path)]
    answer = subprocess.run(command, capture_output=True, check=True, timeout=60)
    found: dict[str, Any] = json.loads(answer.stdout)[0]
    return found


def test_only_pixels_and_their_tables_are_in_the_file(derived: bytes) -> None:
    """Walked by hand to the last byte: SOI, APP0, DQT, SOF0, DHT, SOS, EOI and nothing behind."""
    found = list(segments(derived))
    assert {marker for marker, _ in found} == {0xD8, 0xE0, 0xDB, 0xC0, 0xC4, 0xDA, 0xD9}
    assert [content for marker, content in found if marker == 0xE0] == [b"JFIF\0\x01\x01\0\0\x01\0\x01\0\0"]
    assert found[-1] == (0xD9, b"")
    assert [marker for marker, _ in found].count(0xDA) == 1


def test_exifread_finds_nothing(derived: bytes) -> None:
    """ExifRead 3.5.1, with maker's notes and thumbnails asked for."""
    assert not exifread.process_file(io.BytesIO(derived), details=True, extract_thumbnail=True)


@pytest.mark.skipif(EXIFTOOL is None, reason="exiftool is not installed")
def test_exiftool_finds_nothing(derived: bytes, tmp_path: Path) -> None:
    """exiftool (Phil Harvey), unknown tags, duplicates and embedded files asked for."""
    path = tmp_path / "derived.jpg"
    path.write_bytes(derived)
    assert set(read_by_exiftool(path)) <= PIXELS_ONLY


def test_no_planted_word_and_no_earlier_pixel_is_in_the_bytes(derived: bytes) -> None:
    assert not [secret for secret in SECRETS if secret in derived]
    with Image.open(io.BytesIO(derived)) as image:
        pixels = image.convert("RGB").get_flattened_data()
    assert all(max(abs(one - other) for one, other in zip(pixel, HIDDEN, strict=True)) > 60 for pixel in set(pixels))


def test_pillow_reads_no_profile_no_comment_and_one_picture(derived: bytes) -> None:
    with Image.open(io.BytesIO(derived)) as image:
        assert image.format == "JPEG"
        assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
        assert not image.getexif()
        assert getattr(image, "n_frames", 1) == 1


# what was planted is there, or the tests above prove nothing


@pytest.mark.parametrize("kind", ["jpg", "png"])
def test_exifread_finds_what_was_planted(kind: str) -> None:
    """In the two whose Exif block is our own; Pillow wrote that of the others, which exiftool reads below."""
    found = exifread.process_file(io.BytesIO(SOURCES[kind](6)), details=True, extract_thumbnail=True)
    assert str(found["EXIF CameraOwnerName"]) == "Ottilie Quandt"
    assert str(found["EXIF BodySerialNumber"]) == "SN-40417733"
    assert str(found["GPS GPSLatitudeRef"]) == "N"
    assert "EXIF MakerNote" in found
    assert found["JPEGThumbnail"]


PLANTED: Mapping[str, Mapping[str, str]] = MappingProxyType(
    {
        "jpg": {
            "EXIF:OwnerName": "Ottilie Quandt",
            "EXIF:SerialNumber": "SN-40417733",
            "EXIF:GPSLatitude": "52 deg",
            "EXIF:ThumbnailImage": "(Binary data",
            "XMP:City": "Birkenweg 9",
            "IPTC:Sub-location": "Birkenweg 9",
            "File:Comment": "secret-comment",
            "MPF:NumberOfImages": "2",
            "ICC_Profile:ProfileDescription": "SN-40417733",
        },
        "png": {
            "EXIF:OwnerName": "Ottilie Quandt",
            "EXIF:ThumbnailImage": "(Binary data",
            "XMP:City": "Birkenweg 9",
            "PNG:Author": "Ottilie Quandt",
            "PNG:Comment": "secret-comment",
            "PNG:Source": "Birkenweg 9",
            "ICC_Profile:ProfileDescription": "SN-40417733",
        },
        "webp": {
            "EXIF:OwnerName": "Ottilie Quandt",
            "EXIF:GPSLatitude": "52 deg",
            "XMP:City": "Birkenweg 9",
            "ICC_Profile:ProfileDescription": "SN-40417733",
        },
        "tif": {
            "EXIF:Artist": "Ottilie Quandt",
            "EXIF:Copyright": "SN-40417733 Birkenweg 9",
            "XMP:City": "Birkenweg 9",
            "IPTC:Sub-location": "Birkenweg 9",
            "ICC_Profile:ProfileDescription": "SN-40417733",
        },
    }
)


@pytest.mark.skipif(EXIFTOOL is None, reason="exiftool is not installed")
@pytest.mark.parametrize("kind", SOURCES)
def test_exiftool_finds_what_was_planted(kind: str, tmp_path: Path) -> None:
    path = tmp_path / f"source.{kind}"
    path.write_bytes(SOURCES[kind](6))
    found = read_by_exiftool(path)
    assert {name: str(found.get(name))[: len(text)] for name, text in PLANTED[kind].items()} == PLANTED[kind]


NOT_WRITTEN = MappingProxyType(
    {
        "jpg": [],
        "png": [b"secret-comment", b"secret-iptc"],
        "webp": [b"secret-comment", b"secret-tail", b"secret-iptc"],
        "tif": [],
    }
)
"""What a kind has no place for, or holds compressed."""


@pytest.mark.parametrize("kind", SOURCES)
def test_the_planted_words_are_in_the_source(kind: str) -> None:
    data = SOURCES[kind](1)
    assert [secret for secret in SECRETS if secret not in data] == NOT_WRITTEN[kind]
    if kind == "jpg":
        assert data.count(b"\xff\xd8\xff") == 3


@pytest.mark.skipif(EXIFTOOL is None, reason="exiftool is not installed")
@pytest.mark.parametrize("kind", KINDS)
def test_nothing_of_a_heic_is_passed_on(kind: str, tmp_path: Path) -> None:
    source = HEIC / "claims.heic"
    found = read_by_exiftool(source)
    assert (found["EXIF:Make"], found["EXIF:GPSLongitudeRef"]) == ("Lumenta", "East")
    picture = take_in(source, tmp_path / "pictures", "picture-001", "")
    hidden = Cover(id="cover-001", left=2, top=2, right=9, bottom=7)
    data = KINDS[kind](tmp_path / "pictures" / picture.file, replace(picture, covers=(hidden,)))
    (tmp_path / "derived.jpg").write_bytes(data)
    assert set(read_by_exiftool(tmp_path / "derived.jpg")) <= PIXELS_ONLY
    assert not exifread.process_file(io.BytesIO(data), details=True, extract_thumbnail=True)
    assert {marker for marker, _ in segments(data)} == {0xD8, 0xE0, 0xDB, 0xC0, 0xC4, 0xDA, 0xD9}

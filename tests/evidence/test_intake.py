"""Pictures are in, whole and untouched, or not at all."""

import errno
import hashlib
import os
import socket
import subprocess
import sys
import time
import warnings
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from hazardreport import errors, wording
from hazardreport.evidence import disk, intake, proof
from hazardreport.evidence import source as source_of
from hazardreport.evidence.intake import take_in
from hazardreport.evidence.names import shown_name

NOW = "2026-05-04T10:00:00Z"
MakePicture = Callable[..., Path]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "case" / "pictures"


def refusal(source: Path, folder: Path) -> errors.HazardReportError:
    """The error with which a file is refused; nothing is left of it."""
    before = sorted(folder.iterdir()) if folder.exists() else []
    with pytest.raises(errors.HazardReportError) as caught:
        take_in(source, folder, "picture-001", NOW)
    assert (sorted(folder.iterdir()) if folder.exists() else []) == before
    assert wording.what(caught.value)
    assert wording.remedy(caught.value)
    return caught.value


def test_the_original_bytes_are_kept_with_their_hash(jpeg: MakePicture, folder: Path) -> None:
    source = jpeg(image=Image.new("RGB", (40, 24), "red"))
    picture = take_in(source, folder, "picture-003", NOW)
    data = source.read_bytes()

    assert picture.file == "picture-003.jpg"
    assert (folder / picture.file).read_bytes() == data
    assert picture.sha256 == hashlib.sha256(data).hexdigest()
    assert (picture.size, picture.width, picture.height) == (len(data), 40, 24)
    assert (picture.media_type, picture.original_name, picture.imported) == ("image/jpeg", "plate.jpg", NOW)
    assert [path.name for path in folder.iterdir()] == ["picture-003.jpg"]


def test_the_kind_is_told_by_content(png: MakePicture, folder: Path) -> None:
    source = png("plate.jpg", Image.new("RGB", (3, 2)))
    picture = take_in(source, folder, "picture-001", NOW)
    assert (picture.media_type, picture.file) == ("image/png", "picture-001.png")


@pytest.mark.parametrize("orientation", range(1, 9))
def test_size_is_that_of_the_upright_picture(jpeg: MakePicture, folder: Path, orientation: int) -> None:
    picture = take_in(jpeg(top={0x0112: orientation}), folder, "picture-001", NOW)
    assert picture.orientation == orientation
    assert (picture.width, picture.height) == ((40, 24) if orientation < 5 else (24, 40))


@pytest.mark.parametrize("orientation", [0, 9, 65535])
def test_an_impossible_orientation_counts_as_none(jpeg: MakePicture, folder: Path, orientation: int) -> None:
    assert take_in(jpeg(top={0x0112: orientation}), folder, "picture-001", NOW).orientation == 1


@pytest.mark.parametrize(
    ("top", "details", "time"),
    [
        ({}, {0x9003: "2026:05:03 17:04:05", 0x9011: "+02:00"}, "2026-05-03T17:04:05+02:00"),
        ({}, {0x9003: "2026:05:03 17:04:05"}, "2026-05-03T17:04:05"),
        ({}, {0x9003: "2026:05:03 17:04:05", 0x9011: "local"}, "2026-05-03T17:04:05"),
        ({0x0132: "2026:05:06 00:00:00"}, {0x9010: "-05:00"}, "2026-05-06T00:00:00-05:00"),
        ({0x0132: "2026:05:06 00:00:00"}, {0x9003: "0000:00:00 00:00:00"}, "2026-05-06T00:00:00"),
        ({}, {0x9003: "yesterday"}, ""),
        ({}, {}, ""),
    ],
)
def test_time_is_what_the_file_claims(
    jpeg: MakePicture, folder: Path, top: dict[int, str], details: dict[int, str], time: str
) -> None:
    assert take_in(jpeg(top=top, details=details), folder, "picture-001", NOW).claimed_time == time


def test_camera_and_position_are_claims_of_the_file(jpeg: MakePicture, folder: Path) -> None:
    gps = {1: "N", 2: (52.0, 5.0, 0.0), 3: "E", 4: (9.0, 3.0, 0.0)}
    source = jpeg(top={0x010F: "Lumenta\x00", 0x0110: "Lumenta P5"}, gps=gps)
    picture = take_in(source, folder, "picture-001", NOW)
    assert (picture.camera, picture.has_position) == ("Lumenta P5", True)
    assert not take_in(jpeg("other.jpg"), folder, "picture-002", NOW).has_position


def test_broken_metadata_claims_nothing_and_says_nothing(jpeg: MakePicture, folder: Path) -> None:
    source = jpeg(top={0x010F: "Lumenta", 0x0112: 6})
    data = source.read_bytes()
    start = data.index(b"Exif\0\0")
    source.write_bytes(data[: start + 14] + b"\xff" * 30 + data[start + 44 :])
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        picture = take_in(source, folder, "picture-001", NOW)
    assert (picture.orientation, picture.camera) == (1, "")


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("pot\u202egpj.jpg", "pot[U+202E]gpj.jpg"),
        ("line\nbreak\x07.jpg", "line[U+000A]break[U+0007].jpg"),
        ("Größe 大.jpg", "Größe 大.jpg"),
        ("x" * 300, "x" * 200 + "…"),
        ("half \udc80.jpg", "half [U+DC80].jpg"),
        ("para\u2029.jpg", "para[U+2029].jpg"),
    ],
)
def test_odd_characters_of_a_name_are_shown_not_obeyed(name: str, shown: str) -> None:
    assert shown_name(name) == shown


def test_a_name_that_is_no_text_is_taken_in(jpeg: MakePicture, folder: Path, tmp_path: Path) -> None:
    odd = os.fsencode(tmp_path) + b"/odd\xff\n.jpg"
    os.rename(jpeg(), odd)
    assert take_in(Path(os.fsdecode(odd)), folder, "picture-001", NOW).original_name == "odd\\xff\\u{a}.jpg"


def test_a_text_named_as_picture_is_refused(tmp_path: Path, folder: Path) -> None:
    source = tmp_path / "photo.jpg"
    source.write_text("this is no picture", encoding="utf-8")
    assert isinstance(refusal(source, folder), errors.NotAPictureError)


@pytest.mark.parametrize(
    ("start", "kind"),
    [
        (b"GIF89a", "GIF"),
        (b"BM\x7a\0\0\0\0\0\0\0", "BMP"),
        (b"\0\0\0\x1cftypavif\0\0\0\0mif1", "AVIF"),
        (b"\0\0\0\x1cftypmif1\0\0\0\0avifmif1", "AVIF"),
        (b"II*\0\x10\0\0\0CR\x02\0", "camera raw"),
        (b"\0\0\0\x0cJXL \r\n\x87\n", "JPEG XL"),
    ],
)
def test_other_kinds_are_refused_by_their_name(tmp_path: Path, folder: Path, start: bytes, kind: str) -> None:
    source = tmp_path / "photo.jpg"
    source.write_bytes(start + b"\0" * 100)
    error = refusal(source, folder)
    assert isinstance(error, errors.PictureTypeRefusedError)
    assert error.type == kind


def test_zero_bytes_are_refused(tmp_path: Path, folder: Path) -> None:
    source = tmp_path / "photo.jpg"
    source.touch()
    assert isinstance(refusal(source, folder), errors.EmptyFileError)


@pytest.mark.parametrize("kept", [0.2, 0.6, 0.95])
def test_a_truncated_jpeg_is_refused(jpeg: MakePicture, folder: Path, kept: float) -> None:
    image = Image.effect_noise((200, 200), 60)
    source = jpeg(image=image)
    data = source.read_bytes()
    source.write_bytes(data[: int(len(data) * kept)])
    assert isinstance(refusal(source, folder), errors.PictureDamagedError)


@pytest.mark.parametrize("kept", [0.2, 0.6, 0.95])
def test_a_truncated_png_is_refused(png: MakePicture, folder: Path, kept: float) -> None:
    source = png("a.png", Image.effect_noise((200, 200), 60))
    data = source.read_bytes()
    source.write_bytes(data[: int(len(data) * kept)])
    assert isinstance(refusal(source, folder), errors.PictureDamagedError)


@pytest.mark.parametrize("size", [(30_000, 30_000), (65_535, 65_535), (12_001, 10_000)])
def test_more_pixels_than_allowed_are_refused_without_decoding(
    claiming_png: Callable[[int, int], Path], folder: Path, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(proof, "decoded", lambda *_: pytest.fail("decoded"))
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        error = refusal(claiming_png(*size), folder)
    assert isinstance(error, errors.PictureTooLargeError)
    assert (error.width, error.height, error.limit) == (*size, 120)


def test_a_jpeg_that_claims_a_huge_size_is_refused(jpeg: MakePicture, folder: Path) -> None:
    source = jpeg()
    data = bytearray(source.read_bytes())
    frame = data.index(b"\xff\xc0")
    data[frame + 5 : frame + 9] = b"\xff\xff\xff\xff"
    source.write_bytes(bytes(data))
    assert isinstance(refusal(source, folder), errors.PictureTooLargeError)


def test_a_picture_between_pillows_own_limits_makes_no_warning(png: MakePicture, folder: Path) -> None:
    source = png("large.png", Image.new("1", (10_000, 10_000)))
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        picture = take_in(source, folder, "picture-001", NOW)
    assert picture.width * picture.height == 100_000_000


def test_more_bytes_than_allowed_are_refused(jpeg: MakePicture, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(source_of, "PICTURE_BYTES", 100)
    assert isinstance(refusal(jpeg(), folder), errors.PictureFileTooBigError)


def test_what_is_no_file_is_refused(tmp_path: Path, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    fifo = tmp_path / "pipe.jpg"
    os.mkfifo(fifo)
    started = time.monotonic()
    assert isinstance(refusal(fifo, folder), errors.NotAFileError)
    assert time.monotonic() - started < 2
    assert isinstance(refusal(tmp_path, folder), errors.NotAFileError)
    assert isinstance(refusal(Path("/dev/zero"), folder), errors.NotAFileError)
    with socket.socket(socket.AF_UNIX) as server:
        monkeypatch.chdir(tmp_path)
        server.bind("s.jpg")
        assert isinstance(refusal(tmp_path / "s.jpg", folder), errors.NotAFileError)


def test_links_are_followed_and_dead_links_named(jpeg: MakePicture, tmp_path: Path, folder: Path) -> None:
    link, dead = tmp_path / "link.jpg", tmp_path / "dead.jpg"
    link.symlink_to(jpeg())
    dead.symlink_to(tmp_path / "nowhere.jpg")
    picture = take_in(link, folder, "picture-001", NOW)
    assert picture.original_name == "link.jpg"
    assert not (folder / picture.file).is_symlink()
    assert isinstance(refusal(dead, folder), errors.PictureFileMissingError)
    loop = tmp_path / "loop.jpg"
    loop.symlink_to(loop)
    assert isinstance(refusal(loop, folder), errors.CouldNotReadError)


def test_a_file_that_is_there_is_never_overwritten(jpeg: MakePicture, folder: Path) -> None:
    first = take_in(jpeg(), folder, "picture-001", NOW)
    second = take_in(jpeg("b.jpg", Image.new("RGB", (9, 9))), folder, "picture-001", NOW)
    assert (first.file, second.file) == ("picture-001.jpg", "picture-001-2.jpg")
    assert (folder / first.file).read_bytes() != (folder / second.file).read_bytes()


@pytest.mark.parametrize("call", [1, 2])
def test_a_full_disk_leaves_nothing(
    jpeg: MakePicture, folder: Path, monkeypatch: pytest.MonkeyPatch, call: int
) -> None:
    calls: list[int] = []

    def full(descriptor: int, data: bytes) -> int:
        calls.append(1)
        if len(calls) < call:
            return os.write(descriptor, data[: len(data) // 2])
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(disk, "write", full)
    error = refusal(jpeg(), folder)
    assert isinstance(error, errors.CouldNotWriteError)
    assert error.exit_code == errors.ExitCode.COULD_NOT_WRITE


UNPRIVILEGED = """
import os, sys
from pathlib import Path
from hazardreport.errors import HazardReportError
from hazardreport.evidence.intake import take_in
os.setgroups([]); os.setgid(65534); os.setuid(65534)
try:
    take_in(Path(sys.argv[1]), Path(sys.argv[2]), "picture-001", "")
except HazardReportError as error:
    print(type(error).__name__)
"""


@pytest.mark.skipif(sys.platform == "win32" or os.getuid() != 0, reason="changes its user, which only root may")
@pytest.mark.parametrize(("source_mode", "error"), [(0o000, "CouldNotReadError"), (0o644, "CouldNotWriteError")])
def test_missing_permissions_are_named(jpeg: MakePicture, source_mode: int, error: str) -> None:
    source = jpeg()
    folder = source.parent / "pictures"
    folder.mkdir(mode=0o555)
    source.chmod(source_mode)
    for place in (source.parent, *source.parent.parents[:3]):
        place.chmod(place.stat().st_mode | 0o011)
    root = Path(intake.__file__).parents[2]
    result = subprocess.run(
        [sys.executable, "-c", UNPRIVILEGED, str(source), str(folder)],
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
        cwd=root,
    )
    assert result.stdout.strip() == error, result.stderr

"""Any regular file can be attached: bytes untouched, kind by content, never under a suffix that a system would run."""

import hashlib
import os
import zipfile
from pathlib import Path

import pytest
from PIL import Image

from hazardreport import errors, wording
from hazardreport.evidence import source
from hazardreport.evidence.intake import take_in_attachment
from hazardreport.evidence.names import original_name
from tests.evidence.heic_files import heic

NOW = "2026-05-04T10:00:00Z"
ELF, MZ, MACHO = b"\x7fELF\x02\x01\x01" + bytes(90), b"MZ\x90" + bytes(90), b"\xcf\xfa\xed\xfe" + bytes(90)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "case" / "attachments"


@pytest.mark.parametrize(
    ("name", "data", "media_type", "file"),
    [
        ("invoice.pdf", b"%PDF-1.7\n%\xe2\xe3", "application/pdf", "attachment-002.pdf"),
        ("invoice.exe", b"%PDF-1.7\n%\xe2\xe3", "application/pdf", "attachment-002.pdf"),
        ("smoke.mp4", b"\0\0\0\x20ftypisom" + bytes(20), "video/mp4", "attachment-002.mp4"),
        ("smoke.MOV", b"\0\0\0\x14ftypqt  " + bytes(20), "video/quicktime", "attachment-002.mov"),
        ("old.mov", b"\0\0\1\0moov" + bytes(20), "video/quicktime", "attachment-002.mov"),
        ("a.webm", b"\x1a\x45\xdf\xa3\x9f\x42\x82\x84webm", "video/webm", "attachment-002.webm"),
        ("a.mkv", b"\x1a\x45\xdf\xa3\xa3\x42\x82\x88matroska", "video/x-matroska", "attachment-002.mkv"),
        ("a.avi", b"RIFF\0\0\0\0AVI LIST", "video/x-msvideo", "attachment-002.avi"),
        ("a.wav", b"RIFF\0\0\0\0WAVEfmt ", "audio/wav", "attachment-002.wav"),
        ("a.xyz", b"RIFF\0\0\0\0XYZ LIST\0\1", "application/octet-stream", "attachment-002.bin"),
        ("letter.docx", b"PK\x03\x04" + bytes(30), "application/zip", "attachment-002.docx"),
        ("tool.jar", b"PK\x03\x04" + bytes(30), "application/zip", "attachment-002.zip"),
        ("note", "Größe: 大\n".encode(), "text/plain", "attachment-002.txt"),
        ("Log.CSV", b"time,volt\n1,2\n", "text/plain", "attachment-002.csv"),
        ("run.sh", b"#!/bin/sh\nrm -rf ~\n", "text/plain", "attachment-002.txt"),
        ("page.html", b"<script>alert(1)</script>", "text/plain", "attachment-002.txt"),
        ("tool.exe", MZ, "application/octet-stream", "attachment-002.bin"),
        ("tool.pdf", ELF, "application/octet-stream", "attachment-002.bin"),
        ("tool.app", MACHO, "application/octet-stream", "attachment-002.bin"),
        ("photo.gif", b"GIF89a" + bytes(20), "image/gif", "attachment-002.gif"),
        ("photo.heic", heic("plain"), "image/heic", "attachment-002.heic"),
        ("raw.CR2", b"II*\0\x10\0\0\0CR\x02\0", "image/x-raw", "attachment-002.cr2"),
        ("broken.jpg", b"\xff\xd8\xff\xe0 no picture", "image/jpeg", "attachment-002.jpg"),
        ("short", b"MZ\x90\0", "application/octet-stream", "attachment-002.bin"),
        ("cut", b"text \xf0\x9f\xa7", "application/octet-stream", "attachment-002.bin"),
        ("one byte", b"\0", "application/octet-stream", "attachment-002.bin"),
    ],
)
def test_the_kind_is_told_by_content_and_the_suffix_is_harmless(
    tmp_path: Path, folder: Path, name: str, data: bytes, media_type: str, file: str
) -> None:
    path = tmp_path / name
    path.write_bytes(data)
    path.chmod(0o755)
    attachment = take_in_attachment(path, folder, "attachment-002", NOW)

    assert (attachment.media_type, attachment.file) == (media_type, file)
    assert (folder / file).read_bytes() == data
    assert (folder / file).stat().st_mode & 0o111 == 0
    assert (attachment.sha256, attachment.size) == (hashlib.sha256(data).hexdigest(), len(data))
    assert (attachment.original_name, attachment.imported) == (name, NOW)
    assert [one.name for one in folder.iterdir()] == [file]


def test_real_files_of_other_programs_are_known(tmp_path: Path, folder: Path) -> None:
    """Written by Python's zipfile and by Pillow's PDF writer."""
    with zipfile.ZipFile(tmp_path / "a", "w") as archive:
        archive.writestr("x", "y")
    Image.new("RGB", (8, 8)).save(tmp_path / "b", "PDF")
    assert take_in_attachment(tmp_path / "a", folder, "attachment-001", "").file == "attachment-001.zip"
    assert take_in_attachment(tmp_path / "b", folder, "attachment-002", "").file == "attachment-002.pdf"


def test_a_text_may_be_cut_within_a_character(tmp_path: Path, folder: Path) -> None:
    path = tmp_path / "long"
    for shift in range(4):
        path.write_text("x" * shift + "🧯" * 3000, encoding="utf-8")
        assert take_in_attachment(path, folder, "attachment-001", "").media_type == "text/plain"


def test_the_name_is_kept_to_the_byte(tmp_path: Path, folder: Path) -> None:
    path = os.fsencode(tmp_path) + b"/odd\xff\n\\.txt"
    with open(path, "wb") as stream:
        stream.write(b"x")
    attachment = take_in_attachment(Path(os.fsdecode(path)), folder, "attachment-001", "")
    assert os.fsencode(original_name(attachment.original_name)) == b"odd\xff\n\\.txt"


def test_what_cannot_be_attached_is_refused_and_nothing_is_left(
    tmp_path: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "empty").touch()
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "large").write_bytes(b"x" * 101)
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    (tmp_path / "to pipe").symlink_to(tmp_path / "pipe")
    monkeypatch.setattr(source, "ATTACHMENT_BYTES", 100)
    wanted = {
        "empty": errors.EmptyFileError,
        "pipe": errors.NotAFileError,
        "to pipe": errors.NotAFileError,
        "large": errors.AttachmentTooBigError,
        "loop": errors.CouldNotReadError,
        "gone": errors.PictureFileMissingError,
        ".": errors.NotAFileError,
    }
    for name, error in wanted.items():
        with pytest.raises(error) as caught:
            take_in_attachment(tmp_path / name, folder, "attachment-001", "")
        assert wording.what(caught.value)
        assert wording.remedy(caught.value)
        assert not folder.exists() or not list(folder.iterdir())

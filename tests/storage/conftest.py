"""A small saved case, and its pack."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from hazardreport.case.attachment import Attachment
from hazardreport.case.case import Case
from hazardreport.case.picture import Picture
from hazardreport.storage import files
from hazardreport.storage.folder import create_case, save_case
from hazardreport.storage.pack import pack_case

PICTURE, ATTACHMENT = b"the bytes of a picture, as far as storage cares", b"%PDF-1.7 a note"
NOON = "2026-06-01T12:00:00Z"


def small_case(folder: Path, case: Case, stray: dict[str, bytes] | None = None) -> Path:
    """The folder of the case, saved with one picture, one attachment and files that nobody names."""
    made = create_case(folder, case)
    (folder / "attachments").mkdir(exist_ok=True)
    for name, content in {
        "pictures/picture-001.jpg": PICTURE,
        "attachments/attachment-001.pdf": ATTACHMENT,
        **(stray or {}),
    }.items():
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_bytes(content)
    picture = Picture(
        id="picture-001",
        file="picture-001.jpg",
        original_name="plate.jpg",
        media_type="image/jpeg",
        sha256=files.digest(PICTURE),
        size=len(PICTURE),
        width=4,
        height=3,
    )
    attachment = Attachment(
        id="attachment-001",
        file="attachment-001.pdf",
        original_name="note.pdf",
        media_type="application/pdf",
        sha256=files.digest(ATTACHMENT),
        size=len(ATTACHMENT),
    )
    save_case(replace(made, pictures=(picture,), attachments=(attachment,)), folder)
    return folder


@pytest.fixture
def case_folder(tmp_path: Path) -> Path:
    return small_case(tmp_path / "case", Case(id="HR-2026/7", title="Wax pot", created=NOON))


@pytest.fixture
def make_case(tmp_path: Path) -> Callable[..., Path]:
    """A case of any number, with files that nobody names."""

    def made(case: Case, stray: dict[str, bytes] | None = None, name: str = "made") -> Path:
        return small_case(tmp_path / name, case, stray)

    return made


@pytest.fixture
def packed(case_folder: Path, tmp_path: Path) -> Path:
    """The pack of the small case."""
    return pack_case(case_folder, tmp_path / "case.zip", created=NOON).path

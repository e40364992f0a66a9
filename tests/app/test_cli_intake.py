"""The command line: pictures and attachments copied into a case."""

import io
import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from hazardreport.errors import CouldNotWriteError
from hazardreport.evidence.names import original_name
from hazardreport.resources_dir import DEMO_CASE
from hazardreport.storage import folder as storage_folder
from tests.evidence.heic_files import heic

Answered = Callable[..., Any]
PICTURE = DEMO_CASE / "pictures" / "picture-003.jpg"


@pytest.fixture
def case(answered: Answered, tmp_path: Path) -> Path:
    answered("new", tmp_path / "case")
    return tmp_path / "case"


def record(folder: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((folder / "case.json").read_text(encoding="utf-8"))["case"]
    return found


def lying(folder: Path) -> list[str]:
    return sorted(str(path.relative_to(folder)) for path in folder.glob("*/*"))


def made(tmp_path: Path, **files: bytes) -> list[Path]:
    paths = [tmp_path / name.replace("_", ".") for name in files]
    for path, data in zip(paths, files.values(), strict=True):
        path.write_bytes(data)
    return paths


def encoded(kind: str, colour: str = "red", **options: Any) -> bytes:
    buffer = io.BytesIO()
    Image.new("RGB", (16, 12), colour).save(buffer, kind, **options)
    return buffer.getvalue()


def test_any_file_is_attached_byte_for_byte(answered: Answered, case: Path, tmp_path: Path) -> None:
    sources = made(tmp_path, invoice_pdf=b"%PDF-1.7", smoke_mp4=b"\0\0\0\x20ftypisom", tool_exe=b"MZ\x90\0")

    answer = answered("attach", case, *sources, PICTURE)

    assert answer.code == 0
    assert "4 of 4 files were attached; the case is now revision 2." in answer.out
    assert "4 of 4 files looked at" in answer.err
    found = record(case)["attachments"]
    assert [one["original_name"] for one in found] == ["invoice.pdf", "smoke.mp4", "tool.exe", "picture-003.jpg"]
    assert [one["file"].rpartition(".")[2] for one in found] == ["pdf", "mp4", "bin", "jpg"]
    for one, source in zip(found, (*sources, PICTURE), strict=True):
        assert (case / "attachments" / one["file"]).read_bytes() == source.read_bytes()
    assert "pictures" not in record(case) or record(case)["pictures"] == []
    assert answered("verify", case).code == 0


def test_what_is_attached_already_is_not_attached_twice(answered: Answered, case: Path, tmp_path: Path) -> None:
    (source,) = made(tmp_path, invoice_pdf=b"%PDF-1.7")
    answered("attach", case, source)

    answer = answered("attach", "--quiet", case, source, tmp_path / "gone.pdf")

    assert answer.code == 3
    assert "invoice.pdf is already in the case, as attachment-001" in answer.err
    assert "gone.pdf" in answer.err
    assert "looked at" not in answer.err
    assert "No file was attached" in answer.out
    assert len(record(case)["attachments"]) == 1


def test_every_kind_of_picture_is_added_in_order_and_several_pages_are_told(
    answered: Answered, case: Path, tmp_path: Path
) -> None:
    two = encoded("TIFF", save_all=True, append_images=[Image.new("RGB", (9, 9))])
    sources = made(tmp_path, d_heic=heic("plain"), c_webp=encoded("WEBP"), b_tif=two, a_png=encoded("PNG"))

    answer = answered("add-pictures", case, *sources)

    assert answer.code == 0
    assert [(one["original_name"], one["file"]) for one in record(case)["pictures"]] == [
        ("d.heic", "picture-001.heic"),
        ("c.webp", "picture-002.webp"),
        ("b.tif", "picture-003.tif"),
        ("a.png", "picture-004.png"),
    ]
    assert "b.tif holds several pages or frames; the first is shown" in answer.err
    assert answered("verify", case).code == 0


def test_a_broken_picture_is_refused_with_the_way_out_and_can_be_attached(
    answered: Answered, case: Path, tmp_path: Path
) -> None:
    (source,) = made(tmp_path, a_jpg=encoded("JPEG")[:-40])

    answer = answered("add-pictures", case, source)
    assert answer.code == 3
    assert "can be attached as it is" in answer.err
    assert answered("attach", case, source).code == 0
    assert record(case)["attachments"][0]["media_type"] == "image/jpeg"


def test_an_odd_name_is_told_safely_and_kept_to_the_byte(answered: Answered, case: Path, tmp_path: Path) -> None:
    odd = os.fsencode(tmp_path) + b"/pot\xe2\x80\xaegpj\xff\n.exe"
    with open(odd, "wb") as stream:
        stream.write(b"MZ")
    source = Path(os.fsdecode(odd))

    answered("attach", case, source)
    answer = answered("attach", case, source)

    assert "pot[U+202E]gpj[U+DCFF][U+000A].exe is already in the case" in answer.err
    assert os.fsencode(original_name(record(case)["attachments"][0]["original_name"])) == os.path.basename(odd)


def test_a_case_that_cannot_be_saved_keeps_nothing_half_in(
    answered: Answered, case: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Files whose record was not saved lie there until the case is opened again, and no longer."""

    def refused(*_: object, **__: object) -> None:
        raise CouldNotWriteError(path="case.json", reason="disk full")

    with monkeypatch.context() as patched:
        patched.setattr(storage_folder, "save_case", refused)
        answer = answered("add-pictures", case, PICTURE)
    assert answer.code == 4
    assert any("picture-001.jpg" in path for path in lying(case))

    assert answered("add-pictures", case, *made(tmp_path, b_png=encoded("PNG"))).code == 0

    assert lying(case) == ["pictures/picture-001.png"]
    assert answered("verify", case).code == 0

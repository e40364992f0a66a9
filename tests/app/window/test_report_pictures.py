"""What the window exports of a picture that is not what was taken in."""

from pathlib import Path

import pypdfium2

from hazardreport.app.report_file import export
from hazardreport.resources_dir import DEMO_CASE
from hazardreport.storage.folder import copy_case, open_case


def text_of(pdf: Path) -> str:
    document = pypdfium2.PdfDocument(pdf)
    try:
        return "\n".join(page.get_textpage().get_text_bounded() for page in document)
    finally:
        document.close()


def test_a_changed_picture_is_left_out_and_named(tmp_path: Path) -> None:
    folder = copy_case(DEMO_CASE, tmp_path / "case")
    case = open_case(folder, for_writing=False).case
    whole = export(
        case, None, "eu-maker-notice", "", folder / "pictures", "2026-11-25T12:00:00Z", tmp_path / "whole.pdf"
    )
    picture = folder / "pictures" / "picture-002.jpg"
    changed = bytearray(picture.read_bytes())
    changed[2000] ^= 1
    picture.write_bytes(bytes(changed))

    partial = export(
        case, None, "eu-maker-notice", "", folder / "pictures", "2026-11-25T12:00:00Z", tmp_path / "partial.pdf"
    )

    assert "Not shown" not in text_of(whole)
    assert "Not shown" in text_of(partial)
    assert "picture-002" in text_of(partial)

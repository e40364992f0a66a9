"""The file: text of the document, the same bytes twice, all fonts inside, both papers, whatever was typed."""

import re
import shutil
import subprocess
import sys
import unicodedata
from collections.abc import Callable
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pikepdf
import pytest

from hazardreport.addressees.profiles import profile
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Finding
from hazardreport.case.stated import unknown, value
from hazardreport.quantity.formatting import format_number
from hazardreport.report.build import report_document
from hazardreport.report.document import ReportDocument
from hazardreport.report.pdf.draw import draw_pdf
from hazardreport.report.pdf.flowables import at_decimal
from hazardreport.report.pdf.text import pieces_of, plain, symbols

CREATED = "2026-11-25T12:00:00+00:00"
Pages = Callable[[bytes], tuple[str, ...]]
Pictures = Callable[[str], bytes]

HOSTILE = [
    "<b>bold",
    "R&D &amp; &#xD800; &nbsp;",
    "</font></para><para>",
    '<img src="/etc/passwd"/>',
    '<a href="javascript:alert(1)">x</a>',
    '<font color="red); import os">x</font>',
    "\x00\x07\x1b[31m",
    "\ud800 lone surrogate",
    "\u202egnp.exe",
    "\ufeffzero\u200bwidth",
    "漢字 עברית العربية 🔥 \U000e0041",
    "W" * 3000,
    "a b " * 4000,
    "line one\nline two\r\nline three",
    "{case} {0} %s %(x)s",
    "<!-- comment --> <?php ?> ]]>",
    "a\u0301\u0302\u0303" * 40,
]


def inside(text: str) -> str:
    return re.sub(r"\s+", "", text)


def test_the_numbers_in_the_file_are_those_of_the_assessment(
    drawn: bytes, assessment: Assessment, pages_of: Pages
) -> None:
    text = inside("".join(pages_of(drawn)))
    for cell in assessment.states:
        for key in (cell.open_circuit_voltage, cell.available_fault_current, cell.body_current):
            assert inside(format_number(assessment.number(key))) in text
    assert inside(assessment.verdict.sentence) in text
    assert assessment.verdict.word.value in text


def test_the_first_page_holds_what_an_officer_needs(drawn: bytes, assessment: Assessment, pages_of: Pages) -> None:
    first = inside(pages_of(drawn)[0])
    for expected in ("DANGER", "LumoraWM-18", "228.1V", "100.8mA", "120×limit", "63.1mA", "never", "Whatweask"):
        assert expected in first
    assert inside("examined: 1; faulty: 1") in first


def test_every_page_carries_case_revision_page_and_privacy(drawn: bytes, pages_of: Pages) -> None:
    pages = pages_of(drawn)
    for number, page in enumerate(pages, start=1):
        for expected in ("WP-2026-003", "revision 7", "contains personal data", f"page {number} of {len(pages)}"):
            assert expected in page


def test_the_declaration_stands_alone_on_the_last_page(drawn: bytes, pages_of: Pages) -> None:
    pages = pages_of(drawn)
    assert "7 Quay Street" in pages[-1]
    assert "Declaration" in pages[-1]
    assert "Limits of this report" not in pages[-1]


def test_the_file_is_the_same_twice(document: ReportDocument, drawn: bytes, pictures: Pictures) -> None:
    assert draw_pdf(document, pictures) == drawn


def test_the_file_is_the_same_in_another_process_time_zone_and_seed(tmp_path: Path, drawn: bytes) -> None:
    with pikepdf.open(BytesIO(drawn)) as pdf:
        key = "us-agency-harm" if float(pdf.pages[0].MediaBox[2]) > 600 else "eu-maker-notice"
    program = (
        f"import sys; sys.path[:0] = [{str(Path.cwd())!r}, {str(Path(__file__).parent)!r}]\n"
        "import material\n"
        "from hazardreport.addressees.profiles import profile\n"
        "from hazardreport.report.build import report_document\n"
        "from hazardreport.report.pdf.draw import draw_pdf\n"
        "case = material.rich_case()\n"
        "assessment = material.rich_assessment(case)\n"
        f"document = report_document(case, assessment, profile({key!r}), created=material.CREATED)\n"
        "sys.stdout.buffer.write(draw_pdf(document, lambda _: material.jpeg()))\n"
    )
    environment = {"PYTHONHASHSEED": "7", "TZ": "Pacific/Auckland", "LANG": "C", "PATH": "/usr/bin:/bin"}
    result = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, check=True, cwd=tmp_path, env=environment, timeout=120
    )
    assert result.stdout == drawn


@pytest.mark.skipif(shutil.which("qpdf") is None, reason="qpdf is not installed here")
def test_qpdf_finds_nothing(tmp_path: Path, drawn: bytes) -> None:
    file = tmp_path / "report.pdf"
    file.write_bytes(drawn)
    result = subprocess.run(["qpdf", "--check", str(file)], capture_output=True, text=True, check=False, timeout=60)
    assert result.returncode == 0, result.stdout + result.stderr


def test_the_file_opens_without_a_warning(drawn: bytes) -> None:
    with pikepdf.open(BytesIO(drawn)) as pdf:
        assert pdf.check_pdf_syntax() == []
        assert pdf.get_warnings() == []


def fonts_of(file: bytes) -> dict[str, bool]:
    """Base font of every font on every page, and whether its program is in the file."""
    found = {}
    with pikepdf.open(BytesIO(file)) as pdf:
        for page in pdf.pages:
            for font in page.Resources.Font.values():
                descriptor = font.get("/FontDescriptor")
                found[str(font.BaseFont)] = descriptor is not None and "/FontFile2" in descriptor
    return found


def test_every_font_is_in_the_file(drawn: bytes) -> None:
    fonts = fonts_of(drawn)
    assert fonts
    assert all(fonts.values()), fonts


def test_metadata_name_the_case_and_nobody(drawn: bytes) -> None:
    with pikepdf.open(BytesIO(drawn)) as pdf:
        assert str(pdf.Root.Lang) == "en"
        assert bool(pdf.Root.ViewerPreferences.DisplayDocTitle)
        assert "Lumora WM-18" in str(pdf.docinfo["/Title"])
        assert "/Author" not in pdf.docinfo
        assert str(pdf.docinfo["/CreationDate"]) == "D:20261125120000Z"
    assert b"Marten" not in drawn


def test_outline_and_links_lead_to_pages(drawn: bytes, document: ReportDocument) -> None:
    with pikepdf.open(BytesIO(drawn)) as pdf:
        with pdf.open_outline() as outline:
            titles = [item.title for item in outline.root]
        names = {str(name) for name in pdf.Root.Dests} if "/Dests" in pdf.Root else set()
        links = [
            annotation
            for page in pdf.pages
            for annotation in page.get("/Annots", [])
            if annotation.get("/Subtype") == "/Link"
        ]
        targets = {str(link.Dest) for link in links if not isinstance(link.Dest, pikepdf.Array)}
        assert targets <= names
    assert [title.split("  ")[1] for title in titles] == [part.title for part in document.parts]
    assert len(links) > 150


def test_a_picture_shown_twice_is_embedded_once(drawn: bytes) -> None:
    with pikepdf.open(BytesIO(drawn)) as pdf:
        images = {
            image.objgen
            for page in pdf.pages
            for image in page.Resources.get("/XObject", {}).values()
            if image.get("/Subtype") == "/Image"
        }
    assert len(images) == 1
    assert b"Exif" not in drawn


@pytest.mark.parametrize(("paper", "size"), [("a4", (595, 842)), ("letter", (612, 792))])
def test_both_papers(case: Case, assessment: Assessment, pictures: Pictures, paper: str, size: tuple[int, int]) -> None:
    document = report_document(case, assessment, profile("eu-maker-notice"), created=CREATED, paper=paper)
    with pikepdf.open(BytesIO(draw_pdf(document, pictures))) as pdf:
        boxes = {tuple(round(float(side)) for side in page.MediaBox) for page in pdf.pages}
    assert boxes == {(0, 0, *size)}


@pytest.mark.parametrize("texts", [HOSTILE[::2], HOSTILE[1::2]], ids=["even", "odd"])
def test_whatever_was_typed_is_printed_and_never_read_as_markup(
    case: Case, assessment: Assessment, pictures: Pictures, pages_of: Pages, texts: list[str]
) -> None:
    whole = "\n".join(texts)
    hostile = replace(
        case,
        id=texts[0],
        unit=replace(case.unit, brand=value(whole), serial=unknown(whole), listing=value(whole)),
        occurrence=replace(case.occurrence, narrative=value(texts[-1] + texts[0])),
        findings=tuple(Finding(id=f"finding-{n}", text=t, requirement=t[:200]) for n, t in enumerate(texts)),
        points=tuple(replace(point, description=whole) for point in case.points),
        instruments=tuple(replace(instrument, name=whole[:500]) for instrument in case.instruments),
        pictures=tuple(replace(picture, caption=whole[:500], original_name=whole[:500]) for picture in case.pictures),
        readings=tuple(replace(r, typed=t[:300]) for r, t in zip(case.readings, texts, strict=False)),
    )
    document = report_document(hostile, assessment, profile("us-agency-harm"), created=CREATED)
    file = draw_pdf(document, pictures)
    assert all(fonts_of(file).values())
    pages = "".join(pages_of(file))
    printed = inside("".join(c for c in pages if c.isascii()))
    for text in texts:
        letters = inside("".join(c for c in unicodedata.normalize("NFC", text) if c.isascii() and c.isprintable()))
        assert letters[:40] in printed
    assert "root:" not in pages


def test_a_character_that_no_font_has_is_spelled_out() -> None:
    assert plain("🔥") == "[U+1F525]"
    assert plain("\u202e") == "[U+202E]"
    assert plain("a\nb & <c>") == "a<br/>b &amp; &lt;c&gt;"


def test_symbols_are_set_and_words_are_not() -> None:
    assert symbols("from the table") == "from the table"
    assert "<sub" in symbols("Isc")
    assert symbols("sqrt(2)") == "sqrt(2)"


def test_numbers_are_cut_at_their_decimal_sign() -> None:
    assert at_decimal("117.4 V ± 1.2 V") == ("117", ".4 V ± 1.2 V")
    assert at_decimal("230 V") == ("230", " V")
    assert at_decimal("−0.75") == ("−0", ".75")


def test_long_text_is_cut_in_pieces_without_losing_a_word() -> None:
    text = " ".join(f"word{n}" for n in range(5000))
    pieces = pieces_of((text,))
    assert len(pieces) > 10
    assert " ".join(str(run) for piece in pieces for run in piece) == text

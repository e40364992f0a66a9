"""The demo's report for every addressee reads as it did: its outline and the text of every page.

After a change that is meant, `pytest tests/golden -m '' --update-golden` writes them anew; read the difference then.
"""

from collections.abc import Callable
from pathlib import Path

import pypdfium2
import pytest

from hazardreport.addressees.profiles import profile, profile_keys
from hazardreport.assess.assessment import assess
from hazardreport.evidence.derived import upright_jpeg
from hazardreport.report.build import report_document
from hazardreport.report.pdf.draw import draw_pdf
from hazardreport.resources_dir import DEMO_CASE
from hazardreport.storage.folder import open_case, picture_path

HERE = Path(__file__).parent
NOON = "2026-06-01T12:00:00Z"
SMALL = 40
QUICK = ("eu-maker-notice", "us-agency-harm", "owner-notice")
"""Addressees whose report is read again in every run; the others in the whole one."""
Golden = Callable[[Path, str], None]


@pytest.fixture
def golden(request: pytest.FixtureRequest) -> Golden:
    """Compares a text with the file that keeps it, or writes that file if asked for."""

    def compare(path: Path, text: str) -> None:
        if request.config.getoption("--update-golden"):
            path.write_text(text, encoding="utf-8", newline="\n")
        assert text.splitlines() == path.read_text(encoding="utf-8").splitlines(), f"see pytest {HERE} --update-golden"

    return compare


def read(pdf: bytes) -> tuple[str, str]:
    """Outline and text of a PDF, page by page."""
    document = pypdfium2.PdfDocument(pdf)
    outline, text = [], []
    for bookmark in document.get_toc():
        destination = bookmark.get_dest()
        page = "?" if destination is None else str(destination.get_index() + 1)
        outline.append(f"{'  ' * bookmark.level}{bookmark.get_title()}  [{page}]")
    for number, page in enumerate(document, 1):
        shown = page.get_textpage().get_text_range().replace("\r\n", "\n")
        text += [f"--- page {number}", *(line.rstrip() for line in shown.split("\n"))]
    document.close()
    return "\n".join(outline) + "\n", "\n".join(text) + "\n"


@pytest.mark.parametrize(
    "key", [key if key in QUICK else pytest.param(key, marks=pytest.mark.slow) for key in profile_keys()]
)
def test_the_report_of_the_demo_reads_as_it_did(key: str, golden: Golden) -> None:
    case = open_case(DEMO_CASE, for_writing=False).case

    def pictures(id: str) -> bytes:
        picture = case.picture(id)
        assert picture is not None
        return upright_jpeg(picture_path(DEMO_CASE, picture.file), picture, SMALL)

    outline, text = read(draw_pdf(report_document(case, assess(case), profile(key), created=NOON), pictures))

    golden(HERE / f"{key}.outline.txt", outline)
    golden(HERE / f"{key}.text.txt", text)

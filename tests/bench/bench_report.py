"""Time of drawing the demo's report, beside a bare canvas that draws as many lines of text and the same pictures.

Run by hand: ``python tests/bench/bench_report.py``. Prints processor time and their ratio; judges nothing.
"""

import sys
from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from statistics import median
from time import process_time

import pypdfium2
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from hazardreport.addressees.profiles import profile
from hazardreport.assess.assessment import assess
from hazardreport.evidence.derived import upright_jpeg
from hazardreport.figures.text_width import Face
from hazardreport.report.build import report_document
from hazardreport.report.pdf.draw import draw_pdf
from hazardreport.report.pdf.painting import register_fonts
from hazardreport.storage.folder import open_case

DEMO = Path(__file__).parents[2] / "demo-case"
CREATED = "2026-11-25T12:00:00+00:00"
LONGEST_SIDE = 1600


def rows_of(file: bytes) -> list[list[str]]:
    """Lines of text of each page, as a reader of the file gets them."""
    with pypdfium2.PdfDocument(file) as pdf:
        return [page.get_textpage().get_text_bounded().splitlines() for page in pdf]


def bare(pages: list[list[str]], pictures: list[bytes]) -> bytes:
    """The same lines and pictures on a canvas, without any layout."""
    register_fonts()
    stream = BytesIO()
    canvas = Canvas(stream, invariant=1)
    for rows in pages:
        canvas.setFont(Face.REGULAR.value, 8)
        for place, row in enumerate(rows):
            canvas.drawString(40, 800 - 9 * place, row)
        canvas.showPage()
    for picture in pictures:
        canvas.drawImage(ImageReader(BytesIO(picture)), 40, 400, 400, 300)
        canvas.showPage()
    canvas.save()
    return stream.getvalue()


def seconds(work: Callable[[], object], repeats: int = 5) -> float:
    """Median processor time of one call, after one to warm up."""
    work()
    times = []
    for _ in range(repeats):
        begun = process_time()
        work()
        times.append(process_time() - begun)
    return median(times)


def main() -> int:
    """Print the figures."""
    case = open_case(DEMO, for_writing=False).case
    document = report_document(case, assess(case), profile("eu-maker-notice"), created=CREATED)
    jpegs = {one.id: upright_jpeg(DEMO / "pictures" / one.file, one, LONGEST_SIDE) for one in case.pictures}
    file = draw_pdf(document, jpegs.__getitem__)
    rows = rows_of(file)
    drawn = seconds(lambda: draw_pdf(document, jpegs.__getitem__))
    floor = seconds(lambda: bare(rows, list(jpegs.values())))
    count = sum(len(page) for page in rows)
    out = sys.stdout
    out.write(f"{len(rows)} pages, {count} lines of text, {len(jpegs)} pictures, {len(file) / 1e6:.2f} MB\n")
    out.write(f"report {drawn:.2f} s, bare canvas {floor:.2f} s, ratio {drawn / floor:.1f}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())

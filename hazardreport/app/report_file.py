"""The report as a file, and its pages as images. Runs in jobs; knows no widget."""

import threading
from datetime import UTC, datetime
from pathlib import Path

from PySide6.QtGui import QImage

from hazardreport.app.jobs import Control
from hazardreport.app.report_log import report_log
from hazardreport.app.report_pictures import picture_bytes, withheld_pictures
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.storage import files

_pdfium = threading.Lock()


def report_pdf(case: Case, assessment: Assessment, key: str, paper: str, pictures: Path, created: str) -> bytes:
    """The report for one addressee as a PDF; a picture that is not what was taken in is left out and named."""
    from hazardreport.addressees.profiles import profile
    from hazardreport.report.build import report_document
    from hazardreport.report.pdf.draw import draw_pdf

    withheld = withheld_pictures(case, pictures)
    document = report_document(
        case,
        assessment,
        profile(key),
        created=created,
        paper=paper,
        withheld=withheld,
        log=report_log(pictures.parent),
    )
    return draw_pdf(document, picture_bytes(case, pictures, withheld))


def now_text() -> str:
    """Now, as a report says when it was made: to the second, UTC."""
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def page_images(control: Control, pdf: bytes, width: int) -> tuple[QImage, ...]:
    """Every page as an image of that width [pixel]."""
    import pypdfium2

    images = []
    with _pdfium:
        document = pypdfium2.PdfDocument(pdf)
        try:
            count = len(document)
            for number in range(count):
                control.step(number, count)
                page = document[number]
                bitmap = page.render(scale=width / page.get_width(), prefer_bgrx=True)
                image = QImage(
                    bytes(bitmap.buffer), bitmap.width, bitmap.height, bitmap.stride, QImage.Format.Format_RGB32
                )
                images.append(image.copy())
                bitmap.close()
                page.close()
        finally:
            document.close()
    return tuple(images)


def preview(
    control: Control, case: Case, assessment: Assessment, key: str, paper: str, pictures: Path, created: str, width: int
) -> tuple[QImage, ...]:
    """The pages of the report as images."""
    return page_images(control, report_pdf(case, assessment, key, paper, pictures, created), width)


def export(
    case: Case, assessment: Assessment | None, key: str, paper: str, pictures: Path, created: str, target: Path
) -> Path:
    """The report's file, written whole or not at all; without results of this very case it is assessed first."""
    if assessment is None:
        from hazardreport.assess.assessment import assess

        assessment = assess(case)
    pdf = report_pdf(case, assessment, key, paper, pictures, created)
    files.write_atomically(target, pdf)
    return target

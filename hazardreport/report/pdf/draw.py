"""A report document as a PDF file: pages, edges, outline, contents, links; the same bytes for the same input."""

from collections.abc import Callable
from datetime import UTC, datetime
from io import BytesIO

import pikepdf
from reportlab import rl_config
from reportlab.lib.fonts import addMapping
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageBreak, PageTemplate, Paragraph, Spacer, TableStyle
from reportlab.platypus.tableofcontents import TableOfContents

from hazardreport.figures.text_width import Face, shortened
from hazardreport.report.document import MARGIN_SIDE, PAPER, ReportDocument, anchors
from hazardreport.report.pdf import styles
from hazardreport.report.pdf.flowables import draw_line_of_text
from hazardreport.report.pdf.layout import PLAIN_TABLE, Layout
from hazardreport.report.pdf.painting import register_fonts
from hazardreport.report.pdf.text import plain

TOP, BOTTOM = 20 * mm, 19 * mm
HEADER, FOOTER = 12 * mm, 10 * mm


class _Pages(BaseDocTemplate):
    """Pages with the case number, revision, page of pages and privacy on each."""

    def __init__(self, stream: BytesIO, document: ReportDocument) -> None:
        width, height = (side * mm for side in PAPER[document.paper])
        super().__init__(stream, pagesize=(width, height), invariant=1, title="", author="", subject="")
        self.document = document
        self.reached = self.total = 0
        frame = Frame(
            MARGIN_SIDE * mm,
            BOTTOM,
            width - 2 * MARGIN_SIDE * mm,
            height - TOP - BOTTOM,
            leftPadding=0,
            rightPadding=0,
            topPadding=0,
            bottomPadding=0,
        )
        self.addPageTemplates([PageTemplate(id="page", frames=[frame], onPage=self.draw_edges)])

    def beforeDocument(self) -> None:
        """Pages of the pass before are the number of pages of this one."""
        self.total = self.reached

    def afterPage(self) -> None:
        """Remember how far this pass came."""
        self.reached = self.page

    def draw_edges(self, canvas: Canvas, _: BaseDocTemplate) -> None:
        """Header and footer."""
        document = self.document
        left, right = MARGIN_SIDE * mm, self.pagesize[0] - MARGIN_SIDE * mm
        case_id = shortened(document.case_id, 7.5, 52 * mm, bold=True)
        canvas.saveState()
        canvas.setFillColor(styles.GREY)
        canvas.setStrokeColor(styles.LINE)
        canvas.setLineWidth(0.4)
        if self.page == 1:
            draw_line_of_text(canvas, left, self.pagesize[1] - HEADER, document.subject, 8.2)
        else:
            draw_line_of_text(canvas, left, self.pagesize[1] - HEADER, document.subject, 7.5)
            draw_line_of_text(canvas, right, self.pagesize[1] - HEADER, case_id, 7.5, right=True)
        canvas.line(left, FOOTER + 4.2 * mm, right, FOOTER + 4.2 * mm)
        page = document.page_of.format(page=self.page, pages=self.total or self.page)
        draw_line_of_text(canvas, left, FOOTER, f"{case_id}  \u00b7  {document.revision}", 7.5, bold=True)
        draw_line_of_text(canvas, left + self.pagesize[0] / 2 - left - 18 * mm, FOOTER, document.privacy, 7.5)
        draw_line_of_text(canvas, right, FOOTER, page, 7.5, right=True)
        canvas.restoreState()


def _contents(document: ReportDocument) -> list[Flowable]:
    table = TableOfContents(dotsMinLevel=-1)
    table.tableStyle = TableStyle(PLAIN_TABLE)
    table.levelStyles = [styles.CONTENTS_PART, styles.CONTENTS_SECTION]
    return [Paragraph(plain(document.contents, bold=True, base=Face.BOLD), styles.PART), table, Spacer(1, 6)]


def _story(document: ReportDocument, pictures: Callable[[str], bytes]) -> list[Flowable]:
    names = {anchor: f"to{place}" for place, anchor in enumerate(sorted(anchors(document)))}
    titled = [f"{part.anchor}/{section.title}" for part in document.parts for section in part.sections if section.title]
    names |= {anchor: f"section{place}" for place, anchor in enumerate(dict.fromkeys(titled))}
    width = (PAPER[document.paper][0] - 2 * MARGIN_SIDE) * mm
    layout = Layout(width, lambda anchor: names.get(anchor, ""), pictures, document.label)
    story: list[Flowable] = []
    for place, part in enumerate(document.parts):
        if place == 1:
            story += [PageBreak(), *_contents(document), PageBreak()]
        elif part.own_page and place:
            story.append(PageBreak())
        story += layout.part(part)
    return story


def _pdf_date(created: str) -> str | None:
    """The day and time of ISO 8601 text as PDF writes it, in UTC; None where the text is no such time."""
    try:
        moment = datetime.fromisoformat(created)
    except ValueError:
        return None
    if moment.tzinfo is None:
        moment = moment.replace(tzinfo=UTC)
    return moment.astimezone(UTC).strftime("D:%Y%m%d%H%M%SZ")


def _finished(drawn: bytes, document: ReportDocument) -> bytes:
    """The file with language, title and dates of the document, and an identifier made from its content."""
    result = BytesIO()
    with pikepdf.open(BytesIO(drawn)) as pdf:
        pdf.Root.Lang = pikepdf.String(document.language)
        pdf.Root.ViewerPreferences = pikepdf.Dictionary(DisplayDocTitle=True)
        for name in list(pdf.docinfo.keys()):
            del pdf.docinfo[name]
        pdf.docinfo["/Title"] = _shown(document.title)
        pdf.docinfo["/Subject"] = _shown(f"{document.case_id}, {document.revision}")
        pdf.docinfo["/Producer"] = "hazardreport"
        date = _pdf_date(document.created)
        if date is not None:
            pdf.docinfo["/CreationDate"] = date
            pdf.docinfo["/ModDate"] = date
        if "/ID" in pdf.trailer:
            del pdf.trailer["/ID"]
        pdf.save(result, deterministic_id=True, object_stream_mode=pikepdf.ObjectStreamMode.generate)
    return result.getvalue()


def _shown(text: str) -> str:
    """Text that a metadata string can hold: lone surrogates spelled as their code."""
    return "".join(f"[U+{ord(c):04X}]" if 0xD800 <= ord(c) <= 0xDFFF else c for c in text)


def draw_pdf(document: ReportDocument, picture_bytes: Callable[[str], bytes]) -> bytes:
    """The report as a PDF file.

    Parameters
    ----------
    document : ReportDocument
        What stands in it; every date in the file comes from it.
    picture_bytes : callable
        From the id of a picture to the bytes of its derived JPEG: upright, without metadata.

    Returns
    -------
    bytes
        The file; the same bytes for the same document and pictures.
    """
    register_fonts()
    for bold, italic, face in (
        (0, 0, Face.REGULAR),
        (1, 0, Face.BOLD),
        (0, 1, Face.ITALIC),
        (1, 1, Face.BOLD_ITALIC),
    ):
        addMapping(Face.REGULAR.value, bold, italic, face.value)
    rl_config.invariant = 1
    rl_config.useA85 = 0
    kept: dict[str, bytes] = {}

    def picture(id: str) -> bytes:
        if id not in kept:
            kept[id] = picture_bytes(id)
        return kept[id]

    stream = BytesIO()
    pages = _Pages(stream, document)
    pages.multiBuild(_story(document, picture), canvasmaker=_canvas)
    return _finished(stream.getvalue(), document)


def _canvas(*arguments: object, **options: object) -> Canvas:
    return Canvas(*arguments, **{**options, "initialFontName": Face.REGULAR.value})

"""A report document as a PDF file: pages, edges, outline, contents, links; the same bytes for the same input."""

from collections.abc import Callable
from datetime import UTC, datetime
from io import BytesIO

import pikepdf
from reportlab import rl_config
from reportlab.lib.fonts import addMapping
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageBreak, PageTemplate, Paragraph, Spacer

from hazardreport.figures.text_width import Face, shortened
from hazardreport.report.document import MARGIN_SIDE, PAPER, ReportDocument, anchors
from hazardreport.report.pdf import styles
from hazardreport.report.pdf.flowables import Bookmark, Contents, contents_form, draw_line_of_text
from hazardreport.report.pdf.layout import Layout
from hazardreport.report.pdf.painting import register_fonts
from hazardreport.report.pdf.text import plain

TOP, BOTTOM = 20 * mm, 19 * mm
HEADER, FOOTER = 12 * mm, 10 * mm
FORM_REACH = 1500


class _Canvas(Canvas):
    """A canvas on which something is drawn late, once every page is there."""

    def __init__(self, late: Callable[[Canvas], None], *arguments: object, **options: object) -> None:
        super().__init__(*arguments, **options)
        self.late = late

    def save(self) -> None:
        """Draw what was left to the end, and write the file."""
        self.late(self)
        super().save()


class _Pages(BaseDocTemplate):
    """Pages with the case number, revision, page of pages and privacy on each."""

    def __init__(self, stream: BytesIO, document: ReportDocument) -> None:
        width, height = (side * mm for side in PAPER[document.paper])
        super().__init__(stream, pagesize=(width, height), invariant=1, title="", author="", subject="")
        self.document = document
        self.begins: dict[str, int] = {}
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

    def afterFlowable(self, flowable: Flowable) -> None:
        """Remember the page on which each listed part begins."""
        if isinstance(flowable, Bookmark) and flowable.listed:
            self.begins[flowable.name] = self.page

    def draw_late(self, canvas: Canvas) -> None:
        """What only the end tells, as the forms for which the pages have kept a place: pages, and where parts begin."""
        for page in range(1, self.page + 1):
            text = self.document.page_of.format(page=page, pages=self.page)
            _form(canvas, _page_form(page), text, self.pagesize[0] - MARGIN_SIDE * mm, FOOTER, 7.5)
        for name, page in self.begins.items():
            _form(canvas, contents_form(name), str(page), 0, 0, styles.CONTENTS_PART.fontSize)

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
        draw_line_of_text(canvas, left, FOOTER, f"{case_id}  \u00b7  {document.revision}", 7.5, bold=True)
        draw_line_of_text(canvas, left + self.pagesize[0] / 2 - left - 18 * mm, FOOTER, document.privacy, 7.5)
        canvas.doForm(_page_form(self.page))
        canvas.restoreState()


def _page_form(page: int) -> str:
    return f"page{page}"


def _form(canvas: Canvas, name: str, text: str, x: float, y: float, size: float) -> None:
    canvas.beginForm(name, -FORM_REACH, -FORM_REACH, FORM_REACH, FORM_REACH)
    canvas.setFillColor(styles.GREY)
    draw_line_of_text(canvas, x, y, text, size, right=True)
    canvas.endForm()


def _contents(document: ReportDocument, name_of: Callable[[str], str]) -> list[Flowable]:
    lines = tuple((str(part.number), part.title, name_of(part.anchor)) for part in document.parts[1:])
    return [Paragraph(plain(document.contents, bold=True, base=Face.BOLD), styles.PART), Contents(lines), Spacer(1, 6)]


def _story(document: ReportDocument, pictures: Callable[[str], bytes]) -> list[Flowable]:
    names = {anchor: f"to{place}" for place, anchor in enumerate(sorted(anchors(document)))}
    titled = [f"{part.anchor}/{section.title}" for part in document.parts for section in part.sections if section.title]
    names |= {anchor: f"section{place}" for place, anchor in enumerate(dict.fromkeys(titled))}
    width = (PAPER[document.paper][0] - 2 * MARGIN_SIDE) * mm
    layout = Layout(width, lambda anchor: names.get(anchor, ""), pictures, document.label)
    story: list[Flowable] = []
    for place, part in enumerate(document.parts):
        if place == 1:
            story += [PageBreak(), *_contents(document, layout.name_of)]
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

    def canvas(*arguments: object, **options: object) -> Canvas:
        return _Canvas(pages.draw_late, *arguments, **{**options, "initialFontName": Face.REGULAR.value})

    pages.build(_story(document, picture), canvasmaker=canvas)
    return _finished(stream.getvalue(), document)

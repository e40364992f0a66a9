"""Pieces of the page that platypus lacks: figures, numbers aligned at the decimal sign, bookmarks, writing lines."""

import re
from collections.abc import Callable

from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, Paragraph

from hazardreport.figures.drawing import Drawing
from hazardreport.figures.text_width import runs
from hazardreport.report.pdf import styles
from hazardreport.report.pdf.painting import paint

_DECIMAL = re.compile(r"\d([.]\d|(?=\D|$))")
GAP = 1.2 * mm


class OnceWrapped(Paragraph):
    """A paragraph that keeps its lines as long as its width stays; tables ask for them again when they draw."""

    wrapped_for: float | None = None

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Width and height of the lines; broken anew only for another width."""
        if self.wrapped_for != width or not hasattr(self, "blPara"):
            super().wrap(width, height)
            self.wrapped_for = width
        return self.width, self.height


class PaintedFigure(Flowable):
    """A drawing, scaled down where it would not fit the frame.

    name  of the destination that references lead to, or ""
    """

    def __init__(self, drawing: Drawing, pictures: Callable[[str], bytes], name: str = "", indent: float = 0.0) -> None:
        super().__init__()
        self.drawing, self.pictures, self.name, self.indent = drawing, pictures, name, indent
        self.scale = 1.0

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        across, down = self.drawing.width * mm, self.drawing.height * mm
        self.scale = min(1.0, (width - self.indent) / across, (height - 1) / down if height > 60 * mm else 1.0)
        self.width, self.height = across * self.scale, down * self.scale
        return self.width, self.height

    def draw(self) -> None:
        if self.name:
            self.canv.bookmarkHorizontal(self.name, 0, self.height + 4 * mm)
        x, y = self.canv.absolutePosition(self.indent, self.height)
        self.canv.saveState()
        self.canv.translate(self.indent - x, self.height - y)
        paint(self.drawing, self.canv, x, y, self.pictures, self.scale)
        self.canv.restoreState()


class Bookmark(Flowable):
    """A destination; with a title also an entry of the outline, and of the contents if `listed`. It takes no room."""

    def __init__(self, name: str, title: str = "", level: int = 0, *, listed: bool = False) -> None:
        super().__init__()
        self.name, self.title, self.level, self.listed = name, title, level, listed

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        return 0.0, 0.0

    def draw(self) -> None:
        self.canv.bookmarkHorizontal(self.name, 0, 14)
        if self.title:
            self.canv.addOutlineEntry(self.title, self.name, level=self.level, closed=int(self.level == 0))


def contents_form(name: str) -> str:
    """Name of the form that holds the page of a destination, right-aligned at its origin; drawn when all pages are."""
    return f"begins-{name}"


class Contents(Flowable):
    """One line for each part: its number, its title, its page; each leads there.

    lines  number, title and name of the destination of each
    """

    def __init__(self, lines: tuple[tuple[str, str, str], ...]) -> None:
        super().__init__()
        self.lines = lines

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        self.width, self.height = width, len(self.lines) * styles.CONTENTS_PART.leading
        return self.width, self.height

    def draw(self) -> None:
        size, leading = styles.CONTENTS_PART.fontSize, styles.CONTENTS_PART.leading
        for place, (number, title, name) in enumerate(self.lines, start=1):
            y = self.height - place * leading + leading - size
            self.canv.setFillColor(styles.INK)
            draw_line_of_text(self.canv, 0, y, number, size)
            draw_line_of_text(self.canv, styles.AXIS, y, title, size)
            self.canv.saveState()
            self.canv.translate(self.width, y)
            self.canv.doForm(contents_form(name))
            self.canv.restoreState()
            self.canv.linkRect("", name, (0, y - 2, self.width, y + size), relative=1)


def set_width(text: str, size: float, *, bold: bool = False) -> float:
    """Width of one line in the bundled faces. [pt]"""
    return sum(float(stringWidth(run.text, run.face.value, size)) for run in runs(text, bold=bold))


def at_decimal(text: str) -> tuple[str, str]:
    """Text before and from the decimal sign of its first number on; a whole number ends where its sign would be."""
    match = _DECIMAL.search(text)
    if match is None:
        return text, ""
    cut = match.start() + 1
    return text[:cut], text[cut:]


class AlignedNumber(Flowable):
    """A number whose decimal sign stands at one place of its column.

    before  room left of the decimal sign [pt]; name: of the destination it leads to, or ""
    """

    def __init__(self, text: str, before: float, name: str = "", *, bold: bool = False) -> None:
        super().__init__()
        self.text, self.before, self.name, self.bold = text, before, name, bold

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        self.width, self.height = width, styles.CELL.leading
        return self.width, self.height

    def draw(self) -> None:
        size = styles.CELL.fontSize
        head, tail = at_decimal(self.text)
        x = self.before - set_width(head, size, bold=self.bold)
        baseline = self.height - size
        self.canv.setFillColor(styles.INK)
        start = x
        for run in runs(head + tail, bold=self.bold):
            self.canv.setFont(run.face.value, size)
            self.canv.drawString(x, baseline, run.text)
            x += float(stringWidth(run.text, run.face.value, size))
        if self.name:
            self.canv.linkRect("", self.name, (start, baseline - 2, x, baseline + size), relative=1)


class WritingLines(Flowable):
    """Two lines to write on, with what belongs there below them."""

    def __init__(self, left: str, right: str) -> None:
        super().__init__()
        self.labels = (left, right)

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        self.width, self.height = width, 17 * mm
        return self.width, self.height

    def draw(self) -> None:
        gap = 8 * mm
        half = (self.width - gap) / 2
        self.canv.setStrokeColor(styles.INK)
        self.canv.setLineWidth(0.5)
        for place, label in enumerate(self.labels):
            x = place * (half + gap)
            self.canv.line(x, 6 * mm, x + half, 6 * mm)
            paragraph = Paragraph(label, styles.NOTE)
            paragraph.wrapOn(self.canv, half, 10 * mm)
            paragraph.drawOn(self.canv, x, 1.5 * mm)


def draw_line_of_text(
    canvas: Canvas, x: float, y: float, text: str, size: float, *, right: bool = False, bold: bool = False
) -> None:
    """One line in the bundled faces, begun at x or ended there."""
    if right:
        x -= set_width(text, size, bold=bold)
    for run in runs(text, bold=bold):
        canvas.setFont(run.face.value, size)
        canvas.drawString(x, y, run.text)
        x += float(stringWidth(run.text, run.face.value, size))

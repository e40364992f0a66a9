"""Paints a figure on a page of the PDF: the same list of shapes that the window paints, in the bundled fonts."""

import math
from collections.abc import Callable
from io import BytesIO

from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from hazardreport.figures.drawing import Disc, Drawing, Fill, Ink, PictureArea, Shape, Stroke, Words
from hazardreport.figures.text_width import Face, runs, text_width

POINTS_PER_MM = 72 / 25.4
MOST_WIDTHS = 20_000
JPEG = b"\xff\xd8"


class _Face(TTFont):
    """A face that remembers the widths of words, since the same words are measured again and again."""

    def __init__(self, name: str, path: str) -> None:
        super().__init__(name, path)
        self.widths: dict[tuple[str, float], float] = {}

    def stringWidth(self, text: str, size: float, encoding: str = "utf-8") -> float:
        """Width of a word. [pt]"""
        width = self.widths.get((text, size))
        if width is None:
            if len(self.widths) >= MOST_WIDTHS:
                self.widths.clear()
            width = self.widths[text, size] = float(super().stringWidth(text, size, encoding))
        return width


def register_fonts() -> None:
    """Make the bundled faces known to reportlab under their own names; more than once does no harm."""
    known = set(pdfmetrics.getRegisteredFontNames())
    for face in Face:
        if face.value not in known:
            pdfmetrics.registerFont(_Face(face.value, str(face.path)))


def _stroke_ink(canvas: Canvas, ink: Ink) -> None:
    canvas.setStrokeColorRGB(ink.red, ink.green, ink.blue, alpha=ink.opacity)


def _fill_ink(canvas: Canvas, ink: Ink) -> None:
    canvas.setFillColorRGB(ink.red, ink.green, ink.blue, alpha=ink.opacity)


class _Whole(ImageReader):
    """A picture that reportlab names by its file's bytes and, where it is a JPEG, takes over without decoding it."""

    def __init__(self, data: bytes) -> None:
        super().__init__(BytesIO(data))
        self.data = data
        self._dataA = None

    def getRGBData(self) -> bytes:
        """The file itself for a JPEG, else its pixels."""
        return self.data if self.data.startswith(JPEG) else bytes(super().getRGBData())


class _Brush:
    """A canvas on which figures are painted in mm from the top left corner (`left`, `top` of the page in points)."""

    def __init__(self, canvas: Canvas, left: float, top: float, scale: float, pictures: Callable[[str], bytes]) -> None:
        self.canvas = canvas
        self.left, self.top = left, top
        self.unit = POINTS_PER_MM * scale
        self.pictures = pictures

    def place(self, x: float, y: float) -> tuple[float, float]:
        return self.left + x * self.unit, self.top - y * self.unit

    def outline(self, points: tuple[tuple[float, float], ...], *, closed: bool, stroke: bool, fill: bool) -> None:
        path = self.canvas.beginPath()
        path.moveTo(*self.place(*points[0]))
        for point in points[1:]:
            path.lineTo(*self.place(*point))
        if closed:
            path.close()
        self.canvas.drawPath(path, stroke=int(stroke), fill=int(fill))

    def stroke(self, shape: Stroke) -> None:
        _stroke_ink(self.canvas, shape.ink)
        self.canvas.setLineWidth(shape.width * self.unit)
        self.canvas.setDash([dash * self.unit for dash in shape.dashes])
        self.outline(shape.points, closed=shape.closed, stroke=True, fill=False)
        self.canvas.setDash()

    def fill(self, shape: Fill) -> None:
        _fill_ink(self.canvas, shape.ink)
        self.outline(shape.points, closed=True, stroke=False, fill=True)

    def disc(self, shape: Disc) -> None:
        _fill_ink(self.canvas, shape.ink)
        if shape.outline is not None:
            _stroke_ink(self.canvas, shape.outline)
            self.canvas.setLineWidth(shape.width * self.unit)
        x, y = self.place(shape.x, shape.y)
        self.canvas.circle(x, y, shape.radius * self.unit, stroke=int(shape.outline is not None), fill=1)

    def words(self, shape: Words) -> None:
        shift = {"start": 0.0, "middle": 0.5, "end": 1.0}[shape.anchor]
        along = -shift * text_width(shape.text, shape.size, bold=shape.bold, italic=shape.italic) * self.unit
        self.canvas.saveState()
        _fill_ink(self.canvas, shape.ink)
        self.canvas.translate(*self.place(shape.x, shape.y))
        if shape.angle:
            self.canvas.rotate(shape.angle)
        for run in runs(shape.text, bold=shape.bold, italic=shape.italic):
            self.canvas.setFont(run.face.value, shape.size * self.unit)
            self.canvas.drawString(along, 0, run.text)
            along += run.advance * shape.size * self.unit
        self.canvas.restoreState()

    def picture(self, shape: PictureArea) -> None:
        x, y = self.place(shape.x, shape.y + shape.height)
        image = _Whole(self.pictures(shape.picture))
        self.canvas.drawImage(image, x, y, shape.width * self.unit, shape.height * self.unit)

    def shape(self, shape: Shape) -> None:
        match shape:
            case Stroke():
                self.stroke(shape)
            case Fill():
                self.fill(shape)
            case Disc():
                self.disc(shape)
            case Words():
                self.words(shape)
            case PictureArea():
                self.picture(shape)


def paint(
    drawing: Drawing,
    canvas: Canvas,
    left: float,
    top: float,
    pictures: Callable[[str], bytes],
    scale: float = 1.0,
) -> None:
    """Paint a drawing with its top left corner at a place of the page.

    Parameters
    ----------
    drawing : Drawing
        Figure in mm.
    canvas : Canvas
        Page of the PDF.
    left, top : float
        Place of the top left corner, from the page's lower left corner. [pt]
    pictures : callable
        From the id of a picture to the bytes of its derived JPEG or PNG, upright and without metadata.
    scale : float
        Size on the page over the drawing's own size. [1]
    """
    if not math.isfinite(scale) or scale <= 0:
        raise ValueError(scale)
    register_fonts()
    brush = _Brush(canvas, left, top, scale, pictures)
    canvas.saveState()
    canvas.setLineCap(1)
    canvas.setLineJoin(1)
    for shape in drawing.shapes:
        brush.shape(shape)
    canvas.restoreState()

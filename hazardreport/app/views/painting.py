"""Paints a figure in the window: the same shapes that the report paints, with the outlines of the same fonts."""

from collections.abc import Callable, Mapping
from functools import cache, lru_cache
from types import MappingProxyType

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QImage,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
    QRawFont,
    QTransform,
)

from hazardreport.figures.drawing import Disc, Drawing, Fill, Ink, PictureArea, Shape, Stroke, Words
from hazardreport.figures.text_width import Face, runs, text_width

DARK_INKS: Mapping[str, QColor] = MappingProxyType(
    {
        "text": QColor("#e8eaed"),
        "faint": QColor("#aab2bb"),
        "rule": QColor("#4a5159"),
        "paper": QColor("#1d2125"),
        "panel": QColor("#2a2f35"),
        "accent": QColor("#7db8f0"),
        "danger": QColor("#ff8a80"),
        "person": QColor("#6b747d"),
        "zone-1": QColor("#22272b"),
        "zone-2": QColor("#2b343a"),
        "zone-3": QColor("#4a431f"),
        "zone-4": QColor("#5a4020"),
        "zone-5": QColor("#653523"),
        "zone-6": QColor("#702a26"),
    }
)
"""Inks by role on a dark ground."""

_DESIGN_SIZE = 1000.0


@cache
def _raw_font(face: Face) -> QRawFont:
    return QRawFont(str(face.path), _DESIGN_SIZE, QFont.HintingPreference.PreferNoHinting)


@lru_cache(maxsize=2048)
def text_path(text: str, bold: bool, italic: bool) -> QPainterPath:
    """Outlines of a line with an em of 1, baseline at 0, without kerning; never change what is returned."""
    path = QPainterPath()
    path.setFillRule(Qt.FillRule.WindingFill)
    along = 0.0
    for run in runs(text, bold=bold, italic=italic):
        font = _raw_font(run.face)
        for letter in run.text:
            for index in font.glyphIndexesForString(letter):
                glyph = font.pathForGlyph(index)
                path.addPath(QTransform.fromScale(1 / _DESIGN_SIZE, 1 / _DESIGN_SIZE).map(glyph).translated(along, 0))
            along += text_width(letter, 1.0, bold=bold, italic=italic)
    return path


class _Brush:
    """A painter whose unit is the mm of the drawing."""

    def __init__(
        self, painter: QPainter, pictures: Callable[[str], QImage], role_inks: Mapping[str, QColor] | None
    ) -> None:
        self.painter = painter
        self.pictures = pictures
        self.role_inks = role_inks or {}

    def colour(self, ink: Ink) -> QColor:
        exchanged = self.role_inks.get(ink.role)
        colour = QColor.fromRgbF(ink.red, ink.green, ink.blue) if exchanged is None else QColor(exchanged)
        colour.setAlphaF(ink.opacity)
        return colour

    def pen(self, ink: Ink, width: float) -> QPen:
        return QPen(self.colour(ink), width, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin)

    def stroke(self, shape: Stroke) -> None:
        pen = self.pen(shape.ink, shape.width)
        if shape.dashes:
            pen.setDashPattern([dash / shape.width for dash in _even(shape.dashes)])
        path = QPainterPath(QPointF(*shape.points[0]))
        for point in shape.points[1:]:
            path.lineTo(*point)
        if shape.closed:
            path.closeSubpath()
        self.painter.strokePath(path, pen)

    def fill(self, shape: Fill) -> None:
        path = QPainterPath()
        path.setFillRule(Qt.FillRule.WindingFill)
        path.addPolygon(QPolygonF([QPointF(*point) for point in shape.points]))
        self.painter.fillPath(path, self.colour(shape.ink))

    def disc(self, shape: Disc) -> None:
        path = QPainterPath()
        path.addEllipse(QPointF(shape.x, shape.y), shape.radius, shape.radius)
        self.painter.fillPath(path, self.colour(shape.ink))
        if shape.outline is not None:
            self.painter.strokePath(path, self.pen(shape.outline, shape.width))

    def words(self, shape: Words) -> None:
        shift = {"start": 0.0, "middle": 0.5, "end": 1.0}[shape.anchor]
        self.painter.save()
        self.painter.translate(shape.x, shape.y)
        if shape.angle:
            self.painter.rotate(-shape.angle)
        self.painter.translate(-shift * text_width(shape.text, shape.size, bold=shape.bold, italic=shape.italic), 0)
        self.painter.scale(shape.size, shape.size)
        self.painter.fillPath(text_path(shape.text, shape.bold, shape.italic), self.colour(shape.ink))
        self.painter.restore()

    def picture(self, shape: PictureArea) -> None:
        image = self.pictures(shape.picture)
        self.painter.drawImage(QRectF(shape.x, shape.y, shape.width, shape.height), image)

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


def _even(dashes: tuple[float, ...]) -> tuple[float, ...]:
    """Qt wants pairs of dash and gap; one number is both."""
    return dashes if len(dashes) % 2 == 0 else (*dashes, *dashes)


def _no_picture(picture: str) -> QImage:
    raise KeyError(picture)


def paint(
    drawing: Drawing,
    painter: QPainter,
    scale: float,
    pictures: Callable[[str], QImage] = _no_picture,
    role_inks: Mapping[str, QColor] | None = None,
) -> None:
    """Paint a drawing with its top left corner at the painter's origin.

    Parameters
    ----------
    drawing : Drawing
        Figure in mm.
    painter : QPainter
        Active painter; its state is left as it was.
    scale : float
        Size of a mm. [painter unit per mm]
    pictures : callable
        From the id of a picture to its upright image.
    role_inks : mapping, optional
        Colours that take the place of inks with that role, for a dark window.
    """
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
    painter.scale(scale, scale)
    brush = _Brush(painter, pictures, role_inks)
    for shape in drawing.shapes:
        brush.shape(shape)
    painter.restore()

"""Points and marks as items over a picture; they look as on the report's plates, their handles keep their size."""

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QFontMetricsF,
    QPainter,
    QPainterPath,
    QPainterPathStroker,
    QPen,
    QPolygonF,
)
from PySide6.QtWidgets import QGraphicsItem, QGraphicsPathItem, QStyleOptionGraphicsItem, QWidget

from hazardreport.case.picture import Mark, MarkKind

INK = QColor("#14181c")
MARK = QColor("#b0123f")
HALO = QColor("#ffffff")
CHOSEN = QColor("#1a73e8")
TARGET = 14.0


class LetterItem(QGraphicsItem):
    """A lettered point: a ring on the spot, a disc with the letter beside it."""

    def __init__(self, letter: str, chosen: bool) -> None:
        super().__init__()
        self._letter, self._chosen = letter, chosen
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemIgnoresTransformations)
        self.setZValue(30)

    def boundingRect(self) -> QRectF:
        """Ring and disc."""
        return QRectF(-TARGET, -40, 40 + TARGET, 40 + TARGET)

    def paint(self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None) -> None:
        """Paint the point."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(HALO, 5))
        painter.drawLine(QPointF(0, 0), QPointF(17, -17))
        painter.setPen(QPen(CHOSEN if self._chosen else INK, 2))
        painter.drawLine(QPointF(0, 0), QPointF(17, -17))
        painter.setPen(QPen(HALO, 2))
        painter.setBrush(CHOSEN if self._chosen else INK)
        painter.drawEllipse(QPointF(0, 0), 5, 5)
        painter.setPen(QPen(HALO, 2.5))
        painter.drawEllipse(QPointF(20, -20), 13, 13)
        if self._chosen:
            painter.setPen(QPen(CHOSEN, 2))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawEllipse(QPointF(20, -20), 16, 16)
        font = QFont(painter.font())
        font.setPixelSize(15 if len(self._letter) == 1 else 12)
        font.setBold(True)
        painter.setFont(font)
        painter.setPen(HALO)
        painter.drawText(QRectF(7, -33, 26, 26), int(Qt.AlignmentFlag.AlignCenter), self._letter)


class LabelItem(QGraphicsItem):
    """A line of text on a light ground, the same size at every zoom."""

    def __init__(self, text: str, colour: QColor, centred: bool = False, bold: bool = False) -> None:
        super().__init__()
        self._text, self._colour, self._centred = text, colour, centred
        self._font = QFont()
        self._font.setPixelSize(13)
        self._font.setBold(bold)
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemIgnoresTransformations)
        self.setZValue(20)

    def boundingRect(self) -> QRectF:
        """Text and its ground."""
        metrics = QFontMetricsF(self._font)
        width, height = metrics.horizontalAdvance(self._text) + 12, metrics.height() + 6
        return QRectF(-width / 2 if self._centred else 0, -height / 2, width, height)

    def paint(self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None) -> None:
        """Paint the label."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ground = QColor(HALO)
        ground.setAlphaF(0.93)
        painter.setBrush(ground)
        painter.setPen(QPen(self._colour, 1))
        painter.drawRoundedRect(self.boundingRect().adjusted(0.5, 0.5, -0.5, -0.5), 4, 4)
        painter.setFont(self._font)
        painter.setPen(INK)
        painter.drawText(self.boundingRect(), int(Qt.AlignmentFlag.AlignCenter), self._text)


class HandleItem(QGraphicsItem):
    """A square to pull one vertex of the chosen mark."""

    def __init__(self, index: int) -> None:
        super().__init__()
        self.index = index
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemIgnoresTransformations)
        self.setZValue(40)

    def boundingRect(self) -> QRectF:
        """The square with its margin."""
        return QRectF(-7, -7, 14, 14)

    def paint(self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None) -> None:
        """Paint the square."""
        painter.setPen(QPen(CHOSEN, 2))
        painter.setBrush(HALO)
        painter.drawRect(QRectF(-5, -5, 10, 10))


def outline_of(kind: MarkKind, vertices: Sequence[tuple[float, float]], head: float) -> QPainterPath:
    """The lines of a mark in picture coordinates; `head` is the length of an arrow's head [pixel]."""
    points = [QPointF(*vertex) for vertex in vertices]
    path = QPainterPath()
    if not points or kind is MarkKind.TEXT:
        return path
    if kind is MarkKind.OUTLINE and len(points) > 1:
        box = QRectF(points[0], points[-1]).normalized()
        path.addRoundedRect(box, head * 0.4, head * 0.4)
        return path
    path.moveTo(points[0])
    for point in points[1:]:
        path.lineTo(point)
    if kind is MarkKind.ARROW and len(points) > 1:
        tip, along = points[-1], points[0] - points[-1]
        length = (along.x() ** 2 + along.y() ** 2) ** 0.5 or 1.0
        unit = along / length
        across = QPointF(-unit.y(), unit.x())
        base = tip + unit * min(head, length)
        path.addPolygon(QPolygonF([tip, base + across * head * 0.42, base - across * head * 0.42, tip]))
    return path


def mark_items(mark: Mark, scale: float, chosen: bool) -> list[QGraphicsItem]:
    """The items of one mark; `scale` is screen pixels for one picture pixel."""
    items: list[QGraphicsItem] = []
    path = outline_of(mark.kind, mark.vertices, 16 / max(scale, 1e-6))
    if not path.isEmpty():
        colour = CHOSEN if chosen else MARK
        brush = QBrush(colour) if mark.kind is MarkKind.ARROW else QBrush(Qt.BrushStyle.NoBrush)
        for width, tint, z in ((6.5, HALO, 10), (3.0, colour, 11)):
            item = QGraphicsPathItem(path)
            pen = QPen(tint, width, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin)
            pen.setCosmetic(True)
            item.setPen(pen)
            item.setBrush(brush)
            item.setZValue(z)
            items.append(item)
    if mark.text.strip() and mark.vertices:
        label = LabelItem(mark.text, CHOSEN if chosen else MARK, centred=mark.kind is not MarkKind.TEXT)
        label.setPos(*_label_place(mark, label.boundingRect(), max(scale, 1e-6)))
        items.append(label)
    if chosen:
        for index in handles_of(mark):
            handle = HandleItem(index)
            handle.setPos(*mark.vertices[index])
            items.append(handle)
    return items


def _label_place(mark: Mark, size: QRectF, scale: float) -> tuple[float, float]:
    """Where a label does not cover its mark: behind an arrow's tail, above an outline or a line."""
    x, y = mark.vertices[0]
    if mark.kind is MarkKind.TEXT or len(mark.vertices) < 2:
        return x, y
    if mark.kind is MarkKind.ARROW:
        along = QPointF(x, y) - QPointF(*mark.vertices[-1])
        length = (along.x() ** 2 + along.y() ** 2) ** 0.5 or 1.0
        return (
            x + along.x() / length * (size.width() / 2 + 4) / scale,
            y + along.y() / length * (size.height() / 2 + 4) / scale,
        )
    top = min(vertex[1] for vertex in mark.vertices)
    left = min(vertex[0] for vertex in mark.vertices)
    return left + size.width() / 2 / scale, top - (size.height() / 2 + 6) / scale


def handles_of(mark: Mark) -> tuple[int, ...]:
    """Indices of the vertices that can be pulled."""
    if mark.kind in (MarkKind.ARROW, MarkKind.OUTLINE):
        return (0, len(mark.vertices) - 1)
    return (0,) if mark.kind is MarkKind.TEXT else ()


def touches(mark: Mark, at: QPointF, scale: float) -> bool:
    """Whether a place is on a mark, within half a target of 24 screen pixels."""
    reach = 12 / max(scale, 1e-6)
    if mark.kind is MarkKind.TEXT and mark.vertices:
        metrics = QFontMetricsF(QFont())
        width = (metrics.horizontalAdvance(mark.text) + 18) / max(scale, 1e-6)
        x, y = mark.vertices[0]
        return QRectF(x - reach / 2, y - reach, width + reach, 2 * reach).contains(at)
    stroker = QPainterPathStroker()
    stroker.setWidth(2 * reach)
    return stroker.createStroke(outline_of(mark.kind, mark.vertices, 16 / max(scale, 1e-6))).contains(at)

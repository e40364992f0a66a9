"""Covers over a picture: opaque as in everything derived; hatched while chosen, so that one sees what lies below."""

from dataclasses import replace

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from hazardreport.app.views.picture_items import CHOSEN, HALO, HandleItem
from hazardreport.case.picture import Cover

COVER = QColor(104, 110, 116)
"""The colour that evidence fills a cover with."""

HANDLES = ((-1, -1), (0, -1), (1, -1), (1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0))
"""Which edges each handle pulls: left or right, top or bottom."""

RIGHT_BOTTOM = HANDLES.index((1, 1))
LEAST = 1.0


class CoverItem(QGraphicsItem):
    """One cover in picture coordinates."""

    def __init__(self, cover: Cover, scale: float, chosen: bool) -> None:
        super().__init__()
        self._box, self._chosen = box_of(cover), chosen
        self._margin = 3 / max(scale, 1e-6)
        self.setZValue(3)

    def boundingRect(self) -> QRectF:
        """The cover; its line is on the edge."""
        return self._box.adjusted(-self._margin, -self._margin, self._margin, self._margin)

    def paint(self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None) -> None:
        """Paint the cover."""
        if not self._chosen:
            painter.fillRect(self._box, COVER)
            return
        veil = QColor(COVER)
        veil.setAlphaF(0.35)
        painter.fillRect(self._box, veil)
        hatch = QBrush(COVER, Qt.BrushStyle.BDiagPattern)
        transform = painter.transform()
        hatch.setTransform(transform.inverted()[0])
        painter.fillRect(self._box, hatch)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for width, colour in ((4.0, HALO), (2.0, CHOSEN)):
            pen = QPen(colour, width)
            pen.setCosmetic(True)
            painter.setPen(pen)
            painter.drawRect(self._box)


def box_of(cover: Cover) -> QRectF:
    """The cover as a rectangle of the picture."""
    return QRectF(QPointF(cover.left, cover.top), QPointF(cover.right, cover.bottom)).normalized()


def cover_items(cover: Cover, scale: float, chosen: bool) -> list[QGraphicsItem]:
    """The items of one cover: itself, and its handles while it is chosen; `scale` as for marks."""
    items: list[QGraphicsItem] = [CoverItem(cover, scale, chosen)]
    if chosen:
        for index in range(len(HANDLES)):
            handle = HandleItem(index)
            handle.setPos(handle_place(cover, index))
            items.append(handle)
    return items


def handle_place(cover: Cover, index: int) -> QPointF:
    """Where a handle sits: corners and the middles of the edges."""
    box, (across, along) = box_of(cover), HANDLES[index]
    return box.center() + QPointF(across * box.width() / 2, along * box.height() / 2)


def moved_cover(cover: Cover, handle: int, shift: QPointF, width: float, height: float) -> Cover:
    """A cover after a pull.

    Parameters
    ----------
    cover : Cover
        As it was.
    handle : int
        Index in `HANDLES`, or -1 to move it as a whole.
    shift : QPointF
        How far. [pixel of the picture]
    width, height : float
        Of the picture; the cover stays inside and keeps a side of at least one pixel. [pixel]
    """
    box = box_of(cover)
    if handle < 0:
        x = min(max(shift.x(), -box.left()), width - box.right())
        y = min(max(shift.y(), -box.top()), height - box.bottom())
        box.translate(x, y)
    else:
        across, along = HANDLES[handle]
        left, right = _pulled(box.left(), box.right(), across, shift.x(), width)
        top, bottom = _pulled(box.top(), box.bottom(), along, shift.y(), height)
        box = QRectF(QPointF(left, top), QPointF(right, bottom))
    return replace(cover, left=box.left(), top=box.top(), right=box.right(), bottom=box.bottom())


def _pulled(low: float, high: float, which: int, shift: float, size: float) -> tuple[float, float]:
    if which == 0:
        return low, high
    still = high if which < 0 else low
    moved = min(max((low if which < 0 else high) + shift, 0.0), size)
    if abs(moved - still) < LEAST:
        moved = still - LEAST if which < 0 else still + LEAST
    return min(moved, still), max(moved, still)

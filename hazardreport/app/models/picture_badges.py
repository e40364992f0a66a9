"""Small signs on a thumbnail: something is covered, nobody has said yet whether anybody can be recognised."""

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPainter, QPen, QPixmap

from hazardreport import wording
from hazardreport.case.picture import Picture, Recognisable

_GROUND, _INK = QColor(255, 255, 255, 225), QColor("#3c444c")
_SIZE = 0.14


def remarks(picture: Picture) -> list[str]:
    """The same signs in words."""
    told = []
    if picture.covers:
        told.append(wording.sentence("window.pictures.covered", count=len(picture.covers)))
    if picture.recognisable is Recognisable.OPEN:
        told.append(wording.sentence("window.pictures.not_looked_at"))
    if picture.recognisable is Recognisable.YES:
        told.append(wording.sentence("window.pictures.recognised"))
    return told


def badged(pixmap: QPixmap, picture: Picture) -> QPixmap:
    """A thumbnail with its signs in the lower left corner: a hatched field, "?" or "!"; the same one if it has none."""
    letter = {Recognisable.OPEN: "?", Recognisable.YES: "!", Recognisable.NO: ""}[picture.recognisable]
    if not letter and not picture.covers:
        return pixmap
    result = QPixmap(pixmap)
    side = _SIZE * max(result.width(), result.height())
    painter = QPainter(result)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    left = 0.25 * side
    for sign in ("cover" if picture.covers else "", letter):
        if sign:
            box = QRectF(left, result.height() - 1.25 * side, side, side)
            _sign(painter, box, sign)
            left += 1.15 * side
    painter.end()
    return result


def _sign(painter: QPainter, box: QRectF, sign: str) -> None:
    side = box.width()
    painter.setPen(QPen(_INK, 0.05 * side))
    painter.setBrush(_GROUND)
    painter.drawRoundedRect(box, 0.22 * side, 0.22 * side)
    if sign == "cover":
        inner = box.adjusted(0.22 * side, 0.28 * side, -0.22 * side, -0.28 * side)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(_INK)
        painter.drawRect(inner)
        return
    font = QFont()
    font.setBold(True)
    font.setPixelSize(max(1, round(0.72 * side)))
    painter.setFont(font)
    painter.drawText(box, int(Qt.AlignmentFlag.AlignCenter), sign)

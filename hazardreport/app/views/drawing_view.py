"""A widget that shows a drawing of the figures room, as large as it fits."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QSize
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from hazardreport.app.views.painting import DARK_INKS, paint
from hazardreport.figures.drawing import Drawing


class DrawingView(QWidget):
    """Shows one drawing; the maker is called again with the new size in mm when the widget's shape changes.

    exchange  on a dark ground, inks with a role are exchanged for those of the dark palette
    """

    def __init__(
        self, name: str, parent: QWidget | None = None, millimetres: float = 0.265, exchange: bool = True
    ) -> None:
        super().__init__(parent)
        self._exchange = exchange
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self._millimetres = millimetres
        self._make: Callable[[float, float], Drawing] | None = None
        self._drawing: Drawing | None = None
        self._stale = True

    def show_drawing(self, make: Callable[[float, float], Drawing] | None) -> None:
        """Show what `make(width, height)` draws [mm], or nothing."""
        self._make = make
        self._stale = True
        self.update()

    def _draw(self) -> None:
        self._stale = False
        self._drawing = None
        if self._make is not None and self.width() > 40 and self.height() > 40:
            self._drawing = self._make(self.width() * self._millimetres, self.height() * self._millimetres)
            self.setAccessibleDescription(self._drawing.description)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Draw anew in the new size."""
        super().resizeEvent(event)
        self._stale = True

    def sizeHint(self) -> QSize:
        """A landscape figure."""
        return QSize(360, 240)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the list of shapes, centred; a drawing is made when it is first seen."""
        if self._stale:
            self._draw()
        if self._drawing is None:
            return
        scale = min(self.width() / self._drawing.width, self.height() / self._drawing.height)
        width, height = self._drawing.width * scale, self._drawing.height * scale
        painter = QPainter(self)
        painter.translate((self.width() - width) / 2, (self.height() - height) / 2)
        dark = self._exchange and self.palette().window().color().lightness() < 128
        paint(self._drawing, painter, scale, role_inks=DARK_INKS if dark else None)
        painter.end()

    def changeEvent(self, event: QEvent) -> None:
        """Repaint when light turns dark."""
        super().changeEvent(event)
        self.update()

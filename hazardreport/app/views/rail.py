"""The rail of pages: each with its name and its state, told by shape and word."""

from dataclasses import dataclass
from enum import StrEnum

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFocusEvent, QKeyEvent, QPainter, QPainterPath, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QAbstractButton, QLabel, QSizePolicy, QVBoxLayout, QWidget

from hazardreport.app.looks import Looks


class PageState(StrEnum):
    """How far a page is."""

    EMPTY = "empty"
    BEGUN = "begun"
    COMPLETE = "complete"
    ATTENTION = "needs attention"


@dataclass(frozen=True, kw_only=True, slots=True)
class PageEntry:
    """One entry of the rail."""

    key: str
    name: str
    icon: str


def paint_state(painter: QPainter, state: PageState, area: QRectF, colour: QColor, ground: QColor) -> None:
    """The shape of a state: ring, half disc, disc with a tick, triangle with a bar."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(colour, area.width() * 0.13))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if state is PageState.ATTENTION:
        triangle = QPolygonF([QPointF(area.center().x(), area.top()), area.bottomRight(), area.bottomLeft()])
        painter.setBrush(colour)
        painter.drawPolygon(triangle)
        painter.setPen(QPen(ground, area.width() * 0.15))
        x, y = area.center().x(), area.top()
        painter.drawLine(QPointF(x, y + area.height() * 0.4), QPointF(x, y + area.height() * 0.65))
        painter.drawPoint(QPointF(x, y + area.height() * 0.86))
    elif state is PageState.COMPLETE:
        painter.setBrush(colour)
        painter.drawEllipse(area)
        painter.setPen(QPen(ground, area.width() * 0.15))
        path = QPainterPath(QPointF(area.left() + area.width() * 0.25, area.center().y()))
        path.lineTo(area.left() + area.width() * 0.44, area.top() + area.height() * 0.7)
        path.lineTo(area.left() + area.width() * 0.76, area.top() + area.height() * 0.32)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(path)
    else:
        painter.drawEllipse(area)
        if state is PageState.BEGUN:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(colour)
            painter.drawPie(area, 90 * 16, 180 * 16)
    painter.restore()


class RailButton(QAbstractButton):
    """One page: icon, name, and below it the shape and word of its state."""

    def __init__(self, entry: PageEntry, looks: Looks, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setCheckable(True)
        self.setAutoExclusive(True)
        self.setText(entry.name)
        self._looks = looks
        self._icon = entry.icon
        self._ring = False
        self.state = PageState.EMPTY
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.show_state(PageState.EMPTY, "")

    def show_state(self, state: PageState, detail: str) -> None:
        """Show how far the page is."""
        self.state = state
        self.setAccessibleName(f"{self.text()}, {state.value}")
        self.setAccessibleDescription(detail)
        self.setToolTip(detail or state.value)
        self.update()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """A ring is shown to those who came by keyboard."""
        self._ring = event.reason() in (
            Qt.FocusReason.TabFocusReason,
            Qt.FocusReason.BacktabFocusReason,
            Qt.FocusReason.ShortcutFocusReason,
        )
        super().focusInEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The keyboard is in use: show where it is."""
        self._ring = True
        super().keyPressEvent(event)

    def sizeHint(self) -> QSize:
        """Two lines of text."""
        return QSize(176, self.fontMetrics().height() * 2 + 18)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the entry."""
        scheme = self._looks.scheme
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        area = QRectF(self.rect()).adjusted(8, 2, -8, -2)
        ground = QColor(scheme.side)
        if self.isChecked():
            ground = QColor(scheme.base)
            painter.setPen(QPen(QColor(scheme.line), 1))
            painter.setBrush(ground)
            painter.drawRoundedRect(area, 7, 7)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(scheme.accent))
            painter.drawRoundedRect(QRectF(area.left(), area.top() + 8, 3, area.height() - 16), 1.5, 1.5)
        elif self.underMouse():
            ground = QColor(scheme.wash)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(ground)
            painter.drawRoundedRect(area, 7, 7)
        if self.hasFocus() and self._ring:
            painter.setPen(QPen(QColor(scheme.accent), 2))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(area.adjusted(1, 1, -1, -1), 7, 7)
        icon = self._looks.icon(self._icon, scheme.accent if self.isChecked() else scheme.text, 40)
        left = area.left() + 14
        if not icon.isNull():
            size = max(20, int(self.fontMetrics().height() * 1.25))
            icon.paint(painter, int(left), int(area.center().y() - size / 2), size, size)
            left += size + 12
        metrics = self.fontMetrics()
        top = area.center().y() - metrics.height() - 1
        font = self.font()
        font.setBold(self.isChecked())
        painter.setFont(font)
        painter.setPen(QColor(scheme.text))
        painter.drawText(QPointF(left, top + metrics.ascent()), self.text())
        font.setBold(False)
        font.setPointSizeF(font.pointSizeF() * 0.86)
        painter.setFont(font)
        attention = self.state is PageState.ATTENTION
        colour = QColor(scheme.problem if attention else scheme.faint)
        side = metrics.height() * 0.55
        baseline = top + metrics.height() + metrics.ascent()
        paint_state(painter, self.state, QRectF(left, baseline - side + 0.5, side, side), colour, ground)
        painter.setPen(colour)
        painter.drawText(QPointF(left + side + 6, baseline), self.state.value)
        painter.end()


class Rail(QWidget):
    """The pages on the left."""

    page_chosen = Signal(str)

    def __init__(self, entries: tuple[PageEntry, ...], looks: Looks, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("rail")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setFixedWidth(196)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(4, 18, 4, 12)
        layout.setSpacing(2)
        self._title = QLabel()
        self._title.setProperty("role", "strong")
        self._title.setWordWrap(True)
        self._title.setContentsMargins(18, 0, 12, 0)
        self._number = QLabel()
        self._number.setProperty("role", "small")
        self._number.setContentsMargins(18, 0, 12, 10)
        layout.addWidget(self._title)
        layout.addWidget(self._number)
        self.buttons: dict[str, RailButton] = {}
        for entry in entries:
            button = RailButton(entry, looks)
            button.clicked.connect(lambda _, key=entry.key: self.page_chosen.emit(key))
            self.buttons[entry.key] = button
            layout.addWidget(button)
        layout.addStretch(1)

    def show_heading(self, title: str, number: str) -> None:
        """Title and number of the case."""
        self._title.setText(title or "Untitled case")
        self._number.setText(number)

    def show_state(self, key: str, state: PageState, detail: str = "") -> None:
        """How far one page is."""
        self.buttons[key].show_state(state, detail)

    def show_page(self, key: str) -> None:
        """Which page is shown."""
        self.buttons[key].setChecked(True)

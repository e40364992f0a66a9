"""What an addressee needs, one line each: how it stands by shape and word, with a link to its field."""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QScrollArea, QSizePolicy, QVBoxLayout, QWidget

from hazardreport.app.views.rail import PageState, paint_state
from hazardreport.app.views.record_list import text_label


@dataclass(frozen=True, kw_only=True, slots=True)
class ElementLine:
    """One element: how it stands, its name, what the case says or why not, and where its field is.

    reason_asked  nothing stands there, and its page has no field for the reason: it can be given here
    why           what happens without it, where something is lacking
    """

    state: PageState
    name: str
    text: str
    link: str
    reason_asked: bool = False
    why: str = ""


class StateSign(QWidget):
    """The shape of a state."""

    def __init__(self, state: PageState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(state.value)

    def sizeHint(self) -> QSize:
        """As high as a small letter's line."""
        side = int(self.fontMetrics().height() * 0.9)
        return QSize(side, side)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the shape."""
        painter = QPainter(self)
        side = min(self.width(), self.height()) - 4
        area = QRectF(2, 2, side, side)
        text, ground = self.palette().text().color(), self.palette().window().color()
        paint_state(painter, self._state, area, QColor(text), QColor(ground))
        painter.end()


class ElementList(QScrollArea):
    """Groups of elements."""

    link_asked = Signal(str)
    reason_asked = Signal(str, str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName("What the addressee needs")
        self._groups: tuple[tuple[str, tuple[ElementLine, ...]], ...] = ()
        self._widgets: dict[str | ElementLine, QWidget] = {}
        content = QWidget()
        self._column = QVBoxLayout(content)
        self._column.setContentsMargins(0, 0, 8, 12)
        self._column.setSpacing(2)
        self._column.addStretch(1)
        self.setWidget(content)

    def show_groups(self, groups: Sequence[tuple[str, Sequence[ElementLine]]]) -> None:
        """Show groups as (title, lines); empty groups are left out."""
        new = tuple((title, tuple(lines)) for title, lines in groups if lines)
        if new != self._groups:
            self._groups = new
            place = self.verticalScrollBar().value()
            self._show_content()
            self.verticalScrollBar().setValue(place)

    def _show_content(self) -> None:
        """Lines that stay the same keep their widgets."""
        kept, self._widgets = self._widgets, {}
        for title, lines in self._groups:
            self._widgets[title] = kept.pop(title) if title in kept else _head(title)
            for line in lines:
                self._widgets[line] = kept.pop(line) if line in kept else self._line(line)
        for widget in kept.values():
            self._column.removeWidget(widget)
            widget.hide()
            widget.deleteLater()
        before: QWidget = self
        for place, widget in enumerate(self._widgets.values()):
            if self._column.indexOf(widget) != place:
                self._column.insertWidget(place, widget)
            for button in widget.findChildren(QPushButton):
                QWidget.setTabOrder(before, button)
                before = button

    def _line(self, line: ElementLine) -> QWidget:
        widget = QWidget()
        row = QHBoxLayout(widget)
        row.setContentsMargins(0, 1, 0, 1)
        row.setSpacing(6)
        sign = QVBoxLayout()
        sign.setContentsMargins(0, 5, 0, 0)
        sign.addWidget(StateSign(line.state))
        sign.addStretch(1)
        row.addLayout(sign)
        words = QVBoxLayout()
        words.setSpacing(0)
        name = QPushButton(line.name)
        name.setProperty("role", "link")
        name.setCursor(Qt.CursorShape.PointingHandCursor)
        name.setAccessibleName(f"{line.name}, {line.text or line.state.value}: go to the field")
        name.clicked.connect(lambda: self.link_asked.emit(line.link))
        name.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        name.setToolTip(line.name)
        words.addWidget(name)
        for told in (line.text, line.why):
            if told:
                text = text_label(told, "small")
                text.setContentsMargins(5, 0, 0, 3)
                words.addWidget(text)
        if line.reason_asked:
            why = QPushButton("Say why not…")
            why.setAccessibleName(f"{line.name}: say why not")
            why.clicked.connect(lambda: self.reason_asked.emit(line.link, line.name))
            why.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
            words.addWidget(why, 0, Qt.AlignmentFlag.AlignLeft)
        row.addLayout(words, 1)
        return widget


def _head(title: str) -> QLabel:
    head = QLabel(title)
    head.setProperty("role", "strong")
    head.setWordWrap(True)
    head.setContentsMargins(0, 10, 0, 2)
    return head

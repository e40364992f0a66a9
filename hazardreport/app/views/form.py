"""A form in titled cards, labels on the left, one field in each row; and a short list of its sections."""

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel, QPushButton, QScrollArea, QVBoxLayout, QWidget

from hazardreport.app.views.fields import Field
from hazardreport.app.views.flow import FlowLayout

LABEL_WIDTH = 168


class Card(QFrame):
    """A titled group."""

    def __init__(self, title: str, hint: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self.title = title
        self.body = QVBoxLayout(self)
        self.body.setContentsMargins(20, 16, 20, 18)
        self.body.setSpacing(10)
        if title:
            head = QLabel(title)
            head.setProperty("role", "section")
            self.body.addWidget(head)
        if hint:
            line = QLabel(hint)
            line.setProperty("role", "faint")
            line.setWordWrap(True)
            self.body.addWidget(line)


class FormCard(Card):
    """A card of labelled fields."""

    def __init__(
        self, title: str, hint: str = "", parent: QWidget | None = None, label_width: int = LABEL_WIDTH
    ) -> None:
        super().__init__(title, hint, parent)
        self._label_width = label_width
        self._labels: dict[Field, QLabel] = {}
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(16)
        self._grid.setVerticalSpacing(9)
        self._grid.setColumnMinimumWidth(0, label_width)
        self._grid.setColumnStretch(1, 1)
        self.body.addLayout(self._grid)

    def add_field(self, field: Field) -> None:
        """A row with the field's label."""
        row = self._grid.rowCount()
        label = QLabel(field.label)
        label.setWordWrap(True)
        label.setFixedWidth(self._label_width)
        label.setContentsMargins(0, 6, 0, 0)
        label.setBuddy(field)
        label.setToolTip(field.toolTip())
        self._labels[field] = label
        self._grid.addWidget(label, row, 0, Qt.AlignmentFlag.AlignTop)
        self._grid.addWidget(field, row, 1)

    def show_field(self, field: Field, shown: bool) -> None:
        """Show a field of this card with its label, or neither."""
        if field in self._labels:
            self._labels[field].setVisible(shown)
            field.setVisible(shown)


class SectionedScroll(QWidget):
    """Cards one below the other, with a row of links to them on top that follows the scrolling."""

    section_shown = Signal(int)
    cursor_came = Signal(QWidget)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(6)
        self._links = FlowLayout(gap=2)
        layout.addLayout(self._links)
        self.area = QScrollArea()
        self.area.setWidgetResizable(True)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self._content = QWidget()
        self._cards = QVBoxLayout(self._content)
        self._cards.setContentsMargins(0, 0, 10, 24)
        self._cards.setSpacing(16)
        self._cards.addStretch(1)
        self.area.setWidget(self._content)
        self.area.verticalScrollBar().valueChanged.connect(self.on_scrolled)
        layout.addWidget(self.area, 1)
        self._sections: list[tuple[QWidget, QPushButton]] = []

    def add_section(self, name: str, widget: QWidget) -> None:
        """One more card, with its link."""
        link = QPushButton(name)
        link.setProperty("role", "link")
        link.setCheckable(True)
        link.setAccessibleName(f"Go to {name}")
        link.clicked.connect(lambda: self.go_to(widget))
        self._links.addWidget(link)
        self._cards.insertWidget(self._cards.count() - 1, widget)
        self._sections.append((widget, link))
        link.setChecked(len(self._sections) == 1)

    def show_section(self, widget: QWidget, shown: bool) -> None:
        """Show a section and its link, or neither."""
        widget.setVisible(shown)
        for section, link in self._sections:
            if section is widget:
                link.setVisible(shown)

    def hold(self, held: bool) -> None:
        """While cards are filled part by part nothing is laid out or painted; afterwards all of it, once."""
        self._cards.setEnabled(not held)
        self._content.setUpdatesEnabled(not held)
        if not held:
            self.settle()

    def settle(self) -> None:
        """Give every card the height that its wrapped lines need, once they are laid out."""
        QTimer.singleShot(0, self, self.on_settle)

    def on_settle(self) -> None:
        """The lines are laid out."""
        self._cards.invalidate()
        self._cards.activate()
        self._content.updateGeometry()
        self.on_scrolled(self.area.verticalScrollBar().value())

    def go_to(self, widget: QWidget) -> None:
        """Scroll a section to the top."""
        self.area.verticalScrollBar().setValue(widget.y())
        self._mark(widget)

    def on_scrolled(self, value: int) -> None:
        """Mark the link of the section that is on top."""
        shown = next((w for w, _ in reversed(self._sections) if not w.isHidden() and w.y() <= value + 40), None)
        if shown is not None:
            self._mark(shown)

    def _mark(self, widget: QWidget) -> None:
        """Mark the link of a section; the cursor of the keyboard, if on a link, goes with it."""
        along = any(link.hasFocus() for _, link in self._sections)
        for section, link in self._sections:
            link.setChecked(section is widget)
            if along and section is widget:
                link.setFocus(Qt.FocusReason.OtherFocusReason)

    def reveal(self, widget: QWidget) -> None:
        """Scroll a field into view and put the cursor there."""
        QTimer.singleShot(0, widget, lambda: self.area.ensureWidgetVisible(widget, 0, 80))
        widget.setFocus(Qt.FocusReason.OtherFocusReason)

    def follow_focus(self, fields: Sequence[QWidget]) -> None:
        """Keep the field that has the cursor in view, and tell which one it is."""
        for field in fields:
            for widget in field.inputs() if isinstance(field, Field) else [field]:
                widget.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """A field got the cursor by the keyboard."""
        if event.type() == QEvent.Type.FocusIn and isinstance(watched, QWidget):
            self.area.ensureWidgetVisible(watched, 0, 40)
            self.cursor_came.emit(watched)
        return super().eventFilter(watched, event)


def title_block(title: str, hint: str) -> tuple[QWidget, QLabel]:
    """A page's title and its one line below; the line can be changed."""
    block = QWidget()
    layout = QVBoxLayout(block)
    layout.setContentsMargins(0, 0, 0, 0)
    layout.setSpacing(2)
    head = QLabel(title)
    head.setProperty("role", "title")
    line = QLabel(hint)
    line.setProperty("role", "faint")
    line.setWordWrap(True)
    layout.addWidget(head)
    layout.addWidget(line)
    return block, line

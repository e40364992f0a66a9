"""Blocks of text one below the other in a column that scrolls; made anew only where something changed."""

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QScrollArea, QVBoxLayout, QWidget


class BlockScroll(QScrollArea):
    """A column of widgets."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName(name)
        content = QWidget()
        self._column = QVBoxLayout(content)
        self._column.setContentsMargins(0, 10, 10, 14)
        self._column.setSpacing(12)
        self._column.addStretch(1)
        self.setWidget(content)
        self._widgets: list[QWidget] = []

    def show_widgets(self, widgets: Sequence[QWidget]) -> None:
        """Show these and none of those before; the place is kept."""
        place = self.verticalScrollBar().value()
        for old in self._widgets:
            if old not in widgets:
                self._column.removeWidget(old)
                old.hide()
                old.deleteLater()
        self._widgets = list(widgets)
        for number, widget in enumerate(widgets):
            self._column.insertWidget(number, widget)
        self.verticalScrollBar().setValue(place)

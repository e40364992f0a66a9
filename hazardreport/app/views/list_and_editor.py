"""A list beside an editor; where there is no room for both, the list stands above."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSplitter, QWidget

SIGNS = 86
"""Fewer average signs than this in a line leave no room for list and editor side by side."""
SHARE_ABOVE = 0.24


class ListAndEditor(QSplitter):
    """Two widgets; the second takes what room there is."""

    def __init__(self, first: QWidget, second: QWidget, width: int, parent: QWidget | None = None) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self._width = width
        self.addWidget(first)
        self.addWidget(second)
        self.setSizes([width, 780 - width])
        self.setStretchFactor(1, 1)
        self.setChildrenCollapsible(False)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Turn where the width asks for it."""
        super().resizeEvent(event)
        narrow = self.width() < SIGNS * self.fontMetrics().averageCharWidth()
        wanted = Qt.Orientation.Vertical if narrow else Qt.Orientation.Horizontal
        if wanted != self.orientation():
            self.setOrientation(wanted)
            height = self.height()
            above = int(height * SHARE_ABOVE)
            self.setSizes([above, height - above] if narrow else [self._width, max(1, self.width() - self._width)])

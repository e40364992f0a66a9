"""Pages of a document, one below the other; old pages stay until the new ones are there, and the place is kept."""

from collections.abc import Sequence

from PySide6.QtCore import QSize, Qt, QTimer, Signal
from PySide6.QtGui import QImage, QPixmap, QResizeEvent
from PySide6.QtWidgets import QLabel, QScrollArea, QVBoxLayout, QWidget

SETTLE_MS = 200


class PageStack(QScrollArea):
    """Shows page images; asks for new ones when its width has changed."""

    width_changed = Signal()

    def __init__(self, empty: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setAccessibleName("Preview of the report")
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._content = QWidget()
        self._column = QVBoxLayout(self._content)
        self._column.setContentsMargins(12, 12, 12, 12)
        self._column.setSpacing(14)
        self._empty = QLabel(empty)
        self._empty.setWordWrap(True)
        self._empty.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._empty.setProperty("role", "faint")
        self._column.addWidget(self._empty)
        self.setWidget(self._content)
        self._labels: list[QLabel] = []
        self._images: Sequence[QImage] = ()
        self._settle = QTimer(self)
        self._settle.setSingleShot(True)
        self._settle.setInterval(SETTLE_MS)
        self._settle.timeout.connect(self.width_changed)

    @property
    def page_count(self) -> int:
        """How many pages are shown."""
        return len(self._labels)

    def page_width(self) -> int:
        """Width of a page [device-independent pixel]."""
        return max(160, self.viewport().width() - 24)

    def show_pages(self, images: Sequence[QImage]) -> None:
        """Put new pages in the place of the old ones."""
        self._images = images
        self._empty.setVisible(not images)
        while len(self._labels) > len(images):
            label = self._labels.pop()
            self._column.removeWidget(label)
            label.hide()
            label.deleteLater()
        while len(self._labels) < len(images):
            label = QLabel()
            label.setAlignment(Qt.AlignmentFlag.AlignHCenter)
            label.setStyleSheet("background: white; border: 1px solid #858e99;")
            self._labels.append(label)
            self._column.addWidget(label, 0, Qt.AlignmentFlag.AlignHCenter)
        for number, (label, image) in enumerate(zip(self._labels, images, strict=True), 1):
            label.setAccessibleName(f"Page {number} of {len(images)}")
            self._put(label, image)

    def _put(self, label: QLabel, image: QImage) -> None:
        width = self.page_width()
        ratio = self.devicePixelRatioF()
        if abs(image.width() - width * ratio) > 1:
            image = image.scaledToWidth(int(width * ratio), Qt.TransformationMode.SmoothTransformation)
        pixmap = QPixmap.fromImage(image)
        pixmap.setDevicePixelRatio(ratio)
        label.setPixmap(pixmap)
        label.setFixedSize(pixmap.deviceIndependentSize().toSize() + QSize(2, 2))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Scale what is there; ask for sharper pages after a pause."""
        super().resizeEvent(event)
        if event.oldSize().width() != event.size().width() and self._images:
            for label, image in zip(self._labels, self._images, strict=True):
                self._put(label, image)
            self._settle.start()

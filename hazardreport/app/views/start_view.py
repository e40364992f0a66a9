"""What the window shows while no case is open."""

from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QDragEnterEvent, QDragMoveEvent, QDropEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QScrollArea, QVBoxLayout, QWidget

from hazardreport import wording
from hazardreport.app.looks import Looks


class StartView(QScrollArea):
    """New, open, recent, demo."""

    new_asked = Signal()
    open_asked = Signal()
    demo_asked = Signal()
    recent_asked = Signal(str)
    dropped = Signal(str)

    def __init__(self, looks: Looks, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setAcceptDrops(True)
        content = QWidget()
        outer = QHBoxLayout(content)
        column = QWidget()
        column.setMaximumWidth(620)
        layout = QVBoxLayout(column)
        layout.setContentsMargins(32, 56, 32, 32)
        layout.setSpacing(10)
        title = QLabel(wording.sentence("window.start.title"))
        title.setProperty("role", "title")
        title.setWordWrap(True)
        lead = QLabel(wording.sentence("window.start.lead"))
        lead.setProperty("role", "faint")
        lead.setWordWrap(True)
        layout.addWidget(title)
        layout.addWidget(lead)
        layout.addSpacing(14)
        self.buttons: dict[str, QPushButton] = {}
        for key, text, signal, main in (
            ("new", "New case…", self.new_asked, True),
            ("open", "Open case…", self.open_asked, False),
            ("demo", "Look at the demo case", self.demo_asked, False),
        ):
            button = QPushButton(text)
            button.setMinimumHeight(32)
            button.setFixedWidth(230)
            button.setProperty("role", "main" if main else "")
            button.clicked.connect(signal)
            line = QLabel(wording.sentence(f"window.start.{key}"))
            line.setProperty("role", "small")
            line.setWordWrap(True)
            row = QHBoxLayout()
            row.setSpacing(18)
            row.addWidget(button)
            row.addWidget(line, 1)
            layout.addLayout(row)
            self.buttons[key] = button
        layout.addSpacing(14)
        self._heading = QLabel("Recent cases")
        self._heading.setProperty("role", "section")
        layout.addWidget(self._heading)
        self._recent = QVBoxLayout()
        self._recent.setSpacing(2)
        layout.addLayout(self._recent)
        rule = QFrame()
        rule.setObjectName("rule")
        rule.setFixedHeight(1)
        layout.addSpacing(16)
        layout.addWidget(rule)
        caution = QLabel(wording.sentence("window.start.caution"))
        caution.setWordWrap(True)
        layout.addWidget(caution)
        layout.addStretch(1)
        outer.addStretch(1)
        outer.addWidget(column, 4)
        outer.addStretch(1)
        self.setWidget(content)
        self.show_recent(())

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """One folder or one file may be a case."""
        if len(local_paths(event)) == 1:
            event.acceptProposedAction()

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        """The same everywhere in the view."""
        if len(local_paths(event)) == 1:
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """A folder or a pack was dropped: it is to be opened."""
        paths = local_paths(event)
        if len(paths) == 1:
            event.acceptProposedAction()
            self.dropped.emit(paths[0])

    def show_recent(self, folders: tuple[Path, ...]) -> None:
        """The cases opened last."""
        while (item := self._recent.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.deleteLater()
        self._heading.setVisible(bool(folders))
        for folder in folders:
            button = QPushButton(f"{folder.name}   —   {folder.parent}")
            button.setProperty("role", "link")
            button.setCursor(Qt.CursorShape.PointingHandCursor)
            button.setAccessibleName(f"Open {folder.name}")
            button.clicked.connect(lambda _, folder=folder: self.recent_asked.emit(str(folder)))
            self._recent.addWidget(button)


def local_paths(event: QDropEvent) -> list[str]:
    """Files and folders of this computer that are being dropped."""
    return [url.toLocalFile() for url in event.mimeData().urls() if url.isLocalFile()]

"""Before a case is packed: the hash of its last revision, and three ways to put it into other hands."""

from enum import StrEnum

from PySide6.QtGui import QFontDatabase, QGuiApplication
from PySide6.QtWidgets import QDialogButtonBox, QHBoxLayout, QPushButton, QWidget

from hazardreport import wording
from hazardreport.app.dialogs.plain import PlainDialog, text_label

GROUP = 4
IN_A_LINE = 8
"""So many digits stand together, and so many groups in one line: to be read aloud and compared."""


class Sealing(StrEnum):
    """How the case is to be packed."""

    ANCHOR = "record an anchor first"
    WITHOUT = "without an anchor"


def in_groups(sha256: str) -> str:
    """A hash in groups of four digits, eight groups a line.

    >>> in_groups("0123456789abcdef")
    '0123 4567 89ab cdef'
    """
    groups = [sha256[start : start + GROUP] for start in range(0, len(sha256), GROUP)]
    return "\n".join(" ".join(groups[start : start + IN_A_LINE]) for start in range(0, len(groups), IN_A_LINE))


class SealingDialog(PlainDialog):
    """Offers to anchor a revision; the person decides."""

    def __init__(self, revision: int, sha256: str, parent: QWidget | None = None) -> None:
        super().__init__("Pack the case", wording.sentence("window.sealing.lead", revision=revision), parent, (640, 0))
        self._sha256 = sha256
        self._answer = Sealing.WITHOUT
        row = QHBoxLayout()
        self.hash = text_label(in_groups(sha256), "figure")
        self.hash.setFont(QFontDatabase.systemFont(QFontDatabase.SystemFont.FixedFont))
        self.hash.setAccessibleName(f"Hash of revision {revision}")
        self.hash.setWordWrap(False)
        self.copy = QPushButton("Copy")
        self.copy.setAccessibleName("Copy the hash")
        self.copy.clicked.connect(self.on_copy_clicked)
        row.addWidget(self.hash, 1)
        row.addWidget(self.copy)
        self.column.addLayout(row)
        for way in ("sent", "countersigned", "time_stamp"):
            self.column.addWidget(text_label("•  " + wording.sentence(f"window.sealing.{way}")))
        self.column.addWidget(text_label(wording.sentence("window.sealing.without"), "faint"))
        self.anchor = self.add_buttons("Record an anchor…")
        self.without = self.buttons.addButton("Pack without an anchor", QDialogButtonBox.ButtonRole.ActionRole)
        self.anchor.clicked.connect(lambda: self._set(Sealing.ANCHOR))
        self.without.clicked.connect(self.on_without_clicked)

    def _set(self, answer: Sealing) -> None:
        self._answer = answer

    def on_copy_clicked(self) -> None:
        """Put the hash on the clipboard, without gaps."""
        QGuiApplication.clipboard().setText(self._sha256)
        self.copy.setText("Copied")

    def on_without_clicked(self) -> None:
        """Nobody else gets the hash."""
        self._set(Sealing.WITHOUT)
        self.accept()

    def ask(self) -> Sealing | None:
        """Run the dialog; None if it was left."""
        return self._answer if self.accepted_now() else None

"""A field that holds the hash of a file: the file is chosen, its hash taken, the file left where it is."""

from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QLabel, QPushButton, QWidget

from hazardreport import wording
from hazardreport.app.views.fields import Field
from hazardreport.errors import HazardReportError
from hazardreport.storage import files

SHOWN = 16
"""So many signs of a hash are shown; all of it is in the tool tip and for assistive technology."""


class FileHashField(Field):
    """Carries the SHA-256 of the chosen file, or ""."""

    def __init__(self, label: str, start: Path, parent: QWidget | None = None) -> None:
        super().__init__(label, parent)
        self._start = start
        self.sha256 = ""
        self.shown = QLabel()
        self.shown.setProperty("role", "faint")
        self.choose = QPushButton("Choose file…")
        self.choose.setAutoDefault(False)
        self.choose.setAccessibleName(f"{label}: choose the file")
        self.choose.clicked.connect(self.on_choose_clicked)
        self.remove = QPushButton("Take out")
        self.remove.setAutoDefault(False)
        self.remove.setAccessibleName(f"{label}: take out")
        self.remove.clicked.connect(lambda: self._take(""))
        self._row.addWidget(self.shown)
        self._row.addWidget(self.choose)
        self._row.addWidget(self.remove)
        self._row.addStretch(1)
        self.setFocusProxy(self.choose)

    def on_choose_clicked(self) -> None:
        """Ask for the file and take its hash; a file that cannot be read is told below."""
        chosen, _ = QFileDialog.getOpenFileName(self, self.label, str(self._start))
        if not chosen:
            return
        try:
            found = files.sha256(Path(chosen))
        except HazardReportError as error:
            self.show_remark(f"{wording.what(error)} {wording.remedy(error)}", problem=True)
            return
        self.show_remark(Path(chosen).name)
        self._take(found)

    def _take(self, sha256: str) -> None:
        if not sha256:
            self.show_remark("")
        self.show_value(sha256)
        self.entered.emit(sha256)

    def show_value(self, value: object) -> None:
        """Show a hash, or that there is none."""
        self.sha256 = str(value or "")
        self.shown.setText(f"{self.sha256[:SHOWN]}…" if self.sha256 else "none")
        self.shown.setToolTip(self.sha256)
        self.shown.setAccessibleName(f"{self.label}: {self.sha256 or 'none'}")
        self.remove.setVisible(bool(self.sha256))

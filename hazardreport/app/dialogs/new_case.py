"""Asks for number, title and place of a new case, and who the person is."""

from datetime import UTC, datetime
from pathlib import Path

from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFileDialog,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from hazardreport import wording
from hazardreport.app.opening import NewCaseWish


class NewCaseDialog(QDialog):
    """Number, title, folder, name."""

    def __init__(self, place: Path, author: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("New case")
        self._now = datetime.now(UTC)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(24, 20, 24, 18)
        layout.setSpacing(14)
        lead = QLabel(wording.sentence("window.new.lead"))
        lead.setWordWrap(True)
        lead.setProperty("role", "faint")
        layout.addWidget(lead)
        form = QFormLayout()
        form.setHorizontalSpacing(16)
        form.setVerticalSpacing(10)
        self.title = QLineEdit()
        self.title.setPlaceholderText("a short name for people")
        self.number = QLineEdit(f"HR-{self._now.astimezone():%Y%m%d-%H%M}")
        self.place = QLineEdit(str(place))
        self.place.setMinimumWidth(320)
        choose = QPushButton("Choose…")
        choose.setAccessibleName("Choose the folder")
        choose.clicked.connect(self.on_choose_clicked)
        row = QHBoxLayout()
        row.addWidget(self.place, 1)
        row.addWidget(choose)
        self.author = QLineEdit(author)
        self.author.setMaxLength(120)
        self.author.setPlaceholderText("no name: the log says that nobody was named")
        form.addRow("Title", self.title)
        form.addRow("Case number", self.number)
        form.addRow("Kept in", row)
        form.addRow("Your name, for the log of the case", self.author)
        layout.addLayout(form)
        self.target = QLabel()
        self.target.setProperty("role", "small")
        self.target.setWordWrap(True)
        layout.addWidget(self.target)
        self.buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        self._create = self.buttons.addButton("Create case", QDialogButtonBox.ButtonRole.AcceptRole)
        self._create.setProperty("role", "main")
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        layout.addWidget(self.buttons)
        for edit in (self.number, self.place):
            edit.textChanged.connect(self.on_changed)
        self.on_changed()

    def _folder(self) -> Path:
        number = self.number.text().strip()
        safe = "".join(sign if sign.isalnum() or sign in "-_." else "-" for sign in number).strip(".")
        return Path(self.place.text().strip()).expanduser() / (safe or "case")

    def on_changed(self) -> None:
        """Number or place were typed: say where the case will be."""
        self._create.setEnabled(bool(self.number.text().strip() and self.place.text().strip()))
        self.target.setText(f"Folder: {self._folder()}")

    def on_choose_clicked(self) -> None:
        """Choose the place."""
        folder = QFileDialog.getExistingDirectory(self, "Keep the case in", self.place.text())
        if folder:
            self.place.setText(folder)

    def wish(self) -> NewCaseWish:
        """What was entered."""
        return NewCaseWish(
            id=self.number.text().strip(),
            title=self.title.text().strip(),
            folder=self._folder(),
            created=self._now.strftime("%Y-%m-%dT%H:%M:%SZ"),
            author=" ".join(self.author.text().split()),
        )

    def ask(self) -> NewCaseWish | None:
        """Run the dialog; None if it was left."""
        return self.wish() if self.exec() == QDialog.DialogCode.Accepted else None

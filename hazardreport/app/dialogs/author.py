"""Asks who the person is, for the log of the case."""

from PySide6.QtWidgets import QLineEdit, QWidget

from hazardreport import wording
from hazardreport.app.dialogs.plain import PlainDialog


class AuthorDialog(PlainDialog):
    """One name, or none."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__("Your name", wording.sentence("window.author.lead"), parent, (460, 0))
        self.name = QLineEdit(name)
        self.name.setAccessibleName("Your name, for the log of the case")
        self.name.setPlaceholderText("no name: the log says that nobody was named")
        self.name.setMaxLength(120)
        self.column.addWidget(self.name)
        self.keep = self.add_buttons("Keep name")
        self.name.setFocus()

    def ask(self) -> str | None:
        """Run the dialog; None if it was left."""
        return " ".join(self.name.text().split()) if self.accepted_now() else None

"""Asks who measures, and why that person may."""

from datetime import UTC, datetime

from PySide6.QtWidgets import QCheckBox, QDialog, QDialogButtonBox, QFormLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from hazardreport import wording
from hazardreport.case.circumstances import Competence


class CompetenceDialog(QDialog):
    """The statement that opens the live tests of one case."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Who measures")
        self.setMinimumWidth(520)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(24, 20, 24, 18)
        layout.setSpacing(14)
        lead = QLabel(wording.sentence("window.competence.lead"))
        lead.setWordWrap(True)
        layout.addWidget(lead)
        form = QFormLayout()
        form.setHorizontalSpacing(16)
        form.setVerticalSpacing(10)
        self.name = QLineEdit()
        self.qualification = QLineEdit()
        self.qualification.setPlaceholderText("trade, licence, training")
        self.permitted = QLineEdit()
        self.permitted.setPlaceholderText("where, and why live work is permitted there")
        form.addRow("Name", self.name)
        form.addRow("Qualification", self.qualification)
        form.addRow("Permitted", self.permitted)
        layout.addLayout(form)
        self.statement = QCheckBox(wording.sentence("window.competence.statement"))
        layout.addWidget(self.statement)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        self.state = buttons.addButton("State this", QDialogButtonBox.ButtonRole.AcceptRole)
        self.state.setProperty("role", "main")
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        layout.addWidget(buttons)
        for edit in (self.name, self.qualification, self.permitted):
            edit.textChanged.connect(self.on_changed)
        self.statement.toggled.connect(self.on_changed)
        self.on_changed()

    def on_changed(self) -> None:
        """All must be said before it can be stated."""
        said = all(edit.text().strip() for edit in (self.name, self.qualification, self.permitted))
        self.state.setEnabled(said and self.statement.isChecked())

    def ask(self) -> Competence | None:
        """Run the dialog; None if it was left."""
        if self.exec() != QDialog.DialogCode.Accepted:
            return None
        return Competence(
            name=self.name.text().strip(),
            qualification=self.qualification.text().strip(),
            permitted=self.permitted.text().strip(),
            stated=datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ"),
        )

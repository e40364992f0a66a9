"""A line of text beside which stands, at each keystroke, what was understood of it."""

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QWidget

from hazardreport.app.models.understood import Understood
from hazardreport.app.views.fields import TextField


class UnderstoodField(TextField):
    """What is typed is entered as it is, understood or not; what was not understood says why below the field."""

    typing = Signal(str)

    def __init__(
        self, label: str, understand: Callable[[str], Understood], hint: str = "", parent: QWidget | None = None
    ) -> None:
        super().__init__(label, hint=hint, parent=parent)
        self._understand = understand
        self.edit.setMaximumWidth(150)
        self.told = QLabel()
        self.told.setTextFormat(Qt.TextFormat.PlainText)
        self.told.setProperty("role", "faint")
        self.told.setWordWrap(True)
        self._row.addWidget(self.told, 1)
        self.edit.textChanged.connect(self.on_text_changed)

    def on_text_changed(self) -> None:
        """Say what is understood now."""
        found = self._understand(self.text())
        self.told.setText(found.text)
        told = (found.fault or found.text, self.explanation)
        self.edit.setAccessibleDescription(". ".join(part for part in told if part))
        self.show_remark(found.fault, problem=True)
        if self.edit.hasFocus():
            self.typing.emit(self.text())

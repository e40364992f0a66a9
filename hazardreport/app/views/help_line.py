"""A strip of two lines that says in plain words what the field with the cursor asks for; its height stays."""

from PySide6.QtCore import QEvent, Qt
from PySide6.QtWidgets import QFrame, QLabel, QVBoxLayout, QWidget

from hazardreport.app.views.fields import Field

LINES = 2


class HelpLine(QFrame):
    """Explains one field."""

    def __init__(self, empty: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        column = QVBoxLayout(self)
        column.setContentsMargins(14, 7, 14, 7)
        self.text = QLabel(empty)
        self.text.setTextFormat(Qt.TextFormat.PlainText)
        self.text.setWordWrap(True)
        self.text.setProperty("role", "faint")
        self.text.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        column.addWidget(self.text)

    def show_field(self, field: Field) -> None:
        """Say what a field asks for."""
        colon = "" if field.label.endswith("?") else ":"
        self.text.setText(f"{field.label}{colon} {field.explanation}" if field.explanation else field.label)

    def changeEvent(self, event: QEvent) -> None:
        """Keep room for its lines when the text grows."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self._fit()

    def _fit(self) -> None:
        self.text.ensurePolished()
        self.setFixedHeight(self.text.fontMetrics().lineSpacing() * LINES + 18)

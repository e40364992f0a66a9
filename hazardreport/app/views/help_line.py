"""A strip of two lines that says in plain words what the field with the cursor asks for; its height stays."""

from collections.abc import Iterable

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtWidgets import QFrame, QLabel, QVBoxLayout, QWidget

from hazardreport.app.views.fields import Field
from hazardreport.app.views.tick_list import TickList

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
        self.show_line(field.label, field.explanation)

    def show_line(self, label: str, explanation: str) -> None:
        """Say what something asks for."""
        colon = "" if label.endswith("?") else ":"
        self.text.setText(f"{label}{colon} {explanation}" if explanation else label)

    def follow(self, widgets: Iterable[QWidget]) -> None:
        """Explain each of these when it gets the cursor: fields, and what stands in them; lists to tick."""
        for widget in widgets:
            for inner in widget.inputs() if isinstance(widget, Field) else [widget]:
                inner.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Something got the cursor."""
        if event.type() == QEvent.Type.FocusIn and isinstance(watched, QWidget):
            self.on_cursor_came(watched)
        return super().eventFilter(watched, event)

    def on_cursor_came(self, widget: QWidget) -> None:
        """Say what the field around a widget asks for."""
        outer: QWidget | None = widget
        while outer is not None and not isinstance(outer, Field | TickList):
            outer = outer.parentWidget()
        if isinstance(outer, Field) and not outer.explanation and isinstance(outer.parentWidget(), Field):
            outer = outer.parentWidget()
        if isinstance(outer, Field):
            self.show_field(outer)
        elif isinstance(outer, TickList):
            self.show_line(outer.label, outer.explanation)
        elif widget.accessibleDescription():
            self.show_line(widget.accessibleName(), widget.accessibleDescription())

    def changeEvent(self, event: QEvent) -> None:
        """Keep room for its lines when the text grows."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self._fit()

    def _fit(self) -> None:
        self.text.ensurePolished()
        self.setFixedHeight(self.text.fontMetrics().lineSpacing() * LINES + 18)

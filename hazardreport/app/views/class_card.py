"""Which class of protection the evidence fits: a sentence, the reasons, what contradicts what."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from hazardreport.app.views.form import Card
from hazardreport.app.views.record_list import text_label
from hazardreport.risk.protection_class import ClassReasoning


class ClassCard(Card):
    """Each reason and each contradiction leads to what it rests on."""

    link_asked = Signal(str)

    def __init__(self, title: str, hint: str, parent: QWidget | None = None) -> None:
        super().__init__(title, hint, parent)
        self._shown: ClassReasoning | None = None
        self.lines = QVBoxLayout()
        self.lines.setSpacing(4)
        self.body.addLayout(self.lines)

    def show_reasoning(self, reasoning: ClassReasoning, nothing: str) -> None:
        """Show what the evidence fits; `nothing` is said where nothing was seen yet."""
        if reasoning == self._shown:
            return
        self._shown = reasoning
        while (item := self.lines.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.hide()
                widget.deleteLater()
        if not (reasoning.reasons or reasoning.contradictions):
            self.lines.addWidget(text_label(reasoning.sentence or nothing, "faint"))
            return
        self.lines.addWidget(text_label(reasoning.sentence, "strong"))
        for contradiction in reasoning.contradictions:
            self.lines.addWidget(self._line(f"▲ {contradiction.text}", "problem", *contradiction.links))
        for reason in reasoning.reasons:
            self.lines.addWidget(self._line(f"• {reason.text}", "", reason.link))
        if reasoning.caution:
            self.lines.addWidget(text_label(reasoning.caution, "small"))

    def _line(self, text: str, role: str, *links: str) -> QWidget:
        line = QWidget()
        row = QHBoxLayout(line)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(6)
        row.addWidget(text_label(text, role), 1)
        for number, link in enumerate(links):
            go = QPushButton("Show" if number == 0 else "Show the other")
            go.setProperty("role", "link")
            place = "below" if link.startswith("requirements.") else "on the Unit page"
            go.setAccessibleName(f"{go.text()} {place}: {text.lstrip('▲• ')}")
            go.clicked.connect(lambda _, link=link: self.link_asked.emit(link))
            row.addWidget(go, 0, Qt.AlignmentFlag.AlignTop)
        return line

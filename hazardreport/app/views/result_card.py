"""What one way to an injury comes to: product of the steps, level in words, what would change it."""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from hazardreport.app.views.fact_table import Cell, FactTable
from hazardreport.app.views.flow import FlowLayout
from hazardreport.app.views.form import Card
from hazardreport.app.views.record_list import Note, text_label

Rows = Sequence[Sequence[Cell]]


@dataclass(frozen=True, kw_only=True, slots=True)
class ResultText:
    """A result in words.

    level      "Serious risk", or what is missing for one
    product    the steps multiplied: "1 × 1/50 × 1/10 = 1/500, 1 in 500"
    notes      what else is to be said: judged steps, a boundary, what is open
    rows       one input moved by one step, and the level then
    robust     whether the level stays, and what would change it
    """

    level: str
    product: str = ""
    notes: tuple[Note, ...] = ()
    rows: tuple[tuple[Cell, ...], ...] = ()
    robust: tuple[str, ...] = ()


class ResultCard(Card):
    """Decides nothing; the tables behind it can be compared with their document."""

    compare_asked = Signal(str)

    def __init__(self, title: str, hint: str, memory: str, parent: QWidget | None = None) -> None:
        super().__init__(title, hint, parent)
        self._shown: ResultText | None = None
        self.level = text_label("", "strong")
        self.product = text_label("")
        self.lines = QVBoxLayout()
        self.lines.setSpacing(4)
        self.table = FactTable(("If one thing were otherwise", "The level would be", ""))
        self.robust = text_label("")
        self.memory = text_label(memory, "small")
        self.marks = QWidget()
        FlowLayout(self.marks, gap=2)
        for part in (self.level, self.product):
            self.body.addWidget(part)
        self.body.addLayout(self.lines)
        self.body.addWidget(self.table)
        self.body.addWidget(self.robust)
        self.body.addWidget(self.memory)
        self.body.addWidget(self.marks)
        self.level.setAccessibleName("Level of risk")

    def show_tables(self, tables: Sequence[tuple[str, str]]) -> None:
        """Tables from memory, as (key, name): each has a button that leads to comparing it with its document."""
        layout = self.marks.layout()
        if layout is None:
            return
        while (item := layout.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.hide()
                widget.deleteLater()
        for key, name in tables:
            button = QPushButton(f"{name}…")
            button.setAccessibleName(f"Compare with its document: {name}")
            button.setProperty("role", "link")
            button.setProperty("table", key)
            button.clicked.connect(lambda _, key=key: self.compare_asked.emit(key))
            layout.addWidget(button)
        self.marks.setVisible(bool(tables))
        self.memory.setVisible(bool(tables))

    def show_result(self, result: ResultText) -> None:
        """Show a result; nothing is made anew where nothing changed."""
        if result == self._shown:
            return
        self._shown = result
        self.level.setText(result.level)
        self.product.setText(result.product)
        self.product.setVisible(bool(result.product))
        while (item := self.lines.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.hide()
                widget.deleteLater()
        for note in result.notes:
            role = "problem" if note.problem else "small"
            self.lines.addWidget(text_label(f"▲ {note.text}" if note.problem else note.text, role))
        self.table.show_rows(result.rows)
        self.table.setVisible(bool(result.rows))
        self.robust.setText("\n".join(result.robust))
        self.robust.setVisible(bool(result.robust))

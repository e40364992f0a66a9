"""One step on the way to an injury: what happens, how probable that is and why, and what shows it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from hazardreport.app.models.understood import Understood
from hazardreport.app.views.evidence_ticks import Entries, EvidenceTicks
from hazardreport.app.views.fact_table import Cell, FactTable
from hazardreport.app.views.fields import Asked, ChoiceField, Field, TextField, choices
from hazardreport.app.views.form import FormCard
from hazardreport.app.views.record_list import Note, text_label
from hazardreport.app.views.understood_field import UnderstoodField
from hazardreport.case.scenario import ProbabilityBasis, ScenarioStep

LABEL_WIDTH = 130
TWO_LINES = 2
SHARE_HEADS = ("Adults who touch it so", "Cannot let go", "Above c1", "Above c2")


@dataclass(frozen=True, kw_only=True, slots=True)
class StepRemarks:
    """What is said beside a step.

    notes    what is to mend or to know
    support  what is said of the computed shares that are offered beside it; rows: contact and shares
    """

    notes: tuple[Note, ...] = ()
    support: tuple[str, ...] = ()
    rows: tuple[tuple[Cell, ...], ...] = ()


class StepCard(FormCard):
    """Signals carry the number of the step, from 0.

    entered    number, name of the field, value; typing: number and the probability as it is being typed
    moved      number, and -1 or +1
    """

    entered = Signal(int, str, object)
    typing = Signal(int, str)
    moved = Signal(int, int)
    removed = Signal(int)
    number_asked = Signal(str)

    def __init__(
        self,
        number: int,
        understand: Callable[[str], Understood],
        asked: Mapping[str, Asked],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__("", parent=parent, label_width=LABEL_WIDTH)
        self.number = number
        self._remarks: StepRemarks | None = None
        self.body.insertLayout(0, self._head())
        text, probability, basis, reason = (asked[name] for name in ("text", "probability", "basis", "reason"))
        happens = TextField(text.label, long=True, hint=text.hint)
        happens.edit.setFixedHeight(happens.edit.fontMetrics().lineSpacing() * TWO_LINES + 20)
        self.probability = UnderstoodField(probability.label, understand, hint=probability.hint)
        self.fields: dict[str, Field] = {
            "text": happens,
            "probability": self.probability,
            "basis": ChoiceField(basis.label, choices(ProbabilityBasis), width=220),
            "reason": TextField(reason.label, hint=reason.hint),
        }
        for name, one in self.fields.items():
            one.entered.connect(lambda value, name=name: self.entered.emit(self.number, name, value))
            one.explain(asked[name].explanation, shown=asked[name].has_trade_term)
            self.add_field(one)
        self.probability.typing.connect(lambda text: self.typing.emit(self.number, text))
        self.lines = QVBoxLayout()
        self.lines.setSpacing(4)
        self.body.addLayout(self.lines)
        self.ticks = EvidenceTicks("step")
        self.ticks.explain({name: (asked[name].label, asked[name].explanation) for name in self.ticks.lists})
        self.ticks.entered.connect(lambda kind, ids: self.entered.emit(self.number, kind, ids))
        self.body.addWidget(self.ticks)
        for key, way in (("Ctrl+Shift+Up", -1), ("Ctrl+Shift+Down", 1)):
            shortcut = QShortcut(QKeySequence(key), self)
            shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            shortcut.activated.connect(lambda way=way: self.moved.emit(self.number, way))
        self.show_number(number, number + 1)

    def _head(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(6)
        self.title_line = QLabel()
        self.title_line.setProperty("role", "section")
        row.addWidget(self.title_line, 1)
        self.up = QPushButton("Up")
        self.down = QPushButton("Down")
        self.remove = QPushButton("Remove")
        self.up.clicked.connect(lambda: self.moved.emit(self.number, -1))
        self.down.clicked.connect(lambda: self.moved.emit(self.number, 1))
        self.remove.clicked.connect(lambda: self.removed.emit(self.number))
        self.up.setToolTip("Ctrl+Shift+Up")
        self.down.setToolTip("Ctrl+Shift+Down")
        for button in (self.up, self.down, self.remove):
            row.addWidget(button)
        return row

    def show_number(self, number: int, count: int, read_only: bool = False) -> None:
        """The step's place among the others."""
        self.number = number
        told = f"Step {number + 1}"
        self.title_line.setText(told)
        for button in (self.up, self.down, self.remove):
            button.setAccessibleName(f"{told}: {button.text().lower()}")
        self.up.setEnabled(number > 0 and not read_only)
        self.down.setEnabled(number < count - 1 and not read_only)
        self.remove.setEnabled(not read_only)
        for one in self.fields.values():
            inner = one.focusProxy()
            if inner is not None:
                inner.setAccessibleName(f"{told}, {one.label.lower()}")
        self.ticks.set_subject(told)

    def show_step(self, step: ScenarioStep, pictures: Entries, readings: Entries, read_only: bool) -> None:
        """Show a step as the case has it."""
        for name, one in self.fields.items():
            one.show_value(getattr(step, name))
            one.set_read_only(read_only)
        self.ticks.show_ticks(pictures, readings, step.pictures, step.readings)
        self.ticks.set_read_only(read_only)

    def show_remarks(self, remarks: StepRemarks) -> None:
        """Show what the results say beside this step."""
        if remarks == self._remarks:
            return
        self._remarks = remarks
        while (item := self.lines.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.hide()
                widget.deleteLater()
        for note in remarks.notes:
            role = "problem" if note.problem else "small"
            self.lines.addWidget(text_label(f"▲ {note.text}" if note.problem else note.text, role))
        for number, text in enumerate(remarks.support):
            self.lines.addWidget(text_label(text, "" if number == 0 else "small"))
        if remarks.rows:
            table = FactTable(SHARE_HEADS, numbers=(1, 2, 3))
            table.number_asked.connect(self.number_asked)
            self.lines.addWidget(table)
            table.show_rows(remarks.rows)

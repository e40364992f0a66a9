"""One construction requirement: what to look for, three answers, what was told by it, and what shows it."""

from collections.abc import Mapping
from dataclasses import dataclass

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from hazardreport import wording
from hazardreport.app.views.evidence_ticks import Entries, EvidenceTicks
from hazardreport.app.views.fact_table import Cell, FactTable
from hazardreport.app.views.fields import Asked, TextField
from hazardreport.app.views.record_list import Note, text_label
from hazardreport.case.circumstances import FindingAnswer
from hazardreport.case.requirement import RequirementAnswer

ANSWERS = (
    (FindingAnswer.SEEN, "Seen"),
    (FindingAnswer.NOT_SEEN, "Not seen"),
    (FindingAnswer.COULD_NOT_CHECK, "Could not check"),
)
LINK_PADDING = 5
"""A link begins this much left of the texts, so that its words stand below theirs. [px]"""


@dataclass(frozen=True, kw_only=True, slots=True)
class RequirementText:
    """What is said of a requirement, whatever the answer.

    key, name  of the requirement
    look_for   what to look for, in plain words
    explain    why it matters, for somebody who is no electrician
    basis      clauses that it rests on, with how well they are known
    """

    key: str
    name: str
    look_for: str
    explain: str = ""
    basis: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class RequirementState:
    """How a requirement stands.

    answer    as given, or None
    notes     what is to be said about it: unsupported, what the answer means
    compared  what a reading decided, as a row: what, read, limit, decision; () without one
    """

    answer: RequirementAnswer | None = None
    notes: tuple[Note, ...] = ()
    compared: tuple[Cell, ...] = ()


class RequirementRow(QWidget):
    """Answers are buttons; the button that is down, pressed again, takes the answer back.

    answered  key and answer, None where it was taken back
    noted     key and note; tied: key, "pictures" or "readings", and ids
    """

    answered = Signal(str, object)
    noted = Signal(str, str)
    tied = Signal(str, str, object)
    number_asked = Signal(str)
    unfolded = Signal()

    def __init__(self, text: RequirementText, asked: Mapping[str, Asked], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.text = text
        self._asked = asked
        self._state = RequirementState()
        self._pictures: Entries = ()
        self._readings: Entries = ()
        self._read_only = False
        self.note: TextField | None = None
        self.ticks: EvidenceTicks | None = None
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 6, 0, 8)
        self.column.setSpacing(4)
        self.head = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self.head.setSpacing(12)
        told = QVBoxLayout()
        told.setSpacing(2)
        told.addWidget(text_label(text.name, "strong"))
        told.addWidget(text_label(text.look_for))
        self.head.addLayout(told, 1)
        self.head.addWidget(self._buttons(), 0, Qt.AlignmentFlag.AlignTop)
        self.column.addLayout(self.head)
        self.lines = QVBoxLayout()
        self.lines.setSpacing(2)
        self.column.addLayout(self.lines)
        self.more = QPushButton("Why, and what shows it")
        self.more.setProperty("role", "link")
        self.more.setCheckable(True)
        self.more.setAccessibleName(f"Why, and what shows it: {text.name}")
        self.more.toggled.connect(self.on_more_toggled)
        line = QHBoxLayout()
        line.setContentsMargins(-LINK_PADDING, 0, 0, 0)
        line.addWidget(self.more)
        line.addStretch(1)
        self.column.addLayout(line)
        self.details: QWidget | None = None

    def _buttons(self) -> QWidget:
        self.answers = QWidget()
        row = QHBoxLayout(self.answers)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(4)
        self.buttons: dict[FindingAnswer, QPushButton] = {}
        for answer, name in ANSWERS:
            button = QPushButton(name)
            button.setCheckable(True)
            button.setAccessibleName(f"{self.text.name}: {name.lower()}")
            button.clicked.connect(lambda down, answer=answer: self.on_clicked(answer, down))
            self.buttons[answer] = button
            row.addWidget(button)
        row.addStretch(1)
        return self.answers

    def on_clicked(self, answer: FindingAnswer, down: bool) -> None:
        """An answer was given, or taken back."""
        for other, button in self.buttons.items():
            button.setChecked(down and other is answer)
        self.answered.emit(self.text.key, answer if down else None)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """In a narrow window the answers go below the text."""
        super().resizeEvent(event)
        narrow = self.width() < 2.1 * self.answers.sizeHint().width()
        direction = QBoxLayout.Direction.TopToBottom if narrow else QBoxLayout.Direction.LeftToRight
        if self.head.direction() != direction:
            self.head.setDirection(direction)

    def show_state(self, state: RequirementState, read_only: bool) -> None:
        """Show answer, notes and comparison."""
        self._read_only = read_only
        for button in self.buttons.values():
            button.setEnabled(not read_only)
        if state != self._state:
            before, self._state = self._state, state
            given = state.answer.answer if state.answer is not None else None
            for answer, button in self.buttons.items():
                button.setChecked(answer is given)
            if self._spoken(before) != self._spoken(state):
                self._show_lines()
        self._show_details()

    def _spoken(self, state: RequirementState) -> tuple[object, ...]:
        answer = state.answer
        folded = not self.more.isChecked()
        told = (answer.note, answer.pictures, answer.readings) if answer is not None and folded else ()
        return (told, state.notes, state.compared)

    def _show_lines(self) -> None:
        while (item := self.lines.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.hide()
                widget.deleteLater()
        answer = self._state.answer
        if answer is not None and not self.more.isChecked():
            ids = ", ".join((*answer.pictures, *answer.readings))
            if said := " · ".join(part for part in (answer.note, ids) if part):
                self.lines.addWidget(text_label(said, "small"))
        if self._state.compared:
            self.lines.addWidget(self._comparison())
        for note in self._state.notes:
            role = "problem" if note.problem else "small"
            self.lines.addWidget(text_label(f"▲ {note.text}" if note.problem else note.text, role))

    def _comparison(self) -> QWidget:
        table = FactTable(("Decided by a reading", "Read", "Limit", ""), numbers=(1, 2))
        table.number_asked.connect(self.number_asked)
        table.show_rows([self._state.compared])
        return table

    def show_evidence(self, pictures: Entries, readings: Entries) -> None:
        """What there is to tie to an answer."""
        self._pictures, self._readings = pictures, readings

    def on_more_toggled(self, down: bool) -> None:
        """Unfold why it matters, the note and the tick lists, or fold them."""
        if down and self.details is None:
            self._build_details()
        if self.details is not None:
            self.details.setVisible(down)
        self._show_lines()
        self._show_details()
        self.unfolded.emit()

    def _build_details(self) -> None:
        self.details = QWidget()
        column = QVBoxLayout(self.details)
        column.setContentsMargins(12, 0, 0, 4)
        column.setSpacing(6)
        for text, role in ((self.text.explain, ""), (self.text.basis, "small")):
            if text:
                column.addWidget(text_label(text, role))
        note = self._asked["note"]
        self.note = TextField(f"{note.label}: {self.text.name}", hint=note.hint)
        self.note.explain(note.explanation, shown=True)
        self.note.entered.connect(lambda note: self.noted.emit(self.text.key, str(note)))
        column.addWidget(self.note)
        self.ticks = EvidenceTicks(self.text.name)
        self.ticks.explain(
            {name: (self._asked[name].label, self._asked[name].explanation) for name in self.ticks.lists}
        )
        self.ticks.entered.connect(lambda kind, ids: self.tied.emit(self.text.key, kind, ids))
        column.addWidget(self.ticks)
        self.column.addWidget(self.details)

    def _show_details(self) -> None:
        if not self.more.isChecked() or self.note is None or self.ticks is None:
            return
        answer = self._state.answer
        self.note.show_value(answer.note if answer is not None else "")
        self.note.set_read_only(self._read_only or answer is None)
        self.note.show_remark("" if answer is not None else wording.sentence("window.evidence.answer_first"))
        self.ticks.setVisible(answer is not None)
        if answer is not None:
            self.ticks.show_ticks(self._pictures, self._readings, answer.pictures, answer.readings)
            self.ticks.set_read_only(self._read_only)

    def unfold(self) -> None:
        """Bring the cursor here, with everything shown."""
        self.more.setChecked(True)
        self.buttons[FindingAnswer.SEEN].setFocus(Qt.FocusReason.OtherFocusReason)

"""The correspondence: whether a publication waits, letters sent and received, what is expected and by when."""

from collections.abc import Sequence
from itertools import groupby

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from hazardreport import wording
from hazardreport.app.letter_lines import ExpectedLine
from hazardreport.app.views.blocks import BlockScroll
from hazardreport.app.views.form import Card
from hazardreport.app.views.record_list import RecordList, text_label


class HoldCard(Card):
    """Whether a publication is held back, and why."""

    link_asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("Publication", parent=parent)
        self.told = text_label("")
        self.body.addWidget(self.told)
        row = QHBoxLayout()
        self.why = QPushButton("Say why it cannot wait")
        self.why.clicked.connect(lambda: self.link_asked.emit("consents.early_publication"))
        row.addWidget(self.why)
        row.addStretch(1)
        self.body.addLayout(row)

    def show_hold(self, sentences: Sequence[str], held_back: bool) -> None:
        """Say who has the report already, or that a publication should wait."""
        sign = "\u25b2 " if held_back else ""
        self.told.setText(sign + "\n".join(sentences))
        role = "problem" if held_back else "small"
        if self.told.property("role") != role:
            self.told.setProperty("role", role)
            self.told.style().polish(self.told)
        self.why.setVisible(held_back)


class ExpectedCard(Card):
    """What follows from the letters; nobody promised it."""

    calendar_asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("Expected, no promise", wording.sentence("window.letters.expected"), parent)
        self._shown: tuple[ExpectedLine, ...] | None = None
        self.lines: list[str] = []
        self.empty = text_label(wording.sentence("window.letters.nothing_expected"), "faint")
        self.body.addWidget(self.empty)
        row = QHBoxLayout()
        self.calendar = QPushButton("Save calendar file…")
        self.calendar.clicked.connect(self.calendar_asked)
        row.addWidget(self.calendar)
        row.addStretch(1)
        self.body.addLayout(row)
        self._groups: list[QWidget] = []

    def show_lines(self, lines: Sequence[ExpectedLine]) -> None:
        """Show what is expected."""
        if tuple(lines) == self._shown:
            return
        self._shown = tuple(lines)
        for group in self._groups:
            self.body.removeWidget(group)
            group.hide()
            group.deleteLater()
        self._groups = [_group(title, list(rows)) for title, rows in groupby(lines, key=lambda line: line.title)]
        for group in self._groups:
            self.body.insertWidget(self.body.count() - 1, group)
        self.lines = [f"{line.word}. {line.text} {line.state}".strip() for line in lines]
        self.empty.setVisible(not lines)
        self.calendar.setEnabled(bool(lines))


def _group(title: str, lines: Sequence[ExpectedLine]) -> QWidget:
    """What is expected of one addressee: first what has a day, then what has none, in small."""
    whole = QWidget()
    column = QVBoxLayout(whole)
    column.setContentsMargins(0, 4, 0, 4)
    column.setSpacing(2)
    column.addWidget(text_label(title, "strong"))
    for line in sorted(lines, key=lambda line: not line.counted):
        column.addSpacing(6)
        if not line.counted:
            told = f"{line.word}. {line.text}"
            column.addWidget(text_label(f"{told} ({line.source})" if line.source else told, "small"))
            continue
        column.addWidget(text_label(f"{'▲ ' if line.overdue else ''}{line.word}. {line.text}"))
        column.addWidget(text_label(line.state, "problem" if line.overdue else "faint"))
        if line.source:
            column.addWidget(text_label(line.source, "small"))
    return whole


class LettersView(BlockScroll):
    """Three cards, one below the other."""

    link_asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("Correspondence", parent)
        self.hold = HoldCard()
        self.hold.link_asked.connect(self.link_asked)
        self.letters = RecordList(
            "Letters",
            wording.sentence("window.letters.hint"),
            "Add letter",
            wording.sentence("window.letters.none"),
        )
        self.expected = ExpectedCard()
        self.show_widgets((self.hold, self.letters, self.expected))

"""Whom the report may go to: open questions, each proposed addressee with its reason, and a button that chooses it."""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QSizePolicy, QWidget

from hazardreport import wording
from hazardreport.app.views.blocks import BlockScroll
from hazardreport.app.views.form import Card
from hazardreport.app.views.record_list import text_label


@dataclass(frozen=True, kw_only=True, slots=True)
class Question:
    """One of the four questions that nobody answered: its link and its words."""

    link: str
    text: str


@dataclass(frozen=True, kw_only=True, slots=True)
class ProposalLine:
    """One addressee that is proposed: key, title, reason with where that stands, what the law makes of it."""

    key: str
    title: str
    reason: str
    source: str
    duties: tuple[str, ...]


class ProposalView(BlockScroll):
    """Proposes; the choice stays with the person."""

    chosen = Signal(str)
    link_asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("Whom to tell", parent)
        self.buttons: dict[str, QPushButton] = {}
        self.questions: dict[str, QPushButton] = {}
        self._shown: tuple[object, ...] = ()

    def show_proposals(
        self,
        questions: Sequence[Question],
        lines: Sequence[ProposalLine],
        remarks: Sequence[str],
        current: str,
        read_only: bool,
    ) -> None:
        """Show open questions first, then the addressees in the order in which they are told."""
        new = (tuple(questions), tuple(lines), tuple(remarks), current, read_only)
        if new == self._shown:
            return
        self._shown = new
        self.buttons, self.questions = {}, {}
        widgets: list[QWidget] = [self._open_questions(questions)] if questions else []
        widgets += [text_label(remark, "faint") for remark in remarks[:1]]
        widgets += [self._proposal(line, current == line.key, read_only) for line in lines]
        widgets += [text_label(remark, "small") for remark in remarks[1:]]
        self.show_widgets(widgets)

    def _open_questions(self, questions: Sequence[Question]) -> QWidget:
        card = Card("Not answered yet", wording.sentence("window.report.questions"))
        for question in questions:
            button = QPushButton(question.text)
            button.setProperty("role", "link")
            button.setAccessibleName(f"{question.text} Go to the question")
            button.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
            button.clicked.connect(lambda _=False, link=question.link: self.link_asked.emit(link))
            self.questions[question.link] = button
            card.body.addWidget(button)
        return card

    def _proposal(self, line: ProposalLine, current: bool, read_only: bool) -> QWidget:
        card = Card("")
        card.body.setSpacing(6)
        card.body.addWidget(text_label(line.title, "strong"))
        card.body.addWidget(text_label(line.reason))
        for told in (*line.duties, line.source):
            if told:
                card.body.addWidget(text_label(told, "small"))
        row = QHBoxLayout()
        button = QPushButton("Chosen" if current else "Choose")
        button.setAccessibleName(f"{line.title}: {'chosen' if current else 'choose'}")
        button.setEnabled(not current and not read_only)
        button.clicked.connect(lambda: self.chosen.emit(line.key))
        row.addWidget(button)
        row.addStretch(1)
        card.body.addLayout(row)
        self.buttons[line.key] = button
        return card

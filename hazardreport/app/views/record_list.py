"""A card of records that are edited in dialogs: a short block for each, with what is to be said about it."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from hazardreport.app.views.form import Card

ZERO_WIDTH_SPACE = "\u200b"
LONG_WORD, PIECE = 24, 16
"""A word of so many signs may be broken, into pieces of at most so many."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Note:
    """A line below a record; problem: it should be mended."""

    text: str
    problem: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Block:
    """A record as it is shown: heading, lines of facts, notes."""

    id: str
    heading: str
    lines: tuple[str, ...] = ()
    notes: tuple[Note, ...] = ()


def breakable(text: str) -> str:
    """The text with places where its long words may go on in the next line: addresses and hashes fit into any width.

    >>> breakable("a short line"), len(breakable("0123456789abcdef" * 4))
    ('a short line', 67)
    """
    return re.sub(rf"\S{{{LONG_WORD},}}", lambda word: ZERO_WIDTH_SPACE.join(_pieces(word[0])), text)


def _pieces(word: str) -> list[str]:
    return re.findall(rf"[^/.@_-]{{1,{PIECE}}}[/.@_-]*|[/.@_-]+", word)


def text_label(text: str, role: str = "") -> QLabel:
    """A wrapped line of plain text: what people typed is never read as markup."""
    label = QLabel()
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setText(breakable(text))
    label.setWordWrap(True)
    if role:
        label.setProperty("role", role)
    return label


class RecordBlock(QWidget):
    """One record; its buttons say what is wanted."""

    change_asked = Signal(str)
    remove_asked = Signal(str)

    def __init__(self, block: Block, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.block = block
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 4, 0, 4)
        row.setSpacing(12)
        texts = QVBoxLayout()
        texts.setSpacing(2)
        texts.addWidget(text_label(block.heading, "strong"))
        for line in block.lines:
            texts.addWidget(text_label(line))
        for note in block.notes:
            label = text_label(
                f"\u25b2 {note.text}" if note.problem else note.text, "problem" if note.problem else "small"
            )
            label.setAccessibleName(f"{block.id}, {'to mend' if note.problem else 'to know'}: {note.text}")
            texts.addWidget(label)
        texts.addStretch(1)
        row.addLayout(texts, 1)
        self.change = QPushButton("Change")
        self.change.setAccessibleName(f"Change {block.id}")
        self.change.clicked.connect(lambda: self.change_asked.emit(block.id))
        self.remove = QPushButton("Remove")
        self.remove.setAccessibleName(f"Remove {block.id}")
        self.remove.clicked.connect(lambda: self.remove_asked.emit(block.id))
        for button in (self.change, self.remove):
            row.addWidget(button, 0, Qt.AlignmentFlag.AlignTop)


class RecordList(Card):
    """Records under a title, each with Change and Remove, and one button to add."""

    add_asked = Signal()
    change_asked = Signal(str)
    remove_asked = Signal(str)

    def __init__(self, title: str, hint: str, add: str, empty: str, parent: QWidget | None = None) -> None:
        super().__init__(title, hint, parent)
        self.blocks: list[RecordBlock] = []
        self._shown: tuple[Block, ...] | None = None
        self._rules: list[QFrame] = []
        self._read_only = False
        self.empty = text_label(empty, "faint")
        self.body.addWidget(self.empty)
        self._column = QVBoxLayout()
        self._column.setSpacing(2)
        self.body.addLayout(self._column)
        row = QHBoxLayout()
        self.add = QPushButton(add)
        self.add.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.add.clicked.connect(self.add_asked)
        row.addWidget(self.add)
        row.addStretch(1)
        self.body.addLayout(row)

    def minimumSizeHint(self) -> QSize:
        """As high as its wrapped lines need in the present width."""
        hint = super().minimumSizeHint()
        return QSize(hint.width(), max(hint.height(), self.heightForWidth(self.width())))

    def show_blocks(self, blocks: Sequence[Block], read_only: bool) -> None:
        """Show records; nothing is made anew where nothing changed, and the cursor stays at its record."""
        new = tuple(blocks)
        if new != self._shown:
            self._show(new)
        self.add.setEnabled(not read_only)
        for block in self.blocks:
            block.change.setEnabled(not read_only)
            block.remove.setEnabled(not read_only)

    def _show(self, new: tuple[Block, ...]) -> None:
        focused = next((one.block.id for one in self.blocks if one.change.hasFocus() or one.remove.hasFocus()), "")
        for widget in (*self.blocks, *self._rules):
            self._column.removeWidget(widget)
            widget.hide()
            widget.deleteLater()
        self.blocks, self._rules, self._shown = [], [], new
        for one in new:
            rule = QFrame()
            rule.setObjectName("rule")
            rule.setFixedHeight(1)
            self._column.addWidget(rule)
            self._rules.append(rule)
            block = RecordBlock(one)
            block.change_asked.connect(self.change_asked)
            block.remove_asked.connect(self.remove_asked)
            self._column.addWidget(block)
            self.blocks.append(block)
        self.empty.setVisible(not new)
        if focused:
            self.focus(focused)

    def focus(self, id: str) -> None:
        """Put the cursor at a record, or at the button that adds one where it is gone."""
        block = self.block(id)
        (self.add if block is None else block.change).setFocus(Qt.FocusReason.OtherFocusReason)

    def block(self, id: str) -> RecordBlock | None:
        """The block of a record, if it is shown."""
        return next((block for block in self.blocks if block.block.id == id), None)

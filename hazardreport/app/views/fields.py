"""Fields of a form: each tells what was entered, and shows what it is given."""

import math
from collections.abc import Mapping, Sequence
from enum import StrEnum
from typing import Protocol

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QKeySequence
from PySide6.QtWidgets import (
    QButtonGroup,
    QComboBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from hazardreport import wording
from hazardreport.case.circumstances import Answer

TYPING_PAUSE_MS = 600


class Asked(Protocol):
    """What a field asks for, in words; `has_trade_term`: the plain line is shown always."""

    @property
    def label(self) -> str:
        """Beside the field."""

    @property
    def hint(self) -> str:
        """In the empty field."""

    @property
    def explanation(self) -> str:
        """One plain line."""

    @property
    def has_trade_term(self) -> bool:
        """Whether the label has a word of the trade."""


class Field(QWidget):
    """One field; `entered` carries the new value."""

    entered = Signal(object)

    def __init__(self, label: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.label = label
        self.explanation = ""
        self._remark = QLabel()
        self._remark.setWordWrap(True)
        self._remark.setProperty("role", "small")
        self._remark.hide()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(2)
        self._row = QHBoxLayout()
        self._row.setSpacing(6)
        self._column.addLayout(self._row)
        self._column.addWidget(self._remark)

    def show_value(self, value: object) -> None:
        """Show a value without telling it as entered."""
        raise NotImplementedError

    def show_remark(self, text: str, problem: bool = False) -> None:
        """A line under the field, or none."""
        role = "problem" if problem else "small"
        if self._remark.property("role") != role:
            self._remark.setProperty("role", role)
            self._remark.style().polish(self._remark)
        self._remark.setText(text)
        self._remark.setVisible(bool(text))

    def explain(self, text: str, *, shown: bool) -> None:
        """Say in plain words what is asked: to assistive technology, on hovering, and below the field if shown."""
        self.explanation = text
        self.setToolTip(text)
        for widget in self.inputs():
            described = (widget.accessibleDescription(), text)
            widget.setAccessibleDescription(". ".join(part for part in described if part))
        if shown:
            line = QLabel(text)
            line.setWordWrap(True)
            line.setProperty("role", "small")
            line.setContentsMargins(1, 0, 0, 2)
            self._column.addWidget(line)

    def inputs(self) -> list[QWidget]:
        """Everything in it that takes the cursor, without the small buttons at its end."""
        kinds = (QLineEdit, QPlainTextEdit, QComboBox, QPushButton)
        return [widget for kind in kinds for widget in self.findChildren(kind)]

    def set_read_only(self, read_only: bool) -> None:
        """Let nothing be entered."""
        self.setEnabled(not read_only)


def is_undo(event: QEvent) -> bool:
    """A key that undoes or redoes: the window does both, so that one order of steps holds for the whole case."""
    return (
        event.type() == QEvent.Type.ShortcutOverride
        and isinstance(event, QKeyEvent)
        and (event.matches(QKeySequence.StandardKey.Undo) or event.matches(QKeySequence.StandardKey.Redo))
    )


class LineEdit(QLineEdit):
    """One line of text; undo is the window's."""

    def event(self, event: QEvent) -> bool:
        """Let the keys of undo go on to the window."""
        if is_undo(event):
            event.ignore()
            return True
        return super().event(event)


class LongEdit(QPlainTextEdit):
    """Several lines of text; Tab leaves it; says when it was left."""

    left = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setTabChangesFocus(True)
        self.setFixedHeight(self.fontMetrics().lineSpacing() * 4 + 22)

    def event(self, event: QEvent) -> bool:
        """Let the keys of undo go on to the window."""
        if is_undo(event):
            event.ignore()
            return True
        return super().event(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """The person went elsewhere."""
        super().focusOutEvent(event)
        self.left.emit()


class TextField(Field):
    """Plain text, one line or several."""

    def __init__(self, label: str, long: bool = False, hint: str = "", parent: QWidget | None = None) -> None:
        super().__init__(label, parent)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(TYPING_PAUSE_MS)
        self._timer.timeout.connect(self.on_done)
        self._shown = ""
        self.edit: LineEdit | LongEdit
        if long:
            self.edit = LongEdit()
            self.edit.left.connect(self.on_done)
            self.edit.textChanged.connect(self._timer.start)
        else:
            self.edit = LineEdit()
            self.edit.editingFinished.connect(self.on_done)
            self.edit.textEdited.connect(self._timer.start)
        self.edit.setPlaceholderText(hint)
        self.edit.setAccessibleName(label)
        self.setFocusProxy(self.edit)
        self._row.addWidget(self.edit, 1)

    def text(self) -> str:
        """What stands in the field."""
        return self.edit.toPlainText() if isinstance(self.edit, LongEdit) else self.edit.text()

    def on_done(self) -> None:
        """Typing ended or paused."""
        self._timer.stop()
        if self.text() != self._shown:
            self._shown = self.text()
            self.entered.emit(self._value())

    def _value(self) -> object:
        return self._shown

    def show_value(self, value: object) -> None:
        """Show text; what is being typed stays where the case says the same as before."""
        text = str(value or "")
        if text == self._shown and self._timer.isActive():
            return
        self._shown = text
        if self.text() != text:
            if isinstance(self.edit, LongEdit):
                blocked = self.edit.blockSignals(True)
                self.edit.setPlainText(text)
                self.edit.blockSignals(blocked)
            else:
                self.edit.setText(text)
                self.edit.setCursorPosition(0)
        self._timer.stop()


class NumberField(TextField):
    """A number in a unit, or nothing; what is no number is said under the field and stays."""

    def __init__(
        self, label: str, unit: str, hint: str = "", parent: QWidget | None = None, fraction: bool = False
    ) -> None:
        super().__init__(label, hint=hint, parent=parent)
        self._unit = unit
        self._fraction = fraction
        self.edit.setMaximumWidth(140)
        if unit:
            sign = QLabel(unit)
            sign.setProperty("role", "faint")
            self._row.addWidget(sign)
            self.edit.setAccessibleDescription(unit)
        self._row.addStretch(1)

    def on_done(self) -> None:
        """Typing ended: a number, nothing, or a remark."""
        self._timer.stop()
        if self.text() == self._shown:
            self.show_remark("")
            return
        try:
            number = self._number(self.text().strip())
        except ValueError as error:
            self.show_remark(str(error), problem=True)
            return
        self.show_remark("")
        self._shown = self.text()
        self.entered.emit(number)

    def _number(self, text: str) -> float | None:
        """The number that was typed, None for nothing; a ValueError holds the remark."""
        plain = text.replace(",", ".").removesuffix(self._unit).strip()
        try:
            number = float(plain) if plain else None
        except ValueError:
            number = math.inf
        if number is not None and not math.isfinite(number):
            unit = self._unit or wording.sentence("window.number.figures")
            raise ValueError(wording.sentence("window.number.plain", unit=unit))
        if number is not None and self._fraction and not 0.0 <= number <= 1.0:
            raise ValueError(wording.sentence("window.number.fraction"))
        return number

    def _shown_as(self, number: float) -> str:
        return f"{number:.6g}"

    def show_value(self, value: object) -> None:
        """Show a number, or nothing; what was typed and is no number stays until the case says something else."""
        text = self._shown_as(value) if isinstance(value, int | float) else ""
        if text != self._shown or self.text().strip() == text:
            super().show_value(text)
            self.show_remark("")


class ChoiceField(Field):
    """One of the values of an enumeration."""

    def __init__(
        self, label: str, values: Sequence[tuple[object, str]], parent: QWidget | None = None, width: int = 0
    ) -> None:
        super().__init__(label, parent)
        self._values = [value for value, _ in values]
        self.box = QComboBox()
        self.box.setAccessibleName(label)
        self.box.addItems([text for _, text in values])
        self.box.installEventFilter(self)
        self.box.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        if width:
            self.box.setMaximumWidth(width)
        self.box.activated.connect(self.on_activated)
        self.setFocusProxy(self.box)
        self._row.addWidget(self.box, 1)
        if width:
            self._row.addStretch(1)

    def on_activated(self, index: int) -> None:
        """Another value was chosen."""
        self.entered.emit(self._values[index])

    def show_value(self, value: object) -> None:
        """Show a value of the enumeration."""
        self.box.setCurrentIndex(self._values.index(value) if value in self._values else -1)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """The wheel scrolls the page, not the value."""
        if event.type() == QEvent.Type.Wheel and not self.box.hasFocus():
            event.ignore()
            return True
        return super().eventFilter(watched, event)


def choices(enumeration: type[StrEnum], words: Mapping[object, str] | None = None) -> list[tuple[object, str]]:
    """The values of an enumeration with the text that people see: of `words`, or the value itself."""
    told = {"open": "Not answered yet"}
    return [
        (member, (words or {}).get(member) or told.get(member.value, member.value[:1].upper() + member.value[1:]))
        for member in enumeration
    ]


class AnswerField(Field):
    """Yes, no or unknown, as three buttons; none is down until somebody answered.

    A statement is made or not: it offers no "not known", and shows it only where a case holds that.
    """

    def __init__(self, label: str, parent: QWidget | None = None, *, statement: bool = False) -> None:
        super().__init__(label, parent)
        self._statement = statement
        self._group = QButtonGroup(self)
        self._group.setExclusive(False)
        self.buttons: dict[Answer, QPushButton] = {}
        for answer, text in ((Answer.YES, "Yes"), (Answer.NO, "No"), (Answer.UNKNOWN, "Not known")):
            button = QPushButton(text)
            button.setCheckable(True)
            button.setMinimumWidth(72)
            button.setAccessibleName(f"{label}: {text}")
            button.clicked.connect(lambda down, answer=answer: self.on_clicked(answer, down))
            self._group.addButton(button)
            self.buttons[answer] = button
            self._row.addWidget(button)
        self._row.addStretch(1)
        self.buttons[Answer.UNKNOWN].setVisible(not statement)
        self.setFocusProxy(self.buttons[Answer.YES])

    def on_clicked(self, answer: Answer, down: bool) -> None:
        """An answer was given, or taken back."""
        self.show_value(answer if down else Answer.OPEN)
        self.entered.emit(answer if down else Answer.OPEN)

    def show_value(self, value: object) -> None:
        """Show an answer."""
        for answer, button in self.buttons.items():
            button.setChecked(answer is value)
        self.buttons[Answer.UNKNOWN].setVisible(not self._statement or value is Answer.UNKNOWN)

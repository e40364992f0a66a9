"""Fields of a form: each tells what was entered, and shows what it is given."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from enum import StrEnum

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QAction, QFocusEvent, QKeyEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QButtonGroup,
    QComboBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QMenu,
    QPlainTextEdit,
    QPushButton,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from hazardreport.case.circumstances import Answer
from hazardreport.case.stated import Standing, Stated

TYPING_PAUSE_MS = 600
PRIVATE = "Private: left out of a publication"
PREFIXES = {Standing.UNKNOWN: "Unknown because", Standing.NOT_APPLICABLE: "Not applicable because"}


class Field(QWidget):
    """One field; `entered` carries the new value."""

    entered = Signal(object)

    def __init__(self, label: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.label = label
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
            raise ValueError(f"A plain number in {self._unit or 'figures'}, such as 230 or 0.2")
        if number is not None and self._fraction and not 0.0 <= number <= 1.0:
            raise ValueError("A fraction from 0 to 1, such as 0.4")
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
    """Yes, no or unknown, as three buttons; none is down until somebody answered."""

    def __init__(self, label: str, parent: QWidget | None = None) -> None:
        super().__init__(label, parent)
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
        self.setFocusProxy(self.buttons[Answer.YES])

    def on_clicked(self, answer: Answer, down: bool) -> None:
        """An answer was given, or taken back."""
        self.show_value(answer if down else Answer.OPEN)
        self.entered.emit(answer if down else Answer.OPEN)

    def show_value(self, value: object) -> None:
        """Show an answer."""
        for answer, button in self.buttons.items():
            button.setChecked(answer is value)


class StatedField(Field):
    """A value, or why it is not known or does not apply, with the picture on which it was read.

    `may_be_private`: the person can say that it identifies somebody and is left out of a publication.
    """

    picture_asked = Signal(str)

    def __init__(
        self,
        label: str,
        long: bool = False,
        hint: str = "",
        parent: QWidget | None = None,
        may_be_private: bool = False,
    ) -> None:
        super().__init__(label, parent)
        self._may_be_private = may_be_private
        self._stated = Stated()
        self._pictures: Sequence[tuple[str, str]] = ()
        self._prefix = QLabel()
        self._prefix.setProperty("role", "faint")
        self._prefix.setContentsMargins(0, 0, 6, 0)
        self._prefix.hide()
        self.text = TextField(label, long=long, hint=hint)
        self.text.entered.connect(self.on_text_entered)
        self._hint = hint
        self.standing = QToolButton()
        self.standing.setText("⋯")
        self.standing.setProperty("role", "plain")
        self.standing.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.standing.setAccessibleName(f"{label}: how this field stands")
        self.standing.setToolTip("Value, unknown because, not applicable because; the picture that shows it (Alt+Down)")
        self.standing.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self._menu = QMenu(self.standing)
        self._menu.aboutToShow.connect(self.on_menu_about_to_show)
        self.standing.setMenu(self._menu)
        self.setFocusProxy(self.text)
        open_menu = QShortcut(QKeySequence("Alt+Down"), self.text.edit)
        open_menu.setContext(Qt.ShortcutContext.WidgetShortcut)
        open_menu.activated.connect(self.standing.showMenu)
        self._row.addWidget(self._prefix)
        self._row.addWidget(self.text, 1)
        self.seen = QToolButton()
        self.seen.setText("▣")
        self.seen.setProperty("role", "plain")
        self.seen.setProperty("icon-name", "page-pictures")
        self.seen.clicked.connect(lambda: self.picture_asked.emit(self._stated.picture))
        self.seen.hide()
        self.private = QToolButton()
        self.private.setText("Private")
        self.private.setProperty("role", "plain")
        self.private.setProperty("icon-name", "locked")
        self.private.setAccessibleName(f"{label}: private, left out of a publication")
        self.private.setToolTip("Private: left out of a publication. Press to take this back.")
        self.private.clicked.connect(lambda: self.choose_private(False))
        self.private.hide()
        self._row.setSpacing(2)
        self._row.addWidget(self.private, 0, Qt.AlignmentFlag.AlignTop)
        self._row.addWidget(self.seen, 0, Qt.AlignmentFlag.AlignTop)
        self._row.addWidget(self.standing, 0, Qt.AlignmentFlag.AlignTop)

    def show_pictures(self, pictures: Sequence[tuple[str, str]]) -> None:
        """The pictures that a value may have been read on, as (id, name)."""
        self._pictures = pictures

    def on_menu_about_to_show(self) -> None:
        """Fill the menu: the four standings, then the pictures."""
        self._menu.clear()
        for standing, text in (
            (Standing.VALUE, "Value"),
            (Standing.UNKNOWN, "Unknown, because …"),
            (Standing.NOT_APPLICABLE, "Not applicable, because …"),
        ):
            shown = Standing.VALUE if self._stated.standing is Standing.OPEN else self._stated.standing
            self._act(self._menu, text, standing is shown, lambda standing=standing: self.choose_standing(standing))
        seen = self._menu.addMenu("Seen on picture")
        seen.setEnabled(bool(self._pictures))
        self._act(seen, "None", not self._stated.picture, lambda: self.choose_picture(""))
        for key, name in self._pictures:
            self._act(seen, name, key == self._stated.picture, lambda key=key: self.choose_picture(key))
        if self._may_be_private:
            private = self._stated.private
            self._act(self._menu, PRIVATE, private, lambda: self.choose_private(not private))

    def _act(self, menu: QMenu, text: str, checked: bool, act: object) -> None:
        action = QAction(text, menu)
        action.setCheckable(True)
        action.setChecked(checked)
        action.triggered.connect(act)
        menu.addAction(action)

    def choose_standing(self, standing: Standing) -> None:
        """The person says how the field stands; the reason or value is typed next."""
        self._stated = replace(self._stated, standing=standing, text="", reason="")
        self._show_parts()
        self.text.edit.setFocus(Qt.FocusReason.OtherFocusReason)
        if standing is Standing.VALUE:
            self.entered.emit(replace(self._stated, standing=Standing.OPEN))

    def choose_picture(self, id: str) -> None:
        """The person says on which picture the value was read."""
        self._tell(self.text.text(), picture=id)

    def choose_private(self, private: bool) -> None:
        """The person says whether the field is left out of a publication."""
        self.text.on_done()
        self._stated = replace(self._stated, private=private)
        self._show_parts()
        self.entered.emit(self._stated)
        self.text.edit.setFocus(Qt.FocusReason.OtherFocusReason)

    def on_text_entered(self, text: object) -> None:
        """A value or a reason was typed."""
        self._tell(str(text))

    def _tell(self, text: str, picture: str | None = None) -> None:
        stated = replace(self._stated, picture=self._stated.picture if picture is None else picture)
        if self._stated.standing in PREFIXES:
            stated = replace(stated, text="", reason=text)
        else:
            standing = Standing.VALUE if text.strip() else Standing.OPEN
            stated = replace(stated, standing=standing, text=text, reason="")
        self._stated = stated
        self._show_parts()
        self.entered.emit(stated)

    def show_value(self, value: object) -> None:
        """Show a stated field; a standing chosen without a reason yet stays as it is."""
        if not isinstance(value, Stated) or value == self._stated:
            return
        if (
            value.standing is Standing.OPEN
            and self._stated.standing in PREFIXES
            and not self._stated.reason
            and self.hasFocusInside()
        ):
            return
        self._stated = value
        self._show_parts()

    def hasFocusInside(self) -> bool:
        """The cursor is in this field."""
        return self.text.edit.hasFocus() or self.standing.hasFocus()

    def _show_parts(self) -> None:
        prefix = PREFIXES.get(self._stated.standing, "")
        self._prefix.setText(prefix)
        self._prefix.setVisible(bool(prefix))
        self.text.edit.setPlaceholderText("why" if prefix else self._hint)
        self.text.edit.setAccessibleName(f"{self.label}, {prefix.lower()}" if prefix else self.label)
        self.text.show_value(self._stated.reason if prefix else self._stated.text)
        self.private.setVisible(self._stated.private)
        self.seen.setVisible(bool(self._stated.picture))
        where = dict(self._pictures).get(self._stated.picture, self._stated.picture)
        self.seen.setToolTip(f"Seen on: {where}")
        self.seen.setAccessibleName(f"{self.label}: show the picture, {where}")

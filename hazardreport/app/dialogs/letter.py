"""Asks for one letter of the correspondence."""

from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

from PySide6.QtWidgets import QComboBox, QWidget

from hazardreport import wording
from hazardreport.addressees.profiles import profile, profile_keys
from hazardreport.app.dialogs.custody import RecordDialog
from hazardreport.app.pages.letter_fields import LETTER_FIELDS
from hazardreport.app.pages.unit_places import FieldPlace
from hazardreport.app.pages.unit_remarks import day_remark
from hazardreport.app.views.fields import ChoiceField, NumberField, TextField, choices
from hazardreport.app.views.file_hash_field import FileHashField
from hazardreport.case.case import Case
from hazardreport.case.letter import AttackedPoint, Letter, LetterKind

DAYS = frozenset({"day", "answer_by"})
OF_SENT = ("revision", "file_sha256")
"""What only a letter that was sent has."""


class LetterDialog(RecordDialog):
    """One letter, message, form or call; what it disputes is asked for a request for correction only."""

    def __init__(self, letter: Letter, case: Case, start: Path, parent: QWidget | None = None) -> None:
        super().__init__("Letter", wording.sentence("window.letters.lead"), "Keep letter", parent)
        self._letter = letter
        self._rows: dict[str, tuple[QWidget, ...]] = {}
        labels = {asked.path: asked.label for asked in LETTER_FIELDS}
        self.file_field = FileHashField(labels["letters.file_sha256"], start)
        for asked in LETTER_FIELDS:
            name = asked.path.rpartition(".")[2]
            self._add_place(name, asked, case)
        self.show_for(letter.kind)

    def _add_place(self, name: str, asked: FieldPlace, case: Case) -> None:
        given = getattr(self._letter, name)
        if name == "attachments":
            entries = [(one.id, f"{one.id}  {one.caption or one.original_name}") for one in case.attachments]
            self.add_ticks(name, asked.label, entries, given, asked.explanation)
            return
        field: TextField | ChoiceField | FileHashField
        if not isinstance(asked.kind, str):
            field = ChoiceField(asked.label, choices(asked.kind, asked.words), width=300)
        elif name == "addressee":
            field = _one_of(asked.label, [(key, profile(key).title) for key in profile_keys()], given)
        elif name == "answers":
            others = [(one.id, letter_name(one)) for one in case.letters if one.id != self._letter.id]
            field = _one_of(asked.label, others, given)
        elif name == "file_sha256":
            field = self.file_field
        elif name == "revision":
            field = NumberField(asked.label, "")
        else:
            field = TextField(asked.label, long=asked.kind == "long", hint=asked.hint)
        if name in DAYS and isinstance(field, TextField):
            field.edit.textChanged.connect(partial(_tell_day, field))
        field.explain(asked.explanation, shown=True)
        first = self.grid.rowCount()
        if isinstance(field, TextField):
            self.add_text(name, field, "" if name == "revision" else given)
            if name == "revision":
                field.show_value(given or None)
        else:
            self.add_choice(name, field, given)
        if name == "kind":
            field.entered.connect(self.show_for)
        items = [self.grid.itemAtPosition(first, column) for column in range(2)]
        self._rows[name] = tuple(widget for item in items if item is not None and (widget := item.widget()) is not None)

    def show_for(self, kind: object) -> None:
        """Only what that kind of letter can have is asked, and what stands there already."""
        disputes = kind is LetterKind.CORRECTION_REQUEST or self._letter.disputes is not AttackedPoint.NONE
        sent = isinstance(kind, LetterKind) and kind.sent
        for name, shown in (("disputes", disputes), *((name, sent) for name in OF_SENT)):
            for widget in self._rows[name]:
                widget.setVisible(shown)

    def ask(self) -> Letter | None:
        """Run the dialog; None if it was left."""
        if not self.kept():
            return None
        given: dict[str, Any] = self.given()
        number = given["revision"]
        given["revision"] = int(number) if number.isdecimal() and number.isascii() else 0
        if not given["kind"].sent:
            before = Letter(id="") if self._letter.kind.sent else self._letter
            given |= {name: getattr(before, name) for name in OF_SENT}
        return replace(self._letter, **given)


def _tell_day(field: TextField, *_: object) -> None:
    """Say below a field what is understood of the day in it."""
    field.show_remark(*day_remark(field.text(), typing=True))


def letter_name(letter: Letter) -> str:
    """A letter in one line."""
    told = (letter.id, letter.kind.value, letter.day, letter.whom)
    return ", ".join(part.strip() for part in told if part.strip())


def _one_of(label: str, entries: list[tuple[str, str]], given: str) -> ChoiceField:
    """One of some records, or none; what is gone can still be read."""
    offered = [("", "None"), *entries]
    if given not in dict(offered):
        offered.append((given, f"{given} (not known)"))
    field = ChoiceField(label, offered)
    field.box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    field.box.setMinimumContentsLength(24)
    return field

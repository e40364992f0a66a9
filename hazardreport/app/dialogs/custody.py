"""Asks for one item of evidence, one handing over, or one step; each dialog returns the record."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFrame,
    QGridLayout,
    QLabel,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from hazardreport import wording
from hazardreport.app.views.custody_fields import MomentField
from hazardreport.app.views.fields import AnswerField, ChoiceField, Field, TextField, choices
from hazardreport.app.views.tick_list import TickList
from hazardreport.case.case import Case
from hazardreport.case.custody import Item, ItemKind, Step, StepEffect, Transfer

LABEL_WIDTH = 150
TICKS_HEIGHT = 130
SIZE = (640, 620)
EFFECTS = (
    (StepEffect.OPEN, "Not answered yet"),
    (StepEffect.NON_DESTRUCTIVE, "Yes: non-destructive"),
    (StepEffect.DESTRUCTIVE, "No: destructive"),
)
Entries = Sequence[tuple[str, str]]


class RecordDialog(QDialog):
    """Fields of one record, in a form that scrolls in a small window; nothing is entered until it is kept."""

    def __init__(self, title: str, lead: str, keep: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.values: dict[str, Any] = {}
        self.texts: dict[str, TextField] = {}
        self.ticks: dict[str, TickList] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 18, 20, 16)
        column.setSpacing(12)
        text = QLabel(lead)
        text.setWordWrap(True)
        text.setProperty("role", "faint")
        column.addWidget(text)
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._content = QWidget()
        self.grid = QGridLayout(self._content)
        self.grid.setContentsMargins(0, 0, 10, 0)
        self.grid.setHorizontalSpacing(16)
        self.grid.setVerticalSpacing(9)
        self.grid.setColumnStretch(1, 1)
        area.setWidget(self._content)
        column.addWidget(area, 1)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        self.keep = buttons.addButton(keep, QDialogButtonBox.ButtonRole.AcceptRole)
        self.keep.setProperty("role", "main")
        self.keep.setDefault(True)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        column.addWidget(buttons)
        room = self.screen().availableSize()
        self.resize(min(SIZE[0], room.width() - 40), min(SIZE[1], room.height() - 60))

    def add_text(self, name: str, field: TextField, text: str) -> None:
        """A field of text."""
        self.texts[name] = field
        field.show_value(text)
        self._add(field.label, field)

    def add_choice(self, name: str, field: Field, value: object) -> None:
        """A field in which one value is chosen."""
        self.values[name] = value
        field.show_value(value)
        field.entered.connect(lambda chosen: self.values.__setitem__(name, chosen))
        self._add(field.label, field)

    def add_tick(self, name: str, text: str, on: bool) -> QCheckBox:
        """A statement that holds or does not."""
        box = QCheckBox(text)
        box.setChecked(on)
        self.values[name] = on
        box.toggled.connect(lambda now: self.values.__setitem__(name, now))
        self._add("", box)
        return box

    def add_ticks(self, name: str, label: str, entries: Entries, ticked: Sequence[str], explanation: str = "") -> None:
        """A list of records to tick, with its plain line; left out where there is none to tick."""
        gone = [(key, f"{key} (not in this case)") for key in ticked if key not in dict(entries)]
        if not (entries or gone):
            return
        ticks = TickList(label)
        ticks.show_entries([*entries, *gone], ticked)
        lines = ticks.sizeHintForRow(0) * ticks.count() + 2 * ticks.frameWidth() + 8
        ticks.setFixedHeight(max(40, min(lines, TICKS_HEIGHT)))
        self.ticks[name] = ticks
        ticks.explain(label, explanation)
        self._add(label, ticks)
        if explanation:
            line = QLabel(explanation)
            line.setWordWrap(True)
            line.setProperty("role", "small")
            self.grid.addWidget(line, self.grid.rowCount(), 1)

    def _add(self, label: str, widget: QWidget) -> None:
        row = self.grid.rowCount()
        if label:
            head = QLabel(label)
            head.setWordWrap(True)
            head.setFixedWidth(LABEL_WIDTH)
            head.setContentsMargins(0, 6, 0, 0)
            head.setBuddy(widget)
            self.grid.addWidget(head, row, 0, Qt.AlignmentFlag.AlignTop)
        self.grid.addWidget(widget, row, 1)

    def given(self) -> dict[str, Any]:
        """Everything that was entered, by the names of the record."""
        texts = {name: field.text().strip() for name, field in self.texts.items()}
        return {**self.values, **texts, **{name: ticks.ticked() for name, ticks in self.ticks.items()}}

    def kept(self) -> bool:
        """Run the dialog with the cursor in its first field; False if it was left."""
        self.grid.setRowStretch(self.grid.rowCount(), 1)
        self.focusNextChild()
        return self.exec() == QDialog.DialogCode.Accepted


def picture_entries(case: Case) -> list[tuple[str, str]]:
    """Pictures of a case as (id, text)."""
    return [(picture.id, f"{picture.id}  {picture.caption or picture.original_name}") for picture in case.pictures]


def item_entries(case: Case) -> list[tuple[str, str]]:
    """Items of a case as (id, text)."""
    return [(item.id, f"{item.id}  {item.description or item.kind.value}  {item.label}".strip()) for item in case.items]


class ItemDialog(RecordDialog):
    """Asks for one item of evidence."""

    def __init__(self, item: Item, case: Case, parent: QWidget | None = None) -> None:
        lead = wording.sentence("window.custody.item_lead")
        super().__init__("Item of evidence", lead, "Keep item", parent)
        self._item = item
        self.add_choice("kind", ChoiceField("What it is", choices(ItemKind), width=260), item.kind)
        for name, field in (
            ("description", TextField("Description", hint="wax pot with its cord")),
            ("label", TextField("Seal or label", hint="its number")),
            ("place", TextField("Kept at", hint="room, shelf, office")),
            ("condition", TextField("Condition when taken in", long=True, hint="what is whole, dirty, burnt, missing")),
            ("since", MomentField("Taken in")),
        ):
            self.add_text(name, field, getattr(item, name))
        self.add_ticks("pictures", "Pictures that show it", picture_entries(case), item.pictures)

    def ask(self) -> Item | None:
        """Run the dialog; None if it was left."""
        return replace(self._item, **self.given()) if self.kept() else None


class TransferDialog(RecordDialog):
    """Asks for one handing over."""

    def __init__(self, transfer: Transfer, case: Case, parent: QWidget | None = None) -> None:
        lead = wording.sentence("window.custody.transfer_lead")
        super().__init__("Handing over", lead, "Keep handing over", parent)
        self._transfer = transfer
        self.add_ticks("items", "What was handed over", item_entries(case), transfer.items)
        for name, field in (
            ("giver", TextField("From", hint="person or office")),
            ("taker", TextField("To", hint="person or office")),
            ("when", MomentField("When")),
            ("place", TextField("Where")),
            ("purpose", TextField("What for", hint="keeping, examination, return")),
            ("condition", TextField("Condition then", long=True, hint="as before, or what was found otherwise")),
        ):
            self.add_text(name, field, getattr(transfer, name))
        self.add_choice("seal_whole", AnswerField("Seals and labels whole"), transfer.seal_whole)
        pictures = [("", "None"), *picture_entries(case)]
        if transfer.picture not in dict(pictures):
            pictures.append((transfer.picture, f"{transfer.picture} (not in this case)"))
        slip = ChoiceField("Picture of the slip", pictures)
        slip.box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        slip.box.setMinimumContentsLength(20)
        self.add_choice("picture", slip, transfer.picture)

    def ask(self) -> Transfer | None:
        """Run the dialog; None if it was left."""
        return replace(self._transfer, **self.given()) if self.kept() else None


class StepDialog(RecordDialog):
    """Asks for one thing that was done to the evidence."""

    def __init__(self, step: Step, case: Case, parent: QWidget | None = None) -> None:
        lead = wording.sentence("window.custody.step_lead")
        super().__init__("Step", lead, "Keep step", parent)
        self._step = step
        self.add_text("what", TextField("What was done", long=True, hint="base taken off, two screws"), step.what)
        self.add_text("when", MomentField("When"), step.when)
        self.add_text("by", TextField("By", hint="person"), step.by)
        self.add_choice("effect", ChoiceField("Others can repeat it", EFFECTS, width=330), step.effect)
        self.add_tick("opens", "The unit was opened, moved apart or changed by it", step.opens)
        informed = TextField("Told before", long=True, hint="who, when, and what they answered")
        self.add_text("informed", informed, step.informed)
        self.add_ticks("items", "Done to", item_entries(case), step.items)
        self.add_ticks("pictures", "Pictures that show it", picture_entries(case), step.pictures)
        readings = [(r.id, f"{r.id}  {r.first}\u2013{r.second}  {r.quantity.value} {r.typed}") for r in case.readings]
        self.add_ticks("readings", "Readings taken", readings, step.readings)

    def ask(self) -> Step | None:
        """Run the dialog; None if it was left."""
        return replace(self._step, **self.given()) if self.kept() else None

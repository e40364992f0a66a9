"""Keeping the evidence on the Unit page: items, handing over, steps, each with what an opponent could ask."""

from collections.abc import Iterable

from PySide6.QtWidgets import QVBoxLayout, QWidget

from hazardreport import wording
from hazardreport.app.desk import Desk
from hazardreport.app.dialogs.custody import ItemDialog, StepDialog, TransferDialog
from hazardreport.app.views.record_list import Block, Note, RecordList, text_label
from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer
from hazardreport.case.custody import Item, ItemKind, Step, StepEffect, Transfer
from hazardreport.evidence.custody_order import ITEMS, KEPT_AT, Remark, Weight, custody_remarks, first_opening

EFFECT_WORDS = {
    StepEffect.OPEN: "",
    StepEffect.NON_DESTRUCTIVE: "non-destructive",
    StepEffect.DESTRUCTIVE: "destructive",
}


class EvidenceCards(QWidget):
    """Three cards; every change is an edit of the session and can be undone."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(16)
        self.items = RecordList(
            "Items of evidence",
            wording.sentence("window.custody.items"),
            "Add item",
            wording.sentence("window.custody.no_items"),
        )
        self.transfers = RecordList(
            "Handing over",
            wording.sentence("window.custody.transfers"),
            "Add handing over",
            wording.sentence("window.custody.no_transfers"),
        )
        self.steps = RecordList(
            "What was done to it",
            wording.sentence("window.custody.steps"),
            "Add step",
            wording.sentence("window.custody.no_steps"),
        )
        self.as_found = text_label("")
        self.elsewhere = text_label("", "problem")
        self.steps.body.insertWidget(2, self.as_found)
        self.steps.body.addWidget(self.elsewhere)
        for card in (self.items, self.transfers, self.steps):
            column.addWidget(card)
        self.items.add_asked.connect(self.on_item_add_asked)
        self.items.change_asked.connect(self.on_item_change_asked)
        self.items.remove_asked.connect(lambda key: self._edit("Remove Item", edits.remove_item, key))
        self.transfers.add_asked.connect(self.on_transfer_add_asked)
        self.transfers.change_asked.connect(self.on_transfer_change_asked)
        self.transfers.remove_asked.connect(lambda key: self._edit("Remove Handing Over", edits.remove_transfer, key))
        self.steps.add_asked.connect(self.on_step_add_asked)
        self.steps.change_asked.connect(self.on_step_change_asked)
        self.steps.remove_asked.connect(lambda key: self._edit("Remove Step", edits.remove_step, key))

    def _edit(self, text: str, function: edits.Edit, record: object) -> bool:
        return self.desk.session.edit(text, function, record)

    def on_item_add_asked(self) -> None:
        """One more item: the unit first, kept where the unit is said to be."""
        case = self.desk.session.case
        has_unit = any(item.kind is ItemKind.UNIT for item in case.items)
        item = Item(
            id=edits.next_id("item", (item.id for item in case.items)),
            kind=ItemKind.OTHER if has_unit else ItemKind.UNIT,
            description="" if has_unit else case.unit.product_name.text,
            place=case.custody.kept_at.text,
        )
        asked = ItemDialog(item, case, self).ask()
        if asked is not None and self._edit("Add Item", edits.add_item, asked):
            self.items.focus(asked.id)

    def on_item_change_asked(self, id: str) -> None:
        """One item is described anew."""
        item = self.desk.session.case.item(id)
        asked = None if item is None else ItemDialog(item, self.desk.session.case, self).ask()
        if asked is not None and self._edit("Change Item", edits.change_item, asked):
            self.items.focus(id)

    def on_transfer_add_asked(self) -> None:
        """One more handing over, from whoever had the items last."""
        case = self.desk.session.case
        transfer = Transfer(
            id=edits.next_id("transfer", (transfer.id for transfer in case.transfers)),
            items=(case.items[0].id,) if len(case.items) == 1 else (),
            giver=case.transfers[-1].taker if case.transfers else "",
        )
        asked = TransferDialog(transfer, case, self).ask()
        if asked is not None and self._edit("Add Handing Over", edits.add_transfer, asked):
            self.transfers.focus(asked.id)

    def on_transfer_change_asked(self, id: str) -> None:
        """One handing over is told anew."""
        case = self.desk.session.case
        transfer = next((transfer for transfer in case.transfers if transfer.id == id), None)
        asked = None if transfer is None else TransferDialog(transfer, case, self).ask()
        if asked is not None and self._edit("Change Handing Over", edits.change_transfer, asked):
            self.transfers.focus(id)

    def on_step_add_asked(self) -> None:
        """One more step, by whoever measures."""
        case = self.desk.session.case
        step = Step(
            id=edits.next_id("step", (step.id for step in case.steps)),
            by=case.competence.name if case.competence is not None else "",
            items=(case.items[0].id,) if len(case.items) == 1 else (),
        )
        asked = StepDialog(step, case, self).ask()
        if asked is not None and self._edit("Add Step", edits.add_step, asked):
            self.steps.focus(asked.id)

    def on_step_change_asked(self, id: str) -> None:
        """One step is told anew."""
        case = self.desk.session.case
        step = next((step for step in case.steps if step.id == id), None)
        asked = None if step is None else StepDialog(step, case, self).ask()
        if asked is not None and self._edit("Change Step", edits.change_step, asked):
            self.steps.focus(id)

    def show_case(self, case: Case) -> tuple[Remark, ...]:
        """Show the records with their remarks; returns those on where the unit is kept."""
        remarks = custody_remarks(case)
        read_only = self.desk.session.read_only
        self.items.show_blocks([item_block(item, remarks) for item in case.items], read_only)
        self.transfers.show_blocks([transfer_block(transfer, remarks) for transfer in case.transfers], read_only)
        self.steps.show_blocks([step_block(step, remarks) for step in case.steps], read_only)
        opening = first_opening(case)
        key = "window.custody.as_found_until" if opening else "window.custody.as_found"
        step = opening.id if opening else ""
        when = opening.when if opening and opening.when else wording.sentence("window.custody.no_time")
        self.as_found.setText(wording.sentence(key, step=step, when=when))
        self.as_found.setVisible(bool(case.steps))
        others = [one for one in remarks if one.link != KEPT_AT and self.list_of(one.link) is None]
        self.elsewhere.setText("\n".join(f"\u25b2 {remark.link}: {remark.what} {remark.remedy}" for remark in others))
        self.elsewhere.setVisible(bool(others))
        return tuple(remark for remark in remarks if remark.link == KEPT_AT)

    def list_of(self, link: str) -> RecordList | None:
        """The card of a record, by its id; of `ITEMS` the first."""
        if link == ITEMS:
            return self.items
        return next((card for card in (self.items, self.transfers, self.steps) if card.block(link)), None)


def notes_of(id: str, remarks: Iterable[Remark]) -> tuple[Note, ...]:
    """Remarks on one record as notes, those to mend first."""
    own = sorted((one for one in remarks if one.link == id), key=lambda one: one.weight is not Weight.MEND)
    return tuple(Note(text=f"{one.what} {one.remedy}", problem=one.weight is Weight.MEND) for one in own)


def _facts(**facts: str) -> tuple[str, ...]:
    """Facts that are given, each with its label, in one line; none where nothing is given."""
    told = [f"{label.replace('_', ' ')}: {text.strip()}" for label, text in facts.items() if text.strip()]
    return ("; ".join(told),) if told else ()


def _lines(*lines: str) -> tuple[str, ...]:
    return tuple(line.strip() for line in lines if line.strip())


def item_block(item: Item, remarks: Iterable[Remark]) -> Block:
    """An item as it is shown."""
    heading = f"{item.id}, {item.kind.value}" + (f": {item.description.strip()}" if item.description.strip() else "")
    facts = _facts(Seal_or_label=item.label, Kept_at=item.place, Taken_in=item.since)
    more = _facts(Condition=item.condition, Pictures=", ".join(item.pictures))
    return Block(id=item.id, heading=heading, lines=(*facts, *more), notes=notes_of(item.id, remarks))


def transfer_block(transfer: Transfer, remarks: Iterable[Remark]) -> Block:
    """A handing over as it is shown."""
    ways = f"{transfer.giver.strip() or '?'} \u2192 {transfer.taker.strip() or '?'}"
    seal = "" if transfer.seal_whole is Answer.OPEN else transfer.seal_whole.value
    facts = _facts(When=transfer.when, Where=transfer.place, Items=", ".join(transfer.items), For=transfer.purpose)
    more = _facts(Condition=transfer.condition, Seals_whole=seal, Slip=transfer.picture)
    heading = f"{transfer.id}: {ways}"
    return Block(id=transfer.id, heading=heading, lines=(*facts, *more), notes=notes_of(transfer.id, remarks))


def step_block(step: Step, remarks: Iterable[Remark]) -> Block:
    """A step as it is shown."""
    effect = _lines(EFFECT_WORDS[step.effect], "opened or changed the unit" if step.opens else "")
    facts = _facts(When=step.when, By=step.by, Effect=", ".join(effect), Told_before=step.informed)
    shown = ", ".join((*step.pictures, *step.readings))
    more = _facts(Done_to=", ".join(step.items), Shown_by=shown)
    heading = f"{step.id}: {step.what.strip() or 'not told'}"
    return Block(id=step.id, heading=heading, lines=(*facts, *more), notes=notes_of(step.id, remarks))

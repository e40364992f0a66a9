"""Keeping the evidence as a person enters it: items, handing over, steps, what is private."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta, timezone
from typing import Any

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QAbstractButton, QApplication, QDialog, QLineEdit, QPlainTextEdit
from pytestqt.qtbot import QtBot

from hazardreport.app.dialogs.custody import ItemDialog, RecordDialog, StepDialog, TransferDialog
from hazardreport.app.page_states import standings
from hazardreport.app.pages.unit import UnitPage
from hazardreport.app.pages.unit_evidence import EvidenceCards
from hazardreport.app.views.custody_fields import MomentField, WordsField
from hazardreport.app.views.rail import PageState
from hazardreport.app.views.record_list import RecordList
from hazardreport.app.views.stated_field import PRIVATE, StatedField
from hazardreport.app.window import Window
from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer
from hazardreport.case.custody import Item, ItemKind, Step, StepEffect, Transfer
from hazardreport.case.stated import Stated, unknown, value

UNIT = Item(
    id="item-001", description="pot", label="seal 7", place="cabinet", condition="whole", pictures=("picture-001",)
)


def page(window: Window) -> UnitPage:
    found = window.pages["unit"]
    assert isinstance(found, UnitPage)
    return found


def cards(window: Window) -> EvidenceCards:
    return page(window).evidence


def case_of(window: Window) -> Case:
    return window.desk.session.case


def texts(records: RecordList) -> list[str]:
    return [
        "\n".join((block.block.heading, *block.block.lines, *(note.text for note in block.block.notes)))
        for block in records.blocks
    ]


def answer(deed: Callable[[Any], None]) -> list[str]:
    """Does something in the next dialog, once it is open; tells which dialogs were answered."""
    answered: list[str] = []

    def act() -> None:
        dialog = QApplication.activeModalWidget()
        if not isinstance(dialog, QDialog):
            QTimer.singleShot(10, act)
            return
        try:
            deed(dialog)
            answered.append(dialog.windowTitle())
        finally:
            if dialog.isVisible():
                dialog.reject()

    QTimer.singleShot(0, act)
    return answered


def type_in(qtbot: QtBot, dialog: RecordDialog, name: str, text: str) -> None:
    edit = dialog.texts[name].edit
    edit.setFocus()
    edit.selectAll()
    qtbot.keyClicks(edit, text)


def test_an_item_is_recorded_by_keyboard_and_undone(fresh: Window, qtbot: QtBot) -> None:
    fresh.show_page("unit")
    fresh.desk.session.edit("x", edits.set_custody, replace(case_of(fresh).custody, kept_at=value("shelf 3")))

    def deed(dialog: ItemDialog) -> None:
        assert dialog.texts["place"].text() == "shelf 3"
        type_in(qtbot, dialog, "description", "pot with cord")
        type_in(qtbot, dialog, "label", "seal 7")
        qtbot.keyClick(dialog.texts["label"].edit, Qt.Key.Key_Return)

    answered = answer(deed)
    cards(fresh).items.add.setFocus()
    qtbot.keyClick(cards(fresh).items.add, Qt.Key.Key_Space)

    assert len(answered) == 1
    assert case_of(fresh).items == (Item(id="item-001", description="pot with cord", label="seal 7", place="shelf 3"),)
    assert fresh.desk.session.stack.undoText() == "Add Item"
    block = cards(fresh).items.block("item-001")
    assert block is not None
    assert block.change.accessibleName() == "Change item-001"
    fresh.desk.session.stack.undo()
    assert case_of(fresh).items == ()
    assert cards(fresh).items.blocks == []
    assert cards(fresh).items.empty.isVisibleTo(fresh)


def test_a_dialog_that_is_left_changes_nothing(fresh: Window, qtbot: QtBot) -> None:
    before = case_of(fresh)

    def deed(dialog: ItemDialog) -> None:
        type_in(qtbot, dialog, "label", "7")
        qtbot.keyClick(dialog, Qt.Key.Key_Escape)

    answered = answer(deed)
    cards(fresh).items.add.click()
    assert len(answered) == 1
    assert case_of(fresh) is before


def test_a_handing_over_begins_with_who_had_it_last(fresh: Window, qtbot: QtBot) -> None:
    session = fresh.desk.session
    session.edit("x", edits.add_item, UNIT)
    session.edit("x", edits.add_transfer, Transfer(id="transfer-001", items=("item-001",), giver="A", taker="College"))

    def deed(dialog: TransferDialog) -> None:
        assert dialog.texts["giver"].text() == "College"
        assert dialog.ticks["items"].ticked() == ("item-001",)
        type_in(qtbot, dialog, "taker", "Club")
        dialog.values["seal_whole"] = Answer.NO
        dialog.keep.click()

    answered = answer(deed)
    cards(fresh).transfers.add.click()
    assert len(answered) == 1
    assert case_of(fresh).transfers[1] == Transfer(
        id="transfer-002", items=("item-001",), giver="College", taker="Club", seal_whole=Answer.NO
    )
    shown = texts(cards(fresh).transfers)[1]
    assert "College → Club" in shown
    assert "Seal or label were not found whole" in shown


def test_a_step_is_changed_and_says_until_when_it_was_as_found(fresh: Window) -> None:
    session = fresh.desk.session
    session.edit("x", edits.add_item, UNIT)
    step = Step(id="step-001", what="base off", when="2026-05-07T08:00Z", informed="maker")
    session.edit("x", edits.add_step, step)
    assert "counts as found" in cards(fresh).as_found.text()

    def deed(dialog: StepDialog) -> None:
        dialog.values["opens"] = True
        dialog.values["effect"] = StepEffect.NON_DESTRUCTIVE
        dialog.keep.click()

    answered = answer(deed)
    block = cards(fresh).steps.block("step-001")
    assert block is not None
    block.change.click()
    assert len(answered) == 1
    assert case_of(fresh).steps == (replace(step, opens=True, effect=StepEffect.NON_DESTRUCTIVE),)
    assert cards(fresh).as_found.text() == "As found until 2026-05-07T08:00Z, when step-001 opened or changed the unit."


def test_every_record_comes_back_from_its_dialog_as_it_was(demo: Window) -> None:
    case = case_of(demo)
    step = Step(id="step-001", what="a\nb", effect=StepEffect.DESTRUCTIVE, opens=True, readings=("reading-001", "gone"))
    transfer = Transfer(id="transfer-001", items=("item-009",), seal_whole=Answer.UNKNOWN, picture="picture-099")
    for kind, record in ((ItemDialog, UNIT), (TransferDialog, transfer), (StepDialog, step)):
        answered = answer(lambda dialog: dialog.keep.click())
        assert kind(record, case, demo).ask() == record
        assert len(answered) == 1


def test_remarks_stand_beside_their_record_and_go_when_mended(fresh: Window, qtbot: QtBot) -> None:
    session = fresh.desk.session
    session.edit("x", edits.add_item, replace(UNIT, label=""))
    assert "no number of a seal or label" in texts(cards(fresh).items)[0]
    session.edit("x", edits.change_item, UNIT)
    assert "no number of a seal or label" not in texts(cards(fresh).items)[0]
    transfer = Transfer(id="transfer-001", items=("item-001",), giver="A", taker="B")
    session.edit("x", edits.add_transfer, transfer)
    kept_at = page(fresh).fields["custody.kept_at"]
    assert "handed over to B" in kept_at._remark.text()
    session.edit("x", edits.set_custody, replace(case_of(fresh).custody, kept_at=value("with B")))
    assert kept_at._remark.text() == ""


def test_removing_keeps_the_cursor_in_the_card(fresh: Window, qtbot: QtBot) -> None:
    fresh.show_page("unit")
    fresh.desk.session.edit("x", edits.add_item, UNIT)
    fresh.desk.session.edit("x", edits.add_item, Item(id="item-002", kind=ItemKind.CORD))
    block = cards(fresh).items.block("item-002")
    assert block is not None
    block.remove.setFocus()
    qtbot.keyClick(block.remove, Qt.Key.Key_Space)
    assert case_of(fresh).items == (UNIT,)
    assert QApplication.focusWidget() is cards(fresh).items.add


def test_a_case_that_is_open_for_reading_only_takes_nothing(fresh: Window) -> None:
    fresh.desk.session.edit("x", edits.add_item, UNIT)
    fresh.desk.session.read_only = True
    page(fresh).show_case(case_of(fresh))
    block = cards(fresh).items.block("item-001")
    assert block is not None
    assert not any(button.isEnabled() for button in (block.change, block.remove, cards(fresh).items.add))


def test_what_people_typed_is_never_read_as_markup(fresh: Window) -> None:
    fresh.desk.session.edit("x", edits.add_item, replace(UNIT, description="<b>x</b><img src='y'>"))
    block = cards(fresh).items.blocks[0]
    labels = [label for label in block.findChildren(type(cards(fresh).as_found)) if "<b>" in label.text()]
    assert labels
    assert all(label.textFormat() is Qt.TextFormat.PlainText for label in labels)


def test_a_link_to_a_record_puts_the_cursor_there(fresh: Window) -> None:
    fresh.desk.session.edit("x", edits.add_item, UNIT)
    fresh.show_page("unit")
    page(fresh).reveal("item-001")
    block = cards(fresh).items.block("item-001")
    assert block is not None
    assert QApplication.focusWidget() is block.change


def test_every_control_of_the_dialogs_has_a_name_and_can_be_hit(demo: Window) -> None:
    case = replace(case_of(demo), items=(UNIT,))

    def deed(dialog: QDialog) -> None:
        kinds = (QAbstractButton, QLineEdit, QPlainTextEdit)
        for widget in [one for kind in kinds for one in dialog.findChildren(kind)]:
            if widget.isVisible() and not widget.objectName().startswith("qt_"):
                text = widget.text() if isinstance(widget, QAbstractButton) else ""
                assert (widget.accessibleName() or text).strip()
                assert min(widget.width(), widget.height()) >= 24
        dialog.reject()

    for dialog in (
        ItemDialog(UNIT, case, demo),
        TransferDialog(Transfer(id="transfer-001"), case, demo),
        StepDialog(Step(id="step-001"), case, demo),
    ):
        answered = answer(deed)
        assert dialog.ask() is None
        assert len(answered) == 1


def test_now_gives_a_time_that_can_be_compared(qtbot: QtBot) -> None:
    then = datetime(2026, 5, 4, 9, 30, tzinfo=timezone(timedelta(hours=2)))
    field = MomentField("When", now=lambda: then)
    qtbot.addWidget(field)
    field.now.click()
    assert field.text() == "2026-05-04T09:30+02:00"
    assert field._remark.text() == ""
    field.edit.clear()
    qtbot.keyClicks(field.edit, "in May")
    assert field._remark.text().startswith("Kept as told.")


def stated(window: Window, path: str) -> StatedField:
    field = page(window).fields[path]
    assert isinstance(field, StatedField)
    return field


def menu_texts(field: StatedField) -> list[str]:
    field.on_menu_about_to_show()
    return [action.text() for action in field._menu.actions()]


def test_a_field_is_marked_private_in_its_menu_and_stays_so_while_typing(fresh: Window, qtbot: QtBot) -> None:
    field = stated(fresh, "unit.serial")
    qtbot.keyClicks(field.text.edit, "0417")
    qtbot.keyClick(field.text.edit, Qt.Key.Key_Return)
    field.on_menu_about_to_show()
    action = next(action for action in field._menu.actions() if action.text() == PRIVATE)
    action.trigger()
    assert case_of(fresh).unit.serial == replace(value("0417"), private=True)
    assert fresh.desk.session.stack.undoText() == "Mark as Private: Serial number"
    assert field.private.isVisibleTo(fresh)

    field.text.edit.clear()
    qtbot.keyClicks(field.text.edit, "0418")
    qtbot.keyClick(field.text.edit, Qt.Key.Key_Return)
    assert case_of(fresh).unit.serial == replace(value("0418"), private=True)
    fresh.desk.session.stack.undo()
    assert case_of(fresh).unit.serial == replace(value("0417"), private=True)
    fresh.desk.session.stack.undo()
    assert case_of(fresh).unit.serial == value("0417")
    assert not field.private.isVisibleTo(fresh)


def test_private_is_taken_back_by_its_sign(fresh: Window, qtbot: QtBot) -> None:
    private = replace(unknown("sold by a neighbour"), private=True)
    fresh.desk.session.edit("x", edits.set_unit_field, "seller", private)
    field = stated(fresh, "unit.seller")
    assert field.private.accessibleName() == "Seller: private, left out of a publication"
    field.private.click()
    assert case_of(fresh).unit.seller == unknown("sold by a neighbour")


def test_what_is_always_private_is_not_asked(fresh: Window) -> None:
    for path in ("submitter.email", "custody.kept_at", "occurrence.contacts"):
        assert PRIVATE not in menu_texts(stated(fresh, path))
    for path in ("unit.seller", "unit.serial", "household.place", "custody.kept_until"):
        assert PRIVATE in menu_texts(stated(fresh, path))


def test_a_private_field_that_is_cleared_stays_private(fresh: Window, qtbot: QtBot) -> None:
    fresh.desk.session.edit("x", edits.set_unit_field, "price", replace(value("5"), private=True))
    field = stated(fresh, "unit.price")
    field.text.edit.clear()
    qtbot.keyClick(field.text.edit, Qt.Key.Key_Return)
    assert case_of(fresh).unit.price == Stated(private=True)


def test_private_words_are_typed_one_in_each_line(fresh: Window, qtbot: QtBot) -> None:
    field = page(fresh).fields["private_words"]
    assert isinstance(field, WordsField)
    field.edit.setFocus()
    qtbot.keyClicks(field.edit, "R. Oakes")
    qtbot.keyClick(field.edit, Qt.Key.Key_Return)
    field.on_done()
    assert case_of(fresh).private_words == ("R. Oakes",)
    assert field.text() == "R. Oakes\n"
    qtbot.keyClicks(field.edit, "Mill Lane 3")
    field.on_done()
    assert case_of(fresh).private_words == ("R. Oakes", "Mill Lane 3")
    fresh.desk.session.stack.undo()
    assert field.words() == ()


def test_a_gap_of_the_keeping_makes_the_unit_page_begun_and_no_more(demo: Window) -> None:
    case, assessment = case_of(demo), demo.desk.live.assessment
    before = standings(case, assessment, (), None)["unit"]
    assert before.state is PageState.COMPLETE
    lacking = edits.add_item(case, Item(id="item-001", description="pot"))
    after = standings(lacking, assessment, (), None)["unit"]
    assert after.state is PageState.BEGUN
    assert after.detail == "3 things to mend in the record of keeping"
    whole = edits.add_item(case, UNIT)
    assert standings(whole, assessment, (), None)["unit"] == before

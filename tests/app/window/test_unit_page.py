"""The Unit page as an advocate fills it: questions, places on the unit, upkeep, marks, a minor; undone, reopened."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QComboBox, QPushButton
from pytestqt.qtbot import QtBot

from hazardreport.app.dialogs.conformity_mark import MarkDialog
from hazardreport.app.page_states import page_of
from hazardreport.app.pages.unit import UnitPage
from hazardreport.app.views.fields import AnswerField, ChoiceField, Field
from hazardreport.app.views.stated_field import StatedField
from hazardreport.app.views.upkeep_fields import AlterationField, KeptField
from hazardreport.app.window import Window
from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, Occasion
from hazardreport.case.picture import Point
from hazardreport.case.situation import Situation, Territory
from hazardreport.case.stated import Standing, Stated, value
from hazardreport.case.unit import ConformityMark
from hazardreport.case.upkeep import Alteration, Excluded, Kept, Knowing, Upkeep


def page(window: Window) -> UnitPage:
    found = window.pages["unit"]
    assert isinstance(found, UnitPage)
    return found


def case_of(window: Window) -> Case:
    return window.desk.session.case


def field(window: Window, path: str) -> Any:
    return page(window).fields[path]


def choose(box: QComboBox, text: str) -> None:
    box.setFocus()
    place = box.findText(text)
    assert place >= 0, [box.itemText(row) for row in range(box.count())]
    box.setCurrentIndex(place)
    box.activated.emit(place)


def press(qtbot: QtBot, button: QPushButton) -> None:
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


def actions_of(menu: Any) -> dict[str, Any]:
    menu.aboutToShow.emit()
    return {action.text(): action for action in menu.actions()}


def test_the_four_questions_come_first_and_are_answered(fresh: Window, qtbot: QtBot) -> None:
    first = list(page(fresh).fields)[:4]
    assert first == ["situation.residence", "situation.bought_in", "situation.online", "situation.injured"]

    choose(field(fresh, "situation.residence").box, "European Union or EEA")
    choose(field(fresh, "situation.bought_in").box, "Northern Ireland")
    press(qtbot, field(fresh, "situation.online").buttons[Answer.YES])
    press(qtbot, field(fresh, "situation.injured").buttons[Answer.NO])

    assert case_of(fresh).situation == Situation(
        residence=Territory.EU, bought_in=Territory.NORTHERN_IRELAND, online=Answer.YES, injured=Answer.NO
    )
    fresh.desk.session.stack.undo()
    assert case_of(fresh).situation.injured is Answer.OPEN
    assert not field(fresh, "situation.injured").buttons[Answer.NO].isChecked()


def test_an_advocate_finds_the_groups_in_the_order_of_the_work(fresh: Window) -> None:
    names = [link.text() for _, link in page(fresh).sections._sections]
    people = [name for name in names if "iring" not in name]

    assert people == [
        "Questions", "Plate", "Marks", "Firms", "Sale", "Use", "Event", "Upkeep", "Reporter", "Keeping",
    ]  # fmt: skip


def test_a_field_says_on_which_picture_and_at_which_point_it_stands(demo: Window, qtbot: QtBot) -> None:
    stated = field(demo, "unit.protection_class")
    assert isinstance(stated, StatedField)
    menu = actions_of(stated._menu)
    letter = case_of(demo).points[0].letter
    points = {action.text(): action for action in menu["Stands at point"].menu().actions()}
    chosen = next(text for text in points if text.startswith(f"{letter}  "))
    points[chosen].trigger()
    pictures = {action.text(): action for action in actions_of(stated._menu)["Seen on picture"].menu().actions()}
    list(pictures.values())[1].trigger()

    held = case_of(demo).unit.protection_class
    assert (held.point, held.picture, held.standing) == (letter, case_of(demo).pictures[0].id, Standing.VALUE)
    assert stated.at.isVisibleTo(demo)
    assert stated.at.text() == letter

    with qtbot.waitSignal(page(demo).link_asked) as asked:
        qtbot.mouseClick(stated.at, Qt.MouseButton.LeftButton)
    assert asked.args == [f"point-{letter}"]
    assert demo.stack.currentWidget() is demo.pages["pictures"]
    demo.desk.session.stack.undo()
    demo.desk.session.stack.undo()
    assert case_of(demo).unit.protection_class.point == ""
    assert not stated.at.isVisibleTo(demo)


def test_a_point_that_is_gone_can_still_be_read_and_taken_back(demo: Window) -> None:
    stated = field(demo, "unit.model")
    demo.desk.session.edit("Say", edits.set_unit_field, "model", value("LK", point="ZZ"))
    offered = {action.text(): action for action in actions_of(stated._menu)["Stands at point"].menu().actions()}

    assert offered["ZZ (not in this case)"].isChecked()
    offered["None"].trigger()
    assert case_of(demo).unit.model.point == ""


@pytest.mark.parametrize(
    ("entry", "standing"),
    [
        ("Unknown, because …", Standing.UNKNOWN),
        ("Not applicable, because …", Standing.NOT_APPLICABLE),
    ],
)
def test_the_menu_of_a_field_says_why_there_is_no_value(
    fresh: Window, qtbot: QtBot, entry: str, standing: Standing
) -> None:
    stated = field(fresh, "unit.importer")
    actions_of(stated._menu)[entry].trigger()
    qtbot.keyClicks(stated.text.edit, "no importer on the box")
    qtbot.keyClick(stated.text.edit, Qt.Key.Key_Tab)

    assert case_of(fresh).unit.importer.standing is standing
    assert case_of(fresh).unit.importer.reason == "no importer on the box"
    assert actions_of(stated._menu)[entry].isChecked()
    actions_of(stated._menu)["Value"].trigger()
    assert case_of(fresh).unit.importer == Stated()


def test_without_points_none_is_offered(fresh: Window) -> None:
    stated = field(fresh, "unit.model")
    assert not actions_of(stated._menu)["Stands at point"].menu().isEnabled()

    fresh.desk.session.edit("Add Point", edits.add_point, Point(letter="A", description="rim"))
    assert actions_of(stated._menu)["Stands at point"].menu().isEnabled()


def test_an_unknown_value_keeps_its_point_too(fresh: Window, qtbot: QtBot) -> None:
    fresh.desk.session.edit("Add Point", edits.add_point, Point(letter="A", description="rim"))
    stated = field(fresh, "unit.batch")
    stated.choose_point("A")
    stated.choose_standing(Standing.UNKNOWN)
    qtbot.keyClicks(stated.text.edit, "scratched off here")
    qtbot.keyClick(stated.text.edit, Qt.Key.Key_Return)

    held = case_of(fresh).unit.batch
    assert (held.standing, held.reason, held.point) == (Standing.UNKNOWN, "scratched off here", "A")


def test_the_check_digit_is_said_while_the_digits_are_typed(fresh: Window, qtbot: QtBot) -> None:
    barcode = field(fresh, "unit.barcode")
    edit = barcode.text.edit
    edit.setFocus()
    qtbot.keyClicks(edit, "629104")
    assert barcode._remark.text() == "Digits so far: 6."
    assert barcode._remark.property("role") == "small"
    qtbot.keyClicks(edit, "1500214")
    assert "does not fit" in barcode._remark.text()
    assert barcode._remark.property("role") == "problem"

    qtbot.keyClick(edit, Qt.Key.Key_Tab)
    assert case_of(fresh).unit.barcode == value("6291041500214")
    assert "does not fit" in barcode._remark.text()


def test_a_reason_for_no_barcode_is_not_read_as_one(fresh: Window, qtbot: QtBot) -> None:
    barcode = field(fresh, "unit.barcode")
    barcode.choose_standing(Standing.NOT_APPLICABLE)
    qtbot.keyClicks(barcode.text.edit, "sold without a box")
    qtbot.keyClick(barcode.text.edit, Qt.Key.Key_Return)

    assert barcode._remark.text() == ""


def test_upkeep_says_how_it_is_known_whether_it_was_in_order_and_by_what(fresh: Window, qtbot: QtBot) -> None:
    kept = field(fresh, "upkeep.cord")
    assert isinstance(kept, KeptField)
    choose(kept.known.box, "Told by somebody")
    press(qtbot, kept.proper.buttons[Answer.NO])
    kept.text.edit.setFocus()
    qtbot.keyClicks(kept.text.edit, "tape around the cord, told by the caretaker")
    qtbot.keyClick(kept.text.edit, Qt.Key.Key_Tab)

    told = "tape around the cord, told by the caretaker"
    assert case_of(fresh).upkeep.cord == Kept(known=Knowing.TOLD, proper=Answer.NO, text=told)
    assert fresh.desk.session.stack.undoText() == "Change Cord and plug"
    fresh.desk.session.stack.undo()
    assert case_of(fresh).upkeep.cord == Kept()
    assert kept.text.text() == ""


def test_a_repair_is_found_with_its_picture(demo: Window, qtbot: QtBot) -> None:
    demo.desk.session.edit("Forget", edits.set_upkeep, Upkeep())
    repairs = field(demo, "upkeep.repairs")
    assert isinstance(repairs, AlterationField)
    choose(repairs.result.box, "Found")
    qtbot.keyClicks(repairs.text.edit, "a wire nut that is not the maker's")
    qtbot.keyClick(repairs.text.edit, Qt.Key.Key_Return)
    first = case_of(demo).pictures[0]
    action = actions_of(repairs._menu)[first.caption or first.original_name]
    action.trigger()

    assert case_of(demo).upkeep.repairs == Alteration(
        result=Excluded.FOUND, text="a wire nut that is not the maker's", pictures=(first.id,)
    )
    assert repairs.pictures.text() == "Pictures: 1"
    actions_of(repairs._menu)[first.caption or first.original_name].trigger()
    assert case_of(demo).upkeep.repairs.pictures == ()


def test_without_pictures_none_is_offered_for_a_repair(fresh: Window) -> None:
    assert not field(fresh, "upkeep.repairs").pictures.isEnabled()


def test_fields_of_a_guardian_appear_for_somebody_younger_than_18(fresh: Window, qtbot: QtBot) -> None:
    guardian = field(fresh, "submitter.guardian")
    assert not guardian.isVisibleTo(fresh)
    press(qtbot, field(fresh, "submitter.minor").buttons[Answer.YES])
    assert guardian.isVisibleTo(fresh)
    qtbot.keyClicks(guardian.text.edit, "H. Beispiel, Dochtgasse 2")
    guardian.text.on_done()
    press(qtbot, field(fresh, "consents.guardian_agrees").buttons[Answer.YES])

    press(qtbot, field(fresh, "submitter.minor").buttons[Answer.NO])
    assert guardian.isVisibleTo(fresh)
    assert case_of(fresh).consents.guardian_agrees is Answer.YES


def test_a_link_to_a_hidden_field_shows_it(fresh: Window, qtbot: QtBot) -> None:
    fresh.go_to("submitter.guardian")
    qtbot.waitUntil(lambda: field(fresh, "submitter.guardian").text.edit.hasFocus(), timeout=3000)


@pytest.mark.parametrize(
    ("link", "path"),
    [
        ("situation", "situation.residence"),
        ("situation.bought_in", "situation.bought_in"),
        ("upkeep", "upkeep.socket_earth"),
        ("upkeep.cord.text", "upkeep.cord"),
        ("upkeep.misuse", "upkeep.misuse"),
        ("unit.responsible_person", "unit.responsible_person"),
        ("occurrence.injured_person", "occurrence.injured_person"),
        ("consents.early_publication", "consents.early_publication"),
    ],
)
def test_a_link_leads_to_its_field(fresh: Window, qtbot: QtBot, link: str, path: str) -> None:
    fresh.show_page("review")
    fresh.go_to(link)

    def inside() -> bool:
        focused = QApplication.focusWidget()
        return focused is not None and field(fresh, path).isAncestorOf(focused)

    qtbot.waitUntil(inside, timeout=3000)
    shown = field(fresh, path)
    area = page(fresh).sections.area
    qtbot.waitUntil(lambda: area.viewport().rect().intersects(in_area(area.viewport(), shown)), timeout=3000)


def in_area(viewport: Any, shown: Field) -> Any:
    rectangle = shown.rect()
    return rectangle.translated(shown.mapTo(viewport.window(), rectangle.topLeft()) - viewport.mapTo(
        viewport.window(), viewport.rect().topLeft()
    ))  # fmt: skip


@pytest.mark.parametrize(
    ("link", "expected"),
    [
        ("situation.residence", "unit"),
        ("upkeep.cord", "unit"),
        ("conformity-mark-002", "unit"),
        ("conformity_marks", "unit"),
        ("letter-001", "report"),
        ("letters.sent", "report"),
        ("requirements", "findings"),
        ("scenarios", "findings"),
        ("scenario-003", "findings"),
        ("risk.level", "findings"),
        ("harm_factors.pattern", "findings"),
        ("confirmation-001", "findings"),
    ],
)
def test_a_link_leads_to_its_page(link: str, expected: str) -> None:
    assert page_of(link) == expected


def fill_mark(qtbot: QtBot, dialog: MarkDialog, texts: dict[str, str]) -> None:
    for name, text in texts.items():
        edit = dialog.texts[name].edit
        edit.setFocus()
        edit.selectAll()
        qtbot.keyClicks(edit, text)
    qtbot.mouseClick(dialog.keep, Qt.MouseButton.LeftButton)


def test_a_mark_is_added_changed_and_removed(demo: Window, qtbot: QtBot, when_asked: Callable[..., list[Any]]) -> None:
    for mark in case_of(demo).conformity_marks:
        demo.desk.session.edit("Remove Mark of Conformity", edits.remove_conformity_mark, mark.id)
    marks = page(demo).marks
    page(demo).sections.reveal(marks)
    when_asked(MarkDialog, lambda dialog: fill_mark(qtbot, dialog, {"mark": "CE", "place": "plate", "number": "0000"}))
    qtbot.mouseClick(marks.add, Qt.MouseButton.LeftButton)
    assert case_of(demo).conformity_marks == (
        ConformityMark(id="conformity-mark-001", mark="CE", place="plate", number="0000"),
    )
    (block,) = marks.blocks
    assert block.block.heading == "CE"
    assert block.block.lines == ("Number: 0000; Stands on: plate",)
    assert demo.focusWidget() is block.change

    def change(dialog: MarkDialog) -> None:
        picture = dialog.findChildren(QComboBox)[0]
        choose(picture, picture.itemText(1))
        fill_mark(qtbot, dialog, {"note": "not in the list, looked up on 2026-05-20"})

    when_asked(MarkDialog, change)
    qtbot.mouseClick(block.change, Qt.MouseButton.LeftButton)
    (mark,) = case_of(demo).conformity_marks
    assert mark.picture == case_of(demo).pictures[0].id
    assert mark.note == "not in the list, looked up on 2026-05-20"

    demo.desk.session.stack.undo()
    assert case_of(demo).conformity_marks[0].note == ""
    qtbot.mouseClick(marks.blocks[0].remove, Qt.MouseButton.LeftButton)
    assert case_of(demo).conformity_marks == ()
    assert marks.empty.isVisibleTo(demo)
    demo.desk.session.stack.undo()
    assert len(case_of(demo).conformity_marks) == 1
    demo.go_to("conformity-mark-001")
    qtbot.waitUntil(lambda: demo.focusWidget() is marks.blocks[0].change, timeout=3000)


def test_what_was_entered_is_there_when_the_case_is_opened_again(
    fresh: Window, qtbot: QtBot, open_folder: Callable[[Window, Path], None]
) -> None:
    choose(field(fresh, "situation.residence").box, "Great Britain")
    choose(field(fresh, "occurrence.occasion").box, "The danger was found before")
    qtbot.keyClicks(field(fresh, "unit.responsible_person").text.edit, "Wachsvertretung (invented)")
    field(fresh, "unit.responsible_person").text.on_done()
    choose(field(fresh, "upkeep.misuse").result.box, "Looked for and excluded")
    session = fresh.desk.session
    last, folder = session.case, session.folder
    assert folder is not None
    session.save()
    session.close()
    open_folder(fresh, folder)

    assert session.case.situation.residence is Territory.GREAT_BRITAIN
    assert session.case.occurrence.occasion is Occasion.DISCOVERY
    assert session.case.upkeep.misuse.result is Excluded.EXCLUDED
    assert session.case.unit == last.unit
    shown = field(fresh, "situation.residence")
    assert isinstance(shown, ChoiceField)
    assert shown.box.currentText() == "Great Britain"


def test_nothing_can_be_entered_into_a_case_that_is_only_read(demo: Window) -> None:
    demo.desk.session.read_only = True
    page(demo).show_case(case_of(demo))

    assert not any(shown.isEnabled() for shown in page(demo).fields.values())
    assert not page(demo).marks.add.isEnabled()
    answers = [shown for shown in page(demo).fields.values() if isinstance(shown, AnswerField)]
    assert answers


@pytest.mark.parametrize("size", [(900, 600), (1280, 820)], ids=lambda size: f"{size[0]}x{size[1]}")
def test_no_field_is_wider_than_the_page(demo: Window, qtbot: QtBot, size: tuple[int, int]) -> None:
    demo.resize(*size)
    QApplication.processEvents()
    area = page(demo).sections.area

    qtbot.waitUntil(lambda: area.widget().width() <= area.viewport().width(), timeout=3000)


def type_into(qtbot: QtBot, window: Window, path: str, text: str) -> Any:
    stated = field(window, path)
    edit = stated.text.edit if isinstance(stated, StatedField) else stated.edit
    edit.setFocus()
    edit.selectAll()
    qtbot.keyClicks(edit, text)
    qtbot.keyClick(edit, Qt.Key.Key_Tab)
    return stated


@pytest.mark.parametrize(
    ("typed", "told", "to_mend"),
    [
        ("2026-05-04", "Understood: 4 May 2026.", False),
        ("14.05.2026", "Understood: 14 May 2026.", False),
        ("May 2026", "Understood: May 2026, no exact day.", False),
        ("about 10 May 2026, told by the caretaker", "Understood: about 10 May 2026.", False),
        ("2025", "Understood: the year 2025.", False),
        ("soon after Easter", "Not read as a day", False),
        ("2026-02-31", "no calendar has this day", True),
        ("03/04/2026", "2026-04-03", True),
    ],
)
def test_a_day_is_kept_as_typed_and_what_was_understood_stands_beneath(
    fresh: Window, qtbot: QtBot, typed: str, told: str, to_mend: bool
) -> None:
    stated = type_into(qtbot, fresh, "unit.purchased", typed)

    assert case_of(fresh).unit.purchased.text == typed
    assert told in stated._remark.text()
    assert stated._remark.property("role") == ("problem" if to_mend else "small")


def test_a_purchase_after_what_happened_is_said_at_its_field_until_it_is_mended(fresh: Window, qtbot: QtBot) -> None:
    type_into(qtbot, fresh, "occurrence.date", "2026-05-11")
    bought = type_into(qtbot, fresh, "unit.purchased", "2026-05-20")
    assert "bought (2026-05-20) after what happened (2026-05-11)" in bought._remark.text()
    assert bought._remark.property("role") == "problem"

    fresh.desk.session.stack.undo()
    assert bought._remark.text() == ""
    type_into(qtbot, fresh, "unit.purchased", "2026-05-02")
    assert bought._remark.text() == "Understood: 2 May 2026."


def test_a_key_that_leads_to_1900_is_said_at_its_field(fresh: Window, qtbot: QtBot) -> None:
    meaning = type_into(qtbot, fresh, "unit.date_code_meaning", "00: 1900")

    assert "1900" in meaning._remark.text()
    assert case_of(fresh).unit.date_code_meaning == value("00: 1900")


def test_a_minor_without_a_guardian_is_said_where_the_guardian_is_named(fresh: Window, qtbot: QtBot) -> None:
    press(qtbot, field(fresh, "submitter.minor").buttons[Answer.YES])
    guardian = field(fresh, "submitter.guardian")
    assert "no parent or guardian is named" in guardian._remark.text()

    type_into(qtbot, fresh, "submitter.guardian", "H. Beispiel, Dochtgasse 2")
    assert guardian._remark.text() == ""
    assert "agrees" in field(fresh, "consents.guardian_agrees")._remark.text()

"""What only some units have: entered on the Unit page with units and prefixes, taken back, read again."""

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QInputMethodEvent
from PySide6.QtWidgets import QApplication, QComboBox, QLineEdit
from pytestqt.qtbot import QtBot

from hazardreport.app.pages.unit import UnitPage
from hazardreport.app.pages.unit_fields import GROUPS
from hazardreport.app.pages.unit_places import field_value
from hazardreport.app.views.fields import AnswerField, ChoiceField, Field, NumberField
from hazardreport.app.window import Window
from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.wiring import Earthing, Element, SecondPart, SupplyFault, SwitchPoles


def field(window: Window, path: str) -> Field:
    page = window.pages["unit"]
    assert isinstance(page, UnitPage)
    return page.fields[path]


def line(window: Window, path: str) -> QLineEdit:
    found = field(window, path)
    assert isinstance(found, NumberField)
    assert isinstance(found.edit, QLineEdit)
    return found.edit


def enter(window: Window, qtbot: QtBot, path: str, text: str) -> None:
    edit = line(window, path)
    edit.setFocus()
    edit.selectAll()
    if text:
        typing = QInputMethodEvent()
        typing.setCommitString(text)
        QApplication.sendEvent(edit, typing)
    else:
        qtbot.keyClick(edit, Qt.Key.Key_Delete)
    qtbot.keyClick(edit, Qt.Key.Key_Tab)


def choose(window: Window, qtbot: QtBot, path: str, text: str) -> None:
    found = field(window, path)
    assert isinstance(found, ChoiceField)
    box: QComboBox = found.box
    box.setFocus()
    place = box.findText(text)
    assert place >= 0, [box.itemText(row) for row in range(box.count())]
    box.setCurrentIndex(place)
    box.activated.emit(place)


def told(window: Window, path: str) -> object:
    return field_value(window.desk.session.case, path)


@pytest.mark.parametrize(
    ("path", "typed", "number", "shown"),
    [
        ("wiring.filter.y_capacitance_1", "2.2 nF", 2.2e-9, "2.2 nF"),
        ("wiring.filter.y_capacitance_2", "2200p", 2.2e-9, "2.2 nF"),
        ("wiring.filter.x_capacitance", "0,1 µF", 1e-7, "100 nF"),
        ("wiring.filter.bleeder_resistance", "1M", 1e6, "1 MΩ"),
        ("wiring.switch_leakage", "470 kΩ", 470e3, "470 kΩ"),
        ("wiring.cut_out_leakage", "1.5 MΩ", 1.5e6, "1.5 MΩ"),
        ("wiring.electrode_resistance", "20", 20.0, "20 Ω"),
        ("wiring.element.open_at", "0,4", 0.4, "0.4"),
        ("household.floor_resistance", "5k", 5000.0, "5 kΩ"),
    ],
)
def test_a_number_is_typed_with_its_prefix_taken_back_and_read_again(
    fresh: Window, qtbot: QtBot, path: str, typed: str, number: float, shown: str
) -> None:
    before = fresh.desk.session.case
    enter(fresh, qtbot, path, typed)

    assert told(fresh, path) == number
    assert line(fresh, path).text() == shown
    fresh.desk.session.stack.undo()
    assert fresh.desk.session.case.wiring == before.wiring
    assert fresh.desk.session.case.household == before.household
    assert line(fresh, path).text() == ""

    fresh.desk.session.stack.redo()
    assert told(fresh, path) == number
    assert line(fresh, path).text() == shown
    enter(fresh, qtbot, path, "")
    assert told(fresh, path) is None


@pytest.mark.parametrize(
    ("path", "chosen", "member"),
    [
        ("wiring.cut_out", "Interrupts pole 1", SwitchPoles.POLE_1),
        ("wiring.earthing", "TT", Earthing.TT),
        ("wiring.supply_fault", "PEN interrupted", SupplyFault.PEN),
        ("wiring.second_part", "Separate", SecondPart.SEPARATE),
    ],
)
def test_a_choice_is_made_and_taken_back(fresh: Window, qtbot: QtBot, path: str, chosen: str, member: object) -> None:
    before = told(fresh, path)
    choose(fresh, qtbot, path, chosen)
    assert told(fresh, path) is member

    fresh.desk.session.stack.undo()
    assert told(fresh, path) is before


def test_a_unit_without_a_cut_out_is_not_said_to_have_no_switch(fresh: Window) -> None:
    found = field(fresh, "wiring.cut_out")
    assert isinstance(found, ChoiceField)

    assert found.box.currentText() == "None described"
    assert "switch" not in " ".join(found.box.itemText(row) for row in range(found.box.count())).casefold()


def test_one_field_of_a_record_leaves_the_others_alone(fresh: Window, qtbot: QtBot) -> None:
    element = Element(rated_voltage=230.0, rated_power=600.0)
    wiring = replace(fresh.desk.session.case.wiring, element=element, more_elements=(element,))
    fresh.desk.session.edit("Wiring", edits.set_wiring, wiring)
    enter(fresh, qtbot, "wiring.element.open_at", "0.4")
    enter(fresh, qtbot, "wiring.filter.y_capacitance_1", "2.2 nF")
    enter(fresh, qtbot, "wiring.filter.bleeder_resistance", "1 MΩ")

    now = fresh.desk.session.case.wiring
    assert now.element == replace(element, open_at=0.4)
    assert (now.filter.y_capacitance_1, now.filter.y_capacitance_2, now.filter.bleeder_resistance) == (
        2.2e-9,
        None,
        1e6,
    )
    assert now == replace(wiring, element=now.element, filter=now.filter)


@pytest.mark.parametrize(
    ("path", "typed"),
    [
        ("wiring.filter.y_capacitance_1", "2.2"),
        ("wiring.filter.y_capacitance_1", "2.2 Ω"),
        ("wiring.filter.y_capacitance_1", "about 2"),
        ("wiring.switch_leakage", "> 20 MΩ"),
        ("wiring.switch_leakage", "1 ± 0.1 MΩ"),
        ("wiring.switch_leakage", "OL"),
        ("wiring.electrode_resistance", "-20"),
        ("wiring.switch_leakage", "0"),
        ("wiring.filter.x_capacitance", "0 nF"),
        ("wiring.element.open_at", "1.4"),
        ("wiring.element.open_at", "-0.1"),
    ],
)
def test_what_cannot_be_is_said_under_the_field_and_stays(fresh: Window, qtbot: QtBot, path: str, typed: str) -> None:
    enter(fresh, qtbot, path, typed)

    assert told(fresh, path) is None
    assert line(fresh, path).text() == typed
    assert field(fresh, path)._remark.isVisibleTo(fresh)
    enter(fresh, qtbot, path, "")
    assert not field(fresh, path)._remark.isVisibleTo(fresh)


def test_a_pause_in_the_middle_of_a_number_moves_nothing(fresh: Window, qtbot: QtBot) -> None:
    edit = line(fresh, "wiring.switch_leakage")
    edit.setFocus()
    qtbot.keyClicks(edit, "1")
    qtbot.waitUntil(lambda: told(fresh, "wiring.switch_leakage") == 1.0, timeout=3000)
    qtbot.keyClicks(edit, "M")
    qtbot.keyClick(edit, Qt.Key.Key_Return)

    assert told(fresh, "wiring.switch_leakage") == 1e6


def test_a_resistance_of_the_supply_that_is_cleared_is_zero(fresh: Window, qtbot: QtBot) -> None:
    enter(fresh, qtbot, "wiring.line_resistance", "")

    assert told(fresh, "wiring.line_resistance") == 0.0


def test_an_untouched_case_shows_none_of_it_as_answered(fresh: Window) -> None:
    empty = Case(id="")
    group = next(group for group in GROUPS if group.title == "Further about the wiring")

    assert [group.name for group in GROUPS].index("Wiring") + 1 == GROUPS.index(group)
    for place in group.fields:
        assert told(fresh, place.path) == field_value(empty, place.path)
        assert not isinstance(field(fresh, place.path), AnswerField)

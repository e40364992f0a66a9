"""Fields say what was entered, and why something is not known."""

from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from hazardreport.app.pages.unit import UnitPage
from hazardreport.app.pages.unit_fields import GROUPS
from hazardreport.app.views.fields import AnswerField
from hazardreport.app.views.stated_field import StatedField
from hazardreport.app.window import Window
from hazardreport.case.circumstances import Answer, Consents
from hazardreport.case.stated import Standing, unknown, value


def unit(window: Window) -> UnitPage:
    page = window.pages["unit"]
    assert isinstance(page, UnitPage)
    return page


def stated_field(window: Window, path: str) -> StatedField:
    field = unit(window).fields[path]
    assert isinstance(field, StatedField)
    return field


def test_a_value_is_entered_by_leaving_the_field(fresh: Window, qtbot: QtBot) -> None:
    field = stated_field(fresh, "unit.model")
    field.text.edit.setFocus()
    qtbot.keyClicks(field.text.edit, "LK 6")
    qtbot.keyClick(field.text.edit, Qt.Key.Key_Tab)

    assert fresh.desk.session.case.unit.model == value("LK 6")
    assert fresh.desk.session.stack.undoText() == "Change Model"


def test_a_pause_in_typing_enters_the_value(fresh: Window, qtbot: QtBot) -> None:
    field = stated_field(fresh, "unit.model")
    qtbot.keyClicks(field.text.edit, "LK 6")

    qtbot.waitUntil(lambda: fresh.desk.session.case.unit.model == value("LK 6"), timeout=2000)


def test_an_unknown_value_keeps_its_reason(fresh: Window, qtbot: QtBot) -> None:
    field = stated_field(fresh, "unit.serial")
    field.choose_standing(Standing.UNKNOWN)
    qtbot.keyClicks(field.text.edit, "plate torn off")
    qtbot.keyClick(field.text.edit, Qt.Key.Key_Return)

    assert fresh.desk.session.case.unit.serial == unknown("plate torn off")
    assert field.text.edit.accessibleName() == "Serial number, unknown because"


def test_undo_shows_the_old_value_in_the_field(fresh: Window, qtbot: QtBot) -> None:
    field = stated_field(fresh, "unit.model")
    qtbot.keyClicks(field.text.edit, "LK 6")
    qtbot.keyClick(field.text.edit, Qt.Key.Key_Return)
    fresh.desk.session.stack.undo()

    assert field.text.edit.text() == ""


def test_what_is_no_number_is_said_under_the_field_and_stays(fresh: Window, qtbot: QtBot) -> None:
    field = unit(fresh).fields["wiring.nominal_voltage"]
    edit = field.edit  # type: ignore[attr-defined]
    qtbot.keyClicks(edit, "lots")
    qtbot.keyClick(edit, Qt.Key.Key_Return)

    assert fresh.desk.session.case.wiring.nominal_voltage is None
    assert edit.text() == "lots"
    assert field._remark.isVisibleTo(fresh)


def test_the_check_digit_of_a_barcode_is_said(fresh: Window, qtbot: QtBot) -> None:
    field = stated_field(fresh, "unit.barcode")
    qtbot.keyClicks(field.text.edit, "6291041500214")
    qtbot.keyClick(field.text.edit, Qt.Key.Key_Return)
    assert "does not fit" in field._remark.text()

    field.text.edit.clear()
    qtbot.keyClicks(field.text.edit, "6291041500213")
    qtbot.keyClick(field.text.edit, Qt.Key.Key_Return)
    assert field._remark.text() == "The check digit fits."


def test_a_statement_offers_yes_and_no_and_shows_not_known_only_where_a_case_holds_it(qtbot: QtBot) -> None:
    field = AnswerField("May be published", statement=True)
    qtbot.addWidget(field)
    unknown = field.buttons[Answer.UNKNOWN]
    shown = [answer for answer, button in field.buttons.items() if button.isVisibleTo(field)]
    assert shown == [Answer.YES, Answer.NO]

    field.show_value(Answer.UNKNOWN)
    assert unknown.isVisibleTo(field)
    assert unknown.isChecked()
    field.on_clicked(Answer.NO, True)
    assert not unknown.isVisibleTo(field)


def test_every_consent_is_a_statement() -> None:
    kinds = {place.path: place.kind for group in GROUPS for place in group.fields}
    asked = [path for path in kinds if path.startswith("consents.")]
    answers = {path for path in asked if isinstance(getattr(Consents(), path.partition(".")[2]), Answer)}

    assert {kinds[path] for path in answers} == {"statement"}
    assert len(answers) == 4

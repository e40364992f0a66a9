"""Comparing a table of the program with its document: typed blind, compared cell by cell, kept in the case."""

from collections.abc import Callable
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QLabel, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from hazardreport.app.dialogs.compare_table import CompareTableDialog, result_lines, table_of
from hazardreport.app.pages.findings import FindingsPage
from hazardreport.app.pages.findings_scenarios import ScenariosPlace
from hazardreport.app.window import Window
from hazardreport.case.case import Case
from hazardreport.case.confirmation import TableConfirmation
from hazardreport.standards.tables import all_tables, table_as_filed

LONG = 15_000
RISK_LEVEL = "eu-2019-417/risk-level"


@pytest.fixture
def dialog(qtbot: QtBot) -> CompareTableDialog:
    made = CompareTableDialog(Case(id="T-1"), RISK_LEVEL, "2026-06-01", "Ada Reader")
    qtbot.addWidget(made)
    return made


def type_into(dialog: CompareTableDialog, name: str, text: str) -> None:
    dialog.fields[name].edit.setText(text)


def read_aloud(dialog: CompareTableDialog, change: Callable[[str], str] = str) -> None:
    """Type every value cell as the program holds it, or changed; only a test can look behind."""
    held = table_of(RISK_LEVEL)
    first = len(held.arguments)
    for row, cells in enumerate(held.rows):
        for column in range(first, len(cells)):
            item = dialog.cells.item(row, column)
            assert item is not None
            item.setText(change(cells[column]))


def test_the_cells_are_empty_and_the_rows_are_named(dialog: CompareTableDialog) -> None:
    held = table_of(RISK_LEVEL)
    cells = dialog.cells.cells()

    assert [row[0] for row in cells] == [row[0] for row in held.rows]
    assert all(cell == "" for row in cells for cell in row[1:])
    assert not dialog.keep.isEnabled()
    assert dialog.fields["day"].text() == "2026-06-01"


def test_every_control_of_the_dialog_has_a_name(dialog: CompareTableDialog, qtbot: QtBot) -> None:
    dialog.show()
    controls: list[QWidget] = [dialog.table, dialog.reading, dialog.cells, dialog.outcome, dialog.compare, dialog.keep]
    controls += [field.edit for field in dialog.fields.values()]
    for control in controls:
        interface = QAccessible.queryAccessibleInterface(control)
        assert interface.text(QAccessible.Text.Name).strip(), control


def test_agreeing_cells_are_counted_and_a_differing_one_is_told(dialog: CompareTableDialog, qtbot: QtBot) -> None:
    type_into(dialog, "edition", table_of(RISK_LEVEL).citation.edition)
    type_into(dialog, "page", "40")
    read_aloud(dialog)
    item = dialog.cells.item(0, 1)
    assert item is not None
    item.setText("Q")
    qtbot.mouseClick(dialog.compare, Qt.MouseButton.LeftButton)

    told = dialog.outcome.toPlainText()
    assert "31 of 32 typed cells agree; the table has 32." in told
    assert "Q" in told


def test_the_words_of_the_levels_agree_as_the_letters_do(dialog: CompareTableDialog) -> None:
    assert "S or serious" in dialog.about.text()
    assert "small or capital" in dialog.about.text()
    read_aloud(dialog, {"S": "serious", "H": "High", "M": "medium", "L": "l"}.__getitem__)
    dialog.on_compare_clicked()

    assert "32 of 32" in dialog.outcome.toPlainText()


def test_a_comparison_without_page_says_that_it_does_not_count(dialog: CompareTableDialog) -> None:
    type_into(dialog, "edition", table_of(RISK_LEVEL).citation.edition)
    read_aloud(dialog)

    assert "lacks edition, page or the reader" in "\n".join(result_lines(dialog.confirmation()))


def test_cells_are_pasted_from_a_spreadsheet_and_never_onto_the_names(dialog: CompareTableDialog) -> None:
    dialog.cells.setCurrentCell(1, 0)
    dialog.cells.paste("M\tS\r\nL\tH\r\n")

    assert dialog.cells.cells()[1][:3] == (table_of(RISK_LEVEL).rows[1][0], "M", "S")
    assert dialog.cells.cells()[2][1:3] == ("L", "H")


def entered(window: Window, when_asked: Callable[..., list[Any]], act: Callable[[Any], object]) -> None:
    when_asked(CompareTableDialog, act)
    window.actions_of_case.compare.trigger()


def keep_all(dialog: CompareTableDialog) -> None:
    keys = dialog._keys
    dialog.table.setCurrentIndex(keys.index(RISK_LEVEL))
    dialog.on_table_chosen()
    for name, text in (("edition", table_of(RISK_LEVEL).citation.edition), ("page", "40"), ("name", "Ada Reader")):
        type_into(dialog, name, text)
    read_aloud(dialog)
    dialog.keep.click()


def test_a_kept_comparison_confirms_the_table_until_it_is_undone(
    demo: Window, qtbot: QtBot, when_asked: Callable[..., list[Any]]
) -> None:
    entered(demo, when_asked, keep_all)
    (given,) = demo.desk.session.case.confirmations
    assert (given.table, given.name, len(given.rows)) == (RISK_LEVEL, "Ada Reader", 8)
    assert demo._undo.text() == "&Undo Compare a Table"

    place = shown(demo)
    qtbot.waitUntil(lambda: "serious" in place.product.text(), timeout=LONG)
    qtbot.waitUntil(lambda: "from memory" not in place.product.text(), timeout=LONG)
    assert RISK_LEVEL not in offered(place)

    demo.desk.session.stack.undo()
    qtbot.waitUntil(lambda: "from memory" in place.product.text(), timeout=LONG)
    assert RISK_LEVEL in offered(place)


def shown(window: Window) -> ScenariosPlace:
    window.show_page("findings")
    page = window.pages["findings"]
    assert isinstance(page, FindingsPage)
    place = page.show_place("scenarios")
    assert isinstance(place, ScenariosPlace)
    return place


def offered(place: ScenariosPlace) -> dict[str, QPushButton]:
    buttons = [one for one in place.editor.result.marks.findChildren(QPushButton) if not one.isHidden()]
    return {str(button.property("table")): button for button in buttons}


def test_the_mark_from_memory_leads_to_its_table(
    demo: Window, qtbot: QtBot, when_asked: Callable[..., list[Any]]
) -> None:
    button = offered(shown(demo))[RISK_LEVEL]
    met = when_asked(CompareTableDialog, lambda dialog: (keys.append(dialog.key), dialog.reject()))
    keys: list[str] = []
    button.click()

    assert len(met) == 1
    assert keys == [RISK_LEVEL]
    assert not demo.desk.session.case.confirmations


def test_an_earlier_comparison_is_gone_on_with_and_can_be_removed(
    demo: Window, when_asked: Callable[..., list[Any]]
) -> None:
    entered(demo, when_asked, keep_all)

    def second_reader(dialog: CompareTableDialog) -> None:
        dialog.table.setCurrentIndex(dialog._keys.index(RISK_LEVEL))
        dialog.on_table_chosen()
        assert dialog.cells.cells()[0][1] == table_of(RISK_LEVEL).rows[0][1]
        type_into(dialog, "second_reader", "Bob Second")
        dialog.keep.click()

    entered(demo, when_asked, second_reader)
    (given,) = demo.desk.session.case.confirmations
    assert given.second_reader == "Bob Second"

    def take_out(dialog: CompareTableDialog) -> None:
        dialog.table.setCurrentIndex(dialog._keys.index(RISK_LEVEL))
        dialog.on_table_chosen()
        dialog.remove.click()

    entered(demo, when_asked, take_out)
    assert demo.desk.session.case.confirmations == ()
    demo.desk.session.stack.undo()
    assert demo.desk.session.case.confirmations == (given,)


def test_a_row_that_the_table_lacks_is_told() -> None:
    held = table_of(RISK_LEVEL)
    odd = TableConfirmation(
        id="confirmation-001", table=RISK_LEVEL, sha256=held.sha256, rows=(("> 7", "S", "", "", ""),)
    )

    assert "fit no row" in "\n".join(result_lines(odd))


def choose_table(dialog: CompareTableDialog, key: str) -> None:
    dialog.table.setCurrentIndex(dialog._keys.index(key))
    dialog.table.activated.emit(dialog.table.currentIndex())


def put(dialog: CompareTableDialog, row: int, column: int, text: str) -> None:
    item = dialog.cells.item(row, column)
    assert item is not None
    item.setText(text)


def test_what_was_typed_waits_while_another_table_is_shown(dialog: CompareTableDialog) -> None:
    other = next(key for key in dialog._keys if key != RISK_LEVEL)
    put(dialog, 0, 1, "H")
    type_into(dialog, "edition", "OJ 2019")
    typed = dialog.confirmation()
    choose_table(dialog, other)
    assert dialog.key == other
    assert not any(cell for row in dialog.cells.cells() for cell in row[len(table_of(other).arguments) :])
    assert dialog.fields["edition"].text() == ""
    assert table_of(RISK_LEVEL).citation.table in dialog.outcome.toPlainText()

    choose_table(dialog, RISK_LEVEL)
    assert dialog.confirmation() == typed
    assert typed.edition == "OJ 2019"


def test_what_was_typed_waits_while_an_earlier_comparison_is_shown(qtbot: QtBot) -> None:
    dialog = with_earlier(qtbot)
    put(dialog, 0, 1, "H")
    dialog.reading.setCurrentIndex(0)
    dialog.reading.activated.emit(0)
    assert dialog.confirmation().rows == ()
    put(dialog, 2, 1, "L")
    dialog.reading.setCurrentIndex(1)
    dialog.reading.activated.emit(1)
    assert dialog.cells.cells()[0][1] == "H"
    dialog.reading.setCurrentIndex(0)
    dialog.reading.activated.emit(0)

    assert [(row[0], row[1]) for row in dialog.confirmation().rows] == [(table_of(RISK_LEVEL).rows[2][0], "L")]


def with_earlier(qtbot: QtBot, *more: tuple[str, ...]) -> CompareTableDialog:
    """A dialog for a case whose comparison spells the arguments otherwise than the table."""
    held = table_of(RISK_LEVEL)
    rows = tuple((f" {row[0].replace(' ', '  ')}", *row[1:]) for row in held.rows)
    earlier = TableConfirmation(
        id="confirmation-001", table=RISK_LEVEL, sha256=held.sha256, name="Ada Reader", rows=(*rows, *more)
    )
    made = CompareTableDialog(Case(id="T-1", confirmations=(earlier,)), RISK_LEVEL, "2026-06-01", "Ada Reader")
    qtbot.addWidget(made)
    return made


def test_an_earlier_comparison_that_spells_rows_otherwise_is_whole(qtbot: QtBot) -> None:
    dialog = with_earlier(qtbot)

    assert dialog.confirmation().rows == table_of(RISK_LEVEL).rows
    assert result_lines(dialog.confirmation())[0].startswith("32 of 32 typed cells agree")


def test_rows_that_fit_none_stay_in_an_earlier_comparison(qtbot: QtBot) -> None:
    held = table_of(RISK_LEVEL)
    odd = (("> 7", "S", "", "", ""), ("short",), held.rows[0])
    dialog = with_earlier(qtbot, *odd)

    assert dialog.confirmation().rows == (*held.rows, *odd)
    assert "fit no row" in "\n".join(result_lines(dialog.confirmation()))


def test_comparisons_of_two_tables_are_kept_together(demo: Window, when_asked: Callable[..., list[Any]]) -> None:
    def type_two(dialog: CompareTableDialog) -> None:
        choose_table(dialog, RISK_LEVEL)
        put(dialog, 0, 1, "S")
        other = next(key for key in dialog._keys if key != RISK_LEVEL)
        choose_table(dialog, other)
        put(dialog, 0, len(table_of(other).arguments), "1")
        dialog.keep.click()

    entered(demo, when_asked, type_two)
    kept = demo.desk.session.case.confirmations

    assert [one.id for one in kept] == ["confirmation-001", "confirmation-002"]
    assert kept[1].table == RISK_LEVEL
    assert [len(one.rows) for one in kept] == [1, 1]


def test_tables_in_words_of_ours_are_not_in_the_list_and_the_dialog_says_why(dialog: CompareTableDialog) -> None:
    offered = [dialog.table.itemText(row) for row in range(dialog.table.count())]
    ours = [table_as_filed(*key) for key in all_tables() if table_as_filed(*key).own_words]
    assert ours
    assert not any(one.citation.table in text for one in ours for text in offered)
    said = " ".join(label.text() for label in dialog.findChildren(QLabel))
    assert "there are no digits to type" in said
    assert all(one.citation.table in said for one in ours)

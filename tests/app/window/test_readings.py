"""The plan behind its gate, the bench sheet as one types."""

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QApplication, QComboBox, QFileDialog, QLabel, QLineEdit
from pytestqt.qtbot import QtBot

from hazardreport import wording
from hazardreport.app.models.bench_columns import PLACES
from hazardreport.app.pages.readings import ReadingsPage
from hazardreport.app.window import Window
from hazardreport.case import edits
from hazardreport.case.circumstances import Answer, Competence
from hazardreport.case.reading import LoadKind, PlugPosition, Quantity

LONG = 12_000
COMPETENCE = Competence(name="T. Tester", qualification="electrician", permitted="own bench", stated="2026-06-01")


@pytest.fixture
def page(demo: Window, qtbot: QtBot) -> ReadingsPage:
    demo.show_page("readings")
    found = demo.pages["readings"]
    assert isinstance(found, ReadingsPage)
    qtbot.waitUntil(lambda: bool(found.plan.tests) and not found.desk.jobs.busy("plan"), timeout=LONG)
    return found


def shown_texts(window: Window) -> str:
    labels = [label.text() for label in window.findChildren(QLabel)]
    page = window.pages["readings"]
    assert isinstance(page, ReadingsPage)
    items = [page.plan_view.list.item(row).text() for row in range(page.plan_view.list.count())]
    tips = [page.plan_view.list.item(row).toolTip() for row in range(page.plan_view.list.count())]
    return "\n".join(labels + items + tips)


def start_typing(page: ReadingsPage, qtbot: QtBot, id: str) -> QLineEdit:
    page.on_reading_asked(id)
    qtbot.waitUntil(lambda: isinstance(QApplication.focusWidget(), QLineEdit), timeout=5000)
    editor = QApplication.focusWidget()
    assert isinstance(editor, QLineEdit)
    return editor


def test_without_competence_no_live_instruction_is_visible(page: ReadingsPage, demo: Window, qtbot: QtBot) -> None:
    live = [line for line in page.plan.lines if line.live]
    assert len(live) > 2
    instructions = {line.instruction for line in live} | {line.name for line in live}
    page.on_take_back_clicked()
    qtbot.waitUntil(lambda: len([line for line in page.plan.lines if line.live]) <= 2, timeout=LONG)

    for line in page.plan.lines:
        page.plan_view.choose(line.id)
        text = shown_texts(demo)
        assert not any(instruction in text for instruction in instructions)
        if line.live:
            assert page.plan_view.instruction.text().startswith("Ask a competent person to measure")
            assert not page.plan_view.enter.isVisible()
    assert wording.sentence("window.competence.closed") == page.gate.text()


def test_a_live_instruction_waits_for_its_cautions(page: ReadingsPage, qtbot: QtBot) -> None:
    session = page.desk.session
    session.edit("Forget", lambda case: edits.replace(case, cautions=()))
    qtbot.waitUntil(lambda: any(line.live and not line.kept for line in page.plan.lines), timeout=LONG)
    line = next(line for line in page.plan.lines if line.live and line.cautions)
    page.plan_view.choose(line.id)
    assert page.plan_view.instruction.text() == wording.sentence("window.readings.cautions_first")

    qtbot.mouseClick(page.plan_view.keep, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: page.plan_view.instruction.text() == line.instruction, timeout=LONG)
    test = page.plan.test(line.id)
    assert test is not None
    kept = {(one.caution, one.kept) for one in session.case.cautions if one.test == test.key}
    assert kept == {(key, Answer.YES) for key in test.cautions}


def test_picking_a_test_fills_the_row_in(page: ReadingsPage, qtbot: QtBot) -> None:
    case = page.desk.session.case
    line = next(line for line in page.plan.lines if line.live and line.readable and "47" in line.instruction)
    start_typing(page, qtbot, line.id)
    row = page.model.pending

    assert row is not None
    assert row.quantity is Quantity.VOLTAGE
    assert row.load.kind is LoadKind.RESISTOR
    assert row.first
    assert row.second
    assert page.desk.session.case.readings == case.readings


def test_what_was_understood_stands_beside_what_is_typed(page: ReadingsPage, qtbot: QtBot) -> None:
    line = next(line for line in page.plan.lines if line.readable and not line.live)
    editor = start_typing(page, qtbot, line.id)
    place = page.model.index(page.model.rowCount() - 1, PLACES["understood"])
    qtbot.keyClicks(editor, "12")
    assert str(place.data()).startswith("12")
    qtbot.keyClicks(editor, "x!")
    assert "not understood" in str(place.data())
    assert editor.text() == "12x!"


def test_enter_adds_the_reading_and_escape_adds_none(page: ReadingsPage, qtbot: QtBot) -> None:
    session = page.desk.session
    count = len(session.case.readings)
    line = next(line for line in page.plan.lines if line.readable and not line.live)
    editor = start_typing(page, qtbot, line.id)
    qtbot.keyClicks(editor, "0.02")
    qtbot.keyClick(editor, Qt.Key.Key_Return)

    qtbot.waitUntil(lambda: len(session.case.readings) == count + 1, timeout=5000)
    assert session.case.readings[-1].typed == "0.02"
    assert session.stack.undoText() == "Add Reading"


def test_enter_goes_to_the_next_test(fresh: Window, qtbot: QtBot) -> None:
    fresh.show_page("readings")
    page = fresh.pages["readings"]
    assert isinstance(page, ReadingsPage)
    qtbot.waitUntil(lambda: bool(page.plan.tests), timeout=LONG)
    readable = [line for line in page.plan.lines if line.readable]
    editor = start_typing(page, qtbot, readable[0].id)
    first = page.model.pending
    assert first is not None
    qtbot.keyClicks(editor, "0.01 V")
    qtbot.keyClick(editor, Qt.Key.Key_Return)

    qtbot.waitUntil(lambda: page.model.pending is not None and page.model.pending.id != first.id, timeout=LONG)
    assert page.plan_view.current != readable[0].id
    qtbot.waitUntil(lambda: isinstance(QApplication.focusWidget(), QLineEdit), timeout=5000)


def test_the_verdict_follows_what_is_being_typed(page: ReadingsPage, demo: Window, qtbot: QtBot) -> None:
    before = demo.verdict.sentence.text()
    row = next(
        row for row, reading in enumerate(page.desk.session.case.readings) if reading.quantity is Quantity.RESISTANCE
    )
    reading = page.model.reading(row)
    page.table.edit_value(reading.id)
    qtbot.waitUntil(lambda: isinstance(QApplication.focusWidget(), QLineEdit), timeout=5000)
    editor = QApplication.focusWidget()
    assert isinstance(editor, QLineEdit)
    assessed = []
    demo.desk.live.assessed.connect(lambda case, assessment: assessed.append(case))
    editor.selectAll()
    qtbot.keyClicks(editor, "99 ohm")

    qtbot.waitUntil(lambda: any(case.reading(reading.id).typed == "99 ohm" for case in assessed), timeout=LONG)
    assert page.desk.session.case.readings[row] is reading
    qtbot.keyClick(editor, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: assessed[-1].reading(reading.id).typed == reading.typed, timeout=LONG)
    assert demo.verdict.sentence.text() == before


def test_a_reading_that_cannot_be_understood_is_kept(page: ReadingsPage) -> None:
    reading = page.desk.session.case.readings[0]
    page.model.setData(page.model.index(0, PLACES["typed"]), "about nothing")

    assert page.desk.session.case.reading(reading.id).typed == "about nothing"  # type: ignore[union-attr]
    assert "about nothing" in page.model.fault(0)


def test_the_model_keeps_qts_rules_through_add_remove_and_undo(page: ReadingsPage, qtbot: QtBot) -> None:
    tester = QAbstractItemModelTester(page.model, QAbstractItemModelTester.FailureReportingMode.Warning)
    page.on_add_clicked()
    page.remove_readings([page.desk.session.case.readings[1].id])
    page.desk.session.stack.undo()
    page.model.show_pending(None)

    assert tester.model() is page.model
    assert page.model.rowCount() == len(page.desk.session.case.readings)


@pytest.mark.parametrize(
    ("text", "typed"),
    [
        pytest.param("A\tE\tvoltage\t117 V\tstraight\ton\r\n", "117 V", id="without-heads"),
        pytest.param(
            "first\tsecond\tquantity\tvalue\tplug\tswitch\r\nA\tE\tvoltage\t231\treversed\ton\r\n",
            "231",
            id="with-heads",
        ),
    ],
)
def test_rows_of_a_spreadsheet_are_pasted_as_one_step(page: ReadingsPage, text: str, typed: str) -> None:
    session = page.desk.session
    count = len(session.case.readings)
    page.on_paste_asked(text)

    assert len(session.case.readings) == count + 1
    assert session.case.readings[-1].typed == typed
    session.stack.undo()
    assert len(session.case.readings) == count


def test_pasted_rows_with_a_fault_change_nothing_and_say_where(page: ReadingsPage, demo: Window) -> None:
    before = page.desk.session.case
    page.on_paste_asked("A\tE\tloudness\t117 V\n")

    assert page.desk.session.case is before
    assert demo.strip.notice is not None


def test_a_bench_sheet_goes_out_and_comes_in(
    page: ReadingsPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, photo: Callable[[str], Path]
) -> None:
    target = tmp_path / "readings.csv"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(target), ""))
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: (str(target), ""))
    before = page.desk.session.case
    page.on_export_clicked()
    page.remove_readings([reading.id for reading in before.readings])
    assert page.desk.session.case.readings == ()
    page.on_import_clicked()

    assert page.desk.session.case.readings == before.readings


def test_a_choice_enters_a_member_of_its_enumeration(page: ReadingsPage, qtbot: QtBot) -> None:
    place = page.model.index(0, PLACES["plug"])
    page.table.setCurrentIndex(place)
    page.table.edit(place)
    box = page.table.viewport().findChild(QComboBox)
    assert box is not None
    box.setCurrentIndex(list(PlugPosition).index(PlugPosition.REVERSED))
    box.activated.emit(box.currentIndex())

    qtbot.waitUntil(lambda: page.desk.session.case.readings[0].state.plug is PlugPosition.REVERSED, timeout=3000)
    page.desk.session.stack.undo()
    assert page.desk.session.case.readings[0].state.plug is PlugPosition.UNPLUGGED


def test_a_load_is_typed(page: ReadingsPage) -> None:
    page.model.setData(page.model.index(0, PLACES["load"]), "lamp 230 V 40 W")

    load = page.desk.session.case.readings[0].load
    assert (load.kind, load.rated_voltage, load.rated_power) == (LoadKind.LAMP, 230.0, 40.0)

"""Opening, refusing, and what is told when something goes wrong."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QApplication, QInputDialog, QPushButton
from pytestqt.qtbot import QtBot

import hazardreport
from hazardreport.app.dialogs.competence import CompetenceDialog
from hazardreport.app.dialogs.instruments import InstrumentsDialog
from hazardreport.app.dialogs.new_case import NewCaseDialog
from hazardreport.app.notices import Level
from hazardreport.app.pages.report import ReportPage
from hazardreport.app.window import Window
from hazardreport.case.edits import choose_addressee
from hazardreport.case.reading import Instrument
from hazardreport.storage.journal import journalled_case

LONG = 20_000


def test_a_new_case_is_made_where_the_dialog_says(window: Window, qtbot: QtBot, tmp_path: Path) -> None:
    def fill() -> None:
        dialog = QApplication.activeModalWidget()
        assert isinstance(dialog, NewCaseDialog)
        dialog.title.setText("Kettle, office")
        dialog.number.setText("K 7/2026")
        dialog.place.setText(str(tmp_path))
        dialog._create.click()

    QTimer.singleShot(100, window, fill)
    qtbot.mouseClick(window.start.buttons["new"], Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: window.desk.session.has_case, timeout=LONG)

    assert window.desk.session.case.title == "Kettle, office"
    assert window.desk.session.folder == tmp_path / "K-7-2026"
    assert (tmp_path / "K-7-2026" / "case.json").is_file()


def test_a_folder_without_a_case_is_told(window: Window, qtbot: QtBot, tmp_path: Path) -> None:
    window.open_path(tmp_path)

    qtbot.waitUntil(lambda: window.strip.notice is not None, timeout=LONG)
    assert window.strip.notice is not None
    assert window.strip.notice.level is Level.PROBLEM
    assert not window.desk.session.has_case


def test_an_unknown_error_keeps_a_copy_first_and_names_the_version(fresh: Window, tmp_path: Path) -> None:
    fresh.tell_error(ZeroDivisionError("somewhere"))

    kept = next((tmp_path / "kept").iterdir())
    assert journalled_case(kept) == fresh.desk.session.case
    notice = fresh.strip.notice
    assert notice is not None
    assert hazardreport.__version__ in notice.what
    assert "ZeroDivisionError" in notice.details


def test_notices_are_put_away_one_by_one(fresh: Window, qtbot: QtBot) -> None:
    fresh.desk.notices.note("window.read_only")
    fresh.desk.notices.note("window.pictures.busy")
    qtbot.mouseClick(fresh.strip.dismiss, Qt.MouseButton.LeftButton)
    assert fresh.strip.notice is not None
    qtbot.mouseClick(fresh.strip.dismiss, Qt.MouseButton.LeftButton)

    assert fresh.strip.notice is None


def test_a_case_opened_before_is_offered_again(fresh: Window, qtbot: QtBot) -> None:
    folder = fresh.desk.session.folder
    assert folder is not None
    fresh.on_close_asked()
    names = [button.accessibleName() for button in fresh.start.findChildren(QPushButton)]

    assert f"Open {folder.name}" in names


def test_competence_is_stated_only_with_everything_said(window: Window) -> None:
    dialog = CompetenceDialog(window)
    dialog.name.setText("T. Tester")
    dialog.statement.setChecked(True)
    assert not dialog.state.isEnabled()
    dialog.qualification.setText("electrician")
    dialog.permitted.setText("own bench")

    assert dialog.state.isEnabled()


def test_instruments_are_entered_as_they_are_typed(window: Window, qtbot: QtBot) -> None:
    dialog = InstrumentsDialog((Instrument(id="instrument-001", name="Meter 1"),), window)
    edit = dialog.fields["input_resistance"].edit  # type: ignore[attr-defined]
    qtbot.keyClicks(edit, "10 M")
    qtbot.keyClick(edit, Qt.Key.Key_Return)
    dialog.on_range_add_clicked()
    item = dialog.ranges.item(0, 2)
    assert item is not None
    item.setText("0,8")

    (one,) = dialog._instruments
    assert one.input_resistance == 10e6
    assert one.accuracies[0].percent == 0.8


def test_why_something_is_absent_can_be_said(fresh: Window, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    fresh.desk.session.edit("Choose", choose_addressee, "eu-maker-notice")
    fresh.show_page("report")
    page = fresh.pages["report"]
    assert isinstance(page, ReportPage)
    monkeypatch.setattr(QInputDialog, "getText", lambda *_, **__: ("the unit was gone", True))
    button = next(
        button for button in page.elements.findChildren(QPushButton) if button.accessibleName().endswith("say why not")
    )
    button.click()

    assert [absence.reason for absence in fresh.desk.session.case.absences] == ["the unit was gone"]

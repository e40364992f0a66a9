"""As a person would: a new case, a picture, points, readings, the verdict, undo, export, close, reopen."""

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QApplication, QFileDialog, QLineEdit
from pytestqt.qtbot import QtBot

from hazardreport.app.pages.pictures import PicturesPage
from hazardreport.app.pages.readings import ReadingsPage
from hazardreport.app.pages.report import ReportPage
from hazardreport.app.pages.unit import UnitPage
from hazardreport.app.window import Window
from hazardreport.case import edits
from hazardreport.case.picture import Point, PointRole
from hazardreport.case.wiring import Plug, ProtectiveEarth, SwitchPoles
from hazardreport.severity.terms import SignalWord

LONG = 12_000
EXPORT = 60_000
"""How long an export may take on a machine that does other things too. [ms]"""


def page(window: Window, key: str) -> object:
    window.show_page(key)
    return window.pages[key]


def drop(target: PicturesPage, *paths: Path) -> None:
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    event = QDropEvent(
        QPointF(40, 40),
        Qt.DropAction.CopyAction,
        data,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    enter = QDragEnterEvent(
        QPoint(40, 40), Qt.DropAction.CopyAction, data, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    )
    QApplication.sendEvent(target, enter)
    QApplication.sendEvent(target, event)


def describe_wiring(window: Window, qtbot: QtBot) -> None:
    unit = page(window, "unit")
    assert isinstance(unit, UnitPage)
    for path, text in (
        ("wiring.nominal_voltage", "230"),
        ("wiring.frequency", "50"),
        ("wiring.cord_cores", "3"),
        ("wiring.element.rated_voltage", "230"),
        ("wiring.element.rated_power", "600"),
        ("wiring.circuit_breaker", "B16"),
    ):
        edit = unit.fields[path].edit  # type: ignore[attr-defined]
        edit.setFocus()
        edit.clear()
        qtbot.keyClicks(edit, text)
        qtbot.keyClick(edit, Qt.Key.Key_Return)
    for path, choice in (
        ("wiring.plug", Plug.REVERSIBLE),
        ("wiring.protective_earth", ProtectiveEarth.OPEN),
        ("wiring.switch", SwitchPoles.POLE_1),
    ):
        box = unit.fields[path].box  # type: ignore[attr-defined]
        box.setFocus()
        box.setCurrentIndex(list(type(choice)).index(choice))
        box.activated.emit(box.currentIndex())


def test_from_the_first_picture_to_the_reopened_case(
    fresh: Window,
    qtbot: QtBot,
    photo: Callable[[str], Path],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    open_folder: Callable[[Window, Path], None],
) -> None:
    session = fresh.desk.session
    describe_wiring(fresh, qtbot)
    assert session.case.wiring.nominal_voltage == 230.0
    assert session.case.wiring.switch is SwitchPoles.POLE_1

    pictures = page(fresh, "pictures")
    assert isinstance(pictures, PicturesPage)
    drop(pictures, photo("pot.jpg"))
    qtbot.waitUntil(lambda: len(session.case.pictures) == 1, timeout=LONG)
    view = pictures.view
    qtbot.mouseClick(pictures.tool_buttons[list(pictures.tool_buttons)[1]], Qt.MouseButton.LeftButton)
    qtbot.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=view.mapFromScene(QPointF(200, 120)))
    (spot,) = session.case.pictures[0].placements
    assert spot.letter == "A"
    assert abs(spot.x - 200) < 3

    qtbot.keyClick(view, Qt.Key.Key_Right)
    qtbot.keyClick(view, Qt.Key.Key_Return)
    assert [spot.letter for spot in session.case.pictures[0].placements] == ["A", "B"]

    for letter, role in (("A", PointRole.TOUCHABLE_PART), ("B", PointRole.PIN_1)):
        session.edit("Describe", edits.change_point, Point(letter=letter, role=role))

    readings = page(fresh, "readings")
    assert isinstance(readings, ReadingsPage)
    qtbot.waitUntil(lambda: bool(readings.plan.tests), timeout=LONG)
    for key, typed in (
        ("resistance_part.pin_1.touchable_part.on", "408.6 ohm"),
        ("resistance_part.pin_2.touchable_part.on", "336,7"),
        ("resistance_pins.pin_1.pin_2", "85.7"),
    ):
        readings.on_reading_asked(key)
        qtbot.waitUntil(lambda: isinstance(QApplication.focusWidget(), QLineEdit), timeout=LONG)
        editor = QApplication.focusWidget()
        count = len(session.case.readings)
        qtbot.keyClicks(editor, typed)
        row = readings.model.rowCount() - 1
        assert "Ω" in str(readings.model.index(row, 4).data())
        readings.table.delegate._done(editor)
        qtbot.waitUntil(lambda count=count: len(session.case.readings) == count + 1, timeout=LONG)
    assert [reading.typed for reading in session.case.readings] == ["408.6 ohm", "336,7", "85.7"]
    qtbot.waitUntil(
        lambda: fresh.verdict.signal_panel.word not in (SignalWord.NOT_ASSESSED, SignalWord.NONE_SHOWN), timeout=LONG
    )

    before = session.case
    session.stack.undo()
    assert len(session.case.readings) == 2
    session.stack.redo()
    assert session.case is before

    report = page(fresh, "report")
    assert isinstance(report, ReportPage)
    report.addressee.setCurrentIndex(report.addressee.findData("eu-maker-notice"))
    report.addressee.activated.emit(report.addressee.currentIndex())
    target = tmp_path / "out.pdf"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(target), ""))
    qtbot.waitUntil(lambda: not fresh.desk.jobs.busy("assess") and report.export_button.isEnabled(), timeout=EXPORT)
    qtbot.mouseClick(report.export_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: target.exists() or fresh.strip.notice is not None, timeout=EXPORT)
    assert target.exists(), fresh.strip.notice
    assert target.read_bytes().startswith(b"%PDF")

    folder = session.folder
    assert folder is not None
    session.save()
    last = session.case
    session.close()
    open_folder(fresh, folder)
    assert session.case == last


def test_the_demo_is_opened_as_a_copy(window: Window, qtbot: QtBot) -> None:
    from hazardreport.resources_dir import DEMO_CASE

    qtbot.mouseClick(window.start.buttons["demo"], Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: window.desk.session.has_case, timeout=LONG)

    assert window.desk.session.folder != DEMO_CASE
    qtbot.waitUntil(lambda: window.verdict.signal_panel.word is SignalWord.DANGER, timeout=LONG)
    assert all(figure.isVisibleTo(window) for figure in window.verdict.figures)


def test_every_page_can_be_visited_by_keyboard(demo: Window, qtbot: QtBot) -> None:
    for number, key in enumerate(demo.rail.buttons, 1):
        action = demo._page_actions[number - 1]
        assert action.shortcut().toString() == f"Ctrl+{number}"
        action.trigger()
        assert demo.stack.currentWidget() is demo.pages[key]


def test_a_narrow_window_folds_the_verdict_and_the_person_can_unfold_it(demo: Window, qtbot: QtBot) -> None:
    demo.resize(900, 600)
    qtbot.waitUntil(lambda: not demo.verdict.isVisible(), timeout=3000)
    qtbot.mouseClick(demo.unfold, Qt.MouseButton.LeftButton)

    assert demo.verdict.isVisible()
    assert demo.rect().contains(QPoint(1, 1))

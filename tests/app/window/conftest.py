"""The window as a person uses it, without a screen; every window is destroyed while the application lives."""

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import shiboken6
from PySide6.QtCore import QSettings, QTimer
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QApplication, QDialog
from pytestqt.qtbot import QtBot

from hazardreport.app.looks import LIGHT
from hazardreport.app.main import built_window
from hazardreport.app.opening import NewCaseWish, new_case
from hazardreport.app.window import Window
from hazardreport.resources_dir import DEMO_CASE

LONG = 15_000


@pytest.fixture
def made_window(qapp: QApplication, tmp_path: Path) -> Iterator[Callable[[], Window]]:
    """Makes windows and destroys them."""
    windows: list[Window] = []

    def make() -> Window:
        settings = QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat)
        window = built_window(qapp, settings, tmp_path / "kept")
        window.desk.looks.apply(LIGHT)
        windows.append(window)
        window.show()
        return window

    yield make
    for window in windows:
        if shiboken6.isValid(window):
            window.finish_typing()
            window.desk.live.forget()
            window.desk.jobs.close()
            for page in window.pages.values():
                page.leave()
            window.desk.session.abandon()
            shiboken6.delete(window)
    qapp.processEvents()


@pytest.fixture
def window(made_window: Callable[[], Window], qtbot: QtBot) -> Window:
    """A window without a case."""
    return made_window()


@pytest.fixture
def open_folder(qtbot: QtBot) -> Callable[[Window, Path], None]:
    """Opens a folder in a window and waits for its case."""

    def open_it(window: Window, folder: Path) -> None:
        window.open_path(folder)
        qtbot.waitUntil(lambda: window.desk.session.folder == folder, timeout=LONG)

    return open_it


@pytest.fixture
def fresh(window: Window, tmp_path: Path, qtbot: QtBot) -> Window:
    """A window with a new, empty case."""
    wish = NewCaseWish(id="T-1", title="Pot", folder=tmp_path / "T-1", created="2026-06-01T12:00:00Z")
    window.desk.session.adopt(new_case(wish))
    return window


@pytest.fixture
def demo(window: Window, tmp_path: Path, qtbot: QtBot, open_folder: Callable[[Window, Path], None]) -> Window:
    """A window with a copy of the demo case, assessed."""
    folder = tmp_path / "demo"
    shutil.copytree(DEMO_CASE, folder)
    open_folder(window, folder)
    qtbot.waitUntil(lambda: window.desk.live.assessment is not None, timeout=LONG)
    return window


@pytest.fixture
def photo(tmp_path: Path) -> Callable[[str], Path]:
    """Makes a JPEG file; pictures of different names differ."""

    def make(name: str) -> Path:
        image = QImage(640, 480, QImage.Format.Format_RGB32)
        image.fill(QColor("#8899aa"))
        painter = QPainter(image)
        painter.fillRect(20 + 7 * len(name), 40, 120, 90, QColor("#aa3322"))
        painter.end()
        path = tmp_path / name
        assert image.save(str(path))
        return path

    return make


@pytest.fixture
def when_asked(qapp: QApplication) -> Iterator[Callable[..., list[Any]]]:
    """Acts once on the next modal dialog of a kind, as a person would; what was acted on is put into the list."""
    timers: list[QTimer] = []

    def wait_for(kind: type[QDialog], act: Callable[[Any], object]) -> list[Any]:
        met: list[Any] = []
        timer = QTimer()
        timers.append(timer)

        def look() -> None:
            dialog = QApplication.activeModalWidget()
            if isinstance(dialog, kind) and not met:
                met.append(dialog)
                timer.stop()
                act(dialog)

        timer.timeout.connect(look)
        timer.start(20)
        return met

    yield wait_for
    for timer in timers:
        timer.stop()

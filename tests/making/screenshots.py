"""Pictures of every page of the window: light, dark, small, with large text, and at twice the resolution.

Run: .venv/bin/python tests/making/screenshots.py OUT [CASE]
"""

import argparse
import os
import shutil
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import shiboken6
from PySide6.QtCore import QSettings
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from hazardreport.app.looks import DARK, LIGHT, Scheme
from hazardreport.app.main import MAKERS, built_window
from hazardreport.app.window import Window
from hazardreport.resources_dir import DEMO_CASE

LANES = ("open", "assess", "plan", "picture", "pictures", "preview", "review", "check", "letters")


def wait(window: Window, until: Callable[[], bool], seconds: float = 40.0) -> None:
    """Run the event loop until something is so."""
    end = time.monotonic() + seconds
    while not until() and time.monotonic() < end:
        QApplication.processEvents()
        time.sleep(0.01)


def settle(window: Window) -> None:
    """Wait until no job runs and none is about to."""
    calm = time.monotonic() + 0.8
    end = time.monotonic() + 60
    while time.monotonic() < min(calm, end):
        if any(window.desk.jobs.busy(lane) for lane in LANES):
            calm = time.monotonic() + 0.8
        QApplication.processEvents()
        time.sleep(0.01)


def grab(window: Window, path: Path, ratio: float = 1.0) -> None:
    """The window as a PNG."""
    image = QImage(int(window.width() * ratio), int(window.height() * ratio), QImage.Format.Format_ARGB32)
    image.setDevicePixelRatio(ratio)
    window.render(image)
    image.save(str(path))


def shoot(window: Window, out: Path, name: str, ratio: float = 1.0) -> None:
    """Every page, with a number's calculation open on the Severity page."""
    for page in MAKERS:
        window.show_page(page)
        settle(window)
        grab(window, out / f"{name}-{page}.png", ratio)
        if page in ("review", "report"):
            tabs = window.pages[page].tabs
            first = tabs.currentIndex()
            for number in range(tabs.count()):
                if number != first and tabs.isTabVisible(number):
                    tabs.setCurrentIndex(number)
                    settle(window)
                    grab(window, out / f"{name}-{page}-{number}.png", ratio)
            tabs.setCurrentIndex(first)
        if page == "findings":
            for key in ("construction", "scenarios", "weighs"):
                place = window.pages["findings"].show_place(key)
                settle(window)
                sections = place.editor.sections if key == "scenarios" else place.sections
                bar = sections.area.verticalScrollBar()
                for share in (0, 1, 2, 3, 4):
                    bar.setValue(bar.maximum() * share // 4)
                    settle(window)
                    grab(window, out / f"{name}-findings-{key}-{share}.png", ratio)
                bar.setValue(0)
            window.pages["findings"].show_place("found")
        if page == "unit":
            sections = window.pages["unit"].sections
            bar = sections.area.verticalScrollBar()
            for share in (1, 2, 3):
                bar.setValue(bar.maximum() * share // 4)
                settle(window)
                grab(window, out / f"{name}-unit-{share}.png", ratio)
            bar.setValue(0)
        if page == "severity" and window.desk.live.assessment is not None:
            sections = window.pages["severity"].sections
            bar = sections.area.verticalScrollBar()
            for share in (1, 2, 3, 4):
                bar.setValue(bar.maximum() * share // 4)
                settle(window)
                grab(window, out / f"{name}-severity-{share}.png", ratio)
            bar.setValue(0)
            figures = window.desk.live.assessment.verdict.figures
            if figures:
                window.on_number_asked(figures[-1])
                settle(window)
                grab(window, out / f"{name}-severity-number.png", ratio)


def main() -> None:
    """Make all pictures."""
    parser = argparse.ArgumentParser()
    parser.add_argument("out", type=Path)
    parser.add_argument("case", type=Path, nargs="?", default=DEMO_CASE)
    parser.add_argument("--only", default="")
    arguments = parser.parse_args()
    arguments.out.mkdir(parents=True, exist_ok=True)
    application = QApplication(["screenshots"])
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "case"
        shutil.copytree(arguments.case, folder)
        settings = QSettings(str(Path(place) / "settings.ini"), QSettings.Format.IniFormat)
        window = built_window(application, settings, Path(place) / "kept")
        window.show()
        settle(window)
        grab(window, arguments.out / "start.png")
        window.open_path(folder)
        wait(window, lambda: window.desk.session.has_case)
        wait(window, lambda: window.desk.live.assessment is not None)
        views: tuple[tuple[str, Scheme, tuple[int, int], float, float], ...] = (
            ("light", LIGHT, (1280, 820), 1.0, 0.0),
            ("dark", DARK, (1280, 820), 1.0, 0.0),
            ("small", LIGHT, (900, 600), 1.0, 0.0),
            ("large-text", LIGHT, (1440, 900), 1.0, 19.0),
            ("twice", LIGHT, (1280, 820), 2.0, 0.0),
        )
        for name, scheme, size, ratio, points in views:
            if arguments.only and name not in arguments.only.split(","):
                continue
            window.desk.looks.apply(scheme, points)
            window.resize(*size)
            shoot(window, arguments.out, name, ratio)
        window.desk.session.close()
        window.desk.jobs.close()
        shiboken6.delete(window)


if __name__ == "__main__":
    main()

"""Builds the window's parts once and connects them; the only place that constructs them."""

import argparse
import sys
import threading
import types
from pathlib import Path

import shiboken6
from PySide6.QtCore import QObject, QSettings, Qt, QTimer, Signal
from PySide6.QtWidgets import QApplication

import hazardreport
from hazardreport.app.checking import CaseCheck
from hazardreport.app.desk import Desk
from hazardreport.app.jobs import Jobs
from hazardreport.app.live import LiveVerdict
from hazardreport.app.looks import Looks
from hazardreport.app.notices import Notices
from hazardreport.app.pages.findings import FindingsPage
from hazardreport.app.pages.pictures import PicturesPage
from hazardreport.app.pages.readings import ReadingsPage
from hazardreport.app.pages.report import ReportPage
from hazardreport.app.pages.review import ReviewPage
from hazardreport.app.pages.severity import SeverityPage
from hazardreport.app.pages.unit import UnitPage
from hazardreport.app.session import Session
from hazardreport.app.window import Window

SWITCH_INTERVAL = 0.0005
"""How long a job may hold the interpreter while the window waits. [s]

Measured while assessments run: the longest pause of the event loop falls from 0.3 s (at 5 ms) to 0.1 s.
"""

MAKERS = {
    "unit": UnitPage,
    "pictures": PicturesPage,
    "readings": ReadingsPage,
    "severity": SeverityPage,
    "findings": FindingsPage,
    "report": ReportPage,
    "review": ReviewPage,
}


class LastResort(QObject):
    """Brings exceptions that nobody caught, on whatever thread, to the window's thread."""

    met = Signal(object)

    def install(self) -> None:
        """Take the place of the interpreter's hooks."""
        sys.excepthook = self._hook
        threading.excepthook = self._thread_hook

    def remove(self) -> None:
        """Give the hooks back."""
        sys.excepthook = sys.__excepthook__
        threading.excepthook = threading.__excepthook__

    def _hook(self, kind: type[BaseException], error: BaseException, place: types.TracebackType | None) -> None:
        sys.__excepthook__(kind, error, place)
        if not issubclass(kind, KeyboardInterrupt):
            self.met.emit(error)

    def _thread_hook(self, arguments: threading.ExceptHookArgs) -> None:
        if arguments.exc_value is not None:
            self.met.emit(arguments.exc_value)


def built_window(application: QApplication, settings: QSettings, kept: Path | None = None) -> Window:
    """The window with everything that it works with."""
    looks = Looks(application)
    looks.follow_system()
    notices = Notices()
    jobs = Jobs()
    session = Session(notices, jobs, kept)
    live = LiveVerdict(jobs)
    checking = CaseCheck(session, jobs, notices)
    desk = Desk(session=session, notices=notices, jobs=jobs, live=live, looks=looks, checking=checking)
    window = Window(desk, MAKERS, settings)
    for part in (notices, jobs, session, live, checking):
        part.setParent(window)
    return window


def main(argv: list[str]) -> int:
    """Show the window; a path in `argv` is a case to open."""
    parser = argparse.ArgumentParser(prog="hazardreport")
    parser.add_argument("path", nargs="?", type=Path)
    arguments = parser.parse_args(argv)
    QApplication.setHighDpiScaleFactorRoundingPolicy(Qt.HighDpiScaleFactorRoundingPolicy.PassThrough)
    application = QApplication.instance() or QApplication(["hazardreport"])
    if not isinstance(application, QApplication):
        raise TypeError(type(application).__name__)
    sys.setswitchinterval(SWITCH_INTERVAL)
    application.setApplicationName("hazardreport")
    application.setApplicationVersion(hazardreport.__version__)
    window = built_window(application, QSettings("hazardreport", "hazardreport"))
    last_resort = LastResort()
    last_resort.met.connect(window.tell_error)
    last_resort.install()
    window.show()
    if arguments.path is not None:
        QTimer.singleShot(0, window, lambda: window.open_path(arguments.path))
    code = application.exec()
    last_resort.remove()
    window.desk.jobs.close()
    window.desk.session.stack.clear()
    shiboken6.delete(window)
    return code

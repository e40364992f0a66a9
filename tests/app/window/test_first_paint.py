"""Nothing heavy is imported before the first paint."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

from hazardreport.resources_dir import DEMO_CASE

PROGRAM = """
import os, sys
os.environ["QT_QPA_PLATFORM"] = "offscreen"
import shiboken6
from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication
from hazardreport.app.main import built_window
application = QApplication([])
window = built_window(application, QSettings(sys.argv[1], QSettings.Format.IniFormat))
window.show()
window.grab()
application.processEvents()
HEAVY = ("numpy", "scipy", "pint", "reportlab", "pikepdf", "PIL", "pypdfium2", "holidays", "icalendar")
print([name for name in HEAVY if name in sys.modules])
window.desk.jobs.close()
shiboken6.delete(window)
"""


def test_after_the_first_paint_nothing_heavy_is_loaded(tmp_path: Path) -> None:
    result = subprocess.run(
        [sys.executable, "-c", PROGRAM, str(tmp_path / "settings.ini")],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )

    assert result.returncode == 0, result.stderr
    assert result.stdout.strip() == "[]"


MAIN = """
import os, sys
os.environ["QT_QPA_PLATFORM"] = "offscreen"
from PySide6.QtCore import QStandardPaths, QTimer
from PySide6.QtWidgets import QApplication
QStandardPaths.setTestModeEnabled(True)
application = QApplication([])
from hazardreport.app.main import main
from hazardreport.app.window import Window
def close_when_assessed():
    window = next(w for w in application.topLevelWidgets() if isinstance(w, Window))
    if window.desk.live.assessment is None:
        QTimer.singleShot(100, close_when_assessed)
    else:
        print(window.desk.session.case.id, window.verdict.signal_panel.word.value)
        window.close()
QTimer.singleShot(100, close_when_assessed)
sys.exit(main([sys.argv[1]]))
"""


def test_the_program_opens_a_path_and_ends_cleanly(tmp_path: Path) -> None:
    folder = tmp_path / "case"
    shutil.copytree(DEMO_CASE, folder)
    result = subprocess.run(
        [sys.executable, "-c", MAIN, str(folder)],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
        env={**os.environ, "XDG_CONFIG_HOME": str(tmp_path), "HOME": str(tmp_path)},
    )

    assert result.returncode == 0, result.stderr
    assert result.stdout.strip() == "DEMO-2026-0512 DANGER"
    assert "Traceback" not in result.stderr

"""Nothing heavy is imported before the first paint."""

import subprocess
import sys
from pathlib import Path

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
print([name for name in ("numpy", "scipy", "pint", "reportlab", "pikepdf", "PIL", "pypdfium2") if name in sys.modules])
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

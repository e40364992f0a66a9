"""The Review page: problems first, the log field by field, anchors confirmed or not; what is told after opening."""

import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot

from hazardreport.app.models.text_table import TextTable
from hazardreport.app.pages.review import ReviewPage
from hazardreport.app.window import Window
from hazardreport.case import edits
from hazardreport.resources_dir import DEMO_CASE
from hazardreport.storage.folder import open_case, save_case

LONG = 20_000


def review(window: Window, qtbot: QtBot) -> ReviewPage:
    window.show_page("review")
    page = window.pages["review"]
    assert isinstance(page, ReviewPage)
    qtbot.waitUntil(lambda: "Checked" in page.answer.text(), timeout=LONG)
    return page


def test_the_model_keeps_to_the_rules_of_models(qtbot: QtBot) -> None:
    model = TextTable(("One", "Two"))
    tester = QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Warning)
    model.show_rows([("a", "b"), ("c", "d")])
    model.show_rows([("a", "b")])
    assert model.index(0, 1).data(Qt.ItemDataRole.AccessibleTextRole) == "Two: b"
    assert tester.model() is model


def test_the_log_is_told_in_lines_and_the_chosen_revision_field_by_field(demo: Window, qtbot: QtBot) -> None:
    session = demo.desk.session
    reading = session.case.readings[6]
    session.author = "Rosa Example"
    session.edit("Change", edits.change_reading, replace(reading, typed="231 V"))
    page = review(demo, qtbot)
    demo.on_save_asked()
    newest = str(session.revision)
    qtbot.waitUntil(lambda: page.log.revisions.texts.rows[0][0] == newest, timeout=LONG)
    page.log.revisions.choose(0)

    assert page.log.revisions.texts.rows[0][2:4] == (
        "Rosa Example",
        f"{reading.id}: value {reading.typed} → 231 V",
    )
    assert page.log.fields.texts.rows == ((f"{reading.id}: value", reading.typed, "231 V"),)
    assert page.anchors.table.texts.rows[0][1].endswith("confirmed by the log")


def test_rows_are_chosen_by_the_keyboard(demo: Window, qtbot: QtBot) -> None:
    page = review(demo, qtbot)
    page.tabs.setCurrentWidget(page.log)
    page.log.revisions.setFocus()
    before = page.log.chosen.text()
    qtbot.keyClick(page.log.revisions, Qt.Key.Key_Down)

    assert page.log.revisions.row == 1
    assert page.log.chosen.text() != before
    for widget in (page.files, page.log.revisions, page.log.fields, page.anchors.table, page.problems, page.tabs):
        assert QAccessible.queryAccessibleInterface(widget).text(QAccessible.Text.Name)


def test_a_case_without_an_anchor_says_so(fresh: Window, qtbot: QtBot) -> None:
    page = review(fresh, qtbot)
    assert page.anchors.answer.text().startswith("Not anchored")


@pytest.mark.parametrize("part", ["pictures/picture-002.jpg", "log.jsonl"])
def test_a_byte_changed_behind_the_back_is_told_after_opening(
    window: Window, qtbot: QtBot, tmp_path: Path, open_folder: Callable[[Window, Path], None], part: str
) -> None:
    folder = tmp_path / "demo"
    shutil.copytree(DEMO_CASE, folder)
    data = bytearray((folder / part).read_bytes())
    data[-2] ^= 1
    (folder / part).write_bytes(bytes(data))
    open_folder(window, folder)
    page = review(window, qtbot)

    assert page.answer.text().startswith("Not whole")
    assert page.files.texts.rows[0][:2] == (part, "▲  changed")
    assert window.strip.notice is not None
    told = " ".join(notice.what for notice in window.strip._notices)
    assert Path(part).name in told or "picture-002" in told
    if part == "log.jsonl":
        assert page.problems.isVisible()
        assert page.problems.toPlainText().startswith("▲ ")


def test_an_anchor_with_another_hash_is_not_confirmed(
    window: Window, qtbot: QtBot, tmp_path: Path, open_folder: Callable[[Window, Path], None]
) -> None:
    folder = tmp_path / "demo"
    shutil.copytree(DEMO_CASE, folder)
    opened = open_case(folder)
    false = tuple(replace(anchor, head="0" * 64) for anchor in opened.case.anchors)
    save_case(replace(opened.case, anchors=false), folder)
    opened.close()
    open_folder(window, folder)
    page = review(window, qtbot)

    assert page.anchors.table.texts.rows[0][1].startswith("▲")
    assert page.anchors.answer.text().startswith("Not anchored")


def test_a_case_that_another_process_has_open_is_shown_read_only_with_its_owner(
    window: Window, qtbot: QtBot, tmp_path: Path, open_folder: Callable[[Window, Path], None]
) -> None:
    folder = tmp_path / "demo"
    shutil.copytree(DEMO_CASE, folder)
    program = (
        "import sys; from pathlib import Path; from hazardreport.storage.folder import open_case\n"
        "held = open_case(Path(sys.argv[1])); print('open', flush=True); sys.stdin.read()"
    )
    with subprocess.Popen(
        [sys.executable, "-c", program, str(folder)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == "open\n"
        open_folder(window, folder)

        assert window.strip.saved.text().startswith("Read-only: open elsewhere (")
        assert str(other.pid) in window.strip.saved.text()
        assert not window.actions_of_case.erase.isEnabled()
        assert not window.desk.session.edit("Change Title", edits.set_title, "No")
        other.communicate()

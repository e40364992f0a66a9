"""Addressee, what is missing, preview, export."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog, QPushButton
from pytestqt.qtbot import QtBot

from hazardreport.app.notices import Level
from hazardreport.app.pages.report import ReportPage
from hazardreport.app.pages.unit import UnitPage
from hazardreport.app.window import Window
from hazardreport.case import edits
from hazardreport.case.stated import Stated

LONG = 40_000


@pytest.fixture
def page(demo: Window) -> ReportPage:
    demo.show_page("report")
    found = demo.pages["report"]
    assert isinstance(found, ReportPage)
    return found


def test_the_preview_shows_the_pages_and_keeps_them_until_the_new_ones_are_there(
    page: ReportPage, qtbot: QtBot
) -> None:
    qtbot.waitUntil(lambda: page.pages.page_count > 3, timeout=LONG)
    count = page.pages.page_count
    bar = page.pages.verticalScrollBar()
    qtbot.waitUntil(lambda: bar.maximum() > 500, timeout=5000)
    bar.setValue(400)
    arrived = []
    page.desk.jobs.lane_busy.connect(lambda lane, busy: arrived.append((lane, busy)))
    page.desk.session.edit("Change Title", edits.set_title, "Another title")

    qtbot.waitUntil(lambda: ("preview", True) in arrived, timeout=LONG)
    assert page.pages.page_count == count
    assert bar.value() == 400
    qtbot.waitUntil(lambda: ("preview", False) in arrived, timeout=LONG)
    assert bar.value() == 400


def test_a_missing_element_is_named_and_leads_to_its_field(page: ReportPage, demo: Window, qtbot: QtBot) -> None:
    page.desk.session.edit("Forget", edits.set_unit_field, "maker", Stated())
    qtbot.waitUntil(lambda: page.summary.text().startswith("1 of "), timeout=LONG)
    links = [button for button in page.elements.findChildren(QPushButton) if "missing" in button.accessibleName()]
    link = min(links, key=lambda button: button.mapTo(page, button.pos()).y())
    qtbot.mouseClick(link, Qt.MouseButton.LeftButton)

    unit = demo.pages["unit"]
    assert isinstance(unit, UnitPage)
    qtbot.waitUntil(lambda: unit.fields["unit.maker"].text.edit.hasFocus(), timeout=3000)  # type: ignore[attr-defined]


def test_an_export_that_cannot_be_written_is_told(
    page: ReportPage, demo: Window, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "no-such-folder" / "out.pdf"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(target), ""))
    qtbot.waitUntil(page.export_button.isEnabled, timeout=LONG)
    qtbot.mouseClick(page.export_button, Qt.MouseButton.LeftButton)

    qtbot.waitUntil(lambda: demo.strip.notice is not None, timeout=LONG)
    assert demo.strip.notice is not None
    assert demo.strip.notice.level is Level.PROBLEM
    assert not target.exists()

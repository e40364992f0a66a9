"""The Report page tells the same as the command line: nothing is missing for one addressee, two things for another."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QLabel, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from hazardreport.addressees.profiles import profile
from hazardreport.app.pages.report import ReportPage
from hazardreport.app.window import Window

LONG = 60_000
MISSING = ("submitter_category", "consent_to_publication")


@pytest.fixture
def page(demo: Window, qtbot: QtBot) -> ReportPage:
    demo.show_page("report")
    found = demo.pages["report"]
    assert isinstance(found, ReportPage)
    qtbot.waitUntil(found.export_button.isEnabled, timeout=LONG)
    return found


def choose(page: ReportPage, key: str, qtbot: QtBot) -> None:
    """As a person does with the keyboard: into the list, to the addressee, Enter."""
    page.addressee.setFocus(Qt.FocusReason.TabFocusReason)
    qtbot.keyClick(page.addressee, Qt.Key.Key_Home)
    for _ in range(page.addressee.findData(key)):
        qtbot.keyClick(page.addressee, Qt.Key.Key_Down)
    qtbot.waitUntil(lambda: page.desk.session.case.addressee == key, timeout=LONG)


def seen(widget: QWidget) -> list[str]:
    """Every text that the widget shows, in the order in which it stands."""
    shown = [one for one in widget.findChildren(QWidget) if isinstance(one, QLabel | QPushButton) and one.isVisible()]
    shown.sort(key=lambda one: one.mapTo(widget, QPoint()).y())
    return [one.text() for one in shown]


def named_missing(page: ReportPage) -> list[str]:
    """Names of the elements whose link says, to eye and reader, that they are missing."""
    links = [one for one in page.elements.findChildren(QPushButton) if ", missing: " in one.accessibleName()]
    return [one.text() for one in links if one.isVisible()]


def test_the_two_things_that_the_agency_lacks_are_named(page: ReportPage, qtbot: QtBot) -> None:
    choose(page, "us-agency-harm", qtbot)
    elements = [profile("us-agency-harm").element(key) for key in MISSING]

    qtbot.waitUntil(lambda: page.summary.text().startswith("2 of "), timeout=LONG)
    assert page.summary.isVisible()
    qtbot.waitUntil(lambda: {element.name for element in elements} <= set(named_missing(page)), timeout=LONG)
    texts = seen(page.elements)
    place = texts.index("Required, missing")
    shown = " ".join(texts[place : texts.index("Required")])
    for element in elements:
        assert element.name in shown
        assert element.without in shown


def test_nothing_that_the_maker_is_owed_is_missing(page: ReportPage, qtbot: QtBot) -> None:
    choose(page, "us-agency-harm", qtbot)
    qtbot.waitUntil(lambda: page.summary.text().startswith("2 of "), timeout=LONG)

    choose(page, "eu-maker-notice", qtbot)

    qtbot.waitUntil(lambda: page.summary.text().startswith("Complete"), timeout=LONG)
    assert "Required, missing" not in seen(page.elements)

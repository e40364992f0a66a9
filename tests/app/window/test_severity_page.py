"""Results on the Severity page; every number opens its calculation."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from hazardreport.app.pages.review import ReviewPage
from hazardreport.app.pages.severity import SeverityPage
from hazardreport.app.window import Window


@pytest.fixture
def page(demo: Window) -> SeverityPage:
    demo.show_page("severity")
    found = demo.pages["severity"]
    assert isinstance(found, SeverityPage)
    return found


def test_every_table_of_the_demo_has_rows(page: SeverityPage, qtbot: QtBot) -> None:
    qtbot.waitUntil(
        lambda: all(table.isVisibleTo(page) for key, table in page.tables.items() if key != "pins"), timeout=5000
    )

    assert set(page.tables) == {
        "states",
        "exposures",
        "routes",
        "parameters",
        "residuals",
        "devices",
        "built",
        "limits",
        "rivals",
        "population",
        "pins",
    }
    assert not page.tables["pins"].isVisibleTo(page)


def test_every_number_opens_its_calculation(page: SeverityPage, demo: Window, qtbot: QtBot) -> None:
    assessment = demo.desk.live.assessment
    assert assessment is not None
    buttons = [b for table in page.tables.values() for b in table.findChildren(QPushButton) if b.property("number")]
    assert len(buttons) > 30
    for button in buttons:
        number = assessment.number(str(button.property("number")))
        button.click()
        text = page.calculation.text.toPlainText()
        assert number.name in text
        assert number.equation in text


def test_a_number_of_the_verdict_opens_its_calculation(page: SeverityPage, demo: Window, qtbot: QtBot) -> None:
    demo.show_page("unit")
    figure = demo.verdict.figures[2]
    qtbot.mouseClick(figure.findChild(QPushButton), Qt.MouseButton.LeftButton)

    assert demo.stack.currentWidget() is page
    assert page.calculation.isVisible()


def test_review_finds_a_changed_picture(demo: Window, qtbot: QtBot) -> None:
    demo.show_page("review")
    page = demo.pages["review"]
    assert isinstance(page, ReviewPage)
    qtbot.waitUntil(lambda: page.answer.text().startswith("Whole"), timeout=10_000)
    picture = demo.desk.session.pictures_folder / demo.desk.session.case.pictures[0].file
    picture.write_bytes(picture.read_bytes() + b"\0")
    qtbot.mouseClick(page.again, Qt.MouseButton.LeftButton)

    qtbot.waitUntil(lambda: page.answer.text().startswith("Not whole"), timeout=10_000)
    states = [row[1] for row in page.files.texts.rows]
    assert any("changed" in state for state in states)

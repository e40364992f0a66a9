"""Tables of numbers: no number is ever cut off, whatever the width."""

import pytest
from PySide6.QtWidgets import QLabel, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from hazardreport.app.pages.severity import SeverityPage
from hazardreport.app.views.fact_table import Cell, FactTable, NumberCell
from hazardreport.app.window import Window

SIZES = ((1280, 820), (900, 600))
WIDE: tuple[list[Cell], ...] = (
    [
        "plug reversed, switch off, protective earth connected, cut-out open",
        *(NumberCell(id=f"n{column}", text="123.45 mA ± 12.34 mA *", name="current") for column in range(5)),
        "established",
    ],
    ["plug straight", "–", "> 99.9 %", *(NumberCell(id="n", text="5 V", name="voltage") for _ in range(3)), "no"],
)


def needed(widget: QPushButton | QLabel) -> int:
    """Width of the widget's widest line."""
    return max(widget.fontMetrics().horizontalAdvance(line) for line in widget.text().split("\n"))


def lines_high(widget: QPushButton) -> int:
    """Height of the widget's lines."""
    return widget.fontMetrics().lineSpacing() * len(widget.text().split("\n"))


def content_of(table: FactTable) -> QWidget:
    """What the table moves sideways."""
    content = table.widget()
    assert content is not None
    return content


def cut_off(table: FactTable) -> list[str]:
    """Texts of columns of numbers that have less room than they need."""
    buttons = table.findChildren(QPushButton)
    short = [one.text() for one in buttons if one.width() < needed(one) or one.height() < lines_high(one)]
    labels = (label for label in table.findChildren(QLabel) if not label.wordWrap())
    return short + [label.text() for label in labels if label.width() < needed(label)]


@pytest.mark.parametrize("size", SIZES)
def test_no_number_of_the_demo_is_cut_off(demo: Window, qtbot: QtBot, size: tuple[int, int]) -> None:
    demo.resize(*size)
    demo.show_page("severity")
    page = demo.pages["severity"]
    assert isinstance(page, SeverityPage)
    qtbot.waitUntil(lambda: page.tables["rivals"].isVisibleTo(page), timeout=5000)
    shown = [table for table in page.tables.values() if table.isVisible()]
    assert len(shown) > 8
    qtbot.waitUntil(lambda: all(table.height() >= content_of(table).height() > 60 for table in shown), timeout=5000)

    for table in shown:
        assert cut_off(table) == []


@pytest.mark.parametrize("width", [1400, 660, 560, 300])
def test_no_number_of_a_wide_table_is_cut_off(qtbot: QtBot, width: int) -> None:
    table = FactTable(["State", "a", "b", "c", "d", "e", "Known"], numbers=(1, 2, 3, 4, 5))
    qtbot.addWidget(table)
    table.resize(width, 400)
    table.show()
    table.show_rows(WIDE)
    qtbot.wait(20)

    assert cut_off(table) == []
    assert all(label.wordWrap() for label in table.findChildren(QLabel) if len(label.text()) > 12)
    assert table.height() >= content_of(table).height()
    assert table.horizontalScrollBar().maximum() == max(0, content_of(table).width() - table.viewport().width())


def test_the_uncertainty_goes_to_a_second_line_only_where_there_is_no_room(qtbot: QtBot) -> None:
    table = FactTable(["State", "a", "b", "c", "d", "e", "Known"], numbers=(1, 2, 3, 4, 5))
    qtbot.addWidget(table)
    table.show()
    table.show_rows(WIDE)
    texts = []
    for width in (1400, 660, 1400):
        table.resize(width, 400)
        qtbot.wait(20)
        texts.append(table.findChildren(QPushButton)[0].text())

    assert texts == ["123.45 mA ± 12.34 mA *", "123.45 mA\n± 12.34 mA *", "123.45 mA ± 12.34 mA *"]
    name = table.findChildren(QPushButton)[0].accessibleName()
    assert name == "current: 123.45 mA ± 12.34 mA *"

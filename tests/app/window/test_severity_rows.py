"""What the rows of the Severity page say: shares, probabilities, contacts, problems; each once."""

import dataclasses
import re

import pytest
from PySide6.QtWidgets import QLabel, QPushButton
from pytestqt.qtbot import QtBot

from hazardreport.app.pages import severity_rows
from hazardreport.app.pages.severity import SeverityPage
from hazardreport.app.problem_lines import problem_lines
from hazardreport.app.shares import probability, share_of_adults
from hazardreport.app.views.fact_table import NumberCell
from hazardreport.app.window import Window
from hazardreport.assess.records import Assessment, Problem
from hazardreport.severity.terms import ContactArea

SHARE = re.compile(r"(about \d{1,2} %|about \d\.\d %|about 0\.\d\d? %|nearly all|fewer than 1 %)( \*)?")


@pytest.fixture
def assessment(demo: Window, qtbot: QtBot) -> Assessment:
    live = demo.desk.live
    qtbot.waitUntil(lambda: live.assessment is not None and live.assessment.settled is not None, timeout=30_000)
    found = live.assessment
    assert found is not None
    return found


@pytest.mark.parametrize("thousandths", range(1001))
def test_no_percentage_is_in_powers_of_ten(thousandths: int) -> None:
    assert SHARE.fullmatch(share_of_adults(thousandths / 1000))
    assert re.fullmatch(r"< 0\.1 %|> 99\.9 %|\d{1,2} %|\d{1,2}\.\d %|0\.\d\d %", probability(thousandths / 1000))


def test_shares_are_words_that_open_their_calculation(assessment: Assessment) -> None:
    state = assessment.verdict.headline
    rows = severity_rows.population_rows(assessment, state)
    lines = severity_rows.population_lines(assessment, state)

    assert rows
    assert lines
    assert len(set(lines)) == len(lines)
    for row in rows:
        assert len(row) == 5
        for cell in row[1:]:
            assert isinstance(cell, NumberCell)
            assert SHARE.fullmatch(cell.text)
            assert share_of_adults(assessment.number(cell.id).measured.value) == cell.text.removesuffix(" *")


def test_a_smaller_area_is_one_row_with_three_percentiles(assessment: Assessment) -> None:
    state = assessment.verdict.headline
    large = [
        one for one in assessment.exposures if one.state == state and one.area is ContactArea.LARGE and not one.own
    ]
    small = [dataclasses.replace(one, area=ContactArea.MEDIUM) for one in large]
    own = [dataclasses.replace(large[0], own="wet gloves"), dataclasses.replace(small[0], own="a fingertip")]
    with_all = dataclasses.replace(assessment, exposures=(*large, *small, *own))
    usual = severity_rows.exposure_rows(dataclasses.replace(assessment, exposures=tuple(large)), state)
    rows = severity_rows.exposure_rows(with_all, state)

    assert len(rows) == 2 * len(usual) + 2
    assert rows[: len(usual)] == usual
    for plain, further in zip(usual, rows[len(usual) : -2], strict=True):
        assert str(further[0]).endswith("(smaller area of contact, approximate)")
        assert further[1:] == plain[1:]
        assert all(isinstance(cell, NumberCell) for cell in further[1:4])
    assert [row[0] for row in rows[-2:]] == [
        f"{large[0].skin.value}, {large[0].path.value} (wet gloves)",
        f"{large[0].skin.value}, {large[0].path.value} (a fingertip, smaller area of contact, approximate)",
    ]
    assert [sum(cell == "–" for cell in row[1:4]) for row in rows[-2:]] == [2, 2]


def test_a_problem_is_told_once_with_the_readings_that_have_it() -> None:
    def problem(key: str, number: int) -> Problem:
        return Problem(kind="reading", id=f"reading-{number:03}", key=key, fields=(), gentle=key == "no_picture")

    lines = problem_lines([problem("no_picture", 1), problem("not_proved", 1), problem("no_picture", 2)])

    assert [line.ids for line in lines] == [("reading-001",), ("reading-001", "reading-002")]
    assert [line.counted for line in lines] == [False, True]
    assert "2" in lines[1].text


def test_the_page_names_the_readings_of_each_problem(demo: Window, assessment: Assessment, qtbot: QtBot) -> None:
    demo.show_page("severity")
    page = demo.pages["severity"]
    assert isinstance(page, SeverityPage)
    told = problem_lines(assessment.problems)
    assert any(len(line.ids) > 1 for line in told)
    qtbot.waitUntil(lambda: page.problems.count() == max(1, len(told)), timeout=5000)

    labels = page.problem_card.findChildren(QLabel)
    for line in told:
        assert any(line.text in label.text() and all(one in label.text() for one in line.ids) for label in labels)


def test_the_ring_goes_with_the_mark_and_a_hidden_section_is_never_marked(demo: Window, qtbot: QtBot) -> None:
    demo.show_page("severity")
    page = demo.pages["severity"]
    assert isinstance(page, SeverityPage)
    qtbot.waitUntil(lambda: page.tables["limits"].isVisibleTo(page), timeout=5000)
    links = {b.text(): b for b in page.sections.findChildren(QPushButton) if b.property("role") == "link"}
    demo.activateWindow()
    links["States"].setFocus()
    qtbot.waitUntil(links["States"].hasFocus, timeout=5000)
    bar = page.sections.area.verticalScrollBar()
    qtbot.waitUntil(lambda: bar.maximum() > 1000, timeout=5000)
    assert not links["Unplugged"].isVisible()
    for value in range(0, bar.maximum(), 97):
        bar.setValue(value)
        marked = [name for name, link in links.items() if link.isChecked()]
        assert len(marked) == 1
        assert marked != ["Unplugged"]
        assert links[marked[0]].hasFocus()

    links["Source"].click()
    assert links["Source"].isChecked()

"""Construction requirements as a person answers them, and the class of protection that follows."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QListWidget, QMenu, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from hazardreport.app.pages.findings import FindingsPage
from hazardreport.app.pages.findings_construction import ConstructionPlace
from hazardreport.app.pages.findings_found import FoundPlace
from hazardreport.app.views.fact_table import FactTable
from hazardreport.app.views.requirement_row import RequirementRow
from hazardreport.app.window import Window
from hazardreport.case import edits
from hazardreport.case.circumstances import FindingAnswer
from hazardreport.case.requirement import RequirementAnswer
from hazardreport.risk.requirements import requirements

LONG = 15_000
PLATE = requirements()[0].key


def shown(window: Window, qtbot: QtBot) -> ConstructionPlace:
    window.show_page("findings")
    page = window.pages["findings"]
    assert isinstance(page, FindingsPage)
    place = page.show_place("construction")
    assert isinstance(place, ConstructionPlace)
    qtbot.waitUntil(lambda: len(place.rows) == len(requirements()), timeout=LONG)
    return place


def words(widget: QWidget) -> str:
    return "\n".join(label.text() for label in widget.findChildren(QLabel) if label.isVisibleTo(widget))


def press(qtbot: QtBot, row: RequirementRow, answer: FindingAnswer) -> None:
    qtbot.mouseClick(row.buttons[answer], Qt.MouseButton.LeftButton)


def test_every_requirement_has_a_row_with_what_to_look_for(fresh: Window, qtbot: QtBot) -> None:
    place = shown(fresh, qtbot)

    for entry in requirements():
        told = words(place.rows[entry.key])
        assert entry.name in told
        assert entry.look_for in told


def test_an_answer_is_given_changed_and_taken_back_by_pressing_it_again(fresh: Window, qtbot: QtBot) -> None:
    row = shown(fresh, qtbot).rows[PLATE]
    session = fresh.desk.session
    press(qtbot, row, FindingAnswer.SEEN)
    assert session.case.requirements == (RequirementAnswer(id=PLATE, answer=FindingAnswer.SEEN),)
    assert fresh._undo.text() == f"&Undo Answer: {row.text.name}"
    press(qtbot, row, FindingAnswer.COULD_NOT_CHECK)
    assert session.case.requirements[0].answer is FindingAnswer.COULD_NOT_CHECK
    press(qtbot, row, FindingAnswer.COULD_NOT_CHECK)
    assert session.case.requirements == ()
    assert not any(button.isChecked() for button in row.buttons.values())

    session.stack.undo()
    assert row.buttons[FindingAnswer.COULD_NOT_CHECK].isChecked()
    session.stack.undo()
    assert row.buttons[FindingAnswer.SEEN].isChecked()


def test_an_answer_keeps_its_note_when_it_changes(fresh: Window, qtbot: QtBot) -> None:
    row = shown(fresh, qtbot).rows[PLATE]
    press(qtbot, row, FindingAnswer.SEEN)
    row.more.click()
    assert row.note is not None
    row.note.edit.setFocus()
    qtbot.keyClicks(row.note.edit, "riveted to the underside")
    qtbot.keyClick(row.note.edit, Qt.Key.Key_Return)
    press(qtbot, row, FindingAnswer.NOT_SEEN)

    (answer,) = fresh.desk.session.case.requirements
    assert (answer.answer, answer.note) == (FindingAnswer.NOT_SEEN, "riveted to the underside")


def test_an_answer_that_nothing_shows_is_kept_and_flagged_until_something_is_tied(demo: Window, qtbot: QtBot) -> None:
    demo.desk.session.edit("Clear", lambda case: replace(case, requirements=()))
    row = shown(demo, qtbot).rows[PLATE]
    press(qtbot, row, FindingAnswer.SEEN)
    qtbot.waitUntil(lambda: "Unsupported so far" in words(row), timeout=LONG)

    row.more.click()
    assert row.ticks is not None
    row.ticks.toggle.click()
    row.ticks.lists["pictures"].item(1).setCheckState(Qt.CheckState.Checked)
    assert demo.desk.session.case.requirements[0].pictures == (demo.desk.session.case.pictures[1].id,)
    qtbot.waitUntil(lambda: "Unsupported so far" not in words(row), timeout=LONG)


def test_a_reading_that_decides_stands_with_its_limit_and_opens_its_calculation(demo: Window, qtbot: QtBot) -> None:
    place = shown(demo, qtbot)
    assessment = demo.desk.live.assessment
    assert assessment is not None
    compared = [state for state in assessment.requirements if state.comparison is not None]
    assert compared
    for state in compared:
        assert state.comparison is not None
        (table,) = place.rows[state.key].findChildren(FactTable)
        shown_words = " ".join(label.text() for label in table.findChildren(QLabel))
        assert state.comparison.decision.value in shown_words
        numbers = [str(button.property("number")) for button in table.findChildren(QPushButton)]
        assert numbers == [state.comparison.number, state.comparison.limit]
    button = place.rows[compared[0].key].findChild(FactTable).findChild(QPushButton)
    button.click()

    assert demo.stack.currentWidget() is demo.pages["severity"]


def test_the_class_follows_from_the_wiring_and_contradictions_are_shown(demo: Window, qtbot: QtBot) -> None:
    place = shown(demo, qtbot)
    qtbot.waitUntil(lambda: "class I" in words(place.reasons), timeout=LONG)
    square = RequirementAnswer(id="double-square", answer=FindingAnswer.SEEN, pictures=("picture-002",))
    assert any(entry.key == square.id for entry in requirements())
    demo.desk.session.edit("Answer", edits.answer_requirement, square)
    qtbot.waitUntil(lambda: "▲" in words(place.reasons), timeout=LONG)

    links = [one for one in place.reasons.findChildren(QPushButton) if one.accessibleName().startswith("Show")]
    assert len(links) >= 3


def test_a_link_to_a_requirement_unfolds_its_row(demo: Window, qtbot: QtBot) -> None:
    key = requirements()[-1].key
    demo.go_to(f"requirements.{key}")
    page = demo.pages["findings"]
    assert isinstance(page, FindingsPage)
    place = page.place("construction")
    assert isinstance(place, ConstructionPlace)

    qtbot.waitUntil(lambda: key in place.rows and place.rows[key].more.isChecked(), timeout=LONG)
    assert requirements()[-1].explain in words(place.rows[key])


def test_answers_are_the_same_after_saving_and_opening(
    fresh: Window, qtbot: QtBot, open_folder: Callable[[Window, Path], None]
) -> None:
    row = shown(fresh, qtbot).rows[PLATE]
    press(qtbot, row, FindingAnswer.NOT_SEEN)
    folder = fresh.desk.session.folder
    assert folder is not None
    fresh.desk.session.close()
    open_folder(fresh, folder)

    assert shown(fresh, qtbot).rows[PLATE].buttons[FindingAnswer.NOT_SEEN].isChecked()


def test_a_finding_takes_its_requirement_from_the_list_or_by_hand(demo: Window, qtbot: QtBot) -> None:
    demo.show_page("findings")
    page = demo.pages["findings"]
    assert isinstance(page, FindingsPage)
    found = page.show_place("found")
    assert isinstance(found, FoundPlace)
    part = found.requirement.menu.actions()[0].menu()
    assert isinstance(part, QMenu)
    part.actions()[0].trigger()
    assert demo.desk.session.case.findings[0].requirement.startswith(requirements()[0].name)


@pytest.mark.parametrize("width", [1280, 760])
def test_the_answers_go_below_the_text_where_there_is_no_room_beside_it(
    fresh: Window, qtbot: QtBot, width: int
) -> None:
    fresh.resize(width, 700)
    row = shown(fresh, qtbot).rows[PLATE]
    qtbot.waitUntil(lambda: row.answers.width() > 0 and row.width() > 100, timeout=LONG)
    text = row.findChildren(QLabel)[0]

    assert (row.answers.geometry().top() > text.geometry().bottom()) is (width == 760)
    assert row.answers.geometry().right() <= row.width()
    assert not row.findChildren(QListWidget)

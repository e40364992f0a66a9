"""Ways to an injury as a person enters them: typed, moved, refused, undone, reopened."""

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLabel, QPushButton
from pytestqt.qtbot import QtBot

from hazardreport.app.pages.findings import FindingsPage
from hazardreport.app.pages.findings_scenarios import ScenariosPlace
from hazardreport.app.pages.scenario_lines import understood_probability
from hazardreport.app.views.fact_table import FactTable
from hazardreport.app.views.fields import ChoiceField, TextField
from hazardreport.app.window import Window
from hazardreport.case.scenario import Consumer, ProbabilityBasis

LONG = 15_000


def shown(window: Window) -> ScenariosPlace:
    """The place with all its cards."""
    window.show_page("findings")
    page = window.pages["findings"]
    assert isinstance(page, FindingsPage)
    place = page.show_place("scenarios")
    assert isinstance(place, ScenariosPlace)
    QApplication.processEvents()
    while not place.editor.whole and window.desk.session.case.scenarios:
        QApplication.processEvents()
    return place


def type_in(qtbot: QtBot, field: object, text: str) -> None:
    assert isinstance(field, TextField)
    field.edit.setFocus()
    field.edit.selectAll()
    qtbot.keyClicks(field.edit, text)
    field.on_done()


def choose(field: object, value: object) -> None:
    assert isinstance(field, ChoiceField)
    field.box.setCurrentIndex(field._values.index(value))
    field.box.activated.emit(field.box.currentIndex())


def add_way(place: ScenariosPlace, qtbot: QtBot, *steps: str) -> None:
    qtbot.mouseClick(place.add, Qt.MouseButton.LeftButton)
    for number, probability in enumerate(steps):
        if number:
            qtbot.mouseClick(place.editor.add_step, Qt.MouseButton.LeftButton)
        card = place.editor.steps[number]
        type_in(qtbot, card.fields["text"], f"what happens {number + 1}")
        type_in(qtbot, card.fields["probability"], probability)
        type_in(qtbot, card.fields["reason"], "seen often")


# Decision 2010/15/EU, part IV, appendix 5, folding chair, finger at the back corner: 1 · 1/50 · 1/10 · 1 = 1/500, low.
@pytest.mark.published("eu-2010-15", "appendix 5, folding chair, finger at the back corner")
def test_the_folding_chair_is_entered_by_hand_and_comes_to_low(fresh: Window, qtbot: QtBot) -> None:
    place = shown(fresh)
    add_way(place, qtbot, "1", "1/50", "10 %", "1")
    type_in(qtbot, place.editor.fields["title"], "Finger at the back corner")
    choose(place.editor.fields["consumer"], Consumer.OTHER)
    choose(place.editor.fields["injury"], "pinching")
    qtbot.mouseClick(place.editor.severity.buttons[1], Qt.MouseButton.LeftButton)

    qtbot.waitUntil(lambda: place.editor.result.level.text() == "Low risk", timeout=LONG)
    assert "1 × 1/50 × 1/10 × 1 = 1/500, 1 in 500" in place.editor.result.product.text()
    assert place.list.item(0).text() == "Finger at the back corner\nLow risk"
    (scenario,) = fresh.desk.session.case.scenarios
    assert [step.probability for step in scenario.steps] == ["1", "1/50", "10 %", "1"]
    assert (scenario.injury, scenario.severity, scenario.consumer) == ("pinching", 1, Consumer.OTHER)


def test_what_was_understood_is_shown_at_each_keystroke(fresh: Window, qtbot: QtBot) -> None:
    place = shown(fresh)
    add_way(place, qtbot, "1")
    field = place.editor.steps[0].probability
    field.edit.setFocus()
    field.edit.selectAll()
    seen = []
    for sign in "2 %":
        qtbot.keyClicks(field.edit, sign)
        seen.append(field.told.text())

    assert seen[-1].replace("\N{NO-BREAK SPACE}", " ") == "= 1/50, 1 in 50, 2 %"
    assert seen[0] == "not understood"
    assert fresh.desk.session.case.scenarios[0].steps[0].probability == "1"


@pytest.mark.parametrize("typed", ["2", "0", "-1/2", "often", "1/0", "120 %"])
def test_a_refused_probability_stays_typed_and_says_why(fresh: Window, qtbot: QtBot, typed: str) -> None:
    place = shown(fresh)
    add_way(place, qtbot, typed)
    field = place.editor.steps[0].probability

    assert field.edit.text() == typed
    assert fresh.desk.session.case.scenarios[0].steps[0].probability == typed
    qtbot.waitUntil(field._remark.isVisible, timeout=LONG)
    assert field._remark.text() == understood_probability(typed).fault != ""
    why = "No level yet: the probability of step 1 is not understood"
    qtbot.waitUntil(lambda: place.editor.result.level.text().startswith(why), timeout=LONG)
    assert field.edit.text() == typed


def test_the_result_follows_what_is_being_typed_and_nothing_is_entered_by_that(demo: Window, qtbot: QtBot) -> None:
    place = shown(demo)
    before = demo.desk.session.case
    qtbot.waitUntil(lambda: place.editor.result.level.text() == "Serious risk", timeout=LONG)
    field = place.editor.steps[1].probability
    field.edit.setFocus()
    field.edit.selectAll()
    field._timer.setInterval(60_000)
    qtbot.keyClicks(field.edit, "1/1000000")

    qtbot.waitUntil(lambda: place.editor.result.level.text() != "Serious risk", timeout=LONG)
    assert demo.desk.session.case is before


def test_steps_are_moved_by_button_and_by_key_and_the_cursor_goes_along(demo: Window, qtbot: QtBot) -> None:
    place = shown(demo)
    session = demo.desk.session
    first, second, *_ = (step.text for step in session.case.scenarios[0].steps)
    place.editor.steps[0].fields["reason"].setFocus()
    qtbot.keyClick(
        QApplication.focusWidget(),
        Qt.Key.Key_Down,
        Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier,
    )
    assert [step.text for step in session.case.scenarios[0].steps[:2]] == [second, first]
    assert place.editor.steps[1].fields["reason"].isAncestorOf(QApplication.focusWidget())
    assert demo._undo.text() == "&Undo Move Step 1"

    qtbot.mouseClick(place.editor.steps[1].up, Qt.MouseButton.LeftButton)
    assert [step.text for step in session.case.scenarios[0].steps[:2]] == [first, second]
    assert not place.editor.steps[0].up.isEnabled()
    assert not place.editor.steps[-1].down.isEnabled()


def test_what_is_being_typed_is_not_lost_when_its_step_moves(demo: Window, qtbot: QtBot) -> None:
    place = shown(demo)
    field = place.editor.steps[0].fields["text"]
    assert isinstance(field, TextField)
    field.edit.setFocus()
    qtbot.keyClicks(field.edit, "Typed just now. ")
    place.editor.on_step_moved(0, 1)

    steps = demo.desk.session.case.scenarios[0].steps
    assert "Typed just now." in steps[1].text
    assert "Typed just now." not in steps[0].text


def test_a_removed_step_and_a_removed_way_come_back_by_undo(demo: Window, qtbot: QtBot) -> None:
    place = shown(demo)
    session = demo.desk.session
    before = session.case.scenarios
    qtbot.mouseClick(place.editor.steps[1].remove, Qt.MouseButton.LeftButton)
    assert len(session.case.scenarios[0].steps) == len(before[0].steps) - 1
    qtbot.mouseClick(place.remove, Qt.MouseButton.LeftButton)
    assert [one.id for one in session.case.scenarios] == [one.id for one in before[1:]]
    session.stack.undo()
    session.stack.undo()

    assert session.case.scenarios == before
    assert len(place.editor.steps) == len(place.editor._scenario.steps)


def test_a_copy_differs_by_id_and_title_only(demo: Window, qtbot: QtBot) -> None:
    place = shown(demo)
    known = demo.desk.session.case.scenarios[0]
    qtbot.mouseClick(place.copy, Qt.MouseButton.LeftButton)
    made = demo.desk.session.case.scenarios[-1]

    assert place.current == made.id != known.id
    assert made.steps == known.steps
    assert made.title == f"{known.title} (copy)"


def test_a_severity_pressed_again_is_taken_back(fresh: Window, qtbot: QtBot) -> None:
    place = shown(fresh)
    add_way(place, qtbot, "1")
    button = place.editor.severity.buttons[3]
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert fresh.desk.session.case.scenarios[0].severity == 3
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)

    assert fresh.desk.session.case.scenarios[0].severity == 0
    assert not button.isChecked()


def test_cells_that_stand_from_memory_say_so(fresh: Window, qtbot: QtBot) -> None:
    place = shown(fresh)
    add_way(place, qtbot, "1/2")
    choose(place.editor.fields["injury"], "electric-shock")
    qtbot.mouseClick(place.editor.severity.buttons[4], Qt.MouseButton.LeftButton)

    assert "from memory" in place.editor.severity.injuries[4].text()
    qtbot.waitUntil(lambda: "from memory" in place.editor.result.product.text(), timeout=LONG)
    assert "from memory" in place.product.text()
    assert "no entry" in place.editor.severity.injuries[1].text()


def test_a_boundary_is_said_beside_the_level(fresh: Window, qtbot: QtBot) -> None:
    place = shown(fresh)
    add_way(place, qtbot, "1/10")
    qtbot.mouseClick(place.editor.severity.buttons[1], Qt.MouseButton.LeftButton)

    qtbot.waitUntil(lambda: place.editor.result.level.text() == "Medium risk, on a boundary", timeout=LONG)
    assert "on a boundary" in place.list.item(0).text()


def test_the_sensitivity_is_shown_each_way(demo: Window, qtbot: QtBot) -> None:
    place = shown(demo)
    place.on_chosen("scenario-002")
    qtbot.waitUntil(lambda: len(place.editor.result.table.rows) >= 4, timeout=LONG)
    told = [str(row[0]) for row in place.editor.result.table.rows]

    assert {"Severity one level higher", "Severity one level lower"} <= set(told)
    assert {"Probability one band higher", "Probability one band lower"} <= set(told)
    assert {str(row[2]) for row in place.editor.result.table.rows} <= {"changes", "stays"}
    assert place.editor.result.robust.text().startswith(("Robust:", "Not robust:"))


def test_shares_of_adults_stand_beside_the_calculated_step_and_open_their_calculation(
    demo: Window, qtbot: QtBot
) -> None:
    place = shown(demo)
    steps = demo.desk.session.case.scenarios[0].steps
    number = next(n for n, step in enumerate(steps) if step.basis is ProbabilityBasis.CALCULATED)
    qtbot.waitUntil(lambda: bool(place.editor.steps[number].findChildren(FactTable)), timeout=LONG)
    (table,) = place.editor.steps[number].findChildren(FactTable)
    assert not place.editor.steps[0].findChildren(FactTable)
    button = next(one for one in table.findChildren(QPushButton) if one.property("number"))
    button.click()

    assert demo.stack.currentWidget() is demo.pages["severity"]


def test_a_case_of_ways_is_the_same_after_saving_and_opening(
    demo: Window, qtbot: QtBot, open_folder: Callable[[Window, Path], None]
) -> None:
    place = shown(demo)
    add_way(place, qtbot, "1/3", "often")
    folder = demo.desk.session.folder
    assert folder is not None
    demo.desk.session.save()
    scenarios = demo.desk.session.case.scenarios
    demo.desk.session.close()
    open_folder(demo, folder)

    assert demo.desk.session.case.scenarios == scenarios
    place = shown(demo)
    place.on_chosen(scenarios[-1].id)
    assert place.editor.steps[1].probability.edit.text() == "often"


@pytest.mark.parametrize("link", ["scenario-002", "scenarios", "risk.level"])
def test_links_of_the_risk_lead_to_the_ways(demo: Window, qtbot: QtBot, link: str) -> None:
    demo.go_to(link)
    page = demo.pages["findings"]
    assert isinstance(page, FindingsPage)
    qtbot.waitUntil(lambda: page.shown == "scenarios", timeout=LONG)
    if link.startswith("scenario-"):
        place = page.place("scenarios")
        assert isinstance(place, ScenariosPlace)
        assert place.current == link


def test_an_empty_case_says_what_to_do_first(fresh: Window) -> None:
    place = shown(fresh)

    assert place.stack.currentIndex() == 0
    assert not place.list.isVisibleTo(place)
    assert not place.remove.isEnabled()
    words = place.stack.currentWidget()
    assert isinstance(words, QLabel)
    assert words.text().startswith("Nothing is told yet. Add a way to an injury")

"""The four places of the Findings page together: keys, names, links, reading only, the gate, no stall."""

import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QLabel,
    QLineEdit,
    QListWidget,
    QPlainTextEdit,
    QWidget,
)
from pytestqt.qtbot import QtBot

from hazardreport import wording
from hazardreport.app.pages.findings import PLACES, FindingsPage, place_of
from hazardreport.app.pages.findings_construction import ConstructionPlace
from hazardreport.app.pages.findings_fields import FACTOR_FIELDS, by_name
from hazardreport.app.pages.findings_scenarios import ScenariosPlace
from hazardreport.app.pages.findings_weighs import WeighsPlace
from hazardreport.app.views.fields import ChoiceField, TextField
from hazardreport.app.views.stated_field import StatedField
from hazardreport.app.window import Window
from hazardreport.case import edits
from hazardreport.case.scenario import HarmFactors, HarmGrade, Likelihood
from hazardreport.case.stated import Standing
from hazardreport.risk.requirements import requirements

LONG = 15_000
KEYS = tuple(key for key, _, _ in PLACES)
FACTORS = tuple(by_name(*FACTOR_FIELDS))


def findings(window: Window) -> FindingsPage:
    window.show_page("findings")
    page = window.pages["findings"]
    assert isinstance(page, FindingsPage)
    return page


def filled(page: FindingsPage, qtbot: QtBot, key: str) -> QWidget:
    place = page.show_place(key)
    if isinstance(place, ConstructionPlace):
        qtbot.waitUntil(lambda: len(place.rows) == len(requirements()), timeout=LONG)
        place.rows[requirements()[0].key].unfold()
    if isinstance(place, WeighsPlace):
        qtbot.waitUntil(lambda: "assessed_on" in place.fields, timeout=LONG)
    if isinstance(place, ScenariosPlace):
        qtbot.waitUntil(lambda: place.editor.whole, timeout=LONG)
    QApplication.processEvents()
    return place


def weighs(window: Window) -> WeighsPlace:
    place = findings(window).show_place("weighs")
    assert isinstance(place, WeighsPlace)
    while "assessed_on" not in place.fields:
        QApplication.processEvents()
    return place


@pytest.mark.parametrize("key", KEYS)
def test_every_control_has_a_name_and_a_target_of_24_pixels(demo: Window, qtbot: QtBot, key: str) -> None:
    place = filled(findings(demo), qtbot, key)
    kinds = (QAbstractButton, QComboBox, QLineEdit, QPlainTextEdit, QListWidget)
    found = [widget for kind in kinds for widget in place.findChildren(kind) if widget.isVisible()]
    found = [widget for widget in found if not isinstance(widget.parent(), QComboBox)]
    nameless, small = [], []
    for widget in found:
        name = QAccessible.queryAccessibleInterface(widget).text(QAccessible.Text.Name).strip()
        if not name:
            nameless.append(type(widget).__name__)
        if min(widget.width(), widget.height()) < 24:
            small.append(f"{name} {widget.width()}x{widget.height()}")

    assert len(found) > 6
    assert nameless == []
    assert small == []


@pytest.mark.parametrize("key", KEYS)
def test_names_of_buttons_in_a_place_tell_them_apart(demo: Window, qtbot: QtBot, key: str) -> None:
    place = filled(findings(demo), qtbot, key)
    names = [
        QAccessible.queryAccessibleInterface(button).text(QAccessible.Text.Name)
        for button in place.findChildren(QAbstractButton)
        if button.isVisible() and not button.property("number")
    ]

    assert sorted(names) == sorted(set(names))


def test_the_places_are_reached_by_keys_alone(demo: Window, qtbot: QtBot) -> None:
    page = findings(demo)
    demo.on_page_key("findings")
    page.tabs.tabBar().setFocus()
    seen = [page.shown]
    for _ in range(3):
        qtbot.keyClick(page.tabs.tabBar(), Qt.Key.Key_Right)
        seen.append(page.shown)

    assert tuple(seen) == KEYS


@pytest.mark.parametrize("key", KEYS)
def test_tab_reaches_every_field_of_a_place(demo: Window, qtbot: QtBot, key: str) -> None:
    place = filled(findings(demo), qtbot, key)
    kinds = (QLineEdit, QPlainTextEdit, QComboBox)
    fields = [widget for kind in kinds for widget in place.findChildren(kind)]
    wanted = {id(field) for field in fields if field.isVisible() and field.isEnabled()}
    demo.rail.buttons["review"].setFocus()
    reached: set[int] = set()
    for _ in range(500):
        demo.focusNextChild()
        reached.add(id(QApplication.focusWidget()))

    assert wanted <= reached


@pytest.mark.parametrize(
    ("link", "key"),
    [
        ("finding-002", "found"),
        ("findings.dangerous", "found"),
        ("requirements", "construction"),
        ("requirements.double-square", "construction"),
        ("scenarios", "scenarios"),
        ("scenario-002", "scenarios"),
        ("risk.level", "scenarios"),
        ("harm_factors.misuse", "weighs"),
    ],
)
def test_a_link_leads_to_its_place(demo: Window, qtbot: QtBot, link: str, key: str) -> None:
    assert place_of(link) == key
    demo.go_to(link)
    page = demo.pages["findings"]
    assert isinstance(page, FindingsPage)
    qtbot.waitUntil(lambda: page.shown == key, timeout=LONG)

    assert demo.stack.currentWidget() is page


def test_harm_and_likelihood_come_to_a_priority(fresh: Window, qtbot: QtBot) -> None:
    place = weighs(fresh)
    qtbot.waitUntil(lambda: place.letter.text().startswith("No priority yet"), timeout=LONG)
    for name, value in (("harm", HarmGrade.GRIEVOUS), ("likelihood", Likelihood.LIKELY)):
        field = place.fields[name]
        assert isinstance(field, ChoiceField)
        field.box.setCurrentIndex(list(type(value)).index(value))
        field.box.activated.emit(field.box.currentIndex())

    qtbot.waitUntil(lambda: "likely): A." in place.letter.text(), timeout=LONG)
    assert fresh._undo.text() == "&Undo Change How likely"
    fresh.desk.session.stack.undo()
    assert fresh.desk.session.case.harm_factors == HarmFactors(harm=HarmGrade.GRIEVOUS)


def test_every_factor_is_typed_undone_and_there_after_opening(
    fresh: Window, qtbot: QtBot, open_folder: Callable[[Window, Path], None]
) -> None:
    place = weighs(fresh)
    for name in FACTORS:
        field = place.fields[name]
        assert isinstance(field, StatedField)
        field.text.edit.setFocus()
        qtbot.keyClicks(field.text.edit, f"about {name}")
        field.text.on_done()
    factors = fresh.desk.session.case.harm_factors
    assert [getattr(factors, name).text for name in FACTORS] == [f"about {name}" for name in FACTORS]
    fresh.desk.session.stack.undo()
    assert fresh.desk.session.case.harm_factors.other.standing is Standing.OPEN
    fresh.desk.session.stack.redo()
    folder = fresh.desk.session.folder
    assert folder is not None
    fresh.desk.session.close()
    open_folder(fresh, folder)

    assert fresh.desk.session.case.harm_factors == factors
    field = weighs(fresh).fields["need"]
    assert isinstance(field, StatedField)
    assert field.text.text() == "about need"


def test_a_day_that_is_none_is_kept_and_told(fresh: Window, qtbot: QtBot) -> None:
    field = weighs(fresh).fields["assessed_on"]
    assert isinstance(field, TextField)
    field.edit.setFocus()
    qtbot.keyClicks(field.edit, "2026-02-31")
    field.on_done()

    assert fresh.desk.session.case.harm_factors.assessed_on == "2026-02-31"
    assert field._remark.text() == wording.sentence("findings.weighs.no_day")


@pytest.mark.parametrize("key", KEYS)
def test_a_case_for_reading_only_lets_nothing_be_entered(demo: Window, qtbot: QtBot, key: str) -> None:
    demo.desk.session.read_only = True
    place = filled(findings(demo), qtbot, key)
    kinds = (QLineEdit, QPlainTextEdit, QComboBox)
    fields = [widget for kind in kinds for widget in place.findChildren(kind) if widget.isVisible()]

    assert fields
    assert not [field for field in fields if field.isEnabled()]
    changing = ("Add", "Remove", "Copy", "Seen", "Not seen", "Could not check", "1", "2", "3", "4", "Up", "Down")
    buttons = [button for button in place.findChildren(QAbstractButton) if button.text().startswith(changing)]
    buttons = [button for button in buttons if button.isVisible() and not button.property("number")]
    assert not [button.text() for button in buttons if button.isEnabled()]


def live_instructions() -> list[str]:
    pieces = []
    for key in wording.keys("tests"):
        if key.startswith(("tests.live_", "tests.supply_proof")) and key.endswith(".instruction"):
            pieces += [part for part in wording.template(key).replace("}", "{").split("{") if len(part) > 30]
    return [" ".join(piece.split()) for piece in pieces]


def all_words(place: QWidget) -> str:
    texts = [label.text() for label in place.findChildren(QLabel)]
    texts += [button.text() for button in place.findChildren(QAbstractButton)]
    every = [*place.findChildren(QAbstractButton), *place.findChildren(QLabel), *place.findChildren(QLineEdit)]
    texts += [widget.toolTip() + " " + widget.accessibleDescription() for widget in every]
    return " ".join(" ".join(texts).split())


@pytest.mark.parametrize("key", KEYS)
def test_behind_a_closed_gate_no_live_test_is_told(demo: Window, qtbot: QtBot, key: str) -> None:
    demo.desk.session.edit("Close", edits.state_competence, None)
    qtbot.waitUntil(
        lambda: demo.desk.live.assessment is not None and demo.desk.live.assessment.settled is not None, timeout=LONG
    )
    place = filled(findings(demo), qtbot, key)
    if isinstance(place, ConstructionPlace):
        for row in place.rows.values():
            row.more.setChecked(True)
    told = all_words(place)

    assert len(live_instructions()) >= 6
    assert not [piece for piece in live_instructions() if piece in told]
    assert "live_" not in told


def test_an_edit_elsewhere_costs_the_hidden_places_nothing(demo: Window, qtbot: QtBot) -> None:
    page = findings(demo)
    for key in KEYS:
        filled(page, qtbot, key)
    page.show_place("found")
    place = page.place("weighs")
    assert isinstance(place, WeighsPlace)
    demo.show_page("unit")
    factors = replace(demo.desk.session.case.harm_factors, assessed_on="2026-01-01")
    demo.desk.session.edit("Change", edits.set_harm_factors, factors)
    field = place.fields["assessed_on"]
    assert isinstance(field, TextField)
    assert field.text() != "2026-01-01"
    findings(demo)
    page.show_place("weighs")

    assert field.text() == "2026-01-01"


def test_building_the_construction_place_lets_the_window_breathe(demo: Window, qtbot: QtBot) -> None:
    page = findings(demo)
    page.show_place("construction")
    place = page.place("construction")
    assert isinstance(place, ConstructionPlace)
    counts = []
    end = time.monotonic() + LONG / 1000
    while not place.whole and time.monotonic() < end:
        QApplication.processEvents()
        counts.append(len(place.rows))

    assert len(place.rows) == len(requirements())
    assert len(set(counts)) > 3

"""Whoever knows nothing of electricity can fill each field: it says in one plain line what it asks for."""

import re
from collections.abc import Iterator
from dataclasses import fields
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLabel, QWidget
from pytestqt.qtbot import QtBot

from hazardreport import wording
from hazardreport.app.dialogs.compare_table import CompareTableDialog
from hazardreport.app.dialogs.conformity_mark import MarkDialog
from hazardreport.app.dialogs.letter import LetterDialog
from hazardreport.app.pages.findings import FindingsPage
from hazardreport.app.pages.findings_construction import ConstructionPlace
from hazardreport.app.pages.findings_fields import (
    COMPARISON_CHOICES,
    CONFIRMATION_FIELDS,
    FACTOR_FIELDS,
    FINDING_FIELDS,
    JUDGED_FIELDS,
    PRIORITY_FIELDS,
    REQUIREMENT_FIELDS,
    SCENARIO_FIELDS,
    STEP_FIELDS,
)
from hazardreport.app.pages.findings_found import FoundPlace
from hazardreport.app.pages.findings_scenarios import ScenariosPlace
from hazardreport.app.pages.findings_weighs import WeighsPlace
from hazardreport.app.pages.letter_fields import LETTER_FIELDS
from hazardreport.app.pages.unit import UnitPage
from hazardreport.app.pages.unit_fields import GROUPS, MARK_FIELDS, TITLE
from hazardreport.app.pages.unit_places import TRADE_TERMS, FieldPlace, explanation_key
from hazardreport.app.views.fields import Field, TextField
from hazardreport.app.views.help_line import HelpLine
from hazardreport.app.views.requirement_row import RequirementRow
from hazardreport.app.views.tick_list import TickList
from hazardreport.app.window import Window
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Finding
from hazardreport.case.confirmation import TableConfirmation
from hazardreport.case.letter import Letter, LetterKind
from hazardreport.case.requirement import RequirementAnswer
from hazardreport.case.scenario import HarmFactors, Scenario, ScenarioStep
from hazardreport.case.unit import ConformityMark
from hazardreport.risk.requirements import requirements

LONGEST = 190
LONG = 15_000
FINDINGS = (*FINDING_FIELDS, *SCENARIO_FIELDS, *STEP_FIELDS, *REQUIREMENT_FIELDS)
WEIGHS = (*PRIORITY_FIELDS, *FACTOR_FIELDS, *JUDGED_FIELDS)
COMPARISON = (*COMPARISON_CHOICES, *CONFIRMATION_FIELDS)
UNIT = (TITLE, *(place for group in GROUPS for place in group.fields))
PLACES = (*UNIT, *MARK_FIELDS, *LETTER_FIELDS, *FINDINGS, *WEIGHS, *COMPARISON)
MEASURED = {place.path for group in GROUPS if group.measured for place in group.fields} | {"household.floor_resistance"}
"""Fields that only whoever opens or measures the unit can fill."""

PLAIN: dict[str, tuple[str, ...]] = {
    "residual-current device": ("switch in the fuse box",),
    "protection class": ("protect against shock",),
    "barcode": ("black bars",),
    "IP code": ("dust and water",),
    "rated": ("on the plate",),
    "kind of current": ("alternating",),
    "mark": ("letters", "number", "where", "website"),
    "standard": ("rules",),
    "importer": ("brought it in",),
    "responsible person": ("answers for",),
    "exporter": ("sent it out",),
    "distributor": ("passed it on",),
    "marketplace": ("many sellers", "website or app"),
    "classification": ("public list",),
    "customs": ("customs papers",),
    "batch": ("made together",),
    "serial number": ("only this one unit",),
    "date code": ("signs",),
    "article number": ("seller lists it",),
    "EEA": ("Norway",),
    "earth": ("safety contact", "joined to the ground"),
    "earthed metal": ("tap, sink",),
    "floor": ("stone, tiles", "floor and shoes"),
    "injured person": ("no name",),
    "misuse": ("nobody could expect",),
    "guardian": ("guardian: name", "agrees"),
    "reports as": ("you are here",),
    "requirement": ("what the rules ask",),
    "probability": ("out of how many",),
    "severity": ("how bad",),
}
"""What the plain line has to say where a word of the trade is in the label: one of these."""


def faults(place: FieldPlace, line: str) -> list[str]:
    """What is wrong with the plain line of a field."""
    found = []
    if not line.strip():
        found.append("nothing is said")
    if len(line) > LONGEST:
        found.append(f"{len(line)} signs")
    if line.strip().rstrip(".").lower() == place.label.lower():
        found.append("only the label again")
    for term, plain in PLAIN.items():
        asked = re.search(rf"\b{re.escape(term)}", place.label, re.IGNORECASE)
        if asked and place.path not in MEASURED and not any(word.lower() in line.lower() for word in plain):
            found.append(f"does not explain {term}")
    return found


@pytest.mark.parametrize("place", PLACES, ids=lambda place: place.path)
def test_each_field_says_in_one_plain_line_what_it_asks_for(place: FieldPlace) -> None:
    assert faults(place, place.explanation) == []


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        pytest.param("", "nothing is said", id="nothing"),
        pytest.param("IP code.", "only the label again", id="label-again"),
        pytest.param("Degree of protection to IEC 60529.", "does not explain IP code", id="jargon"),
        pytest.param("x" * 191, "191 signs", id="too-long"),
    ],
)
def test_a_planted_line_that_explains_nothing_is_caught(line: str, fault: str) -> None:
    assert fault in faults(next(place for place in PLACES if place.path == "unit.ip_code"), line)


def test_every_word_of_the_trade_has_its_plain_words() -> None:
    assert set(PLAIN) == set(TRADE_TERMS)


def test_no_line_is_left_without_its_field() -> None:
    assert set(wording.keys("fields")) == {explanation_key(place.path) for place in PLACES}


def test_every_field_of_the_records_can_be_entered() -> None:
    entered = {place.path for place in PLACES}
    empty = Case(id="")
    for room in ("situation", "unit", "household", "occurrence", "upkeep", "submitter", "consents", "custody"):
        held = {f"{room}.{field.name}" for field in fields(getattr(empty, room))}
        assert held <= entered, room


RECORDS: dict[str, tuple[type, frozenset[str]]] = {
    "findings": (Finding, frozenset({"id"})),
    "scenarios": (Scenario, frozenset({"id", "steps"})),
    "steps": (ScenarioStep, frozenset()),
    "requirements": (RequirementAnswer, frozenset({"id", "answer"})),
    "harm_factors": (HarmFactors, frozenset()),
    "confirmations": (TableConfirmation, frozenset({"id", "sha256"})),
    "letters": (Letter, frozenset({"id"})),
    "conformity_marks": (ConformityMark, frozenset({"id"})),
}
"""Records with several of a kind, and what nobody types of them; an answer's row says what to look for."""


@pytest.mark.parametrize("room", RECORDS)
def test_every_field_of_the_listed_records_can_be_entered(room: str) -> None:
    record, made = RECORDS[room]
    held = {f"{room}.{field.name}" for field in fields(record)} - {f"{room}.{name}" for name in made}
    assert held <= {place.path for place in PLACES}


def lines_below(root: QWidget) -> set[str]:
    """Every plain line that a field or a list to tick below a widget has, as assistive technology gets it."""
    found = set()
    for field in root.findChildren(Field):
        inner = field.inputs()
        if field.explanation and all(field.explanation in widget.accessibleDescription() for widget in inner):
            found.add(field.explanation)
    found |= {ticks.accessibleDescription() for ticks in root.findChildren(TickList)}
    return found


def unexplained(root: QWidget) -> list[str]:
    """Fields and lists to tick without a line, on hovering or for assistive technology."""
    own = [field for field in root.findChildren(Field) if not isinstance(field.parentWidget(), Field)]
    found = [field.label for field in own if not field.explanation or field.toolTip() != field.explanation]
    found += [
        f"{field.label}: {widget.accessibleName()}"
        for field in own
        for widget in field.inputs()
        if field.explanation not in widget.accessibleDescription()
    ]
    return found + [ticks.label for ticks in root.findChildren(TickList) if not ticks.accessibleDescription()]


def findings_places(window: Window, qtbot: QtBot) -> Iterator[tuple[QWidget, tuple[FieldPlace, ...]]]:
    """The places of the Findings page, filled, with what each has to explain."""
    window.show_page("findings")
    page = window.pages["findings"]
    assert isinstance(page, FindingsPage)
    found = page.show_place("found")
    assert isinstance(found, FoundPlace)
    yield found, FINDING_FIELDS
    scenarios = page.show_place("scenarios")
    assert isinstance(scenarios, ScenariosPlace)
    qtbot.waitUntil(lambda: scenarios.editor.whole, timeout=LONG)
    yield scenarios, (*SCENARIO_FIELDS, *STEP_FIELDS)
    construction = page.show_place("construction")
    assert isinstance(construction, ConstructionPlace)
    qtbot.waitUntil(lambda: len(construction.rows) == len(requirements()), timeout=LONG)
    for row in construction.findChildren(RequirementRow):
        row.unfold()
    yield construction, REQUIREMENT_FIELDS
    weighs = page.show_place("weighs")
    assert isinstance(weighs, WeighsPlace)
    qtbot.waitUntil(lambda: "assessed_on" in weighs.fields, timeout=LONG)
    yield weighs, WEIGHS


def test_every_field_of_the_findings_page_is_explained(demo: Window, qtbot: QtBot) -> None:
    for place, asked in findings_places(demo, qtbot):
        assert unexplained(place) == []
        assert {one.explanation for one in asked} <= lines_below(place)


def test_the_dialogs_explain_every_field(demo: Window, qtbot: QtBot) -> None:
    case = demo.desk.session.case
    comparison = CompareTableDialog(case, "eu-2019-417/risk-level", "2026-06-01", "Ada Reader")
    letter = LetterDialog(Letter(id="letter-001", kind=LetterKind.REPORT), case, Path())
    mark = MarkDialog(ConformityMark(id="conformity-mark-001"), case)
    for dialog, asked in ((comparison, CONFIRMATION_FIELDS), (letter, LETTER_FIELDS), (mark, MARK_FIELDS)):
        qtbot.addWidget(dialog)
        assert unexplained(dialog) == []
        there = {one.explanation for one in asked if one.path != "letters.attachments" or case.attachments}
        assert there <= lines_below(dialog)
    boxes = (comparison.table, comparison.reading, comparison.cells)
    assert [box.accessibleDescription() for box in boxes] == [one.explanation for one in COMPARISON_CHOICES]


def test_a_field_without_a_line_is_caught(qtbot: QtBot) -> None:
    root = QWidget()
    qtbot.addWidget(root)
    for one in (TextField("Nothing said", parent=root), TickList("Nothing ticked", root)):
        assert one.label in unexplained(root)


def test_what_the_cursor_is_in_is_explained_on_the_findings_page(demo: Window, qtbot: QtBot) -> None:
    for place, asked in findings_places(demo, qtbot):
        helps = place.findChildren(HelpLine)
        if not helps:
            continue
        (help_line,) = helps
        high = help_line.height()
        lines = {one.label: one.explanation for one in asked}
        told = set()
        for widget in (*place.findChildren(Field), *place.findChildren(TickList)):
            if not widget.isVisible() or not widget.isEnabled():
                continue
            (widget.inputs()[0] if isinstance(widget, Field) else widget).setFocus()
            label, _, said = help_line.text.text().partition(": ")
            assert said == widget.explanation == lines[label]
            told.add(label)
        assert told >= {one.label for one in asked if one.kind != "ticks"}
        assert help_line.height() == high


def page_of(window: Window) -> UnitPage:
    page = window.pages["unit"]
    assert isinstance(page, UnitPage)
    return page


def shown_lines(field: Field) -> list[str]:
    return [label.text() for label in field.findChildren(QLabel) if label.isVisible()]


def test_a_word_of_the_trade_is_explained_without_hovering(fresh: Window, qtbot: QtBot) -> None:
    unit = page_of(fresh)
    unit.sections.go_to(unit.cards["Plate"])
    QApplication.processEvents()

    assert unit.fields["unit.ip_code"].explanation in shown_lines(unit.fields["unit.ip_code"])
    assert unit.fields["unit.model"].explanation not in shown_lines(unit.fields["unit.model"])


def test_the_field_with_the_cursor_is_explained_and_nothing_moves(fresh: Window, qtbot: QtBot) -> None:
    unit = page_of(fresh)
    high = unit.help.height()
    edit = unit.fields["unit.model"].text.edit  # type: ignore[attr-defined]
    edit.setFocus()
    assert unit.help.text.text() == f"Model: {unit.fields['unit.model'].explanation}"

    qtbot.keyClick(edit, Qt.Key.Key_Tab)
    assert unit.help.text.text().startswith("Serial number: ")
    unit.fields["situation.online"].buttons[list(unit.fields["situation.online"].buttons)[1]].setFocus()  # type: ignore[attr-defined]
    assert unit.help.text.text().startswith("Was it bought online? Ordered through")
    assert unit.help.height() == high


def test_assistive_technology_gets_the_line_and_the_unit(fresh: Window) -> None:
    unit = page_of(fresh)
    for path, field in unit.fields.items():
        for widget in field.inputs():
            assert field.explanation in widget.accessibleDescription(), path
            assert field.toolTip() == field.explanation
    voltage = unit.fields["wiring.nominal_voltage"].edit.accessibleDescription()  # type: ignore[attr-defined]
    assert voltage.startswith("V. ")


@pytest.mark.parametrize("points", [pytest.param(9.5, id="small-text"), pytest.param(19.0, id="large-text")])
def test_the_longest_line_fits_into_its_strip(fresh: Window, qtbot: QtBot, points: float) -> None:
    fresh.desk.looks.apply(fresh.desk.looks.scheme, points)
    fresh.resize(int(1280 * max(1.0, points / 11)), 820)
    QApplication.processEvents()
    unit = page_of(fresh)
    for field in unit.fields.values():
        unit.help.show_field(field)
        text = unit.help.text
        assert text.heightForWidth(text.width()) <= text.fontMetrics().lineSpacing() * 2 + 2, field.label
    fresh.desk.looks.apply(fresh.desk.looks.scheme)

"""Whoever knows nothing of electricity can fill the Unit page: each field says in one plain line what it asks for."""

import re
from dataclasses import fields

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from hazardreport import wording
from hazardreport.app.pages.letter_fields import LETTER_FIELDS
from hazardreport.app.pages.unit import UnitPage
from hazardreport.app.pages.unit_fields import GROUPS, MARK_FIELDS, TITLE
from hazardreport.app.pages.unit_places import TRADE_TERMS, FieldPlace, explanation_key
from hazardreport.app.views.fields import Field
from hazardreport.app.window import Window
from hazardreport.case.case import Case

LONGEST = 190
PLACES = (TITLE, *MARK_FIELDS, *LETTER_FIELDS, *(place for group in GROUPS for place in group.fields))
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

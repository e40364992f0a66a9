"""Thermostat, heat setting, tripping device, touch-current networks and trips, as one enters them at a reading."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QLineEdit
from pytestqt.qtbot import QtBot

from hazardreport.app.models.bench_columns import COLUMNS, PLACES, UNDERSTOOD
from hazardreport.app.models.load_text import load_of, load_text
from hazardreport.app.models.understood import understood
from hazardreport.app.pages.readings import ReadingsPage
from hazardreport.app.window import Window
from hazardreport.case.reading import (
    CutOut,
    Load,
    LoadKind,
    PlugPosition,
    Quantity,
    Reading,
    TrippingDevice,
    Waveform,
)

LONG = 12_000


@pytest.fixture
def page(demo: Window, qtbot: QtBot) -> ReadingsPage:
    demo.show_page("readings")
    found = demo.pages["readings"]
    assert isinstance(found, ReadingsPage)
    qtbot.waitUntil(lambda: bool(found.plan.tests) and not found.desk.jobs.busy("plan"), timeout=LONG)
    return found


def choose(page: ReadingsPage, row: int, key: str, label: str) -> None:
    """Pick an entry of a cell's list."""
    place = page.model.index(row, PLACES[key])
    page.table.setCurrentIndex(place)
    page.table.edit(place)
    box = page.table.viewport().findChild(QComboBox)
    assert box is not None
    number = box.findText(label)
    assert number >= 0
    box.setCurrentIndex(number)
    box.activated.emit(number)


def live_row(page: ReadingsPage) -> int:
    readings = page.desk.session.case.readings
    return next(
        row
        for row, one in enumerate(readings)
        if one.state.plug is not PlugPosition.UNPLUGGED and one.quantity is Quantity.VOLTAGE
    )


def reading(page: ReadingsPage, row: int) -> Reading:
    return page.desk.session.case.readings[row]


def test_a_heat_setting_is_chosen_and_what_it_means_is_said(page: ReadingsPage, qtbot: QtBot) -> None:
    row = live_row(page)
    choose(page, row, "waveform", "half wave")
    qtbot.waitUntil(lambda: reading(page, row).state.waveform is Waveform.HALF, timeout=3000)
    qtbot.waitUntil(lambda: "half-wave heat setting" in page.model.fault(row), timeout=LONG)

    page.desk.session.stack.undo()
    assert reading(page, row).state.waveform is Waveform.FULL


def test_a_thermostat_that_was_open_is_chosen(page: ReadingsPage, qtbot: QtBot) -> None:
    row = live_row(page)
    choose(page, row, "cut_out", "open")
    qtbot.waitUntil(lambda: reading(page, row).state.cut_out is CutOut.OPEN, timeout=3000)
    qtbot.waitUntil(lambda: "described as having none" in page.model.fault(row), timeout=LONG)


def test_a_device_that_tripped_is_named_and_noted(page: ReadingsPage, qtbot: QtBot) -> None:
    row = live_row(page)
    choose(page, row, "device", "GFCI class A")
    qtbot.waitUntil(lambda: reading(page, row).device is TrippingDevice.GFCI_A, timeout=3000)

    page.table.edit_value(reading(page, row).id)
    editor = page.table.viewport().findChild(QLineEdit)
    assert editor is not None
    editor.selectAll()
    qtbot.keyClicks(editor, "tripped")
    shown = page.model.index(row, PLACES[UNDERSTOOD]).data(Qt.ItemDataRole.DisplayRole)
    assert "device tripped" in shown
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: reading(page, row).typed == "tripped", timeout=3000)
    qtbot.waitUntil(lambda: "4 mA" in page.model.fault(row).replace("\u00a0", " "), timeout=LONG)


def test_rare_columns_stand_behind_the_usual_ones() -> None:
    keys = [column.key for column in COLUMNS]
    usual = [keys.index(key) for key in ("plug", "switch", "load", "instrument")]
    assert all(keys.index(key) > max(usual) for key in ("cut_out", "waveform", "device"))


@pytest.mark.parametrize("kind", [LoadKind.TOUCH_NETWORK_3, LoadKind.TOUCH_NETWORK_4])
def test_a_touch_current_network_is_typed_by_its_figure(kind: LoadKind) -> None:
    load = Load(kind=kind)
    assert load_of(load_text(load), Load()) == load
    assert load_of(f"Touch-current {load_text(load)}", Load()) == load
    assert load_of(kind.value, Load()) == load


@pytest.mark.parametrize("quantity", [Quantity.VOLTAGE, Quantity.CURRENT, Quantity.LAMP])
def test_a_trip_is_understood(quantity: Quantity) -> None:
    assert (understood(" Tripped", quantity).text, understood(" Tripped", quantity).fault) == ("device tripped", "")


def test_no_resistance_trips() -> None:
    assert understood("tripped", Quantity.RESISTANCE).fault

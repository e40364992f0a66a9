"""The harmless unit whose meter shows half the mains: its sheets come in whole, with the numbers of two capacitors."""

import math
from pathlib import Path

import pytest

from hazardreport.case.case import Case
from hazardreport.case.reading import PlugPosition, Quantity
from hazardreport.quantity.typed import Bound
from hazardreport.readings.all_readings import read_numbers
from hazardreport.readings.checks import GENTLE
from hazardreport.storage.bench_sheet import read_bench_sheet
from hazardreport.storage.unit_sheet import read_unit_sheet

FOLDER = Path(__file__).parents[1] / "material" / "seedling-mat"
SHEETS = {"readings-unloaded.csv": 2, "readings-loaded.csv": 6}
SUPPLY, FREQUENCY, COUPLING = 230.0, 50.0, 1e-9


def entered(sheet: str) -> Case:
    return read_bench_sheet(read_unit_sheet(Case(id="C-1"), FOLDER / "unit.toml"), FOLDER / sheet)


@pytest.mark.parametrize("sheet", SHEETS)
def test_a_sheet_comes_in_without_problems(sheet: str) -> None:
    case = entered(sheet)
    results = read_numbers(case)

    assert len(results) == 9 + SHEETS[sheet]
    assert {key for result in results for key, _ in result.problems} <= GENTLE
    assert {key for result in results for key, _ in result.problems} == {"no_picture"}
    assert all(result.used or result.bound is not Bound.NONE for result in results)


@pytest.mark.parametrize("sheet", SHEETS)
def test_the_live_readings_are_those_of_two_capacitors(sheet: str) -> None:
    case = entered(sheet)
    reactance = 1.0 / (2.0 * math.pi * FREQUENCY * 2.0 * COUPLING)
    live = 0
    for reading, result in zip(case.readings, read_numbers(case), strict=True):
        if reading.state.plug is PlugPosition.UNPLUGGED or reading.quantity is not Quantity.VOLTAGE:
            continue
        assert result.typed is not None
        assert result.load_impedance is not None
        load = result.load_impedance.real
        assert result.load_impedance.imag == 0.0
        expected = SUPPLY / 2.0 * load / math.hypot(load, reactance)
        assert result.typed.value == pytest.approx(expected, abs=0.5001 * result.typed.resolution)
        live += 1
    assert live == SHEETS[sheet]


def test_the_unloaded_readings_stand_in_both_sheets() -> None:
    unloaded = (FOLDER / "readings-unloaded.csv").read_text(encoding="utf-8")
    assert (FOLDER / "readings-loaded.csv").read_text(encoding="utf-8").startswith(unloaded)

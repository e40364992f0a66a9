"""A harmless class II unit that shows half the mains, from its sheets to the word; 230 V 50 Hz, 1 nF to each pole."""

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from hazardreport.assess.assessment import assess
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.reading import PlugPosition, Quantity
from hazardreport.severity.terms import LimitDecision, SignalWord
from hazardreport.storage.bench_sheet import read_bench_sheet
from hazardreport.storage.unit_sheet import read_unit_sheet

FOLDER = Path(__file__).parents[1] / "material" / "seedling-mat"
UNLOADED, LOADED = "readings-unloaded.csv", "readings-loaded.csv"
THROUGH_1_KILOHM = 0.0722570e-3
"""What the unit drives through 1 kilohm, computed with a circuit simulator. [A]"""

SHORTED = 2.0 * math.pi * 50.0 * 2e-9 * 115.0
"""Current into a short circuit: 115 V behind 2 nF. [A]"""


def entered(sheet: str) -> Case:
    return read_bench_sheet(read_unit_sheet(Case(id="C-1"), FOLDER / "unit.toml"), FOLDER / sheet)


@cache
def assessed(sheet: str, live_only: bool = False) -> Assessment:
    """The assessment of a sheet; `live_only`: the supply and the part under voltage, and no ohmmeter."""
    case = entered(sheet)
    if live_only:
        kept = tuple(one for one in case.readings if one.quantity is Quantity.VOLTAGE and one.proved)
        assert 0 < len(kept) < len(case.readings)
        case = replace(case, readings=kept)
    return assess(case)


def explains(assessment: Assessment, key: str) -> bool | None:
    assert assessment.settled is not None
    return next(rival.explains for rival in assessment.settled.rivals if rival.key == key)


@pytest.mark.parametrize("live_only", [False, True], ids=["with the ohmmeter", "under voltage only"])
def test_half_the_mains_on_an_unloaded_meter_excludes_nothing(live_only: bool) -> None:
    found = assessed(UNLOADED, live_only)

    assert found.verdict.word is SignalWord.NOT_EXCLUDED
    assert not any(cell.established for cell in found.states)
    assert all(not cell.body_current for cell in found.states)


@pytest.mark.parametrize("live_only", [False, True], ids=["with the ohmmeter", "under voltage only"])
def test_the_least_possible_current_is_never_above_what_flows(live_only: bool) -> None:
    found = assessed(UNLOADED, live_only)
    plausible = [cell.state.key for cell in found.states if cell.plausible]

    assert {cell.state.plug for cell in found.states if cell.plausible} == {
        PlugPosition.STRAIGHT,
        PlugPosition.REVERSED,
    }
    for key in plausible:
        least = found.number(f"possible.{key}.low").measured.value
        greatest = found.number(f"possible.{key}.body").measured.value
        assert 0.0 < least <= THROUGH_1_KILOHM < greatest


@pytest.mark.parametrize("live_only", [False, True], ids=["with the ohmmeter", "under voltage only"])
def test_capacitance_is_named_as_possible_while_nothing_is_settled(live_only: bool) -> None:
    assert explains(assessed(UNLOADED, live_only), "capacitive_leakage") is True


def test_loads_establish_every_plausible_state_as_half_the_mains_behind_two_nanofarads() -> None:
    found = assessed(LOADED)
    plausible = [cell for cell in found.states if cell.plausible]

    assert len(plausible) == 2
    for cell in plausible:
        assert cell.established, cell.state.key
        assert found.number(cell.open_circuit_voltage).measured.value == pytest.approx(115.0, rel=0.005)
        assert found.number(cell.source_impedance).measured.value == pytest.approx(1.5915e6, rel=0.005)
        assert found.number(cell.available_fault_current).measured.value == pytest.approx(SHORTED, rel=0.005)
        assert found.number(cell.body_current).measured.value == pytest.approx(THROUGH_1_KILOHM, rel=0.005)


def test_loaded_readings_show_no_hazard_and_say_that_this_is_not_safety() -> None:
    found = assessed(LOADED)

    assert found.verdict.word is SignalWord.NONE_SHOWN
    assert found.verdict.word.value == "NO HAZARD SHOWN BY THESE READINGS"
    assert "no statement that the unit is safe" in found.verdict.sentence
    assert not any(number.id.startswith("possible.") for number in found.trace)


def test_the_touch_current_is_within_its_limit_by_these_readings() -> None:
    found = assessed(LOADED)
    touch = [item for item in found.limits if item.number.startswith("limits.touch-current.")]

    assert {item.state.key for item in touch if item.state} == {"straight-on", "reversed-on"}
    for item in touch:
        assert item.decision is LimitDecision.WITHIN
        assert item.probability < 1e-6
        assert found.number(item.number).measured.value < found.number(item.limit).measured.value


def test_the_readings_under_load_say_why_it_is_capacitance() -> None:
    found = assessed(LOADED)

    assert found.fit is not None
    assert found.fit.explanation == "capacitive_leakage"
    assert found.fit.consistent
    assert explains(found, "capacitive_leakage") is True
    assert explains(found, "resistive_fault") is False
    assert {route.capacitive for route in found.routes} == {True}
    against = [one for one in found.artefact if one.supports is False]
    assert any("capacitance" in one.text for one in against)
    assert not any(one.supports and "proved" not in one.text for one in found.artefact)


def test_one_load_short_of_it_is_still_not_excluded() -> None:
    """Without the two readings of a plug position under load that position is open again."""
    case = entered(LOADED)
    part = [one for one in case.readings if one.state.plug is PlugPosition.REVERSED]
    assert len(part) == 3
    dropped = {one.id for one in part[1:]}
    found = assess(replace(case, readings=tuple(one for one in case.readings if one.id not in dropped)))

    cells = {cell.state.key: cell for cell in found.states}
    assert cells["straight-on"].established
    assert not cells["reversed-on"].established
    assert found.verdict.word is SignalWord.NOT_EXCLUDED

"""An unloaded reading proves nothing by itself: lawful capacitors, lamps, isolation; and what settles it."""

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from hazardreport.assess.assessment import assess
from hazardreport.case.reading import Load, LoadKind, PlugPosition, Quantity, State, SupplyKind, SwitchPosition
from hazardreport.severity.terms import SignalWord

Make = Callable[..., Any]
OFF = State(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.OFF)
VOLTAGE = Quantity.VOLTAGE
MAINS = {
    120: {"nominal_voltage": 120.0, "frequency": 60.0, "element": 9.6},
    230: {"nominal_voltage": 230.0, "frequency": 50.0, "element": 26.45},
}


def ghost(bench: Make, volts: int, capacitance: float, other: float = 0.0) -> Any:
    """A unit without any fault, its metal joined to the poles by capacitors alone."""
    made = bench(**MAINS[volts])
    made.parameters = replace(
        made.parameters,
        fault_resistance=math.inf,
        leakage_capacitance_1=capacitance,
        leakage_capacitance_2=other,
        supply_voltage=float(volts),
    )
    return made.typed("FG", VOLTAGE, State(), f"{volts}.0 V")


@pytest.mark.parametrize(
    ("volts", "capacitance", "through_1_kilohm"),
    [(120, 4.7e-9, 0.2126e-3), (230, 4.7e-9, 0.3396e-3), (230, 2.2e-9, 0.1590e-3)],
)
def test_the_least_current_of_a_lawful_capacitor_is_never_overstated(
    bench: Make, volts: int, capacitance: float, through_1_kilohm: float
) -> None:
    """Computed with a circuit simulator: what these capacitors drive through 1 kilohm."""
    found = assess(ghost(bench, volts, capacitance).read("AE", VOLTAGE, OFF).case)

    least = found.number("possible.straight-off.low")
    assert 0.0 < least.measured.value <= through_1_kilohm
    assert found.verdict.word is SignalWord.NOT_EXCLUDED
    assert not any(cell.established for cell in found.states)


def test_half_the_mains_through_capacitance_is_settled_by_a_load(bench: Make) -> None:
    made = ghost(bench, 230, 1e-9, 1e-9)
    unloaded = assess(made.read("AE", VOLTAGE, OFF).case)
    loaded = assess(made.read("AE", VOLTAGE, OFF, Load(kind=LoadKind.RESISTOR, resistance=3e3, tolerance=0.01)).case)

    state = next(cell for cell in loaded.states if cell.state.key == "straight-off")
    assert unloaded.verdict.word is SignalWord.NOT_EXCLUDED
    assert not next(cell for cell in unloaded.states if cell.state.key == "straight-off").established
    assert state.established
    assert loaded.number(state.body_current).measured.value < 0.15e-3
    assert loaded.verdict.word is SignalWord.NOT_EXCLUDED


def test_a_dark_lamp_proves_nothing_and_a_lit_diode_neither(bench: Make) -> None:
    lamp = Load(kind=LoadKind.LAMP, rated_voltage=120.0, rated_power=15.0)
    diode = Load(kind=LoadKind.OTHER_LAMP)
    for load, seen in ((lamp, "dark"), (diode, "full")):
        found = assess(ghost(bench, 120, 0.0).typed("AE", Quantity.LAMP, OFF, seen, load).case)

        assert found.routes == ()
        assert found.verdict.word is SignalWord.NOT_EXCLUDED


def test_behind_an_isolating_transformer_a_deadly_unit_reads_near_zero_and_is_not_cleared(bench: Make) -> None:
    made = ghost(bench, 120, 0.0).typed("AE", VOLTAGE, OFF, "0.4 V")
    load = Load(kind=LoadKind.RESISTOR, resistance=3e3, tolerance=0.01)
    made.typed("AE", VOLTAGE, OFF, "0.0 V", load)
    case = replace(
        made.case, readings=tuple(replace(reading, supply=SupplyKind.ISOLATING) for reading in made.case.readings)
    )

    assert assess(case).verdict.word is SignalWord.NOT_EXCLUDED


def test_a_third_load_tells_a_capacitance_from_a_resistance(bench: Make) -> None:
    """47 and 3 kilohm beside the meter: a capacitance of 33 nF and a resistance answer the middle load apart."""
    made = ghost(bench, 230, 33e-9, 33e-9)
    made.read("AE", VOLTAGE, OFF)
    made.read("AE", VOLTAGE, OFF, Load(kind=LoadKind.RESISTOR, resistance=3e3, tolerance=0.001))
    open_ = assess(made.case)
    made.read("AE", VOLTAGE, OFF, Load(kind=LoadKind.RESISTOR, resistance=47e3, tolerance=0.001))
    told = assess(made.case)

    assert {route.capacitive for route in open_.routes} == {False, True}
    assert {route.capacitive for route in told.routes} == {True}


def test_of_two_natures_the_worse_counts_for_each_person(bench: Make) -> None:
    """Resistive is worse below the second test load: a person of about 1 kilohm after a load of 47 kilohm."""
    made = ghost(bench, 230, 33e-9, 33e-9)
    made.read("AE", VOLTAGE, OFF)
    made.read("AE", VOLTAGE, OFF, Load(kind=LoadKind.RESISTOR, resistance=47e3, tolerance=0.001))
    found = assess(made.case)

    routes = {route.capacitive: found.number(route.available_fault_current).measured.value for route in found.routes}
    state = next(cell for cell in found.states if cell.state.key == "straight-off")
    assert routes[False] > routes[True]
    assert routes[True] < found.number(state.body_current).measured.value < routes[False]


def test_a_resistance_that_would_need_more_than_the_supply_is_out(bench: Make) -> None:
    """33 nF from the live pole alone stand at the full supply: as a resistance they would need more than that."""
    made = ghost(bench, 230, 33e-9)
    made.read("AE", VOLTAGE, OFF)
    made.read("AE", VOLTAGE, OFF, Load(kind=LoadKind.RESISTOR, resistance=3e3, tolerance=0.001))

    assert {route.capacitive for route in assess(made.case).routes} == {True}

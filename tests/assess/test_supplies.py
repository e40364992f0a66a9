"""Supplies and wirings beyond one earthed neutral: what the assessment says of them."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from hazardreport.assess.assessment import assess
from hazardreport.assess.records import Assessment
from hazardreport.case.reading import Load, LoadKind, PlugPosition, Quantity, State, SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Earthing, Element, Filter, ProtectiveEarth, Supply, SupplyFault, SwitchPoles
from hazardreport.severity.terms import SignalWord

Make = Callable[..., Any]
DEAD = State(plug=PlugPosition.UNPLUGGED, switch=SwitchPosition.ON)
OFF = State(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.OFF)
ON = State(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.ON)
STRAIGHT_OFF = UnitState(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.OFF)
RESISTANCE, VOLTAGE = Quantity.RESISTANCE, Quantity.VOLTAGE


def dead(made: Any) -> Any:
    """The bench with the supply and three resistances of the unplugged unit; a lost neutral is no pole to read."""
    lost = made.wiring.supply_fault is not SupplyFault.NONE
    made.typed("FE" if lost else "FG", VOLTAGE, DEAD, f"{made.wiring.nominal_voltage:.1f} V")
    for points in ("BA", "CA", "BC"):
        made.read(points, RESISTANCE, DEAD)
    return made


def volts(found: Assessment, state: UnitState) -> float:
    cell = found.cell(state)
    assert cell is not None
    assert cell.open_circuit_voltage, state
    return found.number(cell.open_circuit_voltage).measured.value


def test_with_two_live_poles_every_off_state_is_live_at_half_the_voltage(bench: Make) -> None:
    """240 V split-phase: each pole 120 V to earth; a single-pole switch leaves the part live whichever way round."""
    made = dead(bench(supply=Supply.TWO_LIVE_POLES, nominal_voltage=240.0, element=38.4, fault_resistance=50.0))
    found = assess(made.case)

    for plug in (PlugPosition.STRAIGHT, PlugPosition.REVERSED):
        assert volts(found, UnitState(plug=plug, switch=SwitchPosition.OFF)) == pytest.approx(120.0, rel=0.01)
    assert found.verdict.word is SignalWord.DANGER


def test_a_fault_in_the_middle_between_two_live_poles_is_at_no_voltage_while_on(bench: Make) -> None:
    made = dead(bench(supply=Supply.TWO_LIVE_POLES, nominal_voltage=240.0, element=38.4, fault_position=0.5))
    found = assess(made.case)

    assert volts(found, UnitState(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.ON)) < 3.0
    assert volts(found, STRAIGHT_OFF) == pytest.approx(120.0, rel=0.01)


def test_two_phases_of_three_stand_at_the_voltage_of_one_phase_to_earth(bench: Make) -> None:
    made = dead(bench(supply=Supply.TWO_PHASES, nominal_voltage=400.0, element=80.0, fault_resistance=50.0))

    assert volts(assess(made.case), STRAIGHT_OFF) == pytest.approx(400.0 / 3.0**0.5, rel=0.01)


def test_with_the_neutral_lost_the_part_is_live_when_switched_on(bench: Make) -> None:
    """Straight and on: through the element the whole unit rises to the line."""
    sound = assess(dead(bench(fault_position=1.0)).case)
    lost = assess(dead(bench(fault_position=1.0, supply_fault=SupplyFault.NEUTRAL)).case)
    state = UnitState(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.ON)

    assert volts(sound, state) < 6.0
    assert volts(lost, state) == pytest.approx(120.0, rel=0.01)


def test_with_the_pen_lost_a_connected_earth_makes_the_part_live(bench: Make) -> None:
    wiring = {"protective_earth": ProtectiveEarth.CONNECTED, "cord_cores": 3, "supply_fault": SupplyFault.PEN}
    made = dead(bench(fault_position=0.5, fault_resistance=1e5, **wiring))
    found = assess(made.case)
    state = UnitState(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.ON, earthed=True)

    assert volts(found, state) == pytest.approx(120.0, rel=0.01)


def test_an_earth_that_leads_to_an_electrode_leaves_more_voltage_on_the_part(bench: Make) -> None:
    wiring = {"protective_earth": ProtectiveEarth.CONNECTED, "cord_cores": 3}
    at_supply = assess(dead(bench(fault_position=0.5, fault_resistance=1.0, **wiring)).case)
    at_electrode = assess(
        dead(
            bench(
                fault_position=0.5,
                fault_resistance=1.0,
                earthing=Earthing.TT,
                electrode_resistance=20.0,
                **wiring,
            )
        ).case
    )
    state = UnitState(plug=PlugPosition.REVERSED, switch=SwitchPosition.OFF, earthed=True)

    assert volts(at_electrode, state) > 5.0 * volts(at_supply, state)


def test_a_thermostat_in_the_other_pole_is_a_state_of_its_own(bench: Make) -> None:
    made = dead(bench(cut_out=SwitchPoles.POLE_2, fault_resistance=50.0))
    found = assess(made.case)
    state = UnitState(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.ON, cut_out_open=True)

    assert volts(found, state) == pytest.approx(120.0, rel=0.01)
    assert "thermostat" in found.number(f"state.{state.key}.U0").name


def test_a_lawful_filter_is_told_from_a_fault(bench: Make) -> None:
    """Y capacitors of 2.2 nF as stated explain the readings; nothing beyond them is found."""
    made = bench(
        filter=Filter(y_capacitance_1=2.2e-9, y_capacitance_2=2.2e-9), fault_resistance=1e9, nominal_voltage=120.0
    )
    made.typed("FG", VOLTAGE, DEAD, "120.0 V")
    for state in (OFF, replace(OFF, plug=PlugPosition.REVERSED), ON, replace(ON, plug=PlugPosition.REVERSED)):
        made.read("AE", VOLTAGE, state)
        made.read("AE", VOLTAGE, state, Load(kind=LoadKind.RESISTOR, resistance=3e3, tolerance=0.01))
    found = assess(made.case)

    assert found.fit is not None
    assert found.fit.consistent
    assert found.verdict.word is SignalWord.NONE_SHOWN


def test_a_further_element_takes_its_share_between_the_pins(bench: Make) -> None:
    """Two elements of 1500 W: the pins read half of one, and the fault is still found where it is."""
    second = Element(rated_voltage=120.0, rated_power=1500.0, hot_factor=1.0)
    found = assess(dead(bench(more_elements=(second,), fault_resistance=20.0, fault_position=0.25)).case)

    assert found.fit is not None
    assert found.fit.consistent is not False
    assert found.number("fit.x").measured.value == pytest.approx(0.25, abs=0.02)
    assert found.number("fit.Rf").measured.value == pytest.approx(20.0, rel=0.02)


@pytest.mark.parametrize("supply", [Supply.TWO_LIVE_POLES, Supply.TWO_PHASES])
def test_an_unloaded_reading_leaves_open_no_more_than_a_pole_has_to_earth(bench: Make, supply: Supply) -> None:
    made = bench(supply=supply, nominal_voltage=240.0).typed("FG", VOLTAGE, DEAD, "240.0 V")
    found = assess(made.typed("AE", VOLTAGE, OFF, "100 V").case)

    assert found.verdict.word is SignalWord.NOT_EXCLUDED
    assert not any(cell.established for cell in found.states)


def test_outside_the_frequency_of_the_zones_no_person_is_calculated(bench: Make) -> None:
    """400 Hz, as on aircraft: the source is still told, the danger is not guessed."""
    found = assess(dead(bench(50.0, frequency=400.0)).case)

    assert found.exposures == ()
    assert "frequency_outside" in {problem.key for problem in found.problems}
    assert volts(found, UnitState(plug=PlugPosition.REVERSED, switch=SwitchPosition.OFF)) == pytest.approx(120.0, 0.01)
    assert found.verdict.word is SignalWord.NOT_EXCLUDED

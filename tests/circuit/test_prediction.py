"""What the fit says of states that hardly any current reaches stays finite, or is infinite and said so."""

from collections.abc import Callable

import numpy as np
import pytest

from hazardreport.case.picture import PointRole
from hazardreport.case.reading import PlugPosition, Quantity, State, SwitchPosition, Temperature
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Element, Wiring
from hazardreport.circuit.fit import fit
from hazardreport.circuit.free_parameters import MOST_RESISTANCE
from hazardreport.circuit.observations import Observation
from hazardreport.circuit.prediction import currents_function, predicted_states, prediction
from hazardreport.circuit.rivals import CAPACITIVE

STRAIGHT, REVERSED, UNPLUGGED = PlugPosition.STRAIGHT, PlugPosition.REVERSED, PlugPosition.UNPLUGGED
ON, OFF = SwitchPosition.ON, SwitchPosition.OFF
FLOATING = State(plug=REVERSED, switch=OFF, temperature=Temperature.WORKING)
LIVE = tuple(UnitState(plug=plug, switch=switch) for plug in (STRAIGHT, REVERSED) for switch in (OFF, ON))


def volts(id: str, state: State, value: float, u: float, load: float = 1e7) -> Observation:
    """Of the touchable part to earth, or of the supply where nothing is plugged in."""
    supply = state.plug is UNPLUGGED
    return Observation(
        id=id,
        kind=Quantity.VOLTAGE,
        first=PointRole.LINE if supply else PointRole.TOUCHABLE_PART,
        second=PointRole.NEUTRAL if supply else PointRole.EARTH,
        state=state,
        value=value,
        standard_uncertainty=u,
        load_impedance=load,
    )


def clean(*states: tuple[PlugPosition, SwitchPosition]) -> list[Observation]:
    """A meter's last digit at the part, alone and beside 47 kΩ."""
    found = [volts("supply", State(), 230.0, 1.35)]
    for plug, switch in states:
        state = State(plug=plug, switch=switch, temperature=Temperature.WORKING)
        name = f"{plug.value} {switch.value}"
        found += [volts(name, state, 0.02, 0.029), volts(f"{name} loaded", state, 0.0, 0.029, 1e7 * 47e3 / 10.047e6)]
    return found


@pytest.fixture
def unit(wiring: Callable[..., Wiring]) -> Wiring:
    return wiring(230.0, element=Element(rated_voltage=230.0, rated_power=2000.0, hot_factor=1.0))


@pytest.mark.parametrize("states", [((REVERSED, OFF),), ((REVERSED, OFF), (STRAIGHT, ON))])
def test_next_to_no_leakage_at_all_a_prediction_has_a_finite_covariance(
    unit: Wiring, states: tuple[tuple[PlugPosition, SwitchPosition], ...]
) -> None:
    found = fit(clean(*states), unit, None, CAPACITIVE)
    for one in predicted_states(found, unit, LIVE):
        assert np.isfinite(one.source.covariance).all()
        assert not np.isnan([one.source.low, one.source.high]).any()
        assert (one.source.low <= one.source.high).all()
    for state in LIVE:
        touched = prediction(currents_function(unit, found.free, state, 1000.0), found)
        assert np.isfinite(touched.covariance).all()
        assert (touched.low <= touched.high).all()


def test_a_unit_that_passes_no_current_is_fitted_without_a_fault_that_conducts(unit: Wiring) -> None:
    """A meter of 10 MΩ would show 2.28 V behind 1 GΩ."""
    found = fit(clean((REVERSED, OFF), (STRAIGHT, ON), (REVERSED, ON), (STRAIGHT, OFF)), unit)
    assert found.chi_square < 1.0
    assert found.consistent
    assert found.parameters.fault_resistance > 1e10
    again = fit(clean((REVERSED, OFF), (STRAIGHT, ON), (REVERSED, ON), (STRAIGHT, OFF)), unit, found)
    assert again.chi_square == pytest.approx(found.chi_square, abs=1e-6)
    for one in predicted_states(found, unit, LIVE):
        assert np.isfinite(one.source.covariance).all()
        assert one.probe.high[0] < 1e-7


def test_readings_that_leave_the_fault_open_leave_its_range_as_it_was(unit: Wiring) -> None:
    found = fit([volts("supply", State(), 230.0, 1.35), volts("off", FLOATING, 229.9, 0.5)], unit)
    assert found.free.upper[found.names.index("fault_resistance")] == MOST_RESISTANCE

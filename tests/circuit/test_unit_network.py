"""The unit's network: symmetry, limits, states that trap, refusals."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport import wording
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import EarthState, PlugPosition, Quantity, State, SwitchPosition, Temperature
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import ProtectiveEarth, Supply, SwitchPoles, Wiring
from hazardreport.circuit.loads import Lamp, loaded_voltage
from hazardreport.circuit.observations import Observation, plan, predicted_reading
from hazardreport.circuit.thevenin import available_current, currents, source_at_part
from hazardreport.circuit.unit_network import (
    NetworkParameters,
    node_of,
    parameters_of,
    unit_netlist,
    unit_state,
)
from hazardreport.errors import (
    ObservationNotPredictableError,
    StateNotPossibleError,
    SupplyNotSolvedError,
    WiringIncompleteError,
)

CALM = settings(derandomize=True, deadline=None, max_examples=40)
X, FAULT, ELEMENT = st.floats(0.0, 1.0), st.floats(0.0, 1e6), st.floats(5.0, 500.0)


def unit(x: float = 0.25, fault: float = 100.0, element: float = 9.6, **changes: Any) -> NetworkParameters:
    parameters = NetworkParameters(
        supply_voltage=120.0, frequency=60.0, element_resistance=element, fault_position=x, fault_resistance=fault
    )
    return replace(parameters, **changes)


@CALM
@given(X, FAULT, ELEMENT)
def test_turning_the_plug_is_turning_the_element_while_the_switch_is_on(
    wiring: Callable[..., Wiring], state: Callable[..., UnitState], x: float, fault: float, element: float
) -> None:
    straight = source_at_part(wiring(), unit(x, fault, element), state("S closed"))
    reversed_ = source_at_part(wiring(), unit(1.0 - x, fault, element), state("R closed"))
    assert np.allclose(straight, reversed_, rtol=1e-9, atol=1e-9)


@CALM
@given(X, FAULT, ELEMENT, st.sampled_from(["S closed", "R closed", "R open", "S open"]), st.booleans())
def test_the_source_of_a_state_gives_what_the_loaded_network_gives(
    wiring: Callable[..., Wiring],
    state: Callable[..., UnitState],
    x: float,
    fault: float,
    element: float,
    name: str,
    earthed: bool,
) -> None:
    voltage, impedance = source_at_part(wiring(), unit(x, fault, element), state(name, earthed))
    for load in (500.0, 3000.0 - 200j, 1e7):
        direct = currents(wiring(), unit(x, fault, element), state(name, earthed), load)
        assert float(direct.touch_voltage_true_earth) == pytest.approx(
            loaded_voltage(complex(voltage), complex(impedance), load), rel=1e-7, abs=1e-7
        )


@CALM
@given(X, FAULT, ELEMENT, st.sampled_from(["S closed", "R closed", "R open"]))
def test_all_power_of_the_supply_is_accounted_for(
    wiring: Callable[..., Wiring], state: Callable[..., UnitState], x: float, fault: float, element: float, name: str
) -> None:
    parameters = unit(x, fault, element)
    result = currents(wiring(), parameters, state(name, earthed=True), 1000.0)
    spent = (
        result.element_power
        + result.fault_power
        + 0.2 * result.line_current**2
        + 0.2 * (result.line_current - result.residual_current) ** 2
        + 0.3 * result.earth_current**2
        + 1000.0 * result.load_current**2
    )
    assert float(spent) == pytest.approx(120.0 * float(result.line_current), rel=1e-7)
    assert float(result.residual_current) == pytest.approx(float(result.load_current + result.earth_current), rel=1e-6)


def test_available_current_is_continuous_in_position_and_resistance_to_their_very_ends(
    wiring: Callable[..., Wiring], state: Callable[..., UnitState]
) -> None:
    for name in ("S closed", "R closed", "R open"):
        x = np.concatenate([[0.0], np.geomspace(1e-9, 0.5, 400), 1.0 - np.geomspace(0.5, 1e-9, 400), [1.0]])
        current = available_current(*source_at_part(wiring(), unit(x, 1.0), state(name)))
        assert np.max(np.abs(np.diff(current))) < 0.05 * current.max()
        r = np.concatenate([[0.0], np.geomspace(1e-9, 1e7, 2000)])
        current = available_current(*source_at_part(wiring(), unit(0.3, r), state(name)))
        assert np.max(np.abs(np.diff(current))) < 0.02 * current.max()
        assert (np.diff(current) <= 1e-9).all()


def test_a_dead_short_at_the_terminal_is_solved_exactly(
    wiring: Callable[..., Wiring], state: Callable[..., UnitState]
) -> None:
    voltage, impedance = source_at_part(wiring(), unit(0.0, 0.0), state("S closed"))
    assert complex(impedance) == pytest.approx(0.2 * 9.8 / 10.0)
    assert complex(voltage) == pytest.approx(120.0 * 9.8 / 10.0)
    off = source_at_part(wiring(), unit(1.0, 0.0), state("R open"))
    assert np.allclose(off, (120.0, 0.2))


def test_switched_off_in_pole_2_the_other_plug_position_is_the_deadly_one(
    wiring: Callable[..., Wiring], state: Callable[..., UnitState]
) -> None:
    pole_2 = wiring(120.0, SwitchPoles.POLE_2)
    live = source_at_part(pole_2, unit(), state("S open"))
    assert np.allclose(live, (120.0, 100.0 + 0.25 * 9.6 + 0.2))
    dead = source_at_part(pole_2, unit(), state("R open"))
    assert np.allclose(dead, (0.0, 100.0 + 0.25 * 9.6 + 0.2))


def test_a_double_pole_switch_leaves_no_source_and_its_leakage_a_weak_one(
    wiring: Callable[..., Wiring], state: Callable[..., UnitState]
) -> None:
    both = wiring(120.0, SwitchPoles.BOTH)
    voltage, impedance = source_at_part(both, unit(), state("R open"))
    assert (complex(voltage), complex(impedance).real) == (0.0, np.inf)
    assert float(available_current(voltage, impedance)) == 0.0
    assert float(currents(both, unit(), state("R open"), 1000.0).load_current) == 0.0
    leaking = source_at_part(both, unit(switch_leak_resistance=1e6), state("R open"))
    assert 0.0 < float(available_current(*leaking)) < 0.25e-3


def test_a_lost_neutral_puts_the_whole_supply_on_the_part(
    wiring: Callable[..., Wiring], state: Callable[..., UnitState]
) -> None:
    lost = unit(neutral_resistance=np.inf)
    assert np.allclose(source_at_part(wiring(), lost, state("S closed")), (120.0, 0.25 * 9.6 + 100.2))
    assert np.allclose(source_at_part(wiring(), lost, state("R closed")), (120.0, 0.75 * 9.6 + 100.2))


def test_the_two_touch_voltages_share_the_protective_conductor(
    wiring: Callable[..., Wiring], state: Callable[..., UnitState]
) -> None:
    result = currents(wiring(), unit(fault=0.5), state("R open", earthed=True))
    bare = source_at_part(wiring(), unit(fault=0.5), state("R open"))
    current = abs(complex(bare[0])) / (complex(bare[1]).real + 0.3)
    assert float(result.earth_current) == pytest.approx(current)
    assert float(result.touch_voltage_true_earth) == pytest.approx(0.3 * current)
    assert float(result.touch_voltage_earth_bar) == pytest.approx(0.1 * current)
    assert float(result.line_current) == pytest.approx(current)


def test_readings_of_the_unplugged_unit_are_predicted_cold(wiring: Callable[..., Wiring]) -> None:
    parameters = unit(element=9.6 * 1.03, hot_factor=1.03)
    roles = (PointRole.PIN_1, PointRole.PIN_2, PointRole.TOUCHABLE_PART, PointRole.EARTH_PIN)
    first, second, part, earth_pin = roles

    def ohms(a: PointRole, b: PointRole, **state: Any) -> float:
        observation = Observation(
            id="r",
            kind=Quantity.RESISTANCE,
            first=a,
            second=b,
            state=State(**state),
            value=0.0,
            standard_uncertainty=1.0,
        )
        return float(predicted_reading(observation, wiring(), parameters))

    off = {"switch": SwitchPosition.OFF}
    assert ohms(first, part) == pytest.approx(100.0 + 2.4)
    assert ohms(second, part) == pytest.approx(100.0 + 7.2)
    assert ohms(first, second) == pytest.approx(9.6)
    assert ohms(first, second, temperature=Temperature.WORKING) == pytest.approx(9.6 * 1.03)
    assert ohms(first, part, **off) == np.inf
    assert ohms(first, second, **off) == np.inf
    assert ohms(second, part, **off) == pytest.approx(107.2)
    assert ohms(earth_pin, part) == np.inf
    assert ohms(earth_pin, part, earth=EarthState.CONNECTED) == pytest.approx(0.1)


def test_the_supply_can_be_read_beside_the_unit(wiring: Callable[..., Wiring]) -> None:
    observation = Observation(
        id="u",
        kind=Quantity.VOLTAGE,
        first=PointRole.LINE,
        second=PointRole.NEUTRAL,
        state=State(plug=PlugPosition.UNPLUGGED),
        value=120.0,
        standard_uncertainty=1.0,
    )
    assert float(predicted_reading(observation, wiring(), unit())) == pytest.approx(120.0)
    loaded = replace(observation, state=State(plug=PlugPosition.STRAIGHT))
    assert float(predicted_reading(loaded, wiring(), unit(fault=np.inf))) == pytest.approx(120.0 * 9.6 / 10.0)


def test_loads_of_every_kind_are_predicted(wiring: Callable[..., Wiring], state: Callable[..., UnitState]) -> None:
    lamp = Lamp(rated_voltage=120.0, rated_power=15.0)
    voltage, impedance = (complex(part) for part in source_at_part(wiring(), unit(), state("R open")))
    live = Observation(
        id="v",
        kind=Quantity.VOLTAGE,
        first=PointRole.TOUCHABLE_PART,
        second=PointRole.EARTH,
        state=State(plug=PlugPosition.REVERSED, switch=SwitchPosition.OFF),
        value=0.0,
        standard_uncertainty=1.0,
    )
    current = replace(live, kind=Quantity.CURRENT, load_impedance=3000.0)
    cases = (
        (live, abs(voltage)),
        (replace(live, load_impedance=3000.0 - 100j), loaded_voltage(voltage, impedance, 3000.0 - 100j)),
        (replace(live, lamp=lamp), loaded_voltage(voltage, impedance, lamp)),
        (current, abs(voltage) / abs(impedance + 3000.0)),
    )
    predicted = plan([observation for observation, _ in cases], wiring()).predict(unit())
    assert predicted.tolist() == pytest.approx([expected for _, expected in cases])
    batch = plan([observation for observation, _ in cases], wiring()).predict(unit(np.array([0.1, 0.25])))
    assert batch.shape == (2, 4)
    assert batch[1].tolist() == pytest.approx(predicted.tolist())


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"kind": Quantity.RESISTANCE}, "not_dead"),
        ({"state": State(plug=PlugPosition.UNPLUGGED)}, "not_live"),
        ({"kind": Quantity.CURRENT}, "current_needs_load"),
        ({"second": PointRole.OTHER}, "other_point"),
    ],
)
def test_a_reading_that_contradicts_its_state_is_refused(
    wiring: Callable[..., Wiring], changes: dict[str, Any], reason: str
) -> None:
    observation = Observation(
        id="v",
        kind=Quantity.VOLTAGE,
        first=PointRole.TOUCHABLE_PART,
        second=PointRole.EARTH,
        state=State(plug=PlugPosition.STRAIGHT),
        value=0.0,
        standard_uncertainty=1.0,
    )
    with pytest.raises(ObservationNotPredictableError) as caught:
        plan([replace(observation, **changes)], wiring())
    assert caught.value.reason == wording.sentence(f"circuit.observation.{reason}")


@pytest.mark.parametrize("supply", [Supply.ISOLATED, Supply.DIRECT_CURRENT])
def test_a_supply_that_is_not_solved_says_why_and_what_to_do(
    wiring: Callable[..., Wiring], state: Callable[..., UnitState], supply: Supply
) -> None:
    with pytest.raises(SupplyNotSolvedError) as caught:
        source_at_part(wiring(supply=supply), unit(), state("S closed"))
    assert supply.value in wording.what(caught.value)
    assert caught.value.reason in wording.what(caught.value)
    assert wording.remedy(caught.value) == caught.value.advice


def test_a_state_that_is_not_known_well_enough_is_refused(
    wiring: Callable[..., Wiring], state: Callable[..., UnitState]
) -> None:
    unknown = UnitState(plug=PlugPosition.UNKNOWN, switch=SwitchPosition.ON)
    for bad, where in (
        (wiring(120.0, SwitchPoles.UNKNOWN), state("S open")),
        (wiring(120.0, SwitchPoles.NONE), state("S open")),
        (wiring(), unknown),
    ):
        with pytest.raises(StateNotPossibleError) as caught:
            unit_netlist(bad, unit(), where)
        assert wording.remedy(caught.value)


@pytest.mark.parametrize("missing", ["nominal_voltage", "frequency"])
def test_a_wiring_without_its_supply_is_refused(wiring: Callable[..., Wiring], missing: str) -> None:
    with pytest.raises(WiringIncompleteError) as caught:
        parameters_of(
            replace(wiring(), **{missing: None}), element_resistance=9.6, fault_position=0.5, fault_resistance=1.0
        )
    assert caught.value.missing in missing.replace("_", " ")


def test_as_found_means_what_the_wiring_says_of_the_earth(wiring: Callable[..., Wiring]) -> None:
    connected = wiring(protective_earth=ProtectiveEarth.CONNECTED)
    assert unit_state(State(), connected).earthed
    assert not unit_state(State(), wiring()).earthed
    assert not unit_state(State(earth=EarthState.ABSENT), connected).earthed
    assert unit_state(State(earth=EarthState.CONNECTED), wiring()).earthed
    assert node_of(PointRole.OTHER, unit_state(State(), wiring())) is None

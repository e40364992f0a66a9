"""What must hold for any readings: truth comes back, order plays no role, bounds only limit, SciPy agrees."""

import math
from collections.abc import Callable
from dataclasses import replace
from types import ModuleType

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import least_squares

from hazardreport.case.picture import PointRole
from hazardreport.case.reading import PlugPosition, Quantity, State, SwitchPosition, Temperature
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Element, SecondPart, SwitchPoles, Wiring
from hazardreport.circuit.fit import fit
from hazardreport.circuit.free_parameters import ELEMENT, FAULT, POSITION, RESISTIVE, SECOND_LINK, SUPPLY
from hazardreport.circuit.network_parameters import parameters_of
from hazardreport.circuit.observations import Observation, plan
from hazardreport.circuit.prediction import predicted_state, predicted_states
from hazardreport.circuit.search import descend, scipy_minimum, starts
from hazardreport.circuit.squares import Squares, squares_of, whitening
from hazardreport.circuit.thevenin import source_at_part
from hazardreport.quantity.typed import Bound

PIN_1, PIN_2, PART, EARTH = PointRole.PIN_1, PointRole.PIN_2, PointRole.TOUCHABLE_PART, PointRole.EARTH
LINE, NEUTRAL = PointRole.LINE, PointRole.NEUTRAL


def reading(name: str, ends: tuple[PointRole, PointRole], state: State, load: complex = math.inf) -> Observation:
    kind = Quantity.RESISTANCE if state.plug is PlugPosition.UNPLUGGED else Quantity.VOLTAGE
    return Observation(
        id=name,
        kind=kind,
        first=ends[0],
        second=ends[1],
        state=state,
        value=0.0,
        standard_uncertainty=1.0,
        load_impedance=load,
    )


def live(plug: PlugPosition, switch: SwitchPosition) -> State:
    return State(plug=plug, switch=switch, temperature=Temperature.WORKING)


STRAIGHT_ON = live(PlugPosition.STRAIGHT, SwitchPosition.ON)
REVERSED_ON = live(PlugPosition.REVERSED, SwitchPosition.ON)
REVERSED_OFF = live(PlugPosition.REVERSED, SwitchPosition.OFF)
ALL = (
    reading("r1", (PIN_1, PART), State()),
    reading("r2", (PIN_2, PART), State()),
    reading("r", (PIN_1, PIN_2), State()),
    reading("supply", (LINE, NEUTRAL), STRAIGHT_ON, 1e7),
    *(
        reading(f"{name} {load:g}", (PART, EARTH), state, load)
        for name, state in (("straight", STRAIGHT_ON), ("reversed", REVERSED_ON), ("off", REVERSED_OFF))
        for load in (1e7, 47e3, 3e3)
    ),
)


def exact(asked: tuple[Observation, ...], wiring: Wiring, relative: float = 1e-3, **truth: float) -> list[Observation]:
    """The readings without errors, with a doubt of a share of each."""
    parameters = parameters_of(wiring, hot_factor=1.03, **truth)
    values = plan(asked, wiring).predict(parameters).tolist()
    return [
        replace(one, value=value, standard_uncertainty=max(relative * abs(value), 1e-4))
        for one, value in zip(asked, values, strict=True)
    ]


@settings(derandomize=True, deadline=None, max_examples=60)
@given(
    mains=st.sampled_from([(120.0, 60.0), (230.0, 50.0)]),
    position=st.floats(0.0, 1.0),
    fault=st.one_of(st.just(0.0), st.floats(-2.0, 6.0).map(lambda power: 10.0**power)),
    element=st.floats(5.0, 200.0),
    off_nominal=st.floats(0.95, 1.05),
)
def test_exact_readings_give_any_unit_back(
    mains: tuple[float, float], position: float, fault: float, element: float, off_nominal: float
) -> None:
    voltage, frequency = mains
    wiring = Wiring(
        nominal_voltage=voltage,
        frequency=frequency,
        switch=SwitchPoles.POLE_1,
        element=Element(rated_voltage=voltage, rated_power=voltage**2 / element),
    )
    readings = exact(
        ALL,
        wiring,
        element_resistance=element,
        fault_position=position,
        fault_resistance=fault,
        supply_voltage=off_nominal * voltage,
    )
    found = fit(readings, wiring)
    assert found.chi_square < 1e-3
    assert found.consistent
    assert found.parameters.supply_voltage == pytest.approx(off_nominal * voltage, rel=1e-4)
    assert found.parameters.element_resistance == pytest.approx(element, rel=1e-3)
    assert found.parameters.fault_resistance == pytest.approx(fault, rel=1e-3, abs=1e-3 * (1.0 + 0.05 * element))
    doubt = math.sqrt(found.covariance[found.names.index(POSITION), found.names.index(POSITION)])
    assert found.parameters.fault_position == pytest.approx(position, abs=max(1e-3, 0.05 * doubt))


@settings(derandomize=True, deadline=None, max_examples=20)
@given(order=st.permutations(range(len(ALL))), seed=st.integers(0, 5))
def test_the_order_of_the_readings_plays_no_role(order: list[int], seed: int) -> None:
    wiring = Wiring(nominal_voltage=120.0, frequency=60.0, switch=SwitchPoles.POLE_1)
    noise = np.random.default_rng(seed).normal(size=len(ALL))
    truth = {"element_resistance": 9.6, "fault_position": 0.3, "fault_resistance": 30.0}
    readings = [
        replace(
            one,
            value=one.value + error * one.standard_uncertainty,
            gain=one.kind.value,
            gain_uncertainty=0.7 * one.standard_uncertainty,
        )
        for one, error in zip(exact(ALL, wiring, **truth), noise.tolist(), strict=True)
    ]
    first, second = fit(readings, wiring), fit([readings[number] for number in order], wiring)
    assert second.chi_square == pytest.approx(first.chi_square, rel=1e-6, abs=1e-6)
    deviation = np.sqrt(np.diag(first.covariance))
    assert np.all(np.abs(second.estimates - first.estimates) < 1e-3 * deviation)


@pytest.mark.parametrize("seed", range(12))
def test_own_steps_and_scipy_end_at_the_same_point(seed: int, simulation: ModuleType) -> None:
    """Both are brought to their limit; SciPy begins elsewhere."""
    case = simulation.simulated(seed)
    found = fit(case.observations, case.wiring)
    squares = found.squares
    own, settled = descend(squares, found.estimates)
    assert settled
    other = scipy_minimum(squares, starts(squares)[0])
    if other.cost > own.cost + 1.0:  # SciPy alone may stay in another valley
        other = scipy_minimum(squares, starts(squares)[-1])
    assert own.cost == pytest.approx(other.cost, rel=1e-6, abs=1e-6)
    deviation = np.sqrt(np.diag(found.covariance))
    assert np.all(np.abs(own.vector - other.vector) < 1e-3 * deviation)


def test_the_refit_from_the_last_estimate_ends_where_scipys_bounded_search_does(simulation: ModuleType) -> None:
    case = simulation.simulated(4)
    last = fit(case.observations, case.wiring)
    changed = [*case.observations[:-1], replace(case.observations[-1], value=1.002 * case.observations[-1].value)]
    warm = fit(changed, case.wiring, last)
    squares = warm.squares
    reference = least_squares(
        lambda vector: squares.at(vector).rows,
        np.clip(warm.estimates, squares.free.lower + 1e-9, squares.free.upper - 1e-9),
        jac=lambda vector: squares.at(vector).slopes,
        bounds=(squares.free.lower, squares.free.upper),
        x_scale="jac",
        ftol=1e-15,
        xtol=1e-15,
        gtol=1e-15,
    )
    assert warm.chi_square == pytest.approx(2.0 * reference.cost, rel=1e-6, abs=1e-6)
    assert warm.estimates == pytest.approx(reference.x, rel=1e-6, abs=1e-6)


def test_readings_of_one_gain_are_whitened_by_their_covariance() -> None:
    group = [
        replace(ALL[k], gain="a" if k < 3 else "b", gain_uncertainty=0.5 + 0.1 * k, standard_uncertainty=1.0 + 0.2 * k)
        for k in range(5)
    ]
    doubts = np.array([one.standard_uncertainty for one in group])
    shared = np.array([one.gain_uncertainty for one in group])
    same = np.array([[a.gain == b.gain for b in group] for a in group])
    covariance = np.where(same, np.outer(shared, shared), 0.0)
    np.fill_diagonal(covariance, doubts**2)
    whiten = whitening(group, doubts).matrix()
    assert np.linalg.inv(whiten.T @ whiten) == pytest.approx(covariance)


def test_a_shared_gain_never_averages_away_and_never_contradicts(wiring: Callable[..., Wiring]) -> None:
    """Twenty readings of the same resistance by a meter that is 2 u wrong: honest doubt, no contradiction."""
    unit = wiring()
    many = tuple(replace(one, id=f"{one.id} {n}") for one in ALL[:3] for n in range(20))
    truth = {"element_resistance": 9.6, "fault_position": 0.3, "fault_resistance": 30.0}
    readings = [
        replace(one, value=1.02 * one.value, standard_uncertainty=0.0102 * one.value, gain="ohms",
                gain_uncertainty=0.01 * one.value)
        for one in exact(many, unit, **truth)
    ]  # fmt: skip
    found = fit(readings, unit)
    number = found.names.index(FAULT)
    assert found.consistent
    assert math.sqrt(found.covariance[number, number]) > 0.009 * 30.0


def over_range(one: Observation, value: float) -> Observation:
    return replace(one, id=f"{one.id} over range", bound=Bound.ABOVE, value=value, standard_uncertainty=0.01 * value)


def test_over_range_keeps_the_fault_above_it(wiring: Callable[..., Wiring]) -> None:
    unit = wiring()
    truth = {"element_resistance": 9.6, "fault_position": 0.3, "fault_resistance": 30.0}
    readings = [one for one in exact(ALL, unit, **truth) if one.id in ("r", "supply")]
    bounds = [over_range(ALL[0], 4e7), over_range(ALL[1], 4e7)]
    found = fit([*readings, *bounds], unit)
    assert found.broken_bounds == ()
    assert found.parameters.fault_resistance >= 0.98 * 4e7 * (1.0 - 2e-3)
    low, high = found.intervals[found.names.index(FAULT)]
    assert 0.97 * 4e7 < low <= 0.98 * 4e7
    assert high == 1e9
    off = predicted_state(found, unit, UnitState(plug=PlugPosition.REVERSED, switch=SwitchPosition.OFF))
    assert off.probe.high[0] < 1e-4


def test_a_bound_inside_the_doubt_limits_the_fit_and_costs_no_chi_square(wiring: Callable[..., Wiring]) -> None:
    unit = wiring()
    truth = {"element_resistance": 9.6, "fault_position": 0.3, "fault_resistance": 5.0}
    readings = exact(ALL, unit, relative=0.05, **truth)
    free = fit(readings, unit)
    edge = 1.05 * free.parameters.fault_resistance + 3.0
    bound = replace(readings[0], id="above", bound=Bound.ABOVE, value=edge, standard_uncertainty=1e-6)
    found = fit([*readings, bound], unit)
    assert found.broken_bounds == ()
    predicted = plan((bound,), unit).predict(found.parameters)[0]
    assert predicted >= edge * (1.0 - 2e-3)
    assert 0.0 < found.chi_square - free.chi_square < 3.85
    assert found.chi_square == pytest.approx(sum(one.standardized**2 * (1.0 - one.leverage)
                                                 for one in found.residuals) + _priors(found.squares, found.estimates),
                                             rel=1e-3)  # fmt: skip


def _priors(squares: Squares, vector: np.ndarray) -> float:
    return sum(((p.estimate - vector[p.number]) / p.standard_uncertainty) ** 2 for p in squares.free.priors)


def test_a_bound_that_the_values_contradict_is_named_and_changes_nothing(wiring: Callable[..., Wiring]) -> None:
    unit = wiring()
    truth = {"element_resistance": 9.6, "fault_position": 0.3, "fault_resistance": 30.0}
    readings = exact(ALL, unit, **truth)
    free = fit(readings, unit)
    kept = replace(readings[0], id="not above", bound=Bound.BELOW, value=100.0)
    found = fit([*readings, kept, over_range(readings[1], 4e7)], unit)
    assert found.broken_bounds == ("r2 over range",)
    assert found.chi_square == pytest.approx(free.chi_square, abs=1e-9)
    assert found.estimates == pytest.approx(free.estimates, rel=1e-6)


def test_a_second_part_has_a_link_of_its_own(wiring: Callable[..., Wiring]) -> None:
    unit = wiring(second_part=SecondPart.JOINED)
    truth = {"element_resistance": 9.6, "fault_position": 0.3, "fault_resistance": 30.0}
    asked = (*ALL, reading("link", (PART, PointRole.SECOND_PART), State()))
    parameters = replace(parameters_of(unit, hot_factor=1.03, **truth), second_part_resistance=12.0)
    readings = [
        replace(one, value=value, standard_uncertainty=1e-3 * value)
        for one, value in zip(asked, plan(asked, unit).predict(parameters).tolist(), strict=True)
    ]
    found = fit(readings, unit)
    assert SECOND_LINK in found.names
    assert found.is_determined(SECOND_LINK)
    assert found.parameters.second_part_resistance == pytest.approx(12.0, rel=1e-3)
    assert SECOND_LINK not in fit(readings[:-1], unit).names


@pytest.mark.parametrize("side", [0.2, 0.8])
def test_a_known_break_leaves_the_fault_on_either_side(side: float, wiring: Callable[..., Wiring]) -> None:
    unit = wiring(element=Element(rated_voltage=120.0, rated_power=1500.0, open_at=0.5))
    truth = {"element_resistance": 9.6, "fault_position": side, "fault_resistance": 3.0}
    asked = tuple(one for one in ALL if one.id not in ("r", "r2" if side < 0.5 else "r1"))
    found = fit(exact(asked, unit, **truth), unit)
    assert found.chi_square < 1e-3
    assert (found.parameters.fault_position < 0.5) == (side < 0.5)


def test_states_solved_together_are_those_solved_alone(wiring: Callable[..., Wiring]) -> None:
    unit = wiring()
    truth = {"element_resistance": 9.6, "fault_position": 0.3, "fault_resistance": 30.0}
    found = fit(exact(ALL, unit, **truth), unit)
    states = [
        UnitState(plug=plug, switch=switch, earthed=earthed)
        for plug in (PlugPosition.STRAIGHT, PlugPosition.REVERSED)
        for switch in (SwitchPosition.ON, SwitchPosition.OFF)
        for earthed in (False, True)
    ]
    for together, where in zip(predicted_states(found, unit, states), states, strict=True):
        alone = predicted_state(found, unit, where)
        voltage, impedance = source_at_part(unit, found.parameters, where)
        assert together.state == where
        assert together.determined == alone.determined
        assert together.source.values == pytest.approx(alone.source.values, nan_ok=True)
        assert together.source.low == pytest.approx(alone.source.low, nan_ok=True)
        assert together.source.values[0] == pytest.approx(abs(complex(voltage)), abs=1e-9)
        assert together.source.values[1] == pytest.approx(complex(impedance).real)
    assert predicted_states(found, unit, []) == ()


def test_without_a_path_a_reading_is_left_out_before_anything_is_whitened(wiring: Callable[..., Wiring]) -> None:
    unit = wiring()
    truth = {"element_resistance": 9.6, "fault_position": 0.3, "fault_resistance": 30.0}
    off = replace(reading("leak", (PIN_1, PART), State(switch=SwitchPosition.OFF)), value=5e6, standard_uncertainty=1e4)
    squares, loose = squares_of([*exact(ALL, unit, **truth), off], unit, RESISTIVE)
    assert loose == ("leak",)
    assert len(squares.values) == len(ALL)
    assert {SUPPLY, ELEMENT, POSITION, FAULT} <= set(squares.free.names)

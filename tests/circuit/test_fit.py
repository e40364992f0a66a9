"""Fit to all readings: planted parameters come back, honest doubt, wrong readings are named, nothing is overstated."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from hazardreport.case.picture import PointRole
from hazardreport.case.reading import PlugPosition, Quantity, State, SwitchPosition, Temperature
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Element, SwitchPoles, Wiring
from hazardreport.circuit.fit import FitResult, critical_value, fit
from hazardreport.circuit.free_parameters import ELEMENT, FAULT, HOT, POSITION, SUPPLY
from hazardreport.circuit.loads import Lamp, lamp_relative_uncertainty
from hazardreport.circuit.misfit import profile, suspects
from hazardreport.circuit.observations import Observation, plan
from hazardreport.circuit.prediction import currents_function, predicted_state, prediction
from hazardreport.circuit.thevenin import available_current, source_at_part
from hazardreport.circuit.unit_network import NetworkParameters, parameters_of
from hazardreport.errors import NothingToFitError
from hazardreport.quantity.typed import Bound

PIN_1, PIN_2, PART, EARTH = PointRole.PIN_1, PointRole.PIN_2, PointRole.TOUCHABLE_PART, PointRole.EARTH
STRAIGHT, REVERSED, UNKNOWN = PlugPosition.STRAIGHT, PlugPosition.REVERSED, PlugPosition.UNKNOWN
ON, OFF = SwitchPosition.ON, SwitchPosition.OFF
METER = 1e7
LOADED = 3e3


def dead(id: str, first: PointRole, second: PointRole, u: float, switch: SwitchPosition = ON) -> Observation:
    state = State(switch=switch)
    return Observation(
        id=id, kind=Quantity.RESISTANCE, first=first, second=second, state=state, value=0.0, standard_uncertainty=u
    )


def live(id: str, plug: PlugPosition, switch: SwitchPosition, load: complex, u: float, **more: Any) -> Observation:
    fields = {
        "id": id,
        "kind": Quantity.VOLTAGE,
        "first": PART,
        "second": EARTH,
        "state": State(plug=plug, switch=switch, temperature=Temperature.WORKING),
        "value": 0.0,
        "standard_uncertainty": u,
        "load_impedance": load,
    }
    return Observation(**{**fields, **more})


SUPPLY_READING = live("supply", STRAIGHT, OFF, METER, 0.6, first=PointRole.LINE, second=PointRole.NEUTRAL)
OHMS = (dead("r1", PIN_1, PART, 0.2), dead("r2", PIN_2, PART, 0.2), dead("r", PIN_1, PIN_2, 0.15))
VOLTS = (
    live("on", STRAIGHT, ON, METER, 0.6),
    live("on loaded", STRAIGHT, ON, LOADED, 0.6),
    live("turned", REVERSED, ON, METER, 0.3),
    live("turned loaded", REVERSED, ON, LOADED, 0.3),
    live("off", REVERSED, OFF, METER, 0.6),
    live("off loaded", REVERSED, OFF, LOADED, 0.6),
)
ALL = (*OHMS, SUPPLY_READING, *VOLTS)


def true(wiring: Wiring, x: float = 0.25, fault: float = 25.0) -> NetworkParameters:
    return parameters_of(
        wiring,
        element_resistance=9.6,
        fault_position=x,
        fault_resistance=fault,
        hot_factor=1.03,
        supply_voltage=121.0,
    )


def read(
    observations: Sequence[Observation], wiring: Wiring, parameters: NetworkParameters, seed: int | None
) -> list[Observation]:
    """The readings as they would be, with their doubt drawn for a seed, or exact."""
    exact = plan(observations, wiring).predict(parameters)
    noise = np.zeros(len(exact)) if seed is None else np.random.default_rng(seed).normal(size=len(exact))
    return [
        replace(observation, value=float(value + observation.standard_uncertainty * error))
        for observation, value, error in zip(observations, exact, noise, strict=True)
    ]


def estimate(result: FitResult, name: str) -> float:
    return float(result.estimates[result.names.index(name)])


@pytest.mark.parametrize("x", [0.0, 0.03, 0.25, 0.5, 0.8, 1.0])
@pytest.mark.parametrize("fault", [0.0, 25.0, 4000.0])
def test_exact_readings_give_the_planted_unit_back(wiring: Callable[..., Wiring], x: float, fault: float) -> None:
    result = fit(read(ALL, wiring(), true(wiring(), x, fault), None), wiring())
    assert result.chi_square < 1e-3
    assert result.consistent
    assert estimate(result, SUPPLY) == pytest.approx(121.0, rel=1e-3)
    assert estimate(result, POSITION) == pytest.approx(x, abs=2e-3)
    assert estimate(result, FAULT) == pytest.approx(fault, abs=0.05, rel=2e-3)
    assert all(result.determined[result.names.index(name)] for name in (SUPPLY, ELEMENT, POSITION, FAULT))


@pytest.mark.parametrize("poles", [SwitchPoles.POLE_2, SwitchPoles.POLE_1])
def test_readings_of_the_switched_off_unit_fit_whichever_pole_is_interrupted(
    wiring: Callable[..., Wiring], poles: SwitchPoles
) -> None:
    unit = wiring(120.0, poles)
    live_way = STRAIGHT if poles is SwitchPoles.POLE_2 else REVERSED
    observations = (
        *OHMS,
        SUPPLY_READING,
        live("off", live_way, OFF, METER, 0.6),
        live("off loaded", live_way, OFF, LOADED, 0.6),
        dead("off leg", PIN_1 if poles is SwitchPoles.POLE_2 else PIN_2, PART, 0.2, OFF),
    )
    result = fit(read(observations, unit, true(unit), None), unit)
    assert result.chi_square < 1e-3
    assert result.unexplained == ()
    assert estimate(result, POSITION) == pytest.approx(0.25, abs=2e-3)
    deadly = predicted_state(result, unit, UnitState(plug=live_way, switch=OFF))
    assert deadly.source.values[0] == pytest.approx(121.0, rel=1e-3)
    assert deadly.determined


def test_intervals_hold_the_planted_values_in_19_of_20_draws(wiring: Callable[..., Wiring]) -> None:
    planted = {SUPPLY: 121.0, ELEMENT: 9.6, POSITION: 0.25, FAULT: 25.0}
    held: dict[str, list[bool]] = {name: [] for name in planted}
    agree = []
    last = None
    for seed in range(120):
        last = fit(read(ALL, wiring(), true(wiring()), seed), wiring(), last)
        agree.append(bool(last.consistent))
        for name, value in planted.items():
            low, high = last.intervals[last.names.index(name)]
            held[name].append(low <= value <= high)
    for name, hits in held.items():
        assert 0.89 <= np.mean(hits) <= 1.0, name
    assert 0.89 <= np.mean(agree) <= 1.0
    assert np.mean(held[POSITION]) < 0.999


def test_the_doubt_of_a_prediction_covers_the_truth_in_19_of_20_draws(
    wiring: Callable[..., Wiring], state: Callable[..., UnitState]
) -> None:
    truth = float(available_current(*source_at_part(wiring(), true(wiring()), state("R open"))))
    observations = (*OHMS, SUPPLY_READING, *VOLTS[:2])
    inside, last = [], None
    for seed in range(100):
        last = fit(read(observations, wiring(), true(wiring()), seed), wiring(), last)
        predicted = predicted_state(last, wiring(), state("R open"))
        assert predicted.determined
        inside.append(predicted.source.low[3] <= truth <= predicted.source.high[3])
    assert 0.89 <= np.mean(inside) <= 1.0


def test_a_wrong_reading_is_flagged_and_named_with_what_it_should_be(wiring: Callable[..., Wiring]) -> None:
    readings = read(ALL, wiring(), true(wiring()), 4)
    right = next(reading.value for reading in readings if reading.id == "turned loaded")
    wrong = [replace(reading, value=1.2 * right) if reading.id == "turned loaded" else reading for reading in readings]
    result = fit(wrong, wiring())
    assert result.consistent is False
    assert max(result.residuals, key=lambda residual: abs(residual.standardized)).id == "turned loaded"
    (suspect,) = suspects(wrong, wiring(), result)
    assert suspect.id == "turned loaded"
    assert suspect.expected == pytest.approx(right, abs=1.5)
    assert suspects(readings, wiring(), fit(readings, wiring())) == ()


def test_with_one_degree_of_freedom_no_single_reading_is_named(wiring: Callable[..., Wiring]) -> None:
    few = (SUPPLY_READING, live("off", REVERSED, OFF, METER, 0.6), live("off loaded", REVERSED, OFF, LOADED, 0.6))
    readings = read(few, wiring(element=Element()), true(wiring()), None)
    wrong = [replace(reading, value=reading.value + 20.0) if reading.id == "off" else reading for reading in readings]
    result = fit(wrong, wiring(element=Element()))
    assert result.dof == 1
    assert result.consistent is False
    assert len(suspects(wrong, wiring(element=Element()), result)) != 1


def test_what_the_readings_do_not_fix_is_said_to_be_undetermined(
    wiring: Callable[..., Wiring], state: Callable[..., UnitState]
) -> None:
    off_only = (SUPPLY_READING, live("off", REVERSED, OFF, METER, 0.6), live("off loaded", REVERSED, OFF, LOADED, 0.6))
    result = fit(read(off_only, wiring(), true(wiring()), None), wiring())
    assert not result.is_determined(POSITION)
    assert result.intervals[result.names.index(POSITION)] == (0.0, 1.0)
    assert predicted_state(result, wiring(), state("R open")).determined
    assert not predicted_state(result, wiring(), state("S closed")).determined
    assert result.is_determined(SUPPLY)


def test_a_measured_state_is_determined_even_where_its_parameters_are_not(
    wiring: Callable[..., Wiring], state: Callable[..., UnitState]
) -> None:
    """Two loaded readings and nothing known of the element."""
    unrated = wiring(element=Element())
    result = fit(read(VOLTS[:2], unrated, true(unrated), None), unrated)
    measured = predicted_state(result, unrated, state("S closed"))
    expected = source_at_part(unrated, true(unrated), state("S closed"))
    assert measured.determined
    assert measured.source.low[0] < abs(complex(expected[0])) < measured.source.high[0]
    assert measured.source.low[1] < complex(expected[1]).real < measured.source.high[1]
    off = predicted_state(result, unrated, state("R open"))
    assert off.source.low[0] < 121.0 < off.source.high[0]


def test_an_unloaded_reading_alone_determines_no_current(
    wiring: Callable[..., Wiring], state: Callable[..., UnitState]
) -> None:
    result = fit(read((live("off", REVERSED, OFF, METER, 0.6),), wiring(), true(wiring()), None), wiring())
    predicted = predicted_state(result, wiring(), state("R open"))
    assert not predicted.determined
    assert predicted.probe.low[0] < 1e-3
    assert result.consistent is None or result.dof == 0


def test_resistances_alone_predict_the_live_states(
    wiring: Callable[..., Wiring], state: Callable[..., UnitState]
) -> None:
    result = fit(read(OHMS, wiring(), true(wiring()), None), wiring())
    assert HOT in result.names
    off = predicted_state(result, wiring(), state("R open"))
    assert off.determined
    assert off.source.low[0] < 121.0 < off.source.high[0]
    assert off.source.values[1] == pytest.approx(25.0 + 0.75 * 9.6 + 0.2, rel=0.02)
    assert predicted_state(result, wiring(), state("S open")).source.values[0] == 0.0


def test_with_both_poles_open_no_source_is_predicted_and_that_is_determined(
    wiring: Callable[..., Wiring], state: Callable[..., UnitState]
) -> None:
    both = wiring(120.0, SwitchPoles.BOTH)
    result = fit(read(OHMS, both, true(both), None), both)
    off = predicted_state(result, both, state("R open"))
    assert off.determined
    assert off.source.values.tolist() == [0.0, np.inf, 0.0, 0.0]
    assert off.source.high.tolist() == [0.0, np.inf, 0.0, 0.0]
    assert off.probe.high.tolist() == [0.0]


def test_an_unknown_plug_position_carries_both_ways_round(wiring: Callable[..., Wiring]) -> None:
    unknown = [replace(reading, state=replace(reading.state, plug=UNKNOWN)) for reading in VOLTS[:2]]
    rated = wiring()
    readings = read(VOLTS[:2], rated, true(rated), None)
    told = [replace(u, value=r.value) for u, r in zip(unknown, readings, strict=True)]
    result = fit(told, rated)
    assert result.alternative is not None
    assert {result.plug, result.alternative.plug} == {STRAIGHT, REVERSED}
    positions = [estimate(result, POSITION), estimate(result.alternative, POSITION)]
    assert sum(positions) == pytest.approx(1.0, abs=1e-2)
    assert result.chi_square == pytest.approx(result.alternative.chi_square, abs=1e-3)
    again = fit(told, rated, result)
    assert estimate(again, POSITION) == pytest.approx(positions[0], abs=1e-3)


def test_resistances_tell_which_way_round_the_plug_was(wiring: Callable[..., Wiring]) -> None:
    readings = read(ALL, wiring(), true(wiring()), 11)
    hidden = [
        replace(reading, state=replace(reading.state, plug=UNKNOWN)) if reading.id.startswith("on") else reading
        for reading in readings
    ]
    result = fit(hidden, wiring())
    assert result.plug is STRAIGHT
    assert result.alternative is not None
    assert result.alternative.consistent is False


def test_a_bound_never_enters_the_squares_and_is_named_when_broken(wiring: Callable[..., Wiring]) -> None:
    readings = read(ALL, wiring(), true(wiring()), 7)
    plain = fit(readings, wiring())
    above = replace(readings[0], id="over range", bound=Bound.ABOVE, value=2e7)
    kept = replace(readings[0], id="not above", bound=Bound.BELOW, value=100.0)
    bounded = fit([*readings, above, kept], wiring())
    assert bounded.chi_square == pytest.approx(plain.chi_square, rel=1e-9)
    assert bounded.broken_bounds == ("over range",)


def test_a_reading_across_an_open_switch_is_left_out_and_named(wiring: Callable[..., Wiring]) -> None:
    across = replace(dead("leak", PIN_1, PART, 1e4, OFF), value=5e6)
    result = fit([*read(ALL, wiring(), true(wiring()), 7), across], wiring())
    assert result.unexplained == ("leak",)
    assert result.consistent


def test_a_lamp_reading_carries_the_doubt_of_the_lamp(wiring: Callable[..., Wiring]) -> None:
    lamp = Lamp(rated_voltage=120.0, rated_power=15.0)
    doubt = lamp_relative_uncertainty(lamp, 60.0)
    lit = live("lit", REVERSED, OFF, METER, 0.6, lamp=lamp, load_relative_uncertainty=doubt)
    observations = (SUPPLY_READING, VOLTS[4], lit)
    planted = true(wiring(), 0.25, 500.0)
    result = fit(read(observations, wiring(), planted, None), wiring())
    exact = fit(
        read((*observations[:2], replace(lit, load_relative_uncertainty=0.0)), wiring(), planted, None), wiring()
    )
    number = result.names.index(FAULT)
    assert estimate(result, FAULT) == pytest.approx(500.0, abs=20.0)
    assert result.covariance[number, number] > 4.0 * exact.covariance[number, number]
    assert next(r for r in result.residuals if r.id == "lit").standard_uncertainty > 1.0


def test_at_a_physical_bound_the_profile_gives_a_one_sided_interval(wiring: Callable[..., Wiring]) -> None:
    readings = read(ALL, wiring(), true(wiring(), 0.0, 0.0), 2)
    result = fit(readings, wiring())
    low, high = profile(result, FAULT)
    assert low is None
    assert high is not None
    assert 0.0 < high < 1.0
    low, high = profile(result, SUPPLY)
    assert (low, high) == pytest.approx(result.intervals[result.names.index(SUPPLY)], rel=2e-3)


def test_the_last_estimate_as_a_start_changes_nothing_but_the_time(wiring: Callable[..., Wiring]) -> None:
    readings = read(ALL, wiring(), true(wiring()), 21)
    cold = fit(readings, wiring())
    start = fit(read(ALL, wiring(), true(wiring()), 22), wiring())
    warm = fit(readings, wiring(), start)
    assert warm.chi_square == pytest.approx(cold.chi_square, rel=1e-6)
    deviations = np.sqrt(np.diag(cold.covariance))
    assert np.all(np.abs(warm.estimates - cold.estimates) < 0.01 * deviations)


def test_if_it_had_been_earthed_comes_with_doubt(
    wiring: Callable[..., Wiring], state: Callable[..., UnitState]
) -> None:
    result = fit(read(ALL, wiring(), true(wiring()), 4), wiring())
    built_right = prediction(currents_function(wiring(), result.free, state("R open", earthed=True)), result)
    bar, true_earth, earth_current, line_current = built_right.values
    assert bar == pytest.approx(0.1 * earth_current)
    assert true_earth == pytest.approx(0.3 * earth_current)
    assert line_current == pytest.approx(earth_current)
    assert (built_right.low < built_right.values).all()
    assert (built_right.values < built_right.high).all()
    assert (built_right.standard_uncertainty > 0.0).all()


def test_nothing_to_fit_is_said(wiring: Callable[..., Wiring]) -> None:
    with pytest.raises(NothingToFitError):
        fit([], wiring())
    with pytest.raises(NothingToFitError):
        fit([replace(OHMS[0], bound=Bound.ABOVE, value=2e7)], wiring())


def test_the_critical_value_is_the_95_percent_point(printed: Callable[..., object]) -> None:
    assert critical_value(1) == printed("3.841")
    assert critical_value(5) == printed("11.070")
    assert critical_value(0) == 0.0

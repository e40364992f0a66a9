"""Explanations of the readings are fitted and ranked: the one that made the readings comes out first."""

import math
from collections.abc import Callable
from dataclasses import replace
from types import ModuleType
from typing import Any

import numpy as np
import pytest

from hazardreport.case.reading import EarthState, PlugPosition, Quantity
from hazardreport.case.wiring import Element, ProtectiveEarth, Wiring
from hazardreport.circuit.fit import fit
from hazardreport.circuit.network_parameters import NetworkParameters, parameters_of
from hazardreport.circuit.observations import Observation, plan
from hazardreport.circuit.rivals import RivalFit, rivals
from hazardreport.quantity.typed import Bound

TURNED = {PlugPosition.STRAIGHT: PlugPosition.REVERSED, PlugPosition.REVERSED: PlugPosition.STRAIGHT}


def truth(wiring: Wiring, **changes: Any) -> NetworkParameters:
    base = parameters_of(
        wiring, element_resistance=9.8, fault_position=0.3, fault_resistance=40.0, hot_factor=1.02, supply_voltage=119.0
    )
    return replace(base, **changes)


@pytest.fixture
def asked(simulation: ModuleType) -> list[Observation]:
    """Three resistances, the supply, and all four live states with meter and load."""
    rng = np.random.default_rng(0)
    found = simulation.asked(rng)
    while len(found) < 12:
        found = simulation.asked(rng)
    return found


def told(
    asked: list[Observation], wiring: Wiring, parameters: NetworkParameters, simulation: ModuleType, seed: int = 2
) -> list[Observation]:
    """The readings as they would be, with seeded errors; one without a path is over range."""
    rng = np.random.default_rng(seed)
    found = []
    for one, value in zip(asked, plan(asked, wiring).predict(parameters).tolist(), strict=True):
        if math.isinf(value):
            found.append(replace(one, bound=Bound.ABOVE, value=4e7, standard_uncertainty=4e5))
            continue
        right = simulation.doubted(one, value)
        error = right.standard_uncertainty * float(rng.uniform(-1.7, 1.7))
        found.append(replace(simulation.doubted(one, max(0.0, value + error)), gain_uncertainty=0.0))
    return found


def ranked(readings: list[Observation], wiring: Wiring) -> tuple[RivalFit, ...]:
    return rivals(readings, wiring, fit(readings, wiring))


def test_a_fault_through_a_resistance_explains_best(
    asked: list[Observation], wiring: Callable[..., Wiring], simulation: ModuleType
) -> None:
    found = ranked(told(asked, wiring(), truth(wiring()), simulation), wiring())
    assert found[0].key == "resistive_fault"
    assert found[0].explains
    assert found[0].difference == 0.0
    assert not found[0].against
    assert all(rival.explains is False for rival in found[1:])
    assert all(rival.against for rival in found[1:])
    assert [rival.score for rival in found] == sorted(rival.score for rival in found)


def test_leakage_through_capacitors_explains_what_it_made(
    asked: list[Observation], wiring: Callable[..., Wiring], simulation: ModuleType
) -> None:
    leaking = truth(wiring(), fault_resistance=math.inf, leakage_capacitance_1=2e-9, leakage_capacitance_2=4.7e-9)
    readings = told(asked, wiring(), leaking, simulation)
    found = ranked(readings, wiring())
    assert found[0].key == "capacitive_leakage"
    assert found[0].explains
    best = found[0].fit
    assert best is not None
    assert best.parameters.leakage_capacitance_1 == pytest.approx(2e-9, rel=0.05)
    assert best.parameters.leakage_capacitance_2 == pytest.approx(4.7e-9, rel=0.05)
    resistive = next(rival for rival in found if rival.key == "resistive_fault")
    assert resistive.explains is False


@pytest.mark.parametrize("broken", [0.1, 0.7])
def test_a_broken_element_explains_what_it_made(
    broken: float, asked: list[Observation], wiring: Callable[..., Wiring], simulation: ModuleType
) -> None:
    readings = told(asked, wiring(), truth(wiring(), open_position=broken), simulation)
    found = ranked(readings, wiring())
    assert found[0].key == "open_element"
    assert found[0].explains
    resistive = next(rival for rival in found if rival.key == "resistive_fault")
    assert resistive.explains is False
    assert "r" in resistive.against or resistive.chi_square > 100.0


def test_a_lost_neutral_explains_what_it_made(
    asked: list[Observation], wiring: Callable[..., Wiring], simulation: ModuleType
) -> None:
    unit_only = [one for one in asked if one.id != "supply"]
    readings = told(unit_only, wiring(), truth(wiring(), neutral_resistance=math.inf), simulation)
    found = ranked(readings, wiring())
    assert found[0].key == "lost_neutral"
    assert found[0].explains


def test_a_plug_noted_the_wrong_way_round_is_found(
    asked: list[Observation], wiring: Callable[..., Wiring], simulation: ModuleType
) -> None:
    readings = [
        replace(one, state=replace(one.state, plug=TURNED.get(one.state.plug, one.state.plug)))
        for one in told(asked, wiring(), truth(wiring()), simulation)
    ]
    found = ranked(readings, wiring())
    assert found[0].key == "reversed_plug"
    assert found[0].explains


def test_an_earth_that_was_noted_but_missing_is_found(
    asked: list[Observation], wiring: Callable[..., Wiring], simulation: ModuleType
) -> None:
    earthed = wiring(protective_earth=ProtectiveEarth.CONNECTED)
    absent = [replace(one, state=replace(one.state, earth=EarthState.ABSENT)) for one in asked]
    as_found = [
        replace(one, state=replace(one.state, earth=EarthState.AS_FOUND))
        for one in told(absent, earthed, truth(earthed), simulation)
    ]
    found = ranked(as_found, earthed)
    assert found[0].key == "earth_missing"
    assert found[0].explains


def test_which_of_two_elements_is_faulty_cannot_be_told_from_outside(
    asked: list[Observation], wiring: Callable[..., Wiring], simulation: ModuleType
) -> None:
    two = wiring(more_elements=(Element(rated_voltage=120.0, rated_power=300.0),))
    other = replace(two, faulty_element=2)
    planted = truth(other, element_resistance=49.0)
    found = ranked(told(asked, other, planted, simulation), two)
    assert {rival.key for rival in found[:2]} == {"resistive_fault", "further_element"}
    assert all(rival.explains for rival in found[:2])
    assert found[1].difference < 0.1
    further = next(rival for rival in found if rival.key == "further_element")
    assert further.element == 2
    assert further.fit is not None
    assert further.fit.parameters.fault_resistance == pytest.approx(40.0, rel=0.05)


def test_explanations_that_no_reading_concerns_are_left_out(
    asked: list[Observation], wiring: Callable[..., Wiring], simulation: ModuleType
) -> None:
    dead = [one for one in asked if one.kind is Quantity.RESISTANCE]
    keys = {rival.key for rival in ranked(told(dead, wiring(), truth(wiring()), simulation), wiring())}
    assert keys == {"resistive_fault", "capacitive_leakage", "open_element"}
    unknown = [
        replace(one, state=replace(one.state, plug=PlugPosition.UNKNOWN)) if one.state.plug in TURNED else one
        for one in told(asked, wiring(), truth(wiring()), simulation)
    ]
    assert "reversed_plug" not in {rival.key for rival in ranked(unknown, wiring())}
    open_ = wiring(element=Element(rated_voltage=120.0, rated_power=1500.0, open_at=0.6))
    readings = told(asked, open_, truth(open_, open_position=0.6), simulation)
    assert "open_element" not in {rival.key for rival in ranked(readings, open_)}


def test_what_an_explanation_leaves_without_a_path_counts_against_it(
    asked: list[Observation], wiring: Callable[..., Wiring], simulation: ModuleType
) -> None:
    dead = told([one for one in asked if one.kind is Quantity.RESISTANCE], wiring(), truth(wiring()), simulation)
    leakage = next(rival for rival in ranked(dead, wiring()) if rival.key == "capacitive_leakage")
    assert leakage.explains is False
    assert set(leakage.against) == {"r1", "r2"}


def test_an_explanation_without_a_degree_of_freedom_neither_explains_nor_fails(
    asked: list[Observation], wiring: Callable[..., Wiring], simulation: ModuleType
) -> None:
    single = [one for one in asked if one.id == "reversed off 1e+07"]
    found = ranked(told(single, wiring(), truth(wiring()), simulation), wiring())
    base = next(rival for rival in found if rival.key == "resistive_fault")
    assert base.explains is None
    assert base.probability is None


def test_an_explanation_that_breaks_a_bound_does_not_explain(
    asked: list[Observation], wiring: Callable[..., Wiring], simulation: ModuleType
) -> None:
    readings = told(asked, wiring(), truth(wiring()), simulation)
    bound = replace(readings[0], id="over range", bound=Bound.ABOVE, value=4e7, standard_uncertainty=4e5)
    found = ranked([*readings, bound], wiring())
    base = next(rival for rival in found if rival.key == "resistive_fault")
    assert base.explains is False
    assert base.against[0] == "over range"

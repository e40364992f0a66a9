"""A wrong reading is named, an honest one is not; intervals by profile."""

from dataclasses import replace
from types import ModuleType
from typing import Any

import numpy as np
import pytest

from hazardreport.case.reading import PlugPosition
from hazardreport.circuit.fit import fit
from hazardreport.circuit.misfit import bent, deletion_drops, profile, profiles, suspects
from hazardreport.circuit.observations import plan, predicted_reading

CASES = 100
TRIES = 20
TOLD_APART = 5.0
"""Standard uncertainties by which a planted value differs from the truth."""


def planted(case: Any, simulation: ModuleType, kind: str, rng: np.random.Generator) -> tuple[list[Any], str] | None:
    """The readings with one that is wrong where they suffice to tell; None where no such reading was found.

    Suffice: without it two degrees of freedom are left, and it is off by more than 5 u.
    """
    readings = list(case.observations)
    for number in rng.integers(len(readings), size=TRIES).tolist():
        right = readings[number]
        wrong = simulation.doubted(right, _wrong_value(case, simulation, right, kind, rng))
        truth = float(predicted_reading(right, case.wiring, case.truth))
        apart = abs(wrong.value - truth) > TOLD_APART * max(wrong.standard_uncertainty, right.standard_uncertainty)
        if apart and fit([*readings[:number], *readings[number + 1 :]], case.wiring).dof >= 2:
            readings[number] = wrong
            return readings, right.id
    return None


def _wrong_value(case: Any, simulation: ModuleType, right: Any, kind: str, rng: np.random.Generator) -> float:
    if kind == "factor 10":
        return float(right.value * (10.0, 0.1)[rng.integers(2)])
    if kind == "swapped unit":
        return float(right.value * (1e3, 1e-3)[rng.integers(2)])
    if right.state.plug is PlugPosition.UNPLUGGED or simulation.PART not in (right.first, right.second):
        return float(right.value)
    states = [state for state in simulation.LIVE_STATES if state != (right.state.plug, right.state.switch)]
    plug, switch = states[rng.integers(len(states))]
    elsewhere = replace(right, state=replace(right.state, plug=plug, switch=switch))
    return float(plan([elsewhere], case.wiring).predict(case.truth)[0])


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["factor 10", "swapped unit", "wrong state"])
def test_a_planted_wrong_reading_is_named_in_95_of_100_cases(kind: str, simulation: ModuleType) -> None:
    named = cases = seed = 0
    while cases < CASES:
        case = simulation.simulated(seed, within_limits=True)
        found = planted(case, simulation, kind, np.random.default_rng([seed, 7]))
        seed += 1
        if found is None:
            continue
        readings, wrong = found
        blamed = suspects(readings, case.wiring, fit(readings, case.wiring))
        named += [suspect.id for suspect in blamed] == [wrong]
        cases += 1
    assert named >= 95


@pytest.mark.parametrize("kind", ["factor 10", "swapped unit", "wrong state"])
def test_a_planted_wrong_reading_is_named(kind: str, simulation: ModuleType) -> None:
    named = cases = 0
    for seed in range(200, 208):
        case = simulation.simulated(seed, within_limits=True)
        found = planted(case, simulation, kind, np.random.default_rng([seed, 7]))
        if found is not None:
            readings, wrong = found
            blamed = suspects(readings, case.wiring, fit(readings, case.wiring))
            named += [suspect.id for suspect in blamed] == [wrong]
            cases += 1
    assert cases >= 5
    assert named >= cases - 1


@pytest.mark.slow
@pytest.mark.parametrize(("within_limits", "most"), [(False, 0.05), (True, 0.02)])
def test_in_honest_sets_a_reading_is_named_no_more_often_than_stated(
    within_limits: bool, most: float, simulation: ModuleType
) -> None:
    """5 % by chi-square for normal errors; errors within rectangular limits set it off in about 1 %."""
    named, cases = 0, 300
    for seed in range(5000, 5000 + cases):
        case = simulation.simulated(seed, within_limits=within_limits)
        named += len(suspects(case.observations, case.wiring, fit(case.observations, case.wiring))) == 1
    assert named <= most * cases


def test_the_drop_by_deletion_is_what_a_fit_without_the_reading_finds(simulation: ModuleType) -> None:
    case = simulation.simulated(3)
    whole = fit(case.observations, case.wiring)
    drops = deletion_drops(whole)
    for reading in case.observations:
        if reading.id in ("r", "supply"):
            continue  # without these a prior comes in
        rest = fit([other for other in case.observations if other.id != reading.id], case.wiring, whole)
        assert whole.chi_square - rest.chi_square == pytest.approx(drops[reading.id], abs=0.05)


def test_a_profile_of_a_straight_problem_is_the_interval_of_the_covariance(simulation: ModuleType) -> None:
    case = simulation.simulated(1)
    stated = replace(case.wiring.element, hot_factor=case.truth.hot_factor)
    found = fit(case.observations, replace(case.wiring, element=stated))
    straight = [name for name, curved in zip(found.names, bent(found), strict=True) if not curved]
    assert len(straight) >= 3
    assert [name for name, _, _ in profiles(found)] == [name for name in found.names if name not in straight]
    for name in straight:
        low, high = found.intervals[found.names.index(name)]
        ends = profile(found, name)
        assert ends[0] is not None
        assert ends[1] is not None
        assert ends == pytest.approx((low, high), abs=0.1 * (high - low))


def test_a_profile_has_no_end_where_the_readings_set_none(simulation: ModuleType) -> None:
    case = simulation.simulated(8)
    loose = [reading for reading in case.observations if reading.id in ("supply", "r")]
    found = fit(loose, case.wiring)
    ends = {name: (low, high) for name, low, high in profiles(found)}
    assert ends["fault_position"] == (None, None)
    assert ends["fault_resistance"] == (None, None)
    assert not found.is_determined("fault_resistance")

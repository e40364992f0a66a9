"""Propagation agrees with two independent libraries and keeps to its rules."""

import math

import GTC
import numpy as np
import pytest
import uncertainties
from uncertainties import umath

from hazardreport.quantity.propagation import (
    coverage_factor,
    effective_degrees_of_freedom,
    jacobian,
    mean_of_repeats,
    propagate,
)


def two_load_source(x: np.ndarray) -> np.ndarray:
    v1, v2, r1, r2 = x.T
    resistance = r1 * r2 * (v1 - v2) / (v2 * r1 - v1 * r2)
    return np.stack([resistance, v1 * (1.0 + resistance / r1)], axis=1)


ESTIMATES = [119.880, 27.677, 10e6, 3000.0]
UNCERTAINTIES = [0.865, 0.25, 60e3, 20.0]


def test_two_load_source_has_the_value_computed_apart(printed) -> None:
    value, _ = propagate(two_load_source, ESTIMATES, UNCERTAINTIES)
    assert [*value] == [printed("10007.19"), printed("120.000")]


def test_two_load_source_agrees_with_the_uncertainties_library() -> None:
    v1, v2, r1, r2 = (uncertainties.ufloat(x, u) for x, u in zip(ESTIMATES, UNCERTAINTIES, strict=True))
    resistance = r1 * r2 * (v1 - v2) / (v2 * r1 - v1 * r2)
    expected = uncertainties.covariance_matrix([resistance, v1 * (1 + resistance / r1)])

    _, covariance = propagate(two_load_source, ESTIMATES, UNCERTAINTIES)

    assert covariance == pytest.approx(np.array(expected), rel=1e-8)


def test_correlated_inputs_agree_with_the_uncertainties_library() -> None:
    inputs = np.array([[0.04, 0.018, 0.0], [0.018, 0.09, -0.01], [0.0, -0.01, 0.01]])
    a, b, c = uncertainties.correlated_values([2.0, 3.0, 0.5], inputs)
    expected = uncertainties.covariance_matrix([a * umath.sin(c), a / b + c])

    def equation(x: np.ndarray) -> np.ndarray:
        return np.stack([x[:, 0] * np.sin(x[:, 2]), x[:, 0] / x[:, 1] + x[:, 2]], axis=1)

    _, covariance = propagate(equation, [2.0, 3.0, 0.5], inputs)

    assert covariance == pytest.approx(np.array(expected), rel=1e-9)


def test_uncertainty_and_degrees_of_freedom_agree_with_gtc() -> None:
    voltage, current = GTC.ureal(0.1, 1e-3, df=4), GTC.ureal(15e-3, 0.5e-3, df=9)
    expected = voltage / current

    value, variance = propagate(lambda x: x[:, 0] / x[:, 1], [0.1, 15e-3], [1e-3, 0.5e-3])
    slopes = jacobian(lambda x: x[:, 0] / x[:, 1], [0.1, 15e-3], [1e-5, 1e-5])
    freedom = effective_degrees_of_freedom(np.abs(slopes) * [1e-3, 0.5e-3], [4.0, 9.0])

    assert float(value) == pytest.approx(GTC.value(expected), rel=1e-12)
    assert math.sqrt(float(variance)) == pytest.approx(GTC.uncertainty(expected), rel=1e-9)
    assert freedom == pytest.approx(GTC.dof(expected), rel=1e-8)


def test_one_batched_call_serves_the_whole_jacobian() -> None:
    calls = []

    def equation(x: np.ndarray) -> np.ndarray:
        calls.append(x.shape)
        return x.prod(axis=1)

    slopes = jacobian(equation, [2.0, 3.0, 5.0], [1e-3, 1e-3, 1e-3])

    assert calls == [(12, 3)]
    assert slopes == pytest.approx([15.0, 10.0, 6.0], rel=1e-10)


def test_second_order_of_a_straight_line_is_its_first_order() -> None:
    def equation(x: np.ndarray) -> np.ndarray:
        return x @ np.array([[1.0, -1.0], [2.0, 0.5]])

    first = propagate(equation, [3.0, 4.0], [0.1, 0.2])
    second = propagate(equation, [3.0, 4.0], [0.1, 0.2], second_order=True)

    assert second[0] == pytest.approx(first[0])
    assert second[1] == pytest.approx(first[1])


def test_second_order_agrees_with_a_monte_carlo_of_correlated_results() -> None:
    covariance = 0.2**2 * np.array([[1.0, 0.5], [0.5, 1.0]])

    def equation(x: np.ndarray) -> np.ndarray:
        return np.stack([x[:, 0] * x[:, 1], x[:, 0] ** 2], axis=1)

    draws = equation(np.random.default_rng(20261125).multivariate_normal([1.0, 2.0], covariance, 400_000))
    value, result = propagate(equation, [1.0, 2.0], covariance, second_order=True)

    assert value == pytest.approx(draws.mean(axis=0), rel=5e-3)
    assert result == pytest.approx(np.cov(draws, rowvar=False), rel=2e-2)


def test_an_input_without_doubt_gives_none() -> None:
    value, variance = propagate(lambda x: x[:, 0] + x[:, 1], [1.0, 0.0], [0.5, 0.0])
    assert (float(value), float(variance)) == (1.0, pytest.approx(0.25))


def test_degrees_of_freedom_are_infinite_where_no_contribution_limits_them() -> None:
    assert effective_degrees_of_freedom([1.0, 2.0], [math.inf, math.inf]) == math.inf
    assert coverage_factor(0.95) == pytest.approx(1.959964, abs=1e-6)


def test_a_spread_needs_two_values() -> None:
    with pytest.raises(ValueError, match="two values"):
        mean_of_repeats([1.0], "V")

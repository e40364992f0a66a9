"""Published examples for hazardreport.quantity.propagation."""

import math
from collections.abc import Callable

import numpy as np
import pytest

from hazardreport.quantity.propagation import (
    coverage_factor,
    effective_degrees_of_freedom,
    jacobian,
    mean_of_repeats,
    means_of_simultaneous_repeats,
    propagate,
)

Printed = Callable[[str], object]

# jcgm-100-2008, H.1: end gauge of 50 mm; lengths in nm.
STANDARD = 50.000623e6
DIFFERENCE = 215.0
EXPANSION = 11.5e-6
TEMPERATURE = -0.1
DIFFERENCE_PARTS = np.array([13.0 / math.sqrt(5.0), 10.0 / coverage_factor(0.95, 5), 20.0 / 3.0])
DIFFERENCE_FREEDOM = [24.0, 5.0, 8.0]
H1_ESTIMATES = [STANDARD, DIFFERENCE, 0.0, TEMPERATURE, EXPANSION, 0.0]
H1_UNCERTAINTIES = np.array(
    [
        25.0,
        float(np.hypot.reduce(DIFFERENCE_PARTS)),
        1e-6 / math.sqrt(3.0),
        math.hypot(0.2, 0.5 / math.sqrt(2.0)),
        2e-6 / math.sqrt(3.0),
        0.05 / math.sqrt(3.0),
    ]
)


def length(x: np.ndarray) -> np.ndarray:
    standard, difference, expansion_difference, temperature, expansion, temperature_difference = x.T
    return standard + difference - standard * (expansion_difference * temperature + expansion * temperature_difference)


@pytest.mark.published("jcgm-100-2008", "H.1.3.2")
def test_parts_of_the_comparator_s_uncertainty(printed: Printed) -> None:
    assert [*DIFFERENCE_PARTS] == [printed("5.8"), printed("3.9"), printed("6.7")]
    assert H1_UNCERTAINTIES[1] == printed("9.7")
    assert effective_degrees_of_freedom(DIFFERENCE_PARTS, DIFFERENCE_FREEDOM) == printed("25.6")


@pytest.mark.published("jcgm-100-2008", "Table H.1")
def test_contributions_of_the_end_gauge(printed: Printed) -> None:
    slopes = jacobian(length, H1_ESTIMATES, H1_UNCERTAINTIES)
    contributions = np.abs(slopes) * H1_UNCERTAINTIES

    expected = ("25", "9.7", "2.9", "0", "0", "16.6")
    assert [*contributions] == [printed(text) for text in expected]


@pytest.mark.published("jcgm-100-2008", "H.1.4 and H.1.6")
def test_length_of_the_end_gauge_with_its_uncertainty(printed: Printed) -> None:
    value, variance = propagate(length, H1_ESTIMATES, H1_UNCERTAINTIES)
    contributions = np.abs(jacobian(length, H1_ESTIMATES, H1_UNCERTAINTIES)) * H1_UNCERTAINTIES
    freedom = effective_degrees_of_freedom(
        contributions,
        [18.0, effective_degrees_of_freedom(DIFFERENCE_PARTS, DIFFERENCE_FREEDOM), 50.0, math.inf, math.inf, 2.0],
    )

    assert float(value) / 1e6 == printed("50.000838")
    assert math.sqrt(float(variance)) == printed("32")
    assert freedom == printed("16.7")
    assert coverage_factor(0.99, math.floor(freedom)) == printed("2.92")


@pytest.mark.published("jcgm-100-2008", "H.1.7")
def test_terms_of_second_order_of_the_end_gauge(printed: Printed) -> None:
    _, variance = propagate(length, H1_ESTIMATES, H1_UNCERTAINTIES, second_order=True)

    assert math.sqrt(float(variance)) == printed("34")


# jcgm-100-2008, Table H.2: five simultaneous readings, as printed.
READINGS = np.array(
    [
        [5.007, 4.994, 5.005, 4.990, 4.999],  # V
        [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3],  # A
        [1.0456, 1.0438, 1.0468, 1.0428, 1.0433],  # rad
    ]
).T


def impedance(x: np.ndarray) -> np.ndarray:
    voltage, current, phase = x.T
    modulus = voltage / current
    return np.stack([modulus * np.cos(phase), modulus * np.sin(phase), modulus], axis=1)


def correlations(covariance: np.ndarray) -> np.ndarray:
    deviations = np.sqrt(np.diag(covariance))
    return covariance / np.outer(deviations, deviations)


@pytest.mark.published("jcgm-100-2008", "Table H.2")
def test_means_of_simultaneous_readings(printed: Printed) -> None:
    means, covariance = means_of_simultaneous_repeats(READINGS)
    deviations = np.sqrt(np.diag(covariance))

    assert [*means] == [printed("4.9990"), printed("0.0196610"), printed("1.04446")]
    assert [*deviations] == [printed("0.0032"), printed("0.0000095"), printed("0.00075")]
    r = correlations(covariance)
    assert [r[0, 1], r[0, 2], r[1, 2]] == [printed("-0.36"), printed("0.86"), printed("-0.65")]
    assert mean_of_repeats(list(READINGS[:, 0]), "V").standard_uncertainty == printed("0.0032")
    assert mean_of_repeats(list(READINGS[:, 0]), "V").degrees_of_freedom == 4.0


@pytest.mark.published("jcgm-100-2008", "Table H.3")
def test_correlated_means_through_the_impedance(printed: Printed) -> None:
    means, covariance = means_of_simultaneous_repeats(READINGS)
    value, result = propagate(impedance, means, covariance)
    deviations = np.sqrt(np.diag(result))

    assert [*value] == [printed("127.732"), printed("219.847"), printed("254.260")]
    assert [deviations[0], deviations[2]] == [printed("0.071"), printed("0.236")]
    r = correlations(result)
    assert [r[0, 1], r[0, 2], r[1, 2]] == [printed("-0.588"), printed("-0.485"), printed("0.993")]


@pytest.mark.published("jcgm-100-2008", "Table H.4")
@pytest.mark.parametrize(
    ("column", "mean", "uncertainty"),
    [
        pytest.param(0, "127.732", "0.071", id="resistance"),
        pytest.param(1, "219.847", "0.295", id="reactance"),
        pytest.param(2, "254.260", "0.236", id="modulus"),
    ],
)
def test_impedance_of_each_instant_averaged(printed: Printed, column: int, mean: str, uncertainty: str) -> None:
    measured = mean_of_repeats(list(impedance(READINGS)[:, column]), "ohm")

    assert measured.value == printed(mean)
    assert measured.standard_uncertainty == printed(uncertainty)


@pytest.mark.published("jcgm-100-2008", "Table H.4")
def test_correlations_of_the_averaged_instants(printed: Printed) -> None:
    _, covariance = means_of_simultaneous_repeats(impedance(READINGS))
    r = correlations(covariance)

    assert [r[0, 1], r[0, 2], r[1, 2]] == [printed("-0.588"), printed("-0.485"), printed("0.993")]


# jcgm-100-2008, Table H.6: readings and corrections of a thermometer [degC].
TEMPERATURES = np.array([21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511])
CORRECTIONS = np.array([-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160])
DESIGN = np.stack([np.ones(11), TEMPERATURES - 20.0], axis=1)


def line(corrections: np.ndarray) -> np.ndarray:
    return np.linalg.lstsq(DESIGN, corrections.T, rcond=None)[0].T


@pytest.mark.published("jcgm-100-2008", "H.3.3 and H.3.4")
def test_calibration_line_of_a_thermometer(printed: Printed) -> None:
    residuals = CORRECTIONS - DESIGN @ line(CORRECTIONS)
    deviation = math.sqrt(float(residuals @ residuals) / 9.0)
    value, covariance = propagate(line, CORRECTIONS, np.full(11, deviation))
    u = np.sqrt(np.diag(covariance))

    assert deviation == printed("0.0035")
    assert [*value] == [printed("-0.1712"), printed("0.00218")]
    assert [*u] == [printed("0.0029"), printed("0.00067")]
    assert correlations(covariance)[0, 1] == printed("-0.930")

    correction, variance = propagate(lambda y: y[:, 0] + 10.0 * y[:, 1], value, covariance)
    assert float(correction) == printed("-0.1494")
    assert math.sqrt(float(variance)) == printed("0.0041")


@pytest.mark.published("jcgm-100-2008", "Table G.2")
@pytest.mark.parametrize(("freedom", "factor"), [(16, "2.17"), (math.inf, "2.00")])
def test_coverage_factor(printed: Printed, freedom: float, factor: str) -> None:
    assert coverage_factor(0.9545, freedom) == printed(factor)


@pytest.mark.published("jcgm-100-2008", "Table G.2, from memory")
@pytest.mark.parametrize(
    ("freedom", "factor"),
    [(1, "13.97"), (2, "4.53"), (3, "3.31"), (5, "2.65"), (10, "2.28"), (20, "2.13"), (50, "2.05")],
)
def test_coverage_factor_of_few_degrees_of_freedom(printed: Printed, freedom: float, factor: str) -> None:
    assert coverage_factor(0.9545, freedom) == printed(factor)


@pytest.mark.published("jcgm-101-2008", "9.4.2, from memory")
@pytest.mark.parametrize(
    ("x1", "value", "uncertainty"), [(0.0, "50", "50"), (0.010, "150", "112"), (0.050, "2550", "502")]
)
def test_comparison_loss_to_second_order(printed: Printed, x1: float, value: str, uncertainty: str) -> None:
    mean, variance = propagate(lambda x: (x**2).sum(axis=1), [x1, 0.0], [0.005, 0.005], second_order=True)

    assert float(mean) * 1e6 == printed(value)
    assert math.sqrt(float(variance)) * 1e6 == printed(uncertainty)


@pytest.mark.published("jcgm-101-2008", "9.4.3, from memory")
@pytest.mark.parametrize(("x1", "uncertainty"), [(0.0, "67"), (0.010, "121"), (0.050, "505")])
def test_comparison_loss_of_correlated_inputs(printed: Printed, x1: float, uncertainty: str) -> None:
    covariance = 0.005**2 * np.array([[1.0, 0.9], [0.9, 1.0]])
    _, variance = propagate(lambda x: (x**2).sum(axis=1), [x1, 0.0], covariance, second_order=True)

    assert math.sqrt(float(variance)) * 1e6 == printed(uncertainty)


# jcgm-101-2008, 9.3: deviation of a weight from its nominal mass, in mg; densities in kg/m³, rectangular.
def mass_deviation(x: np.ndarray) -> np.ndarray:
    standard, small, air, weight, reference = x.T
    return (standard + small) * (1.0 + (air - 1.2) * (1.0 / weight - 1.0 / reference)) - 100_000.0


MASS_ESTIMATES = [100_000.0, 1.234, 1.20, 8000.0, 8000.0]
MASS_UNCERTAINTIES = np.array([0.050, 0.020, 0.10 / math.sqrt(3.0), 1000.0 / math.sqrt(3.0), 50.0 / math.sqrt(3.0)])


@pytest.mark.published("jcgm-101-2008", "9.3.2, from memory")
@pytest.mark.parametrize(("second_order", "uncertainty"), [(False, "0.0539"), (True, "0.0750")])
def test_mass_calibration_to_first_and_second_order(printed: Printed, second_order: bool, uncertainty: str) -> None:
    value, variance = propagate(mass_deviation, MASS_ESTIMATES, MASS_UNCERTAINTIES, second_order=second_order)

    assert float(value) == printed("1.234")
    assert math.sqrt(float(variance)) == printed(uncertainty)


@pytest.mark.published("ea-4-02-2022", "S2")
def test_calibration_of_a_weight(printed: Printed) -> None:
    """From contributions to three digits, as a budget on paper is added up: their sum unrounded is 29.257 mg."""
    contributions = [45.0 / 2.0, 15.0 / math.sqrt(3.0), 25.0 / math.sqrt(3.0), 10.0 / math.sqrt(3.0)]
    unrounded = [*contributions, contributions[-1]]
    budget = [float(f"{part:.3g}") for part in unrounded]
    _, variance = propagate(lambda x: x.sum(axis=1), np.zeros(5), np.array(budget))

    assert math.sqrt(float(variance)) == printed("29.2")
    assert 2.0 * math.sqrt(float(variance)) == printed("58")
    assert math.hypot(*unrounded) == printed("29.26")


@pytest.mark.published("ea-4-02-2022", "S9, from memory")
def test_calibration_of_a_hand_held_meter(printed: Printed) -> None:
    """One rectangular part outweighs the rest: the coverage factor is that of a rectangle, 0.95·√3."""
    parts = [0.05 / math.sqrt(3.0), 0.002 / 2.0, 0.011 / math.sqrt(3.0)]
    value, variance = propagate(lambda x: x[:, 0] - x[:, 1] + x[:, 2], [100.1, 100.0, 0.0], np.array(parts))

    assert float(value) == printed("0.10")
    assert math.sqrt(float(variance)) == printed("0.030")
    assert 0.95 * math.sqrt(3.0) == printed("1.65")
    assert 0.95 * math.sqrt(3.0) * math.sqrt(float(variance)) == printed("0.05")


@pytest.mark.published("gtc-documentation", "a voltage over a current")
def test_resistance_of_a_voltage_and_a_current(printed: Printed) -> None:
    value, variance = propagate(lambda x: x[:, 0] / x[:, 1], [0.1, 15e-3], np.array([1e-3, 0.5e-3]))

    assert float(value) == printed("6.67")
    assert math.sqrt(float(variance)) == printed("0.23")


def test_impedance_without_its_correlations_is_another_one(printed: Printed) -> None:
    """Computed independently (numpy): what jcgm-100-2008, H.2 gives if the correlations are left out: wrong."""
    means, covariance = means_of_simultaneous_repeats(READINGS)
    _, result = propagate(impedance, means, np.diag(np.diag(covariance)))

    assert [*np.sqrt(np.diag(result))] == [printed("0.195"), printed("0.201"), printed("0.204")]

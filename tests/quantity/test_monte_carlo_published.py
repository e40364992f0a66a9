"""Published examples for hazardreport.quantity.monte_carlo.

The outputs of 9.2.4, 9.3, 9.4 and the interval of 9.5 are from memory; the others are confirmed in public text.
"""

import math
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from scipy.stats import ncx2

from hazardreport.quantity.monte_carlo import Array, Sample, coverage_interval, numerical_tolerance, simulate

Printed = Callable[[str], object]
SEED = 20080101


def rectangular(generator: np.random.Generator, size: int, uncertainty: float = 1.0) -> Array:
    half = math.sqrt(3.0) * uncertainty
    return generator.uniform(-half, half, size)


@pytest.mark.published("jcgm-101-2008", "9.2.2, Table 2")
def test_sum_of_four_normal_inputs(printed: Printed) -> None:
    found = simulate(lambda generator, size: generator.standard_normal((4, size)).sum(axis=0), SEED, digits=3)
    assert found.settled
    assert (found.value, found.standard_uncertainty) == (printed("0.00"), printed("2.00"))
    assert (found.low, found.high) == (printed("-3.92"), printed("3.92"))


@pytest.mark.published("jcgm-101-2008", "9.2.3, Table 3")
def test_sum_of_four_rectangular_inputs(printed: Printed) -> None:
    found = simulate(lambda generator, size: sum(rectangular(generator, size) for _ in range(4)), SEED, digits=3)
    assert found.settled
    assert (found.value, found.standard_uncertainty) == (printed("0.00"), printed("2.00"))
    assert (found.low, found.high) == (printed("-3.88"), printed("3.88"))


@pytest.mark.published("jcgm-101-2008", "9.2.4, from memory")
def test_one_rectangular_input_outweighs_three(printed: Printed) -> None:
    def sample(generator: np.random.Generator, size: int) -> Array:
        return sum((rectangular(generator, size) for _ in range(3)), rectangular(generator, size, 10.0))

    found = simulate(sample, SEED, digits=3)
    assert found.settled
    assert (found.low, found.high) == (printed("-17.0"), printed("17.0"))
    assert 1.96 * math.sqrt(103.0) == printed("19.9")


# The published results of 9.3 to 9.5 and of the logarithm are themselves results of trials. How far such a result may
# lie from the exact one is not assumed: runs of as many trials, 10^6 (from memory), show how their results scatter.
PUBLISHED_TRIALS, RUNS = 1_000_000, 8


def runs(sample: Sample, coverage: float = 0.95, shortest: bool = True) -> tuple[Array, Array]:
    """Mean, standard deviation, low and high end over the runs, and the standard deviation of each."""
    generator, found = np.random.default_rng(SEED), []
    for _ in range(RUNS):
        drawn = np.sort(sample(generator, PUBLISHED_TRIALS))
        found.append([drawn.mean(), drawn.std(ddof=1), *coverage_interval(drawn, coverage, shortest)])
    return np.mean(found, axis=0), np.std(found, axis=0, ddof=1)


def excess(found: tuple[Array, Array], published: tuple[str, ...]) -> list[float]:
    """How far each printed result lies beyond its last half digit, in standard deviations of such a result.

    Half a digit covers the rounding; the difference of one published run and the mean of ours scatters by
    √(1 + 1/RUNS) standard deviations.
    """
    beyond = []
    for value, scatter, text in zip(*found, published, strict=True):
        half_digit = 0.5 * 10.0 ** float(str(Decimal(text).as_tuple().exponent))
        off = max(abs(value - float(text)) - half_digit, 0.0)
        beyond.append(off / (scatter * math.sqrt(1 + 1 / RUNS)))
    return beyond


def mass_deviation(generator: np.random.Generator, size: int) -> Array:
    """Deviation of a weight from its nominal mass. [mg]"""
    reference, difference = generator.normal(100_000.0, 0.050, size), generator.normal(1.234, 0.020, size)
    air, weight, standard = (
        generator.uniform(*ends, size) for ends in ((1.10, 1.30), (7000.0, 9000.0), (7950.0, 8050.0))
    )
    return (reference + difference) * (1 + (air - 1.2) * (1 / weight - 1 / standard)) - 100_000.0


@pytest.mark.published("jcgm-101-2008", "9.3, from memory")
def test_mass_calibration() -> None:
    """The place of a shortest interval is flat: of 10^6 trials its ends scatter far more than its length."""
    found = runs(mass_deviation)
    assert max(excess(found, ("1.2341", "0.0754", "1.0834", "1.3825"))) < 2


def comparison_loss(x1: float, r: float) -> Sample:
    """X1² + X2² in units of 1e-6, standard uncertainties 0.005, X2 about zero."""

    def sample(generator: np.random.Generator, size: int) -> Array:
        first, second = generator.standard_normal((2, size))
        return ((x1 + 0.005 * first) ** 2 + (0.005 * (r * first + math.sqrt(1 - r * r) * second)) ** 2) * 1e6

    return sample


@pytest.mark.published("jcgm-101-2008", "9.4.2, from memory")
@pytest.mark.parametrize(
    ("x1", "published"),
    [
        (0.0, ("50", "50", "0", "150")),
        (0.010, ("150", "112", "0", "367")),
        (0.050, ("2551", "502", "1590", "3543")),
    ],
)
def test_comparison_loss(x1: float, published: tuple[str, ...]) -> None:
    assert max(excess(runs(comparison_loss(x1, 0.0)), published)) < 2


@pytest.mark.parametrize("x1", [0.0, 0.010, 0.050])
def test_comparison_loss_against_its_exact_distribution(x1: float) -> None:
    """Computed independently: the loss is a noncentral chi-square of two degrees of freedom (SciPy)."""
    exact = ncx2(2, (x1 / 0.005) ** 2, scale=25.0)
    found = simulate(comparison_loss(x1, 0.0), SEED, digits=2)
    assert found.settled
    assert found.value == pytest.approx(exact.mean(), abs=2 * found.tolerance)
    assert found.standard_uncertainty == pytest.approx(exact.std(), abs=2 * found.tolerance)
    assert (found.low, found.high) == pytest.approx(exact.interval(0.95), abs=2 * found.tolerance)


@pytest.mark.published("jcgm-101-2008", "9.4.3, from memory")
@pytest.mark.parametrize(("x1", "uncertainty"), [(0.0, "67"), (0.010, "121"), (0.050, "505")])
def test_comparison_loss_of_correlated_inputs(x1: float, uncertainty: str) -> None:
    mean, scatter = runs(comparison_loss(x1, 0.9))
    assert max(excess((mean[1:2], scatter[1:2]), (uncertainty,))) < 2


def trapezoid(generator: np.random.Generator, size: int, half: float, inexact: float) -> Array:
    """Rectangular about zero, its half-width itself known to ± inexact: a curvilinear trapezoid (6.4.3)."""
    return (half + inexact * generator.uniform(-1.0, 1.0, size)) * generator.uniform(-1.0, 1.0, size)


def end_gauge(generator: np.random.Generator, size: int) -> Array:
    """Deviation of an end gauge from 50 mm, the inputs of jcgm-100-2008, H.1, each with its distribution. [nm]"""
    standard = 50_000_623.0 + 25.0 * generator.standard_t(18, size)
    difference = (
        215.0
        + 13.0 / math.sqrt(5.0) * generator.standard_t(24, size)
        + 10.0 / 2.57 * generator.standard_t(5, size)
        + 20.0 / 3.0 * generator.standard_t(8, size)
    )
    expansion = generator.uniform(9.5e-6, 13.5e-6, size)
    temperature = generator.normal(-0.1, 0.2, size) + 0.5 * np.sin(generator.uniform(0.0, 2.0 * math.pi, size))
    expansion_difference = trapezoid(generator, size, 1.0e-6, 0.1e-6)
    temperature_difference = trapezoid(generator, size, 0.050, 0.025)
    thermal = expansion_difference * temperature + expansion * temperature_difference
    return standard * (1.0 - thermal) + difference - 50_000_000.0


@pytest.mark.published("jcgm-101-2008", "9.5; the interval from memory")
def test_end_gauge_with_full_distributions() -> None:
    found = runs(end_gauge, 0.99, shortest=False)
    assert max(excess(found, ("838", "36", "745", "932"))) < 2


def logarithm(generator: np.random.Generator, size: int) -> Array:
    return np.log(generator.uniform(0.1, 1.1, size))


@pytest.mark.published("npl-dem-es-011", "9.2")
def test_logarithm() -> None:
    found = runs(logarithm)
    assert max(excess(found, ("-0.665", "0.606", "-1.895", "0.095"))) < 2


def test_logarithm_against_its_exact_distribution() -> None:
    """Computed by hand: the density rises to the upper end, so the shortest interval is [ln 0.15, ln 1.1]."""
    found = simulate(logarithm, SEED, digits=2, shortest=True)
    assert found.settled
    assert (found.low, found.high) == pytest.approx((math.log(0.15), math.log(1.1)), abs=2 * found.tolerance)


def test_the_comparison_sees_a_wrong_published_digit() -> None:
    found = runs(logarithm)
    assert excess(found, ("-0.670", "0.606", "-1.895", "0.095"))[0] > 2
    assert excess(found, ("-0.665", "0.606", "-1.910", "0.095"))[2] > 2


def test_interval_of_a_known_row() -> None:
    ordered = np.arange(1.0, 101.0)
    assert coverage_interval(ordered, 0.9) == (5.0, 95.0)
    assert coverage_interval(ordered**2, 0.9, shortest=True) == (1.0, 91.0**2)


@pytest.mark.parametrize(
    ("u", "digits", "tolerance"), [(0.0754, 2, 0.0005), (0.0754, 1, 0.005), (32.0, 2, 0.5), (0.0, 2, 0.0)]
)
def test_numerical_tolerance(u: float, digits: int, tolerance: float) -> None:
    assert numerical_tolerance(u, digits) == pytest.approx(tolerance)


def test_stops_unsettled_and_says_so() -> None:
    found = simulate(lambda generator, size: generator.standard_normal(size), SEED, digits=5, most_trials=120_000)
    assert (found.settled, found.trials) == (False, 120_000)


@pytest.mark.parametrize(
    ("changes", "name"),
    [
        ({"coverage": 1.0}, "coverage"),
        ({"coverage": math.nan}, "coverage"),
        ({"digits": 0}, "digits"),
        ({"most_trials": 10}, "most_trials"),
    ],
)
def test_absurd_questions_are_refused(changes: dict[str, Any], name: str) -> None:
    with pytest.raises(ValueError, match=name):
        simulate(lambda generator, size: generator.standard_normal(size), SEED, **changes)


def test_a_sample_that_is_not_a_number_is_refused() -> None:
    with pytest.raises(ValueError, match="sample"):
        simulate(lambda _, size: np.full(size, np.nan), SEED)

"""Propagation of distributions: seeded trials in equal runs until the results have settled."""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Sample = Callable[[np.random.Generator, int], Array]
FEWEST_PER_RUN = 10_000
FEWEST_RUNS = 10
MOST_TRIALS = 10_000_000


@dataclass(frozen=True, kw_only=True, slots=True)
class Distribution:
    """What the trials say of a quantity, in its unit.

    value, standard_uncertainty   mean and standard deviation of all trials
    low, high                     ends of the coverage interval
    trials                        drawn in all [1]
    tolerance                     numerical tolerance that was asked for
    settled                       two standard deviations of every result over the runs are below the tolerance
    """

    value: float
    standard_uncertainty: float
    low: float
    high: float
    trials: int
    tolerance: float
    settled: bool


def simulate(
    sample: Sample,
    seed: int,
    *,
    coverage: float = 0.95,
    digits: int = 2,
    shortest: bool = False,
    most_trials: int = MOST_TRIALS,
) -> Distribution:
    """Distribution of a quantity, by as many trials as its digits need.

    Parameters
    ----------
    sample : callable
        Takes a generator and a count, draws the inputs and gives that many values of the quantity, shape (count,).
    seed : int
        The same seed gives the same trials.
    coverage : float
        Of the interval, between 0 and 1. [1]
    digits : int
        Of the standard uncertainty that must be settled, at least 1. [1]
    shortest : bool
        Shortest interval instead of the probabilistically symmetric one.
    most_trials : int
        Where to stop unsettled; eight bytes are kept for each trial. [1]

    Returns
    -------
    Distribution
        Of all trials of all runs together.

    Raises
    ------
    ValueError
        If the coverage, the digits or the trials cannot be, or the sample gives a value that is not a number.

    Notes
    -----
    At least ten runs, where the standard begins to compare at two: two runs often agree by chance.

    References
    ----------
    jcgm-101-2008, 7.7 and 7.9.4.
    """
    if not 0 < coverage < 1 or digits < 1:
        raise ValueError("coverage" if digits >= 1 else "digits")
    size = max(FEWEST_PER_RUN, math.ceil(100 / (1 - coverage)))
    if most_trials < FEWEST_RUNS * size:
        raise ValueError("most_trials")
    generator, runs, results = np.random.default_rng(seed), list[Array](), list[Array]()
    while True:
        drawn = np.sort(np.asarray(sample(generator, size), dtype=np.float64))
        if drawn.shape != (size,) or not np.all(np.isfinite(drawn)):
            raise ValueError("sample")
        runs.append(drawn)
        results.append(np.array([drawn.mean(), drawn.std(ddof=1), *coverage_interval(drawn, coverage, shortest)]))
        if len(runs) < FEWEST_RUNS:
            continue
        tolerance = numerical_tolerance(float(np.mean(results, axis=0)[1]), digits)
        reached = 2.0 * np.std(results, axis=0, ddof=1) / math.sqrt(len(runs))
        settled = bool(np.all(reached <= tolerance))
        if settled or (len(runs) + 1) * size > most_trials:
            break
    together = np.sort(np.concatenate(runs))
    low, high = coverage_interval(together, coverage, shortest)
    return Distribution(
        value=float(together.mean()),
        standard_uncertainty=float(together.std(ddof=1)),
        low=low,
        high=high,
        trials=together.size,
        tolerance=tolerance,
        settled=settled,
    )


def coverage_interval(ordered: Array, coverage: float, shortest: bool = False) -> tuple[float, float]:
    """Interval that holds a share of the trials.

    Parameters
    ----------
    ordered : ndarray, shape (N,)
        Trials, never falling.
    coverage : float
        Share inside, between 0 and 1. [1]
    shortest : bool
        Shortest interval instead of the probabilistically symmetric one.

    Returns
    -------
    float, float
        Its ends.

    References
    ----------
    jcgm-101-2008, 7.7.
    """
    inside = math.floor(coverage * ordered.size + 0.5)
    if shortest:
        first = int(np.argmin(ordered[inside:] - ordered[:-inside]))
    else:
        first = (ordered.size - inside + 1) // 2 - 1
    return float(ordered[first]), float(ordered[first + inside])


def numerical_tolerance(standard_uncertainty: float, digits: int) -> float:
    """Half of one in the last of so many significant digits; zero for no uncertainty.

    Examples
    --------
    >>> numerical_tolerance(0.0754, 2)
    0.0005

    References
    ----------
    jcgm-101-2008, 7.9.2.
    """
    if standard_uncertainty == 0:
        return 0.0
    return 0.5 * 10.0 ** (math.floor(math.log10(standard_uncertainty)) - digits + 1)

"""Share of adults whose current is above a threshold: exact without measurement doubt, by seeded trials with it.

An adult is one position in the distribution of body impedance, kept at all voltages: two half-log-normals that meet the
5, 50 and 95 % values, each of them interpolated in voltage first. Never a probability of death, and never multiplied
with the shares that the curves themselves state. Adults only.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, ndtri

from hazardreport.quantity.trace import Source
from hazardreport.severity.body import PERCENTILES, heart_current_factor, impedance_knots, path_factor
from hazardreport.severity.let_go import Adults, let_go_distribution, share_of_group
from hazardreport.severity.terms import BodyPath, Skin
from hazardreport.severity.zones import curve
from hazardreport.standards.editions import default_edition
from hazardreport.standards.tables import table

Array = NDArray[np.float64]
BATCH = 10_000
FEWEST_BATCHES, MOST_BATCHES = 4, 400
_TABLE = {Skin.DRY: "table-1", Skin.WATER_WET: "table-2", Skin.SALT_WET: "table-3"}
_UPPER_TAIL = float(ndtri(0.95))
LET_GO_STEPS = 8192


@dataclass(frozen=True, kw_only=True, slots=True)
class PopulationShares:
    """Shares of adults in one exposure.

    above_perception, above_let_go, above_c1, above_c2   0 … 1 [1]
    trials      drawn; zero where the shares are exact
    tolerance   two standard deviations of the least settled share over the batches [1]
    """

    above_perception: float
    above_let_go: float
    above_c1: float
    above_c2: float
    trials: int = 0
    tolerance: float = 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Contact:
    """A source and how an adult touches it.

    open_circuit_voltage, source_impedance   of the part to earth [V], [ohm]
    series_resistance   floor and footwear [ohm]
    duration            of the current [s]
    """

    open_circuit_voltage: float
    source_impedance: complex
    skin: Skin
    path: BodyPath
    duration: float
    series_resistance: float = 0.0


def position(voltage: Array, impedance: Array, skin: Skin) -> Array:
    """Place in the population of the adult who has an impedance, hand to hand, at a voltage.

    Parameters
    ----------
    voltage : ndarray, shape (...)
        Across the body. [V]
    impedance : ndarray, shape (...)
        Positive. [ohm]
    skin : Skin
        Condition of the skin.

    Returns
    -------
    ndarray, shape (...)
        Standard normal: zero for the median adult, negative for those of lower impedance. [1]

    References
    ----------
    iec-60479-1-2018, Tables 1, 2 and 3.
    """
    low, median, high = (np.interp(voltage, *_knots(skin, percentile)) for percentile in PERCENTILES)
    distance = np.log(impedance / median)
    spread = np.where(distance < 0, np.log(median / low), np.log(high / median)) / _UPPER_TAIL
    return np.asarray(distance / spread, dtype=np.float64)


def crossing(voltage: Array, source: NDArray[np.complex128], current: Array, skin: Skin, factor: float) -> Array:
    """Place in the population of the adult who carries exactly a current; all below it carry more.

    Parameters
    ----------
    voltage : ndarray, shape (...)
        Of the open circuit. [V]
    source : ndarray of complex, shape (...)
        All impedance in series with the body. [ohm]
    current : ndarray, shape (...)
        In the path, positive. [A]
    skin : Skin
        Condition of the skin.
    factor : float
        Path factor. [1]

    Returns
    -------
    ndarray, shape (...)
        Standard normal; minus infinity where no adult can carry that current. [1]
    """
    loop = np.square(voltage / current) - np.square(source.imag)
    impedance = np.sqrt(np.maximum(loop, 0.0)) - source.real
    possible = (loop > 0) & (impedance > 0)
    body = np.where(possible, impedance, 1.0)
    return np.where(possible, position(current * body, body / factor, skin), -np.inf)


def share_above(contact: Contact, current: float) -> float:
    """Share of adults whose current in the path is above a threshold, exact by inversion. [1]"""
    return float(ndtr(_crossings(contact, np.asarray(current, dtype=np.float64))))


def share_above_let_go(contact: Contact) -> float:
    """Share of adults whose current is above their own let-go current, taken as independent of their impedance. [1]"""
    lowest, highest = _let_go_range()
    step = (highest - lowest) / LET_GO_STEPS
    currents: Array = np.linspace(lowest + step / 2, highest - step / 2, LET_GO_STEPS, dtype=np.float64)
    return float(step * np.sum(_let_go_density(currents) * ndtr(_crossings(contact, currents))))


def exact_shares(contact: Contact) -> PopulationShares:
    """Shares of adults where the source is known without doubt."""
    heart = heart_current_factor(contact.path)
    return PopulationShares(
        above_perception=share_above(contact, curve("a", contact.duration)),
        above_let_go=share_above_let_go(contact),
        above_c1=share_above(contact, curve("c1", contact.duration) / heart),
        above_c2=share_above(contact, curve("c2", contact.duration) / heart),
    )


def population_shares(
    contact: Contact, covariance: tuple[float, float, float], seed: int, tolerance: float = 0.005
) -> PopulationShares:
    """Shares of adults over the population and over the measurement doubt together.

    Parameters
    ----------
    contact : Contact
        Best estimates of the source, and the exposure.
    covariance : tuple of float
        Variance of the voltage [V²], covariance [V·ohm], variance of the magnitude of the impedance [ohm²].
    seed : int
        The same seed gives the same trials.
    tolerance : float
        Batches are drawn until two standard deviations of every share are below it. [1]

    Returns
    -------
    PopulationShares
        With the number of trials and the tolerance reached.

    References
    ----------
    jcgm-101-2008, 7.9.
    """
    means: list[Array] = []
    reached = np.inf
    for batch in _batches(contact, covariance, np.random.default_rng(seed)):
        means.append(batch)
        if len(means) >= FEWEST_BATCHES:
            reached = float(2.0 * np.max(np.std(means, axis=0, ddof=1)) / np.sqrt(len(means)))
        if reached <= tolerance or len(means) == MOST_BATCHES:
            break
    shares = [float(share) for share in np.mean(means, axis=0)]
    return PopulationShares(
        above_perception=shares[0],
        above_let_go=shares[1],
        above_c1=shares[2],
        above_c2=shares[3],
        trials=BATCH * len(means),
        tolerance=reached,
    )


def population_sources(skin: Skin) -> tuple[Source, ...]:
    """Where the percentiles and the let-go distributions come from."""
    impedance = table(default_edition("body-impedance"), _TABLE[skin])
    return (
        *(impedance.source(f"percentile_{percentile}") for percentile in PERCENTILES),
        table("dalziel-1961", "effects").source("men", effect="let-go, median"),
        table("own-choices", "population").source(),
    )


def _batches(contact: Contact, covariance: tuple[float, float, float], random: np.random.Generator) -> Iterator[Array]:
    variance_voltage, both, variance_impedance = covariance
    matrix = np.array([[variance_voltage, both], [both, variance_impedance]])
    factor, heart = path_factor(contact.path), heart_current_factor(contact.path)
    magnitude = abs(contact.source_impedance)
    direction = contact.source_impedance / magnitude if magnitude else 1.0 + 0j
    thresholds = [curve("a", contact.duration), *(curve(name, contact.duration) / heart for name in ("c1", "c2"))]
    while True:
        drawn = random.multivariate_normal((contact.open_circuit_voltage, magnitude), matrix, BATCH, method="svd")
        voltage, size = np.maximum(drawn, 0.0).T
        source = size * direction + contact.series_resistance
        adult = random.standard_normal(BATCH)
        held = _drawn_let_go(random)
        currents = (np.full(BATCH, thresholds[0]), held, *(np.full(BATCH, at) for at in thresholds[1:]))
        yield np.array(
            [np.mean(adult < crossing(voltage, source, current, contact.skin, factor)) for current in currents]
        )


def _crossings(contact: Contact, current: Array) -> Array:
    source = np.full(current.shape, contact.source_impedance + contact.series_resistance, dtype=np.complex128)
    voltage = np.full(current.shape, contact.open_circuit_voltage, dtype=np.float64)
    return crossing(voltage, source, current, contact.skin, path_factor(contact.path))


def _drawn_let_go(random: np.random.Generator) -> Array:
    """Let-go currents of adults, men and women mixed. [A]"""
    medians, deviations = np.array([let_go_distribution(adults) for adults in Adults]).T
    group = random.choice(len(medians), BATCH, p=[share_of_group(adults) for adults in Adults])
    drawn = random.normal(medians[group], deviations[group])
    return np.asarray(np.maximum(drawn, np.finfo(np.float64).tiny), dtype=np.float64)


def _let_go_range() -> tuple[float, float]:
    """Six standard deviations on either side of all groups, positive. [A]"""
    groups = [let_go_distribution(adults) for adults in Adults]
    lowest = min(median - 6 * deviation for median, deviation in groups)
    return max(lowest, 1e-6), max(median + 6 * deviation for median, deviation in groups)


def _let_go_density(current: Array) -> Array:
    """Density of the mixed let-go distribution. [1/A]"""
    total = np.zeros_like(current)
    for adults in Adults:
        median, deviation = let_go_distribution(adults)
        height = share_of_group(adults) / (deviation * np.sqrt(2 * np.pi))
        total += height * np.exp(-0.5 * np.square((current - median) / deviation))
    return total


@cache
def _knots(skin: Skin, percentile: int) -> tuple[Array, Array]:
    voltages, impedances = impedance_knots(skin, percentile)
    return np.array(voltages), np.array(impedances)

"""Share of adults whose current is above a threshold: exact without measurement doubt, by seeded trials with it.

An adult is one position in the distribution of body impedance, kept at all voltages: two half-log-normals that meet the
5, 50 and 95 % values, each of them interpolated in voltage first. Never a probability of death, and never multiplied
with the shares that the curves themselves state. Adults only.
"""

from dataclasses import dataclass
from math import isinf, isnan

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from hazardreport.errors import SourceNotPhysicalError
from hazardreport.quantity.trace import Source
from hazardreport.severity.body import PERCENTILES, heart_current_factor, path_factor
from hazardreport.severity.let_go import Adults, let_go_distribution, share_of_group
from hazardreport.severity.terms import Skin
from hazardreport.severity.trials import BATCH as BATCH
from hazardreport.severity.trials import Contact as Contact
from hazardreport.severity.trials import Trials
from hazardreport.severity.trials import position as position
from hazardreport.severity.zones import curve
from hazardreport.standards.editions import default_edition
from hazardreport.standards.tables import table

Array = NDArray[np.float64]
FEWEST_BATCHES, MOST_BATCHES = 4, 400
_TABLE = {Skin.DRY: "table-1", Skin.WATER_WET: "table-2", Skin.SALT_WET: "table-3"}
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


NOBODY = PopulationShares(above_perception=0.0, above_let_go=0.0, above_c1=0.0, above_c2=0.0)
"""Where the part is not connected."""


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
    _refuse_unphysical(contact)
    if isinf(abs(contact.source_impedance)):
        return NOBODY
    heart = heart_current_factor(contact.path)
    return PopulationShares(
        above_perception=share_above(contact, curve("a", contact.duration)),
        above_let_go=share_above_let_go(contact),
        above_c1=share_above(contact, curve("c1", contact.duration) / heart),
        above_c2=share_above(contact, curve("c2", contact.duration) / heart),
    )


def population_shares(
    contact: Contact,
    covariance: tuple[float, float, float],
    seed: int,
    tolerance: float = 0.005,
    fewest_trials: int = FEWEST_BATCHES * BATCH,
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
    fewest_trials : int
        Drawn in any case.

    Returns
    -------
    PopulationShares
        With the number of trials and the tolerance reached.

    Raises
    ------
    SourceNotPhysicalError
        If the voltage, the impedance or the resistance in series is negative or unknown.
    ValueError
        If a variance is negative or unknown: a defect of the caller.

    References
    ----------
    jcgm-101-2008, 7.9.
    """
    _refuse_unphysical(contact)
    if not (0.0 <= covariance[0] < np.inf and np.isfinite(covariance[1]) and 0.0 <= covariance[2] < np.inf):
        raise ValueError("covariance")
    if isinf(abs(contact.source_impedance)):
        return NOBODY
    trials = Trials(contact, covariance, np.random.default_rng(seed))
    fewest = min(MOST_BATCHES, max(FEWEST_BATCHES, -(-fewest_trials // BATCH)))
    means: list[Array] = []
    reached = np.inf
    while len(means) < fewest or (reached > tolerance and len(means) < MOST_BATCHES):
        means.append(trials.batch() / BATCH)
        if len(means) >= fewest:
            reached = _tolerance(np.array(means))
    shares = [float(share) for share in np.mean(means, axis=0)]
    return PopulationShares(
        above_perception=shares[0],
        above_let_go=shares[1],
        above_c1=shares[2],
        above_c2=shares[3],
        trials=BATCH * len(means),
        tolerance=reached,
    )


def _tolerance(means: Array) -> float:
    """Two standard deviations of the least settled share, between the batches, and at least those of so many trials."""
    share, count = means.mean(axis=0), len(means)
    between = means.std(axis=0, ddof=1) / np.sqrt(count)
    of_trials = np.sqrt(share * (1.0 - share) / (BATCH * count))
    return float(2.0 * np.max(np.maximum(between, of_trials)))


def population_sources(skin: Skin) -> tuple[Source, ...]:
    """Where the percentiles and the let-go distributions come from."""
    impedance = table(default_edition("body-impedance"), _TABLE[skin])
    return (
        *(impedance.source(f"percentile_{percentile}") for percentile in PERCENTILES),
        table("dalziel-1961", "effects").source("men", effect="let-go, median"),
        table("own-choices", "population").source(),
    )


def _refuse_unphysical(contact: Contact) -> None:
    voltage, impedance, series = contact.open_circuit_voltage, contact.source_impedance, contact.series_resistance
    known = impedance.real >= 0.0 and (isinf(impedance.real) or not isnan(impedance.imag))
    if not (0.0 <= voltage < np.inf and known and 0.0 <= series < np.inf):
        raise SourceNotPhysicalError(
            voltage=f"{voltage:g}", impedance=f"{impedance:g}", series_resistance=f"{series:g}"
        )


def _crossings(contact: Contact, current: Array) -> Array:
    source = np.full(current.shape, contact.source_impedance + contact.series_resistance, dtype=np.complex128)
    voltage = np.full(current.shape, contact.open_circuit_voltage, dtype=np.float64)
    return crossing(voltage, source, current, contact.skin, path_factor(contact.path))


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

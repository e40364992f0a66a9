"""Seeded trials of one exposure: adults drawn together with the doubt of the source, a batch at a time.

An adult who carries a current I in a path of factor F has the voltage v across the body that solves v = I·F·Z(v), Z
being the impedance of that adult's position. The source gives at least I exactly if its voltage is at least
|v + I·(Zs + R)|. v depends on the position and on I·F alone: it is tabulated once, so that a trial costs a look-up and
a comparison for each threshold. In these tables the position is rounded to the nearest point, and the let-go current is
one of many equally likely ones; both steps are far below what the number of trials resolves.
"""

from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, ndtri

from hazardreport.severity.body import PERCENTILES, heart_current_factor, impedance_knots, path_factor
from hazardreport.severity.let_go import Adults, let_go_distribution, share_of_group
from hazardreport.severity.terms import BodyPath, Skin
from hazardreport.severity.zones import curve

Array = NDArray[np.float64]
BATCH = 10_000
_UPPER_TAIL = float(ndtri(0.95))
_FARTHEST = 8.0
_POSITIONS, _LET_GO_CURRENTS = 1 << 13, 1 << 12
_COARSER, _COARSE_BITS = 3, 10
_BODY_VOLTAGES = (1e-4, 1e6, 8192)


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


class Trials:
    """A stream of batches; the memory of a batch is used again for the next one.

    A threshold that all trials or none meet, because no number drawn lies `_FARTHEST` deviations from its middle, costs
    nothing.
    """

    def __init__(self, contact: Contact, covariance: tuple[float, float, float], random: np.random.Generator) -> None:
        factor, heart = path_factor(contact.path), heart_current_factor(contact.path)
        self._contact, self._random = contact, random
        self._magnitude = abs(contact.source_impedance)
        self._direction = contact.source_impedance / self._magnitude if self._magnitude else 1.0 + 0j
        self._reactive = contact.source_impedance.imag != 0.0
        self._by_first = float(np.sqrt(covariance[0]))
        self._both = covariance[1] / self._by_first if self._by_first else 0.0
        self._by_second = float(np.sqrt(max(covariance[2] - self._both**2, 0.0)))
        self._reach = _FARTHEST * (abs(self._both) + self._by_second)
        self._thresholds = tuple(
            (current, _body_voltages(contact.skin, factor * current))
            for current in (
                curve("a", contact.duration),
                curve("c1", contact.duration) / heart,
                curve("c2", contact.duration) / heart,
            )
        )
        self._sure = tuple(self._foreseen(current, voltages) for current, voltages in self._thresholds)
        self._let_go, self._let_go_voltages = _let_go_currents(), _let_go_body_voltages(contact.skin, factor)
        self._drawn, self._space = np.empty((4, BATCH)), np.empty((2, BATCH))
        self._places, self._yes = np.empty((2, BATCH), dtype=np.intp), np.empty(BATCH, dtype=np.bool_)

    def batch(self) -> Array:
        """How many of the next batch are above perception, their own let-go current, c1 and c2; shape (4,)."""
        across, chance = self._drawn[2:]
        place, held = self._places
        self._random.random(out=chance)
        chance *= _LET_GO_CURRENTS
        held[:] = chance
        self._let_go.take(held, out=chance, mode="clip")
        held >>= _COARSER
        held <<= _COARSE_BITS
        self._random.standard_normal(out=across)
        across *= _POSITIONS / (2.0 * _FARTHEST)
        across += _POSITIONS / 2.0
        place[:] = across
        self._draw_sources()
        counts = [
            self._above(current, voltages.take(place, out=across, mode="clip")) if sure is None else sure
            for (current, voltages), sure in zip(self._thresholds, self._sure, strict=True)
        ]
        place >>= _COARSER
        held += place
        let_go = self._above(chance, self._let_go_voltages.take(held, out=across, mode="clip"))
        return np.array([counts[0], let_go, *counts[1:]], dtype=np.float64)

    def _draw_sources(self) -> None:
        """Voltage in the first row, squared for a source with reactance; resistance, and squared reactance in space."""
        first, resistance = self._drawn[:2]
        self._random.standard_normal(out=self._drawn[:2])
        squared, spare = self._space
        resistance *= self._by_second
        if self._both:
            np.multiply(first, self._both, out=spare)
            resistance += spare
        resistance += self._magnitude
        if self._reach > self._magnitude:
            np.maximum(resistance, 0.0, out=resistance)
        first *= self._by_first
        first += self._contact.open_circuit_voltage
        if self._reactive:
            if _FARTHEST * self._by_first > self._contact.open_circuit_voltage:
                np.maximum(first, 0.0, out=first)
            first *= first
            np.multiply(resistance, self._direction.imag, out=squared)
            squared *= squared
            resistance *= self._direction.real
        if self._contact.series_resistance:
            resistance += self._contact.series_resistance

    def _above(self, current: float | Array, across: Array) -> int:
        """How many sources give more than the current to a body that it takes a voltage across."""
        resistance, (squared, needed) = self._drawn[1], self._space
        np.multiply(resistance, current, out=needed)
        needed += across
        if self._reactive:
            needed *= needed
            np.multiply(squared, current * current, out=across)
            needed += across
        np.greater(self._drawn[0], needed, out=self._yes)
        return int(np.count_nonzero(self._yes))

    def _foreseen(self, current: float, voltages: Array) -> int | None:
        """How many of a batch are above a current, if that needs no trial."""
        around = _FARTHEST * self._by_first
        for sign, count, across in ((1.0, BATCH, voltages[-1]), (-1.0, 0, voltages[0])):
            magnitude = max(self._magnitude + sign * self._reach, 0.0)
            loop = magnitude * self._direction + self._contact.series_resistance
            margin = self._contact.open_circuit_voltage - sign * around - abs(across + current * loop)
            if sign * margin > 0.0:
                return count
        return None


def _positions(count: int) -> Array:
    """Middles of equal steps between the farthest positions. [1]"""
    return np.asarray((np.arange(count) + 0.5) * (2.0 * _FARTHEST / count) - _FARTHEST, dtype=np.float64)


@cache
def _places_of_unit_current(skin: Skin) -> tuple[Array, Array, Array, Array]:
    """Logarithm of the body voltage [V], of the median impedance there [ohm], spreads below and above it [1]."""
    voltage = np.geomspace(*_BODY_VOLTAGES)
    low, median, high = (np.interp(voltage, *_knots(skin, percentile)) for percentile in PERCENTILES)
    below, above = (
        np.asarray(np.log(ratio) / _UPPER_TAIL, dtype=np.float64) for ratio in (median / low, high / median)
    )
    return np.log(voltage), np.log(median), below, above


@lru_cache(maxsize=64)
def _body_voltages(skin: Skin, current: float, count: int = _POSITIONS) -> Array:
    """Voltage across the body of the adults at `count` positions, who carry a current [A] hand to hand. [V]"""
    voltage, median, below, above = _places_of_unit_current(skin)
    distance = voltage - np.log(current) - median
    places = distance / np.where(distance < 0.0, below, above)
    return np.asarray(np.exp(np.interp(_positions(count), places, voltage)), dtype=np.float64)


@cache
def _let_go_currents() -> Array:
    """Let-go currents of adults, men and women mixed, equally likely, rising. [A]"""
    groups = [let_go_distribution(adults) for adults in Adults]
    lowest = max(min(median - 8.0 * deviation for median, deviation in groups), np.finfo(np.float64).tiny)
    highest = max(median + 8.0 * deviation for median, deviation in groups)
    current = np.linspace(lowest, highest, 16 * _LET_GO_CURRENTS)
    below = sum(
        share_of_group(adults) * ndtr((current - median) / deviation)
        for adults, (median, deviation) in zip(Adults, groups, strict=True)
    )
    return np.asarray(np.interp((np.arange(_LET_GO_CURRENTS) + 0.5) / _LET_GO_CURRENTS, below, current))


@cache
def _let_go_body_voltages(skin: Skin, factor: float) -> Array:
    """As `_body_voltages`: a row for each of the coarser steps of the let-go currents, at the coarser positions. [V]"""
    steps = _let_go_currents().reshape(-1, 1 << _COARSER).mean(axis=1)
    rows = [_body_voltages.__wrapped__(skin, factor * current, _POSITIONS >> _COARSER) for current in steps]
    return np.concatenate(rows)


@cache
def _knots(skin: Skin, percentile: int) -> tuple[Array, Array]:
    voltages, impedances = impedance_knots(skin, percentile)
    return np.array(voltages), np.array(impedances)

"""Many people at many sources at once: the point of `body.body_point` for whole arrays, with its derivatives.

The tabulated impedance is a chain of straight pieces in body voltage. The open-circuit voltage that a body voltage v
asks for, v · |1 + Z / Z_B(v)|, rises along the whole chain, and is convex on each piece: 1 / Z_B is convex in v where
Z_B falls linearly, the magnitude is convex and rising in 1 / Z_B where the resistance of Z is not negative, and so is
the product with v. Newton's iteration inside the piece that holds the root therefore cannot miss it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from hazardreport.errors import SourceNotPhysicalError
from hazardreport.severity.body import (
    PERCENTILES,
    highest_voltage,
    impedance_knots,
    path_factor,
)
from hazardreport.severity.terms import BodyPath, ContactArea, Skin

Array = NDArray[np.float64]
ComplexArray = NDArray[np.complex128]
_SETTLED = 1e-8


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class BodyPoints:
    """What people carry who touch parts; all of shape (N,), not a number where the voltage lies outside a table.

    body_voltage    across the body alone [V]
    touch_voltage   at the part while it is touched [V]
    body_current    through the body [A]
    body_impedance  at that body voltage, path factor included [ohm]
    by_voltage      change of the body current with the open-circuit voltage [A/V]
    by_impedance    change of the body current with the magnitude of the source impedance, its angle kept [A/ohm]
    outside         the body's voltage lies above the rows of a medium area
    """

    body_voltage: Array
    touch_voltage: Array
    body_current: Array
    body_impedance: Array
    by_voltage: Array
    by_impedance: Array
    outside: NDArray[np.bool_]


def body_points(
    voltage: Array,
    impedance: ComplexArray,
    skins: Sequence[Skin],
    percentiles: Sequence[int],
    paths: Sequence[BodyPath],
    areas: Sequence[ContactArea],
    series_resistance: Array,
) -> BodyPoints:
    """Voltages and currents of N exposures, each found together as `body.body_point` finds one.

    Parameters
    ----------
    voltage : ndarray, shape (N,)
        Of the open circuit; magnitude. [V]
    impedance : ndarray of complex, shape (N,)
        Between part and earth, resistance never negative; infinite where the part is not connected. [ohm]
    skins, percentiles, paths, areas : sequences of length N
        The people; see `body.body_impedance`.
    series_resistance : ndarray, shape (N,)
        Floor and footwear. [ohm]

    Returns
    -------
    BodyPoints
        Derivatives are those of the piece of the table that the point lies on; at a row, of the piece above it.

    Raises
    ------
    SourceNotPhysicalError
        If a voltage is negative or unknown, or a resistance negative: no body current follows from such a source.
    OutsideTableError
        If a percentile is not tabulated.

    References
    ----------
    iec-60479-1-2018, Tables 1 to 6; en-50522-2010, Annexes A and B.
    """
    _refuse_unphysical(voltage, impedance, series_resistance)
    chains, rows = _chains(), _rows(skins, percentiles, areas)
    factor = _factors(paths)
    dead = ~np.isfinite(np.abs(impedance) + series_resistance)
    resistance = np.where(dead, 0.0, np.real(impedance) + series_resistance)
    reactance = np.where(dead, 0.0, np.imag(impedance))
    driving = np.where(dead, 0.0, voltage)

    knots, bodies = chains.voltage[rows], factor[:, None] * chains.impedance[rows]
    needed = knots * np.sqrt(np.square(1.0 + resistance[:, None] / bodies) + np.square(reactance[:, None] / bodies))
    piece = np.sum(needed <= driving[:, None], axis=1) - 1
    everyone = np.arange(len(rows))
    last = chains.last[rows]
    outside = (piece == last) & ~chains.holds[rows] & (needed[everyone, piece] < driving)

    at, base = knots[everyone, piece], bodies[everyone, piece]
    slope = factor * chains.slope[rows, piece]
    above = np.minimum(piece + 1, last)
    rise = np.where(above > piece, needed[everyone, above] - needed[everyone, piece], 1.0)
    share = np.where(above > piece, (driving - needed[everyone, piece]) / rise, 0.0)
    across = at + share * (knots[everyone, above] - at)
    across, body, magnitude, growth = _settled(across, driving, resistance, reactance, at, base, slope)

    current = across / body
    direction = _direction(impedance, dead)
    by_body_voltage = (body - across * slope) / np.square(body)
    along = (1.0 + resistance / body) * np.real(direction) + reactance / body * np.imag(direction)
    with_impedance = along / (body * magnitude)
    unknown = np.where(outside, np.nan, 1.0)
    return BodyPoints(
        body_voltage=unknown * across,
        touch_voltage=unknown * current * (body + series_resistance),
        body_current=unknown * current,
        body_impedance=unknown * body,
        by_voltage=np.where(dead, 0.0, unknown * by_body_voltage / growth),
        by_impedance=np.where(dead, 0.0, -unknown * by_body_voltage * across * with_impedance / growth),
        outside=outside,
    )


def _settled(
    across: Array, driving: Array, resistance: Array, reactance: Array, at: Array, base: Array, slope: Array
) -> tuple[Array, Array, Array, Array]:
    """Body voltage, body impedance, |1 + Z / Z_B|, and change of the open-circuit voltage with the body voltage.

    The step after which nothing is checked is so short that its own error, which goes with its square, is no more than
    rounding.
    """
    last = False
    while True:
        body = base + slope * (across - at)
        real, imaginary = resistance / body, reactance / body
        magnitude = np.sqrt(np.square(1.0 + real) + np.square(imaginary))
        bent = (real * (1.0 + real) + np.square(imaginary)) / magnitude
        growth = magnitude - across * slope / body * bent
        if last:
            return across, body, magnitude, growth
        step = (across * magnitude - driving) / growth
        across = across - step
        last = bool(np.all(np.abs(step) <= _SETTLED * across))


def _direction(impedance: ComplexArray, dead: NDArray[np.bool_]) -> ComplexArray:
    """Unit phasor of the source impedance; that of a resistance where it is zero."""
    size = np.where(dead, 0.0, np.abs(impedance))
    none = size == 0.0
    size = np.where(none, 1.0, size)
    direction = np.empty(len(size), dtype=np.complex128)
    direction.real = np.where(none, 1.0, np.real(impedance) / size)
    direction.imag = np.where(none, 0.0, np.imag(impedance) / size)
    return direction


def _refuse_unphysical(voltage: Array, impedance: ComplexArray, series_resistance: Array) -> None:
    known = ~np.isnan(np.imag(impedance)) | np.isinf(np.real(impedance))
    possible = (voltage >= 0.0) & (voltage < np.inf) & (np.real(impedance) >= 0.0) & known
    wrong = ~(possible & (series_resistance >= 0.0))
    if np.any(wrong):
        first = int(np.argmax(wrong))
        raise SourceNotPhysicalError(
            voltage=f"{voltage[first]:g}",
            impedance=f"{impedance[first]:g}",
            series_resistance=f"{series_resistance[first]:g}",
        )


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class _Chains:
    """All columns of the tables, one a row, each led by a knot at no voltage and filled up behind its last knot.

    voltage    of the knots, infinite behind the last [V]
    impedance  at the knots [ohm]
    slope      to the next knot, zero from the last one on [ohm/V]
    last       place of the last knot
    holds      the table goes on with its last row
    """

    voltage: Array
    impedance: Array
    slope: Array
    last: NDArray[np.intp]
    holds: NDArray[np.bool_]


def _columns() -> list[tuple[Skin, int, ContactArea]]:
    return [(skin, percentile, area) for area in ContactArea for skin in Skin for percentile in PERCENTILES]


@cache
def _chains() -> _Chains:
    held = [impedance_knots(*column) for column in _columns()]
    width = 1 + max(len(voltages) for voltages, _ in held)
    voltage = np.full((len(held), width), np.inf)
    impedance, slope = np.empty(voltage.shape), np.zeros(voltage.shape)
    for row, (voltages, impedances) in enumerate(held):
        count = 1 + len(voltages)
        voltage[row, :count] = (0.0, *voltages)
        impedance[row, :count] = (impedances[0], *impedances)
        impedance[row, count:] = impedances[-1]
        slope[row, : count - 1] = np.diff(impedance[row, :count]) / np.diff(voltage[row, :count])
    return _Chains(
        voltage=voltage,
        impedance=impedance,
        slope=slope,
        last=np.array([len(voltages) for voltages, _ in held]),
        holds=np.array([np.isinf(highest_voltage(*column)) for column in _columns()]),
    )


@cache
def _row_numbers() -> dict[tuple[str, int, str], int]:
    return {(skin.value, percentile, area.value): row for row, (skin, percentile, area) in enumerate(_columns())}


def _rows(skins: Sequence[Skin], percentiles: Sequence[int], areas: Sequence[ContactArea]) -> NDArray[np.intp]:
    """Rows of the chains; plain texts as keys, since an enumeration's own hash costs more than all the rest."""
    numbers = _row_numbers()
    columns = zip(skins, percentiles, areas, strict=True)
    rows = [numbers.get((skin._value_, percentile, area._value_), -1) for skin, percentile, area in columns]
    if -1 in rows:
        wrong = rows.index(-1)
        impedance_knots(skins[wrong], percentiles[wrong], areas[wrong])
    return np.array(rows, dtype=np.intp)


@cache
def _factor_of() -> dict[str, float]:
    return {path.value: path_factor(path) for path in BodyPath}


def _factors(paths: Sequence[BodyPath]) -> Array:
    held = _factor_of()
    return np.array([held[path._value_] for path in paths])

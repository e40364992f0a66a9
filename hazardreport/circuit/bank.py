"""Open-circuit voltages and source impedances of many networks at once, for many sets of values: one solution of all.

A network here is wires without values: each names the slot of its impedance. Where wires are open or of no resistance
at all decides how nodes join; that is worked out once for each such pattern. Then every set of values of every network
is one small matrix of one common size, and all are solved in one call.
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from hazardreport.circuit.bank_layout import KEPT, OPEN, ZERO, Layout, Port, Skeleton, layout_of
from hazardreport.errors import NetworkNotSolvableError

__all__ = ["Bank", "Port", "Skeleton", "Values"]

Values = NDArray[np.float64] | NDArray[np.complex128]

NEAR_ZERO = 1e-3
"""Impedances below keep their current as an unknown, which costs time but no digits. [ohm]"""
REMEMBERED = 64


@dataclass(frozen=True, slots=True, eq=False)
class Bank:
    """Networks that share their values, and the ports at which each is asked.

    skeletons   S networks
    ports       of each, at most P
    sources     number of voltages, K
    """

    skeletons: tuple[Skeleton, ...]
    ports: tuple[tuple[Port, ...], ...]
    sources: int
    _layouts: dict[bytes, Layout] = field(default_factory=dict, repr=False)

    def thevenin(self, impedances: Values, voltages: Values) -> tuple[Values, Values]:
        """Open-circuit voltage and source impedance at every port of every network.

        Parameters
        ----------
        impedances : ndarray, shape (V, slots)
            Zero and infinite ones are exact. [ohm]
        voltages : ndarray, shape (V, K)
            Of the sources. [V]

        Returns
        -------
        tuple of ndarray, shape (V, S, P)
            [V], [ohm]; zero and infinity where no conducting path joins the two nodes of a port. Real if all values
            are real.

        Raises
        ------
        NetworkNotSolvableError
            If a source is short-circuited, or a current is left open by a loop of no resistance.
        """
        size = np.abs(impedances)
        least, most = size.min(axis=0), size.max(axis=0)
        if (np.isinf(most) & np.isfinite(least)).any():
            return self._apart(impedances, voltages, np.isinf(size))
        code = (least < NEAR_ZERO) * KEPT + (most == 0.0) * ZERO + np.isinf(least) * OPEN
        key = code.astype(np.uint8).tobytes()
        layout = self._layouts.get(key)
        if layout is None:
            if len(self._layouts) >= REMEMBERED:
                self._layouts.clear()
            layout = self._layouts[key] = layout_of(self.skeletons, self.ports, self.sources, key)
        return _solved(layout, impedances, voltages)

    def _apart(self, impedances: Values, voltages: Values, cut: NDArray[np.bool_]) -> tuple[Values, Values]:
        """Each pattern of open wires by itself."""
        patterns, of = np.unique(cut, axis=0, return_inverse=True)
        shape = (len(cut), len(self.skeletons), max(len(ports) for ports in self.ports))
        dtype = np.result_type(impedances, voltages)
        answer = np.zeros(shape, dtype=dtype), np.zeros(shape, dtype=dtype)
        for pattern in range(len(patterns)):
            rows = np.flatnonzero(of.ravel() == pattern)
            for whole, part in zip(answer, self.thevenin(impedances[rows], voltages[rows]), strict=True):
                whole[rows] = part
        return answer


def _solved(layout: Layout, impedances: Values, voltages: Values) -> tuple[Values, Values]:
    skeletons, size, columns = layout.frame.shape
    many = len(impedances)
    admittances = 1.0 / impedances[:, layout.nodal]
    whole = (admittances @ layout.spread).reshape(many, skeletons, size, columns) + layout.frame
    matrix, driven = whole[..., :size], whole[..., size:]
    skeleton, row, slot = layout.kept
    if len(row):
        matrix[:, skeleton, row, row] = -impedances[:, slot]
    sides = np.empty((many, skeletons, size, 1 + layout.sides.shape[2]), dtype=np.result_type(whole, voltages))
    if voltages.shape[1] == 1:
        sides[..., 0] = driven[..., 0] * voltages[:, :, None]
    else:
        sides[..., 0] = (driven @ voltages[:, None, :, None])[..., 0]
    sides[..., 1:] = layout.sides
    try:
        unknowns = np.linalg.solve(matrix, sides)
    except np.linalg.LinAlgError:
        raise NetworkNotSolvableError(branches=str(layout.size)) from None
    across = layout.ends @ unknowns
    voltage = across[..., 0]
    if layout.any_given:
        voltage = voltage + (layout.given @ voltages[:, None, :, None])[..., 0]
    ports = np.arange(layout.sides.shape[2])
    impedance = across[..., ports, ports + 1]
    if not (np.isfinite(voltage).all() and np.isfinite(impedance).all()):
        raise NetworkNotSolvableError(branches=str(layout.size))
    if layout.any_floating:
        voltage[:, layout.floating] = 0.0
        impedance[:, layout.floating] = np.inf
    return voltage, impedance

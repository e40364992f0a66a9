"""Loads whose current is no straight line of their voltage, on any source: one bracketed root for all of them."""

from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from hazardreport.errors import NetworkNotSolvableError

Array = NDArray[np.float64]

STEP = 1e-7
"""Relative step that leaves, by its square, an error in the last digit. [1]"""
CERTAIN = 1e-10
"""Relative distance on both sides of a root at which it is proved to lie between. [1]"""
MOST = 400
"""Evaluations in which halving alone would have reached the last digit from anywhere. [1]"""


class Curved(Protocol):
    """A load: its current rises with the voltage across it and is in phase with it."""

    def response(self, voltage: Array) -> tuple[Array, Array]:
        """Current [A], and its relative change over that of the voltage [1], at voltages above zero."""
        ...


class Scaled:
    """Another load, with its current multiplied by a factor."""

    __slots__ = ("_factor", "_load")

    def __init__(self, load: Curved, factor: float) -> None:
        self._load, self._factor = load, factor

    def response(self, voltage: Array) -> tuple[Array, Array]:
        """Current [A], and its relative change over that of the voltage [1], at voltages above zero."""
        current, elasticity = self._load.response(voltage)
        return self._factor * current, elasticity


def curved_voltage(open_circuit_voltage: NDArray[Any], source_impedance: NDArray[Any], load: Curved) -> Array:
    """Voltage across a curved load on many sources.

    Parameters
    ----------
    open_circuit_voltage : ndarray, shape (...)
        Its magnitude counts. [V]
    source_impedance : ndarray, shape (...)
        Zs, its resistance not negative; infinite where nothing is connected. [ohm]
    load : Curved
        A lamp or a person.

    Returns
    -------
    ndarray, shape (...)
        Magnitudes; zero behind an infinite impedance. [V]

    Raises
    ------
    NetworkNotSolvableError
        If no root is found between two voltages, as for a load whose current does not rise.

    Notes
    -----
    U0² = V² + 2·R·V·I(V) + |Zs|²·I(V)² rises with V. Newton's method on the logarithms, where lamps and bodies are
    nearly straight, inside a bracket that every evaluation narrows; a step that leaves it, or is not half the last
    one, is replaced by halving. Each
    root is proved by the signs on both sides of it.
    """
    voltage = np.abs(open_circuit_voltage)
    modulus = np.abs(source_impedance)
    across = np.where(np.isinf(modulus), 0.0, voltage)
    wanted = (across > 0.0) & (modulus > 0.0)
    if not wanted.any():
        return across
    supply, size, resistance = voltage[wanted], modulus[wanted], np.real(source_impedance)[wanted]
    across[wanted] = supply * _share(supply, resistance, size, load)
    return across


def _excess(voltage: Array, resistance: Array, modulus: Array, load: Curved) -> tuple[Array, Array]:
    """Square of the source voltage that would give a voltage across the load, and its slope on logarithms over two."""
    current, elasticity = load.response(voltage)
    own, mixed, lost = voltage**2, resistance * voltage * current, (modulus * current) ** 2
    total = own + 2.0 * mixed + lost
    return total, (own + (1.0 + elasticity) * mixed + elasticity * lost) / total


def _share(supply: Array, resistance: Array, modulus: Array, load: Curved) -> Array:
    """Share of the source's voltage that is across the load, above zero and at most one."""
    squares = supply**2
    low, high = np.zeros_like(supply), np.ones_like(supply)
    share = 1.0 / (1.0 + modulus * load.response(supply)[0] / supply)
    last = np.full_like(supply, np.inf)
    for _ in range(MOST):
        total, slope = _excess(share * supply, resistance, modulus, load)
        beyond = total > squares
        low, high = np.where(beyond, low, share), np.where(beyond, share, high)
        step = np.log(total / squares) / (-2.0 * slope)
        following = share * np.exp(step)
        size = np.abs(step)
        near = size < STEP
        if near.all():
            following = np.minimum(following, 1.0)
            proved = _proved(following, supply, resistance, modulus, load)
            if proved.all():
                return following
            near = proved
        quick = (following > low) & (following < high) & (size < 0.5 * last)
        last = size
        middle = np.where(low > 0.0, np.sqrt(low * high), high / 16.0)
        share = np.where(quick | near, following, middle)
    raise NetworkNotSolvableError(branches="1")


def _proved(share: Array, supply: Array, resistance: Array, modulus: Array, load: Curved) -> NDArray[np.bool_]:
    """Whether the source voltage lies between those just below and just above a root; at most the whole of it."""
    both = share * np.array([[1.0 - CERTAIN], [1.0 + CERTAIN]]) * supply
    below, above = _excess(both, resistance, modulus, load)[0] - supply**2
    return np.asarray((below <= 0.0) & ((above >= 0.0) | (share >= 1.0)))

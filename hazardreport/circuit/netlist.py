"""Steady sinusoidal state of any linear network: complex nodal analysis, modified so that zero ohm is exact.

Here all branches keep their currents as unknowns, with the equation ``v_first − v_second = z i``; where only the source
between two nodes is asked for, `bank` answers with far fewer. Infinite impedances are open.
Values may be arrays of one common shape: the whole batch is then solved in one call. Linear branches only; a lamp or a
person is a load on the Thevenin source.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from hazardreport.circuit.bank import Bank, Port, Skeleton
from hazardreport.circuit.nodes import Clusters
from hazardreport.errors import FloatingNetworkError, NetworkNotSolvableError, UnknownBranchError, UnknownNodeError

MIN_SUSCEPTANCE = 1e-300
"""At and below, a capacitor is open: its impedance would not be finite. [S]"""

Real = float | NDArray[np.float64]
Complex = complex | float | NDArray[Any]
ComplexArray = NDArray[np.complex128]


@dataclass(frozen=True, kw_only=True, slots=True)
class Resistor:
    """Resistance between two nodes; current counts from `first` to `second`. [ohm]"""

    name: str
    first: str
    second: str
    resistance: Real

    def impedance(self, frequency: float) -> Complex:
        """Impedance at a frequency. [ohm]"""
        return self.resistance


@dataclass(frozen=True, kw_only=True, slots=True)
class Capacitor:
    """Capacitance between two nodes; current counts from `first` to `second`. [F]"""

    name: str
    first: str
    second: str
    capacitance: Real

    def impedance(self, frequency: float) -> Complex:
        """Impedance at a frequency, infinite for direct current or no capacitance. [ohm]"""
        susceptance = 2.0 * np.pi * frequency * self.capacitance
        if isinstance(susceptance, float):
            return -1j / susceptance if susceptance > MIN_SUSCEPTANCE else np.inf
        open_ = susceptance <= MIN_SUSCEPTANCE
        return np.where(open_, np.inf, -1j / np.where(open_, 1.0, susceptance))


@dataclass(frozen=True, kw_only=True, slots=True)
class Impedance:
    """Given impedance between two nodes, such as a meter's input or a test load. [ohm]"""

    name: str
    first: str
    second: str
    value: Complex

    def impedance(self, frequency: float) -> Complex:
        """Impedance, the same at every frequency. [ohm]"""
        return self.value


@dataclass(frozen=True, kw_only=True, slots=True)
class VoltageSource:
    """Ideal source, `first` positive; its current counts from `first` to `second` through the source. [V]"""

    name: str
    first: str
    second: str
    voltage: Complex


Passive = Resistor | Capacitor | Impedance
Branch = Passive | VoltageSource


@dataclass(frozen=True, kw_only=True, slots=True)
class Netlist:
    """Branches between named nodes; `ground` has potential zero."""

    branches: tuple[Branch, ...]
    ground: str = "earth"


@dataclass(frozen=True, slots=True)
class _Layout:
    """Where everything stands in the equations of the part that conducts to ground; values play no role in it.

    node       number of each node but the ground
    branches   numbers of the part's branches in the netlist: their currents are unknowns beside the potentials
    frame      (unknowns, unknowns): the part of the matrix that no value changes
    """

    ground: str
    node: dict[str, int]
    branches: tuple[int, ...]
    frame: NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Solution:
    """Node voltages and branch currents of a solved network."""

    _netlist: Netlist
    _layout: _Layout
    _unknowns: ComplexArray

    @property
    def shape(self) -> tuple[int, ...]:
        """Common shape of all values."""
        return self._unknowns.shape[:-1]

    @property
    def nodes(self) -> frozenset[str]:
        """Nodes that have a potential, ground among them."""
        return frozenset(self._layout.node) | {self._layout.ground}

    def voltage(self, node: str, reference: str | None = None) -> ComplexArray:
        """Potential of a node against another, by default against ground. [V]"""
        potential = self._potential(node)
        return potential if reference is None else potential - self._potential(reference)

    def current(self, branch: str) -> ComplexArray:
        """Current of a branch, from its first to its second node; zero in one that is open. [A]"""
        numbers = [number for number, entry in enumerate(self._netlist.branches) if entry.name == branch]
        if not numbers:
            raise UnknownBranchError(branch=branch)
        if numbers[0] not in self._layout.branches:
            return np.zeros(self.shape, dtype=np.complex128)
        return np.asarray(self._unknowns[..., len(self._layout.node) + self._layout.branches.index(numbers[0])])

    def _potential(self, node: str) -> ComplexArray:
        if node == self._layout.ground:
            return np.zeros(self.shape, dtype=np.complex128)
        try:
            return np.asarray(self._unknowns[..., self._layout.node[node]])
        except KeyError:
            raise UnknownNodeError(node=node) from None


@lru_cache(maxsize=512)
def _layout(ends: tuple[Port, ...], conducting: bytes, ground: str) -> _Layout:
    """Layout of the part that conducts to ground."""
    present = [number for number in range(len(ends)) if conducting[number]]
    parts = Clusters(ends[number] for number in present)
    branches = tuple(number for number in present if parts.of(ends[number][0]) == parts.of(ground))
    names = sorted({name for number in branches for name in ends[number]} - {ground})
    numbers = {name: k for k, name in enumerate(names)}
    count, size = len(numbers), len(numbers) + len(branches)
    frame = np.zeros((size, size))
    for row, number in enumerate(branches, start=count):
        for name, sign in zip(ends[number], (1.0, -1.0), strict=True):
            if name != ground:
                frame[numbers[name], row] += sign
                frame[row, numbers[name]] += sign
    return _Layout(ground, numbers, branches, frame)


@dataclass(frozen=True, slots=True)
class _Values:
    """Impedances of all branches, (..., branches), zero for sources; voltages of the sources; what conducts.

    Real if all values are.
    """

    impedances: NDArray[Any]
    voltages: dict[int, Complex]
    conducting: bytes


def is_complex(value: Complex) -> bool:
    """Whether a number or an array is of complex type, whatever its imaginary part."""
    return value.dtype.kind == "c" if isinstance(value, np.ndarray) else isinstance(value, complex)


def _values(netlist: Netlist, frequency: float) -> _Values:
    given: list[Complex] = []
    voltages: dict[int, Complex] = {}
    for number, branch in enumerate(netlist.branches):
        if isinstance(branch, VoltageSource):
            voltages[number] = branch.voltage
            given.append(0.0)
        else:
            given.append(branch.impedance(frequency))
    shapes = {value.shape for value in (*given, *voltages.values()) if isinstance(value, np.ndarray)}
    shape = shapes.pop() if len(shapes) == 1 else np.broadcast_shapes(*shapes)
    all_real = not any(is_complex(value) for value in (*given, *voltages.values()))
    array: NDArray[Any] = np.empty((*shape, len(given)), dtype=np.float64 if all_real else np.complex128)
    for number, value in enumerate(given):
        array[..., number] = value
    least = np.abs(array).reshape(-1, len(given)).min(axis=0)
    return _Values(array, voltages, np.isfinite(least).tobytes())


def _unknowns(layout: _Layout, values: _Values) -> ComplexArray:
    """Node voltages, then currents of the branches, shape (..., unknowns)."""
    nodes, size, shape = len(layout.node), len(layout.frame), values.impedances.shape[:-1]
    matrix = np.empty((*shape, size, size), dtype=values.impedances.dtype)
    matrix[...] = layout.frame
    sides = np.zeros((*shape, size, 1), dtype=values.impedances.dtype)
    given = values.impedances[..., layout.branches]
    places = np.arange(nodes, size)
    matrix[..., places, places] = -given
    for place, number in enumerate(layout.branches, start=nodes):
        if number in values.voltages:
            sides[..., place, 0] = values.voltages[number]
    cut = np.isinf(given)
    for column in np.flatnonzero(cut.any(axis=tuple(range(cut.ndim - 1)))).tolist():
        place = nodes + column
        matrix[..., place, :] = np.where(cut[..., column, None], np.eye(size)[place], matrix[..., place, :])
    try:
        unknowns: ComplexArray = np.asarray(np.linalg.solve(matrix, sides), dtype=np.complex128)[..., 0]
    except np.linalg.LinAlgError:
        raise NetworkNotSolvableError(branches=str(size)) from None
    if not np.isfinite(unknowns).all():
        raise NetworkNotSolvableError(branches=str(size))
    return unknowns


def _ends(netlist: Netlist) -> tuple[Port, ...]:
    return tuple((branch.first, branch.second) for branch in netlist.branches)


def solve(netlist: Netlist, frequency: float) -> Solution:
    """Voltages and currents of a network at one frequency.

    Parameters
    ----------
    netlist : Netlist
        Values of common shape (...), zero and infinite resistances allowed.
    frequency : float
        Zero for direct current: capacitors are then open. [Hz]

    Returns
    -------
    Solution
        Voltages and currents of shape (...). [V], [A]

    Raises
    ------
    FloatingNetworkError
        If some nodes have no conducting path to ground: their potential is then unknown.
    NetworkNotSolvableError
        If the equations contradict each other (a short-circuited source) or leave a current open.

    Examples
    --------
    >>> divider = Netlist(branches=(
    ...     VoltageSource(name="V", first="a", second="earth", voltage=12.0),
    ...     Resistor(name="R1", first="a", second="b", resistance=1.0),
    ...     Resistor(name="R2", first="b", second="earth", resistance=2.0),
    ... ))
    >>> float(solve(divider, 50.0).voltage("b").real)
    8.0
    """
    solution = solve_part(netlist, frequency)
    conducting = _values(netlist, frequency).conducting
    loose = {name for k, pair in enumerate(_ends(netlist)) if conducting[k] for name in pair} - solution.nodes
    if loose:
        raise FloatingNetworkError(nodes=", ".join(sorted(loose)), ground=netlist.ground)
    return solution


def solve_part(netlist: Netlist, frequency: float) -> Solution:
    """As `solve` at a frequency [Hz] for the part of a network that conducts to its ground; what floats carries no
    current.
    """
    values = _values(netlist, frequency)
    layout = _layout(_ends(netlist), values.conducting, netlist.ground)
    return Solution(netlist, layout, _unknowns(layout, values))


def thevenin(netlist: Netlist, frequency: float, first: str, second: str) -> tuple[ComplexArray, ComplexArray]:
    """Open-circuit voltage and source impedance between two nodes, by one factorisation.

    Parameters
    ----------
    netlist : Netlist
        Values of common shape (...).
    frequency : float
        [Hz]
    first, second : str
        Nodes; the voltage counts from first to second.

    Returns
    -------
    tuple of ndarray, shape (...)
        Open-circuit voltage [V] and source impedance [ohm], complex.

    Raises
    ------
    FloatingNetworkError
        If no conducting path joins the two nodes: no current can flow between them.
    """
    answer = thevenin_ports(netlist, frequency, ((first, second),))[0]
    if np.isinf(answer[1]).any():
        raise FloatingNetworkError(nodes=first, ground=second)
    return answer


def thevenin_ports(
    netlist: Netlist, frequency: float, ports: Sequence[Port]
) -> tuple[tuple[ComplexArray, ComplexArray], ...]:
    """As `thevenin` for several ports, by one factorisation: [V], [ohm].

    A port whose nodes no conducting path joins answers with zero and infinity: no current can flow there.
    """
    values = _values(netlist, frequency)
    sources = tuple(values.voltages)
    bank = _bank(_ends(netlist), sources, netlist.ground, tuple(ports))
    voltages = np.stack(np.broadcast_arrays(*(values.voltages[number] for number in sources), 0j), axis=-1)
    shape = np.broadcast_shapes(values.impedances.shape[:-1], voltages.shape[:-1])
    impedances = np.broadcast_to(values.impedances, (*shape, values.impedances.shape[-1])).reshape(
        -1, values.impedances.shape[-1]
    )
    voltages = np.broadcast_to(voltages, (*shape, voltages.shape[-1])).reshape(-1, voltages.shape[-1])
    found = bank.thevenin(impedances, voltages)
    whole = [part[:, 0, :].astype(np.complex128).reshape(*shape, len(ports)) for part in found]
    return tuple((whole[0][..., port], whole[1][..., port]) for port in range(len(ports)))


@lru_cache(maxsize=128)
def _bank(ends: tuple[Port, ...], sources: tuple[int, ...], ground: str, ports: tuple[Port, ...]) -> Bank:
    skeleton = Skeleton(
        wires=tuple((*pair, number) for number, pair in enumerate(ends) if number not in sources),
        sources=tuple((*ends[number], place) for place, number in enumerate(sources)),
        ground=ground,
    )
    return Bank((skeleton,), (ports,), len(sources) + 1)

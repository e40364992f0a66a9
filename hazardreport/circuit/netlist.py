"""Steady sinusoidal state of any linear network: complex nodal analysis with branch currents as unknowns.

Resistances of exactly zero and of infinity are solved, not approximated, because every branch keeps its own equation
``g (v_first − v_second) = z i`` with ``z / g`` its impedance. Values may be arrays of one common shape: the whole
batch is then solved in one call. Linear branches only; a lamp or a person is a load on the Thevenin source.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from hazardreport.errors import FloatingNetworkError, NetworkNotSolvableError, UnknownBranchError, UnknownNodeError

Real = float | NDArray[np.float64]
Complex = complex | float | NDArray[Any]
ComplexArray = NDArray[np.complex128]
Port = tuple[str, str]


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
        susceptance = np.asarray(2.0 * np.pi * frequency * self.capacitance)
        with np.errstate(divide="ignore", over="ignore", invalid="ignore"):
            return np.asarray(-1j * np.where(susceptance == 0.0, np.inf, 1.0 / susceptance))


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
class _Structure:
    """What does not depend on values: node numbers, incidence, positions of the sources among the branches."""

    node: dict[str, int]
    branch: dict[str, int]
    incidence: NDArray[np.float64]
    sources: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Solution:
    """Node voltages and branch currents of a solved network.

    unknowns  shape (..., unknowns): node voltages, then branch currents [V], [A]
    """

    ground: str
    unknowns: ComplexArray
    _structure: _Structure

    def voltage(self, node: str, reference: str | None = None) -> ComplexArray:
        """Potential of a node against another, by default against ground. [V]"""
        potential = self._potential(node)
        return potential if reference is None else potential - self._potential(reference)

    def current(self, branch: str) -> ComplexArray:
        """Current of a branch, from its first to its second node. [A]"""
        try:
            number = self._structure.branch[branch]
        except KeyError:
            raise UnknownBranchError(branch=branch) from None
        return np.asarray(self.unknowns[..., len(self._structure.node) + number])

    def _potential(self, node: str) -> ComplexArray:
        if node == self.ground:
            return np.zeros(self.unknowns.shape[:-1], dtype=np.complex128)
        try:
            return np.asarray(self.unknowns[..., self._structure.node[node]])
        except KeyError:
            raise UnknownNodeError(node=node) from None


@lru_cache(maxsize=512)
def _structure(ends: tuple[tuple[str, str, str, bool], ...], ground: str) -> _Structure:
    """Structure from (name, first, second, is a source) of each branch that conducts."""
    node: dict[str, int] = {}
    for _, first, second, _ in ends:
        for name in (first, second):
            if name != ground:
                node.setdefault(name, len(node))
    loose = sorted(set(node) - _reached(((first, second) for _, first, second, _ in ends), ground))
    if loose:
        raise FloatingNetworkError(nodes=", ".join(loose), ground=ground)
    incidence = np.zeros((len(node), len(ends)))
    for number, (_, first, second, _) in enumerate(ends):
        if first != ground:
            incidence[node[first], number] += 1.0
        if second != ground:
            incidence[node[second], number] -= 1.0
    branch = {name: number for number, (name, *_) in enumerate(ends)}
    return _Structure(node, branch, incidence, tuple(k for k, end in enumerate(ends) if end[3]))


def _reached(edges: Iterable[tuple[str, str]], start: str) -> set[str]:
    """Nodes joined to one node by any chain of edges, itself included."""
    neighbours: dict[str, list[str]] = {}
    for first, second in edges:
        neighbours.setdefault(first, []).append(second)
        neighbours.setdefault(second, []).append(first)
    reached, pending = {start}, [start]
    while pending:
        for neighbour in neighbours.get(pending.pop(), ()):
            if neighbour not in reached:
                reached.add(neighbour)
                pending.append(neighbour)
    return reached


def _conducts(branch: Branch, frequency: float) -> bool:
    if isinstance(branch, VoltageSource):
        return True
    if isinstance(branch, Capacitor):
        return frequency != 0.0 and bool(np.any(branch.capacitance))
    value = branch.impedance(frequency)
    return bool(np.isfinite(value)) if isinstance(value, int | float | complex) else bool(np.isfinite(value).any())


def island(netlist: Netlist, node: str, frequency: float) -> Netlist:
    """The part of a network that conducts to a node; its ground is the old one if it lies there, else that node."""
    conducting = tuple(branch for branch in netlist.branches if _conducts(branch, frequency))
    reached = _reached(((branch.first, branch.second) for branch in conducting), node)
    kept = tuple(branch for branch in conducting if branch.first in reached)
    return Netlist(branches=kept, ground=netlist.ground if netlist.ground in reached else node)


def joined(netlist: Netlist, first: str, second: str, frequency: float) -> bool:
    """Whether any conducting path leads from one node to the other."""
    ends = ((branch.first, branch.second) for branch in netlist.branches if _conducts(branch, frequency))
    return second in _reached(ends, first)


def _system(
    netlist: Netlist, frequency: float, ports: Sequence[Port], sourced: bool
) -> tuple[_Structure, ComplexArray, ComplexArray]:
    """Matrix (..., m, m) and right-hand sides (..., m, 1 + ports): sources first, then one ampere through each port."""
    branches = tuple(branch for branch in netlist.branches if _conducts(branch, frequency))
    ends = tuple((b.name, b.first, b.second, isinstance(b, VoltageSource)) for b in branches)
    structure = _structure(ends, netlist.ground)
    values = [0.0 if isinstance(b, VoltageSource) else b.impedance(frequency) for b in branches]
    voltages = [b.voltage for b in branches if isinstance(b, VoltageSource)]
    shape = np.broadcast_shapes(*(np.shape(value) for value in (*values, *voltages)))

    impedance = np.empty((*shape, len(branches)), dtype=np.complex128)
    for number, value in enumerate(values):
        impedance[..., number] = value
    finite = np.isfinite(impedance)
    if not finite.all():
        impedance = np.where(finite, impedance, 0.0)
    weight = 1.0 / (1.0 + np.abs(impedance))

    nodes, size = len(structure.node), len(structure.node) + len(branches)
    matrix = np.zeros((*shape, size, size), dtype=np.complex128)
    matrix[..., :nodes, nodes:] = structure.incidence
    matrix[..., nodes:, :nodes] = (weight * finite)[..., :, None] * structure.incidence.T
    diagonal = np.arange(nodes, size)
    matrix[..., diagonal, diagonal] = np.where(finite, -weight * impedance, -1.0)

    sides = np.zeros((*shape, size, 1 + len(ports)), dtype=np.complex128)
    if sourced:
        for number, voltage in zip(structure.sources, voltages, strict=True):
            sides[..., nodes + number, 0] = voltage
    for column, port in enumerate(ports, start=1):
        for name, sign in zip(port, (1.0, -1.0), strict=True):
            if name != netlist.ground:
                if name not in structure.node:
                    raise UnknownNodeError(node=name)
                sides[..., structure.node[name], column] += sign
    return structure, matrix, sides


def _solved(matrix: ComplexArray, sides: ComplexArray) -> ComplexArray:
    try:
        unknowns: ComplexArray = np.asarray(np.linalg.solve(matrix, sides), dtype=np.complex128)
    except np.linalg.LinAlgError:
        raise NetworkNotSolvableError(branches=str(matrix.shape[-1])) from None
    if not np.isfinite(unknowns).all():
        raise NetworkNotSolvableError(branches=str(matrix.shape[-1]))
    return unknowns


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
    structure, matrix, sides = _system(netlist, frequency, (), sourced=True)
    return Solution(netlist.ground, _solved(matrix, sides)[..., 0], structure)


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
    return thevenin_ports(netlist, frequency, ((first, second),))[0]


def thevenin_ports(
    netlist: Netlist, frequency: float, ports: Sequence[Port]
) -> tuple[tuple[ComplexArray, ComplexArray], ...]:
    """As `thevenin`, for several ports of one conducting part of the network, still by one factorisation."""
    part = island(netlist, ports[0][0], frequency)
    nodes = {name for branch in part.branches for name in (branch.first, branch.second)} | {part.ground}
    loose = sorted({name for port in ports for name in port} - nodes)
    if loose:
        raise FloatingNetworkError(nodes=", ".join(loose), ground=part.ground)
    structure, matrix, sides = _system(part, frequency, ports, sourced=True)
    unknowns = _solved(matrix, sides)
    answers = []
    for column, (first, second) in enumerate(ports, start=1):
        difference = np.zeros(unknowns.shape[:-2] + unknowns.shape[-1:], dtype=np.complex128)
        if first != part.ground:
            difference = difference + unknowns[..., structure.node[first], :]
        if second != part.ground:
            difference = difference - unknowns[..., structure.node[second], :]
        answers.append((np.asarray(difference[..., 0]), np.asarray(difference[..., column])))
    return tuple(answers)

"""Steady sinusoidal state of any linear network: complex nodal analysis, modified so that zero ohm is exact.

Branches enter as admittances, or keep their currents as unknowns with the equation ``v_first − v_second = z i``:
sources and impedances near zero always, all branches where their currents are asked for. Infinite impedances are open.
Values may be arrays of one common shape: the whole batch is then solved in one call. Linear branches only; a lamp or a
person is a load on the Thevenin source.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from hazardreport.errors import FloatingNetworkError, NetworkNotSolvableError, UnknownBranchError, UnknownNodeError

MIN_SUSCEPTANCE = 1e-300
"""At and below, a capacitor is open: its impedance would not be finite. [S]"""

Real = float | NDArray[np.float64]
Complex = complex | float | NDArray[Any]
ComplexArray = NDArray[np.complex128]
Port = tuple[str, str]

NEAR_ZERO = 1e-3
"""Impedances below keep their current as an unknown, which costs time but no digits. [ohm]"""


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
    """Where everything stands in the equations of one conducting part; values play no role in it.

    node       number of each node but the ground
    branches   numbers of the part's branches in the netlist
    nodal      of those, the ones that enter as admittances
    kept       of those, sources and near-zero impedances: their currents are unknowns
    spread     (nodal, nodes²): what one siemens adds to the nodal matrix
    frame      (unknowns, unknowns): the part of the matrix that no value changes
    """

    ground: str
    node: dict[str, int]
    branches: tuple[int, ...]
    nodal: NDArray[np.intp]
    kept: NDArray[np.intp]
    spread: ComplexArray
    frame: ComplexArray


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

    def voltage(self, node: str, reference: str | None = None) -> ComplexArray:
        """Potential of a node against another, by default against ground. [V]"""
        potential = self._potential(node)
        return potential if reference is None else potential - self._potential(reference)

    def current(self, branch: str) -> ComplexArray:
        """Current of a branch, from its first to its second node; zero in one that is open. [A]"""
        numbers = [number for number, entry in enumerate(self._netlist.branches) if entry.name == branch]
        if not numbers:
            raise UnknownBranchError(branch=branch)
        place = np.flatnonzero(self._layout.kept == numbers[0])
        if not len(place):
            return np.zeros(self.shape, dtype=np.complex128)
        return np.asarray(self._unknowns[..., len(self._layout.node) + int(place[0])])

    def _potential(self, node: str) -> ComplexArray:
        if node == self._layout.ground:
            return np.zeros(self.shape, dtype=np.complex128)
        try:
            return np.asarray(self._unknowns[..., self._layout.node[node]])
        except KeyError:
            raise UnknownNodeError(node=node) from None


def _reached(edges: Iterable[Port], start: str) -> set[str]:
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


@lru_cache(maxsize=512)
def _layout(ends: tuple[Port, ...], conducting: bytes, kept: bytes, ground: str, node: str) -> _Layout:
    """Layout of the part that conducts to a node; its ground is the network's if it lies there, else that node."""
    present = [number for number in range(len(ends)) if conducting[number]]
    reached = _reached((ends[number] for number in present), node)
    origin = ground if ground in reached else node
    branches = tuple(number for number in present if ends[number][0] in reached)
    numbers = {name: k for k, name in enumerate(sorted(reached - {origin}))}
    incidence = np.zeros((len(numbers), len(ends)))
    for number in branches:
        for name, sign in zip(ends[number], (1.0, -1.0), strict=True):
            if name != origin:
                incidence[numbers[name], number] += sign
    nodal = np.array([number for number in branches if not kept[number]], dtype=np.intp)
    unknown = np.array([number for number in branches if kept[number]], dtype=np.intp)
    columns = incidence[:, nodal].T
    spread = (columns[:, :, None] * columns[:, None, :]).reshape(len(nodal), len(numbers) ** 2)
    count, size = len(numbers), len(numbers) + len(unknown)
    frame = np.zeros((size, size), dtype=np.complex128)
    frame[:count, count:] = incidence[:, unknown]
    frame[count:, :count] = incidence[:, unknown].T
    return _Layout(origin, numbers, branches, nodal, unknown, spread.astype(np.complex128), frame)


@dataclass(frozen=True, slots=True)
class _Values:
    """Impedances of all branches, (..., branches), zero for sources; voltages of the sources; what conducts."""

    impedances: ComplexArray
    voltages: dict[int, Complex]
    conducting: bytes
    kept: bytes


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
    array = np.empty((*shape, len(given)), dtype=np.complex128)
    for number, value in enumerate(given):
        array[..., number] = value
    least = np.abs(array).reshape(-1, len(given)).min(axis=0)
    return _Values(array, voltages, np.isfinite(least).tobytes(), (least < NEAR_ZERO).tobytes())


def _unknowns(layout: _Layout, values: _Values, ports: Sequence[Port]) -> ComplexArray:
    """Node voltages, then currents of the kept branches, shape (..., unknowns, 1 + ports).

    The first column holds the sources' doing, the others that of one ampere through each port with the sources at zero.
    """
    nodes, size, shape = len(layout.node), len(layout.frame), values.impedances.shape[:-1]
    matrix = np.empty((*shape, size, size), dtype=np.complex128)
    matrix[...] = layout.frame
    admittances = 1.0 / values.impedances[..., layout.nodal]
    matrix[..., :nodes, :nodes] = (admittances @ layout.spread).reshape(*shape, nodes, nodes)
    sides = np.zeros((*shape, size, 1 + len(ports)), dtype=np.complex128)
    for place, number in enumerate(layout.kept.tolist(), start=nodes):
        if number in values.voltages:
            sides[..., place, 0] = values.voltages[number]
            continue
        impedance = values.impedances[..., number]
        matrix[..., place, place] = -impedance
        cut = np.isinf(impedance)
        if cut.any():
            matrix[..., place, :] = np.where(cut[..., None], np.eye(size)[place], matrix[..., place, :])
    for column, port in enumerate(ports, start=1):
        for name, sign in zip(port, (1.0, -1.0), strict=True):
            if name != layout.ground:
                sides[..., layout.node[name], column] += sign
    try:
        unknowns: ComplexArray = np.asarray(np.linalg.solve(matrix, sides), dtype=np.complex128)
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
    values, ends = _values(netlist, frequency), _ends(netlist)
    every = b"\x01" * len(ends)
    layout = _layout(ends, values.conducting, every, netlist.ground, netlist.ground)
    loose = {name for k, pair in enumerate(ends) if values.conducting[k] for name in pair} - {
        *layout.node,
        layout.ground,
    }
    if loose:
        raise FloatingNetworkError(nodes=", ".join(sorted(loose)), ground=netlist.ground)
    return Solution(netlist, layout, _unknowns(layout, values, ())[..., 0])


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
    """As `thevenin` for several ports, by one factorisation of each conducting part of the network.

    A port whose nodes no conducting path joins answers with zero and infinity: no current can flow there.
    """
    values, ends = _values(netlist, frequency), _ends(netlist)
    answers: dict[Port, tuple[ComplexArray, ComplexArray]] = {}
    pending = list(dict.fromkeys(ports))
    while pending:
        layout = _layout(ends, values.conducting, values.kept, netlist.ground, pending[0][0])
        nodes = {*layout.node, layout.ground}
        inside = [port for port in pending if port[0] in nodes and port[1] in nodes]
        if inside:
            unknowns = _unknowns(layout, values, inside)
            for column, port in enumerate(inside, start=1):
                answers[port] = (
                    _difference(layout, unknowns[..., 0], port),
                    _difference(layout, unknowns[..., column], port),
                )
        for port in pending:
            if (port[0] in nodes) != (port[1] in nodes):
                answers[port] = np.asarray(0j), np.asarray(complex(np.inf, 0.0))
        pending = [port for port in pending if port not in answers]
    return tuple(answers[port] for port in ports)


def _difference(layout: _Layout, column: ComplexArray, port: Port) -> ComplexArray:
    first, second = port
    if second == layout.ground and first != layout.ground:
        return np.asarray(column[..., layout.node[first]])
    zero = np.zeros(column.shape[:-1], dtype=np.complex128)
    potentials = [zero if node == layout.ground else column[..., layout.node[node]] for node in port]
    return np.asarray(potentials[0] - potentials[1])


def conducting_part(netlist: Netlist, frequency: float) -> Netlist:
    """The branches of a network that conduct to its ground, without what floats."""
    values = _values(netlist, frequency)
    layout = _layout(_ends(netlist), values.conducting, values.kept, netlist.ground, netlist.ground)
    return Netlist(branches=tuple(netlist.branches[number] for number in layout.branches), ground=netlist.ground)

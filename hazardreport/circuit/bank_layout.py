"""How the wires of many networks enter matrices of one size: which potentials and currents are unknown, and where.

Wires of no resistance join their nodes, open ones are left out, and so are stubs and parts in which no port lies. Nodes
that sources tie to ground are given, the others unknown. Values play no role but in which of these a wire is.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hazardreport.circuit.nodes import Clusters
from hazardreport.errors import NetworkNotSolvableError

Port = tuple[str, str]

KEPT, ZERO, OPEN = 1, 2, 4


@dataclass(frozen=True, slots=True)
class Skeleton:
    """One network without values.

    wires    (first node, second node, slot of its impedance)
    sources  (positive node, negative node, slot of its voltage)
    ground   has potential zero
    """

    wires: tuple[tuple[str, str, int], ...]
    sources: tuple[tuple[str, str, int], ...]
    ground: str


@dataclass(slots=True)
class _Stamps:
    """What the wires of one skeleton do to its matrix.

    number  of each node with an unknown potential
    given   potentials of the others, as (source, share)
    nodal   wires that enter as admittances: nodes and slot
    kept    wires and sources whose currents are unknowns: nodes, slot of the impedance or of the voltage
    """

    number: dict[str, int]
    given: dict[str, tuple[tuple[int, float], ...]]
    nodal: list[tuple[str, str, int]]
    kept: list[tuple[str, str, int | None, int | None]]

    @property
    def size(self) -> int:
        return len(self.number) + len(self.kept)


@dataclass(frozen=True, slots=True)
class Layout:
    """Where everything stands in the matrices, for S skeletons, P ports, n unknowns, K sources.

    nodal       slots that enter as admittances
    spread      what one siemens adds to matrix and right-hand sides, (nodal, S·n·(n + K))
    frame       the part that no value changes, (S, n, n + K)
    kept        (skeleton, row, slot) of near-zero impedances
    sides       one ampere through each port, (S, n, P)
    ends        +1 at the first and −1 at the second node of each port, (S, P, n)
    given       share of each source in the voltage of each port, (S, P, K)
    floating    ports that no path joins, (S, P)
    """

    size: int
    nodal: NDArray[np.intp]
    spread: NDArray[np.float64]
    frame: NDArray[np.float64]
    kept: tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.intp]]
    sides: NDArray[np.float64]
    ends: NDArray[np.float64]
    given: NDArray[np.float64]
    floating: NDArray[np.bool_]
    any_floating: bool
    any_given: bool


def _given_potentials(
    skeleton: Skeleton, clusters: Clusters
) -> tuple[dict[str, tuple[tuple[int, float], ...]], list[tuple[str, str, int]]]:
    """Potentials that the sources at ground fix, as (source, share); and the sources that stand elsewhere."""
    given: dict[str, tuple[tuple[int, float], ...]] = {clusters.of(skeleton.ground): ()}
    pending, left = list(skeleton.sources), len(skeleton.sources) + 1
    while pending and len(pending) < left:
        left, rest = len(pending), []
        for first, second, slot in pending:
            plus, minus = clusters.of(first), clusters.of(second)
            if plus in given and minus in given:
                raise NetworkNotSolvableError(branches=str(len(skeleton.wires)))
            if minus in given:
                given[plus] = (*given[minus], (slot, 1.0))
            elif plus in given:
                given[minus] = (*given[plus], (slot, -1.0))
            else:
                rest.append((plus, minus, slot))
        pending = rest
    return given, pending


def _stamps(skeleton: Skeleton, ports: Sequence[Port], code: bytes) -> tuple[_Stamps, Clusters, list[bool]]:
    clusters = Clusters((first, second) for first, second, slot in skeleton.wires if code[slot] & ZERO)
    given, loose = _given_potentials(skeleton, clusters)
    wires = [
        (clusters.of(first), clusters.of(second), slot)
        for first, second, slot in skeleton.wires
        if not code[slot] & (ZERO | OPEN)
    ]
    wires = [wire for wire in wires if wire[0] != wire[1]]
    bound = [(clusters.of(first), clusters.of(second)) for first, second, _ in skeleton.sources]
    parts = Clusters([*((first, second) for first, second, _ in wires), *bound])
    ends = [(clusters.of(first), clusters.of(second)) for first, second in ports]
    joined = [first == second or parts.of(first) == parts.of(second) for first, second in ends]
    wanted = {parts.of(first) for (first, _), path in zip(ends, joined, strict=True) if path}
    held = {name for pair in ends for name in pair} | {name for pair in bound for name in pair} | set(given)
    wires = _without_stubs([wire for wire in wires if parts.of(wire[0]) in wanted], held)
    pairs = [*((first, second) for first, second, _ in (*wires, *loose)), *ends]
    nodes = sorted({name for pair in pairs for name in pair})
    reference: dict[str, str] = {parts.of(name): name for name in reversed(nodes)}
    reference |= {parts.of(name): name for name in given}
    for name in reference.values():
        given.setdefault(name, ())
    number: dict[str, int] = {}
    for name in nodes:
        if name not in given and parts.of(name) in wanted:
            number[name] = len(number)
    kept: list[tuple[str, str, int | None, int | None]] = [
        (first, second, slot, None) for first, second, slot in wires if code[slot] & KEPT
    ]
    kept += [(first, second, None, slot) for first, second, slot in loose if parts.of(first) in wanted]
    nodal = [wire for wire in wires if not code[wire[2]] & KEPT]
    return _Stamps(number, given, nodal, kept), clusters, joined


def _without_stubs(wires: list[tuple[str, str, int]], held: set[str]) -> list[tuple[str, str, int]]:
    """The wires less those that end in the air, where no current flows."""
    while True:
        ends: dict[str, int] = {}
        for first, second, _ in wires:
            ends[first] = ends.get(first, 0) + 1
            ends[second] = ends.get(second, 0) + 1
        rest = [wire for wire in wires if all(ends[name] > 1 or name in held for name in wire[:2])]
        if len(rest) == len(wires):
            return wires
        wires = rest


def layout_of(skeletons: Sequence[Skeleton], ports: Sequence[Sequence[Port]], sources: int, code: bytes) -> Layout:
    """Layout of networks with some ports each, for one pattern of wires: a byte of KEPT, ZERO, OPEN for each slot.

    Raises
    ------
    NetworkNotSolvableError
        If a source is short-circuited.
    """
    made = [_stamps(skeleton, asked, code) for skeleton, asked in zip(skeletons, ports, strict=True)]
    size = max(1, *(stamps.size for stamps, _, _ in made))
    count, width = len(made), max(len(asked) for asked in ports)
    slots = sorted({slot for stamps, _, _ in made for _, _, slot in stamps.nodal})
    spread = np.zeros((len(slots), count, size, size + sources))
    frame = np.zeros((count, size, size + sources))
    sides, ends = np.zeros((count, size, width)), np.zeros((count, width, size))
    given, floating = np.zeros((count, width, sources)), np.zeros((count, width), dtype=bool)
    kept: list[tuple[int, int, int]] = []
    for s, (stamps, clusters, joined) in enumerate(made):
        for first, second, slot in stamps.nodal:
            _nodal_stamp(spread[slots.index(slot), s], stamps, first, second)
        for row, wire in enumerate(stamps.kept, start=len(stamps.number)):
            _kept_stamp(frame[s], stamps, wire, row)
            if wire[2] is not None:
                kept.append((s, row, wire[2]))
        unused = np.arange(stamps.size, size)
        frame[s, unused, unused] = 1.0
        for p, (port, path) in enumerate(zip(ports[s], joined, strict=True)):
            floating[s, p] = not path
            for name, sign in zip(port, (1.0, -1.0), strict=True) if path else ():
                node = clusters.of(name)
                if node in stamps.number:
                    ends[s, p, stamps.number[node]] += sign
                for source, share in stamps.given.get(node, ()):
                    given[s, p, source] += sign * share
            sides[s, :, p] = ends[s, p]
    rows = np.array(kept, dtype=np.intp).reshape(-1, 3)
    return Layout(
        size=size,
        nodal=np.array(slots, dtype=np.intp),
        spread=spread.reshape(len(slots), frame.size),
        frame=frame,
        kept=(rows[:, 0], rows[:, 1], rows[:, 2]),
        sides=sides,
        ends=ends,
        given=given,
        floating=floating,
        any_floating=bool(floating.any()),
        any_given=bool(given.any()),
    )


def _nodal_stamp(matrix: NDArray[np.float64], stamps: _Stamps, first: str, second: str) -> None:
    """One siemens between two nodes; what is given goes to the right-hand side."""
    unknowns = matrix.shape[0]
    for here, there in ((first, second), (second, first)):
        row = stamps.number.get(here)
        if row is None:
            continue
        matrix[row, row] += 1.0
        column = stamps.number.get(there)
        if column is not None:
            matrix[row, column] -= 1.0
        for source, share in stamps.given.get(there, ()):
            matrix[row, unknowns + source] += share


def _kept_stamp(
    matrix: NDArray[np.float64], stamps: _Stamps, wire: tuple[str, str, int | None, int | None], row: int
) -> None:
    """A wire or a source whose current is the unknown of a row: first less second potential is z·i, or the source."""
    first, second, _, voltage = wire
    unknowns = matrix.shape[0]
    for name, sign in ((first, 1.0), (second, -1.0)):
        node = stamps.number.get(name)
        if node is not None:
            matrix[node, row] += sign
            matrix[row, node] += sign
        for source, share in stamps.given.get(name, ()):
            matrix[row, unknowns + source] -= sign * share
    if voltage is not None:
        matrix[row, unknowns + voltage] += 1.0

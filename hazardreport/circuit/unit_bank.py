"""All networks that one unit needs for a set of states or readings, solved together."""

from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Wiring
from hazardreport.circuit.bank import Bank, Port, Skeleton, Values
from hazardreport.circuit.netlist import Complex, is_complex
from hazardreport.circuit.network_parameters import NetworkParameters, Node
from hazardreport.circuit.unit_values import impedance
from hazardreport.circuit.unit_wires import (
    CAPACITORS,
    Slot,
    Structure,
    has_earth_bar,
    impossible,
    sources,
    structure,
    wires,
)

REMEMBERED = 16


@dataclass(frozen=True, slots=True)
class Question:
    """One network of a unit and the ports at which it is asked.

    cold            elements at room temperature
    direct_current  as an ohmmeter sees it: capacitors are open
    """

    state: UnitState
    ports: tuple[Port, ...]
    cold: bool = False
    direct_current: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class UnitBank:
    """The networks of one unit, compiled once for each structure that its parameters have."""

    wiring: Wiring
    questions: tuple[Question, ...]
    _compiled: dict[Structure, tuple[Bank, tuple[Slot, ...]]] = field(default_factory=dict, repr=False)

    def thevenin(self, parameters: NetworkParameters) -> tuple[Values, Values]:
        """Open-circuit voltage and source impedance at every port of every question.

        Parameters
        ----------
        parameters : NetworkParameters
            Values of common shape (...).

        Returns
        -------
        tuple of ndarray, shape (..., questions, ports)
            [V], [ohm]; zero and infinity where no conducting path joins a port. Questions with fewer ports than
            others have zeros there.

        Raises
        ------
        SupplyNotSolvedError, StateNotPossibleError
            As for `unit_netlist`.
        NetworkNotSolvableError
            If the supply is short-circuited over no resistance at all.
        """
        exists = structure(parameters)
        found = self._compiled.get(exists)
        if found is None:
            if len(self._compiled) >= REMEMBERED:
                self._compiled.clear()
            found = self._compiled[exists] = _compiled(self.wiring, self.questions, exists)
        bank, slots = found
        voltage = parameters.supply_voltage
        impedances = [impedance(slot, parameters) for slot in slots]
        voltages: list[Complex] = [share * voltage for *_, share in sources(self.wiring.supply)]
        arrays = [item for item in (*impedances, *voltages) if isinstance(item, np.ndarray)]
        shapes = {item.shape for item in arrays}
        shape = shapes.pop() if len(shapes) == 1 else np.broadcast_shapes(*shapes)
        answer = bank.thevenin(_columns(impedances, shape), _columns(voltages, shape))
        whole = (*shape, *answer[0].shape[1:])
        return answer[0].reshape(whole), answer[1].reshape(whole)


def _columns(values: list[Complex], shape: tuple[int, ...]) -> Values:
    """Values of a common shape side by side, shape (V, values); real if all are."""
    complex_ = any(is_complex(item) for item in values)
    array: NDArray[Any] = np.empty((*shape, len(values)), dtype=np.complex128 if complex_ else np.float64)
    for number, item in enumerate(values):
        array[..., number] = item
    return array.reshape(-1, len(values))


def _compiled(wiring: Wiring, questions: tuple[Question, ...], exists: Structure) -> tuple[Bank, tuple[Slot, ...]]:
    numbers: dict[Slot, int] = {}
    given = tuple((first, second, k) for k, (_, first, second, _) in enumerate(sources(wiring.supply)))
    skeletons, ports = [], []
    for question in questions:
        found = tuple(
            (wire.first, wire.second, numbers.setdefault(wire.slot, len(numbers)))
            for wire in wires(wiring, exists, question.state, question.cold)
            if not (question.direct_current and wire.slot.name in CAPACITORS)
        )
        skeletons.append(Skeleton(found, given, Node.EARTH))
        ports.append(tuple(true_port(port, exists, question.state) for port in question.ports))
    return Bank(tuple(skeletons), tuple(ports), len(given)), tuple(numbers)


def true_port(port: Port, exists: Structure, state: UnitState) -> Port:
    """The port with true earth in place of an earth bar that does not differ from it.

    Raises
    ------
    StateNotPossibleError
        If the earth bar lies behind an electrode of unknown resistance.
    """
    if Node.EARTH_BAR not in port:
        return port
    if exists.by_electrode and "electrode" not in exists.paths:
        raise impossible(state, "electrode_unknown")
    if has_earth_bar(exists, state):
        return port
    first, second = (Node.EARTH if node == Node.EARTH_BAR else node for node in port)
    return first, second


@lru_cache(maxsize=64)
def unit_bank(wiring: Wiring, questions: tuple[Question, ...]) -> UnitBank:
    """The networks of a unit for some questions; the same ones again are not compiled again."""
    return UnitBank(wiring, questions)

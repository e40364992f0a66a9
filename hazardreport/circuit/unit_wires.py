"""Which wires a unit's network has in a state, apart from their values; each names the slot of its value."""

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from hazardreport import wording
from hazardreport.case.reading import PlugPosition, SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Supply, SwitchPoles, Wiring
from hazardreport.circuit.netlist import Real
from hazardreport.circuit.network_parameters import NetworkParameters, Node
from hazardreport.errors import StateNotPossibleError, SupplyNotSolvedError

NOT_SOLVED = (Supply.ISOLATED, Supply.DIRECT_CURRENT)
POLES = {
    SwitchPoles.POLE_1: frozenset({1}),
    SwitchPoles.POLE_2: frozenset({2}),
    SwitchPoles.BOTH: frozenset({1, 2}),
}


@dataclass(frozen=True, slots=True)
class Slot:
    """Where the value of a wire comes from.

    name     of the value
    element  0 for the faulty element, then the further ones
    cold     of the element at room temperature
    """

    name: str
    element: int = 0
    cold: bool = False


@dataclass(frozen=True, slots=True)
class Wire:
    """One wire without its value."""

    name: str
    first: str
    second: str
    slot: Slot


@dataclass(frozen=True, slots=True)
class Structure:
    """What of a unit's network exists: no value plays a role but those that say "none".

    paths    names of the optional wires that are there
    leaks    whether an open switch, an open cut-out leaks
    further  for each further element whether it has a fault, and whether it is broken
    """

    paths: frozenset[str]
    leaks: tuple[bool, bool]
    by_electrode: bool
    further: tuple[tuple[bool, bool], ...]


OPTIONAL: tuple[tuple[str, str, float], ...] = (
    ("leakage 1", "leakage_capacitance_1", 0.0),
    ("leakage 2", "leakage_capacitance_2", 0.0),
    ("x capacitor", "x_capacitance", 0.0),
    ("leakage path 1", "leakage_resistance_1", math.inf),
    ("leakage path 2", "leakage_resistance_2", math.inf),
    ("bleeder", "bleeder_resistance", math.inf),
    ("PEN", "pen_resistance", 0.0),
    ("electrode", "electrode_resistance", math.inf),
    ("second part", "second_part_resistance", math.inf),
    ("second fault", "second_fault_resistance", math.inf),
)
CAPACITORS = frozenset({"leakage 1", "leakage 2", "x capacitor"})


def _there(value: Real, none: float) -> bool:
    return isinstance(value, np.ndarray) or value != none


def structure(parameters: NetworkParameters) -> Structure:
    """What of the network exists with these parameters."""
    p = parameters
    return Structure(
        frozenset(name for name, field, none in OPTIONAL if _there(getattr(p, field), none)),
        (p.switch_leak_resistance is not None, p.cut_out_leak_resistance is not None),
        p.earthing_by_electrode,
        tuple((_there(one.fault_resistance, math.inf), one.open_position is not None) for one in p.further_elements),
    )


def refuse_supply(wiring: Wiring) -> None:
    """Raise SupplyNotSolvedError, with reason and advice, if no pole is earthed or it is direct current."""
    if wiring.supply in NOT_SOLVED:
        entry = f"circuit.supply.{wiring.supply.name.lower()}"
        raise SupplyNotSolvedError(
            supply=wiring.supply.value,
            reason=wording.sentence(f"{entry}.reason"),
            advice=wording.sentence(f"{entry}.advice"),
        )


def impossible(state: UnitState, reason: str) -> StateNotPossibleError:
    """The error for a state, with its sentences."""
    return StateNotPossibleError(
        state=state.key,
        reason=wording.sentence(f"circuit.state.{reason}.reason"),
        advice=wording.sentence(f"circuit.state.{reason}.advice"),
    )


def _interrupted(poles: SwitchPoles, state: UnitState, unknown: str, none: str) -> frozenset[int]:
    if poles is SwitchPoles.UNKNOWN:
        raise impossible(state, unknown)
    if poles is SwitchPoles.NONE:
        raise impossible(state, none)
    return POLES[poles]


def switched_off(wiring: Wiring, state: UnitState) -> frozenset[int]:
    """Poles that the switch interrupts in a state."""
    if state.switch is not SwitchPosition.OFF:
        return frozenset()
    return _interrupted(wiring.switch, state, "switch_unknown", "no_switch")


def cut_out(wiring: Wiring, state: UnitState) -> frozenset[int]:
    """Poles that a thermostat or cut-out interrupts in a state."""
    if not state.cut_out_open:
        return frozenset()
    return _interrupted(wiring.cut_out, state, "cut_out_unknown", "no_cut_out")


def open_poles(wiring: Wiring, state: UnitState) -> frozenset[int]:
    """Numbers of the supply poles that switch or cut-out interrupt in a state.

    Raises
    ------
    StateNotPossibleError
        If the unit is said to be off or its cut-out open, and it is not known which poles that interrupts, or it has
        none.
    """
    return switched_off(wiring, state) | cut_out(wiring, state)


def pins(state: UnitState) -> tuple[Node, Node]:
    """Nodes on which pin 1 and pin 2 lie: conductors of the socket, or the bare pins when unplugged."""
    match state.plug:
        case PlugPosition.STRAIGHT:
            return Node.LINE, Node.NEUTRAL
        case PlugPosition.REVERSED:
            return Node.NEUTRAL, Node.LINE
        case PlugPosition.UNPLUGGED:
            return Node.PIN_1, Node.PIN_2
        case PlugPosition.UNKNOWN:
            raise impossible(state, "plug_unknown")


def sources(supply: Supply) -> tuple[tuple[str, str, str, complex], ...]:
    """Sources of a supply: name, positive node, negative node, share of the voltage between the poles. [1]"""
    first = ("supply", Node.SOURCE, Node.EARTH)
    second = ("second supply", Node.SECOND_SOURCE, Node.EARTH)
    if supply is Supply.TWO_LIVE_POLES:
        return (*first, 0.5), (*second, -0.5)
    if supply is Supply.TWO_PHASES:
        height = 0.5j / math.sqrt(3.0)
        return (*first, 0.5 + height), (*second, -0.5 + height)
    return ((*first, 1.0),)


@lru_cache(maxsize=512)
def wires(wiring: Wiring, exists: Structure, state: UnitState, cold: bool) -> tuple[Wire, ...]:
    """All wires of a unit in a state.

    Raises
    ------
    SupplyNotSolvedError, StateNotPossibleError
        As for `unit_netlist`.
    """
    refuse_supply(wiring)
    return (
        *_supply(wiring.supply, exists, state),
        *_poles(wiring, exists, state),
        *_faulty_element(exists, cold),
        *_further_elements(exists, cold),
        *_filter(exists, state),
        *_unit_earth(state),
    )


def _supply(supply: Supply, exists: Structure, state: UnitState) -> tuple[Wire, ...]:
    """Line, neutral or second pole, and where the protective earth of the installation leads."""
    split = Node.PEN if "PEN" in exists.paths else Node.EARTH
    back = split if supply is Supply.EARTHED_NEUTRAL else Node.SECOND_SOURCE
    found = [
        Wire("line", Node.SOURCE, Node.LINE, Slot("line")),
        Wire("neutral", Node.NEUTRAL, back, Slot("neutral")),
    ]
    bar = Node.EARTH if exists.by_electrode else split
    if split is Node.PEN:
        found.append(Wire("PEN", Node.PEN, Node.EARTH, Slot("PEN")))
        if "electrode" in exists.paths and not exists.by_electrode:
            found.append(Wire("electrode", Node.PEN, Node.EARTH, Slot("electrode")))
    if exists.by_electrode and "electrode" not in exists.paths:
        if state.earthed and state.plug is not PlugPosition.UNPLUGGED:
            raise impossible(state, "electrode_unknown")
    elif has_earth_bar(exists, state):
        found.append(Wire("installation earth", Node.EARTH_BAR, bar, Slot("installation earth")))
    return tuple(found)


def has_earth_bar(exists: Structure, state: UnitState) -> bool:
    """Whether the installation's earth contact differs from true earth: current may flow there, or the PEN is lost."""
    earthed = state.earthed and state.plug is not PlugPosition.UNPLUGGED
    return earthed or exists.by_electrode or "PEN" in exists.paths


def _poles(wiring: Wiring, exists: Structure, state: UnitState) -> tuple[Wire, ...]:
    off, cut = switched_off(wiring, state), cut_out(wiring, state)
    found = []
    for pole, pin, terminal in zip((1, 2), pins(state), (Node.TERMINAL_1, Node.TERMINAL_2), strict=True):
        open_ = pole in off, pole in cut
        if any(apart and not leaks for apart, leaks in zip(open_, exists.leaks, strict=True)):
            continue
        name = {(True, True): "both leaks", (True, False): "switch leak", (False, True): "cut-out leak"}.get(open_)
        found.append(Wire(f"pole {pole}", pin, terminal, Slot(name or "contact")))
    return tuple(found)


def _faulty_element(exists: Structure, cold: bool) -> tuple[Wire, ...]:
    first, fault, second, other = Node.TERMINAL_1, Node.FAULT, Node.TERMINAL_2, Node.SECOND_FAULT
    found = [
        Wire("element 1", first, fault, Slot("near", 0, cold)),
        Wire("element 2", fault, second, Slot("far", 0, cold)),
        Wire("fault", fault, Node.PART, Slot("fault")),
    ]
    if "second part" in exists.paths:
        found.append(Wire("second part", Node.PART, Node.SECOND_PART, Slot("second part")))
    if "second fault" in exists.paths:
        found = [
            Wire("element 1", first, fault, Slot("near alone", 0, cold)),
            Wire("element 2", fault, second, Slot("far alone", 0, cold)),
            Wire("element 3", first, other, Slot("second near alone", 0, cold)),
            Wire("element 4", other, second, Slot("second far alone", 0, cold)),
            Wire("element 5", fault, other, Slot("between", 0, cold)),
            *found[2:],
            Wire("second fault", other, Node.SECOND_PART, Slot("second fault")),
        ]
    return tuple(found)


def _further_elements(exists: Structure, cold: bool) -> tuple[Wire, ...]:
    found = []
    for number, (faulted, broken) in enumerate(exists.further, start=1):
        name, node = f"further element {number}", f"further fault {number}"
        if faulted:
            found += [
                Wire(f"{name} 1", Node.TERMINAL_1, node, Slot("near", number, cold)),
                Wire(f"{name} 2", node, Node.TERMINAL_2, Slot("far", number, cold)),
                Wire(node, node, Node.PART, Slot("fault", number)),
            ]
        elif not broken:
            found.append(Wire(name, Node.TERMINAL_1, Node.TERMINAL_2, Slot("whole", number, cold)))
    return tuple(found)


def _filter(exists: Structure, state: UnitState) -> tuple[Wire, ...]:
    pin_1, pin_2 = pins(state)
    every = (
        Wire("leakage 1", pin_1, Node.PART, Slot("leakage 1")),
        Wire("leakage 2", pin_2, Node.PART, Slot("leakage 2")),
        Wire("leakage path 1", pin_1, Node.PART, Slot("leakage path 1")),
        Wire("leakage path 2", pin_2, Node.PART, Slot("leakage path 2")),
        Wire("x capacitor", pin_1, pin_2, Slot("x capacitor")),
        Wire("bleeder", pin_1, pin_2, Slot("bleeder")),
    )
    return tuple(wire for wire in every if wire.name in exists.paths)


def _unit_earth(state: UnitState) -> tuple[Wire, ...]:
    if not state.earthed:
        return ()
    contact = Node.EARTH_PIN if state.plug is PlugPosition.UNPLUGGED else Node.EARTH_BAR
    return (Wire("unit earth", Node.PART, contact, Slot("unit earth")),)

"""Values of a unit's wires: each slot from the parameters, element sections with their breaks."""

import math
from collections.abc import Callable
from typing import Any

import numpy as np

from hazardreport.circuit.netlist import Capacitor, Complex, Real
from hazardreport.circuit.network_parameters import NetworkParameters
from hazardreport.circuit.unit_wires import CAPACITORS, Slot


def _sum(first: Real | None, second: Real | None) -> Real:
    """In series; wires ask only for what is there."""
    return (0.0 if first is None else first) + (0.0 if second is None else second)


def _leak(value: Real | None) -> Real:
    return math.inf if value is None else value


PLAIN: dict[str, Callable[[NetworkParameters], Real]] = {
    "line": lambda p: p.line_resistance,
    "neutral": lambda p: p.neutral_resistance,
    "PEN": lambda p: p.pen_resistance,
    "electrode": lambda p: p.electrode_resistance,
    "installation earth": lambda p: (
        p.installation_earth_resistance + p.electrode_resistance
        if p.earthing_by_electrode
        else p.installation_earth_resistance
    ),
    "unit earth": lambda p: p.unit_earth_resistance,
    "contact": lambda p: p.contact_resistance,
    "switch leak": lambda p: _leak(p.switch_leak_resistance),
    "cut-out leak": lambda p: _leak(p.cut_out_leak_resistance),
    "both leaks": lambda p: _sum(p.switch_leak_resistance, p.cut_out_leak_resistance),
    "leakage path 1": lambda p: p.leakage_resistance_1,
    "leakage path 2": lambda p: p.leakage_resistance_2,
    "bleeder": lambda p: p.bleeder_resistance,
    "second part": lambda p: p.second_part_resistance,
    "second fault": lambda p: p.second_fault_resistance,
    "leakage 1": lambda p: p.leakage_capacitance_1,
    "leakage 2": lambda p: p.leakage_capacitance_2,
    "x capacitor": lambda p: p.x_capacitance,
}


def value(slot: Slot, parameters: NetworkParameters) -> Real:
    """Value of a slot: [ohm], of capacitors [F]."""
    plain = PLAIN.get(slot.name)
    if plain is not None:
        return plain(parameters)
    of: Any = parameters if slot.element == 0 else parameters.further_elements[slot.element - 1]
    if slot.name == "fault":
        fault: Real = of.fault_resistance
        return fault
    return _section(slot, of)


def impedance(slot: Slot, parameters: NetworkParameters) -> Complex:
    """Impedance of a slot at the frequency of the supply. [ohm]"""
    found = value(slot, parameters)
    if slot.name not in CAPACITORS:
        return found
    return Capacitor(name="", first="", second="", capacitance=found).impedance(parameters.frequency)


def _section(slot: Slot, element: Any) -> Real:
    """Resistance of a section of an element: infinite where it is broken, or where another tap lies within it.

    A section is broken at its own beginning and not at its end, so that a break right at the fault leaves the fault
    with terminal 1. The section to terminal 2 is broken at its end too.
    """
    whole = element.element_resistance if slot.element == 0 else element.resistance
    if slot.cold:
        whole = whole / element.hot_factor
    position, broken = element.fault_position, element.open_position
    length: Real
    match slot.name:
        case "whole":
            length, cut = 1.0, None
        case "near":
            length, cut = position, None if broken is None else broken < position
        case "far":
            length, cut = 1.0 - position, None if broken is None else broken >= position
        case _:
            length, cut = _section_of_two(slot.name, element)
    resistance: Real = length * whole
    return resistance if cut is None else np.where(cut, np.inf, resistance)


def _section_of_two(name: str, element: Any) -> tuple[Real, Any]:
    """Length of a section between terminals and two taps, and where it is no section or is broken."""
    one, two, broken = element.fault_position, element.second_fault_position, element.open_position
    beyond = np.asarray(one) > two
    match name:
        case "near alone":
            start, end, no_section = 0.0, one, beyond
        case "far alone":
            start, end, no_section = one, 1.0, ~beyond
        case "second near alone":
            start, end, no_section = 0.0, two, ~beyond
        case "second far alone":
            start, end, no_section = two, 1.0, beyond
        case _:
            start, end, no_section = np.minimum(one, two), np.maximum(one, two), np.zeros_like(beyond)
    if broken is None:
        return end - start, no_section
    last = name in ("far alone", "second far alone")
    return end - start, no_section | ((start <= broken) & ((broken < end) | last))

"""The source that a person meets at the touchable part, and the currents that flow in the unit."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Supply, Wiring
from hazardreport.circuit.bank import Port
from hazardreport.circuit.netlist import (
    Complex,
    ComplexArray,
    Impedance,
    Netlist,
    Resistor,
    solve_part,
)
from hazardreport.circuit.unit_bank import Question, true_port, unit_bank
from hazardreport.circuit.unit_network import NetworkParameters, Node, unit_netlist
from hazardreport.circuit.unit_wires import structure

PART_TO_EARTH: Port = (Node.PART, Node.EARTH)
PART_TO_EARTH_BAR: Port = (Node.PART, Node.EARTH_BAR)
PART_TO_SECOND_PART: Port = (Node.PART, Node.SECOND_PART)


def sources_at_part(
    wiring: Wiring, parameters: NetworkParameters, states: Sequence[UnitState], port: Port = PART_TO_EARTH
) -> tuple[ComplexArray, ComplexArray]:
    """Open-circuit voltage and source impedance of several states, all solved together.

    Parameters
    ----------
    wiring : Wiring
        Supply kind, and the poles that switch and cut-out interrupt.
    parameters : NetworkParameters
        Values of common shape (...).
    states : sequence of UnitState
        S states; with the protective earth connected it is part of the source.
    port : (str, str)
        Between which nodes a person stands: the touchable part and true earth, metal on the installation's earth bar,
        or the second touchable part.

    Returns
    -------
    tuple of ndarray, shape (..., S)
        Open-circuit voltage [V] and source impedance [ohm], complex; zero and infinity where no conducting path
        joins the two, since no current can then flow.

    Raises
    ------
    SupplyNotSolvedError
        If the supply is of a kind that is not solved.
    StateNotPossibleError
        If a state is not one that this wiring has.
    """
    bank = unit_bank(wiring, tuple(Question(state, (port,)) for state in states))
    voltage, impedance = bank.thevenin(parameters)
    return voltage[..., 0].astype(np.complex128), impedance[..., 0].astype(np.complex128)


def source_at_part(
    wiring: Wiring, parameters: NetworkParameters, state: UnitState, port: Port = PART_TO_EARTH
) -> tuple[ComplexArray, ComplexArray]:
    """As `sources_at_part` for one state, shape (...). [V], [ohm]"""
    voltage, impedance = sources_at_part(wiring, parameters, (state,), port)
    return voltage[..., 0], impedance[..., 0]


def available_current(open_circuit_voltage: Complex, source_impedance: Complex) -> NDArray[np.float64]:
    """Available fault current Isc = |U0| / |Zs|, zero for an infinite impedance, infinite for an ideal source. [A]"""
    voltage, impedance = np.abs(open_circuit_voltage), np.abs(source_impedance)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(voltage == 0.0, 0.0, voltage / impedance)


@dataclass(frozen=True, kw_only=True, slots=True)
class Currents:
    """Magnitudes while a load stands at the touchable part.

    touch_voltage_true_earth  touchable part to true earth [V]
    touch_voltage_earth_bar   touchable part to metal bonded to the same earth bar; the former where nothing is [V]
    load_current              through the load [A]
    earth_current             in the protective conductor; zero where it is absent [A]
    line_current              in the line conductor, as the overcurrent device sees it; with two live poles the greater
                              of both [A]
    neutral_current           in the neutral conductor, or in the second live pole [A]
    residual_current          line less neutral, as a residual-current device sees it [A]
    element_power             turned to heat in all elements [W]
    fault_power               turned to heat at the fault [W]
    """

    touch_voltage_true_earth: NDArray[np.float64]
    touch_voltage_earth_bar: NDArray[np.float64]
    load_current: NDArray[np.float64]
    earth_current: NDArray[np.float64]
    line_current: NDArray[np.float64]
    neutral_current: NDArray[np.float64]
    residual_current: NDArray[np.float64]
    element_power: NDArray[np.float64]
    fault_power: NDArray[np.float64]


def loaded_netlist(
    wiring: Wiring,
    parameters: NetworkParameters,
    state: UnitState,
    load: Complex | None = None,
    port: Port = PART_TO_EARTH,
) -> Netlist:
    """The netlist of a state with a load [ohm] at a port."""
    netlist = unit_netlist(wiring, parameters, state)
    if load is not None:
        first, second = true_port(port, structure(parameters), state)
        branch = Impedance(name="load", first=first, second=second, value=load)
        netlist = replace(netlist, branches=(*netlist.branches, branch))
    return netlist


def currents(
    wiring: Wiring,
    parameters: NetworkParameters,
    state: UnitState,
    load: Complex | None = None,
    port: Port = PART_TO_EARTH,
) -> Currents:
    """Voltages, currents and powers of one state, with a linear load at the touchable part or with none.

    Parameters
    ----------
    wiring, parameters, state
        As for `source_at_part`.
    load : complex or ndarray, optional
        Impedance at the port. [ohm]
    port : (str, str)
        Between which nodes the load stands, by default the touchable part and true earth.

    Returns
    -------
    Currents
        Magnitudes of shape (...).
    """
    netlist = loaded_netlist(wiring, parameters, state, load, port)
    solution = solve_part(netlist, parameters.frequency)
    names = {branch.name for branch in netlist.branches}
    nodes = solution.nodes
    resistance = {branch.name: branch.resistance for branch in netlist.branches if isinstance(branch, Resistor)}
    zero = np.zeros(solution.shape)

    def current(name: str) -> ComplexArray:
        return solution.current(name) if name in names else zero.astype(np.complex128)

    def voltage(node: str, reference: str) -> NDArray[np.float64]:
        return np.abs(solution.voltage(node, reference)) if {node, reference} <= nodes else zero

    def power(name: str) -> NDArray[np.float64]:
        finite = np.where(np.isinf(resistance[name]), 0.0, resistance[name])
        return np.asarray(np.abs(current(name)) ** 2 * finite)

    true_earth = voltage(Node.PART, Node.EARTH)
    line, neutral = current("line"), current("neutral")
    one_live = wiring.supply is Supply.EARTHED_NEUTRAL
    return Currents(
        touch_voltage_true_earth=true_earth,
        touch_voltage_earth_bar=voltage(Node.PART, Node.EARTH_BAR) if Node.EARTH_BAR in nodes else true_earth,
        load_current=np.abs(current("load")),
        earth_current=np.abs(current("unit earth")),
        line_current=np.abs(line) if one_live else np.maximum(np.abs(line), np.abs(neutral)),
        neutral_current=np.abs(neutral),
        residual_current=np.abs(line - neutral),
        element_power=sum((power(name) for name in resistance if "element" in name), zero),
        fault_power=power("fault") if "fault" in names else zero,
    )

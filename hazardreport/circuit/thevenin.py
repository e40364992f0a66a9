"""The source that a person meets at the touchable part, and the currents that flow in the unit."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Wiring
from hazardreport.circuit.netlist import (
    Complex,
    ComplexArray,
    Impedance,
    Netlist,
    Resistor,
    conducting_part,
    solve,
    thevenin_ports,
)
from hazardreport.circuit.unit_network import NetworkParameters, Node, unit_netlist


def source_at_part(
    wiring: Wiring, parameters: NetworkParameters, state: UnitState
) -> tuple[ComplexArray, ComplexArray]:
    """Open-circuit voltage and source impedance, touchable part to true earth.

    Parameters
    ----------
    wiring : Wiring
        Supply kind and switched poles.
    parameters : NetworkParameters
        Values of common shape (...).
    state : UnitState
        Plugged straight or reversed; with the protective earth connected it is part of the source.

    Returns
    -------
    tuple of ndarray, shape (...)
        Open-circuit voltage [V] and source impedance [ohm], complex; zero and infinity where no conducting path
        leads from the part to earth, since no current can then flow.

    Raises
    ------
    SupplyNotSolvedError
        If the supply is of a kind that is not solved.
    StateNotPossibleError
        If the state is not one that this wiring has.
    """
    netlist = unit_netlist(wiring, parameters, state)
    return thevenin_ports(netlist, parameters.frequency, ((Node.PART, Node.EARTH),))[0]


def available_current(open_circuit_voltage: Complex, source_impedance: Complex) -> NDArray[np.float64]:
    """Available fault current Isc = |U0| / |Zs|, zero for an infinite impedance, infinite for an ideal source. [A]"""
    voltage, impedance = np.abs(open_circuit_voltage), np.abs(source_impedance)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(voltage == 0.0, 0.0, voltage / impedance)


@dataclass(frozen=True, kw_only=True, slots=True)
class Currents:
    """Magnitudes while a load joins the touchable part to true earth.

    touch_voltage_true_earth  touchable part to true earth [V]
    touch_voltage_earth_bar   touchable part to metal bonded to the same earth bar; the former where earth is absent [V]
    load_current              through the load [A]
    earth_current             in the protective conductor; zero where it is absent [A]
    line_current              in the line conductor, as the overcurrent device sees it [A]
    residual_current          line less neutral, as a residual-current device sees it [A]
    element_power             turned to heat in the whole element [W]
    fault_power               turned to heat at the fault [W]
    """

    touch_voltage_true_earth: NDArray[np.float64]
    touch_voltage_earth_bar: NDArray[np.float64]
    load_current: NDArray[np.float64]
    earth_current: NDArray[np.float64]
    line_current: NDArray[np.float64]
    residual_current: NDArray[np.float64]
    element_power: NDArray[np.float64]
    fault_power: NDArray[np.float64]


def loaded_netlist(
    wiring: Wiring, parameters: NetworkParameters, state: UnitState, load: Complex | None = None
) -> Netlist:
    """The netlist of a state with a load from the touchable part to true earth, without the parts that float."""
    netlist = unit_netlist(wiring, parameters, state)
    if load is not None:
        branch = Impedance(name="load", first=Node.PART, second=Node.EARTH, value=load)
        netlist = replace(netlist, branches=(*netlist.branches, branch))
    return conducting_part(netlist, parameters.frequency)


def currents(wiring: Wiring, parameters: NetworkParameters, state: UnitState, load: Complex | None = None) -> Currents:
    """Voltages, currents and powers of one state, with a linear load at the touchable part or with none.

    Parameters
    ----------
    wiring, parameters, state
        As for `source_at_part`.
    load : complex or ndarray, optional
        Impedance from the touchable part to true earth. [ohm]

    Returns
    -------
    Currents
        Magnitudes of shape (...).
    """
    netlist = loaded_netlist(wiring, parameters, state, load)
    solution = solve(netlist, parameters.frequency)
    names = {branch.name for branch in netlist.branches}
    nodes = {node for branch in netlist.branches for node in (branch.first, branch.second)}
    resistance = {branch.name: branch.resistance for branch in netlist.branches if isinstance(branch, Resistor)}
    zero = np.zeros(solution.shape)

    def current(name: str) -> ComplexArray:
        return solution.current(name) if name in names else zero.astype(np.complex128)

    def voltage(node: str, reference: str) -> NDArray[np.float64]:
        return np.abs(solution.voltage(node, reference)) if node in nodes else zero

    def power(name: str) -> NDArray[np.float64]:
        return np.asarray(np.abs(current(name)) ** 2 * resistance[name]) if name in names else zero

    true_earth = voltage(Node.PART, Node.EARTH)
    return Currents(
        touch_voltage_true_earth=true_earth,
        touch_voltage_earth_bar=voltage(Node.PART, Node.EARTH_BAR) if state.earthed else true_earth,
        load_current=np.abs(current("load")),
        earth_current=np.abs(current("unit earth")),
        line_current=np.abs(current("line")),
        residual_current=np.abs(current("line") - current("neutral")),
        element_power=power("element 1") + power("element 2"),
        fault_power=power("fault"),
    )

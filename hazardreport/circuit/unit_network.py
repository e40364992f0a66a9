"""The unit as a network: wiring, parameters and state compiled to a netlist.

Single-phase supply with earthed neutral, or two live poles of an earthed system; protective earth by the supply's PEN
or by an electrode, both conductors whole or lost. Switch and cut-out in either or both poles, elements with faults and
breaks, filter, leakage, a second touchable part. The star point of the supply counts as true earth.
"""

from hazardreport.case.picture import PointRole
from hazardreport.case.reading import CutOut, EarthState, PlugPosition, State
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Earthing, ProtectiveEarth, SupplyFault, Wiring
from hazardreport.circuit.netlist import Branch, Capacitor, Netlist, Resistor, VoltageSource
from hazardreport.circuit.network_parameters import (
    FurtherElement,
    NetworkParameters,
    Node,
    default_hot_factor,
    elements,
    parameters_of,
)
from hazardreport.circuit.unit_values import value
from hazardreport.circuit.unit_wires import (
    CAPACITORS,
    open_poles,
    pins,
    refuse_supply,
    sources,
    structure,
    wires,
)

__all__ = [
    "FurtherElement",
    "NetworkParameters",
    "Node",
    "default_hot_factor",
    "elements",
    "node_of",
    "open_poles",
    "parameters_of",
    "pins",
    "refuse_supply",
    "unit_netlist",
    "unit_state",
]


NODES = {
    PointRole.TOUCHABLE_PART: Node.PART,
    PointRole.SECOND_PART: Node.SECOND_PART,
    PointRole.EARTH_PIN: Node.EARTH_PIN,
    PointRole.EARTH: Node.EARTH,
    PointRole.LINE: Node.LINE,
    PointRole.NEUTRAL: Node.NEUTRAL,
}
"""Nodes of the points that lie on the same one in every state."""


def unit_state(state: State, wiring: Wiring) -> UnitState:
    """The unit's state during a reading; an earth "as found" is connected only if the wiring says so."""
    found = wiring.protective_earth is ProtectiveEarth.CONNECTED
    earthed = state.earth is EarthState.CONNECTED or (state.earth is EarthState.AS_FOUND and found)
    return UnitState(plug=state.plug, switch=state.switch, earthed=earthed, cut_out_open=state.cut_out is CutOut.OPEN)


def unit_netlist(wiring: Wiring, parameters: NetworkParameters, state: UnitState, *, cold: bool = False) -> Netlist:
    """The netlist of a unit in one state.

    Parameters
    ----------
    wiring : Wiring
        Its supply kind, switch and cut-out; everything else comes from `parameters`.
    parameters : NetworkParameters
        Values of common shape (...).
    state : UnitState
        Plugged straight, reversed, or unplugged: then supply and unit are two parts without connection. With two live
        poles "straight" puts pin 1 on the first.
    cold : bool
        Whether the elements are cold: their resistance is then Re / Ct.

    Raises
    ------
    SupplyNotSolvedError
        If no pole of the supply is earthed, or it is direct current.
    StateNotPossibleError
        If the plug's position or the interrupted poles are not known, the unit has no switch or cut-out to be open, or
        the protective earth is connected to an electrode of unknown resistance.
    """
    branches: list[Branch] = [
        VoltageSource(name=name, first=first, second=second, voltage=share * parameters.supply_voltage)
        for name, first, second, share in sources(wiring.supply)
    ]
    for wire in wires(wiring, structure(parameters), state, cold):
        given = value(wire.slot, parameters)
        if wire.slot.name in CAPACITORS:
            branches.append(Capacitor(name=wire.name, first=wire.first, second=wire.second, capacitance=given))
        else:
            branches.append(Resistor(name=wire.name, first=wire.first, second=wire.second, resistance=given))
    return Netlist(branches=tuple(branches), ground=Node.EARTH)


def node_of(role: PointRole, state: UnitState, wiring: Wiring | None = None) -> Node | None:
    """The node on which a lettered point lies in a state; None for a point without electrical meaning.

    With two live poles, line and neutral are the first and the second. The wiring tells whether the earth contact of
    the socket lies elsewhere than true earth though the unit is not connected to it.
    """
    pin_1, pin_2 = pins(state)
    if role is PointRole.PIN_1:
        return pin_1
    if role is PointRole.PIN_2:
        return pin_2
    if role is PointRole.EARTH_PIN and state.plug is not PlugPosition.UNPLUGGED:
        apart = wiring is not None and (wiring.earthing is Earthing.TT or wiring.supply_fault is SupplyFault.PEN)
        return Node.EARTH_BAR if state.earthed or apart else Node.EARTH
    return NODES.get(role)

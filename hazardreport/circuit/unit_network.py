"""The unit as a network: wiring, parameters and state compiled to a netlist.

One heating element with one fault to the touchable part, on a single-phase supply with earthed neutral. Other supplies
are refused. A unit with more elements or filters is more branches here and nothing else anywhere.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

from hazardreport import wording
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import EarthState, PlugPosition, State, SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import ProtectiveEarth, Supply, SwitchPoles, Wiring
from hazardreport.circuit.netlist import Branch, Capacitor, Netlist, Real, Resistor, VoltageSource
from hazardreport.errors import StateNotPossibleError, SupplyNotSolvedError, WiringIncompleteError


class Node(StrEnum):
    """Nodes of a unit's network."""

    SOURCE = "source"
    LINE = "line"
    NEUTRAL = "neutral"
    EARTH = "earth"
    EARTH_BAR = "earth bar"
    PIN_1 = "pin 1"
    PIN_2 = "pin 2"
    EARTH_PIN = "earth pin"
    TERMINAL_1 = "terminal 1"
    TERMINAL_2 = "terminal 2"
    FAULT = "fault"
    PART = "touchable part"


@dataclass(frozen=True, kw_only=True, slots=True)
class FurtherElement:
    """An element beside the faulty one, behind the same switch.

    resistance        hot, Re [ohm]
    hot_factor        hot over cold [1]
    fault_position    of a fault of its own, from its terminal 1 [1]
    fault_resistance  infinite for no fault [ohm]
    open_position     where its conductor is broken, None if it is whole [1]
    """

    resistance: Real
    hot_factor: Real = 1.0
    fault_position: Real = 0.5
    fault_resistance: Real = math.inf
    open_position: Real | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class NetworkParameters:
    """Numbers of a unit's network; each may be an array of one common shape.

    supply_voltage                open-circuit voltage of the supply [V]
    frequency                     [Hz]
    element_resistance            whole element at working temperature, Re [ohm]
    fault_position                distance of the fault from terminal 1 as a fraction of Re, x [1]
    fault_resistance              between element and touchable part, Rf; infinite for no fault [ohm]
    hot_factor                    resistance of the hot element over that of the cold one, Ct [1]
    line_resistance               source to socket [ohm]
    neutral_resistance            socket to earthed neutral; infinite for a lost neutral [ohm]
    unit_earth_resistance         touchable part to the socket's earth contact, if connected [ohm]
    installation_earth_resistance socket's earth contact to the earthed neutral [ohm]
    switch_leak_resistance        of each open pole; None for none [ohm]
    contact_resistance            of each closed pole between pin and element [ohm]
    leakage_capacitance_1         pin 1 to touchable part, before the switch [F]
    leakage_capacitance_2         pin 2 to touchable part, before the switch [F]
    open_position                 where the element's conductor is broken, None if it is whole [1]
    further_elements              beside it
    cut_out_leak_resistance       of each open pole of thermostat or cut-out; None for none [ohm]
    leakage_resistance_1, leakage_resistance_2   pin 1, pin 2 to touchable part, infinite for none [ohm]
    x_capacitance                 between the pins, before the switch [F]
    bleeder_resistance            beside it, infinite for none [ohm]
    pen_resistance                star point to where neutral and protective earth part; infinite if lost [ohm]
    electrode_resistance          of the installation's own electrode to true earth, infinite for none [ohm]
    earthing_by_electrode         TT: the protective earth leads to that electrode only
    second_part_resistance        touchable part to the second one; infinite where they are apart [ohm]
    second_fault_position, second_fault_resistance   of a fault from the element to the second part [1], [ohm]
    """

    supply_voltage: Real
    frequency: float
    element_resistance: Real
    fault_position: Real
    fault_resistance: Real
    hot_factor: Real = 1.0
    line_resistance: Real = 0.2
    neutral_resistance: Real = 0.2
    unit_earth_resistance: Real = 0.1
    installation_earth_resistance: Real = 0.2
    switch_leak_resistance: Real | None = None
    contact_resistance: Real = 0.0
    leakage_capacitance_1: Real = 0.0
    leakage_capacitance_2: Real = 0.0
    open_position: Real | None = None
    further_elements: tuple[FurtherElement, ...] = ()
    cut_out_leak_resistance: Real | None = None
    leakage_resistance_1: Real = math.inf
    leakage_resistance_2: Real = math.inf
    x_capacitance: Real = 0.0
    bleeder_resistance: Real = math.inf
    pen_resistance: Real = 0.0
    electrode_resistance: Real = math.inf
    earthing_by_electrode: bool = False
    second_part_resistance: Real = math.inf
    second_fault_position: Real = 0.5
    second_fault_resistance: Real = math.inf


def parameters_of(
    wiring: Wiring,
    *,
    element_resistance: Real,
    fault_position: Real,
    fault_resistance: Real,
    hot_factor: Real = 1.0,
    supply_voltage: Real | None = None,
) -> NetworkParameters:
    """Parameters with the supply, line and earth values that the wiring states."""
    voltage = wiring.nominal_voltage if supply_voltage is None else supply_voltage
    if voltage is None:
        raise WiringIncompleteError(missing="nominal voltage")
    if wiring.frequency is None:
        raise WiringIncompleteError(missing="frequency")
    return NetworkParameters(
        supply_voltage=voltage,
        frequency=wiring.frequency,
        element_resistance=element_resistance,
        fault_position=fault_position,
        fault_resistance=fault_resistance,
        hot_factor=hot_factor,
        line_resistance=wiring.line_resistance,
        neutral_resistance=wiring.neutral_resistance,
        unit_earth_resistance=wiring.unit_earth_resistance,
        installation_earth_resistance=wiring.installation_earth_resistance,
    )


def unit_state(state: State, wiring: Wiring) -> UnitState:
    """The unit's state during a reading; an earth "as found" is connected only if the wiring says so."""
    found = wiring.protective_earth is ProtectiveEarth.CONNECTED
    earthed = state.earth is EarthState.CONNECTED or (state.earth is EarthState.AS_FOUND and found)
    return UnitState(plug=state.plug, switch=state.switch, earthed=earthed)


def refuse_supply(wiring: Wiring) -> None:
    """Raise SupplyNotSolvedError, with reason and advice, unless the neutral is earthed."""
    if wiring.supply is not Supply.EARTHED_NEUTRAL:
        entry = f"circuit.supply.{wiring.supply.name.lower()}"
        raise SupplyNotSolvedError(
            supply=wiring.supply.value,
            reason=wording.sentence(f"{entry}.reason"),
            advice=wording.sentence(f"{entry}.advice"),
        )


def _impossible(state: UnitState, reason: str) -> StateNotPossibleError:
    return StateNotPossibleError(
        state=state.key,
        reason=wording.sentence(f"circuit.state.{reason}.reason"),
        advice=wording.sentence(f"circuit.state.{reason}.advice"),
    )


def open_poles(wiring: Wiring, state: UnitState) -> frozenset[int]:
    """Numbers of the supply poles that are interrupted in a state.

    Raises
    ------
    StateNotPossibleError
        If the unit is said to be off and its switch is not known, or it has none.
    """
    if state.switch is not SwitchPosition.OFF:
        return frozenset()
    if wiring.switch is SwitchPoles.UNKNOWN:
        raise _impossible(state, "switch_unknown")
    if wiring.switch is SwitchPoles.NONE:
        raise _impossible(state, "no_switch")
    return {
        SwitchPoles.POLE_1: frozenset({1}),
        SwitchPoles.POLE_2: frozenset({2}),
        SwitchPoles.BOTH: frozenset({1, 2}),
    }[wiring.switch]


def _supply(parameters: NetworkParameters) -> tuple[Branch, ...]:
    return (
        VoltageSource(name="supply", first=Node.SOURCE, second=Node.EARTH, voltage=parameters.supply_voltage),
        Resistor(name="line", first=Node.SOURCE, second=Node.LINE, resistance=parameters.line_resistance),
        Resistor(name="neutral", first=Node.NEUTRAL, second=Node.EARTH, resistance=parameters.neutral_resistance),
    )


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
            raise _impossible(state, "plug_unknown")


def _poles(wiring: Wiring, parameters: NetworkParameters, state: UnitState) -> tuple[Branch, ...]:
    interrupted = open_poles(wiring, state)
    branches = []
    for pole, pin, terminal in zip((1, 2), pins(state), (Node.TERMINAL_1, Node.TERMINAL_2), strict=True):
        resistance = parameters.switch_leak_resistance if pole in interrupted else parameters.contact_resistance
        if resistance is not None:
            branches.append(Resistor(name=f"pole {pole}", first=pin, second=terminal, resistance=resistance))
    return tuple(branches)


def _unit(wiring: Wiring, parameters: NetworkParameters, state: UnitState, cold: bool) -> tuple[Branch, ...]:
    p = parameters
    pin_1, pin_2 = pins(state)
    element = p.element_resistance / p.hot_factor if cold else p.element_resistance
    near, far = p.fault_position * element, (1.0 - p.fault_position) * element
    return (
        *_poles(wiring, p, state),
        Resistor(name="element 1", first=Node.TERMINAL_1, second=Node.FAULT, resistance=near),
        Resistor(name="element 2", first=Node.FAULT, second=Node.TERMINAL_2, resistance=far),
        Resistor(name="fault", first=Node.FAULT, second=Node.PART, resistance=p.fault_resistance),
        Capacitor(name="leakage 1", first=pin_1, second=Node.PART, capacitance=p.leakage_capacitance_1),
        Capacitor(name="leakage 2", first=pin_2, second=Node.PART, capacitance=p.leakage_capacitance_2),
    )


def _earth(parameters: NetworkParameters, state: UnitState) -> tuple[Branch, ...]:
    if not state.earthed:
        return ()
    if state.plug is PlugPosition.UNPLUGGED:
        return (
            Resistor(
                name="unit earth",
                first=Node.PART,
                second=Node.EARTH_PIN,
                resistance=parameters.unit_earth_resistance,
            ),
        )
    return (
        Resistor(
            name="unit earth", first=Node.PART, second=Node.EARTH_BAR, resistance=parameters.unit_earth_resistance
        ),
        Resistor(
            name="installation earth",
            first=Node.EARTH_BAR,
            second=Node.EARTH,
            resistance=parameters.installation_earth_resistance,
        ),
    )


def unit_netlist(wiring: Wiring, parameters: NetworkParameters, state: UnitState, *, cold: bool = False) -> Netlist:
    """The netlist of a unit in one state.

    Parameters
    ----------
    wiring : Wiring
        Its supply kind and switch; the resistances come from `parameters`.
    parameters : NetworkParameters
        Values of common shape (...).
    state : UnitState
        Plugged straight, reversed, or unplugged: then supply and unit are two parts without connection.
    cold : bool
        Whether the element is cold: its resistance is then Re / Ct.

    Raises
    ------
    SupplyNotSolvedError
        If no pole of the supply is earthed, both are live, or it is direct current.
    StateNotPossibleError
        If the plug's position or the switched poles are not known, or the unit has no switch to be off.
    """
    refuse_supply(wiring)
    branches = (
        *_supply(parameters),
        *_unit(wiring, parameters, state, cold),
        *_earth(parameters, state),
    )
    return Netlist(branches=branches, ground=Node.EARTH)


def node_of(role: PointRole, state: UnitState) -> Node | None:
    """The node on which a lettered point lies in a state; None for a point without electrical meaning."""
    pin_1, pin_2 = pins(state)
    if role is PointRole.EARTH_PIN and state.plug is not PlugPosition.UNPLUGGED:
        return Node.EARTH_BAR if state.earthed else Node.EARTH
    return {
        PointRole.TOUCHABLE_PART: Node.PART,
        PointRole.PIN_1: pin_1,
        PointRole.PIN_2: pin_2,
        PointRole.EARTH_PIN: Node.EARTH_PIN,
        PointRole.EARTH: Node.EARTH,
        PointRole.LINE: Node.LINE,
        PointRole.NEUTRAL: Node.NEUTRAL,
        PointRole.OTHER: None,
    }[role]

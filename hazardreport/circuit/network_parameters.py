"""Nodes and numbers of a unit's network, and what the wiring states of them."""

import math
from dataclasses import dataclass
from enum import StrEnum

from hazardreport.case.wiring import Earthing, Element, SecondPart, Supply, SupplyFault, Wiring
from hazardreport.circuit.netlist import Real
from hazardreport.errors import WiringIncompleteError
from hazardreport.standards.tables import table


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
    SECOND_SOURCE = "second source"
    PEN = "PEN"
    SECOND_FAULT = "second fault"
    SECOND_PART = "second part"


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

    supply_voltage                open-circuit voltage of the supply, pole to pole [V]
    frequency                     [Hz]
    element_resistance            whole element at working temperature, Re [ohm]
    fault_position                distance of the fault from terminal 1 as a fraction of Re, x [1]
    fault_resistance              between element and touchable part, Rf; infinite for no fault [ohm]
    hot_factor                    resistance of the hot element over that of the cold one, Ct [1]
    line_resistance               source to socket [ohm]
    neutral_resistance            socket to earthed neutral, infinite for a lost neutral; with two live poles source to
                                  socket of the second one [ohm]
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


def elements(wiring: Wiring) -> tuple[Element, ...]:
    """All heating elements, the faulty one first.

    Raises
    ------
    WiringIncompleteError
        If the faulty one is said to be one that the wiring does not have.
    """
    every = (wiring.element, *wiring.more_elements)
    if not 1 <= wiring.faulty_element <= len(every):
        raise WiringIncompleteError(missing=f"heating element {wiring.faulty_element}")
    number = wiring.faulty_element - 1
    return (every[number], *every[:number], *every[number + 1 :])


def default_hot_factor(element: Element) -> float:
    """Hot over cold resistance of an element: as stated, else of its material. [1]"""
    stated = element.hot_factor
    if stated is not None and 0.0 < stated < math.inf:
        return stated
    return table("own-choices", "hot-factor").look_up("factor", material=element.material.value)


def _further(element: Element) -> FurtherElement | None:
    """An element beside the faulty one, by its rating; None for one that is broken, where no current can flow."""
    if element.open_at is not None:
        return None
    if not element.rated_voltage or not element.rated_power:
        raise WiringIncompleteError(missing="rated voltage and power of each heating element")
    return FurtherElement(
        resistance=element.rated_voltage**2 / element.rated_power, hot_factor=default_hot_factor(element)
    )


def parameters_of(
    wiring: Wiring,
    *,
    element_resistance: Real,
    fault_position: Real,
    fault_resistance: Real,
    hot_factor: Real = 1.0,
    supply_voltage: Real | None = None,
) -> NetworkParameters:
    """Parameters with all values that the wiring states.

    Parameters
    ----------
    wiring : Wiring
        Supply, earthing and their faults, leakages, filter, further elements, second part.
    element_resistance, fault_position, fault_resistance, hot_factor : float or ndarray
        Of the faulty element. [ohm], [1], [ohm], [1]
    supply_voltage : float or ndarray, optional
        Pole to pole, the nominal one if not given. [V]

    Raises
    ------
    WiringIncompleteError
        Without nominal voltage or frequency, or for a further element without a rating.

    Notes
    -----
    An electrode that is not stated counts as none: with a lost PEN the earth bar then takes the whole voltage. Where
    the earth has its own electrode, a lost PEN is a lost neutral. With two live poles a lost neutral concerns no
    conductor of the unit.
    """
    voltage = wiring.nominal_voltage if supply_voltage is None else supply_voltage
    if voltage is None:
        raise WiringIncompleteError(missing="nominal voltage")
    if wiring.frequency is None:
        raise WiringIncompleteError(missing="frequency")
    lost, by_electrode = wiring.supply_fault, wiring.earthing is Earthing.TT
    one_live = wiring.supply is Supply.EARTHED_NEUTRAL
    neutral_lost = one_live and (lost is SupplyFault.NEUTRAL or (lost is SupplyFault.PEN and by_electrode))
    faulty, *others = elements(wiring)
    further = (_further(element) for element in others)
    filter_ = wiring.filter
    return NetworkParameters(
        supply_voltage=voltage,
        frequency=wiring.frequency,
        element_resistance=element_resistance,
        fault_position=fault_position,
        fault_resistance=fault_resistance,
        hot_factor=hot_factor,
        line_resistance=wiring.line_resistance,
        neutral_resistance=math.inf if neutral_lost else wiring.neutral_resistance,
        unit_earth_resistance=wiring.unit_earth_resistance,
        installation_earth_resistance=wiring.installation_earth_resistance,
        switch_leak_resistance=wiring.switch_leakage,
        cut_out_leak_resistance=wiring.cut_out_leakage,
        leakage_capacitance_1=filter_.y_capacitance_1 or 0.0,
        leakage_capacitance_2=filter_.y_capacitance_2 or 0.0,
        x_capacitance=filter_.x_capacitance or 0.0,
        bleeder_resistance=math.inf if filter_.bleeder_resistance is None else filter_.bleeder_resistance,
        open_position=faulty.open_at,
        further_elements=tuple(element for element in further if element is not None),
        pen_resistance=math.inf if lost is SupplyFault.PEN and not by_electrode else 0.0,
        electrode_resistance=math.inf if wiring.electrode_resistance is None else wiring.electrode_resistance,
        earthing_by_electrode=by_electrode,
        second_part_resistance=0.0 if wiring.second_part is SecondPart.JOINED else math.inf,
    )

"""Random units of every kind that the compiler knows, drawn from a seed."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from hazardreport.case.reading import PlugPosition, SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import (
    Earthing,
    Element,
    Filter,
    SecondPart,
    Supply,
    SupplyFault,
    SwitchPoles,
    Wiring,
)
from hazardreport.circuit.loads import Lamp
from hazardreport.circuit.unit_network import FurtherElement, NetworkParameters, parameters_of

POLES = (SwitchPoles.POLE_1, SwitchPoles.POLE_2, SwitchPoles.BOTH)
ALMOST_ZERO = 0.02
"""In place of exact zeros, which a simulator does not take. [ohm]"""
LAMPS = tuple(
    Lamp(rated_voltage=voltage, rated_power=power) for voltage in (120.0, 230.0) for power in (15.0, 25.0, 30.0, 60.0)
)


@dataclass(frozen=True, kw_only=True, slots=True)
class RandomUnit:
    """A unit in a state."""

    wiring: Wiring
    parameters: NetworkParameters
    state: UnitState


def spread(rng: np.random.Generator, low: float, high: float) -> float:
    """A value whose logarithm is uniform."""
    return float(np.exp(rng.uniform(np.log(low), np.log(high))))


def pick(rng: np.random.Generator, *choices: Any) -> Any:
    return choices[rng.integers(len(choices))]


def random_wiring(rng: np.random.Generator, resistive: bool, frequency: float) -> Wiring:
    supplies = [Supply.EARTHED_NEUTRAL, Supply.EARTHED_NEUTRAL, Supply.TWO_LIVE_POLES]
    voltage = pick(rng, 120.0, 230.0)

    def element() -> Element:
        return Element(rated_voltage=voltage, rated_power=spread(rng, 100.0, 3000.0))

    capacitance = None if resistive else spread(rng, 1e-9, 2e-7)
    return Wiring(
        supply=pick(rng, *supplies, *([] if resistive else [Supply.TWO_PHASES])),
        nominal_voltage=voltage,
        frequency=frequency,
        switch=pick(rng, *POLES),
        element=replace(element(), open_at=pick(rng, None, None, float(rng.uniform()))),
        line_resistance=spread(rng, 0.05, 2.0),
        neutral_resistance=spread(rng, 0.05, 2.0),
        installation_earth_resistance=spread(rng, 0.05, 2.0),
        unit_earth_resistance=spread(rng, 0.05, 20.0),
        earthing=pick(rng, *Earthing),
        electrode_resistance=spread(rng, 1.0, 300.0),
        supply_fault=pick(rng, SupplyFault.NONE, *SupplyFault),
        cut_out=pick(rng, *POLES),
        switch_leakage=pick(rng, None, spread(rng, 1e4, 5e6)),
        cut_out_leakage=pick(rng, None, spread(rng, 1e4, 5e6)),
        more_elements=tuple(element() for _ in range(rng.integers(3))),
        filter=Filter(
            y_capacitance_1=pick(rng, None, capacitance),
            y_capacitance_2=pick(rng, None, capacitance),
            x_capacitance=pick(rng, None, capacitance),
            bleeder_resistance=pick(rng, None, spread(rng, 1e5, 2e6)),
        ),
        second_part=pick(rng, *SecondPart),
    )


def _further(rng: np.random.Generator, element: FurtherElement) -> FurtherElement:
    """With a fault, a break, both or none."""
    return replace(
        element,
        hot_factor=1.05,
        fault_position=float(rng.uniform(0.01, 0.99)),
        fault_resistance=pick(rng, np.inf, spread(rng, 1.0, 1e6)),
        open_position=pick(rng, None, float(rng.uniform())),
    )


def random_unit(seed: int, *, resistive: bool = False, plugged: bool = True, frequency: float = 50.0) -> RandomUnit:
    """A unit drawn from a seed; resistive ones have no capacitors and voltages in phase."""
    rng = np.random.default_rng(seed)
    wiring = random_wiring(rng, resistive, frequency)
    stated = parameters_of(
        wiring,
        element_resistance=spread(rng, 5.0, 500.0),
        fault_position=float(rng.uniform(0.01, 0.99)),
        fault_resistance=pick(rng, ALMOST_ZERO, spread(rng, 0.1, 1e6)),
        hot_factor=1.03,
    )
    parameters = replace(
        stated,
        contact_resistance=ALMOST_ZERO,
        further_elements=tuple(_further(rng, element) for element in stated.further_elements),
        leakage_resistance_1=pick(rng, np.inf, spread(rng, 1e5, 1e7)),
        leakage_resistance_2=pick(rng, np.inf, spread(rng, 1e5, 1e7)),
        second_part_resistance=pick(rng, np.inf, ALMOST_ZERO, spread(rng, 1.0, 1e5)),
        second_fault_position=float(rng.uniform(0.01, 0.99)),
        second_fault_resistance=pick(rng, np.inf, spread(rng, 0.1, 1e5)),
    )
    plug = pick(rng, PlugPosition.STRAIGHT, PlugPosition.REVERSED) if plugged else PlugPosition.UNPLUGGED
    state = UnitState(
        plug=plug,
        switch=pick(rng, SwitchPosition.ON, SwitchPosition.OFF),
        earthed=bool(rng.integers(2)),
        cut_out_open=bool(rng.integers(3) == 0),
    )
    return RandomUnit(wiring=wiring, parameters=parameters, state=state)

"""Simulated units with known truth and seeded readings, for what can only be said of many cases.

Errors are drawn as the fit understands them: of each reading its own part, and one proportional error for all readings
that a meter takes of one quantity; test loads within their tolerance.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from hazardreport.case.picture import PointRole
from hazardreport.case.reading import PlugPosition, Quantity, State, SwitchPosition, Temperature
from hazardreport.case.wiring import Element, SwitchPoles, Wiring
from hazardreport.circuit.network_parameters import NetworkParameters, parameters_of
from hazardreport.circuit.observations import Observation, plan

PIN_1, PIN_2, PART = PointRole.PIN_1, PointRole.PIN_2, PointRole.TOUCHABLE_PART
LIVE_STATES = tuple(
    (plug, switch)
    for plug in (PlugPosition.STRAIGHT, PlugPosition.REVERSED)
    for switch in (SwitchPosition.ON, SwitchPosition.OFF)
)
METER, LOADS = 1e7, (3e3, 47e3)
LOAD_DOUBT = 0.01 / math.sqrt(3.0)
GAIN = {Quantity.VOLTAGE: 0.005 / math.sqrt(3.0), Quantity.RESISTANCE: 0.008 / math.sqrt(3.0)}
"""Relative standard uncertainty that the readings of one quantity share."""
BACKGROUND = 0.3
"""Of a live reading to earth, as neutral and earth are never quite alike. [V]"""


Draw = Callable[[int], NDArray[np.float64]]
"""Errors of unit standard deviation, so many."""


@dataclass(frozen=True, kw_only=True)
class Simulated:
    """One unit, its truth and its readings as typed."""

    wiring: Wiring
    truth: NetworkParameters
    observations: tuple[Observation, ...]


def unit(rng: np.random.Generator) -> tuple[Wiring, NetworkParameters]:
    """A heating appliance on either mains with one fault anywhere."""
    voltage, frequency = ((120.0, 60.0), (230.0, 50.0))[rng.integers(2)]
    power = float(rng.uniform(300.0, 2000.0))
    wiring = Wiring(
        nominal_voltage=voltage,
        frequency=frequency,
        switch=SwitchPoles.POLE_1,
        element=Element(rated_voltage=voltage, rated_power=power),
    )
    truth = parameters_of(
        wiring,
        element_resistance=voltage**2 / power * float(rng.uniform(0.93, 1.07)),
        fault_position=float(rng.uniform(0.0, 1.0)),
        fault_resistance=float(10.0 ** rng.uniform(0.0, 4.0)),
        hot_factor=max(1.0, 1.03 + 0.03 * float(rng.normal())),
        supply_voltage=voltage * float(rng.uniform(0.95, 1.05)),
    )
    return wiring, truth


def _digit(value: float) -> float:
    """Of a meter of 4000 counts. [unit of the value]"""
    return float(10.0 ** math.floor(math.log10(max(abs(value), 0.4) / 0.4)) * 1e-3)


def _reading(id: str, kind: Quantity, ends: tuple[PointRole, PointRole], state: State, load: float) -> Observation:
    return Observation(
        id=id,
        kind=kind,
        first=ends[0],
        second=ends[1],
        state=state,
        value=0.0,
        standard_uncertainty=1.0,
        load_impedance=load,
        load_relative_uncertainty=LOAD_DOUBT if load in LOADS else 0.0,
        gain=kind.value,
    )


def asked(rng: np.random.Generator) -> list[Observation]:
    """What is read: three resistances, the supply, and two to four states with the meter alone and with a load."""
    cold = State()
    pairs = (("r1", (PIN_1, PART)), ("r2", (PIN_2, PART)), ("r", (PIN_1, PIN_2)))
    found = [_reading(name, Quantity.RESISTANCE, ends, cold, math.inf) for name, ends in pairs]
    mains = (PointRole.LINE, PointRole.NEUTRAL)
    found.append(_reading("supply", Quantity.VOLTAGE, mains, State(plug=PlugPosition.STRAIGHT), METER))
    for number in rng.permutation(len(LIVE_STATES))[: rng.integers(2, 5)]:
        plug, switch = LIVE_STATES[number]
        state = State(plug=plug, switch=switch, temperature=Temperature.WORKING)
        for load in (METER, LOADS[rng.integers(2)]):
            name = f"{plug.value} {switch.value} {load:g}"
            found.append(_reading(name, Quantity.VOLTAGE, (PART, PointRole.EARTH), state, load))
    return found


def doubted(observation: Observation, value: float) -> Observation:
    """The reading with a value, and with the doubt that a meter's table gives to that value."""
    gain = GAIN[observation.kind] * abs(value)
    own = 3.0 * _digit(value) / math.sqrt(3.0)
    if PART in (observation.first, observation.second) and observation.kind is Quantity.VOLTAGE:
        own = math.hypot(own, BACKGROUND)
    return replace(observation, value=value, standard_uncertainty=math.hypot(gain, own), gain_uncertainty=gain)


def typed(
    draw: Draw, asked_for: list[Observation], wiring: Wiring, truth: NetworkParameters
) -> tuple[Observation, ...]:
    """The readings with errors drawn."""
    shared = {kind: float(draw(1)[0]) for kind in GAIN}
    loads = 1.0 + LOAD_DOUBT * draw(len(asked_for))
    loaded = [
        replace(one, load_impedance=one.load_impedance * factor) if one.load_relative_uncertainty else one
        for one, factor in zip(asked_for, loads.tolist(), strict=True)
    ]
    exact = plan(loaded, wiring).predict(truth).tolist()
    found = []
    for one, value in zip(asked_for, exact, strict=True):
        right = doubted(one, value)
        own = math.sqrt(right.standard_uncertainty**2 - right.gain_uncertainty**2)
        read = value + right.gain_uncertainty * shared[one.kind] + own * float(draw(1)[0])
        found.append(doubted(one, max(read, 0.0)))
    return tuple(found)


def simulated(seed: int, *, within_limits: bool = False) -> Simulated:
    """The case of a seed: errors normal, or rectangular within the limits that instruments and loads keep."""
    rng = np.random.default_rng(seed)
    wiring, truth = unit(rng)

    def limited(size: int) -> NDArray[np.float64]:
        return rng.uniform(-math.sqrt(3.0), math.sqrt(3.0), size)

    def normal(size: int) -> NDArray[np.float64]:
        return rng.normal(size=size)

    draw = limited if within_limits else normal
    return Simulated(wiring=wiring, truth=truth, observations=typed(draw, asked(rng), wiring, truth))

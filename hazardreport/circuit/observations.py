"""What the network predicts for a reading, for one set of parameters or for many at once."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from hazardreport import wording
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import PlugPosition, Quantity, State, Temperature
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Wiring
from hazardreport.circuit.loads import Lamp, behind_meter, loaded_current, loaded_voltage
from hazardreport.circuit.netlist import Port, thevenin_ports
from hazardreport.circuit.unit_network import NetworkParameters, Node, node_of, unit_netlist, unit_state
from hazardreport.errors import ObservationNotPredictableError
from hazardreport.quantity.typed import Bound

Array = NDArray[np.float64]

SUPPLY_NODES = frozenset({Node.LINE, Node.NEUTRAL, Node.EARTH})


@dataclass(frozen=True, kw_only=True, slots=True)
class Observation:
    """One reading as a number that the network can be held against.

    id                         of the reading
    kind                       resistance, voltage or current through the load
    first, second              what its two points are, electrically
    state                      of the unit during the reading
    value                      [ohm], [V] or [A]
    standard_uncertainty       of the value, above zero, in its unit
    bound                      a bound never enters the squares; it is held against the fit
    load_impedance             meter and resistor together; infinite for an ideal meter [ohm]
    lamp                       a filament lamp beside them, or None
    load_relative_uncertainty  standard, of the resistor or of the lamp's current [1]
    reading_factor             what the reading is over the current through the load, as of a touch-current network [1]
    gain, gain_uncertainty     what shares a proportional error with this reading, "" for nothing, and that part of the
                               standard uncertainty, in the unit of the value
    """

    id: str
    kind: Quantity
    first: PointRole
    second: PointRole
    state: State
    value: float
    standard_uncertainty: float
    bound: Bound = Bound.NONE
    load_impedance: complex = math.inf
    lamp: Lamp | None = None
    load_relative_uncertainty: float = 0.0
    reading_factor: float = 1.0
    gain: str = ""
    gain_uncertainty: float = 0.0


@dataclass(frozen=True, slots=True)
class _Group:
    """Readings of one state: the same network answers all of them."""

    state: UnitState
    cold: bool
    direct_current: bool
    members: tuple[tuple[int, Port], ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """Readings sorted by the networks that predict them; made once, used for every set of parameters."""

    observations: tuple[Observation, ...]
    wiring: Wiring
    groups: tuple[_Group, ...]

    def predict(self, parameters: NetworkParameters) -> Array:
        """Predicted readings; infinite where no conducting path is assumed.

        Parameters
        ----------
        parameters : NetworkParameters
            Values of common shape (...).

        Returns
        -------
        ndarray, shape (..., readings)
            In the unit of each reading.
        """
        columns: list[Any] = [0.0] * len(self.observations)
        for group in self.groups:
            netlist = unit_netlist(self.wiring, parameters, group.state, cold=group.cold)
            frequency = 0.0 if group.direct_current else parameters.frequency
            sources = thevenin_ports(netlist, frequency, [port for _, port in group.members])
            for (number, _), (voltage, impedance) in zip(group.members, sources, strict=True):
                columns[number] = _reading(self.observations[number], voltage, impedance)
        return np.stack(np.broadcast_arrays(*columns), axis=-1)

    def load_doubt(self, parameters: NetworkParameters) -> Array:
        """Standard uncertainty of each prediction from the doubt of its load, in the unit of the reading."""
        doubts = np.array([observation.load_relative_uncertainty for observation in self.observations])
        if not doubts.any():
            return doubts
        step = 1e-3
        heavier = replace(
            self, observations=tuple(_scaled(observation, 1.0 + step) for observation in self.observations)
        )
        with np.errstate(invalid="ignore"):
            slope = (heavier.predict(parameters) - self.predict(parameters)) / step
        return np.where(np.isfinite(slope), np.abs(slope) * doubts, 0.0)


def _scaled(observation: Observation, factor: float) -> Observation:
    if observation.lamp is None:
        return replace(observation, load_impedance=observation.load_impedance / factor)
    lamp = replace(observation.lamp, rated_power=observation.lamp.rated_power * factor)
    return replace(observation, lamp=lamp)


def _reading(observation: Observation, voltage: NDArray[Any], impedance: NDArray[Any]) -> Any:
    if observation.kind is Quantity.RESISTANCE:
        return impedance.real
    if observation.lamp is not None:
        return _lamp_readings(observation, observation.lamp, voltage, impedance)
    load = observation.load_impedance
    with np.errstate(invalid="ignore"):
        if observation.kind is Quantity.CURRENT:
            return np.where(np.isfinite(impedance), np.abs(voltage / (impedance + load)), 0.0)
        if math.isinf(abs(load)):
            return np.abs(voltage)
        return np.where(np.isfinite(impedance), np.abs(voltage * load / (impedance + load)), 0.0)


def _lamp_readings(observation: Observation, lamp: Lamp, voltage: NDArray[Any], impedance: NDArray[Any]) -> Any:
    answer = loaded_current if observation.kind is Quantity.CURRENT else loaded_voltage
    voltages, impedances = np.broadcast_arrays(voltage, impedance)
    values = [
        answer(*behind_meter(complex(u), complex(z), observation.load_impedance), lamp)
        for u, z in zip(voltages.ravel(), impedances.ravel(), strict=True)
    ]
    return np.reshape(values, voltages.shape)


def _port(observation: Observation, state: UnitState) -> Port:
    nodes = tuple(node_of(role, state) for role in (observation.first, observation.second))
    first, second = nodes
    reason = ""
    if first is None or second is None:
        reason = "other_point"
    elif observation.kind is Quantity.RESISTANCE:
        reason = "" if state.plug is PlugPosition.UNPLUGGED else "not_dead"
    elif state.plug is PlugPosition.UNPLUGGED and not {first, second} <= SUPPLY_NODES:
        reason = "not_live"
    elif (
        observation.kind is Quantity.CURRENT
        and observation.lamp is None
        and math.isinf(abs(observation.load_impedance))
    ):
        reason = "current_needs_load"
    if reason or first is None or second is None:
        raise ObservationNotPredictableError(
            reading=observation.id, reason=wording.sentence(f"circuit.observation.{reason}")
        )
    return first, second


def plan(observations: Sequence[Observation], wiring: Wiring) -> Plan:
    """The readings sorted by the networks that predict them.

    Raises
    ------
    ObservationNotPredictableError
        For a resistance on a plugged-in unit, a voltage or current on an unplugged one, a current without its load,
        or a point without electrical meaning.
    StateNotPossibleError
        For a state that is not known well enough.
    """
    members: dict[tuple[UnitState, bool, bool], list[tuple[int, Port]]] = {}
    for number, observation in enumerate(observations):
        state = unit_state(observation.state, wiring)
        unplugged = state.plug is PlugPosition.UNPLUGGED
        cold = unplugged and observation.state.temperature is not Temperature.WORKING
        key = (state, cold, observation.kind is Quantity.RESISTANCE)
        members.setdefault(key, []).append((number, _port(observation, state)))
    groups = tuple(_Group(*key, tuple(group)) for key, group in members.items())
    return Plan(tuple(observations), wiring, groups)


def predicted_reading(observation: Observation, wiring: Wiring, parameters: NetworkParameters) -> Array:
    """What one reading would be; its value does not matter.

    Parameters
    ----------
    observation : Observation
        Points, state and load.
    wiring : Wiring
        Supply kind and switched poles.
    parameters : NetworkParameters
        Values of common shape (...).

    Returns
    -------
    ndarray, shape (...)
        [ohm], [V] or [A]; an infinite resistance where no conducting path is assumed.
    """
    return np.asarray(plan((observation,), wiring).predict(parameters)[..., 0])

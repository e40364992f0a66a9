"""What the network predicts for a reading, for one set of parameters or for many at once."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from hazardreport import wording
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import PlugPosition, Quantity, State, Temperature
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Wiring
from hazardreport.circuit.bank import Port, Values
from hazardreport.circuit.curved import Curved, Scaled, curved_voltage
from hazardreport.circuit.loads import Lamp
from hazardreport.circuit.unit_bank import Question, UnitBank, unit_bank
from hazardreport.circuit.unit_network import NetworkParameters, Node, node_of, unit_state
from hazardreport.errors import ObservationNotPredictableError
from hazardreport.quantity.typed import Bound

Array = NDArray[np.float64]

SUPPLY_NODES = frozenset({Node.LINE, Node.NEUTRAL, Node.EARTH, Node.EARTH_BAR})


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
    supply_ratio               supply voltage noted beside the reading over that of the fit [1]
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
    supply_ratio: float = 1.0
    gain: str = ""
    gain_uncertainty: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class _Loads:
    """The loads of R readings as a reading's equation wants them: U·numerator / |Zs·factor + offset|.

    resistances             numbers of the readings of a resistance, which is the real part of Zs
    numerator, offset       of the others; an ideal meter has factor 0 and offset 1
    lamps                   a lamp and the numbers of the readings with it; the load is then the meter beside it
    """

    resistances: NDArray[np.intp]
    numerator: Array
    factor: Array
    offset: NDArray[Any]
    lamps: tuple[tuple[Lamp, NDArray[np.intp]], ...]
    meters: NDArray[Any]
    is_current: NDArray[np.bool_]
    reading_factor: Array
    supply_ratio: Array


def _loads(observations: Sequence[Observation]) -> _Loads:
    loads = [observation.load_impedance for observation in observations]
    plain = np.array([complex(load) for load in loads])
    offset: NDArray[Any] = plain if plain.imag.any() else plain.real
    ideal = np.isinf(np.abs(offset))
    is_current = np.array([observation.kind is Quantity.CURRENT for observation in observations])
    reading_factor = np.array([observation.reading_factor for observation in observations])
    with_lamp: dict[Lamp, list[int]] = {}
    for number, observation in enumerate(observations):
        if observation.lamp is not None and observation.kind is not Quantity.RESISTANCE:
            with_lamp.setdefault(observation.lamp, []).append(number)
    numerator = np.where(is_current, reading_factor, np.where(ideal, 1.0, np.abs(offset)))
    return _Loads(
        resistances=np.flatnonzero([observation.kind is Quantity.RESISTANCE for observation in observations]),
        numerator=numerator,
        factor=np.where(ideal, 0.0, 1.0),
        offset=np.where(ideal, 1.0, offset),
        lamps=tuple((lamp, np.array(numbers, dtype=np.intp)) for lamp, numbers in with_lamp.items()),
        meters=np.where(ideal, np.inf, offset),
        is_current=is_current,
        reading_factor=reading_factor,
        supply_ratio=np.array([observation.supply_ratio for observation in observations]),
    )


def _readings(loads: _Loads, voltage: Values, impedance: Values, scaled: float = 1.0) -> Array:
    """Readings of shape (..., R) from the sources of the same shape; with all loads heavier by a factor."""
    size = np.abs(voltage) * loads.supply_ratio
    with np.errstate(invalid="ignore", over="ignore", divide="ignore"):
        divisor = np.abs(impedance * loads.factor + loads.offset * (1.0 if scaled == 1.0 else _lighter(loads, scaled)))
        answer: Array = size * loads.numerator / divisor
    if scaled != 1.0:
        answer = np.where(loads.is_current | (loads.factor == 0.0), answer, answer / scaled)
    apart = np.isinf(impedance)
    if apart.any():
        answer[apart] = 0.0
    if len(loads.resistances):
        answer[..., loads.resistances] = np.real(impedance[..., loads.resistances])
    for lamp, numbers in loads.lamps:
        answer[..., numbers] = _with_lamp(
            lamp if scaled == 1.0 else Scaled(lamp, scaled), loads, numbers, size, impedance[..., numbers]
        )
    return answer


def _lighter(loads: _Loads, scaled: float) -> Array:
    return np.where(loads.factor == 0.0, 1.0, 1.0 / scaled)


def _with_lamp(
    lamp: Curved, loads: _Loads, numbers: NDArray[np.intp], voltage: Array, impedance: NDArray[Any]
) -> Array:
    """Voltage across a lamp beside its meter, or the current through it."""
    meters = loads.meters[numbers]
    source = voltage[..., numbers]
    ideal = np.isinf(np.abs(meters))
    with np.errstate(invalid="ignore"):
        share = np.where(ideal | np.isinf(impedance), 1.0, meters / (impedance + meters))
        across = curved_voltage(source * np.abs(share), impedance * share, lamp)
    if not loads.is_current[numbers].any():
        return across
    lit = across > 0.0
    current = np.zeros_like(across)
    current[lit] = lamp.response(across[lit])[0]
    return np.where(loads.is_current[numbers], current * loads.reading_factor[numbers], across)


@dataclass(frozen=True, slots=True, eq=False)
class Plan:
    """Readings sorted by the networks that predict them; made once, used for every set of parameters."""

    observations: tuple[Observation, ...]
    wiring: Wiring
    _bank: UnitBank
    _network: NDArray[np.intp]
    _port: NDArray[np.intp]
    _loads: _Loads

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
        return _readings(self._loads, *self._sources(parameters))

    def load_doubt(self, parameters: NetworkParameters) -> Array:
        """Standard uncertainty of each prediction from the doubt of its load, in the unit of the reading."""
        doubts = np.array([observation.load_relative_uncertainty for observation in self.observations])
        if not doubts.any():
            return doubts
        step = 1e-3
        sources = self._sources(parameters)
        with np.errstate(invalid="ignore"):
            slope = (_readings(self._loads, *sources, 1.0 + step) - _readings(self._loads, *sources)) / step
        return np.where(np.isfinite(slope), np.abs(slope) * doubts, 0.0)

    def _sources(self, parameters: NetworkParameters) -> tuple[Values, Values]:
        voltage, impedance = self._bank.thevenin(parameters)
        return voltage[..., self._network, self._port], impedance[..., self._network, self._port]


def _port(observation: Observation, state: UnitState, wiring: Wiring) -> Port:
    nodes = tuple(node_of(role, state, wiring) for role in (observation.first, observation.second))
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
    ports: dict[tuple[UnitState, bool, bool], list[Port]] = {}
    places = []
    for observation in observations:
        state = unit_state(observation.state, wiring)
        unplugged = state.plug is PlugPosition.UNPLUGGED
        cold = unplugged and observation.state.temperature is not Temperature.WORKING
        key = (state, cold, observation.kind is Quantity.RESISTANCE)
        asked, port = ports.setdefault(key, []), _port(observation, state, wiring)
        if port not in asked:
            asked.append(port)
        places.append((key, asked.index(port)))
    networks = list(ports)
    return Plan(
        tuple(observations),
        wiring,
        unit_bank(wiring, tuple(Question(key[0], tuple(ports[key]), *key[1:]) for key in networks)),
        np.array([networks.index(key) for key, _ in places], dtype=np.intp),
        np.array([number for _, number in places], dtype=np.intp),
        _loads(observations),
    )


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

"""What the fitted network says of every state, all states solved together."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hazardreport.assess.fitted import earthed_vectors
from hazardreport.assess.source import unit_states
from hazardreport.case.case import Case
from hazardreport.case.unit_state import UnitState
from hazardreport.circuit.fit import FitResult
from hazardreport.circuit.prediction import StatePrediction, predicted_states
from hazardreport.circuit.thevenin import available_current, sources_at_part
from hazardreport.circuit.unit_network import open_poles
from hazardreport.errors import NetworkNotSolvableError, StateNotPossibleError
from hazardreport.quantity.propagation import propagate

DETERMINED_SHARE = 0.5
NEGLIGIBLE_CURRENT = 0.0005


@dataclass(frozen=True, kw_only=True, slots=True)
class Predicted:
    """One state of the fitted network.

    values, covariance  of U0 [V], |Zs| [ohm], Isc [A]
    low, high           95 % intervals of the same where a parameter lies on the edge of its range, else None
    impedance           complex Zs [ohm]
    determined          a person's current is known within ± 50 %, or is below perception in any case
    """

    values: NDArray[np.float64]
    covariance: NDArray[np.float64]
    low: NDArray[np.float64] | None
    high: NDArray[np.float64] | None
    impedance: complex
    determined: bool


UNREACHED = Predicted(
    values=np.array([0.0, math.inf, 0.0]),
    covariance=np.zeros((3, 3)),
    low=None,
    high=None,
    impedance=complex(math.inf),
    determined=True,
)
"""No conducting path leads from the part to earth: no current can flow, whatever the parameters are."""


def predictions(case: Case, result: FitResult) -> dict[UnitState, Predicted]:
    """Every plugged state that the wiring has, without and with the protective earth connected."""
    plain = [state for state in unit_states(case.wiring, earthed=False) if _possible(case, state)]
    earthed = [state for state in unit_states(case.wiring, earthed=True) if _possible(case, state)]
    try:
        return {**_unearthed(case, result, plain), **_earthed(case, result, earthed)}
    except NetworkNotSolvableError:
        return {}


def _possible(case: Case, state: UnitState) -> bool:
    try:
        open_poles(case.wiring, state)
    except StateNotPossibleError:
        return False
    return True


def _unearthed(case: Case, result: FitResult, states: list[UnitState]) -> dict[UnitState, Predicted]:
    found = predicted_states(result, case.wiring, states)
    supply = float(result.parameters.supply_voltage)
    return {prediction.state: _of(prediction, any(result.at_bound), supply) for prediction in found}


def _of(found: StatePrediction, edge: bool, supply: float) -> Predicted:
    voltage, real, imaginary, current = (float(value) for value in found.source.values)
    if not math.isfinite(real):
        return UNREACHED
    modulus = math.hypot(real, imaginary)
    along = (real / modulus, imaginary / modulus) if modulus else (1.0, 0.0)
    to_modulus = np.array([[1.0, 0, 0, 0], [0, *along, 0], [0, 0, 0, 1.0]])
    probe, low, high = float(found.probe.values[0]), float(found.probe.low[0]), float(found.probe.high[0])
    covariance = to_modulus @ found.source.covariance @ to_modulus.T
    sound = bool(np.isfinite(covariance).all()) and math.sqrt(covariance[0, 0]) < DETERMINED_SHARE * supply
    narrow = high - low <= 2.0 * DETERMINED_SHARE * probe or high <= NEGLIGIBLE_CURRENT
    ends = [_modulus_ends(found, column) for column in (0, 1, 3)] if edge else None
    return Predicted(
        values=np.array([voltage, modulus, current]),
        covariance=covariance,
        low=np.array([end[0] for end in ends]) if ends else None,
        high=np.array([end[1] for end in ends]) if ends else None,
        impedance=complex(real, imaginary),
        determined=sound and narrow,
    )


def _modulus_ends(found: StatePrediction, column: int) -> tuple[float, float]:
    """95 % interval of U0, |Zs| or Isc; that of |Zs| spans those of its resistance and reactance."""
    low, high = found.source.low, found.source.high
    if column != 1:
        return float(low[column]), float(high[column])
    parts = [(float(low[number]), float(high[number])) for number in (1, 2)]
    least = [0.0 if first <= 0.0 <= last else min(abs(first), abs(last)) for first, last in parts]
    most = [max(abs(first), abs(last)) for first, last in parts]
    return math.hypot(*least), math.hypot(*most)


def _earthed(case: Case, result: FitResult, states: list[UnitState]) -> dict[UnitState, Predicted]:
    if not states:
        return {}
    vectors = earthed_vectors(result)

    def equation(rows: NDArray[np.float64]) -> NDArray[np.float64]:
        u0, zs = np.broadcast_arrays(*sources_at_part(case.wiring, vectors.parameters(rows), states))
        columns = np.stack([np.abs(u0), np.abs(zs), available_current(u0, zs)], axis=-1)
        return np.broadcast_to(columns, (len(rows), *columns.shape[-2:])).reshape(len(rows), -1)

    with np.errstate(all="ignore"):
        values, covariance = propagate(equation, vectors.estimates, vectors.covariance)
    _, impedances = sources_at_part(case.wiring, result.parameters, states)
    found = {}
    for number, state in enumerate(states):
        part = slice(3 * number, 3 * number + 3)
        found[state] = Predicted(
            values=values[part],
            covariance=covariance[part, part],
            low=None,
            high=None,
            impedance=complex(impedances[..., number]),
            determined=bool(np.isfinite(covariance[part, part]).all()),
        )
    return found

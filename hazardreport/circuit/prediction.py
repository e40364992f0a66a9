"""What the fitted network says of every state, measured or not, with doubt.

The functions returned here take many parameter vectors at once, (k, n) to (k, m), as propagation of doubt wants them.
They may be evaluated a little outside the physical ranges, so that derivatives exist on the edges.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Wiring
from hazardreport.circuit.fit import FitResult
from hazardreport.circuit.free_parameters import Space
from hazardreport.circuit.netlist import Complex
from hazardreport.circuit.region import NORMAL_95
from hazardreport.circuit.thevenin import available_current, currents, source_at_part, sources_at_part

Array = NDArray[np.float64]
Equation = Callable[[Array], Array]

SOURCE_OUTPUTS = (("U0", "V"), ("Re Zs", "ohm"), ("Im Zs", "ohm"), ("Isc", "A"))
EARTHED_OUTPUTS = (("UT", "V"), ("UTE", "V"), ("IPE", "A"), ("IL", "A"))
PROBE_RESISTANCE = 1000.0
"""Of the load whose current must be known for a state to count as determined: about that of a person. [ohm]"""


NEVER_NEGATIVE = [0, 1, 3]
"""Of a source: U0, Re Zs, Isc."""

DETERMINED_SHARE = 0.5
"""Width of a 95 % interval over the physical range, from which on a state counts as not determined (choice). [1]"""


def source_function(wiring: Wiring, free: Space, state: UnitState) -> Equation:
    """Parameter vectors to the source of one state: U0, real and imaginary part of Zs, Isc; see `SOURCE_OUTPUTS`."""

    def source(vectors: Array) -> Array:
        voltage, impedance = source_at_part(wiring, free.parameters(vectors), state)
        columns = (np.abs(voltage), impedance.real, impedance.imag, available_current(voltage, impedance))
        return np.stack([np.broadcast_to(column, vectors.shape[:-1]) for column in columns], axis=-1)

    return source


def currents_function(wiring: Wiring, free: Space, state: UnitState, load: Complex | None = None) -> Equation:
    """Parameter vectors to touch voltages [V] and currents [A] of one state; see `EARTHED_OUTPUTS`.

    Touch voltage to metal bonded to the same earth bar, to true earth, current in the protective conductor and in the
    line, with a load from the touchable part to true earth or with none.
    """

    def flowing(vectors: Array) -> Array:
        result = currents(wiring, free.parameters(vectors), state, load)
        columns = (
            result.touch_voltage_earth_bar,
            result.touch_voltage_true_earth,
            result.earth_current,
            result.line_current,
        )
        return np.stack([np.broadcast_to(column, vectors.shape[:-1]) for column in columns], axis=-1)

    return flowing


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Prediction:
    """Results of one equation at the fitted parameters.

    values      shape (m,)
    covariance  first order, shape (m, m)
    low, high   95 % intervals, one-sided where the equation bends or a parameter is at its edge, shape (m,)
    """

    values: Array
    covariance: Array
    low: Array
    high: Array

    @property
    def standard_uncertainty(self) -> Array:
        """Of each value."""
        return np.sqrt(np.diag(self.covariance))


def prediction(equation: Equation, fitted: FitResult) -> Prediction:
    """Values of an equation at the fitted parameters, with covariance and intervals.

    Parameters
    ----------
    equation : callable
        (k, n) to (k, m), as `source_function` makes it.
    fitted : FitResult
        Estimates with covariance and physical ranges.

    Returns
    -------
    Prediction
        Intervals come from the equation itself at the corners of the fit's 95 % region, combined as roots of sums of
        squares, up and down apart, and are never narrower than those of first order.
    """
    points, distance = fitted.free.displaced(fitted.estimates)
    size = len(distance)
    results = equation(np.concatenate([points, fitted.corners]))
    value = results[2 * size]
    finite = np.isfinite(value)
    with np.errstate(invalid="ignore"):
        moved = results[2 * size + 1 :] - value
    slopes = _slopes(results[:size], value, results[size : 2 * size], fitted.free.steps(fitted.estimates), distance)
    moved = np.where(finite, moved, 0.0)
    down = np.sqrt(np.sum(np.minimum(moved, 0.0) ** 2, axis=0))
    up = np.sqrt(np.sum(np.maximum(moved, 0.0) ** 2, axis=0))
    covariance = slopes @ fitted.covariance @ slopes.T
    first_order = NORMAL_95 * np.sqrt(np.diag(covariance))
    return Prediction(
        values=value,
        covariance=covariance,
        low=np.where(finite, value - np.maximum(down, first_order), value),
        high=np.where(finite, value + np.maximum(up, first_order), value),
    )


def _slopes(above: Array, value: Array, below: Array, step: Array, distance: Array) -> Array:
    """Derivatives, (m, n): central, by one side where the other has no finite value, none at an infinite one."""
    with np.errstate(invalid="ignore", divide="ignore"):
        central = (above - below).T / distance
        up = (above - value).T / step
        down = (value - below).T / (distance - step)
    found = np.where(np.isfinite(central), central, np.where(np.isfinite(up), up, down))
    return np.where(np.isfinite(found) & np.isfinite(value)[:, None], found, 0.0)


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class StatePrediction:
    """The source at the touchable part in one state.

    source      U0, Re Zs, Im Zs, Isc
    probe       current through about a person's resistance [A]
    determined  the 95 % intervals of U0 and of the probe current are narrower than half of what the supply allows
    """

    state: UnitState
    source: Prediction
    probe: Prediction
    determined: bool


def predicted_states(fitted: FitResult, wiring: Wiring, states: Sequence[UnitState]) -> tuple[StatePrediction, ...]:
    """What the fit says of several states, all solved together.

    Parameters
    ----------
    fitted : FitResult
        From `fit`.
    wiring : Wiring
        The same as in the fit.
    states : sequence of UnitState
        Any states that this wiring has.

    Returns
    -------
    tuple of StatePrediction
        One for each state, with `determined` false where the readings leave it open.

    Raises
    ------
    SupplyNotSolvedError, StateNotPossibleError
        As for `sources_at_part`.
    """
    if not states:
        return ()

    def every(vectors: Array) -> Array:
        voltage, impedance = sources_at_part(wiring, fitted.free.parameters(vectors), states)
        real, imaginary, size = impedance.real, impedance.imag, np.abs(voltage)
        with np.errstate(invalid="ignore"):
            probe = np.where(np.isinf(real), 0.0, size / np.hypot(real + PROBE_RESISTANCE, imaginary))
        columns = np.stack([size, real, imaginary, available_current(voltage, impedance), probe], axis=-1)
        return np.broadcast_to(columns, (*vectors.shape[:-1], *columns.shape[-2:])).reshape(len(vectors), -1)

    whole = prediction(every, fitted)
    supply = float(fitted.parameters.supply_voltage)
    width = len(SOURCE_OUTPUTS) + 1
    return tuple(_state(whole, state, slice(k * width, (k + 1) * width), supply) for k, state in enumerate(states))


def predicted_state(fitted: FitResult, wiring: Wiring, state: UnitState) -> StatePrediction:
    """As `predicted_states` for one state."""
    return predicted_states(fitted, wiring, (state,))[0]


def _state(whole: Prediction, state: UnitState, columns: slice, supply: float) -> StatePrediction:
    source = _part(whole, slice(columns.start, columns.stop - 1))
    probe = _part(whole, slice(columns.stop - 1, columns.stop))
    source.low[NEVER_NEGATIVE] = np.maximum(source.low[NEVER_NEGATIVE], 0.0)
    probe.low[:] = np.maximum(probe.low, 0.0)
    allowed = DETERMINED_SHARE * supply
    narrow = source.high[0] - source.low[0] < allowed and probe.high[0] - probe.low[0] < allowed / PROBE_RESISTANCE
    return StatePrediction(state=state, source=source, probe=probe, determined=bool(narrow))


def _part(whole: Prediction, columns: slice) -> Prediction:
    return Prediction(
        values=whole.values[columns],
        covariance=whole.covariance[columns, columns],
        low=whole.low[columns].copy(),
        high=whole.high[columns].copy(),
    )

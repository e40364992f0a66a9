"""The network fitted to all readings with a value, by weighted least squares inside the physical ranges.

Bounds never enter the squares: each is held against the fit afterwards. With the plug's position unknown both ways
round are fitted and both are returned.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares
from scipy.special import chdtri

from hazardreport.case.reading import PlugPosition
from hazardreport.case.wiring import Wiring
from hazardreport.circuit.free_parameters import FAULT, POSITION, Space, space
from hazardreport.circuit.observations import Observation, Plan, plan
from hazardreport.circuit.unit_network import NetworkParameters
from hazardreport.errors import NothingToFitError
from hazardreport.quantity.typed import Bound

Array = NDArray[np.float64]

LEVEL = 0.05
SQUARES_TOLERANCE = 1e-6
"""Relative change of the sum of squares at which the search ends: a thousandth of a standard deviation. [1]"""
TOLERANCE = 1e-8
REMEMBERED = 8
SHORTENED = (0.7, 0.5, 0.35, 0.2, 0.1, 0.05, 0.02, 0.005, 0.001, 0.0)
NORMAL_95 = 1.959963984540054
POSITIONS = (0.5, 0.25, 0.75, 0.05, 0.95, 0.0, 1.0)
FAULTS = (10.0, 0.0, 1e2, 1e3, 1e4, 1e5, 1e6)


@dataclass(frozen=True, kw_only=True, slots=True)
class FittedReading:
    """One reading beside its prediction.

    standardized  residual over its standard deviation, u·√(1 − h); zero where the reading alone fixes its parameter [1]
    leverage      h, share of the reading in its own prediction [1]
    """

    id: str
    value: float
    predicted: float
    standard_uncertainty: float
    standardized: float
    leverage: float


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class FitResult:
    """The fitted network.

    parameters        estimates put into the network
    names             of the free parameters, in the order of every vector
    estimates         shape (n,)
    covariance        from the Jacobian, the physical ranges taken as weak priors so that it is always finite, (n, n)
    determined        per parameter: the 95 % interval is narrower than the physical range
    intervals         per parameter: 95 %, inside the physical range; the whole range where not determined
    at_bound          per parameter: the estimate lies on the edge of its range; ask `misfit.profile` for its interval
    residuals         per reading
    chi_square, dof   agreement; readings and priors less parameters that they fix
    consistent        below the 95 % point; None without a degree of freedom
    broken_bounds     ids of bound readings that the fit contradicts by more than their doubt
    unexplained       ids of readings between points that the assumed network does not join
    free              the space of the fit, for derivatives and predictions
    plug              how an unknown plug position was taken here, None if none was unknown
    corners           points at the edge of the 95 % region along the independent directions, in range, (2n, n)
    alternative       the fit with the unknown plug positions the other way round
    """

    parameters: NetworkParameters
    names: tuple[str, ...]
    estimates: Array
    covariance: Array
    determined: tuple[bool, ...]
    intervals: tuple[tuple[float, float], ...]
    at_bound: tuple[bool, ...]
    residuals: tuple[FittedReading, ...]
    chi_square: float
    dof: int
    consistent: bool | None
    broken_bounds: tuple[str, ...]
    unexplained: tuple[str, ...]
    free: Space
    corners: Array
    plug: PlugPosition | None = None
    alternative: "FitResult | None" = None

    def is_determined(self, name: str) -> bool:
        """Whether the readings fix a parameter; one that was not free is known."""
        return name not in self.names or self.determined[self.names.index(name)]


@dataclass(frozen=True, slots=True, eq=False)
class Squares:
    """The weighted residuals of readings and priors, for vectors of any batch shape."""

    plan: Plan
    free: Space
    values: Array = field(repr=False)
    doubts: Array = field(repr=False)

    _last: dict[bytes, tuple[Array, Array]] = field(default_factory=dict, repr=False)

    def residuals(self, vectors: Array) -> Array:
        """(reading or prior − prediction) / u, shape (..., readings + priors). [1]"""
        predicted = self.plan.predict(self.free.parameters(vectors))
        rows = (self.values - predicted) / self.doubts
        if not self.free.priors:
            return rows
        priors = [
            (prior.estimate - vectors[..., prior.number]) / prior.standard_uncertainty for prior in self.free.priors
        ]
        return np.concatenate([rows, np.stack(priors, axis=-1)], axis=-1)

    def at(self, vector: Array) -> tuple[Array, Array]:
        """Residuals (rows,) and their derivatives (rows, n) by central differences, in one batched call."""
        key = vector.tobytes()
        if key not in self._last:
            step, size = self.free.steps(vector), len(vector)
            shift = np.diag(step)
            rows = self.residuals(np.concatenate([vector + shift, vector - shift, vector[None, :]]))
            with np.errstate(invalid="ignore"):
                slopes = np.asarray((rows[:size] - rows[size:-1]).T / (2.0 * step))
            if len(self._last) >= REMEMBERED:
                self._last.clear()
            self._last[key] = rows[-1], slopes
        return self._last[key]

    def rows(self, vector: Array) -> Array:
        """Residuals at one vector."""
        return self.at(vector)[0]

    def slopes(self, vector: Array) -> Array:
        """Derivatives of the residuals at one vector."""
        return self.at(vector)[1]

    def inside(self, vector: Array) -> Array:
        """The vector a little inside the physical ranges, where a search may begin."""
        lower, upper = self.free.lower, self.free.upper
        width = np.minimum(1e-9 * (upper - lower), 1e-6 * self.free.step)
        return np.clip(vector, lower + width, upper - width)

    def minimum(self, start: Array) -> tuple[Array, float]:
        """The least sum of squares reached from a start, and where."""
        lower, upper = self.free.lower, self.free.upper
        found = least_squares(
            self.rows,
            self.inside(start),
            jac=self.slopes,
            bounds=(lower, upper),
            x_scale="jac",
            ftol=SQUARES_TOLERANCE,
            xtol=TOLERANCE,
            gtol=TOLERANCE,
            max_nfev=200,
        )
        return self._snapped(np.asarray(found.x), 2.0 * float(found.cost))

    def _snapped(self, vector: Array, cost: float) -> tuple[Array, float]:
        """Onto a physical bound that the search only approached, where that is no worse."""
        free = self.free
        near = 100.0 * free.steps(np.zeros_like(vector))
        edge = np.where(
            vector - free.lower < near, free.lower, np.where(free.upper - vector < near, free.upper, vector)
        )
        for number in np.flatnonzero(edge != vector):
            moved = vector.copy()
            moved[number] = edge[number]
            moved_cost = float(np.sum(self.residuals(moved) ** 2))
            if moved_cost <= cost + 1e-9:
                vector, cost = moved, min(cost, moved_cost)
        return vector, cost


def _starts(squares: Squares) -> list[Array]:
    """The best point of a coarse grid on each half of the element: one batched call."""
    free = squares.free
    position, fault = free.names.index(POSITION), free.names.index(FAULT)
    grid = np.tile(free.first_guess, (len(POSITIONS) * len(FAULTS), 1))
    grid[:, position] = np.repeat(POSITIONS, len(FAULTS))
    grid[:, fault] = np.tile(FAULTS, len(POSITIONS))
    costs = np.sum(squares.residuals(grid) ** 2, axis=-1)
    near = grid[:, position] <= 0.5
    return [grid[side][np.argmin(costs[side])] for side in (near, ~near)]


def _best(squares: Squares, start: Array | None, limit: float) -> tuple[Array, float]:
    """From the last estimate if that already explains the readings, else from the coarse grid."""
    found: list[tuple[Array, float]] = []
    if start is not None:
        found.append(squares.minimum(start))
        if found[0][1] <= limit:
            return found[0]
    found.extend(squares.minimum(point) for point in _starts(squares))
    return min(found, key=lambda item: item[1])


def critical_value(dof: int) -> float:
    """The 95 % point of chi-square. [1]"""
    return float(chdtri(dof, LEVEL)) if dof > 0 else 0.0


def covariance_of(jacobian: Array, free: Space) -> tuple[Array, Array]:
    """Covariance of the parameters, shape (n, n), and leverage of each row, shape (rows,).

    The physical range of each parameter enters as a rectangular prior, which only speaks where the rows are silent.
    """
    size = jacobian.shape[1]
    ranges = free.upper - free.lower
    stacked = np.concatenate([jacobian, np.diag(math.sqrt(12.0) / ranges)])
    norms = np.linalg.norm(stacked, axis=0)
    triangle = np.linalg.qr(stacked / norms, mode="r")
    inverse = np.linalg.solve(triangle, np.eye(size)) / norms[:, None]
    leverage = np.sum((jacobian @ inverse) ** 2, axis=1)
    return inverse @ inverse.T, np.minimum(leverage, 1.0)


def with_shared_gain(covariance: Array, jacobian: Array, observations: Sequence[Observation], doubts: Array) -> Array:
    """Covariance of the parameters where readings share the proportional error of an instrument.

    The estimates are those of independent readings; only their doubt changes: each group's error moves all of its
    readings together, and no average takes it away.

    References
    ----------
    jcgm-100-2008, 5.2.2, F.1.2.3.
    """
    influence = covariance @ jacobian[: len(observations)].T
    shares = np.array([observation.gain_uncertainty for observation in observations]) / doubts
    moved = influence * shares
    found = covariance - moved @ moved.T
    for group in {observation.gain for observation in observations if observation.gain_uncertainty}:
        together = moved[:, [observation.gain == group for observation in observations]].sum(axis=1)
        found = found + np.outer(together, together)
    return np.asarray(found)


def corners_of(squares: Squares, vector: Array, cost: float, covariance: Array) -> Array:
    """Points at the edge of the 95 % region along the independent directions of the parameters, shape (2n, n).

    A direction that the readings follow less far than the covariance says is shortened to where they still agree.
    """
    free = squares.free
    deviation = np.sqrt(np.diag(covariance))
    shares, axes = np.linalg.eigh(covariance / np.outer(deviation, deviation))
    half = NORMAL_95 * (axes * np.sqrt(np.maximum(shares, 0.0)) * deviation[:, None]).T
    directions = np.concatenate([half, -half])
    limit = cost + 1.5 * NORMAL_95**2
    corners: Array = np.clip(vector + directions, free.lower, free.upper)
    far = np.sum(squares.residuals(corners) ** 2, axis=-1) > limit
    if far.any():
        steps = np.array(SHORTENED)[:, None, None] * directions[far]
        points = np.clip(vector + steps, free.lower, free.upper)
        agree = np.sum(squares.residuals(points) ** 2, axis=-1) <= limit
        agree[-1] = True
        first = np.argmax(agree, axis=0)
        corners[far] = points[first, np.arange(points.shape[1])]
    return corners


def _result(
    squares: Squares, vector: Array, cost: float, bounds: Sequence[Observation], loose: tuple[str, ...]
) -> FitResult:
    free = squares.free
    parameters = free.parameters(vector)
    rows, jacobian = squares.at(vector)
    covariance, leverage = covariance_of(jacobian, free)
    covariance = with_shared_gain(covariance, jacobian, squares.plan.observations, squares.doubts)
    deviation = np.sqrt(np.diag(covariance))
    half = NORMAL_95 * deviation
    determined = 2.0 * half < free.upper - free.lower
    low = np.where(determined, np.maximum(vector - half, free.lower), free.lower)
    high = np.where(determined, np.minimum(vector + half, free.upper), free.upper)
    slack = 1.0 - leverage
    standardized = np.where(slack > 1e-6, rows / np.sqrt(np.maximum(slack, 1e-12)), 0.0)
    predicted = squares.values - rows[: len(squares.values)] * squares.doubts
    dof = max(0, len(rows) - round(float(leverage.sum())))
    plain: dict[str, Any] = {name: float(vector[k]) for k, name in enumerate(free.names)}
    return FitResult(
        parameters=replace(parameters, **plain),
        names=free.names,
        estimates=vector,
        covariance=covariance,
        determined=tuple(determined.tolist()),
        intervals=tuple(zip(low.tolist(), high.tolist(), strict=True)),
        at_bound=tuple(bool(flag) for flag in (vector <= free.lower) | (vector >= free.upper)),
        residuals=tuple(
            FittedReading(
                id=observation.id,
                value=observation.value,
                predicted=float(predicted[k]),
                standard_uncertainty=float(squares.doubts[k]),
                standardized=float(standardized[k]),
                leverage=float(leverage[k]),
            )
            for k, observation in enumerate(squares.plan.observations)
        ),
        chi_square=cost,
        dof=dof,
        consistent=None if dof == 0 else cost <= critical_value(dof),
        broken_bounds=_broken(bounds, squares.plan.wiring, parameters),
        unexplained=loose,
        free=free,
        corners=corners_of(squares, vector, cost, covariance),
    )


def _broken(bounds: Sequence[Observation], wiring: Wiring, parameters: NetworkParameters) -> tuple[str, ...]:
    if not bounds:
        return ()
    predicted = plan(bounds, wiring).predict(parameters)
    broken = []
    for observation, value in zip(bounds, predicted.tolist(), strict=True):
        doubt = 2.0 * observation.standard_uncertainty
        below = observation.bound is Bound.ABOVE and value < observation.value - doubt
        above = observation.bound is Bound.BELOW and value > observation.value + doubt
        if below or above:
            broken.append(observation.id)
    return tuple(broken)


def squares_of(
    observations: Sequence[Observation], wiring: Wiring, start: FitResult | None = None
) -> tuple[Squares, Array | None, tuple[str, ...]]:
    """The sum of squares of the readings with a value, where to begin, and the ids of those that no path explains.

    Raises
    ------
    NothingToFitError
        If no reading has a value that the network predicts.
    """
    valued = [observation for observation in observations if observation.bound is Bound.NONE]
    if not valued:
        raise NothingToFitError(readings=str(len(observations)))
    squares = _squares(valued, wiring)
    vector = None if start is None or start.names != squares.free.names else squares.inside(start.estimates)
    rows, _ = squares.at(squares.free.first_guess if vector is None else vector)
    reachable = np.isfinite(rows[: len(valued)])
    if reachable.all():
        return squares, vector, ()
    kept = [observation for observation, finite in zip(valued, reachable, strict=True) if finite]
    loose = tuple(observation.id for observation, finite in zip(valued, reachable, strict=True) if not finite)
    if not kept:
        raise NothingToFitError(readings=str(len(observations)))
    return _squares(kept, wiring), vector, loose


def _squares(observations: Sequence[Observation], wiring: Wiring) -> Squares:
    values = np.array([observation.value for observation in observations])
    doubts = np.array([observation.standard_uncertainty for observation in observations])
    return Squares(plan(observations, wiring), space(observations, wiring), values, doubts)


def _fit_as_stated(observations: Sequence[Observation], wiring: Wiring, start: FitResult | None) -> FitResult:
    squares, vector, loose = squares_of(observations, wiring, start)
    bounds = [observation for observation in observations if observation.bound is not Bound.NONE]
    limit = critical_value(max(1, len(squares.values) + len(squares.free.priors) - len(squares.free.names)))
    vector, cost = _best(squares, vector, limit)
    if any(observation.load_relative_uncertainty for observation in squares.plan.observations):
        doubt = squares.plan.load_doubt(squares.free.parameters(vector))
        squares = replace(squares, doubts=np.hypot(squares.doubts, doubt), _last={})
        vector, cost = squares.minimum(vector)
    return _result(squares, vector, cost, bounds, loose)


def taken_as(observations: Sequence[Observation], plug: PlugPosition) -> tuple[Observation, ...]:
    """The readings with every unknown plug position taken one way."""
    return tuple(
        replace(observation, state=replace(observation.state, plug=plug))
        if observation.state.plug is PlugPosition.UNKNOWN
        else observation
        for observation in observations
    )


def fit(observations: Sequence[Observation], wiring: Wiring, start: FitResult | None = None) -> FitResult:
    """The network that agrees best with all readings.

    Parameters
    ----------
    observations : sequence of Observation
        Values and bounds, of any states.
    wiring : Wiring
        Supply kind, switched poles, line and earth resistances, rating and material of the element.
    start : FitResult, optional
        The last fit: the search begins there, and elsewhere only if that does not explain the readings.

    Returns
    -------
    FitResult
        Estimates, covariance, agreement. Where a plug position is not known, the better of both ways round,
        with the other as `alternative`.

    Raises
    ------
    NothingToFitError
        If no reading has a value that the network predicts.
    ObservationNotPredictableError
        If a reading contradicts its own state.
    SupplyNotSolvedError, StateNotPossibleError, WiringIncompleteError
        As for `unit_netlist`.
    """
    if all(observation.state.plug is not PlugPosition.UNKNOWN for observation in observations):
        return _fit_as_stated(observations, wiring, start)
    both = []
    for plug in (PlugPosition.STRAIGHT, PlugPosition.REVERSED):
        last = start
        if start is not None and start.plug is not plug:
            last = start.alternative
        both.append(replace(_fit_as_stated(taken_as(observations, plug), wiring, last), plug=plug))
    better, other = sorted(both, key=lambda result: result.chi_square)
    return replace(better, alternative=other)

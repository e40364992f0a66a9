"""The weighted squares of readings and priors, their derivatives, and the region that the bounds leave.

Readings of one instrument share their proportional error: the squares are those of the full covariance of the readings,
u² on the diagonal and the product of the shared parts beside it. Bounds never count among the squares.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from hazardreport.case.wiring import Wiring
from hazardreport.circuit.free_parameters import Hypothesis, Space, space
from hazardreport.circuit.observations import Observation, Plan, plan
from hazardreport.errors import NothingToFitError
from hazardreport.quantity.typed import Bound

Array = NDArray[np.float64]

LEAST_OWN_SHARE = 1e-3
"""Of a reading's variance that is never shared with other readings, so that their covariance has an inverse. [1]"""
STEEPNESS = 1e3
"""Of the fence, per relative violation of a bound, in standard deviations. [1]"""
ROOM = 1e-3
"""Relative violation of a bound that is still none. [1]"""
REMEMBERED = 4


@dataclass(frozen=True, slots=True)
class Whitening:
    """What makes residuals of readings independent and of unit deviation.

    The covariance of readings is D^½·(1 + Σ v·vᵀ)·D^½, with D the part of each variance that a reading has alone and
    one v for each gain. Its inverse root is (1 − Σ c·v·vᵀ)·D^-½ with c = (1 − 1/√(1 + v²))/v².

    own     1/√D, shape (readings,) [1/unit]
    shared  v of each gain, shape (gains, readings); weight: c, shape (gains,)
    """

    own: Array
    shared: Array
    weight: Array

    def __call__(self, residuals: Array) -> Array:
        """Whitened residuals, shape (..., readings)."""
        alone = residuals * self.own
        if not len(self.weight):
            return alone
        return np.asarray(alone - (alone @ self.shared.T * self.weight) @ self.shared)

    def matrix(self) -> Array:
        """The same as a matrix that stands before a column of residuals, (readings, readings)."""
        return self(np.eye(len(self.own))).T


def whitening(observations: Sequence[Observation], doubts: Array) -> Whitening:
    """The whitening of readings with these standard uncertainties [V], [A] or [ohm], their gains shared."""
    gains = np.array([observation.gain_uncertainty for observation in observations])
    gains = np.minimum(gains, math.sqrt(1.0 - LEAST_OWN_SHARE) * doubts)
    names = [observation.gain if gain else "" for observation, gain in zip(observations, gains.tolist(), strict=True)]
    groups = [name for name in dict.fromkeys(names) if name and names.count(name) > 1]
    if not groups:
        return Whitening(1.0 / doubts, np.zeros((0, len(doubts))), np.zeros(0))
    member = np.array([[name == group for name in names] for group in groups])
    own = 1.0 / np.sqrt(doubts**2 - np.where(member.any(axis=0), gains, 0.0) ** 2)
    shared = np.where(member, gains * own, 0.0)
    squared = np.sum(shared**2, axis=1)
    return Whitening(own, shared, (1.0 - 1.0 / np.sqrt(1.0 + squared)) / squared)


def edges(bounds: Sequence[Observation]) -> Array:
    """Where each bound ends, its own doubt (2 u) given to the fit: [V], [A] or [ohm]."""
    return np.array(
        [
            bound.value - 2.0 * bound.standard_uncertainty
            if bound.bound is Bound.ABOVE
            else bound.value + 2.0 * bound.standard_uncertainty
            for bound in bounds
        ]
    )


def says_something(bound: Observation) -> bool:
    """Whether a bound leaves anything out; no reading is below zero."""
    return bound.bound is Bound.BELOW or (bound.bound is Bound.ABOVE and float(edges((bound,))[0]) > 0.0)


@dataclass(frozen=True, slots=True)
class Point:
    """Squares at one vector.

    predicted   of the readings with a value
    sensitivity derivatives of the predictions, (readings, n)
    rows        (reading or prior − prediction) / u, whitened; then the fence
    slopes      derivatives of the rows, (rows, n)
    count       of the rows that are squares, without the fence
    """

    vector: Array
    predicted: Array
    sensitivity: Array
    rows: Array
    slopes: Array
    count: int

    @property
    def cost(self) -> float:
        """Chi-square: the sum of squares without the fence."""
        own = self.rows[: self.count]
        return float(own @ own)

    @property
    def height(self) -> float:
        """The sum of squares with the fence: what a search makes least."""
        return float(self.rows @ self.rows)

    def moved(self, step: Array) -> "Point":
        """The point after a step so small that derivatives tell what it does."""
        return Point(
            self.vector + step,
            self.predicted + self.sensitivity @ step,
            self.sensitivity,
            self.rows + self.slopes @ step,
            self.slopes,
            self.count,
        )


def _slopes(up: Array, down: Array, centre: Array, distance: Array) -> Array:
    """Derivatives, (rows, parameters), by central differences; by one side where the other leaves every path open."""
    whole, half = (up - down).T / distance, 2.0 / distance
    one_sided = np.where(np.isfinite(up), up - centre, centre - down).T * half
    return np.where(np.isfinite(whole), whole, np.where(np.isfinite(one_sided), one_sided, 0.0))


@dataclass(frozen=True, slots=True, eq=False)
class Squares:
    """Readings, bounds and priors as functions of the free parameters, for vectors of any batch shape.

    plan     of the readings with a value, then of the bounds
    values   of the readings
    doubts   their standard uncertainties
    whiten   see `whitening`
    bounds   a bound is a reading of the plan behind the values; fenced: they keep the search out
    """

    plan: Plan
    free: Space
    values: Array
    doubts: Array
    whiten: Whitening
    edges: Array
    above: NDArray[np.bool_]
    fenced: bool = False
    _last: dict[bytes, Point] = field(default_factory=dict, repr=False)

    @property
    def readings(self) -> tuple[Observation, ...]:
        """Those with a value."""
        return self.plan.observations[: len(self.values)]

    @property
    def bounds(self) -> tuple[Observation, ...]:
        """The bounds."""
        return self.plan.observations[len(self.values) :]

    def predicted(self, vectors: Array) -> Array:
        """Predicted readings, then what each bound is one of, (..., readings + bounds)."""
        return self.plan.predict(self.free.parameters(vectors))

    def violations(self, predicted: Array) -> Array:
        """How far beyond each bound, as a share of it, zero inside; (..., bounds). [1]"""
        found = predicted[..., len(self.values) :]
        with np.errstate(invalid="ignore", divide="ignore"):
            over = np.where(self.above, 1.0 - found / self.edges, 1.0 - self.edges / found)
        return np.where(self.above & np.isinf(found), 0.0, np.clip(np.nan_to_num(over, nan=0.0), 0.0, 1.0))

    def rows(self, vectors: Array, predicted: Array) -> Array:
        """Whitened residuals of readings, then of priors, then the fence, (..., rows). [1]"""
        rows = [self.whiten(self.values - predicted[..., : len(self.values)])]
        rows += [
            ((prior.estimate - vectors[..., prior.number]) / prior.standard_uncertainty)[..., None]
            for prior in self.free.priors
        ]
        if self.fenced:
            rows.append(STEEPNESS * self.violations(predicted))
        return np.concatenate(rows, axis=-1)

    def costs(self, vectors: Array) -> Array:
        """Sums of squares, infinite outside the bounds' region where it is fenced, (...)."""
        predicted = self.predicted(vectors)
        with np.errstate(invalid="ignore"):
            costs = np.sum(self.rows(vectors, predicted)[..., : self.count] ** 2, axis=-1)
        if self.fenced:
            costs = np.where((self.violations(predicted) > ROOM).any(axis=-1), np.inf, costs)
        return np.asarray(np.where(np.isnan(costs), np.inf, costs))

    def heights(self, vectors: Array) -> Array:
        """Sums of squares with the fence, (...)."""
        with np.errstate(invalid="ignore"):
            heights = np.sum(self.rows(vectors, self.predicted(vectors)) ** 2, axis=-1)
        return np.asarray(np.where(np.isnan(heights), np.inf, heights))

    @property
    def count(self) -> int:
        """Readings with a value and priors."""
        return len(self.values) + len(self.free.priors)

    def at(self, vector: Array) -> Point:
        """Predictions and derivatives by central differences at one vector, in one batched call."""
        key = vector.tobytes()
        if key not in self._last:
            points, distance = self.free.displaced(vector)
            predicted = self.predicted(points)
            size, values = len(vector), len(self.values)
            with np.errstate(invalid="ignore"):
                rows = self.rows(points, predicted)
                slopes = _slopes(rows[:size], rows[size:-1], rows[-1], distance)
                sensitivity = _slopes(
                    predicted[:size, :values], predicted[size:-1, :values], predicted[-1, :values], distance
                )
            if len(self._last) >= REMEMBERED:
                self._last.clear()
            self._last[key] = Point(vector, predicted[-1, :values], sensitivity, rows[-1], slopes, self.count)
        return self._last[key]

    def with_load_doubt(self, vector: Array) -> "Squares":
        """The squares with the doubt of the loads, as it acts at a vector, in the doubt of each reading."""
        load = self.plan.load_doubt(self.free.parameters(vector))[: len(self.values)]
        return self.weighted(np.hypot(self.doubts, load))

    def weighted(self, doubts: Array) -> "Squares":
        """The squares with other standard uncertainties."""
        return replace(self, doubts=doubts, whiten=whitening(self.readings, doubts), _last={})

    def fence(self, bounds: Sequence[Observation]) -> "Squares":
        """The squares with the search kept inside some of the bounds."""
        return _squares([*self.readings, *bounds], self.plan, self.free, self.doubts, fenced=bool(bounds))

    def held(self, number: int, value: float) -> "Squares":
        """The squares with one parameter at a value."""
        return replace(self, free=self.free.without(number, value), _last={})


def _squares(
    observations: Sequence[Observation], old: Plan, free: Space, doubts: Array | None = None, *, fenced: bool = False
) -> Squares:
    valued = [observation for observation in observations if observation.bound is Bound.NONE]
    bounds = [observation for observation in observations if says_something(observation)]
    ordered = (*valued, *bounds)
    if doubts is None:
        doubts = np.array([observation.standard_uncertainty for observation in valued])
    return Squares(
        plan=old if ordered == old.observations else plan(ordered, old.wiring),
        free=free,
        values=np.array([observation.value for observation in valued]),
        doubts=doubts,
        whiten=whitening(valued, doubts),
        edges=edges(bounds),
        above=np.array([bound.bound is Bound.ABOVE for bound in bounds], dtype=bool),
        fenced=fenced,
    )


def squares_of(
    observations: Sequence[Observation], wiring: Wiring, hypothesis: Hypothesis, start: Array | None = None
) -> tuple[Squares, tuple[str, ...]]:
    """The squares [1] of the readings that some path explains, and the ids of the others.

    Raises
    ------
    NothingToFitError
        If no reading has a value that the network predicts.
    """
    valued = [observation for observation in observations if observation.bound is Bound.NONE]
    if not valued:
        raise NothingToFitError(readings=str(len(observations)))
    bounds = [observation for observation in observations if says_something(observation)]
    free = space(valued, wiring, hypothesis)
    first = plan((*valued, *bounds), wiring)
    squares = _squares(first.observations, first, free)
    tried = free.first_guess if start is None or len(start) != len(free.names) else start
    reachable = np.isfinite(squares.at(np.clip(tried, free.lower, free.upper)).predicted)
    if reachable.all():
        return squares, ()
    kept = [observation for observation, finite in zip(valued, reachable, strict=True) if finite]
    loose = tuple(observation.id for observation, finite in zip(valued, reachable, strict=True) if not finite)
    if not kept:
        raise NothingToFitError(readings=str(len(observations)))
    return _squares([*kept, *bounds], first, free), loose


def covariance_of(jacobian: Array, free: Space, vector: Array) -> tuple[Array, Array]:
    """Covariance of the parameters, shape (n, n), and share of each row in its own prediction,
    shape (rows,). [V], [ohm], [1]

    The physical range of each parameter enters as a rectangular prior, which only speaks where the rows are silent:
    its mean square distance from the middle, and from an end for an estimate that lies there.
    """
    size = jacobian.shape[1]
    at_end = (vector <= free.lower) | (vector >= free.upper)
    weight = np.sqrt(np.where(at_end, 3.0, 12.0)) / (free.upper - free.lower)
    stacked = np.concatenate([jacobian, np.diag(weight)])
    norms = np.linalg.norm(stacked, axis=0)
    triangle = np.linalg.qr(stacked / norms, mode="r")
    inverse = np.linalg.solve(triangle, np.eye(size)) / norms[:, None]
    leverage = np.sum((jacobian @ inverse) ** 2, axis=1)
    return inverse @ inverse.T, np.minimum(leverage, 1.0)

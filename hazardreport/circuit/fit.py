"""The network fitted to all readings with a value, by weighted least squares inside the physical ranges.

Bounds never enter the squares: they keep the fit inside the region that they leave, unless the values contradict them;
such a bound is named, and the fit stands without it. With the plug's position unknown both ways round are fitted and
both are returned.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.special import chdtri

from hazardreport.case.reading import PlugPosition
from hazardreport.case.wiring import Wiring
from hazardreport.circuit.free_parameters import (
    RESISTIVE,
    Hypothesis,
    Space,
    sides_of_break,
)
from hazardreport.circuit.observations import Observation
from hazardreport.circuit.region import (
    CONTRADICTED,
    NORMAL_95,
    corners_of,
    inside_bounds,
    left_by_bounds,
    without_conduction,
)
from hazardreport.circuit.search import best, minimum
from hazardreport.circuit.squares import Point, Squares, covariance_of, squares_of
from hazardreport.circuit.unit_network import NetworkParameters

Array = NDArray[np.float64]

LEVEL = 0.05
TIE = 1e-6
"""Relative difference of chi-square below which neither way round is better: the one taken last stays. [1]"""
PUSHED = 0.01
"""Slope of the sum of squares at an edge, in standard deviations of the parameter, from which the edge holds it. [1]"""


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
    intervals         per parameter: 95 %, inside the physical range; the whole range where not determined, less what
                      the bounds rule out
    at_bound          per parameter: the estimate lies on the edge of its range; ask `profiles` for its interval
    residuals         per reading
    chi_square, dof   agreement; readings and priors less parameters that they fix; one that an edge holds is
                      not counted where there is a degree of freedom in any case, or disagreement above the 95 % point
                      of one
    consistent        below the 95 % point; None without a degree of freedom
    broken_bounds     ids of bound readings that the values contradict
    unexplained       ids of readings between points that the assumed network does not join
    free              the space of the fit, for derivatives and predictions
    plug              how an unknown plug position was taken here, None if none was unknown
    corners           points at the edge of the 95 % region along the independent directions, in range, (2n, n)
    alternative       the fit with the unknown plug positions the other way round
    hypothesis        what was assumed
    squares           what was made least, at the doubts that it ended with
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
    hypothesis: Hypothesis = RESISTIVE
    squares: Squares = field(repr=False)

    def is_determined(self, name: str) -> bool:
        """Whether the readings fix a parameter; one that was not free is known."""
        return name not in self.names or self.determined[self.names.index(name)]


def critical_value(dof: int) -> float:
    """The 95 % point of chi-square. [1]"""
    return float(chdtri(dof, LEVEL)) if dof > 0 else 0.0


def _held_at_edge(point: Point, free: Space, deviation: Array) -> NDArray[np.bool_]:
    """Parameters that the readings fix, and would take over the edge of their range."""
    push = np.where(2.0 * NORMAL_95 * deviation < free.upper - free.lower, deviation, 0.0)
    push = push * (point.slopes.T @ point.rows)
    return ((point.vector <= free.lower) & (push > PUSHED)) | ((point.vector >= free.upper) & (push < -PUSHED))


def _result(
    squares: Squares, point: Point, hypothesis: Hypothesis, broken: tuple[str, ...], loose: tuple[str, ...]
) -> FitResult:
    free, vector, count = squares.free, point.vector, squares.count
    covariance, _ = covariance_of(point.slopes[:count], free, vector)
    half = NORMAL_95 * np.sqrt(np.diag(covariance))
    determined = 2.0 * half < free.upper - free.lower
    intervals = [
        (max(float(vector[k] - half[k]), float(free.lower[k])), min(float(vector[k] + half[k]), float(free.upper[k])))
        if determined[k]
        else left_by_bounds(squares, vector, k)
        for k in range(len(vector))
    ]
    plain: dict[str, Any] = {name: float(vector[k]) for k, name in enumerate(free.names)}
    residuals, fixed = _residuals(squares, point, _held_at_edge(point, free, half / NORMAL_95))
    dof = max(0, count - fixed)
    if point.cost > critical_value(1):
        dof = max(dof, 1)
    return FitResult(
        parameters=replace(free.parameters(vector), **plain),
        names=free.names,
        estimates=vector,
        covariance=covariance,
        determined=tuple(determined.tolist()),
        intervals=tuple(intervals),
        at_bound=tuple(bool(flag) for flag in (vector <= free.lower) | (vector >= free.upper)),
        residuals=residuals,
        chi_square=point.cost,
        dof=dof,
        consistent=None if dof == 0 else point.cost <= critical_value(dof),
        broken_bounds=broken,
        unexplained=loose,
        free=free,
        corners=corners_of(squares, point, covariance),
        hypothesis=hypothesis,
        squares=squares,
    )


def _residuals(squares: Squares, point: Point, held: NDArray[np.bool_]) -> tuple[tuple[FittedReading, ...], int]:
    """Each reading beside its prediction; and how many parameters readings and priors fix."""
    slopes, sensitivity = point.slopes[: squares.count], point.sensitivity
    covariance, shares = covariance_of(slopes, squares.free, point.vector)
    spare = round(float(shares.sum())) < squares.count or point.cost > critical_value(1)
    if held.any() and not held.all() and spare:
        kept = ~held
        free = replace(squares.free, lower=squares.free.lower[kept], upper=squares.free.upper[kept])
        covariance, shares = covariance_of(slopes[:, kept], free, point.vector[kept])
        sensitivity = sensitivity[:, kept]
    leverage = np.minimum(np.sum((sensitivity @ covariance) * sensitivity, axis=1) / squares.doubts**2, 1.0)
    slack = 1.0 - leverage
    off = (squares.values - point.predicted) / squares.doubts
    standardized = np.where(slack > 1e-6, off / np.sqrt(np.maximum(slack, 1e-12)), 0.0)
    found = tuple(
        FittedReading(
            id=observation.id,
            value=observation.value,
            predicted=float(point.predicted[k]),
            standard_uncertainty=float(squares.doubts[k]),
            standardized=float(standardized[k]),
            leverage=float(leverage[k]),
        )
        for k, observation in enumerate(squares.readings)
    )
    return found, round(float(shares.sum()))


def _fit_as_stated(
    observations: Sequence[Observation],
    wiring: Wiring,
    start: FitResult | None,
    hypothesis: Hypothesis,
    thorough: bool,
) -> FitResult:
    """The fit with every plug position known; of both sides of a known break the better one."""
    sides = [
        _fit_side(observations, wiring, start, hypothesis, side, thorough)
        for side in sides_of_break(wiring, hypothesis)
    ]
    return min(sides, key=lambda result: _disagreement(result, observations))


def _disagreement(result: FitResult, observations: Sequence[Observation]) -> float:
    """Chi-square, with what the fit leaves without a path and the bounds that it breaks. [1]"""
    apart = sum(off**2 for off in without_a_path(result, observations).values())
    return result.chi_square + apart + CONTRADICTED * len(result.broken_bounds)


def without_a_path(result: FitResult, observations: Sequence[Observation]) -> dict[str, float]:
    """Standardized residual of each finite reading between points that the network does not join, by id. [1]

    Such a reading counts as a conductance: zero against 1/R.
    """
    return {
        observation.id: observation.value / observation.standard_uncertainty
        for observation in observations
        if observation.id in result.unexplained
    }


def _fit_side(
    observations: Sequence[Observation],
    wiring: Wiring,
    start: FitResult | None,
    hypothesis: Hypothesis,
    side: Hypothesis,
    thorough: bool,
) -> FitResult:
    begin = None if start is None or start.hypothesis != hypothesis else start.estimates
    squares, loose = squares_of(observations, wiring, side, begin)
    if begin is not None and start is not None and start.names != squares.free.names:
        begin = None
    limit = critical_value(max(1, squares.count - len(squares.free.names)))
    point = best(squares, begin, limit, thorough=thorough)
    squares, point = without_conduction(squares, point)
    if any(observation.load_relative_uncertainty for observation in squares.readings):
        squares = squares.with_load_doubt(point.vector)
        point = minimum(squares, point.vector)
    squares, point, broken = inside_bounds(squares, point)
    return _result(squares, point, hypothesis, broken, loose)


def taken_as(observations: Sequence[Observation], plug: PlugPosition) -> tuple[Observation, ...]:
    """The readings with every unknown plug position taken one way."""
    return tuple(
        replace(observation, state=replace(observation.state, plug=plug))
        if observation.state.plug is PlugPosition.UNKNOWN
        else observation
        for observation in observations
    )


def fit(
    observations: Sequence[Observation],
    wiring: Wiring,
    start: FitResult | None = None,
    hypothesis: Hypothesis = RESISTIVE,
    *,
    thorough: bool = True,
) -> FitResult:
    """The network that agrees best with all readings.

    Parameters
    ----------
    observations : sequence of Observation
        Values and bounds, of any states.
    wiring : Wiring
        Supply kind, switched poles, line and earth resistances, rating and material of the element.
    start : FitResult, optional
        The last fit: the search begins there, and elsewhere only if that does not explain the readings.
    hypothesis : Hypothesis
        What is free: by default a fault through a resistance at an unknown place.
    thorough : bool
        Search elsewhere too where the start leads to nothing that explains the readings.

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
        return _fit_as_stated(observations, wiring, start, hypothesis, thorough)
    both = []
    for plug in (PlugPosition.STRAIGHT, PlugPosition.REVERSED):
        last = start
        if start is not None and start.plug is not plug:
            last = start.alternative
        found = _fit_as_stated(taken_as(observations, plug), wiring, last, hypothesis, thorough)
        both.append(replace(found, plug=plug))
    if start is not None and start.plug is PlugPosition.REVERSED:
        both.reverse()
    first, second = both
    kept, other = _disagreement(first, observations), _disagreement(second, observations)
    if other < kept - TIE * (1.0 + kept):
        first, second = second, first
    return replace(first, alternative=second)

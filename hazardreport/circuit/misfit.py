"""Readings that do not fit: which one, left out alone, makes the rest agree; and intervals by profile.

This is settled work: each answer costs several fits.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import chdtri

from hazardreport.case.wiring import Wiring
from hazardreport.circuit.fit import FitResult, fit, taken_as
from hazardreport.circuit.free_parameters import expected
from hazardreport.circuit.observations import Observation, predicted_reading
from hazardreport.circuit.region import NORMAL_95
from hazardreport.circuit.search import minimum, starts
from hazardreport.circuit.squares import Squares, covariance_of
from hazardreport.errors import NothingToFitError

Array = NDArray[np.float64]

STRAIGHT_ENOUGH = (0.5, 2.0)
"""Rise of the sum of squares at the ends of a 95 % interval, over what a covariance says, that still counts as straight
(choice). [1]"""
OUT_OF_THE_QUESTION = 2.0 * math.log(100.0)
"""Difference of sums of squares at which one explanation is a hundred times as likely as another (choice). [1]"""
FEW = 2
"""Degrees of freedom up to which more than one reading may well explain a misfit. [1]"""
MOST_STEPS = 30
CLOSE_ENOUGH = 1e-3
"""Of the rise that ends an interval, to which its end is searched. [1]"""


@dataclass(frozen=True, kw_only=True, slots=True)
class Suspect:
    """A reading that, left out alone, leaves the rest consistent; `expected` is what the rest predict for it."""

    id: str
    value: float
    expected: float


def deletion_drops(fitted: FitResult) -> dict[str, float]:
    """How much of chi-square would go with each reading left out alone, to first order, by id. [1]

    Notes
    -----
    For independent readings it is the square of the standardized residual; readings that share a gain are held
    against each other by their full covariance.
    """
    squares = fitted.squares
    point = squares.at(fitted.estimates)
    count = len(squares.values)
    rows, slopes = point.rows[: squares.count], point.slopes[: squares.count]
    covariance, _ = covariance_of(slopes, fitted.free, fitted.estimates)
    left = np.eye(squares.count) - slopes @ covariance @ slopes.T
    whiten = squares.whiten.matrix()
    pull = whiten.T @ (left @ rows)[:count]
    spread = np.einsum("ij,jk,ki->i", whiten.T, left[:count, :count], whiten)
    unit = 1.0 / squares.doubts**2
    drops = np.where(spread > 1e-9 * unit, pull**2 / np.maximum(spread, 1e-12 * unit), 0.0)
    return {observation.id: float(drop) for observation, drop in zip(squares.readings, drops, strict=True)}


def suspects(observations: Sequence[Observation], wiring: Wiring, fitted: FitResult) -> tuple[Suspect, ...]:
    """Readings any one of which may be wrong, the one that disagrees most first.

    Parameters
    ----------
    observations, wiring
        As given to `fit`.
    fitted : FitResult
        Their fit.

    Returns
    -------
    tuple of Suspect
        None if all agree, or if no single reading mends the rest. One: that reading is named. Several: it is one of
        these, and nobody can say which; with a single degree of freedom a lone one is no name either, since the rest
        then has nothing left to disagree.

    Notes
    -----
    A reading is out of the question where blaming another is a hundred times as likely (choice), by the sum of squares
    of the rest together with what nominal voltage and rating say of supply and element.
    """
    if fitted.consistent is not False:
        return ()
    drops = deletion_drops(fitted)
    known = tuple(observations) if fitted.plug is None else taken_as(observations, fitted.plug)
    valued = [observation for observation in known if observation.id in drops]
    blamed: list[tuple[float, Suspect]] = []
    mended: FitResult | None = None
    for observation in sorted(valued, key=lambda one: -drops[one.id]):
        rest = _without(observation, known, wiring, fitted, mended)
        if rest is None or rest.consistent is False:
            continue
        mended = mended or rest
        value = float(predicted_reading(observation, wiring, rest.parameters))
        suspect = Suspect(id=observation.id, value=observation.value, expected=value)
        blamed.append((rest.chi_square + _unusual(rest, wiring), suspect))
    if fitted.dof <= 1:
        return tuple(suspect for _, suspect in blamed) if len(blamed) > 1 else ()
    least = min((misfit for misfit, _ in blamed), default=0.0)
    return tuple(suspect for misfit, suspect in blamed if misfit <= least + OUT_OF_THE_QUESTION)


def _without(
    observation: Observation,
    known: Sequence[Observation],
    wiring: Wiring,
    fitted: FitResult,
    mended: FitResult | None,
) -> FitResult | None:
    """The fit without one reading, from the fit of all; None if nothing is left to fit.

    Everywhere is searched until some reading is found to blame. Then the fit that mended the rest is the other start,
    and everywhere is searched only where so little is left to disagree that quite another unit may fit it.
    """
    others = [other for other in known if other.id != observation.id]
    try:
        rest = fit(others, wiring, fitted, fitted.hypothesis, thorough=mended is None)
        if rest.consistent is False and mended is not None:
            rest = fit(others, wiring, mended, fitted.hypothesis, thorough=False)
            if rest.consistent is False and rest.dof <= FEW:
                rest = fit(others, wiring, mended, fitted.hypothesis)
    except NothingToFitError:
        return None
    return rest


def _unusual(rest: FitResult, wiring: Wiring) -> float:
    """Squares of supply and element against nominal voltage and rating, as far as the fit did not count them. [1]"""
    counted = {rest.names[prior.number] for prior in rest.free.priors}
    return sum(
        ((float(rest.estimates[rest.names.index(name)]) - estimate) / doubt) ** 2
        for name, (estimate, doubt) in expected(wiring).items()
        if name in rest.names and name not in counted
    )


def profile(fitted: FitResult, name: str, level: float = 0.95) -> tuple[float | None, float | None]:
    """Interval of one parameter by the sum of squares with all others refitted.

    Parameters
    ----------
    fitted : FitResult
        From `fit`; bounds that it respects limit the interval too.
    name : str
        A free parameter.
    level : float
        [1]

    Returns
    -------
    (float or None, float or None)
        Ends, in the parameter's unit; None where the readings set no end before the physical range ends.

    Notes
    -----
    For estimates at a physical bound, where a covariance says nothing, and where the problem is not linear.
    """
    number = fitted.names.index(name)
    rise = float(chdtri(1, 1.0 - level))
    best, deviation = float(fitted.estimates[number]), math.sqrt(fitted.covariance[number, number])
    limit = _Held(fitted.squares, fitted.estimates, number).least(best) + rise
    low, high = (
        _end(_Held(fitted.squares, fitted.estimates, number).least, limit, rise, best, float(edge), deviation)
        for edge in (fitted.free.lower[number], fitted.free.upper[number])
    )
    return low, high


class _Held:
    """Least sums of squares with one parameter held, each search beginning where the last one ended, the first on the
    coarse grid too."""

    def __init__(self, squares: Squares, estimates: Array, number: int) -> None:
        self._squares, self._number = squares, number
        self._own = [prior for prior in squares.free.priors if prior.number == number]
        self._start = np.delete(estimates, number)
        self._first = True

    def least(self, value: float) -> float:
        """Least sum of squares, the fence and the parameter's own prior included."""
        squares = self._squares.held(self._number, value)
        own = sum(((prior.estimate - value) / prior.standard_uncertainty) ** 2 for prior in self._own)
        if not squares.free.names:
            return float(squares.heights(np.zeros(0))) + own
        points = [minimum(squares, self._start)]
        if self._first:
            self._first = False
            points += [minimum(squares, start) for start in starts(squares)]
        best = min(points, key=lambda point: point.height)
        self._start = best.vector
        return best.height + own


def _end(
    least: Callable[[float], float], limit: float, rise: float, best: float, edge: float, deviation: float
) -> float | None:
    """Where the least sum of squares reaches the limit between estimate and edge; None if it does not.

    By steps that grow threefold, then by the Illinois rule on the square root of the rise, which is nearly straight.
    """
    if best == edge or least(edge) <= limit:
        return None

    def excess(value: float) -> float:
        return math.sqrt(max(least(value) - limit + rise, 0.0)) - math.sqrt(rise)

    inner, below = best, -math.sqrt(rise)
    distance = abs(edge - best)
    step = min(max(NORMAL_95 * deviation, 1e-6 * distance), distance)
    while True:
        outer = best + math.copysign(min(step, distance), edge - best)
        above = excess(outer)
        if above > 0.0 or step >= distance:
            break
        inner, below, step = outer, above, 3.0 * step
    for _ in range(MOST_STEPS):
        middle = inner + (outer - inner) * below / (below - above)
        value = excess(middle)
        if abs(value) <= CLOSE_ENOUGH * math.sqrt(rise) or abs(outer - inner) <= 1e-12 * max(1.0, abs(best)):
            return middle
        if value > 0.0:
            outer, above, below = middle, value, below / 2.0
        else:
            inner, below, above = middle, value, above / 2.0
    return 0.5 * (inner + outer)


def bent(fitted: FitResult) -> tuple[bool, ...]:
    """Per parameter: whether a covariance tells too little of it.

    Its interval reaches an edge, or the readings leave it open, or at the ends of its 95 % interval the sum of squares
    has risen less than half as much, or more than twice as much, as for a straight problem.
    """
    free, squares = fitted.free, fitted.squares
    deviation = np.sqrt(np.diag(fitted.covariance))
    along = NORMAL_95 * (fitted.covariance / deviation).T
    ends = np.concatenate([fitted.estimates + along, fitted.estimates - along])
    size = len(fitted.names)
    own = np.tile(np.arange(size), 2)
    reached = ends[np.arange(2 * size), own]
    inside = (reached >= free.lower[own]) & (reached <= free.upper[own])
    rises = squares.costs(np.where(free.hard, np.maximum(ends, free.lower), ends)) - fitted.chi_square
    straight = inside & (rises > STRAIGHT_ENOUGH[0] * NORMAL_95**2) & (rises < STRAIGHT_ENOUGH[1] * NORMAL_95**2)
    both = straight[:size] & straight[size:]
    return tuple(
        bool(edge or not determined or not good)
        for edge, determined, good in zip(fitted.at_bound, fitted.determined, both.tolist(), strict=True)
    )


def profiles(fitted: FitResult) -> tuple[tuple[str, float | None, float | None], ...]:
    """95 % intervals by profile of the parameters of which a covariance tells too little. [V], [ohm], [1]

    Parameters
    ----------
    fitted : FitResult
        From `fit`.

    Returns
    -------
    tuple of (name, low, high)
        As `profile` gives them; both None where the readings leave the parameter open over its physical range. None
        at all of a fit that the readings contradict: its sum of squares says nothing of a parameter.
    """
    if fitted.consistent is False:
        return ()
    pairs = zip(fitted.names, bent(fitted), strict=True)
    return tuple((name, *profile(fitted, name)) for name, curved in pairs if curved)

"""Readings that do not fit: which one, left out alone, makes the rest agree; and intervals by profile.

This is settled work: each answer costs several fits.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq
from scipy.special import chdtri

from hazardreport.case.wiring import Wiring
from hazardreport.circuit.fit import Array, FitResult, fit, taken_as
from hazardreport.circuit.observations import Observation, predicted_reading
from hazardreport.circuit.search import minimum
from hazardreport.circuit.squares import Squares
from hazardreport.errors import NothingToFitError
from hazardreport.quantity.typed import Bound


@dataclass(frozen=True, kw_only=True, slots=True)
class Suspect:
    """A reading that, left out alone, leaves the rest consistent; `expected` is what the rest predict for it."""

    id: str
    value: float
    expected: float


def suspects(observations: Sequence[Observation], wiring: Wiring, fitted: FitResult) -> tuple[Suspect, ...]:
    """Readings any one of which may be wrong.

    Parameters
    ----------
    observations, wiring
        As given to `fit`.
    fitted : FitResult
        Their fit.

    Returns
    -------
    tuple of Suspect
        None if all agree. One: that reading is named. Several: it is one of these, and nobody can say which; with a
        single degree of freedom that is always so, since any reading left out leaves nothing to disagree.
    """
    if fitted.consistent is not False:
        return ()
    found = []
    known = tuple(observations) if fitted.plug is None else taken_as(observations, fitted.plug)
    for observation in known:
        if observation.bound is not Bound.NONE or observation.id in fitted.unexplained:
            continue
        others = [other for other in known if other.id != observation.id]
        try:
            rest = fit(others, wiring, fitted)
        except NothingToFitError:
            continue
        if rest.consistent is not False or fitted.dof <= 1:
            expected = float(predicted_reading(observation, wiring, rest.parameters))
            found.append(Suspect(id=observation.id, value=observation.value, expected=expected))
    return tuple(found)


def profile(
    observations: Sequence[Observation], wiring: Wiring, fitted: FitResult, name: str, level: float = 0.95
) -> tuple[float, float]:
    """Interval of one parameter by the sum of squares with all others refitted, inside its physical range.

    Parameters
    ----------
    observations, wiring
        As given to `fit`.
    fitted : FitResult
        Their fit.
    name : str
        A free parameter.
    level : float
        [1]

    Returns
    -------
    (float, float)
        Ends, in the parameter's unit; an end on the physical range means that the readings set none there.

    Notes
    -----
    For estimates at a physical bound, where a covariance says nothing.
    """
    squares = fitted.squares
    number = fitted.names.index(name)
    limit = fitted.chi_square + float(chdtri(1, 1.0 - level))
    free, best = fitted.free, float(fitted.estimates[number])
    lower, upper = float(free.lower[number]), float(free.upper[number])

    def excess(value: float) -> float:
        return _least_with(squares, fitted.estimates, number, value) - limit

    ends = []
    for edge in (lower, upper):
        if best == edge or excess(edge) <= 0.0:
            ends.append(edge)
            continue
        inner, outer = best, _bracket(excess, best, edge, float(np.sqrt(fitted.covariance[number, number])))
        ends.append(float(brentq(excess, inner, outer, rtol=1e-6, xtol=1e-9 * max(1.0, abs(best)))))
    return ends[0], ends[1]


def _bracket(excess: Callable[[float], float], best: float, edge: float, deviation: float) -> float:
    """A point between estimate and edge where the sum of squares has risen beyond the limit."""
    distance = abs(edge - best)
    step = min(max(deviation, 1e-6 * distance), distance)
    while step < distance:
        point = best + math.copysign(step, edge - best)
        if excess(point) > 0.0:
            return point
        step *= 3.0
    return edge


def _least_with(squares: Squares, start: Array, number: int, value: float) -> float:
    """Least sum of squares with one parameter held."""
    least = minimum(squares.held(number, value), np.delete(start, number)).height
    own = (prior for prior in squares.free.priors if prior.number == number)
    return least + sum(((prior.estimate - value) / prior.standard_uncertainty) ** 2 for prior in own)

"""The region that bounds and physical ranges leave to a fit, and points at the edge of what it leaves open.

Bounds never enter the squares: they fence the search in. One that the values contradict is named and left out.
"""

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from hazardreport.circuit.free_parameters import MOST_RESISTANCE, NO_CONDUCTION
from hazardreport.circuit.observations import Observation
from hazardreport.circuit.search import best, minimum
from hazardreport.circuit.squares import ROOM, Point, Squares

Array = NDArray[np.float64]

NORMAL_95 = 1.959963984540054
CONTRADICTED = NORMAL_95**2
"""Rise of chi-square at which the values contradict a bound: the 95 % point for one degree of freedom. [1]"""
SHORTENED = (0.7, 0.5, 0.35, 0.2, 0.1, 0.05, 0.02, 0.005, 0.001, 0.0)
FINE, MOST_OTHERS = 32, 24


def inside_bounds(squares: Squares, point: Point) -> tuple[Squares, Point, tuple[str, ...]]:
    """The fit kept to the region that the bounds leave; a bound that the values contradict is named and left out.

    Contradicted: no place inside it is within the 95 % point for one degree of freedom of the least sum of squares.
    """
    kept, broken = list(squares.bounds), list[str]()
    if not kept:
        return squares, point, ()
    over = squares.violations(squares.predicted(point.vector)) > ROOM
    pressing = [bound for bound, beyond in zip(kept, over.tolist(), strict=True) if beyond]
    limit = point.cost + CONTRADICTED
    while pressing:
        fenced = squares.fence(kept)
        found = best(fenced, point.vector, limit)
        if _stays(fenced, found, limit):
            return fenced, found, tuple(broken)
        worst = max(pressing, key=lambda bound: _height_inside(squares, bound, point)) if pressing[1:] else pressing[0]
        broken.append(worst.id)
        kept.remove(worst)
        pressing.remove(worst)
    fenced = squares.fence(kept)
    return fenced, fenced.at(point.vector), tuple(broken)


def _height_inside(squares: Squares, bound: Observation, point: Point) -> float:
    """Least sum of squares inside one bound, from the fit outside it."""
    return best(squares.fence([bound]), point.vector, math.inf, thorough=False).height


def _stays(fenced: Squares, found: Point, limit: float) -> bool:
    inside = not (fenced.violations(fenced.predicted(found.vector)) > ROOM).any()
    return inside and found.cost <= limit


def without_conduction(squares: Squares, point: Point) -> tuple[Squares, Point]:
    """The fit with a resistance beyond what counts as a fault, where the readings contradict that end of its range."""
    for number in np.flatnonzero(point.vector >= MOST_RESISTANCE).tolist():
        wider = replace(squares, free=squares.free.widened(number, NO_CONDUCTION), _last={})
        found = minimum(wider, point.vector)
        if found.cost < point.cost - CONTRADICTED:
            squares, point = wider, found
    return squares, point


def corners_of(squares: Squares, point: Point, covariance: Array) -> Array:
    """Points at the edge of the 95 % region along the independent directions of the parameters, shape (2n, n).

    In the parameters' units: [V], [ohm], [1].

    A direction that readings and bounds follow less far than the covariance says is shortened to where they still
    agree.
    """
    free, vector = squares.free, point.vector
    deviation = np.sqrt(np.diag(covariance))
    shares, axes = np.linalg.eigh(covariance / np.outer(deviation, deviation))
    half = NORMAL_95 * (axes * np.sqrt(np.maximum(shares, 0.0)) * deviation[:, None]).T
    directions = np.concatenate([half, -half])
    limit = point.cost + 1.5 * NORMAL_95**2
    corners: Array = np.clip(vector + directions, free.lower, free.upper)
    far = squares.costs(corners) > limit
    if far.any():
        steps = np.array(SHORTENED)[:, None, None] * directions[far]
        points = np.clip(vector + steps, free.lower, free.upper)
        agree = squares.costs(points) <= limit
        agree[-1] = True
        first = np.argmax(agree, axis=0)
        corners[far] = points[first, np.arange(points.shape[1])]
    return corners


def left_by_bounds(squares: Squares, vector: Array, number: int) -> tuple[float, float]:
    """Range of one parameter that the bounds leave, whatever the other parameters on their coarse grid.

    In its unit: [V], [ohm], [1]. Each end is sought twice on a finer scale, and rounded outwards.
    """
    free = squares.free
    lower, upper = float(free.lower[number]), float(free.upper[number])
    if not squares.fenced:
        return lower, upper
    others = free.grid()
    others[:, number] = vector[number]
    others = np.unique(others, axis=0)
    grid = np.concatenate([others[:: 1 + len(others) // MOST_OTHERS], vector[None, :]])

    def is_open(tried: Array) -> NDArray[np.bool_]:
        points = np.repeat(grid[None, :, :], len(tried), axis=0)
        points[:, :, number] = tried[:, None]
        broken = (squares.violations(squares.predicted(points)) > ROOM).any(axis=-1)
        return ~np.asarray(broken.all(axis=-1))

    spread = np.geomspace(max(lower, 1e-9 * upper), upper, FINE)
    tried = np.unique(np.concatenate([[lower, upper, vector[number]], spread]))
    places = np.flatnonzero(is_open(tried))
    if not len(places):
        return lower, upper
    ends = [lower, upper]
    for side, place, outer in ((0, places[0], places[0] - 1), (1, places[-1], places[-1] + 1)):
        if 0 <= outer < len(tried):
            finer = np.linspace(tried[place], tried[outer], FINE)
            ends[side] = float(finer[min(int(np.flatnonzero(is_open(finer))[-1]) + 1, FINE - 1)])
    return ends[0], ends[1]

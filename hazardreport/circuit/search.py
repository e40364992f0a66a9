"""The least sum of squares inside the physical ranges: damped Gauss–Newton steps with an active set of edges.

A bounded search of SciPy stands behind it, for the rare case that the steps do not settle; it is loaded only then.
"""

import numpy as np
from numpy.typing import NDArray

from hazardreport.circuit.free_parameters import POSITION
from hazardreport.circuit.squares import Point, Squares

Array = NDArray[np.float64]

SETTLED = 1e-7
"""Decrease of the sum of squares that a further step promises, below which that step is the last: it is taken without
another evaluation, since its own error is of the second order of 3e-4 standard deviations. [1]"""
ROUNDING = 1e-9
"""Of the sum of squares, for readings that are far off. [1]"""
MOST_STEPS = 60
LEAST_DAMPING, FIRST_DAMPING, MOST_DAMPING = 1e-9, 1e-3, 1e10
SCIPY_TOLERANCE = 1e-12


def _step(point: Point, lower: Array, upper: Array, damping: float) -> Array:
    """The damped step that keeps inside the ranges: whatever it would push over an edge stops there, and the others
    are then worked out anew."""
    size = len(point.vector)
    norms = np.linalg.norm(point.slopes, axis=0)
    norms = np.where(norms > 0.0, norms, 1.0)
    slopes, gradient = point.slopes / norms, point.slopes.T @ point.rows
    held = ((point.vector <= lower) & (gradient > 0.0)) | ((point.vector >= upper) & (gradient < 0.0))
    step = np.zeros(size)
    for _ in range(size + 1):
        moving = np.flatnonzero(~held)
        if not len(moving):
            break
        part = slopes[:, moving]
        rest = point.rows + point.slopes[:, held] @ step[held]
        normal = part.T @ part
        normal[np.arange(len(moving)), np.arange(len(moving))] += damping
        step[moving] = np.linalg.solve(normal, -part.T @ rest) / norms[moving]
        target = point.vector + step
        over = ~held & ((target < lower) | (target > upper))
        if not over.any():
            break
        step[over] = np.clip(target[over], lower[over], upper[over]) - point.vector[over]
        held = held | over
    inside: Array = np.clip(point.vector + step, lower, upper) - point.vector
    return inside


def _is_finite(point: Point) -> bool:
    return bool(np.isfinite(point.rows).all() and np.isfinite(point.slopes).all())


def descend(squares: Squares, start: Array, damping: float = FIRST_DAMPING) -> tuple[Point, bool]:
    """Steps downhill from a start.

    Parameters
    ----------
    squares : Squares
        To be made least, its fence included.
    start : ndarray, shape (n,)
        Clipped into the physical ranges.
    damping : float
        Of the first step, relative to the scaled normal matrix; small where the start is near. [1]

    Returns
    -------
    (Point, bool)
        The last point, and whether the steps settled there.

    Notes
    -----
    One evaluation of all derivatives for each step. A step that does not keep a tenth of its promise is damped ten
    times more; a good one ten times less.
    """
    free = squares.free
    point = squares.at(np.clip(start, free.lower, free.upper))
    for _ in range(MOST_STEPS):
        if not _is_finite(point):
            return point, False
        step = _step(point, free.lower, free.upper, damping)
        promised = point.height - float(np.sum((point.rows + point.slopes @ step) ** 2))
        if promised <= SETTLED + ROUNDING * point.height and damping <= FIRST_DAMPING:
            return point.moved(step), True
        if promised <= 0.0 or damping > MOST_DAMPING:
            return point, damping <= FIRST_DAMPING
        found = squares.at(point.vector + step)
        kept = (point.height - found.height) / promised
        if kept > 0.0:
            point = found
        damping = max(damping / 10.0, LEAST_DAMPING) if kept > 0.5 else damping if kept > 0.1 else damping * 10.0
    return point, False


def scipy_minimum(squares: Squares, start: Array) -> Point:
    """The least sum of squares [1] by SciPy's bounded trust region, and physical edges that it only approached."""
    from scipy.optimize import least_squares  # 0.4 s that a window which is still empty need not wait for

    free = squares.free
    width = np.minimum(1e-9 * (free.upper - free.lower), 1e-6 * free.step)

    def rows(vector: Array) -> Array:
        return squares.at(vector).rows

    def slopes(vector: Array) -> Array:
        return squares.at(vector).slopes

    found = least_squares(
        rows,
        np.clip(start, free.lower + width, free.upper - width),
        jac=slopes,
        bounds=(free.lower, free.upper),
        x_scale="jac",
        ftol=SCIPY_TOLERANCE,
        xtol=SCIPY_TOLERANCE,
        gtol=SCIPY_TOLERANCE,
        max_nfev=100,
    )
    best = squares.at(np.asarray(found.x))
    near = 100.0 * free.steps(np.zeros(len(free.names)))
    for number in range(len(free.names)):
        for edge in (free.lower[number], free.upper[number]):
            if 0.0 < abs(best.vector[number] - edge) < near[number]:
                moved = best.vector.copy()
                moved[number] = edge
                if squares.at(moved).height <= best.height + 1e-9:
                    best = squares.at(moved)
    return best


def minimum(squares: Squares, start: Array, damping: float = FIRST_DAMPING) -> Point:
    """The least sum of squares [1] reached from a start; the start itself where a reading has no path there.

    Beside a fence, which has an edge, steps that do not settle are not searched again: SciPy would not settle either.
    """
    point, settled = descend(squares, start, damping)
    if settled:
        return point
    if squares.fenced or not _is_finite(point):
        return point
    other = scipy_minimum(squares, point.vector)
    return other if other.height <= point.height else point


def starts(squares: Squares) -> list[Array]:
    """The best point of a coarse grid, on each half of the element where the fault's place is free: one batch.

    In the parameters' units: [V], [ohm], [1].
    """
    free = squares.free
    grid = free.grid()
    heights = squares.heights(grid)
    if POSITION not in free.names:
        return [grid[np.argmin(heights)]]
    near = grid[:, free.names.index(POSITION)] <= 0.5
    return [grid[side][np.argmin(heights[side])] for side in (near, ~near) if side.any()]


def best(squares: Squares, start: Array | None, limit: float, *, thorough: bool = True) -> Point:
    """From the last estimate if that already explains the readings, else from the coarse grid too, if thorough.

    `limit` is a sum of squares. [1]
    """
    found: list[Point] = []
    if start is not None:
        found.append(minimum(squares, start, LEAST_DAMPING))
        if found[0].height <= limit or not thorough:
            return found[0]
    found.extend(minimum(squares, point) for point in starts(squares))
    return min(found, key=lambda point: point.height if _is_finite(point) else np.inf)

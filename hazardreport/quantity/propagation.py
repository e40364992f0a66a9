"""How doubt travels through an equation: batched numeric derivatives, first and second order, coverage factors.

Equations are given as batched functions of arrays in coherent SI: ``(k, n)`` inputs to ``(k,)`` or ``(k, m)`` results.
One call with all displaced inputs serves the whole Jacobian. An input at the edge of its physical range needs
an equation that can be evaluated a little beyond it.
"""

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtri, stdtrit

from hazardreport.quantity.measured import Measured

Array = NDArray[np.float64]
Equation = Callable[[Array], Array]

_FIRST_STEP = 1e-3
_SECOND_STEP = 0.25


def jacobian(equation: Equation, estimates: ArrayLike, steps: ArrayLike) -> Array:
    """Partial derivatives of an equation, by central differences of fourth order in one batched call.

    Parameters
    ----------
    equation : callable
        (k, n) to (k,) or (k, m).
    estimates : array_like, shape (n,)
        Where to differentiate.
    steps : array_like, shape (n,)
        Displacement of each input, never zero; in the input's unit.

    Returns
    -------
    ndarray, shape (m, n) or (n,)
        Sensitivity coefficients.

    Examples
    --------
    >>> jacobian(lambda x: x[:, 0] ** 2 * x[:, 1], [3.0, 2.0], [1e-3, 1e-3]).round(9).tolist()
    [12.0, 9.0]
    """
    x, h = np.asarray(estimates, float), np.asarray(steps, float)
    multiples = np.array([-2.0, -1.0, 1.0, 2.0])
    weights = np.array([1.0, -8.0, 8.0, -1.0]) / 12.0
    displaced = x + multiples[:, None, None] * np.diag(h)
    results = np.asarray(equation(displaced.reshape(-1, len(x))), float)
    shaped = results.reshape(4, len(x), *results.shape[1:])
    slopes = np.tensordot(weights, shaped, axes=1)
    derivatives: Array = (slopes.T / h).astype(float)
    return derivatives


def propagate(
    equation: Equation, estimates: ArrayLike, covariance: ArrayLike, *, second_order: bool = False
) -> tuple[Array, Array]:
    """Results of an equation with their covariance, correlated inputs allowed.

    Parameters
    ----------
    equation : callable
        (k, n) to (k,) or (k, m).
    estimates : array_like, shape (n,)
        Best estimates of the inputs.
    covariance : array_like, shape (n, n) or (n,)
        Covariance of the inputs, or their standard uncertainties if they are independent.
    second_order : bool
        Add the terms of second order for normal inputs to the covariance, and the curvature to the value, which is
        then the expectation.

    Returns
    -------
    value : ndarray, shape (m,) or ()
        Results at the estimates.
    covariance : ndarray, shape (m, m) or ()
        Covariance of the results; the variance if there is one result.

    References
    ----------
    jcgm-100-2008, 5.1.2 with its note, 5.2.2, H.2.3.
    """
    x = np.asarray(estimates, float)
    inputs = np.asarray(covariance, float)
    if inputs.ndim == 1:
        inputs = np.diag(inputs**2)
    value = np.asarray(equation(x[None, :]), float)[0]
    if second_order:
        return _second_order(equation, x, inputs, value)
    deviations = np.sqrt(np.diag(inputs))
    scale = np.maximum(np.abs(x), deviations)
    slopes = jacobian(equation, x, _FIRST_STEP * np.where(scale > 0.0, scale, 1.0))
    return value, slopes @ inputs @ slopes.T


def _second_order(equation: Equation, x: Array, covariance: Array, value: Array) -> tuple[Array, Array]:
    """As `propagate`, along the independent directions of the inputs, each of unit standard deviation."""
    variances, axes = np.linalg.eigh(covariance)
    directions = (axes * np.sqrt(np.clip(variances, 0.0, None)))[:, variances > 0.0].T
    n = len(directions)
    zero = np.zeros(n)

    def along(z: Array) -> Array:
        return np.asarray(equation(x + z @ directions), float).reshape(len(z), -1)

    step = np.full(n, _SECOND_STEP)
    first = jacobian(along, zero, step)
    unit = _SECOND_STEP * np.eye(n)
    pairs = np.stack([signs[0] * unit[:, None] + signs[1] * unit[None, :] for signs in _CORNERS]).reshape(-1, n)
    corners = along(pairs).reshape(4, n, n, -1)
    second = (corners[0] - corners[1] - corners[2] + corners[3]) / (4.0 * _SECOND_STEP**2)
    curvature = np.einsum("iim->m", second)
    third = _gradient_of_curvature(along, n)
    mixed = first @ third.T
    total = first @ first.T + 0.5 * np.einsum("ijm,jik->mk", second, second) + 0.5 * (mixed + mixed.T)
    return value + (0.5 * curvature).reshape(value.shape), total.reshape(value.shape * 2)


_CORNERS = ((1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0))


def _gradient_of_curvature(along: Equation, n: int) -> Array:
    """Derivative of the sum of second derivatives in each direction, shape (m, n)."""
    h = _SECOND_STEP
    unit = h * np.eye(n)
    centre = np.concatenate([unit, -unit])
    around = centre[:, None, :] + np.concatenate([unit, -unit])[None, :, :]
    middle = along(centre)
    ring = along(around.reshape(-1, n)).reshape(2 * n, 2 * n, -1)
    curvature = (ring.sum(axis=1) - 2.0 * n * middle) / h**2
    gradient: Array = ((curvature[:n] - curvature[n:]) / (2.0 * h)).T
    return gradient


def effective_degrees_of_freedom(contributions: ArrayLike, degrees_of_freedom: ArrayLike) -> float:
    """Effective degrees of freedom of a combined uncertainty, by Welch and Satterthwaite.

    Parameters
    ----------
    contributions : array_like, shape (n,)
        Standard uncertainty that each independent input gives to the result, in the result's unit.
    degrees_of_freedom : array_like, shape (n,)
        Of each of them; infinity is allowed. [1]

    Returns
    -------
    float
        Infinity if no contribution has a finite number. [1]

    Examples
    --------
    >>> effective_degrees_of_freedom([1.0, 1.0], [4.0, 4.0])
    8.0

    References
    ----------
    jcgm-100-2008, G.4.1.
    """
    parts = np.asarray(contributions, float) ** 2
    limits = np.asarray(degrees_of_freedom, float)
    denominator = float(np.sum(parts**2 / limits))
    return float(np.sum(parts)) ** 2 / denominator if denominator > 0.0 else float("inf")


def coverage_factor(level_of_confidence: float, degrees_of_freedom: float = float("inf")) -> float:
    """Student's t for a level of confidence, two-sided; the normal distribution's factor for infinity.

    Parameters
    ----------
    level_of_confidence : float
        Between 0 and 1. [1]
    degrees_of_freedom : float
        At least one. The guide truncates an effective number to the next lower integer; that is left to the caller. [1]

    Returns
    -------
    float
        k. [1]

    Examples
    --------
    >>> round(coverage_factor(0.99, 16), 2)
    2.92

    References
    ----------
    jcgm-100-2008, G.3.2, Table G.2.
    """
    upper = 0.5 * (1.0 + level_of_confidence)
    return float(ndtri(upper) if np.isinf(degrees_of_freedom) else stdtrit(degrees_of_freedom, upper))


def mean_of_repeats(values: Sequence[float], unit: str) -> Measured:
    """Mean of repeated values with the standard deviation of the mean and n − 1 degrees of freedom.

    References
    ----------
    jcgm-100-2008, 4.2.
    """
    if len(values) < 2:
        raise ValueError("a spread needs at least two values")
    array = np.asarray(values, float)
    return Measured(
        value=float(array.mean()),
        standard_uncertainty=float(array.std(ddof=1) / np.sqrt(len(array))),
        unit=unit,
        degrees_of_freedom=len(array) - 1.0,
    )


def means_of_simultaneous_repeats(observations: ArrayLike) -> tuple[Array, Array]:
    """Means of simultaneous repeats, shape (n,), and the covariance of the means, shape (n, n); one row per instant.

    References
    ----------
    jcgm-100-2008, 5.2.3, H.2.
    """
    array = np.asarray(observations, float)
    return array.mean(axis=0), np.atleast_2d(np.cov(array, rowvar=False)) / len(array)

"""Who can still let go: one current for everybody, and Dalziel's distributions for men and women.

Judged by the current in the path, without heart-current factor. Adults only; 50 and 60 Hz.
"""

from enum import StrEnum
from functools import cache

from scipy.special import ndtr, ndtri

from hazardreport.quantity.trace import Source
from hazardreport.severity.zones import curve, curve_source, long_duration
from hazardreport.standards.tables import table


class Adults(StrEnum):
    """Groups of the let-go distributions."""

    MEN = "men"
    WOMEN = "women"


def let_go_limit() -> float:
    """Current up to which everybody can let go: curve b at long durations. [A]

    References
    ----------
    iec-60479-1-2018, Figure 20, curve b.
    """
    return curve("b", long_duration())


def let_go_limit_source() -> Source:
    """Where that current comes from."""
    return curve_source("b", long_duration())


def perception_limit() -> float:
    """Current below which a touch is usually not felt: curve a. [A]

    References
    ----------
    iec-60479-1-2018, Figure 20, curve a.
    """
    return curve("a", long_duration())


def share_held(current: float, adults: Adults) -> float:
    """Share of a group that cannot let go.

    Parameters
    ----------
    current : float
        In the path, r.m.s. [A]
    adults : Adults
        Men or women.

    Returns
    -------
    float
        0 … 1. [1]

    Raises
    ------
    ValueError
        If the current is negative or not a number: a defect of the caller.

    Examples
    --------
    >>> round(share_held(9e-3, Adults.MEN), 4)
    0.005

    References
    ----------
    dalziel-lee-1968, abstract: normal distributions; dalziel-1961, table of effects.
    """
    median, deviation = let_go_distribution(adults)
    if not current >= 0.0:
        raise ValueError("current")
    return float(ndtr((current - median) / deviation))


def share_of_adults_held(current: float) -> float:
    """Share of adults that cannot let go, men and women together. [1]"""
    return sum(share_of_group(adults) * share_held(current, adults) for adults in Adults)


def share_of_group(adults: Adults) -> float:
    """Share of a group among adults. [1]"""
    return table("own-choices", "population").look_up(f"share_of_{adults.value}")


def share_held_source(adults: Adults) -> Source:
    """Where the distribution of a group comes from."""
    return table("dalziel-1961", "effects").source(adults.value, effect="let-go, median")


@cache
def let_go_distribution(adults: Adults) -> tuple[float, float]:
    """Median and standard deviation [A]: the median, and the spread from the tabulated 0.5 % point."""
    effects = table("dalziel-1961", "effects")
    median = effects.look_up(adults.value, effect="let-go, median") * 1e-3
    first = effects.look_up(adults.value, effect="let-go, 0.5 % lose control") * 1e-3
    return median, (first - median) / float(ndtri(0.005))

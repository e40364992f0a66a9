"""Zones of the time-current diagram for alternating current, 15 to 100 Hz.

Curves a and b are met by the current in the path, c1 to c3 by the current referred to the heart. A point on a curve
belongs to the zone below it. Held flat outside 10 ms to 10 s.
"""

from functools import cache, lru_cache
from itertools import pairwise
from math import exp, log

from hazardreport.errors import OutsideTableError
from hazardreport.quantity.trace import Source, Status, weakest
from hazardreport.severity.terms import Zone
from hazardreport.standards.editions import default_edition
from hazardreport.standards.tables import Table, table

CURVES = ("a", "b", "c1", "c2", "c3")
SHORTEST, LONGEST = 0.01, 10.0


@lru_cache(maxsize=4096)
def curve(name: str, duration: float) -> float:
    """Current of a curve at a duration.

    Parameters
    ----------
    name : str
        a, b, c1, c2 or c3.
    duration : float
        Of the current through the body. [s]

    Returns
    -------
    float
        r.m.s. [A]

    Raises
    ------
    OutsideTableError
        If the duration is negative or not a number: held flat below 10 ms, but no further than to no time at all.

    Examples
    --------
    >>> curve("c2", 1.0)
    0.08

    References
    ----------
    iec-60479-1-2018, Figure 20; c2 as in en-50522-2022.
    """
    if not duration >= 0.0:
        cited = _table(name).citation
        raise OutsideTableError(
            table=f"{cited.key} {cited.table}", argument="duration", value=f"{duration:g} s", allowed="0 s and more"
        )
    if name != "c3":
        return _table(name).look_up("current", duration=duration) * 1e-3
    points = _c3_points()
    if duration >= _c3_from():
        return _c3_ratio() * curve("c2", duration)
    if duration <= points[0][0]:
        return points[0][1]
    lower, upper = next(pair for pair in pairwise(points) if duration <= pair[1][0])
    share = log(duration / lower[0]) / log(upper[0] / lower[0])
    return exp(log(lower[1]) + share * log(upper[1] / lower[1]))


def curve_source(name: str, duration: float) -> Source:
    """Where the current of a curve comes from, with its status at that duration. [s]"""
    if name != "c3" or duration < _c3_from():
        return _table(name).source("current", duration=duration)
    chosen = table("own-choices", "curve-c3").source("ratio_to_c2")
    status = weakest([chosen.status, curve_source("c2", duration).status])
    return Source(key=chosen.key, place=chosen.place, status=status)


def curve_points(name: str) -> tuple[tuple[float, float], ...]:
    """Corner points of a curve from 10 ms to 10 s, duration [s] and current [A]; straight between them in log-log."""
    points = (
        (*_c3_points(), *(point for point in _points("c2") if point[0] >= _c3_from()))
        if name == "c3"
        else _points(name)
    )
    corners = {at for at, _ in points} | {SHORTEST, LONGEST}
    return tuple((at, curve(name, at)) for at in sorted(corners))


def curve_status(name: str) -> Status:
    """The least certain status along a curve."""
    return weakest(curve_source(name, at).status for at, _ in curve_points(name))


def zone(heart_current: float, path_current: float, duration: float) -> Zone:
    """Zone of a current and its duration.

    Parameters
    ----------
    heart_current : float
        Current in the path times heart-current factor. [A]
    path_current : float
        Current in the path. [A]
    duration : float
        How long it flows. [s]

    Returns
    -------
    Zone
        AC-1 … AC-4.3; on a curve, the lower one.

    Raises
    ------
    OutsideTableError
        If the duration is negative or not a number.
    ValueError
        If a current is negative or not a number: a defect of the caller, never read as "no current".

    Examples
    --------
    >>> zone(0.081, 0.081, 1.0)
    <Zone.AC_4_2: 'AC-4.2'>

    References
    ----------
    iec-60479-1-2018, Figure 20 and Table 11.
    """
    if not (heart_current >= 0.0 and path_current >= 0.0):
        raise ValueError("current")
    for name, above in (("c3", Zone.AC_4_3), ("c2", Zone.AC_4_2), ("c1", Zone.AC_4_1)):
        if heart_current > curve(name, duration):
            return above
    if path_current > curve("b", duration):
        return Zone.AC_3
    return Zone.AC_2 if path_current > curve("a", duration) else Zone.AC_1


def refuse_frequency(frequency: float) -> None:
    """Refuse a supply for which the zones do not hold, direct current among them.

    Parameters
    ----------
    frequency : float
        Of the current; zero for direct current. [Hz]

    Raises
    ------
    OutsideTableError
        If the frequency lies outside that of the curves, or is not a number.

    References
    ----------
    iec-60479-1-2018, Figure 20.
    """
    held = _table("c2")
    stated = dict(held.fixed)["frequency"]
    lowest, highest = (float(number) for number in stated.removesuffix("Hz").split("to"))
    if not lowest <= frequency <= highest:
        raise OutsideTableError(
            table=f"{held.citation.key} {held.citation.table}",
            argument="frequency",
            value=f"{frequency:g} Hz",
            allowed=stated,
        )


def long_duration() -> float:
    """Duration of an exposure that no device ends. [s]"""
    return table("own-choices", "long-duration").look_up("duration")


def _table(name: str) -> Table:
    return table(default_edition("fibrillation-current"), f"figure-20-{name}")


@cache
def _points(name: str) -> tuple[tuple[float, float], ...]:
    return tuple((at, current * 1e-3) for at, current in _table(name).points("current"))


def _c3_from() -> float:
    return table("own-choices", "curve-c3").look_up("from_duration")


def _c3_ratio() -> float:
    return table("own-choices", "curve-c3").look_up("ratio_to_c2")


@cache
def _c3_points() -> tuple[tuple[float, float], ...]:
    """Of the figure below the duration from which the ratio to c2 holds, then the first point by that ratio."""
    start = _c3_from()
    read = tuple(point for point in _points("c3") if point[0] < start)
    return (*read, (start, _c3_ratio() * curve("c2", start)))

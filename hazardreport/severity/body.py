"""The person as an impedance: skin, percentile and path, and the point where source and body agree.

The tabulated impedance is a magnitude; it is taken as resistive. Adults only: children are outside the tables.
"""

import math
from bisect import bisect_right
from dataclasses import dataclass
from functools import cache

from scipy.optimize import brentq

from hazardreport.errors import OutsideTableError, SourceNotPhysicalError
from hazardreport.quantity.trace import Source
from hazardreport.severity.terms import BodyPath, ContactArea, Skin
from hazardreport.standards.editions import default_edition
from hazardreport.standards.tables import Outside, Table, table

PERCENTILES = (5, 50, 95)
_IMPEDANCE_TABLE = {
    (ContactArea.LARGE, Skin.DRY): "table-1",
    (ContactArea.LARGE, Skin.WATER_WET): "table-2",
    (ContactArea.LARGE, Skin.SALT_WET): "table-3",
    (ContactArea.MEDIUM, Skin.DRY): "table-4",
    (ContactArea.MEDIUM, Skin.WATER_WET): "table-5",
    (ContactArea.MEDIUM, Skin.SALT_WET): "table-6",
}
_BODY_FACTOR_ROW = {
    BodyPath.HAND_TO_HAND: "hand to hand",
    BodyPath.HAND_TO_FEET: "hand to both feet",
    BodyPath.HANDS_TO_FEET: "both hands to both feet",
}
_HEART_FACTOR_ROW = {
    BodyPath.HAND_TO_HAND: "hand to hand",
    BodyPath.HAND_TO_FEET: "left hand to feet",
    BodyPath.HANDS_TO_FEET: "both hands to both feet",
}


@dataclass(frozen=True, kw_only=True, slots=True)
class BodyPoint:
    """What a person carries who touches the part.

    body_voltage    across the body alone [V]
    touch_voltage   at the part while it is touched: body and floor or footwear [V]
    body_current    through the body [A]
    body_impedance  at that body voltage, path factor included [ohm]
    """

    body_voltage: float
    touch_voltage: float
    body_current: float
    body_impedance: float


def body_impedance(voltage: float, skin: Skin, percentile: int, area: ContactArea = ContactArea.LARGE) -> float:
    """Total body impedance hand to hand.

    Parameters
    ----------
    voltage : float
        Across the body. [V]
    skin : Skin
        Condition of the skin.
    percentile : int
        Share of people whose impedance is not above the answer: 5, 50 or 95. [%]
    area : ContactArea
        Large by default; medium is approximate and shown beside it.

    Returns
    -------
    float
        Magnitude. [ohm]

    Raises
    ------
    OutsideTableError
        If the percentile is not tabulated, or the voltage lies above the rows of a medium area.

    Examples
    --------
    >>> body_impedance(230.0, Skin.DRY, 5)
    772.8571428571429

    References
    ----------
    iec-60479-1-2018, Tables 1 to 6; between rows linear as in en-50522-2010.
    """
    voltages, impedances = impedance_knots(skin, percentile, area)
    if not voltages[0] < voltage < voltages[-1]:
        return _impedance_table(skin, area).look_up(_column(skin, percentile, area), touch_voltage=voltage)
    above = bisect_right(voltages, voltage)
    share = (voltage - voltages[above - 1]) / (voltages[above] - voltages[above - 1])
    return impedances[above - 1] + share * (impedances[above] - impedances[above - 1])


def body_impedance_source(voltage: float, skin: Skin, percentile: int, area: ContactArea = ContactArea.LARGE) -> Source:
    """Where the impedance at that voltage [V] comes from, with the status of the cells it rests on."""
    return _impedance_table(skin, area).source(_column(skin, percentile, area), touch_voltage=voltage)


@cache
def path_factor(path: BodyPath) -> float:
    """Share of the hand-to-hand impedance that a path has. [1]

    References
    ----------
    en-50522-2010, Annex B.
    """
    return table("en-50522-2010", "body-factor").look_up("factor", path=_BODY_FACTOR_ROW[path])


def path_factor_source(path: BodyPath) -> Source:
    """Where the path factor comes from."""
    return table("en-50522-2010", "body-factor").source("factor", path=_BODY_FACTOR_ROW[path])


@cache
def heart_current_factor(path: BodyPath) -> float:
    """Current from left hand to both feet that endangers the heart as much as 1 A in this path. [1]

    Only for fibrillation; perception and let-go are judged by the current in the path itself.

    References
    ----------
    iec-60479-1-2018, Table 12.
    """
    return table("iec-60479-1-2018", "table-12").look_up("factor", path=_HEART_FACTOR_ROW[path])


def heart_current_factor_source(path: BodyPath) -> Source:
    """Where the heart-current factor comes from."""
    return table("iec-60479-1-2018", "table-12").source("factor", path=_HEART_FACTOR_ROW[path])


def body_point(
    open_circuit_voltage: float,
    source_impedance: complex | float,
    skin: Skin,
    percentile: int,
    path: BodyPath,
    series_resistance: float = 0.0,
    area: ContactArea = ContactArea.LARGE,
) -> BodyPoint:
    """Voltage and current of a body, found together: the impedance depends on the voltage that it leaves across itself.

    Parameters
    ----------
    open_circuit_voltage : float
        Of the part to earth, nothing touched; magnitude. [V]
    source_impedance : complex or float
        Seen between part and earth, resistance never negative; infinite where the part is not connected. [ohm]
    skin, percentile, path
        The person; see `body_impedance`.
    series_resistance : float
        Floor and footwear. [ohm]
    area : ContactArea
        Of the contact; see `body_impedance`.

    Returns
    -------
    BodyPoint
        Where the source's characteristic and the body's meet.

    Raises
    ------
    SourceNotPhysicalError
        If a voltage is negative or unknown, or a resistance negative: no body current follows from such a source.
    OutsideTableError
        If the percentile is not tabulated, or the body's voltage would lie above the rows of a medium area.

    Notes
    -----
    U_B · |1 + (Zs + R) / Z_B(U_B)| rises with U_B because Z_B never rises with voltage: there is one root in 0…U0.

    References
    ----------
    iec-60479-1-2018, Tables 1 to 6; en-50522-2010, Annex A.
    """
    impedance = complex(source_impedance)
    known = impedance.real >= 0 and (math.isinf(impedance.real) or not math.isnan(impedance.imag))
    if not 0 <= open_circuit_voltage < math.inf or not known or not series_resistance >= 0:
        raise SourceNotPhysicalError(
            voltage=f"{open_circuit_voltage:g}", impedance=f"{impedance:g}", series_resistance=f"{series_resistance:g}"
        )
    factor = path_factor(path)
    outer = impedance + series_resistance

    def excess(body_voltage: float) -> float:
        body = factor * body_impedance(body_voltage, skin, percentile, area)
        return _driving_voltage(body_voltage, outer, body) - open_circuit_voltage

    if open_circuit_voltage == 0 or not math.isfinite(abs(outer)):
        body_voltage = 0.0
    elif outer == 0:
        body_voltage = open_circuit_voltage
    else:
        highest = min(open_circuit_voltage, highest_voltage(skin, percentile, area))
        if excess(highest) < 0:
            raise _outside(skin, area, "touch_voltage", f"> {highest:g}", f"to {highest:g} V")
        body_voltage = float(brentq(excess, 0.0, highest, xtol=1e-13, rtol=1e-14))
    body = factor * body_impedance(body_voltage, skin, percentile, area)
    current = body_voltage / body
    return BodyPoint(
        body_voltage=body_voltage,
        touch_voltage=current * (body + series_resistance) if body_voltage else 0.0,
        body_current=current,
        body_impedance=body,
    )


def least_body_current(
    load_current: float,
    load_voltage: float,
    skin: Skin,
    percentile: int,
    path: BodyPath,
    series_resistance: float = 0.0,
    area: ContactArea = ContactArea.LARGE,
) -> float:
    """Lower bound of the body current at a source of which one loaded reading is known, and nothing else.

    Parameters
    ----------
    load_current : float
        Through a resistance between part and earth, at least; magnitude. [A]
    load_voltage : float
        Across it at the same time, at least; magnitude. [V]
    skin, percentile, path, series_resistance, area
        The person; see `body_point`.

    Returns
    -------
    float
        min(I, V / (Z_B(V) + R)), Z_B being found at the body's own share of V. [A]

    Raises
    ------
    SourceNotPhysicalError
        If a current, voltage or resistance is negative or unknown.
    OutsideTableError
        As `body_point`.

    Notes
    -----
    A linear source of open-circuit voltage U and impedance r + jx, r ≥ 0, drives U / |r + jx + R| through a resistance
    R: that falls as R rises, and the voltage U·R / |r + jx + R| across it rises. A person of at most the load's
    resistance therefore carries at least the load's current. One of more has at least the load's voltage, and carries
    at least what that voltage drives, because body impedance never rises with voltage. Which of the two is not known:
    the lesser holds for both. It rises with both readings, so their low ends may be put in.

    Examples
    --------
    >>> least_body_current(0.1, 120.0, Skin.DRY, 50, BodyPath.HAND_TO_HAND)
    0.07570977917981073
    """
    if not load_current >= 0:
        impedance = load_voltage / load_current if load_current else math.nan
        raise SourceNotPhysicalError(
            voltage=f"{load_voltage:g}", impedance=f"{impedance:g}", series_resistance=f"{series_resistance:g}"
        )
    driven = body_point(load_voltage, 0.0, skin, percentile, path, series_resistance, area).body_current
    return min(load_current, driven)


def _driving_voltage(body_voltage: float, outer: complex, body: float) -> float:
    return body_voltage * abs(1 + outer / body)


def _impedance_table(skin: Skin, area: ContactArea) -> Table:
    return table(default_edition("body-impedance"), _IMPEDANCE_TABLE[area, skin])


def _outside(skin: Skin, area: ContactArea, argument: str, value: str, allowed: str) -> OutsideTableError:
    cited = _impedance_table(skin, area).citation
    return OutsideTableError(table=f"{cited.key} {cited.table}", argument=argument, value=value, allowed=allowed)


def highest_voltage(skin: Skin, percentile: int, area: ContactArea) -> float:
    """Up to which the table answers: infinite where it holds its last row. [V]"""
    holds = _impedance_table(skin, area).outside is Outside.CLAMP
    return math.inf if holds else impedance_knots(skin, percentile, area)[0][-1]


def _column(skin: Skin, percentile: int, area: ContactArea) -> str:
    if percentile not in PERCENTILES:
        raise _outside(skin, area, "percentile", str(percentile), "5, 50, 95")
    return f"percentile_{percentile}"


@cache
def impedance_knots(
    skin: Skin, percentile: int, area: ContactArea = ContactArea.LARGE
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Tabulated voltages [V] and impedances [ohm] of a column, rising in voltage."""
    points = _impedance_table(skin, area).points(_column(skin, percentile, area))
    return tuple(at for at, _ in points), tuple(value for _, value in points)

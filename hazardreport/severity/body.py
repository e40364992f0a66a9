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
from hazardreport.severity.terms import BodyPath, Skin
from hazardreport.standards.editions import default_edition
from hazardreport.standards.tables import Table, table

PERCENTILES = (5, 50, 95)
_IMPEDANCE_TABLE = {Skin.DRY: "table-1", Skin.WATER_WET: "table-2", Skin.SALT_WET: "table-3"}
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


def body_impedance(voltage: float, skin: Skin, percentile: int) -> float:
    """Total body impedance hand to hand, large contact area.

    Parameters
    ----------
    voltage : float
        Across the body. [V]
    skin : Skin
        Condition of the skin.
    percentile : int
        Share of people whose impedance is not above the answer: 5, 50 or 95. [%]

    Returns
    -------
    float
        Magnitude. [ohm]

    Raises
    ------
    OutsideTableError
        If the percentile is not tabulated.

    Examples
    --------
    >>> body_impedance(230.0, Skin.DRY, 5)
    772.8571428571429

    References
    ----------
    iec-60479-1-2018, Tables 1, 2 and 3; between rows linear as in en-50522-2010.
    """
    voltages, impedances = impedance_knots(skin, percentile)
    if voltage <= voltages[0]:
        return impedances[0]
    if voltage >= voltages[-1]:
        return impedances[-1]
    above = bisect_right(voltages, voltage)
    share = (voltage - voltages[above - 1]) / (voltages[above] - voltages[above - 1])
    return impedances[above - 1] + share * (impedances[above] - impedances[above - 1])


def body_impedance_source(voltage: float, skin: Skin, percentile: int) -> Source:
    """Where the impedance at that voltage comes from, with the status of the cells it rests on."""
    return _impedance_table(skin).source(_column(skin, percentile), touch_voltage=voltage)


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

    Returns
    -------
    BodyPoint
        Where the source's characteristic and the body's meet.

    Raises
    ------
    SourceNotPhysicalError
        If a voltage is negative or unknown, or a resistance negative: no body current follows from such a source.
    OutsideTableError
        If the percentile is not tabulated.

    Notes
    -----
    U_B · |1 + (Zs + R) / Z_B(U_B)| rises with U_B because Z_B never rises with voltage: there is one root in 0…U0.

    References
    ----------
    iec-60479-1-2018, Tables 1 to 3; en-50522-2010, Annex A.
    """
    impedance = complex(source_impedance)
    if not open_circuit_voltage >= 0 or not impedance.real >= 0 or not series_resistance >= 0:
        raise SourceNotPhysicalError(
            voltage=f"{open_circuit_voltage:g}", impedance=f"{impedance:g}", series_resistance=f"{series_resistance:g}"
        )
    factor = path_factor(path)
    outer = impedance + series_resistance

    def excess(body_voltage: float) -> float:
        body = factor * body_impedance(body_voltage, skin, percentile)
        return _driving_voltage(body_voltage, outer, body) - open_circuit_voltage

    if open_circuit_voltage == 0 or not math.isfinite(abs(outer)):
        body_voltage = 0.0
    elif outer == 0:
        body_voltage = open_circuit_voltage
    else:
        body_voltage = float(brentq(excess, 0.0, open_circuit_voltage, xtol=1e-13, rtol=1e-14))
    body = factor * body_impedance(body_voltage, skin, percentile)
    current = body_voltage / body
    return BodyPoint(
        body_voltage=body_voltage,
        touch_voltage=current * (body + series_resistance) if body_voltage else 0.0,
        body_current=current,
        body_impedance=body,
    )


def _driving_voltage(body_voltage: float, outer: complex, body: float) -> float:
    return body_voltage * abs(1 + outer / body)


def _impedance_table(skin: Skin) -> Table:
    return table(default_edition("body-impedance"), _IMPEDANCE_TABLE[skin])


def _column(skin: Skin, percentile: int) -> str:
    if percentile not in PERCENTILES:
        cited = _impedance_table(skin).citation
        raise OutsideTableError(
            table=f"{cited.key} {cited.table}", argument="percentile", value=str(percentile), allowed="5, 50, 95"
        )
    return f"percentile_{percentile}"


@cache
def impedance_knots(skin: Skin, percentile: int) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Tabulated voltages [V] and impedances [ohm] of a column, rising in voltage."""
    points = _impedance_table(skin).points(_column(skin, percentile))
    return tuple(at for at, _ in points), tuple(value for _, value in points)

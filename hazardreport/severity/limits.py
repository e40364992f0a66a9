"""Numbers against limits: the probability that a limit is exceeded, and the limits themselves.

A reading whose doubt straddles the limit decides nothing. "Within the limit" needs readings at working temperature
and in both polarities; the caller says whether it has them.
"""

import math

from scipy.special import ndtr, stdtr

from hazardreport.quantity.measured import Measured
from hazardreport.quantity.trace import Source, Status, weakest
from hazardreport.severity.terms import LimitDecision
from hazardreport.severity.touch_network import touch_network_reading as touch_network_reading
from hazardreport.standards.editions import default_edition
from hazardreport.standards.tables import Table, table


def compare(
    value: Measured, limit: float, at_least: bool = False, conditions_met: bool = True
) -> tuple[float, LimitDecision]:
    """Probability that a limit is exceeded, and what the reading decides.

    Parameters
    ----------
    value : Measured
        The number with its doubt.
    limit : float
        In the unit of the number.
    at_least : bool
        True for a limit that must be reached (insulation), false for one that must not be exceeded.
    conditions_met : bool
        False if the standard's conditions were not all met: then nothing is within the limit.

    Returns
    -------
    float, LimitDecision
        Probability [1]; exceeded, within or below only if value ± U (k = 2) lies on one side.

    Examples
    --------
    >>> compare(Measured(value=-5.47, standard_uncertainty=0.05, unit="V"), -5.40, at_least=True)[0].__round__(3)
    0.919

    References
    ----------
    jcgm-106-2012, 7.3 and 8.3.
    """
    beyond = limit - value.value if at_least else value.value - limit
    if math.isnan(beyond):
        raise ValueError("value")
    if value.standard_uncertainty == 0:
        probability = 1.0 if beyond > 0 else 0.0
    else:
        probability = _distribution(beyond / value.standard_uncertainty, value.degrees_of_freedom)
    if beyond > value.expanded_uncertainty:
        return probability, LimitDecision.EXCEEDED
    if beyond <= -value.expanded_uncertainty:
        return probability, LimitDecision.WITHIN if conditions_met else LimitDecision.BELOW
    return probability, LimitDecision.NOT_DECIDED


def share_between(value: Measured, lowest: float, highest: float) -> float:
    """Probability that a quantity lies between two limits.

    Parameters
    ----------
    value : Measured
        The number with its doubt.
    lowest, highest : float
        Limits in the unit of the number; either may be infinite.

    Returns
    -------
    float
        0 … 1; on a limit without doubt the quantity lies between them. [1]

    Raises
    ------
    ValueError
        If the value or a limit is not a number, or the limits are in the wrong order.

    Examples
    --------
    >>> round(share_between(Measured(value=13.6, standard_uncertainty=1.8, unit="1"), 12.5, 16.3), 3)
    0.663

    References
    ----------
    jcgm-106-2012, 7.4.
    """
    if not lowest <= highest or math.isnan(value.value):
        raise ValueError("limits")
    if value.standard_uncertainty == 0:
        return 1.0 if lowest <= value.value <= highest else 0.0
    below, upto = (
        _distribution((limit - value.value) / value.standard_uncertainty, value.degrees_of_freedom)
        for limit in (lowest, highest)
    )
    return upto - below


def touch_current_limit(
    protection_class: str, kind: str = "portable", rated_power: float | None = None, edition: str | None = None
) -> tuple[float, Source]:
    """Product limit of the touch current at operating temperature.

    Parameters
    ----------
    protection_class : str
        "0", "0I", "I", "II" or "III", with or without "class".
    kind : str
        Of class I: "portable", "stationary motor" or "stationary heating".
    rated_power : float or None
        Of stationary heating appliances; None if not known: the limit without it. [W]
    edition : str or None
        Key of the document; None for the default one.

    Returns
    -------
    float, Source
        r.m.s. of a sine [A], and where it comes from. Limits printed as peak are divided by √2.

    Raises
    ------
    OutsideTableError
        If there is no such class or kind.

    References
    ----------
    iec-60335-1-2001, 13.2; iec-60335-1-2010, 13.2.
    """
    name = protection_class.strip()
    name = name[len("class") :].strip() if name.lower().startswith("class") else name
    held = table(edition or default_edition("touch-current-limit"), "clause-13-2")
    row = {"protection_class": name, "kind": kind if name == "I" else "any"}
    peak = dict(held.values).get("limit_peak") is not None and bool(_printed(held, "limit_peak", row))
    column = "limit_peak" if peak else "limit"
    limit = held.look_up(column, **row) / (math.sqrt(2) if peak else 1.0)
    if rated_power is not None and _printed(held, "limit_per_kilowatt", row):
        by_power = held.look_up("limit_per_kilowatt", **row) * rated_power * 1e-3
        limit = min(max(limit, by_power), held.look_up("highest", **row))
    return limit * 1e-3, held.source(column, **row)


def rated_voltage_factor(heating: bool) -> tuple[float, Source]:
    """Test voltage over rated voltage: as printed for motors; for heating the root of the printed power. [1]

    References
    ----------
    iec-60335-1-2001, 13.1.
    """
    held = table("iec-60335-1-2001", "clause-13-1")
    if heating:
        power = held.look_up("times_rated_power", appliance="heating")
        return math.sqrt(power), held.source("times_rated_power", appliance="heating")
    return held.look_up("times_rated_voltage", appliance="motor"), held.source("times_rated_voltage", appliance="motor")


def scaled_to_test_voltage(current: float, supply_voltage: float, rated_voltage: float, factor: float) -> float:
    """Current of a linear network at the standard's test voltage instead of the supply's. [A]

    References
    ----------
    iec-60335-1-2001, 13.1.
    """
    return current * factor * rated_voltage / supply_voltage


def contact_voltage_limit(wet: bool) -> tuple[float, Source]:
    """Conventional touch voltage limit for alternating current; the lower one also for children and livestock. [V]

    References
    ----------
    iec-60364-4-41, conventional touch voltage limit.
    """
    condition = "wet, children or livestock" if wet else "normal"
    held = table(default_edition("disconnection-time"), "touch-voltage")
    return held.look_up("voltage_ac", condition=condition), held.source("voltage_ac", condition=condition)


def disconnection_time_limit(nominal_voltage: float, system: str = "tn") -> tuple[float, Source]:
    """Longest disconnection time of a final circuit up to 32 A, by the nominal voltage to earth. [s]

    Raises
    ------
    OutsideTableError
        If nothing is required at that voltage.

    References
    ----------
    iec-60364-4-41, Table 41.1.
    """
    held = table(default_edition("disconnection-time"), "table-41-1")
    column = f"{system}_ac"
    return (
        held.look_up(column, nominal_voltage=nominal_voltage),
        held.source(column, nominal_voltage=nominal_voltage),
    )


def earth_continuity_limit() -> tuple[float, Source]:
    """Resistance of the unit's protective earth in service, cord not counted. [ohm]

    References
    ----------
    iet-cop-5, earth continuity.
    """
    held = table(default_edition("in-service"), "earth-continuity")
    return held.look_up("resistance", appliance="usual"), held.source("resistance", appliance="usual")


def earth_with_any_cord() -> float:
    """Highest resistance of a protective earth in service that any held table allows, its cord counted. [ohm]

    References
    ----------
    vde-0701-0702, protective conductor.
    """
    return table("vde-0701-0702", "earth-continuity").look_up("highest")


def touch_current_of_perception() -> float:
    """Steady touch current up to which a voltage needs no other protection. [A]

    References
    ----------
    iec-61140, steady touch current.
    """
    return table("iec-61140", "touch-current").look_up("current_ac", threshold="perception") * 1e-3


def insulation_limit(protection_class: str, heating_power: float | None = None) -> tuple[float, Source]:
    """Insulation resistance that a unit in service must have, at 500 V d.c.

    Parameters
    ----------
    protection_class : str
        "I" or "II".
    heating_power : float or None
        Rated power of heating elements; None if there are none or it is not known. [W]

    Returns
    -------
    float, Source
        Least resistance [ohm], and where it comes from: from 3 kW of class I the lower limit from memory.

    Raises
    ------
    OutsideTableError
        If no limit of the class is held.

    References
    ----------
    iet-cop-5, insulation resistance.
    """
    held = table(default_edition("in-service"), "insulation")
    large = protection_class == "I" and heating_power is not None and heating_power >= 3000.0
    row = "I, heating from 3 kW" if large else protection_class
    return held.look_up("resistance", protection_class=row), held.source("resistance", protection_class=row)


def status_of(sources: tuple[Source, ...]) -> Status:
    """The least certain status of several sources."""
    return weakest(source.status for source in sources)


def _printed(held: Table, column: str, row: dict[str, str]) -> str:
    names = [name for name, _ in held.arguments + held.values]
    found = [
        cells[names.index(column)]
        for cells in held.rows
        if all(cells[names.index(name)] == value for name, value in row.items())
    ]
    return found[0] if found else ""


def _distribution(deviations: float, degrees_of_freedom: float) -> float:
    if math.isinf(degrees_of_freedom):
        return float(ndtr(deviations))
    return float(stdtr(degrees_of_freedom, deviations))

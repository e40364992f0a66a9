"""What a maker's own tests ask for: electric strength of the insulation, and power against rated power.

For findings and requests to a maker. None of these tests is ever proposed to a member of the public.
"""

from hazardreport.quantity.trace import Source
from hazardreport.standards.tables import table

TYPE_TEST, ROUTINE_TEST = ("iec-60335-1-2001", "clause-13-3"), ("cqc-routine-tests", "strength")


def strength_test_voltage(insulation: str, rated_voltage: float, after_humidity: bool = False) -> tuple[float, Source]:
    """Voltage of the type test of 1 min.

    Parameters
    ----------
    insulation : str
        "basic", "supplementary", "reinforced" or "extra-low voltage".
    rated_voltage : float
        Of the unit, up to 250 V. [V]
    after_humidity : bool
        True for the test cold after humidity, false for that at operating temperature.

    Returns
    -------
    float, Source
        r.m.s. [V], and where it comes from.

    Raises
    ------
    OutsideTableError
        If there is no such insulation, or the rated voltage is higher.

    References
    ----------
    iec-60335-1-2001, 13.3 and 16.3.
    """
    held, column = table(*TYPE_TEST), "after_humidity" if after_humidity else "operating"
    return (
        held.look_up(column, insulation=insulation, rated_voltage=rated_voltage),
        held.source(column, insulation=insulation, rated_voltage=rated_voltage),
    )


def routine_test_voltage(insulation: str, rated_voltage: float) -> tuple[float, Source]:
    """Voltage of the test of 1 s on each unit that leaves the factory; "basic", "reinforced" or "class III". [V]

    Raises
    ------
    OutsideTableError
        If no voltage is held for them.

    References
    ----------
    cqc-routine-tests, annex.
    """
    held = table(*ROUTINE_TEST)
    return (
        held.look_up("voltage", insulation=insulation, rated_voltage=rated_voltage),
        held.source("voltage", insulation=insulation, rated_voltage=rated_voltage),
    )


def rated_power_range(rated_power: float) -> tuple[float, float, Source]:
    """Lowest and highest power of a heating unit at rated voltage and operating temperature.

    Parameters
    ----------
    rated_power : float
        As marked, positive. [W]

    Returns
    -------
    float, float, Source
        Lowest and highest power [W], and where the deviations come from.

    Raises
    ------
    ValueError
        If the rated power is not positive and finite.

    References
    ----------
    iec-60335-1-2001, 10.1.
    """
    if not 0.0 < rated_power < float("inf"):
        raise ValueError("rated_power")
    held = table("iec-60335-1-2001", "clause-10-1")
    below, above, at_least = (
        held.look_up(column, rated_power=rated_power) for column in ("below", "above", "above_at_least")
    )
    return (
        rated_power * (1.0 - below),
        rated_power + max(rated_power * above, at_least),
        held.source("above", rated_power=rated_power),
    )

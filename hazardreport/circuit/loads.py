"""Test loads between the touchable part and earth: impedances, plain filament lamps with their curve, a person.

Halogen, fluorescent and light-emitting lamps are not covered: they can glow on harmless leakage.
"""

import math
from dataclasses import dataclass
from functools import cache

import numpy as np

from hazardreport.case.reading import Brightness
from hazardreport.circuit.curved import Array, Curved, curved_voltage
from hazardreport.errors import OutsideTableError
from hazardreport.quantity.trace import Source
from hazardreport.standards.tables import table

VACUUM, GAS_FILLED = "vacuum", "gas-filled"


@dataclass(frozen=True, kw_only=True, slots=True)
class Lamp:
    """A plain filament lamp.

    rated_voltage  [V]
    rated_power    [W]
    tolerance      limits of its rated current as a fraction, None for the usual ones [1]
    """

    rated_voltage: float
    rated_power: float
    tolerance: float | None = None

    def response(self, voltage: Array) -> tuple[Array, Array]:
        """Current [A], and its relative change over that of the voltage [1], at voltages above zero."""
        currents, rises = [], []
        for cold, rise, power, root, conductance in filaments(self.rated_voltage, self.rated_power):
            grown = rise * voltage**power
            relative = cold + grown
            currents.append(conductance * voltage * relative**root)
            rises.append(1.0 + root * power * (grown / relative))
        if len(currents) == 1:
            return currents[0], rises[0]
        total = np.sum(currents, axis=0)
        return total, np.sum([i * n for i, n in zip(currents, rises, strict=True)], axis=0) / total


@dataclass(frozen=True, kw_only=True, slots=True)
class Person:
    """A body whose resistance falls as the voltage across it rises: linear between points, level outside them.

    voltages     across the body, rising [V]
    resistances  at those, path factor included; floor and footwear belong to the source [ohm]
    """

    voltages: tuple[float, ...]
    resistances: tuple[float, ...]

    def response(self, voltage: Array) -> tuple[Array, Array]:
        """Current [A], and its relative change over that of the voltage [1], at voltages above zero."""
        points, values = np.array(self.voltages), np.array(self.resistances)
        resistance = np.interp(voltage, points, values)
        slopes = np.concatenate([[0.0], np.diff(values) / np.diff(points), [0.0]])
        slope = slopes[np.searchsorted(points, voltage)]
        return voltage / resistance, 1.0 - voltage * slope / resistance


Load = complex | float | Curved


@dataclass(frozen=True, slots=True)
class Curve:
    """Constants of one filament: exponent n, resistance hot over cold, order m of the blend. [1]"""

    exponent: float
    hot_cold_ratio: float
    order: float


def filament_resistance(voltage: float, rated_voltage: float, rated_power: float, curve: Curve) -> float:
    """Resistance of a filament at a voltage.

    Parameters
    ----------
    voltage : float
        Across the filament, not negative. [V]
    rated_voltage : float
        [V]
    rated_power : float
        [W]
    curve : Curve
        Constants of the filament. [1]

    Returns
    -------
    float
        Vr²/P at rated voltage, the cold resistance at zero. [ohm]

    References
    ----------
    own-choices, lamp curve.
    """
    cold = curve.hot_cold_ratio**-curve.order
    share = (voltage / rated_voltage) ** ((1.0 - curve.exponent) * curve.order)
    relative: float = (cold + (1.0 - cold) * share) ** (1.0 / curve.order)
    return rated_voltage**2 / rated_power * relative


def fillings(rated_power: float) -> tuple[str, ...]:
    """Fillings that a lamp of that power [W] may have: vacuum, gas-filled, or either."""
    limits = table("own-choices", "lamp-filling")
    if rated_power <= limits.look_up("vacuum_up_to"):
        return (VACUUM,)
    if rated_power >= limits.look_up("gas_filled_from"):
        return (GAS_FILLED,)
    return (VACUUM, GAS_FILLED)


def mains(rated_voltage: float) -> str:
    """Which mains a lamp of that rated voltage [V] is made for, as the lamp table names it.

    Raises
    ------
    OutsideTableError
        For ratings from 130 to 220 V and above 240 V: the table has no filament for them.
    """
    if 0.0 < rated_voltage <= 130.0:
        return "120 V"
    if 220.0 <= rated_voltage <= 240.0:
        return "230 V"
    raise OutsideTableError(
        table="own-choices lamp curve",
        argument="rated voltage of the lamp",
        value=f"{rated_voltage:g} V",
        allowed="to 130 V; 220 to 240 V",
    )


@cache
def curves(rated_voltage: float, rated_power: float) -> tuple[Curve, ...]:
    """The curve of a lamp by its rating [V], [W], or both curves where its filling is not known."""
    constants, column = table("own-choices", "lamp-curve"), mains(rated_voltage)
    names = ("exponent", "hot_cold_ratio", "order")
    return tuple(
        Curve(*(constants.look_up(name, filling=filling, mains=column) for name in names))
        for filling in fillings(rated_power)
    )


@cache
def filaments(rated_voltage: float, rated_power: float) -> tuple[tuple[float, float, float, float, float], ...]:
    """Constants (c, r, p, q, G) of a lamp's filaments, worked out once: its current [A] is the sum of
    G·V·(c + r·V^p)^q over V [V].
    """
    found, of = [], curves(rated_voltage, rated_power)
    for curve in of:
        cold = curve.hot_cold_ratio**-curve.order
        rise = (1.0 - cold) * rated_voltage ** ((curve.exponent - 1.0) * curve.order)
        conductance = rated_power / rated_voltage**2 / len(of)
        found.append((cold, rise, (1.0 - curve.exponent) * curve.order, -1.0 / curve.order, conductance))
    return tuple(found)


def lamp_current(voltage: float, rated_voltage: float, rated_power: float) -> float:
    """Current of a plain filament lamp; between 25 and 40 W the mean of both fillings.

    Parameters
    ----------
    voltage : float
        Across the lamp, not negative. [V]
    rated_voltage, rated_power : float
        [V], [W]

    Returns
    -------
    float
        [A]

    References
    ----------
    own-choices, lamp curve; lamp filling by power.

    Examples
    --------
    >>> f"{lamp_current(120.0, 120.0, 15.0):.3f}"
    '0.125'
    """
    total = 0.0
    for cold, rise, power, root, conductance in filaments(rated_voltage, rated_power):
        total += conductance * (cold + rise * voltage**power) ** root
    return voltage * total


def lamp_resistance(voltage: float, rated_voltage: float, rated_power: float) -> float:
    """Resistance of a plain filament lamp at a voltage, the cold resistance at zero. [ohm]"""
    found = curves(rated_voltage, rated_power)
    conductance = sum(1.0 / filament_resistance(voltage, rated_voltage, rated_power, curve) for curve in found)
    return len(found) / conductance


def lamp_tolerance(lamp: Lamp) -> float:
    """Limits of the rated current: the lamp's own or the usual ones. [1]"""
    return table("own-choices", "lamp-tolerance").look_up("tolerance") if lamp.tolerance is None else lamp.tolerance


def curve_error(lamp: Lamp, voltage: float) -> float:
    """Limits of error of the lamp curve itself at a voltage, as a fraction of the current. [1]"""
    errors = table("own-choices", "lamp-error")
    relative = voltage / lamp.rated_voltage
    return max(
        errors.look_up("error", filling=filling, relative_voltage=relative) for filling in fillings(lamp.rated_power)
    )


def lamp_relative_uncertainty(lamp: Lamp, voltage: float) -> float:
    """Standard uncertainty of a lamp's current at a voltage, relative. [1]

    Rectangular limits of rated current and curve, and half the difference of the fillings where both are possible.
    """
    limits = [lamp_tolerance(lamp), curve_error(lamp, voltage)]
    found = [
        1.0 / filament_resistance(voltage, lamp.rated_voltage, lamp.rated_power, curve)
        for curve in curves(lamp.rated_voltage, lamp.rated_power)
    ]
    limits.append((max(found) - min(found)) / (max(found) + min(found)))
    return math.sqrt(sum(limit**2 for limit in limits) / 3.0)


def lamp_sources() -> tuple[Source, ...]:
    """Sources of the lamp's curve, filling, error and tolerance."""
    names = ("lamp-curve", "lamp-filling", "lamp-error", "lamp-tolerance")
    return tuple(table("own-choices", name).source() for name in names)


def loaded_voltage(open_circuit_voltage: complex, source_impedance: complex, load: Load) -> float:
    """Voltage across a load on a Thevenin source.

    Parameters
    ----------
    open_circuit_voltage : complex
        U0. [V]
    source_impedance : complex
        Zs, its resistance not negative; may be infinite. [ohm]
    load : complex or Curved
        Impedance [ohm], or a lamp or a person: then by a bracketed root, since the current rises steadily with the
        voltage.

    Returns
    -------
    float
        Magnitude. [V]
    """
    voltage = abs(open_circuit_voltage)
    if voltage == 0.0 or math.isinf(abs(source_impedance)):
        return 0.0
    if not isinstance(load, int | float | complex):
        return float(curved_voltage(np.array([voltage]), np.array([source_impedance]), load)[0])
    return voltage if math.isinf(abs(load)) else voltage * abs(load) / abs(source_impedance + load)


def loaded_current(open_circuit_voltage: complex, source_impedance: complex, load: Load) -> float:
    """Current through a load on a Thevenin source, magnitude. [A]"""
    if not isinstance(load, int | float | complex):
        across = loaded_voltage(open_circuit_voltage, source_impedance, load)
        return 0.0 if across == 0.0 else float(load.response(np.array([across]))[0][0])
    if math.isinf(abs(source_impedance)) or math.isinf(abs(load)) or open_circuit_voltage == 0.0:
        return 0.0
    return abs(open_circuit_voltage) / abs(source_impedance + load)


def behind_meter(
    open_circuit_voltage: complex, source_impedance: complex, meter_impedance: complex
) -> tuple[complex, complex]:
    """The source as another load sees it while a meter stays connected beside that load. [V], [ohm]"""
    if math.isinf(abs(meter_impedance)) or math.isinf(abs(source_impedance)):
        return open_circuit_voltage, source_impedance if math.isinf(abs(meter_impedance)) else meter_impedance
    share = meter_impedance / (source_impedance + meter_impedance)
    return open_circuit_voltage * share, source_impedance * share


def brightness_bracket(brightness: Brightness) -> tuple[float, float]:
    """Least and greatest voltage that a brightness shows, as fractions of the rated voltage. [1]"""
    shares = table("own-choices", "lamp-brightness")
    cells = {row[0]: row[1:] for row in shares.rows}[brightness.value]
    return float(cells[0]), float(cells[1]) if cells[1] else math.inf


def lamp_bound(lamp: Lamp, brightness: Brightness) -> float:
    """Least available current that a seen brightness proves; zero for a dark lamp.

    Parameters
    ----------
    lamp : Lamp
        Its rating, with the tolerance of its rated current.
    brightness : Brightness
        As seen between touchable part and earth.

    Returns
    -------
    float
        Current at the lower end of the bracket, less the limits of lamp and curve. [A]

    References
    ----------
    own-choices, brightness of a lamp; lamp curve.
    """
    least = brightness_bracket(brightness)[0] * lamp.rated_voltage
    if least == 0.0:
        return 0.0
    doubt = lamp_tolerance(lamp) + curve_error(lamp, least)
    return lamp_current(least, lamp.rated_voltage, lamp.rated_power) * max(0.0, 1.0 - doubt)

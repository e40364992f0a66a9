"""Closed forms from readings to the source at the touchable part, each redoable with a pocket calculator.

A test load counts with the meter beside it: its admittance is that of both together.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hazardreport.case.reading import PlugPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Earthing, Supply, SupplyFault, Wiring
from hazardreport.circuit.network_parameters import elements
from hazardreport.circuit.unit_wires import impossible, open_poles, sources
from hazardreport.errors import ReadingAboveSupplyError

Array = NDArray[np.float64]

ONE_SIDED_95 = 1.6448536269514722


class Nature(Enum):
    """Phase of an assumed source impedance: a resistance, or a capacitance as harmless leakage has it."""

    RESISTIVE = 1.0
    CAPACITIVE = -1j


@dataclass(frozen=True, slots=True)
class ClosedForm:
    """One route as an equation: (k, n) inputs to (k, m) outputs, with the text that a report prints.

    inputs     (symbol, unit) in the order of the columns
    outputs    (symbol, unit, equation) in the order of the columns
    """

    inputs: tuple[tuple[str, str], ...]
    outputs: tuple[tuple[str, str, str], ...]
    function: Callable[[Array], Array]

    def __call__(self, inputs: Array) -> Array:
        return self.function(inputs)


def admittance(resistance: ArrayLike, capacitance: ArrayLike, frequency: float) -> NDArray[np.complex128]:
    """Admittance of a resistance beside a capacitance. [S]"""
    result: NDArray[np.complex128] = 1.0 / np.asarray(resistance) + 2j * np.pi * frequency * np.asarray(capacitance)
    return result


def two_loads(first_voltage: Any, first: Any, second_voltage: Any, second: Any, nature: Nature) -> tuple[Any, Any]:
    """Open-circuit voltage and source impedance from two voltages under two loads.

    Parameters
    ----------
    first_voltage, second_voltage : float or ndarray, shape (...)
        Magnitudes under the lighter and the heavier load, not zero. [V]
    first, second : complex or ndarray, shape (...)
        Admittances of the loads, meter included. [S]
    nature : Nature
        Whether the source is taken as a resistance or as a capacitance; magnitudes alone do not tell.

    Returns
    -------
    tuple of float or ndarray, shape (...)
        U0 [V] and the modulus of Zs [ohm]; negative or not a number where no source of that nature fits.

    Notes
    -----
    U0² = V²·|1 + Zs·y|² for both loads is one quadratic in |Zs|. For resistances it is the formula that is usually
    printed, Zs = R1·R2·(V1 − V2)/(V2·R1 − V1·R2).

    Examples
    --------
    >>> voltage, impedance = two_loads(119.880, 1e-7, 27.677, 1 / 3e3, Nature.RESISTIVE)
    >>> f"{voltage:.3f} {impedance:.2f}"
    '120.000 10007.19'
    """
    direction = nature.value
    squares = np.square(first_voltage), np.square(second_voltage)
    a = squares[0] * np.abs(first) ** 2 - squares[1] * np.abs(second) ** 2
    b = 2.0 * (squares[0] * np.real(direction * first) - squares[1] * np.real(direction * second))
    c = squares[0] - squares[1]
    with np.errstate(invalid="ignore", divide="ignore"):
        impedance = 2.0 * c / (np.sqrt(b * b - 4.0 * a * c) - b)
    return first_voltage * np.abs(1.0 + direction * impedance * np.asarray(first)), impedance


ADMITTANCES = "y1 = 1/R1 + j·2·π·f·C1; y2 = 1/R2 + j·2·π·f·C2"
TWO_LOADS_TEXT = {
    Nature.RESISTIVE: (
        f"V1 · |1 + Zs·y1|; {ADMITTANCES}",
        f"V1²·|1 + Zs·y1|² = V2²·|1 + Zs·y2|²; {ADMITTANCES}; without C: R1·R2·(V1 − V2) / (V2·R1 − V1·R2)",
    ),
    Nature.CAPACITIVE: (
        f"V1 · |1 − j·Zs·y1|; {ADMITTANCES}",
        f"V1²·|1 − j·Zs·y1|² = V2²·|1 − j·Zs·y2|²; {ADMITTANCES}; without C: √((V1² − V2²) / (V2²/R2² − V1²/R1²))",
    ),
}
"""U0 and Zs from two loads; the second is solved for Zs."""


def two_loads_form(nature: Nature, first_susceptance: float = 0.0, second_susceptance: float = 0.0) -> ClosedForm:
    """The route of two loads as an equation of (V1, R1, V2, R2).

    Parameters
    ----------
    nature : Nature
        Resistance or capacitance.
    first_susceptance, second_susceptance : float
        2π·f·C beside each load, from the meter's capacitance; taken as exact. [S]
    """

    def function(inputs: Array) -> Array:
        v1, r1, v2, r2 = np.moveaxis(np.asarray(inputs, float), -1, 0)
        first, second = 1.0 / r1 + 1j * first_susceptance, 1.0 / r2 + 1j * second_susceptance
        voltage, impedance = two_loads(v1, first, v2, second, nature)
        return np.stack([voltage, impedance, voltage / impedance], axis=-1)

    return ClosedForm(
        inputs=(("V1", "V"), ("R1", "ohm"), ("V2", "V"), ("R2", "ohm")),
        outputs=(
            ("U0", "V", TWO_LOADS_TEXT[nature][0]),
            ("Zs", "ohm", TWO_LOADS_TEXT[nature][1]),
            ("Isc", "A", "U0 / |Zs|"),
        ),
        function=function,
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class OneSided:
    """One-sided 95 % bounds where two loads are hardly apart.

    resolved             the lower bound of |Zs| is above zero
    least_impedance, greatest_impedance   of |Zs|, not negative; infinite where no load at all fits [ohm]
    least_current, greatest_current       of Isc [A]
    """

    resolved: bool
    least_impedance: float
    greatest_impedance: float
    least_current: float
    greatest_current: float


def two_loads_bounds(
    first_voltage: tuple[float, float],
    first: complex,
    second_voltage: tuple[float, float],
    second: complex,
    nature: Nature,
) -> OneSided:
    """One-sided 95 % bounds of the source from two loads, with Zs ≥ 0 kept.

    Parameters
    ----------
    first_voltage, second_voltage : (float, float)
        Value and standard uncertainty under the lighter and the heavier load. [V]
    first, second : complex
        Admittances of the loads, meter included. [S]
    nature : Nature
        Resistance or capacitance.

    Notes
    -----
    |Zs| depends on the ratio V2/V1 only and falls as it rises, so a bound of the ratio is a bound of |Zs|.
    """
    (v1, u1), (v2, u2) = first_voltage, second_voltage
    ratio = v2 / v1
    doubt = ONE_SIDED_95 * ratio * math.hypot(u1 / v1, u2 / v2)

    def source(at: float) -> tuple[float, float]:
        if at >= 1.0:
            return 0.0, math.inf
        if at <= 0.0:
            return math.inf, 0.0
        voltage, impedance = two_loads(v1, first, v1 * at, second, nature)
        return (float(impedance), float(voltage / impedance)) if impedance >= 0.0 else (math.inf, 0.0)

    least_impedance, greatest_current = source(ratio + doubt)
    greatest_impedance, least_current = source(ratio - doubt)
    return OneSided(
        resolved=least_impedance > 0.0 and greatest_impedance < math.inf,
        least_impedance=least_impedance,
        greatest_impedance=greatest_impedance,
        least_current=least_current,
        greatest_current=greatest_current,
    )


def load_current(voltage: Any, meter: Any, current: Any, load: Any, nature: Nature) -> tuple[Any, Any]:
    """Open-circuit voltage and source impedance from an unloaded voltage and the current through a known load.

    Parameters
    ----------
    voltage : float or ndarray, shape (...)
        With only the meter connected. [V]
    meter : complex or ndarray
        Admittance of the meter. [S]
    current : float or ndarray
        Through the load. [A]
    load : complex or ndarray
        Admittance of the load, ammeter in series included. [S]
    nature : Nature
        Resistance or capacitance.

    Returns
    -------
    tuple of float or ndarray, shape (...)
        U0 [V] and the modulus of Zs [ohm].
    """
    return two_loads(voltage, meter, current / np.abs(load), load, nature)


def _load_current_form(nature: Nature) -> ClosedForm:
    def function(inputs: Array) -> Array:
        v1, r1, current, r2 = np.moveaxis(np.asarray(inputs, float), -1, 0)
        voltage, impedance = load_current(v1, 1.0 / r1, current, 1.0 / r2, nature)
        return np.stack([voltage, impedance, voltage / impedance], axis=-1)

    texts = {
        Nature.RESISTIVE: ("V1 · (1 + Zs/R1)", "(V1 − I2·R2) / (I2 − V1/R1)"),
        Nature.CAPACITIVE: ("V1 · |1 − j·Zs/R1|", "V1²·|1 − j·Zs/R1|² = I2²·|R2 − j·Zs|²"),
    }[nature]
    return ClosedForm(
        inputs=(("V1", "V"), ("R1", "ohm"), ("I2", "A"), ("R2", "ohm")),
        outputs=(
            ("U0", "V", texts[0]),
            ("Zs", "ohm", texts[1]),
            ("Isc", "A", "U0 / |Zs|"),
        ),
        function=function,
    )


LOAD_CURRENT = {nature: _load_current_form(nature) for nature in Nature}


def fault_location(first: Any, second: Any, element: Any) -> tuple[Any, Any]:
    """Fault position and fault resistance from three resistances of the unplugged unit.

    Parameters
    ----------
    first, second : float or ndarray, shape (...)
        Terminal 1 and terminal 2 to the touchable part, leads subtracted. [ohm]
    element : float or ndarray, shape (...)
        Terminal to terminal, leads subtracted. [ohm]

    Returns
    -------
    tuple of float or ndarray, shape (...)
        x, as a fraction of the resistance from terminal 1 [1], and Rf [ohm].

    Notes
    -----
    One fault, uniform wire.

    Examples
    --------
    >>> position, resistance = fault_location(2.7, 7.5, 9.6)
    >>> f"{position:.2f} {resistance:.1f}"
    '0.25 0.3'
    """
    return (first - second + element) / (2.0 * element), (first + second - element) / 2.0


def _ohmmeter(inputs: Array) -> Array:
    return np.stack(fault_location(*np.moveaxis(np.asarray(inputs, float), -1, 0)), axis=-1)


FAULT_LOCATION = ClosedForm(
    inputs=(("r1", "ohm"), ("r2", "ohm"), ("R", "ohm")),
    outputs=(("x", "1", "(r1 − r2 + R) / (2·R)"), ("Rf", "ohm", "(r1 + r2 − R) / 2")),
    function=_ohmmeter,
)


def refuse_other_paths(wiring: Wiring, state: UnitState) -> None:
    """Raise StateNotPossibleError where three resistances are those of more than one whole element with one fault."""
    faulty, *others = elements(wiring)
    if faulty.open_at is not None or any(other.open_at is None for other in others):
        raise impossible(state, "more_paths")


def _back(wiring: Wiring) -> float:
    """Resistance from the socket's neutral or second pole to the supply, infinite for a lost neutral. [ohm]"""
    if wiring.supply is not Supply.EARTHED_NEUTRAL or wiring.supply_fault is SupplyFault.NONE:
        return wiring.neutral_resistance
    if wiring.supply_fault is SupplyFault.NEUTRAL or wiring.earthing is Earthing.TT:
        return math.inf
    return wiring.neutral_resistance + (
        math.inf if wiring.electrode_resistance is None else wiring.electrode_resistance
    )


def _ends_of_element(wiring: Wiring, state: UnitState) -> tuple[frozenset[int], tuple[complex, complex]]:
    """Poles through which no current comes, lost conductors counted; share of the supply on pin 1 and on pin 2. [1]"""
    refuse_other_paths(wiring, state)
    shares = [share for *_, share in sources(wiring.supply)]
    line, back = shares[0], shares[1] if len(shares) > 1 else 0.0
    straight = state.plug is PlugPosition.STRAIGHT
    interrupted = open_poles(wiring, state)
    if math.isinf(_back(wiring)):
        interrupted |= {2 if straight else 1}
    return interrupted, (line, back) if straight else (back, line)


def ohmmeter_source(
    wiring: Wiring, state: UnitState, supply: Any, first: Any, second: Any, element: Any, hot_factor: Any
) -> tuple[Any, Any]:
    """Open-circuit voltage and source impedance of an unearthed state from resistances and the supply voltage.

    Parameters
    ----------
    wiring : Wiring
        Supply kind, poles that switch and cut-out interrupt, line and neutral resistance, lost conductors.
    state : UnitState
        Straight or reversed, on or off.
    supply : float or ndarray, shape (...)
        Pole to pole. [V]
    first, second, element : float or ndarray, shape (...)
        As for `fault_location`, on the cold unit with the switch on. [ohm]
    hot_factor : float or ndarray
        Ct; only the element's part of the resistances grows with it. [1]

    Returns
    -------
    tuple of float or ndarray, shape (...)
        U0 [V] and Zs [ohm]; zero and infinity with both poles open.

    Raises
    ------
    StateNotPossibleError
        For a broken element or several, which these resistances do not describe, or an unknown switch.
    """
    position, fault = fault_location(first, second, element)
    near, far = position * element * hot_factor, (1.0 - position) * element * hot_factor
    line, back = wiring.line_resistance, _back(wiring)
    to_first, to_second = (line, back) if state.plug is PlugPosition.STRAIGHT else (back, line)
    leg_1, leg_2 = near + to_first, far + to_second
    interrupted, (share_1, share_2) = _ends_of_element(wiring, state)
    if interrupted == {1, 2}:
        return 0.0 * supply, math.inf + 0.0 * fault
    if interrupted == {1}:
        return abs(share_2) * supply, fault + leg_2
    if interrupted == {2}:
        return abs(share_1) * supply, fault + leg_1
    voltage = supply * np.abs(share_1 * leg_2 + share_2 * leg_1) / (leg_1 + leg_2)
    return voltage, fault + leg_1 * leg_2 / (leg_1 + leg_2)


_POLE_TEXT = {Supply.EARTHED_NEUTRAL: "U", Supply.TWO_LIVE_POLES: "U/2", Supply.TWO_PHASES: "U/√3"}
_BETWEEN_TEXT = {
    Supply.TWO_LIVE_POLES: "U · |a2 − a1| / (2·(a1 + a2))",
    Supply.TWO_PHASES: "U · √((a2 − a1)²/4 + (a1 + a2)²/12) / (a1 + a2)",
}


def ohmmeter_form(wiring: Wiring, state: UnitState) -> ClosedForm:
    """The ohmmeter route of one state as an equation of (U, r1, r2, R, Ct).

    Raises
    ------
    StateNotPossibleError
        As for `ohmmeter_source`.
    """

    def function(inputs: Array) -> Array:
        columns = np.moveaxis(np.asarray(inputs, float), -1, 0)
        voltage, impedance = ohmmeter_source(wiring, state, *columns)
        voltage, impedance = np.broadcast_arrays(voltage, impedance)
        return np.stack([voltage, impedance, voltage / impedance], axis=-1)

    line, neutral = ("RL", "RN") if state.plug is PlugPosition.STRAIGHT else ("RN", "RL")
    leg_1, leg_2 = f"x·Ct·R + {line}", f"(1 − x)·Ct·R + {neutral}"
    interrupted, shares = _ends_of_element(wiring, state)
    pole_1, pole_2 = (_POLE_TEXT[wiring.supply] if share else "0" for share in shares)
    between = _BETWEEN_TEXT.get(wiring.supply, f"U · a{2 if shares[0] else 1} / (a1 + a2)")
    legs = f"a1 = {leg_1}, a2 = {leg_2}"
    texts = {
        frozenset(): (f"{between}; {legs}", f"Rf + a1·a2 / (a1 + a2); {legs}"),
        frozenset({1}): (pole_2, f"Rf + {leg_2}"),
        frozenset({2}): (pole_1, f"Rf + {leg_1}"),
        frozenset({1, 2}): ("0", "∞"),
    }
    voltage_text, impedance_text = texts[interrupted]
    return ClosedForm(
        inputs=(("U", "V"), ("r1", "ohm"), ("r2", "ohm"), ("R", "ohm"), ("Ct", "1")),
        outputs=(("U0", "V", voltage_text), ("Zs", "ohm", impedance_text), ("Isc", "A", "U0 / Zs")),
        function=function,
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class Possible:
    """Range of available current that a reading on a high-impedance meter leaves open. [A]"""

    least: float
    greatest: float


LEAST_CURRENT_TEXT = "(V − 2·uV) / Zm · k / √(k² − 1); k = (UE + 2·uE) / (V − 2·uV)"


def high_impedance_range(
    voltage: tuple[float, float], meter: complex, supply: tuple[float, float], loop_resistance: float
) -> Possible:
    """Range of available current after nothing but an unloaded reading.

    Parameters
    ----------
    voltage : (float, float)
        Reading and its standard uncertainty. [V]
    meter : complex
        Impedance of the meter, its capacitance included. [ohm]
    supply : (float, float)
        Supply voltage and its standard uncertainty. [V]
    loop_resistance : float
        Least resistance of the loop, that of the supply conductor. [ohm]

    Returns
    -------
    Possible
        Least current that every resistive-capacitive source behind the supply would give; greatest by the supply.

    Raises
    ------
    ReadingAboveSupplyError
        If the reading is above the supply by more than both doubts.
    """
    low = voltage[0] - 2.0 * voltage[1]
    high = supply[0] + 2.0 * supply[1]
    greatest = high / loop_resistance if loop_resistance > 0.0 else math.inf
    if low <= 0.0:
        return Possible(least=0.0, greatest=greatest)
    ratio = high / low
    if ratio < 1.0:
        raise ReadingAboveSupplyError(voltage=f"{voltage[0]:g}", supply=f"{supply[0]:g}")
    if ratio == 1.0:
        return Possible(least=greatest, greatest=greatest)
    least = low / abs(meter) * ratio / math.sqrt(ratio**2 - 1.0)
    return Possible(least=min(least, greatest), greatest=greatest)

"""What stays between the pins after unplugging: voltage, charge, energy, and the time until a limit."""

import math
from dataclasses import dataclass

from hazardreport.errors import StoredChargeNotPhysicalError
from hazardreport.quantity.trace import Source
from hazardreport.standards.tables import table


@dataclass(frozen=True, kw_only=True, slots=True)
class PinCircuit:
    """All that is connected between the pins.

    capacitance   positive or zero [F]
    bleeder       infinite where there is none [ohm]
    meter         that reads the pins; infinite where nobody reads [ohm]
    element       with its switch closed; infinite with the switch open [ohm]
    """

    capacitance: float
    bleeder: float = math.inf
    meter: float = math.inf
    element: float = math.inf

    def __post_init__(self) -> None:
        physical = 0 <= self.capacitance < math.inf
        for name in ("bleeder", "meter", "element"):
            physical = physical and getattr(self, name) > 0
        if not physical:
            raise StoredChargeNotPhysicalError(
                values=f"{self.capacitance:g} F, {self.bleeder:g} Ω, {self.meter:g} Ω, {self.element:g} Ω"
            )


@dataclass(frozen=True, kw_only=True, slots=True)
class StoredCharge:
    """Left between the pins.

    voltage         after the time asked for [V]
    charge, energy  at the crest, at once after unplugging [C], [J]
    time_to_limit   until the voltage is at the limit; infinite where nothing discharges [s]
    time_constant   [s]
    """

    voltage: float
    charge: float
    energy: float
    time_to_limit: float
    time_constant: float


def stored_charge(circuit: PinCircuit, voltage: float, after: float, limit: float) -> StoredCharge:
    """Charge between the pins of a unit that was unplugged at the crest.

    Parameters
    ----------
    circuit : PinCircuit
        Between the pins.
    voltage : float
        Of the supply, r.m.s. [V]
    after : float
        Time since unplugging. [s]
    limit : float
        Voltage taken as safe. [V]

    Returns
    -------
    StoredCharge

    Raises
    ------
    StoredChargeNotPhysicalError
        If a capacitance, voltage or time is negative, a resistance or the limit not positive, or one not a number.

    Examples
    --------
    >>> round(stored_charge(PinCircuit(capacitance=0.22e-6, bleeder=1e6), 230.0, 1.0, 34.0).voltage, 2)
    3.45

    Notes
    -----
    U(t) = √2 · U · exp(−t / (R · C)), R all resistances in parallel; time = R · C · ln(√2 · U / limit).

    References
    ----------
    iec-60335-1-2001, 22.5.
    """
    if not (0 <= voltage < math.inf and after >= 0 and limit > 0):
        raise StoredChargeNotPhysicalError(values=f"{voltage:g} V, {after:g} s, {limit:g} V")
    crest = math.sqrt(2.0) * voltage
    conductance = 1 / circuit.bleeder + 1 / circuit.meter + 1 / circuit.element
    if circuit.capacitance == 0:
        constant = 0.0
    else:
        constant = circuit.capacitance / conductance if conductance else math.inf
    return StoredCharge(
        voltage=_left(crest, after, constant),
        charge=circuit.capacitance * crest,
        energy=0.5 * circuit.capacitance * crest**2,
        time_to_limit=constant * math.log(crest / limit) if crest > limit else 0.0,
        time_constant=constant,
    )


def pin_limit() -> tuple[float, float]:
    """Voltage allowed between the pins [V], and how long after unplugging [s].

    References
    ----------
    iec-60335-1-2001, 22.5.
    """
    held = table("iec-60335-1-2001", "clause-22-5")
    return held.look_up("limit"), held.look_up("time")


def exempt(capacitance: float) -> bool:
    """Whether a total capacitance is too small for the limit to apply. [F]

    References
    ----------
    iec-60335-1-2001, 22.5.
    """
    return capacitance <= table("iec-60335-1-2001", "clause-22-5").look_up("exempt_capacitance_up_to")


def longest_time_constant(voltage: float) -> float:
    """Of a circuit that is at the limit just in time; infinite where the crest is within the limit.

    Parameters
    ----------
    voltage : float
        Rated, r.m.s. [V]

    Returns
    -------
    float
        [s]
    """
    limit, after = pin_limit()
    crest = math.sqrt(2.0) * voltage
    return after / math.log(crest / limit) if crest > limit else math.inf


def pin_limit_source() -> Source:
    """Where the limit, the time and the exemption come from."""
    return table("iec-60335-1-2001", "clause-22-5").source()


def _left(crest: float, after: float, constant: float) -> float:
    if after == 0 or constant == math.inf:
        return crest
    return crest * math.exp(-after / constant) if constant else 0.0

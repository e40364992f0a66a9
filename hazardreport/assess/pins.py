"""What stays between the pins after unplugging: with the switch off and on, at the rated and at the read voltage."""

import math

from hazardreport import wording
from hazardreport.assess.against_limits import rated_voltage
from hazardreport.assess.fitted import FittedNetwork
from hazardreport.assess.ledger import Ledger
from hazardreport.assess.records import LimitComparison, PinCharge
from hazardreport.assess.routes import where
from hazardreport.assess.source import switch_positions
from hazardreport.case.case import Case
from hazardreport.case.reading import SwitchPosition
from hazardreport.circuit.free_parameters import rated_resistance
from hazardreport.quantity.measured import Measured
from hazardreport.severity.limits import compare
from hazardreport.severity.stored_charge import PinCircuit, exempt, pin_limit, pin_limit_source, stored_charge


def pins(ledger: Ledger, case: Case, network: FittedNetwork | None, supply_id: str) -> tuple[PinCharge, ...]:
    """Nothing without a known capacitor between the pins; it starts at the crest and nobody's meter is counted."""
    capacitance = _capacitance(case)
    if not capacitance or not supply_id:
        return ()
    return tuple(
        _charge(ledger, case, network, supply_id, capacitance, switch) for switch in switch_positions(case.wiring)
    )


def _capacitance(case: Case) -> float:
    """X capacitor, and both Y capacitors in series, between the pins. [F]"""
    parts = case.wiring.filter
    first, second = parts.y_capacitance_1 or 0.0, parts.y_capacitance_2 or 0.0
    series = first * second / (first + second) if first and second else 0.0
    return (parts.x_capacitance or 0.0) + series


def _element(case: Case, network: FittedNetwork | None, switch: SwitchPosition) -> float:
    """Cold resistance of the element between the pins; infinite with its switch open, or if it is broken. [ohm]"""
    if switch is SwitchPosition.OFF or case.wiring.element.open_at is not None:
        return math.inf
    if network is not None:
        parameters = network.result.parameters
        return float(parameters.element_resistance) / float(parameters.hot_factor)
    return rated_resistance(case.wiring) or math.inf


def _charge(
    ledger: Ledger,
    case: Case,
    network: FittedNetwork | None,
    supply_id: str,
    capacitance: float,
    switch: SwitchPosition,
) -> PinCharge:
    limit, after = pin_limit()
    rated = rated_voltage(case) or case.wiring.nominal_voltage or ledger.value(supply_id)
    resistance = {
        "bleeder": case.wiring.filter.bleeder_resistance or math.inf,
        "element": _element(case, network, switch),
    }
    circuit = PinCircuit(capacitance=capacitance, **resistance)
    together = (
        1.0 / sum(1.0 / value for value in resistance.values())
        if not all(map(math.isinf, resistance.values()))
        else math.inf
    )
    position = "off" if switch is SwitchPosition.OFF else "on"
    fields = {"switch": wording.sentence(f"assess.pins.{position}"), "after": f"{after:g}"}
    shared = tuple(
        ledger.enter(f"pins.{key}", name, symbol, value, unit, equation=equation, sources=sources, fields=fields)
        for key, name, symbol, value, unit, equation, sources in (
            ("C", "pin_capacitance", "C", capacitance, "F", "X capacitor, with both Y capacitors in series", ()),
            (f"{position}.R", "pin_resistance", "R", together, "ohm", "bleeder and element beside each other", ()),
            ("t", "pin_time", "t", after, "s", "table", (pin_limit_source(),)),
            ("Ur", "rated_voltage", "Ur", rated, "V", "as on the plate", ()),
            ("L", "limit_pin_voltage", "L", limit, "V", "table", (pin_limit_source(),)),
        )
    )
    c, r, t, ur, threshold = shared
    at_rated, at_read = (stored_charge(circuit, voltage, after, limit) for voltage in (rated, ledger.value(supply_id)))
    given = f"; {where(ledger, ('U',), (supply_id,))}".removesuffix("; ")
    rows = {
        "rated": ("pin_voltage_rated", "UP", at_rated.voltage, "V", "√2 · Ur · exp(−t / (R·C))", (c, r, t, ur)),
        "read": (
            "pin_voltage_read",
            "UP",
            at_read.voltage,
            "V",
            f"√2 · U · exp(−t / (R·C)){given}",
            (c, r, t, supply_id),
        ),
        "charge": ("pin_charge", "Q", at_read.charge, "C", f"C · √2 · U{given}", (c, supply_id)),
        "energy": ("pin_energy", "W", at_read.energy, "J", f"C · U²{given}", (c, supply_id)),
        "safe": (
            "pin_time_to_safe",
            "ts",
            at_read.time_to_limit,
            "s",
            f"max(0, R·C · ln(√2 · U / L)){given}",
            (c, r, supply_id, threshold),
        ),
    }
    ids = {
        key: ledger.enter(
            f"pins.{position}.{key}",
            name,
            symbol,
            value,
            unit,
            equation=equation,
            inputs=inputs,
            sources=(pin_limit_source(),) if key in ("rated", "safe") else (),
            fields=fields,
        )
        for key, (name, symbol, value, unit, equation, inputs) in rows.items()
    }
    return PinCharge(
        switch=switch,
        voltage_rated=ids["rated"],
        voltage_measured=ids["read"],
        charge=ids["charge"],
        energy=ids["energy"],
        time_to_safe=ids["safe"],
        comparison=None if exempt(capacitance) else _comparison(ids["rated"], threshold, at_rated.voltage, limit),
    )


def _comparison(number: str, limit_id: str, voltage: float, limit: float) -> LimitComparison:
    probability, decision = compare(Measured(value=voltage, unit="V"), limit)
    return LimitComparison(
        name=wording.sentence("assess.limits.pins"),
        number=number,
        limit=limit_id,
        probability=probability,
        decision=decision,
        sources=(pin_limit_source(),),
    )

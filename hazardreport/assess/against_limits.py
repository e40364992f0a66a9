"""Numbers against limits: touch current in the standard's network, touch voltage, earth continuity."""

import math
from dataclasses import replace

from hazardreport import wording
from hazardreport.assess.ledger import Ledger
from hazardreport.assess.readings_in import EARTHS, by_insulation_tester, number_id, role
from hazardreport.assess.records import LimitComparison
from hazardreport.assess.routes import impedance_parts, where
from hazardreport.assess.source import SourceAt
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import LoadKind, Quantity, Reading, SwitchPosition, Temperature, Waveform
from hazardreport.case.stated import Standing
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Supply
from hazardreport.errors import OutsideTableError, TextNotUnderstoodError, UnitMismatchError
from hazardreport.quantity.measured import Measured
from hazardreport.quantity.trace import Source
from hazardreport.quantity.typed import Bound, read_value
from hazardreport.readings.result import Purpose, ReadingResult
from hazardreport.risk.protection_class import stated_class
from hazardreport.severity.limits import (
    compare,
    contact_voltage_limit,
    earth_continuity_limit,
    earth_with_any_cord,
    insulation_limit,
    rated_voltage_factor,
    touch_current_limit,
    touch_current_of_perception,
)
from hazardreport.severity.terms import LimitDecision
from hazardreport.severity.touch_network import (
    network_body_resistance,
    touch_network,
    touch_network_reading,
    touch_network_source,
)
from hazardreport.standards.tables import table

STEP = 1e-4


def protection_class(case: Case) -> str | None:
    """The class as marked, else by the cord's cores: three cores I; two cores 0, which has the laxest limit of all.

    Two cores alone do not tell class II from class 0, and nothing is claimed that only the stricter one would bear.
    """
    named = stated_class(case.unit.protection_class)
    if named:
        return named
    return {2: "0", 3: "I"}.get(case.wiring.cord_cores or 0)


def rated_voltage(case: Case) -> float | None:
    """Rated voltage of the element or as on the plate; None if neither is known. [V]"""
    if case.wiring.element.rated_voltage:
        return case.wiring.element.rated_voltage
    stated = case.unit.rated_voltage
    if stated.standing is not Standing.VALUE:
        return None
    try:
        return read_value(stated.text, "voltage").value
    except (TextNotUnderstoodError, UnitMismatchError):
        return None


def _network_uncertainty(source: SourceAt, frequency: float, factor: float) -> float:
    at = touch_network_reading(source.voltage, source.impedance, frequency)
    by_voltage = at / source.voltage if source.voltage else 0.0
    further = touch_network_reading(source.voltage, source.impedance * (1.0 + STEP), frequency)
    by_impedance = (further - at) / (STEP * abs(source.impedance)) if source.impedance else 0.0
    voltage, both, impedance = source.covariance
    variance = by_voltage**2 * voltage + 2.0 * by_voltage * by_impedance * both + by_impedance**2 * impedance
    return factor * math.sqrt(max(0.0, variance)) if math.isfinite(variance) else 0.0


def _enter_network(ledger: Ledger, frequency: float) -> tuple[str, ...]:
    """Ids of the perception network at the supply's frequency: input resistance and reactance, transfer impedance."""
    entrance, transfer = touch_network(4, frequency)
    at_frequency = "of the network's components at the supply's frequency"
    return tuple(
        ledger.enter(
            f"table.touch-network.{symbol}",
            name,
            symbol,
            value,
            "ohm",
            equation=equation,
            sources=(touch_network_source(4),),
        )
        for symbol, name, value, equation in (
            ("Rn", "touch_network_resistance", entrance.real, at_frequency),
            ("Xn", "touch_network_reactance", entrance.imag, at_frequency),
            ("Zt", "touch_network_transfer", abs(transfer), at_frequency),
            ("RB", "touch_network_body", network_body_resistance(4), "table"),
        )
    )


def touch_current(
    ledger: Ledger, case: Case, source: SourceAt, supply_id: str, conditions_met: bool
) -> LimitComparison | None:
    """Touch current in the perception network at the standard's test voltage, against the limit of the unit's class.

    None where frequency or class is not known: there is then no limit to compare with. Within it is only a state that
    readings establish. Of a resistance and a
    capacitance that the readings leave open the one that drives more through the network is taken.
    """
    frequency, class_ = case.wiring.frequency, protection_class(case)
    if frequency is None or class_ is None or not math.isfinite(abs(source.impedance)):
        return None
    try:
        limit, limit_source = touch_current_limit(class_)
    except OutsideTableError:
        return None
    source = max(
        (source, source.other_nature or source),
        key=lambda one: touch_network_reading(one.voltage, one.impedance, frequency),
    )
    rated = rated_voltage(case) or case.wiring.nominal_voltage or ledger.value(supply_id)
    factor, factor_source = rated_voltage_factor(heating=True)
    scale = factor * rated / ledger.value(supply_id)
    prefix = f"limits.touch-current.{source.state.key}"
    rated_id = ledger.enter(
        "unit.rated-voltage", "rated_voltage", "Ur", rated, "V", equation="as on the plate", sources=()
    )
    factor_id = ledger.enter(
        "table.test-voltage-factor",
        "test_voltage_factor",
        "kt",
        factor,
        "1",
        equation="table",
        sources=(factor_source,),
    )
    parts, network = impedance_parts(ledger, source), _enter_network(ledger, frequency)
    impedance = "Rs + Rn + j·(Xs + Xn)" if parts else "Zs + Rn + j·Xn"
    value = scale * touch_network_reading(source.voltage, source.impedance, frequency)
    uncertainty = _network_uncertainty(source, frequency, scale)
    number = ledger.enter(
        f"{prefix}.I",
        "network_current",
        "It",
        value,
        "A",
        uncertainty=uncertainty,
        equation=f"kt · Ur/U · U0 · Zt / (RB · |{impedance}|); {where(ledger, ('U',), (supply_id,))}".rstrip("; "),
        inputs=(source.voltage_id, *(parts or (source.impedance_id,)), *network, supply_id, rated_id, factor_id),
        sources=(touch_network_source(4), factor_source),
    )
    return _comparison(
        ledger,
        prefix,
        "touch_current",
        number,
        limit,
        "A",
        (limit_source,),
        {"class": class_},
        conditions_met and source.established,
        source.state,
    )


def touch_voltage(ledger: Ledger, case: Case, source: SourceAt, conditions_met: bool) -> LimitComparison | None:
    """Prospective touch voltage against the conventional limit; only where the state is established.

    None where the source cannot drive the steady touch current of perception through a person: the voltage behind an
    interference capacitor is limited by its current, not by its voltage.
    """
    if not source.established or source.voltage <= touch_current_of_perception() * abs(source.impedance):
        return None
    wet = Answer.YES in (case.household.wet_hands, case.household.children)
    limit, limit_source = contact_voltage_limit(wet)
    prefix = f"limits.touch-voltage.{source.state.key}"
    return _comparison(
        ledger,
        prefix,
        "contact_voltage",
        source.voltage_id,
        limit,
        "V",
        (limit_source,),
        {},
        conditions_met,
        source.state,
    )


def earth_continuity(ledger: Ledger, case: Case, results: tuple[ReadingResult, ...]) -> LimitComparison | None:
    """Resistance from the plug's earth contact to the touchable part, a value or an "open" bound, against its limit.

    The reading holds the cord, which the limit does not count and no case records: a value exceeds the limit only
    where no cord explains it. The small current of an ohmmeter decides nothing but "open".
    """
    wanted = {PointRole.EARTH_PIN, PointRole.TOUCHABLE_PART}
    limit, limit_source = earth_continuity_limit()
    for result in results:
        reading = case.reading(result.reading_id)
        if reading is None or reading.quantity is not Quantity.RESISTANCE or result.value is None:
            continue
        points = {point.role for letter in (reading.first, reading.second) if (point := case.point(letter))}
        if points != wanted or f"reading.{reading.id}" not in ledger:
            continue
        if result.bound is Bound.BELOW:
            continue
        comparison = _comparison(
            ledger,
            "limits.earth-continuity",
            "earth_continuity",
            f"reading.{reading.id}",
            limit,
            "ohm",
            (limit_source,),
            {},
            conditions_met=False,
        )
        if result.bound is Bound.ABOVE and result.value.value > limit:
            return replace(comparison, probability=1.0, decision=LimitDecision.EXCEEDED)
        beyond_cord = result.value.value - result.value.expanded_uncertainty > earth_with_any_cord()
        if comparison.decision is LimitDecision.EXCEEDED and not (result.used and beyond_cord):
            return replace(comparison, decision=LimitDecision.NOT_DECIDED)
        return comparison
    return None


def insulation(ledger: Ledger, case: Case, results: tuple[ReadingResult, ...]) -> LimitComparison | None:
    """Insulation resistance by a tester, a supply pin to the touchable part, against the in-service limit of the class.

    None without such a reading or without a class that has a limit; of several the lowest decides. A bound decides only
    where it lies wholly on one side.
    """
    class_ = protection_class(case)
    if class_ not in ("I", "II"):
        return None
    limit, limit_source = insulation_limit(class_, case.wiring.element.rated_power)
    found = [
        (result.value.value, reading, result)
        for reading, result in zip(case.readings, results, strict=True)
        if reading.quantity is Quantity.RESISTANCE
        and not result.refused
        and result.value is not None
        and by_insulation_tester(case, reading)
        and _pin_to_part(case, reading)
        and number_id(reading.id) in ledger
    ]
    if not found:
        return None
    value, reading, result = min(found, key=lambda item: item[0])
    comparison = _comparison(
        ledger,
        "limits.insulation",
        "insulation",
        number_id(reading.id),
        limit,
        "ohm",
        (limit_source,),
        {"class": class_},
        conditions_met(case, results),
        at_least=True,
    )
    if result.bound is Bound.NONE:
        return comparison
    if result.bound is Bound.BELOW and value <= limit:
        return replace(comparison, probability=1.0, decision=LimitDecision.EXCEEDED)
    above = result.bound is Bound.ABOVE and value >= limit
    decision = LimitDecision.BELOW if above else LimitDecision.NOT_DECIDED
    return replace(comparison, probability=0.0 if above else 1.0, decision=decision)


def accessible_voltage(
    ledger: Ledger, case: Case, results: tuple[ReadingResult, ...], linked: tuple[str, ...] = ()
) -> LimitComparison | None:
    """Crest of the voltage from the touchable part to earth, of a sine, against the limit of extra-low voltage.

    Of the linked readings, else of all that match, the highest decides; None if no reading matches, or if the supply is
    direct current, which has no such crest. Above the limit the part may still not count as live, if its current is
    small.
    """
    if case.wiring.supply is Supply.DIRECT_CURRENT:
        return None
    matching = [
        result
        for reading, result in zip(case.readings, results, strict=True)
        if reading.quantity is Quantity.VOLTAGE
        and reading.state.waveform is Waveform.FULL
        and reading.load.kind is LoadKind.NONE
        and result.used
        and result.purpose is Purpose.UNIT
        and number_id(reading.id) in ledger
        and _part_to_earth(case, reading)
    ]
    matching = [result for result in matching if result.reading_id in linked] or matching
    if not matching:
        return None
    read = ledger[max((number_id(result.reading_id) for result in matching), key=ledger.value)]
    held = table("iec-60335-1-2001", "clause-8-1-4")
    crest = ledger.enter(
        f"{read.id}.crest",
        "voltage_crest",
        f"{read.symbol}p",
        math.sqrt(2.0) * read.measured.value,
        "V",
        uncertainty=math.sqrt(2.0) * read.measured.standard_uncertainty,
        equation=f"√2 · {read.symbol}",
        inputs=(read.id,),
    )
    return _comparison(
        ledger,
        "limits.accessible-voltage",
        "accessible_voltage",
        crest,
        held.look_up("voltage_ac"),
        "V",
        (held.source("voltage_ac"),),
        {},
        conditions_met(case, results),
    )


def _part_to_earth(case: Case, reading: Reading) -> bool:
    roles = {role(case, reading.first), role(case, reading.second)}
    return PointRole.TOUCHABLE_PART in roles and bool(roles & EARTHS)


def _pin_to_part(case: Case, reading: Reading) -> bool:
    roles = {role(case, reading.first), role(case, reading.second)}
    return PointRole.TOUCHABLE_PART in roles and bool(roles & {PointRole.PIN_1, PointRole.PIN_2})


def conditions_met(case: Case, results: tuple[ReadingResult, ...]) -> bool:
    """Whether readings at working temperature exist in both plug positions: only then is anything within a limit."""
    used = {result.reading_id for result in results if result.used}
    positions = {
        reading.state.plug
        for reading in case.readings
        if reading.id in used
        and reading.state.temperature is Temperature.WORKING
        and reading.state.switch is not SwitchPosition.OFF
    }
    return len({position for position in positions if position.value in ("straight", "reversed")}) == 2


def _comparison(
    ledger: Ledger,
    prefix: str,
    name: str,
    number: str,
    limit: float,
    unit: str,
    sources: tuple[Source, ...],
    fields: dict[str, object],
    conditions_met: bool,
    state: UnitState | None = None,
    *,
    at_least: bool = False,
) -> LimitComparison:
    measured = ledger[number].measured
    limit_id = ledger.enter(
        f"{prefix}.limit", f"limit_{name}", "L", limit, unit, equation="table", sources=sources, fields=fields
    )
    probability, decision = compare(
        Measured(value=measured.value, standard_uncertainty=measured.standard_uncertainty, unit=unit),
        limit,
        at_least=at_least,
        conditions_met=conditions_met,
    )
    return LimitComparison(
        name=wording.sentence(f"assess.limits.{name}", **fields),
        number=number,
        limit=limit_id,
        probability=probability,
        decision=decision,
        state=state,
        sources=sources,
    )

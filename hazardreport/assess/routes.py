"""Every route to the source at the touchable part that the readings allow, side by side."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hazardreport import wording
from hazardreport.assess.ledger import Ledger
from hazardreport.assess.readings_in import LiveReading, by_insulation_tester, lamp_of, number_id, reading_symbol, role
from hazardreport.assess.records import RouteKind, SourceRoute
from hazardreport.assess.source import enter_source, method, unit_states
from hazardreport.case.case import Case
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import PlugPosition, Quantity, Reading, SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Wiring
from hazardreport.circuit.free_parameters import hot_factor
from hazardreport.circuit.loads import lamp_bound, lamp_sources
from hazardreport.circuit.routes import (
    FAULT_LOCATION,
    LOAD_CURRENT,
    Nature,
    OneSided,
    ohmmeter_form,
    two_loads_bounds,
    two_loads_form,
)
from hazardreport.circuit.unit_network import unit_state
from hazardreport.errors import OutsideTableError, StateNotPossibleError
from hazardreport.quantity.propagation import propagate
from hazardreport.readings.result import ReadingResult
from hazardreport.standards.tables import table

LEAST_VOLTAGE = 1.0


def state_name(state: UnitState) -> str:
    """The state in words, for names of numbers."""
    switch = "off" if state.switch is SwitchPosition.OFF else "on"
    text = wording.sentence(f"assess.state.{state.plug.value}_{switch}")
    return wording.sentence("assess.state.earthed", state=text) if state.earthed else text


def where(ledger: Ledger, symbols: tuple[str, ...], ids: tuple[str, ...]) -> str:
    """Which number stands for which symbol of an equation: "V1 = V19, R1 = R19"."""
    pairs = zip(symbols, ids, strict=False)
    return ", ".join(f"{name} = {ledger[item].symbol}" for name, item in pairs if ledger[item].symbol != name)


def of_state(case: Case, live: tuple[LiveReading, ...], state: UnitState) -> tuple[LiveReading, ...]:
    """The live readings that were taken in one state; a unit without a switch is on."""
    return tuple(item for item in live if same_state(unit_state(item.reading.state, case.wiring), state))


def same_state(first: UnitState, second: UnitState) -> bool:
    """Equal, where "no switch" is the same as "on"."""
    off = (first.switch is SwitchPosition.OFF, second.switch is SwitchPosition.OFF)
    return (first.plug, first.earthed, off[0]) == (second.plug, second.earthed, off[1])


def enter_supply(ledger: Ledger, case: Case, results: tuple[ReadingResult, ...]) -> str:
    """Write the supply voltage down: as read between line and neutral, else nominal within ± 10 %."""
    for reading, result in zip(case.readings, results, strict=True):
        roles = {role(case, reading.first), role(case, reading.second)}
        if roles == {PointRole.LINE, PointRole.NEUTRAL} and result.used and result.value is not None:
            return number_id(reading.id)
    nominal = case.wiring.nominal_voltage or 0.0
    return ledger.enter(
        "supply.nominal",
        "supply_voltage",
        "U",
        nominal,
        "V",
        uncertainty=0.1 * nominal / math.sqrt(3.0),
        equation="nominal, within ± 10 %",
        sources=method("supply without a reading"),
    )


def _connected_inputs(ledger: Ledger, item: LiveReading) -> tuple[str, str, str]:
    """Ids of voltage, resistance and capacitance of one live reading."""
    lamp = lamp_of(item.reading)
    name = "lamp_resistance" if lamp else "load_resistance" if item.loaded else "meter_resistance"
    resistance = ledger.enter(
        f"load.{item.reading.id}.R",
        name,
        reading_symbol("R", item.reading.id),
        item.resistance,
        "ohm",
        uncertainty=item.load_doubt,
        equation="R(V) of the lamp beside the meter" if lamp else "as stated, load and meter in parallel",
        inputs=(item.number,) if lamp else (),
        sources=lamp_sources() if lamp else item.result.sources,
    )
    capacitance = ledger.enter(
        f"load.{item.reading.id}.C",
        "meter_capacitance",
        reading_symbol("C", item.reading.id),
        item.capacitance,
        "F",
        equation="as stated",
    )
    return item.number, resistance, capacitance


def _two_loads(
    ledger: Ledger, case: Case, state: UnitState, light: LiveReading, heavy: LiveReading, supply_id: str
) -> SourceRoute | None:
    """Source by an unloaded and a loaded voltage; the first nature that does not need more than the supply."""
    frequency = case.wiring.frequency or 0.0
    supply = ledger[supply_id].measured
    estimates = [light.value, light.resistance, heavy.value, heavy.resistance]
    doubts = [light.uncertainty, light.load_doubt, heavy.uncertainty, heavy.load_doubt]
    angular = 2.0 * math.pi * frequency
    for nature in (Nature.RESISTIVE, Nature.CAPACITIVE):
        with np.errstate(all="ignore"):
            form = two_loads_form(nature, angular * light.capacitance, angular * heavy.capacitance)
            values, covariance = propagate(form, estimates, doubts)
        usable = bool(np.isfinite(values).all() and np.isfinite(covariance).all() and values[1] > 0.0)
        doubt = math.sqrt(max(0.0, float(covariance[0][0]))) if usable else light.uncertainty
        if usable and values[0] > supply.value + 2.0 * math.hypot(doubt, supply.standard_uncertainty):
            continue
        solved = _Solved(nature=nature, values=values, covariance=covariance, usable=usable)
        return _two_loads_route(ledger, state, (light, heavy), frequency, solved)
    return None


@dataclass(frozen=True, kw_only=True, slots=True)
class _Solved:
    nature: Nature
    values: NDArray[np.float64]
    covariance: NDArray[np.float64]
    usable: bool


def _two_loads_route(
    ledger: Ledger, state: UnitState, pair: tuple[LiveReading, LiveReading], frequency: float, solved: _Solved
) -> SourceRoute:
    light, heavy = pair
    bounds = two_loads_bounds(
        (light.value, light.uncertainty),
        complex(1.0 / light.resistance, 2.0 * math.pi * frequency * light.capacitance),
        (heavy.value, heavy.uncertainty),
        complex(1.0 / heavy.resistance, 2.0 * math.pi * frequency * heavy.capacitance),
        solved.nature,
    )
    resolved = solved.usable and bounds.resolved
    prefix = f"route.{state.key}.two-loads.{heavy.reading.id}"
    inputs = (
        *_connected_inputs(ledger, light),
        *_connected_inputs(ledger, heavy),
        ledger.enter("supply.frequency", "frequency", "f", frequency, "Hz", equation="as stated"),
    )
    fields = {"state": state_name(state)}
    given = where(ledger, ("V1", "R1", "C1", "V2", "R2", "C2"), inputs)
    texts = [text for _, _, text in two_loads_form(solved.nature).outputs]
    if resolved:
        doubts = np.sqrt(np.maximum(np.diag(solved.covariance), 0.0))
        pairs = [(float(value), float(doubt)) for value, doubt in zip(solved.values, doubts, strict=True)]
        ids = enter_source(
            ledger,
            prefix,
            fields["state"],
            voltage=pairs[0],
            impedance=pairs[1],
            current=pairs[2],
            equations=(f"{texts[0]}; {given}", f"{texts[1]}; {given}", texts[2]),
            inputs=inputs,
            sources=method("two loads"),
        )
    else:
        ids = _bounded(ledger, prefix, fields, inputs, light, bounds)
    return SourceRoute(
        kind=RouteKind.TWO_LOADS,
        state=state,
        readings=(light.reading.id, heavy.reading.id),
        open_circuit_voltage=ids[0],
        source_impedance=ids[1],
        available_fault_current=ids[2],
        resolved=resolved,
    )


def _bounded(
    ledger: Ledger, prefix: str, fields: dict[str, str], inputs: tuple[str, ...], light: LiveReading, bounds: OneSided
) -> tuple[str, str, str]:
    """U0 as read, and one-sided 95 % bounds of Zs and Isc where doubt drowns the difference of two loads."""
    voltage = ledger.enter(
        f"{prefix}.U0",
        "open_circuit_voltage",
        "U0",
        light.value,
        "V",
        uncertainty=light.uncertainty,
        equation="as read without load",
        inputs=(light.number,),
        fields=fields,
    )
    ids = [voltage]
    for name, symbol, unit, low, high in (
        ("source_impedance", "Zs", "ohm", bounds.least_impedance, bounds.greatest_impedance),
        ("available_fault_current", "Isc", "A", bounds.least_current, bounds.greatest_current),
    ):
        at_least = symbol == "Isc"
        ids.append(
            ledger.enter(
                f"{prefix}.{symbol}",
                name,
                symbol,
                low if at_least else high,
                unit,
                low=low if at_least or low > 0.0 else None,
                high=high if math.isfinite(high) else None,
                equation="one-sided 95 % bounds, Zs ≥ 0",
                inputs=inputs,
                sources=method("two loads"),
                fields=fields,
            )
        )
    return ids[0], ids[1], ids[2]


def _dead_resistance(case: Case, results: tuple[ReadingResult, ...], wanted: set[PointRole]) -> str | None:
    """Id of a finite low-voltage resistance of the unplugged, switched-on unit between two roles."""
    for reading, result in zip(case.readings, results, strict=True):
        roles = {role(case, reading.first), role(case, reading.second)}
        if reading.quantity is not Quantity.RESISTANCE or roles != wanted or not result.used or result.value is None:
            continue
        if by_insulation_tester(case, reading):
            continue
        if reading.state.plug is PlugPosition.UNPLUGGED and reading.state.switch is not SwitchPosition.OFF:
            return number_id(reading.id)
    return None


def enter_hot_factor(ledger: Ledger, wiring: Wiring) -> str:
    """Write the element's hot over cold resistance down."""
    factor, doubt = hot_factor(wiring)
    stated = doubt == 0.0
    return ledger.enter(
        "table.hot-factor",
        "hot_factor",
        "Ct",
        factor,
        "1",
        uncertainty=doubt,
        equation="as stated" if stated else "table",
        sources=() if stated else (table("own-choices", "hot-factor").source(),),
    )


def ohmmeter_routes(
    ledger: Ledger, case: Case, results: tuple[ReadingResult, ...], supply_id: str
) -> Iterator[SourceRoute]:
    """Source of every unearthed state from the resistances of the unplugged unit; none unless all three are finite."""
    part, pin_1, pin_2 = PointRole.TOUCHABLE_PART, PointRole.PIN_1, PointRole.PIN_2
    wanted = ({pin_1, part}, {pin_2, part}, {pin_1, pin_2})
    found = [_dead_resistance(case, results, roles) for roles in wanted]
    if any(item is None for item in found):
        return
    resistances = tuple(item for item in found if item is not None)
    inputs = (supply_id, *resistances, enter_hot_factor(ledger, case.wiring))
    estimates = [ledger.value(item) for item in inputs]
    doubts = [ledger[item].measured.standard_uncertainty for item in inputs]
    _enter_location(ledger, resistances)
    for state in unit_states(case.wiring, earthed=False):
        try:
            form = ohmmeter_form(case.wiring, state)
        except StateNotPossibleError:
            continue
        with np.errstate(all="ignore"):
            values, covariance = propagate(form, estimates, doubts)
        if not (np.isfinite(values).all() and np.isfinite(covariance).all() and values[1] >= 0.0):
            continue
        spread = np.sqrt(np.maximum(np.diag(covariance), 0.0))
        pairs = [(float(value), float(doubt)) for value, doubt in zip(values, spread, strict=True)]
        texts = [text for _, _, text in form.outputs]
        given = where(ledger, ("U", "R"), (supply_id, resistances[2]))
        ids = enter_source(
            ledger,
            f"route.{state.key}.ohmmeter",
            state_name(state),
            voltage=pairs[0],
            impedance=pairs[1],
            current=pairs[2],
            equations=(f"{texts[0]}; {given}", f"{texts[1]}; {given}", texts[2]),
            inputs=(*inputs, "route.ohmmeter.x", "route.ohmmeter.Rf"),
            sources=method("ohmmeter from the pins"),
        )
        yield SourceRoute(
            kind=RouteKind.OHMMETER,
            state=state,
            readings=tuple(item.removeprefix("reading.") for item in resistances),
            open_circuit_voltage=ids[0],
            source_impedance=ids[1],
            available_fault_current=ids[2],
        )


def _enter_location(ledger: Ledger, resistances: tuple[str, ...]) -> None:
    values, covariance = propagate(
        FAULT_LOCATION,
        [ledger.value(item) for item in resistances],
        [ledger[item].measured.standard_uncertainty for item in resistances],
    )
    names = {"x": "fault_position", "Rf": "fault_resistance"}
    for number, (symbol, unit, text) in enumerate(FAULT_LOCATION.outputs):
        ledger.enter(
            f"route.ohmmeter.{symbol}",
            names[symbol],
            symbol,
            float(values[number]),
            unit,
            uncertainty=math.sqrt(max(0.0, float(covariance[number][number]))),
            equation=f"{text}; {where(ledger, ('r1', 'r2', 'R'), resistances)}",
            inputs=resistances,
            sources=method("ohmmeter from the pins"),
        )


def loaded_routes(ledger: Ledger, case: Case, live: tuple[LiveReading, ...], supply_id: str) -> Iterator[SourceRoute]:
    """Source of each state with an unloaded and at least one loaded reading; none where the part is at earth."""
    for state in unit_states(case.wiring, earthed=False):
        here = of_state(case, live, state)
        light = next((item for item in here if not item.loaded), None)
        for heavy in here:
            if light is None or not heavy.loaded or heavy.resistance >= light.resistance:
                continue
            if light.value <= LEAST_VOLTAGE or heavy.value <= 0.0:
                continue
            route = _two_loads(ledger, case, state, light, heavy, supply_id)
            if route is not None:
                yield route


def _lamp_route(ledger: Ledger, case: Case, reading: Reading, result: ReadingResult) -> SourceRoute | None:
    lamp = lamp_of(reading)
    roles = {role(case, reading.first), role(case, reading.second)}
    at_part = PointRole.TOUCHABLE_PART in roles and bool(roles & {PointRole.EARTH, PointRole.EARTH_PIN})
    if reading.quantity is not Quantity.LAMP or lamp is None or result.brightness is None or not at_part:
        return None
    if not result.used or reading.state.plug not in (PlugPosition.STRAIGHT, PlugPosition.REVERSED):
        return None
    state = unit_state(reading.state, case.wiring)
    try:
        least = lamp_bound(lamp, result.brightness)
    except OutsideTableError:
        return None
    if least <= 0.0:
        return None
    current = ledger.enter(
        f"route.{state.key}.lamp.{reading.id}.Isc",
        "lamp_bound",
        "Isc",
        least,
        "A",
        low=least,
        equation="current of the lamp at the least voltage of its brightness, less its tolerance",
        sources=lamp_sources(),
        fields={"state": state_name(state)},
    )
    return SourceRoute(
        kind=RouteKind.LAMP, state=state, readings=(reading.id,), available_fault_current=current, resolved=False
    )


def current_routes(
    ledger: Ledger, case: Case, results: tuple[ReadingResult, ...], live: tuple[LiveReading, ...]
) -> Iterator[SourceRoute]:
    """Source of each state with an unloaded voltage and the current through a resistor of known value."""
    for reading, result in zip(case.readings, results, strict=True):
        load = result.load_impedance
        if reading.quantity is not Quantity.CURRENT or not result.used or result.value is None or load is None:
            continue
        if reading.state.plug not in (PlugPosition.STRAIGHT, PlugPosition.REVERSED) or result.value.value <= 0.0:
            continue
        state = unit_state(reading.state, case.wiring)
        light = next((item for item in of_state(case, live, state) if not item.loaded), None)
        if light is None:
            continue
        form = LOAD_CURRENT[Nature.RESISTIVE]
        estimates = [light.value, light.resistance, result.value.value, load.real]
        doubts = [light.uncertainty, 0.0, result.value.standard_uncertainty, result.load_uncertainty * load.real]
        with np.errstate(all="ignore"):
            values, covariance = propagate(form, estimates, doubts)
        if not (np.isfinite(values).all() and np.isfinite(covariance).all() and values[1] > 0.0):
            continue
        resistance = ledger.enter(
            f"load.{reading.id}.R",
            "load_resistance",
            reading_symbol("R", reading.id),
            load.real,
            "ohm",
            uncertainty=doubts[3],
            equation="as stated",
        )
        spread = np.sqrt(np.maximum(np.diag(covariance), 0.0))
        pairs = [(float(value), float(doubt)) for value, doubt in zip(values, spread, strict=True)]
        inputs = (*_connected_inputs(ledger, light)[:2], number_id(reading.id), resistance)
        given = where(ledger, ("V1", "R1", "I2", "R2"), inputs)
        ids = enter_source(
            ledger,
            f"route.{state.key}.load-current.{reading.id}",
            state_name(state),
            voltage=pairs[0],
            impedance=pairs[1],
            current=pairs[2],
            equations=(f"{form.outputs[0][2]}; {given}", f"{form.outputs[1][2]}; {given}", form.outputs[2][2]),
            inputs=inputs,
            sources=method("load current"),
        )
        yield SourceRoute(
            kind=RouteKind.LOAD_CURRENT,
            state=state,
            readings=(light.reading.id, reading.id),
            open_circuit_voltage=ids[0],
            source_impedance=ids[1],
            available_fault_current=ids[2],
        )


def lamp_routes(ledger: Ledger, case: Case, results: tuple[ReadingResult, ...]) -> Iterator[SourceRoute]:
    """Lower bounds of the available current from lamps that were seen to burn."""
    for reading, result in zip(case.readings, results, strict=True):
        route = _lamp_route(ledger, case, reading, result)
        if route is not None:
            yield route

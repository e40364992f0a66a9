"""Every route to the source at the touchable part that the readings allow, side by side."""

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from hazardreport import wording
from hazardreport.assess.ledger import Ledger
from hazardreport.assess.readings_in import LiveReading, by_insulation_tester, lamp_of, number_id, role
from hazardreport.assess.records import RouteKind, SourceRoute
from hazardreport.assess.source import SourceAt, enter_source, method, side_paths, unit_states
from hazardreport.case.case import Case
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import PlugPosition, Quantity, Reading, SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Wiring
from hazardreport.circuit.free_parameters import hot_factor
from hazardreport.circuit.loads import lamp_bound, lamp_sources
from hazardreport.circuit.routes import (
    FAULT_LOCATION,
    ohmmeter_form,
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
    if state.cut_out_open:
        text = wording.sentence("assess.state.cut_out", state=text)
    return wording.sentence("assess.state.earthed", state=text) if state.earthed else text


def where(ledger: Ledger, symbols: tuple[str, ...], ids: tuple[str, ...]) -> str:
    """Which number stands for which symbol of an equation: "V1 = V19, R1 = R19"."""
    pairs = zip(symbols, ids, strict=False)
    return ", ".join(f"{name} = {ledger[item].symbol}" for name, item in pairs if ledger[item].symbol != name)


def impedance_parts(ledger: Ledger, source: SourceAt) -> tuple[str, ...]:
    """Ids of resistance and reactance of a source, written down; nothing where its impedance is a resistance."""
    if abs(source.impedance.imag) <= 1e-9 * abs(source.impedance) or not math.isfinite(abs(source.impedance)):
        return ()
    base = source.impedance_id.rsplit(".", 1)[0]
    return tuple(
        ledger.enter(
            f"{base}.{symbol}",
            name,
            symbol,
            value,
            "ohm",
            equation=f"{text} part of Zs",
            inputs=(source.impedance_id,),
            fields={"state": state_name(source.state)},
        )
        for symbol, name, text, value in (
            ("Rs", "source_resistance", "real", source.impedance.real),
            ("Xs", "source_reactance", "imaginary", source.impedance.imag),
        )
    )


def of_state(case: Case, live: tuple[LiveReading, ...], state: UnitState) -> tuple[LiveReading, ...]:
    """The live readings that were taken in one state; a unit without a switch is on.

    Where the plug's position was not noted, a reading belongs to both: nobody can say to which.
    """
    found = []
    for item in live:
        noted = unit_state(item.reading.state, case.wiring)
        if noted.plug is PlugPosition.UNKNOWN:
            noted = replace(noted, plug=state.plug)
        if same_state(noted, state):
            found.append(item)
    return tuple(found)


def same_state(first: UnitState, second: UnitState) -> bool:
    """Equal, where "no switch" is the same as "on"."""
    off = (first.switch is SwitchPosition.OFF, second.switch is SwitchPosition.OFF)
    return (first.plug, first.earthed, first.cut_out_open, off[0]) == (
        second.plug,
        second.earthed,
        second.cut_out_open,
        off[1],
    )


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


def enter_conductors(ledger: Ledger, wiring: Wiring) -> tuple[str, str]:
    """Write the resistances of line and neutral conductor down."""
    line, neutral = (
        ledger.enter(
            f"wiring.{symbol}",
            name,
            symbol,
            value,
            "ohm",
            equation="as stated, or the usual value",
            sources=method("line and neutral resistance"),
        )
        for symbol, name, value in (
            ("RL", "line_resistance", wiring.line_resistance),
            ("RN", "neutral_resistance", wiring.neutral_resistance),
        )
    )
    return line, neutral


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
    """Source of every unearthed state from the resistances of the unplugged unit.

    None unless all three are finite, and none where current has other paths than the element: the fit then speaks.
    """
    if side_paths(case.wiring):
        return
    part, pin_1, pin_2 = PointRole.TOUCHABLE_PART, PointRole.PIN_1, PointRole.PIN_2
    wanted = ({pin_1, part}, {pin_2, part}, {pin_1, pin_2})
    found = [_dead_resistance(case, results, roles) for roles in wanted]
    if any(item is None for item in found):
        return
    resistances = tuple(item for item in found if item is not None)
    inputs = (supply_id, *resistances, enter_hot_factor(ledger, case.wiring))
    estimates = [ledger.value(item) for item in inputs]
    doubts = [ledger[item].measured.standard_uncertainty for item in inputs]
    if not _enter_location(ledger, resistances):
        return
    conductors = enter_conductors(ledger, case.wiring)
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
        if float(values[0]) > estimates[0] + 2.0 * math.hypot(float(spread[0]), doubts[0]):
            continue
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
            inputs=(*inputs, "route.ohmmeter.x", "route.ohmmeter.Rf", *conductors),
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


def _enter_location(ledger: Ledger, resistances: tuple[str, ...]) -> bool:
    """Write position and resistance of the fault down; false where no fault of a whole element gives such readings."""
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
    position, fault = float(values[0]), float(values[1])
    around, beside = (2.0 * math.sqrt(max(0.0, float(covariance[number][number]))) for number in (0, 1))
    return -around <= position <= 1.0 + around and fault >= -beside


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


def lamp_routes(ledger: Ledger, case: Case, results: tuple[ReadingResult, ...]) -> Iterator[SourceRoute]:
    """Lower bounds of the available current from lamps that were seen to burn."""
    for reading, result in zip(case.readings, results, strict=True):
        route = _lamp_route(ledger, case, reading, result)
        if route is not None:
            yield route

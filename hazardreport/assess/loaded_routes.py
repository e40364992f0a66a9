"""The source at the touchable part by voltages and currents under load, as a resistance and as a capacitance."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hazardreport.assess.ledger import Ledger
from hazardreport.assess.readings_in import LiveReading, by_insulation_tester, lamp_of, number_id, reading_symbol, role
from hazardreport.assess.records import RouteKind, SourceRoute
from hazardreport.assess.routes import of_state, state_name, where
from hazardreport.assess.source import enter_source, method, share_to_earth, unit_states
from hazardreport.case.case import Case
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import LoadKind, PlugPosition, Quantity
from hazardreport.case.unit_state import UnitState
from hazardreport.circuit.loads import lamp_sources
from hazardreport.circuit.routes import (
    LOAD_CURRENT,
    Nature,
    OneSided,
    two_loads,
    two_loads_bounds,
    two_loads_form,
)
from hazardreport.circuit.unit_network import unit_state
from hazardreport.quantity.propagation import propagate
from hazardreport.quantity.typed import Bound
from hazardreport.readings.result import ReadingResult

LEAST_VOLTAGE = 1.0


@dataclass(frozen=True, kw_only=True, slots=True)
class _Solved:
    nature: Nature
    values: NDArray[np.float64]
    covariance: NDArray[np.float64]
    usable: bool


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


def natures(
    ledger: Ledger,
    case: Case,
    results: tuple[ReadingResult, ...],
    here: tuple[LiveReading, ...],
    supply_id: str,
) -> tuple[Nature, ...]:
    """Whether the source of a state may be a resistance, a capacitance, or either: two magnitudes do not tell.

    A direct-current ohmmeter that found a path shows a resistance. Else a nature is out if it needs more voltage than
    the supply has to earth, or if a third load contradicts it.
    """
    if _direct_path(case, results):
        return (Nature.RESISTIVE,)
    light, heavy = _lightest(here), _heaviest(here)
    if light is None or heavy is None or heavy.resistance >= light.resistance:
        return tuple(Nature)
    middle = [item for item in here if item is not light and item is not heavy]
    kept = tuple(
        nature
        for nature in Nature
        if _within_supply(ledger, case, nature, light, heavy, supply_id)
        and all(_agrees(case, nature, light, heavy, item) for item in middle)
    )
    return kept or (Nature.RESISTIVE,)


def _lightest(here: tuple[LiveReading, ...]) -> LiveReading | None:
    return next((item for item in here if not item.loaded), None)


def _heaviest(here: tuple[LiveReading, ...]) -> LiveReading | None:
    return min((item for item in here if item.loaded), key=lambda item: item.resistance, default=None)


def _direct_path(case: Case, results: tuple[ReadingResult, ...]) -> bool:
    """A finite low-voltage resistance from a pin to the part, plug out: no capacitor shows that."""
    for reading, result in zip(case.readings, results, strict=True):
        roles = {role(case, reading.first), role(case, reading.second)}
        finite = result.used and result.value is not None and result.bound is Bound.NONE
        if (
            finite
            and reading.quantity is Quantity.RESISTANCE
            and PointRole.TOUCHABLE_PART in roles
            and roles & {PointRole.PIN_1, PointRole.PIN_2}
            and not by_insulation_tester(case, reading)
        ):
            return True
    return False


def _angular(case: Case) -> float:
    return 2.0 * math.pi * (case.wiring.frequency or 0.0)


def _solved(case: Case, nature: Nature, light: LiveReading, heavy: LiveReading) -> _Solved:
    """U0, Zs and Isc of one nature by two readings."""
    angular = _angular(case)
    estimates = [light.value, light.resistance, heavy.value, heavy.resistance]
    doubts = [light.uncertainty, light.load_doubt, heavy.uncertainty, heavy.load_doubt]
    with np.errstate(all="ignore"):
        form = two_loads_form(nature, angular * light.capacitance, angular * heavy.capacitance)
        values, covariance = propagate(form, estimates, doubts)
    usable = bool(np.isfinite(values).all() and np.isfinite(covariance).all() and values[1] > 0.0)
    return _Solved(nature=nature, values=values, covariance=covariance, usable=usable)


def _within_supply(
    ledger: Ledger, case: Case, nature: Nature, light: LiveReading, heavy: LiveReading, supply_id: str
) -> bool:
    supply, solved = ledger[supply_id].measured, _solved(case, nature, light, heavy)
    if not solved.usable:
        return True
    share = share_to_earth(case.wiring)
    doubt = math.hypot(math.sqrt(max(0.0, float(solved.covariance[0][0]))), share * supply.standard_uncertainty)
    return float(solved.values[0]) <= share * supply.value + 2.0 * doubt


def _agrees(case: Case, nature: Nature, light: LiveReading, heavy: LiveReading, third: LiveReading) -> bool:
    """Whether a third reading is what that nature predicts from the other two, within twice the doubt of all."""
    angular = _angular(case)

    def predicted(inputs: NDArray[np.float64]) -> NDArray[np.float64]:
        v1, r1, v2, r2, r3 = np.moveaxis(inputs, -1, 0)
        first, second = 1.0 / r1 + 1j * angular * light.capacitance, 1.0 / r2 + 1j * angular * heavy.capacitance
        voltage, impedance = two_loads(v1, first, v2, second, nature)
        admittance = 1.0 / r3 + 1j * angular * third.capacitance
        return np.asarray(voltage / np.abs(1.0 + nature.value * impedance * admittance))[:, None]

    estimates = [light.value, light.resistance, heavy.value, heavy.resistance, third.resistance]
    doubts = [light.uncertainty, light.load_doubt, heavy.uncertainty, heavy.load_doubt, third.load_doubt]
    with np.errstate(all="ignore"):
        value, covariance = propagate(predicted, estimates, doubts)
    if not (np.isfinite(value).all() and np.isfinite(covariance).all()):
        return True
    doubt = math.hypot(third.uncertainty, math.sqrt(max(0.0, float(covariance[0][0]))))
    return abs(third.value - float(value[0])) <= 2.0 * doubt


def _two_loads_route(
    ledger: Ledger, state: UnitState, pair: tuple[LiveReading, LiveReading], frequency: float, solved: _Solved
) -> SourceRoute:
    """The route of one nature, written down: values, or one-sided bounds where doubt drowns the difference."""
    light, heavy = pair
    capacitive = solved.nature is Nature.CAPACITIVE
    bounds = two_loads_bounds(
        (light.value, light.uncertainty),
        complex(1.0 / light.resistance, 2.0 * math.pi * frequency * light.capacitance),
        (heavy.value, heavy.uncertainty),
        complex(1.0 / heavy.resistance, 2.0 * math.pi * frequency * heavy.capacitance),
        solved.nature,
    )
    resolved = solved.usable and bounds.resolved
    prefix = f"route.{state.key}.two-loads.{heavy.reading.id}" + (".capacitive" if capacitive else "")
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
            voltage_by_impedance=True,
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
        capacitive=capacitive,
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


def loaded_routes(
    ledger: Ledger, case: Case, results: tuple[ReadingResult, ...], live: tuple[LiveReading, ...], supply_id: str
) -> Iterator[SourceRoute]:
    """Source of each state with an unloaded and at least one loaded reading, in every nature that they leave open.

    None where the part is at earth.
    """
    for state in unit_states(case.wiring, earthed=False):
        here = of_state(case, live, state)
        light = _lightest(here)
        if light is None or light.value <= LEAST_VOLTAGE:
            continue
        allowed = natures(ledger, case, results, here, supply_id)
        for heavy in here:
            same_plug = heavy.reading.state.plug is light.reading.state.plug
            if not (heavy.loaded and same_plug and heavy.resistance < light.resistance and heavy.value > 0.0):
                continue
            for nature in allowed:
                solved = _solved(case, nature, light, heavy)
                yield _two_loads_route(ledger, state, (light, heavy), case.wiring.frequency or 0.0, solved)


def current_routes(
    ledger: Ledger, case: Case, results: tuple[ReadingResult, ...], live: tuple[LiveReading, ...]
) -> Iterator[SourceRoute]:
    """Source of each state with an unloaded voltage and the current through a resistor of known value."""
    for reading, result in zip(case.readings, results, strict=True):
        load = result.load_impedance if reading.load.kind is LoadKind.RESISTOR else None
        if reading.quantity is not Quantity.CURRENT or not result.used or result.value is None or load is None:
            continue
        if reading.state.plug not in (PlugPosition.STRAIGHT, PlugPosition.REVERSED) or result.value.value <= 0.0:
            continue
        state = unit_state(reading.state, case.wiring)
        light = _lightest(of_state(case, live, state))
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
            voltage_by_impedance=True,
        )
        yield SourceRoute(
            kind=RouteKind.LOAD_CURRENT,
            state=state,
            readings=(light.reading.id, reading.id),
            open_circuit_voltage=ids[0],
            source_impedance=ids[1],
            available_fault_current=ids[2],
        )

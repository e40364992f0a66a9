"""Every state of the unit: by the fitted network, else by a route of its own, else not determined."""

import math
from dataclasses import dataclass, replace

import numpy as np

from hazardreport.assess.established import established
from hazardreport.assess.fitted import (
    FittedNetwork,
    closed_forms,
    earth_share_doubt,
    enter_fit,
    protective_earth_resistance,
)
from hazardreport.assess.ledger import Ledger
from hazardreport.assess.predicted import Predicted, predictions
from hazardreport.assess.readings_in import LiveReading, background_voltage
from hazardreport.assess.records import Basis, RouteKind, SourceRoute
from hazardreport.assess.routes import of_state, same_state, state_name
from hazardreport.assess.source import (
    NETWORK_EQUATIONS,
    SourceAt,
    enter_source,
    method,
    plausible_state,
    unit_states,
)
from hazardreport.case.case import Case
from hazardreport.case.reading import PlugPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.circuit.free_parameters import FAULT, SYMBOL
from hazardreport.circuit.prediction import PROBE_RESISTANCE
from hazardreport.circuit.unit_network import open_poles
from hazardreport.readings.result import ReadingResult
from hazardreport.standards.tables import table

HARDLY_LOADED = 0.01
"""Impedance of a source over the resistance of a meter up to which the meter reads its open-circuit voltage (choice).
[1]"""


def _equations(case: Case, state: UnitState) -> tuple[str, str]:
    """U0 and Zs of an unearthed state in symbols of the fitted network, where a closed form holds."""
    straight = state.plug is PlugPosition.STRAIGHT
    line, neutral = ("RL", "RN") if straight else ("RN", "RL")
    leg_1, leg_2 = f"x·Re + {line}", f"(1 − x)·Re + {neutral}"
    live_leg = 1 if straight else 2
    interrupted = open_poles(case.wiring, state)
    if interrupted == {1, 2}:
        return "0", "∞"
    if interrupted == {1}:
        return ("U" if live_leg == 2 else "0"), f"Rf + {leg_2}"
    if interrupted == {2}:
        return ("U" if live_leg == 1 else "0"), f"Rf + {leg_1}"
    legs = f"a1 = {leg_1}, a2 = {leg_2}"
    return f"U · a{3 - live_leg} / (a1 + a2); {legs}", f"Rf + a1·a2 / (a1 + a2); {legs}"


@dataclass(frozen=True, kw_only=True, slots=True)
class _Told:
    """A fitted network with all that it says of the states; prefix of its ids in the trace."""

    network: FittedNetwork
    states: dict[UnitState, Predicted]
    prefix: str


def _from_fit(ledger: Ledger, case: Case, told: _Told, state: UnitState) -> tuple[SourceAt, ...]:
    """The source of a state by the fitted network; nothing where the readings leave it open."""
    found, network, prefix = told.states.get(state), told.network, told.prefix
    if found is None or not found.determined:
        return ()
    values, covariance = found.values, found.covariance
    doubts = np.sqrt(np.maximum(np.diag(covariance), 0.0))
    if state.earthed:
        base = f"{prefix}.{replace(state, earthed=False).key}"
        if f"{base}.U0" not in ledger:
            return ()
        resistance = protective_earth_resistance(case.wiring)
        earth = ledger.enter(
            "wiring.RPE",
            "protective_earth_resistance",
            "RPE",
            resistance,
            "ohm",
            uncertainty=earth_share_doubt() * resistance,
            equation="unit and installation, as stated or the usual values",
            sources=(table("own-choices", "earth-resistance").source(),),
        )
        equations: tuple[str, str] = (
            ("U0 · RPE / (Zs + RPE)", "Zs · RPE / (Zs + RPE)") if closed_forms(case, network) else NETWORK_EQUATIONS
        )
        inputs: tuple[str, ...] = (f"{base}.U0", f"{base}.Zs", earth)
    else:
        closed = closed_forms(case, network)
        equations = _equations(case, state) if closed else NETWORK_EQUATIONS
        symbols = ("U", "Re", "x", "Rf", "RL", "RN") if closed else tuple(network.ids)
        inputs = tuple(network.ids[symbol] for symbol in symbols if symbol in network.ids)
    ids = enter_source(
        ledger,
        f"{prefix}.{state.key}",
        state_name(state),
        voltage=(float(values[0]), float(doubts[0])),
        impedance=(float(values[1]), float(doubts[1])),
        current=(float(values[2]), float(doubts[2])),
        equations=(*equations, "U0 / |Zs|"),
        inputs=inputs,
        sources=method("network of the unit"),
        intervals=None if found.low is None or found.high is None else (found.low.tolist(), found.high.tolist()),
    )
    return (
        SourceAt(
            state=state,
            basis=Basis.PREDICTED,
            established=False,
            plausible=plausible_state(case, state),
            voltage=float(values[0]),
            impedance=found.impedance,
            covariance=(float(covariance[0][0]), float(covariance[0][1]), float(covariance[1][1])),
            voltage_id=ids[0],
            impedance_id=ids[1],
            current_id=ids[2],
        ),
    )


def _from_route(
    ledger: Ledger, case: Case, state: UnitState, routes: tuple[SourceRoute, ...], *, contradicted: bool
) -> tuple[SourceAt, ...]:
    """The resolved loaded route with the least relative doubt of Isc; a loaded route wins over the ohmmeter.

    Where the readings contradict each other the worst of them: one may be wrong, and nobody knows which.
    """
    loaded = (RouteKind.TWO_LOADS, RouteKind.LOAD_CURRENT)
    here = [route for route in routes if same_state(route.state, state) and route.resolved and route.source_impedance]
    here = [route for route in here if not route.capacitive] or here
    preferred = [route for route in here if route.kind in loaded] or here
    if not preferred:
        return ()

    def relative(route: SourceRoute) -> float:
        measured = ledger[route.available_fault_current].measured
        return measured.standard_uncertainty / measured.value if measured.value else math.inf

    def probe(route: SourceRoute) -> float:
        voltage = ledger.value(route.open_circuit_voltage)
        return voltage / (ledger.value(route.source_impedance) + PROBE_RESISTANCE)

    best = max(preferred, key=probe) if contradicted else min(preferred, key=relative)
    voltage, impedance = ledger[best.open_circuit_voltage].measured, ledger[best.source_impedance].measured
    return (
        SourceAt(
            state=state,
            basis=Basis.MEASURED if best.kind in loaded else Basis.PREDICTED,
            established=True,
            plausible=plausible_state(case, state),
            voltage=voltage.value,
            impedance=complex(0.0, -impedance.value) if best.capacitive else complex(impedance.value, 0.0),
            covariance=(voltage.standard_uncertainty**2, 0.0, impedance.standard_uncertainty**2),
            voltage_id=best.open_circuit_voltage,
            impedance_id=best.source_impedance,
            current_id=best.available_fault_current,
        ),
    )


def sources_by_state(
    ledger: Ledger,
    case: Case,
    network: FittedNetwork | None,
    results: tuple[ReadingResult, ...],
    live: tuple[LiveReading, ...],
    routes: tuple[SourceRoute, ...],
) -> tuple[SourceAt, ...]:
    """One source for every state that is known, unearthed ones first.

    The fitted network speaks where the readings agree with it; a fit that the readings contradict is not used, and
    each state then rests on its own route. Where the plug's position is not known and both ways round agree with the
    readings, a state is known only if both know it, and the worse of the two stands.
    """
    speaks = network is not None and network.result.consistent is not False
    told = (
        _Told(network=network, states=predictions(case, network.result), prefix="state") if network and speaks else None
    )
    other = _other_way(ledger, case, network) if network and speaks else None
    contradicted = network is not None and not speaks
    found: list[SourceAt] = []
    for earthed in (False, True):
        for state in unit_states(case.wiring, earthed=earthed):
            source = _source(ledger, case, state, told, other, routes, contradicted=contradicted)
            if source is None:
                continue
            if not contradicted and not _leaks(network):
                source = _with_other_nature(ledger, case, source, routes)
            fixed = established(case, state, results, live, routes, dead_speaks=not contradicted)
            basis = _basis(case, source, of_state(case, live, state), background_voltage(case, results))
            found.append(replace(source, basis=basis, established=fixed))
    return tuple(found)


def _basis(case: Case, source: SourceAt, here: tuple[LiveReading, ...], background: float) -> Basis:
    """How a source is known, by the live readings that were taken in its state with the plug's position noted.

    A reading with the meter alone measures the open-circuit voltage if the meter was proved and hardly loads this
    source, and if it agrees with it within two standard uncertainties.
    """
    noted = [item for item in here if item.reading.state.plug is not PlugPosition.UNKNOWN]
    if any(item.loaded for item in noted):
        return Basis.MEASURED
    if source.basis is not Basis.PREDICTED:
        return source.basis
    for item in noted:
        doubt = math.hypot(item.uncertainty, math.sqrt(max(0.0, source.covariance[0])), background)
        agrees = abs(item.value - source.voltage) <= 2.0 * doubt
        if item.reading.proved and agrees and abs(source.impedance) <= HARDLY_LOADED * item.resistance:
            return Basis.VOLTAGE_MEASURED
    return source.basis


def _leaks(network: FittedNetwork | None) -> bool:
    """Whether leakage through capacitance alone stands: the readings then contradict a resistance."""
    return network is not None and SYMBOL[FAULT] not in network.ids


def _other_way(ledger: Ledger, case: Case, network: FittedNetwork) -> _Told | None:
    """The fit with the plug the other way round, where nobody noted its position and that agrees as well."""
    other = network.result.alternative
    if other is None or other.consistent is False:
        return None
    turned = enter_fit(ledger, case, other, "fit.other-way")[0]
    return _Told(network=turned, states=predictions(case, other), prefix="other-way")


def _source(
    ledger: Ledger,
    case: Case,
    state: UnitState,
    told: _Told | None,
    other: _Told | None,
    routes: tuple[SourceRoute, ...],
    *,
    contradicted: bool,
) -> SourceAt | None:
    here = _from_fit(ledger, case, told, state) if told is not None else ()
    if here and other is not None:
        turned = _from_fit(ledger, case, other, state)
        here = (max(here[0], turned[0], key=_probe_current),) if turned else ()
    if not here and not state.earthed:
        here = _from_route(ledger, case, state, routes, contradicted=contradicted)
    return here[0] if here else None


def _probe_current(source: SourceAt) -> float:
    """Current through about a person's resistance, by which two sources are compared. [A]"""
    return 0.0 if math.isinf(abs(source.impedance)) else source.voltage / abs(source.impedance + PROBE_RESISTANCE)


def _with_other_nature(ledger: Ledger, case: Case, source: SourceAt, routes: tuple[SourceRoute, ...]) -> SourceAt:
    """The source with the same readings taken as a capacitance, where they leave that open."""
    route = next(
        (
            item
            for item in routes
            if item.capacitive and item.resolved and item.source_impedance and same_state(item.state, source.state)
        ),
        None,
    )
    if route is None:
        return source
    voltage, impedance = ledger[route.open_circuit_voltage].measured, ledger[route.source_impedance].measured
    other = replace(
        source,
        voltage=voltage.value,
        impedance=complex(0.0, -impedance.value),
        covariance=(voltage.standard_uncertainty**2, 0.0, impedance.standard_uncertainty**2),
        voltage_id=route.open_circuit_voltage,
        impedance_id=route.source_impedance,
        current_id=route.available_fault_current,
    )
    return replace(source, other_nature=other)

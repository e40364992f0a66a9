"""Every state of the unit: by the fitted network, else by a route of its own, else not determined."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from hazardreport.assess.ledger import Ledger
from hazardreport.assess.readings_in import LiveReading, by_insulation_tester, number_id, role
from hazardreport.assess.records import Basis, Fit, Parameter, Residual, RouteKind, SourceRoute
from hazardreport.assess.routes import of_state, same_state, state_name
from hazardreport.assess.source import SourceAt, enter_source, method, plain_wiring, plausible_state, unit_states
from hazardreport.case.case import Case
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import PlugPosition, Quantity, SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Earthing, Wiring
from hazardreport.circuit.fit import FitResult
from hazardreport.circuit.free_parameters import SYMBOL, UNIT
from hazardreport.circuit.prediction import PROBE_RESISTANCE, predicted_state
from hazardreport.circuit.thevenin import available_current, source_at_part
from hazardreport.circuit.unit_network import NetworkParameters, open_poles
from hazardreport.errors import NetworkNotSolvableError, StateNotPossibleError
from hazardreport.quantity.propagation import propagate
from hazardreport.readings.result import ReadingResult
from hazardreport.standards.tables import table

DETERMINED_SHARE = 0.5
NEGLIGIBLE_CURRENT = 0.0005
NAMES = {
    "supply_voltage": "supply_voltage",
    "element_resistance": "element_resistance",
    "fault_position": "fault_position",
    "fault_resistance": "fault_resistance",
    "hot_factor": "hot_factor",
}


@dataclass(frozen=True, kw_only=True, slots=True)
class FittedNetwork:
    """The fit with the ids of its parameters in the trace, by symbol."""

    result: FitResult
    ids: dict[str, str]


@dataclass(frozen=True, kw_only=True, slots=True)
class Vectors:
    """Estimates with their covariance, and the network parameters that a row of them stands for."""

    estimates: NDArray[np.float64]
    covariance: NDArray[np.float64]
    parameters: Callable[[NDArray[np.float64]], NetworkParameters]


def plain_vectors(result: FitResult) -> Vectors:
    """The fitted parameters, held inside their physical ranges."""

    def parameters(rows: NDArray[np.float64]) -> NetworkParameters:
        return result.free.parameters(np.clip(rows, result.free.lower, result.free.upper))

    return Vectors(estimates=result.estimates, covariance=result.covariance, parameters=parameters)


def protective_earth_resistance(wiring: Wiring) -> float:
    """Unit and installation, and the electrode where the earth leads to one. [ohm]"""
    electrode = (wiring.electrode_resistance or 0.0) if wiring.earthing is Earthing.TT else 0.0
    return wiring.unit_earth_resistance + wiring.installation_earth_resistance + electrode


def earth_share_doubt() -> float:
    """Relative standard uncertainty of a protective earth's resistance that is assumed. [1]"""
    return table("own-choices", "earth-resistance").look_up("relative_standard_uncertainty")


def earthed_vectors(result: FitResult) -> Vectors:
    """The fitted parameters, and as last entry the protective earth's resistance over the assumed one."""
    size = len(result.estimates)
    covariance = np.zeros((size + 1, size + 1))
    covariance[:size, :size] = result.covariance
    covariance[size, size] = earth_share_doubt() ** 2
    plain = plain_vectors(result)

    def parameters(rows: NDArray[np.float64]) -> NetworkParameters:
        found, share = plain.parameters(rows[..., :size]), rows[..., size]
        return replace(
            found,
            unit_earth_resistance=found.unit_earth_resistance * share,
            installation_earth_resistance=found.installation_earth_resistance * share,
        )

    return Vectors(estimates=np.append(result.estimates, 1.0), covariance=covariance, parameters=parameters)


def enter_fit(ledger: Ledger, case: Case, result: FitResult, prefix: str = "fit") -> tuple[FittedNetwork, Fit]:
    """Write the fitted parameters down, and the record of the fit."""
    readings = tuple(number_id(item.id) for item in result.residuals if number_id(item.id) in ledger)
    ids: dict[str, str] = {}
    parameters = []
    for number, name in enumerate(result.names):
        low, high = result.intervals[number]
        determined = result.determined[number]
        symbol = SYMBOL[name]
        ids[symbol] = ledger.enter(
            f"{prefix}.{symbol}",
            NAMES[name],
            symbol,
            float(result.estimates[number]),
            UNIT[name],
            uncertainty=math.sqrt(max(0.0, float(result.covariance[number, number]))) if determined else 0.0,
            low=low if not determined or result.at_bound[number] else None,
            high=high if not determined or result.at_bound[number] else None,
            equation="weighted least squares of all readings with a value",
            inputs=readings,
            sources=method("fit"),
        )
        parameters.append(Parameter(symbol=symbol, number=ids[symbol], determined=determined))
    for symbol, value in (("RL", case.wiring.line_resistance), ("RN", case.wiring.neutral_resistance)):
        ids[symbol] = ledger.enter(
            f"wiring.{symbol}",
            {"RL": "line_resistance", "RN": "neutral_resistance"}[symbol],
            symbol,
            value,
            "ohm",
            equation="as stated, or the usual value",
            sources=method("line and neutral resistance"),
        )
    fit = Fit(
        parameters=tuple(parameters),
        residuals=tuple(
            _residual(ledger, item.id, item.predicted, item.standardized, result, prefix) for item in result.residuals
        ),
        chi_square=result.chi_square,
        degrees_of_freedom=result.dof,
        consistent=result.consistent,
    )
    return FittedNetwork(result=result, ids=ids), fit


def _residual(
    ledger: Ledger, reading: str, predicted: float, standardized: float, result: FitResult, prefix: str
) -> Residual:
    read = ledger[number_id(reading)]
    number = ledger.enter(
        f"{prefix}.reading.{reading}",
        "predicted_reading",
        read.symbol,
        predicted,
        read.measured.unit,
        equation="the fitted network at this reading",
        inputs=tuple(f"{prefix}.{SYMBOL[name]}" for name in result.names),
        sources=method("fit"),
        fields={"reading": read.name},
    )
    return Residual(reading=reading, predicted=number, standardized=standardized)


NETWORK_EQUATIONS = (
    "open-circuit voltage of the fitted network in this state",
    "source impedance of the fitted network in this state",
)


def _equations(case: Case, state: UnitState) -> tuple[str, str]:
    """U0 and Zs of an unearthed state in symbols of the fitted network, where a closed form holds."""
    if not plain_wiring(case.wiring):
        return NETWORK_EQUATIONS
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
    return f"U · a{3 - live_leg} / (a1 + a2)", f"Rf + a1·a2 / (a1 + a2); a1 = {leg_1}, a2 = {leg_2}"


@dataclass(frozen=True, kw_only=True, slots=True)
class Predicted:
    """One state of the fitted network.

    values, covariance  of U0 [V], |Zs| [ohm], Isc [A]
    low, high           95 % intervals of the same where a parameter lies on the edge of its range, else None
    impedance           complex Zs [ohm]
    determined          a person's current is known within ± 50 %, or is below perception in any case
    """

    values: NDArray[np.float64]
    covariance: NDArray[np.float64]
    low: NDArray[np.float64] | None
    high: NDArray[np.float64] | None
    impedance: complex
    determined: bool


def _unearthed(case: Case, result: FitResult, state: UnitState) -> Predicted:
    if not np.isfinite(source_at_part(case.wiring, result.parameters, state)[1]).all():
        return Predicted(
            values=np.array([0.0, math.inf, 0.0]),
            covariance=np.zeros((3, 3)),
            low=None,
            high=None,
            impedance=complex(math.inf),
            determined=True,
        )
    found = predicted_state(result, case.wiring, state)
    voltage, real, imaginary, current = (float(value) for value in found.source.values)
    modulus = math.hypot(real, imaginary)
    along = (real / modulus, imaginary / modulus) if modulus else (1.0, 0.0)
    to_modulus = np.array([[1.0, 0, 0, 0], [0, *along, 0], [0, 0, 0, 1.0]])
    probe, low, high = float(found.probe.values[0]), float(found.probe.low[0]), float(found.probe.high[0])
    edge = any(result.at_bound)
    return Predicted(
        values=np.array([voltage, modulus, current]),
        covariance=to_modulus @ found.source.covariance @ to_modulus.T,
        low=found.source.low[[0, 1, 3]] if edge else None,
        high=found.source.high[[0, 1, 3]] if edge else None,
        impedance=complex(real, imaginary),
        determined=high - low <= 2.0 * DETERMINED_SHARE * probe or high <= NEGLIGIBLE_CURRENT,
    )


def _earthed(case: Case, result: FitResult, state: UnitState) -> Predicted:
    vectors = earthed_vectors(result)

    def equation(rows: NDArray[np.float64]) -> NDArray[np.float64]:
        u0, zs = np.broadcast_arrays(*source_at_part(case.wiring, vectors.parameters(rows), state))
        return np.stack([np.abs(u0), np.abs(zs), available_current(u0, zs)], axis=-1)

    with np.errstate(all="ignore"):
        values, covariance = propagate(equation, vectors.estimates, vectors.covariance)
    _, impedance = source_at_part(case.wiring, result.parameters, state)
    determined = bool(np.isfinite(covariance).all())
    return Predicted(
        values=values, covariance=covariance, low=None, high=None, impedance=complex(impedance), determined=determined
    )


def _from_fit(
    ledger: Ledger, case: Case, network: FittedNetwork, state: UnitState, prefix: str = "state"
) -> tuple[SourceAt, ...]:
    """The source of a state by the fitted network; nothing where the readings leave it open."""
    found = (_earthed if state.earthed else _unearthed)(case, network.result, state)
    if not found.determined:
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
            ("U0 · RPE / (Zs + RPE)", "Zs · RPE / (Zs + RPE)") if plain_wiring(case.wiring) else NETWORK_EQUATIONS
        )
        inputs: tuple[str, ...] = (f"{base}.U0", f"{base}.Zs", earth)
    else:
        equations = _equations(case, state)
        inputs = tuple(network.ids[symbol] for symbol in ("U", "Re", "x", "Rf", "RL", "RN") if symbol in network.ids)
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


def _from_route(ledger: Ledger, case: Case, state: UnitState, routes: tuple[SourceRoute, ...]) -> tuple[SourceAt, ...]:
    """The resolved loaded route with the least relative doubt of Isc; a loaded route wins over the ohmmeter."""
    loaded = (RouteKind.TWO_LOADS, RouteKind.LOAD_CURRENT)
    here = [
        route
        for route in routes
        if same_state(route.state, state) and route.resolved and route.source_impedance and not route.capacitive
    ]
    preferred = [route for route in here if route.kind in loaded] or here
    if not preferred:
        return ()

    def relative(route: SourceRoute) -> float:
        measured = ledger[route.available_fault_current].measured
        return measured.standard_uncertainty / measured.value if measured.value else math.inf

    best = min(preferred, key=relative)
    voltage, impedance = ledger[best.open_circuit_voltage].measured, ledger[best.source_impedance].measured
    return (
        SourceAt(
            state=state,
            basis=Basis.MEASURED if best.kind in loaded else Basis.PREDICTED,
            established=True,
            plausible=plausible_state(case, state),
            voltage=voltage.value,
            impedance=complex(impedance.value, 0.0),
            covariance=(voltage.standard_uncertainty**2, 0.0, impedance.standard_uncertainty**2),
            voltage_id=best.open_circuit_voltage,
            impedance_id=best.source_impedance,
            current_id=best.available_fault_current,
        ),
    )


def established(
    case: Case,
    state: UnitState,
    results: tuple[ReadingResult, ...],
    live: tuple[LiveReading, ...],
    routes: tuple[SourceRoute, ...],
    *,
    dead_speaks: bool = True,
) -> bool:
    """A loaded reading, a current, a lit lamp or finite ohmmeter readings fix this state; bounds do not.

    An earthed state is fixed by its own readings, or by those of the same state without earth. Where the readings
    contradict each other, those under load win: what an ohmmeter saw then fixes nothing (`dead_speaks` false).
    """
    plain = replace(state, earthed=False)
    if any(item.loaded for same in (state, plain) for item in of_state(case, live, same)):
        return True
    kinds = {RouteKind.LAMP, RouteKind.LOAD_CURRENT, RouteKind.TWO_LOADS}
    if dead_speaks:
        kinds.add(RouteKind.OHMMETER)
    if any(
        (same_state(route.state, plain) or same_state(route.state, state)) and route.kind in kinds for route in routes
    ):
        return True
    return dead_speaks and (_leg_fixes(case, plain, results) or _three_fix(case, results))


def _three_fix(case: Case, results: tuple[ReadingResult, ...]) -> bool:
    """Whether finite resistances from both pins to the part and between the pins fix a wiring of no closed form."""
    if plain_wiring(case.wiring):
        return False
    part, pin_1, pin_2 = PointRole.TOUCHABLE_PART, PointRole.PIN_1, PointRole.PIN_2
    return all(_finite_resistance(case, results, ends) for ends in ({pin_1, part}, {pin_2, part}, {pin_1, pin_2}))


def _finite_resistance(case: Case, results: tuple[ReadingResult, ...], ends: set[PointRole]) -> bool:
    for reading, result in zip(case.readings, results, strict=True):
        finite = result.used and result.value is not None and reading.quantity is Quantity.RESISTANCE
        roles = {role(case, reading.first), role(case, reading.second)}
        if finite and roles == ends and not by_insulation_tester(case, reading):
            return True
    return False


def _leg_fixes(case: Case, state: UnitState, results: tuple[ReadingResult, ...]) -> bool:
    """Whether a finite ohmmeter reading fixes an off state: from the pin whose pole stays closed to the part."""
    if state.switch is not SwitchPosition.OFF:
        return False
    closed = {1, 2} - open_poles(case.wiring, state)
    if len(closed) != 1:
        return False
    pin = PointRole.PIN_1 if closed == {1} else PointRole.PIN_2
    return _finite_resistance(case, results, {pin, PointRole.TOUCHABLE_PART})


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
    trusted = network if network is not None and network.result.consistent is not False else None
    other = _other_way(ledger, case, trusted)
    found: list[SourceAt] = []
    for earthed in (False, True):
        for state in unit_states(case.wiring, earthed=earthed):
            source = _source(ledger, case, state, trusted, other, routes)
            if source is None:
                continue
            if network is None or trusted is not None:
                source = _with_other_nature(ledger, case, source, routes)
            measured = any(item.loaded for item in of_state(case, live, state))
            fixed = established(case, state, results, live, routes, dead_speaks=network is None or trusted is not None)
            found.append(replace(source, basis=Basis.MEASURED if measured else source.basis, established=fixed))
    return tuple(found)


def _other_way(ledger: Ledger, case: Case, network: FittedNetwork | None) -> FittedNetwork | None:
    """The fit with the plug the other way round, where nobody noted its position and that agrees as well."""
    other = network.result.alternative if network is not None else None
    if other is None or other.consistent is False:
        return None
    return enter_fit(ledger, case, other, "fit.other-way")[0]


def _source(
    ledger: Ledger,
    case: Case,
    state: UnitState,
    network: FittedNetwork | None,
    other: FittedNetwork | None,
    routes: tuple[SourceRoute, ...],
) -> SourceAt | None:
    here: tuple[SourceAt, ...] = ()
    try:
        if network is not None:
            here = _from_fit(ledger, case, network, state)
        if here and other is not None:
            turned = _from_fit(ledger, case, other, state, "other-way")
            here = (max(here[0], turned[0], key=_probe_current),) if turned else ()
        if not here and not state.earthed:
            here = _from_route(ledger, case, state, routes)
    except (StateNotPossibleError, NetworkNotSolvableError):
        return None
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

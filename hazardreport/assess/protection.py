"""Protective devices for a person, and the same unit if its protective earth had been connected."""

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from hazardreport.assess.fitted import FittedNetwork, closed_forms, earth_share_doubt, earthed_vectors
from hazardreport.assess.ledger import Ledger
from hazardreport.assess.records import AsBuilt, DeviceVerdict, Exposure
from hazardreport.assess.routes import state_name
from hazardreport.assess.source import SourceAt, method, plain_wiring, share_to_earth
from hazardreport.case.case import Case
from hazardreport.case.circumstances import ResidualCurrentDevice
from hazardreport.case.reading import SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Earthing, Supply
from hazardreport.circuit.thevenin import currents
from hazardreport.errors import OutsideTableError
from hazardreport.quantity.measured import Measured
from hazardreport.quantity.propagation import propagate
from hazardreport.quantity.trace import Source
from hazardreport.severity.devices import (
    Verdict,
    overcurrent_operation,
    overcurrent_sources,
    residual_current_operation,
    residual_current_sources,
)
from hazardreport.severity.limits import disconnection_time_limit
from hazardreport.severity.terms import Operation
from hazardreport.standards.tables import table

AT_MOST = "at most, since the two need not be in phase"
LINE_CURRENT_OFF, LINE_CURRENT_ON = "IB", f"U / Re + IB; {AT_MOST}"
LINE_CURRENT_OF_NETWORK = f"line current of the fitted network and IB; {AT_MOST}"
RESIDUAL = (ResidualCurrentDevice.GFCI_A, ResidualCurrentDevice.MA_30)


def with_doubt(operation: Callable[[float], Verdict], current: Measured) -> Verdict:
    """What a device does over all of current ± U: not determined where the ends disagree, else the longest time."""
    low, high = max(0.0, current.value - current.expanded_uncertainty), current.value + current.expanded_uncertainty
    found = [operation(value) for value in (low, current.value, high)]
    if len({verdict for verdict, _ in found}) > 1:
        return Operation.NOT_DETERMINED, None
    times = [time for _, time in found if time is not None]
    return found[1][0], max(times) if times else None


def _verdict(
    ledger: Ledger,
    device: str,
    state: UnitState,
    current: str,
    found: Verdict,
    sources: tuple[Source, ...],
    *,
    for_person: bool,
    limit: float | None = None,
) -> DeviceVerdict:
    operation, seconds = found
    time = ""
    if operation is Operation.OPERATES and seconds is not None:
        time = ledger.enter(
            f"device.{device}.{current}.t",
            "device_time",
            "t",
            seconds,
            "s",
            equation="longest time of the device over all of the current's ± U",
            inputs=(current,),
            sources=sources,
            fields={"device": device},
        )
    return DeviceVerdict(
        device=device,
        state=state,
        for_person=for_person,
        current=current,
        operation=operation,
        time=time,
        in_time=None if limit is None else _in_time(operation, seconds, limit),
        sources=sources,
    )


def _in_time(operation: Operation, seconds: float | None, limit: float) -> bool | None:
    if operation is Operation.DOES_NOT_OPERATE:
        return False
    return None if operation is Operation.NOT_DETERMINED or seconds is None else seconds <= limit


def _element_current(case: Case, network: FittedNetwork | None, source: SourceAt) -> tuple[float, tuple[str, ...]]:
    """Current of the unit in a state without any fault current: none while switched off. [A]"""
    if source.state.switch is SwitchPosition.OFF or network is None:
        return 0.0, ()
    parameters = network.result.parameters
    if not plain_wiring(case.wiring):
        flowing = currents(case.wiring, parameters, replace(source.state, earthed=False))
        return float(flowing.line_current), tuple(network.ids[symbol] for symbol in ("U", "Re"))
    return float(parameters.supply_voltage) / float(parameters.element_resistance), (
        network.ids["U"],
        network.ids["Re"],
    )


def _line_current_text(case: Case, inputs: tuple[str, ...]) -> str:
    if not inputs:
        return LINE_CURRENT_OFF
    return LINE_CURRENT_ON if plain_wiring(case.wiring) else LINE_CURRENT_OF_NETWORK


def devices_for_person(
    ledger: Ledger, case: Case, network: FittedNetwork | None, source: SourceAt, person: Exposure
) -> Iterator[DeviceVerdict]:
    """What each device does while that person touches the part: residual-current devices see the person's current."""
    measured = ledger[person.body_current].measured
    for kind in RESIDUAL:
        yield _verdict(
            ledger,
            kind.value,
            source.state,
            person.body_current,
            with_doubt(partial(residual_current_operation, kind), measured),
            residual_current_sources(kind),
            for_person=True,
        )
    designation = case.wiring.circuit_breaker.strip()
    if not designation:
        return
    element, inputs = _element_current(case, network, source)
    line = ledger.enter(
        f"device.{source.state.key}.line-current",
        "line_current_person",
        "IL",
        element + measured.value,
        "A",
        uncertainty=measured.standard_uncertainty,
        equation=_line_current_text(case, inputs),
        inputs=(*inputs, person.body_current),
        sources=method("line current"),
        fields={"state": state_name(source.state)},
    )
    yield _verdict(
        ledger,
        designation,
        source.state,
        line,
        with_doubt(partial(overcurrent_operation, designation), ledger[line].measured),
        overcurrent_sources(designation),
        for_person=True,
    )


AS_BUILT = (
    ("earth_current", "earth_current", "IPE", "A"),
    ("touch_voltage_earth_bar", "earthed_touch_voltage", "UTb", "V"),
    ("touch_voltage_true_earth", "earthed_touch_voltage_true_earth", "UT", "V"),
    ("line_current", "line_current_earthed", "IL", "A"),
)
AS_BUILT_EQUATIONS = {
    "IPE": "U0 / |Zs + RPE|",
    "UTb": "IPE · RPEu",
    "UT": "U0 · RPE / (Zs + RPE)",
    "IL": "line current of the fitted network in this state",
}
OF_NETWORK = {
    "IPE": "earth current of the fitted network in this state",
    "UT": "touch voltage of the fitted network in this state",
}
"""Where no closed form holds."""


def as_built(ledger: Ledger, case: Case, network: FittedNetwork, source: SourceAt) -> AsBuilt:
    """The fitted network of an earthed state: touch voltages, currents, and what each device would have done."""
    state = source.state
    vectors = earthed_vectors(network.result)

    def equation(rows: NDArray[np.float64]) -> NDArray[np.float64]:
        found = currents(case.wiring, vectors.parameters(rows), state)
        columns = [getattr(found, field) for field, _, _, _ in AS_BUILT]
        return np.stack(np.broadcast_arrays(*columns), axis=-1)

    with np.errstate(all="ignore"):
        values, covariance = propagate(equation, vectors.estimates, vectors.covariance)
    doubts = np.sqrt(np.maximum(np.diag(covariance), 0.0))
    base = f"state.{replace(state, earthed=False).key}"
    ids: dict[str, str] = {}
    equations = AS_BUILT_EQUATIONS if closed_forms(case, network) else AS_BUILT_EQUATIONS | OF_NETWORK
    of_unit = ledger.enter(
        "wiring.RPEu",
        "unit_earth_resistance",
        "RPEu",
        case.wiring.unit_earth_resistance,
        "ohm",
        uncertainty=earth_share_doubt() * case.wiring.unit_earth_resistance,
        equation="as stated, or the usual value",
        sources=(table("own-choices", "earth-resistance").source(),),
    )
    for number, (_, name, symbol, unit) in enumerate(AS_BUILT):
        doubt = float(doubts[number])
        ids[symbol] = ledger.enter(
            f"as-built.{state.key}.{symbol}",
            name,
            symbol,
            float(values[number]),
            unit,
            uncertainty=doubt if math.isfinite(doubt) else 0.0,
            equation=equations[symbol],
            inputs=(ids["IPE"], of_unit) if symbol == "UTb" else (f"{base}.U0", f"{base}.Zs", "wiring.RPE"),
            sources=method("network of the unit"),
            fields={"state": state_name(replace(state, earthed=False))},
        )
    time_limit = _enter_time_limit(ledger, case)
    limit = ledger.value(time_limit) if time_limit else None
    return AsBuilt(
        state=state,
        touch_voltage=ids["UTb"],
        touch_voltage_true_earth=ids["UT"],
        earth_current=ids["IPE"],
        time_limit=time_limit,
        devices=tuple(_as_built_devices(ledger, case, state, ids["IPE"], ids["IL"], limit)),
    )


def _nominal_to_earth(case: Case) -> float:
    """Nominal voltage to earth: of two phases of 400 V it is called 230 V, though 400/√3 is a little more. [V]"""
    nominal = case.wiring.nominal_voltage or 0.0
    exact = share_to_earth(case.wiring) * nominal
    return 10.0 * math.floor(exact / 10.0) if case.wiring.supply is Supply.TWO_PHASES else exact


def _enter_time_limit(ledger: Ledger, case: Case) -> str:
    """Write the longest disconnection time of the nominal voltage to earth down; "" where none is required."""
    nominal = _nominal_to_earth(case)
    system = "tt" if case.wiring.earthing is Earthing.TT else "tn"
    try:
        limit, source = disconnection_time_limit(nominal, system)
    except OutsideTableError:
        return ""
    return ledger.enter(
        "limits.disconnection-time",
        "limit_disconnection_time",
        "t",
        limit,
        "s",
        equation="table",
        sources=(source,),
        fields={"system": system.upper()},
    )


def _as_built_devices(
    ledger: Ledger, case: Case, state: UnitState, earth_current: str, line_current: str, limit: float | None
) -> Iterator[DeviceVerdict]:
    for kind in RESIDUAL:
        found = with_doubt(partial(residual_current_operation, kind), ledger[earth_current].measured)
        yield _verdict(
            ledger,
            kind.value,
            state,
            earth_current,
            found,
            residual_current_sources(kind),
            for_person=False,
            limit=limit,
        )
    designation = case.wiring.circuit_breaker.strip()
    if designation:
        found = with_doubt(partial(overcurrent_operation, designation), ledger[line_current].measured)
        yield _verdict(
            ledger,
            designation,
            state,
            line_current,
            found,
            overcurrent_sources(designation),
            for_person=False,
            limit=limit,
        )

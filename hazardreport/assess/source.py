"""The source at the touchable part in one state, as the rest of the assessment uses it."""

from dataclasses import dataclass

from hazardreport.assess.ledger import Ledger
from hazardreport.assess.records import Basis
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer
from hazardreport.case.reading import PlugPosition, SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import (
    Earthing,
    Plug,
    ProtectiveEarth,
    SecondPart,
    Supply,
    SupplyFault,
    SwitchPoles,
    Wiring,
)
from hazardreport.circuit.free_parameters import SHARE_TO_EARTH
from hazardreport.quantity.trace import Source, Status

METHOD = "own-choices"
NETWORK_EQUATIONS = (
    "open-circuit voltage of the fitted network in this state",
    "source impedance of the fitted network in this state",
)


@dataclass(frozen=True, kw_only=True, slots=True)
class SourceAt:
    """U0 and Zs of one state, with their doubt.

    voltage, impedance       magnitude of U0 [V]; Zs [ohm]
    covariance               of (U0, |Zs|): variance of U0, covariance, variance of |Zs|
    voltage_id, impedance_id, current_id   in the trace
    other_nature             the same readings taken as a capacitance, where nothing decides between the two
    """

    state: UnitState
    basis: Basis
    established: bool
    plausible: bool
    voltage: float
    impedance: complex
    covariance: tuple[float, float, float]
    voltage_id: str
    impedance_id: str
    current_id: str
    other_nature: "SourceAt | None" = None


def switch_positions(wiring: Wiring) -> tuple[SwitchPosition, ...]:
    """Positions that the unit's switch can have; a unit without a switch is always on."""
    if wiring.switch is SwitchPoles.NONE:
        return (SwitchPosition.NONE,)
    return (SwitchPosition.OFF, SwitchPosition.ON)


def has_cut_out(wiring: Wiring) -> bool:
    """Whether a thermostat or cut-out is known to interrupt a pole."""
    return wiring.cut_out in (SwitchPoles.POLE_1, SwitchPoles.POLE_2, SwitchPoles.BOTH)


def unit_states(wiring: Wiring, *, earthed: bool) -> tuple[UnitState, ...]:
    """Every plugged state, the headline ones first: off, on with the cut-out open if there is one, on."""
    positions = [
        (switch, open_)
        for switch in switch_positions(wiring)
        for open_ in ((True, False) if has_cut_out(wiring) and switch is not SwitchPosition.OFF else (False,))
    ]
    return tuple(
        UnitState(plug=plug, switch=switch, earthed=earthed, cut_out_open=open_)
        for switch, open_ in positions
        for plug in (PlugPosition.STRAIGHT, PlugPosition.REVERSED)
    )


def side_paths(wiring: Wiring) -> bool:
    """Whether current can reach the part or its poles beside the element: filter, leaking switch, second part."""
    parts = wiring.filter
    return (
        any((parts.y_capacitance_1, parts.y_capacitance_2, parts.x_capacitance, parts.bleeder_resistance))
        or wiring.switch_leakage is not None
        or wiring.cut_out_leakage is not None
        or wiring.second_part is not SecondPart.NONE
    )


def plain_wiring(wiring: Wiring) -> bool:
    """Whether one whole element between two poles, nothing beside it, on an earthed neutral: closed forms then hold."""
    return (
        wiring.supply is Supply.EARTHED_NEUTRAL
        and wiring.supply_fault is SupplyFault.NONE
        and not side_paths(wiring)
        and not has_cut_out(wiring)
        and not wiring.more_elements
        and wiring.element.open_at is None
        and wiring.earthing is not Earthing.TT
    )


def share_to_earth(wiring: Wiring) -> float:
    """Voltage of a live pole to earth over that from pole to pole. [1]"""
    return SHARE_TO_EARTH[wiring.supply]


def earth_as_found(case: Case) -> bool:
    """True only where the unit's protective earth was found connected, and no socket without earth was reported."""
    connected = case.wiring.protective_earth is ProtectiveEarth.CONNECTED
    return connected and case.household.socket_earth is not Answer.NO


def plug_allows(case: Case, state: UnitState) -> bool:
    """Whether the plug goes in that way round; one of unknown kind does."""
    return not (state.plug is PlugPosition.REVERSED and case.wiring.plug is Plug.ONE_WAY)


def plausible_state(case: Case, state: UnitState) -> bool:
    """Whether people meet this state: the plug allows it, and the earth is as it was found."""
    return plug_allows(case, state) and state.earthed == earth_as_found(case)


def plausible_states(case: Case) -> tuple[UnitState, ...]:
    """Every plugged state that people meet, known or not."""
    return tuple(
        state for state in unit_states(case.wiring, earthed=earth_as_found(case)) if plausible_state(case, state)
    )


def method(place: str) -> tuple[Source, ...]:
    """The program's own method as a source."""
    return (Source(key=METHOD, place=place, status=Status.CHOICE),)


def enter_source(
    ledger: Ledger,
    prefix: str,
    state_name: str,
    *,
    voltage: tuple[float, float],
    impedance: tuple[float, float],
    current: tuple[float, float],
    equations: tuple[str, str, str],
    inputs: tuple[str, ...],
    sources: tuple[Source, ...] = (),
    intervals: tuple[list[float], list[float]] | None = None,
    voltage_by_impedance: bool = False,
) -> tuple[str, str, str]:
    """Write U0, Zs and Isc of one state down; each argument is (value, standard uncertainty).

    `intervals` are the low and the high ends of the three where ± would mislead. With `voltage_by_impedance` Zs comes
    first and is an input of U0.
    """
    names = ("open_circuit_voltage", "source_impedance", "available_fault_current")
    symbols, units = ("U0", "Zs", "Isc"), ("V", "ohm", "A")
    ids: dict[str, str] = {}
    ends = [(None, None)] * 3 if intervals is None else list(zip(*intervals, strict=True))
    rows = list(zip(names, symbols, units, (voltage, impedance, current), equations, ends, strict=True))
    if voltage_by_impedance:
        rows[0], rows[1] = rows[1], rows[0]
    for name, symbol, unit, value, equation, (low, high) in rows:
        before = tuple(ids.values())
        behind = before if symbol == "Isc" else (*inputs, *before) if voltage_by_impedance else inputs
        ids[symbol] = ledger.enter(
            f"{prefix}.{symbol}",
            name,
            symbol,
            value[0],
            unit,
            uncertainty=value[1],
            low=low,
            high=high,
            equation=equation,
            inputs=behind,
            sources=sources,
            fields={"state": state_name},
        )
    return ids["U0"], ids["Zs"], ids["Isc"]

"""The source at the touchable part in one state, as the rest of the assessment uses it."""

from dataclasses import dataclass

from hazardreport.assess.ledger import Ledger
from hazardreport.assess.records import Basis
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer
from hazardreport.case.reading import PlugPosition, SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Plug, ProtectiveEarth, SwitchPoles, Wiring
from hazardreport.quantity.trace import Source, Status

METHOD = "own-choices"


@dataclass(frozen=True, kw_only=True, slots=True)
class SourceAt:
    """U0 and Zs of one state, with their doubt.

    voltage, impedance       magnitude of U0 [V]; Zs [ohm]
    covariance               of (U0, |Zs|): variance of U0, covariance, variance of |Zs|
    voltage_id, impedance_id, current_id   in the trace
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


def switch_positions(wiring: Wiring) -> tuple[SwitchPosition, ...]:
    """Positions that the unit's switch can have; a unit without a switch is always on."""
    if wiring.switch is SwitchPoles.NONE:
        return (SwitchPosition.NONE,)
    return (SwitchPosition.OFF, SwitchPosition.ON)


def unit_states(wiring: Wiring, *, earthed: bool) -> tuple[UnitState, ...]:
    """Every plugged state, the headline ones first: off before on."""
    return tuple(
        UnitState(plug=plug, switch=switch, earthed=earthed)
        for switch in switch_positions(wiring)
        for plug in (PlugPosition.STRAIGHT, PlugPosition.REVERSED)
    )


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
) -> tuple[str, str, str]:
    """Write U0, Zs and Isc of one state down; each argument is (value, standard uncertainty).

    `intervals` are the low and the high ends of the three where ± would mislead.
    """
    names = ("open_circuit_voltage", "source_impedance", "available_fault_current")
    symbols, units = ("U0", "Zs", "Isc"), ("V", "ohm", "A")
    ids: list[str] = []
    ends = [(None, None)] * 3 if intervals is None else list(zip(*intervals, strict=True))
    for name, symbol, unit, value, equation, (low, high) in zip(
        names, symbols, units, (voltage, impedance, current), equations, ends, strict=True
    ):
        before = tuple(ids) if symbol == "Isc" else ()
        ids.append(
            ledger.enter(
                f"{prefix}.{symbol}",
                name,
                symbol,
                value[0],
                unit,
                uncertainty=value[1],
                low=low,
                high=high,
                equation=equation,
                inputs=before or inputs,
                sources=sources,
                fields={"state": state_name},
            )
        )
    return ids[0], ids[1], ids[2]

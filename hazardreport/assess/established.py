"""Whether readings fix a state: under load, by a current, a lit lamp, or by finite resistances."""

from dataclasses import replace

from hazardreport.assess.readings_in import LiveReading, by_insulation_tester, role
from hazardreport.assess.records import RouteKind, SourceRoute
from hazardreport.assess.routes import of_state, same_state
from hazardreport.assess.source import plain_wiring
from hazardreport.case.case import Case
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import LoadKind, Quantity, SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.circuit.unit_network import open_poles, unit_state
from hazardreport.readings.result import ReadingResult


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
    if any(_current_flowed(case, same, results) for same in (state, plain)):
        return True
    kinds = {RouteKind.LAMP, RouteKind.LOAD_CURRENT, RouteKind.TWO_LOADS}
    if dead_speaks:
        kinds.add(RouteKind.OHMMETER)
    if any(
        (same_state(route.state, plain) or same_state(route.state, state)) and route.kind in kinds for route in routes
    ):
        return True
    return dead_speaks and (_leg_fixes(case, plain, results) or _three_fix(case, results))


def _current_flowed(case: Case, state: UnitState, results: tuple[ReadingResult, ...]) -> bool:
    """Whether a current through a load from the part to earth was read in this state."""
    for reading, result in zip(case.readings, results, strict=True):
        roles = {role(case, reading.first), role(case, reading.second)}
        loaded = result.quantity is Quantity.CURRENT and reading.load.kind is not LoadKind.NONE
        if not (loaded and result.used and result.value is not None and PointRole.TOUCHABLE_PART in roles):
            continue
        if same_state(unit_state(reading.state, case.wiring), state):
            return True
    return False


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

"""Case to Assessment: the one confluence of readings, circuit, severity and tables.

A case that says too little still gives an assessment: what cannot be computed is not determined, and a problem says
why.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from hazardreport.assess import against_limits, artefact, persons, protection
from hazardreport.assess.editions import editions_used
from hazardreport.assess.element import broken_element
from hazardreport.assess.ledger import Ledger
from hazardreport.assess.loaded_routes import current_routes, loaded_routes
from hazardreport.assess.possible import possible_currents
from hazardreport.assess.readings_in import LiveReading, live_readings, observations, read_in
from hazardreport.assess.records import (
    ArtefactArgument,
    Assessment,
    Basis,
    DeviceVerdict,
    Exposure,
    Fit,
    LimitComparison,
    NextTest,
    Problem,
    SourceRoute,
    StateCell,
)
from hazardreport.assess.routes import enter_supply, lamp_routes, ohmmeter_routes
from hazardreport.assess.source import SourceAt, plausible_state, plug_allows, unit_states
from hazardreport.assess.states import FittedNetwork, enter_fit, sources_by_state
from hazardreport.assess.verdict import median_person, verdict
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer
from hazardreport.case.picture import PointRole
from hazardreport.circuit.fit import FitResult, fit
from hazardreport.circuit.misfit import Suspect, suspects
from hazardreport.circuit.unit_network import refuse_supply
from hazardreport.errors import HazardReportError, NothingToFitError
from hazardreport.quantity.formatting import format_value
from hazardreport.quantity.typed import UNITS, Bound
from hazardreport.readings import planned as planned_tests
from hazardreport.readings.plan import next_planned
from hazardreport.readings.result import ReadingResult
from hazardreport.severity.let_go import let_go_limit
from hazardreport.severity.terms import BodyPath


@dataclass(frozen=True, kw_only=True, slots=True)
class Solved:
    """What the case's network gave: sources by state, routes, fit, and what went wrong on the way."""

    supply_id: str = ""
    live: tuple[LiveReading, ...] = ()
    routes: tuple[SourceRoute, ...] = ()
    network: FittedNetwork | None = None
    fit: Fit | None = None
    sources: tuple[SourceAt, ...] = ()
    problems: tuple[Problem, ...] = ()


def _problem(error: HazardReportError, kind: str = "wiring", id: str = "") -> Problem:
    return Problem(
        key=error.key, kind=kind, id=id, fields=tuple((name, str(value)) for name, value in error.fields().items())
    )


def assess(case: Case, last: FitResult | None = None) -> Assessment:
    """All results for one case.

    Parameters
    ----------
    case : Case
        As entered, however incomplete.
    last : FitResult or None
        The fit of the case before the last edit, as a start for the search.

    Returns
    -------
    Assessment
        Every number with its trace; states that nothing fixes are "not determined"; problems say what to mend.

    References
    ----------
    own-choices, severity method.
    """
    return assess_with_fit(case, last)[0]


def assess_with_fit(case: Case, last: FitResult | None = None) -> tuple[Assessment, FitResult | None]:
    """All results for one case, and the fit as a start for the next one."""
    ledger = Ledger()
    results, read_numbers, problems = read_in(ledger, case)
    solved = _solved(ledger, case, results, last)
    touched = tuple(s for s in solved.sources if s.plausible or not s.state.earthed)
    exposed = tuple(persons.exposures(ledger, case, touched))
    earthed = tuple(s for s in solved.sources if s.state.earthed and solved.network is not None)
    built = tuple(protection.as_built(ledger, case, solved.network, s) for s in earthed if solved.network)
    devices = tuple(_devices(ledger, case, solved, exposed))
    limits = _limits(ledger, case, results, solved)
    possible = possible_currents(ledger, case, solved.live, solved.sources, solved.supply_id)
    word = verdict(ledger, case, solved.sources, exposed, limits, possible)
    leading = next((s for s in solved.sources if s.state == word.headline), None)
    reasons = _artefact(ledger, case, results, solved, leading)
    assessment = Assessment(
        case_id=case.id,
        trace=ledger.trace(),
        readings=read_numbers,
        routes=solved.routes,
        fit=solved.fit,
        states=_cells(ledger, case, solved.sources, exposed),
        exposures=exposed,
        devices=devices,
        as_built=built,
        limits=limits,
        artefact=reasons,
        verdict=word,
        next_test=_next_test(ledger, case, solved.sources, exposed),
        problems=(*problems, *solved.problems, *broken_element(case, results), *_case_problems(case)),
        editions=editions_used(ledger.trace()),
        choices=tuple(dict.fromkeys(choice for result in results for choice in result.choices)),
    )
    return assessment, solved.network.result if solved.network else None


def _solved(ledger: Ledger, case: Case, results: tuple[ReadingResult, ...], last: FitResult | None) -> Solved:
    try:
        refuse_supply(case.wiring)
    except HazardReportError as error:
        return Solved(problems=(_problem(error),))
    if not _positive(case.wiring.nominal_voltage) or not _positive(case.wiring.frequency):
        return Solved(problems=(Problem(key="supply_not_stated", kind="wiring"),))
    supply_id = enter_supply(ledger, case, results)
    live = live_readings(case, results)
    routes = (
        *ohmmeter_routes(ledger, case, results, supply_id),
        *loaded_routes(ledger, case, results, live, supply_id),
        *current_routes(ledger, case, results, live),
        *lamp_routes(ledger, case, results),
    )
    network, record, problems = _fitted(ledger, case, results, supply_id, last)
    return Solved(
        supply_id=supply_id,
        live=live,
        routes=routes,
        network=network,
        fit=record,
        sources=sources_by_state(ledger, case, network, results, live, routes),
        problems=problems,
    )


def _positive(number: float | None) -> bool:
    return number is not None and 0.0 < number < math.inf


def _fitted(
    ledger: Ledger, case: Case, results: tuple[ReadingResult, ...], supply_id: str, last: FitResult | None
) -> tuple[FittedNetwork | None, Fit | None, tuple[Problem, ...]]:
    """The fit of all readings; readings of the unit are needed, not of the supply alone."""
    seen, refused = observations(case, results, ledger.value(supply_id))
    if not any(item.bound is Bound.NONE and PointRole.TOUCHABLE_PART in (item.first, item.second) for item in seen):
        return None, None, refused
    try:
        result = fit(seen, case.wiring, last)
    except NothingToFitError:
        return None, None, refused
    except HazardReportError as error:
        return None, None, (*refused, _problem(error))
    network, record = enter_fit(ledger, case, result)
    units = {item.id: UNITS[item.kind.value] for item in seen}
    return network, record, (*refused, *_fit_problems(result, suspects(seen, case.wiring, result), units))


def _fit_problems(result: FitResult, found: tuple[Suspect, ...], units: Mapping[str, str]) -> tuple[Problem, ...]:
    """The reading that does not fit, if leaving it out alone would mend the rest; bounds that the fit breaks.

    With one degree of freedom any reading left out mends the rest: then nobody can say which one is wrong.
    """
    problems = [Problem(key="bound_broken", kind="reading", id=name) for name in result.broken_bounds]
    problems += [Problem(key="not_explained", kind="reading", id=name) for name in result.unexplained]
    if result.consistent is not False:
        return tuple(problems)
    if not found:
        return (*problems, Problem(key="no_one_story", kind="case"))
    alone = len(found) == 1 and result.dof > 1
    problems += [
        Problem(
            key="misfit" if alone else "misfit_one_of",
            kind="reading",
            id=item.id,
            fields=(("count", str(len(found))), ("expected", format_value(item.expected, units[item.id]))),
        )
        for item in found
    ]
    return tuple(problems)


def _case_problems(case: Case) -> tuple[Problem, ...]:
    """Circumstances without which no exposure enters the verdict."""
    household = case.household
    if Answer.YES in (household.earthed_metal_in_reach, household.conductive_floor):
        return ()
    if Answer.OPEN in (household.earthed_metal_in_reach, household.conductive_floor):
        return (Problem(key="circumstances_open", kind="household"),)
    return ()


def _cells(
    ledger: Ledger, case: Case, sources: tuple[SourceAt, ...], exposures: tuple[Exposure, ...]
) -> tuple[StateCell, ...]:
    known = {source.state: source for source in sources}
    cells = []
    for earthed in (False, True):
        for state in unit_states(case.wiring, earthed=earthed):
            source = known.get(state)
            if source is None:
                plausible = plausible_state(case, state)
                cells.append(StateCell(state=state, basis=Basis.NOT_DETERMINED, plausible=plausible))
                continue
            person = median_person(exposures, state, BodyPath.HAND_TO_FEET)
            cells.append(
                StateCell(
                    state=state,
                    basis=source.basis,
                    established=source.established,
                    plausible=source.plausible,
                    open_circuit_voltage=source.voltage_id,
                    source_impedance=source.impedance_id,
                    available_fault_current=source.current_id,
                    body_current=person.body_current if person else "",
                )
            )
    return tuple(cells)


def _devices(ledger: Ledger, case: Case, solved: Solved, exposures: tuple[Exposure, ...]) -> tuple[DeviceVerdict, ...]:
    found: list[DeviceVerdict] = []
    for source in solved.sources:
        person = None if source.state.earthed else median_person(exposures, source.state, BodyPath.HAND_TO_FEET)
        if person is not None and ledger.value(person.body_current) > 0.0:
            found += protection.devices_for_person(ledger, case, solved.network, source, person)
    return tuple(found)


def _limits(
    ledger: Ledger, case: Case, results: tuple[ReadingResult, ...], solved: Solved
) -> tuple[LimitComparison, ...]:
    met = against_limits.conditions_met(case, results)
    found: list[LimitComparison | None] = []
    for source in solved.sources:
        if source.voltage <= 0.0:
            continue
        if plug_allows(case, source.state) and not source.state.earthed:
            by_fit = solved.network is not None and source.voltage_id == f"state.{source.state.key}.U0"
            supply = solved.network.ids["U"] if by_fit and solved.network else solved.supply_id
            found.append(against_limits.touch_current(ledger, case, source, supply, met))
        if source.plausible:
            found.append(against_limits.touch_voltage(ledger, case, source, met))
    found.append(against_limits.earth_continuity(ledger, case, results))
    return tuple(item for item in found if item is not None)


def _artefact(
    ledger: Ledger, case: Case, results: tuple[ReadingResult, ...], solved: Solved, leading: SourceAt | None
) -> tuple[ArtefactArgument, ...]:
    if not solved.supply_id:
        return ()
    return artefact.arguments(ledger, case, results, solved.live, solved.routes, solved.fit, leading, solved.supply_id)


def _next_test(
    ledger: Ledger, case: Case, sources: tuple[SourceAt, ...], exposures: tuple[Exposure, ...]
) -> NextTest | None:
    """The next test of the plan; none once the person's current is shown above the let-go limit with 95 %."""
    established = frozenset(source.state.key for source in sources if source.established)
    dangerous = False
    for source in sources:
        person = median_person(exposures, source.state, BodyPath.HAND_TO_FEET)
        if person is not None and source.established and source.plausible:
            measured = ledger[person.body_current].measured
            dangerous |= measured.value - 1.645 * measured.standard_uncertainty > let_go_limit()
    planned = next_planned(case, established, dangerous)
    if planned is None:
        return None
    return NextTest(
        key=planned.key,
        live=planned.live,
        shown=planned.shown,
        name=planned_tests.name(planned, case),
        instruction=planned_tests.instruction(planned, case),
        cautions=planned_tests.cautions(planned, case),
    )

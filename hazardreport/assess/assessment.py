"""Case to Assessment: the one confluence of readings, circuit, severity and tables.

A case that says too little still gives an assessment: what cannot be computed is not determined, and a problem says
why.
"""

from dataclasses import dataclass, replace

from hazardreport.assess import against_limits, artefact, persons, protection
from hazardreport.assess.confirmations import confirmation_problems, confirmed_tables
from hazardreport.assess.editions import editions_used
from hazardreport.assess.element import broken_element
from hazardreport.assess.least import least_currents
from hazardreport.assess.ledger import Ledger
from hazardreport.assess.next_test import next_test
from hazardreport.assess.otherwise import otherwise
from hazardreport.assess.pins import pins
from hazardreport.assess.possible import OpenState, possible_currents
from hazardreport.assess.readings_in import read_in
from hazardreport.assess.record_problems import record_problems
from hazardreport.assess.records import (
    ArtefactArgument,
    Assessment,
    Basis,
    DeviceVerdict,
    Exposure,
    LimitComparison,
    Problem,
    StateCell,
)
from hazardreport.assess.requirements import Measured, requirement_states
from hazardreport.assess.risk import risk, risk_problems, with_supports
from hazardreport.assess.second_part import part_was_read, second_part
from hazardreport.assess.settled import settle
from hazardreport.assess.solved import Solved, solve_case
from hazardreport.assess.sound_values import sound_case, value_problems
from hazardreport.assess.source import SourceAt, plausible_state, plug_allows, unit_states
from hazardreport.assess.verdict import Further, median_person, verdict, without_supply
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer
from hazardreport.case.wiring import SecondPart
from hazardreport.circuit.fit import FitResult
from hazardreport.errors import OutsideTableError
from hazardreport.readings.plan import plan_choices
from hazardreport.readings.result import ReadingResult
from hazardreport.risk.protection_class import reasoned_class
from hazardreport.severity.zones import refuse_frequency
from hazardreport.standards.confirmed import confirmations_count


@dataclass(frozen=True, kw_only=True, slots=True)
class Live:
    """The part of an assessment that a keystroke asks for, with what its settled part starts from."""

    case: Case
    assessment: Assessment
    results: tuple[ReadingResult, ...]
    solved: Solved
    possible: tuple[OpenState, ...]

    @property
    def fit(self) -> FitResult | None:
        """The fit of the readings, as a start for the next search."""
        return self.solved.base


def assess(case: Case) -> Assessment:
    """All results for one case, the live and the settled part.

    Parameters
    ----------
    case : Case
        As entered, however incomplete.

    Returns
    -------
    Assessment
        Every number with its trace; states that nothing fixes are "not determined"; problems say what to mend.

    References
    ----------
    own-choices, severity method.
    """
    return settled_part(live_part(case))


def live_part(case: Case, last: FitResult | None = None) -> Live:
    """All results but those that take longer than a keystroke.

    Parameters
    ----------
    case : Case
        As entered, however incomplete.
    last : FitResult or None
        The fit of the case before the last edit, as a start for the search.
    """
    with confirmations_count(case.confirmations):
        return _live_part(case, last)


def _live_part(entered: Case, last: FitResult | None) -> Live:
    ledger, case = Ledger(), sound_case(entered)
    results, read_numbers, problems = read_in(ledger, case)
    solved = solve_case(ledger, case, results, last)
    touched = tuple(s for s in solved.sources if s.plausible or not s.state.earthed)
    outside = _outside_frequency(case)
    exposed = persons.exposures(ledger, case, () if outside else touched)
    devices = tuple(_devices(ledger, case, solved, exposed))
    limits = _limits(ledger, case, results, solved)
    known = () if outside else solved.sources
    further = second_part(ledger, case, solved.network, results)
    possible = possible_currents(ledger, case, solved.live, known, solved.supply_id, further)
    calculated = bool(solved.supply_id) and not outside
    least = least_currents(ledger, case, results, solved.sources, further) if calculated else ()
    word = verdict(ledger, case, solved.sources, exposed, limits, possible, Further(parts=further, least=least))
    word = word if solved.supply_id else without_supply(word)
    leading = next((s for s in solved.sources if s.state == word.headline), None)
    reasons = _artefact(ledger, case, results, solved, leading)
    differently = tuple(otherwise(ledger, case, solved.network, solved.sources, exposed, word.headline))
    between_pins = pins(ledger, case, solved.network, solved.supply_id)
    cells = _cells(ledger, case, solved.sources, exposed)
    class_ = reasoned_class(case)
    required, unmet = requirement_states(
        ledger, case, Measured(results=results, limits=limits, pins=between_pins), class_
    )
    assessment = Assessment(
        case_id=case.id,
        trace=ledger.trace(),
        readings=read_numbers,
        routes=solved.routes,
        fit=solved.fit,
        states=cells,
        exposures=exposed,
        devices=devices,
        as_built=(),
        limits=limits,
        otherwise=differently,
        second_part=further,
        least=least,
        pins=between_pins,
        requirements=required,
        protection_class=class_,
        artefact=reasons,
        verdict=word,
        next_test=None,
        problems=(
            *value_problems(entered),
            *problems,
            *solved.problems,
            *broken_element(case, results),
            *outside,
            *_second_part_problems(case),
            *_case_problems(case),
            *record_problems(case),
            *confirmation_problems(case),
            *unmet,
            *risk_problems(case),
        ),
        choices=tuple(dict.fromkeys(choice for result in results for choice in result.choices)),
        confirmed=confirmed_tables(case),
        risk=risk(case),
    )
    return Live(case=entered, assessment=assessment, results=results, solved=solved, possible=possible)


def settled_part(live: Live) -> Assessment:
    """The whole assessment: the live part, and behind it what takes longer; no number of the live part changes."""
    with confirmations_count(live.case.confirmations):
        return _settled_part(live)


def _settled_part(live: Live) -> Assessment:
    ledger = Ledger(live.assessment.trace)
    case, solved, assessment = sound_case(live.case), live.solved, live.assessment
    network = solved.network
    earthed = tuple(source for source in solved.sources if source.state.earthed)
    built = tuple(protection.as_built(ledger, case, network, source) for source in earthed) if network else ()
    found = settle(ledger, case, assessment, solved)
    coming = next_test(ledger, case, solved, assessment, live.possible)
    trace = ledger.trace()
    whole = replace(
        assessment,
        trace=trace,
        as_built=built,
        next_test=coming.test,
        no_further_test=coming.none_because,
        would_measure=coming.would_measure,
        choices=tuple(dict.fromkeys((*assessment.choices, *plan_choices(case)))),
        settled=found,
        editions=editions_used(trace, (*assessment.risk.sources, *assessment.protection_class.sources)),
    )
    return replace(whole, risk=with_supports(case, whole))


def _outside_frequency(case: Case) -> tuple[Problem, ...]:
    """A problem where the tables of body and zones do not hold at the supply's frequency: no person is assessed."""
    frequency = case.wiring.frequency
    if frequency is None:
        return ()
    try:
        refuse_frequency(frequency)
    except OutsideTableError as error:
        return (Problem(key="frequency_outside", kind="wiring", id="frequency", fields=_texts(error)),)
    return ()


def _texts(error: OutsideTableError) -> tuple[tuple[str, str], ...]:
    return tuple((name, str(value)) for name, value in error.fields().items())


def _second_part_problems(case: Case) -> tuple[Problem, ...]:
    """A second part that somebody described and nobody measured."""
    apart = case.wiring.second_part in (SecondPart.SEPARATE, SecondPart.UNKNOWN)
    return (
        (Problem(key="second_part_not_read", kind="wiring", id="second_part"),)
        if apart and not part_was_read(case)
        else ()
    )


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
            person = median_person(exposures, state, persons.counted_path(case.household))
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
        person = (
            None
            if source.state.earthed
            else median_person(exposures, source.state, persons.counted_path(case.household))
        )
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
    found.append(against_limits.insulation(ledger, case, results))
    return tuple(item for item in found if item is not None)


def _artefact(
    ledger: Ledger, case: Case, results: tuple[ReadingResult, ...], solved: Solved, leading: SourceAt | None
) -> tuple[ArtefactArgument, ...]:
    if not solved.supply_id:
        return ()
    return artefact.arguments(ledger, case, results, solved.live, solved.routes, solved.fit, leading, solved.supply_id)

"""From readings to sources: the routes, the fitted network, and what went wrong on the way."""

import math
from dataclasses import dataclass, replace

from hazardreport.assess.fitted import FittedNetwork, enter_fit
from hazardreport.assess.ledger import Ledger
from hazardreport.assess.loaded_routes import current_routes, loaded_routes
from hazardreport.assess.readings_in import LiveReading, live_readings, observations
from hazardreport.assess.records import Fit, Problem, SourceRoute
from hazardreport.assess.routes import enter_supply, lamp_routes, ohmmeter_routes
from hazardreport.assess.source import SourceAt
from hazardreport.assess.states import sources_by_state
from hazardreport.case.case import Case
from hazardreport.case.picture import PointRole
from hazardreport.circuit.fit import FitResult, fit
from hazardreport.circuit.misfit import Suspect, suspects
from hazardreport.circuit.observations import Observation
from hazardreport.circuit.rivals import CAPACITIVE, leakage_alone
from hazardreport.circuit.unit_network import refuse_supply
from hazardreport.errors import HazardReportError, NothingToFitError
from hazardreport.quantity.formatting import format_value
from hazardreport.quantity.typed import UNITS, Bound
from hazardreport.readings.result import ReadingResult

LEAKAGE = CAPACITIVE.key


@dataclass(frozen=True, kw_only=True, slots=True)
class Solved:
    """What the case's network gave: sources by state, routes, fit, and what went wrong on the way.

    seen     everything that the fit was held against
    network  of the explanation that stands: a fault through a resistance, or leakage through capacitance alone
    base     the fit of a fault through a resistance, also where it does not stand
    """

    supply_id: str = ""
    live: tuple[LiveReading, ...] = ()
    routes: tuple[SourceRoute, ...] = ()
    seen: tuple[Observation, ...] = ()
    network: FittedNetwork | None = None
    base: FitResult | None = None
    fit: Fit | None = None
    sources: tuple[SourceAt, ...] = ()
    problems: tuple[Problem, ...] = ()


def problem_of(error: HazardReportError, kind: str = "wiring", id: str = "") -> Problem:
    """An error as a problem of the case."""
    return Problem(
        key=error.key, kind=kind, id=id, fields=tuple((name, str(value)) for name, value in error.fields().items())
    )


def solve_case(ledger: Ledger, case: Case, results: tuple[ReadingResult, ...], last: FitResult | None = None) -> Solved:
    """Routes, fit and sources by state, every number written down; nothing but problems where the supply is refused."""
    try:
        refuse_supply(case.wiring)
    except HazardReportError as error:
        return Solved(problems=(problem_of(error),))
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
    seen, refused = observations(case, results, ledger.value(supply_id))
    network, base, record, problems = _fitted(ledger, case, seen, last, loaded=any(item.loaded for item in live))
    return Solved(
        supply_id=supply_id,
        live=live,
        routes=routes,
        seen=seen,
        network=network,
        base=base,
        fit=record,
        sources=sources_by_state(ledger, case, network, results, _without_wrong(live, network), routes),
        problems=(*refused, *problems),
    )


def _without_wrong(live: tuple[LiveReading, ...], network: FittedNetwork | None) -> tuple[LiveReading, ...]:
    """The live readings that may establish a state: where the fit was mended, without the one that does not fit."""
    if network is None or network.result.consistent is False:
        return live
    kept = {item.id for item in network.result.residuals}
    return tuple(item for item in live if item.reading.id in kept or item.result.value is None)


def _positive(number: float | None) -> bool:
    return number is not None and 0.0 < number < math.inf


def _fitted(
    ledger: Ledger, case: Case, seen: tuple[Observation, ...], last: FitResult | None, *, loaded: bool
) -> tuple[FittedNetwork | None, FitResult | None, Fit | None, tuple[Problem, ...]]:
    """The fit that stands, the one of a resistive fault, its record, and what speaks against it.

    Readings of the unit are needed, not of the supply alone. Where the readings contradict a fault through a resistance
    and agree with leakage through capacitance alone, that stands: every unit has some. It predicts nothing before some
    reading was loaded, since what an ohmmeter shows as open may conduct at the mains' voltage.
    """
    parts = {PointRole.TOUCHABLE_PART, PointRole.SECOND_PART}
    if not any(item.bound is Bound.NONE and parts & {item.first, item.second} for item in seen):
        return None, None, None, ()
    try:
        base = fit(seen, case.wiring, last)
    except NothingToFitError:
        return None, None, None, ()
    except HazardReportError as error:
        return None, None, None, (problem_of(error),)
    contradicted = base.consistent is False or base.broken_bounds or base.unexplained
    leakage = leakage_alone(seen, case.wiring) if contradicted else None
    if leakage is not None:
        network, record = enter_fit(ledger, case, leakage)
        return network if loaded else None, base, replace(_held(record, seen), explanation=LEAKAGE), ()
    wrong = suspects(seen, case.wiring, base) if base.consistent is False else ()
    mended = _mended(case, seen, base, wrong)
    if mended is not None:
        network, record = enter_fit(ledger, case, mended)
        held = _held(record, seen, left_out=(wrong[0].id,))
        return network, base, held, misfits(base, wrong, seen)
    network, record = enter_fit(ledger, case, base)
    record = _held(record, seen, left_out=(*base.broken_bounds, *base.unexplained))
    problems = [Problem(key="bound_broken", kind="reading", id=name) for name in base.broken_bounds]
    problems += [Problem(key="not_explained", kind="reading", id=name) for name in base.unexplained]
    if base.consistent is False:
        problems += list(misfits(base, wrong, seen)) or [Problem(key="no_one_story", kind="case")]
    return network, base, record, tuple(problems)


def _held(record: Fit, seen: tuple[Observation, ...], left_out: tuple[str, ...] = ()) -> Fit:
    """The record of a fit with the bounds that hold it, and the readings that do not fit."""
    bounds = tuple(item.id for item in seen if item.bound is not Bound.NONE and item.id not in left_out)
    return replace(record, bounds=bounds, left_out=left_out)


def _mended(case: Case, seen: tuple[Observation, ...], base: FitResult, wrong: tuple[Suspect, ...]) -> FitResult | None:
    """The fit without the one reading that does not fit, if just one is named."""
    if len(wrong) != 1 or base.dof <= 1:
        return None
    rest = fit([item for item in seen if item.id != wrong[0].id], case.wiring, base)
    return rest if rest.consistent is not False and not rest.broken_bounds and not rest.unexplained else None


def misfits(base: FitResult, wrong: tuple[Suspect, ...], seen: tuple[Observation, ...]) -> tuple[Problem, ...]:
    """The reading that does not fit, if leaving it out alone would mend the rest.

    With one degree of freedom any reading left out mends the rest: then nobody can say which one is wrong.
    """
    units = {item.id: UNITS[item.kind.value] for item in seen}
    alone = len(wrong) == 1 and base.dof > 1
    return tuple(
        Problem(
            key="misfit" if alone else "misfit_one_of",
            kind="reading",
            id=item.id,
            fields=(("count", str(len(wrong))), ("expected", format_value(item.expected, units[item.id]))),
        )
        for item in wrong
    )

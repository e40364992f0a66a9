"""From readings to sources: the routes, the fitted network, and what went wrong on the way."""

import math
from dataclasses import dataclass

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
from hazardreport.circuit.observations import Observation
from hazardreport.circuit.unit_network import refuse_supply
from hazardreport.errors import HazardReportError, NothingToFitError
from hazardreport.quantity.typed import Bound
from hazardreport.readings.result import ReadingResult


@dataclass(frozen=True, kw_only=True, slots=True)
class Solved:
    """What the case's network gave: sources by state, routes, fit, and what went wrong on the way.

    seen  everything that the fit was held against
    """

    supply_id: str = ""
    live: tuple[LiveReading, ...] = ()
    routes: tuple[SourceRoute, ...] = ()
    seen: tuple[Observation, ...] = ()
    network: FittedNetwork | None = None
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
    network, record, problems = _fitted(ledger, case, seen, last)
    return Solved(
        supply_id=supply_id,
        live=live,
        routes=routes,
        seen=seen,
        network=network,
        fit=record,
        sources=sources_by_state(ledger, case, network, results, live, routes),
        problems=(*refused, *problems),
    )


def _positive(number: float | None) -> bool:
    return number is not None and 0.0 < number < math.inf


def _fitted(
    ledger: Ledger, case: Case, seen: tuple[Observation, ...], last: FitResult | None
) -> tuple[FittedNetwork | None, Fit | None, tuple[Problem, ...]]:
    """The fit of all readings; readings of the unit are needed, not of the supply alone."""
    if not any(item.bound is Bound.NONE and PointRole.TOUCHABLE_PART in (item.first, item.second) for item in seen):
        return None, None, ()
    try:
        result = fit(seen, case.wiring, last)
    except NothingToFitError:
        return None, None, ()
    except HazardReportError as error:
        return None, None, (problem_of(error),)
    network, record = enter_fit(ledger, case, result)
    problems = [Problem(key="bound_broken", kind="reading", id=name) for name in result.broken_bounds]
    problems += [Problem(key="not_explained", kind="reading", id=name) for name in result.unexplained]
    if result.consistent is False:
        problems.append(Problem(key="no_one_story", kind="case"))
    return network, record, tuple(problems)

"""The one test that comes next, with what each state leaves open."""

import math
from dataclasses import dataclass, replace

from hazardreport import wording
from hazardreport.assess.fitted import protective_earth_resistance
from hazardreport.assess.ledger import Ledger
from hazardreport.assess.persons import counted_path
from hazardreport.assess.possible import OpenState
from hazardreport.assess.records import Assessment, Basis, NextTest
from hazardreport.assess.solved import Solved
from hazardreport.assess.source import earth_as_found
from hazardreport.assess.verdict import median_person
from hazardreport.case.case import Case
from hazardreport.case.reading import LoadKind
from hazardreport.circuit.unit_network import unit_state
from hazardreport.readings import plan
from hazardreport.readings import planned as planned_tests
from hazardreport.readings.energising import energising_refused
from hazardreport.readings.live_tests import at_second_part
from hazardreport.readings.plan import next_planned, no_further_test
from hazardreport.severity.let_go import let_go_limit

ONE_SIDED_95 = 1.645


@dataclass(frozen=True, kw_only=True, slots=True)
class Next:
    """The next test, or the key of tests.no_further that says why there is none."""

    test: NextTest | None
    none_because: str = ""
    would_measure: str = ""


def next_test(
    ledger: Ledger,
    case: Case,
    solved: Solved,
    assessment: Assessment,
    possible: tuple[OpenState, ...],
) -> Next:
    """The next test of the plan; none once the person's current is shown above the let-go limit with 95 %."""
    established = frozenset(source.state.key for source in solved.sources if source.established)
    ranges = {item.state.key: (item.current.low, item.current.high) for item in possible}
    dangerous = False
    for source in solved.sources:
        person = median_person(assessment.exposures, source.state, counted_path(case.household))
        if person is None:
            continue
        measured = ledger[person.body_current].measured
        half = ONE_SIDED_95 * measured.standard_uncertainty
        ranges.setdefault(source.state.key, (max(0.0, measured.value - half), measured.value + half))
        dangerous |= source.established and source.plausible and measured.value - half > let_go_limit()
    dangerous |= any(ledger.value(item.number) > let_go_limit() for item in assessment.least)
    second = bool(assessment.second_part) and all(part.established for part in assessment.second_part)
    currents = _fault_currents(case, solved)
    planned = next_planned(case, established, dangerous, ranges, currents, second)
    if planned is None:
        because = no_further_test(case, established, dangerous, currents, second)
        return Next(test=None, none_because=because, would_measure=_would_measure(case, assessment, dangerous))
    return Next(
        test=NextTest(
            key=planned.key,
            live=planned.live,
            shown=planned.shown,
            name=planned_tests.name(planned, case),
            instruction=planned_tests.instruction(planned, case),
            cautions=planned_tests.cautions(planned, case),
        ),
        would_measure=_would_measure(case, assessment, dangerous),
    )


def _would_measure(case: Case, assessment: Assessment, dangerous: bool) -> str:
    """The gentlest loaded reading that would measure the current of the verdict's state.

    "" where that is measured, where nothing may be energised, and without a statement of competence.
    """
    cell = next((one for one in assessment.states if one.state == assessment.verdict.headline), None)
    known = (Basis.PREDICTED, Basis.VOLTAGE_MEASURED)
    if cell is None or cell.basis not in known or not planned_tests.competent(case) or energising_refused(case):
        return ""
    for planned in plan.test_plan(case):
        loaded = planned.live and planned.load.kind is not LoadKind.NONE
        if not loaded or planned.state is None or planned.done or at_second_part(planned):
            continue
        if unit_state(planned.state, case.wiring) == cell.state:
            said = wording.sentence("assess.would_measure.text", test=planned_tests.name(planned, case))
            more = wording.sentence("assess.would_measure.not_needed") if dangerous else ""
            return f"{said} {more}".rstrip()
    return ""


def _fault_currents(case: Case, solved: Solved) -> dict[str, float]:
    """Current through a connected protective earth that the fit predicts, by state; empty where none is. [A]"""
    if not earth_as_found(case):
        return {}
    earth = protective_earth_resistance(case.wiring)
    found = {}
    for source in solved.sources:
        loop = abs(source.impedance + earth)
        if not source.state.earthed and math.isfinite(loop) and loop > 0.0:
            current = source.voltage / loop
            found[source.state.key] = found[replace(source.state, earthed=True).key] = current
    return found

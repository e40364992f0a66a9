"""The one test that comes next, with what each state leaves open."""

from hazardreport.assess.ledger import Ledger
from hazardreport.assess.possible import OpenState
from hazardreport.assess.records import Exposure, NextTest
from hazardreport.assess.solved import Solved
from hazardreport.assess.verdict import median_person
from hazardreport.case.case import Case
from hazardreport.readings import planned as planned_tests
from hazardreport.readings.plan import next_planned
from hazardreport.severity.let_go import let_go_limit
from hazardreport.severity.terms import BodyPath

ONE_SIDED_95 = 1.645


def next_test(
    ledger: Ledger,
    case: Case,
    solved: Solved,
    exposures: tuple[Exposure, ...],
    possible: tuple[OpenState, ...],
) -> NextTest | None:
    """The next test of the plan; none once the person's current is shown above the let-go limit with 95 %."""
    established = frozenset(source.state.key for source in solved.sources if source.established)
    ranges = {item.state.key: (item.current.low, item.current.high) for item in possible}
    dangerous = False
    for source in solved.sources:
        person = median_person(exposures, source.state, BodyPath.HAND_TO_FEET)
        if person is None:
            continue
        measured = ledger[person.body_current].measured
        half = ONE_SIDED_95 * measured.standard_uncertainty
        ranges.setdefault(source.state.key, (max(0.0, measured.value - half), measured.value + half))
        dangerous |= source.established and source.plausible and measured.value - half > let_go_limit()
    planned = next_planned(case, established, dangerous, ranges)
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

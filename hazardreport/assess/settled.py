"""The settled part of an assessment: which reading is wrong, what else could explain the readings, how many people."""

from collections.abc import Mapping

from hazardreport.assess.adults import shares
from hazardreport.assess.ledger import Ledger
from hazardreport.assess.records import Assessment, Problem, Settled
from hazardreport.assess.rivals import profiled, ranked
from hazardreport.assess.solved import Solved
from hazardreport.case.case import Case
from hazardreport.circuit.fit import FitResult
from hazardreport.circuit.misfit import Suspect, suspects
from hazardreport.quantity.formatting import format_value
from hazardreport.quantity.typed import UNITS


def settle(ledger: Ledger, case: Case, assessment: Assessment, solved: Solved) -> tuple[Settled, tuple[Problem, ...]]:
    """The settled part, and all problems of the case with it; its numbers come behind those of the live part."""
    found = Settled(
        rivals=ranked(case, solved),
        profiles=profiled(ledger, solved),
        population=tuple(shares(ledger, assessment, solved.sources)),
    )
    return found, _problems(case, assessment, solved)


def _problems(case: Case, assessment: Assessment, solved: Solved) -> tuple[Problem, ...]:
    """The problems of the live part; "no one story" gives way to the reading that does not fit, where one is found."""
    result = solved.base
    if result is None or "no_one_story" not in {problem.key for problem in assessment.problems}:
        return assessment.problems
    units = {item.id: UNITS[item.kind.value] for item in solved.seen}
    named = _misfits(result, suspects(solved.seen, case.wiring, result), units)
    found: list[Problem] = []
    for problem in assessment.problems:
        found += named if problem.key == "no_one_story" and named else [problem]
    return tuple(found)


def _misfits(result: FitResult, found: tuple[Suspect, ...], units: Mapping[str, str]) -> list[Problem]:
    """The reading that does not fit, if leaving it out alone would mend the rest.

    With one degree of freedom any reading left out mends the rest: then nobody can say which one is wrong.
    """
    alone = len(found) == 1 and result.dof > 1
    return [
        Problem(
            key="misfit" if alone else "misfit_one_of",
            kind="reading",
            id=item.id,
            fields=(("count", str(len(found))), ("expected", format_value(item.expected, units[item.id]))),
        )
        for item in found
    ]

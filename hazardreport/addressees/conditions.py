"""Whether the conditions hold under which something is asked, expected or proposed."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from hazardreport.addressees.asked import Condition, Term
from hazardreport.addressees.links import RECORDS, State, field_state
from hazardreport.case.case import Case


class Holds(StrEnum):
    """Answer to a condition; open: the question that decides it is not answered, or the answer is "unknown"."""

    YES = "yes"
    NO = "no"
    OPEN = "open"


@dataclass(frozen=True, kw_only=True, slots=True)
class Held:
    """Whether any of several conditions holds; deciding: the link that decides it, "" where nothing is asked."""

    holds: Holds
    deciding: str = ""


def any_holds(case: Case, conditions: Iterable[Condition]) -> Held:
    """Whether any of the conditions holds; no conditions at all hold always."""
    results = [_holds(case, condition) for condition in conditions]
    if not results:
        return Held(holds=Holds.YES)
    for wanted in (Holds.YES, Holds.OPEN):
        found = next((result for result in results if result.holds is wanted), None)
        if found is not None:
            return found
    return results[0]


def _holds(case: Case, condition: Condition) -> Held:
    results = [Held(holds=_term(case, term), deciding=term.link) for term in condition.terms]
    for wanted in (Holds.NO, Holds.OPEN):
        found = next((result for result in results if result.holds is wanted), None)
        if found is not None:
            return found
    return results[0]


def _term(case: Case, term: Term) -> Holds:
    if term.word in ("present", "missing"):
        present = field_state(case, term.link).state is State.PRESENT
        return Holds.YES if present is (term.word == "present") else Holds.NO
    record, _, name = term.link.partition(".")
    held = getattr(getattr(case, record), name) if record in RECORDS else None
    if not isinstance(held, StrEnum):
        raise KeyError(term.link)
    if held.value == term.word:
        return Holds.YES
    return Holds.OPEN if held.value in ("open", "unknown") else Holds.NO


def open_links(case: Case, conditions: Iterable[Condition]) -> tuple[str, ...]:
    """Links whose answers could still make one of the conditions hold."""
    return tuple(
        dict.fromkeys(
            term.link
            for condition in conditions
            if _holds(case, condition).holds is Holds.OPEN
            for term in condition.terms
            if _term(case, term) is Holds.OPEN
        )
    )

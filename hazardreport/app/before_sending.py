"""Faults of the record that concern what one addressee asks: told before a report goes out; they hold nothing back."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from hazardreport.addressees.asked import Level, Profile
from hazardreport.addressees.completeness import ElementState, State
from hazardreport.app.problem_lines import problem_texts
from hazardreport.assess.record_problems import record_problems
from hazardreport.assess.records import Problem
from hazardreport.case.case import Case

CONFIRMATION = "confirmation"
PRINTS_CONFIRMATIONS = "limits"
"""Part of a report that says who compared a table, and when."""

STANDS_WITH: Mapping[str, tuple[str, ...]] = {
    "consents.verified_on": ("consents.verified",),
    "occurrence.occasion": ("occurrence.injury", "occurrence.injured_person", "situation.injured"),
    "situation.injured": ("occurrence.injury",),
    "unit.date_code_meaning": ("unit.date_code",),
    "unit.purchased": ("occurrence.date",),
    "unit.manufactured": ("occurrence.date",),
    "custody.units_faulty": ("custody.units_examined",),
}
"""What else an addressee may ask that a fault of a field makes doubtful."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Fault:
    """One fault: the field or record that has it, what it is and what to do, whether it is only good to know."""

    link: str
    text: str
    gentle: bool


def faults(case: Case, profile: Profile, states: Sequence[ElementState]) -> tuple[Fault, ...]:
    """Faults of what the addressee asks in this case, those that are only good to know last."""
    asked = _asked(profile, states)
    found = []
    for problem in sorted(record_problems(case), key=lambda one: one.gentle):
        link = _link(problem)
        counts = PRINTS_CONFIRMATIONS in profile.parts if problem.kind == CONFIRMATION else _concerns(link, asked)
        if counts:
            found.append(Fault(link=link, text=" ".join(problem_texts(problem)), gentle=problem.gentle))
    return tuple(found)


def _asked(profile: Profile, states: Sequence[ElementState]) -> frozenset[str]:
    """Links to the fields that stand behind what is asked, statements of the submitter included."""
    elements = (
        state.element
        for state in states
        if state.element.level is not Level.NOT_ASKED and state.state is not State.NOT_APPLICABLE
    )
    fields = frozenset(link for element in elements for link in (*element.fields, *element.also))
    return fields | frozenset(consent.field for consent in profile.consents)


def _link(problem: Problem) -> str:
    if problem.kind in (CONFIRMATION, "wording"):
        return problem.id
    return f"{problem.kind}.{problem.id}"


def _concerns(link: str, asked: frozenset[str]) -> bool:
    return not asked.isdisjoint((link, *STANDS_WITH.get(link, ())))

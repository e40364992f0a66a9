"""What an addressee asks for, as lines of the window: how each thing stands, and what happens without it."""

from collections.abc import Iterable, Sequence

from hazardreport import wording
from hazardreport.addressees.asked import Clause, ClauseStatus, Level, Profile
from hazardreport.addressees.completeness import REASON_LINKS, ElementState, State, field_state
from hazardreport.app.before_sending import Fault
from hazardreport.app.pages.unit_fields import GROUPS
from hazardreport.app.views.element_list import ElementLine
from hazardreport.app.views.rail import PageState
from hazardreport.case.case import Case

LONGEST = 90
LABELS = {place.path: place.label for group in GROUPS for place in group.fields}
Groups = tuple[tuple[str, list[ElementLine]], ...]


def clauses_text(clauses: Iterable[Clause]) -> str:
    """Clauses in one line; how each was checked is said unless it was read in the public text."""
    told = []
    for clause in clauses:
        name = wording.sentence(f"profiles.law_names.{clause.reference}", place=clause.place)
        read = clause.status is ClauseStatus.READ
        told.append(name if read else f"{name} ({wording.sentence(f'profiles.clause_status.{clause.status.value}')})")
    return "; ".join(told)


def element_groups(states: Sequence[ElementState]) -> Groups:
    """Elements as groups of lines: what is missing first, what is not asked in this case last."""
    asked = [state for state in states if state.state is not State.NOT_APPLICABLE]
    required = [state for state in asked if state.element.level is Level.REQUIRED]
    named = [state for state in asked if state.element.level is Level.NAMED]
    others = [state for state in states if state.state is State.NOT_APPLICABLE]
    return (
        ("Required, missing", [element_line(state) for state in required if not state.complete]),
        ("Required", [element_line(state) for state in required if state.complete]),
        ("Named as useful", [element_line(state) for state in named]),
        ("Not applicable here", [element_line(state) for state in others]),
    )


def element_line(state: ElementState) -> ElementLine:
    """One element."""
    name, link, why = state.element.name, state.field, wording.sentence("window.report.without", why=state.why)
    if state.state is State.PRESENT:
        return ElementLine(state=PageState.COMPLETE, name=name, text=_short(state.text), link=link)
    if state.state is State.NOT_APPLICABLE:
        return ElementLine(state=PageState.EMPTY, name=name, text=state.reason, link=link)
    asked = link in REASON_LINKS
    if state.state is State.ABSENT_WITH_REASON and state.complete:
        return ElementLine(state=PageState.BEGUN, name=name, text=f"absent: {state.reason}", link=link)
    if state.state is State.ABSENT_WITH_REASON:
        text = f"the value itself is needed; {state.reason}"
        return ElementLine(state=PageState.ATTENTION, name=name, text=text, link=link, why=why)
    sign = PageState.ATTENTION if state.element.level is Level.REQUIRED else PageState.EMPTY
    text = f"missing: {state.pending or state.element.asked}"
    return ElementLine(state=sign, name=name, text=text, link=link, reason_asked=asked, why=why)


def consent_lines(case: Case, profile: Profile) -> list[ElementLine]:
    """The statements of the submitter that this addressee is shown, each with the answer that was given."""
    signs = {State.PRESENT: PageState.COMPLETE, State.ABSENT_WITH_REASON: PageState.BEGUN}
    lines = []
    for consent in profile.consents:
        held = field_state(case, consent.field)
        answer = held.text or held.reason or wording.sentence("window.report.not_answered")
        if consent.field == "consents.verified" and held.state is State.PRESENT and case.consents.verified_on.strip():
            answer = f"{answer}, {case.consents.verified_on.strip()}"
        lines.append(
            ElementLine(
                state=signs.get(held.state, PageState.EMPTY),
                name=LABELS[consent.field],
                text=f"{consent.text} \u2013 {answer}",
                link=consent.field,
            )
        )
    return lines


def fault_lines(found: Sequence[Fault]) -> list[ElementLine]:
    """What is to be looked at before a report is sent, each with its field."""
    return [
        ElementLine(
            state=PageState.BEGUN if fault.gentle else PageState.ATTENTION,
            name=LABELS.get(fault.link, fault.link),
            text=fault.text,
            link=fault.link,
        )
        for fault in found
    ]


def _short(text: str) -> str:
    return text if len(text) <= LONGEST else text[: LONGEST - 2].rstrip() + "…"

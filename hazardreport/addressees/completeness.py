"""What a case has, lacks with a reason, or misses for one addressee; never whether what stands there is true."""

from dataclasses import dataclass, replace

from hazardreport import wording
from hazardreport.addressees.asked import Element, Level, Need, Profile
from hazardreport.addressees.conditions import Holds, any_holds
from hazardreport.addressees.links import REASON_LINKS, FieldState, State, field_state
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case

__all__ = [
    "REASON_LINKS",
    "ElementState",
    "FieldState",
    "State",
    "element_states",
    "field_state",
    "gaps",
    "open_named",
]


@dataclass(frozen=True, kw_only=True, slots=True)
class ElementState:
    """How one element stands.

    field     link to the field that decides: the first that is not present, else the first; of an element that is not
              applicable, or whose condition is undecided, the answer that decides so
    text      what the case says, if present
    reason    why it is absent or not applicable, if that is said
    why       what happens without it
    complete  nothing more is needed for this addressee
    personal  holds what identifies a person
    pending   of what is missing: what must be answered first, or what is begun there and says nothing yet; else ""
    """

    element: Element
    state: State
    field: str
    text: str
    reason: str
    why: str
    complete: bool
    personal: bool
    fields: tuple[FieldState, ...]
    pending: str = ""


def _element_state(case: Case, element: Element, assessment: Assessment | None) -> ElementState:
    asked = any_holds(case, element.only_if)
    if asked.holds is Holds.NO:
        return _unasked(element, asked.deciding, "not_asked_so")
    undecided = "not_asked_unknown" if _unknown(case, asked.deciding) else "not_asked_yet"
    if asked.holds is Holds.OPEN and element.level is not Level.REQUIRED:
        return _unasked(element, asked.deciding, undecided)
    told = _told(case, element, assessment)
    if asked.holds is Holds.OPEN and not told.complete:
        unasked = _unasked(element, asked.deciding, undecided)
        first = wording.sentence("profiles.states.first", undecided=unasked.reason)
        return replace(unasked, state=State.MISSING, reason="", complete=False, pending=first)
    return told


def _told(case: Case, element: Element, assessment: Assessment | None) -> ElementState:
    """How an element stands whose condition holds."""
    fields = tuple(field_state(case, link, assessment) for link in element.fields)
    present = [field for field in fields if field.state is State.PRESENT]
    missing = [field for field in fields if field.state is State.MISSING]
    absent = [field for field in fields if field.state is State.ABSENT_WITH_REASON]
    if len(present) == len(fields) or (present and element.need is Need.ANY):
        state, deciding = State.PRESENT, present[0]
    elif missing:
        state, deciding = State.MISSING, missing[0]
    else:
        state, deciding = State.ABSENT_WITH_REASON, absent[0]
    complete = (
        element.level is not Level.REQUIRED
        or state is State.PRESENT
        or (state is State.ABSENT_WITH_REASON and element.reason_accepted)
    )
    return ElementState(
        element=element,
        state=state,
        field=deciding.link,
        text="; ".join(field.text for field in present),
        reason="; ".join(field.reason for field in absent),
        why=element.without,
        complete=complete,
        personal=element.personal,
        fields=fields,
        pending="; ".join(field.pending for field in fields if field.pending),
    )


def _unknown(case: Case, link: str) -> bool:
    """Whether that question is answered with "unknown"."""
    return bool(link) and field_state(case, link).state is State.ABSENT_WITH_REASON


def _unasked(element: Element, deciding: str, key: str) -> ElementState:
    return ElementState(
        element=element,
        state=State.NOT_APPLICABLE,
        field=deciding,
        text="",
        reason=wording.sentence(f"profiles.states.{key}", only_if=element.only_if_text),
        why=element.without,
        complete=True,
        personal=element.personal,
        fields=(),
    )


def element_states(case: Case, profile: Profile, assessment: Assessment | None) -> tuple[ElementState, ...]:
    """How each element of the profile stands, in the profile's order."""
    return tuple(_element_state(case, element, assessment) for element in profile.elements)


def gaps(case: Case, profile: Profile, assessment: Assessment | None) -> tuple[ElementState, ...]:
    """Elements that keep the report incomplete for this addressee, in the profile's order."""
    return tuple(state for state in element_states(case, profile, assessment) if not state.complete)


def open_named(case: Case, profile: Profile, assessment: Assessment | None) -> tuple[ElementState, ...]:
    """Elements that the addressee names as useful and that nobody has answered yet."""
    return tuple(
        state
        for state in element_states(case, profile, assessment)
        if state.element.level is Level.NAMED and state.state is State.MISSING
    )

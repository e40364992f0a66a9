"""What a case has, lacks with a reason, or misses for one addressee; never whether what stands there is true."""

from dataclasses import dataclass
from enum import StrEnum

from hazardreport import wording
from hazardreport.addressees.profiles import Element, Level, Need, Profile
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, FindingAnswer, FindingClaim, SubmitterCategory
from hazardreport.case.stated import Standing, Stated
from hazardreport.severity.terms import SignalWord


class State(StrEnum):
    """How one element stands."""

    PRESENT = "present"
    ABSENT_WITH_REASON = "absent with reason"
    MISSING = "missing"


@dataclass(frozen=True, kw_only=True, slots=True)
class FieldState:
    """How one field of the case stands: its link, its text if present, its reason if absent with one."""

    link: str
    state: State
    text: str = ""
    reason: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class ElementState:
    """How one element stands.

    field     link to the field that decides: the first that is not present, else the first
    text      what the case says, if present
    reason    why it is absent, if that is said
    complete  nothing more is needed for this addressee
    """

    element: Element
    state: State
    field: str
    text: str
    reason: str
    complete: bool
    fields: tuple[FieldState, ...]


def field_state(case: Case, link: str, assessment: Assessment | None = None) -> FieldState:
    """How the field behind a link stands; an unknown link is a KeyError (a defect of a profile).

    Links are "<record>.<field>" for records of the case, "pictures", "findings.dangerous", "findings.protection",
    "readings", and "severity.established", which asks the assessment.
    """
    if link == "severity.established":
        return _severity(assessment)
    if link == "pictures":
        return _counted(case, link, len(case.pictures))
    if link == "readings":
        return _counted(case, link, len(case.readings))
    if link.startswith("findings."):
        return _findings(case, link)
    record, _, name = link.partition(".")
    owner = getattr(case, record, None)
    held = getattr(owner, name, None)
    if isinstance(held, Stated):
        return _stated(link, held)
    if isinstance(held, Answer):
        return _answer(link, held)
    if isinstance(held, SubmitterCategory):
        if held is SubmitterCategory.OPEN:
            return _reasoned(case, link)
        return FieldState(link=link, state=State.PRESENT, text=held.value)
    raise KeyError(link)


def _stated(link: str, stated: Stated) -> FieldState:
    if not stated.answered:
        return FieldState(link=link, state=State.MISSING)
    if stated.standing is Standing.VALUE:
        return FieldState(link=link, state=State.PRESENT, text=stated.text)
    reason = wording.sentence(
        "profiles.states.unknown" if stated.standing is Standing.UNKNOWN else "profiles.states.not_applicable",
        reason=stated.reason,
    )
    return FieldState(link=link, state=State.ABSENT_WITH_REASON, reason=reason)


def _answer(link: str, answer: Answer) -> FieldState:
    if answer is Answer.YES:
        return FieldState(link=link, state=State.PRESENT, text=wording.sentence("profiles.states.yes"))
    if answer is Answer.OPEN:
        return FieldState(link=link, state=State.MISSING)
    key = "profiles.states.answered_no" if answer is Answer.NO else "profiles.states.answered_unknown"
    return FieldState(link=link, state=State.ABSENT_WITH_REASON, reason=wording.sentence(key))


def _reasoned(case: Case, link: str) -> FieldState:
    reason = case.absence(link)
    if reason:
        return FieldState(link=link, state=State.ABSENT_WITH_REASON, reason=reason)
    return FieldState(link=link, state=State.MISSING)


def _counted(case: Case, link: str, count: int) -> FieldState:
    if not count:
        return _reasoned(case, link)
    text = wording.sentence(f"profiles.states.{link}", count=count)
    return FieldState(link=link, state=State.PRESENT, text=text)


def _findings(case: Case, link: str) -> FieldState:
    claim = FindingClaim.DANGEROUS if link == "findings.dangerous" else FindingClaim.PROTECTION
    found = [finding for finding in case.findings if finding.claim is claim]
    seen = [finding.text for finding in found if finding.answer is FindingAnswer.SEEN]
    if seen:
        return FieldState(link=link, state=State.PRESENT, text=" ".join(seen))
    if found:
        reason = wording.sentence(
            "profiles.states.not_seen", findings="; ".join(f"{f.text} – {f.answer}" for f in found)
        )
        return FieldState(link=link, state=State.ABSENT_WITH_REASON, reason=reason)
    return _reasoned(case, link)


def _severity(assessment: Assessment | None) -> FieldState:
    link = "severity.established"
    if assessment is None or assessment.verdict.word is SignalWord.NOT_ASSESSED:
        return FieldState(link=link, state=State.MISSING)
    figures = assessment.verdict.figures
    proved = any(one.number in figures for one in assessment.least)
    at_second = any(part.established and part.body_current in figures for part in assessment.second_part)
    if proved or at_second or any(cell.established for cell in assessment.states):
        return FieldState(link=link, state=State.PRESENT, text=assessment.verdict.sentence)
    return FieldState(link=link, state=State.ABSENT_WITH_REASON, reason=assessment.verdict.reason)


def _element_state(case: Case, element: Element, assessment: Assessment | None) -> ElementState:
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
        complete=complete,
        fields=fields,
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

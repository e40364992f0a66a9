"""Links from elements to the case: how the field behind each stands. Never whether what stands there is true."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from hazardreport import wording
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, FindingAnswer, FindingClaim
from hazardreport.case.stated import Standing, Stated
from hazardreport.case.upkeep import Alteration, Excluded, Kept, Knowing
from hazardreport.severity.terms import SignalWord


class State(StrEnum):
    """How a field or an element stands; only elements can be not applicable, where their condition does not hold."""

    PRESENT = "present"
    ABSENT_WITH_REASON = "absent with reason"
    MISSING = "missing"
    NOT_APPLICABLE = "not applicable"


@dataclass(frozen=True, kw_only=True, slots=True)
class FieldState:
    """How one field of the case stands.

    text     what the case says, if present
    reason   why it is absent, if a reason is given
    pending  of what is missing: what is begun there and says nothing yet; else ""
    """

    link: str
    state: State
    text: str = ""
    reason: str = ""
    pending: str = ""


RECORDS = (
    *("unit", "household", "occurrence", "submitter", "consents", "custody"),
    *("situation", "upkeep", "harm_factors"),
)
"""Records of a case whose fields a profile may ask for by name."""

REASON_LINKS = (
    *("pictures", "readings", "findings.dangerous", "findings.protection"),
    *("requirements", "scenarios", "conformity_marks", "letters.sent", "submitter.category", "risk.level"),
)
"""Links whose absence has its reason in the case's list of absences, since they are no field that could hold one."""


FIRMS = {
    "unit.maker_address": "unit.maker",
    "unit.maker_contact": "unit.maker",
    "unit.importer_address": "unit.importer",
    "unit.responsible_person_address": "unit.responsible_person",
    "unit.seller_address": "unit.seller",
    "unit.seller_contact": "unit.seller",
    "unit.marketplace_contact": "unit.marketplace",
}
"""Address and contact of a firm, and the firm: where there is none, it has no address."""


def is_link(link: str) -> bool:
    """Whether a field stands behind the link.

    >>> is_link("unit.maker"), is_link("unit.colour"), is_link("risk.level")
    (True, False, True)
    """
    try:
        field_state(Case(id=""), link)
    except KeyError:
        return False
    return True


def choices(link: str) -> tuple[str, ...]:
    """The answers that the field behind a link can have; none for a field that is written freely or counted.

    >>> [str(choice) for choice in choices("submitter.minor")]
    ['open', 'yes', 'no', 'unknown']
    """
    record, _, name = link.partition(".")
    held = getattr(getattr(Case(id=""), record), name, None) if record in RECORDS else None
    return tuple(type(held)) if isinstance(held, StrEnum) else ()


def count(case: Case, link: str) -> int:
    """How many there are of what comes in numbers, empty ones left out; 0 for every other link. [1]"""
    return _COUNTED[link](case)[0] if link in _COUNTED else 0


def gap_name(link: str) -> str:
    """The link as a gap of a sentence.

    >>> gap_name("unit.maker")
    'unit_maker'
    """
    return link.replace(".", "_")


def field_state(case: Case, link: str, assessment: Assessment | None = None) -> FieldState:
    """How the field behind a link stands; an unknown link is a KeyError (a defect of a profile).

    Links are "<record>.<field>" for records of the case; "pictures", "readings", "findings.dangerous",
    "findings.protection", "requirements", "scenarios", "conformity_marks", "letters.sent" for what comes in numbers;
    "severity.established" and "risk.level" ask the assessment. Of what comes in numbers only records that say something
    count: an empty finding, row, mark, letter or way to an injury is begun and no more, and that a requirement could
    not be checked answers none. Marks of conformity that are not listed one by one may be told in words, or that there
    are none: then "conformity_marks" stands as "unit.marks" does.
    """
    if link in _COMPUTED:
        return _COMPUTED[link](case, assessment)
    if link == "conformity_marks" and not count(case, link) and case.unit.marks.answered:
        return _stated(link, case.unit.marks)
    if link in _COUNTED:
        return _counted(case, link, *_COUNTED[link](case))
    if link in _CLAIMS:
        return _findings(case, link)
    record, _, name = link.partition(".")
    if record not in RECORDS:
        raise KeyError(link)
    held = getattr(getattr(case, record), name, None)
    if isinstance(held, Stated):
        return _stated(link, held if held.answered else _of_nobody(case, link) or held)
    if isinstance(held, Kept):
        return _kept(link, held)
    if isinstance(held, Alteration):
        return _altered(link, held)
    if isinstance(held, StrEnum):
        return _chosen(case, link, held)
    raise KeyError(link)


def _of_nobody(case: Case, link: str) -> Stated | None:
    """What is said of a firm that there is not: it has no address either."""
    firm = FIRMS.get(link)
    stated: Stated | None = getattr(case.unit, firm.removeprefix("unit.")) if firm else None
    return stated if stated and stated.standing is Standing.NOT_APPLICABLE and stated.answered else None


def _said(key: str, **fields: object) -> str:
    return wording.sentence(f"profiles.states.{key}", **fields)


def _stated(link: str, stated: Stated) -> FieldState:
    if not stated.answered:
        return FieldState(link=link, state=State.MISSING)
    if stated.standing is Standing.VALUE:
        return FieldState(link=link, state=State.PRESENT, text=stated.text)
    key = "unknown" if stated.standing is Standing.UNKNOWN else "not_applicable"
    return FieldState(link=link, state=State.ABSENT_WITH_REASON, reason=_said(key, reason=stated.reason))


def _chosen(case: Case, link: str, held: StrEnum) -> FieldState:
    """An answer from a list: a consent that is refused is absent, another "no" is an answer like any other."""
    if held.value == "open":
        return _reasoned(case, link)
    refused = link.startswith("consents.") and held is Answer.NO
    if refused or held.value == "unknown":
        return FieldState(
            link=link, state=State.ABSENT_WITH_REASON, reason=_said("answered_no" if refused else "answered_unknown")
        )
    text = _said(held.value) if isinstance(held, Answer) else held.value
    return FieldState(link=link, state=State.PRESENT, text=text)


def _kept(link: str, kept: Kept) -> FieldState:
    if kept.known is Knowing.OPEN or (kept.known is not Knowing.UNKNOWN and kept.proper is Answer.OPEN):
        return FieldState(link=link, state=State.MISSING)
    if kept.known is Knowing.UNKNOWN or kept.proper is Answer.UNKNOWN:
        reason = _said("unknown", reason=kept.text) if kept.text.strip() else _said("answered_unknown")
        return FieldState(link=link, state=State.ABSENT_WITH_REASON, reason=reason)
    key = "kept_properly" if kept.proper is Answer.YES else "not_kept_properly"
    return FieldState(link=link, state=State.PRESENT, text=_said(key, known=kept.known.value, text=kept.text).strip())


def _altered(link: str, altered: Alteration) -> FieldState:
    if altered.result is Excluded.OPEN:
        return FieldState(link=link, state=State.MISSING)
    if altered.result is Excluded.COULD_NOT_TELL:
        reason = _said("could_not_tell", text=altered.text).strip()
        return FieldState(link=link, state=State.ABSENT_WITH_REASON, reason=reason)
    if not altered.text.strip() and not altered.pictures:
        return FieldState(link=link, state=State.MISSING, pending=_said(f"{altered.result.value}_unshown"))
    text = _said(altered.result.value, text=altered.text).strip()
    return FieldState(link=link, state=State.PRESENT, text=text)


def _reasoned(case: Case, link: str, begun: str = "") -> FieldState:
    """Absent with the reason that the case gives for it, else missing; begun: what says nothing yet."""
    reason = case.absence(link).strip()
    if reason:
        return FieldState(link=link, state=State.ABSENT_WITH_REASON, reason=reason)
    return FieldState(link=link, state=State.MISSING, pending=begun)


def _counted(case: Case, link: str, told: int, begun: int) -> FieldState:
    if not told:
        return _reasoned(case, link, _said(f"begun_{gap_name(link)}", count=begun) if begun else "")
    return FieldState(link=link, state=State.PRESENT, text=_said(gap_name(link), count=told))


def _findings(case: Case, link: str) -> FieldState:
    """What the findings of one claim say; a finding without a word says nothing, whatever its answer."""
    about = [finding for finding in case.findings if finding.claim is _CLAIMS[link]]
    found = [finding for finding in about if finding.text.strip()]
    seen = [finding.text.strip() for finding in found if finding.answer is FindingAnswer.SEEN]
    if seen:
        return FieldState(link=link, state=State.PRESENT, text=" ".join(seen))
    if found:
        reason = _said("not_seen", findings="; ".join(f"{f.text.strip()} – {f.answer}" for f in found))
        return FieldState(link=link, state=State.ABSENT_WITH_REASON, reason=reason)
    return _reasoned(case, link, _said("begun_findings", count=len(about)) if about else "")


def _severity(_case: Case, assessment: Assessment | None) -> FieldState:
    link = "severity.established"
    if assessment is None or assessment.verdict.word is SignalWord.NOT_ASSESSED:
        return FieldState(link=link, state=State.MISSING)
    figures = assessment.verdict.figures
    proved = any(one.number in figures for one in assessment.least)
    at_second = any(part.established and part.body_current in figures for part in assessment.second_part)
    if proved or at_second or any(cell.established for cell in assessment.states):
        return FieldState(link=link, state=State.PRESENT, text=assessment.verdict.sentence)
    return FieldState(link=link, state=State.ABSENT_WITH_REASON, reason=assessment.verdict.reason)


def _risk(case: Case, assessment: Assessment | None) -> FieldState:
    """The level of the product; without one the reason is a person's: for it, or for describing no way to an injury."""
    link = "risk.level"
    risk = None if assessment is None else assessment.risk
    if risk is not None and risk.level is not None:
        return FieldState(link=link, state=State.PRESENT, text=risk.product.sentence)
    none_described = case.absence("scenarios").strip() if not count(case, "scenarios") else ""
    if none_described and not case.absence(link).strip():
        return FieldState(link=link, state=State.ABSENT_WITH_REASON, reason=none_described)
    return _reasoned(case, link, _said("risk_open") if risk is not None and risk.scenarios else "")


def _tally(records: Iterable[bool]) -> tuple[int, int]:
    """How many records say something, how many are only begun."""
    told = list(records)
    return sum(told), len(told) - sum(told)


def _sent(case: Case) -> tuple[int, int]:
    sent = [letter for letter in case.letters if letter.kind.sent]
    return _tally(bool(letter.whom.strip() and letter.day.strip()) for letter in sent)


_COMPUTED: Mapping[str, Callable[[Case, Assessment | None], FieldState]] = {
    "severity.established": _severity,
    "risk.level": _risk,
}
_COUNTED: Mapping[str, Callable[[Case], tuple[int, int]]] = {
    "pictures": lambda case: (len(case.pictures), 0),
    "readings": lambda case: _tally(bool(reading.typed.strip()) for reading in case.readings),
    "requirements": lambda case: _tally(one.answer is not FindingAnswer.COULD_NOT_CHECK for one in case.requirements),
    "scenarios": lambda case: _tally(any(step.text.strip() for step in one.steps) for one in case.scenarios),
    "conformity_marks": lambda case: _tally(bool(mark.mark.strip()) for mark in case.conformity_marks),
    "letters.sent": _sent,
}
"""What comes in numbers: how many say something, how many are only begun."""
_CLAIMS: Mapping[str, FindingClaim] = {
    "findings.dangerous": FindingClaim.DANGEROUS,
    "findings.protection": FindingClaim.PROTECTION,
}

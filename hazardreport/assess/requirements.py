"""How every construction requirement stands: answered or open, what shows it, what a reading decides."""

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from hazardreport import wording
from hazardreport.assess import against_limits
from hazardreport.assess.ledger import Ledger
from hazardreport.assess.records import LimitComparison, PinCharge, Problem, RequirementState
from hazardreport.assess.routes import state_name
from hazardreport.case.case import Case
from hazardreport.case.circumstances import FindingAnswer
from hazardreport.case.picture import PointRole
from hazardreport.case.requirement import RequirementAnswer
from hazardreport.quantity.formatting import format_number
from hazardreport.readings.result import ReadingResult
from hazardreport.risk.protection_class import ClassReasoning, territories
from hazardreport.risk.requirements import Decided, Kind, Meaning, Requirement, requirement, requirements
from hazardreport.severity.terms import LimitDecision

ORDER = (LimitDecision.EXCEEDED, LimitDecision.NOT_DECIDED, LimitDecision.BELOW, LimitDecision.WITHIN)
PREFIXES = {
    Decided.EARTH_CONTINUITY: "limits.earth-continuity.",
    Decided.INSULATION: "limits.insulation.",
    Decided.TOUCH_CURRENT: "limits.touch-current.",
    Decided.TOUCH_VOLTAGE: "limits.touch-voltage.",
}
TOUCHABLE_METAL = "touchable-metal"
DECIDING = frozenset({LimitDecision.EXCEEDED, LimitDecision.WITHIN})
FOR, AGAINST = Meaning.FOR.value, Meaning.AGAINST.value


@dataclass(frozen=True, kw_only=True, slots=True)
class Measured:
    """What the readings of a case give for requirements: their results, and the comparisons made with them."""

    results: tuple[ReadingResult, ...]
    limits: tuple[LimitComparison, ...]
    pins: tuple[PinCharge, ...]


def requirement_states(
    ledger: Ledger, case: Case, measured: Measured, reasoning: ClassReasoning
) -> tuple[tuple[RequirementState, ...], tuple[Problem, ...]]:
    """Every requirement in its order, then answers that no requirement has; and what a person should mend.

    An answer without evidence is kept and flagged. Where a reading decides, its comparison with the limit stands
    before the answer by eye, and an answer that says otherwise is shown as a contradiction. A reading on the right side
    of a limit that did not meet all conditions decides nothing: an answer against safety stays.
    """
    answers = {answer.id: answer for answer in case.requirements}
    known = tuple(_state(ledger, case, measured, reasoning, asked, answers.get(asked.key)) for asked in requirements())
    unknown = tuple(_unknown(case, answer) for answer in case.requirements if requirement(answer.id) is None)
    states = (*known, *unknown)
    problems = (
        *(problem for state in states for problem in _problems(state)),
        *_touchable_point(case, answers),
        *(
            Problem(key="class_contradicted", kind="unit", id="protection_class", fields=(("text", one.text),))
            for one in reasoning.contradictions
        ),
    )
    return states, problems


def _state(
    ledger: Ledger,
    case: Case,
    measured: Measured,
    reasoning: ClassReasoning,
    asked: Requirement,
    answer: RequirementAnswer | None,
) -> RequirementState:
    comparison = _comparison(ledger, case, measured, asked, answer)
    by_reading = _by_reading(asked, comparison)
    by_eye = _by_eye(asked, answer)
    decided = comparison is not None and comparison.decision in DECIDING
    contradicted = decided and answer is not None and _says_otherwise(asked, answer, comparison)
    shown = comparison is not None or (answer is not None and bool(_held(case, answer)))
    state = RequirementState(
        key=asked.key,
        name=asked.name,
        answer=answer.answer if answer else None,
        applies=_applies(case, reasoning, asked),
        supported=shown or (answer is not None and bool(answer.note.strip())),
        shown=shown,
        missing=_missing(case, answer) if answer else (),
        comparison=comparison,
        measured=decided,
        speaks=by_reading if decided else _undecided(by_eye, comparison),
        contradicted=contradicted,
    )
    return replace(state, sentence=_sentence(ledger, asked, state))


def _touchable_point(case: Case, answers: Mapping[str, RequirementAnswer]) -> Iterator[Problem]:
    """That no metal can be touched, without a word on a point that the case itself calls touchable."""
    answer = answers.get(TOUCHABLE_METAL)
    point = next((point for point in case.points if point.role is PointRole.TOUCHABLE_PART), None)
    asked = requirement(TOUCHABLE_METAL)
    if asked is None or answer is None or point is None or answer.note.strip():
        return
    if answer.answer is FindingAnswer.NOT_SEEN:
        fields = (("name", asked.name), ("letter", point.letter))
        yield Problem(key="requirement_touchable_point", kind="requirement", id=asked.key, fields=fields)


def _unknown(case: Case, answer: RequirementAnswer) -> RequirementState:
    shown = bool(_held(case, answer))
    return RequirementState(
        key=answer.id,
        name=answer.id,
        answer=answer.answer,
        supported=shown or bool(answer.note.strip()),
        shown=shown,
        missing=_missing(case, answer),
        sentence=wording.sentence("assess.requirement.unknown", requirement=answer.id),
    )


def _held(case: Case, answer: RequirementAnswer) -> tuple[str, ...]:
    pictures = (picture for picture in answer.pictures if case.picture(picture) is not None)
    return (*pictures, *(reading for reading in answer.readings if case.reading(reading) is not None))


def _missing(case: Case, answer: RequirementAnswer) -> tuple[str, ...]:
    held = _held(case, answer)
    return tuple(link for link in (*answer.pictures, *answer.readings) if link not in held)


def _applies(case: Case, reasoning: ClassReasoning, asked: Requirement) -> bool:
    """Whether it concerns the unit, as far as its class is evident and its territories are named."""
    named = territories(case)
    of_class = not asked.classes or not reasoning.evident or reasoning.evident in asked.classes
    return of_class and (not asked.territories or not named or bool(named & set(asked.territories)))


# --- the reading that decides -----------------------------------------------------------------------------------------


def _comparison(
    ledger: Ledger, case: Case, measured: Measured, asked: Requirement, answer: RequirementAnswer | None
) -> LimitComparison | None:
    """The comparison of the linked readings, or of any that match; of several the least favourable."""
    if asked.compare is None:
        return None
    quantity = asked.compare.quantity
    linked = answer.readings if answer else ()
    if quantity is Decided.PIN_VOLTAGE:
        return _worst(ledger, (pin.comparison for pin in measured.pins))
    if quantity is Decided.ACCESSIBLE_VOLTAGE:
        return against_limits.accessible_voltage(ledger, case, measured.results, linked) if answer else None
    if linked and quantity in (Decided.EARTH_CONTINUITY, Decided.INSULATION):
        return _of_linked(ledger, case, measured, quantity, linked)
    return _worst(ledger, (one for one in measured.limits if one.limit.startswith(PREFIXES[quantity])))


def _of_linked(
    ledger: Ledger, case: Case, measured: Measured, quantity: Decided, linked: tuple[str, ...]
) -> LimitComparison | None:
    """The comparison made with each linked reading alone; with the others where none of the linked ones can be used."""
    compared = against_limits.earth_continuity if quantity is Decided.EARTH_CONTINUITY else against_limits.insulation
    found = []
    for reading, result in zip(case.readings, measured.results, strict=True):
        if reading.id in linked:
            found.append(compared(ledger, replace(case, readings=(reading,)), (result,)))
    others = (one for one in measured.limits if one.limit.startswith(PREFIXES[quantity]))
    return _worst(ledger, found) or _worst(ledger, others)


def _worst(ledger: Ledger, found: Iterable[LimitComparison | None]) -> LimitComparison | None:
    def unfavourable(one: LimitComparison) -> tuple[int, float, float]:
        limit = ledger.value(one.limit)
        share = ledger.value(one.number) / limit if limit else math.inf
        return ORDER.index(one.decision), -one.probability, -share

    return min((one for one in found if one is not None), key=unfavourable, default=None)


def _by_reading(asked: Requirement, comparison: LimitComparison | None) -> str:
    """What the comparison says of safety: within the limit for it, beyond it against; a lone voltage not against."""
    if comparison is None or asked.compare is None:
        return ""
    if comparison.decision is LimitDecision.WITHIN:
        return FOR
    alone = asked.compare.quantity is Decided.ACCESSIBLE_VOLTAGE
    return AGAINST if comparison.decision is LimitDecision.EXCEEDED and not alone else ""


def _by_eye(asked: Requirement, answer: RequirementAnswer | None) -> str:
    """What the answer says of safety; that a sign of danger was not found says nothing."""
    if answer is None or answer.answer is FindingAnswer.COULD_NOT_CHECK or asked.meaning is Meaning.NEUTRAL:
        return ""
    if answer.answer is FindingAnswer.SEEN:
        return asked.meaning.value
    return AGAINST if asked.meaning is Meaning.FOR else ""


def _undecided(by_eye: str, comparison: LimitComparison | None) -> str:
    """What the answer by eye says beside a reading that decides nothing: half a proof of safety adds none."""
    half = comparison is not None and comparison.decision is LimitDecision.BELOW
    return "" if half and by_eye == FOR else by_eye


def _says_otherwise(asked: Requirement, answer: RequirementAnswer, comparison: LimitComparison | None) -> bool:
    if comparison is None or answer.answer is FindingAnswer.COULD_NOT_CHECK:
        return False
    good = (answer.answer is FindingAnswer.SEEN) == (asked.meaning is Meaning.FOR)
    return good == (comparison.decision is LimitDecision.EXCEEDED)


# --- words ------------------------------------------------------------------------------------------------------------


def _sentence(ledger: Ledger, asked: Requirement, state: RequirementState) -> str:
    seen = _answer_sentence(asked, state)
    if state.comparison is None:
        return seen
    compared = _compared(ledger, state.comparison)
    if state.contradicted:
        return wording.sentence("assess.requirement.contradicted", compared=compared, answer=state.answer)
    if state.answer is None or (state.measured and asked.kind is Kind.READING):
        return compared
    return wording.sentence("assess.requirement.both", compared=compared, answer=state.answer)


def _answer_sentence(asked: Requirement, state: RequirementState) -> str:
    if state.answer is None:
        key = "not_concerned" if not state.applies else "no_reading" if asked.kind is Kind.READING else "open"
        return wording.sentence(f"assess.requirement.{key}")
    said = asked.answers[list(FindingAnswer).index(state.answer)]
    if state.supported:
        return said
    key = "not_explained" if state.answer is FindingAnswer.COULD_NOT_CHECK else "unsupported"
    return wording.sentence(f"assess.requirement.{key}", said=said)


def _compared(ledger: Ledger, comparison: LimitComparison) -> str:
    key = "compared" if comparison.state is None else "compared_in_state"
    return wording.sentence(
        f"assess.requirement.{key}",
        name=comparison.name,
        state="" if comparison.state is None else state_name(comparison.state),
        number=format_number(ledger[comparison.number]),
        limit=format_number(ledger[comparison.limit]),
        decision=comparison.decision.value,
    )


def _problems(state: RequirementState) -> Iterator[Problem]:
    def problem(key: str, *fields: tuple[str, str]) -> Problem:
        return Problem(key=key, kind="requirement", id=state.key, fields=(("name", state.name), *fields))

    if state.answer is None:
        return
    if requirement(state.key) is None:
        yield problem("requirement_unknown")
    if state.missing:
        yield problem("requirement_missing_evidence", ("missing", ", ".join(state.missing)))
    if not state.supported:
        unexplained = state.answer is FindingAnswer.COULD_NOT_CHECK
        yield problem("requirement_not_explained" if unexplained else "requirement_unsupported")
    if state.contradicted:
        yield problem("requirement_contradicted", ("sentence", state.sentence))

"""The signal word so far, one sentence for it, and what drove it."""

import math

from hazardreport import wording
from hazardreport.assess.ledger import Ledger
from hazardreport.assess.records import Exposure, LimitComparison, Verdict
from hazardreport.assess.routes import state_name
from hazardreport.assess.source import SourceAt
from hazardreport.case.case import Case
from hazardreport.case.reading import SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.quantity.formatting import format_value
from hazardreport.severity.body import heart_current_factor
from hazardreport.severity.grade import (
    DrivingItem,
    GradedExposure,
    GradedLimit,
    PossibleCurrent,
    grade,
)
from hazardreport.severity.limits import status_of
from hazardreport.severity.terms import BodyPath, LimitDecision, SignalWord, Skin

MEDIAN = 50
SHOWN = (SignalWord.DANGER, SignalWord.WARNING, SignalWord.CAUTION)


def median_person(exposures: tuple[Exposure, ...], state: UnitState, path: BodyPath) -> Exposure | None:
    """The median adult with dry skin in that state and path: the column of tables that decides."""
    return next(
        (
            item
            for item in exposures
            if item.state == state and item.skin is Skin.DRY and item.percentile == MEDIAN and item.path is path
        ),
        None,
    )


def headline(sources: tuple[SourceAt, ...], ledger: Ledger, exposures: tuple[Exposure, ...]) -> SourceAt | None:
    """The plausible state that the verdict speaks of: switched off if the part is dangerous then, else the worst.

    "Off" is where people feel safe, so an off state leads as long as a median adult would feel the current there.
    """

    def current(source: SourceAt) -> float:
        person = median_person(exposures, source.state, BodyPath.HAND_TO_FEET)
        return ledger.value(person.body_current) if person else 0.0

    plausible = [source for source in sources if source.plausible]
    off = [source for source in plausible if source.state.switch is SwitchPosition.OFF and current(source) > 0.0005]
    return max(off or plausible, key=current, default=None)


def graded_exposures(
    ledger: Ledger, sources: tuple[SourceAt, ...], exposures: tuple[Exposure, ...]
) -> tuple[GradedExposure, ...]:
    """The median adults, dry, of plausible paths and states: what the signal word rests on."""
    standing = {source.state: source for source in sources}
    return tuple(
        GradedExposure(
            id=item.body_current,
            current=ledger.value(item.body_current),
            heart_factor=heart_current_factor(item.path),
            duration=ledger.value(item.duration),
            established=standing[item.state].established,
            percentile=item.percentile,
            status=status_of(item.sources),
        )
        for item in exposures
        if item.plausible and item.skin is Skin.DRY and item.percentile == MEDIAN
    )


def _possible_without_circumstance(
    ledger: Ledger, sources: tuple[SourceAt, ...], exposures: tuple[Exposure, ...]
) -> tuple[PossibleCurrent, ...]:
    """Known states that no recorded circumstance lets in: the current is possible, the exposure is not recorded."""
    found = []
    for source in sources:
        person = median_person(exposures, source.state, BodyPath.HAND_TO_FEET)
        if source.plausible and person is not None:
            current = ledger.value(person.body_current)
            found.append(PossibleCurrent(id=person.body_current, low=0.0, high=current))
    return tuple(found)


def verdict(
    ledger: Ledger,
    case: Case,
    sources: tuple[SourceAt, ...],
    exposures: tuple[Exposure, ...],
    limits: tuple[LimitComparison, ...],
    possible: tuple[PossibleCurrent, ...],
) -> Verdict:
    """Signal word, sentence, reason and three numbers."""
    graded = graded_exposures(ledger, sources, exposures)
    if not graded:
        possible = (*possible, *_possible_without_circumstance(ledger, sources, exposures))
    word, driver = grade(
        graded,
        tuple(
            GradedLimit(id=item.number, probability=item.probability, status=status_of(item.sources))
            for item in limits
            if item.decision is LimitDecision.EXCEEDED
        ),
        possible,
    )
    leading = headline(sources, ledger, exposures)
    figures: tuple[str, ...] = ()
    if leading is not None:
        person = _person_shown(ledger, exposures, leading)
        figures = (leading.voltage_id, leading.current_id, *((person.body_current,) if person else ()))
    return Verdict(
        word=word,
        sentence=_sentence(ledger, case, word, leading, exposures, recorded=bool(graded)),
        reason=_reason(ledger, driver),
        figures=figures,
        headline=leading.state if leading else None,
    )


def _person_shown(ledger: Ledger, exposures: tuple[Exposure, ...], leading: SourceAt) -> Exposure | None:
    """The plausible median adult with the greatest current as it counts for the heart, else hand to both feet."""
    plausible = [
        item
        for item in exposures
        if item.plausible and item.state == leading.state and item.skin is Skin.DRY and item.percentile == MEDIAN
    ]
    worst = max(plausible, key=lambda item: ledger.value(item.heart_current), default=None)
    return worst or median_person(exposures, leading.state, BodyPath.HAND_TO_FEET)


def _sentence(
    ledger: Ledger,
    case: Case,
    word: SignalWord,
    leading: SourceAt | None,
    exposures: tuple[Exposure, ...],
    *,
    recorded: bool,
) -> str:
    if leading is None:
        key = "not_excluded_unknown" if word is SignalWord.NOT_EXCLUDED else "not_assessed"
        return wording.sentence(f"assess.verdict.{key}")
    person = _person_shown(ledger, exposures, leading)
    fields = {
        "state": state_name(leading.state),
        "voltage": format_value(leading.voltage, "V"),
        "current": format_value(ledger.value(person.body_current), "A", 2) if person else "",
        "path": person.path.value if person else "",
        "basis": leading.basis.value,
    }
    key = {
        SignalWord.DANGER: "danger",
        SignalWord.WARNING: "warning",
        SignalWord.CAUTION: "caution",
        SignalWord.NOT_EXCLUDED: "not_excluded" if recorded else "circumstances_missing",
        SignalWord.NONE_SHOWN: "none_shown",
        SignalWord.NOT_ASSESSED: "not_assessed",
    }[word]
    if math.isinf(abs(leading.impedance)) and word not in SHOWN:
        key = "none_shown" if word is SignalWord.NONE_SHOWN else "not_assessed"
    return wording.sentence(f"assess.verdict.{key}", **fields)


def _reason(ledger: Ledger, driver: DrivingItem | None) -> str:
    if driver is None:
        return wording.sentence("assess.reason.none")
    named = ledger[driver.id].name if driver.id in ledger else ""
    unit = "1" if driver.kind.value == "limit" else "A"
    return wording.sentence(
        f"assess.reason.{driver.kind.name.lower()}",
        name=named,
        value=format_value(driver.value, unit),
        threshold=format_value(driver.threshold, unit),
    )

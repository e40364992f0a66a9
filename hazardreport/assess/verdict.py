"""The signal word so far, one sentence for it, and what drove it."""

import math
from dataclasses import dataclass, replace
from enum import Enum

from hazardreport import wording
from hazardreport.assess.ledger import Ledger
from hazardreport.assess.persons import counted_path, plausible_paths
from hazardreport.assess.possible import OpenState
from hazardreport.assess.records import Exposure, LeastCurrent, LimitComparison, PartSource, Verdict
from hazardreport.assess.routes import state_name
from hazardreport.assess.source import SourceAt, earth_as_found, plug_allows
from hazardreport.case.case import Case
from hazardreport.case.reading import SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.quantity.formatting import format_value
from hazardreport.severity.body import heart_current_factor
from hazardreport.severity.grade import (
    Driver,
    DrivingItem,
    GradedBound,
    GradedExposure,
    GradedLimit,
    PossibleCurrent,
    grade,
)
from hazardreport.severity.let_go import let_go_limit, perception_limit
from hazardreport.severity.limits import status_of
from hazardreport.severity.terms import BodyPath, ContactArea, LimitDecision, SignalWord, Skin
from hazardreport.severity.zones import curve, long_duration

MEDIAN = 50
CLOSE = 0.025
"""Probability of lying on the other side of the threshold, from which on the verdict says so. [1]"""


@dataclass(frozen=True, kw_only=True, slots=True)
class Further:
    """What enters the word besides sources and exposures: a second touchable part, and lower bounds."""

    parts: tuple[PartSource, ...] = ()
    least: tuple[LeastCurrent, ...] = ()


def usual(exposure: Exposure) -> bool:
    """One of the usual exposures: large area of contact, not the case's own."""
    return exposure.area is ContactArea.LARGE and not exposure.own


def median_person(exposures: tuple[Exposure, ...], state: UnitState, path: BodyPath) -> Exposure | None:
    """The median adult with dry skin in that state and path: the column of tables that decides."""
    return next(
        (
            item
            for item in exposures
            if item.state == state
            and item.skin is Skin.DRY
            and item.percentile == MEDIAN
            and item.path is path
            and usual(item)
        ),
        None,
    )


def graded_exposures(
    ledger: Ledger, sources: tuple[SourceAt, ...], exposures: tuple[Exposure, ...]
) -> dict[UnitState, tuple[GradedExposure, ...]]:
    """By state, the median adults, dry, of plausible paths and states: what the signal word rests on."""
    standing = {source.state: source for source in sources}
    found: dict[UnitState, tuple[GradedExposure, ...]] = {}
    for item in exposures:
        if not item.plausible or item.skin is not Skin.DRY or item.percentile != MEDIAN:
            continue
        graded = GradedExposure(
            id=item.body_current,
            current=ledger.value(item.body_current),
            uncertainty=ledger[item.body_current].measured.standard_uncertainty,
            heart_factor=heart_current_factor(item.path),
            duration=ledger.value(item.duration),
            established=standing[item.state].established,
            percentile=item.percentile,
            status=status_of(item.sources),
        )
        found[item.state] = (*found.get(item.state, ()), graded)
    return found


def _without_circumstance(
    ledger: Ledger, sources: tuple[SourceAt, ...], exposures: tuple[Exposure, ...]
) -> tuple[OpenState, ...]:
    """Known states that no recorded circumstance lets in: the current is possible, the exposure is not recorded."""
    states = [source.state for source in sources if source.plausible]
    return _by_median(ledger, exposures, states, BodyPath.HAND_TO_FEET)


def _behind_earth(
    ledger: Ledger, case: Case, sources: tuple[SourceAt, ...], exposures: tuple[Exposure, ...]
) -> tuple[OpenState, ...]:
    """What a sound protective earth holds back: the same states without it, one interrupted conductor away."""
    if not earth_as_found(case):
        return ()
    states = [source.state for source in sources if not source.state.earthed and plug_allows(case, source.state)]
    return _by_median(ledger, exposures, states, counted_path(case.household))


def _by_median(
    ledger: Ledger, exposures: tuple[Exposure, ...], states: list[UnitState], path: BodyPath
) -> tuple[OpenState, ...]:
    found = []
    for state in states:
        person = median_person(exposures, state, path)
        if person is not None:
            high = ledger.value(person.body_current)
            found.append(OpenState(state=state, current=PossibleCurrent(id=person.body_current, low=0.0, high=high)))
    return tuple(found)


def verdict(
    ledger: Ledger,
    case: Case,
    sources: tuple[SourceAt, ...],
    exposures: tuple[Exposure, ...],
    limits: tuple[LimitComparison, ...],
    possible: tuple[OpenState, ...],
    further: Further,
) -> Verdict:
    """Signal word, sentence, reason and three numbers."""
    path = counted_path(case.household)
    graded = graded_exposures(ledger, sources, exposures)
    at_second = _at_second_part(ledger, case, further.parts)
    touching = [*(item for here in graded.values() for item in here), *at_second]
    behind_earth = _behind_earth(ledger, case, sources, exposures)
    unrecorded = () if graded else _without_circumstance(ledger, sources, exposures)
    exceeded = [item for item in limits if item.decision is LimitDecision.EXCEEDED]
    word, driver = grade(
        touching,
        [
            GradedLimit(id=item.number, probability=item.probability, status=status_of(item.sources))
            for item in exceeded
        ],
        [item.current for item in (*possible, *unrecorded, *behind_earth)],
        [
            GradedBound(
                id=item.number,
                least_current=ledger.value(item.number),
                heart_factor=heart_current_factor(item.path),
            )
            for item in further.least
        ],
    )
    kind = _Kind.KNOWN
    state: UnitState | None = None
    part = next((item for item in further.parts if driver is not None and item.body_current == driver.id), None)
    if part is not None:
        return _of_second_part(ledger, word, part, driver)
    bound = next((item for item in further.least if driver is not None and item.number == driver.id), None)
    if bound is not None:
        return _of_bound(ledger, word, bound, driver)
    if driver is not None:
        sets = ((_Kind.OPEN, possible), (_Kind.UNRECORDED, unrecorded), (_Kind.EARTH_ONLY, behind_earth))
        for name, items in sets:
            for item in items:
                if item.current.id == driver.id:
                    kind, state = name, item.state
        if driver.kind is Driver.LIMIT:
            kind = _Kind.LIMIT
            state = next((item.state for item in exceeded if item.number == driver.id), None)
    if state is None and kind is _Kind.KNOWN:
        state = headline(word, ledger, sources, exposures, graded, path)
    leading = next((source for source in sources if source.state == state), None)
    person = _person_shown(ledger, exposures, leading, path) if leading else None
    figures = (leading.voltage_id, leading.current_id) if leading else ()
    limit = next((item.name for item in exceeded if driver is not None and item.number == driver.id), "")
    return Verdict(
        word=word,
        sentence=_sentence(ledger, word, kind, state, leading, person, limit),
        reason=" ".join((_reason(ledger, driver), *_next_word(touching, word))),
        figures=(*figures, person.body_current) if person else figures,
        headline=leading.state if leading else None,
    )


def without_supply(word: Verdict) -> Verdict:
    """The verdict where no supply is stated: no current was computed, so no word below "hazard not excluded".

    A limit that a reading exceeds stays as the reason. Nothing measured stays "not assessed".
    """
    if word.word not in (SignalWord.CAUTION, SignalWord.NONE_SHOWN):
        return word
    sentence = wording.sentence("assess.verdict.supply_not_stated")
    return replace(word, word=SignalWord.NOT_EXCLUDED, sentence=f"{sentence} {word.sentence}")


def _at_second_part(ledger: Ledger, case: Case, further: tuple[PartSource, ...]) -> tuple[GradedExposure, ...]:
    """Median adults at the second part, as far as a circumstance lets them in; a hand on each part always is."""
    paths = plausible_paths(case.household)
    found = []
    for item in further:
        path = BodyPath.HAND_TO_HAND if item.between else counted_path(case.household)
        if not item.body_current or not item.plausible or not (item.between or path in paths):
            continue
        found.append(
            GradedExposure(
                id=item.body_current,
                current=ledger.value(item.body_current),
                uncertainty=ledger[item.body_current].measured.standard_uncertainty,
                heart_factor=heart_current_factor(path),
                duration=long_duration(),
                established=item.established,
                percentile=MEDIAN,
            )
        )
    return tuple(found)


def _of_bound(ledger: Ledger, word: SignalWord, bound: LeastCurrent, driver: DrivingItem | None) -> Verdict:
    return Verdict(
        word=word,
        sentence=wording.sentence(
            "assess.verdict.least",
            state=state_name(bound.state),
            path=bound.path.value,
            current=format_value(ledger.value(bound.number), "A"),
        ),
        reason=_reason(ledger, driver),
        figures=(bound.number,),
        headline=bound.state,
    )


def _of_second_part(ledger: Ledger, word: SignalWord, part: PartSource, driver: DrivingItem | None) -> Verdict:
    return Verdict(
        word=word,
        sentence=wording.sentence(
            "assess.verdict.second_part",
            state=state_name(part.state),
            part=part.name,
            voltage=format_value(ledger.value(part.voltage), "V"),
            current=format_value(ledger.value(part.body_current), "A"),
        ),
        reason=_reason(ledger, driver),
        figures=(part.voltage, part.current, part.body_current),
        headline=part.state,
    )


def headline(
    word: SignalWord,
    ledger: Ledger,
    sources: tuple[SourceAt, ...],
    exposures: tuple[Exposure, ...],
    graded: dict[UnitState, tuple[GradedExposure, ...]],
    path: BodyPath,
) -> UnitState | None:
    """The plausible state that the verdict speaks of: one that earns the word by itself, switched off before on.

    "Off" is where people feel safe, so an off state leads wherever it is as bad by the word as any other.
    """

    def current(source: SourceAt) -> float:
        person = median_person(exposures, source.state, path)
        return ledger.value(person.body_current) if person else 0.0

    plausible = [source for source in sources if source.plausible]
    earning = [source for source in plausible if grade(graded.get(source.state, ()))[0] is word]
    off = [source for source in earning if source.state.switch is SwitchPosition.OFF]
    leading = max(off or earning or plausible, key=current, default=None)
    return leading.state if leading else None


class _Kind(Enum):
    """What the driver of a word says of its state."""

    KNOWN = "known"
    OPEN = "open"
    UNRECORDED = "unrecorded"
    EARTH_ONLY = "earth only"
    LIMIT = "limit"


def _person_shown(
    ledger: Ledger, exposures: tuple[Exposure, ...], leading: SourceAt, path: BodyPath
) -> Exposure | None:
    """The plausible median adult with the greatest current as it counts for the heart, else hand to both feet."""
    plausible = [
        item
        for item in exposures
        if item.plausible and item.state == leading.state and item.skin is Skin.DRY and item.percentile == MEDIAN
    ]
    worst = max(plausible, key=lambda item: ledger.value(item.heart_current), default=None)
    return worst or median_person(exposures, leading.state, path)


def _sentence(
    ledger: Ledger,
    word: SignalWord,
    kind: _Kind,
    state: UnitState | None,
    leading: SourceAt | None,
    person: Exposure | None,
    limit: str,
) -> str:
    key = {
        SignalWord.DANGER: "danger",
        SignalWord.WARNING: "warning",
        SignalWord.CAUTION: "caution",
        SignalWord.NOT_EXCLUDED: "not_excluded",
        SignalWord.NONE_SHOWN: "none_shown",
        SignalWord.NOT_ASSESSED: "not_assessed",
    }[word]
    if word is SignalWord.NOT_EXCLUDED:
        key = {
            _Kind.OPEN: "not_excluded_unknown",
            _Kind.UNRECORDED: "circumstances_missing",
            _Kind.EARTH_ONLY: "earth_only",
        }.get(kind, key)
    if kind is _Kind.LIMIT:
        key = "caution_limit"
    return wording.sentence(
        f"assess.verdict.{key}",
        state=state_name(state) if state else "",
        voltage=format_value(leading.voltage, "V") if leading else "",
        current=format_value(ledger.value(person.body_current), "A") if person else "",
        path=person.path.value if person else "",
        basis=wording.sentence(f"assess.basis.{leading.basis.name.lower()}") if leading else "",
        limit=limit,
    )


def _reason(ledger: Ledger, driver: DrivingItem | None) -> str:
    if driver is None:
        return wording.sentence("assess.reason.none")
    named = ledger[driver.id].name if driver.id in ledger else ""
    unit = "1" if driver.kind.value == "limit" else "A"
    entry = "at_least" if driver.at_least else driver.kind.name.lower()
    reason = wording.sentence(
        f"assess.reason.{entry}",
        name=named,
        value=format_value(driver.value, unit),
        threshold=format_value(driver.threshold, unit),
    )
    if driver.probability is None or not CLOSE < driver.probability < 1.0 - CLOSE:
        return reason
    close = wording.sentence("assess.reason.close", probability=f"{100.0 * driver.probability:.0f}")
    return f"{reason} {close}"


def _next_word(items: list[GradedExposure], word: SignalWord) -> tuple[str, ...]:
    """A sentence where the readings' doubt reaches beyond the threshold of the next higher word."""
    threshold = {
        SignalWord.WARNING: curve("c2", long_duration()),
        SignalWord.CAUTION: let_go_limit(),
        SignalWord.NONE_SHOWN: perception_limit(),
    }.get(word)
    if threshold is None:
        return ()
    at_heart = word is SignalWord.WARNING
    reached = 0.0
    for item in items:
        factor = item.heart_factor if at_heart else 1.0
        doubt = factor * item.uncertainty
        if item.established and doubt > 0.0:
            reached = max(reached, 0.5 * math.erfc((threshold - factor * item.current) / (doubt * math.sqrt(2.0))))
    if reached < CLOSE:
        return ()
    return (
        wording.sentence(
            "assess.reason.next_word",
            threshold=format_value(threshold, "A"),
            probability=f"{100.0 * reached:.0f}",
        ),
    )

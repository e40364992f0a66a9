"""The signal word and what drove it; this mapping is the program's own choice.

DANGER: a median adult above c2 at 10 s in a plausible, established state. WARNING: a median adult above the let-go
limit, or the 5 % adult where that column is confirmed. CAUTION: above perception, or a limit exceeded with at least
95 % probability. A current that is possible but not established gives "hazard not excluded", which no lower word
replaces. A current that is known only as "at least" raises the word where that least current is above a threshold.

The word rests on confirmed values and stated choices only: an exposure or limit from memory or common practice never
raises it; if no other exposure stands beside it, it counts as possible. The time of a protective device never enters:
a residual-current device shortens a shock and does not lower the word. Nor does doubt: the estimate decides (choice),
and the probability that the current is above its threshold is told beside the word.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum
from math import erfc, sqrt

from hazardreport.quantity.trace import Status
from hazardreport.severity.let_go import let_go_limit, perception_limit
from hazardreport.severity.terms import SignalWord
from hazardreport.severity.zones import curve, long_duration

LIMIT_PROBABILITY = 0.95
DECIDING = (Status.CONFIRMED, Status.CHOICE)
ORDER = (
    SignalWord.NOT_ASSESSED,
    SignalWord.NONE_SHOWN,
    SignalWord.CAUTION,
    SignalWord.NOT_EXCLUDED,
    SignalWord.WARNING,
    SignalWord.DANGER,
)


@dataclass(frozen=True, kw_only=True, slots=True)
class GradedExposure:
    """A plausible exposure of an adult.

    id            of its current in the trace
    current       in the path [A]
    heart_factor  decides for the path; hand to hand 0.4 [1]
    duration      until a device ends it, for show: the word always uses the long duration [s]
    established   the state is established, not only possible
    percentile    50, or 5
    status        the least certain status of all tables behind the current
    uncertainty   standard uncertainty of the current; zero where it is not known [A]
    """

    id: str
    current: float
    heart_factor: float
    duration: float
    established: bool
    percentile: int = 50
    status: Status = Status.CONFIRMED
    uncertainty: float = 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class GradedBound:
    """An established lower bound of a median adult's current, at a source that the readings do not fix.

    id             of the bound in the trace
    least_current  in the path, doubt of the readings already subtracted [A]
    heart_factor   of the path [1]
    status         the least certain status of all tables behind the bound
    """

    id: str
    least_current: float
    heart_factor: float
    status: Status = Status.CONFIRMED


@dataclass(frozen=True, kw_only=True, slots=True)
class GradedLimit:
    """A limit comparison: id in the trace, probability that the limit is exceeded, status of the limit."""

    id: str
    probability: float
    status: Status = Status.CONFIRMED


@dataclass(frozen=True, kw_only=True, slots=True)
class PossibleCurrent:
    """Body current of a plausible state that is not established: id of its high end, low and high end [A]."""

    id: str
    low: float
    high: float


class Driver(StrEnum):
    """What drove the word; also the key of its sentence in severity.toml."""

    FIBRILLATION = "fibrillation"
    LET_GO = "let-go"
    LET_GO_5_PERCENT = "let-go-5-percent"
    PERCEPTION = "perception"
    LIMIT = "limit"
    POSSIBLE = "possible"
    BELOW_PERCEPTION = "below-perception"


@dataclass(frozen=True, kw_only=True, slots=True)
class DrivingItem:
    """The number that drove the word.

    kind         which threshold it met
    id           of the number in the trace
    value        as compared: current, current times heart-current factor [A], or probability [1]
    threshold    it was compared with, same unit
    probability  that the current is above the threshold; None where its doubt is not known [1]
    at_least     the value is a lower bound
    """

    kind: Driver
    id: str
    value: float
    threshold: float
    probability: float | None = None
    at_least: bool = False


def grade(
    exposures: Iterable[GradedExposure],
    limits: Iterable[GradedLimit] = (),
    possible: Iterable[PossibleCurrent] = (),
    bounds: Iterable[GradedBound] = (),
) -> tuple[SignalWord, DrivingItem | None]:
    """Signal word of a case, and the item that drove it.

    Parameters
    ----------
    exposures : iterable of GradedExposure
        Those that enter through a recorded circumstance.
    limits : iterable of GradedLimit
        Comparisons with product limits.
    possible : iterable of PossibleCurrent
        Plausible states that no loaded reading has established.
    bounds : iterable of GradedBound
        Currents that are at least so great, in plausible states.

    Returns
    -------
    SignalWord, DrivingItem or None
        None if nothing was assessed.

    Raises
    ------
    ValueError
        If a current or its doubt is not a number or negative: a defect of the caller, never read as "no current".

    References
    ----------
    jcgm-106-2012, 7.3, for the probability beside the word.
    """
    exposures, limits, possible, bounds = tuple(exposures), tuple(limits), tuple(possible), tuple(bounds)
    _refuse_unknown(exposures, limits, possible, bounds)
    deciding = [exposure for exposure in exposures if exposure.status in DECIDING]
    doubtful = [exposure for exposure in deciding or exposures if not exposure.established or not deciding]
    candidates = [
        *(_by_exposure(exposure) for exposure in deciding if exposure.established),
        *(_possible(exposure.id, exposure.current) for exposure in doubtful),
        *(_possible(item.id, item.high) for item in possible),
        *(_by_bound(bound, alone=not deciding) for bound in bounds),
        *(_by_limit(limit) for limit in limits if limit.status in DECIDING),
    ]
    found = [candidate for candidate in candidates if candidate is not None]
    if not found:
        return SignalWord.NOT_ASSESSED, None
    return max(found, key=lambda item: (ORDER.index(item[0]), item[1].value / item[1].threshold))


def _refuse_unknown(
    exposures: tuple[GradedExposure, ...],
    limits: tuple[GradedLimit, ...],
    possible: tuple[PossibleCurrent, ...],
    bounds: tuple[GradedBound, ...],
) -> None:
    numbers = {
        "current": (
            *(item.current for item in exposures),
            *(item.high for item in possible),
            *(item.least_current for item in bounds),
        ),
        "uncertainty": tuple(item.uncertainty for item in exposures),
        "heart_factor": (*(item.heart_factor for item in exposures), *(item.heart_factor for item in bounds)),
        "probability": tuple(item.probability for item in limits),
    }
    for name, values in numbers.items():
        if not all(value >= 0.0 for value in values):
            raise ValueError(name)


def _by_exposure(exposure: GradedExposure) -> tuple[SignalWord, DrivingItem] | None:
    if exposure.percentile == 50:
        word, item = _by_current(exposure.id, exposure.current, exposure.heart_factor)
        factor = exposure.heart_factor if item.kind is Driver.FIBRILLATION else 1.0
        return word, replace(item, probability=_probability(item, factor * exposure.uncertainty))
    let_go = let_go_limit()
    if exposure.percentile != 5 or exposure.status is not Status.CONFIRMED or not exposure.current > let_go:
        return None
    item = DrivingItem(kind=Driver.LET_GO_5_PERCENT, id=exposure.id, value=exposure.current, threshold=let_go)
    return SignalWord.WARNING, replace(item, probability=_probability(item, exposure.uncertainty))


def _by_bound(bound: GradedBound, alone: bool) -> tuple[SignalWord, DrivingItem] | None:
    """As the current would, if it is above perception; of doubtful tables and without exposures beside it, possible."""
    word, item = _by_current(bound.id, bound.least_current, bound.heart_factor)
    if word is SignalWord.NONE_SHOWN:
        return None
    if bound.status not in DECIDING:
        return _possible(bound.id, bound.least_current) if alone else None
    return word, replace(item, at_least=True)


def _by_current(id: str, current: float, heart_factor: float) -> tuple[SignalWord, DrivingItem]:
    """Of a median adult, at the long duration."""
    at_heart, fibrillation = heart_factor * current, curve("c2", long_duration())
    if at_heart > fibrillation:
        return SignalWord.DANGER, DrivingItem(kind=Driver.FIBRILLATION, id=id, value=at_heart, threshold=fibrillation)
    steps = (
        (SignalWord.WARNING, Driver.LET_GO, let_go_limit()),
        (SignalWord.CAUTION, Driver.PERCEPTION, perception_limit()),
    )
    for word, kind, threshold in steps:
        if current > threshold:
            return word, DrivingItem(kind=kind, id=id, value=current, threshold=threshold)
    return SignalWord.NONE_SHOWN, DrivingItem(
        kind=Driver.BELOW_PERCEPTION, id=id, value=current, threshold=perception_limit()
    )


def _probability(item: DrivingItem, uncertainty: float) -> float | None:
    if uncertainty == 0.0:
        return None
    return 0.5 * erfc((item.threshold - item.value) / (sqrt(2.0) * uncertainty))


def _possible(id: str, high: float) -> tuple[SignalWord, DrivingItem]:
    perception = perception_limit()
    word = SignalWord.NOT_EXCLUDED if high > perception else SignalWord.NONE_SHOWN
    kind = Driver.POSSIBLE if high > perception else Driver.BELOW_PERCEPTION
    return word, DrivingItem(kind=kind, id=id, value=high, threshold=perception)


def _by_limit(limit: GradedLimit) -> tuple[SignalWord, DrivingItem] | None:
    if limit.probability < LIMIT_PROBABILITY:
        return None
    item = DrivingItem(kind=Driver.LIMIT, id=limit.id, value=limit.probability, threshold=LIMIT_PROBABILITY)
    return SignalWord.CAUTION, item

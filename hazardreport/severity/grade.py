"""The signal word and what drove it; this mapping is the program's own choice.

DANGER: a median adult above c2 at 10 s in a plausible, established state. WARNING: a median adult above the let-go
limit, or the 5 % adult where that column is confirmed. CAUTION: above perception, or a limit exceeded with at least
95 % probability. A current that is possible but not established gives "hazard not excluded", which no lower word
replaces.

The word rests on confirmed values and stated choices only: an exposure or limit from memory or common practice never
raises it; if no other exposure stands beside it, it counts as possible. The time of a protective device never enters:
a residual-current device shortens a shock and does not lower the word.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from math import isnan

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
    """

    id: str
    current: float
    heart_factor: float
    duration: float
    established: bool
    percentile: int = 50
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

    kind       which threshold it met
    id         of the number in the trace
    value      as compared: current, current times heart-current factor [A], or probability [1]
    threshold  it was compared with, same unit
    """

    kind: Driver
    id: str
    value: float
    threshold: float


def grade(
    exposures: Iterable[GradedExposure],
    limits: Iterable[GradedLimit] = (),
    possible: Iterable[PossibleCurrent] = (),
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

    Returns
    -------
    SignalWord, DrivingItem or None
        None if nothing was assessed.

    Raises
    ------
    ValueError
        If a current is not a number: a defect of the caller, never read as "no current".
    """
    exposures, limits, possible = tuple(exposures), tuple(limits), tuple(possible)
    if any(isnan(current) for current in (*(item.current for item in exposures), *(item.high for item in possible))):
        raise ValueError("current")
    deciding = [exposure for exposure in exposures if exposure.status in DECIDING]
    doubtful = [exposure for exposure in deciding or exposures if not exposure.established or not deciding]
    candidates = [
        *(_by_exposure(exposure) for exposure in deciding if exposure.established),
        *(_possible(exposure.id, exposure.current) for exposure in doubtful),
        *(_possible(item.id, item.high) for item in possible),
        *(_by_limit(limit) for limit in limits if limit.status in DECIDING),
    ]
    found = [candidate for candidate in candidates if candidate is not None]
    if not found:
        return SignalWord.NOT_ASSESSED, None
    return max(found, key=lambda item: (ORDER.index(item[0]), item[1].value / item[1].threshold))


def _by_exposure(exposure: GradedExposure) -> tuple[SignalWord, DrivingItem] | None:
    current, at_heart = exposure.current, exposure.heart_factor * exposure.current
    fibrillation, let_go, perception = curve("c2", long_duration()), let_go_limit(), perception_limit()
    if exposure.percentile != 50:
        if exposure.percentile != 5 or exposure.status is not Status.CONFIRMED or not current > let_go:
            return None
        return SignalWord.WARNING, _item(Driver.LET_GO_5_PERCENT, exposure, current, let_go)
    if at_heart > fibrillation:
        return SignalWord.DANGER, _item(Driver.FIBRILLATION, exposure, at_heart, fibrillation)
    if current > let_go:
        return SignalWord.WARNING, _item(Driver.LET_GO, exposure, current, let_go)
    if current > perception:
        return SignalWord.CAUTION, _item(Driver.PERCEPTION, exposure, current, perception)
    return SignalWord.NONE_SHOWN, _item(Driver.BELOW_PERCEPTION, exposure, current, perception)


def _item(kind: Driver, exposure: GradedExposure, value: float, threshold: float) -> DrivingItem:
    return DrivingItem(kind=kind, id=exposure.id, value=value, threshold=threshold)


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

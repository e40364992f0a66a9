"""The exposures of a case as points of the time-current chart: the median adult's current, its spread, the time."""

from dataclasses import dataclass
from itertools import groupby

from hazardreport.assess.records import Assessment, Exposure
from hazardreport.case.unit_state import UnitState
from hazardreport.figures.naming import exposure_words
from hazardreport.quantity.trace import Source
from hazardreport.severity.terms import BodyPath, ContactArea, Skin, Zone


@dataclass(frozen=True, kw_only=True, slots=True)
class OperatingPoint:
    """One exposure of a case in the chart.

    low, middle, high  reference current for the heart of 95, 50 and 5 % of adults [A]
    duration           how long the current flows [s]
    """

    skin: Skin
    path: BodyPath
    low: float
    middle: float
    high: float
    duration: float
    zone: Zone
    plausible: bool
    sources: tuple[Source, ...] = ()

    @property
    def name(self) -> str:
        """For people: "dry, hand to hand"."""
        return exposure_words(self.skin, self.path)


def operating_points(assessment: Assessment, state: UnitState | None) -> tuple[OperatingPoint, ...]:
    """The usual exposures of one state, most severe first; only the plausible ones if there are any.

    A medium area of contact is approximate, and an exposure of the case's own has its own duration: neither is a point.
    """

    def group(exposure: Exposure) -> tuple[str, str]:
        return exposure.skin.value, exposure.path.value

    points = []
    usual = (item for item in assessment.exposures if item.area is ContactArea.LARGE and not item.own)
    chosen = sorted((exposure for exposure in usual if exposure.state == state), key=group)
    for _, same in groupby(chosen, key=group):
        exposures = tuple(same)
        currents = [assessment.number(exposure.heart_current).measured.value for exposure in exposures]
        median = min(exposures, key=lambda exposure: abs(exposure.percentile - 50))
        points.append(
            OperatingPoint(
                skin=median.skin,
                path=median.path,
                low=min(currents),
                middle=assessment.number(median.heart_current).measured.value,
                high=max(currents),
                duration=assessment.number(median.duration).measured.value,
                zone=median.zone,
                plausible=any(exposure.plausible for exposure in exposures),
                sources=median.sources,
            )
        )
    plausible = [point for point in points if point.plausible]
    return tuple(sorted(plausible or points, key=lambda point: (-point.middle, point.name)))

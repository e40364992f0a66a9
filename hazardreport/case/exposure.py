"""A person touching the part: skin, path through the body; exposures that a case adds to the usual ones."""

from dataclasses import dataclass
from enum import StrEnum


class Skin(StrEnum):
    """Skin condition of the body impedance tables."""

    DRY = "dry"
    WATER_WET = "water-wet"
    SALT_WET = "saltwater-wet"


class BodyPath(StrEnum):
    """Current path through the body."""

    HAND_TO_HAND = "hand to hand"
    HAND_TO_FEET = "hand to both feet"
    HANDS_TO_FEET = "both hands to both feet"


class ContactArea(StrEnum):
    """How much skin touches the part: a grip, or a hot surface brushed in passing (approximate)."""

    LARGE = "large"
    MEDIUM = "medium"


@dataclass(frozen=True, kw_only=True, slots=True)
class OwnExposure:
    """An exposure that the case adds to the usual ones.

    percentile         5, 50 or 95: share of people whose impedance is not above it
    series_resistance  floor, footwear or glove [ohm]
    duration           None for as long as nothing ends it [s]
    reason             why this exposure is looked at
    """

    id: str
    skin: Skin = Skin.DRY
    percentile: int = 50
    path: BodyPath = BodyPath.HAND_TO_FEET
    area: ContactArea = ContactArea.LARGE
    series_resistance: float = 0.0
    duration: float | None = None
    reason: str = ""

"""Words of the severity room: skin, path, zone, device, decision, signal word. Light: no numpy."""

from enum import StrEnum


class SignalWord(StrEnum):
    """Signal word of the verdict, or why there is none."""

    DANGER = "DANGER"
    WARNING = "WARNING"
    CAUTION = "CAUTION"
    NOT_EXCLUDED = "HAZARD NOT EXCLUDED"
    NONE_SHOWN = "NO HAZARD SHOWN BY THESE READINGS"
    NOT_ASSESSED = "NOT YET ASSESSED"


class Skin(StrEnum):
    """Skin condition of the body impedance tables."""

    DRY = "dry"
    WATER_WET = "water-wet"
    SALT_WET = "saltwater-wet"


class ContactArea(StrEnum):
    """How much skin touches the part: a grip, or a hot surface brushed in passing (approximate)."""

    LARGE = "large"
    MEDIUM = "medium"


class BodyPath(StrEnum):
    """Current path through the body."""

    HAND_TO_HAND = "hand to hand"
    HAND_TO_FEET = "hand to both feet"
    HANDS_TO_FEET = "both hands to both feet"


class Zone(StrEnum):
    """Zones of the time-current diagram for alternating current."""

    AC_1 = "AC-1"
    AC_2 = "AC-2"
    AC_3 = "AC-3"
    AC_4_1 = "AC-4.1"
    AC_4_2 = "AC-4.2"
    AC_4_3 = "AC-4.3"


class Operation(StrEnum):
    """Does a protective device act."""

    OPERATES = "operates"
    DOES_NOT_OPERATE = "does not operate"
    NOT_DETERMINED = "not determined"


class LimitDecision(StrEnum):
    """A value against a limit, its doubt counted."""

    EXCEEDED = "limit exceeded"
    NOT_DECIDED = "not decided by this reading"
    WITHIN = "within the limit by this reading"

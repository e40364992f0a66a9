"""Words of the severity room: zone, device, decision, signal word; skin and path are the record's. Light: no numpy."""

from enum import StrEnum

from hazardreport.case.exposure import BodyPath, ContactArea, Skin

__all__ = [
    "BodyPath",
    "ContactArea",
    "LimitDecision",
    "Operation",
    "SignalWord",
    "Skin",
    "Zone",
]


class SignalWord(StrEnum):
    """Signal word of the verdict, or why there is none."""

    DANGER = "DANGER"
    WARNING = "WARNING"
    CAUTION = "CAUTION"
    NOT_EXCLUDED = "HAZARD NOT EXCLUDED"
    NONE_SHOWN = "NO HAZARD SHOWN BY THESE READINGS"
    NOT_ASSESSED = "NOT YET ASSESSED"


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
    BELOW = "on the right side of the limit; not all conditions of the standard were met"
    WITHIN = "within the limit by this reading"

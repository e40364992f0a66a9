"""How the unit was kept, and whether repair, change or misuse was found or excluded: what a maker may plead."""

from dataclasses import dataclass
from enum import StrEnum

from hazardreport.case.circumstances import Answer


class Knowing(StrEnum):
    """How something is known."""

    OPEN = "open"
    SEEN = "seen"
    TOLD = "told"
    UNKNOWN = "unknown"


class Excluded(StrEnum):
    """Whether something was found on the unit, or looked for and excluded."""

    OPEN = "open"
    FOUND = "found"
    EXCLUDED = "excluded"
    COULD_NOT_TELL = "could not tell"


@dataclass(frozen=True, kw_only=True, slots=True)
class Kept:
    """One point of installing and maintaining the unit.

    known   seen, told or unknown
    proper  whether it was as it should be
    text    what was seen, or who told what
    """

    known: Knowing = Knowing.OPEN
    proper: Answer = Answer.OPEN
    text: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Alteration:
    """Repair, change or misuse: found or excluded, and what shows it."""

    result: Excluded = Excluded.OPEN
    text: str = ""
    pictures: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Upkeep:
    """Installed and maintained properly, point by point; and what was done to the unit.

    socket_earth  the earth contact of the socket where it was used
    cord          cord and plug kept whole
    cleaning      cleaned and descaled as the maker asks
    instructions  used as the instructions say
    repairs, changes, misuse   found or excluded
    """

    socket_earth: Kept = Kept()
    cord: Kept = Kept()
    cleaning: Kept = Kept()
    instructions: Kept = Kept()
    repairs: Alteration = Alteration()
    changes: Alteration = Alteration()
    misuse: Alteration = Alteration()

"""Construction requirements as data: what can be looked for on a unit, what seeing it means, and who asks for it.

One file of resources/requirements for each basis; the words are in resources/wording. Says nothing about a case.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Any

from hazardreport import wording
from hazardreport.case.situation import Territory
from hazardreport.errors import HazardReportError, RequirementsDamagedError
from hazardreport.quantity.trace import Source, Status
from hazardreport.resources_dir import RESOURCES
from hazardreport.standards.references import reference
from hazardreport.standards.tables import table

FOLDER = RESOURCES / "requirements"
CLASSES = ("0", "0I", "I", "II", "III")


class BasisStatus(StrEnum):
    """How the wording of a clause was checked; derived: our own inference, no authority says it."""

    READ = "C"
    RESTATED = "C-2"
    FROM_MEMORY = "M"
    DERIVED = "D"


STATUS = {
    BasisStatus.READ: Status.CONFIRMED,
    BasisStatus.RESTATED: Status.CONFIRMED,
    BasisStatus.FROM_MEMORY: Status.FROM_MEMORY,
    BasisStatus.DERIVED: Status.CHOICE,
}


class Group(StrEnum):
    """What a requirement is about; in the order in which a unit is looked at."""

    MARKING = "marking"
    CLASS = "class of protection"
    CORD = "supply cord and plug"
    LIVE_PARTS = "access to live parts"
    EARTHING = "earthing"
    INSULATION = "insulation and heat"
    LIQUIDS = "liquids"
    UNITED_STATES = "United States"


class Kind(StrEnum):
    """How a requirement is answered."""

    EYE = "looked at by eye"
    READING = "decided by a reading"


class Meaning(StrEnum):
    """What it means if the thing is seen: it speaks for safety, against it, or only tells what the unit is."""

    FOR = "for"
    AGAINST = "against"
    NEUTRAL = "neutral"


class Decided(StrEnum):
    """Quantity whose comparison with a limit decides a requirement."""

    EARTH_CONTINUITY = "earth continuity"
    INSULATION = "insulation resistance"
    TOUCH_CURRENT = "touch current"
    TOUCH_VOLTAGE = "touch voltage"
    PIN_VOLTAGE = "voltage between the pins"
    ACCESSIBLE_VOLTAGE = "voltage on an accessible part"


@dataclass(frozen=True, kw_only=True, slots=True)
class BasisClause:
    """Where something is asked: key in references.toml, place in it, how that was checked."""

    reference: str
    place: str
    status: BasisStatus

    @property
    def source(self) -> Source:
        """The clause as the source of a statement; what is derived is our choice."""
        return Source(key=self.reference, place=self.place, status=STATUS[self.status])


@dataclass(frozen=True, kw_only=True, slots=True)
class Limit:
    """Quantity that decides, and the table and column in which its limit is printed."""

    quantity: Decided
    standard: str
    table: str
    column: str

    @property
    def source(self) -> Source:
        """The table's column, with its least certain status."""
        return table(self.standard, self.table).source(self.column)


@dataclass(frozen=True, kw_only=True, slots=True)
class Requirement:
    """One construction requirement.

    key        of the requirement, also of its answer in a case; basis: stem of its file; edition: of that basis
    name       short, for people
    look_for   what to look for, in plain words; nothing is opened and the plug is out
    explain    the trade terms in it, explained
    opened     can be seen only on a unit that a competent person opened
    meaning    of the answer "seen"
    classes    classes of protection that it concerns; empty: all
    territories   whose law or practice it concerns; empty: all
    compare    the quantity that decides, None where the eye decides
    answers    honest sentence for seen, not seen, could not check, in that order
    """

    key: str
    basis: str
    edition: str
    name: str
    look_for: str
    explain: str
    group: Group
    kind: Kind
    meaning: Meaning
    opened: bool
    classes: tuple[str, ...]
    territories: tuple[Territory, ...]
    compare: Limit | None
    clauses: tuple[BasisClause, ...]
    answers: tuple[str, str, str]

    @property
    def status(self) -> BasisStatus:
        """The least certain status among its clauses."""
        order = (BasisStatus.FROM_MEMORY, BasisStatus.DERIVED, BasisStatus.RESTATED, BasisStatus.READ)
        return next(status for status in order if status in {clause.status for clause in self.clauses})


@cache
def requirements() -> tuple[Requirement, ...]:
    """All construction requirements, by group and in the order of their files.

    Raises
    ------
    RequirementsDamagedError
        If a file does not say what a requirement must say, or two have the same key.
    """
    found = [item for path in sorted(FOLDER.glob("*.toml")) for item in read_file(path)]
    keys = [item.key for item in found]
    for item in found:
        if keys.count(item.key) > 1:
            raise RequirementsDamagedError(file=f"{item.basis}.toml", part=f"{item.key}: a second one of that key")
    order = list(Group)
    return tuple(sorted(found, key=lambda item: order.index(item.group)))


def requirement(key: str) -> Requirement | None:
    """The requirement of that key, if there is one."""
    return _by_key().get(key)


@cache
def _by_key() -> Mapping[str, Requirement]:
    return {item.key: item for item in requirements()}


def read_file(path: Path) -> tuple[Requirement, ...]:
    """The requirements of one file.

    Raises
    ------
    RequirementsDamagedError
        If the file does not say what a requirement must say.
    """
    place = "file"
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8"))
        edition = _text(data, "edition")
        found = []
        for row in data["requirements"]:
            place = str(row.get("key", "requirement without key"))
            found.append(_requirement(path.stem, edition, row))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise RequirementsDamagedError(file=path.name, part=str(error)) from error
    except (KeyError, ValueError, TypeError, AttributeError, HazardReportError) as error:
        raise RequirementsDamagedError(file=path.name, part=f"{place}: {error}") from error
    if not found:
        raise RequirementsDamagedError(file=path.name, part="requirements")
    return tuple(found)


ENTRIES = frozenset(
    {"key", "group", "kind", "seen", "opened", "classes", "territories", "compare", "clauses", "edition"}
)


def _text(data: Mapping[str, Any], name: str) -> str:
    text = data[name]
    if not isinstance(text, str) or not text.strip():
        raise ValueError(name)
    return text


def _requirement(basis: str, edition: str, row: Mapping[str, Any]) -> Requirement:
    unknown = set(row) - ENTRIES
    if unknown:
        raise ValueError(", ".join(sorted(unknown)))
    key = _text(row, "key")
    words = {part: _sentence(key, part) for part in ("name", "look_for", "explain", *ANSWERS)}
    classes = tuple(row.get("classes", ()))
    if not set(classes) <= set(CLASSES):
        raise ValueError("classes")
    kind, compare = Kind(row["kind"]), _limit(row.get("compare"))
    if (kind is Kind.READING) != (compare is not None):
        raise ValueError("compare")
    opened = row.get("opened", False)
    if not isinstance(opened, bool):
        raise ValueError("opened")
    return Requirement(
        key=key,
        basis=basis,
        edition=_text(row, "edition") if "edition" in row else edition,
        name=words["name"],
        look_for=words["look_for"],
        explain=words["explain"],
        group=Group(row["group"]),
        kind=kind,
        meaning=Meaning(row["seen"]),
        opened=opened,
        classes=classes,
        territories=tuple(Territory(name) for name in row.get("territories", ())),
        compare=compare,
        clauses=_clauses(row["clauses"]),
        answers=(words["seen"], words["not_seen"], words["could_not_check"]),
    )


ANSWERS = ("seen", "not_seen", "could_not_check")


def _sentence(key: str, part: str) -> str:
    text = wording.template(f"requirements.{key.replace('-', '_')}.{part}")
    if not text.strip():
        raise ValueError(part)
    return text


def _clauses(rows: Any) -> tuple[BasisClause, ...]:
    if not rows or any(
        len(row) != 3 or not all(isinstance(cell, str) and cell.strip() for cell in row) for row in rows
    ):
        raise ValueError("clauses")
    return tuple(
        BasisClause(reference=reference(key).key, place=place, status=BasisStatus(status))
        for key, place, status in rows
    )


def _limit(row: Any) -> Limit | None:
    if row is None:
        return None
    limit = Limit(quantity=Decided(row["quantity"]), standard=row["standard"], table=row["table"], column=row["column"])
    if limit.column not in dict(table(limit.standard, limit.table).values):
        raise ValueError(limit.column)
    return limit

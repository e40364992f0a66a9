"""Levels of severity and what each injury looks like at them, by the EU guidelines' tables."""

from collections.abc import Mapping
from dataclasses import dataclass

from hazardreport.quantity.trace import Source, weakest
from hazardreport.risk.cells import Cell, rows
from hazardreport.risk.level import SEVERITIES

INJURIES = ("eu-2019-417", "injuries")
LEVELS = ("eu-2019-417", "severity")


@dataclass(frozen=True, kw_only=True, slots=True)
class SeverityLevel:
    """One level of severity, 1 to 4, and what it means."""

    severity: int
    meaning: str
    source: Source


@dataclass(frozen=True, kw_only=True, slots=True)
class Injury:
    """One kind of injury.

    key         "electric-shock"; name: for people
    severities  what it looks like at each level; levels without an entry are left out
    sources     of these cells, by level; source: the least certain of them
    """

    key: str
    name: str
    severities: Mapping[int, str]
    sources: Mapping[int, Source]
    source: Source


def severities() -> tuple[SeverityLevel, ...]:
    """The four levels, the lightest first."""
    return tuple(
        SeverityLevel(severity=int(row["severity"].text), meaning=row["meaning"].text, source=row["meaning"].source)
        for row in rows(*LEVELS)
    )


def injuries() -> tuple[Injury, ...]:
    """Kinds of injury, in the order of the table."""
    return tuple(_injury(row) for row in rows(*INJURIES))


def injury(key: str) -> Injury | None:
    """The kind of injury of that key, if the table has it."""
    return next((_injury(row) for row in rows(*INJURIES) if row["injury"].text == key), None)


def _injury(row: Mapping[str, Cell]) -> Injury:
    entries = {severity: row[f"severity_{severity}"] for severity in SEVERITIES}
    held = {severity: cell for severity, cell in entries.items() if cell.text}
    name = row["name"]
    status = weakest(cell.source.status for cell in (name, *held.values()))
    return Injury(
        key=row["injury"].text,
        name=name.text,
        severities={severity: cell.text for severity, cell in held.items()},
        sources={severity: cell.source for severity, cell in held.items()},
        source=Source(key=name.source.key, place=name.source.place, status=status),
    )

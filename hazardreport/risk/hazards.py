"""Groups of hazards with their typical scenario and injury, by the EU guidelines' table."""

from collections.abc import Mapping
from dataclasses import dataclass

from hazardreport.quantity.trace import Source
from hazardreport.risk.cells import Cell, rows

HAZARDS = ("eu-2019-417", "hazards")


@dataclass(frozen=True, kw_only=True, slots=True)
class Hazard:
    """One hazard.

    key       "high-or-low-voltage"
    group     "electrical energy"; property: of the product, "" where the table's entries are not held
    scenario  typical; injury: typical; "" where none is held
    name      property and group for a list: "high or low voltage (electrical energy)"
    source    of the row, with its status
    """

    key: str
    group: str
    property: str
    scenario: str
    injury: str
    name: str
    source: Source


def hazards() -> tuple[Hazard, ...]:
    """All hazards, in the order of the table."""
    return tuple(_hazard(row) for row in rows(*HAZARDS))


def hazard(key: str) -> Hazard | None:
    """The hazard of that key, if the table has it."""
    return next((_hazard(row) for row in rows(*HAZARDS) if row["hazard"].text == key), None)


def _hazard(row: Mapping[str, Cell]) -> Hazard:
    group, quality = row["group"].text, row["property"].text
    return Hazard(
        key=row["hazard"].text,
        group=group,
        property=quality,
        name=f"{quality} ({group})" if quality else group,
        scenario=row["scenario"].text,
        injury=row["injury"].text,
        source=row["group"].source,
    )

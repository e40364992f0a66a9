"""Risk level from the overall probability during the foreseeable life and the severity, by the EU guidelines' table."""

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from hazardreport.errors import SeverityRefusedError, TableDamagedError
from hazardreport.quantity.trace import Source, Status, weakest
from hazardreport.risk.cells import rows_of
from hazardreport.risk.probability import probability
from hazardreport.risk.records import RiskLevel
from hazardreport.standards.tables import Table, table

TABLE = ("eu-2019-417", "risk-level")
SEVERITIES = (1, 2, 3, 4)
LETTERS = {"S": RiskLevel.SERIOUS, "H": RiskLevel.HIGH, "M": RiskLevel.MEDIUM, "L": RiskLevel.LOW}


@dataclass(frozen=True, kw_only=True, slots=True)
class Band:
    """One row of the table.

    printed  as the table prints it: "> 1/1 000"
    above    the band begins strictly above this probability; 0 for the lowest
    levels, sources   by severity, from 1 to 4
    """

    printed: str
    above: Fraction
    levels: tuple[RiskLevel, ...]
    sources: tuple[Source, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class LevelCell:
    """Answer of the table.

    band         as printed; number: from 0, the most probable first
    on_boundary  the probability is exactly the edge of a band; it is then in the band below that edge
    source       of the cell, with its status
    """

    level: RiskLevel
    band: str
    number: int
    on_boundary: bool
    source: Source


def bands() -> tuple[Band, ...]:
    """All rows, the most probable first."""
    return _bands(table(*TABLE))


@lru_cache(maxsize=16)
def _bands(held: Table) -> tuple[Band, ...]:
    columns = [f"severity_{severity}" for severity in SEVERITIES]
    found = []
    for row in rows_of(held):
        sign, _, edge = row["probability"].text.partition(" ")
        if sign not in (">", "<") or any(row[column].text not in LETTERS for column in columns):
            raise TableDamagedError(table="/".join(TABLE), part=row["probability"].text)
        found.append(
            Band(
                printed=row["probability"].text,
                above=probability(edge) if sign == ">" else Fraction(0),
                levels=tuple(LETTERS[row[column].text] for column in columns),
                sources=tuple(row[column].source for column in columns),
            )
        )
    return tuple(found)


def risk_level(probability: Fraction, severity: int) -> LevelCell:
    """Level of one overall probability and severity.

    Parameters
    ----------
    probability : Fraction
        Of the injury during the foreseeable life of the product, more than 0, at most 1. [1]
    severity : int
        1 to 4.

    Returns
    -------
    LevelCell
        A band begins strictly above its edge; a probability on an edge is flagged, and one on the lowest edge, which is
        in no band by the letter, is counted in the lowest.

    Raises
    ------
    SeverityRefusedError
        If the table has no such severity.

    References
    ----------
    eu-2019-417, risk level from severity and probability.
    """
    if severity not in SEVERITIES:
        raise SeverityRefusedError(severity=severity)
    held = bands()
    number = next((place for place, band in enumerate(held) if probability > band.above), len(held) - 1)
    source = held[number].sources[severity - 1]
    if probability == held[-2].above:
        source = Source(key=source.key, place=source.place, status=weakest((source.status, Status.CHOICE)))
    return LevelCell(
        level=held[number].levels[severity - 1],
        band=held[number].printed,
        number=number,
        on_boundary=any(probability == band.above for band in held),
        source=source,
    )

"""Rows of a table of words: each cell with the source and status of that cell."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from hazardreport.quantity.trace import Source
from hazardreport.standards.tables import Table, table


@dataclass(frozen=True, kw_only=True, slots=True)
class Cell:
    """One cell as the table prints it; text "" where the table has no entry."""

    text: str
    source: Source


def rows(standard: str, name: str) -> tuple[Mapping[str, Cell], ...]:
    """The rows of a table, each cell by the name of its column."""
    return rows_of(table(standard, name))


@lru_cache(maxsize=64)
def rows_of(held: Table) -> tuple[Mapping[str, Cell], ...]:
    """The rows of a table that is at hand."""
    columns = [column for column, _ in held.arguments + held.values]
    return tuple(
        {
            column: Cell(
                text=text,
                source=Source(
                    key=held.citation.key, place=held.citation.table, status=held.cell_status(column, number)
                ),
            )
            for column, text in zip(columns, row, strict=True)
        }
        for number, row in enumerate(held.rows)
    )


def table_source(standard: str, name: str) -> Source:
    """The table as a whole, with the status of what no exception names."""
    return table(standard, name).source()

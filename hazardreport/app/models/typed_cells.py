"""Cells of a table as somebody typed them from its document, and which rows of the table they belong to."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from hazardreport.standards.confirmed import row_of
from hazardreport.standards.tables import Table


@dataclass(frozen=True, kw_only=True, slots=True)
class Typed:
    """What stands in the dialog for one comparison, as typed: texts by their names, rows with the names of ours."""

    texts: Mapping[str, str]
    rows: tuple[tuple[str, ...], ...]


def placed(held: Table, rows: Sequence[tuple[str, ...]]) -> dict[int, tuple[str, ...]]:
    """The value cells as read, by the number of their row in the table; arguments may be spelled otherwise."""
    first, width = len(held.arguments), len(held.arguments) + len(held.values)
    found: dict[int, tuple[str, ...]] = {}
    for row in rows:
        number = row_of(held, row[:first]) if len(row) == width else None
        if number is not None:
            found.setdefault(number, row[first:])
    return found


def unplaced(held: Table, rows: Sequence[tuple[str, ...]]) -> tuple[tuple[str, ...], ...]:
    """The rows as read that `placed` has no place for: of another width, unknown, or a second time."""
    known = placed(held, rows)
    left: list[tuple[str, ...]] = []
    for row in rows:
        number = row_of(held, row[: len(held.arguments)])
        if number is None or known.pop(number, None) != row[len(held.arguments) :]:
            left.append(row)
    return tuple(left)

"""Printed tables as data: each look-up says what its value is, where it was read and how well that is known.

A table interpolates only as its file says and refuses outside its rows, unless its file says that it holds the last
value. Values come back in the unit of the column, as printed.
"""

import hashlib
import math
import tomllib
from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache, lru_cache
from typing import Any, NoReturn

from hazardreport.errors import OutsideTableError, TableDamagedError, UnknownTableError
from hazardreport.quantity.trace import Source, Status, weakest
from hazardreport.resources_dir import RESOURCES
from hazardreport.standards.active import active, cached_by_confirmations

FOLDER = RESOURCES / "standards"
TEXT = "text"


class Between(StrEnum):
    """What a look-up between two rows gives."""

    LINEAR = "linear"
    LOG_LOG = "log-log"
    NEXT_LOWER_ROW = "next lower row"
    NEXT_HIGHER_ROW = "next higher row"
    NOT_ALLOWED = "not allowed"


class Outside(StrEnum):
    """What a look-up below the first or above the last row gives."""

    NOT_ALLOWED = "not allowed"
    CLAMP = "clamp"
    CLAMP_BELOW = "clamp below"
    CLAMP_ABOVE = "clamp above"


@dataclass(frozen=True, kw_only=True, slots=True)
class Citation:
    """What a table is a copy of, and how well that is known.

    key      of the document in references.toml
    table    its printed number or name
    edition  as printed
    status   of all cells that `Known` does not name
    source   where the numbers were read
    page, reader, second_reader   only if someone held the page
    """

    key: str
    table: str
    edition: str
    status: Status
    source: str
    page: str = ""
    reader: str = ""
    second_reader: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Known:
    """Cells whose status differs from the table's: of a column, of rows (by their first argument), or of both."""

    status: Status
    column: str = ""
    rows: tuple[str, ...] = ()
    source: str = ""

    def covers(self, column: str, row: str) -> bool:
        """True if the cell belongs to this exception."""
        return self.column in ("", column) and (not self.rows or row in self.rows)


@dataclass(frozen=True, kw_only=True, slots=True)
class Entry:
    """Answer of a look-up.

    value    in the unit of the column
    unit     as the table states it
    printed  the printed cells it rests on: one, or the two neighbours
    source   with the status of these cells and, where it was used, of the rule between or outside
    """

    value: float
    unit: str
    printed: tuple[str, ...]
    source: Source


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Table:
    """One printed table.

    arguments, values  (column, unit) in the order of a row: arguments first
    fixed              what the whole table holds for, as (name, text)
    between_status, outside_status   who says so: the source, or we ("choice")
    remarks            what must be known when it is used
    sha256             of the file
    spellings          what may be typed for a printed cell when the table is compared, as (cell, word)
    own_words          its cells are short words of ours for what the document says at length; nothing to compare blind
    confirmed          (row number, column) of the cells that a reader of the document confirmed; `confirmed` module
    """

    citation: Citation
    name: str
    arguments: tuple[tuple[str, str], ...]
    values: tuple[tuple[str, str], ...]
    fixed: tuple[tuple[str, str], ...]
    between: Between
    between_status: Status
    outside: Outside
    outside_status: Status
    rows: tuple[tuple[str, ...], ...]
    known: tuple[Known, ...]
    remarks: tuple[str, ...]
    sha256: str
    spellings: tuple[tuple[str, str], ...] = ()
    own_words: bool = False
    confirmed: frozenset[tuple[int, str]] = frozenset()

    def unit(self, column: str) -> str:
        """Unit of a column, as printed."""
        return dict(self.arguments + self.values)[column]

    def status(self, column: str, row: str = "") -> Status:
        """How well one cell is known; `row` is its first argument as printed."""
        covering = [known.status for known in self.known if known.covers(column, row)]
        return covering[-1] if covering else self.citation.status

    def cell_status(self, column: str, number: int) -> Status:
        """How well the cell of a column in the row of that number is known, with what readers confirmed."""
        if (number, column) in self.confirmed:
            return Status.CONFIRMED
        return self.status(column, self.rows[number][0])

    def look_up(self, column: str, **arguments: float | str) -> float:
        """Value of a column, between rows only as the table says.

        Parameters
        ----------
        column : str
            One of the table's value columns.
        arguments
            One for each argument column: text as printed, or a number in the column's unit.

        Returns
        -------
        float
            In the column's unit, see `unit`.

        Raises
        ------
        OutsideTableError
            If no row answers and the table does not say how to go on.
        """
        return self.entry(column, **arguments).value

    def entry(self, column: str, **arguments: float | str) -> Entry:
        """The look-up with its printed cells, unit and source."""
        return _answer(self, column, tuple(arguments.items()))

    def _answer(self, column: str, arguments: Mapping[str, float | str]) -> Entry:
        if column not in dict(self.values) or set(arguments) != {name for name, _ in self.arguments}:
            raise KeyError(column, *arguments)
        texts = tuple((name, str(arguments[name])) for name, unit in self.arguments if unit == TEXT)
        numbers = [(name, float(arguments[name])) for name, unit in self.arguments if unit != TEXT]
        points = _points(self, column, texts)
        if not points:
            self._refuse(*(texts[0] if texts else ("", "")))
        if not numbers:
            return self._entry(column, points[0][1], (points[0],), ())
        (argument, at), *_ = numbers
        return self._interpolated(column, argument, at, points)

    def source(self, column: str = "", **arguments: float | str) -> Source:
        """Where the whole table, a column or one look-up comes from, with its status."""
        if column and (arguments or not self.arguments):
            return self.entry(column, **arguments).source
        if column:
            status = weakest(self.cell_status(column, number) for number in range(len(self.rows)))
        else:
            status = self.citation.status
        return Source(key=self.citation.key, place=self.citation.table, status=status)

    def points(self, column: str, **texts: str) -> tuple[tuple[float, float], ...]:
        """(argument, value) of every row that has one, rising; for charts."""
        selected = tuple((name, texts[name]) for name, unit in self.arguments if unit == TEXT)
        return tuple((at, value) for at, value, _, _ in _points(self, column, selected) if not math.isnan(value))

    def _interpolated(self, column: str, argument: str, at: float, points: "tuple[_Point, ...]") -> Entry:
        if math.isnan(at):
            self._refuse(argument, "nan")
        first, last = points[0], points[-1]
        if at < first[0] or at > last[0]:
            clamps = Outside.CLAMP_BELOW if at < first[0] else Outside.CLAMP_ABOVE
            if self.outside not in (Outside.CLAMP, clamps):
                self._refuse(argument, f"{at:g}")
            edge = first if at < first[0] else last
            return self._entry(column, edge[1], (edge,), (self.outside_status,))
        above = bisect_left(points, at, key=_argument)
        upper = points[above]
        if upper[0] == at:
            return self._entry(column, upper[1], (upper,), ())
        lower = points[above - 1]
        return self._between(column, argument, at, lower, upper)

    def _between(self, column: str, argument: str, at: float, lower: "_Point", upper: "_Point") -> Entry:
        used: tuple[_Point, ...] = (lower, upper)
        if self.between is Between.LINEAR:
            share = (at - lower[0]) / (upper[0] - lower[0])
            value = lower[1] + share * (upper[1] - lower[1])
        elif self.between is Between.LOG_LOG:
            share = math.log(at / lower[0]) / math.log(upper[0] / lower[0])
            value = lower[1] * (upper[1] / lower[1]) ** share
        elif self.between is Between.NEXT_LOWER_ROW:
            value, used = lower[1], (lower,)
        elif self.between is Between.NEXT_HIGHER_ROW:
            value, used = upper[1], (upper,)
        else:
            self._refuse(argument, f"{at:g}")
        return self._entry(column, value, used, (self.between_status,))

    def _entry(self, column: str, value: float, used: "tuple[_Point, ...]", rules: tuple[Status, ...]) -> Entry:
        if math.isnan(value):
            self._refuse(self.arguments[0][0], self.rows[used[0][3]][0])
        status = weakest([*(self.cell_status(column, number) for *_, number in used), *rules])
        return Entry(
            value=value,
            unit=self.unit(column),
            printed=tuple(printed for _, _, printed, _ in used),
            source=Source(key=self.citation.key, place=self.citation.table, status=status),
        )

    def _refuse(self, argument: str, value: str) -> NoReturn:
        position = [name for name, _ in self.arguments].index(argument)
        unit = self.unit(argument)
        cells = [row[position] for row in self.rows]
        allowed = "; ".join(dict.fromkeys(cells)) if unit == TEXT else f"{cells[0]}…{cells[-1]} {unit}"
        raise OutsideTableError(
            table=f"{self.citation.key} {self.citation.table}", argument=argument, value=value, allowed=allowed
        )


_Point = tuple[float, float, str, int]
"""Numeric argument, value (nan where the cell is empty), cell as printed, number of the row."""


def _argument(point: _Point) -> float:
    return point[0]


@lru_cache(maxsize=8192)
def _answer(table: Table, column: str, arguments: tuple[tuple[str, float | str], ...]) -> Entry:
    return table._answer(column, dict(arguments))


@cache
def _points(table: Table, column: str, texts: tuple[tuple[str, str], ...]) -> tuple[_Point, ...]:
    names = [name for name, _ in table.arguments + table.values]
    place = names.index(column)
    numeric = next((names.index(name) for name, unit in table.arguments if unit != TEXT), None)
    found = [
        (
            float(row[numeric]) if numeric is not None else 0.0,
            float(row[place]) if row[place] else math.nan,
            row[place],
            number,
        )
        for number, row in enumerate(table.rows)
        if all(row[names.index(name)] == text for name, text in texts)
    ]
    return tuple(sorted(found, key=_argument))


@cached_by_confirmations()
def table(standard: str, name: str) -> Table:
    """The table of that name of a standard; both as in resources/standards/<standard>/<name>.toml.

    Where confirmations of readers count (`confirmed`), their cells have the status that follows; no digit differs.

    Raises
    ------
    UnknownTableError
        If the program holds no such table.
    TableDamagedError
        If its file does not say what a table must say.
    """
    return active().tables.get((standard, name)) or table_as_filed(standard, name)


@cache
def table_as_filed(standard: str, name: str) -> Table:
    """The table without what readers confirmed; raises as `table`."""
    path = FOLDER / standard / f"{name}.toml"
    if (standard, name) not in all_tables():
        raise UnknownTableError(standard=standard, table=name)
    content = path.read_bytes()
    try:
        return table_from(content.decode("utf-8"), hashlib.sha256(content).hexdigest())
    except (KeyError, ValueError, TypeError, AttributeError) as error:
        raise TableDamagedError(table=f"{standard}/{name}", part=str(error)) from error


@cache
def all_tables() -> tuple[tuple[str, str], ...]:
    """(standard, name) of every table that the program holds, sorted."""
    return tuple(sorted((path.parent.name, path.stem) for path in FOLDER.glob("*/*.toml")))


def table_from(text: str, sha256: str = "") -> Table:
    """The table written in TOML text; see the module for what it must say."""
    data = tomllib.loads(text)
    cited: Mapping[str, Any] = data["citation"]
    body: Mapping[str, Any] = data["table"]
    arguments = tuple(body.get("arguments", {}).items())
    values = tuple(body["values"].items())
    rows = tuple(tuple(_cell(cell) for cell in row) for row in body["rows"])
    if not rows or any(len(row) != len(arguments) + len(values) for row in rows):
        raise ValueError("rows")
    for number, (_, unit) in enumerate(arguments + values):
        if unit != TEXT and not all(_is_number(row[number]) for row in rows):
            raise ValueError("rows")
    between, outside = Between(body["between"]), Outside(body["outside"])
    return Table(
        citation=Citation(**{**cited, "status": Status(cited["status"])}),
        name=body["name"],
        arguments=arguments,
        values=values,
        fixed=tuple(body.get("fixed", {}).items()),
        between=between,
        between_status=Status(body["between_status"]) if between is not Between.NOT_ALLOWED else Status.CONFIRMED,
        outside=outside,
        outside_status=Status(body["outside_status"]) if outside is not Outside.NOT_ALLOWED else Status.CONFIRMED,
        rows=rows,
        known=tuple(_known(entry) for entry in body.get("known", ())),
        remarks=tuple(body.get("remarks", ())),
        sha256=sha256,
        spellings=tuple(body.get("spellings", {}).items()),
        own_words=_flag(body.get("own_words", False)),
    )


def _known(entry: Mapping[str, Any]) -> Known:
    return Known(
        status=Status(entry["status"]),
        column=entry.get("column", ""),
        rows=tuple(entry.get("rows", ())),
        source=entry.get("source", ""),
    )


def _flag(value: object) -> bool:
    if not isinstance(value, bool):
        raise ValueError("own_words")
    return value


def _cell(cell: object) -> str:
    if isinstance(cell, str):
        return cell
    if isinstance(cell, int) and not isinstance(cell, bool):
        return str(cell)
    raise ValueError("rows")


def _is_number(cell: str) -> bool:
    try:
        return not cell or not math.isnan(float(cell))
    except ValueError:
        return False

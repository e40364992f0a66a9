"""Tables that a reader of the document confirmed: the digits as read against the printed cells that the program holds.

A cell that agrees becomes confirmed. Digits that differ are told and never used: no number changes by a confirmation,
only how well it is known. The rules between and outside rows stay what they were.
"""

import re
from collections.abc import Iterable
from contextlib import AbstractContextManager
from dataclasses import dataclass, replace
from decimal import Decimal, InvalidOperation
from functools import lru_cache

from hazardreport.case.confirmation import TableConfirmation
from hazardreport.case.days import day_of
from hazardreport.errors import HazardReportError, UnknownTableError
from hazardreport.quantity.trace import Status
from hazardreport.standards.active import NONE, Active, counting
from hazardreport.standards.tables import TEXT, Citation, Table, table_as_filed

OWN_CHOICES = "own-choices"
EMPTY_AS_READ = ("-", "\u2013", "\u2014")
"""What a reader types where the document prints nothing."""

_YEAR = re.compile(r"(?<!\d)(?:19|20)\d\d(?!\d)")
_GROUPED_OR_DECIMAL = re.compile(r"-?\d{1,3},\d{3}")


@dataclass(frozen=True, kw_only=True, slots=True)
class CellDifference:
    """One cell that the reader and the program have otherwise.

    number     of the table's row, from 0
    arguments  of that row, as the program prints them
    column     with the value; held: by the program; read: as typed
    """

    number: int
    arguments: tuple[str, ...]
    column: str
    held: str
    read: str


@dataclass(frozen=True, kw_only=True, slots=True)
class UnfitRow:
    """A row of the reader that fits no row of the table.

    number  among the reader's rows, from 1
    why     "width" (not as many cells as columns), "unknown" (no row has these arguments), "repeated"
    cells   as typed
    """

    number: int
    why: str
    cells: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Comparison:
    """One confirmation, compared with its table.

    standard, name  of the table
    not_counted     why it does not count: "unknown_table", "own_choice", "earlier_copy", "incomplete",
                    "no_day", "other_edition", "nothing_read", "own_words"; "" if it counts
    agreeing        (row number, column) of the cells that agree
    compared        how many value cells were read
    cells           how many value cells the table prints
    differing, unfit   what does not agree
    """

    confirmation: TableConfirmation
    standard: str
    name: str
    not_counted: str = ""
    agreeing: frozenset[tuple[int, str]] = frozenset()
    compared: int = 0
    cells: int = 0
    differing: tuple[CellDifference, ...] = ()
    unfit: tuple[UnfitRow, ...] = ()


def compared(confirmation: TableConfirmation) -> Comparison:
    """The digits as read against the table's printed cells, cell by cell.

    A number agrees if it has the same value, with decimal point or comma: spreadsheets drop closing zeros. Where a
    comma could separate thousands, the cell must read like the printed one.
    """
    standard, _, name = confirmation.table.partition("/")
    try:
        held = table_as_filed(standard, name)
    except UnknownTableError:
        return Comparison(confirmation=confirmation, standard=standard, name=name, not_counted="unknown_table")
    found = _cells(confirmation, held)
    return replace(found, standard=standard, name=name, not_counted=_not_counted(confirmation, held, found))


@lru_cache(maxsize=32)
def comparisons(confirmations: tuple[TableConfirmation, ...]) -> tuple[Comparison, ...]:
    """All confirmations of a case, each compared with its table, in their order."""
    return tuple(compared(confirmation) for confirmation in confirmations)


def confirmations_count(confirmations: tuple[TableConfirmation, ...]) -> AbstractContextManager[None]:
    """A block in which `table` answers with what these confirmations of a case confirm, in this thread."""
    return counting(_active(confirmations))


def confirmed(held: Table, counted: Iterable[Comparison]) -> Table:
    """The table with the cells that readers confirmed; a cell that one of them read otherwise stays as it is."""
    those = tuple(counted)
    disputed = {(cell.number, cell.column) for one in those for cell in one.differing}
    agreed = frozenset[tuple[int, str]]().union(*(one.agreeing for one in those)) - disputed
    raised = frozenset(cell for cell in agreed if held.status(cell[1], held.rows[cell[0]][0]) is not Status.CHOICE)
    if not raised:
        return held
    result = replace(held, confirmed=raised)
    whole = all(result.cell_status(column, number) is Status.CONFIRMED for number, column in printed_cells(held))
    return replace(result, citation=_citation(held, those, whole=whole))


def printed_cells(held: Table) -> tuple[tuple[int, str], ...]:
    """(row number, column) of every value cell in which the table prints something."""
    first = len(held.arguments)
    return tuple(
        (number, column)
        for number, row in enumerate(held.rows)
        for column, cell in zip((column for column, _ in held.values), row[first:], strict=True)
        if cell
    )


def _citation(held: Table, those: tuple[Comparison, ...], *, whole: bool) -> Citation:
    readers = [one.confirmation for one in those if one.agreeing]

    def joined(texts: Iterable[str]) -> str:
        return "; ".join(dict.fromkeys(text.strip() for text in texts if text.strip()))

    return replace(
        held.citation,
        edition=joined(one.edition for one in readers),
        page=joined(one.page for one in readers),
        reader=joined(one.name for one in readers),
        second_reader=joined(second_reader(one) for one in readers),
        status=Status.CONFIRMED if whole else held.citation.status,
    )


def second_reader(confirmation: TableConfirmation) -> str:
    """Who compared it again; "" if nobody did, or the same person."""
    second = confirmation.second_reader.strip()
    return "" if second.casefold() == confirmation.name.strip().casefold() else second


def _active(confirmations: tuple[TableConfirmation, ...]) -> Active:
    if not confirmations:
        return NONE
    by_table: dict[tuple[str, str], list[Comparison]] = {}
    for one in comparisons(confirmations):
        if not one.not_counted:
            by_table.setdefault((one.standard, one.name), []).append(one)
    changed = []
    for key, counted in sorted(by_table.items()):
        held = table_as_filed(*key)
        result = confirmed(held, counted)
        if result is not held:
            changed.append((key, result.confirmed, result.citation))
    return _kept(tuple(changed))


@lru_cache(maxsize=16)
def _kept(changed: tuple[tuple[tuple[str, str], frozenset[tuple[int, str]], Citation], ...]) -> Active:
    """The same object for the same confirmed cells, so that what is kept behind it serves the next keystroke too."""
    if not changed:
        return NONE
    return Active(
        tables={
            key: replace(table_as_filed(*key), confirmed=cells, citation=citation) for key, cells, citation in changed
        }
    )


def _not_counted(confirmation: TableConfirmation, held: Table, found: Comparison) -> str:
    if held.citation.key == OWN_CHOICES:
        return "own_choice"
    if held.own_words:
        return "own_words"
    if confirmation.sha256 != held.sha256:
        return "earlier_copy"
    if not all(text.strip() for text in (confirmation.edition, confirmation.page, confirmation.name)):
        return "incomplete"
    if not _is_day(confirmation.day):
        return "no_day"
    own, read = (set(_YEAR.findall(text)) for text in (held.citation.edition, confirmation.edition))
    if own and read and not own & read:
        return "other_edition"
    return "" if found.compared else "nothing_read"


def _is_day(text: str) -> bool:
    """Whether a text names one day that there is."""
    try:
        day = day_of(text)
    except HazardReportError:
        return False
    return day.earliest == day.latest


def _cells(confirmation: TableConfirmation, held: Table) -> Comparison:
    first = len(held.arguments)
    places = {_key(held, row[:first]): number for number, row in enumerate(held.rows)}
    seen: set[int] = set()
    agreeing: set[tuple[int, str]] = set()
    differing: list[CellDifference] = []
    unfit: list[UnfitRow] = []
    for position, read in enumerate(confirmation.rows, start=1):
        if not any(cell.strip() for cell in read[first:]):
            continue
        why, number = _place(held, places, seen, read)
        if why:
            unfit.append(UnfitRow(number=position, why=why, cells=read))
            continue
        seen.add(number)
        row = held.rows[number]
        for (column, unit), printed, typed in zip(held.values, row[first:], read[first:], strict=True):
            if not typed.strip():
                continue
            if agrees(printed, spelled_out(held, typed), text=unit == TEXT):
                agreeing.add((number, column))
            else:
                cell = CellDifference(number=number, arguments=row[:first], column=column, held=printed, read=typed)
                differing.append(cell)
    return Comparison(
        confirmation=confirmation,
        standard="",
        name="",
        agreeing=frozenset(agreeing),
        compared=len(agreeing) + len(differing),
        cells=len(printed_cells(held)),
        differing=tuple(differing),
        unfit=tuple(unfit),
    )


def _place(held: Table, places: dict[tuple[str, ...], int], seen: set[int], read: tuple[str, ...]) -> tuple[str, int]:
    if len(read) != len(held.arguments) + len(held.values):
        return "width", -1
    number = places.get(_key(held, read[: len(held.arguments)]), -1)
    if number < 0:
        return "unknown", -1
    return ("repeated", -1) if number in seen else ("", number)


def row_of(held: Table, cells: tuple[str, ...]) -> int | None:
    """Number of the row that these argument cells name, however they are spelled; None if the table has no such row."""
    first = len(held.arguments)
    if len(cells) != first:
        return None
    key = _key(held, cells)
    return next((number for number, row in enumerate(held.rows) if _key(held, row[:first]) == key), None)


def _key(held: Table, cells: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(
        _folded(cell) if unit == TEXT or (value := _number(cell, cell)) is None else str(value)
        for (_, unit), cell in zip(held.arguments, cells, strict=True)
    )


def spelled_out(held: Table, typed: str) -> str:
    """What was typed, as the table prints it: a word that the table's file lets stand for a cell becomes that cell."""
    cells = {_folded(word): cell for cell, word in held.spellings}
    return cells.get(_folded(typed), typed)


def _folded(text: str) -> str:
    return " ".join(text.split()).casefold()


def agrees(printed: str, read: str, *, text: bool = False) -> bool:
    """Whether a cell as read says what the program prints; `text` for a column of words.

    Examples
    --------
    >>> agrees("4.30", "4,3"), agrees("1200", "1 200"), agrees("1.2", "1,200"), agrees("1150", "1155")
    (True, True, False, False)
    """
    if read.strip() in EMPTY_AS_READ:
        return not printed.strip()
    if text:
        return _folded(printed) == _folded(read)
    value = _number(read, printed)
    return value is not None and value == _number(printed, printed)


def _number(typed: str, printed: str) -> Decimal | None:
    """The number of a cell, without spaces between digits; None if it is none, or if its comma can mean two things."""
    digits = "".join(typed.split()).replace("\u2212", "-")
    if _GROUPED_OR_DECIMAL.fullmatch(digits) and digits.replace(",", ".") != printed:
        return None
    try:
        value = Decimal(digits.replace(",", ".")) if digits.isascii() and "_" not in digits else None
    except InvalidOperation:
        return None
    return None if value is None or not value.is_finite() else value.normalize()

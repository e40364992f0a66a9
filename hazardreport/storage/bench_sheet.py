"""A bench sheet: the readings of a case as a table in CSV, in and out. The columns are explained in bench-sheet.md.

All faults of a sheet are told together, each with its line and column; a sheet with a fault changes nothing.
"""

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.reading import Reading
from hazardreport.errors import BenchSheetRefusedError
from hazardreport.storage import files
from hazardreport.storage.bench_row import COLUMNS, NEEDED, cells, reading
from hazardreport.storage.faults import Gathered, at_line, fault, listing

BYTE_LIMIT = 5_000_000
ROW_LIMIT = 5_000
COLUMN_LIMIT = 100
"""Rows with text, empty ones not counted; columns up to the last one with a name."""

_DELIMITERS = (",", ";", "\t")
_LONGEST_HEADER = 10_000
_LIKE_A_FORMULA = re.compile(r"(?:[=@\t\r]|[+-](?![\d.,\s]))")


@dataclass(frozen=True, kw_only=True, slots=True)
class BenchSheet:
    """What a sheet holds.

    readings  in the order of the sheet; an id that the case has stands for that reading
    skipped   rows without any text
    """

    readings: tuple[Reading, ...]
    skipped: int = 0


def read_bench_sheet(case: Case, path: Path) -> Case:
    """The case with the readings of a sheet: rows with the id of a reading replace it, the others are added.

    Raises
    ------
    CouldNotReadError
        If the file cannot be read.
    BenchSheetRefusedError
        If any row does not fit, with every such place; the case is then as it was.
    """
    readings = bench_sheet_of(case, path).readings
    present = {one.id for one in case.readings}
    for one in readings:
        if one.id in present:
            case = edits.change_reading(case, one)
    return edits.add_readings(case, (one for one in readings if one.id not in present))


def bench_sheet_of(case: Case, path: Path) -> BenchSheet:
    """The readings of a sheet for this case, not yet in it; raises as `read_bench_sheet`."""
    faults = Gathered()
    sheet = _sheet(case, _text(path, faults), faults)
    if faults:
        raise BenchSheetRefusedError(path=str(path), count=len(faults), listing=listing(faults), details=tuple(faults))
    return sheet


def bench_sheet(case: Case) -> str:
    """The readings of the case as CSV with all columns; a text that looks like a formula gets an apostrophe."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for one in case.readings:
        row = cells(one)
        writer.writerow([_guarded(row[name]) for name in COLUMNS])
    return out.getvalue()


def _guarded(text: str) -> str:
    return f"'{text}" if _LIKE_A_FORMULA.match(text.lstrip("'")) else text


def _unguarded(text: str) -> str:
    return text[1:] if text.startswith("'") and _LIKE_A_FORMULA.match(text.lstrip("'")) else text


def _text(path: Path, faults: Gathered) -> str:
    data = files.read(path)
    if len(data) > BYTE_LIMIT:
        faults.append(fault("", "too_many_bytes", limit=BYTE_LIMIT // 1_000_000))
        return ""
    encoding = "utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError as error:
        faults.append(fault("", "sheet_not_utf8", byte=error.start))
        return ""
    if "\0" in text:
        faults.append(fault("", "no_csv", problem="NUL"))
        return ""
    return text


def _sheet(case: Case, text: str, faults: Gathered) -> BenchSheet:
    if faults:
        return BenchSheet(readings=())
    rows, skipped = _rows_with_text(text, faults)
    if not faults and not rows:
        faults.append(fault("", "no_rows"))
    if faults:
        return BenchSheet(readings=())
    line, header = rows.pop(0)
    names = _names(line, header, faults)
    if faults:
        return BenchSheet(readings=())
    readings: dict[str, Reading] = {}
    free_ids = _free_ids([*(one.id for one in case.readings), *_ids(rows, names)])
    free_id = next(free_ids)
    for line, row in rows:
        if len(row) > len(names) and any(row[len(names) :]):
            faults.append(fault(at_line(line, ""), "too_many_cells", count=len(row), columns=len(names)))
            continue
        found = dict(zip(names, row, strict=False))
        one = reading(case, found, line, free_id, faults)
        if one is None:
            continue
        if one.id in readings:
            faults.append(fault(at_line(line, "id"), "repeated", text=one.id))
        if one.id == free_id:
            free_id = next(free_ids)
        readings[one.id] = one
    return BenchSheet(readings=tuple(readings.values()), skipped=skipped)


def _rows_with_text(text: str, faults: Gathered) -> tuple[list[tuple[int, list[str]]], int]:
    """Rows that hold any text, from the one with the names of columns on; and how many below it hold none."""
    rows: list[tuple[int, list[str]]] = []
    skipped = 0
    for line, row in _rows(text, faults):
        if not any(row):
            skipped += bool(rows)
        elif len(rows) > ROW_LIMIT:
            faults.append(fault(at_line(line, ""), "too_many_rows", limit=ROW_LIMIT))
            break
        else:
            rows.append((line, row))
    return rows, skipped


def _free_ids(taken: list[str]) -> Iterator[str]:
    """Ids that no reading has, in order."""
    every = set(taken)
    number = int(edits.next_id("reading", taken).removeprefix("reading-"))
    while True:
        if (free := f"reading-{number:03d}") not in every:
            yield free
        number += 1


def _ids(rows: list[tuple[int, list[str]]], names: tuple[str, ...]) -> list[str]:
    """Ids that rows of the sheet give themselves."""
    if "id" not in names:
        return []
    column = names.index("id")
    return [row[column] for _, row in rows if len(row) > column]


def _rows(text: str, faults: Gathered) -> Iterator[tuple[int, list[str]]]:
    """Line and cells of each row; a first line that only names the delimiter is left out."""
    first = text.split("\n", 1)[0].rstrip("\r")
    named = re.fullmatch("sep=(.)", first, re.IGNORECASE)
    delimiter = named[1] if named and named[1] in _DELIMITERS else _delimiter(text)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    line = 1
    try:
        for row in reader:
            if not (named and line == 1):
                yield line, [_unguarded(cell.strip()) for cell in row]
            line = reader.line_num + 1
    except csv.Error as error:
        faults.append(fault(at_line(line, ""), "no_csv", problem=str(error)))


def _delimiter(text: str) -> str:
    """The one that splits the first line with text into the most columns that we know."""
    lines = io.StringIO(text, newline=None)
    first = next((line for line in lines if line.strip(" ,;\t\n")), "")[:_LONGEST_HEADER]

    def known(delimiter: str) -> int:
        return sum(cell.strip(' "').casefold() in _KNOWN for cell in first.split(delimiter))

    return max(_DELIMITERS, key=known)


_KNOWN = {name.casefold(): name for name in COLUMNS}


def _names(line: int, header: list[str], faults: Gathered) -> tuple[str, ...]:
    """The columns of the sheet by their right names."""
    names = []
    if not any(cell.replace(" ", "_").casefold() in _KNOWN for cell in header):
        faults.append(fault(at_line(line, ""), "no_header", columns=", ".join(COLUMNS)))
        return ()
    last = max(index for index, cell in enumerate(header) if cell) + 1
    if last > COLUMN_LIMIT:
        faults.append(fault(at_line(line, ""), "too_many_columns", limit=COLUMN_LIMIT))
        return ()
    for cell in header[:last]:
        name = _KNOWN.get(cell.replace(" ", "_").casefold(), "")
        if not name:
            faults.append(fault(at_line(line, cell), "unknown_column", columns=", ".join(COLUMNS)))
        elif name in names:
            faults.append(fault(at_line(line, name), "repeated", text=name))
        names.append(name)
    faults.extend(fault(at_line(line, ""), "missing_column", column=name) for name in NEEDED if name not in names)
    return tuple(names)

"""A sheet for one table in CSV: arguments filled in, value cells empty, so that the digits are typed blind.

The digits of the program never stand in the sheet: whoever types them has only the document to read from.
"""

import csv
import io
from pathlib import Path

from hazardreport.errors import TableSheetRefusedError
from hazardreport.standards.tables import TEXT, Table
from hazardreport.storage import files
from hazardreport.storage.faults import Gathered, at_line, fault, listing

BYTE_LIMIT = 1_000_000
ROW_LIMIT = 2_000

_DELIMITERS = (",", ";", "\t")


def blank_sheet(held: Table) -> str:
    """CSV with the names of the columns and their units or words, then a row for each of the table's, cells empty."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(_headings(held))
    first = len(held.arguments)
    for row in held.rows:
        writer.writerow([*row[:first], *("" for _ in held.values)])
    return out.getvalue()


def read_table_sheet(path: Path, held: Table) -> tuple[tuple[str, ...], ...]:
    """The rows of a sheet as typed, in the order of the table's columns; rows without any digit are left out.

    Raises
    ------
    CouldNotReadError
        If the file cannot be read.
    TableSheetRefusedError
        If it is no sheet for this table, with every such place.
    """
    faults = Gathered()
    rows = _rows(_text(path, faults), held, faults)
    if faults:
        raise TableSheetRefusedError(path=str(path), count=len(faults), listing=listing(faults), details=tuple(faults))
    return rows


def _headings(held: Table) -> list[str]:
    words = " / ".join(f"{cell} or {word}" for cell, word in held.spellings)
    values = [(name, words if unit == TEXT and words else unit) for name, unit in held.values]
    return [name if unit in (TEXT, "1") else f"{name} [{unit}]" for name, unit in (*held.arguments, *values)]


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


def _rows(text: str, held: Table, faults: Gathered) -> tuple[tuple[str, ...], ...]:
    if faults:
        return ()
    names = [name for name, _ in held.arguments + held.values]
    first_line = next((line for line in text.splitlines() if line.strip(" ,;\t")), "")
    if not first_line:
        faults.append(fault("", "no_rows"))
        return ()
    delimiter = max(_DELIMITERS, key=first_line.count) if len(names) > 1 else ","
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    places: list[int] = []
    found: list[tuple[str, ...]] = []
    line = 1
    try:
        for row in reader:
            cells = [cell.strip() for cell in row]
            if any(cells) and not places:
                places = _places(line, cells, names, faults)
                if faults:
                    return ()
            elif any(cells):
                _take(line, cells, places, len(held.arguments), found, faults)
            if len(found) > ROW_LIMIT:
                faults.append(fault(at_line(line, ""), "too_many_rows", limit=ROW_LIMIT))
                return ()
            line = reader.line_num + 1
    except csv.Error as error:
        faults.append(fault(at_line(line, ""), "no_csv", problem=str(error)))
    return tuple(found)


def _places(line: int, header: list[str], names: list[str], faults: Gathered) -> list[int]:
    """Where each column of the table stands in the sheet."""
    known = [cell.partition("[")[0].strip().casefold().replace(" ", "_") for cell in header]
    columns = ", ".join(names)
    for cell, name in zip(header, known, strict=True):
        if cell and name not in names:
            faults.append(fault(at_line(line, cell), "unknown_column", columns=columns))
        elif cell and known.count(name) > 1:
            faults.append(fault(at_line(line, cell), "repeated", text=name))
    faults.extend(fault(at_line(line, ""), "missing_column", column=name) for name in names if name not in known)
    return [known.index(name) for name in names] if not faults else []


def _take(
    line: int, cells: list[str], places: list[int], arguments: int, found: list[tuple[str, ...]], faults: Gathered
) -> None:
    if any(cells[max(places) + 1 :]):
        faults.append(fault(at_line(line, ""), "too_many_cells", count=len(cells), columns=len(places)))
        return
    row = tuple(cells[place] if place < len(cells) else "" for place in places)
    if any(row[arguments:]):
        found.append(row)

"""Fuzz target: a sheet with the digits of a table, `read_table_sheet`, and their comparison with the table."""

import random
import tempfile
from functools import cache
from pathlib import Path

from hazardreport.case.confirmation import TableConfirmation
from hazardreport.errors import HazardReportError
from hazardreport.standards.confirmed import compared, confirmations_count, confirmed
from hazardreport.standards.tables import Table, table
from hazardreport.storage.table_sheet import blank_sheet, read_table_sheet
from tests.fuzz import table_text
from tests.fuzz.answers import told

RUNS = 12_000
TABLES = (("eu-2019-417", "risk-level"), ("eu-2019-417", "injuries"), ("iec-60479-1-2018", "table-1"))
"""Fractions, texts, and one whose cells are printed digits."""

PREFIXES = ("\u2212", "<", " ", "'", "0", "1/", "about ")
_FOLDER = tempfile.TemporaryDirectory()


def filled_sheet(held: Table) -> str:
    """The sheet of a table with its own digits, as somebody reads them who makes no error."""
    head = blank_sheet(held).splitlines()[0]
    cells = [",".join(f'"{cell}"' for cell in row) for row in held.rows]
    return "\n".join([head, *cells]) + "\n"


@cache
def seeds() -> list[bytes]:
    """Blank and filled sheets; the first byte says of which table."""
    return [
        bytes([index]) + text.encode()
        for index, key in enumerate(TABLES)
        for text in (blank_sheet(table(*key)), filled_sheet(table(*key)))
    ]


@cache
def _words() -> tuple[str, ...]:
    held = [table(*key) for key in TABLES]
    cells = {cell for one in held for row in one.rows for cell in row}
    names = {name for one in held for name, _ in one.arguments + one.values}
    return (*sorted(names), *sorted(cells), *(prefix + "1" for prefix in PREFIXES))


def changed(data: bytes, random_: random.Random) -> bytes:
    """The sheet after odd changes, now and then of another table."""
    which = data[0] if random_.random() < 0.95 else random_.randrange(len(TABLES))
    return bytes([which]) + table_text.changed(data[1:], _words(), random_)


def one_input(data: bytes) -> None:
    """One try to read these bytes as digits, and to hold them against the table."""
    standard, name = TABLES[data[0] % len(TABLES)] if data else TABLES[0]
    held = table(standard, name)
    path = Path(_FOLDER.name) / "digits.csv"
    path.write_bytes(data[1:])
    try:
        rows = read_table_sheet(path, held)
    except HazardReportError as error:
        told(error)
        return
    assert all(len(row) == len(held.arguments + held.values) for row in rows)
    typed = TableConfirmation(
        id="confirmation-001",
        table=f"{standard}/{name}",
        sha256=held.sha256,
        edition="first",
        page="1",
        name="Kim",
        day="2026-06-01",
        rows=rows,
    )
    found = compared(typed)
    assert len(found.agreeing) + len(found.differing) == found.compared
    assert len(found.agreeing) <= found.cells
    assert confirmed(held, (found,)).rows == held.rows
    with confirmations_count((typed,)):
        assert table(standard, name).rows == held.rows

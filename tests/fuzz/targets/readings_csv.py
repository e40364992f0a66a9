"""Fuzz target: a bench sheet, `read_bench_sheet`. What is read is written as a sheet and read again, and is equal."""

import random
import tempfile
from functools import cache
from pathlib import Path

from hazardreport.case.case import Case
from hazardreport.errors import HazardReportError
from hazardreport.storage.bench_row import COLUMNS
from hazardreport.storage.bench_sheet import bench_sheet, read_bench_sheet
from hazardreport.storage.case_json import case_bytes
from tests.fuzz import table_text
from tests.fuzz.answers import told
from tests.fuzz.full_case import SMALL
from tests.fuzz.vocabulary import choices

RUNS = 12_000
MATERIAL = Path(__file__).resolve().parents[2] / "material"
WORDS = (*COLUMNS, *choices(), "A", "B", "E", "yes", "no", "instrument-001", "picture-001")
_FOLDER = tempfile.TemporaryDirectory()


@cache
def seeds() -> list[bytes]:
    """The sheets of the material, and a short one with every column."""
    row = 'reading-001,A,E,voltage,117.4 V,straight,on,absent,cold,closed,"full wave",resistor,4700,230,60,0.05,'
    row += 'instrument-001,direct,121 V,none,yes,"117,2 V; 117,5 V",noon,Kim,x,picture-001,"two\nlines"'
    short = f"{','.join(COLUMNS)}\n{row}\nreading-002,A,B,resistance,24.3,,off\n"
    return [path.read_bytes() for path in sorted(MATERIAL.glob("*/*.csv"))] + [short.encode()]


def changed(data: bytes, random_: random.Random) -> bytes:
    """The sheet after odd changes."""
    return table_text.changed(data, WORDS, random_)


def one_input(data: bytes) -> None:
    """One try to read these bytes as a sheet of readings."""
    path = Path(_FOLDER.name) / "readings.csv"
    path.write_bytes(data)
    try:
        case = read_bench_sheet(SMALL, path)
    except HazardReportError as error:
        told(error)
        return
    case_bytes(case)
    if case.readings:
        _comes_back(case, path)


def _comes_back(case: Case, path: Path) -> None:
    path.write_text(bench_sheet(case), encoding="utf-8", newline="")
    assert read_bench_sheet(SMALL, path).readings == case.readings

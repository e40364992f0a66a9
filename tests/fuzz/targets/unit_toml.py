"""Fuzz target: a unit sheet, `read_unit_sheet`. What is read can be saved, and comes back equal."""

import random
import tempfile
from functools import cache
from pathlib import Path

from hazardreport.errors import HazardReportError
from hazardreport.storage.case_json import case_bytes, case_from_bytes
from hazardreport.storage.unit_sheet import SECTIONS, read_unit_sheet
from hazardreport.storage.unit_sheet_template import unit_sheet_template
from tests.fuzz import toml_text
from tests.fuzz.answers import told
from tests.fuzz.full_case import SMALL
from tests.fuzz.vocabulary import choices, names

RUNS = 12_000
MATERIAL = Path(__file__).resolve().parents[2] / "material"
WORDS = (*names(), *choices(), *SECTIONS, "A", "picture-001", "instrument-001", "readings", "dangerous", "protection")
_FOLDER = tempfile.TemporaryDirectory()


@cache
def seeds() -> list[bytes]:
    """The sheets of the material, the template, and a short one."""
    short = (
        b'title = "Pot"\n[unit]\nbrand = "Kerzella"\nmodel = {unknown = "worn off"}\n[wiring]\nnominal_voltage = 230\n'
    )
    return [path.read_bytes() for path in sorted(MATERIAL.glob("*/*.toml"))] + [unit_sheet_template().encode(), short]


def changed(data: bytes, random_: random.Random) -> bytes:
    """The sheet after odd changes."""
    return toml_text.changed(data, WORDS, random_)


def one_input(data: bytes) -> None:
    """One try to read these bytes as a unit sheet."""
    path = Path(_FOLDER.name) / "unit.toml"
    path.write_bytes(data)
    try:
        case = read_unit_sheet(SMALL, path)
    except HazardReportError as error:
        told(error)
        return
    assert case_from_bytes(case_bytes(case), "case.json") == case

"""Fuzz target: the journal beside a case, read from its folder."""

import random
import tempfile
from functools import cache
from pathlib import Path

from hazardreport.case.case import Case
from hazardreport.errors import HazardReportError
from hazardreport.storage import layout
from hazardreport.storage.case_json import case_bytes
from hazardreport.storage.journal import NEVER_SAVED, journalled_case
from tests.fuzz import json_tree
from tests.fuzz.answers import told
from tests.fuzz.full_case import SMALL, full_case

RUNS = 12_000
_FOLDER = tempfile.TemporaryDirectory()


@cache
def seeds() -> list[bytes]:
    """Journals of a case that was never saved, one of another, and every field by itself."""
    return [
        case_bytes(SMALL, goes_on_from=NEVER_SAVED),
        case_bytes(SMALL, goes_on_from="0" * 64),
        *json_tree.documents(case_bytes(full_case(), goes_on_from=NEVER_SAVED)),
    ]


def changed(data: bytes, random_: random.Random) -> bytes:
    """The journal after odd changes."""
    return json_tree.changed(data, random_)


def one_input(data: bytes) -> None:
    """One try to take up the edits of a journal."""
    folder = Path(_FOLDER.name)
    (folder / layout.JOURNAL).write_bytes(data)
    try:
        case = journalled_case(folder)
    except HazardReportError as error:
        told(error)
        return
    assert case is None or isinstance(case, Case)

"""Fuzz target: the record of a case, `case_from_bytes`. What is read is saved and read again, and is equal."""

import random
from functools import cache

from hazardreport.case.case import Case
from hazardreport.errors import HazardReportError
from hazardreport.storage.case_json import case_bytes, case_from_bytes
from tests.fuzz import json_tree
from tests.fuzz.answers import told
from tests.fuzz.full_case import full_case

RUNS = 12_000


@cache
def seeds() -> list[bytes]:
    """Valid records: the least as we write it, and every field by itself."""
    return [case_bytes(Case(id="C-1")), *json_tree.documents(case_bytes(full_case()))]


def changed(data: bytes, random_: random.Random) -> bytes:
    """The record after odd changes."""
    return json_tree.changed(data, random_)


def one_input(data: bytes) -> None:
    """One try to read these bytes."""
    try:
        case = case_from_bytes(data, "case.json")
    except HazardReportError as error:
        told(error)
        return
    assert case_from_bytes(case_bytes(case), "case.json") == case

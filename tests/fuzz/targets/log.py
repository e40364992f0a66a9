"""Fuzz target: the log of a case, read, replayed, and looked at in its folder."""

import random
import tempfile
from dataclasses import replace
from functools import cache
from pathlib import Path

from hazardreport.errors import HazardReportError
from hazardreport.review.integrity import check_folder
from hazardreport.storage import layout
from hazardreport.storage.case_json import case_from_document
from hazardreport.storage.faults import sentence
from hazardreport.storage.folder import create_case, save_case
from hazardreport.storage.log import line_hash, log_from_bytes, record_of
from tests.fuzz import json_tree
from tests.fuzz.answers import told
from tests.fuzz.full_case import SMALL, full_case

RUNS = 8_000
TIME = "2026-06-01T12:00:00Z"
_FOLDER = tempfile.TemporaryDirectory()


@cache
def saved() -> Path:
    """A folder with a saved case of three revisions."""
    folder = Path(_FOLDER.name) / "case"
    case = create_case(folder, replace(SMALL, pictures=()), author="Kim", time=TIME)
    case = save_case(replace(case, title="Pot", readings=full_case().readings * 2), folder, author="Kim", time=TIME)
    save_case(replace(case, readings=full_case().readings), folder, author="Lou", time=TIME)
    return folder


@cache
def seeds() -> list[bytes]:
    """The log of the saved case, and each of its lines."""
    data = (saved() / layout.LOG).read_bytes()
    return [data, *data.splitlines(keepends=True)]


def changed(data: bytes, random_: random.Random) -> bytes:
    """The log with a line changed, twice there or gone; half of the time the chain is made whole again."""
    lines = data.split(b"\n")
    index = random_.randrange(len(lines))
    kind = random_.randrange(6)
    if kind == 0:
        lines.insert(index, lines[random_.randrange(len(lines))])
    elif kind == 1:
        del lines[index]
    else:
        lines[index] = json_tree.changed(lines[index], random_)
    return _chained(lines) if random_.random() < 0.5 else b"\n".join(lines)


def _chained(lines: list[bytes]) -> bytes:
    """The lines, each naming the hash of the line before."""
    before, whole = "", []
    for line in lines:
        start, found, rest = line.partition(b'"before":"')
        whole.append(start + found + before.encode() + rest[rest.find(b'"') :] if found else line)
        before = line_hash(whole[-1])
    return b"\n".join(whole)


def one_input(data: bytes) -> None:
    """One try to read a log, to replay it, and to check the case that it belongs to."""
    log = log_from_bytes(data)
    for one in log.faults:
        assert sentence(one).strip()
    if log.lines:
        try:
            case_from_document(record_of(log, {})[0], layout.LOG)
        except HazardReportError as error:
            told(error)
    folder = saved()
    (folder / layout.LOG).write_bytes(data)
    try:
        problems = check_folder(folder).problems
    except HazardReportError as error:
        told(error)
        return
    for problem in problems:
        told(problem)

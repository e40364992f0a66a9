"""Cases of every released format open, verify whole and give the same, and are not written to."""

import hashlib
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from hazardreport.assess.assessment import assess
from hazardreport.review.integrity import check_folder
from hazardreport.storage.case_json import FORMAT
from hazardreport.storage.folder import open_case

FORMATS = sorted(path for path in Path(__file__).parent.iterdir() if (path / "expected.json").is_file())


def hashes(folder: Path) -> dict[str, str]:
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in folder.rglob("*")
        if path.is_file()
    }


def test_there_is_a_case_of_every_format() -> None:
    assert [path.name for path in FORMATS] == [str(number) for number in range(1, FORMAT + 1)]


@pytest.mark.parametrize("kept", FORMATS, ids=lambda path: f"format {path.name}")
def test_an_old_case_gives_what_it_gave(kept: Path, printed: Callable[[str], Any]) -> None:
    expected = json.loads((kept / "expected.json").read_text(encoding="utf-8"))
    before = hashes(kept)

    opened = open_case(kept / "case", for_writing=False)
    case, assessment = opened.case, assess(opened.case)

    assert opened.problems == ()
    assert check_folder(kept / "case").whole
    assert (case.id, case.title, case.revision) == (expected["id"], expected["title"], expected["revision"])
    counted = {name: len(getattr(case, name)) for name in expected["records"]}
    assert counted == expected["records"]
    assert assessment.verdict.word.value == expected["signal_word"]
    headline = assessment.verdict.headline
    assert headline is not None
    assert headline.key == expected["headline"]
    for cell in assessment.states:
        for name, text in expected["states"].get(cell.state.key, {}).items():
            assert assessment.number(getattr(cell, name)).measured.value == printed(text), (cell.state.key, name)
    assert {cell.state.key for cell in assessment.states} >= set(expected["states"])
    assert hashes(kept) == before

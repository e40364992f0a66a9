"""Cases of every released format open, verify whole and give the same, and are not written to."""

import hashlib
import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from hazardreport.assess.assessment import assess
from hazardreport.assess.records import StateCell
from hazardreport.review.integrity import check_folder
from hazardreport.storage.case_json import FORMAT
from hazardreport.storage.folder import copy_case, open_case, save_case

FORMATS = sorted(path for path in Path(__file__).parent.iterdir() if (path / "expected.json").is_file())


def hashes(folder: Path) -> dict[str, str]:
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in folder.rglob("*")
        if path.is_file()
    }


def test_there_is_a_case_of_every_format() -> None:
    assert [path.name for path in FORMATS] == [str(number) for number in range(1, FORMAT + 1)]


def by_hand_to_feet(cell: StateCell) -> str:
    """Id of the median adult's current, hand to both feet.

    The states' table showed it up to 0.1.0 whatever was plausible; since then it shows the plausible contact that
    drives most current.
    """
    return f"person.{cell.state.key}.dry.50.hand_to_feet.IB"


@pytest.mark.parametrize("kept", FORMATS, ids=lambda path: f"format {path.name}")
def test_an_old_case_gives_what_it_gave(kept: Path, printed: Callable[[str], Any]) -> None:
    expected = json.loads((kept / "expected.json").read_text(encoding="utf-8"))
    before = hashes(kept)

    opened = open_case(kept / "case", for_writing=False)
    case, assessment = opened.case, assess(opened.case)

    assert opened.problems == ()
    integrity = check_folder(kept / "case")
    assert integrity.whole
    assert integrity.chain.head == expected.get("log_head", "")
    assert [revision.author for revision in integrity.chain.revisions] == expected.get("authors", [])
    assert (case.id, case.title, case.revision) == (expected["id"], expected["title"], expected["revision"])
    counted = {name: len(getattr(case, name)) for name in expected["records"]}
    assert counted == expected["records"]
    assert assessment.verdict.word.value == expected["signal_word"]
    headline = assessment.verdict.headline
    assert headline is not None
    assert headline.key == expected["headline"]
    for cell in assessment.states:
        for name, text in expected["states"].get(cell.state.key, {}).items():
            number = by_hand_to_feet(cell) if name == "body_current" else getattr(cell, name)
            assert assessment.number(number).measured.value == printed(text), (cell.state.key, name)
    assert {cell.state.key for cell in assessment.states} >= set(expected["states"])
    risk = assessment.risk
    assert (risk.level or "") == expected.get("risk_level", "")
    assert [one.overall for one in risk.scenarios] == expected.get("overall_probabilities", [])
    assert hashes(kept) == before


@pytest.mark.parametrize("kept", FORMATS, ids=lambda path: f"format {path.name}")
def test_an_old_case_is_saved_in_the_present_format_and_loses_nothing(kept: Path, tmp_path: Path) -> None:
    folder = copy_case(kept / "case", tmp_path / "case")
    before = open_case(folder, for_writing=False).case
    saved = save_case(replace(before, title="later"), folder)
    assert replace(saved, title=before.title, revision=before.revision) == before
    integrity = check_folder(folder)
    assert integrity.whole
    assert json.loads((folder / "case.json").read_text(encoding="utf-8"))["format"] == FORMAT
    if kept.name == "1":
        assert [revision.from_format for revision in integrity.chain.revisions] == [1]

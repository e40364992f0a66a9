"""log, anchor, erase: who changed what, in whose hands a hash is, a person gone."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from hazardreport.errors import ExitCode
from hazardreport.storage.folder import open_case

Answered = Callable[..., Any]


@pytest.fixture
def case(answered: Answered, tmp_path: Path) -> Path:
    """Three revisions by two persons."""
    folder = tmp_path / "case"
    sheet = tmp_path / "unit.toml"
    sheet.write_text('title = "Wax pot"\n[submitter]\nlast_name = "Quillfeather"\n', encoding="utf-8")
    assert answered("new", str(folder), "--author", "Rosa Example").code == 0
    assert answered("import-unit", str(folder), str(sheet), "--author", "Ivo Sample").code == 0
    sheet.write_text('title = "Wax pot, craft club"\n', encoding="utf-8")
    assert answered("import-unit", str(folder), str(sheet), "--author", "Ivo Sample").code == 0
    return folder


def test_the_log_tells_number_author_change_and_hash_of_each_revision(answered: Answered, case: Path) -> None:
    answer = answered("log", str(case))
    code, out = answer.code, answer.out
    assert code == 0
    lines = out.splitlines()
    assert [line.split(", ")[-1] for line in lines if line.startswith("Revision")] == [
        "Rosa Example",
        "Ivo Sample",
        "Ivo Sample",
    ]
    assert "case: title Wax pot → Wax pot, craft club" in out
    assert out.count("SHA-256 ") == 3
    assert "No hash of any revision was given away" in out


def test_the_log_tells_every_field_when_asked(answered: Answered, case: Path) -> None:
    assert "who reports: last name (empty) → Quillfeather" in answered("log", str(case), "--all").out


def test_an_author_can_be_named_in_the_environment(
    answered: Answered, case: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("HAZARDREPORT_AUTHOR", "Ada Instance")
    (tmp_path / "unit.toml").write_text('title = "Pot"\n', encoding="utf-8")
    answered("import-unit", str(case), str(tmp_path / "unit.toml"))
    assert "Ada Instance" in answered("log", str(case)).out


def test_an_anchor_is_recorded_for_the_hash_that_was_handed_over(answered: Answered, case: Path) -> None:
    head = answered("log", str(case)).out.splitlines()[-2].split()[-1]
    answer = answered(
        "anchor", str(case), "--kind", "sent", "--with", "market surveillance office", "--head", head[:12]
    )
    code, out = answer.code, answer.out
    assert code == 0
    assert head in out
    (anchor,) = open_case(case, for_writing=False).case.anchors
    assert (anchor.revision, anchor.head, anchor.whom) == (3, head, "market surveillance office")
    assert "No hash of any revision was given away" not in answered("verify", str(case)).out


@pytest.mark.parametrize("words", [("--head", "0000"), ("--revision", "9")])
def test_an_anchor_for_another_hash_is_refused(answered: Answered, case: Path, words: tuple[str, ...]) -> None:
    answer = answered("anchor", str(case), "--kind", "countersigned", "--with", "notary", *words)
    code, err = answer.code, answer.err
    assert code == ExitCode.INPUT_REFUSED
    assert "The anchor was not recorded" in err
    assert open_case(case, for_writing=False).case.anchors == ()


def test_an_erased_person_is_in_no_file_of_the_case(answered: Answered, case: Path) -> None:
    answer = answered("erase", str(case), "--person", "submitter", "--name", "Ivo Sample")
    code, out = answer.code, answer.out
    assert code == 0
    assert "out of reach" in out
    data = b"".join(path.read_bytes() for path in case.rglob("*") if path.is_file())
    assert b"Quillfeather" not in data
    assert b"Ivo" not in data
    answer = answered("log", str(case))
    code, out = answer.code, answer.out
    assert code == 0
    assert out.count("name erased (") == 2
    assert answered("verify", str(case)).code == 0


def test_a_name_that_somebody_wrote_elsewhere_is_told(answered: Answered, case: Path, tmp_path: Path) -> None:
    (tmp_path / "unit.toml").write_text('title = "Pot of Quillfeather"\n', encoding="utf-8")
    answered("import-unit", str(case), str(tmp_path / "unit.toml"))
    answer = answered("erase", str(case), "--name", "Quillfeather")
    code, err = answer.code, answer.err
    assert code == ExitCode.INCOMPLETE_OR_CHANGED
    assert "case title" in err
    assert "who reports last name" in err


def test_a_case_without_log_says_so(answered: Answered) -> None:
    old = Path(__file__).parents[1] / "old-cases" / "1" / "case"
    answer = answered("log", str(old))
    code, out = answer.code, answer.out
    assert code == 0
    assert "This case has no log" in out


def test_a_log_that_was_rewritten_is_told(answered: Answered, case: Path) -> None:
    lines = (case / "log.jsonl").read_text(encoding="utf-8").splitlines(keepends=True)
    line = json.loads(lines[1])
    line["time"] = "2020-01-01T00:00:00Z"
    lines[1] = json.dumps(line, separators=(",", ":"), ensure_ascii=False) + "\n"
    (case / "log.jsonl").write_text("".join(lines), encoding="utf-8")
    answer = answered("log", str(case))
    code, err = answer.code, answer.err
    assert code == ExitCode.INCOMPLETE_OR_CHANGED
    assert "line 3" in err

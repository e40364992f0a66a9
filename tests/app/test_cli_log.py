"""log, anchor, erase: who changed what, in whose hands a hash is, a person gone."""

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from hazardreport.errors import ExitCode
from hazardreport.storage.folder import open_case, save_case

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


def test_a_broken_anchor_is_no_whole_case(answered: Answered, case: Path) -> None:
    answered("anchor", str(case), "--kind", "sent", "--with", "market surveillance office")
    saved = open_case(case, for_writing=False).case
    forged = replace(saved, anchors=(replace(saved.anchors[0], head="0" * 64),))
    save_case(forged, case)
    for command in ("verify", "log"):
        answer = answered(command, str(case))
        assert answer.code == ExitCode.INCOMPLETE_OR_CHANGED
        assert "The anchor of revision 3, said to be with market surveillance office" in answer.err
        assert "No hash of any revision was given away" not in answer.out


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("--with", " "), "nobody is named"),
        (("--with", "x", "--when", "2019-01-01T00:00:00+00:00"), "is before revision 3 was saved"),
        (("--with", "x", "--when", "2031-01-01T00:00:00+00:00"), "is later than now"),
    ],
)
def test_an_anchor_that_cannot_be_so_is_refused(
    answered: Answered, case: Path, words: tuple[str, ...], why: str
) -> None:
    answer = answered("anchor", str(case), "--kind", "countersigned", *words)
    assert answer.code == ExitCode.INPUT_REFUSED
    assert why in answer.err


def test_verify_says_that_a_case_has_no_log(answered: Answered) -> None:
    old = Path(__file__).parents[1] / "old-cases" / "1" / "case"
    answer = answered("verify", str(old))
    assert answer.code == 0
    assert "This case has no log, so nobody can tell" in answer.out


def test_without_the_list_of_hashes_nobody_is_told_to_move_the_record(answered: Answered, case: Path) -> None:
    (case / "manifest-sha256.txt").unlink()
    answer = answered("verify", str(case))
    assert answer.code == ExitCode.INCOMPLETE_OR_CHANGED
    assert answer.out.count("not listed  case.json") == 1
    assert "move it out" not in answer.out
    assert "Without the list of hashes none of the 3 files can be checked" in answer.out


def test_a_file_put_beside_is_no_saved_file_that_changed(answered: Answered, case: Path) -> None:
    (case / "pictures" / "extra.jpg").write_bytes(b"x")
    answer = answered("verify", str(case))
    assert "1 that nobody listed." in answer.out
    assert "not as they were saved" not in answer.out


def test_what_somebody_else_changed_is_not_signed_by_whoever_calls_a_command(
    answered: Answered, case: Path, tmp_path: Path
) -> None:
    record = (case / "case.json").read_bytes().replace(b"Wax pot, craft club", b"Toy")
    (case / "case.json").write_bytes(record)
    (tmp_path / "note.txt").write_text("note", encoding="utf-8")
    answer = answered("attach", str(case), str(tmp_path / "note.txt"), "--author", "Ada Instance")
    assert "a revision of its own" in answer.err
    lines = answered("log", str(case)).out.splitlines()
    assert [line.split(", ")[-1] for line in lines if line.startswith("Revision")][-2:] == [
        "nobody named",
        "Ada Instance",
    ]


def test_an_author_with_odd_characters_forges_no_line(answered: Answered, tmp_path: Path) -> None:
    answered("new", str(tmp_path / "case"), "--author", "Eve\n  SHA-256 0000\x1b[31m")
    out = answered("log", str(tmp_path / "case")).out
    assert "Eve[U+000A]  SHA-256 0000[U+001B][31m" in out


def test_an_empty_wish_to_erase_is_refused(answered: Answered, case: Path) -> None:
    answer = answered("erase", str(case))
    assert answer.code == ExitCode.USAGE
    assert "say what to erase" in answer.err


def test_what_is_not_there_is_told_as_such(answered: Answered, tmp_path: Path) -> None:
    for command in ("verify", "assess", "log"):
        assert "There is no file or folder" in answered(command, str(tmp_path / "nowhere")).err


def test_an_attachment_is_erased_file_and_all(answered: Answered, case: Path, tmp_path: Path) -> None:
    for name in ("letter.txt", "invoice.txt"):
        (tmp_path / name).write_bytes(b"to Quillfeather: " + name.encode())
        assert answered("attach", str(case), str(tmp_path / name)).code == 0
    first, second = (one.id for one in open_case(case, for_writing=False).case.attachments)
    assert answered("erase", str(case), "--attachment", "attachment-099").code != 0
    answer = answered("erase", str(case), "--attachment", first, "--attachment", second)
    assert answer.code == 0
    assert "Erased;" in answer.out
    assert open_case(case, for_writing=False).case.attachments == ()
    assert not [path for path in (case / "attachments").iterdir() if path.is_file()]
    assert answered("verify", str(case)).code == 0


def test_texts_of_an_earlier_log_are_told_and_are_no_fault(answered: Answered, case: Path) -> None:
    assert "no line of the log names" not in answered("verify", str(case)).out
    (case / "log.jsonl").write_bytes((case / "log.jsonl").read_bytes()[:-9])
    save_case(open_case(case, for_writing=False).case, case)
    answer = answered("verify", str(case))
    assert answer.code == 0
    assert "no line of the log names" in answer.out


def test_a_name_that_is_nowhere_is_not_said_to_be_erased(answered: Answered, case: Path) -> None:
    revisions = answered("log", str(case)).out.count("Revision")
    answer = answered("erase", str(case), "--name", "Nobody Known")
    assert answer.code == ExitCode.INCOMPLETE_OR_CHANGED
    assert "Nothing was erased" in answer.err
    assert "Erased;" not in answer.out
    assert answered("log", str(case)).out.count("Revision") == revisions

"""The commands pack, unpack and verify, and packs where a case is only read."""

import io
import shutil
import tempfile
import zipfile
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from hazardreport import errors
from hazardreport.app import opening
from hazardreport.app.cli import run
from hazardreport.storage.folder import open_case
from hazardreport.storage.journal import write_journal

Answered = Callable[..., Any]
Fingerprint = Callable[[Path], dict[str, tuple[str, int]]]


@pytest.fixture
def packed(answered: Answered, demo: Path, tmp_path: Path) -> Path:
    """The pack of the demo case."""
    answer = answered("pack", demo, "--out", tmp_path / "demo.zip")
    assert (answer.code, answer.err) == (0, "Hashing and copying …\n")
    return tmp_path / "demo.zip"


@pytest.fixture
def temporary(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder for temporary files; a test sees what is left in it."""
    folder = tmp_path / "temporary"
    folder.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(folder))
    return folder


def test_a_pack_says_what_it_holds_and_verifies(
    answered: Answered, demo: Path, tmp_path: Path, fingerprint: Fingerprint
) -> None:
    before = fingerprint(demo)
    answer = answered("pack", demo, "--out", tmp_path / "demo.zip", "--quiet")
    assert (answer.code, answer.err) == (0, "")
    assert "demo.zip holds revision" in answer.out
    assert "Anchored (as the case says): revision 5: hash sent, " in answer.out
    verified = answered("verify", tmp_path / "demo.zip")
    assert verified.code == 0
    assert "whole       data/case.json\n" in verified.out
    assert "Every file is as it was packed" in verified.out
    assert "Ask them: if the hash is the same there" in verified.out
    assert fingerprint(demo) == before


def test_a_pack_without_an_anchor_says_so(answered: Answered, tmp_path: Path) -> None:
    assert answered("new", tmp_path / "new").code == 0
    answer = answered("pack", tmp_path / "new", "--out", tmp_path / "new.zip")
    assert "Anchored (as the case says): no: nobody else holds the hash" in answer.out
    assert (
        "so whoever can write to the case could have rewritten the log" in answered("verify", tmp_path / "new.zip").out
    )
    assert "so whoever can write to the case could have rewritten the log" in answered("verify", tmp_path / "new").out


def test_the_same_case_packed_twice_at_one_time_gives_the_same_file(demo: Path, tmp_path: Path) -> None:
    noon = datetime(2026, 6, 1, 12, tzinfo=UTC)
    for name in ("a.zip", "b.zip"):
        words = ["pack", str(demo), "--out", str(tmp_path / name)]
        assert run(words, io.StringIO(), io.StringIO(), clock=lambda: noon) == 0
    assert (tmp_path / "a.zip").read_bytes() == (tmp_path / "b.zip").read_bytes()


def test_an_unpacked_case_is_the_case_that_was_packed(
    answered: Answered, demo: Path, packed: Path, tmp_path: Path
) -> None:
    answer = answered("unpack", packed, "--into", tmp_path / "back")
    assert answer.code == 0
    assert "every file is the one that was packed" in answer.out
    assert open_case(tmp_path / "back", for_writing=False).case == open_case(demo, for_writing=False).case
    assert answered("verify", tmp_path / "back").code == 0


def test_a_file_in_the_way_and_a_full_folder_are_not_touched(
    answered: Answered, demo: Path, packed: Path, tmp_path: Path
) -> None:
    before = packed.read_bytes()
    refused = answered("pack", demo, "--out", packed)
    assert refused.code == 4
    assert "already there" in refused.err
    assert packed.read_bytes() == before
    assert answered("unpack", packed, "--into", demo).code == 3
    assert answered("pack", demo, "--out", demo / "inside.zip").code == 4
    assert answered("pack", demo, "--out", tmp_path / "none" / "a.zip").code == 4
    assert answered("pack", tmp_path / "none", "--out", tmp_path / "a.zip").code == 3


def test_a_case_that_is_not_whole_is_not_packed(answered: Answered, demo: Path, tmp_path: Path) -> None:
    (demo / "pictures" / "picture-001.jpg").write_bytes(b"other")
    (demo / "pictures" / "picture-002.jpg").unlink()
    (demo / "letter.txt").write_bytes(b"x")
    answer = answered("pack", demo, "--out", tmp_path / "a.zip")
    assert answer.code == 3
    for name in ("pictures/picture-001.jpg", "pictures/picture-002.jpg", "letter.txt"):
        assert f"- {name}: " in answer.err
    assert not (tmp_path / "a.zip").exists()


def test_unsaved_work_is_told(answered: Answered, demo: Path, tmp_path: Path) -> None:
    case = open_case(demo, for_writing=False).case
    write_journal(replace(case, title="Not saved yet"), demo)
    answer = answered("pack", demo, "--out", tmp_path / "a.zip")
    assert answer.code == 3
    assert "holds work that is not saved" in answer.err


def test_a_changed_pack_is_found_and_the_file_named(answered: Answered, packed: Path, tmp_path: Path) -> None:
    data = bytearray(packed.read_bytes())
    data[data.index(b"\xff\xd8\xff") + 100] ^= 1
    packed.write_bytes(data)
    answer = answered("verify", packed)
    assert answer.code == 1
    assert "changed     data/pictures/picture-001.jpg\n" in answer.out
    assert "1 of " in answer.out
    refused = answered("unpack", packed, "--into", tmp_path / "back")
    assert refused.code == 3
    assert "data/pictures/picture-001.jpg" in refused.err
    assert not (tmp_path / "back").exists()


def test_a_pack_that_was_zipped_again_is_told_apart(answered: Answered, packed: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(packed) as source:
        source.extractall(tmp_path / "out")
    again = Path(shutil.make_archive(str(tmp_path / "again"), "zip", tmp_path / "out"))
    answer = answered("verify", again)
    assert answer.code == 1
    assert "changed  " not in answer.out
    assert "files in it are as they were packed" in answer.out
    assert "is not, byte by byte, what this program writes" in answer.out
    opened = answered("unpack", again, "--into", tmp_path / "back")
    assert opened.code == 0
    assert "was not zipped by this program" in opened.err


@pytest.mark.parametrize("command", ["verify", "assess", "unpack"])
def test_what_is_no_pack_is_refused(answered: Answered, tmp_path: Path, command: str) -> None:
    (tmp_path / "letter.zip").write_bytes(b"no zip file")
    more = ("--into", tmp_path / "back") if command == "unpack" else ()
    answer = answered(command, tmp_path / "letter.zip", *more)
    assert answer.code == 3
    assert "this is no zip file" in answer.err


@pytest.mark.parametrize(
    "words",
    [
        pytest.param(("assess", "--json", "--quiet"), marks=pytest.mark.slow),
        ("check", "--for", "us-agency-harm"),
        pytest.param(("assess", "--quiet"), marks=pytest.mark.slow),
    ],
)
def test_commands_that_only_read_take_a_pack_and_leave_nothing(
    answered: Answered, demo: Path, packed: Path, temporary: Path, words: tuple[str, ...]
) -> None:
    command, *more = words
    of_pack, of_folder = answered(command, packed, *more), answered(command, demo, *more)
    assert of_pack.code == of_folder.code
    assert of_pack.out.replace(str(packed), str(demo)) == of_folder.out
    assert of_pack.err == ""
    assert list(temporary.iterdir()) == []


@pytest.mark.slow
def test_a_report_of_a_pack_is_that_of_the_case(
    answered: Answered, demo: Path, packed: Path, temporary: Path, tmp_path: Path
) -> None:
    for name, case in (("a.pdf", demo), ("b.pdf", packed)):
        words = ("export", case, "--for", "eu-maker-notice", "--out", tmp_path / name)
        assert answered(*words).code == 0
    assert (tmp_path / "a.pdf").read_bytes() == (tmp_path / "b.pdf").read_bytes()
    assert list(temporary.iterdir()) == []


def test_nothing_is_left_when_a_command_fails(answered: Answered, packed: Path, temporary: Path) -> None:
    assert answered("check", packed, "--for", "nobody").code == 2
    assert answered("export", packed, "--for", "eu-maker-notice", "--out", temporary / "no" / "a.pdf").code == 4
    assert list(temporary.iterdir()) == []


def test_the_window_gets_a_pack_read_only(packed: Path, temporary: Path) -> None:
    opened = opening.opened_case(packed)
    try:
        assert opened.read_only
        assert opened.lock is None
        assert [type(problem) for problem in opened.problems] == [errors.PackReadOnlyError]
    finally:
        opening._at_exit.close()
    assert list(temporary.iterdir()) == []


def test_the_window_gets_the_folder_of_a_file_in_it(demo: Path) -> None:
    opened = opening.opened_case(demo / "case.json")
    opened.close()
    assert opened.folder == demo

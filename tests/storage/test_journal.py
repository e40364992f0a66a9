"""The journal: unsaved edits survive, and an old journal is known as old."""

import errno
import time
from dataclasses import replace
from pathlib import Path

import pytest

from hazardreport import errors
from hazardreport.case.case import Case
from hazardreport.storage import files
from hazardreport.storage.folder import OpenedCase, create_case, open_case, save_case
from hazardreport.storage.journal import clear_journal, journalled_case, write_journal


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    create_case(tmp_path / "case", Case(id="C-1"))
    return tmp_path / "case"


def opened(folder: Path) -> OpenedCase:
    result = open_case(folder)
    result.close()
    return result


def test_unsaved_edits_are_recovered_and_said(folder: Path) -> None:
    edited = replace(opened(folder).case, title="edited")
    write_journal(edited, folder)
    result = opened(folder)
    assert result.case == edited
    assert [type(problem) for problem in result.problems] == [errors.UnsavedWorkRecoveredError]
    save_case(result.case, folder)
    assert opened(folder).problems == ()
    assert opened(folder).case.title == "edited"


def test_the_newest_journal_counts(folder: Path) -> None:
    for title in ("one", "two", "three"):
        write_journal(replace(opened(folder).case, title=title), folder)
    assert opened(folder).case.title == "three"


def test_a_journal_that_a_save_has_overtaken_is_old(folder: Path) -> None:
    case = opened(folder).case
    write_journal(replace(case, title="older"), folder)
    save_case(replace(case, title="newer"), folder)
    assert journalled_case(folder) is None
    assert opened(folder).case.title == "newer"


def test_a_journal_of_an_undone_case_is_still_new(folder: Path) -> None:
    first = opened(folder).case
    save_case(replace(first, title="later"), folder)
    write_journal(first, folder)
    assert opened(folder).case.title == ""


def test_a_journal_that_says_what_is_saved_is_no_news_and_goes(folder: Path) -> None:
    write_journal(opened(folder).case, folder)
    assert open_case(folder, for_writing=False).problems == ()
    assert (folder / "journal.json").exists()
    assert opened(folder).problems == ()
    assert not (folder / "journal.json").exists()


def test_a_journal_left_by_a_process_that_saved_and_died_goes(folder: Path) -> None:
    edited = replace(opened(folder).case, title="edited")
    write_journal(edited, folder)
    save_case(edited, folder)
    assert opened(folder).case.title == "edited"
    assert not (folder / "journal.json").exists()


def test_an_old_journal_that_says_something_else_stays(folder: Path) -> None:
    case = opened(folder).case
    write_journal(replace(case, title="older"), folder)
    save_case(replace(case, title="newer"), folder)
    assert opened(folder).problems == ()
    assert (folder / "journal.json").exists()


def test_a_journal_that_the_case_was_read_from_stays(folder: Path) -> None:
    edited = replace(opened(folder).case, title="edited")
    write_journal(edited, folder)
    for name in ("case.json", "manifest-sha256.txt", "log.jsonl"):
        (folder / name).write_bytes(b"{")
    assert opened(folder).case == edited
    assert opened(folder).case == edited


def test_a_cleared_journal_is_gone(folder: Path) -> None:
    write_journal(Case(id="C-1", title="x"), folder)
    clear_journal(folder)
    clear_journal(folder)
    assert journalled_case(folder) is None


def test_the_journal_survives_a_damaged_record(folder: Path) -> None:
    save_case(opened(folder).case, folder)
    edited = replace(opened(folder).case, title="edited")
    write_journal(edited, folder)
    (folder / "case.json").write_bytes((folder / "case.json").read_bytes()[:100])
    result = opened(folder)
    assert result.case == edited
    assert {type(problem) for problem in result.problems} == {
        errors.CaseFileDamagedError,
        errors.CaseFileChangedError,
        errors.UnsavedWorkRecoveredError,
    }


def test_a_journal_opens_where_no_other_copy_is_left(folder: Path) -> None:
    edited = replace(opened(folder).case, title="edited")
    write_journal(edited, folder)
    (folder / "case.json").write_bytes(b"{")
    assert opened(folder).case == edited
    assert errors.UnsavedWorkRecoveredError in {type(problem) for problem in opened(folder).problems}


def test_a_journal_alone_in_a_folder_opens_and_can_be_saved(tmp_path: Path) -> None:
    case = Case(id="C-1", title="kept elsewhere", revision=4)
    write_journal(case, tmp_path)
    result = opened(tmp_path)
    assert result.case == case
    assert errors.UnsavedWorkRecoveredError in {type(problem) for problem in result.problems}
    saved = save_case(result.case, tmp_path)
    clear_journal(tmp_path)
    assert opened(tmp_path).problems == ()
    assert opened(tmp_path).case == saved == replace(case, revision=5)


@pytest.mark.parametrize("data", [b"", b"{", b'{"format": 1, "case": {"id": "C-1"}}'])
def test_a_damaged_journal_is_said_and_the_saved_case_opens(folder: Path, data: bytes) -> None:
    (folder / "journal.json").write_bytes(data)
    result = opened(folder)
    assert [type(problem) for problem in result.problems] == [errors.JournalDamagedError]
    assert result.case.revision == 1


def test_a_full_disk_leaves_the_journal_before(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_journal(replace(opened(folder).case, title="before"), folder)

    def full(descriptor: int, data: bytes) -> int:
        raise OSError(errno.ENOSPC, "no space")

    monkeypatch.setattr(files, "write", full)
    with pytest.raises(errors.CouldNotWriteError):
        write_journal(replace(opened(folder).case, title="after"), folder)
    monkeypatch.undo()
    assert opened(folder).case.title == "before"
    assert not list(folder.glob(".journal*"))


def test_an_edit_is_on_the_disk_within_a_second(folder: Path) -> None:
    case = opened(folder).case
    started = time.monotonic()
    write_journal(replace(case, title="edited"), folder)
    assert time.monotonic() - started < 1

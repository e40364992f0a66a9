"""What somebody else put into a folder under one of our names: links are not followed, pipes are not waited for."""

import fcntl
import json
import os
import threading
from dataclasses import replace
from pathlib import Path

import pytest

from hazardreport.case.case import Case
from hazardreport.errors import (
    CaseNotPackedError,
    CaseOpenElsewhereError,
    CouldNotReadError,
    HazardReportError,
    JournalDamagedError,
)
from hazardreport.evidence.derived_cache import FileHashes
from hazardreport.evidence.settling import Staged, clear_abandoned, settled
from hazardreport.review.integrity import FileState, check_folder
from hazardreport.review.pack_integrity import check_pack
from hazardreport.storage import files, layout
from hazardreport.storage.folder import copy_case, create_case, open_case, save_case
from hazardreport.storage.journal import write_journal
from hazardreport.storage.lock import acquire
from hazardreport.storage.manifest import Manifest, read_manifest
from hazardreport.storage.pack import pack_case
from hazardreport.storage.unpack import unpack

pytestmark = pytest.mark.skipif(os.name != "posix", reason="pipes and links of POSIX systems")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    create_case(tmp_path / "case", Case(id="HR-1"))
    return tmp_path / "case"


def test_a_lock_that_is_a_link_is_not_followed(folder: Path, tmp_path: Path) -> None:
    victim = tmp_path / "victim"
    victim.write_text("precious")
    (folder / layout.LOCK).symlink_to(victim)
    with_lock = open_case(folder)
    with_lock.close()
    assert with_lock.read_only
    assert victim.read_text() == "precious"


def test_a_lock_that_is_a_pipe_is_not_waited_for(folder: Path) -> None:
    os.mkfifo(folder / layout.LOCK)
    assert open_case(folder, for_writing=False).case.id == "HR-1"
    assert open_case(folder).read_only


def test_a_hidden_name_that_is_a_link_is_replaced(tmp_path: Path) -> None:
    victim = tmp_path / "victim"
    victim.write_text("precious")
    (tmp_path / ".journal.json.part").symlink_to(victim)
    files.write_atomically(tmp_path / "journal.json", b"new")
    assert victim.read_text() == "precious"
    assert (tmp_path / "journal.json").read_bytes() == b"new"
    assert not (tmp_path / "journal.json").is_symlink()


def test_a_pipe_is_no_pack_and_no_picture(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with pytest.raises(CouldNotReadError):
        check_pack(pipe)
    with pytest.raises(CouldNotReadError):
        unpack(pipe, tmp_path / "into")
    with pytest.raises(OSError, match="Invalid"):
        FileHashes().sha256(pipe)


def test_a_marker_that_is_a_pipe_names_nothing(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / ".settling-ab.part")
    (tmp_path / "picture-001.jpg").write_bytes(b"x")
    clear_abandoned(tmp_path, frozenset())
    assert sorted(path.name for path in tmp_path.iterdir()) == ["picture-001.jpg"]


def test_closing_twice_frees_nobody_elses_lock(folder: Path) -> None:
    first, second = open_case(folder), open_case(folder)
    first.close()
    first.close()
    assert (folder / layout.LOCK).exists()
    second.close()
    assert not (folder / layout.LOCK).exists()


def test_one_who_only_asks_keeps_nobody_out(folder: Path) -> None:
    (folder / layout.LOCK).write_text("")
    descriptor = os.open(folder / layout.LOCK, os.O_RDONLY)
    fcntl.flock(descriptor, fcntl.LOCK_SH)
    with pytest.raises(CaseOpenElsewhereError):
        acquire(folder)
    asking = threading.Timer(0.015, os.close, (descriptor,))
    asking.start()
    acquire(folder).release()
    asking.join()


def test_threads_of_one_process_save_one_after_the_other(folder: Path) -> None:
    errors: list[Exception] = []

    def save(name: str) -> None:
        try:
            for number in range(8):
                save_case(replace(Case(id="HR-1"), title=f"{name} {number}"), folder)
        except (HazardReportError, OSError) as error:
            errors.append(error)

    threads = [threading.Thread(target=save, args=(name,)) for name in "ab"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert not errors
    assert check_folder(folder).whole
    assert open_case(folder, for_writing=False).case.revision == 17


def test_what_cannot_be_listed_neither_blocks_a_save_nor_harms_the_manifest(folder: Path) -> None:
    pictures = folder / layout.PICTURES
    os.mkfifo(pictures / "pipe")
    (pictures / "link.jpg").symlink_to("/etc/hostname")
    (pictures / "a\\b.jpg").write_bytes(b"x")
    (pictures / "plain.txt").write_bytes(b"x")
    save_case(Case(id="HR-1"), folder)
    found = check_folder(folder)
    assert not found.problems
    assert [file.path for file in found.files if file.state is FileState.NOT_LISTED] == [
        "pictures/a\\b.jpg",
        "pictures/link.jpg",
        "pictures/pipe",
    ]


def test_a_file_that_is_being_taken_in_is_not_listed_before_its_record(folder: Path) -> None:
    part = folder / layout.PICTURES / ".taking.part"
    part.write_bytes(b"abc")
    coming = settled(folder / layout.PICTURES, [Staged(part=part, id="picture-001", suffix=".jpg")])
    save_case(Case(id="HR-1"), folder)
    coming.withdraw()
    save_case(Case(id="HR-1"), folder)
    assert check_folder(folder).whole


def test_a_manifest_that_is_a_folder_is_a_problem(folder: Path) -> None:
    (folder / layout.MANIFEST).unlink()
    (folder / layout.MANIFEST).mkdir()
    assert [type(one) for one in open_case(folder, for_writing=False).problems] == [CouldNotReadError]
    assert CouldNotReadError in [type(one) for one in check_folder(folder).problems]


def test_a_journal_of_a_newer_program_is_a_problem(folder: Path) -> None:
    write_journal(Case(id="HR-1", title="later"), folder)
    journal = json.loads((folder / layout.JOURNAL).read_text())
    journal |= {"format": 9, "oldest_reader": 9}
    (folder / layout.JOURNAL).write_text(json.dumps(journal))
    assert [type(one) for one in open_case(folder, for_writing=False).problems] == [JournalDamagedError]


def test_a_listed_name_that_is_too_long_for_the_disk_is_missing(folder: Path, tmp_path: Path) -> None:
    with (folder / layout.MANIFEST).open("a") as stream:
        stream.write(f"{'0' * 64}  pictures/{'a' * 300}\n")
    assert [file.state for file in check_folder(folder).files if "aaa" in file.path] == [FileState.MISSING]
    with pytest.raises(CaseNotPackedError):
        pack_case(folder, tmp_path / "pack.zip", created="2026-05-04")


def test_a_copy_is_made_in_pieces(folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (folder / layout.PICTURES / "large.bin").write_bytes(bytes(90_000))
    save_case(Case(id="HR-1"), folder)
    monkeypatch.setattr(files, "READ_LIMIT", 80_000)
    copy_case(folder, tmp_path / "copy")
    assert check_folder(tmp_path / "copy").whole


def test_a_copy_into_the_empty_folder_where_one_stands(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    copy_case(folder, Path())
    assert check_folder(tmp_path / "here").whole


def test_a_save_while_somebody_reads_is_no_problem(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    saves: list[Case] = []

    def reading(path: Path) -> Manifest | None:
        found = read_manifest(path)
        if not saves:
            saves.append(save_case(Case(id="HR-1", title="between"), folder))
        return found

    monkeypatch.setattr("hazardreport.review.integrity.read_manifest", reading)
    assert check_folder(folder).whole
    assert saves

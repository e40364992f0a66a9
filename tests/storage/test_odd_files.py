"""What somebody else put into a folder under one of our names: links are not followed, pipes are not waited for."""

import fcntl
import os
import threading
from dataclasses import replace
from pathlib import Path

import pytest

from hazardreport.case.case import Case
from hazardreport.errors import CaseOpenElsewhereError, CouldNotReadError, HazardReportError
from hazardreport.evidence.derived_cache import FileHashes
from hazardreport.evidence.settling import clear_abandoned
from hazardreport.review.integrity import check_folder
from hazardreport.review.pack_integrity import check_pack
from hazardreport.storage import files, layout
from hazardreport.storage.folder import create_case, open_case, save_case
from hazardreport.storage.lock import acquire
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

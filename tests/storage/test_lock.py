"""One process writes; others look on; a dead one holds nothing."""

import errno
import fcntl
import os
import re
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import pytest

import hazardreport
from hazardreport import errors
from hazardreport.case.case import Case
from hazardreport.storage import files, holder, lock
from hazardreport.storage.folder import create_case, open_case, save_case
from hazardreport.storage.journal import write_journal

HOLDER = """
import sys
from pathlib import Path
from hazardreport.storage.folder import open_case
opened = open_case(Path(sys.argv[1]))
print("read-only" if opened.read_only else "open", flush=True)
sys.stdin.readline()
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    create_case(tmp_path / "case", Case(id="C-1"))
    return tmp_path / "case"


@contextmanager
def held_by_another(folder: Path) -> Iterator[subprocess.Popen[str]]:
    """Another process that has the case open."""
    process = subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(folder)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        cwd=Path(hazardreport.__file__).parents[1],
    )
    assert process.stdout is not None
    assert process.stdin is not None
    assert process.stdout.readline().strip() == "open"
    try:
        yield process
    finally:
        if process.poll() is None:
            process.stdin.close()
        process.wait(timeout=30)
        process.stdout.close()
        if not process.stdin.closed:
            process.stdin.close()


def test_a_case_that_is_open_elsewhere_opens_read_only(folder: Path) -> None:
    with held_by_another(folder) as process:
        opened = open_case(folder)
        assert opened.read_only
        assert [type(problem) for problem in opened.problems] == [errors.CaseOpenElsewhereError]
        assert str(process.pid) in opened.problems[0].fields()["holder"]
        with pytest.raises(errors.CaseOpenElsewhereError):
            save_case(opened.case, folder)
        opened.close()
    again = open_case(folder)
    assert not again.read_only
    again.close()
    assert not (folder / "case.lock").exists()


def test_the_journal_of_another_living_process_is_left_to_it(folder: Path) -> None:
    write_journal(Case(id="C-1", title="being edited"), folder)
    with held_by_another(folder):
        assert open_case(folder).case.title == ""
        assert open_case(folder, for_writing=False).case.title == ""
    assert open_case(folder, for_writing=False).case.title == "being edited"


def test_a_killed_process_holds_nothing(folder: Path) -> None:
    with held_by_another(folder) as process:
        process.send_signal(signal.SIGKILL)
        process.wait(timeout=30)
    assert (folder / "case.lock").exists()
    started = time.monotonic()
    opened = open_case(folder)
    assert time.monotonic() - started < 1
    assert not opened.read_only
    opened.close()


def test_one_process_shares_its_lock(folder: Path) -> None:
    first, second = open_case(folder), open_case(folder)
    assert not second.read_only
    first.close()
    assert (folder / "case.lock").exists()
    save_case(replace(second.case, title="x"), folder)
    assert (folder / "case.lock").exists()
    second.close()
    assert not (folder / "case.lock").exists()


@pytest.fixture
def no_locks(monkeypatch: pytest.MonkeyPatch) -> None:
    """A file system that knows no locks."""

    def refuse(descriptor: int, operation: int) -> None:
        raise OSError(errno.ENOLCK, os.strerror(errno.ENOLCK))

    monkeypatch.setattr(fcntl, "flock", refuse)


@pytest.mark.usefixtures("no_locks")
def test_without_locks_a_living_process_named_in_the_file_holds_the_case(folder: Path) -> None:
    (folder / "case.lock").write_text(f"{os.getppid()} {socket.gethostname()}\n", encoding="utf-8")
    assert open_case(folder).read_only
    assert lock.elsewhere(folder)


@pytest.mark.usefixtures("no_locks")
@pytest.mark.parametrize("text", ["", "nonsense", "99999999 {host}", "{pid} {host}"])
def test_without_locks_a_dead_or_unknown_one_does_not(folder: Path, text: str) -> None:
    (folder / "case.lock").write_text(text.format(host=socket.gethostname(), pid=os.getpid()), encoding="utf-8")
    opened = open_case(folder)
    assert not opened.read_only
    opened.close()


UNPRIVILEGED = """
import os, sys
from pathlib import Path
from hazardreport.case.case import Case
from hazardreport.errors import HazardReportError
from hazardreport.storage.folder import open_case, save_case, create_case
from hazardreport.storage.journal import write_journal
os.setgroups([]); os.setgid(65534); os.setuid(65534)
folder = Path(sys.argv[1])
opened = open_case(folder)
print(opened.read_only, *(type(problem).__name__ for problem in opened.problems))
for attempt in (lambda: save_case(opened.case, folder), lambda: write_journal(opened.case, folder),
                lambda: create_case(folder.parent / "new", Case(id="C-2"))):
    try:
        attempt()
    except HazardReportError as error:
        print(type(error).__name__, int(error.exit_code))
"""


@pytest.mark.skipif(sys.platform == "win32" or os.getuid() != 0, reason="changes its user, which only root may")
def test_a_folder_that_may_not_be_written_opens_read_only(folder: Path) -> None:
    for place in (folder, *folder.parents[:4]):
        place.chmod(place.stat().st_mode | 0o055 if place == folder else place.stat().st_mode | 0o011)
    before = {path: path.stat().st_mtime_ns for path in (folder, *folder.rglob("*"))}
    result = subprocess.run(
        [sys.executable, "-c", UNPRIVILEGED, str(folder)],
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
        cwd=Path(hazardreport.__file__).parents[1],
    )
    assert result.stdout.splitlines() == ["True CaseReadOnlyError"] + ["CouldNotWriteError 4"] * 3, result.stderr
    assert {path: path.stat().st_mtime_ns for path in (folder, *folder.rglob("*"))} == before


def test_a_lock_for_which_there_is_no_room_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(descriptor: int, data: bytes) -> int:
        raise OSError(errno.ENOSPC, "no space")

    with monkeypatch.context() as patch:
        patch.setattr(files, "write", full)
        with pytest.raises(errors.CaseReadOnlyError):
            lock.acquire(tmp_path)
    assert list(tmp_path.iterdir()) == []
    lock.acquire(tmp_path).release()


def test_a_second_opener_is_told_who_has_the_case_and_since_when(folder: Path) -> None:
    with held_by_another(folder) as process:
        told = open_case(folder).problems[0].fields()["holder"]
        named = holder.holder_from_bytes((folder / "case.lock").read_bytes())
    assert named is not None
    assert named.user
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", named.since)
    expected = f"{named.user} on {socket.gethostname()}, process {process.pid}, since {named.since}"
    assert told == expected


def test_names_in_a_lock_cannot_play_tricks_on_the_reader() -> None:
    told = holder.Holder(process=7, machine="a\n\u202eb", user="k" * 200, since="\x1b[2J").told
    assert told.isprintable()
    assert len(told) < 300


@pytest.mark.parametrize(
    "text", ["", "nonsense", "-1 host", "0 host", "٣ host", '{"process":0,"machine":"h"}', "[]", "{"]
)
def test_a_file_that_names_nobody_names_nobody(text: str) -> None:
    found = holder.holder_from_bytes(text.encode())
    assert found is None or not found.may_be_alive


def test_a_file_of_an_older_program_is_read() -> None:
    found = holder.holder_from_bytes(b"1234 workbench\n")
    assert found == holder.Holder(process=1234, machine="workbench")
    assert found.told == "workbench, process 1234"


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux tells when a process began without further packages")
def test_a_number_that_another_process_has_got_since_holds_nothing() -> None:
    parent = holder.Holder(process=os.getppid(), machine=socket.gethostname(), begun=holder.begun(os.getppid()))
    assert parent.begun
    assert parent.may_be_alive
    assert not replace_begun(parent, holder.begun(os.getpid())).may_be_alive
    assert replace_begun(parent, "").may_be_alive


def replace_begun(one: holder.Holder, begun: str) -> holder.Holder:
    """The same process, begun at another time."""
    return holder.Holder(process=one.process, machine=one.machine, begun=begun)


@pytest.mark.usefixtures("no_locks")
def test_without_locks_a_process_of_another_machine_counts_as_alive(folder: Path) -> None:
    (folder / "case.lock").write_bytes(holder.Holder(process=7, machine="elsewhere", user="Kim").to_bytes())
    (problem,) = open_case(folder).problems
    assert problem.fields()["holder"] == "Kim on elsewhere, process 7"


@pytest.mark.usefixtures("no_locks")
def test_without_locks_two_processes_still_do_not_both_write(folder: Path) -> None:
    with held_by_another(folder):
        assert open_case(folder).read_only
    assert not open_case(folder).read_only


@pytest.mark.parametrize("number", [errno.EIO, errno.ENOMEM])
def test_a_lock_that_fails_otherwise_is_no_other_holder(
    folder: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    def fails(descriptor: int, operation: int) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(fcntl, "flock", fails)
    opened = open_case(folder)
    assert [type(problem) for problem in opened.problems] == [errors.CaseReadOnlyError]
    with pytest.raises(errors.CouldNotWriteError):
        save_case(opened.case, folder)
    monkeypatch.undo()
    again = open_case(folder)
    assert not again.read_only
    again.close()
    assert not (folder / "case.lock").exists()

"""One process writes; others look on; a dead one holds nothing."""

import errno
import fcntl
import os
import signal
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
from hazardreport.storage import lock
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
def holder(folder: Path) -> Iterator[subprocess.Popen[str]]:
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
    with holder(folder) as process:
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
    with holder(folder):
        assert open_case(folder).case.title == ""
        assert open_case(folder, for_writing=False).case.title == ""
    assert open_case(folder, for_writing=False).case.title == "being edited"


def test_a_killed_process_holds_nothing(folder: Path) -> None:
    with holder(folder) as process:
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
    (folder / "case.lock").write_text(f"{os.getppid()} {lock.socket.gethostname()}\n", encoding="utf-8")
    assert open_case(folder).read_only
    assert lock.elsewhere(folder)


@pytest.mark.usefixtures("no_locks")
@pytest.mark.parametrize("text", ["", "nonsense", "99999999 {host}", "{pid} {host}"])
def test_without_locks_a_dead_or_unknown_one_does_not(folder: Path, text: str) -> None:
    (folder / "case.lock").write_text(text.format(host=lock.socket.gethostname(), pid=os.getpid()), encoding="utf-8")
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
        patch.setattr(os, "write", full)
        with pytest.raises(errors.CaseReadOnlyError):
            lock.acquire(tmp_path)
    assert list(tmp_path.iterdir()) == []
    lock.acquire(tmp_path).release()

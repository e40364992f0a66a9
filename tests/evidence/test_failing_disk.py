"""A disk that refuses at any single step, or a program that is killed there, leaves nothing half in."""

import errno
import io
import os
import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from hazardreport import errors
from hazardreport.case.case import Case
from hazardreport.evidence import disk
from hazardreport.evidence.batch import Wanted, destination, take_in_many
from hazardreport.evidence.settling import clear_abandoned

FOLDERS = ("pictures", "attachments")
STEPS = ("write", "sync", "rename", "remove")


def sources(tmp_path: Path) -> list[Path]:
    """Three pictures, one of them twice, and two other files; one of them needs several writes."""
    folder = tmp_path / "from"
    folder.mkdir(exist_ok=True)
    for name, colour in (("a.jpg", "red"), ("b.jpg", "green"), ("c.jpg", "blue"), ("d.jpg", "red")):
        buffer = io.BytesIO()
        Image.new("RGB", (24, 16), colour).save(buffer, "JPEG")
        (folder / name).write_bytes(buffer.getvalue())
    (folder / "e.pdf").write_bytes(b"%PDF-1.7")
    (folder / "f.bin").write_bytes(bytes(3_000_000))
    return sorted(folder.iterdir())


def take_all(tmp_path: Path) -> list[str]:
    """Everything taken in and its record written, as a case would be; the names that the record holds."""
    place = destination(Case(id="C-1"), tmp_path / "pictures", tmp_path / "attachments", Wanted.EITHER, "")
    taken = take_in_many(sources(tmp_path), place)
    names = [one.file for one in (*taken.pictures, *taken.attachments)]
    try:
        disk.write_file(tmp_path / "record.new", "\n".join(names).encode())
        disk.rename(tmp_path / "record.new", tmp_path / "record")
    except OSError:
        taken.settled.withdraw()
        raise
    taken.settled.done()
    return names


def recorded(tmp_path: Path) -> list[str]:
    path = tmp_path / "record"
    return path.read_text().split() if path.exists() else []


def lying(tmp_path: Path) -> list[str]:
    return sorted(path.name for name in FOLDERS if (tmp_path / name).exists() for path in (tmp_path / name).iterdir())


def open_again(tmp_path: Path) -> None:
    """What the next opening of the case does."""
    for name in FOLDERS:
        clear_abandoned(tmp_path / name, frozenset(recorded(tmp_path)))


class Steps:
    """Counts the steps of one kind, or of all, and does something else at one of them."""

    def __init__(self, kinds: tuple[str, ...], at: int, instead: Callable[..., object]) -> None:
        self.count = 0
        self._kinds, self._at, self._instead, self._mutex = kinds, at, instead, threading.Lock()

    def put(self, monkeypatch: pytest.MonkeyPatch) -> None:
        for kind in self._kinds:
            monkeypatch.setattr(disk, kind, self._step(getattr(disk, kind)))

    def _step(self, real: Callable[..., object]) -> Callable[..., object]:
        def step(*arguments: object) -> object:
            with self._mutex:
                self.count += 1
                number = self.count
            return self._instead(real, *arguments) if number == self._at else real(*arguments)

        return step


def refused(number: int) -> Callable[..., object]:
    def refuse(real: Callable[..., object], *arguments: object) -> object:
        raise OSError(number, os.strerror(number))

    return refuse


def counted(tmp_path: Path, kinds: tuple[str, ...]) -> int:
    """How many steps there are when nothing goes wrong."""
    with pytest.MonkeyPatch.context() as patched:
        steps = Steps(kinds, 0, refused(0))
        steps.put(patched)
        (tmp_path / "dry").mkdir()
        assert len(take_all(tmp_path / "dry")) == 5
        return steps.count


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EIO, errno.EROFS], ids=["ENOSPC", "EIO", "EROFS"])
@pytest.mark.parametrize("kind", ["write", "sync", "rename"])
def test_a_disk_that_refuses_any_single_step_leaves_nothing(tmp_path: Path, kind: str, number: int) -> None:
    total = counted(tmp_path, (kind,))
    assert total >= 4
    for at in range(1, total + 1):
        folder = tmp_path / f"{at}"
        folder.mkdir()
        with pytest.MonkeyPatch.context() as patched:
            Steps((kind,), at, refused(number)).put(patched)
            with pytest.raises((errors.CouldNotWriteError, OSError)):
                take_all(folder)
        assert lying(folder) == [], at
        assert recorded(folder) == []


def test_what_cannot_be_removed_at_once_is_removed_at_the_next_opening(tmp_path: Path) -> None:
    total = counted(tmp_path, ("remove",))
    for at in range(1, total + 1):
        folder = tmp_path / f"{at}"
        folder.mkdir()
        with pytest.MonkeyPatch.context() as patched:
            Steps(("remove",), at, refused(errno.EIO)).put(patched)
            try:
                take_all(folder)
            except (errors.CouldNotWriteError, OSError):
                assert recorded(folder) == []
        open_again(folder)
        assert lying(folder) == sorted(recorded(folder)), at


@pytest.mark.parametrize("taken", [0, 1, 100])
def test_short_writes_are_written_to_their_end(tmp_path: Path, taken: int) -> None:
    """A disk that takes no byte at all, and says no error, counts as one that refuses."""

    def short(real: Callable[..., object], descriptor: int, data: bytes) -> object:
        return real(descriptor, data[:taken]) if taken else 0

    total = counted(tmp_path, ("write",))
    for at in range(1, total + 1):
        folder = tmp_path / f"{at}"
        folder.mkdir()
        with pytest.MonkeyPatch.context() as patched:
            Steps(("write",), at, short).put(patched)
            if taken:
                take_all(folder)
            else:
                with pytest.raises((errors.CouldNotWriteError, OSError)):
                    take_all(folder)
        assert lying(folder) == (sorted(recorded(folder)) if taken else []), at
        if taken:
            assert (folder / "attachments" / "attachment-002.bin").stat().st_size == 3_000_000


KILLED = """
import os, signal, sys
from pathlib import Path
from hazardreport.evidence import disk
from tests.evidence import test_failing_disk as tests

def killed(after):
    def kill(real, *arguments):
        try:
            if after:
                real(*arguments)
        finally:
            os.kill(os.getpid(), signal.SIGKILL)
    return kill

base, after = Path(sys.argv[1]), sys.argv[2] == "after"
at, ends = 0, set()
while True:
    at += 1
    folder = base / str(at)
    folder.mkdir()
    child = os.fork()
    if child == 0:
        import pytest
        tests.Steps(tests.STEPS, at, killed(after)).put(pytest.MonkeyPatch())
        tests.take_all(folder)
        os._exit(0)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status) or os.WEXITSTATUS(status) == 0, (at, status)
    tests.open_again(folder)
    assert tests.lying(folder) == sorted(tests.recorded(folder)), (at, tests.lying(folder), tests.recorded(folder))
    ends.add(len(tests.recorded(folder)))
    if not os.WIFSIGNALED(status):
        break
print(at - 1, sorted(ends))
"""


@pytest.mark.skipif(sys.platform == "win32", reason="there is no fork")
@pytest.mark.parametrize("when", ["before", "after"])
def test_a_program_killed_at_any_step_leaves_all_or_nothing(tmp_path: Path, when: str) -> None:
    result = subprocess.run(
        [sys.executable, "-c", KILLED, str(tmp_path), when],
        cwd=Path(__file__).parents[2],
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert result.returncode == 0, result.stderr
    steps, ends = result.stdout.split(maxsplit=1)
    assert int(steps) >= 30
    assert ends.strip() == "[0, 5]"

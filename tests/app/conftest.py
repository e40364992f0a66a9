"""For the tests of the command line: commands run in this process, at noon of a fixed day. Nothing here imports Qt."""

import hashlib
import io
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import pytest

from hazardreport.resources_dir import DEMO_CASE

NOON = datetime(2026, 6, 1, 12, 0, 0, tzinfo=UTC)


@dataclass(frozen=True)
class Answer:
    """What a command said, and its exit code."""

    code: int
    out: str
    err: str


@pytest.fixture
def answered() -> Callable[..., Answer]:
    """The answer to some words; a traceback in it fails the test."""
    from hazardreport.app.cli import run

    def answer(*words: object) -> Answer:
        out, err = io.StringIO(), io.StringIO()
        code = run([str(word) for word in words], out, err, clock=lambda: NOON)
        assert "Traceback" not in out.getvalue() + err.getvalue()
        return Answer(code, out.getvalue(), err.getvalue())

    return answer


@pytest.fixture
def fingerprint() -> Callable[[Path], dict[str, tuple[str, int]]]:
    """Every file of a folder with its hash and time of change."""

    def files(folder: Path) -> dict[str, tuple[str, int]]:
        return {
            path.relative_to(folder).as_posix(): (
                hashlib.sha256(path.read_bytes()).hexdigest(),
                path.stat().st_mtime_ns,
            )
            for path in sorted(folder.rglob("*"))
            if path.is_file()
        }

    return files


@pytest.fixture
def demo(tmp_path: Path) -> Path:
    """A copy of the demo case."""
    return Path(shutil.copytree(DEMO_CASE, tmp_path / "demo"))

"""Files made to be as dear to read as can be are answered in little memory and little time.

A child process of limited address space and processor time reads each. Figures: `python -m tests.fuzz.worst NAME`.
"""

import subprocess
import sys
from pathlib import Path

import pytest

from tests.fuzz import worst

PROJECT = Path(__file__).resolve().parents[2]

pytestmark = [pytest.mark.slow, pytest.mark.skipif(sys.platform != "linux", reason="limits of a Linux process")]


def child(name: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "tests.fuzz.worst", name], cwd=PROJECT, capture_output=True, text=True, check=False
    )


@pytest.mark.parametrize("name", worst.NAMES)
def test_the_dearest_files_are_answered_within_bounds(name: str) -> None:
    done = child(name)
    assert done.returncode == 0, (done.returncode, done.stderr[-2000:])


@pytest.mark.parametrize("name", ["planted: memory", "planted: time"])
def test_a_planted_reader_without_bounds_is_caught(name: str) -> None:
    assert child(name).returncode != 0

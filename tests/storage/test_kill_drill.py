"""A process that edits and saves is killed at random times; what it had finished is always there."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

import hazardreport

PROJECT = Path(hazardreport.__file__).parents[1]


def drill(kills: int, seed: int, place: Path) -> dict[str, int]:
    """Figures of so many kills; each was looked at by the drill itself, which ends at the first fault."""
    result = subprocess.run(
        [sys.executable, "-W", "error", "-m", "tests.storage.kill_drill", str(kills), str(seed), str(place)],
        capture_output=True,
        text=True,
        check=False,
        timeout=1800,
        cwd=PROJECT,
    )
    assert result.returncode == 0, result.stderr
    figures: dict[str, int] = json.loads(result.stdout)
    return figures


@pytest.mark.skipif(sys.platform == "win32", reason="forks")
def test_a_few_kills_lose_nothing_that_was_finished(tmp_path: Path) -> None:
    figures = drill(8, 20260504, tmp_path)
    assert sum(count for key, count in figures.items() if key.startswith("killed")) == 8


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="forks")
def test_five_hundred_kills_lose_nothing_that_was_finished(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    figures = drill(500, 20260601, tmp_path)
    with capsys.disabled():
        sys.stdout.write(f"\n{figures}\n")
    killed = {key.removeprefix("killed: "): count for key, count in figures.items() if key.startswith("killed")}
    assert sum(killed.values()) == figures["saved"] + figures["recovered"] == 500
    assert killed["save"] > 0
    assert killed["journal"] > 0
    assert killed.keys() - {"save", "journal"}
    assert figures["saved"] > 0
    assert figures["recovered"] > 0

"""Coverage-guided runs: every input is read or refused in our words, in time and in little memory.

Longer runs by hand: `python -m tests.fuzz.run TARGET --seconds 600`.
"""

from importlib.util import find_spec
from pathlib import Path

import pytest

from tests.fuzz import run

SECONDS = 25
"""For each target here; by hand they run for minutes."""

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(find_spec("atheris") is None, reason="the fuzzer has wheels for Linux on x86-64 only"),
]


@pytest.mark.parametrize("target", run.TARGETS)
def test_every_input_is_read_or_refused_in_words(target: str, tmp_path: Path) -> None:
    found = run.fuzz(target, seconds=SECONDS, artifacts=tmp_path)
    assert found.code == run.HELD, found.output
    assert found.inputs >= 100
    assert found.edges >= 50


@pytest.mark.parametrize(
    ("defect", "code"),
    [
        ("none", run.HELD),
        ("key", run.RAISED),
        ("recursion", run.RAISED),
        ("loop", run.HUNG),
        ("backtracking", run.HUNG),
        ("memory", run.TOO_MUCH_MEMORY),
    ],
)
def test_a_planted_defect_is_caught(defect: str, code: int, tmp_path: Path) -> None:
    found = run.fuzz(f"planted-{defect}", for_one=3, artifacts=tmp_path)
    assert found.code == code, found.output
    kept = [path.read_bytes() for path in tmp_path.iterdir()]
    assert [data[:1] for data in kept] == ([] if code == run.HELD else [b"x"])

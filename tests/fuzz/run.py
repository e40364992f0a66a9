"""Coverage-guided fuzzing of one reader: `python -m tests.fuzz.run TARGET [--inputs N | --seconds N] [--seed N]`.

Each module of tests/fuzz/targets is a target. Inputs start from its seeds and from tests/fuzz/corpus/TARGET; most are
made by its own changes, which keep the form of a document, some start anew from a valid one, a few flip bytes. The exit
code judges: 0 if every input was read or refused in our words, 77 for an exception, 70 for a hang, 71 for too much
memory; the input that did it is kept in the folder of artifacts.
"""

import argparse
import json
import os
import re
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).resolve().parent
PROJECT = HERE.parents[1]
TARGETS = tuple(sorted(path.stem for path in (HERE / "targets").glob("*.py") if path.stem != "planted"))
PLANTED = tuple(f"planted-{defect}" for defect in ("none", "key", "loop", "backtracking", "memory", "recursion"))

HELD, RAISED, HUNG, TOO_MUCH_MEMORY = 0, 77, 70, 71
"""Exit codes of the search."""

IN_MEMORY = Path("/dev/shm")
"""Where files cost no disk, if there is such a place."""

SECONDS_FOR_ONE = 10
MEGABYTES = 600
LARGEST = 100_000
"""Limits for one input: time, memory of the process, bytes."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Outcome:
    """What a search found.

    code    HELD, RAISED, HUNG, TOO_MUCH_MEMORY; anything else is a fault of the search itself
    inputs  tried
    edges   branches of our code that were reached
    per_second  inputs in a second
    peak    of memory [MB]
    output  of the search, to look at
    """

    code: int
    inputs: int
    edges: int
    per_second: int
    peak: int
    output: str


APART = ("/bin/sh", "-c", '"$@"; exit $?', "sh")
"""A process between: a child of a large process starts with its parent's peak of memory, a grandchild does not."""


def fuzz(
    target: str,
    *,
    inputs: int = 0,
    seconds: int = 0,
    seed: int = 1,
    for_one: int = SECONDS_FOR_ONE,
    artifacts: Path = Path(),
    keep: Path | None = None,
) -> Outcome:
    """The outcome of a search; without `inputs` and `seconds` the target's own number of inputs is tried."""
    limits = [f"-runs={inputs}"] * bool(inputs) + [f"-max_total_time={seconds}"] * bool(seconds)
    options = [
        *limits,
        f"-seed={seed}",
        f"-timeout={for_one}",
        f"-rss_limit_mb={MEGABYTES}",
        f"-max_len={LARGEST}",
        "-len_control=0",
        "-print_final_stats=1",
        f"-artifact_prefix={artifacts.resolve()}/{target}-",
    ]
    with tempfile.TemporaryDirectory(dir=IN_MEMORY if IN_MEMORY.is_dir() else None) as folder:
        corpus = HERE / "corpus" / target
        corpora = [str(keep or folder), folder, *([str(corpus)] if corpus.is_dir() else [])]
        places = json.dumps([*dict.fromkeys(corpora)])
        done = subprocess.run(
            [*APART, sys.executable, "-m", "tests.fuzz.search", target, folder, json.dumps(options), places],
            cwd=PROJECT,
            env={**os.environ, "TMPDIR": folder, "PYTHONHASHSEED": "0"},
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            check=False,
        )
    output = done.stdout.decode("utf-8", "replace")
    return Outcome(
        code=done.returncode,
        inputs=_last(r"number_of_executed_units: (\d+)", output),
        edges=_last(r"cov: (\d+)", output),
        per_second=_last(r"average_exec_per_sec: +(\d+)", output),
        peak=_last(r"peak_rss_mb: +(\d+)", output),
        output=output,
    )


def _last(pattern: str, text: str) -> int:
    return int((re.findall(pattern, text) or ["0"])[-1])


def main() -> int:
    """The exit code of the search that the command line asks for."""
    parser = argparse.ArgumentParser(description="Coverage-guided fuzzing of one reader.")
    parser.add_argument("target", choices=(*TARGETS, *PLANTED))
    parser.add_argument("--inputs", type=int, default=0, help="so many; otherwise the target's own number")
    parser.add_argument("--seconds", type=int, default=0, help="at most so many")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--timeout", type=int, default=SECONDS_FOR_ONE, help="seconds for one input")
    parser.add_argument("--artifacts", type=Path, default=Path(), help="folder for an input that breaks the claim")
    parser.add_argument("--keep", type=Path, help="folder for inputs that reached something new")
    wanted = parser.parse_args()
    found = fuzz(
        wanted.target,
        inputs=wanted.inputs,
        seconds=wanted.seconds,
        seed=wanted.seed,
        for_one=wanted.timeout,
        artifacts=wanted.artifacts,
        keep=wanted.keep,
    )
    if found.code != HELD:
        sys.stdout.write(found.output)
    sys.stdout.write(
        f"{wanted.target}: {found.inputs} inputs, {found.per_second} a second, {found.edges} branches, "
        f"{found.peak} MB, exit code {found.code}\n"
    )
    return found.code


if __name__ == "__main__":
    sys.exit(main())

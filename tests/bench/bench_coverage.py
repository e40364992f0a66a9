"""Coverage study: 500 simulated units, how often 95 % intervals hold the truth.

Run by hand: ``python tests/bench/bench_coverage.py [table.toml]``. Prints the table of rates, with the same for errors
that keep within rectangular limits beside it; writes the table of the report's part 11 if a file is named.
"""

import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "circuit")]

from coverage_study import Rates, study  # noqa: E402
from simulated import simulated  # noqa: E402

FIRST_SEED, CASES = 1_000_000, 500
"""Far from the seeds of the test."""
TABLE = """[citation]
key = "own-choices"
table = "coverage study"
edition = "1"
status = "choice"
source = "made by tests/bench/bench_coverage.py with seeds {first} to {last}"

[table]
name = "how often 95 % intervals held the truth in simulated cases"
arguments = {{ quantity = "text" }}
values = {{ cases = "1", covered = "1" }}
between = "not allowed"
outside = "not allowed"
remarks = [
    "Simulated units on 120 V and 230 V with one fault anywhere, 8 to 12 readings each.",
    "Errors are normal; the proportional part is shared by all readings of one quantity.",
    "Cases in which the readings leave a quantity undetermined are not counted; the last two rows count false alarms.",
]
rows = [
{rows}
]
"""


def main() -> int:
    """Print the rates, and write the table if asked."""
    seeds = range(FIRST_SEED, FIRST_SEED + CASES)
    normal = study(simulated, seeds)
    limited = study(simulated, seeds, within_limits=True)
    sys.stdout.write(f"{'quantity':45s} {'cases':>6s} {'hits':>6s} {'rate':>7s}   within limits\n")
    for name, cases in normal.cases.items():
        hits = normal.hits[name]
        sys.stdout.write(f"{name:45s} {cases:6d} {hits:6d} {hits / cases:7.3f}   {_rate(limited, name):7.3f}\n")
    if len(sys.argv) > 1:
        rows = "\n".join(f'    ["{name}", "{cases}", "{normal.hits[name]}"],' for name, cases in normal.cases.items())
        text = TABLE.format(first=FIRST_SEED, last=FIRST_SEED + CASES - 1, rows=rows)
        Path(sys.argv[1]).write_text(text, encoding="utf-8")
    return 0


def _rate(rates: Rates, name: str) -> float:
    return rates.hits.get(name, 0) / max(1, rates.cases.get(name, 0))


if __name__ == "__main__":
    sys.exit(main())

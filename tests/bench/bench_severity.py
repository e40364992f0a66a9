"""Time of the people at the sources and of the trials over adults, beside the bare NumPy work that they stand for.

Run by hand: ``python tests/bench/bench_severity.py``. Prints milliseconds of processor time and ratios; judges nothing.
"""

import itertools
import sys
import tracemalloc
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import process_time

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

import numpy as np  # noqa: E402

from hazardreport.severity.body import PERCENTILES, body_point, impedance_knots  # noqa: E402
from hazardreport.severity.body_many import body_points  # noqa: E402
from hazardreport.severity.population import BATCH, Contact, population_shares  # noqa: E402
from hazardreport.severity.terms import BodyPath, ContactArea, Skin  # noqa: E402

TRIALS = 1_000_000
PEOPLE = list(itertools.product(Skin, PERCENTILES, BodyPath))
STATES = 8
SOURCES = {"resistance": 300.0 + 0j, "resistance and capacitance": 300.0 - 2000j}


def say(line: str) -> None:
    """One line of the result."""
    sys.stdout.write(line + "\n")


def milliseconds(work: Callable[[], object], repeats: int) -> float:
    """Median time of one call, after one to warm up."""
    work()
    times = []
    for _ in range(repeats):
        begun = process_time()
        work()
        times.append(process_time() - begun)
    return 1e3 * median(times)


def exposures(copies: int) -> None:
    """All people at eight sources, so many times over; and NumPy's interpolation of as many values in one table."""
    random = np.random.default_rng(1)
    count = STATES * copies
    everyone = PEOPLE * count
    voltage = np.repeat(random.uniform(20.0, 250.0, count), len(PEOPLE))
    size = np.repeat(10.0 ** random.uniform(0.5, 5.0, count), len(PEOPLE))
    impedance = size * np.exp(-1j * np.repeat(random.uniform(0.0, 1.5, count), len(PEOPLE)))
    skins, percentiles, paths = zip(*everyone, strict=True)
    areas, series = [ContactArea.LARGE] * len(everyone), np.zeros(len(everyone))
    knots = tuple(np.array(values) for values in impedance_knots(Skin.DRY, 50))

    def together() -> object:
        return body_points(voltage, impedance, skins, percentiles, paths, areas, series)

    repeats = 400 if copies == 1 else 40
    ours = milliseconds(together, repeats)
    bare = milliseconds(lambda: np.interp(voltage, *knots), repeats)
    say(f"{len(everyone):6} exposures together {ours:9.3f} ms, bare interpolation {bare:7.4f} ms, {ours / bare:6.1f}")
    if copies == 1:
        single = list(zip(voltage.tolist(), impedance.tolist(), everyone, strict=True))
        alone = milliseconds(lambda: [body_point(at, source, *person) for at, source, person in single], 9)
        say(f"{len(everyone):6} exposures one by one {alone:8.2f} ms, without derivatives; {alone / ours:.0f} times")


def drawn_bare() -> None:
    """What a trial cannot do without: three normal numbers, an even one, and one exponential."""
    random = np.random.default_rng(1)
    space = np.empty((4, BATCH))
    for _ in range(TRIALS // BATCH):
        random.standard_normal(out=space[:3])
        random.random(out=space[3])
        np.exp(space[2], out=space[2])


def trials(name: str, impedance: complex) -> None:
    """A million trials of one exposure."""
    contact = Contact(
        open_circuit_voltage=120.0,
        source_impedance=impedance,
        skin=Skin.DRY,
        path=BodyPath.HAND_TO_FEET,
        duration=10.0,
        series_resistance=200.0,
    )

    def drawn() -> object:
        return population_shares(contact, (4.0, 5.0, 100.0), seed=1, fewest_trials=TRIALS)

    pairs = [(milliseconds(drawn_bare, 1), milliseconds(drawn, 1)) for _ in range(9)]
    floor, ours = (median(column) for column in zip(*pairs, strict=True))
    tracemalloc.start()
    drawn()
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    say(f"{TRIALS} trials, {name}: {ours:.1f} ms, bare drawing {floor:.1f} ms, {ours / floor:.2f}; {peak / 1e6:.2f} MB")


if __name__ == "__main__":
    for copies in (1, 10, 100):
        exposures(copies)
    for name, impedance in SOURCES.items():
        trials(name, impedance)

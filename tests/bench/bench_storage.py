"""Save, journal, open and verify of a large case, beside the cost of writing and syncing the very same bytes.

    .venv/bin/python tests/bench/bench_storage.py [PICTURES] [folder]

A case with 1,000 pictures (records, and small files) and 500 readings. The floor of a save is each file that it writes,
written anew with the same size and synced, one after the other, in the same run and in turn. Memory is that of a new
process that opens the case, beyond one that opens an empty case. Prints medians; judges nothing.
"""

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from statistics import median
from time import perf_counter, process_time

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from hazardreport.case.case import Case  # noqa: E402 - the checkout comes first
from hazardreport.case.picture import Mark, MarkKind, Picture  # noqa: E402
from hazardreport.case.reading import Instrument, Quantity, Reading  # noqa: E402
from hazardreport.review.integrity import check_folder  # noqa: E402
from hazardreport.storage import files, layout  # noqa: E402
from hazardreport.storage.folder import create_case, open_case, save_case  # noqa: E402
from hazardreport.storage.journal import write_journal  # noqa: E402

READINGS, ROUNDS, MEMORY = 500, 15, (0, 100, 1000, 5000)


def make(folder: Path, count: int) -> Case:
    """A saved case with so many pictures."""
    case = create_case(folder, Case(id="BENCH-1", title="Wax pot"))
    pictures = []
    for number in range(1, count + 1):
        name, data = f"picture-{number:03}.jpg", b"\xff\xd8" + number.to_bytes(4, "big") * 60
        (folder / layout.PICTURES / name).write_bytes(data)
        pictures.append(
            Picture(
                id=f"picture-{number:03}",
                file=name,
                original_name=f"IMG_{number:04}.JPG",
                media_type="image/jpeg",
                sha256=files.digest(data),
                size=len(data),
                width=4000,
                height=3000,
                claimed_time="2026-05-03T17:04:05+02:00",
                camera="Lumenta P5",
                caption=f"Underside, step {number}",
                marks=(
                    Mark(id="mark-1", kind=MarkKind.ARROW, vertices=((900.0, 700.0), (1200.5, 810.25)), text="screw"),
                ),
            )
        )
    readings = tuple(
        Reading(
            id=f"reading-{number:03}",
            first="A",
            second="E",
            quantity=Quantity.VOLTAGE,
            typed=f"{100 + number / 7:.1f} V",
            instrument="instrument-001",
            by="Kim",
            note="after ten minutes",
        )
        for number in range(1, READINGS + 1)
    )
    meter = Instrument(id="instrument-001", name="Multimeter 1")
    return save_case(
        replace(case, pictures=tuple(pictures), readings=readings, instruments=(meter,)), folder, author="Kim"
    )


def plain_writes(folder: Path, sizes: list[int]) -> None:
    """So many files of these sizes, each written and synced."""
    for number, size in enumerate(sizes):
        descriptor = os.open(folder / f"floor-{number}", os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o644)
        data = b"x" * size
        while data:
            data = data[os.write(descriptor, data) :]
        os.fsync(descriptor)
        os.close(descriptor)


def timed(work: Callable[[], object]) -> tuple[float, float]:
    """Time that passes, and processor time. [ms]"""
    passed, processor = perf_counter(), process_time()
    work()
    return (perf_counter() - passed) * 1000, (process_time() - processor) * 1000


def in_turn(*works: Callable[[], object]) -> list[tuple[float, float]]:
    """Medians of each, done in turn. [ms]"""
    for work in works:
        work()
    rounds = [[timed(work) for work in works] for _ in range(ROUNDS)]
    return [
        (median(one[0] for one in column), median(one[1] for one in column)) for column in zip(*rounds, strict=True)
    ]


def peak(folder: Path) -> int:
    """Most memory of a process that opens the case. [byte]"""
    code = (
        "import resource, sys; from pathlib import Path; from hazardreport.storage.folder import open_case;"
        "open_case(Path(sys.argv[1]), for_writing=False); print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)"
    )
    found = subprocess.run(
        [sys.executable, "-c", code, str(folder)], capture_output=True, text=True, check=True, cwd=ROOT
    )
    return int(found.stdout) * 1024


def open_and_close(folder: Path) -> None:
    """Opened for writing."""
    open_case(folder).close()


def say(text: str) -> None:
    """One line of the answer, at once."""
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    place = Path(tempfile.mkdtemp(prefix="bench-storage-", dir=sys.argv[2] if len(sys.argv) > 2 else None))
    try:
        folder, floor = place / "case", place / "floor"
        floor.mkdir()
        case = make(folder, count)
        held = open_case(folder)
        titles = iter(range(1_000_000))
        sizes = [(folder / name).stat().st_size for name in (*layout.RECORD, layout.MANIFEST)]
        say(f"{count} pictures, {READINGS} readings; MB in a save: {', '.join(f'{size / 1e6:.2f}' for size in sizes)}")
        floor_save, save, floor_journal, journal = in_turn(
            lambda: plain_writes(floor, sizes),
            lambda: save_case(replace(case, title=str(next(titles))), folder, author="Kim"),
            lambda: plain_writes(floor, sizes[:1]),
            lambda: write_journal(replace(case, title=str(next(titles))), folder),
        )
        (folder / layout.JOURNAL).unlink()
        held.close()
        reading, writing, verify = in_turn(
            lambda: open_case(folder, for_writing=False), lambda: open_and_close(folder), lambda: check_folder(folder)
        )
        for name, one, low in (("save", save, floor_save), ("journal", journal, floor_journal)):
            say(
                f"{name:18} {one[0]:7.1f} ms ({one[1]:6.1f} of processor), floor {low[0]:7.1f}: {one[0] / low[0]:.2f} ×"
            )
        for name, one in (("open to read", reading), ("open to write", writing), ("verify", verify)):
            say(f"{name:18} {one[0]:7.1f} ms ({one[1]:6.1f} of processor)")
        peaks = {}
        for number in MEMORY:
            make(place / f"case-{number}", number)
            peaks[number] = peak(place / f"case-{number}")
        for number in MEMORY[1:]:
            each = (peaks[number] - peaks[0]) / number
            say(f"open, {number:5} pictures  {peaks[number] / 1e6:6.1f} MB, {each / 1000:.1f} kB for each picture")
    finally:
        shutil.rmtree(place)


if __name__ == "__main__":
    main()

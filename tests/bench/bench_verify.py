"""Time of verifying a gigabyte, as a folder and as a pack, beside ``sha256sum`` over the same files.

Run by hand: ``python tests/bench/bench_verify.py [MEGABYTES]``. Files of 5 MB each are made in a temporary folder and
are in the system's cache. Prints medians of three, ratios, and the most memory that verifying took; judges nothing.
"""

import os
import resource
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from statistics import median
from time import perf_counter

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from hazardreport.case.case import Case  # noqa: E402 - the checkout comes first
from hazardreport.case.picture import Picture  # noqa: E402
from hazardreport.storage import files  # noqa: E402
from hazardreport.storage.folder import create_case, save_case  # noqa: E402
from hazardreport.storage.pack import pack_case  # noqa: E402

SIZE = 5_000_000
REPEATS = 3
VERIFY = (
    "import sys; from hazardreport.app.cli import run; sys.exit(run(['verify', sys.argv[1]], sys.stdout, sys.stderr))"
)


def case_of(folder: Path, count: int) -> None:
    """A case with so many files of random bytes."""
    case = create_case(folder, Case(id="BENCH-1"))
    pictures = []
    for number in range(1, count + 1):
        data = os.urandom(SIZE)
        name = f"picture-{number:03}.jpg"
        (folder / "pictures" / name).write_bytes(data)
        pictures.append(
            Picture(
                id=f"picture-{number:03}",
                file=name,
                original_name=name,
                media_type="image/jpeg",
                sha256=files.digest(data),
                size=SIZE,
                width=1,
                height=1,
            )
        )
    save_case(replace(case, pictures=tuple(pictures)), folder)


def seconds(work: Callable[[], object]) -> float:
    """Median wall time of one call, after one to warm up."""
    work()
    times = []
    for _ in range(REPEATS):
        begun = perf_counter()
        work()
        times.append(perf_counter() - begun)
    return median(times)


def run(*words: str) -> None:
    """The command was done, its answer thrown away."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    subprocess.run(words, check=True, stdout=subprocess.DEVNULL, env=environment)


def main() -> None:
    megabytes = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    place = Path(tempfile.mkdtemp(prefix="bench-verify-"))
    try:
        folder, pack = place / "case", place / "case.zip"
        case_of(folder, megabytes * 1_000_000 // SIZE)
        packing = seconds(lambda: pack_case(folder, pack, created="2026-06-01T12:00:00Z", overwrite=True))
        copying = seconds(lambda: shutil.copytree(folder, place / "copy", dirs_exist_ok=True))
        listed = [str(path) for path in sorted(folder.rglob("*")) if path.is_file()]
        floor = seconds(lambda: run("sha256sum", *listed))
        whole = seconds(lambda: run(sys.executable, "-c", VERIFY, str(folder)))
        packed = seconds(lambda: run(sys.executable, "-c", VERIFY, str(pack)))
    finally:
        shutil.rmtree(place)
    memory = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1000
    sys.stdout.write(
        f"{megabytes} MB in {len(listed)} files\n"
        f"sha256sum over the files   {floor:6.2f} s\n"
        f"verify the folder          {whole:6.2f} s   {whole / floor:.2f} of sha256sum\n"
        f"verify the pack            {packed:6.2f} s   {packed / floor:.2f} of sha256sum\n"
        f"pack                       {packing:6.2f} s   {packing / copying:.2f} of a plain copy ({copying:.2f} s)\n"
        f"most memory of a child     {memory:6.0f} MB\n"
    )


if __name__ == "__main__":
    main()

"""Taking in 100 pictures of 12 megapixels against its floor, measured in the same run. Prints, judges nothing.

The floor is what nobody can leave out: each file read once, its SHA-256, and Pillow's draft decoding to a thumbnail of
256 pixels, in two threads. Taking in does besides: copy, sync, proof of wholeness, metadata, marker and renames.

Processor time stands beside the time that passes: on a machine with other work it is the steadier of the two.

    .venv/bin/python tests/bench/bench_intake.py [folder for the pictures and the copies]
"""

import hashlib
import random
import shutil
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from statistics import median

from PIL import Image, ImageChops, JpegImagePlugin

from hazardreport.evidence.batch import Destination, Wanted, take_in_many

COUNT, SIZE, SEED, ROUNDS = 100, (4000, 3000), 20260504, 5


def make_pictures(folder: Path) -> list[Path]:
    """Pictures with the detail of photographs: noise of several grains over a gradient, each shifted differently."""
    chance = random.Random(SEED)
    fine = Image.effect_noise(SIZE, 22)
    coarse = Image.effect_noise((SIZE[0] // 16, SIZE[1] // 16), 90).resize(SIZE, Image.Resampling.BICUBIC)
    slope = Image.linear_gradient("L").resize(SIZE)
    paths = []
    for number in range(COUNT):
        layers = [
            ImageChops.offset(layer, chance.randrange(SIZE[0]), chance.randrange(SIZE[1]))
            for layer in (fine, coarse, slope)
        ]
        grey = Image.blend(Image.blend(layers[1], layers[2], 0.5), layers[0], 0.45)
        image = Image.merge("RGB", (grey, ImageChops.offset(grey, 3, 5), ImageChops.invert(layers[1])))
        paths.append(folder / f"picture {number:03d}.jpg")
        exif = Image.Exif()
        exif.update({0x010F: "Lumenta", 0x0110: "P5", 0x0112: chance.choice((1, 6)), 0x0132: "2026:05:03 17:04:05"})
        image.save(paths[-1], "JPEG", quality=90, exif=exif)
    return paths


def floor(path: Path) -> tuple[str, bytes]:
    """SHA-256 of a file and its thumbnail."""
    digest = hashlib.sha256()
    with path.open("rb", buffering=0) as stream:
        while chunk := stream.read(1 << 20):
            digest.update(chunk)
        stream.seek(0)
        image = JpegImagePlugin.JpegImageFile(stream)
        image.draft("RGB", (256, 256))
        image.thumbnail((256, 256))
        return digest.hexdigest(), image.tobytes()


def floor_of_all(paths: list[Path]) -> None:
    """All files in two threads."""
    with ThreadPoolExecutor(2) as workers:
        list(workers.map(floor, paths))


def take_all_in(paths: list[Path], folder: Path) -> None:
    """All files taken in."""
    place = Destination(
        pictures=folder / "pictures", attachments=folder / "attachments", wanted=Wanted.PICTURES, imported=""
    )
    taken = take_in_many(paths, place)
    taken.settled.done()
    assert len(taken.pictures) == len(paths), taken.refused[:1]


def timed(work: Callable[[], object]) -> tuple[float, float]:
    """Time that passes, and processor time of all threads. [s]"""
    passed, processor = time.perf_counter(), time.process_time()
    work()
    return time.perf_counter() - passed, time.process_time() - processor


def say(text: str) -> None:
    """One line of the answer, at once."""
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


def main() -> None:
    """Make the pictures, measure both in turn, print."""
    folder = Path(tempfile.mkdtemp(prefix="bench-intake-", dir=sys.argv[1] if len(sys.argv) > 1 else None))
    try:
        paths = make_pictures(folder)
        total = sum(path.stat().st_size for path in paths)
        say(f"{COUNT} pictures of {SIZE[0]} × {SIZE[1]}, {total / COUNT / 1e6:.1f} MB each, in {folder}")
        floor_of_all(paths)
        ratios = []
        for _ in range(ROUNDS):
            low, high = timed(lambda: floor_of_all(paths)), timed(lambda: take_all_in(paths, folder))
            shutil.rmtree(folder / "pictures")
            ratios.append((high[0] / low[0], high[1] / low[1]))
            say(
                f"floor {low[0]:6.2f} s ({low[1]:5.2f} s of processor)   taken in {high[0]:6.2f} s ({high[1]:5.2f} s)"
                f"   {ratios[-1][0]:5.2f} × ({ratios[-1][1]:.2f} ×)"
            )
        passed, processor = (median(column) for column in zip(*ratios, strict=True))
        say(f"median {passed:.2f} × the floor ({processor:.2f} × its processor time)")
    finally:
        shutil.rmtree(folder)


if __name__ == "__main__":
    main()

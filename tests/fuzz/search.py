"""The process that searches: `run` starts it, once for each target; libFuzzer ends it without returning."""

import importlib
import json
import random
import sys
from pathlib import Path
from typing import Any

import atheris

ROOMS = (
    "hazardreport.case",
    "hazardreport.quantity",
    "hazardreport.storage",
    "hazardreport.readings.tripped",
    "hazardreport.risk.probability",
    "hazardreport.standards.confirmed",
)
"""Rooms whose branches guide the search."""


def target_of(name: str) -> Any:
    """The module of a target, its readers counted branch by branch."""
    with atheris.instrument_imports(include=list(ROOMS), enable_loader_override=False):
        module: Any = importlib.import_module(f"tests.fuzz.targets.{name.partition('-')[0]}")
    if name.startswith("planted-"):
        module.DEFECT = name.partition("-")[2]
    return module


def search(name: str, folder: Path, options: list[str], corpora: list[str]) -> None:
    """Try inputs until they are used up or one breaks the claim; seeds are written to the folder first."""
    module = target_of(name)
    valid = module.seeds()
    for index, seed in enumerate(valid):
        (folder / f"seed-{index:03d}").write_bytes(seed)

    def changed(data: bytes, largest: int, seed: int) -> bytes:
        random_ = random.Random(seed)
        if random_.random() < 0.3:
            data = random_.choice(valid)
        if random_.random() < 0.9:
            data = module.changed(data, random_)
        if random_.random() < 0.15:
            data = atheris.Mutate(data, largest)
        return data[:largest]

    if not any(option.startswith(("-runs=", "-max_total_time=")) for option in options):
        options = [*options, f"-runs={module.RUNS}"]
    atheris.Setup([name, *options, *corpora], module.one_input, custom_mutator=changed)
    atheris.Fuzz()


if __name__ == "__main__":
    search(sys.argv[1], Path(sys.argv[2]), json.loads(sys.argv[3]), json.loads(sys.argv[4]))

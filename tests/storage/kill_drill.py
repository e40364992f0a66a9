"""Kills a process that edits and saves, hundreds of times, and looks at what it leaves.

    python -m tests.storage.kill_drill KILLS SEED FOLDER

Each round forks a child out of this process, which has everything loaded. The child opens the case, edits it, writes
the journal after each edit, saves every few edits and takes a picture in now and then, and tells over a pipe what it
begins and what it has finished. After a random time it is killed. Prints figures as JSON; a fault ends it with a trace.
"""

import collections
import json
import os
import random
import select
import signal
import sys
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from PIL import Image

from hazardreport.case.case import Case
from hazardreport.case.reading import Quantity, Reading
from hazardreport.errors import UnsavedWorkRecoveredError
from hazardreport.evidence.batch import Taken, Wanted, destination, take_in_many, with_taken
from hazardreport.review.integrity import check_folder
from hazardreport.storage.folder import create_case, open_case, save_case
from hazardreport.storage.journal import write_journal

LONGEST = 0.12
"""Longest time from the opened case to the kill. [s]"""
NOON = "2026-06-01T12:00:00Z"


def child(folder: Path, seed: int, pipe: int) -> None:
    """Edits and saves until it is killed; the title of the case is the number of the edit."""

    def tell(step: str, number: int) -> None:
        os.write(pipe, f"{step} {number}\n".encode())

    chance = random.Random(seed)
    opened = open_case(folder)
    if opened.read_only:
        tell("refused", 0)
        os._exit(3)
    case, number = opened.case, int(opened.case.title or 0)
    tell("opened", number)
    taken = None
    while True:
        number += 1
        tell("edit", number)
        case = edited(case, number, chance)
        if chance.random() < 0.1:
            tell("picture", number)
            case, taken = with_picture(case, folder, number)
        tell("journal", number)
        write_journal(case, folder)
        if taken is not None:
            taken.settled.done()
            taken = None
        tell("done", number)
        if chance.random() < 0.4:
            tell("save", number)
            case = save_case(case, folder, author="Kim", time=NOON)
            tell("done", number)


def with_picture(case: Case, folder: Path, number: int) -> tuple[Case, Taken]:
    """The case with a new picture, whose file waits for its record to be safe."""
    source = folder.parent / f"{number}.png"
    Image.new("RGB", (8, 8), (number % 256, number // 256 % 256, 7)).save(source)
    place = destination(case, folder / "pictures", folder / "attachments", Wanted.PICTURES, NOON)
    taken = take_in_many([source], place)
    assert taken.refused == ()
    return with_taken(case, taken), taken


def edited(case: Case, number: int, chance: random.Random) -> Case:
    """The case with its number, and with a reading more or fewer."""
    readings = case.readings
    if len(readings) > 60 or (readings and chance.random() < 0.3):
        readings = readings[:-1]
    else:
        one = Reading(
            id=f"reading-{number}", first="A", second="B", quantity=Quantity.VOLTAGE, typed=f"{number} V", by="Kim"
        )
        readings = (*readings, one)
    return replace(case, title=str(number), readings=readings)


def told_until_killed(pipe: int, process: int, delay: float) -> Iterator[tuple[str, int]]:
    """What the child tells, until `delay` seconds after it has opened the case, when it is killed."""
    text, until, killed = b"", time.monotonic() + 60.0, False
    while True:
        wait = max(0.0, until - time.monotonic()) if not killed else None
        if not killed and not select.select([pipe], [], [], wait)[0]:
            os.kill(process, signal.SIGKILL)
            killed = True
        piece = os.read(pipe, 65536)
        if not piece:
            return
        text += piece
        *lines, text = text.split(b"\n")
        for line in lines:
            step, _, number = line.decode().partition(" ")
            if step == "opened":
                until = time.monotonic() + delay
            yield step, int(number)


def one_round(folder: Path, seed: int, delay: float) -> tuple[str, int, int]:
    """Where the child was when it was killed, the last edit that it had finished and the last that it had begun."""
    read, write = os.pipe()
    process = os.fork()
    if process == 0:
        os.close(read)
        try:
            child(folder, seed, write)
        finally:
            os._exit(4)
    os.close(write)
    last, done, begun = "opening", 0, 0
    for step, number in told_until_killed(read, process, delay):
        last = step
        begun = max(begun, number)
        if step in ("done", "opened"):
            done = number
    os.close(read)
    _, status = os.waitpid(process, 0)
    assert os.WIFSIGNALED(status), f"the child ended by itself: {status} at {last}"
    assert os.WTERMSIG(status) == signal.SIGKILL
    return last, done, begun


def look(folder: Path, done: int, begun: int) -> str:
    """Everything that must hold after a kill; what was found: "saved" or "recovered"."""
    looked_at = open_case(folder, for_writing=False)
    number = int(looked_at.case.title or 0)
    assert done <= number <= begun, f"{number} is not from {done} to {begun}"
    kinds = {type(problem) for problem in looked_at.problems}
    assert kinds <= {UnsavedWorkRecoveredError}, looked_at.problems
    assert check_folder(folder).problems == ()
    opened = open_case(folder)
    try:
        assert not opened.read_only
        assert opened.case == looked_at.case
        assert {type(problem) for problem in opened.problems} == kinds
        integrity = check_folder(folder)
        found = {check.path for check in integrity.files if check.state.value != "whole"}
        unsaved = {f"pictures/{one.file}" for one in opened.case.pictures}
        assert found <= (unsaved if kinds else set()), found
        assert not [path.name for path in folder.rglob(".*")]
    finally:
        opened.close()
    assert opened.case.readings == looked_at.case.readings
    return "recovered" if kinds else "saved"


def main(kills: int, seed: int, place: Path) -> None:
    """All rounds; the case is begun anew every hundred, so that it stays small."""
    chance = random.Random(seed)
    figures: collections.Counter[str] = collections.Counter()
    for number in range(kills):
        folder = place / f"case-{number // 100}"
        if not folder.exists():
            create_case(folder, Case(id="C-1", title="0"), time=NOON)
        where, done, begun = one_round(folder, chance.randrange(1 << 30), chance.random() * LONGEST)
        figures[f"killed: {where}"] += 1
        figures[look(folder, done, begun)] += 1
        figures["longest case, edits"] = max(figures["longest case, edits"], begun)
    sys.stdout.write(json.dumps(figures) + "\n")


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]), Path(sys.argv[3]))

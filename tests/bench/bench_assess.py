"""Time of an assessment of the demo case, live part and whole, beside what it cannot do without.

Run by hand: ``python tests/bench/bench_assess.py``. Prints milliseconds and ratios; judges nothing. The floor is the
numerical core on the same readings: refit, all states, all exposures of the tables; where ngspice is installed also one
batch run of it on a single state. Last comes what the engine adds to the start of a program.
"""

import itertools
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

import numpy as np  # noqa: E402

from hazardreport.addressees.completeness import element_states  # noqa: E402
from hazardreport.addressees.profiles import profile, profile_keys  # noqa: E402
from hazardreport.assess.assessment import Live, assess, live_part, settled_part  # noqa: E402
from hazardreport.assess.persons import all_touched, persons  # noqa: E402
from hazardreport.assess.predicted import predictions  # noqa: E402
from hazardreport.case.case import Case  # noqa: E402
from hazardreport.case.circumstances import FindingAnswer  # noqa: E402
from hazardreport.case.confirmation import TableConfirmation  # noqa: E402
from hazardreport.case.exposure import OwnExposure  # noqa: E402
from hazardreport.case.letter import Letter  # noqa: E402
from hazardreport.case.requirement import RequirementAnswer  # noqa: E402
from hazardreport.case.scenario import Scenario, ScenarioStep  # noqa: E402
from hazardreport.circuit.fit import fit  # noqa: E402
from hazardreport.resources_dir import DEMO_CASE  # noqa: E402
from hazardreport.risk.requirements import requirements  # noqa: E402
from hazardreport.standards.tables import table  # noqa: E402
from hazardreport.storage.folder import open_case  # noqa: E402

DECK = """one state
V1 s 0 ac 230
RL s l 0.2
RN n 0 0.2
RA l f 26
RB f n 60
RF f m 250
RT m 0 1000
.ac lin 1 50 50
.print ac vm(m)
.end
"""
IMPORTS = ("hazardreport.app.cli", "hazardreport.assess.records", "hazardreport.assess.assessment")


def say(line: str) -> None:
    """One line of the result."""
    sys.stdout.write(line + "\n")


def milliseconds(work: Callable[[], object], repeats: int = 31, clock: Callable[[], float] = process_time) -> float:
    """Median time of one call, after one to warm up."""
    work()
    times = []
    for _ in range(repeats):
        begun = clock()
        work()
        times.append(clock() - begun)
    return 1e3 * median(times)


def core(case: Case, live: Live) -> Callable[[], object]:
    """Refit from the last estimate, every state with its doubt, every exposure with its doubt: numbers only."""
    people = persons(case)

    def numbers() -> object:
        found = fit(live.solved.seen, case.wiring, live.fit)
        states = predictions(case, found)
        asked = [(source, person) for source in live.solved.sources for person in people]
        return states, all_touched(asked)

    return numbers


def simulator() -> float:
    """Wall time of one batch run on a single state. [ms]"""
    with tempfile.TemporaryDirectory() as folder:
        deck = Path(folder) / "one.cir"
        deck.write_text(DECK)

        def run() -> object:
            return subprocess.run(["ngspice", "-b", str(deck)], capture_output=True, check=True)

        return milliseconds(run, 9, perf_counter)


def growth(case: Case) -> None:
    """Cost as exposures and readings grow tenfold and hundredfold."""
    for factor in (1, 10, 100):
        own = tuple(
            OwnExposure(id=f"exposure-{number:04d}", series_resistance=float(number))
            for number in range(27 * (factor - 1))
        )
        grown = replace(case, exposures=own)
        live = live_part(grown)
        time = milliseconds(lambda grown=grown, live=live: live_part(grown, live.fit), 5 if factor < 100 else 1)
        say(f"{27 * factor:5} exposures a state: live part {time:9.1f} ms")
    for factor in (10, 100):
        readings = tuple(
            replace(reading, id=f"{reading.id}-{number:03d}")
            for number, reading in itertools.product(range(factor), case.readings)
        )
        grown = replace(case, readings=readings)
        live = live_part(grown)
        time = milliseconds(lambda grown=grown, live=live: live_part(grown, live.fit), 3 if factor < 100 else 1)
        say(f"{len(readings):5} readings: live part {time:9.1f} ms")


def full_record(case: Case) -> Case:
    """The case with five ways to an injury, every requirement answered, twenty letters, ten confirmed tables."""
    shown = ("picture-001",)
    answers = tuple(
        RequirementAnswer(id=one.key, answer=FindingAnswer.SEEN, note="as seen", pictures=shown)
        for one in requirements()
    )
    steps = tuple(ScenarioStep(text=f"step {number}", probability="1/7", reason="judged") for number in range(6))
    scenarios = tuple(
        Scenario(id=f"scenario-{number:03d}", steps=steps, injury="electric-shock", severity=4, severity_reason="x")
        for number in range(1, 6)
    )
    letters = tuple(
        Letter(id=f"letter-{number:03d}", addressee="us-agency-harm", whom="office", day=f"2026-05-{number:02d}")
        for number in range(1, 21)
    )
    held = table("iec-60479-1-2018", "table-1")
    confirmations = tuple(
        TableConfirmation(
            id=f"confirmation-{number:03d}",
            table="iec-60479-1-2018/table-1",
            sha256=held.sha256,
            edition=held.citation.edition,
            page=str(number),
            name="Kim",
            day="2026-05-20",
            rows=held.rows,
        )
        for number in range(1, 11)
    )
    return replace(case, requirements=answers, scenarios=scenarios, letters=letters, confirmations=confirmations)


def widened(case: Case) -> None:
    """Cost of all that is judged rather than measured, and of holding a case against every addressee."""
    bare = replace(case, requirements=(), scenarios=(), letters=(), confirmations=())
    full = full_record(case)
    times = []
    for one in (bare, full):
        live = live_part(one)
        times.append(milliseconds(lambda one=one, live=live: live_part(one, live.fit)))
    told = f"{len(full.scenarios)} scenarios, {len(full.requirements)} requirements, {len(full.letters)} letters"
    say(f"live part without findings {times[0]:7.2f} ms; with {told}, {len(full.confirmations)} confirmations")
    say(f"                           {times[1]:7.2f} ms, {times[1] / times[0]:.2f} times")
    assessment = assess(full)
    time = milliseconds(lambda: [element_states(full, profile(key), assessment) for key in profile_keys()])
    say(f"held against all {len(profile_keys())} addressees {time:7.2f} ms")


def start(module: str) -> float:
    """Seconds that importing a module adds to an interpreter, and nothing else."""
    script = f"import time; b = time.perf_counter(); import {module}; print(time.perf_counter() - b)"
    return median(
        float(subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True).stdout)
        for _ in range(5)
    )


def main() -> int:
    """Print the figures."""
    case = open_case(DEMO_CASE, for_writing=False).case
    live = live_part(case)
    whole = milliseconds(lambda: live_part(case, live.fit))
    numbers = milliseconds(core(case, live))
    sources = len(live.solved.sources)
    say(f"demo: {len(case.readings)} readings, {sources} states, {len(live.assessment.exposures)} exposures")
    say(f"numerical core {numbers:7.2f} ms, wall {milliseconds(core(case, live), 31, perf_counter):7.2f} ms")
    written = len(live.assessment.trace.numbers)
    say(f"live part, {written} numbers written down {whole:7.2f} ms, {whole / numbers:.1f} times")
    say(f"settled part {milliseconds(lambda: settled_part(live), 5):7.1f} ms")
    if shutil.which("ngspice"):
        say(f"ngspice, one batch run on one state: wall {simulator():7.2f} ms")
    bare = np.random.default_rng(1).normal(size=(len(live.assessment.exposures), 8, 8)) + 8.0 * np.eye(8)
    floor = milliseconds(lambda: np.linalg.solve(bare, np.ones((len(bare), 8, 1))))
    say(f"bare NumPy, as many 8 × 8 solutions as exposures {floor:7.2f} ms; core {numbers / floor:.1f} times")
    widened(case)
    growth(case)
    for module in IMPORTS:
        say(f"import {module:34} {1e3 * start(module):7.0f} ms")
    return 0


if __name__ == "__main__":
    sys.exit(main())

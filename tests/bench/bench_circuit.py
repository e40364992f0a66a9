"""Time of the live fit and of all states, beside the bare NumPy solutions that they cannot do without, and ngspice.

Run by hand: ``python tests/bench/bench_circuit.py``. Prints milliseconds of processor time and ratios; judges nothing.
"""

import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from statistics import median
from time import perf_counter, process_time
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

import numpy as np  # noqa: E402

from hazardreport.case.picture import PointRole  # noqa: E402
from hazardreport.case.reading import PlugPosition, Quantity, State, SwitchPosition, Temperature  # noqa: E402
from hazardreport.case.unit_state import UnitState  # noqa: E402
from hazardreport.case.wiring import Element, SwitchPoles, Wiring  # noqa: E402
from hazardreport.circuit.fit import FitResult, fit  # noqa: E402
from hazardreport.circuit.loads import Lamp  # noqa: E402
from hazardreport.circuit.misfit import profiles, suspects  # noqa: E402
from hazardreport.circuit.network_parameters import parameters_of  # noqa: E402
from hazardreport.circuit.observations import Observation, plan  # noqa: E402
from hazardreport.circuit.prediction import predicted_states  # noqa: E402
from hazardreport.circuit.rivals import rivals  # noqa: E402
from hazardreport.circuit.squares import Squares  # noqa: E402
from hazardreport.circuit.thevenin import source_at_part  # noqa: E402

WIRING = Wiring(
    nominal_voltage=120.0,
    frequency=60.0,
    switch=SwitchPoles.POLE_1,
    element=Element(rated_voltage=120.0, rated_power=1500.0),
)
STATES = [
    UnitState(plug=plug, switch=switch, earthed=earthed)
    for plug in (PlugPosition.STRAIGHT, PlugPosition.REVERSED)
    for switch in (SwitchPosition.ON, SwitchPosition.OFF)
    for earthed in (False, True)
]
DECK = """one state of the unit
V1 source 0 AC 121
RL source line 0.2
RN neutral 0 0.2
RP2 line t2 1m
RE2 f t2 7.2
RE1 t1 f 2.4
RLEAK t1 neutral 1g
RF f part 25
RM part 0 10meg
.ac lin 1 60 60
.print ac vm(part)
.end
"""


def asked(copies: int) -> list[Observation]:
    """Three resistances, the supply, and six voltages at the part, so many times over."""
    pins = (PointRole.PIN_1, PointRole.PIN_2, PointRole.TOUCHABLE_PART)

    def reading(id: str, kind: Quantity, ends: tuple[PointRole, PointRole], state: State, load: complex) -> Observation:
        u = 0.2 if kind is Quantity.RESISTANCE else 0.6
        return Observation(
            id=id,
            kind=kind,
            first=ends[0],
            second=ends[1],
            state=state,
            value=0.0,
            standard_uncertainty=u,
            load_impedance=load,
            gain=kind.value,
            gain_uncertainty=0.5 * u,
        )

    ohms = [
        reading(f"r{k}", Quantity.RESISTANCE, (pins[a], pins[b]), State(), 1e9)
        for k, (a, b) in enumerate(((0, 2), (1, 2), (0, 1)))
    ]
    hot = {"temperature": Temperature.WORKING}
    states = (
        State(plug=PlugPosition.STRAIGHT, **hot),
        State(plug=PlugPosition.REVERSED, **hot),
        State(plug=PlugPosition.REVERSED, switch=SwitchPosition.OFF, **hot),
    )
    supply = reading("supply", Quantity.VOLTAGE, (PointRole.LINE, PointRole.NEUTRAL), states[2], 1e7)
    ends = (PointRole.TOUCHABLE_PART, PointRole.EARTH)
    volts = [
        reading(f"v{k}-{load:g}", Quantity.VOLTAGE, ends, state, load)
        for k, state in enumerate(states)
        for load in (1e7, 3e3)
    ]
    return [replace(one, id=f"{one.id}-{copy}") for copy in range(copies) for one in (*ohms, supply, *volts)]


def observations(seed: int, copies: int = 1) -> list[Observation]:
    """The readings with errors drawn for a seed."""
    every = asked(copies)
    truth = parameters_of(
        WIRING,
        element_resistance=9.6,
        fault_position=0.25,
        fault_resistance=25.0,
        hot_factor=1.03,
        supply_voltage=121.0,
    )
    errors = np.random.default_rng(seed).normal(size=len(every))
    exact = plan(every, WIRING).predict(truth)
    return [
        replace(item, value=float(value + error * item.standard_uncertainty))
        for item, value, error in zip(every, exact, errors, strict=True)
    ]


def milliseconds(work: Callable[[], object], repeats: int = 60, clock: Callable[[], float] = process_time) -> float:
    """Median time of one call, after one to warm up."""
    work()
    times = []
    for _ in range(repeats):
        begun = clock()
        work()
        times.append(clock() - begun)
    return 1e3 * median(times)


def evaluations(readings: Sequence[Observation], start: FitResult) -> int:
    """How often a fit evaluates a batch of parameters."""
    count = 0
    original: Any = Squares.predicted

    def counted(self: Squares, vectors: np.ndarray) -> np.ndarray:
        nonlocal count
        count += 1
        return original(self, vectors)

    Squares.predicted = counted
    try:
        fit(readings, WIRING, start)
    finally:
        Squares.predicted = original
    return count


def edited(readings: Sequence[Observation]) -> list[Observation]:
    """The last reading typed anew."""
    return [*readings[:-1], replace(readings[-1], value=readings[-1].value + 0.4)]


def ngspice() -> float | None:
    """Wall time of one batch run on one state; None where the program is not installed. [ms]"""
    program = shutil.which("ngspice")
    if program is None:
        return None
    with tempfile.TemporaryDirectory() as folder:
        deck = Path(folder) / "state.cir"
        deck.write_text(DECK, encoding="utf-8")
        command = [program, "-b", str(deck)]
        return milliseconds(lambda: subprocess.run(command, check=True, capture_output=True), 20, perf_counter)


def main() -> int:
    """Print the figures."""
    readings, lamp = observations(1), Lamp(rated_voltage=120.0, rated_power=15.0)
    last, changed = fit(readings, WIRING), edited(readings)
    lit = [*changed[:-1], replace(changed[-1], lamp=lamp, value=117.0)]
    rng = np.random.default_rng(0)
    matrix = rng.normal(size=(11, 8, 8)) + 8.0 * np.eye(8) + 0j
    sides = rng.normal(size=(11, 8, 3)) + 0j
    rounds, groups = evaluations(changed, last), 4
    solution = milliseconds(lambda: np.linalg.solve(matrix, sides), 200)
    floor = rounds * groups * solution
    single = milliseconds(lambda: np.linalg.solve(matrix[0], sides[0]), 400)
    twenty = observations(1, 2)
    last_twenty, changed_twenty = fit(twenty, WIRING), edited(twenty)
    wrong = [*readings[:-1], replace(readings[-1], value=10.0 * readings[-1].value)]
    contradicted = fit(wrong, WIRING)

    def live() -> None:
        predicted_states(fit(changed, WIRING, last), WIRING, STATES)

    rows = [
        ("live fit, 10 readings, 4 networks, from the last estimate", lambda: fit(changed, WIRING, last), floor),
        ("  20 readings", lambda: fit(changed_twenty, WIRING, last_twenty), floor),
        ("  10 readings, one with a lamp", lambda: fit(lit, WIRING, last), floor),
        ("fit from nothing", lambda: fit(changed, WIRING), floor),
        ("all 8 states with doubt", lambda: predicted_states(last, WIRING, STATES), 8 * solution),
        ("live fit and all 8 states", live, floor + 8 * solution),
        ("source of one state", lambda: source_at_part(WIRING, last.parameters, STATES[-2]), single),
        ("settled: all rivals", lambda: rivals(readings, WIRING, last), floor),
        ("settled: profiles", lambda: profiles(last), floor),
        ("settled: a wrong reading found", lambda: suspects(wrong, WIRING, contradicted), floor),
    ]
    out = sys.stdout
    out.write(f"{rounds} evaluations of {groups} networks in the live fit\n")
    for name, work, least in rows:
        measured = milliseconds(work, 60 if not name.startswith("settled") else 8)
        out.write(f"{name:60s} {measured:8.3f} ms   bare solutions {least:7.3f} ms   ratio {measured / least:6.1f}\n")
    for copies in (10, 100):
        many = observations(1, copies)
        begun, again = fit(many, WIRING), edited(many)
        measured = milliseconds(lambda again=again, begun=begun: fit(again, WIRING, begun), 10)
        out.write(f"{f'live fit, {10 * copies} readings':60s} {measured:8.3f} ms\n")
    simulator = ngspice()
    out.write(
        "ngspice is not installed\n" if simulator is None else f"ngspice, one batch run, wall {simulator:8.3f} ms\n"
    )
    if simulator is not None:
        out.write(f"{'live fit and all 8 states, wall':60s} {milliseconds(live, 60, perf_counter):8.3f} ms\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())

"""Time of the live fit and of one state, beside the bare NumPy solutions that they cannot do without.

Run by hand: ``python tests/bench/bench_circuit.py``. Prints milliseconds of processor time and ratios; judges nothing.
"""

import sys
from collections.abc import Callable, Sequence
from dataclasses import replace
from statistics import median
from time import process_time

import numpy as np

from hazardreport.case.picture import PointRole
from hazardreport.case.reading import PlugPosition, Quantity, State, SwitchPosition, Temperature
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Element, SwitchPoles, Wiring
from hazardreport.circuit.fit import fit
from hazardreport.circuit.loads import Lamp
from hazardreport.circuit.observations import Observation, plan
from hazardreport.circuit.prediction import predicted_states
from hazardreport.circuit.squares import Squares
from hazardreport.circuit.thevenin import source_at_part
from hazardreport.circuit.unit_network import parameters_of

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


def observations(seed: int) -> list[Observation]:
    """Three resistances, the supply, and six voltages at the part, with doubt drawn for a seed."""
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
    every = [*ohms, supply, *volts]
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


def milliseconds(work: Callable[[], object], repeats: int = 60) -> float:
    """Median processor time of one call, after one to warm up."""
    work()
    times = []
    for _ in range(repeats):
        begun = process_time()
        work()
        times.append(process_time() - begun)
    return 1e3 * median(times)


def evaluations(readings: Sequence[Observation], start: object) -> int:
    """How often a fit evaluates the whole batch of displaced parameters."""
    count = 0
    original = Squares.predicted

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


def main() -> int:
    """Print the figures."""
    readings, lamp = observations(1), Lamp(rated_voltage=120.0, rated_power=15.0)
    last = fit(readings, WIRING)
    changed = [*readings[:-1], replace(readings[-1], value=readings[-1].value + 0.4)]
    lit = [*changed[:-1], replace(changed[-1], lamp=lamp, value=117.0)]
    rng = np.random.default_rng(0)
    matrix = rng.normal(size=(11, 8, 8)) + 8.0 * np.eye(8) + 0j
    sides = rng.normal(size=(11, 8, 3)) + 0j
    rounds, groups = evaluations(changed, last), 4
    floor = rounds * groups * milliseconds(lambda: np.linalg.solve(matrix, sides))
    single = milliseconds(lambda: np.linalg.solve(matrix[0], sides[0]), 400)
    live = milliseconds(lambda: fit(changed, WIRING, last))
    state = milliseconds(lambda: source_at_part(WIRING, last.parameters, STATES[-2]), 400)
    rows = (
        ("live fit, 10 readings, 4 networks, from the last estimate", live, floor),
        ("  the same with one lamp reading", milliseconds(lambda: fit(lit, WIRING, last)), floor),
        ("fit from nothing", milliseconds(lambda: fit(changed, WIRING), 15), floor),
        ("source of one state", state, single),
        (
            "all 8 states with doubt",
            milliseconds(lambda: predicted_states(last, WIRING, STATES)),
            8 * milliseconds(lambda: np.linalg.solve(matrix, sides)),
        ),
    )
    out = sys.stdout
    out.write(f"{rounds} evaluations of {groups} networks in the live fit\n")
    for name, measured, least in rows:
        out.write(f"{name:60s} {measured:8.3f} ms   bare solutions {least:7.3f} ms   ratio {measured / least:6.1f}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())

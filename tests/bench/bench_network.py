"""Time of one prediction of all readings and of one table of states, beside the bare solution of the same matrices.

Run by hand: ``python tests/bench/bench_network.py``. Prints milliseconds of processor time and ratios; judges nothing.
Where ngspice is installed, its batch run of a single state is printed beside them, in milliseconds of the clock.
"""

import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from statistics import median
from time import perf_counter, process_time

import numpy as np

from hazardreport.case.picture import PointRole
from hazardreport.case.reading import PlugPosition, Quantity, State, SwitchPosition, Temperature
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Element, SwitchPoles, Wiring
from hazardreport.circuit.loads import Lamp
from hazardreport.circuit.observations import Observation, plan
from hazardreport.circuit.thevenin import currents, sources_at_part
from hazardreport.circuit.unit_network import NetworkParameters, parameters_of

WIRING = Wiring(
    nominal_voltage=120.0,
    frequency=60.0,
    switch=SwitchPoles.POLE_1,
    element=Element(rated_voltage=120.0, rated_power=1500.0),
)
PLUGS = (PlugPosition.STRAIGHT, PlugPosition.REVERSED)
SWITCHES = (SwitchPosition.ON, SwitchPosition.OFF)
STATES = [UnitState(plug=p, switch=s, earthed=e) for p in PLUGS for s in SWITCHES for e in (False, True)]
LAMP = Lamp(rated_voltage=120.0, rated_power=15.0)
DECK = """one state
V1 s 0 AC 120 0
RL s l 0.2
RN n 0 0.2
RA n f 2.4
RB f l 7.2
RF f m 25
RT m 0 1000
.ac lin 1 60 60
.print ac v(m)
.end
"""


def readings(lamp: Lamp | None) -> list[Observation]:
    """Four resistances on two dead networks, and six voltages in four plugged states."""
    pin_1, pin_2, part = PointRole.PIN_1, PointRole.PIN_2, PointRole.TOUCHABLE_PART
    base = Observation(
        id="r",
        kind=Quantity.RESISTANCE,
        first=pin_1,
        second=part,
        state=State(),
        value=0.0,
        standard_uncertainty=0.5,
    )
    dead = [
        base,
        replace(base, first=pin_2),
        replace(base, second=pin_2),
        replace(base, first=pin_2, state=State(switch=SwitchPosition.OFF)),
    ]
    live = replace(base, kind=Quantity.VOLTAGE, first=part, second=PointRole.EARTH, load_impedance=1e7)
    plugged = [State(plug=p, switch=s, temperature=Temperature.WORKING) for p in PLUGS for s in SWITCHES]
    supply = replace(live, first=PointRole.LINE, second=PointRole.NEUTRAL, state=plugged[3])
    last = replace(live, state=plugged[3], load_impedance=3e3) if lamp is None else replace(live, lamp=lamp)
    volts = [replace(live, state=state) for state in plugged[:3]]
    return [*dead, supply, *volts, replace(live, state=plugged[0], load_impedance=3e3), replace(last, state=plugged[3])]


def displaced() -> NetworkParameters:
    """Eleven sets of parameters, as central differences of five want them."""
    centre = np.array([121.0, 9.6, 0.25, 25.0, 1.03])
    shift = np.diag(1e-4 * centre)
    voltage, element, position, fault, hot = np.concatenate([centre + shift, centre - shift, centre[None]]).T
    return parameters_of(
        WIRING,
        supply_voltage=voltage,
        element_resistance=element,
        fault_position=position,
        fault_resistance=fault,
        hot_factor=hot,
    )


def milliseconds(work: Callable[[], object], clock: Callable[[], float] = process_time, repeats: int = 300) -> float:
    """Median time of one call, after one to warm up."""
    work()
    times = []
    for _ in range(repeats):
        begun = clock()
        work()
        times.append(clock() - begun)
    return 1e3 * median(times)


def simulator() -> float | None:
    """One batch run of the circuit simulator on one state; None where it is not installed."""
    program = shutil.which("ngspice")
    if program is None:
        return None
    with tempfile.TemporaryDirectory() as folder:
        deck = Path(folder) / "deck.cir"
        deck.write_text(DECK)
        command = [program, "-b", str(deck)]
        return milliseconds(lambda: subprocess.run(command, capture_output=True, check=True), perf_counter, 30)


def main() -> int:
    """Print the figures."""
    parameters, rng = displaced(), np.random.default_rng(0)
    matrix, sides = rng.normal(size=(11, 6, 4, 4)) + 8.0 * np.eye(4), rng.normal(size=(11, 6, 4, 4))
    floor = milliseconds(lambda: np.linalg.solve(matrix, sides))
    eight = rng.normal(size=(11, 8, 4, 4)) + 8.0 * np.eye(4)
    eight_floor = milliseconds(lambda: np.linalg.solve(eight, eight))
    plain, lit = (plan(readings(lamp), WIRING) for lamp in (None, LAMP))
    rows = (
        ("10 readings, 6 networks, 11 sets of parameters", milliseconds(lambda: plain.predict(parameters)), floor),
        ("  the same with one lamp", milliseconds(lambda: lit.predict(parameters)), floor),
        (
            "sources of 8 states, 11 sets of parameters",
            milliseconds(lambda: sources_at_part(WIRING, parameters, STATES)),
            eight_floor,
        ),
        (
            "all currents of one state, 11 sets of parameters",
            milliseconds(lambda: currents(WIRING, parameters, STATES[1], 1000.0)),
            floor / 6.0,
        ),
    )
    for name, measured, least in rows:
        sys.stdout.write(
            f"{name:52s} {measured:7.3f} ms   bare solution {least:7.3f} ms   ratio {measured / least:6.1f}\n"
        )
    simulated = simulator()
    if simulated is not None:
        sys.stdout.write(f"{'circuit simulator, one batch run of one state':52s} {simulated:7.3f} ms of the clock\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())

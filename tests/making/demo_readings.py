"""Readings of the demo case: the solver's answer for one invented network, with the noise of the meter that reads it.

The gain of each range is off by a fixed share and every reading by a few digits, inside the instrument's accuracy; the
mains wanders by 0.3 %. All of it is drawn once from a recorded seed; then the display's digits are all that is left.
"""

import math
import sys
from dataclasses import dataclass, field, replace

import numpy as np
from demo_story import DISPLAY, ELECTRICIAN, POINTS, WIRING

from hazardreport.case.picture import PointRole
from hazardreport.case.reading import (
    Accuracy,
    Brightness,
    Instrument,
    Load,
    LoadKind,
    PlugPosition,
    Quantity,
    Reading,
    State,
    SwitchPosition,
)
from hazardreport.circuit import loads
from hazardreport.circuit.netlist import thevenin
from hazardreport.circuit.unit_network import Node, parameters_of, unit_netlist, unit_state
from hazardreport.errors import FloatingNetworkError

SEED = 20260512
SUPPLY = 230.8
DRIFT = 0.003
FAULT_POSITION, FAULT_RESISTANCE = 0.92, 330.0
HOT_FACTOR = 1.03
PARAMETERS = parameters_of(
    WIRING,
    element_resistance=230.0**2 / 600.0,
    fault_position=FAULT_POSITION,
    fault_resistance=FAULT_RESISTANCE,
    hot_factor=HOT_FACTOR,
    supply_voltage=SUPPLY,
)
NODES = {
    PointRole.TOUCHABLE_PART: Node.PART,
    PointRole.PIN_1: Node.PIN_1,
    PointRole.PIN_2: Node.PIN_2,
    PointRole.EARTH_PIN: Node.EARTH_PIN,
}

V, OHM = Quantity.VOLTAGE, Quantity.RESISTANCE
METER = Instrument(
    id="instrument-001",
    name="multimeter 1",
    kind="multimeter",
    serial="MM-0417 (invented)",
    input_resistance=10e6,
    input_capacitance=100e-12,
    lead_resistance=0.2,
    calibrated="2026-01-20",
    calibrated_by="Messhaus Kerzenau (invented)",
    accuracies=(
        Accuracy(quantity=V, range_to=60.0, percent=0.8, digits=5, resolution=0.01),
        Accuracy(quantity=V, range_to=600.0, percent=0.8, digits=5, resolution=0.1),
        Accuracy(quantity=OHM, range_to=600.0, percent=0.5, digits=3, resolution=0.1),
        Accuracy(quantity=OHM, range_to=6e3, percent=0.5, digits=2, resolution=1.0),
        Accuracy(quantity=OHM, range_to=60e6, percent=2.0, digits=5, resolution=10e3),
    ),
)
TESTER = Instrument(
    id="instrument-002",
    name="insulation tester",
    kind="insulation tester",
    serial="IT-0093 (invented)",
    calibrated="2026-01-20",
    calibrated_by="Messhaus Kerzenau (invented)",
    accuracies=(Accuracy(quantity=OHM, range_to=1e9, percent=5.0, digits=2, resolution=10e3),),
)
INSTRUMENTS = (METER, TESTER)

NOTHING = Load()
BOX = Load(kind=LoadKind.RESISTOR, resistance=47e3, tolerance=0.05)
BOXED = "47 kΩ, 10 W, fused, in a closed insulated box, clipped on with the plug out"
LAMP = Load(kind=LoadKind.LAMP, rated_voltage=230.0, rated_power=25.0, tolerance=0.08)


@dataclass
class Bench:
    """The meter on the bench, with its own errors."""

    rng: np.random.Generator
    gains: dict[tuple[Quantity, float], float] = field(default_factory=dict)

    def mains(self) -> float:
        """The supply at the moment of a reading, over its mean. [1]"""
        return 1.0 + DRIFT * float(self.rng.normal())

    def shown(self, quantity: Quantity, value: float) -> str:
        """What the display shows, with unit."""
        accuracy = next(a for a in METER.accuracies if a.quantity is quantity and value < a.range_to)
        gain = self.gains.setdefault(
            (quantity, accuracy.range_to), 1.0 + 0.3 * accuracy.percent / 100.0 * float(self.rng.uniform(-1, 1))
        )
        stray = abs(float(self.rng.normal(0.0, 0.4 * accuracy.digits))) if value == 0.0 else 0.0
        noise = float(self.rng.normal(0.0, 0.25 * accuracy.digits))
        counts = max(0, round(value * gain / accuracy.resolution + (stray or noise)))
        decimals = max(0, round(-math.log10(accuracy.resolution)))
        if quantity is OHM and accuracy.resolution == 1.0:
            return f"{counts / 1e3:.3f} kΩ"
        return f"{counts * accuracy.resolution:.{decimals}f} {'V' if quantity is V else 'Ω'}"


def _role(letter: str) -> PointRole:
    return next(point.role for point in POINTS if point.letter == letter)


def ohms(first: str, second: str, switch: SwitchPosition) -> float:
    """Resistance between two points of the unplugged, cold unit; infinite for none. [ohm]"""
    state = unit_state(State(switch=switch), WIRING)
    netlist = unit_netlist(WIRING, PARAMETERS, state, cold=True)
    a, b = NODES[_role(first)], NODES[_role(second)]
    try:
        return abs(complex(thevenin(netlist, 0.0, a, b)[1]))
    except FloatingNetworkError:
        return math.inf


def _meter_impedance() -> complex:
    assert METER.input_resistance is not None
    assert METER.input_capacitance is not None
    assert WIRING.frequency is not None
    return 1.0 / (1.0 / METER.input_resistance + 2j * math.pi * WIRING.frequency * METER.input_capacitance)


def volts(plug: PlugPosition, switch: SwitchPosition, load: Load) -> float:
    """Voltage from the pot to earth with meter and load in parallel. [V]"""
    netlist = unit_netlist(WIRING, PARAMETERS, unit_state(State(plug=plug, switch=switch), WIRING))
    voltage, impedance = (complex(part) for part in thevenin(netlist, PARAMETERS.frequency, Node.PART, Node.EARTH))
    if load.kind is LoadKind.NONE:
        return loads.loaded_voltage(voltage, impedance, _meter_impedance())
    behind = loads.behind_meter(voltage, impedance, _meter_impedance())
    if load.kind is LoadKind.RESISTOR:
        assert load.resistance is not None
        return loads.loaded_voltage(*behind, load.resistance)
    assert load.rated_voltage is not None
    assert load.rated_power is not None
    lamp = loads.Lamp(rated_voltage=load.rated_voltage, rated_power=load.rated_power, tolerance=load.tolerance)
    return loads.loaded_voltage(*behind, lamp)


def demo_readings() -> tuple[Reading, ...]:
    """All readings, in the order in which they were taken."""
    bench = Bench(np.random.default_rng(SEED))
    return _numbered([*_stored_charge(bench), *_dead(bench), *_proofs(bench), *_live(bench)])


def _numbered(readings: list[Reading]) -> tuple[Reading, ...]:
    return tuple(replace(reading, id=f"reading-{number:03d}") for number, reading in enumerate(readings, 1))


def _stored_charge(bench: Bench) -> list[Reading]:
    note = "a.c. and d.c., the higher; meter proved before and after"
    return [
        _reading(first, second, V, bench.shown(V, 0.0), State(), f"09:{14 + minute:02d}", note=note, proved=True)
        for minute, (first, second) in enumerate((("B", "C"), ("B", "A"), ("C", "A")))
    ]


def _ohms_shown(bench: Bench, first: str, second: str, switch: SwitchPosition) -> str:
    value = ohms(first, second, switch)
    return "OL" if math.isinf(value) else bench.shown(OHM, value + (METER.lead_resistance or 0.0))


def _dead(bench: Bench) -> list[Reading]:
    on, off = SwitchPosition.ON, SwitchPosition.OFF
    rows = (
        ("B", "C", on, ""),
        ("B", "A", on, "leads changed over: the same"),
        ("C", "A", on, "leads changed over: the same"),
        ("B", "A", off, ""),
        ("C", "A", off, ""),
        ("D", "A", on, "cord moved where it enters: the same"),
    )
    found = [
        _reading(first, second, OHM, _ohms_shown(bench, first, second, switch), State(switch=switch), taken, note=note)
        for (first, second, switch, note), taken in zip(rows, _minutes("09", 20), strict=False)
    ]
    told = "Insulation at 500 V, pins 1 and 2 joined; nobody touched the unit; discharged and proved dead after."
    insulation = _reading("B", "A", OHM, "< 0.01 MΩ", State(), "09:31", instrument=TESTER.id, note=told)
    again = [
        _reading(
            first, "A", OHM, _ohms_shown(bench, first, "A", on), State(), taken, note="again after the insulation test"
        )
        for first, taken in zip(("B", "C"), _minutes("09", 36), strict=False)
    ]
    return [*found, insulation, *again]


def _minutes(hour: str, start: int, step: int = 1) -> list[str]:
    return [f"{hour}:{minute:02d}" for minute in range(start, 60, step)]


def _proofs(bench: Bench) -> list[Reading]:
    rows = (
        ("F", "G", SUPPLY, "lamp of 25 W in parallel; meter proved on the tester's own source before"),
        ("F", "E", SUPPLY, "lamp of 25 W from line to neutral"),
        ("G", "E", 0.2 * 25.0 / 230.0, "lamp of 25 W from line to neutral; meter proved again after"),
    )
    return [
        _reading(
            first,
            second,
            V,
            bench.shown(V, bench.mains() * value),
            State(),
            f"09:{48 + minute:02d}",
            note=note,
            proved=True,
        )
        for minute, (first, second, value, note) in enumerate(rows)
    ]


def _live(bench: Bench) -> list[Reading]:
    straight, reversed_ = PlugPosition.STRAIGHT, PlugPosition.REVERSED
    on, off = SwitchPosition.ON, SwitchPosition.OFF
    rows = (
        (straight, off, NOTHING, ""),
        (straight, on, NOTHING, ""),
        (reversed_, on, NOTHING, ""),
        (reversed_, off, NOTHING, ""),
        (reversed_, off, BOX, BOXED),
        (reversed_, on, BOX, BOXED),
        (straight, on, BOX, BOXED),
        (straight, off, BOX, BOXED),
        (reversed_, off, LAMP, "lamp in a closed insulated box, clipped on with the plug out"),
    )
    found = []
    for minute, (plug, switch, load, note) in enumerate(rows):
        state = State(plug=plug, switch=switch)
        typed = bench.shown(V, bench.mains() * volts(plug, switch, load))
        picture = DISPLAY if (plug, switch, load) == (reversed_, off, NOTHING) else ""
        taken = f"10:{6 + 2 * minute:02d}"
        found.append(_reading("A", "E", V, typed, state, taken, load=load, note=note, picture=picture, proved=True))
    bright = volts(reversed_, off, LAMP) / 230.0
    seen = Brightness.FULL if bright >= 0.8 else Brightness.DIM
    state = State(plug=reversed_, switch=off)
    lamp = _reading("A", "E", Quantity.LAMP, seen.value, state, "10:22", load=LAMP, instrument="", proved=True)
    return [*found, lamp]


def _reading(
    first: str,
    second: str,
    quantity: Quantity,
    typed: str,
    state: State,
    taken: str,
    *,
    load: Load = NOTHING,
    instrument: str = METER.id,
    note: str = "",
    picture: str = "",
    proved: bool = False,
) -> Reading:
    return Reading(
        id="",
        first=first,
        second=second,
        quantity=quantity,
        typed=typed,
        state=state,
        load=load,
        instrument=instrument,
        proved=proved,
        taken=f"2026-05-12T{taken}:00+02:00",
        by=ELECTRICIAN,
        picture=picture,
        note=note,
    )


if __name__ == "__main__":
    for reading in demo_readings():
        state = f"{reading.state.plug}, {reading.state.switch}, {reading.load.kind}"
        sys.stdout.write(f"{reading.id}  {reading.first}-{reading.second}  {state:<36}  {reading.typed}\n")

"""Random units against a circuit simulator: what is compiled is solved as ngspice solves it.

Voltages and currents computed by ngspice, many networks in one run. Where a unit has no resistance at all, both sides
have 20 mΩ; open wires are left out on both. Lamps are current sources of their own voltage, solved at the crest-free
operating point of resistive networks, in which effective values behave like direct voltages.
"""

import shutil
import subprocess
from cmath import phase
from dataclasses import dataclass, field
from math import degrees
from pathlib import Path

import numpy as np
import pytest

from hazardreport.case.reading import PlugPosition
from hazardreport.circuit.loads import Lamp, filaments, loaded_current, loaded_voltage
from hazardreport.circuit.netlist import (
    Branch,
    Capacitor,
    Netlist,
    Passive,
    Resistor,
    VoltageSource,
    solve,
    solve_part,
)
from hazardreport.circuit.thevenin import currents, source_at_part
from hazardreport.circuit.touch_networks import touch_network_branches, touch_network_load
from hazardreport.circuit.unit_bank import Question, unit_bank
from hazardreport.circuit.unit_network import Node, unit_netlist

from .random_units import LAMPS, RandomUnit, random_unit, spread

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice is not installed"),
]

LINEAR = 240
LIT = 80
DEAD = 60
RELATIVE = 1e-6
OF_LAMPS = 1e-6
NOTHING = 1e-9
"""Smaller voltages are rounding in a circuit of hundreds of volts. [V]"""


@dataclass(slots=True)
class Deck:
    """Many networks as one deck; every network has nodes of its own and shares only earth."""

    lines: list[str] = field(default_factory=lambda: ["many networks"])
    node: dict[tuple[int, str], str] = field(default_factory=dict)

    def name(self, network: int, node: str, ground: str = Node.EARTH) -> str:
        if node == ground:
            return "0"
        return self.node.setdefault((network, node), f"n{len(self.node)}")

    def add(self, network: int, branches: tuple[Branch, ...], direct: bool, ground: str = Node.EARTH) -> None:
        for branch in branches:
            ends = f"{self.name(network, branch.first, ground)} {self.name(network, branch.second, ground)}"
            number = len(self.lines)
            match branch:
                case VoltageSource():
                    voltage = complex(branch.voltage)
                    value = f"DC {voltage.real!r}" if direct else f"AC {abs(voltage)!r} {degrees(phase(voltage))!r}"
                    self.lines.append(f"V{number} {ends} {value}")
                case Capacitor():
                    self.lines.append(f"C{number} {ends} {float(branch.capacitance)!r}")
                case Resistor() if np.isfinite(branch.resistance):
                    self.lines.append(f"R{number} {ends} {float(branch.resistance)!r}")

    def add_lamp(self, network: int, lamp: Lamp) -> None:
        node = self.name(network, Node.PART)
        terms = (
            f"{g!r}*pow({c!r}+{r!r}*pow(abs(v({node})),{p!r}),{q!r})"
            for c, r, p, q, g in filaments(lamp.rated_voltage, lamp.rated_power)
        )
        self.lines.append(f"B{len(self.lines)} {node} 0 I=v({node})*({'+'.join(terms)})")

    def run(self, analysis: str, folder: Path) -> dict[tuple[int, str], complex]:
        """Voltage of every node to earth, by network and name."""
        deck, raw = folder / "deck.cir", folder / "deck.raw"
        options = ".options reltol=1e-12 abstol=1e-16 vntol=1e-13 itl1=2000"
        deck.write_text("\n".join([*self.lines, options, analysis, ".end", ""]))
        done = subprocess.run(
            ["ngspice", "-b", "-r", str(raw), str(deck)], capture_output=True, text=True, timeout=300, check=False
        )
        assert done.returncode == 0, done.stdout + done.stderr
        head, _, body = raw.read_bytes().partition(b"Binary:\n")
        lines = head.decode().split("Variables:\n")[1].splitlines()
        names = [line.split()[1] for line in lines if line.strip()]
        kind = np.complex128 if b"complex" in head else np.float64
        values = np.frombuffer(body, dtype=kind)
        assert len(values) == len(names)
        found = dict(zip(names, values.tolist(), strict=True))
        return {key: complex(found[f"v({name})"]) for key, name in self.node.items()}


def conducting_part(netlist: Netlist, frequency: float) -> Netlist:
    """The branches between nodes that have a potential: a simulator takes no others."""
    nodes = solve_part(netlist, frequency).nodes
    kept = tuple(branch for branch in netlist.branches if {branch.first, branch.second} <= nodes)
    return Netlist(branches=kept, ground=netlist.ground)


def loaded(unit: RandomUnit, load: tuple[Passive, ...]) -> Netlist:
    netlist = unit_netlist(unit.wiring, unit.parameters, unit.state)
    return conducting_part(Netlist(branches=(*netlist.branches, *load), ground=Node.EARTH), unit.parameters.frequency)


def random_load(seed: int) -> tuple[tuple[Passive, ...], float]:
    """A meter, a resistor or a network of the standard; and its resistance, zero for networks."""
    rng = np.random.default_rng(seed)
    kind = int(rng.integers(4))
    if kind < 2:
        resistance = spread(rng, 1e6, 1e7) if kind == 0 else spread(rng, 100.0, 1e5)
        meter: tuple[Passive, ...] = (Resistor(name="load", first=Node.PART, second=Node.EARTH, resistance=resistance),)
        if kind == 0:
            meter += (Capacitor(name="beside", first=Node.PART, second=Node.EARTH, capacitance=100e-12),)
        return meter, resistance
    return touch_network_branches(kind + 1, Node.PART, Node.EARTH, "load"), 0.0


def load_impedance(seed: int, frequency: float) -> complex:
    """The same load in one number, of the figure's own table for a network."""
    branches, resistance = random_load(seed)
    if not resistance:
        return touch_network_load(4 if len(branches) > 3 else 3, frequency).impedance
    capacitance = sum(float(branch.capacitance) for branch in branches if isinstance(branch, Capacitor))
    return 1.0 / (1.0 / resistance + 2j * np.pi * frequency * capacitance)


@pytest.mark.parametrize("frequency", [50.0, 60.0])
def test_random_units_with_linear_loads_agree_with_the_simulator(tmp_path: Path, frequency: float) -> None:
    units = [
        random_unit(seed, frequency=frequency)
        for seed in range(int(frequency) * 1000, int(frequency) * 1000 + LINEAR // 2)
    ]
    networks = [loaded(unit, random_load(number)[0]) for number, unit in enumerate(units)]
    deck = Deck()
    for number, network in enumerate(networks):
        deck.add(number, network.branches, direct=False)
    simulated = deck.run(f".ac lin 1 {frequency} {frequency}", tmp_path)
    energised = 0
    for number, (unit, network) in enumerate(zip(units, networks, strict=True)):
        solution = solve(network, frequency)
        nodes = {node for branch in network.branches for node in (branch.first, branch.second)} - {Node.EARTH}
        for node in nodes:
            expected = simulated[number, node]
            assert abs(complex(solution.voltage(node)) - expected) <= RELATIVE * abs(expected) + NOTHING, (number, node)
        voltage, impedance = (complex(part) for part in source_at_part(unit.wiring, unit.parameters, unit.state))
        across = loaded_voltage(voltage, impedance, load_impedance(number, frequency))
        expected_across = abs(simulated[number, Node.PART])
        assert abs(across - expected_across) <= RELATIVE * expected_across + NOTHING, number
        energised += expected_across > 1.0
    assert energised > LINEAR // 4


def test_currents_of_random_units_agree_with_the_simulator(tmp_path: Path) -> None:
    """Line, neutral or second pole, protective conductor, and what a residual-current device sees."""
    units = [random_unit(seed) for seed in range(90_000, 90_000 + LINEAR // 3)]
    resistance = 1000.0
    body = Resistor(name="load", first=Node.PART, second=Node.EARTH, resistance=resistance)
    networks = [loaded(unit, (body,)) for unit in units]
    deck = Deck()
    for number, network in enumerate(networks):
        deck.add(number, network.branches, direct=False)
    simulated = deck.run(".ac lin 1 50 50", tmp_path)
    for number, (unit, network) in enumerate(zip(units, networks, strict=True)):

        def flow(name: str, network: Netlist = network, number: int = number) -> complex:
            for branch in network.branches:
                if branch.name == name and isinstance(branch, Resistor):
                    first, second = (simulated.get((number, node), 0j) for node in (branch.first, branch.second))
                    return (first - second) / float(branch.resistance)
            return 0j

        found = currents(unit.wiring, unit.parameters, unit.state, resistance)
        line, neutral = flow("line"), flow("neutral")
        largest = max(abs(line), abs(neutral))
        for ours, expected in (
            (found.neutral_current, abs(neutral)),
            (found.residual_current, abs(line - neutral)),
            (found.earth_current, abs(flow("unit earth"))),
            (found.load_current, abs(flow("load"))),
        ):
            assert abs(float(ours) - expected) <= RELATIVE * expected + 1e-9 * largest + 1e-12, number
        assert (
            abs(float(found.line_current) - abs(line)) <= RELATIVE * abs(line) + 1e-9
            or len([branch for branch in network.branches if isinstance(branch, VoltageSource)]) == 2
        )


def test_random_units_with_a_lamp_agree_with_the_simulator(tmp_path: Path) -> None:
    units = [random_unit(seed, resistive=True) for seed in range(70_000, 70_000 + LIT)]
    deck, lamps = Deck(), []
    for number, unit in enumerate(units):
        lamp = LAMPS[number % len(LAMPS)]
        meter = Resistor(name="load", first=Node.PART, second=Node.EARTH, resistance=1e7)
        deck.add(number, loaded(unit, (meter,)).branches, direct=True)
        deck.add_lamp(number, lamp)
        lamps.append(lamp)
    simulated = deck.run(".op", tmp_path)
    burning = 0
    for number, (unit, lamp) in enumerate(zip(units, lamps, strict=True)):
        voltage, impedance = (complex(part) for part in source_at_part(unit.wiring, unit.parameters, unit.state))
        share = 1.0 if np.isinf(impedance) else 1e7 / (1e7 + impedance)
        across = loaded_voltage(voltage * share, impedance * share, lamp)
        expected = abs(simulated[number, Node.PART])
        assert abs(across - expected) <= OF_LAMPS * expected + NOTHING, number
        current = loaded_current(voltage * share, impedance * share, lamp)
        assert current * lamp.rated_voltage <= lamp.rated_power * max(1.0, across / lamp.rated_voltage)
        burning += expected > 20.0
    assert burning > LIT // 6


def test_resistances_of_random_unplugged_units_agree_with_the_simulator(tmp_path: Path) -> None:
    """One ampere through each pair of points, as an ohmmeter sends it."""
    ports = ((Node.PIN_1, Node.PART), (Node.PIN_2, Node.PART), (Node.PIN_1, Node.PIN_2), (Node.PART, Node.SECOND_PART))
    deck, wanted = Deck(), []
    for number in range(DEAD):
        unit = random_unit(50_000 + number, plugged=False)
        port = ports[number % len(ports)]
        bank = unit_bank(unit.wiring, (Question(unit.state, (port,), cold=True, direct_current=True),))
        resistance = float(bank.thevenin(unit.parameters)[1][0, 0].real)
        netlist = unit_netlist(unit.wiring, unit.parameters, unit.state, cold=True)
        dead = conducting_part(Netlist(branches=netlist.branches, ground=port[1]), 0.0)
        reached = {node for branch in dead.branches for node in (branch.first, branch.second)}
        assert (port[0] in reached) == bool(np.isfinite(resistance)), number
        if np.isfinite(resistance):
            deck.add(number, dead.branches, direct=True, ground=port[1])
            deck.lines.append(f"I{len(deck.lines)} 0 {deck.name(number, port[0], port[1])} DC 1")
            wanted.append((number, port[0], resistance))
    simulated = deck.run(".op", tmp_path)
    assert len(wanted) > DEAD // 3
    for number, node, resistance in wanted:
        assert resistance == pytest.approx(simulated[number, node].real, rel=RELATIVE), number


def test_every_kind_of_unit_was_drawn() -> None:
    units = [
        random_unit(seed, frequency=frequency)
        for frequency in (50.0, 60.0)
        for seed in range(int(frequency) * 1000, int(frequency) * 1000 + LINEAR // 2)
    ]
    assert {unit.wiring.supply for unit in units} >= {
        "single-phase, earthed neutral",
        "two live poles",
        "two phases of three",
    }
    assert {unit.wiring.supply_fault for unit in units} == {"none found", "neutral interrupted", "PEN interrupted"}
    assert {unit.wiring.earthing for unit in units} == {"TN", "TT", "unknown"}
    assert {unit.state.plug for unit in units} == {PlugPosition.STRAIGHT, PlugPosition.REVERSED}
    assert any(unit.parameters.open_position is not None for unit in units)
    assert any(len(unit.parameters.further_elements) == 2 for unit in units)
    assert any(unit.state.cut_out_open for unit in units)

"""General nodal analysis: zeros and infinities exactly, batches, Thevenin by one factorisation, typed refusals."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.circuit.netlist import (
    Capacitor,
    Impedance,
    Netlist,
    Resistor,
    VoltageSource,
    solve,
    thevenin,
    thevenin_ports,
)
from hazardreport.errors import (
    FloatingNetworkError,
    NetworkNotSolvableError,
    UnknownBranchError,
    UnknownNodeError,
)

RESISTANCE = st.floats(1e-3, 1e7)
CALM = settings(derandomize=True, deadline=None, max_examples=60)


def ladder(*resistances: float, capacitance: float = 0.0, voltage: complex = 230.0) -> Netlist:
    """Source, then series resistor and shunt resistor in turn."""
    branches = [VoltageSource(name="V", first="n0", second="earth", voltage=voltage)]
    node = 0
    for number, resistance in enumerate(resistances):
        if number % 2 == 0:
            branches.append(Resistor(name=f"R{number}", first=f"n{node}", second=f"n{node + 1}", resistance=resistance))
            node += 1
        else:
            branches.append(Resistor(name=f"R{number}", first=f"n{node}", second="earth", resistance=resistance))
    branches.append(Capacitor(name="C", first=f"n{node}", second="earth", capacitance=capacitance))
    return Netlist(branches=tuple(branches))


@CALM
@given(st.lists(RESISTANCE, min_size=4, max_size=4), st.floats(0, 1e-5))
def test_power_of_the_source_is_the_power_in_all_branches(resistances: list[float], capacitance: float) -> None:
    network = ladder(*resistances, capacitance=capacitance)
    solution = solve(network, 50.0)
    powers = [
        complex(solution.voltage(branch.first, branch.second) * np.conj(solution.current(branch.name)))
        for branch in network.branches
        if branch.name != "C" or capacitance
    ]
    assert abs(sum(powers)) <= 1e-9 * max(abs(power) for power in powers)


@CALM
@given(st.lists(RESISTANCE, min_size=4, max_size=4), st.floats(1e-12, 1e-5), RESISTANCE, st.floats(-1e5, 1e5))
def test_thevenin_equals_the_direct_solution_with_a_load(
    resistances: list[float], capacitance: float, resistance: float, reactance: float
) -> None:
    network = ladder(*resistances, capacitance=capacitance)
    voltage, impedance = thevenin(network, 50.0, "n2", "earth")
    load = complex(resistance, reactance)
    loaded = Netlist(branches=(*network.branches, Impedance(name="load", first="n2", second="earth", value=load)))
    direct = complex(solve(loaded, 50.0).voltage("n2"))
    assert complex(voltage) * load / (complex(impedance) + load) == pytest.approx(direct, rel=1e-8)


def test_a_resistance_of_zero_and_one_of_infinity_are_exact() -> None:
    network = Netlist(
        branches=(
            VoltageSource(name="V", first="a", second="earth", voltage=100.0),
            Resistor(name="wire", first="a", second="b", resistance=0.0),
            Resistor(name="R", first="b", second="earth", resistance=np.array([10.0, 20.0])),
            Resistor(name="cut", first="b", second="earth", resistance=np.array([np.inf, 5.0])),
        )
    )
    solution = solve(network, 0.0)
    assert solution.current("wire").tolist() == [10.0, 25.0]
    assert solution.current("cut").tolist() == [0.0, 20.0]
    assert solution.voltage("b").tolist() == [100.0, 100.0]


def test_a_batch_gives_what_its_members_give() -> None:
    values = np.geomspace(1e-2, 1e6, 7)
    batch = thevenin(ladder(values, 5.0, 7.0, 100.0), 60.0, "n2", "earth")
    single = [thevenin(ladder(float(value), 5.0, 7.0, 100.0), 60.0, "n2", "earth") for value in values]
    assert np.allclose(batch[0], [voltage for voltage, _ in single], rtol=1e-13)
    assert np.allclose(batch[1], [impedance for _, impedance in single], rtol=1e-13)


def test_several_ports_give_what_each_gives_alone() -> None:
    network = ladder(1.0, 2.0, 3.0, 4.0, capacitance=1e-6)
    ports = (("n2", "earth"), ("n1", "n2"), ("n0", "n1"))
    for port, answer in zip(ports, thevenin_ports(network, 50.0, ports), strict=True):
        assert np.allclose(answer, thevenin(network, 50.0, *port), rtol=1e-12, atol=1e-12)


def test_a_capacitor_is_open_for_direct_current_and_its_susceptance_counts_otherwise() -> None:
    network = ladder(1000.0, capacitance=1e-6, voltage=10.0)
    assert abs(solve(network, 50.0).voltage("n1")) == pytest.approx(10 / abs(1 + 1j * 2 * np.pi * 50 * 1e-3))
    assert solve(network, 0.0).current("C") == 0.0


def test_a_floating_part_is_named() -> None:
    network = Netlist(
        branches=(
            VoltageSource(name="V", first="a", second="earth", voltage=1.0),
            Resistor(name="R", first="a", second="earth", resistance=1.0),
            Resistor(name="lost", first="x", second="y", resistance=1.0),
        )
    )
    with pytest.raises(FloatingNetworkError) as caught:
        solve(network, 50.0)
    assert caught.value.nodes == "x, y"
    with pytest.raises(FloatingNetworkError):
        thevenin(network, 50.0, "x", "earth")
    assert thevenin(network, 50.0, "x", "y") == (0.0, 1.0)


def test_a_short_circuited_source_is_refused() -> None:
    network = Netlist(
        branches=(
            VoltageSource(name="V", first="a", second="earth", voltage=1.0),
            Resistor(name="short", first="a", second="earth", resistance=0.0),
        )
    )
    with pytest.raises(NetworkNotSolvableError):
        solve(network, 50.0)


def test_a_node_or_branch_that_is_not_there_is_refused() -> None:
    solution = solve(ladder(1.0, 1.0), 50.0)
    with pytest.raises(UnknownNodeError):
        solution.voltage("nowhere")
    with pytest.raises(UnknownBranchError):
        solution.current("nothing")

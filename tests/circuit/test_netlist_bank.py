"""Many networks in one solution: each is what it is alone, zeros and infinities are exact, refusals are typed."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.circuit.bank import Bank, Skeleton
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
from hazardreport.errors import NetworkNotSolvableError

CALM = settings(derandomize=True, deadline=None, max_examples=80)
LADDER = (("a", "b", 0), ("b", "earth", 1), ("b", "c", 2), ("c", "earth", 3))


def ladder(*ports: tuple[str, str]) -> Bank:
    """Source at a, then series and shunt in turn; and the same without its first shunt."""
    source = (("a", "earth", 0),)
    whole = Skeleton(LADDER, source, "earth")
    less = Skeleton((LADDER[0], *LADDER[2:]), source, "earth")
    return Bank((whole, less), (ports, ports), 1)


def test_a_ladder_by_hand() -> None:
    voltage, impedance = ladder(("c", "earth"), ("b", "c")).thevenin(
        np.array([[10.0, 10.0, 5.0, 10.0]]), np.array([[100.0]])
    )
    assert voltage[0].ravel().tolist() == pytest.approx([25.0, 12.5, 40.0, 20.0])
    assert impedance[0].ravel().tolist() == pytest.approx([5.0, 3.75, 6.0, 4.0])


@pytest.mark.parametrize(
    ("values", "voltage", "impedance"),
    [
        ([0.0, 10.0, 5.0, 5.0], 50.0, 2.5),
        ([10.0, 10.0, 0.0, np.inf], 50.0, 5.0),
        ([np.inf, 10.0, 5.0, np.inf], 0.0, 15.0),
        ([np.inf, np.inf, 5.0, np.inf], 0.0, np.inf),
        ([10.0, 0.0, 0.0, 5.0], 0.0, 0.0),
        ([0.0, np.inf, 0.0, np.inf], 100.0, 0.0),
        ([1e-12, 1.0, 1e-9, np.inf], 100.0, 1e-12 + 1e-9),
    ],
)
def test_zeros_and_infinities_are_exact(values: list[float], voltage: float, impedance: float) -> None:
    found = ladder(("c", "earth")).thevenin(np.array([values]), np.array([[100.0]]))
    assert found[0][0, 0, 0] == pytest.approx(voltage, rel=1e-9)
    assert found[1][0, 0, 0] == pytest.approx(impedance, rel=1e-12, abs=1e-15)


def test_zeros_and_infinities_may_differ_within_one_batch() -> None:
    rows = np.array(
        [[10.0, 10.0, 5.0, 10.0], [0.0, np.inf, 5.0, 10.0], [np.inf, np.inf, 5.0, np.inf], [1.0, 2.0, 0.0, 3.0]]
    )
    together = ladder(("c", "earth"), ("a", "b")).thevenin(rows, np.full((4, 1), 100.0))
    for number, row in enumerate(rows):
        alone = ladder(("c", "earth"), ("a", "b")).thevenin(row[None, :], np.array([[100.0]]))
        for whole, part in zip(together, alone, strict=True):
            assert whole[number].ravel().tolist() == pytest.approx(part[0].ravel().tolist(), rel=1e-12)


def test_a_node_that_is_nowhere_has_no_source() -> None:
    voltage, impedance = ladder(("nowhere", "earth"), ("c", "c")).thevenin(np.ones((1, 4)), np.ones((1, 1)))
    assert voltage[0].tolist() == [[0.0, 0.0], [0.0, 0.0]]
    assert impedance[0].tolist() == [[np.inf, 0.0], [np.inf, 0.0]]


def test_real_values_stay_real_and_one_complex_value_makes_all_complex() -> None:
    bank = ladder(("c", "earth"))
    assert bank.thevenin(np.ones((1, 4)), np.ones((1, 1)))[1].dtype == np.float64
    assert bank.thevenin(np.ones((1, 4)) + 0j, np.ones((1, 1)))[1].dtype == np.complex128


@pytest.mark.parametrize("wires", [(("a", "earth", 0),), (("a", "b", 0),)])
def test_a_source_over_no_resistance_is_refused(wires: tuple[tuple[str, str, int], ...]) -> None:
    """To earth, and against another source."""
    sources = (("a", "earth", 0), ("b", "earth", 1))
    bank = Bank((Skeleton(wires, sources, "earth"),), ((("a", "earth"),),), 2)
    with pytest.raises(NetworkNotSolvableError):
        bank.thevenin(np.zeros((1, 1)), np.ones((1, 2)))


def test_a_source_away_from_ground_adds_to_what_is_there() -> None:
    network = Netlist(
        branches=(
            VoltageSource(name="V1", first="a", second="earth", voltage=100.0),
            Resistor(name="R1", first="a", second="b", resistance=10.0),
            VoltageSource(name="V2", first="c", second="b", voltage=20.0),
            Resistor(name="R2", first="c", second="earth", resistance=30.0),
        )
    )
    voltage, impedance = thevenin(network, 50.0, "c", "earth")
    assert complex(voltage) == pytest.approx(90.0)
    assert complex(impedance) == pytest.approx(7.5)
    stacked = Netlist(branches=(*network.branches, VoltageSource(name="V3", first="d", second="a", voltage=5.0)))
    assert complex(thevenin(stacked, 50.0, "d", "earth")[0]) == pytest.approx(105.0)


@CALM
@given(st.integers(0, 10**9))
def test_any_network_with_a_load_is_the_source_with_the_load(seed: int) -> None:
    """Random graphs with zeros, open branches and capacitors, against all currents as unknowns."""
    rng = np.random.default_rng(seed)
    nodes = ["earth", *"abcde"]
    branches: list[Resistor | Capacitor | VoltageSource] = [
        VoltageSource(name="V", first="a", second="earth", voltage=230.0)
    ]
    for number in range(9):
        first, second = rng.choice(nodes, 2, replace=False).tolist()
        kind = rng.integers(5)
        if kind == 0:
            capacitance = float(10.0 ** rng.uniform(-8, -6))
            branches.append(Capacitor(name=f"C{number}", first=first, second=second, capacitance=capacitance))
            continue
        resistance = np.inf if kind == 1 else float(10.0 ** rng.uniform(-1, 4))
        branches.append(Resistor(name=f"R{number}", first=first, second=second, resistance=resistance))
    port = tuple(rng.choice(nodes, 2, replace=False).tolist())
    network = Netlist(branches=tuple(branches))
    ((voltage, impedance),) = thevenin_ports(network, 50.0, [port])
    load = 200.0 - 50j
    leads = (
        Impedance(name="load", first=port[0], second=port[1], value=load),
        *(Resistor(name=f"hold {node}", first=node, second="earth", resistance=1e12) for node in "bcde"),
    )
    direct = complex(solve(Netlist(branches=(*branches, *leads)), 50.0).current("load"))
    expected = 0.0 if np.isinf(impedance) else complex(voltage) / (complex(impedance) + load)
    assert abs(direct - expected) <= 1e-6 * abs(expected) + 1e-8

"""Published values for the network: plain circuits of a physics textbook."""

from collections.abc import Callable

import pytest

from hazardreport.circuit.netlist import Netlist, Resistor, VoltageSource, solve, thevenin


def short_circuit(voltage: float, *resistances: float) -> Netlist:
    """A source closed over resistances in series."""
    nodes = ["a", *(f"n{k}" for k in range(1, len(resistances))), "earth"]
    resistors = (
        Resistor(name=f"R{k}", first=nodes[k], second=nodes[k + 1], resistance=resistance)
        for k, resistance in enumerate(resistances)
    )
    return Netlist(branches=(VoltageSource(name="V", first="a", second="earth", voltage=voltage), *resistors))


def watts(network: Netlist, name: str) -> float:
    solution = solve(network, 60.0)
    branch = next(branch for branch in network.branches if branch.name == name)
    return float(abs(solution.voltage(branch.first, branch.second)) * abs(solution.current(name)))


@pytest.mark.published("openstax-college-physics", "20.6, 240 V short circuit over 0.250 ohm")
def test_a_short_circuit_at_240_v(printed: Callable[..., object]) -> None:
    network = short_circuit(240.0, 0.250)
    assert watts(network, "R0") / 1e3 == printed("230")
    assert float(abs(solve(network, 60.0).current("R0"))) == printed("960")


@pytest.mark.published("openstax-college-physics", "20.6, 120 V into 0.100 ohm")
def test_a_short_circuit_at_120_v(printed: Callable[..., object]) -> None:
    assert watts(short_circuit(120.0, 0.100), "R0") / 1e3 == printed("144")


@pytest.mark.published("openstax-college-physics", "20.6, power in a worn cord")
@pytest.mark.parametrize(("amperes", "cord", "power"), [(10.0, 2.00, "200"), (100.0, 0.100, "1000")])
def test_a_cord_turns_its_drop_to_heat(printed: Callable[..., object], amperes: float, cord: float, power: str) -> None:
    network = short_circuit(120.0, cord, 120.0 / amperes - cord)
    assert float(abs(solve(network, 60.0).current("R0"))) == pytest.approx(amperes)
    assert watts(network, "R0") == printed(power)


@pytest.mark.published("openstax-college-physics", "20.6, 120 V through a person")
@pytest.mark.parametrize(
    ("resistance", "milliamperes"), [(300e3, "0.400"), (4500.0, "26.7"), (200e3, "0.6"), (10e3, "12")]
)
def test_a_resistance_from_the_line_to_earth(
    printed: Callable[..., object], resistance: float, milliamperes: str
) -> None:
    voltage, impedance = thevenin(short_circuit(120.0, 0.0, 1e12), 60.0, "n1", "earth")
    assert 1e3 * abs(complex(voltage)) / (abs(complex(impedance)) + resistance) == printed(milliamperes)

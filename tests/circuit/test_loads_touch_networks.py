"""Networks of the touch-current standard as branches and as loads: closed forms, check table, faulty units."""

from collections.abc import Callable

import numpy as np
import pytest

from hazardreport.case.picture import PointRole
from hazardreport.case.reading import PlugPosition, Quantity, State, SwitchPosition
from hazardreport.case.wiring import Filter, Wiring
from hazardreport.circuit.netlist import Impedance, Netlist, VoltageSource, solve
from hazardreport.circuit.observations import Observation, predicted_reading
from hazardreport.circuit.touch_networks import TouchNetwork, touch_network_branches, touch_network_load
from hazardreport.circuit.unit_network import parameters_of
from hazardreport.errors import OutsideTableError
from hazardreport.severity.touch_network import network_reading, touch_network

FREQUENCIES = (15.0, 20.0, 50.0, 60.0, 400.0, 1e3, 1e4, 1e5, 1e6)

# Hz; figure 3 |Z|; figure 4 |Z|, U2 per ampere, weight
CHECKS = """
20 1998.4 1998.391 499.789 0.99958
50 1990.0 1990.015 498.689 0.99738
60 1985.7 1985.673 498.115 0.99623
100 1961.0 1961.008 494.815 0.98963
200 1857.3 1857.409 480.178 0.96036
500 1434.4 1433.344 404.669 0.80934
1000 978.6 972.528 283.679 0.56736
2000 675.3 660.914 162.853 0.32571
5000 533.4 511.894 68.253 0.13651
10000 508.6 485.428 34.368 0.06874
20000 502.2 478.521 17.214 0.03443
50000 500.3 476.564 6.889 0.01378
100000 500.1 476.284 3.445 0.00689
1000000 500.0 476.191 0.3445 0.000689
"""

# V, Hz, source ohm; mA through the network, V across it, mA that it shows
FAULTY = [
    (120.0, 60.0, 7.2, "60.216", "119.568", "59.989"),
    (120.0, 60.0, 10007.2, "10.012", "19.881", "9.974"),
    (120.0, 60.0, 100007.2, "1.1767", "2.336", "1.1722"),
    (230.0, 50.0, 18.515, "114.515", "227.886", "114.214"),
    (230.0, 50.0, 10018.5, "19.161", "38.131", "19.111"),
    (230.0, 50.0, 100018.5, "2.2548", "4.487", "2.2489"),
]


@pytest.mark.parametrize("line", CHECKS.strip().splitlines(), ids=lambda line: f"{line.split()[0]} Hz")
def test_the_networks_agree_with_the_check_table(printed: Callable[..., object], line: str) -> None:
    """Computed independently (numpy, ngspice); one step, since 494.19463 and 511.89452 are listed cut."""
    frequency, z3, z4, t4, w4 = line.split()
    third, fourth = (touch_network_load(figure, float(frequency)) for figure in (3, 4))
    assert abs(third.impedance) == printed(z3, 1.0)
    assert third.reading_factor == pytest.approx(1.0)
    assert abs(fourth.impedance) == printed(z4, 1.0)
    assert 500.0 * fourth.reading_factor == printed(t4, 1.0)
    assert fourth.reading_factor == printed(w4, 1.0)


@pytest.mark.parametrize("figure", [3, 4])
@pytest.mark.parametrize("frequency", FREQUENCIES)
def test_the_solved_branches_equal_the_closed_form(figure: int, frequency: float) -> None:
    found = touch_network_load(figure, frequency)
    entrance, transfer = touch_network(figure, frequency)
    assert found.impedance == pytest.approx(entrance, rel=1e-12)
    assert found.reading_factor == pytest.approx(abs(transfer) / 500.0, rel=1e-12)


@pytest.mark.parametrize(("voltage", "frequency", "resistance", "through", "across", "shown"), FAULTY)
def test_a_network_on_a_faulty_unit_reads_as_the_simulator(
    printed: Callable[..., object],
    voltage: float,
    frequency: float,
    resistance: float,
    through: str,
    across: str,
    shown: str,
) -> None:
    """Figure 4 on a Thevenin source, by ngspice; the reading to one step: 59.98848 is listed as 59.989."""
    branches = (
        VoltageSource(name="U0", first="source", second="earth", voltage=voltage),
        Impedance(name="Zs", first="source", second="part", value=resistance),
        *touch_network_branches(4, "part", "earth"),
    )
    solution = solve(Netlist(branches=branches), frequency)
    load = touch_network_load(4, frequency)
    current = abs(complex(solution.current("Zs")))
    assert 1e3 * current == printed(through)
    assert abs(complex(solution.voltage("part"))) == printed(across)
    assert 1e3 * abs(complex(solution.voltage("touch network output"))) / 500.0 == printed(shown, 1.0)
    assert 1e3 * load.reading_factor * voltage / abs(resistance + load.impedance) == printed(shown, 1.0)


@pytest.mark.parametrize(("voltage", "through", "shown"), [(230.0, "0.3395", "0.3386"), (120.0, "0.2126", "0.2118")])
def test_a_reading_on_a_network_is_predicted_weighted(
    printed: Callable[..., object], wiring: Callable[..., Wiring], voltage: float, through: str, shown: str
) -> None:
    """4.7 nF from the line; computed independently with a circuit simulator."""
    unit = wiring(voltage, filter=Filter(y_capacitance_1=4.7e-9), line_resistance=0.0, neutral_resistance=0.0)
    parameters = parameters_of(unit, element_resistance=20.0, fault_position=0.5, fault_resistance=np.inf)
    for figure, expected in ((3, through), (4, shown)):
        load: TouchNetwork = touch_network_load(figure, parameters.frequency)
        observation = Observation(
            id="i",
            kind=Quantity.CURRENT,
            first=PointRole.TOUCHABLE_PART,
            second=PointRole.EARTH,
            state=State(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.ON),
            value=0.0,
            standard_uncertainty=1e-6,
            load_impedance=load.impedance,
            reading_factor=load.reading_factor,
        )
        predicted = float(predicted_reading(observation, unit, parameters))
        assert 1e3 * predicted == printed(expected)
        own = network_reading(voltage, 1.0 / (2j * np.pi * parameters.frequency * 4.7e-9), parameters.frequency, figure)
        assert predicted == pytest.approx(own.reading, rel=1e-9)


@pytest.mark.published("iec-60065", "Annex D")
@pytest.mark.parametrize(
    ("figure", "frequency", "milliamperes", "volts"),
    [(4, 50.0, 0.7, "0.35"), (3, 100e3, 70.0, "35"), (3, 0.0, 2.0, "1.0")],
)
def test_the_output_of_the_solved_networks_is_the_published_one(
    printed: Callable[..., object], figure: int, frequency: float, milliamperes: float, volts: str
) -> None:
    assert 0.5 * milliamperes * touch_network_load(figure, frequency).reading_factor == printed(volts)


def test_another_figure_is_refused() -> None:
    with pytest.raises(OutsideTableError):
        touch_network_load(5, 50.0)

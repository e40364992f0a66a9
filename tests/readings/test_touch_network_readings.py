"""A number read across a touch-current network is a touch current."""

from dataclasses import replace

import pytest
from reading_benches import METER, RESISTOR, E, T, bench, live, taken

from hazardreport.case.picture import PointRole
from hazardreport.case.reading import Load, LoadKind, PlugPosition, Quantity, State
from hazardreport.circuit.touch_networks import touch_network_load
from hazardreport.quantity.typed import Bound
from hazardreport.readings.number import read_number

PLUGGED = State(plug=PlugPosition.STRAIGHT)
NETWORKS = [(LoadKind.TOUCH_NETWORK_3, 3), (LoadKind.TOUCH_NETWORK_4, 4)]


@pytest.mark.parametrize(("kind", "figure"), NETWORKS)
def test_a_voltage_across_500_ohms_is_a_current(kind: LoadKind, figure: int) -> None:
    reading = live("0.350 V", load=Load(kind=kind), supply_typed="120.0 V")
    result, plain = read_number(reading, bench()), read_number(replace(reading, load=Load()), bench())

    assert result.value is not None
    assert plain.value is not None
    assert (result.quantity, result.value.unit, result.used) == (Quantity.CURRENT, "A", True)
    assert result.value.value == pytest.approx(plain.value.value / 500.0)
    assert result.value.standard_uncertainty == pytest.approx(plain.value.standard_uncertainty / 500.0)
    assert result.gain_uncertainty == pytest.approx(plain.gain_uncertainty / 500.0)
    network = touch_network_load(figure, 60.0)
    assert (result.load_impedance, result.reading_factor) == (network.impedance, network.reading_factor)
    assert "network_meter" in result.choices


@pytest.mark.published("iec-60990", "0.35 V at the output of figure 4 for 0.7 mA")
def test_the_printed_pair_of_voltage_and_current(printed) -> None:
    result = read_number(live("0.35 V", load=Load(kind=LoadKind.TOUCH_NETWORK_4)), bench())
    assert result.value is not None
    assert result.value.value * 1e3 == printed("0.7")


@pytest.mark.parametrize(("kind", "figure"), NETWORKS)
def test_a_current_that_a_meter_for_it_shows_is_taken_as_shown(kind: LoadKind, figure: int) -> None:
    reading = taken(T, E, Quantity.CURRENT, "0.70 mA", state=PLUGGED, proved=True, load=Load(kind=kind))
    result = read_number(reading, bench())

    assert result.value is not None
    assert result.value.value == pytest.approx(0.7e-3)
    assert result.load_impedance == touch_network_load(figure, 60.0).impedance
    assert not result.refused


def test_a_zero_keeps_its_doubt() -> None:
    result = read_number(live("0.000 V", load=Load(kind=LoadKind.TOUCH_NETWORK_4)), bench())
    assert result.value is not None
    assert result.value.value == 0.0
    assert result.value.standard_uncertainty == pytest.approx(result.instrument_uncertainty)
    assert result.instrument_uncertainty > 0.0


def test_a_bound_is_divided_too() -> None:
    result = read_number(live("< 5 mV", load=Load(kind=LoadKind.TOUCH_NETWORK_4)), bench())
    assert result.value is not None
    assert (result.value.value, result.value.unit, result.bound) == (pytest.approx(1e-5), "A", Bound.BELOW)
    assert result.restricts


def test_a_meter_that_loads_the_network_is_refused() -> None:
    case = bench()
    case = replace(case, instruments=(replace(METER, input_resistance=3000.0),))
    result = read_number(live("0.350 V", load=Load(kind=LoadKind.TOUCH_NETWORK_4)), case)
    assert (result.refused, "network_meter_too_low" in {key for key, _ in result.problems}) == (True, True)


def test_between_line_and_neutral_it_shows_no_touch_current() -> None:
    reading = taken(PointRole.LINE, PointRole.NEUTRAL, Quantity.VOLTAGE, "0.35 V", load=Load(kind=NETWORKS[0][0]))
    assert "network_not_at_part" in {key for key, _ in read_number(reading, bench()).problems}


def test_without_a_frequency_the_network_has_no_impedance() -> None:
    result = read_number(live("0.35 V", load=Load(kind=NETWORKS[0][0])), bench(frequency=None))
    assert result.load_impedance is None


def test_a_resistor_is_no_network() -> None:
    assert read_number(live("0.35 V", load=RESISTOR), bench()).reading_factor == 1.0
    assert read_number(taken(T, E, Quantity.VOLTAGE, "1 V", state=PLUGGED), bench()).quantity is Quantity.VOLTAGE

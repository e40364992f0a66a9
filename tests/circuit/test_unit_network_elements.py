"""Each part that a unit's network can have, against values worked out by hand."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from hazardreport import wording
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import CutOut, Quantity, State, SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import (
    Earthing,
    Element,
    Filter,
    SecondPart,
    Supply,
    SupplyFault,
    SwitchPoles,
    Wiring,
)
from hazardreport.circuit.observations import Observation, predicted_reading
from hazardreport.circuit.thevenin import (
    PART_TO_EARTH_BAR,
    PART_TO_SECOND_PART,
    currents,
    source_at_part,
    sources_at_part,
)
from hazardreport.circuit.unit_network import (
    FurtherElement,
    NetworkParameters,
    Node,
    node_of,
    parameters_of,
    unit_netlist,
    unit_state,
)
from hazardreport.errors import StateNotPossibleError, WiringIncompleteError

Of = Callable[..., Wiring]
At = Callable[..., UnitState]


def unit(wiring: Wiring, x: float = 0.25, fault: float = 100.0, **changes: Any) -> NetworkParameters:
    """10 Ω from pole to pole, lines of 0.2 Ω."""
    stated = parameters_of(wiring, element_resistance=9.6, fault_position=x, fault_resistance=fault)
    return replace(stated, **changes)


def source(wiring: Wiring, state: UnitState, **changes: Any) -> tuple[complex, complex]:
    voltage, impedance = source_at_part(wiring, unit(wiring, **changes), state)
    return complex(voltage), complex(impedance)


def test_the_healthy_network_is_as_small_as_one_element_needs(wiring: Of, state: At) -> None:
    branches = unit_netlist(wiring(), unit(wiring()), state("S closed")).branches
    assert [branch.name for branch in branches] == [
        "supply",
        "line",
        "neutral",
        "pole 1",
        "pole 2",
        "element 1",
        "element 2",
        "fault",
    ]


def test_two_live_poles_of_opposite_phase(wiring: Of, state: At) -> None:
    unit_ = wiring(120.0, supply=Supply.TWO_LIVE_POLES)
    voltage, impedance = source(unit_, state("S closed"))
    assert voltage == pytest.approx((60.0 * 7.4 - 60.0 * 2.6) / 10.0)
    assert impedance == pytest.approx(100.0 + 2.6 * 7.4 / 10.0)
    for name in ("S open", "R open"):
        voltage, impedance = source(unit_, state(name))
        assert abs(voltage) == pytest.approx(60.0)
        assert impedance == pytest.approx(107.4)
    middle, _ = source(unit_, state("S closed"), x=0.5)
    assert abs(middle) < 1e-9


def test_two_phases_of_three(wiring: Of, state: At) -> None:
    unit_ = wiring(230.0, supply=Supply.TWO_PHASES, element=Element())
    for name in ("S open", "R open"):
        assert abs(source(unit_, state(name))[0]) == pytest.approx(230.0 / 3**0.5)
    middle, _ = source(unit_, state("S closed"), x=0.5)
    assert abs(middle) == pytest.approx(230.0 / (2.0 * 3**0.5))
    result = currents(unit_, unit(unit_, fault=np.inf), state("S closed"))
    assert float(result.line_current) == pytest.approx(23.0)
    assert float(result.neutral_current) == pytest.approx(23.0)
    assert float(result.residual_current) == pytest.approx(0.0, abs=1e-9)


def test_with_two_live_poles_the_device_of_the_greater_current_counts(wiring: Of, state: At) -> None:
    unit_ = wiring(120.0, supply=Supply.TWO_LIVE_POLES)
    result = currents(unit_, unit(unit_, x=0.0, fault=0.0), state("S closed", earthed=True))
    assert float(result.line_current) > float(result.neutral_current)
    assert float(result.residual_current) == pytest.approx(float(result.earth_current))
    turned = currents(unit_, unit(unit_, x=0.0, fault=0.0), state("R closed", earthed=True))
    assert float(turned.line_current) == pytest.approx(float(result.line_current))


def test_line_and_neutral_mean_the_two_poles(wiring: Of) -> None:
    def volts(supply: Supply, first: PointRole, second: PointRole) -> float:
        unit_ = wiring(230.0, supply=supply)
        observation = Observation(
            id="u",
            kind=Quantity.VOLTAGE,
            first=first,
            second=second,
            state=State(),
            value=0.0,
            standard_uncertainty=1.0,
        )
        return float(predicted_reading(observation, unit_, unit(unit_)))

    line, neutral, earth = PointRole.LINE, PointRole.NEUTRAL, PointRole.EARTH
    assert volts(Supply.EARTHED_NEUTRAL, line, earth) == pytest.approx(230.0)
    assert volts(Supply.TWO_LIVE_POLES, line, neutral) == pytest.approx(230.0)
    assert volts(Supply.TWO_LIVE_POLES, neutral, earth) == pytest.approx(115.0)
    assert volts(Supply.TWO_PHASES, line, neutral) == pytest.approx(230.0)
    assert volts(Supply.TWO_PHASES, neutral, earth) == pytest.approx(230.0 / 3**0.5)


def test_an_electrode_of_its_own_takes_the_fault_current_to_true_earth(wiring: Of, state: At) -> None:
    unit_ = wiring(230.0, earthing=Earthing.TT, electrode_resistance=50.0)
    result = currents(unit_, unit(unit_, fault=0.0), state("R open", earthed=True))
    current = 230.0 / (0.2 + 7.2 + 0.1 + 0.2 + 50.0)
    assert float(result.earth_current) == pytest.approx(current)
    assert float(result.touch_voltage_true_earth) == pytest.approx(50.3 * current)
    assert float(result.touch_voltage_earth_bar) == pytest.approx(0.1 * current)
    assert source(unit_, state("R open"))[1] == pytest.approx(107.4)


def test_the_earth_contact_of_the_socket_lies_behind_the_electrode(wiring: Of, state: At) -> None:
    unit_ = wiring(230.0, earthing=Earthing.TT, electrode_resistance=50.0)
    _, impedance = source_at_part(unit_, unit(unit_), state("R open"), PART_TO_EARTH_BAR)
    assert complex(impedance) == pytest.approx(107.4 + 50.2)
    assert node_of(PointRole.EARTH_PIN, state("R open"), unit_) is Node.EARTH_BAR
    assert node_of(PointRole.EARTH_PIN, state("R open"), wiring()) is Node.EARTH
    _, healthy = source_at_part(wiring(), unit(wiring()), state("R open"), PART_TO_EARTH_BAR)
    assert complex(healthy) == pytest.approx(107.4)


def test_an_electrode_of_unknown_resistance_leaves_only_the_earthed_states_open(wiring: Of, state: At) -> None:
    unit_ = wiring(230.0, earthing=Earthing.TT)
    assert source(unit_, state("R open"))[0] == pytest.approx(230.0)
    with pytest.raises(StateNotPossibleError) as caught:
        source(unit_, state("R open", earthed=True))
    assert "electrode" in wording.remedy(caught.value)
    with pytest.raises(StateNotPossibleError):
        source_at_part(unit_, unit(unit_), state("R open"), PART_TO_EARTH_BAR)


def test_without_the_neutral_the_supply_comes_through_the_element(wiring: Of, state: At) -> None:
    unit_ = wiring(120.0, supply_fault=SupplyFault.NEUTRAL)
    assert source(unit_, state("S closed")) == pytest.approx((120.0, 102.6))
    assert source(unit_, state("R closed")) == pytest.approx((120.0, 107.4))


def test_without_the_pen_the_protective_earth_makes_the_part_live(wiring: Of, state: At) -> None:
    unit_ = wiring(230.0, supply_fault=SupplyFault.PEN)
    sound = {"fault": np.inf}
    assert source(unit_, state("S closed"), **sound) == (0.0, np.inf)
    voltage, impedance = source(unit_, state("S closed", earthed=True), **sound)
    assert voltage == pytest.approx(230.0)
    assert impedance == pytest.approx(0.2 + 9.6 + 0.2 + 0.2 + 0.1)
    assert source(unit_, state("S open", earthed=True), **sound) == (0.0, np.inf)
    held = replace(unit_, electrode_resistance=30.0)
    voltage, _ = source(held, state("S closed", earthed=True), **sound)
    assert voltage == pytest.approx(230.0 * 30.0 / 40.0)


def test_where_earth_has_its_own_electrode_a_lost_pen_is_a_lost_neutral(wiring: Of, state: At) -> None:
    unit_ = wiring(230.0, supply_fault=SupplyFault.PEN, earthing=Earthing.TT, electrode_resistance=30.0)
    assert source(unit_, state("S closed"), fault=np.inf) == (0.0, np.inf)
    voltage, impedance = source(unit_, state("S closed", earthed=True), fault=np.inf)
    assert (voltage, impedance) == (0.0, pytest.approx(30.3))
    assert source(unit_, state("S closed"))[0] == pytest.approx(230.0)


def test_a_cut_out_interrupts_its_own_poles(wiring: Of, state: At) -> None:
    unit_ = wiring(120.0, SwitchPoles.POLE_1, cut_out=SwitchPoles.POLE_2)
    hot = replace(state("S closed"), cut_out_open=True)
    assert source(unit_, hot) == pytest.approx((120.0, 102.6))
    both = replace(state("S open"), cut_out_open=True)
    assert source(unit_, both) == (0.0, np.inf)
    assert unit_state(State(cut_out=CutOut.OPEN), unit_).cut_out_open


def test_open_contacts_in_one_pole_leak_in_series(wiring: Of, state: At) -> None:
    unit_ = wiring(120.0, SwitchPoles.BOTH, cut_out=SwitchPoles.POLE_1, switch_leakage=3e5, cut_out_leakage=2e5)
    off = replace(state("S open"), cut_out_open=True)
    first, second = 5e5 + 0.2 + 2.4, 3e5 + 0.2 + 7.2
    voltage, impedance = source(unit_, off)
    assert voltage == pytest.approx(120.0 * second / (first + second))
    assert impedance == pytest.approx(100.0 + first * second / (first + second))
    tight = replace(unit_, cut_out_leakage=None)
    assert source(tight, off) == pytest.approx((0.0, 100.0 + second))


@pytest.mark.parametrize(
    ("poles", "reason"), [(SwitchPoles.NONE, "no_cut_out"), (SwitchPoles.UNKNOWN, "cut_out_unknown")]
)
def test_a_cut_out_that_is_not_known_cannot_be_open(wiring: Of, state: At, poles: SwitchPoles, reason: str) -> None:
    with pytest.raises(StateNotPossibleError) as caught:
        source(wiring(cut_out=poles), replace(state("S closed"), cut_out_open=True))
    assert caught.value.reason == wording.sentence(f"circuit.state.{reason}.reason")


@pytest.mark.parametrize(
    ("name", "broken", "voltage", "impedance"),
    [
        ("S closed", 0.6, 120.0, 100.0 + 2.6),
        ("S closed", 0.1, 0.0, 100.0 + 7.4),
        ("R closed", 0.6, 0.0, 100.0 + 2.6),
        ("R closed", 0.1, 120.0, 100.0 + 7.4),
        ("S closed", 0.25, 120.0, 100.0 + 2.6),
        ("R closed", 1.0, 0.0, 100.0 + 2.6),
        ("R closed", 0.0, 120.0, 100.0 + 7.4),
    ],
)
def test_each_side_of_a_break_floats_to_its_own_terminal(
    wiring: Of, state: At, name: str, broken: float, voltage: float, impedance: float
) -> None:
    assert source(wiring(), state(name), open_position=broken) == pytest.approx((voltage, impedance))


def test_breaks_on_both_sides_of_the_fault_in_one_batch(wiring: Of, state: At) -> None:
    parameters = unit(wiring(), open_position=np.array([0.1, 0.6, 0.1]), fault=np.array([100.0, 100.0, np.inf]))
    voltage, impedance = source_at_part(wiring(), parameters, state("S closed"))
    assert voltage.tolist() == pytest.approx([0.0, 120.0, 0.0])
    assert impedance.tolist() == pytest.approx([107.4, 102.6, np.inf])
    across, sideways = source_at_part(wiring(), parameters, state("S open"))
    assert across.tolist() == [0.0, 0.0, 0.0]
    assert sideways.tolist() == pytest.approx([107.4, np.inf, np.inf])


def test_further_elements_lie_beside_the_faulty_one(wiring: Of, state: At) -> None:
    half = Element(rated_voltage=120.0, rated_power=1200.0)
    unit_ = wiring(more_elements=(half, replace(half, open_at=0.3)))
    parameters = unit(unit_, fault=np.inf)
    assert [element.resistance for element in parameters.further_elements] == pytest.approx([12.0])
    both = 9.6 * 12.0 / 21.6
    result = currents(unit_, parameters, state("S closed"))
    assert float(result.line_current) == pytest.approx(120.0 / (both + 0.4))
    assert float(result.element_power) == pytest.approx(both * (120.0 / (both + 0.4)) ** 2)


def test_the_other_elements_count_where_a_further_one_is_the_faulty(wiring: Of) -> None:
    second = Element(rated_voltage=120.0, rated_power=1000.0, open_at=0.7)
    unit_ = wiring(more_elements=(second,), faulty_element=2)
    parameters = unit(unit_)
    assert parameters.open_position == 0.7
    assert [element.resistance for element in parameters.further_elements] == pytest.approx([9.6])
    with pytest.raises(WiringIncompleteError):
        unit(wiring(more_elements=(Element(),)))
    with pytest.raises(WiringIncompleteError):
        unit(wiring(faulty_element=2))


def test_a_fault_in_a_further_element_adds_its_own_path(wiring: Of, state: At) -> None:
    other = FurtherElement(resistance=12.0, fault_position=0.75, fault_resistance=300.0, open_position=0.5)
    voltage, impedance = source(wiring(), state("S open"), further_elements=(other,))
    first, second = 100.0 + 7.2, 300.0 + 3.0
    assert voltage == 0.0
    assert impedance == pytest.approx(0.2 + first * second / (first + second))
    alone = source(wiring(), state("S open"), further_elements=(other,), fault=np.inf)
    assert alone == pytest.approx((0.0, 0.2 + 3.0 + 300.0))


def test_the_filter_joins_each_pin_to_the_part(wiring: Of, state: At) -> None:
    filter_ = Filter(y_capacitance_1=4.7e-9, y_capacitance_2=2.2e-9, x_capacitance=1e-7, bleeder_resistance=1e6)
    unit_ = wiring(230.0, filter=filter_, line_resistance=0.0, neutral_resistance=0.0)
    voltage, impedance = source(unit_, state("S closed"), fault=np.inf)
    assert voltage == pytest.approx(230.0 * 4.7 / 6.9)
    assert impedance == pytest.approx(-1j / (2.0 * np.pi * 50.0 * 6.9e-9))
    turned, _ = source(unit_, state("R open"), fault=np.inf)
    assert turned == pytest.approx(230.0 * 2.2 / 6.9)
    idle = currents(unit_, unit(unit_, fault=np.inf), state("S open"))
    coupled = 1.0 / (1.0 / (2j * np.pi * 50.0 * 4.7e-9) + 1.0 / (2j * np.pi * 50.0 * 2.2e-9))
    assert float(idle.line_current) == pytest.approx(230.0 * abs(1e-6 + 2j * np.pi * 50.0 * 1e-7 + coupled))


def test_an_ohmmeter_sees_bleeder_and_leakage_and_no_capacitor(wiring: Of) -> None:
    unit_ = wiring(230.0, filter=Filter(y_capacitance_1=4.7e-9, bleeder_resistance=1e6))
    parameters = unit(unit_, fault=np.inf, leakage_resistance_1=2e6, leakage_resistance_2=5e6)

    def ohms(first: PointRole, second: PointRole) -> float:
        observation = Observation(
            id="r",
            kind=Quantity.RESISTANCE,
            first=first,
            second=second,
            state=State(switch=SwitchPosition.OFF),
            value=0.0,
            standard_uncertainty=1.0,
        )
        return float(predicted_reading(observation, unit_, parameters))

    assert ohms(PointRole.PIN_1, PointRole.PIN_2) == pytest.approx(1e6 * 7e6 / 8e6)
    assert ohms(PointRole.PIN_1, PointRole.TOUCHABLE_PART) == pytest.approx(2e6 * 6e6 / 8e6)


def test_a_second_part_has_a_source_of_its_own_to_the_first(wiring: Of, state: At) -> None:
    apart = {"second_fault_position": 0.75, "second_fault_resistance": 50.0}
    parameters = unit(wiring(second_part=SecondPart.SEPARATE), **apart)
    voltage, impedance = source_at_part(wiring(), parameters, state("S closed"), PART_TO_SECOND_PART)
    assert complex(voltage) == pytest.approx(12.0 * 4.8)
    assert complex(impedance) == pytest.approx(100.0 + 50.0 + 4.8 * 5.2 / 10.0)
    result = currents(wiring(), parameters, state("S closed"), 1000.0, PART_TO_SECOND_PART)
    assert float(result.load_current) == pytest.approx(57.6 / (1000.0 + 150.0 + 4.8 * 5.2 / 10.0))
    turned = replace(parameters, fault_position=0.75, second_fault_position=0.25)
    assert complex(source_at_part(wiring(), turned, state("S closed"), PART_TO_SECOND_PART)[0]) == pytest.approx(-57.6)


@pytest.mark.parametrize(
    ("x", "z", "broken", "voltage"),
    [(0.25, 0.75, 0.5, 120.0), (0.25, 0.75, 0.1, 0.0), (0.25, 0.75, 0.9, 0.0), (0.75, 0.25, 0.5, -120.0)],
)
def test_a_break_between_two_faults_puts_the_whole_supply_between_the_parts(
    wiring: Of, state: At, x: float, z: float, broken: float, voltage: float
) -> None:
    parameters = unit(wiring(), x=x, second_fault_position=z, second_fault_resistance=50.0, open_position=broken)
    found = source_at_part(wiring(), parameters, state("S closed"), PART_TO_SECOND_PART)
    assert complex(found[0]) == pytest.approx(voltage, abs=1e-9)


def test_a_joined_second_part_is_the_first(wiring: Of, state: At) -> None:
    joined = wiring(second_part=SecondPart.JOINED)
    assert unit(joined).second_part_resistance == 0.0
    between = source_at_part(joined, unit(joined), state("S closed"), PART_TO_SECOND_PART)
    assert (complex(between[0]), complex(between[1])) == (0.0, 0.0)
    own = source_at_part(joined, unit(joined), state("S closed"), (Node.SECOND_PART, Node.EARTH))
    assert np.allclose(own, source(joined, state("S closed")))
    nowhere = source_at_part(wiring(), unit(wiring()), state("S closed"), PART_TO_SECOND_PART)
    assert (complex(nowhere[0]), complex(nowhere[1])) == (0.0, np.inf)
    assert node_of(PointRole.SECOND_PART, state("S closed")) is Node.SECOND_PART


def test_all_states_of_a_table_come_out_as_each_alone(wiring: Of, state: At) -> None:
    unit_ = wiring(230.0, SwitchPoles.BOTH, cut_out=SwitchPoles.POLE_1, filter=Filter(y_capacitance_1=1e-9))
    states = [
        state(name, earthed)
        for name in ("S closed", "R closed", "S open", "R open", "U closed")
        for earthed in (False, True)
    ]
    states.append(replace(state("R closed"), cut_out_open=True))
    parameters = unit(unit_, fault=np.array([[1.0, 1e3], [0.0, np.inf]]))
    voltage, impedance = sources_at_part(unit_, parameters, states)
    assert voltage.shape == impedance.shape == (2, 2, len(states))
    for number, one in enumerate(states):
        alone = source_at_part(unit_, parameters, one)
        assert np.allclose(voltage[..., number], alone[0], rtol=1e-12, atol=1e-12)
        assert np.allclose(impedance[..., number], alone[1], rtol=1e-12)

"""Closed forms: two loads, load current, resistances from the pins, and what an unloaded reading leaves open."""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Earthing, Element, Supply, SupplyFault, SwitchPoles, Wiring
from hazardreport.circuit.routes import (
    FAULT_LOCATION,
    LOAD_CURRENT,
    Nature,
    admittance,
    fault_location,
    high_impedance_range,
    load_current,
    ohmmeter_form,
    ohmmeter_source,
    two_loads,
    two_loads_bounds,
    two_loads_form,
)
from hazardreport.circuit.thevenin import source_at_part
from hazardreport.circuit.unit_network import parameters_of
from hazardreport.errors import ReadingAboveSupplyError, StateNotPossibleError
from hazardreport.quantity.propagation import propagate

CALM = settings(derandomize=True, deadline=None, max_examples=40)
STATES = ("S closed", "R closed", "S open", "R open")


@pytest.mark.parametrize(
    ("unloaded", "loaded", "ohms", "volts"),
    [(119.880, 27.677, "10007.19", "120.000"), (229.770, 53.001, "10018.6", "230.000")],
)
def test_two_loads_reproduce_the_check_pairs(
    printed: Callable[..., object], unloaded: float, loaded: float, ohms: str, volts: str
) -> None:
    """Computed independently: 10 MΩ and 3 kΩ."""
    voltage, impedance = two_loads(unloaded, 1e-7, loaded, 1.0 / 3000.0, Nature.RESISTIVE)
    assert float(impedance) == printed(ohms)
    assert float(voltage) == printed(volts)


@CALM
@given(
    st.sampled_from(list(Nature)),
    st.floats(10.0, 300.0),
    st.floats(1.0, 1e7),
    st.floats(0.0, 1e-9),
    st.floats(100.0, 1e5),
)
def test_two_loads_find_the_planted_source(
    nature: Nature, voltage: float, modulus: float, meter_capacitance: float, resistance: float
) -> None:
    meter = admittance(1e7, meter_capacitance, 50.0)
    load = meter + 1.0 / resistance
    source = modulus * nature.value
    first, second = (voltage / abs(1.0 + source * complex(y)) for y in (meter, load))
    assume(abs(first - second) > 1e-4 * first)
    found, impedance = two_loads(first, meter, second, load, nature)
    assert float(found) == pytest.approx(voltage, rel=1e-5)
    assert float(impedance) == pytest.approx(modulus, rel=1e-5)


@CALM
@given(st.floats(10.0, 300.0), st.floats(1.0, 1e5), st.floats(100.0, 1e5))
def test_with_plain_resistances_the_usual_formula_comes_out(voltage: float, source: float, load: float) -> None:
    r1, r2 = 1e7, 1e7 * load / (1e7 + load)
    v1, v2 = voltage * r1 / (r1 + source), voltage * r2 / (r2 + source)
    usual = r1 * r2 * (v1 - v2) / (v2 * r1 - v1 * r2)
    assert float(two_loads(v1, 1.0 / r1, v2, 1.0 / r2, Nature.RESISTIVE)[1]) == pytest.approx(usual, rel=1e-6)


def test_the_forms_carry_their_inputs_outputs_and_doubt() -> None:
    for nature in Nature:
        form = two_loads_form(nature)
        inputs = [119.9, 1e7, 95.0, 3e3]
        assert len(inputs) == len(form.inputs)
        values, covariance = propagate(form, inputs, [0.6, 0.0, 0.5, 0.0])
        assert len(values) == len(form.outputs)
        assert values[2] == pytest.approx(values[0] / values[1])
        assert np.sqrt(covariance[2, 2]) > 0.0
        current = LOAD_CURRENT[nature](np.array([[119.9, 1e7, 95.0 / 3e3, 3e3]]))[0]
        assert current == pytest.approx(values)
        again = load_current(119.9, 1e-7, 95.0 / 3e3, 1.0 / 3e3, nature)
        assert np.asarray(again) == pytest.approx(values[:2])


@pytest.mark.parametrize("nature", list(Nature))
def test_two_loads_that_drown_in_doubt_give_bounds_and_never_a_negative_impedance(nature: Nature) -> None:
    bounds = two_loads_bounds((120.0, 0.8), 1e-7, (120.2, 0.8), 1.0 / 3e3, nature)
    assert not bounds.resolved
    assert bounds.least_impedance == 0.0
    assert bounds.greatest_current == math.inf
    assert 0.0 < bounds.greatest_impedance < 1e4
    assert bounds.least_current > 1e-3
    resolved = two_loads_bounds((120.0, 0.8), 1e-7, (60.0, 0.4), 1.0 / 3e3, nature)
    assert resolved.resolved
    assert resolved.least_current < resolved.greatest_current < math.inf
    hopeless = two_loads_bounds((120.0, 0.8), 1e-7, (0.02, 0.05), 1.0 / 3e3, nature)
    assert hopeless.greatest_impedance == math.inf
    assert hopeless.least_current == 0.0


def test_one_sided_bounds_hold_the_truth_in_19_of_20_draws() -> None:
    draws = np.random.default_rng(5).normal(size=(2000, 2))
    true, load, meter = 40.0, 3000.0, 1e7
    u = 0.6
    v1, v2 = (120.0 * r / (r + true) for r in (meter, load * meter / (load + meter)))
    held = [
        two_loads_bounds((v1 + u * a, u), 1.0 / meter, (v2 + u * b, u), 1.0 / load + 1.0 / meter, Nature.RESISTIVE)
        for a, b in draws
    ]
    assert np.mean([bounds.greatest_impedance >= true for bounds in held]) == pytest.approx(0.95, abs=0.015)
    assert np.mean([bounds.least_current <= 120.0 / true for bounds in held]) == pytest.approx(0.95, abs=0.015)


@pytest.mark.parametrize(
    ("first", "second", "element", "position", "fault"),
    [(2.7, 7.5, 9.6, "0.25", "0.3"), (157.935, 168.515, 26.45, "0.30", "150.0")],
)
def test_the_fault_is_found_from_three_resistances(
    printed: Callable[..., object], first: float, second: float, element: float, position: str, fault: str
) -> None:
    """Computed independently."""
    x, resistance = fault_location(first, second, element)
    assert x == printed(position)
    assert resistance == printed(fault)


@pytest.mark.common_practice
def test_a_third_of_an_ohm_of_doubt_blurs_a_small_element_by_a_fiftieth_of_its_length() -> None:
    _, covariance = propagate(FAULT_LOCATION, [2.7, 7.5, 9.6], [0.3 / 3**0.5] * 3)
    assert 0.01 < np.sqrt(covariance[0, 0]) < 0.02


@pytest.mark.common_practice
@pytest.mark.parametrize("power", [1000.0, 1200.0, 1500.0])
def test_a_kitchen_heater_for_120_v_measures_9_to_15_ohm_cold(power: float) -> None:
    """1 to 1.5 kW on 120 V; the trade's 10 to 15 Ω, the strongest of them a little less."""
    cold = 120.0**2 / power / 1.03
    assert 9.0 < cold < 15.0


@pytest.mark.parametrize("poles", [SwitchPoles.POLE_1, SwitchPoles.POLE_2, SwitchPoles.BOTH])
@pytest.mark.parametrize("name", STATES)
@CALM
@given(x=st.floats(0.0, 1.0), fault=st.floats(0.0, 1e6), element=st.floats(5.0, 500.0))
def test_the_closed_form_of_the_resistances_equals_the_network(
    wiring: Callable[..., Wiring],
    state: Callable[..., UnitState],
    poles: SwitchPoles,
    name: str,
    x: float,
    fault: float,
    element: float,
) -> None:
    unit = wiring(230.0, poles)
    parameters = parameters_of(
        unit, element_resistance=1.03 * element, fault_position=x, fault_resistance=fault, supply_voltage=231.0
    )
    cold = (x * element + fault, (1.0 - x) * element + fault, element)
    found = ohmmeter_source(unit, state(name), 231.0, *cold, 1.03)
    network = source_at_part(unit, parameters, state(name))
    assert float(found[0]) == pytest.approx(abs(complex(network[0])), rel=1e-8, abs=1e-7)
    assert float(found[1]) == pytest.approx(complex(network[1]).real, rel=1e-7)


OTHER_SUPPLIES: tuple[dict[str, Any], ...] = (
    {"supply": Supply.TWO_LIVE_POLES},
    {"supply": Supply.TWO_PHASES},
    {"supply_fault": SupplyFault.NEUTRAL},
    {"supply_fault": SupplyFault.PEN},
    {"supply_fault": SupplyFault.PEN, "electrode_resistance": 12.0},
    {"supply_fault": SupplyFault.PEN, "earthing": Earthing.TT},
    {"supply": Supply.TWO_LIVE_POLES, "supply_fault": SupplyFault.PEN},
)


@pytest.mark.parametrize("changes", OTHER_SUPPLIES)
@pytest.mark.parametrize("name", STATES)
def test_the_closed_form_equals_the_network_on_every_supply(
    wiring: Callable[..., Wiring], state: Callable[..., UnitState], changes: dict[str, Any], name: str
) -> None:
    unit = wiring(230.0, SwitchPoles.POLE_1, **changes)
    parameters = parameters_of(
        unit, element_resistance=10.3, fault_position=0.25, fault_resistance=40.0, hot_factor=1.03
    )
    found = ohmmeter_source(unit, state(name), 230.0, 42.5, 47.5, 10.0, 1.03)
    network = source_at_part(unit, parameters, state(name))
    assert float(found[0]) == pytest.approx(abs(complex(network[0])), rel=1e-9, abs=1e-9)
    assert float(found[1]) == pytest.approx(complex(network[1]).real, rel=1e-9)


@pytest.mark.parametrize(
    ("supply", "closed", "opened"),
    [
        (Supply.TWO_LIVE_POLES, "U · |a2 − a1| / (2·(a1 + a2))", "U/2"),
        (Supply.TWO_PHASES, "U · √((a2 − a1)²/4 + (a1 + a2)²/12) / (a1 + a2)", "U/√3"),
    ],
)
def test_with_two_live_poles_the_printed_equation_gives_the_number(
    wiring: Callable[..., Wiring], state: Callable[..., UnitState], supply: Supply, closed: str, opened: str
) -> None:
    unit = wiring(230.0, supply=supply)
    a1, a2 = 0.25 * 10.0 * 1.03 + 0.2, 0.75 * 10.0 * 1.03 + 0.2
    by_hand = {
        Supply.TWO_LIVE_POLES: (230.0 * abs(a2 - a1) / (2.0 * (a1 + a2)), 115.0),
        Supply.TWO_PHASES: (
            230.0 * math.sqrt((a2 - a1) ** 2 / 4.0 + (a1 + a2) ** 2 / 12.0) / (a1 + a2),
            230.0 / math.sqrt(3.0),
        ),
    }[supply]
    for name, text, expected in (("S closed", closed, by_hand[0]), ("S open", opened, by_hand[1])):
        form = ohmmeter_form(unit, state(name))
        assert form.outputs[0][2].partition("; ")[0] == text
        assert form(np.array([[230.0, 42.5, 47.5, 10.0, 1.03]]))[0][0] == pytest.approx(expected)


@pytest.mark.parametrize(
    "changes",
    [
        {"element": Element(rated_voltage=230.0, rated_power=2000.0, open_at=0.5)},
        {"more_elements": (Element(rated_voltage=230.0, rated_power=500.0),)},
    ],
)
def test_resistances_of_a_broken_element_or_of_several_give_no_closed_form(
    wiring: Callable[..., Wiring], state: Callable[..., UnitState], changes: dict[str, Any]
) -> None:
    with pytest.raises(StateNotPossibleError):
        ohmmeter_form(wiring(230.0, **changes), state("S closed"))


@pytest.mark.parametrize("name", STATES)
def test_the_printed_equation_of_each_state_matches_its_number(
    wiring: Callable[..., Wiring], state: Callable[..., UnitState], name: str
) -> None:
    form = ohmmeter_form(wiring(), state(name))
    values = form(np.array([[120.0, 2.7, 7.5, 9.6, 1.03]]))[0]
    text = form.outputs[0][2]
    assert (text == "0") == (values[0] == 0.0)
    assert (text == "U") == (values[0] == 120.0)
    assert values[2] == pytest.approx(values[0] / values[1])


@pytest.mark.parametrize(("supply", "frequency", "milli"), [(120.0, 60.0, 0.2126), (230.0, 50.0, 0.3396)])
@CALM
@given(
    resistance=st.floats(1e5, 1e9), capacitance=st.floats(0.0, 500e-12), u=st.floats(0.0, 10.0), v=st.floats(0.0, 5.0)
)
def test_an_unloaded_reading_never_makes_a_lawful_capacitor_look_worse_than_it_is(
    supply: float, frequency: float, milli: float, resistance: float, capacitance: float, u: float, v: float
) -> None:
    """4.7 nF from the line, any meter, any doubt."""
    meter = 1.0 / complex(admittance(resistance, capacitance, frequency))
    source = -1j / (2.0 * math.pi * frequency * 4.7e-9)
    reading = supply * abs(meter / (meter + source))
    assume(reading - 2.0 * u < supply + 2.0 * v)
    possible = high_impedance_range((reading, u), meter, (supply, v), 0.2)
    assert 1e3 * possible.least <= milli * (1.0 + 3e-4)
    assert possible.greatest >= supply / 0.2


@CALM
@given(
    supply=st.floats(100.0, 240.0),
    share=st.floats(0.05, 1.0),
    resistance=st.floats(1.0, 1e8),
    reactance=st.floats(0.0, 1e8),
)
def test_every_source_behind_the_supply_gives_at_least_the_low_end(
    supply: float, share: float, resistance: float, reactance: float
) -> None:
    meter = 1.0 / complex(admittance(1e7, 100e-12, 50.0))
    source = complex(resistance, -reactance)
    reading = share * supply * abs(meter / (meter + source))
    possible = high_impedance_range((reading, 0.0), meter, (supply, 0.0), 0.2)
    assert possible.least <= share * supply / abs(source) * (1.0 + 1e-9)


def test_a_reading_near_zero_leaves_zero_open_and_one_above_the_supply_is_refused() -> None:
    assert high_impedance_range((1.0, 0.6), 1e7, (120.0, 0.0), 0.2).least == 0.0
    assert high_impedance_range((120.0, 0.0), 1e7, (120.0, 0.0), 0.2).least == 600.0
    with pytest.raises(ReadingAboveSupplyError):
        high_impedance_range((130.0, 1.0), 1e7, (120.0, 1.0), 0.2)

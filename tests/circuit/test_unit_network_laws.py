"""Laws that hold for every unit: symmetry, superposition, limits, and what a protective earth does."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from hazardreport.case.reading import PlugPosition, SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Earthing, Supply, SupplyFault, SwitchPoles, Wiring
from hazardreport.circuit.loads import loaded_voltage
from hazardreport.circuit.thevenin import available_current, currents, source_at_part, sources_at_part
from hazardreport.circuit.unit_network import FurtherElement, NetworkParameters, parameters_of

from .random_units import RandomUnit, random_unit

CALM = settings(derandomize=True, deadline=None, max_examples=80)
SEED = st.integers(0, 10**9)
LOADS = (1e7, 3000.0, 1000.0 - 400j)


def source(unit: RandomUnit) -> tuple[complex, complex]:
    voltage, impedance = source_at_part(unit.wiring, unit.parameters, unit.state)
    return complex(voltage), complex(impedance)


def mirrored_element(element: FurtherElement) -> FurtherElement:
    broken = element.open_position
    return replace(
        element,
        fault_position=1.0 - element.fault_position,
        open_position=None if broken is None else 1.0 - broken,
    )


def mirrored(unit: RandomUnit) -> RandomUnit:
    """Plug turned, and everything of pole 1 in pole 2."""
    other = {SwitchPoles.POLE_1: SwitchPoles.POLE_2, SwitchPoles.POLE_2: SwitchPoles.POLE_1}
    turned = {PlugPosition.STRAIGHT: PlugPosition.REVERSED, PlugPosition.REVERSED: PlugPosition.STRAIGHT}
    p, wiring = unit.parameters, unit.wiring
    return RandomUnit(
        wiring=replace(
            wiring,
            switch=other.get(wiring.switch, wiring.switch),
            cut_out=other.get(wiring.cut_out, wiring.cut_out),
        ),
        parameters=replace(
            p,
            fault_position=1.0 - p.fault_position,
            open_position=None if p.open_position is None else 1.0 - p.open_position,
            leakage_capacitance_1=p.leakage_capacitance_2,
            leakage_capacitance_2=p.leakage_capacitance_1,
            leakage_resistance_1=p.leakage_resistance_2,
            leakage_resistance_2=p.leakage_resistance_1,
            second_fault_position=1.0 - p.second_fault_position,
            further_elements=tuple(mirrored_element(element) for element in p.further_elements),
        ),
        state=replace(unit.state, plug=turned[unit.state.plug]),
    )


@CALM
@given(SEED)
def test_turning_the_plug_is_swapping_everything_in_the_poles(seed: int) -> None:
    unit = random_unit(seed)
    assert np.allclose(source(unit), source(mirrored(unit)), rtol=1e-6, atol=1e-7)


@CALM
@given(SEED, st.sampled_from(LOADS))
def test_the_source_gives_what_the_loaded_network_gives(seed: int, load: complex) -> None:
    """Two ways to the same number: few unknowns without the load, all currents with it."""
    unit = random_unit(seed)
    direct = currents(unit.wiring, unit.parameters, unit.state, load)
    assert float(direct.touch_voltage_true_earth) == pytest.approx(
        loaded_voltage(*source(unit), load), rel=1e-6, abs=1e-7
    )


@CALM
@given(SEED)
def test_two_live_poles_are_each_pole_alone_added_up(seed: int) -> None:
    drawn = random_unit(seed)
    assume(drawn.wiring.supply_fault is SupplyFault.NONE)
    even = replace(drawn.parameters, line_resistance=0.3, neutral_resistance=0.3)
    turned = {PlugPosition.STRAIGHT: PlugPosition.REVERSED, PlugPosition.REVERSED: PlugPosition.STRAIGHT}

    def voltage(supply: Supply, state: UnitState) -> complex:
        return complex(source_at_part(replace(drawn.wiring, supply=supply), even, state)[0])

    back = replace(drawn.state, plug=turned[drawn.state.plug])
    first, second = (voltage(Supply.EARTHED_NEUTRAL, state) for state in (drawn.state, back))
    height = 0.5j / 3**0.5
    for supply, expected in (
        (Supply.TWO_LIVE_POLES, 0.5 * first - 0.5 * second),
        (Supply.TWO_PHASES, (0.5 + height) * first + (-0.5 + height) * second),
    ):
        assert abs(voltage(supply, drawn.state) - expected) < 1e-5


@CALM
@given(SEED, st.sampled_from((np.inf, *LOADS)))
def test_a_protective_earth_never_raises_the_touch_voltage_unless_the_pen_is_lost(seed: int, load: complex) -> None:
    drawn = random_unit(seed)
    bare, earthed = (replace(drawn, state=replace(drawn.state, earthed=earthed)) for earthed in (False, True))
    rise = loaded_voltage(*source(earthed), load) - loaded_voltage(*source(bare), load)
    lost = drawn.parameters.pen_resistance != 0.0
    assert rise <= 1e-6 or lost


@pytest.mark.parametrize("switch", list(SwitchPosition)[:1])
def test_with_the_pen_lost_a_sound_unit_becomes_live_by_its_protective_earth(
    wiring: Callable[..., Wiring], switch: SwitchPosition
) -> None:
    lost = wiring(230.0, supply_fault=SupplyFault.PEN, earthing=Earthing.TN)
    parameters = parameters_of(lost, element_resistance=26.45, fault_position=0.5, fault_resistance=np.inf)
    state = UnitState(plug=PlugPosition.STRAIGHT, switch=switch)
    bare, earthed = sources_at_part(lost, parameters, (state, replace(state, earthed=True)))[0]
    assert abs(bare) == 0.0
    assert abs(earthed) == pytest.approx(230.0)


@CALM
@given(SEED, st.sampled_from((500.0, 3000.0)))
def test_a_residual_current_is_what_leaves_through_person_and_protective_earth(seed: int, load: float) -> None:
    """In one phase currents add up or cancel: through a lost PEN the protective conductor feeds the part."""
    drawn = random_unit(seed, resistive=True)
    found = currents(drawn.wiring, drawn.parameters, drawn.state, load)
    residual, person, earth = (
        float(current) for current in (found.residual_current, found.load_current, found.earth_current)
    )
    assert min(abs(residual - (person + earth)), abs(residual - abs(person - earth))) <= 1e-7 * (1.0 + earth)
    if drawn.parameters.pen_resistance == 0.0:
        assert residual == pytest.approx(person + earth, rel=1e-6, abs=1e-7)


@CALM
@given(SEED)
def test_a_resistance_of_zero_is_the_limit_of_small_ones(seed: int) -> None:
    drawn = random_unit(seed)
    names = ("contact_resistance", "fault_resistance", "line_resistance", "unit_earth_resistance")
    exact = replace(drawn, parameters=replace(drawn.parameters, **dict.fromkeys(names, 0.0)))
    small = replace(drawn, parameters=replace(drawn.parameters, **dict.fromkeys(names, 1e-9)))
    assert np.allclose(source(exact), source(small), rtol=1e-6, atol=1e-5)


@CALM
@given(SEED)
def test_an_infinite_resistance_is_the_limit_of_great_ones(seed: int) -> None:
    drawn = random_unit(seed)
    absent = replace(drawn.parameters, fault_resistance=np.inf, leakage_resistance_1=np.inf)
    great = replace(drawn.parameters, fault_resistance=1e14, leakage_resistance_1=1e14)
    current = [
        available_current(*source_at_part(drawn.wiring, parameters, drawn.state)) for parameters in (absent, great)
    ]
    assert float(current[0]) == pytest.approx(float(current[1]), rel=1e-4, abs=1e-9)


@pytest.mark.parametrize("supply", [Supply.EARTHED_NEUTRAL, Supply.TWO_LIVE_POLES, Supply.TWO_PHASES])
@pytest.mark.parametrize("broken", [None, 0.4])
def test_magnitudes_are_continuous_towards_both_terminals(
    wiring: Callable[..., Wiring], state: Callable[..., UnitState], supply: Supply, broken: float | None
) -> None:
    unit = wiring(230.0, supply=supply)
    ends = np.concatenate([[0.0], np.geomspace(1e-12, 1e-3, 240)])
    for x in (ends, 1.0 - ends):
        parameters = NetworkParameters(
            supply_voltage=230.0,
            frequency=50.0,
            element_resistance=26.45,
            fault_position=x,
            fault_resistance=0.5,
            open_position=broken,
        )
        states = [
            state(name, earthed) for name in ("S closed", "R closed", "S open", "R open") for earthed in (False, True)
        ]
        voltage, impedance = sources_at_part(unit, parameters, states)
        for magnitude in (np.abs(voltage), np.abs(impedance)):
            finite = np.isfinite(magnitude).all(axis=0)
            known = magnitude[:, finite]
            assert (np.abs(known[1:] - known[:-1]) < 1e-2 * (1.0 + known.max(axis=0))).all()
            assert np.allclose(known[0], known[1], rtol=1e-9, atol=1e-9)

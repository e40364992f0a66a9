"""What an assessment says: of a whole bench, of half of one, of nothing."""

import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hazardreport.assess.assessment import assess
from hazardreport.assess.records import Assessment, Basis, RouteKind
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Household, ResidualCurrentDevice
from hazardreport.case.reading import Load, LoadKind, PlugPosition, Quantity, State, SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Plug, ProtectiveEarth, Supply, SwitchPoles
from hazardreport.resources_dir import DEMO_CASE
from hazardreport.severity.terms import BodyPath, LimitDecision, Operation, SignalWord, Skin
from hazardreport.storage.folder import open_case

DEAD = State(plug=PlugPosition.UNPLUGGED, switch=SwitchPosition.ON)
REVERSED_OFF = State(plug=PlugPosition.REVERSED, switch=SwitchPosition.OFF)
OFF_REVERSED = UnitState(plug=PlugPosition.REVERSED, switch=SwitchPosition.OFF)
ON_REVERSED = UnitState(plug=PlugPosition.REVERSED, switch=SwitchPosition.ON)
ON_STRAIGHT = UnitState(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.ON)
OFF_STRAIGHT = UnitState(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.OFF)
ORDER = list(SignalWord)


def voltage(found: Assessment, state: UnitState) -> float:
    cell = found.cell(state)
    assert cell is not None
    return found.number(cell.open_circuit_voltage).measured.value


def body_current(found: Assessment, state: UnitState, skin: Skin, percentile: int, path: BodyPath) -> float:
    person = next(
        item
        for item in found.exposures
        if (item.state, item.skin, item.percentile, item.path) == (state, skin, percentile, path)
    )
    return found.number(person.body_current).measured.value


def test_an_empty_case_is_not_assessed_and_says_what_is_missing() -> None:
    found = assess(Case(id="T-0"))

    assert found.verdict.word is SignalWord.NOT_ASSESSED
    assert {problem.key for problem in found.problems} >= {"supply_not_stated", "circumstances_open"}


def test_ohmmeter_readings_alone_predict_every_state(dead_bench: Callable[..., Any]) -> None:
    """Open-circuit voltages of case A by ngspice: reversed on 31.206, straight on 88.794, reversed off 120."""
    found = assess(dead_bench(fault_resistance=1000.0).case)

    assert voltage(found, OFF_REVERSED) == pytest.approx(120.0, rel=2e-3)
    assert voltage(found, ON_REVERSED) == pytest.approx(31.206, rel=2e-2)
    assert voltage(found, ON_STRAIGHT) == pytest.approx(88.794, rel=2e-2)
    assert voltage(found, OFF_STRAIGHT) == pytest.approx(0.0, abs=1e-6)
    cells = {cell.state: cell for cell in found.states}
    assert cells[OFF_REVERSED].basis is Basis.PREDICTED
    assert cells[OFF_REVERSED].established


@pytest.mark.parametrize(("percentile", "expected"), [(5, 54.14e-3), (50, 40.65e-3), (95, 28.05e-3)])
def test_body_currents_behind_one_kiloohm(dead_bench: Callable[..., Any], percentile: int, expected: float) -> None:
    """120 V behind 1000 ohm, dry, hand to hand; computed independently with linear interpolation."""
    found = assess(dead_bench(fault_resistance=1000.0 - 0.75 * 9.6 - 0.2).case)
    current = body_current(found, OFF_REVERSED, Skin.DRY, percentile, BodyPath.HAND_TO_HAND)

    assert current == pytest.approx(expected, rel=3e-3)


def test_off_with_the_plug_reversed_is_the_headline_and_a_danger(dead_bench: Callable[..., Any]) -> None:
    found = assess(dead_bench(fault_resistance=100.0).case)

    assert found.verdict.word is SignalWord.DANGER
    assert found.verdict.headline == OFF_REVERSED
    assert "switched off" in found.verdict.sentence


def test_a_plug_that_goes_in_one_way_only_is_never_taken_as_reversed(dead_bench: Callable[..., Any]) -> None:
    found = assess(dead_bench(fault_resistance=100.0, plug=Plug.ONE_WAY).case)

    assert found.verdict.headline == ON_STRAIGHT
    assert not any(item.plausible for item in found.exposures if item.state.plug is PlugPosition.REVERSED)


def test_both_poles_switched_leave_nothing_to_touch_while_off(dead_bench: Callable[..., Any]) -> None:
    found = assess(dead_bench(fault_resistance=100.0, switch=SwitchPoles.BOTH).case)
    cell = found.cell(OFF_REVERSED)

    assert cell is not None
    assert found.number(cell.available_fault_current).measured.value == 0.0
    assert math.isinf(found.number(cell.source_impedance).measured.value)


def test_an_unloaded_reading_alone_establishes_nothing(bench: Callable[..., Any]) -> None:
    made = bench().typed("FG", Quantity.VOLTAGE, DEAD, "120.0 V")
    found = assess(made.typed("AE", Quantity.VOLTAGE, REVERSED_OFF, "118.8 V").case)

    assert found.verdict.word is SignalWord.NOT_EXCLUDED
    assert not any(cell.established for cell in found.states)


@pytest.mark.parametrize(("typed", "least"), [("119.809 V", 0.2126e-3)])
def test_a_lawful_capacitor_is_never_made_to_look_worse_than_it_is(
    bench: Callable[..., Any], typed: str, least: float
) -> None:
    """4.7 nF from line to the part on a 10 megohm meter, 120 V 60 Hz: 0.2126 mA, computed independently (ngspice)."""
    made = bench().typed("FG", Quantity.VOLTAGE, DEAD, "120.0 V")
    found = assess(made.typed("AE", Quantity.VOLTAGE, REVERSED_OFF, typed).case)

    assert found.number("possible.reversed-off.low").measured.value <= least
    assert found.verdict.word is SignalWord.NOT_EXCLUDED


def test_a_loaded_reading_establishes_its_own_state(bench: Callable[..., Any]) -> None:
    load = Load(kind=LoadKind.RESISTOR, resistance=3000.0, tolerance=0.001)
    made = bench(fault_resistance=10e3).typed("FG", Quantity.VOLTAGE, DEAD, "120.0 V")
    made.read("AE", Quantity.VOLTAGE, REVERSED_OFF).read("AE", Quantity.VOLTAGE, REVERSED_OFF, load)
    found = assess(made.case)
    cell = found.cell(OFF_REVERSED)
    route = next(route for route in found.routes if route.kind is RouteKind.TWO_LOADS)

    assert cell is not None
    assert cell.established
    assert cell.basis is Basis.MEASURED
    assert found.number(route.source_impedance).measured.value == pytest.approx(10_007.2, rel=5e-3)


def test_a_wrong_reading_is_named_and_the_states_rest_on_their_own_readings(dead_bench: Callable[..., Any]) -> None:
    made = dead_bench(fault_resistance=1000.0)
    made.read("AE", Quantity.VOLTAGE, REVERSED_OFF)
    honest = assess(made.case)
    made.typed("AE", Quantity.VOLTAGE, State(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.ON), "20 V")
    found = assess(made.case)

    assert honest.fit is not None
    assert honest.fit.consistent
    assert found.fit is not None
    assert found.fit.consistent is False
    named = {problem.id for problem in found.problems if problem.key in ("misfit", "misfit_one_of")}
    assert made.case.readings[-1].id in named


def test_a_switch_that_nobody_described_costs_only_the_readings_that_need_it(dead_bench: Callable[..., Any]) -> None:
    made = dead_bench(fault_resistance=100.0)
    made.read("AE", Quantity.VOLTAGE, REVERSED_OFF)
    case = replace(made.case, wiring=replace(made.case.wiring, switch=SwitchPoles.UNKNOWN))
    found = assess(case)

    assert {problem.id for problem in found.problems if problem.key == "state_not_possible"} == {case.readings[-1].id}
    assert found.fit is not None
    assert voltage(found, ON_STRAIGHT) == pytest.approx(88.8, rel=2e-2)


def test_a_supply_noted_beside_a_reading_scales_what_is_expected_of_it(
    dead_bench: Callable[..., Any],
) -> None:
    made = dead_bench(fault_resistance=100.0)
    made.typed("AE", Quantity.VOLTAGE, REVERSED_OFF, "117.0 V")
    noted = replace(made.case.readings[-1], supply_typed="117.0 V")
    found = assess(replace(made.case, readings=(*made.case.readings[:-1], noted)))
    other = assess(made.case)

    assert found.fit is not None
    assert found.fit.consistent
    assert abs(found.fit.residuals[-1].standardized) < 0.2
    assert other.fit is not None
    assert abs(other.fit.residuals[-1].standardized) > 2.0


def test_a_neutral_above_earth_is_doubt_of_every_reading_to_earth(dead_bench: Callable[..., Any]) -> None:
    made = dead_bench(fault_resistance=100.0).typed("GE", Quantity.VOLTAGE, DEAD, "3.0 V")
    found = assess(made.typed("AE", Quantity.VOLTAGE, REVERSED_OFF, "117.5 V").case)

    assert found.fit is not None
    assert found.fit.consistent


def test_other_supplies_are_refused_with_a_reason(dead_bench: Callable[..., Any]) -> None:
    case = dead_bench().case
    for supply in (Supply.ISOLATED, Supply.DIRECT_CURRENT):
        found = assess(replace(case, wiring=replace(case.wiring, supply=supply)))
        assert found.verdict.word is SignalWord.NOT_ASSESSED
        assert "supply_not_solved" in {problem.key for problem in found.problems}


def test_without_a_recorded_circumstance_no_exposure_enters(dead_bench: Callable[..., Any]) -> None:
    case = replace(dead_bench(fault_resistance=100.0).case, household=Household())
    found = assess(case)

    assert found.verdict.word is SignalWord.NOT_EXCLUDED
    assert not any(item.plausible for item in found.exposures)
    assert "do not use" in found.verdict.sentence


@pytest.mark.common_practice
def test_a_residual_current_device_shortens_a_shock_and_does_not_prevent_it(dead_bench: Callable[..., Any]) -> None:
    """Common practice, no source: the device ends the current, it does not limit it, and the word stays."""
    case = dead_bench(fault_resistance=100.0).case
    device = replace(case, household=replace(case.household, residual_current_device=ResidualCurrentDevice.MA_30))
    without, with_device = assess(case), assess(device)

    for before, after in zip(without.exposures, with_device.exposures, strict=True):
        assert without.number(before.body_current) == with_device.number(after.body_current)
        long, short = (a.number(e.duration).measured.value for a, e in ((without, before), (with_device, after)))
        assert short <= long
    assert with_device.verdict.word is without.verdict.word is SignalWord.DANGER
    acted = next(item for item in with_device.exposures if item.state == OFF_REVERSED)
    assert with_device.number(acted.duration).measured.value <= 0.15


@pytest.mark.common_practice
@pytest.mark.parametrize("typed", ["300 kΩ", "OL", "2.4 MΩ"])
def test_a_broken_element_reads_hundreds_of_kilohm_or_more(bench: Callable[..., Any], typed: str) -> None:
    """Common practice, no source: a 120 V kitchen heater of about 1 to 1.5 kW measures some 10 ohm cold when whole."""
    broken = assess(bench().typed("BC", Quantity.RESISTANCE, DEAD, typed).case)
    whole = assess(bench().typed("BC", Quantity.RESISTANCE, DEAD, "9.6 Ω").case)

    assert "element_broken" in {problem.key for problem in broken.problems}
    assert "element_broken" not in {problem.key for problem in whole.problems}


def test_with_the_earth_connected_a_breaker_does_not_clear_a_fault_in_the_middle(
    dead_bench: Callable[..., Any],
) -> None:
    """Mid-element, earthed through 0.3 ohm, R_f 1 milliohm: 21.4 A, 6.423 V; computed independently (ngspice)."""
    made = dead_bench(
        fault_resistance=0.001,
        fault_position=0.5,
        circuit_breaker="B16",
        protective_earth=ProtectiveEarth.OPEN,
        cord_cores=3,
    )
    found = assess(made.case)
    built = next(item for item in found.as_built if item.state.key == "straight-on-earthed")
    devices = {device.device: device.operation for device in built.devices}

    assert found.number(built.earth_current).measured.value == pytest.approx(21.411, rel=2e-2)
    assert found.number(built.touch_voltage_true_earth).measured.value == pytest.approx(6.423, rel=2e-2)
    assert devices["residual-current device 30 mA"] is Operation.OPERATES
    assert devices["B16"] is not Operation.OPERATES


def test_open_earth_is_beyond_its_limit_though_an_ohmmeter_gave_only_a_bound(dead_bench: Callable[..., Any]) -> None:
    made = dead_bench(protective_earth=ProtectiveEarth.OPEN, cord_cores=3)
    found = assess(made.typed("DA", Quantity.RESISTANCE, DEAD, "> 20 MΩ").case)
    earth = next(item for item in found.limits if item.limit == "limits.earth-continuity.limit")

    assert earth.decision is LimitDecision.EXCEEDED


@settings(derandomize=True, deadline=None, max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(low=st.floats(1.0, 1e5), times=st.floats(1.05, 50.0))
def test_the_word_never_falls_when_the_fault_conducts_better(
    dead_bench: Callable[..., Any], low: float, times: float
) -> None:
    worse, better = (assess(dead_bench(fault_resistance=value).case) for value in (low, low * times))

    assert ORDER.index(worse.verdict.word) <= ORDER.index(better.verdict.word)


@pytest.fixture(scope="module")
def demo() -> Assessment:
    return assess(open_case(Path(DEMO_CASE), for_writing=False).case)


def test_each_number_stands_behind_its_inputs(demo: Assessment) -> None:
    seen: set[str] = set()
    for number in demo.trace:
        assert set(number.inputs) <= seen, number.id
        assert number.id not in seen
        seen.add(number.id)


def test_closed_forms_of_the_trace_come_out_again(demo: Assessment) -> None:
    """A pocket calculator gives the same: available current, the body's voltage and current, its share at the heart."""
    checked = 0
    for number in demo.trace:
        values = {demo.number(item).symbol: demo.number(item).measured.value for item in number.inputs}
        expected = {
            "U0 / |Zs|": lambda v: v["U0"] / v["Zs"],
            "UB / ZB": lambda v: v["UB"] / v["ZB"],
            "U0 · ZB / |Zs + ZB|": lambda v: v["U0"] * v["ZB"] / (v["Zs"] + v["ZB"]),
            "F · IB": lambda v: v["F"] * v["IB"],
            "IB · ZB": lambda v: v["IB"] * v["ZB"],
            "U0 · RPE / (Zs + RPE)": lambda v: v["U0"] * v["RPE"] / (v["Zs"] + v["RPE"]),
            "2·π·f · 4.7 nF · U": None,
        }.get(number.equation)
        if expected is None or not math.isfinite(number.measured.value):
            continue
        assert number.measured.value == pytest.approx(expected(values), rel=1e-3, abs=1e-12), number.id
        checked += 1
    assert checked > 200


def test_every_source_of_the_trace_is_a_known_reference(demo: Assessment) -> None:
    from hazardreport.standards.references import reference

    for key in {source.key for number in demo.trace for source in number.sources}:
        assert reference(key).title


def test_the_demo_tells_one_story(demo: Assessment) -> None:
    assert demo.fit is not None
    assert demo.fit.consistent
    assert all(abs(item.standardized) < 3.0 for item in demo.fit.residuals)
    assert demo.verdict.word is SignalWord.DANGER
    assert demo.verdict.headline == OFF_REVERSED
    assert not [problem for problem in demo.problems if not problem.gentle]


def test_the_routes_of_the_demo_agree_within_their_doubt(demo: Assessment) -> None:
    resolved = [route for route in demo.routes if route.state == OFF_REVERSED and route.resolved]
    assert {route.kind for route in resolved} == {RouteKind.OHMMETER, RouteKind.TWO_LOADS}
    first, second = (demo.number(route.available_fault_current).measured for route in resolved)
    doubt = math.hypot(first.standard_uncertainty, second.standard_uncertainty)
    assert abs(first.value - second.value) <= 2.0 * doubt

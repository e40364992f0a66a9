"""A reading becomes a number with doubt, a bound, or a refusal; nothing is thrown away."""

import math
from dataclasses import replace

import pytest
from reading_benches import LAMP, METER, P1, P2, RESISTOR, TESTER, E, T, bench, dead, live, stored, taken

from hazardreport import wording
from hazardreport.case.case import Case
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import (
    Brightness,
    Load,
    LoadKind,
    PlugPosition,
    Quantity,
    Reading,
    State,
    SupplyKind,
    SwitchPosition,
)
from hazardreport.case.wiring import Plug, SwitchPoles
from hazardreport.quantity.typed import Bound
from hazardreport.readings.accuracy import calibration_holds, range_of
from hazardreport.readings.checks import REFUSING, UNDECIDING
from hazardreport.readings.connected import meter_impedance
from hazardreport.readings.number import read_number
from hazardreport.readings.result import Purpose, ReadingResult

PLUGGED = State(plug=PlugPosition.STRAIGHT)


def read(reading: Reading, **wiring: object) -> ReadingResult:
    return read_number(reading, bench(reading, **wiring))


def keys(result: ReadingResult) -> set[str]:
    return {key for key, _ in result.problems}


def test_a_live_reading_has_the_doubt_of_meter_and_supply() -> None:
    result = read(live("119.9 V"))

    assert result.value is not None
    assert result.instrument_uncertainty == pytest.approx((1.199 + 0.3) / math.sqrt(3.0))
    assert result.supply_uncertainty == pytest.approx(1.199)
    assert result.value.standard_uncertainty == pytest.approx(
        math.hypot(result.instrument_uncertainty, result.supply_uncertainty)
    )
    assert (result.used, result.problems) == (True, ())
    assert {"rectangular_limits", "supply_stability", "shared_gain"} <= set(result.choices)


def test_a_supply_noted_beside_the_reading_takes_the_drift_away() -> None:
    result = read(live("119.9 V", supply_typed="120,4 V"))

    assert result.supply_uncertainty == 0.0
    assert result.supply_voltage is not None
    assert result.supply_voltage.value == 120.4
    assert "supply_stability" not in result.choices


def test_a_supply_that_was_not_understood_leaves_the_drift_and_says_so() -> None:
    result = read(live("119.9 V", supply_typed="normal"))

    assert result.supply_uncertainty > 0.0
    assert keys(result) == {"supply_not_read"}


def test_lead_resistance_is_subtracted_if_noted() -> None:
    result = read(dead(P1, P2, "9.8 Ω"))

    assert result.value is not None
    assert result.value.value == pytest.approx(9.6)
    assert result.value.standard_uncertainty == pytest.approx((0.0882 + 0.2) / math.sqrt(3.0))
    assert "leads_subtracted" in result.choices


def test_lead_resistance_enters_as_doubt_if_not_noted() -> None:
    reading = dead(P1, P2, "9.8 Ω")
    case = replace(bench(reading), instruments=(replace(METER, lead_resistance=None),))
    result = read_number(reading, case)

    assert result.value is not None
    assert result.value.value == 9.8
    assert result.value.standard_uncertainty == pytest.approx(math.hypot(0.2882, 0.3) / math.sqrt(3.0))
    assert "leads_not_noted" in result.choices


def test_repeats_add_the_spread_of_their_mean() -> None:
    result = read(live("27.60 V", load=RESISTOR, repeats=("27,70", "27.80 V"), supply_typed="120.0 V"))

    assert result.value is not None
    spread = 0.1 / math.sqrt(3.0)
    own = (0.277 + 0.03) / math.sqrt(3.0)
    assert result.value.value == pytest.approx(27.7)
    assert result.value.standard_uncertainty == pytest.approx(math.hypot(own, spread))
    assert result.value.degrees_of_freedom == pytest.approx(2.0 * (own**2 + spread**2) ** 2 / spread**4)


def test_a_repeat_that_cannot_be_read_is_left_out_and_named() -> None:
    result = read(live("27.6 V", repeats=("27.8 V", "27 bananas", "OL")))

    assert result.value is not None
    assert result.value.value == pytest.approx(27.7)
    assert keys(result) == {"repeat_left_out", "repeat_is_bound"}


def test_a_typed_uncertainty_stands_in_the_place_of_the_meter_s() -> None:
    result = read(live("117.4 ± 0.5 V", supply_typed="120.0 V"))

    assert result.value is not None
    assert result.value.standard_uncertainty == pytest.approx(0.5 / math.sqrt(3.0))
    assert "typed_limits" in result.choices


def test_the_typed_digits_are_the_least_doubt() -> None:
    result = read(live("120 ± 0 V", supply_typed="120 V"))

    assert result.value is not None
    assert result.value.standard_uncertainty == pytest.approx(1.0 / math.sqrt(12.0))


def test_without_calibration_the_limits_are_doubled() -> None:
    reading = live("119.9 V", supply_typed="120.0 V")
    case = bench(reading)
    old = replace(case, instruments=(replace(METER, calibrated="2024-01-01"),))
    calibrated, doubled = read_number(reading, case), read_number(reading, old)

    assert doubled.instrument_uncertainty == pytest.approx(2.0 * calibrated.instrument_uncertainty)
    assert keys(doubled) == {"no_calibration"}
    assert "no_calibration" in doubled.choices


@pytest.mark.parametrize(
    ("calibrated", "taken_on", "holds"),
    [
        ("2026-03-01", "2026-05-02T10:00", True),
        ("2026-03-01", "2027-03-01", True),
        ("2026-03-01", "2027-03-03", False),
        ("2026-06-01", "2026-05-02", False),
        ("2026-03-01", "", True),
        ("2026-03-01", "in May", True),
        ("", "2026-05-02", False),
        ("last year", "2026-05-02", False),
    ],
)
def test_a_calibration_holds_for_a_year(calibrated: str, taken_on: str, holds: bool) -> None:
    assert calibration_holds(replace(METER, calibrated=calibrated), taken_on) is holds


def test_without_an_instrument_a_common_meter_is_doubled() -> None:
    result = read(live("119.9 V", instrument="", supply_typed="120.0 V"))

    assert result.value is not None
    assert result.value.standard_uncertainty == pytest.approx(2.0 * (119.9 * 0.015 + 0.5) / math.sqrt(3.0))
    assert keys(result) == {"no_instrument"}
    assert result.used
    assert {source.key for source in result.sources} == {"own-choices"}


@pytest.mark.parametrize(
    ("value", "resolution", "range_to"),
    [(5.0, 0.001, 6.0), (5.0, 0.1, 600.0), (5.0, 1.0, 6.0), (59.9, 0.01, 60.0), (119.9, 0.1, 600.0)],
)
def test_the_range_follows_the_value_and_the_typed_digits(value: float, resolution: float, range_to: float) -> None:
    found = range_of(METER, Quantity.VOLTAGE, value, resolution)
    assert found is not None
    assert found.range_to == range_to


def test_over_range_is_above_the_highest_range() -> None:
    result = read(dead(P1, T, "OL"))

    assert result.value is not None
    assert (result.value.value, result.bound, result.used) == (60e6, Bound.ABOVE, False)
    assert "over_range" in result.choices


def test_a_typed_bound_keeps_its_number() -> None:
    result = read(dead(P1, T, "> 20 MΩ"))

    assert result.value is not None
    assert (result.value.value, result.bound) == (20e6, Bound.ABOVE)


def test_over_range_of_an_unknown_meter_has_no_number() -> None:
    result = read(dead(P1, T, "OL", instrument=""))

    assert (result.value, result.bound, result.refused) == (None, Bound.ABOVE, False)
    assert "bound_without_number" in keys(result)


def test_not_detected_is_below_the_lowest_digits() -> None:
    result = read(live("not detected"))

    assert result.value is not None
    assert result.value.value == pytest.approx(0.003)
    assert result.bound is Bound.BELOW


def test_meter_and_resistor_together_are_the_load() -> None:
    result = read(live("119.9 V", load=RESISTOR))

    meter = 1.0 / (1e-7 + 2j * math.pi * 60.0 * 100e-12)
    assert result.meter_impedance == pytest.approx(meter)
    assert result.load_impedance == pytest.approx(1.0 / (1.0 / 47e3 + 1.0 / meter))
    assert result.load_uncertainty == pytest.approx(0.05 / math.sqrt(3.0))


def test_a_meter_without_stated_input_is_a_common_one() -> None:
    assert meter_impedance(None, 50.0) == pytest.approx(1.0 / (1e-7 + 2j * math.pi * 50.0 * 100e-12))
    assert "common_meter_input" in read(live("119.9 V", instrument="")).choices
    assert "common_meter_input" not in read(live("119.9 V")).choices


def test_a_lamp_is_no_linear_load() -> None:
    result = read(live("98.0 V", load=LAMP))
    assert (result.load_impedance, result.load, result.used) == (None, LAMP, True)


@pytest.mark.parametrize(
    ("text", "brightness", "bound", "used"),
    [
        ("dark", Brightness.DARK, Bound.BELOW, False),
        ("glow", Brightness.GLOW, Bound.ABOVE, True),
        (" Full ", Brightness.FULL, Bound.ABOVE, True),
    ],
)
def test_a_lamp_s_brightness_is_a_bound_and_a_dark_one_decides_nothing(
    text: str, brightness: Brightness, bound: Bound, used: bool
) -> None:
    result = read(live(text, quantity=Quantity.LAMP, load=LAMP))

    assert (result.brightness, result.bound, result.used, result.value) == (brightness, bound, used, None)
    assert ("dark_lamp" in keys(result)) is not used


def test_a_lit_lamp_needs_no_proved_meter() -> None:
    def lit(**changes: object) -> ReadingResult:
        return read(live("glow", quantity=Quantity.LAMP, load=LAMP, proved=False, **changes))

    assert "not_proved" not in keys(lit())
    assert lit().used
    behind = lit(supply=SupplyKind.ISOLATING)
    assert "behind_isolation" in keys(behind)
    assert not behind.used
    assert "not_proved" in keys(read(live("98.0 V", load=LAMP, proved=False)))


REFUSED = [
    pytest.param(dead(P1, T, "9.8 Ω", state=PLUGGED), "resistance_plugged_in", id="resistance of a plugged-in unit"),
    pytest.param(live("117 V", state=State()), "live_unplugged", id="voltage to earth of an unplugged unit"),
    pytest.param(
        taken(T, E, Quantity.CURRENT, "5 mA", load=RESISTOR), "live_unplugged", id="current of an unplugged unit"
    ),
    pytest.param(live("117 Ω"), "not_read", id="ohms for a voltage"),
    pytest.param(live("1,500 V"), "not_read", id="group separator"),
    pytest.param(live(""), "not_read", id="nothing typed"),
    pytest.param(live("117 V", first="Z"), "point_missing", id="unknown point"),
    pytest.param(live("117 V", first=""), "point_missing", id="no point"),
    pytest.param(live("117 V", first="B"), "same_point", id="same point twice"),
    pytest.param(live("1.2 kV"), "outside_range", id="above the highest range"),
    pytest.param(live("-117 V"), "negative", id="negative voltage"),
    pytest.param(live("< -5 V"), "negative", id="negative bound"),
    pytest.param(live("117 V", repeats=("-117 V",)), "negative", id="negative repeat"),
    pytest.param(live("2 kV", instrument=""), "absurd", id="above low voltage"),
    pytest.param(live("> 5 kV", instrument=""), "absurd", id="bound above low voltage"),
    pytest.param(dead(P1, T, "5 TΩ", instrument=""), "absurd", id="five teraohm"),
    pytest.param(
        taken(T, E, Quantity.CURRENT, "5 mA", state=PLUGGED, proved=True), "ammeter_across_part", id="ammeter to earth"
    ),
    pytest.param(live("bright", quantity=Quantity.LAMP, load=LAMP), "brightness_not_read", id="unknown brightness"),
]


@pytest.mark.parametrize(("reading", "problem"), REFUSED)
def test_what_cannot_be_is_refused_with_a_reason(reading: Reading, problem: str) -> None:
    result = read(reading)

    assert problem in keys(result)
    assert (result.value, result.bound, result.used, result.refused) == (None, Bound.NONE, False, True)


KEPT = [
    pytest.param(live("2.1 V", supply=SupplyKind.ISOLATING), "behind_isolation", id="isolating transformer"),
    pytest.param(live("2.1 V", supply=SupplyKind.INVERTER), "behind_isolation", id="inverter"),
    pytest.param(live("117 V", supply=SupplyKind.UNKNOWN), "supply_not_known", id="unknown supply"),
    pytest.param(live("117 V", proved=False), "not_proved", id="meter not proved"),
    pytest.param(live("117 V", first="K"), "point_without_role", id="point without a role"),
    pytest.param(live("117 V", load=Load(kind=LoadKind.LAMP)), "lamp_not_rated", id="lamp without rating"),
    pytest.param(live("117 V", load=Load(kind=LoadKind.OTHER_LAMP)), "other_lamp", id="LED"),
    pytest.param(live("117 V", load=Load(kind=LoadKind.RESISTOR)), "load_without_value", id="resistor without value"),
    pytest.param(live("117 VDC"), "direct_voltage", id="direct voltage"),
    pytest.param(
        live("117 V", load=replace(RESISTOR, tolerance=5.0)), "tolerance_not_possible", id="five times for five percent"
    ),
]


@pytest.mark.parametrize(("reading", "problem"), KEPT)
def test_what_decides_nothing_is_kept(reading: Reading, problem: str) -> None:
    result = read(reading)

    assert problem in keys(result)
    assert result.value is not None
    assert (result.used, result.refused) == (False, False)


REMARKED = [
    pytest.param(live("117 V", supply=SupplyKind.VARIABLE), {}, "variable_transformer", id="variable transformer"),
    pytest.param(live("117 V", plug=PlugPosition.UNKNOWN), {}, "plug_position_not_known", id="plug unknown"),
    pytest.param(
        live("117 V", plug=PlugPosition.REVERSED), {"plug": Plug.ONE_WAY}, "one_way_plug_reversed", id="one-way plug"
    ),
    pytest.param(
        live("117 V", state=State(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.NONE)),
        {},
        "switch_not_noted",
        id="switch not noted",
    ),
    pytest.param(live("117 V", picture=""), {}, "no_picture", id="no picture"),
]


@pytest.mark.parametrize(("reading", "wiring", "problem"), REMARKED)
def test_a_remark_leaves_the_reading_in_use(reading: Reading, wiring: dict[str, object], problem: str) -> None:
    result = read(reading, **wiring)

    assert problem in keys(result)
    assert result.used


def test_a_unit_without_a_switch_is_never_off() -> None:
    result = read(live("117 V", off=True), switch=SwitchPoles.NONE)
    assert (keys(result), result.refused) == ({"no_such_switch"}, True)


def test_an_average_responding_meter_is_remarked() -> None:
    reading = live("117 V")
    case = replace(bench(reading), instruments=(replace(METER, true_rms=False),))
    result = read_number(reading, case)
    assert (keys(result), result.used) == ({"average_responding"}, True)


def test_an_ohmmeter_can_show_a_protective_earth_only_to_be_open() -> None:
    reading = taken(PointRole.EARTH_PIN, T, Quantity.RESISTANCE, "0.4")
    case = bench(reading)
    case = replace(case, points=(*case.points, replace(case.points[0], letter="F", role=PointRole.EARTH_PIN)))
    finite = read_number(reading, case)
    assert ("earth_by_ohmmeter" in keys(finite), finite.used) == (True, False)
    assert "earth_by_ohmmeter" not in keys(read_number(replace(reading, typed="OL"), case))


def test_an_earth_continuity_tester_may_decide() -> None:
    tester = replace(METER, id="instrument-009", kind="earth continuity tester")
    reading = taken(PointRole.EARTH_PIN, T, Quantity.RESISTANCE, "0.4", instrument=tester.id)
    case = bench(reading)
    earth_pin = replace(case.points[0], letter="F", role=PointRole.EARTH_PIN)
    case = replace(case, points=(*case.points, earth_pin), instruments=(*case.instruments, tester))
    assert read_number(reading, case).used


@pytest.mark.parametrize(
    ("reading", "purpose"),
    [
        (live("117 V"), Purpose.UNIT),
        (stored(P1, P2), Purpose.STORED_CHARGE),
        (stored(P1, T), Purpose.STORED_CHARGE),
        (taken(PointRole.LINE, PointRole.NEUTRAL, Quantity.VOLTAGE, "120.1"), Purpose.SUPPLY),
        (taken(PointRole.NEUTRAL, E, Quantity.VOLTAGE, "0.4", state=PLUGGED), Purpose.SUPPLY),
    ],
)
def test_charge_supply_and_unit_are_told_apart(reading: Reading, purpose: Purpose) -> None:
    result = read(reading)
    assert (result.purpose, result.refused, result.used) == (purpose, False, True)


def test_direct_voltage_may_be_left_in_a_capacitor() -> None:
    result = read(taken(P1, P2, Quantity.VOLTAGE, "-43.1 VDC"))
    assert result.value is not None
    assert (result.value.value, result.used) == (-43.1, True)


def test_a_small_negative_resistance_is_doubt_not_nonsense() -> None:
    result = read(dead(P1, P2, "−0.1 Ω"))
    assert (result.refused, result.used) == (False, True)


def test_an_insulation_reading_is_a_resistance_reading() -> None:
    result = read(dead(P1, T, "12.5 MΩ", instrument=TESTER.id))
    assert result.value is not None
    assert result.value.value == 12.5e6


@pytest.mark.parametrize(
    "reading", [pytest.param(given.values[0], id=given.id) for given in (*REFUSED, *KEPT, *REMARKED)]
)
def test_every_problem_and_choice_has_its_sentences(reading: Reading) -> None:
    result = read(reading, plug=Plug.ONE_WAY)

    for key, fields in result.problems:
        assert wording.sentence(f"problems.{key}.what", **dict(fields))
        assert wording.sentence(f"problems.{key}.remedy", **dict(fields))
    for key in result.choices:
        assert wording.sentence(f"choices.{key}")


def test_problems_that_refuse_or_silence_have_wording() -> None:
    worded = {key.split(".")[1] for key in wording.keys("problems")}
    assert worded >= REFUSING | UNDECIDING


def test_reading_a_case_without_anything_never_fails() -> None:
    reading = Reading(id="r", first="", second="", quantity=Quantity.VOLTAGE, typed="")
    result = read_number(reading, Case(id="c"))
    assert result.refused

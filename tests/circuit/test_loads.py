"""Filament lamps on a Thevenin source: check values, published lamps, brightness."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.case.reading import Brightness
from hazardreport.circuit.loads import (
    Curve,
    Lamp,
    behind_meter,
    brightness_bracket,
    curve_error,
    filament_resistance,
    fillings,
    lamp_bound,
    lamp_current,
    lamp_relative_uncertainty,
    lamp_resistance,
    lamp_sources,
    lamp_tolerance,
    loaded_current,
    loaded_voltage,
)
from hazardreport.errors import OutsideTableError

LAMPS_120 = [Lamp(rated_voltage=120.0, rated_power=power) for power in (15.0, 25.0, 60.0)]
LAMPS_230 = [Lamp(rated_voltage=230.0, rated_power=power) for power in (25.0, 40.0)]

# source voltage, source resistance, then V at the lamp / mA for each lamp
AT_120 = [
    (120.0, 0.0, "120 125.000 120 208.333 120 500.000"),
    (120.0, 10.0, "118.758 124.248 117.938 206.249 115.111 488.875"),
    (120.0, 100.0, "108.227 117.733 101.134 188.657 79.881 401.192"),
    (120.0, 500.0, "73.112 93.776 54.263 131.473 21.470 197.061"),
    (120.0, 1000.0, "47.224 72.776 28.856 91.144 7.613 112.387"),
    (120.0, 5000.0, "6.363 22.727 2.800 23.440 0.514 23.897"),
    (120.0, 20000.0, "0.689 5.966 0.334 5.983 0.098 5.995"),
    (90.0, 2.0, "89.789 105.645 89.648 175.916 89.149 425.739"),
    (60.0, 2.5, "59.791 83.450 59.653 138.896 59.148 340.993"),
    (30.0, 2.0, "29.888 55.813 29.814 92.888 29.532 234.171"),
]
AT_230 = [
    (230.0, 0.0, "230 108.696 230 173.913"),
    (230.0, 100.0, "219.423 105.768 213.304 166.965"),
    (230.0, 1000.0, "146.369 83.631 112.108 117.892"),
    (230.0, 5000.0, "38.194 38.361 17.090 42.582"),
    (172.5, 2.0, "172.316 91.934 172.203 148.708"),
    (115.0, 2.5, "114.818 72.645 114.702 119.360"),
    (57.5, 2.0, "57.403 48.591 57.336 82.019"),
]


@pytest.mark.parametrize(
    ("lamps", "voltage", "resistance", "row"),
    [(LAMPS_120, *row) for row in AT_120] + [(LAMPS_230, *row) for row in AT_230],
)
def test_lamps_on_a_source_agree_with_the_check_values(
    printed: Callable[..., object], lamps: list[Lamp], voltage: float, resistance: float, row: str
) -> None:
    """Values computed independently by bisection, and with a circuit simulator within its tolerance."""
    found = [
        value
        for lamp in lamps
        for value in (loaded_voltage(voltage, resistance, lamp), 1e3 * loaded_current(voltage, resistance, lamp))
    ]
    assert found == [printed(text) for text in row.split()]


@pytest.mark.published("ohms-law-notes", "figures of a 100 W 120 V lamp, 2800 K")
def test_a_hundred_watt_lamp_has_the_published_resistances(printed: Callable[..., object]) -> None:
    assert lamp_resistance(120.0, 120.0, 100.0) == printed("144")
    assert lamp_resistance(0.0, 120.0, 100.0) == printed("9.6")


SMALL_LAMP = Curve(0.55, 28.0 / 0.040 / 65.0, 4.0)


@pytest.mark.published("elliott-sinewave", "4.2, lamp of 28 V 40 mA")
def test_at_half_its_voltage_a_small_lamp_draws_the_published_current(printed: Callable[..., object]) -> None:
    """The re-rating law alone gives the printed digits; the blended curve stays inside its own stated error."""
    assert 40.0 * 0.5**SMALL_LAMP.exponent == printed("27.3")
    blended = 14.0 / filament_resistance(14.0, 28.0, 28.0 * 0.040, SMALL_LAMP)
    assert abs(blended / 27.3e-3 - 1.0) < curve_error(LAMPS_120[0], 60.0)


@pytest.mark.published("elliott-sinewave", "4.2, lamp of 28 V 40 mA, measured below a tenth of its voltage")
@pytest.mark.parametrize(("volts", "milliamperes", "ohms"), [(0.5, "4.5", "111"), (1.39, "7.4", "188")])
def test_a_cool_lamp_stays_within_the_stated_error_of_its_measured_resistance(
    printed: Callable[..., object], volts: float, milliamperes: str, ohms: str
) -> None:
    assert volts / float(milliamperes) * 1e3 == printed(ohms)
    model = filament_resistance(volts, 28.0, 28.0 * 0.040, SMALL_LAMP)
    assert abs(float(ohms) / model - 1.0) < 0.15


@pytest.mark.common_practice
def test_a_small_lamp_behind_25_ohm_burns_at_practically_full_brightness() -> None:
    """120 V 15 W between metal and earth, reversed plug, switch off, 25 Ω fault: 98 % of its voltage."""
    lamp = LAMPS_120[0]
    relative = loaded_voltage(120.0, 25.0, lamp) / lamp.rated_voltage
    assert relative > 0.97
    low, high = brightness_bracket(Brightness.FULL)
    assert low <= relative < high


@pytest.mark.common_practice
def test_a_dark_lamp_is_no_proof_of_safety() -> None:
    lamp = LAMPS_120[0]
    assert loaded_voltage(120.0, 5000.0, lamp) / lamp.rated_voltage < brightness_bracket(Brightness.DARK)[1]
    assert 120.0 / 5000.0 > 20e-3
    assert lamp_bound(lamp, Brightness.DARK) == 0.0


def test_a_bright_lamp_proves_about_a_tenth_of_an_ampere() -> None:
    bound = lamp_bound(LAMPS_120[0], Brightness.FULL)
    assert 0.095 < bound < 0.105
    assert lamp_bound(LAMPS_120[0], Brightness.GLOW) < lamp_bound(LAMPS_120[0], Brightness.DIM) < bound


@settings(derandomize=True, deadline=None)
@given(
    st.sampled_from([*LAMPS_120, *LAMPS_230]),
    st.floats(1.0, 260.0),
    st.floats(0.0, 1e6),
    st.floats(-1e6, 1e6),
)
def test_the_loaded_voltage_solves_the_circuit_for_complex_sources(
    lamp: Lamp, voltage: float, resistance: float, reactance: float
) -> None:
    source = complex(resistance, reactance)
    across = loaded_voltage(voltage, source, lamp)
    current = lamp_current(across, lamp.rated_voltage, lamp.rated_power)
    assert abs(across + source * current) == pytest.approx(voltage, rel=1e-6)


@settings(derandomize=True, deadline=None)
@given(st.floats(0.0, 1e5), st.floats(1.0001, 10.0))
def test_a_lamp_never_brightens_behind_a_greater_resistance(resistance: float, factor: float) -> None:
    lamp = LAMPS_120[0]
    assert loaded_voltage(120.0, resistance * factor, lamp) <= loaded_voltage(120.0, resistance, lamp)


def test_between_25_and_40_watts_both_fillings_count_and_their_spread_is_doubt() -> None:
    lamp = Lamp(rated_voltage=120.0, rated_power=30.0)
    assert fillings(25.0) == ("vacuum",)
    assert fillings(40.0) == ("gas-filled",)
    assert fillings(30.0) == ("vacuum", "gas-filled")
    assert lamp_relative_uncertainty(lamp, 12.0) > math.hypot(lamp_tolerance(lamp), curve_error(lamp, 12.0)) / 3**0.5


def test_a_rating_that_the_curve_does_not_cover_is_refused() -> None:
    with pytest.raises(OutsideTableError):
        lamp_current(50.0, 160.0, 40.0)


def test_every_constant_of_the_lamp_says_where_it_comes_from() -> None:
    assert {source.key for source in lamp_sources()} == {"own-choices"}


def test_a_meter_beside_the_load_weakens_the_source() -> None:
    voltage, impedance = behind_meter(120.0, 1000.0, 3000.0)
    assert voltage == pytest.approx(90.0)
    assert impedance == pytest.approx(750.0)
    assert behind_meter(120.0, 1000.0, math.inf) == (120.0, 1000.0)
    assert loaded_voltage(120.0, math.inf, 3000.0) == 0.0
    assert loaded_current(120.0, math.inf, LAMPS_120[0]) == 0.0
    assert loaded_voltage(120.0, 1000.0, math.inf) == 120.0

"""Numbers as people read them, and back again."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from hazardreport.quantity.formatting import (
    MINUS,
    NO_BREAK_SPACE,
    format_bound,
    format_measured,
    format_number,
    format_typed,
    format_value,
    guard_digits,
    value_and_unit,
)
from hazardreport.quantity.measured import Measured
from hazardreport.quantity.trace import Number
from hazardreport.quantity.typed import UNITS, Bound, read_value


def plain(text: str) -> str:
    return text.replace(NO_BREAK_SPACE, " ")


@pytest.mark.parametrize(
    ("value", "unit", "digits", "text"),
    [
        (0.0264831, "A", 3, "26.5 mA"),
        (458.2, "A", 3, "458 A"),
        (21.3e-6, "A", 3, "21.3 µA"),
        (117.44, "V", 3, "117 V"),
        (117.44, "V", 4, "117.4 V"),
        (999.96, "V", 3, "1.00 kV"),
        (0.2, "ohm", 3, "0.200 Ω"),
        (0.03, "ohm", 2, "30 mΩ"),
        (9572.9, "ohm", 3, "9.57 kΩ"),
        (20e6, "ohm", 2, "20 MΩ"),
        (4.7e-9, "F", 2, "4.7 nF"),
        (0.025, "s", 2, "25 ms"),
        (math.inf, "s", 3, "never"),
        (math.inf, "ohm", 3, "∞"),
        (0.463, "1", 2, "0.46"),
        (-0.5, "V", 2, f"{MINUS}500 mV"),
        (0.0, "V", 3, "0 V"),
        (238.6, "V", 2, "240 V"),
        (1e-16, "A", 3, f"1.00e{MINUS}16 A"),
    ],
)
def test_the_prefix_suits_the_number(value: float, unit: str, digits: int, text: str) -> None:
    assert plain(format_value(value, unit, digits)) == text


@pytest.mark.parametrize(
    ("value", "uncertainty", "unit", "text"),
    [
        (117.412, 0.6, "V", "117.4 V ± 1.2 V"),
        (117.4, 0.04975, "V", "117.40 V ± 0.10 V"),
        (117.0, 49.8, "V", "120 V ± 100 V"),
        (0.0264831, 0.0001, "A", "26.48 mA ± 0.20 mA"),
        (1200.0, 2400.0, "ohm", "1.2 kΩ ± 4.8 kΩ"),
        (1.2, 2500.0, "ohm", "0.0 kΩ ± 5.0 kΩ"),
        (0.0, 0.001, "V", "0.0 mV ± 2.0 mV"),
        (230.0, 0.0, "V", "230 V"),
        (5.0, math.inf, "V", "5.00 V ± ∞"),
        (math.inf, 0.0, "s", "never"),
    ],
)
def test_the_value_ends_where_two_digits_of_its_uncertainty_end(
    value: float, uncertainty: float, unit: str, text: str
) -> None:
    assert plain(format_measured(Measured(value=value, standard_uncertainty=uncertainty, unit=unit))) == text


@pytest.mark.published("jcgm-100-2008", "7.2.2, from memory")
def test_the_guide_s_own_mass_is_written_as_the_guide_writes_it() -> None:
    mass = Measured(value=100.02147, standard_uncertainty=0.00035, unit="g")
    assert plain(format_measured(mass)) == "100.02147 g ± 0.00070 g"


def test_no_number_is_shown_for_what_is_no_number() -> None:
    with pytest.raises(ValueError, match="no number"):
        format_value(math.nan, "V")


def test_numbers_and_units_are_given_apart_for_tables() -> None:
    assert value_and_unit(0.0264831, "A") == ("26.5", "mA")


def test_bounds_stay_bounds() -> None:
    assert format_bound(20e6, "ohm", Bound.ABOVE, 2) == f">{NO_BREAK_SPACE}20{NO_BREAK_SPACE}MΩ"
    assert plain(format_bound(math.inf, "ohm", Bound.ABOVE)) == "over range"
    assert plain(format_bound(0.0, "A", Bound.BELOW)) == "not detected"


@pytest.mark.parametrize(
    ("typed", "quantity", "text"),
    [
        ("24,30", "resistance", "24.30 Ω"),
        ("1k2", "resistance", "1.2 kΩ"),
        ("> 20 MΩ", "resistance", "> 20 MΩ"),
        ("OL", "resistance", "over range"),
        ("117.4 ± 0.5 V", "voltage", "117.4 V ± 0.5 V"),
        ("1500 V", "voltage", "1.500 kV"),
        ("0.0", "voltage", "0 V"),
    ],
)
def test_what_was_understood_keeps_the_typed_digits(typed: str, quantity: str, text: str) -> None:
    assert plain(format_typed(read_value(typed, quantity))) == text


def number(value: float, *, low: float | None = None, high: float | None = None) -> Number:
    measured = Measured(value=value, standard_uncertainty=2.0, unit="V")
    return Number(id="n", name="n", symbol="n", measured=measured, low=low, high=high, equation="as read")


@pytest.mark.parametrize(
    ("low", "high", "text"),
    [
        (None, None, "117.0 V ± 4.0 V"),
        (100.0, 130.0, "117 V (100 V to 130 V)"),
        (100.0, None, "> 100 V"),
        (100.0, math.inf, "> 100 V"),
        (None, 130.0, "< 130 V"),
    ],
)
def test_an_interval_or_bound_stands_where_plus_minus_would_mislead(
    low: float | None, high: float | None, text: str
) -> None:
    assert plain(format_number(number(117.0, low=low, high=high))) == text


def test_three_guard_digits_follow_the_three_that_are_shown() -> None:
    assert plain(guard_digits(0.0264831234, "A")) == "26.4831 mA"


QUANTITIES = st.sampled_from(sorted(UNITS))
MAGNITUDES = st.floats(1e-13, 1e12).flatmap(lambda size: st.sampled_from((size, -size)))


@settings(derandomize=True, deadline=None, max_examples=500)
@given(value=MAGNITUDES, quantity=QUANTITIES, digits=st.integers(1, 9))
def test_a_formatted_value_is_read_back(value: float, quantity: str, digits: int) -> None:
    unit = UNITS[quantity]
    assume(abs(value) < (1e9 if unit in ("V", "A", "s") else 1e12))
    read = read_value(format_value(value, unit, digits), quantity)

    assert read.unit == unit
    assert read.value == pytest.approx(value, rel=0.5 * 10.0 ** (1 - digits) * (1 + 1e-9))


@settings(derandomize=True, deadline=None, max_examples=500)
@given(value=st.floats(-1e6, 1e6), uncertainty=st.floats(1e-6, 1e5), quantity=QUANTITIES)
def test_a_formatted_uncertainty_is_read_back(value: float, uncertainty: float, quantity: str) -> None:
    measured = Measured(value=value, standard_uncertainty=uncertainty, unit=UNITS[quantity])
    read = read_value(format_measured(measured), quantity)

    assert read.uncertainty == pytest.approx(2.0 * uncertainty, rel=0.05)
    assert abs(read.value - value) <= 0.06 * 2.0 * uncertainty


@settings(derandomize=True, deadline=None)
@given(value=MAGNITUDES, bound=st.sampled_from((Bound.ABOVE, Bound.BELOW)))
def test_a_formatted_bound_is_read_back_as_a_bound(value: float, bound: Bound) -> None:
    assert read_value(format_bound(value, "ohm", bound), "resistance").bound is bound

"""What people type is read in one way or refused; nothing is guessed."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport import wording
from hazardreport.errors import EmptyTextError, GroupSeparatorError, TextNotUnderstoodError, UnitMismatchError
from hazardreport.quantity.typed import LONGEST_TEXT, UNITS, Bound, TypedValue, read_value

NO_BREAK, NARROW, THIN = "\u00a0", "\u202f", "\u2009"


@pytest.mark.parametrize(
    ("text", "quantity", "value", "resolution"),
    [
        ("24.3", "resistance", 24.3, 0.1),
        ("24,3", "resistance", 24.3, 0.1),
        ("24,3 Ω", "resistance", 24.3, 0.1),
        ("24.3 \u2126", "resistance", 24.3, 0.1),
        ("24.3 \u03a9", "resistance", 24.3, 0.1),
        ("24.3ohm", "resistance", 24.3, 0.1),
        (f"24,3{NO_BREAK}Ω", "resistance", 24.3, 0.1),
        (f"24,3{NARROW}Ω", "resistance", 24.3, 0.1),
        (f"  24,3{THIN} Ω\t", "resistance", 24.3, 0.1),
        ("2,2 kΩ", "resistance", 2200.0, 100.0),
        ("20M", "resistance", 20e6, 1e6),
        ("20 MΩ", "resistance", 20e6, 1e6),
        ("2.0 Mohm", "resistance", 2e6, 1e5),
        ("300 mΩ", "resistance", 0.3, 1e-3),
        ("\u22120.1 Ω", "resistance", -0.1, 0.1),
        ("1.5e3", "resistance", 1500.0, 100.0),
        ("1500", "resistance", 1500.0, 1.0),
        ("1.500", "resistance", 1.5, 1e-3),
        ("0,500", "resistance", 0.5, 1e-3),
        ("1,5000", "resistance", 1.5, 1e-4),
        ("117 V", "voltage", 117.0, 1.0),
        ("117 VAC", "voltage", 117.0, 1.0),
        ("117 V a.c.", "voltage", 117.0, 1.0),
        ("117 V~", "voltage", 117.0, 1.0),
        ("350 mV", "voltage", 0.35, 1e-3),
        ("1,2 kV", "voltage", 1200.0, 100.0),
        ("5 mA", "current", 5e-3, 1e-3),
        ("5m", "current", 5e-3, 1e-3),
        ("21 \u00b5A", "current", 21e-6, 1e-6),
        ("21 \u03bcA", "current", 21e-6, 1e-6),
        ("21 uA", "current", 21e-6, 1e-6),
        ("4.7 nF", "capacitance", 4.7e-9, 1e-10),
        ("25 ms", "time", 0.025, 1e-3),
        ("1.5 kW", "power", 1500.0, 100.0),
        ("50 Hz", "frequency", 50.0, 1.0),
    ],
)
def test_values_are_read(text: str, quantity: str, value: float, resolution: float) -> None:
    assert read_value(text, quantity) == TypedValue(value=value, unit=UNITS[quantity], resolution=resolution)


@pytest.mark.published("iec-60062", "letter code, from memory")
@pytest.mark.parametrize(
    ("text", "quantity", "value"),
    [
        ("R47", "resistance", 0.47),
        ("4R7", "resistance", 4.7),
        ("47R", "resistance", 47.0),
        ("1k2", "resistance", 1200.0),
        ("1K2", "resistance", 1200.0),
        ("4M7", "resistance", 4.7e6),
        ("1k2 Ω", "resistance", 1200.0),
        ("4n7", "capacitance", 4.7e-9),
    ],
)
def test_the_letter_code_of_resistors_is_read(text: str, quantity: str, value: float) -> None:
    assert read_value(text, quantity).value == value


def test_the_last_letter_coded_digit_is_the_resolution() -> None:
    assert read_value("1k2", "resistance").resolution == 100.0


@pytest.mark.parametrize("text", ["OL", "0L", "O.L", "ol", "OL MΩ", "> OL", "∞", "over range"])
def test_over_range_is_a_bound_without_a_number(text: str) -> None:
    read = read_value(text, "resistance")
    assert (read.value, read.bound) == (math.inf, Bound.ABOVE)


@pytest.mark.parametrize(
    ("text", "bound"),
    [
        ("> 20 MΩ", Bound.ABOVE),
        ("≥20MΩ", Bound.ABOVE),
        (">=20 M", Bound.ABOVE),
        ("<20 MΩ", Bound.BELOW),
        ("≤ 20 MΩ", Bound.BELOW),
    ],
)
def test_a_bound_stays_a_bound(text: str, bound: Bound) -> None:
    read = read_value(text, "resistance")
    assert (read.value, read.bound) == (20e6, bound)


def test_not_detected_is_an_upper_bound_without_a_number() -> None:
    assert read_value("not detected", "current") == TypedValue(value=0.0, unit="A", bound=Bound.BELOW)


@pytest.mark.parametrize(
    "text",
    ["117.4 ± 0.5 V", "117.4 V ± 0.5 V", "117,4 V +/- 0,5 V", "117.4 V ± 500 mV", "(117.4 ± 0.5) V", "117.4 +- 0.5"],
)
def test_a_typed_uncertainty_is_read_with_its_value(text: str) -> None:
    assert read_value(text, "voltage") == TypedValue(value=117.4, unit="V", uncertainty=0.5, resolution=0.1)


def test_an_uncertainty_in_percent_is_of_the_value() -> None:
    assert read_value("200 kΩ ± 5 %", "resistance").uncertainty == 10e3


def test_the_unit_behind_the_uncertainty_serves_both() -> None:
    assert read_value("5.0 ± 0.2 mA", "current") == TypedValue(
        value=5e-3, unit="A", uncertainty=0.2e-3, resolution=1e-4
    )


def test_direct_voltage_is_told_from_alternating() -> None:
    assert read_value("12.1 VDC", "voltage").direct
    assert not read_value("12.1 VAC", "voltage").direct


@pytest.mark.parametrize(
    "text",
    [
        "1,500",
        "12,500 V",
        "1,500 kΩ",
        "1,500.2",
        "1.500,2",
        "1 500",
        f"1{NO_BREAK}500",
        f"1{NARROW}500 V",
        "1'500",
        "1,234,567",
        "1.2.3",
    ],
)
def test_what_could_separate_thousands_is_refused(text: str) -> None:
    with pytest.raises(GroupSeparatorError) as caught:
        read_value(text, "voltage" if "V" in text else "resistance")

    assert "two ways" in wording.what(caught.value)
    assert "1500" in wording.remedy(caught.value)


@pytest.mark.parametrize("text", ["", "   ", NO_BREAK])
def test_empty_text_is_refused(text: str) -> None:
    with pytest.raises(EmptyTextError):
        read_value(text, "voltage")


@pytest.mark.parametrize(
    ("text", "quantity", "part"),
    [
        ("nan", "voltage", "nan"),
        ("inf", "voltage", "inf"),
        ("1e400", "voltage", "e400"),
        ("24 kkΩ", "resistance", "kkΩ"),
        ("24 bananas", "resistance", "bananas"),
        ("117 V 3", "voltage", "V 3"),
        ("1k2", "voltage", "1k2"),
        ("5 MA", "current", "MA"),
        ("> > 5", "voltage", "> 5"),
        ("< OL", "resistance", "<"),
        ("> 5 ± 1", "voltage", "±"),
        ("5 ± 1 ± 1", "voltage", "±"),
        ("5 ± -1", "voltage", "-1"),
        ("about 5", "voltage", "about 5"),
        ("٣ V", "voltage", "٣ V"),
        ("5\n6", "voltage", "6"),
        ("5 m", "time", "m"),
    ],
)
def test_the_part_that_was_not_understood_is_named(text: str, quantity: str, part: str) -> None:
    with pytest.raises(TextNotUnderstoodError) as caught:
        read_value(text, quantity)

    assert caught.value.part == part
    assert part in wording.what(caught.value)


def test_absurdly_long_text_is_refused_and_not_repeated() -> None:
    with pytest.raises(TextNotUnderstoodError) as caught:
        read_value("9" * 100_000, "voltage")

    assert len(caught.value.text) < LONGEST_TEXT


@pytest.mark.parametrize(
    ("text", "quantity", "unit", "expected"),
    [
        ("24.3 V", "resistance", "V", "Ω"),
        ("117 Ω", "voltage", "Ω", "V"),
        ("5 mA", "voltage", "mA", "V"),
        ("OL V", "resistance", "V", "Ω"),
    ],
)
def test_a_unit_of_another_quantity_is_refused(text: str, quantity: str, unit: str, expected: str) -> None:
    with pytest.raises(UnitMismatchError) as caught:
        read_value(text, quantity)

    assert (caught.value.unit, caught.value.expected) == (unit, expected)


@settings(derandomize=True, deadline=None, max_examples=500)
@given(text=st.text(st.sampled_from("0123456789.,+-±eEkKMRmµuΩVAOL<>≥ %()\u00a0\u2212'ohm"), max_size=LONGEST_TEXT))
def test_any_text_is_read_as_a_finite_number_a_bound_or_refused(text: str) -> None:
    try:
        read = read_value(text, "resistance")
    except (TextNotUnderstoodError, UnitMismatchError):
        return
    assert not math.isnan(read.value)
    assert math.isfinite(read.value) or read.bound is Bound.ABOVE
    assert read.uncertainty is None or 0.0 <= read.uncertainty < math.inf

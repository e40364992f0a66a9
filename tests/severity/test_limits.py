"""Numbers against limits, and the measuring networks of the touch-current standard."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.errors import OutsideTableError
from hazardreport.quantity.measured import Measured
from hazardreport.quantity.trace import Status
from hazardreport.severity.limits import (
    compare,
    contact_voltage_limit,
    disconnection_time_limit,
    earth_continuity_limit,
    insulation_limit,
    rated_voltage_factor,
    scaled_to_test_voltage,
    share_between,
    touch_current_limit,
)
from hazardreport.severity.stored_charge import pin_limit
from hazardreport.severity.terms import LimitDecision
from hazardreport.severity.touch_network import (
    network_reading,
    touch_network,
    touch_network_reading,
    touch_network_source,
)

EXCEEDED, WITHIN, UNDECIDED = LimitDecision.EXCEEDED, LimitDecision.WITHIN, LimitDecision.NOT_DECIDED
fixed = settings(derandomize=True, deadline=None)


def volts(value: float, doubt: float) -> Measured:
    return Measured(value=value, standard_uncertainty=doubt, unit="V")


@pytest.mark.published("jcgm-106-2012", "examples of one limit, from memory")
@pytest.mark.parametrize(
    ("value", "doubt", "limit", "at_least", "conforming"),
    [
        pytest.param(-5.47, 0.05, -5.40, False, "0.919", id="Zener diode"),
        pytest.param(509.7, 8.6, 490.0, True, "0.989", id="burst pressure"),
    ],
)
def test_probability_of_conformity(
    printed, value: float, doubt: float, limit: float, at_least: bool, conforming: str
) -> None:
    probability, _ = compare(volts(value, doubt), limit, at_least=at_least)
    assert 1 - probability == printed(conforming)


@pytest.mark.published("jcgm-106-2012", "example of two limits, from memory")
def test_probability_between_two_limits(printed) -> None:
    oil = Measured(value=13.6, standard_uncertainty=1.8, unit="1")
    assert share_between(oil, 12.5, 16.3) == printed("0.663")


@pytest.mark.published("jcgm-106-2012", "guard bands, from memory")
@pytest.mark.parametrize(("band", "percent"), [(2.0, "2.3"), (1.64, "5")])
def test_a_guard_band_bounds_false_acceptance(printed, band: float, percent: str) -> None:
    """A reading at the acceptance limit, in standard uncertainties from the tolerance limit: U (k = 2), and 1.64 u."""
    assert 100 * compare(volts(-0.125 * band, 0.125), 0.0)[0] == printed(percent)


@fixed
@given(st.floats(-100, 100), st.floats(0, 10), st.floats(-100, 100), st.floats(0, 100), st.floats(1, 50))
def test_two_limits_agree_with_one_at_a_time(
    value: float, doubt: float, lowest: float, width: float, freedom: float
) -> None:
    number = Measured(value=value, standard_uncertainty=doubt, unit="V", degrees_of_freedom=freedom)
    inside = share_between(number, lowest, lowest + width)
    above, below = compare(number, lowest + width)[0], compare(number, lowest, at_least=True)[0]
    assert 0.0 <= inside <= 1.0
    assert inside + above + below == pytest.approx(1.0, abs=1e-9)
    assert share_between(number, -math.inf, lowest) == pytest.approx(1.0 - compare(number, lowest)[0], abs=1e-9)


@pytest.mark.parametrize(
    ("value", "lowest", "highest"),
    [(math.nan, 0.0, 1.0), (0.5, 1.0, 0.0), (0.5, math.nan, 1.0), (0.5, 0.0, math.nan)],
)
def test_limits_that_bound_nothing_are_refused(value: float, lowest: float, highest: float) -> None:
    with pytest.raises(ValueError, match="limits"):
        share_between(volts(value, 0.1), lowest, highest)


@pytest.mark.parametrize(
    ("value", "doubt", "at_least", "decision"),
    [
        (1.0, 0.125, False, EXCEEDED),
        (0.75, 0.125, False, UNDECIDED),
        (0.375, 0.125, False, UNDECIDED),
        (0.25, 0.125, False, WITHIN),
        (0.5, 0.0, False, WITHIN),
        (0.5000001, 0.0, False, EXCEEDED),
        (0.25, 0.0625, True, EXCEEDED),
        (0.75, 0.0625, True, WITHIN),
        (0.5625, 0.0625, True, UNDECIDED),
    ],
)
def test_what_a_reading_decides(value: float, doubt: float, at_least: bool, decision: LimitDecision) -> None:
    assert compare(volts(value, doubt), 0.5, at_least=at_least)[1] is decision


def test_nothing_is_within_a_limit_where_the_conditions_were_not_met() -> None:
    assert compare(volts(0.1, 0.01), 0.7, conditions_met=False)[1] is LimitDecision.BELOW
    assert compare(volts(1.1, 0.01), 0.7, conditions_met=False)[1] is EXCEEDED


def test_few_degrees_of_freedom_make_a_probability_less_sure() -> None:
    few = Measured(value=1.0, standard_uncertainty=0.15, unit="V", degrees_of_freedom=3)
    assert 0.5 < compare(few, 0.7)[0] < compare(volts(1.0, 0.15), 0.7)[0]


def test_a_value_that_is_not_a_number_decides_nothing() -> None:
    with pytest.raises(ValueError, match="value"):
        compare(volts(math.nan, 0.1), 0.7)


@fixed
@given(st.floats(-100, 100), st.floats(0, 10), st.floats(0, 100), st.booleans())
def test_a_decision_agrees_with_its_probability(value: float, doubt: float, limit: float, at_least: bool) -> None:
    probability, decision = compare(volts(value, doubt), limit, at_least=at_least)
    assert 0.0 <= probability <= 1.0
    if decision is EXCEEDED:
        assert probability > 0.977
    if decision is WITHIN:
        assert probability < 0.023


@pytest.mark.published("iec-60335-1-2001", "13.2")
@pytest.mark.parametrize(
    ("protection_class", "kind", "power", "milliampere"),
    [
        ("0", "portable", None, "0.5"),
        ("0I", "portable", None, "0.5"),
        ("III", "portable", None, "0.5"),
        ("II", "portable", None, "0.25"),
        ("class II", "portable", None, "0.25"),
        ("I", "portable", None, "0.75"),
        ("I", "stationary motor", None, "3.5"),
        ("I", "stationary heating", 500.0, "0.75"),
        ("I", "stationary heating", 4000.0, "3.0"),
        ("I", "stationary heating", 9000.0, "5"),
    ],
)
def test_touch_current_limits(printed, protection_class: str, kind: str, power: float | None, milliampere: str) -> None:
    limit, source = touch_current_limit(protection_class, kind, power)
    assert limit * 1e3 == printed(milliampere)
    assert source.status is Status.CONFIRMED


def test_limits_of_the_later_edition_are_from_memory_and_peak() -> None:
    limit, source = touch_current_limit("II", edition="iec-60335-1-2010")
    assert limit * 1e3 * math.sqrt(2) == pytest.approx(0.35)
    assert (source.key, source.status) == ("iec-60335-1-2010", Status.FROM_MEMORY)
    assert touch_current_limit("I", edition="iec-60335-1-2010")[0] == pytest.approx(0.75e-3)


@pytest.mark.parametrize(("protection_class", "kind"), [("IV", "portable"), ("", "portable"), ("I", "flying")])
def test_an_unknown_class_has_no_limit(protection_class: str, kind: str) -> None:
    with pytest.raises(OutsideTableError):
        touch_current_limit(protection_class, kind)


def test_touch_voltage_limits_and_times() -> None:
    assert [contact_voltage_limit(wet)[0] for wet in (False, True)] == [50.0, 25.0]
    assert disconnection_time_limit(230.0)[0] == 0.4
    assert disconnection_time_limit(120.0, "tt")[0] == 0.3
    assert pin_limit() == (34.0, 1.0)
    assert earth_continuity_limit()[0] == 0.1
    assert insulation_limit("I")[0] == 1e6


@pytest.mark.parametrize(
    ("protection_class", "power", "limit", "status"),
    [
        ("I", None, 1e6, Status.CONFIRMED),
        ("I", 2999.0, 1e6, Status.CONFIRMED),
        ("I", 3000.0, 0.3e6, Status.FROM_MEMORY),
        ("II", 3000.0, 2e6, Status.CONFIRMED),
    ],
)
def test_insulation_of_large_heating_units(
    protection_class: str, power: float | None, limit: float, status: Status
) -> None:
    found, source = insulation_limit(protection_class, power)
    assert (found, source.status) == (limit, status)


@pytest.mark.parametrize("protection_class", ["0", "III", ""])
def test_no_insulation_limit_is_guessed_for_other_classes(protection_class: str) -> None:
    with pytest.raises(OutsideTableError):
        insulation_limit(protection_class)


def test_scaling_to_the_condition_of_the_standard(printed) -> None:
    motor, heating = rated_voltage_factor(heating=False)[0], rated_voltage_factor(heating=True)[0]
    assert motor == 1.06
    assert heating**2 == pytest.approx(1.15)
    assert scaled_to_test_voltage(1e-3, 230.0, 230.0, motor) == pytest.approx(1.06e-3)
    assert scaled_to_test_voltage(1e-3, 115.0, 230.0, motor) == pytest.approx(2.12e-3)


@pytest.mark.published("iec-60065", "Annex D")
def test_output_of_the_network_at_the_limit(printed) -> None:
    transfer = abs(touch_network(4, 0.0)[1])
    assert 0.70e-3 * transfer == printed("0.35")
    assert 2.0e-3 * abs(touch_network(3, 0.0)[1]) == printed("1.0")
    assert 70e-3 * abs(touch_network(3, 100e3)[1]) == printed("35")


CHECKS = """
20 1998.4 1998.391 499.789 0.99958 1998.4 499.761 0.99952
50 1990.0 1990.015 498.689 0.99738 1990.0 498.516 0.99703
60 1985.7 1985.673 498.115 0.99623 1985.6 497.870 0.99574
100 1961.0 1961.008 494.815 0.98963 1960.9 494.194 0.98839
200 1857.3 1857.409 480.178 0.96036 1857.2 478.638 0.95728
500 1434.4 1433.344 404.669 0.80934 1433.5 413.667 0.82733
1000 978.6 972.528 283.679 0.56736 975.7 342.488 0.68498
2000 675.3 660.914 162.853 0.32571 668.4 284.100 0.56820
5000 533.4 511.894 68.253 0.13651 517.7 191.271 0.38254
10000 508.6 485.428 34.368 0.06874 487.7 113.463 0.22693
20000 502.2 478.521 17.214 0.03443 479.2 59.923 0.11985
50000 500.3 476.564 6.889 0.01378 476.7 24.369 0.04874
100000 500.1 476.284 3.445 0.00689 476.3 12.214 0.02443
1000000 500.0 476.191 0.3445 0.000689 476.2 1.222 0.00244
"""


@pytest.mark.parametrize("line", CHECKS.strip().splitlines(), ids=lambda line: f"{line.split()[0]} Hz")
def test_networks_at_many_frequencies(printed, line: str) -> None:
    """Computed independently (numpy/ngspice); one step: 494.19463 and 511.89452 are listed cut."""
    frequency, z3, z4, t4, w4, z5, t5, w5 = line.split()
    third, fourth, fifth = (touch_network(figure, float(frequency)) for figure in (3, 4, 5))

    found = [abs(third[0])]
    for entrance, transfer in (fourth, fifth):
        found += [abs(entrance), abs(transfer), abs(transfer) / 500]
    assert found == [printed(text, 1.0) for text in (z3, z4, t4, w4, z5, t5, w5)]


@pytest.mark.parametrize("figure", [3, 4, 5])
def test_networks_at_direct_current(figure: int) -> None:
    entrance, transfer = touch_network(figure, 0.0)
    assert (entrance, transfer) == (2000, 500)


@pytest.mark.parametrize(
    ("voltage", "frequency", "resistance", "current", "touch", "reading"),
    [
        (120, 60, 7.2, "60.216", "119.568", "59.989"),
        (120, 60, 10007.2, "10.012", "19.881", "9.974"),
        (120, 60, 100007.2, "1.1767", "2.336", "1.1722"),
        (230, 50, 18.515, "114.515", "227.886", "114.214"),
        (230, 50, 10018.5, "19.161", "38.131", "19.111"),
        (230, 50, 100018.5, "2.2548", "4.487", "2.2489"),
    ],
)
def test_network_on_a_faulty_unit(
    printed, voltage: float, frequency: float, resistance: float, current: str, touch: str, reading: str
) -> None:
    """Computed independently (numpy/ngspice); the reading to one step: 59.98848 is listed as 59.989."""
    found = network_reading(voltage, resistance, frequency)
    assert found.current * 1e3 == printed(current)
    assert found.touch_voltage == printed(touch)
    assert found.reading * 1e3 == printed(reading, 1.0)


@pytest.mark.parametrize(
    ("voltage", "frequency", "current", "reading"),
    [(230, 50, "0.3395", "0.3386"), (120, 60, "0.2126", "0.2118")],
)
def test_a_lawful_capacitor_to_the_metal_part(
    printed, voltage: float, frequency: float, current: str, reading: str
) -> None:
    """Computed independently (numpy/ngspice)."""
    source = 1 / (2j * math.pi * frequency * 4.7e-9)
    found = network_reading(voltage, source, frequency)
    assert found.current * 1e3 == printed(current)
    assert found.reading * 1e3 == printed(reading)
    assert touch_network_reading(voltage, source, frequency) == found.reading


def test_a_network_on_nothing_reads_nothing_and_an_unknown_figure_is_refused() -> None:
    assert touch_network_reading(230.0, math.inf, 50.0) == 0.0
    with pytest.raises(OutsideTableError):
        touch_network(6, 50.0)


def test_status_of_the_networks() -> None:
    assert touch_network_source().status is Status.CONFIRMED
    assert touch_network_source(5).status is Status.FROM_MEMORY

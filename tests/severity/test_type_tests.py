"""Voltages of strength tests, and power against rated power."""

import math

import pytest

from hazardreport.errors import OutsideTableError
from hazardreport.quantity.trace import Status
from hazardreport.severity.type_tests import rated_power_range, routine_test_voltage, strength_test_voltage


@pytest.mark.parametrize(
    ("insulation", "rated", "hot", "humid"),
    [
        ("basic", 120.0, 1000.0, 1250.0),
        ("basic", 230.0, 1000.0, 1250.0),
        ("supplementary", 120.0, 1250.0, 1250.0),
        ("supplementary", 150.0, 1250.0, 1250.0),
        ("supplementary", 151.0, 1750.0, 1750.0),
        ("reinforced", 120.0, 2500.0, 2500.0),
        ("reinforced", 250.0, 3000.0, 3000.0),
        ("extra-low voltage", 24.0, 500.0, 500.0),
    ],
)
def test_voltages_of_the_type_test(insulation: str, rated: float, hot: float, humid: float) -> None:
    for after_humidity, voltage in ((False, hot), (True, humid)):
        found, source = strength_test_voltage(insulation, rated, after_humidity)
        assert (found, source.status) == (voltage, Status.FROM_MEMORY)


@pytest.mark.published("cqc-routine-tests", "annex, routine electric strength")
@pytest.mark.parametrize(
    ("insulation", "rated", "voltage"),
    [
        ("basic", 120.0, "800"),
        ("basic", 230.0, "1000"),
        ("reinforced", 120.0, "2000"),
        ("reinforced", 230.0, "2500"),
        ("class III", 24.0, "400"),
    ],
)
def test_voltages_of_the_routine_test(printed, insulation: str, rated: float, voltage: str) -> None:
    found, source = routine_test_voltage(insulation, rated)
    assert found == printed(voltage)
    assert source.status is Status.CONFIRMED


@pytest.mark.parametrize(
    ("insulation", "rated"), [("basic", 400.0), ("double", 230.0), ("", 230.0), ("basic", math.nan)]
)
def test_no_voltage_is_guessed(insulation: str, rated: float) -> None:
    for look_up in (strength_test_voltage, routine_test_voltage):
        with pytest.raises(OutsideTableError):
            look_up(insulation, rated)


@pytest.mark.parametrize(
    ("rated", "low", "high"),
    [
        (20.0, 16.0, 24.0),
        (25.0, 20.0, 30.0),
        (100.0, 90.0, 110.0),
        (200.0, 180.0, 220.0),
        (250.0, 225.0, 270.0),
        (400.0, 360.0, 420.0),
        (1500.0, 1350.0, 1575.0),
    ],
)
def test_power_that_a_heating_unit_may_take(rated: float, low: float, high: float) -> None:
    found_low, found_high, source = rated_power_range(rated)
    assert (found_low, found_high) == pytest.approx((low, high))
    assert source.status is Status.FROM_MEMORY


@pytest.mark.parametrize("rated", [0.0, -1500.0, math.nan, math.inf])
def test_a_rated_power_that_cannot_be_is_refused(rated: float) -> None:
    with pytest.raises(ValueError, match="rated_power"):
        rated_power_range(rated)

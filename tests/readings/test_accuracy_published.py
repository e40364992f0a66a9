"""Published accuracy arithmetic for hazardreport.readings.accuracy."""

from collections.abc import Callable

import pytest

from hazardreport.readings.accuracy import limit_of_error, rectangular

Printed = Callable[[str], object]


@pytest.mark.published("meter-accuracy-note", "2.000 V, ±(0.08 % + 2 digits)")
def test_accuracy_in_percent_and_digits(printed: Printed) -> None:
    limit = limit_of_error(2.000, percent=0.08, digits=2, resolution=0.001)

    assert 2.000 - limit == printed("1.9964")
    assert 2.000 + limit == printed("2.0036")


@pytest.mark.parametrize(
    ("value", "percent", "digits", "resolution", "limit", "uncertainty"),
    [
        (2.000, 0.08, 2, 0.001, "0.0036", "0.002078"),
        (119.9, 1.0, 3, 0.1, "1.499", "0.865"),
        (230.0, 1.2, 5, 0.1, "3.26", "1.882"),
        (9.6, 0.9, 2, 0.1, "0.286", "0.165"),
    ],
)
def test_limits_as_computed_apart(
    printed: Printed, value: float, percent: float, digits: float, resolution: float, limit: str, uncertainty: str
) -> None:
    found = limit_of_error(value, percent, digits, resolution)

    assert found == printed(limit)
    assert rectangular(found) == printed(uncertainty)

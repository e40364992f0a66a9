"""Published touch voltages for hazardreport.severity.body, and the checks of the tables behind it."""

import pytest
from scipy.optimize import brentq

from hazardreport.severity.body import body_impedance
from hazardreport.severity.terms import Skin
from hazardreport.severity.zones import curve
from hazardreport.standards.tables import table

# en-50522-2010, Table B.3: body factor, heart-current factor and weight of the four contact cases, as quoted.
CASES = ((0.75, 1.0, 1.0), (0.5, 1.0, 1.0), (0.75, 0.8, 1.0), (1.0, 0.4, 0.7))


def permissible_touch_voltage(duration: float) -> float:
    """Mean over the four cases of the weighted voltage at which a median adult carries c2. [V]"""
    total = 0.0
    for body_factor, heart_factor, weight in CASES:
        path_current = curve("c2", duration) / heart_factor

        def excess(voltage: float, factor: float = body_factor, current: float = path_current) -> float:
            return voltage - current * factor * body_impedance(voltage, Skin.DRY, 50)

        total += weight * brentq(excess, 1e-3, 5000.0)
    return total / len(CASES)


@pytest.mark.published("en-50522-2010", "Table B.3")
@pytest.mark.parametrize(
    ("duration", "voltage"),
    [(0.05, "716"), (0.5, "220"), (1.0, "117"), (2.0, "96"), (5.0, "86"), (10.0, "85")],
)
def test_permissible_touch_voltages_as_printed(printed, duration: float, voltage: str) -> None:
    assert permissible_touch_voltage(duration) == printed(voltage)


@pytest.mark.parametrize(
    ("duration", "ours", "published", "off"), [(0.1, "647", 654, 0.011), (0.2, "510.1", 537, 0.051)]
)
def test_two_permissible_touch_voltages_differ_from_the_printed_ones(
    printed, duration: float, ours: str, published: float, off: float
) -> None:
    """Computed independently (numpy): 647 and 510.1 V where 654 and 537 V are printed.

    The printed table lists 750 mA beside 654 V; 750 mA give 613.2 V and the 800 mA of the later edition 647 V. Not
    explained: six of eight agree to the last digit by the same method. Widened by the differences found, no further.
    """
    voltage = permissible_touch_voltage(duration)
    assert voltage == printed(ours)
    assert voltage == pytest.approx(published, rel=off)


@pytest.mark.parametrize(
    ("duration", "voltage"),
    [(0.05, "715.9"), (0.5, "220.2"), (1.0, "117.1"), (2.0, "96.0"), (5.0, "85.8"), (10.0, "84.6")],
)
def test_permissible_touch_voltages_to_a_further_digit(printed, duration: float, voltage: str) -> None:
    """Computed independently (numpy)."""
    assert permissible_touch_voltage(duration) == printed(voltage)


@pytest.mark.published("iec-60479-1-2018", "Table 12, as quoted with its example")
def test_currents_that_endanger_the_heart_alike(printed) -> None:
    factors = table("iec-60479-1-2018", "table-12")
    factor = {path: factors.look_up("factor", path=path) for path, _ in factors.rows}

    assert 50 * factor["chest to left hand"] / factor["left hand to feet"] == printed("75")
    assert factor["left hand to feet"] / factor["foot to foot"] == printed("25")
    assert factor["right hand to feet"] / factor["foot to foot"] == printed("20")

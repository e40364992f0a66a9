"""What stays between the pins after unplugging."""

import math
from collections.abc import Callable
from typing import Any

import pytest

from hazardreport.assess.assessment import assess
from hazardreport.assess.records import Assessment, PinCharge
from hazardreport.case.reading import Quantity, State, SwitchPosition
from hazardreport.case.wiring import Filter
from hazardreport.severity.terms import LimitDecision

Make = Callable[..., Any]


def assessed(bench: Make, **parts: float) -> Assessment:
    made = bench(nominal_voltage=230.0, frequency=50.0, element=26.45, filter=Filter(**parts))
    return assess(made.typed("FG", Quantity.VOLTAGE, State(), "230.0 V").case)


def switched_off(found: Assessment) -> PinCharge:
    return next(item for item in found.pins if item.switch is SwitchPosition.OFF)


def test_without_a_known_capacitor_nothing_is_said(bench: Make) -> None:
    assert assessed(bench).pins == ()


@pytest.mark.published("iec-60335-1-2001", "22.5: 34 V between the pins after 1 s")
@pytest.mark.parametrize(("bleeder", "decision"), [(2.83e6, LimitDecision.EXCEEDED), (1.0e6, LimitDecision.WITHIN)])
def test_a_bleeder_is_needed_beside_a_large_capacitor(bench: Make, bleeder: float, decision: LimitDecision) -> None:
    """Rated voltage 120 V as on the plate, and 0.22 µF: computed limit of the bleeder 2.83 megohm."""
    found = assessed(bench, x_capacitance=0.22e-6, bleeder_resistance=bleeder * 1.01)
    charge = switched_off(found)

    assert charge.comparison is not None
    assert charge.comparison.decision is decision


def test_a_small_capacitor_is_exempt_and_still_told(bench: Make) -> None:
    charge = switched_off(assessed(bench, x_capacitance=0.1e-6))

    assert charge.comparison is None


def test_without_a_bleeder_the_crest_stays(bench: Make) -> None:
    found = assessed(bench, x_capacitance=0.22e-6)
    charge = switched_off(found)

    assert found.number(charge.voltage_measured).measured.value == pytest.approx(math.sqrt(2.0) * 230.0)
    assert math.isinf(found.number(charge.time_to_safe).measured.value)
    assert found.number(charge.charge).measured.value == pytest.approx(0.22e-6 * math.sqrt(2.0) * 230.0)
    assert found.number(charge.energy).measured.value == pytest.approx(0.22e-6 * 230.0**2)


def test_with_the_switch_on_the_element_empties_it_at_once(bench: Make) -> None:
    found = assessed(bench, x_capacitance=0.22e-6)
    charge = next(item for item in found.pins if item.switch is SwitchPosition.ON)

    assert found.number(charge.time_to_safe).measured.value < 1e-3
    assert found.number(charge.voltage_rated).measured.value < 1e-6

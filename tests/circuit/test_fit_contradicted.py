"""Readings that no unit gives, or no unit with the assumed fault: the fit says so and names no innocent one alone."""

import math
from collections.abc import Callable
from dataclasses import replace
from types import ModuleType

import numpy as np
import pytest

from hazardreport.case.picture import PointRole
from hazardreport.case.reading import Quantity, State
from hazardreport.case.wiring import Element, Wiring
from hazardreport.circuit.fit import FitResult, fit
from hazardreport.circuit.free_parameters import FAULT, POSITION
from hazardreport.circuit.misfit import suspects
from hazardreport.circuit.observations import Observation
from hazardreport.quantity.typed import Bound

PIN_1, PIN_2, PART = PointRole.PIN_1, PointRole.PIN_2, PointRole.TOUCHABLE_PART
WHOLE, LENGTH_1, FAULT_OHMS = 26.45, 0.3, 1000.0
SHARE = 1e-3 / math.sqrt(3.0)
"""Standard uncertainty of a meter of 0.1 %, all of it one gain. [1]"""
OVER_RANGE = 6e8


def ohms(id: str, first: PointRole, second: PointRole, value: float) -> Observation:
    """A resistance of the cold unit, over range where it is infinite."""
    read = OVER_RANGE if math.isinf(value) else value
    return Observation(
        id=id,
        kind=Quantity.RESISTANCE,
        first=first,
        second=second,
        state=State(),
        value=read,
        standard_uncertainty=SHARE * read,
        bound=Bound.ABOVE if math.isinf(value) else Bound.NONE,
        gain="ohms",
        gain_uncertainty=SHARE * read,
    )


def dead(whole: float, first: float, second: float) -> list[Observation]:
    """Three resistances and the supply."""
    supply = Observation(
        id="supply",
        kind=Quantity.VOLTAGE,
        first=PointRole.LINE,
        second=PointRole.NEUTRAL,
        state=State(),
        value=230.0,
        standard_uncertainty=0.13,
        load_impedance=1e7,
    )
    return [ohms("r", PIN_1, PIN_2, whole), ohms("r1", PIN_1, PART, first), ohms("r2", PART, PIN_2, second), supply]


@pytest.fixture
def unit(wiring: Callable[..., Wiring]) -> Callable[[float | None], Wiring]:
    """230 V, 2 kW, hot factor stated as 1; the element broken or whole."""

    def of(broken: float | None = None) -> Wiring:
        return wiring(230.0, element=Element(rated_voltage=230.0, rated_power=2000.0, hot_factor=1.0, open_at=broken))

    return of


@pytest.mark.parametrize(("x", "broken"), [(0.2, 0.6), (0.8, 0.6), (0.2, 0.3), (0.8, 0.3), (0.55, 0.6), (0.65, 0.6)])
def test_the_fault_lies_on_the_side_of_a_known_break_that_has_a_path(
    unit: Callable[[float | None], Wiring], x: float, broken: float
) -> None:
    near, far = x * WHOLE + 500.0, (1.0 - x) * WHOLE + 500.0
    readings = dead(math.inf, near if x < broken else math.inf, far if x > broken else math.inf)
    for start in (None, fit(readings, unit(broken)), mirrored(readings, unit(broken))):
        found = fit(readings, unit(broken), start)
        assert found.unexplained == ()
        assert found.broken_bounds == ()
        assert (float(found.estimates[found.names.index(POSITION)]) < broken) == (x < broken)
        assert found.estimates[found.names.index(FAULT)] == pytest.approx(500.0, abs=WHOLE)


def mirrored(readings: list[Observation], unit: Wiring) -> FitResult:
    """The fit of the same unit with its pins exchanged: a start on the wrong side of the break."""
    turned = {PIN_1: PIN_2, PIN_2: PIN_1}
    other = [
        replace(one, first=turned.get(one.first, one.first), second=turned.get(one.second, one.second))
        for one in readings
    ]
    return fit(other, unit)


NEAR, FAR = LENGTH_1 * WHOLE + FAULT_OHMS, (1.0 - LENGTH_1) * WHOLE + FAULT_OHMS


@pytest.mark.parametrize(
    ("whole", "first", "second"),
    [
        (WHOLE, 10.0 * NEAR, 10.0 * FAR),
        (WHOLE, 1.1 * NEAR, FAR),
        (0.1 * WHOLE, NEAR, FAR),
        (WHOLE, NEAR, 0.1 * FAR),
        (WHOLE, NEAR, 10.0 * FAR),
    ],
)
def test_three_resistances_that_no_element_has_are_called_contradictory(
    unit: Callable[..., Wiring], whole: float, first: float, second: float
) -> None:
    """The two paths differ by more than the whole element."""
    found = fit(dead(whole, first, second), unit())
    assert found.chi_square > 100.0
    assert found.dof >= 1
    assert found.consistent is False


def test_three_resistances_that_an_element_has_leave_nothing_over_to_disagree(unit: Callable[..., Wiring]) -> None:
    found = fit(dead(WHOLE, NEAR, FAR), unit())
    assert found.chi_square < 1e-6
    assert found.dof == 0
    assert found.consistent is None


@pytest.mark.parametrize(
    ("readings", "blamed"),
    [
        (dead(WHOLE, NEAR, 10.0 * FAR), {"r1", "r2"}),
        (dead(WHOLE, 10.0 * NEAR, FAR), {"r1", "r2"}),
        (dead(WHOLE, NEAR, 0.1 * FAR), {"r1", "r2"}),
        (dead(WHOLE, 1.1 * NEAR, FAR), {"r1", "r2"}),
    ],
)
def test_every_resistance_that_mends_the_rest_is_listed_and_the_supply_is_not(
    unit: Callable[..., Wiring], readings: list[Observation], blamed: set[str]
) -> None:
    """Without either path to the part the rest agrees; the rating says that the whole element was read right."""
    assert {suspect.id for suspect in suspects(readings, unit(), fit(readings, unit()))} == blamed


@pytest.mark.slow
@pytest.mark.parametrize("position", [0.0, 1.0])
@pytest.mark.parametrize("fault", [0.0, 30.0, 3000.0])
def test_honest_resistances_of_a_fault_at_a_terminal_are_not_called_contradictory_more_often_than_stated(
    simulation: ModuleType, position: float, fault: float
) -> None:
    """The estimate then lies on the edge of its range in every other set: only what pushes over it can disagree."""
    cases, contradictory = 120, 0
    for seed in range(7000, 7000 + cases):
        rng = np.random.default_rng(seed)
        wiring, truth = simulation.unit(rng)
        truth = replace(truth, fault_position=position, fault_resistance=fault)
        asked = [one for one in simulation.asked(rng) if one.id in ("r", "r1", "r2", "supply")]
        contradictory += fit(simulation.typed(rng.standard_normal, asked, wiring, truth), wiring).consistent is False
    assert contradictory <= 0.05 * cases + 3.3 * math.sqrt(0.05 * 0.95 * cases)


@pytest.mark.parametrize("x", [0.0, 0.2, 0.5, 0.8, 1.0])
@pytest.mark.parametrize("broken", [None, 0.9, 0.1])
def test_where_one_path_leaves_the_place_open_the_fault_is_as_doubtful_as_the_place(
    unit: Callable[..., Wiring], x: float, broken: float | None
) -> None:
    """The search may end anywhere along the element, also at its end."""
    near, far = x * WHOLE + 500.0, (1.0 - x) * WHOLE + 500.0
    seen = broken is None or x < broken
    kept = dead(WHOLE if broken is None else math.inf, near if seen else math.inf, math.inf if seen else far)
    readings = [one for one in kept if one.bound is Bound.NONE]
    found = fit(readings, unit(broken))
    low, high = found.intervals[found.names.index(FAULT)]
    assert low <= 500.0 <= high

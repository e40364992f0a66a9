"""Zones of the time-current diagram."""

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.errors import OutsideTableError
from hazardreport.quantity.trace import Status
from hazardreport.severity.let_go import (
    Adults,
    let_go_limit,
    let_go_limit_source,
    perception_limit,
    share_held,
    share_held_source,
    share_of_adults_held,
)
from hazardreport.severity.terms import Zone
from hazardreport.severity.zones import CURVES, curve, curve_points, curve_source, curve_status, refuse_frequency, zone

ORDER = list(Zone)
durations = st.floats(0.001, 100.0)
currents = st.floats(0.0, 5.0)
fixed = settings(derandomize=True, deadline=None)


@pytest.mark.published("en-50522-2022", "Annex B, curve c2")
@pytest.mark.parametrize(
    ("duration", "milliampere"),
    [(0.05, "900"), (0.1, "800"), (0.2, "600"), (0.5, "200"), (1, "80"), (2, "60"), (5, "51"), (10, "50")],
)
def test_c2_at_its_printed_points(printed, duration: float, milliampere: str) -> None:
    assert curve("c2", duration) * 1e3 == printed(milliampere)
    assert curve_source("c2", duration).status is Status.CONFIRMED


@pytest.mark.parametrize(("duration", "milliampere"), [(0.1, "58"), (0.5, "25"), (1.0, "17")])
def test_b_between_its_two_points(printed, duration: float, milliampere: str) -> None:
    """Computed independently (numpy); the straight line itself is assumed, not published."""
    assert curve("b", duration) * 1e3 == printed(milliampere)
    assert curve_source("b", duration).status is Status.CHOICE


def test_choices_beyond_the_printed_curves() -> None:
    assert curve("c2", 0.01) == curve("c2", 0.05)
    assert curve("c2", 60.0) == curve("c2", 10.0)
    for duration in (1.0, 1.5, 10.0, 20.0):
        assert curve("c3", duration) == pytest.approx(1.6 * curve("c2", duration))
    assert curve_source("c2", 0.02).status is Status.CHOICE
    assert curve_source("c3", 10.0).status is Status.CHOICE
    assert curve_source("c3", 0.3).status is Status.FROM_MEMORY


@pytest.mark.parametrize(
    ("milliampere", "duration", "expected"),
    [
        (0.5, 10.0, Zone.AC_1),
        (0.6, 10.0, Zone.AC_2),
        (5.0, 10.0, Zone.AC_2),
        (5.1, 10.0, Zone.AC_3),
        (40.0, 10.0, Zone.AC_3),
        (40.1, 10.0, Zone.AC_4_1),
        (50.0, 10.0, Zone.AC_4_1),
        (50.1, 10.0, Zone.AC_4_2),
        (80.1, 10.0, Zone.AC_4_3),
        (100.0, 0.04, Zone.AC_3),
        (200.0, 0.01, Zone.AC_2),
    ],
)
def test_a_point_on_a_curve_belongs_to_the_lower_zone(milliampere: float, duration: float, expected: Zone) -> None:
    assert zone(milliampere * 1e-3, milliampere * 1e-3, duration) is expected


def test_the_heart_factor_moves_fibrillation_and_nothing_else() -> None:
    assert zone(0.4 * 0.060, 0.060, 10.0) is Zone.AC_3
    assert zone(0.060, 0.060, 10.0) is Zone.AC_4_2
    assert zone(0.0, 0.004, 10.0) is Zone.AC_2


@fixed
@given(currents, currents, durations, st.floats(0.0, 1.5))
def test_severity_never_falls_when_the_current_rises(
    current: float, more: float, duration: float, factor: float
) -> None:
    before = zone(factor * current, current, duration)
    after = zone(factor * (current + more), current + more, duration)
    assert ORDER.index(after) >= ORDER.index(before)


@fixed
@given(currents, durations, durations)
def test_severity_never_falls_when_the_duration_rises(current: float, duration: float, more: float) -> None:
    before, after = zone(current, current, duration), zone(current, current, duration + more)
    assert ORDER.index(after) >= ORDER.index(before)


@fixed
@given(durations)
def test_the_curves_never_cross(duration: float) -> None:
    values = [curve(name, duration) for name in CURVES]
    assert values == sorted(values)
    assert len(set(values)) == len(values)


@pytest.mark.parametrize("name", CURVES)
def test_points_of_a_curve_span_the_chart_and_lie_on_it(name: str) -> None:
    points = curve_points(name)
    assert (points[0][0], points[-1][0]) == (0.01, 10.0)
    for (at, current), (later, later_current) in pairwise(points):
        middle = math.sqrt(at * later)
        assert curve(name, middle) == pytest.approx(math.sqrt(current * later_current), rel=1e-9)


def test_statuses_along_the_curves() -> None:
    assert {name: curve_status(name) for name in CURVES} == {
        "a": Status.CONFIRMED,
        "b": Status.CONFIRMED,
        "c1": Status.FROM_MEMORY,
        "c2": Status.CHOICE,
        "c3": Status.FROM_MEMORY,
    }


@pytest.mark.parametrize("duration", [math.nan, -0.001, -10.0, -math.inf])
@pytest.mark.parametrize("name", CURVES)
def test_a_duration_that_cannot_be_has_no_current(name: str, duration: float) -> None:
    with pytest.raises(OutsideTableError, match="duration") as raised:
        curve(name, duration)
    assert raised.value.fields()["allowed"] == "0 s and more"


def test_a_duration_that_cannot_be_is_in_no_zone() -> None:
    for duration in (math.nan, -1.0):
        with pytest.raises(OutsideTableError, match="duration"):
            zone(0.0, 0.0, duration)


def test_no_time_at_all_is_held_as_the_shortest() -> None:
    assert [curve(name, 0.0) for name in CURVES] == [curve(name, 0.01) for name in CURVES]


@pytest.mark.published("dalziel-lee-1968", "abstract: 99.5 % can let go of 9 and 6 mA")
@pytest.mark.parametrize(("adults", "milliampere"), [(Adults.MEN, 9.0), (Adults.WOMEN, 6.0)])
def test_half_a_percent_cannot_let_go(printed, adults: Adults, milliampere: float) -> None:
    assert share_held(milliampere * 1e-3, adults) * 100 == printed("0.5")


@pytest.mark.published("dalziel-1961", "table of effects: 99.5 % lose control at 23 and 15 mA")
@pytest.mark.parametrize(("adults", "milliampere"), [(Adults.MEN, 23.0), (Adults.WOMEN, 15.0)])
def test_nearly_everybody_is_held(printed, adults: Adults, milliampere: float) -> None:
    assert share_held(milliampere * 1e-3, adults) * 100 == printed("99.5")


@fixed
@given(currents, currents)
def test_more_current_never_holds_fewer_people(current: float, more: float) -> None:
    assert 0.0 <= share_of_adults_held(current) <= share_of_adults_held(current + more) <= 1.0


def test_women_are_held_at_lower_currents_and_everybody_lets_go_of_five_milliampere() -> None:
    assert share_held(12e-3, Adults.WOMEN) > share_held(12e-3, Adults.MEN)
    assert let_go_limit() == 0.005
    assert let_go_limit_source().status is Status.CONFIRMED
    assert share_held_source(Adults.MEN).status is Status.CONFIRMED
    assert share_of_adults_held(let_go_limit()) < 0.001
    assert perception_limit() == 0.0005


@pytest.mark.parametrize("current", [math.nan, -0.001])
def test_a_current_that_cannot_be_holds_nobody_knows(current: float) -> None:
    with pytest.raises(ValueError, match="current"):
        share_held(current, Adults.MEN)


@pytest.mark.parametrize("frequency", [15.0, 50.0, 60.0, 100.0])
def test_zones_hold_at_mains_frequencies(frequency: float) -> None:
    refuse_frequency(frequency)


@pytest.mark.parametrize("frequency", [0.0, 14.9, 100.1, 400.0, -50.0, math.nan])
def test_zones_are_not_guessed_for_direct_current_nor_other_frequencies(frequency: float) -> None:
    with pytest.raises(OutsideTableError, match="15 to 100 Hz"):
        refuse_frequency(frequency)


@pytest.mark.parametrize("currents", [(math.nan, 1.0), (1.0, math.nan), (-1.0, 1.0), (1.0, -1.0)])
def test_an_unknown_current_is_in_no_zone(currents: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match="current"):
        zone(*currents, 1.0)

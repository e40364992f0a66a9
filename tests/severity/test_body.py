"""A body at a source: values computed independently, and what must hold for every source."""

import cmath
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.errors import OutsideTableError, SourceNotPhysicalError
from hazardreport.quantity.trace import Status
from hazardreport.severity.body import (
    body_impedance,
    body_impedance_source,
    body_point,
    heart_current_factor,
    heart_current_factor_source,
    least_body_current,
    path_factor,
    path_factor_source,
)
from hazardreport.severity.currents import load_current
from hazardreport.severity.terms import BodyPath, ContactArea, Skin
from hazardreport.standards.tables import table

PERCENTILES = (5, 50, 95)
DRY, WET, SALT = Skin.DRY, Skin.WATER_WET, Skin.SALT_WET


@pytest.mark.parametrize(
    ("voltage", "impedances"),
    [
        (50, ("1375", "2500", "4600")),
        (120, ("918", "1585", "2765")),
        (127, ("896", "1538", "2649")),
        (230, ("772.9", "1217.1", "1882.1")),
        (240, ("768.6", "1201.4", "1846.4")),
    ],
)
def test_dry_impedance_between_the_rows(printed, voltage: float, impedances: tuple[str, ...]) -> None:
    """Computed independently (numpy)."""
    for percentile, impedance in zip(PERCENTILES, impedances, strict=True):
        assert body_impedance(voltage, DRY, percentile) == printed(impedance)


@pytest.mark.parametrize(
    ("voltage", "dry", "wet", "salt"),
    [
        (50, "36.4/20.0/10.9", "45.5/25.0/13.6", "53.2/39.2/29.1"),
        (120, "130.7/75.7/43.4", "131.1/76.2/44.0", "140.2/99.6/73.8"),
        (127, "141.7/82.6/47.9", "141.7/82.6/47.9", "149.7/106.0/78.5"),
        (230, "297.6/189.0/122.2", "297.6/189.0/122.2", "299.5/207.2/153.5"),
        (240, "312.3/199.8/130.0", "312.3/199.8/130.0", "314.1/218.0/161.6"),
    ],
)
def test_current_of_a_body_on_a_stiff_source(printed, voltage: float, dry: str, wet: str, salt: str) -> None:
    """Computed independently (numpy)."""
    for skin, currents in ((DRY, dry), (WET, wet), (SALT, salt)):
        for percentile, current in zip(PERCENTILES, currents.split("/"), strict=True):
            point = body_point(voltage, 0.0, skin, percentile, BodyPath.HAND_TO_HAND)
            assert point.body_voltage == voltage
            assert point.body_current * 1e3 == printed(current)


@pytest.mark.parametrize(
    ("source", "skin", "points"),
    [
        ((120, 1000), DRY, "65.86,54.14 79.35,40.65 91.95,28.05"),
        ((120, 1000), SALT, "57.94,62.06 66.86,53.14 75.30,44.70"),
        ((230, 1000), DRY, "111.88,118.12 137.15,92.85 159.89,70.11"),
        ((230, 10000), DRY, "32.39,19.76 47.22,18.28 65.49,16.45"),
        ((230, 18.5), DRY, "224.64,289.7 226.57,185.3 227.77,120.5"),
        ((120, 7.2), DRY, "119.07,129.23 119.46,75.19 119.69,43.20"),
    ],
)
def test_voltage_and_current_are_found_together(printed, source: tuple[float, float], skin: Skin, points: str) -> None:
    """Computed independently (numpy)."""
    for percentile, pair in zip(PERCENTILES, points.split(), strict=True):
        voltage, current = pair.split(",")
        point = body_point(*source, skin, percentile, BodyPath.HAND_TO_HAND)
        assert point.body_voltage == printed(voltage)
        assert point.body_current * 1e3 == printed(current)


sources = st.tuples(st.floats(0.0, 1000.0), st.floats(0.0, 1e6), st.floats(-1e6, 1e6), st.floats(0.0, 1e5))
skins, percentiles, paths = st.sampled_from(Skin), st.sampled_from(PERCENTILES), st.sampled_from(BodyPath)
fixed = settings(derandomize=True, deadline=None)


@fixed
@given(sources, skins, percentiles, paths)
def test_the_point_lies_on_the_source_and_on_the_body(
    source: tuple[float, float, float, float], skin: Skin, percentile: int, path: BodyPath
) -> None:
    voltage, resistance, reactance, floor = source
    point = body_point(voltage, complex(resistance, reactance), skin, percentile, path, floor)

    assert point.body_impedance == path_factor(path) * body_impedance(point.body_voltage, skin, percentile)
    assert point.body_voltage == pytest.approx(point.body_current * point.body_impedance, rel=1e-9)
    assert point.touch_voltage == pytest.approx(point.body_voltage + floor * point.body_current, rel=1e-9)
    through_source = load_current(voltage, complex(resistance + floor, reactance), point.body_impedance)
    assert point.body_current == pytest.approx(through_source, rel=1e-6, abs=1e-14)


@fixed
@given(sources, st.floats(0.0, 500.0), skins, percentiles, paths)
def test_body_current_never_falls_when_the_open_circuit_voltage_rises(
    source: tuple[float, float, float, float], more: float, skin: Skin, percentile: int, path: BodyPath
) -> None:
    voltage, resistance, reactance, floor = source
    before, after = (
        body_point(at, complex(resistance, reactance), skin, percentile, path, floor).body_current
        for at in (voltage, voltage + more)
    )
    assert after >= before - 1e-14


@fixed
@given(sources, st.floats(0.0, 1e5), skins, percentiles, paths)
def test_body_current_never_rises_with_resistance_in_the_way(
    source: tuple[float, float, float, float], more: float, skin: Skin, percentile: int, path: BodyPath
) -> None:
    voltage, resistance, reactance, floor = source
    before, after = (
        body_point(voltage, complex(resistance, reactance), skin, percentile, path, at).body_current
        for at in (floor, floor + more)
    )
    assert after <= before + 1e-14


@fixed
@given(sources, skins, paths)
def test_the_5_percent_person_gets_at_least_the_current_of_the_median(
    source: tuple[float, float, float, float], skin: Skin, path: BodyPath
) -> None:
    voltage, resistance, reactance, floor = source
    low, median, high = (
        body_point(voltage, complex(resistance, reactance), skin, percentile, path, floor).body_current
        for percentile in PERCENTILES
    )
    assert low >= median - 1e-14
    assert median >= high - 1e-14


@fixed
@given(sources, percentiles, paths)
def test_a_wet_person_gets_at_least_the_current_of_a_dry_one(
    source: tuple[float, float, float, float], percentile: int, path: BodyPath
) -> None:
    voltage, resistance, reactance, floor = source
    dry, wet, salt = (
        body_point(voltage, complex(resistance, reactance), skin, percentile, path, floor).body_current
        for skin in (DRY, WET, SALT)
    )
    assert salt >= wet - 1e-14
    assert wet >= dry - 1e-14


def test_a_capacitive_source_is_not_taken_for_a_resistor() -> None:
    reactance = 1 / (2 * math.pi * 50 * 4.7e-9)
    point = body_point(230.0, -1j * reactance, DRY, 50, BodyPath.HAND_TO_HAND)

    assert point.body_current * 1e3 == pytest.approx(0.3396, abs=2e-4)
    assert abs(cmath.polar(complex(point.body_impedance, -reactance))[0] * point.body_current - 230.0) < 1e-6


def test_a_part_that_is_connected_to_nothing_gives_no_current() -> None:
    for voltage, impedance in ((0.0, 10.0), (230.0, math.inf)):
        point = body_point(voltage, impedance, DRY, 50, BodyPath.HAND_TO_FEET, 100.0)
        assert (point.body_voltage, point.touch_voltage, point.body_current) == (0.0, 0.0, 0.0)


@pytest.mark.parametrize(
    ("voltage", "impedance", "floor"),
    [
        (-1.0, 10.0, 0.0),
        (math.nan, 10.0, 0.0),
        (math.inf, 10.0, 0.0),
        (230.0, -5.0, 0.0),
        (230.0, complex(math.nan, 0), 0.0),
        (230.0, 5.0, -1.0),
    ],
)
def test_a_source_that_cannot_be_is_refused(voltage: float, impedance: complex, floor: float) -> None:
    with pytest.raises(SourceNotPhysicalError):
        body_point(voltage, impedance, DRY, 50, BodyPath.HAND_TO_HAND, floor)


def test_a_percentile_that_is_not_tabulated_is_refused() -> None:
    with pytest.raises(OutsideTableError):
        body_impedance(100.0, DRY, 20)
    with pytest.raises(OutsideTableError):
        body_impedance_source(100.0, DRY, 20)


def test_factors_of_the_paths_and_their_status() -> None:
    assert [path_factor(path) for path in BodyPath] == [1.0, 0.75, 0.5]
    assert [heart_current_factor(path) for path in BodyPath] == [0.4, 1.0, 1.0]
    for path in BodyPath:
        assert path_factor_source(path).status is Status.CONFIRMED
        assert heart_current_factor_source(path).status is Status.CONFIRMED


def test_only_the_median_dry_impedance_is_confirmed() -> None:
    confirmed = {
        (skin, percentile)
        for skin in Skin
        for percentile in PERCENTILES
        if body_impedance_source(119.0, skin, percentile).status is Status.CONFIRMED
    }
    assert confirmed == {(DRY, 50)}


@pytest.mark.common_practice
def test_bare_feet_on_stone_are_worse_than_a_second_hand_on_the_tap_for_the_heart() -> None:
    to_tap = body_point(120.0, 7.2, DRY, 50, BodyPath.HAND_TO_HAND)
    to_floor = body_point(120.0, 7.2, DRY, 50, BodyPath.HAND_TO_FEET)

    at_heart = [
        point.body_current * heart_current_factor(path)
        for point, path in ((to_tap, BodyPath.HAND_TO_HAND), (to_floor, BodyPath.HAND_TO_FEET))
    ]
    assert at_heart[1] > 2 * at_heart[0]


@fixed
@given(st.floats(0.0, 2000.0), st.sampled_from(PERCENTILES))
def test_impedance_is_that_of_the_table(voltage: float, percentile: int) -> None:
    for number, skin in enumerate((DRY, WET, SALT), start=1):
        held = table("iec-60479-1-2018", f"table-{number}")
        expected = held.look_up(f"percentile_{percentile}", touch_voltage=voltage)
        assert body_impedance(voltage, skin, percentile) == pytest.approx(expected, rel=1e-12)


def test_a_medium_area_carries_less_and_is_from_memory() -> None:
    large, medium = (body_point(120.0, 1000.0, DRY, 50, BodyPath.HAND_TO_HAND, area=area) for area in ContactArea)
    assert medium.body_current < large.body_current
    assert body_impedance_source(medium.body_voltage, DRY, 50, ContactArea.MEDIUM).status is Status.FROM_MEMORY


def test_a_medium_area_is_not_guessed_above_its_rows() -> None:
    behind_much = body_point(400.0, 20e3, DRY, 50, BodyPath.HAND_TO_HAND, area=ContactArea.MEDIUM)
    assert behind_much.body_voltage < 225
    with pytest.raises(OutsideTableError):
        body_point(230.0, 1.0, DRY, 50, BodyPath.HAND_TO_HAND, area=ContactArea.MEDIUM)
    with pytest.raises(OutsideTableError):
        body_point(230.0, 0.0, DRY, 50, BodyPath.HAND_TO_HAND, area=ContactArea.MEDIUM)


@settings(derandomize=True, deadline=None, max_examples=400)
@given(sources, st.floats(1.0, 1e6), skins, percentiles, paths)
def test_no_source_gives_less_than_the_bound_from_one_load(
    source: tuple[float, float, float, float], load: float, skin: Skin, percentile: int, path: BodyPath
) -> None:
    voltage, resistance, reactance, floor = source
    impedance = complex(resistance, reactance)
    current = load_current(voltage, impedance, load)

    least = least_body_current(current, load * current, skin, percentile, path, floor)
    carried = body_point(voltage, impedance, skin, percentile, path, floor).body_current
    assert least <= carried * (1 + 1e-9) + 1e-14


def test_the_bound_is_met_where_the_load_carries_what_the_person_carries() -> None:
    person = (DRY, 50, BodyPath.HAND_TO_FEET, 500.0)
    point = body_point(230.0, 2000.0, *person)
    least = least_body_current(point.body_current, point.touch_voltage, *person)
    assert least == pytest.approx(point.body_current, rel=1e-9)


@pytest.mark.parametrize(("current", "voltage"), [(-1.0, 1.0), (math.nan, 1.0), (1.0, -1.0), (1.0, math.nan)])
def test_a_load_that_cannot_be_gives_no_bound(current: float, voltage: float) -> None:
    with pytest.raises(SourceNotPhysicalError):
        least_body_current(current, voltage, DRY, 50, BodyPath.HAND_TO_HAND)


@fixed
@given(sources, st.floats(0.0, 1e5), skins, percentiles, paths, st.sampled_from(ContactArea))
def test_body_current_never_rises_with_the_resistance_of_the_source(
    source: tuple[float, float, float, float],
    more: float,
    skin: Skin,
    percentile: int,
    path: BodyPath,
    area: ContactArea,
) -> None:
    voltage, resistance, reactance, floor = source
    currents = []
    for at in (resistance, resistance + more):
        try:
            point = body_point(voltage, complex(at, reactance), skin, percentile, path, floor, area)
        except OutsideTableError:
            return
        currents.append(point.body_current)
    assert currents[1] <= currents[0] + 1e-14

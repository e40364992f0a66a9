"""Exposures of every kind in one array, each as alone; derivatives wherever a point lies."""

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from hazardreport.errors import OutsideTableError, SourceNotPhysicalError
from hazardreport.severity.body import PERCENTILES, BodyPoint, body_point, impedance_knots
from hazardreport.severity.body_many import BodyPoints, body_points
from hazardreport.severity.terms import BodyPath, ContactArea, Skin

Exposure = tuple[float, complex, Skin, int, BodyPath, ContactArea, float]
kinds = (st.sampled_from(Skin), st.sampled_from(PERCENTILES), st.sampled_from(BodyPath))
exposures = st.tuples(
    st.floats(0.0, 1500.0),
    st.one_of(
        st.just(complex(math.inf)),
        st.just(0j),
        st.builds(complex, st.floats(0.0, 1e6), st.floats(-1e6, 1e6)),
        st.builds(complex, st.floats(0.0, 3e3)),
    ),
    *kinds,
    st.sampled_from(ContactArea),
    st.one_of(st.just(0.0), st.floats(0.0, 1e5)),
)
inside = st.tuples(
    st.floats(1.0, 1000.0),
    st.builds(complex, st.floats(1.0, 1e5), st.floats(-1e5, 1e5)),
    *kinds,
    st.just(ContactArea.LARGE),
    st.floats(0.0, 1e4),
)


def together(found: list[Exposure]) -> BodyPoints:
    voltage, impedance, skins, percentiles, paths, areas, series = zip(*found, strict=True)
    return body_points(
        np.array(voltage), np.array(impedance, dtype=complex), skins, percentiles, paths, areas, np.array(series)
    )


def alone(exposure: Exposure) -> BodyPoint | None:
    voltage, impedance, skin, percentile, path, area, series = exposure
    try:
        return body_point(voltage, impedance, skin, percentile, path, series, area)
    except OutsideTableError:
        return None


@settings(derandomize=True, deadline=None, max_examples=300)
@given(st.lists(exposures, min_size=1, max_size=12))
def test_the_same_points_as_one_by_one(found: list[Exposure]) -> None:
    """To what the root of one alone is settled to: 1e-13 V."""
    many = together(found)
    for number, exposure in enumerate(found):
        one = alone(exposure)
        assert bool(many.outside[number]) is (one is None)
        for name in ("body_voltage", "touch_voltage", "body_current", "body_impedance"):
            value = getattr(many, name)[number]
            if one is None:
                assert math.isnan(value)
            else:
                assert value == pytest.approx(getattr(one, name), rel=1e-9, abs=1e-12)


@settings(derandomize=True, deadline=None, max_examples=200)
@given(inside)
def test_derivatives_are_those_of_the_points(exposure: Exposure) -> None:
    """By central differences, which hold where no row of the table, at which the derivative jumps, is near."""
    here = together([exposure])
    rows, _ = impedance_knots(exposure[2], exposure[3], exposure[5])
    assume(all(abs(here.body_voltage[0] - at) > 2e-3 * at for at in rows))
    voltage, impedance, *person = exposure
    step = 1e-4
    by_voltage = together([(voltage * (1 + sign * step), impedance, *person) for sign in (1, -1)]).body_current
    by_impedance = together([(voltage, impedance * (1 + sign * step), *person) for sign in (1, -1)]).body_current
    differences = (by_voltage[0] - by_voltage[1]) / (2 * step), (by_impedance[0] - by_impedance[1]) / (2 * step)
    slack = 1e-7 * here.body_current[0]
    assert here.by_voltage[0] * voltage == pytest.approx(differences[0], rel=1e-6, abs=slack)
    assert here.by_impedance[0] * abs(impedance) == pytest.approx(differences[1], rel=1e-6, abs=slack)


@settings(derandomize=True, deadline=None)
@given(st.lists(exposures, min_size=1, max_size=12))
def test_derivatives_have_the_sign_of_the_law(found: list[Exposure]) -> None:
    many = together(found)
    known = ~many.outside
    assert np.all(many.by_voltage[known] >= 0.0)
    assert np.all(many.by_impedance[known] <= 0.0)


def test_impedance_never_rises_with_voltage() -> None:
    """What the proof of the iteration rests on."""
    for area in ContactArea:
        for skin in Skin:
            for percentile in PERCENTILES:
                voltages, values = impedance_knots(skin, percentile, area)
                assert np.all(np.diff(voltages) > 0)
                assert np.all(np.diff(values) <= 0)


@pytest.mark.parametrize(
    ("voltage", "impedance", "series"),
    [
        (math.nan, 10.0, 0.0),
        (math.inf, 10.0, 0.0),
        (230.0, complex(math.nan, 0.0), 0.0),
        (230.0, complex(0.0, math.nan), 0.0),
        (230.0, 5.0, math.nan),
    ],
)
def test_one_source_that_cannot_be_refuses_all(voltage: float, impedance: complex, series: float) -> None:
    person = (Skin.DRY, 50, BodyPath.HAND_TO_HAND, ContactArea.LARGE)
    with pytest.raises(SourceNotPhysicalError):
        together([(230.0, 1.0 + 0j, *person, 0.0), (voltage, impedance, *person, series)])
    with pytest.raises(SourceNotPhysicalError):
        body_point(voltage, impedance, *person[:3], series)

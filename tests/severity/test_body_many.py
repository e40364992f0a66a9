"""Many people at once carry what each of them carries alone; the derivatives are those of small steps."""

import math
from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.errors import OutsideTableError, SourceNotPhysicalError
from hazardreport.severity.body import PERCENTILES, body_point
from hazardreport.severity.body_many import BodyPoints, body_points
from hazardreport.severity.grade import ORDER, GradedExposure, grade
from hazardreport.severity.terms import BodyPath, ContactArea, SignalWord, Skin

fixed = settings(derandomize=True, deadline=None)
PEOPLE = [(skin, percentile, path) for skin in Skin for percentile in PERCENTILES for path in BodyPath]
voltages = st.floats(0.0, 1200.0)
impedances = st.builds(complex, st.floats(0.0, 1e6), st.floats(-1e6, 1e6))
series = st.floats(0.0, 1e5)


def at(
    voltage: float,
    impedance: complex,
    resistance: float = 0.0,
    people: Sequence[tuple[Skin, int, BodyPath]] = PEOPLE,
    area: ContactArea = ContactArea.LARGE,
) -> BodyPoints:
    skins, percentiles, paths = zip(*people, strict=True)
    size = len(people)
    return body_points(
        np.full(size, voltage),
        np.full(size, impedance, dtype=np.complex128),
        skins,
        percentiles,
        paths,
        [area] * size,
        np.full(size, resistance),
    )


@fixed
@given(voltages, impedances, series)
def test_each_as_if_alone(voltage: float, impedance: complex, resistance: float) -> None:
    found = at(voltage, impedance, resistance)
    alone = [body_point(voltage, impedance, *who, resistance) for who in PEOPLE]
    for name in ("body_current", "body_voltage", "touch_voltage", "body_impedance"):
        expected = [getattr(point, name) for point in alone]
        assert getattr(found, name) == pytest.approx(expected, rel=1e-10, abs=1e-15)


@fixed
@given(st.floats(0.0, 400.0), impedances)
def test_a_medium_area_is_outside_where_it_is_refused_alone(voltage: float, impedance: complex) -> None:
    found = at(voltage, impedance, area=ContactArea.MEDIUM)
    for place, who in enumerate(PEOPLE):
        if found.outside[place]:
            assert math.isnan(found.body_current[place])
            with pytest.raises(OutsideTableError):
                body_point(voltage, impedance, *who, 0.0, ContactArea.MEDIUM)
        else:
            alone = body_point(voltage, impedance, *who, 0.0, ContactArea.MEDIUM)
            assert found.body_current[place] == pytest.approx(alone.body_current, rel=1e-10, abs=1e-15)


@pytest.mark.parametrize("impedance", [500 + 0j, 2000 - 30000j, -700j])
def test_derivatives(impedance: complex) -> None:
    voltage, step = 213.0, 1e-4
    found = at(voltage, impedance)
    by_voltage = (at(voltage + step, impedance).body_current - at(voltage - step, impedance).body_current) / (2 * step)
    stretch = step * impedance / abs(impedance)
    by_impedance = at(voltage, impedance + stretch).body_current - at(voltage, impedance - stretch).body_current
    assert found.by_voltage == pytest.approx(by_voltage, rel=1e-5)
    assert found.by_impedance == pytest.approx(by_impedance / (2 * step), rel=1e-5, abs=1e-12)


@fixed
@given(st.floats(0.0, 1000.0), st.floats(0.0, 100.0), impedances)
def test_never_less_from_a_higher_voltage(voltage: float, more: float, impedance: complex) -> None:
    lower, higher = at(voltage, impedance), at(voltage + more, impedance)
    assert np.all(higher.body_current >= lower.body_current * (1 - 1e-12))


@fixed
@given(st.floats(0.0, 1000.0), impedances, st.floats(0.0, 1.0))
def test_never_less_from_a_lower_source_impedance(voltage: float, impedance: complex, share: float) -> None:
    higher, lower = at(voltage, impedance), at(voltage, share * impedance)
    assert np.all(lower.body_current >= higher.body_current * (1 - 1e-12))


@fixed
@given(st.floats(0.0, 1000.0), impedances, series)
def test_never_less_through_wetter_skin(voltage: float, impedance: complex, resistance: float) -> None:
    found = at(voltage, impedance, resistance).body_current.reshape(3, -1)
    order = [list(Skin).index(skin) for skin in (Skin.DRY, Skin.WATER_WET, Skin.SALT_WET)]
    dry, wet, salt = found[order]
    assert np.all(wet >= dry * (1 - 1e-12))
    assert np.all(salt >= wet * (1 - 1e-12))


def test_nobody_carries_anything_where_the_part_is_not_connected() -> None:
    found = at(230.0, complex(math.inf, 0.0))
    assert not np.any(found.body_current)
    assert not np.any(found.by_voltage)


@pytest.mark.parametrize(("voltage", "impedance", "resistance"), [(-1, 0j, 0), (230, -1 + 0j, 0), (230, 0j, -1)])
def test_absurd_sources_are_refused(voltage: float, impedance: complex, resistance: float) -> None:
    with pytest.raises(SourceNotPhysicalError):
        at(voltage, impedance, resistance)


def test_an_unknown_percentile_is_refused() -> None:
    with pytest.raises(OutsideTableError):
        at(230.0, 0j, people=[(Skin.DRY, 10, BodyPath.HAND_TO_HAND)])


@fixed
@given(st.floats(0.0, 1000.0), st.floats(0.0, 100.0), impedances)
def test_the_word_never_falls_when_the_voltage_rises(voltage: float, more: float, impedance: complex) -> None:
    lower, higher = (at(volts, impedance).body_current.tolist() for volts in (voltage, voltage + more))
    for before, after in zip(lower, higher, strict=True):
        assert ORDER.index(word_of(after)) >= ORDER.index(word_of(before * (1 - 1e-12)))


def word_of(current: float) -> SignalWord:
    exposure = GradedExposure(id="x", current=current, heart_factor=1.0, duration=10.0, established=True)
    return grade([exposure])[0]

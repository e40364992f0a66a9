"""Verdicts of protective devices: operates, does not operate, not determined, and the longest time."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.case.circumstances import ResidualCurrentDevice
from hazardreport.quantity.trace import Status
from hazardreport.severity.body import body_point, heart_current_factor
from hazardreport.severity.devices import (
    exposure_duration,
    overcurrent_device,
    overcurrent_operation,
    overcurrent_sources,
    residual_current_operation,
    residual_current_sources,
)
from hazardreport.severity.grade import GradedExposure, grade
from hazardreport.severity.limits import status_of
from hazardreport.severity.terms import BodyPath, Operation, SignalWord, Skin

GFCI, RCD = ResidualCurrentDevice.GFCI_A, ResidualCurrentDevice.MA_30
OPERATES, NOT, OPEN = Operation.OPERATES, Operation.DOES_NOT_OPERATE, Operation.NOT_DETERMINED
BREAKERS = ("B6", "B16", "C10", "D20", "C63", "13 A fuse", "gG 16", "gG 25", "15 A", "20 A breaker")
fixed = settings(derandomize=True, deadline=None)


@pytest.mark.published("ul-943", "class A, longest time at 264 mA")
def test_interrupter_at_264_milliampere(printed) -> None:
    operation, time = residual_current_operation(GFCI, 0.264)
    assert operation is OPERATES
    assert time == printed("0.025")


@pytest.mark.parametrize(
    ("milliampere", "time"),
    [
        (6, "5.594"),
        (10, "2.694"),
        (15, "1.509"),
        (20, "1.000"),
        (30, "0.5600"),
        (50, "0.2697"),
        (60, "0.2078"),
        (100, "0.1001"),
        (120, "0.0771"),
        (200, "0.0372"),
        (264, "0.02498"),
    ],
)
def test_times_of_the_interrupter(printed, milliampere: float, time: str) -> None:
    """Computed independently (numpy)."""
    assert residual_current_operation(GFCI, milliampere * 1e-3)[1] == printed(time)


@pytest.mark.published("iec-61008-1", "break times of the general type, 30 mA")
@pytest.mark.parametrize(("milliampere", "time"), [(30.0, "0.3"), (60.0, "0.15"), (150.0, "0.04")])
def test_break_times_as_printed(printed, milliampere: float, time: str) -> None:
    assert residual_current_operation(RCD, milliampere * 1e-3)[1] == printed(time)
    assert residual_current_operation(RCD, 15e-3) == (NOT, None)


@pytest.mark.published("ul-943", "class A, 4 mA to 6 mA")
def test_trip_level_of_the_interrupter() -> None:
    assert residual_current_operation(GFCI, 3.999e-3)[0] is NOT
    assert residual_current_operation(GFCI, 5.999e-3)[0] is OPEN
    assert residual_current_operation(GFCI, 6.001e-3)[0] is OPERATES


@pytest.mark.published("iec-60898-1", "time-current characteristic")
@pytest.mark.parametrize(
    ("device", "multiple", "time"),
    [
        ("B10", 1.13, None),
        ("C32", 1.13, None),
        ("B10", 1.451, "3600"),
        ("C63", 1.451, "3600"),
        ("B10", 2.551, "60"),
        ("C32", 2.551, "60"),
        ("C40", 2.551, "120"),
        ("D63", 2.551, "120"),
    ],
)
def test_breaker_times_as_printed(printed, device: str, multiple: float, time: str | None) -> None:
    found = overcurrent_operation(device, multiple * float(device[1:]))
    assert found == (NOT, None) if time is None else found[1] == printed(time)


@pytest.mark.published("bs-1362", "13 A plug fuse")
@pytest.mark.parametrize(
    ("ampere", "time"), [(24.7, "1800"), (30.0, "400"), (50.0, "20"), (100.0, "0.2"), (20.8, None)]
)
def test_times_of_the_plug_fuse_as_printed(printed, ampere: float, time: str | None) -> None:
    found = overcurrent_operation("13 A fuse", ampere)
    assert found == (NOT, None) if time is None else found[1] == printed(time)


@pytest.mark.published("ul-489", "calibration, from memory")
@pytest.mark.parametrize(("multiple", "time"), [(1.0, None), (1.35, "3600"), (2.0, "120")])
def test_calibration_of_a_moulded_case_breaker(printed, multiple: float, time: str | None) -> None:
    for rated in (15.0, 20.0):
        found = overcurrent_operation(f"{rated:g} A", multiple * rated)
        assert found == (NOT, None) if time is None else found[1] == printed(time)


def test_loop_impedance_that_opens_a_breaker_at_once(printed) -> None:
    """Computed by hand: 95 % of 230 V and five times 16 A; the published 2.73 ohm is from memory."""
    highest = 0.95 * 230.0 / (5.0 * 16.0)
    assert highest == printed("2.731")
    assert overcurrent_operation("B16", 0.95 * 230.0 / (highest * 0.999)) == (OPERATES, 0.1)
    assert overcurrent_operation("B16", 0.95 * 230.0 / (highest * 1.001)) == (OPERATES, 60.0)


def test_let_through_of_the_interrupter_for_a_person(printed) -> None:
    """Computed independently: 120 V through a person of 1000 ohm, a fault of 7.4 ohm."""
    assert residual_current_operation(GFCI, 0.119)[1] == printed("0.078")


@pytest.mark.parametrize("kind", [GFCI, RCD, ResidualCurrentDevice.NONE, ResidualCurrentDevice.OTHER])
def test_a_negative_current_is_a_defect_and_no_verdict(kind: ResidualCurrentDevice) -> None:
    with pytest.raises(ValueError, match="current"):
        residual_current_operation(kind, -0.001)
    for device in (*BREAKERS, "unknown"):
        with pytest.raises(ValueError, match="current"):
            overcurrent_operation(device, -1.0)


@pytest.mark.parametrize(
    ("kind", "milliampere", "operation", "time"),
    [
        (GFCI, 3.9, NOT, None),
        (GFCI, 4.0, OPEN, None),
        (GFCI, 5.9, OPEN, None),
        (GFCI, 265.0, OPERATES, 0.025),
        (GFCI, 5000.0, OPERATES, 0.025),
        (RCD, 15.0, NOT, None),
        (RCD, 15.1, OPEN, None),
        (RCD, 29.9, OPEN, None),
        (RCD, 30.0, OPERATES, 0.3),
        (RCD, 59.0, OPERATES, 0.3),
        (RCD, 60.0, OPERATES, 0.15),
        (RCD, 149.0, OPERATES, 0.15),
        (RCD, 150.0, OPERATES, 0.04),
        (RCD, 226.0, OPERATES, 0.04),
        (RCD, 30000.0, OPERATES, 0.04),
        (ResidualCurrentDevice.NONE, 1000.0, NOT, None),
        (ResidualCurrentDevice.OTHER, 1000.0, OPEN, None),
        (ResidualCurrentDevice.UNKNOWN, 1000.0, OPEN, None),
        (ResidualCurrentDevice.OPEN, 1000.0, OPEN, None),
        (RCD, math.nan, OPEN, None),
        (GFCI, math.nan, OPEN, None),
    ],
)
def test_residual_current_devices(
    kind: ResidualCurrentDevice, milliampere: float, operation: Operation, time: float | None
) -> None:
    assert residual_current_operation(kind, milliampere * 1e-3) == (operation, time)


@pytest.mark.parametrize(
    ("device", "ampere", "operation", "time"),
    [
        ("B16", 18.0, NOT, None),
        ("B16", 20.0, OPEN, None),
        ("B16", 23.2, OPERATES, 3600.0),
        ("B16", 40.8, OPERATES, 60.0),
        ("B16", 79.0, OPERATES, 60.0),
        ("B16", 80.0, OPERATES, 0.1),
        ("c 10 A", 99.0, OPERATES, 60.0),
        ("C10", 100.0, OPERATES, 0.1),
        ("D20", 399.0, OPERATES, 60.0),
        ("B40", 110.0, OPERATES, 120.0),
        ("13 A fuse", 20.0, NOT, None),
        ("13A plug fuse", 22.0, OPEN, None),
        ("13 A fuse", 29.0, OPERATES, 1800.0),
        ("13 A fuse", 49.0, OPERATES, 400.0),
        ("13 A fuse", 99.0, OPERATES, 20.0),
        ("13 A fuse", 460.0, OPERATES, 0.2),
        ("gG 16", 20.0, NOT, None),
        ("gG16", 25.0, OPEN, None),
        ("16 A gG", 25.6, OPERATES, 3600.0),
        ("gG 16 A", 94.9, OPERATES, 3600.0),
        ("16 A gG fuse", 95.0, OPERATES, 0.4),
        ("gG 16", 460.0, OPERATES, 0.4),
        ("gG 25", 31.25, NOT, None),
        ("gG 25", 39.0, OPEN, None),
        ("gG 25", 40.0, OPERATES, 3600.0),
        ("gG 25", 460.0, OPERATES, 3600.0),
        ("gG 10", 460.0, OPEN, None),
        ("gG 80", 460.0, OPEN, None),
        ("gG 16", math.nan, OPEN, None),
        ("15 A", 15.0, NOT, None),
        ("20 A breaker", 25.0, OPEN, None),
        ("20 A breaker", 27.0, OPERATES, 3600.0),
        ("20 A breaker", 240.0, OPERATES, 120.0),
        ("C100", 5000.0, OPEN, None),
        ("5 A fuse", 100.0, OPEN, None),
        ("", 100.0, OPEN, None),
        ("some old fuse", 100.0, OPEN, None),
        ("B16", math.nan, OPEN, None),
    ],
)
def test_breakers_and_fuses(device: str, ampere: float, operation: Operation, time: float | None) -> None:
    assert overcurrent_operation(device, ampere) == (operation, time)


def test_devices_for_alternating_current_are_not_judged_on_direct_current() -> None:
    assert residual_current_operation(RCD, 1.0, direct_current=True) == (OPEN, None)
    assert overcurrent_operation("B16", 500.0, direct_current=True) == (OPEN, None)


@fixed
@given(st.sampled_from([GFCI, RCD]), st.floats(0.0, 10.0), st.floats(0.0, 10.0))
def test_more_residual_current_never_makes_a_device_slower(
    kind: ResidualCurrentDevice, current: float, more: float
) -> None:
    assert not_slower(residual_current_operation(kind, current), residual_current_operation(kind, current + more))


@fixed
@given(st.sampled_from(BREAKERS), st.floats(0.0, 500.0), st.floats(0.0, 500.0))
def test_more_line_current_never_makes_a_breaker_slower(device: str, current: float, more: float) -> None:
    assert not_slower(overcurrent_operation(device, current), overcurrent_operation(device, current + more))


def not_slower(before: tuple[Operation, float | None], after: tuple[Operation, float | None]) -> bool:
    rank = [NOT, OPEN, OPERATES]
    faster = after[1] is not None and (before[1] is None or after[1] <= before[1] * (1 + 1e-12) + 3e-5)
    return rank.index(after[0]) > rank.index(before[0]) or (after[0] is before[0] and (after[1] is None or faster))


def test_the_helper_refuses_a_slower_device() -> None:
    assert not not_slower((OPERATES, 0.1), (OPERATES, 0.2))
    assert not not_slower((OPERATES, 0.1), (OPEN, None))


def test_sources_of_the_times() -> None:
    assert [source.key for source in residual_current_sources(RCD)] == ["iec-61008-1", "iec-61008-1"]
    assert [source.key for source in residual_current_sources(GFCI)] == ["ul-943"]
    assert residual_current_sources(ResidualCurrentDevice.NONE) == ()
    assert status_of(overcurrent_sources("13 A fuse")) is Status.CONFIRMED
    assert status_of(overcurrent_sources("B16")) is Status.FROM_MEMORY
    for fuse, place in (("gG 16", "gG, 16 A"), ("gG 25", "conventional currents, gG")):
        (source,) = overcurrent_sources(fuse)
        assert (source.key, source.place, source.status) == ("iec-60269-1", place, Status.FROM_MEMORY)
    assert overcurrent_sources("unknown") == ()
    assert overcurrent_device("b 16").rated_current == 16.0


def test_only_a_device_that_surely_acts_sooner_shortens_an_exposure() -> None:
    assert exposure_duration((OPERATES, 0.04)) == 0.04
    assert exposure_duration((OPERATES, 3600.0)) == 10.0
    assert exposure_duration((OPEN, None)) == 10.0
    assert exposure_duration((NOT, None)) == 10.0


@pytest.mark.common_practice
def test_a_residual_current_device_does_not_prevent_a_shock_it_shortens_it() -> None:
    """The current through the person is that of the source; only the time falls; the word stays."""
    path = BodyPath.HAND_TO_FEET
    point = body_point(230.0, 26.5, Skin.DRY, 50, path)
    words = {}
    durations = {}
    for kind in (ResidualCurrentDevice.NONE, RCD, GFCI):
        durations[kind] = exposure_duration(residual_current_operation(kind, point.body_current))
        exposure = GradedExposure(
            id="i",
            current=point.body_current,
            heart_factor=heart_current_factor(path),
            duration=durations[kind],
            established=True,
        )
        words[kind] = grade([exposure])[0]

    assert durations[RCD] < durations[ResidualCurrentDevice.NONE]
    assert durations[GFCI] < durations[ResidualCurrentDevice.NONE]
    assert set(words.values()) == {SignalWord.DANGER}


@pytest.mark.common_practice
def test_a_current_through_a_person_is_far_below_what_a_breaker_sees() -> None:
    for device in ("B6", "B16", "C16", "13 A fuse", "gG 16", "15 A", "20 A"):
        assert overcurrent_operation(device, 0.3)[0] is NOT


@pytest.mark.common_practice
@pytest.mark.parametrize(("device", "ampere"), [("B16", 16.4), ("B20", 22.0), ("20 A", 20.0)])
def test_a_fault_at_mid_element_of_an_earthed_unit_does_not_trip_the_breaker_promptly(
    device: str, ampere: float
) -> None:
    assert exposure_duration(overcurrent_operation(device, ampere)) == 10.0
    assert residual_current_operation(RCD, ampere) == (OPERATES, 0.04)

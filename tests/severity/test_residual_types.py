"""Residual-current devices of type S, type A on pulsating and type B on smooth direct current."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.case.circumstances import ResidualCurrentDevice
from hazardreport.errors import OutsideTableError
from hazardreport.quantity.trace import Status
from hazardreport.severity.devices import residual_current_operation
from hazardreport.severity.limits import status_of
from hazardreport.severity.residual_types import (
    ResidualType,
    non_actuating_time,
    residual_type_operation,
    residual_type_sources,
)
from hazardreport.severity.terms import Operation

S, A, B = ResidualType.S_ALTERNATING, ResidualType.A_PULSATING, ResidualType.B_SMOOTH
OPERATES, NOT, OPEN = Operation.OPERATES, Operation.DOES_NOT_OPERATE, Operation.NOT_DETERMINED
fixed = settings(derandomize=True, deadline=None)


@pytest.mark.parametrize(
    ("kind", "milliampere", "operation", "time"),
    [
        (S, 15.0, NOT, None),
        (S, 29.9, OPEN, None),
        (S, 30.0, OPERATES, 0.5),
        (S, 59.0, OPERATES, 0.5),
        (S, 60.0, OPERATES, 0.2),
        (S, 149.0, OPERATES, 0.2),
        (S, 150.0, OPERATES, 0.15),
        (S, 9000.0, OPERATES, 0.15),
        (A, 10.4, NOT, None),
        (A, 10.6, OPEN, None),
        (A, 41.9, OPEN, None),
        (A, 42.1, OPERATES, 0.3),
        (A, 83.0, OPERATES, 0.3),
        (A, 85.0, OPERATES, 0.15),
        (A, 209.0, OPERATES, 0.15),
        (A, 211.0, OPERATES, 0.04),
        (B, 15.0, NOT, None),
        (B, 59.9, OPEN, None),
        (B, 60.0, OPERATES, 0.3),
        (B, 120.0, OPERATES, 0.15),
        (B, 299.0, OPERATES, 0.15),
        (B, 300.0, OPERATES, 0.04),
        *((kind, math.nan, OPEN, None) for kind in ResidualType),
    ],
)
def test_types_by_their_own_current(
    kind: ResidualType, milliampere: float, operation: Operation, time: float | None
) -> None:
    assert residual_type_operation(kind, milliampere * 1e-3) == (operation, time)


def test_rated_current_moves_every_step() -> None:
    assert residual_type_operation(S, 0.3, rated_residual_current=0.3) == (OPERATES, 0.5)
    assert residual_type_operation(S, 0.14, rated_residual_current=0.3) == (NOT, None)


@pytest.mark.parametrize(("kind", "rated"), [(A, 0.01), (S, 0.0), (B, -0.03), (S, math.nan), (S, math.inf)])
def test_a_rated_current_without_values_is_refused(kind: ResidualType, rated: float) -> None:
    with pytest.raises(ValueError, match="rated_residual_current"):
        residual_type_operation(kind, 0.1, rated_residual_current=rated)


@pytest.mark.parametrize(
    ("milliampere", "time"),
    [(30, 0.13), (31, 0.06), (60, 0.06), (61, 0.05), (150, 0.05), (1000, 0.05)],
)
def test_between_steps_the_shorter_waiting_time_holds(milliampere: float, time: float) -> None:
    assert non_actuating_time(milliampere * 1e-3) == time


@pytest.mark.parametrize("current", [0.0, 0.029, math.nan])
def test_no_waiting_time_is_held_below_the_rated_current(current: float) -> None:
    with pytest.raises(OutsideTableError):
        non_actuating_time(current)


@fixed
@given(st.floats(0.03, 10.0))
def test_a_selective_device_waits_and_is_never_sooner_than_the_general_one(current: float) -> None:
    longest = residual_type_operation(S, current)[1]
    general = residual_current_operation(ResidualCurrentDevice.MA_30, current)[1]
    assert longest is not None
    assert general is not None
    assert non_actuating_time(current) < longest
    assert general <= longest


@fixed
@given(st.sampled_from(list(ResidualType)), st.floats(0.0, 10.0), st.floats(0.0, 10.0))
def test_more_current_never_makes_a_type_slower(kind: ResidualType, current: float, more: float) -> None:
    rank = [NOT, OPEN, OPERATES]
    before, after = residual_type_operation(kind, current), residual_type_operation(kind, current + more)
    assert rank.index(after[0]) >= rank.index(before[0])
    if before[1] is not None and after[1] is not None:
        assert after[1] <= before[1]


def test_all_values_of_these_types_are_from_memory() -> None:
    assert {status_of(residual_type_sources(kind)) for kind in ResidualType} == {Status.FROM_MEMORY}

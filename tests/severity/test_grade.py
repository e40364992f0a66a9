"""The signal word: confirmed values decide, a device never lowers it, what is not established is not excluded."""

import dataclasses
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.quantity.trace import Status
from hazardreport.severity.grade import (
    ORDER,
    Driver,
    GradedBound,
    GradedExposure,
    GradedLimit,
    PossibleCurrent,
    grade,
)
from hazardreport.severity.terms import SignalWord
from hazardreport.wording import sentence

MEDIAN = GradedExposure(id="m", current=0.0, heart_factor=1.0, duration=10.0, established=True)
fixed = settings(derandomize=True, deadline=None)


def word(*exposures: GradedExposure, **others: tuple) -> SignalWord:  # type: ignore[type-arg]
    return grade(exposures, **others)[0]


def adult(milliampere: float, **changes: object) -> GradedExposure:
    return dataclasses.replace(MEDIAN, current=milliampere * 1e-3, **changes)


@pytest.mark.parametrize(
    ("milliampere", "factor", "expected", "driver"),
    [
        (50.1, 1.0, SignalWord.DANGER, Driver.FIBRILLATION),
        (50.0, 1.0, SignalWord.WARNING, Driver.LET_GO),
        (120.0, 0.4, SignalWord.WARNING, Driver.LET_GO),
        (126.0, 0.4, SignalWord.DANGER, Driver.FIBRILLATION),
        (5.1, 1.0, SignalWord.WARNING, Driver.LET_GO),
        (5.0, 1.0, SignalWord.CAUTION, Driver.PERCEPTION),
        (0.51, 0.4, SignalWord.CAUTION, Driver.PERCEPTION),
        (0.5, 1.0, SignalWord.NONE_SHOWN, Driver.BELOW_PERCEPTION),
    ],
)
def test_word_of_one_median_adult(milliampere: float, factor: float, expected: SignalWord, driver: Driver) -> None:
    found, item = grade([adult(milliampere, heart_factor=factor)])
    assert found is expected
    assert item is not None
    assert (item.kind, item.id) == (driver, "m")


def test_hand_to_hand_the_heart_factor_of_the_table_decides() -> None:
    assert word(adult(100.0, heart_factor=0.4)) is SignalWord.WARNING
    assert word(adult(100.0, heart_factor=1.0)) is SignalWord.DANGER


def test_values_from_memory_or_practice_never_raise_the_word() -> None:
    for status in (Status.FROM_MEMORY, Status.COMMON_PRACTICE):
        assert word(adult(3.0), adult(200.0, status=status)) is SignalWord.CAUTION
        assert word(adult(0.1), limits=(GradedLimit(id="l", probability=1.0, status=status),)) is SignalWord.NONE_SHOWN


def test_values_from_memory_alone_are_not_excluded() -> None:
    assert word(adult(200.0, status=Status.FROM_MEMORY)) is SignalWord.NOT_EXCLUDED


def test_the_5_percent_adult_warns_only_once_confirmed() -> None:
    weak = adult(30.0, percentile=5, status=Status.FROM_MEMORY)
    assert word(adult(3.0), weak) is SignalWord.CAUTION
    found, item = grade([adult(3.0), dataclasses.replace(weak, status=Status.CONFIRMED)])
    assert found is SignalWord.WARNING
    assert item is not None
    assert item.kind is Driver.LET_GO_5_PERCENT
    assert word(adult(3.0), dataclasses.replace(weak, current=1.0, status=Status.CONFIRMED)) is SignalWord.WARNING


def test_what_is_not_established_is_not_excluded_and_no_lower_word_replaces_it() -> None:
    doubtful = adult(80.0, established=False)
    assert word(doubtful) is SignalWord.NOT_EXCLUDED
    assert word(doubtful, adult(3.0)) is SignalWord.NOT_EXCLUDED
    assert word(doubtful, adult(30.0)) is SignalWord.WARNING
    assert word(adult(3.0), possible=(PossibleCurrent(id="p", low=0.0, high=0.2),)) is SignalWord.NOT_EXCLUDED
    assert word(adult(0.1), possible=(PossibleCurrent(id="p", low=0.0, high=0.0003),)) is SignalWord.NONE_SHOWN


@pytest.mark.parametrize(
    ("probability", "expected"),
    [(0.95, SignalWord.CAUTION), (0.9499, SignalWord.NONE_SHOWN), (1.0, SignalWord.CAUTION)],
)
def test_a_limit_surely_exceeded_is_a_caution(probability: float, expected: SignalWord) -> None:
    assert word(adult(0.2), limits=(GradedLimit(id="l", probability=probability),)) is expected


def test_nothing_assessed_has_no_word_and_no_driver() -> None:
    assert grade([]) == (SignalWord.NOT_ASSESSED, None)


def test_the_worst_exposure_drives_the_word() -> None:
    found, item = grade([adult(60.0, id="a"), adult(90.0, id="b"), adult(70.0, id="c")])
    assert found is SignalWord.DANGER
    assert item is not None
    assert item.id == "b"
    assert item.value == pytest.approx(0.09)


exposures = st.builds(
    GradedExposure,
    id=st.just("x"),
    current=st.floats(0.0, 1.0),
    heart_factor=st.sampled_from([0.4, 1.0]),
    duration=st.floats(0.01, 10.0),
    established=st.booleans(),
    percentile=st.sampled_from([5, 50]),
    status=st.sampled_from(Status),
)


@fixed
@given(st.lists(exposures, max_size=4), exposures, st.floats(0.0, 1.0))
def test_the_word_never_falls_when_a_current_rises(
    others: list[GradedExposure], exposure: GradedExposure, more: float
) -> None:
    before = word(*others, exposure)
    after = word(*others, dataclasses.replace(exposure, current=exposure.current + more))
    assert ORDER.index(after) >= ORDER.index(before)


@fixed
@given(st.lists(exposures, min_size=1, max_size=4), st.floats(0.01, 10.0))
def test_the_time_of_a_device_never_changes_the_word(listed: list[GradedExposure], time: float) -> None:
    shortened = [dataclasses.replace(exposure, duration=time) for exposure in listed]
    assert word(*shortened) is word(*listed)


@pytest.mark.parametrize("driver", Driver)
def test_every_driver_has_its_sentence(driver: Driver) -> None:
    text = sentence(f"severity.grade.{driver.value}", subject="S", value="V", threshold="T")
    assert text.startswith("S")


def test_no_current_that_is_unknown_passes_for_none() -> None:
    with pytest.raises(ValueError, match="current"):
        grade([adult(math.nan)])


@pytest.mark.parametrize(
    ("value", "changes", "name"),
    [
        (math.nan, {}, "current"),
        (-1.0, {}, "current"),
        (1.0, {"uncertainty": math.nan}, "uncertainty"),
        (1.0, {"uncertainty": -1e-3}, "uncertainty"),
        (1.0, {"heart_factor": math.nan}, "heart_factor"),
    ],
)
def test_an_exposure_that_cannot_be_is_refused(value: float, changes: dict[str, float], name: str) -> None:
    with pytest.raises(ValueError, match=name):
        grade([adult(value, **changes)])


def test_the_probability_stands_beside_a_word_that_the_estimate_decides() -> None:
    for milliampere, expected in ((52.0, 0.8413), (50.0001, 0.5)):
        found, item = grade([adult(milliampere, uncertainty=2e-3)])
        assert found is SignalWord.DANGER
        assert item is not None
        assert item.probability == pytest.approx(expected, abs=1e-4)
    found, item = grade([adult(49.9, uncertainty=20e-3)])
    assert found is SignalWord.WARNING
    assert item is not None
    assert item.probability == pytest.approx(0.98762, abs=1e-5)


def test_hand_to_hand_the_doubt_is_referred_to_the_heart_as_the_current_is() -> None:
    _, item = grade([adult(150.0, heart_factor=0.4, uncertainty=25e-3)])
    assert item is not None
    assert (item.kind, item.probability) == (Driver.FIBRILLATION, pytest.approx(0.8413, abs=1e-4))


def test_without_doubt_or_without_an_exposure_no_probability_is_told() -> None:
    limit, possible = GradedLimit(id="l", probability=1.0), PossibleCurrent(id="p", low=0.0, high=1.0)
    for found in (grade([adult(60.0)]), grade([], [limit]), grade([], (), [possible]), grade([], bounds=[bound(60.0)])):
        assert found[1] is not None
        assert found[1].probability is None


def bound(milliampere: float, **changes: object) -> GradedBound:
    least = GradedBound(id="b", least_current=milliampere * 1e-3, heart_factor=1.0)
    return dataclasses.replace(least, **changes)


@pytest.mark.parametrize(
    ("milliampere", "factor", "expected"),
    [
        (50.1, 1.0, SignalWord.DANGER),
        (50.0, 1.0, SignalWord.WARNING),
        (120.0, 0.4, SignalWord.WARNING),
        (126.0, 0.4, SignalWord.DANGER),
        (5.0, 1.0, SignalWord.CAUTION),
        (0.5, 1.0, SignalWord.NOT_ASSESSED),
        (0.0, 1.0, SignalWord.NOT_ASSESSED),
    ],
)
def test_a_lower_bound_raises_the_word_and_never_clears(
    milliampere: float, factor: float, expected: SignalWord
) -> None:
    found, item = grade([], bounds=[bound(milliampere, heart_factor=factor)])
    assert found is expected
    assert (item is None) is (expected is SignalWord.NOT_ASSESSED)
    assert item is None or item.at_least


def test_a_lower_bound_does_not_lower_what_is_possible() -> None:
    possible = PossibleCurrent(id="p", low=0.0, high=0.2)
    assert word(possible=(possible,), bounds=(bound(1.0),)) is SignalWord.NOT_EXCLUDED
    assert word(possible=(possible,), bounds=(bound(6.0),)) is SignalWord.WARNING


def test_a_lower_bound_by_tables_from_memory_is_possible_only_where_no_exposure_stands_beside_it() -> None:
    weak = bound(200.0, status=Status.FROM_MEMORY)
    assert word(bounds=(weak,)) is SignalWord.NOT_EXCLUDED
    assert word(adult(3.0), bounds=(weak,)) is SignalWord.CAUTION
    assert word(bounds=(bound(0.1, status=Status.FROM_MEMORY),)) is SignalWord.NOT_ASSESSED


def test_a_lower_bound_that_is_unknown_is_refused() -> None:
    for least in (math.nan, -1.0):
        with pytest.raises(ValueError, match="current"):
            grade([], bounds=[bound(least)])


@fixed
@given(st.lists(exposures, max_size=3), st.floats(0.0, 200.0), st.floats(0.0, 200.0))
def test_the_word_never_falls_when_a_lower_bound_rises(
    others: list[GradedExposure], milliampere: float, more: float
) -> None:
    without = ORDER.index(word(*others))
    before, after = (ORDER.index(word(*others, bounds=(bound(at),))) for at in (milliampere, milliampere + more))
    assert without <= before <= after

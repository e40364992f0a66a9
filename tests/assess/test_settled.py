"""The settled part: explanations ranked, profiles, shares of adults, the reading that does not fit."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from hazardreport.assess.adults import in_words
from hazardreport.assess.assessment import Live, assess, live_part, settled_part
from hazardreport.assess.records import Assessment, Settled
from hazardreport.case.circumstances import Household
from hazardreport.case.reading import Load, LoadKind, PlugPosition, Quantity, State, SwitchPosition

Make = Callable[..., Any]
OFF = State(plug=PlugPosition.REVERSED, switch=SwitchPosition.OFF)
ON = State(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.ON)
RESISTOR = Load(kind=LoadKind.RESISTOR, resistance=3e3, tolerance=0.001)


@pytest.fixture
def bench_with_all(bench: Make) -> Any:
    """Supply, three resistances, and two states with and without load."""
    made = bench(100.0).typed("FG", Quantity.VOLTAGE, State(), "120.0 V")
    for points in ("BA", "CA", "BC"):
        made.read(points, Quantity.RESISTANCE, State(switch=SwitchPosition.ON))
    for state in (OFF, ON):
        made.read("AE", Quantity.VOLTAGE, state)
        made.read("AE", Quantity.VOLTAGE, state, RESISTOR)
    return made


def settled(found: Assessment) -> Settled:
    assert found.settled is not None
    return found.settled


def test_the_live_part_is_whole_but_for_what_takes_long(bench_with_all: Any) -> None:
    live = live_part(bench_with_all.case)
    whole = settled_part(live)

    assert live.assessment.settled is None
    assert whole.verdict == live.assessment.verdict
    assert whole.states == live.assessment.states
    assert whole.trace.numbers[: len(live.assessment.trace.numbers)] == live.assessment.trace.numbers


def test_both_parts_together_are_the_assessment(bench_with_all: Any) -> None:
    assert assess(bench_with_all.case) == settled_part(live_part(bench_with_all.case))


def test_the_last_fit_changes_nothing_but_the_way_there(bench_with_all: Any) -> None:
    first: Live = live_part(bench_with_all.case)
    again: Live = live_part(bench_with_all.case, first.fit)

    for figure in first.assessment.verdict.figures:
        one, other = first.assessment.number(figure).measured, again.assessment.number(figure).measured
        assert other.value == pytest.approx(one.value, rel=1e-6)


def test_a_conductive_fault_stands_first_and_capacitance_is_excluded(bench_with_all: Any) -> None:
    found = {rival.key: rival for rival in settled(assess(bench_with_all.case)).rivals}

    assert next(iter(found)) == "resistive_fault"
    assert found["resistive_fault"].explains
    assert found["capacitive_leakage"].explains is False
    assert found["capacitive_leakage"].against
    assert "contradict" in found["capacitive_leakage"].text


def test_positions_noted_the_wrong_way_round_are_told(bench_with_all: Any) -> None:
    """Every live reading noted with the plug the other way: the explanation with the plug turned fits them."""
    turned = {PlugPosition.STRAIGHT: PlugPosition.REVERSED, PlugPosition.REVERSED: PlugPosition.STRAIGHT}
    case = bench_with_all.case
    readings = tuple(
        replace(reading, state=replace(reading.state, plug=turned.get(reading.state.plug, reading.state.plug)))
        for reading in case.readings
    )
    best = settled(assess(replace(case, readings=readings))).rivals[0]

    assert best.key == "reversed_plug"
    assert best.explains


def test_a_wrong_reading_is_named_and_the_states_rest_on_the_others(bench_with_all: Any) -> None:
    whole = assess(bench_with_all.case)
    bench_with_all.typed("AE", Quantity.VOLTAGE, OFF, "11.9 V", RESISTOR)
    found = assess(bench_with_all.case)

    assert [problem.id for problem in found.problems if problem.key == "misfit"] == ["reading-009"]
    assert found.verdict.word is whole.verdict.word
    for one, other in zip(whole.states, found.states, strict=True):
        assert one.established == other.established
        if one.available_fault_current:
            current = found.number(other.available_fault_current).measured.value
            assert current == pytest.approx(whole.number(one.available_fault_current).measured.value, rel=1e-3)


def test_shares_of_adults_are_those_of_plausible_exposures_and_repeat(bench_with_all: Any) -> None:
    found = assess(bench_with_all.case)
    shares = settled(found).population

    assert shares
    assert all(result.plausible for result in shares)
    for result in shares:
        values = [
            found.number(share).measured.value
            for share in (result.above_perception, result.above_let_go, result.above_c1, result.above_c2)
        ]
        assert all(0.0 <= value <= 1.0 for value in values)
        assert values[0] >= values[2] >= values[3]
    assert settled(assess(bench_with_all.case)).population == shares


def test_without_a_recorded_circumstance_the_headline_state_is_still_told(bench_with_all: Any) -> None:
    found = assess(replace(bench_with_all.case, household=Household()))

    shares = settled(found).population
    assert [result.state for result in shares] == [found.verdict.headline]
    assert not shares[0].plausible


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (0.0, "Fewer than 1 in 100 adults"),
        (0.02, "About 2 in 100 adults"),
        (0.5, "About 5 in 10 adults"),
        (0.702, "About 7 in 10 adults"),
        (0.97, "About 97 in 100 adults"),
        (1.0, "Nearly all adults"),
    ],
)
def test_a_share_in_words_has_two_digits_at_most(share: float, words: str) -> None:
    assert in_words(share) == words

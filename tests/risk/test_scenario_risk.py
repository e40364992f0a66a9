"""One scenario: the published example, what a change of the inputs does, and laws that no input may break."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.case.scenario import ProbabilityBasis, Scenario, ScenarioStep
from hazardreport.risk.level import SEVERITIES, TABLE, risk_level
from hazardreport.risk.probability import printed
from hazardreport.risk.records import RiskLevel, ScenarioResult, ShiftKind
from hazardreport.risk.scenario_risk import STEPS_AT_MOST, joined, scenario_result
from hazardreport.standards.active import Active, counting
from hazardreport.standards.tables import table

STEPS = st.lists(
    st.fractions(min_value=0, max_value=1, max_denominator=5000).filter(bool) | st.sampled_from([Fraction(1, 10)]),
    min_size=1,
    max_size=6,
)


def scenario(severity: int, *steps: str | Fraction) -> Scenario:
    typed = (step if isinstance(step, str) else printed(step) for step in steps)
    return Scenario(
        id="scenario-001",
        severity=severity,
        steps=tuple(ScenarioStep(text="it happens", probability=text, reason="seen before") for text in typed),
    )


def result(severity: int, *steps: str | Fraction) -> ScenarioResult:
    return scenario_result(scenario(severity, *steps))


@pytest.mark.published("eu-2010-15", "part IV, folding chair, finger at the back corner and at the side, minor pinch")
def test_the_folding_chair() -> None:
    found = result(1, "1", "1/50", "1/10", "1")

    assert found.overall == "1/500"
    assert found.level is RiskLevel.LOW
    assert found.band == "> 1/1 000"
    assert not found.on_boundary
    assert "memory" not in found.sentence


def test_the_hammer_as_remembered() -> None:
    """From memory, no published check: steps 1/10, 1/10, 1/3, 1/20 and severity 3."""
    found = result(3, "1/10", "1/10", "1/3", "1/20")

    assert (found.overall, found.level) == ("1/6000", RiskLevel.HIGH)
    assert "from memory" in found.sentence


def test_metal_at_mains_potential_is_serious_and_stays_so() -> None:
    """Derived: one band lower is still serious, two bands lower high, and the sentence says exactly that."""
    found = result(4, "1", "1", "1/10", "1/50")

    assert (found.overall, found.level, found.robust) == ("1/500", RiskLevel.SERIOUS, True)
    assert (found.falls_after, found.falls_to) == (2, RiskLevel.HIGH)
    assert (found.rises_after, found.rises_to) == (0, None)
    assert [shift.kind for shift in found.shifts] == [
        ShiftKind.SEVERITY_DOWN,
        ShiftKind.PROBABILITY_UP,
        ShiftKind.PROBABILITY_DOWN,
    ]
    assert "falls to high when that is 2 bands lower" in found.sensitivity
    assert "at least 20 times less probable" in found.sensitivity


def test_each_step_alone_is_moved_until_the_level_changes() -> None:
    found = result(1, "1", "1/50", "1/10", "1")

    assert [(shift.step, shift.threshold, shift.factor, shift.level) for shift in found.step_shifts] == [
        (2, "1/10", "5", RiskLevel.MEDIUM),
        (3, "1/2", "5", RiskLevel.MEDIUM),
    ]
    assert all(shift.up and shift.within_ten for shift in found.step_shifts)
    assert "one of 2 or 3 alone would have to be more than 5 times" in found.sensitivity
    assert "cannot fall" in found.sensitivity


def test_no_step_can_raise_a_level_where_all_are_certain_or_nearly() -> None:
    found = result(1, "1")

    assert (found.level, found.rises_to) == (RiskLevel.HIGH, None)
    assert "cannot rise" in found.sensitivity
    found = result(2, "1/1001", "1")
    assert found.step_shifts[-1].factor == "1001/1000"
    assert "A small rise of step 1 is enough" in found.sensitivity
    assert "A small fall of any one step is enough" in result(2, "1/999").sensitivity


def test_on_the_edge_of_a_band_it_is_said() -> None:
    assert "exactly on the edge of a band and is counted in the band below" in result(4, "1/10").sentence
    assert "edge" not in result(4, "1/9").sentence
    found = result(4, "1/1000000")

    assert found.on_boundary
    assert "exactly on the lowest edge of the table and is in no band by the letter" in found.sentence
    assert "by our choice" in found.sentence
    assert found.step_shifts[-1].factor == "1"
    assert "A small rise of step 1 is enough" in found.sensitivity


@pytest.mark.parametrize(
    ("steps", "severity", "told"),
    [
        (("1/4", "3/8", "1/8", "1/10"), 4, "at least about 11.7 times less probable"),
        (("7/8", "3/10"), 1, "more than about 1.9 times as probable"),
        (("1/50", "1/10"), 1, "more than 5 times as probable"),
        (("1/500",), 4, "at least 20 times less probable"),
    ],
)
def test_a_rounded_factor_is_told_as_rounded_since_a_threshold_hangs_on_it(
    steps: tuple[str, ...], severity: int, told: str
) -> None:
    """375/32, 200/105, 5 and 20: at 11.7 times less probable the level would not yet fall."""
    assert told in result(severity, *steps).sensitivity


def test_the_sensitivity_rests_on_every_cell_that_it_tells_of() -> None:
    """The fall told of two bands lower rests on that cell; with all others confirmed it is still from memory."""
    held = table(*TABLE)
    near = {number for number, row in enumerate(held.rows) if row[0] in ("> 1/100", "> 1/1 000", "> 1/10 000")}
    known = frozenset((number, f"severity_{severity}") for number in near for severity in SEVERITIES)
    further = known | {(5, "severity_4")}

    for confirmed, memory in ((known, True), (further, False)):
        active = Active(tables={TABLE: replace(held, confirmed=confirmed)})
        with counting(active):
            found = result(4, "1/500")
        assert (found.robust, found.falls_after) == (True, 2)
        assert ("from memory" in found.sensitivity) is memory
        assert "from memory" not in found.sentence


def test_judgements_are_told_and_those_without_reason_counted() -> None:
    steps = (
        ScenarioStep(text="a", probability="1", basis=ProbabilityBasis.MEASURED),
        ScenarioStep(text="b", probability="1/2", reason="as seen"),
        ScenarioStep(text="c", probability="1/3"),
    )
    found = scenario_result(replace(scenario(4), steps=steps))

    assert (found.judged, found.unreasoned) == ((2, 3), (3,))
    assert "Steps 2 and 3 are probabilities as the assessor judges them." in found.sentence


@pytest.mark.parametrize(
    "steps", [(), ("",), ("1/2", ""), ("0",), ("3/2", "1"), ("1/0",), ("nonsense",), ("9" * 10_000,)]
)
def test_without_every_probability_there_is_no_level(steps: tuple[str, ...]) -> None:
    found = result(4, *steps)

    assert (found.level, found.overall, found.source, found.sentence, found.shifts) == (None, "", None, "", ())
    assert len(found.steps) == len(steps)


@pytest.mark.parametrize("severity", [0, 5, -3])
def test_without_a_severity_there_is_no_level_but_a_probability(severity: int) -> None:
    found = result(severity, "1/2", "1/3")

    assert (found.level, found.overall) == (None, "1/6")


def test_the_longest_scenario_is_still_printed_exactly() -> None:
    longest = "1/" + "9" * 38
    found = result(4, *[longest] * STEPS_AT_MOST)

    assert found.level is RiskLevel.LOW
    assert Fraction(found.overall) == Fraction(longest) ** STEPS_AT_MOST
    assert "less than 1 in" in found.sentence
    assert result(4, *["1"] * (STEPS_AT_MOST + 1)).level is None


@settings(derandomize=True, deadline=None)
@given(STEPS, st.sampled_from(SEVERITIES))
def test_each_shift_is_what_the_table_gives(steps: list[Fraction], severity: int) -> None:
    found = result(severity, *steps)
    moved = {ShiftKind.SEVERITY_UP: 1, ShiftKind.SEVERITY_DOWN: -1}

    for shift in found.shifts:
        assert shift.changes == (shift.level is not found.level)
        if shift.kind in moved:
            assert shift.level is risk_level(Fraction(found.overall), severity + moved[shift.kind]).level
    assert found.robust == (not any(shift.changes for shift in found.shifts))


@settings(derandomize=True, deadline=None)
@given(STEPS, st.sampled_from(SEVERITIES))
def test_a_step_moved_to_its_threshold_changes_the_level_and_not_before(steps: list[Fraction], severity: int) -> None:
    found = result(severity, *steps)
    for shift in found.step_shifts:
        threshold = Fraction(shift.threshold)
        levels = []
        for value in (threshold, min(threshold * (1 + Fraction(1, 10**6)), Fraction(1))):
            moved = list(steps)
            moved[shift.step - 1] = value
            overall = Fraction(1)
            for one in moved:
                overall *= one
            levels.append(risk_level(overall, severity).level)
        at, beyond = levels
        assert 0 < threshold < 1
        assert threshold == steps[shift.step - 1] * Fraction(shift.factor)
        if shift.up:
            assert at is found.level
            assert beyond is shift.level
        else:
            assert at is shift.level
            assert beyond is found.level


@settings(derandomize=True, deadline=None)
@given(STEPS, st.data(), st.sampled_from(SEVERITIES), st.sampled_from(SEVERITIES))
def test_a_more_probable_step_or_a_graver_injury_never_lowers_the_level(
    steps: list[Fraction], data: st.DataObject, one: int, other: int
) -> None:
    place = data.draw(st.integers(0, len(steps) - 1))
    raised = [*steps]
    raised[place] = data.draw(
        st.fractions(min_value=steps[place], max_value=1, max_denominator=5000) | st.just(Fraction(1))
    )
    light, grave = sorted((one, other))
    before, after = result(light, *steps).level, result(grave, *raised).level

    assert before is not None
    assert after is not None
    assert after.order >= before.order


def test_a_list_in_a_sentence() -> None:
    assert [joined(words) for words in ([], ["1"], ["1", "2"], ["1", "2", "3"])] == ["", "1", "1 and 2", "1, 2 and 3"]

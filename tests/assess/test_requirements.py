"""How construction requirements stand in an assessment: answers, evidence, readings against limits, contradictions."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from hazardreport import wording
from hazardreport.assess.assessment import assess, live_part
from hazardreport.assess.records import Assessment, RequirementState
from hazardreport.case.case import Case
from hazardreport.case.circumstances import FindingAnswer
from hazardreport.case.picture import Picture
from hazardreport.case.reading import PlugPosition, Quantity, State, SwitchPosition, Temperature
from hazardreport.case.requirement import RequirementAnswer
from hazardreport.case.situation import Situation, Territory
from hazardreport.case.stated import value
from hazardreport.case.unit import Unit
from hazardreport.case.wiring import Filter, Plug, ProtectiveEarth, Supply
from hazardreport.readings.answers import INSULATION_TESTER
from hazardreport.readings.checks import EARTH_TESTER
from hazardreport.risk.requirements import Kind, Meaning, Requirement, requirements
from hazardreport.severity.terms import LimitDecision

SEEN, NOT_SEEN, COULD_NOT = FindingAnswer.SEEN, FindingAnswer.NOT_SEEN, FindingAnswer.COULD_NOT_CHECK
DEAD = State(plug=PlugPosition.UNPLUGGED, switch=SwitchPosition.ON)
REVERSED_OFF = State(plug=PlugPosition.REVERSED, switch=SwitchPosition.OFF)
STRAIGHT_OFF = State(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.OFF)
PICTURE = Picture(
    id="picture-001",
    file="picture-001.png",
    original_name="a.png",
    media_type="image/png",
    sha256="0" * 64,
    size=1,
    width=1,
    height=1,
)
ALL = requirements()
BY_EYE = pytest.mark.parametrize("asked", [item for item in ALL if item.kind is Kind.EYE], ids=lambda item: item.key)
BY_READING = [item.key for item in ALL if item.kind is Kind.READING]


def answered(case: Case, key: str, answer: FindingAnswer, **evidence: Any) -> Case:
    kept = tuple(item for item in case.requirements if item.id != key)
    return replace(case, requirements=(*kept, RequirementAnswer(id=key, answer=answer, **evidence)))


def states(case: Case) -> dict[str, RequirementState]:
    return {state.key: state for state in live_part(case).assessment.requirements}


def problems(found: Assessment, key: str) -> list[str]:
    return [problem.key for problem in found.problems if problem.kind == "requirement" and problem.id == key]


def shown(key: str, answer: FindingAnswer) -> RequirementState:
    case = replace(Case(id="T-1"), pictures=(PICTURE,))
    return states(answered(case, key, answer, pictures=("picture-001",)))[key]


# --- by eye -----------------------------------------------------------------------------------------------------------


@BY_EYE
def test_seen_not_seen_and_could_not_check_are_told_apart(asked: Requirement) -> None:
    found = [shown(asked.key, answer) for answer in FindingAnswer]

    assert [state.answer for state in found] == list(FindingAnswer)
    assert tuple(state.sentence for state in found) == asked.answers
    assert [state.speaks for state in found] == {
        Meaning.FOR: ["for", "against", ""],
        Meaning.AGAINST: ["against", "", ""],
        Meaning.NEUTRAL: ["", "", ""],
    }[asked.meaning]
    assert all(state.supported and state.shown and not state.measured for state in found)


@BY_EYE
def test_an_open_requirement_stays_open(asked: Requirement) -> None:
    state = states(Case(id="T-1"))[asked.key]

    assert (state.answer, state.speaks, state.supported) == (None, "", False)
    assert state.sentence == "Not answered yet."


def test_every_requirement_has_its_state_and_an_empty_case_no_problem() -> None:
    found = live_part(Case(id="T-1")).assessment

    assert [state.key for state in found.requirements] == [item.key for item in ALL]
    assert not [problem for problem in found.problems if problem.kind == "requirement"]


@pytest.mark.parametrize("answer", [SEEN, NOT_SEEN])
def test_an_answer_without_evidence_is_kept_and_flagged(answer: FindingAnswer) -> None:
    found = assess(answered(Case(id="T-1"), "rust", answer))
    state = next(state for state in found.requirements if state.key == "rust")

    assert (state.answer, state.supported, state.shown) == (answer, False, False)
    assert "No picture, reading or note of the case shows it." in state.sentence
    assert problems(found, "rust") == ["requirement_unsupported"]


def test_a_note_supports_an_answer_and_shows_nothing() -> None:
    found = live_part(answered(Case(id="T-1"), "rust", SEEN, note="two screws underneath")).assessment
    state = next(state for state in found.requirements if state.key == "rust")

    assert (state.supported, state.shown) == (True, False)
    assert problems(found, "rust") == []


def test_what_could_not_be_checked_asks_for_its_reason() -> None:
    without = live_part(answered(Case(id="T-1"), "wiring-clear", COULD_NOT)).assessment
    with_reason = live_part(answered(Case(id="T-1"), "wiring-clear", COULD_NOT, note="not opened")).assessment

    assert problems(without, "wiring-clear") == ["requirement_not_explained"]
    assert problems(with_reason, "wiring-clear") == []


def test_links_that_lead_nowhere_are_flagged_and_support_nothing() -> None:
    case = answered(Case(id="T-1"), "rust", SEEN, pictures=("picture-009",), readings=("reading-009",))
    found = live_part(case).assessment
    state = next(state for state in found.requirements if state.key == "rust")

    assert (state.missing, state.supported) == (("picture-009", "reading-009"), False)
    assert problems(found, "rust") == ["requirement_missing_evidence", "requirement_unsupported"]


def test_an_existing_link_supports_beside_one_that_leads_nowhere() -> None:
    case = replace(Case(id="T-1"), pictures=(PICTURE,))
    found = live_part(answered(case, "rust", SEEN, pictures=("picture-001", "picture-009"))).assessment

    assert problems(found, "rust") == ["requirement_missing_evidence"]


@pytest.mark.parametrize(
    ("answer", "note", "told"), [(NOT_SEEN, "", True), (NOT_SEEN, "the part is of glass", False), (SEEN, "", False)]
)
def test_no_metal_to_touch_beside_a_touchable_point_is_told(
    bench: Callable[..., Any], answer: FindingAnswer, note: str, told: bool
) -> None:
    case = answered(bench().case, "touchable-metal", answer, note=note)

    assert ("requirement_touchable_point" in problems(live_part(case).assessment, "touchable-metal")) is told
    assert "requirement_touchable_point" not in problems(
        live_part(answered(Case(id="T-1"), "touchable-metal", answer, note=note)).assessment, "touchable-metal"
    )


def test_an_answer_to_a_requirement_that_nobody_knows_is_kept_at_the_end() -> None:
    found = live_part(answered(Case(id="T-1"), "of-another-program", SEEN, note="seen")).assessment

    assert found.requirements[-1].key == "of-another-program"
    assert (found.requirements[-1].answer, found.requirements[-1].supported) == (SEEN, True)
    assert problems(found, "of-another-program") == ["requirement_unknown"]


def test_what_does_not_concern_the_class_or_the_territory_says_so_and_keeps_its_answer() -> None:
    case = replace(Case(id="T-1"), unit=Unit(protection_class=value("II")), situation=Situation(bought_in=Territory.EU))
    found = states(answered(case, "two-pin-plug", SEEN, note="flat pins"))

    assert not found["earth-symbol"].applies
    assert found["earth-symbol"].sentence.startswith("It does not concern this unit")
    assert not found["two-pin-plug"].applies
    assert found["two-pin-plug"].answer is SEEN
    assert found["class-0-marked"].applies
    assert found["double-square-apart"].applies


@pytest.mark.parametrize("key", BY_READING)
def test_without_a_reading_a_requirement_that_a_reading_decides_stays_undecided(key: str) -> None:
    state = states(Case(id="T-1"))[key]

    assert (state.comparison, state.measured, state.speaks) == (None, False, "")
    assert state.sentence == "No reading decides this yet."


@pytest.mark.parametrize("key", BY_READING)
def test_an_answer_by_eye_to_what_a_reading_decides_says_that_nothing_was_compared(key: str) -> None:
    case = Case(id="T-1")

    assert "no comparison with" in states(answered(case, key, SEEN, note="as told"))[key].sentence


# --- a reading decides ------------------------------------------------------------------------------------------------


def earthed(bench: Callable[..., Any], *typed: str, by: str = EARTH_TESTER) -> Case:
    """A unit of class I whose earth path was read by an instrument of that kind."""
    made = bench(cord_cores=3, protective_earth=ProtectiveEarth.CONNECTED)
    for text in typed:
        made.typed("DA", Quantity.RESISTANCE, DEAD, text)
    return replace(made.case, instruments=tuple(replace(one, kind=by) for one in made.case.instruments))


@pytest.mark.parametrize("key", ["metal-joined-to-earth", "earth-bond-in-service"])
@pytest.mark.parametrize(
    ("typed", "decision", "speaks"),
    [
        ("0.05 Ω", LimitDecision.BELOW, ""),
        ("0.09 Ω", LimitDecision.BELOW, ""),
        ("0.1000 Ω", LimitDecision.NOT_DECIDED, ""),
        ("0.1001 Ω", LimitDecision.NOT_DECIDED, ""),
        ("0.30 Ω", LimitDecision.NOT_DECIDED, ""),
        ("12 Ω", LimitDecision.EXCEEDED, "against"),
        ("> 20 MΩ", LimitDecision.EXCEEDED, "against"),
    ],
)
def test_an_earth_path_on_either_side_of_its_limit(
    bench: Callable[..., Any], key: str, typed: str, decision: LimitDecision, speaks: str
) -> None:
    """0.1 Ω: a doubt that straddles it decides nothing, nor does a value that the cord may explain."""
    state = states(earthed(bench, typed))[key]

    assert state.comparison is not None
    assert (state.comparison.decision, state.speaks) == (decision, speaks)
    assert state.measured is (decision is LimitDecision.EXCEEDED)
    assert state.supported
    assert decision.value in state.sentence


@pytest.mark.parametrize(
    ("typed", "decision"), [("12 Ω", LimitDecision.NOT_DECIDED), ("> 20 MΩ", LimitDecision.EXCEEDED)]
)
def test_the_small_current_of_a_multimeter_shows_only_an_interrupted_earth_path(
    bench: Callable[..., Any], typed: str, decision: LimitDecision
) -> None:
    state = states(earthed(bench, typed, by="multimeter"))["metal-joined-to-earth"]

    assert state.comparison is not None
    assert state.comparison.decision is decision


@pytest.mark.parametrize(
    ("typed", "answer", "contradicted"),
    [
        ("12 Ω", SEEN, True),
        ("12 Ω", NOT_SEEN, False),
        ("12 Ω", COULD_NOT, False),
        ("0.05 Ω", SEEN, False),
        ("0.05 Ω", NOT_SEEN, False),
        ("0.1000 Ω", SEEN, False),
        ("0.1000 Ω", NOT_SEEN, False),
    ],
)
def test_an_answer_by_eye_that_a_reading_contradicts_is_shown_and_the_reading_counts(
    bench: Callable[..., Any], typed: str, answer: FindingAnswer, contradicted: bool
) -> None:
    key = "metal-joined-to-earth"
    found = live_part(answered(earthed(bench, typed), key, answer, note="looked at")).assessment
    state = next(state for state in found.requirements if state.key == key)

    assert state.contradicted is contradicted
    assert ("contradict each other" in state.sentence) is contradicted
    assert problems(found, key) == (["requirement_contradicted"] if contradicted else [])
    if typed == "12 Ω":
        assert state.speaks == "against"
    if typed == "0.1000 Ω":
        assert state.speaks == ("for" if answer is SEEN else "against")


@pytest.mark.parametrize(("answer", "speaks"), [(SEEN, ""), (NOT_SEEN, "against"), (COULD_NOT, "")])
def test_a_reading_without_all_conditions_never_overrules_an_answer_against_safety(
    bench: Callable[..., Any], answer: FindingAnswer, speaks: str
) -> None:
    """A small current shows 0.05 Ω through one strand of a wire that is nearly torn: what the eye saw stays."""
    key = "metal-joined-to-earth"
    found = live_part(answered(earthed(bench, "0.05 Ω"), key, answer, note="looked at")).assessment
    state = next(state for state in found.requirements if state.key == key)

    assert state.comparison is not None
    assert state.comparison.decision is LimitDecision.BELOW
    assert (state.speaks, state.measured, state.contradicted) == (speaks, False, False)
    assert state.sentence.endswith(f"Answered by eye: {answer.value}.")


def test_a_voltage_in_one_state_never_overrules_that_metal_was_found_energised(bench: Callable[..., Any]) -> None:
    made = bench().typed("AE", Quantity.VOLTAGE, STRAIGHT_OFF, "20.0 V")
    found = live_part(answered(made.case, "extra-low-voltage", NOT_SEEN, note="a lamp glowed")).assessment
    state = next(state for state in found.requirements if state.key == "extra-low-voltage")

    assert state.comparison is not None
    assert state.comparison.decision is LimitDecision.BELOW
    assert (state.speaks, state.contradicted) == ("against", False)


def test_a_linked_reading_is_compared_before_any_other(bench: Callable[..., Any]) -> None:
    case = earthed(bench, "0.05 Ω", "12 Ω")
    first, second = (reading.id for reading in case.readings)
    key = "metal-joined-to-earth"

    for linked, decision in ((first, LimitDecision.BELOW), (second, LimitDecision.EXCEEDED)):
        state = states(answered(case, key, COULD_NOT, readings=(linked,)))[key]
        assert state.comparison is not None
        assert (state.comparison.number, state.comparison.decision) == (f"reading.{linked}", decision)
    both = states(answered(case, key, COULD_NOT, readings=(first, second)))[key]
    assert both.comparison is not None
    assert both.comparison.decision is LimitDecision.EXCEEDED


def test_a_linked_reading_that_cannot_be_compared_leaves_the_matching_one(bench: Callable[..., Any]) -> None:
    made = bench(cord_cores=3, protective_earth=ProtectiveEarth.CONNECTED)
    made.typed("DA", Quantity.RESISTANCE, DEAD, "> 20 MΩ").typed("BC", Quantity.RESISTANCE, DEAD, "9.6 Ω")
    key = "metal-joined-to-earth"
    state = states(answered(made.case, key, NOT_SEEN, readings=("reading-002",)))[key]

    assert state.comparison is not None
    assert state.comparison.number == "reading.reading-001"


@pytest.mark.parametrize(
    ("typed", "decision", "speaks"),
    [
        ("0.5 MΩ", LimitDecision.EXCEEDED, "against"),
        ("1.000 MΩ", LimitDecision.NOT_DECIDED, ""),
        ("20 MΩ", LimitDecision.BELOW, ""),
    ],
)
@pytest.mark.parametrize("linked", [(), ("reading-001",)])
def test_insulation_by_a_tester_decides(
    bench: Callable[..., Any], typed: str, decision: LimitDecision, speaks: str, linked: tuple[str, ...]
) -> None:
    made = bench(cord_cores=3, protective_earth=ProtectiveEarth.CONNECTED)
    made.typed("BA", Quantity.RESISTANCE, DEAD, typed)
    tester = tuple(replace(one, kind=INSULATION_TESTER) for one in made.case.instruments)
    case = replace(made.case, instruments=tester)
    state = states(answered(case, "insulation-holds", COULD_NOT, readings=linked))["insulation-holds"]

    assert state.comparison is not None
    assert (state.comparison.decision, state.speaks) == (decision, speaks)


def test_of_several_states_of_the_unit_the_least_favourable_touch_current_decides(
    dead_bench: Callable[..., Any],
) -> None:
    found = live_part(dead_bench(fault_resistance=1000.0, plug=Plug.REVERSIBLE).case).assessment
    state = next(state for state in found.requirements if state.key == "touch-current-small")
    limits = [one for one in found.limits if one.limit.startswith("limits.touch-current.")]

    assert len(limits) > 1
    assert state.comparison in limits
    assert state.comparison is not None
    assert state.comparison.decision is LimitDecision.EXCEEDED
    highest = max(found.number(one.number).measured.value for one in limits)
    assert found.number(state.comparison.number).measured.value == highest
    assert state.speaks == "against"


def test_energised_metal_is_measured_and_an_answer_that_it_was_not_seen_is_contradicted(
    dead_bench: Callable[..., Any],
) -> None:
    case = dead_bench(fault_resistance=100.0).case
    found = live_part(answered(case, "energised-metal", NOT_SEEN, note="nothing felt")).assessment
    state = next(state for state in found.requirements if state.key == "energised-metal")

    assert (state.speaks, state.measured, state.contradicted) == ("against", True, True)
    assert state.comparison in found.limits
    assert problems(found, "energised-metal") == ["requirement_contradicted"]


def test_pins_are_compared_by_their_stored_charge(dead_bench: Callable[..., Any]) -> None:
    made = dead_bench(filter=Filter(x_capacitance=1e-6, bleeder_resistance=10e6))
    found = live_part(made.case).assessment
    state = next(state for state in found.requirements if state.key == "pins-lose-voltage")

    assert state.comparison in [pin.comparison for pin in found.pins]
    assert (state.speaks, state.measured) == ("against", True)


@pytest.mark.published("iec-60335-1-2001", "8.1.4")
@pytest.mark.parametrize(
    ("typed", "decision"),
    [
        ("20.0 V", LimitDecision.BELOW),
        ("29.98 V", LimitDecision.NOT_DECIDED),
        ("60.0 V", LimitDecision.EXCEEDED),
    ],
)
def test_the_crest_of_a_voltage_is_held_against_extra_low_voltage(
    bench: Callable[..., Any], typed: str, decision: LimitDecision
) -> None:
    """42.4 V crest is 29.98 V effective; above it the voltage alone does not decide."""
    case = bench().typed("AE", Quantity.VOLTAGE, REVERSED_OFF, typed).case
    found = live_part(answered(case, "extra-low-voltage", COULD_NOT, readings=("reading-001",))).assessment
    state = next(state for state in found.requirements if state.key == "extra-low-voltage")

    assert state.comparison is not None
    assert state.comparison.decision is decision
    assert state.speaks == ""
    crest = found.number(state.comparison.number)
    assert crest.inputs == ("reading.reading-001",)
    assert crest.measured.value == pytest.approx(2**0.5 * float(typed.split()[0]))


def test_a_direct_voltage_is_not_held_against_the_crest_of_a_sine(bench: Callable[..., Any]) -> None:
    """35 V d.c. lies below 42.4 V; as the effective value of a sine its crest would be 49.5 V."""
    made = bench(supply=Supply.DIRECT_CURRENT, nominal_voltage=48.0).typed("AE", Quantity.VOLTAGE, REVERSED_OFF, "35 V")
    state = states(answered(made.case, "extra-low-voltage", SEEN, note="read by a qualified person"))[
        "extra-low-voltage"
    ]

    assert (state.comparison, state.contradicted) == (None, False)


def test_extra_low_voltage_in_both_positions_at_working_temperature_speaks_for_safety(
    bench: Callable[..., Any],
) -> None:
    made = bench()
    for state in (REVERSED_OFF, STRAIGHT_OFF):
        hot = replace(state, switch=SwitchPosition.ON, temperature=Temperature.WORKING)
        made.typed("AE", Quantity.VOLTAGE, hot, "12.0 V")
    state = states(answered(made.case, "extra-low-voltage", SEEN, note="by meter"))["extra-low-voltage"]

    assert state.comparison is not None
    assert (state.comparison.decision, state.speaks) == (LimitDecision.WITHIN, "for")


def test_no_number_is_written_down_for_a_requirement_that_nobody_answered(bench: Callable[..., Any]) -> None:
    case = bench().typed("AE", Quantity.VOLTAGE, REVERSED_OFF, "60.0 V").case

    assert not [number.id for number in live_part(case).assessment.trace if number.id.endswith(".crest")]


# --- class of protection ----------------------------------------------------------------------------------------------


def test_a_contradiction_about_the_class_is_a_problem_of_the_unit(bench: Callable[..., Any]) -> None:
    case = replace(bench().case, unit=Unit(protection_class=value("I")))
    found = assess(case)
    told = [problem for problem in found.problems if problem.key == "class_contradicted"]

    assert found.protection_class.evident == ""
    assert {(problem.kind, problem.id) for problem in told} == {("unit", "protection_class")}
    assert len(told) == len(found.protection_class.contradictions) == 2
    assert "The plate says class I, but the cord appears to have two wires" in dict(told[0].fields)["text"]


def test_every_problem_of_a_requirement_has_its_words(bench: Callable[..., Any]) -> None:
    case = replace(earthed(bench, "12 Ω"), unit=Unit(protection_class=value("II")))
    for key, answer, evidence in (
        ("rust", SEEN, {}),
        ("heat-damage", COULD_NOT, {}),
        ("metal-joined-to-earth", SEEN, {"pictures": ("picture-009",)}),
        ("of-another-program", SEEN, {}),
        ("touchable-metal", NOT_SEEN, {}),
    ):
        case = answered(case, key, answer, **evidence)
    told = [
        problem for problem in live_part(case).assessment.problems if problem.key.startswith(("requirement_", "class_"))
    ]

    assert {problem.key for problem in told} == {
        "requirement_touchable_point",
        "requirement_unsupported",
        "requirement_not_explained",
        "requirement_missing_evidence",
        "requirement_contradicted",
        "requirement_unknown",
        "class_contradicted",
    }
    for problem in told:
        for part in ("what", "remedy"):
            assert wording.sentence(f"problems.{problem.key}.{part}", **dict(problem.fields))


def test_the_settled_part_changes_nothing_of_the_requirements(dead_bench: Callable[..., Any]) -> None:
    case = answered(dead_bench().case, "rust", SEEN, note="screws")

    assert assess(case).requirements == live_part(case).assessment.requirements

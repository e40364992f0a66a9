"""For each element of each addressee: presence, absence with reason, and omission are told apart."""

from dataclasses import replace
from types import ModuleType
from typing import Any

import pytest

from hazardreport.addressees.completeness import State, element_states, field_state, gaps, open_named
from hazardreport.addressees.profiles import Level, Need, profile, profile_keys
from hazardreport.assess.records import Assessment, LeastCurrent, PartSource
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer
from hazardreport.case.letter import Letter, LetterKind
from hazardreport.case.stated import unknown, value
from hazardreport.case.upkeep import Kept, Knowing
from hazardreport.severity.terms import BodyPath

ELEMENTS = [(key, element.key) for key in profile_keys() for element in profile(key).elements]
CONDITIONAL = [(key, element) for key, element in ELEMENTS if profile(key).element(element).only_if]
SEVERITY = "severity.established"


def the_state(case: Case, key: str, element: str, computed: Assessment | None) -> Any:
    return next(s for s in element_states(case, profile(key), computed) if s.element.key == element)


@pytest.mark.parametrize(("key", "element"), ELEMENTS)
def test_a_present_element_is_present_and_shows_its_text(cases: ModuleType, key: str, element: str) -> None:
    state = the_state(cases.full_case(), key, element, cases.assessment())
    assert state.state is State.PRESENT
    assert state.complete
    assert state.text
    assert state.reason == ""
    assert state.why == profile(key).element(element).without


@pytest.mark.parametrize(("key", "element"), ELEMENTS)
def test_an_absent_element_says_why(cases: ModuleType, key: str, element: str) -> None:
    asked = profile(key).element(element)
    case, computed = cases.changed(asked.fields, "absent")
    state = the_state(case, key, element, computed)
    assert state.state is State.ABSENT_WITH_REASON
    assert state.reason
    assert state.text == ""
    assert state.complete is (asked.level is not Level.REQUIRED or asked.reason_accepted)


@pytest.mark.parametrize(("key", "element"), ELEMENTS)
def test_an_omitted_element_is_missing_and_links_to_its_field(cases: ModuleType, key: str, element: str) -> None:
    asked = profile(key).element(element)
    case, computed = cases.changed(asked.fields, "omitted")
    state = the_state(case, key, element, computed)
    assert state.state is State.MISSING
    assert state.field == asked.fields[0]
    assert (state.text, state.reason) == ("", "")
    assert state.complete is (asked.level is not Level.REQUIRED)


@pytest.mark.parametrize(
    ("key", "element", "link"),
    [
        (key, element, link)
        for key, element in ELEMENTS
        if len(profile(key).element(element).fields) > 1
        for link in profile(key).element(element).fields
    ],
)
def test_one_omitted_field_of_several_is_found(cases: ModuleType, key: str, element: str, link: str) -> None:
    case, computed = cases.changed((link,), "omitted")
    state = the_state(case, key, element, computed)
    if profile(key).element(element).need is Need.ANY:
        assert state.state is State.PRESENT
    else:
        assert state.state is State.MISSING
        assert state.field == link


def test_one_unknown_field_among_values_is_an_absence_that_keeps_the_values(cases: ModuleType) -> None:
    case = cases.absent(cases.full_case(), "unit.batch")
    state = the_state(case, "eu-maker-notice", "type_batch_serial", None)
    assert state.state is State.ABSENT_WITH_REASON
    assert "model as told" in state.text
    assert "the plate is worn off" in state.reason


def test_an_unknown_maker_is_incomplete_for_publication_though_it_has_a_reason(cases: ModuleType) -> None:
    case = cases.full_case()
    case = replace(case, unit=replace(case.unit, maker=unknown("no plate"), importer=unknown("no plate")))
    assert [state.element.key for state in gaps(case, profile("us-agency-harm"), None)] == ["manufacturer"]
    assert "maker" not in [state.element.key for state in gaps(case, profile("eu-maker-notice"), None)]


@pytest.mark.parametrize("key", profile_keys())
def test_a_full_case_has_no_gaps(cases: ModuleType, key: str) -> None:
    assert gaps(cases.full_case(), profile(key), cases.assessment()) == ()
    assert open_named(cases.full_case(), profile(key), cases.assessment()) == ()


@pytest.mark.parametrize("key", profile_keys())
def test_an_empty_case_misses_every_required_element(key: str) -> None:
    """Also those whose condition nobody has decided: whether they are asked must be answered first."""
    required = [e.key for e in profile(key).elements if e.level is Level.REQUIRED]
    assert [state.element.key for state in gaps(Case(id="WP-2"), profile(key), None)] == required


def test_a_reason_of_spaces_is_no_reason(cases: ModuleType) -> None:
    case = cases.full_case()
    case = replace(case, unit=replace(case.unit, maker=unknown("  ")))
    assert field_state(case, "unit.maker").state is State.MISSING


def test_a_link_to_nothing_is_refused() -> None:
    for link in (
        "unit.colour",
        "nothing.at_all",
        "severity.colour",
        "letters.colour",
        "pictures.first",
        "unit",
        "wiring.note",
        "",
    ):
        with pytest.raises(KeyError):
            field_state(Case(id="WP-3"), link)


@pytest.mark.parametrize("behind", ["lower bound", "second part", "second part not established", "another bound"])
def test_severity_is_given_where_a_lower_bound_or_a_second_part_establishes_the_verdict(
    cases: ModuleType, behind: str
) -> None:
    computed = cases.assessment(established=False)
    state = computed.states[0].state
    least = LeastCurrent(state=state, path=BodyPath.HAND_TO_FEET, number="least", reading="reading-001")
    part = PartSource(
        name="hook",
        between=False,
        state=state,
        voltage="u0",
        impedance="zs",
        current="isc",
        body_current="ib",
        established=behind == "second part",
        plausible=True,
    )
    figures = {"lower bound": ("least",), "another bound": ("other",)}.get(behind, ("u0", "isc", "ib"))
    computed = replace(
        computed, least=(least,), second_part=(part,), verdict=replace(computed.verdict, figures=figures)
    )
    found = field_state(cases.full_case(), SEVERITY, computed)
    assert (found.state is State.PRESENT) is (behind in ("lower bound", "second part"))


def test_every_conditional_element_is_asked_by_a_plain_question() -> None:
    assert ("us-agency-harm", "guardian") in CONDITIONAL
    assert {term.word for key, e in CONDITIONAL for c in profile(key).element(e).only_if for term in c.terms} == {"yes"}


def conditional(cases: ModuleType, key: str, element: str, how: str, answer: Answer) -> tuple[Any, str]:
    """State of a conditional element with its fields "omitted" or "absent" and that answer, and the deciding link."""
    asked = profile(key).element(element)
    case, computed = cases.changed(asked.fields, how)
    link = asked.only_if[0].terms[0].link
    record, name = link.split(".")
    case = replace(case, **{record: replace(getattr(case, record), **{name: answer})})
    return the_state(case, key, element, computed), link


@pytest.mark.parametrize(("key", "element"), CONDITIONAL)
def test_a_conditional_element_is_not_applicable_where_its_condition_does_not_hold(
    cases: ModuleType, key: str, element: str
) -> None:
    state, link = conditional(cases, key, element, "omitted", Answer.NO)
    assert (state.state, state.complete, state.field, state.text) == (State.NOT_APPLICABLE, True, link, "")
    assert state.reason == f"{state.element.only_if_text}; that is not so here"


UNDECIDED = {Answer.OPEN: "that question is not answered yet", Answer.UNKNOWN: "“not known”"}


@pytest.mark.parametrize(("key", "element"), CONDITIONAL)
@pytest.mark.parametrize("answer", UNDECIDED)
def test_a_required_element_whose_condition_is_undecided_is_missing_until_that_is_answered(
    cases: ModuleType, key: str, element: str, answer: Answer
) -> None:
    state, link = conditional(cases, key, element, "omitted", answer)
    required = state.element.level is Level.REQUIRED
    assert state.state is (State.MISSING if required else State.NOT_APPLICABLE)
    assert (state.complete, state.field, state.text) == (not required, link, "")
    told = state.pending if required else state.reason
    assert state.element.only_if_text in told
    assert UNDECIDED[answer] in told
    assert ("to be answered first" in told) is required
    assert bool(state.reason) is not required


@pytest.mark.parametrize("answer", UNDECIDED)
def test_what_is_there_already_satisfies_whatever_the_open_question_turns_out_to_be(
    cases: ModuleType, answer: Answer
) -> None:
    case = cases.full_case()
    case = replace(case, submitter=replace(case.submitter, minor=answer))
    guardian = the_state(case, "us-agency-harm", "guardian", cases.assessment())
    assert (guardian.state, guardian.complete) == (State.PRESENT, True)


def test_that_nobody_knows_whether_somebody_was_hurt_is_enough_only_with_a_reason_for_the_injury(
    cases: ModuleType,
) -> None:
    for how, complete in (("omitted", False), ("absent", True)):
        state, _ = conditional(cases, "au-consumer", "injury", how, Answer.UNKNOWN)
        assert state.complete is complete
    state, _ = conditional(cases, "us-agency-harm", "guardian", "absent", Answer.UNKNOWN)
    assert not state.complete


@pytest.mark.parametrize(("key", "element"), CONDITIONAL)
def test_a_conditional_element_counts_once_its_condition_holds(cases: ModuleType, key: str, element: str) -> None:
    asked = profile(key).element(element)
    case, computed = cases.changed(asked.fields, "omitted")
    assert the_state(case, key, element, computed).complete is (asked.level is not Level.REQUIRED)


def test_a_report_of_somebody_under_18_lacks_the_guardian(cases: ModuleType) -> None:
    case = cases.omitted(cases.full_case(), "consents.guardian_agrees")
    found = gaps(case, profile("us-agency-harm"), cases.assessment())
    assert [(state.element.key, state.field) for state in found] == [("guardian", "consents.guardian_agrees")]
    case = replace(case, submitter=replace(case.submitter, minor=Answer.NO))
    assert gaps(case, profile("us-agency-harm"), cases.assessment()) == ()


CONSENTS = {
    "consents.verified": {"verification"},
    "consents.publish": {"consent_to_publication"},
    "consents.contact_to_firm": {"contact_to_firm"},
    "consents.guardian_agrees": {"guardian"},
}


@pytest.mark.parametrize("link", CONSENTS)
def test_consents_are_independent_of_each_other(cases: ModuleType, link: str) -> None:
    read = profile("us-agency-harm")
    case = cases.full_case()
    without = replace(case, consents=replace(case.consents, **{link.partition(".")[2]: Answer.OPEN}))
    before = element_states(case, read, cases.assessment())
    after = element_states(without, read, cases.assessment())
    differing = {one.element.key for one, other in zip(before, after, strict=True) if one != other}
    assert differing == CONSENTS[link]


def test_a_refused_consent_is_an_answer_and_other_noes_are_values(cases: ModuleType) -> None:
    case = cases.full_case()
    case = replace(
        case, consents=replace(case.consents, publish=Answer.NO), submitter=replace(case.submitter, minor=Answer.NO)
    )
    assert field_state(case, "consents.publish").state is State.ABSENT_WITH_REASON
    assert (field_state(case, "submitter.minor").state, field_state(case, "submitter.minor").text) == (
        State.PRESENT,
        "no",
    )


def test_only_what_says_who_the_submitter_is_is_personal() -> None:
    personal = {
        link for key, e in ELEMENTS if profile(key).element(e).personal for link in profile(key).element(e).fields
    }
    others = {
        link for key, e in ELEMENTS if not profile(key).element(e).personal for link in profile(key).element(e).fields
    }
    assert {"submitter.first_name", "submitter.address", "submitter.guardian"} <= personal
    assert {link for link in others if link.startswith("submitter.")} == {
        "submitter.category",
        "submitter.minor",
        "submitter.country",
    }
    assert personal - others <= {
        f"submitter.{n}" for n in ("first_name", "last_name", "address", "email", "phone", "guardian")
    } | {"consents.guardian_agrees"}


@pytest.mark.parametrize(
    ("kept", "state"),
    [
        (Kept(), State.MISSING),
        (Kept(known=Knowing.SEEN), State.MISSING),
        (Kept(known=Knowing.TOLD, proper=Answer.NO, text="cord taped"), State.PRESENT),
        (Kept(known=Knowing.SEEN, proper=Answer.UNKNOWN), State.ABSENT_WITH_REASON),
        (Kept(known=Knowing.UNKNOWN), State.ABSENT_WITH_REASON),
    ],
)
def test_a_point_of_upkeep_counts_once_both_its_answers_are_there(cases: ModuleType, kept: Kept, state: State) -> None:
    case = cases.full_case()
    found = field_state(replace(case, upkeep=replace(case.upkeep, cord=kept)), "upkeep.cord")
    assert found.state is state
    assert bool(found.text or found.reason) is (state is not State.MISSING)


def test_the_level_of_risk_says_how_well_its_table_is_known(cases: ModuleType) -> None:
    assert "from memory" in field_state(cases.full_case(), "risk.level", cases.assessment()).text


def test_a_letter_that_came_in_is_not_one_that_was_sent(cases: ModuleType) -> None:
    case = replace(cases.full_case(), letters=(Letter(id="letter-001", kind=LetterKind.ANSWER),))
    assert field_state(case, "letters.sent").state is State.MISSING


def test_marks_told_in_words_stand_for_a_list_of_them(cases: ModuleType) -> None:
    case = cases.omitted(cases.full_case(), "conformity_marks")
    assert field_state(case, "conformity_marks").state is State.MISSING
    none = replace(case, unit=replace(case.unit, marks=unknown("no mark on plate, cord or box")))
    assert field_state(none, "conformity_marks").state is State.ABSENT_WITH_REASON
    assert "no mark on plate" in field_state(none, "conformity_marks").reason
    told = replace(case, unit=replace(case.unit, marks=value("CE")))
    assert field_state(told, "conformity_marks").text == "CE"

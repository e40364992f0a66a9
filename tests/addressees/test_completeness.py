"""For each element of each addressee: presence, absence with reason, and omission are told apart."""

from dataclasses import replace
from types import ModuleType
from typing import Any

import pytest

from hazardreport.addressees.completeness import State, element_states, field_state, gaps, open_named
from hazardreport.addressees.profiles import Level, Need, profile, profile_keys
from hazardreport.assess.records import Assessment, Basis, LeastCurrent, PartSource, StateCell, Verdict
from hazardreport.case.case import Case
from hazardreport.case.reading import PlugPosition, SwitchPosition
from hazardreport.case.stated import unknown
from hazardreport.case.unit_state import UnitState
from hazardreport.quantity.trace import Trace
from hazardreport.severity.terms import BodyPath, SignalWord

ELEMENTS = [(key, element.key) for key in profile_keys() for element in profile(key).elements]
SEVERITY = "severity.established"


def assessment(established: bool) -> Assessment:
    state = UnitState(plug=PlugPosition.REVERSED, switch=SwitchPosition.OFF)
    word = SignalWord.DANGER if established else SignalWord.NOT_EXCLUDED
    return Assessment(
        case_id="WP-1",
        trace=Trace(),
        readings=(),
        routes=(),
        fit=None,
        states=(StateCell(state=state, basis=Basis.MEASURED, established=established),),
        exposures=(),
        devices=(),
        as_built=(),
        limits=(),
        artefact=(),
        verdict=Verdict(word=word, sentence="The rim is live.", reason="only an unloaded reading"),
        next_test=None,
        problems=(),
    )


def changed(cases: ModuleType, links: tuple[str, ...], how: str) -> tuple[Case, Assessment | None]:
    case = cases.full_case()
    computed: Assessment | None = assessment(established=True)
    for link in links:
        if link == SEVERITY:
            computed = assessment(established=False) if how == "absent" else None
        else:
            case = getattr(cases, how)(case, link)
    return case, computed


def the_state(case: Case, key: str, element: str, computed: Assessment | None) -> Any:
    return next(s for s in element_states(case, profile(key), computed) if s.element.key == element)


@pytest.mark.parametrize(("key", "element"), ELEMENTS)
def test_a_present_element_is_present_and_shows_its_text(cases: ModuleType, key: str, element: str) -> None:
    state = the_state(cases.full_case(), key, element, assessment(established=True))
    assert state.state is State.PRESENT
    assert state.complete
    assert state.text
    assert state.reason == ""


@pytest.mark.parametrize(("key", "element"), ELEMENTS)
def test_an_absent_element_says_why(cases: ModuleType, key: str, element: str) -> None:
    asked = profile(key).element(element)
    case, computed = changed(cases, asked.fields, "absent")
    state = the_state(case, key, element, computed)
    assert state.state is State.ABSENT_WITH_REASON
    assert state.reason
    assert state.text == ""
    assert state.complete is (asked.level is not Level.REQUIRED or asked.reason_accepted)


@pytest.mark.parametrize(("key", "element"), ELEMENTS)
def test_an_omitted_element_is_missing_and_links_to_its_field(cases: ModuleType, key: str, element: str) -> None:
    asked = profile(key).element(element)
    case, computed = changed(cases, asked.fields, "omitted")
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
    case, computed = changed(cases, (link,), "omitted")
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


def test_a_full_case_has_no_gaps(cases: ModuleType) -> None:
    for key in profile_keys():
        assert gaps(cases.full_case(), profile(key), assessment(established=True)) == ()
        assert open_named(cases.full_case(), profile(key), assessment(established=True)) == ()


def test_an_empty_case_misses_every_required_element() -> None:
    for key in profile_keys():
        required = [element.key for element in profile(key).elements if element.level is Level.REQUIRED]
        assert [state.element.key for state in gaps(Case(id="WP-2"), profile(key), None)] == required


def test_a_reason_of_spaces_is_no_reason(cases: ModuleType) -> None:
    case = cases.full_case()
    case = replace(case, unit=replace(case.unit, maker=unknown("  ")))
    assert field_state(case, "unit.maker").state is State.MISSING


def test_a_link_to_nothing_is_refused() -> None:
    for link in ("unit.colour", "nothing.at_all", "severity.colour"):
        with pytest.raises(KeyError):
            field_state(Case(id="WP-3"), link)


@pytest.mark.parametrize("behind", ["lower bound", "second part", "second part not established", "another bound"])
def test_severity_is_given_where_a_lower_bound_or_a_second_part_establishes_the_verdict(
    cases: ModuleType, behind: str
) -> None:
    computed = assessment(established=False)
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

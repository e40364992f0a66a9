"""A wiring or an exposure that cannot be, as a damaged file may hold it, is said and not calculated with."""

from dataclasses import replace
from typing import Any

import pytest

from hazardreport import wording
from hazardreport.assess.assessment import live_part
from hazardreport.assess.records import Problem
from hazardreport.case.case import Case
from hazardreport.case.exposure import OwnExposure
from hazardreport.case.wiring import Element, Filter, Wiring
from hazardreport.resources_dir import DEMO_CASE
from hazardreport.storage.folder import open_case


@pytest.fixture(scope="module")
def case() -> Case:
    return open_case(DEMO_CASE, for_writing=False).case


def told(case: Case, key: str) -> list[Problem]:
    return [problem for problem in live_part(case).assessment.problems if problem.key == key]


@pytest.mark.parametrize(
    ("changes", "name", "value"),
    [
        ({"faulty_element": 0}, "faulty element", "0"),
        ({"faulty_element": 3}, "faulty element", "3"),
        ({"faulty_element": -1}, "faulty element", "-1"),
        ({"nominal_voltage": -230.0}, "nominal voltage", "-230"),
        ({"line_resistance": -1.0}, "line resistance", "-1"),
        ({"filter": Filter(x_capacitance=-1e-7)}, "filter: x capacitance", "-1e-07"),
        ({"element": Element(rated_voltage=230.0, rated_power=800.0, open_at=1.5)}, "element: open at", "1.5"),
        ({"more_elements": (Element(rated_power=-1.0),)}, "more elements: rated power", "-1"),
    ],
)
def test_a_wiring_that_cannot_be_is_said_and_nothing_is_calculated_from_it(
    case: Case, changes: dict[str, Any], name: str, value: str
) -> None:
    broken = replace(case, wiring=replace(case.wiring, **changes))

    live = live_part(broken)
    problems = [problem for problem in live.assessment.problems if problem.key == "value_not_possible"]

    assert (("name", name), ("value", value)) in [problem.fields for problem in problems]
    sentence = wording.sentence("problems.value_not_possible.what", name=name, value=value)
    assert name in sentence
    assert live.case is broken
    assert live.assessment.exposures == ()
    assert live.assessment.verdict == live_part(replace(case, wiring=Wiring())).assessment.verdict


def test_an_exposure_that_cannot_be_is_left_out_and_the_others_stay(case: Case) -> None:
    own = (OwnExposure(id="exposure-001", series_resistance=-1.0), OwnExposure(id="exposure-002", duration=-0.1))
    before = live_part(case).assessment

    after = live_part(replace(case, exposures=own)).assessment

    assert [problem.id for problem in after.problems if problem.key == "exposure_not_possible"] == [
        "exposure-001",
        "exposure-002",
    ]
    assert len(after.exposures) == len(before.exposures)
    assert after.verdict.word is before.verdict.word


def test_a_floor_that_cannot_be_is_taken_as_not_measured(case: Case) -> None:
    broken = replace(case, household=replace(case.household, floor_resistance=-1e308))

    assert [one.id for one in told(broken, "household_not_possible")] == ["floor_resistance"]
    bare = replace(case, household=replace(case.household, floor_resistance=None))
    assert live_part(broken).assessment.verdict == live_part(bare).assessment.verdict


def test_values_that_can_be_are_never_said(case: Case) -> None:
    own = (OwnExposure(id="exposure-001", series_resistance=0.0, duration=0.2),)
    wiring = replace(case.wiring, more_elements=(Element(open_at=0.0),), faulty_element=2)

    for one in (case, Case(id="C-1", wiring=Wiring()), replace(case, wiring=wiring, exposures=own)):
        assert told(one, "value_not_possible") == []
        assert told(one, "exposure_not_possible") == []
        assert told(one, "household_not_possible") == []

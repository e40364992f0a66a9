"""The command "check": complete, missing and why it matters, not applicable; and whom the four answers propose."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from hazardreport import wording
from hazardreport.addressees.completeness import element_states
from hazardreport.addressees.profiles import profile, profile_keys
from hazardreport.app.before_sending import faults
from hazardreport.app.cli_check import ENTERED_ELSEWHERE, overview
from hazardreport.app.cli_text import WIDTH
from hazardreport.assess.assessment import assess
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, Custody, Occasion, Submitter
from hazardreport.case.situation import Situation, Territory
from hazardreport.case.stated import value
from hazardreport.storage.folder import open_case, save_case

Answered = Callable[..., Any]


def change(folder: Path, **changes: Any) -> None:
    """Saves the case with some of its records replaced."""
    opened = open_case(folder)
    save_case(replace(opened.case, **changes), folder)
    opened.close()


def held(folder: Path) -> Case:
    return open_case(folder, for_writing=False).case


def together(text: str) -> str:
    return " ".join(text.split())


def test_what_is_missing_says_why_it_matters_and_where_it_is_entered(answered: Answered, demo: Path) -> None:
    answer = answered("check", demo, "--for", "us-agency-harm")
    text = together(answer.out)

    assert answer.code == 1
    for key, link in (("submitter_category", "submitter.category"), ("consent_to_publication", "consents.publish")):
        element = profile("us-agency-harm").element(key)
        assert f"Missing: {element.name}: {element.asked}" in text
        assert element.without in text
        assert f"in the field {link}" in text
    assert text.count("Missing:") == 2
    assert max(map(len, answer.out.splitlines())) <= WIDTH


@pytest.mark.parametrize(
    ("minor", "told"),
    [
        (Answer.NO, "that is not so here (field submitter.minor)"),
        (Answer.OPEN, "to be answered first. Asked only where"),
        (Answer.UNKNOWN, "the answer to that question is “not known”"),
        (Answer.YES, "Missing: Parent or guardian"),
    ],
)
def test_a_guardian_is_asked_for_only_where_somebody_is_under_18(
    answered: Answered, demo: Path, minor: Answer, told: str
) -> None:
    case = held(demo)
    change(demo, submitter=replace(case.submitter, minor=minor), consents=replace(case.consents, publish=Answer.YES))

    answer = answered("check", demo, "--for", "us-agency-harm")

    assert answer.code == 1
    assert told in together(answer.out)
    assert ("not applicable Parent or guardian" in together(answer.out)) is (minor is Answer.NO)
    assert ("Enter it in the field submitter.minor" in together(answer.out)) is (minor in (Answer.OPEN, Answer.UNKNOWN))


def test_every_way_to_enter_something_has_its_sentence() -> None:
    kinds = {
        link.partition(".")[0] for key in profile_keys() for element in profile(key).elements for link in element.fields
    }
    for kind in (*ENTERED_ELSEWHERE, "field"):
        assert wording.sentence(f"cli.check.enter_{kind}", field="x")
    records = {"unit", "household", "occurrence", "submitter", "consents", "custody", "upkeep", "harm_factors"}
    assert kinds <= {*ENTERED_ELSEWHERE, *records}


def test_without_an_addressee_check_proposes_those_of_the_four_answers(answered: Answered, demo: Path) -> None:
    european = Situation(residence=Territory.EU, bought_in=Territory.EU, online=Answer.NO, injured=Answer.NO)
    change(demo, situation=european)

    answer = answered("check", demo)
    proposed, _, others = answer.out.partition("Not proposed by these answers:")

    for key in ("owner-notice", "eu-consumer-report", "eu-authority-record", "eu-maker-notice", "seller"):
        assert f"  {key}  " in proposed
    assert "us-agency-harm      2 missing" in others
    assert "Not answered yet" not in answer.out


def test_every_profile_has_one_line_with_what_it_misses(answered: Answered, demo: Path) -> None:
    answer = answered("check", demo)

    for key in profile_keys():
        lines = [line for line in answer.out.splitlines() if line.startswith(f"  {key} ")]
        assert len(lines) == 1
        assert "complete" in lines[0] or "missing" in lines[0]


def test_open_questions_are_named_and_leave_the_answer_incomplete(answered: Answered, demo: Path) -> None:
    change(demo, situation=Situation())

    answer = answered("check", demo)

    assert answer.code == 1
    assert "Not answered yet" in answer.out
    for name in ("residence", "bought_in", "online", "injured"):
        assert f"situation.{name}" in answer.out


@pytest.mark.parametrize(("territory", "whole"), [(Territory.ELSEWHERE, True), (Territory.UNITED_STATES, False)])
def test_the_answer_is_whole_when_nothing_is_missing_for_those_who_are_proposed(
    demo: Path, territory: Territory, whole: bool
) -> None:
    answers = Situation(residence=territory, bought_in=territory, online=Answer.NO, injured=Answer.NO)
    case = replace(held(demo), situation=answers)

    text, found = overview(case, assess(case))

    assert found is whole
    assert ("no profile is held" in together(text)) is whole


def test_check_writes_nothing(answered: Answered, demo: Path, fingerprint: Callable[[Path], object]) -> None:
    before = fingerprint(demo)
    answered("check", demo)
    assert fingerprint(demo) == before


HEAD = "To look at before it is sent:"


def test_faults_of_what_is_asked_are_told_and_the_verdict_stays(answered: Answered, demo: Path) -> None:
    before = answered("check", demo, "--for", "us-agency-harm")
    assert HEAD not in before.out
    case = held(demo)
    change(
        demo,
        unit=replace(case.unit, barcode=value("4006381333932")),
        submitter=replace(case.submitter, email=value("berta at example")),
        consents=replace(case.consents, verified=Answer.YES, verified_on="2026-02-30"),
        occurrence=replace(case.occurrence, occasion=Occasion.DISCOVERY),
        situation=replace(case.situation, injured=Answer.YES),
    )
    answer = answered("check", demo, "--for", "us-agency-harm")
    told = together(answer.out).partition(HEAD)[2]

    assert answer.code == before.code
    assert "“2026-02-30” is a day that no calendar has" in told
    assert "has no @" in told
    assert "somebody is said to have been hurt" in told
    assert "(field occurrence.occasion)" in told
    assert max(map(len, answer.out.splitlines())) <= WIDTH


def test_faults_of_what_an_addressee_does_not_ask_are_not_told_to_it(answered: Answered, demo: Path) -> None:
    case = held(demo)
    change(demo, submitter=replace(case.submitter, email=value("berta at example")))
    links = {link for element in profile("owner-notice").elements for link in element.fields}

    assert "submitter.email" not in links
    assert "has no @" not in answered("check", demo, "--for", "owner-notice").out


@pytest.mark.parametrize("key", profile_keys())
def test_only_asked_fields_are_to_be_looked_at(key: str) -> None:
    odd = Case(
        id="C-1",
        created="2026-05-12T07:00:00Z",
        custody=Custody(units_examined=value("1"), units_faulty=value("3")),
        submitter=Submitter(email=value("berta at example")),
    )
    asked = profile(key)
    links = {link for element in asked.elements for link in (*element.fields, *element.also)}
    found = {fault.link for fault in faults(odd, asked, element_states(odd, asked, None))}

    assert ("submitter.email" in found) <= ("submitter.email" in links)
    assert ("custody.units_faulty" in found) <= bool(links & {"custody.units_faulty", "custody.units_examined"})

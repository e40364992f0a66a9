"""Profiles are whole: every key has its sentences, every clause its law, and the law that comes first stands first."""

import pytest

from hazardreport.addressees.profiles import ClauseStatus, Level, profile, profile_keys
from hazardreport.errors import UnknownProfileError
from hazardreport.quantity.trace import Status
from hazardreport.standards.references import reference

PARTS = {
    "first_page",
    "identity",
    "findings",
    "measurements",
    "severity",
    "law",
    "evidence",
    "calculations",
    "limits",
    "declaration",
}


def test_both_addressees_of_this_release_are_there() -> None:
    assert {"us-agency-harm", "eu-maker-notice"} <= set(profile_keys())


def test_an_unknown_addressee_is_refused_and_the_known_ones_named() -> None:
    with pytest.raises(UnknownProfileError) as caught:
        profile("moon-agency")
    assert caught.value.profile == "moon-agency"
    assert "us-agency-harm" in caught.value.known


@pytest.mark.parametrize("key", profile_keys())
def test_every_profile_is_whole(key: str) -> None:
    read = profile(key)
    assert set(read.parts) == PARTS
    assert read.parts[0] == "first_page"
    assert read.parts[-1] == "declaration"
    assert len({element.key for element in read.elements}) == len(read.elements)
    for element in read.elements:
        assert element.fields
        assert element.clauses
        assert element.part in PARTS


@pytest.mark.parametrize("key", profile_keys())
def test_every_clause_names_a_law_that_the_references_hold(key: str) -> None:
    read = profile(key)
    rows = (*read.elements, *read.consents, *read.requests, *read.follow_up)
    for clause in (clause for row in rows for clause in row.clauses):
        assert reference(clause.reference).title
        assert clause.place
        assert clause.source.status is (
            Status.FROM_MEMORY if clause.status is ClauseStatus.FROM_MEMORY else Status.CONFIRMED
        )


@pytest.mark.published("16-cfr-1102", "1102.10(d)(1)–(8)")
def test_the_agency_requires_the_eight_elements_of_the_rule() -> None:
    required = [e for e in profile("us-agency-harm").elements if e.level is Level.REQUIRED]
    assert [e.clauses[0].place for e in required] == [f"1102.10(d)({n})" for n in range(1, 9)]


def test_the_agency_takes_only_its_own_form() -> None:
    assert profile("us-agency-harm").form_only
    assert "text to enter" in profile("us-agency-harm").accepts
    assert not profile("eu-maker-notice").form_only


def test_a_notice_to_the_maker_of_a_mains_appliance_cites_the_low_voltage_directive_first() -> None:
    read = profile("eu-maker-notice")
    first = [request.clauses[0].reference for request in read.requests if request.clauses]
    general = first.index("eu-2023-988")
    assert set(first[:general]) == {"eu-2014-35"}
    assert "eu-2014-35" not in first[general:]


def test_a_notice_to_the_maker_never_cites_article_9_of_the_general_regulation() -> None:
    read = profile("eu-maker-notice")
    rows = (*read.elements, *read.consents, *read.requests, *read.follow_up)
    places = [c.place for row in rows for c in row.clauses if c.reference == "eu-2023-988"]
    assert places
    assert not [place for place in places if place.startswith("art. 9")]

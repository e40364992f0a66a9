"""Whom the four answers propose: each with a reason, the owner always, nobody by an answer that is not there."""

from itertools import product

import pytest

from hazardreport import wording
from hazardreport.addressees.asked import Kind
from hazardreport.addressees.profiles import profile, profile_keys
from hazardreport.addressees.proposal import open_questions, proposals, remarks
from hazardreport.case.circumstances import Answer
from hazardreport.case.situation import Situation, Territory

EU, GB, NI, US = Territory.EU, Territory.GREAT_BRITAIN, Territory.NORTHERN_IRELAND, Territory.UNITED_STATES
CA, AU = Territory.CANADA, Territory.AUSTRALIA
ELSEWHERE, UNKNOWN = Territory.ELSEWHERE, Territory.UNKNOWN
YES, NO = Answer.YES, Answer.NO


def situation(residence: Territory, bought_in: Territory, online: Answer = NO, injured: Answer = NO) -> Situation:
    return Situation(residence=residence, bought_in=bought_in, online=online, injured=injured)


def keys(told: Situation) -> list[str]:
    return [proposal.profile for proposal in proposals(told)]


EU_SHOP = ["owner-notice", "eu-consumer-report", "eu-authority-record", "eu-maker-notice", "seller"]


@pytest.mark.parametrize(
    ("told", "proposed"),
    [
        (situation(EU, EU), EU_SHOP),
        (situation(EU, EU, online=YES), [*EU_SHOP[:4], "eu-marketplace", "seller"]),
        (situation(EU, EU, online=Answer.UNKNOWN), EU_SHOP),
        (situation(US, US), ["owner-notice", "us-agency-harm", "us-maker"]),
        (situation(US, US, online=YES), ["owner-notice", "us-agency-harm", "us-maker"]),
        (situation(GB, GB), ["owner-notice", "gb-consumer-advice"]),
        (situation(CA, CA), ["owner-notice", "ca-consumer"]),
        (situation(AU, AU), ["owner-notice", "au-consumer"]),
        (situation(NI, NI), ["owner-notice", "eu-authority-record", "eu-maker-notice", "seller"]),
        (
            situation(NI, NI, online=YES),
            ["owner-notice", "eu-authority-record", "eu-maker-notice", "eu-marketplace", "seller"],
        ),
        (
            situation(GB, EU),
            [
                "owner-notice",
                "eu-consumer-report",
                "eu-authority-record",
                "gb-consumer-advice",
                "eu-maker-notice",
                "seller",
            ],
        ),
        (
            situation(EU, US),
            ["owner-notice", "us-agency-harm", "eu-consumer-report", "eu-authority-record", "us-maker"],
        ),
        (
            situation(EU, UNKNOWN),
            ["owner-notice", "eu-consumer-report", "eu-authority-record", "eu-maker-notice"],
        ),
        (situation(US, UNKNOWN), ["owner-notice", "us-agency-harm", "us-maker"]),
        (situation(ELSEWHERE, ELSEWHERE, online=YES, injured=YES), ["owner-notice"]),
        (situation(UNKNOWN, UNKNOWN), ["owner-notice"]),
        (Situation(), ["owner-notice"]),
    ],
)
def test_answers_propose_addressees_in_the_order_of_telling(told: Situation, proposed: list[str]) -> None:
    assert keys(told) == proposed


EVERY = [
    Situation(residence=residence, bought_in=bought_in, online=online, injured=injured)
    for residence, bought_in, online, injured in product(Territory, Territory, Answer, Answer)
]


def test_every_combination_of_answers_tells_the_owner_and_gives_reasons_in_order() -> None:
    order = [Kind.OWNER, Kind.AUTHORITY, Kind.MAKER, Kind.MARKETPLACE, Kind.SELLER]
    for told in EVERY:
        found = proposals(told)
        assert found[0].profile == "owner-notice"
        assert len({proposal.profile for proposal in found}) == len(found)
        for proposal in found:
            assert proposal.reason.strip()
            assert proposal.clauses or proposal.kind is Kind.OWNER
            assert proposal.title == profile(proposal.profile).title
        places = [order.index(proposal.kind) for proposal in found]
        assert places == sorted(places)


def test_an_answer_on_the_internet_never_takes_an_addressee_away() -> None:
    for told in EVERY:
        if told.online is not Answer.OPEN:
            continue
        for more in (YES, NO):
            later = Situation(residence=told.residence, bought_in=told.bought_in, online=more, injured=told.injured)
            assert set(keys(told)) <= set(keys(later))


def test_whether_somebody_was_hurt_changes_duties_and_no_addressee() -> None:
    for residence, bought_in, online in product(Territory, Territory, Answer):
        lists = {tuple(keys(situation(residence, bought_in, online, injured))) for injured in Answer}
        assert len(lists) == 1


def duties(told: Situation, key: str) -> list[tuple[str, list[str]]]:
    found = next(proposal for proposal in proposals(told) if proposal.profile == key)
    return [(duty.text, [clause.place for clause in duty.clauses]) for duty in found.duties]


def test_an_injury_begins_the_duty_to_notify_an_accident_in_the_union() -> None:
    hurt, unhurt = (
        duties(situation(EU, EU, injured=YES), "eu-maker-notice"),
        duties(situation(EU, EU), "eu-maker-notice"),
    )
    assert [places for _, places in hurt] == [["art. 20"]]
    assert "without undue delay" in hurt[0][0]
    assert "does not begin" in unhurt[0][0]


def test_in_australia_only_an_injury_begins_the_suppliers_duty_and_a_persons_view_is_enough() -> None:
    hurt, unhurt = duties(situation(AU, AU, injured=YES), "au-consumer"), duties(situation(AU, AU), "au-consumer")
    assert "2 days" in hurt[0][0]
    assert "another person considers" in hurt[0][0]
    assert "does not begin with a hazard alone" in unhurt[0][0]
    assert duties(situation(AU, AU, injured=Answer.OPEN), "au-consumer") == []


def test_in_canada_a_defect_is_an_incident_without_an_injury() -> None:
    assert "all the same" in duties(situation(CA, CA), "ca-consumer")[0][0]
    assert "2 days" in duties(situation(CA, CA, injured=YES), "ca-consumer")[0][0]


def test_an_open_question_is_named_with_the_addressees_that_wait_for_it() -> None:
    (question,) = open_questions(situation(EU, EU, online=Answer.OPEN))
    assert (question.field, question.profiles) == ("situation.online", ("eu-marketplace",))
    assert question.question.endswith("?")
    assert open_questions(situation(EU, EU)) == ()
    assert open_questions(situation(UNKNOWN, UNKNOWN, Answer.UNKNOWN, Answer.UNKNOWN)) == ()


def test_nobody_waits_for_an_answer_that_cannot_change_anything() -> None:
    (question,) = open_questions(situation(US, US, online=Answer.OPEN))
    assert question.profiles == ()


def test_an_empty_situation_names_all_four_questions_in_their_order() -> None:
    asked = open_questions(Situation())
    assert [question.field.partition(".")[2] for question in asked] == ["residence", "bought_in", "online", "injured"]
    assert set(asked[0].profiles) | set(asked[1].profiles) | {"owner-notice"} == set(profile_keys())


def test_remarks_say_the_order_and_what_no_profile_covers() -> None:
    def told(key: str, one: Situation) -> bool:
        return wording.sentence(f"proposal.remarks.{key}") in remarks(one)

    assert all(told("order", one) for one in EVERY)
    assert told("elsewhere", situation(ELSEWHERE, EU))
    assert not told("elsewhere", situation(EU, EU))
    assert told("european_area", situation(EU, NI))
    assert told("northern_ireland", situation(NI, NI))
    assert told("great_britain", situation(GB, GB))
    assert told("nobody_else", situation(UNKNOWN, UNKNOWN))
    assert not told("nobody_else", Situation())


@pytest.mark.parametrize("bought_in", Territory)
def test_an_online_purchase_proposes_somebody_or_says_why_not(bought_in: Territory) -> None:
    sentence = wording.sentence("proposal.remarks.online_elsewhere")
    for residence, online in product(Territory, Answer):
        told = situation(residence, bought_in, online)
        wanted = online is YES and bought_in in (US, CA, AU)
        assert (sentence in remarks(told)) is wanted
        if wanted:
            assert not {"eu-marketplace", "seller"} & {*keys(told)}


def test_every_profile_can_be_proposed() -> None:
    assert {key for told in EVERY for key in keys(told)} == set(profile_keys())

"""Profiles are whole: every key has its sentences, every clause its law, and the law that comes first stands first."""

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

from hazardreport import wording
from hazardreport.addressees import profiles
from hazardreport.addressees.asked import ClauseStatus, Counting, Form, Kind, Level, Need, Profile
from hazardreport.addressees.profile_file import PARTS, SHARED, read_profile
from hazardreport.addressees.profiles import profile, profile_keys
from hazardreport.case.letter import LetterKind
from hazardreport.errors import ProfileRefusedError, UnknownProfileError
from hazardreport.quantity.trace import Status
from hazardreport.standards.references import reference

KEYS = {
    *("us-agency-harm", "us-maker", "eu-consumer-report", "eu-maker-notice", "eu-marketplace", "seller"),
    *("eu-authority-record", "gb-consumer-advice", "ca-consumer", "au-consumer", "owner-notice"),
}


def test_every_addressee_of_this_release_is_there() -> None:
    assert set(profile_keys()) == KEYS


def test_an_unknown_addressee_is_refused_and_the_known_ones_named() -> None:
    with pytest.raises(UnknownProfileError) as caught:
        profile("moon-agency")
    assert caught.value.profile == "moon-agency"
    assert "us-agency-harm" in caught.value.known


@pytest.mark.parametrize("key", profile_keys())
def test_every_profile_is_whole(key: str) -> None:
    read = profile(key)
    assert len(set(read.parts)) == len(read.parts)
    assert set(read.parts) <= set(PARTS)
    assert len({element.key for element in read.elements}) == len(read.elements)
    for element in read.elements:
        assert element.clauses
        assert element.part in read.parts
        for text in (element.name, element.asked, element.without):
            assert text.strip()
        assert bool(element.only_if) is bool(element.only_if_text)


@pytest.mark.parametrize("key", sorted(KEYS - {"owner-notice"}))
def test_a_report_holds_every_part_but_the_notice_and_text_to_enter_where_a_form_may_be_asked_for(key: str) -> None:
    read = profile(key)
    assert (read.parts[0], read.parts[-1]) == ("first_page", "declaration")
    assert ("form_text" in read.parts) is read.text_to_enter
    assert {*PARTS} - {"notice", "form_text"} == {*read.parts} - {"form_text"}


def test_the_owner_gets_one_part_and_is_asked_nothing_that_needs_knowledge_of_electricity() -> None:
    read = profile("owner-notice")
    asked = [e for e in read.elements if e.level is not Level.NOT_ASKED]
    assert (read.parts, read.kind) == (("notice",), Kind.OWNER)
    records = {link.partition(".")[0] for e in asked for link in (*e.fields, *e.also)}
    assert records == {"unit", "occurrence", "pictures"}
    assert not {"unit.rated_voltage", "unit.protection_class"} & {link for e in asked for link in e.fields}


@pytest.mark.parametrize("key", profile_keys())
def test_every_clause_names_a_law_that_the_references_hold_and_a_report_can_print(key: str) -> None:
    for clause in profile(key).clauses:
        assert reference(clause.reference).title
        assert clause.place in wording.sentence(f"profiles.law_names.{clause.reference}", place=clause.place)
        expected = {ClauseStatus.FROM_MEMORY: Status.FROM_MEMORY, ClauseStatus.INFERRED: Status.CHOICE}
        assert clause.source.status is expected.get(clause.status, Status.CONFIRMED)
        assert (clause.reference == "own-choices") is (clause.status is ClauseStatus.INFERRED)


NAMED_BY_NO_TEXT = {
    "ca-consumer": "sender_name sender_contact serial photographs purchase country_of_origin measurements risk_level",
    "au-consumer": "sender_name sender_contact maker country_of_origin photographs injured_person severity",
    "us-maker": "sender_name sender_contact",
    "eu-consumer-report": "treatment",
    "eu-marketplace": "purchase sender_contact brand",
    "seller": "brand",
    "eu-maker-notice": "brand",
}


@pytest.mark.parametrize("key", profile_keys())
def test_what_no_text_names_is_told_as_own_inference(key: str) -> None:
    inferred = {
        element.key
        for element in profile(key).elements
        if any(clause.status is ClauseStatus.INFERRED for clause in element.clauses)
    }
    assert inferred == set(NAMED_BY_NO_TEXT.get(key, "").split())


PROMISED = {
    r"address(?! of the offer)": ("address", "email"),
    r"address of the offer": ("unit.listing",),
    r"treat(ed|ment)": ("occurrence.treatment",),
    r"country": ("country", "address"),
    r"place(?! of)": ("purchase_place",),
    r"price": ("unit.price",),
    r"when|day(?! on which)|date(?! code)": ("purchased", "occurrence.date", "still_on_sale", "kept_until"),
    r"day on which it was seen": ("unit.listing_seen",),
    r"key to": ("unit.date_code_meaning",),
    r"brand": ("unit.brand",),
    r"who agrees": ("consents.guardian_agrees",),
    r"need care": ("household.care_needs",),
}
"""What an element asks for in words, and the links of which it must then read one."""


@pytest.mark.parametrize("key", profile_keys())
def test_an_element_reads_what_it_asks_for(key: str) -> None:
    for element in profile(key).elements:
        if element.level is Level.NOT_ASKED:
            continue
        for words, links in PROMISED.items():
            if re.search(rf"\b({words})", element.asked):
                assert any(link.endswith(links) for link in element.fields), (element.key, element.asked)


@pytest.mark.parametrize("key", profile_keys())
def test_a_name_and_an_address_are_both_needed_where_both_are_asked(key: str) -> None:
    for element in profile(key).elements:
        if re.search(r"names?( and|,)", element.asked) and "address" in element.asked:
            assert element.need is Need.ALL, element.key


def test_the_sum_of_two_periods_of_the_rule_is_told_as_our_own() -> None:
    follow = next(one for one in profile("us-maker").follow_up if one.key == "investigation")
    assert [clause.status for clause in follow.clauses] == [ClauseStatus.READ, ClauseStatus.INFERRED]
    assert "our own sum" in follow.text
    assert "owes the sender no answer" in follow.text


@pytest.mark.parametrize("key", ["eu-maker-notice", "seller"])
def test_what_we_ask_for_is_counted_from_the_day_on_which_it_was_sent(key: str) -> None:
    follow = next(one for one in profile(key).follow_up if one.key == "answer")
    assert follow.starts is LetterKind.REPORT
    assert "14 days of the day on which" in follow.text
    assert "receipt" not in follow.text


def test_every_law_name_is_used() -> None:
    used = {clause.reference for key in profile_keys() for clause in profile(key).clauses}
    named = {key.rpartition(".")[2] for key in wording.keys("profiles") if key.startswith("profiles.law_names.")}
    assert named - used == set()


def sentences_used(read: Profile) -> set[str]:
    """Keys of the wording file of a profile that the profile reads, without the file's own name."""
    names = {"title", "who", "accepts", *(("size",) if read.text_to_enter else ())}
    for element in read.elements:
        parts = ("name", "asked", "without", *(("only_if",) if element.only_if else ()))
        names |= {f"elements.{element.key}.{part}" for part in (*parts, *(("text",) if element.template else ()))}
    for table in ("consents", "requests", "follow_up", "proposals"):
        names |= {f"{table}.{row.key}" for row in getattr(read, table)}
    return names


@pytest.mark.parametrize("key", profile_keys())
def test_no_sentence_of_a_profile_is_left_unread(key: str) -> None:
    stem = f"addressee_{key.replace('-', '_')}"
    assert {name.removeprefix(f"{stem}.") for name in wording.keys(stem)} - sentences_used(profile(key)) == set()


def test_no_shared_sentence_is_left_unread() -> None:
    used: set[str] = set()
    for key in profile_keys():
        own = {name.partition(".")[2] for name in wording.keys(f"addressee_{key.replace('-', '_')}")}
        used |= sentences_used(profile(key)) - own
    assert {name.removeprefix(f"{SHARED}.") for name in wording.keys(SHARED)} - used == set()


def test_own_forms_and_unknown_channels_say_what_the_rule_says_of_size() -> None:
    assert [key for key in profile_keys() if profile(key).form is Form.OWN_ONLY] == ["us-agency-harm"]
    assert "text to enter" in profile("us-agency-harm").accepts
    for key in profile_keys():
        read = profile(key)
        assert bool(read.size) is read.text_to_enter
        if read.form is Form.NOT_KNOWN:
            assert "not" in read.accepts
            assert "limit" in read.size
    assert all(element.limit is None for key in profile_keys() for element in profile(key).elements)


def test_a_notice_to_the_maker_of_a_mains_appliance_cites_the_low_voltage_directive_first() -> None:
    first = [request.clauses[0].reference for request in profile("eu-maker-notice").requests if request.clauses]
    general = first.index("eu-2023-988")
    assert set(first[:general]) == {"eu-2014-35"}
    assert "eu-2014-35" not in first[general:]


@pytest.mark.parametrize("key", profile_keys())
def test_the_articles_that_do_not_apply_to_mains_appliances_never_stand_alone(key: str) -> None:
    """Articles 9 to 18 of the general regulation do not apply where the Low Voltage Directive does (its art. 2(1))."""
    read = profile(key)
    rows: tuple[Any, ...] = (*read.elements, *read.consents, *read.requests, *read.follow_up, *read.proposals)
    for row in rows:
        places = [clause.place for clause in row.clauses if clause.reference == "eu-2023-988"]
        assert not [place for place in places if place.startswith("art. 9")]
        leading = row.clauses[0] if row.clauses else None
        if leading is not None and leading.reference == "eu-2023-988":
            article = leading.place.removeprefix("art. ").partition("(")[0]
            assert not article.isdecimal() or not 9 <= int(article) <= 18


def test_paragraphs_of_the_regulation_on_market_surveillance_are_from_memory() -> None:
    cited = [c for key in profile_keys() for c in profile(key).clauses if c.reference == "eu-2019-1020"]
    assert {clause.place for clause in cited} >= {"art. 4", "art. 16", "art. 16(1)", "art. 11 and 14"}
    assert {clause.status for clause in cited} == {ClauseStatus.FROM_MEMORY}


def test_days_of_the_rules_are_those_of_the_facts() -> None:
    days = {
        (key, f.key): (f.days, f.counting.value, f.holidays)
        for key in profile_keys()
        for f in profile(key).follow_up
        if f.days
    }
    assert days == {
        ("us-agency-harm", "transmission"): (5, "business", "US"),
        ("us-agency-harm", "publication"): (10, "business", "US"),
        ("us-agency-harm", "publication_without_numbers"): (15, "business", "US"),
        ("us-maker", "officer"): (5, "business", "US"),
        ("us-maker", "investigation"): (15, "business", "US"),
        ("eu-maker-notice", "answer"): (14, "calendar", ""),
        ("eu-marketplace", "notice"): (3, "business", "EU"),
        ("seller", "answer"): (14, "calendar", ""),
    }


# --- planted profiles -------------------------------------------------------------------------------------------------


def planted() -> dict[str, Any]:
    """The file of a whole profile, to be broken."""
    path = next(profiles.PROFILES.glob("*/us-agency-harm.toml"))
    return tomllib.loads(path.read_text(encoding="utf-8"))


def refusal(data: dict[str, Any], key: str = "us-agency-harm") -> ProfileRefusedError:
    with pytest.raises(ProfileRefusedError) as caught:
        read_profile(key, "us-agency", data)
    assert caught.value.profile == key
    assert wording.what(caught.value)
    return caught.value


def test_the_planted_profile_is_whole_before_it_is_broken() -> None:
    assert read_profile("us-agency-harm", "us-agency", planted()) == profile("us-agency-harm")


ELEMENT = "elements product_description"


@pytest.mark.parametrize(
    ("entry", "value", "reason"),
    [
        ("clauses", [], "no clause says where it is asked"),
        ("clauses", [["16-cfr-1102", "1102.10(d)(1)"]], "a clause is [reference, place, status]"),
        ("clauses", [["16-cfr-1102", "", "C"]], "a clause is [reference, place, status]"),
        ("clauses", [["16-cfr-1102", "1102.10(d)(1)", "sure"]], "“sure” is none of"),
        ("clauses", [["17-cfr-9999", "1", "C"]], "“17-cfr-9999” is not in the list of references"),
        ("level", "wanted", "“wanted” is none of"),
        ("fields", [], "it reads no field"),
        ("fields", ["unit.colour"], "“unit.colour” leads to no field"),
        ("part", "cover", "“cover” is none of"),
        ("need", "some", "“some” is none of"),
        ("reason_accepted", "yes", "cannot be 'yes'"),
        ("only_if", ["submitter.minor"], "is no condition"),
        ("only_if", ["submitter.minor = perhaps"], "“perhaps” is no answer"),
        ("only_if", ["submitter.age = yes"], "leads to no field"),
        ("only_if", ["submitter.minor = yes"], "its sentence is missing"),
        ("template", True, "its sentence is missing"),
        ("limit", "many", "cannot be 'many'"),
        ("colour", "red", "nobody reads “colour”"),
    ],
)
def test_an_element_that_does_not_say_enough_is_refused(entry: str, value: object, reason: str) -> None:
    data = planted()
    data["elements"][0][entry] = value
    error = refusal(data)
    assert reason in error.reason
    assert error.place.startswith(("elements", ELEMENT))


@pytest.mark.parametrize("entry", ["key", "level", "fields", "reason_accepted", "part", "clauses"])
def test_an_element_without_an_entry_is_refused(entry: str) -> None:
    data = planted()
    del data["elements"][0][entry]
    assert f"“{entry}” is missing" in refusal(data).reason


@pytest.mark.parametrize(
    "entry", ["language", "paper", "kind", "form", "rank", "contact_consent", "parts", "proposals"]
)
def test_a_profile_without_an_entry_is_refused(entry: str) -> None:
    data = planted()
    del data[entry]
    assert f"“{entry}” is missing" in refusal(data).reason


def test_an_element_without_wording_is_refused_with_the_file_that_lacks_it() -> None:
    data = planted()
    data["elements"][0]["key"] = "nameless"
    error = refusal(data)
    assert error.place == "elements.nameless.name"
    assert "addressee_us_agency_harm.toml" in error.reason


def test_a_profile_without_a_wording_file_is_refused() -> None:
    error = refusal(planted(), key="moon-agency")
    assert "addressee_moon_agency.toml" in error.reason


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        ({"days": 5}, "belong together"),
        ({"counting": "business"}, "belong together"),
        ({"days": 0, "counting": "calendar"}, "belong together"),
        ({"days": 5, "counting": "business"}, "business days need a calendar"),
        ({"days": 5, "counting": "business", "holidays": "MOON"}, "business days need a calendar"),
        ({"days": 5, "counting": "lunar", "holidays": "US"}, "“lunar” is none of"),
        ({"starts": "postcard"}, "“postcard” is none of"),
        ({"waits_for": "postcard"}, "“postcard” is none of"),
        ({"ended_by": ["postcard"]}, "“postcard” is none of"),
        ({"owed": True}, "is owed"),
        ({"owed": True, "days": 5, "counting": "calendar", "waits_for": "answer"}, "is owed"),
        ({"owed": "yes"}, "“owed” cannot be"),
        ({"extended_days": 5}, "of further days of at least 1"),
        ({"extended_by": "answer"}, "of further days of at least 1"),
        ({"extended_by": "answer", "extended_days": 5}, "of further days of at least 1"),
        ({"extended_by": "answer", "extended_days": 0, "days": 5, "counting": "calendar"}, "of further days"),
        ({"extended_by": "postcard", "extended_days": 1, "days": 5, "counting": "calendar"}, "“postcard” is none of"),
    ],
)
def test_a_date_that_cannot_be_counted_is_refused(change: dict[str, object], reason: str) -> None:
    data = planted()
    data["follow_up"][0] = {"key": "transmission", "clauses": [], **change}
    assert reason in refusal(data).reason


def test_a_key_that_stands_twice_is_refused() -> None:
    data = planted()
    data["requests"].append(data["requests"][0])
    assert "stands there twice" in refusal(data).reason


def test_gaps_of_a_text_to_enter_must_be_read() -> None:
    data = planted()
    harm = next(element for element in data["elements"] if element["key"] == "harm")
    del harm["also"]
    assert "has gaps that it does not read" in refusal(data).reason


def test_a_file_that_is_no_toml_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "moon").mkdir()
    (tmp_path / "moon" / "moon-agency.toml").write_text("level = = 1", encoding="utf-8")
    monkeypatch.setattr(profiles, "PROFILES", tmp_path)
    with pytest.raises(ProfileRefusedError):
        profile.__wrapped__("moon-agency")


def test_counting_names_are_those_of_the_records() -> None:
    assert [counting.value for counting in Counting] == ["business", "calendar", "none"]

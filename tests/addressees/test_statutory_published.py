"""Elements that statutes list, against literal lists of them; and the matrix of elements and regimes."""

import pytest

from hazardreport.addressees.asked import ClauseStatus, Element, Level
from hazardreport.addressees.profiles import profile, profile_keys

Listed = dict[str, set[str]]


def required_at(key: str, reference: str, place: str) -> list[Element]:
    """Required elements of a profile whose first clause is that place, conditions left out."""
    return [
        element
        for element in profile(key).elements
        if element.level is Level.REQUIRED
        and not element.only_if
        and (element.clauses[0].reference, element.clauses[0].place) == (reference, place)
    ]


def links_at(key: str, reference: str, place: str) -> set[str]:
    return {link for element in required_at(key, reference, place) for link in element.fields}


def read_in_public_text(key: str, reference: str) -> bool:
    cited = [clause for clause in profile(key).clauses if clause.reference == reference]
    return bool(cited) and all(clause.status is ClauseStatus.READ for clause in cited)


# 16 CFR 1102.10(d): minimum content of a report of harm that is published.
HARM = {
    "1102.10(d)(1)": {"unit.product_name"},
    "1102.10(d)(2)": {"unit.maker", "unit.importer"},
    "1102.10(d)(3)": {"occurrence.narrative"},
    "1102.10(d)(4)": {"occurrence.date"},
    "1102.10(d)(5)": {"submitter.category"},
    "1102.10(d)(6)": {"submitter.first_name", "submitter.last_name", "submitter.address"},
    "1102.10(d)(7)": {"consents.verified"},
    "1102.10(d)(8)": {"consents.publish"},
}


@pytest.mark.published("16-cfr-1102", "1102.10(d)(1)–(8)")
def test_the_agency_requires_the_eight_elements_of_the_rule_and_no_other() -> None:
    always = [e for e in profile("us-agency-harm").elements if e.level is Level.REQUIRED and not e.only_if]
    assert {element.clauses[0].place: set(element.fields) for element in always} == HARM
    assert read_in_public_text("us-agency-harm", "16-cfr-1102")


@pytest.mark.published("16-cfr-1102", "1102.10(d)(2), (d)(8), (g), (h)")
def test_one_firm_is_enough_and_only_the_consent_may_be_refused() -> None:
    read = profile("us-agency-harm")
    assert read.element("manufacturer").need.value == "any"
    accepted = {e.key for e in read.elements if e.level is Level.REQUIRED and e.reason_accepted}
    assert accepted == {"consent_to_publication"}
    assert read.element("guardian").clauses[0].place == "1102.10(g)"


@pytest.mark.published("15-usc-2055a", "(c)(5)")
def test_model_and_serial_number_and_nothing_else_move_publication() -> None:
    read = profile("us-agency-harm")
    moved = {e.key for e in read.elements if "15th business day" in e.without}
    assert moved == {"brand_and_model", "serial"}
    assert "A missing brand delays nothing" in read.element("brand_and_model").without
    later = next(one for one in read.follow_up if one.key == "publication_without_numbers")
    asked = {term.link for condition in later.only_if for term in condition.terms}
    assert asked == {"consents.publish", "unit.model", "unit.serial"}
    assert "not later than the 15th business day" in later.text


@pytest.mark.published("16-cfr-1102", "1102.10(a)(1)–(5)")
def test_the_categories_of_submitters_are_the_five_of_the_rule() -> None:
    from hazardreport.case.circumstances import SubmitterCategory

    assert [category.value for category in SubmitterCategory if category is not SubmitterCategory.OPEN] == [
        "consumer",
        "government agency",
        "health care professional",
        "child service provider",
        "public safety entity",
    ]


@pytest.mark.published("15-usc-2055a", "(b)(2)(B), (b)(6)")
def test_publication_and_contact_to_the_firm_are_two_consents_beside_the_verification() -> None:
    assert {consent.field for consent in profile("us-agency-harm").consents} == {
        "consents.verified",
        "consents.publish",
        "consents.contact_to_firm",
    }


# Implementing Regulation (EU) 2024/1740, art. 1(1): what is given to the Commission.
UNION = {
    "art. 1(1)(a)": {"unit.product_name", "unit.brand", "unit.model", "unit.batch", "unit.serial"},
    "art. 1(1)(b)": {
        *("unit.seller", "unit.marketplace", "unit.responsible_person", "unit.maker", "unit.importer"),
        *("unit.seller_address", "unit.marketplace_contact", "unit.responsible_person_address"),
    },
    "art. 1(1)(c)": {"findings.dangerous", "occurrence.narrative", "occurrence.injury"},
    "art. 1(1)(d)": {"submitter.country"},
    "art. 1(1)(e)": {
        *("submitter.first_name", "submitter.last_name"),
        *("submitter.email", "submitter.phone", "submitter.address"),
    },
    "art. 1(1)(f)": {"occurrence.contacts"},
}


@pytest.mark.published("eu-2024-1740", "art. 1(1)(a)–(f)")
def test_a_report_to_the_commission_holds_the_six_points_of_the_regulation() -> None:
    required = [e for e in profile("eu-consumer-report").elements if e.level is Level.REQUIRED]
    assert {element.clauses[0].place for element in required} == set(UNION)
    assert {place: links_at("eu-consumer-report", "eu-2024-1740", place) for place in UNION} == UNION
    assert read_in_public_text("eu-consumer-report", "eu-2024-1740")


@pytest.mark.published("eu-2024-1740", "art. 1(1)(d)")
def test_the_member_state_itself_is_needed() -> None:
    assert not profile("eu-consumer-report").element("residence").reason_accepted


# 16 CFR 1115.13(d): full report of a firm. 1: person submitting, the firm's own; 14 and 15: on request.
SUPPLIED: Listed = {
    "1115.13(d)(2)": {"unit.maker", "unit.maker_address", "unit.importer", "unit.importer_address"},
    "1115.13(d)(3)": {"unit.product_name", "unit.brand", "unit.model", "unit.serial", "unit.date_code", "pictures"},
    "1115.13(d)(4)": {"findings.dangerous", "readings"},
    "1115.13(d)(5)": {"occurrence.injury"},
    "1115.13(d)(6)": {"occurrence.narrative", "occurrence.date", "occurrence.contacts"},
}
ASKED_FOR = {
    "numbers": "1115.13(d)(7)",
    "dates": "1115.13(d)(8)",
    "held": "1115.13(d)(9)",
    "changes": "1115.13(d)(10)",
    "told": "1115.13(d)(11)",
    "remedy": "1115.13(d)(12)",
    "ways": "1115.13(d)(13)",
}


@pytest.mark.published("16-cfr-1115", "1115.13(d)(1)–(13)")
def test_a_notice_to_a_us_maker_supplies_items_2_to_6_and_asks_for_7_to_13() -> None:
    read = profile("us-maker")
    assert {place: links_at("us-maker", "16-cfr-1115", place) for place in SUPPLIED} == SUPPLIED
    asked = {r.key: r.clauses[0].place for r in read.requests if r.clauses and "1115.13(d)" in r.clauses[0].place}
    assert asked == ASKED_FOR
    assert "1115.12(f)" in [clause.place for clause in read.element("prior_contacts").clauses]


# General Product Safety Regulations 2005, reg. 9(3): what a firm tells of a serious risk.
REGULATION_9: Listed = {
    "reg. 9(3)(a)": {"unit.product_name", "unit.brand", "unit.model", "unit.batch", "unit.serial"},
    "reg. 9(3)(b)": {
        *("findings.dangerous", "severity.established", "readings"),
        *("occurrence.narrative", "occurrence.injury"),
    },
    "reg. 9(3)(c)": {"unit.maker", "unit.importer", "unit.seller", "unit.marketplace", "unit.purchased"},
    "reg. 9(3)(d)": {"occurrence.contacts"},
}


@pytest.mark.published("uk-gpsr-2005", "reg. 9(3)(a)–(d)")
def test_a_report_in_great_britain_follows_the_four_points_that_bind_firms() -> None:
    assert {place: links_at("gb-consumer-advice", "uk-gpsr-2005", place) for place in REGULATION_9} == REGULATION_9


def test_that_no_law_fixes_what_a_consumer_in_great_britain_says_is_from_memory() -> None:
    read = profile("gb-consumer-advice")
    assert "from memory" in read.accepts
    route = [clause.status for clause in read.clauses if clause.place == "consumer route"]
    assert set(route) == {ClauseStatus.FROM_MEMORY}


@pytest.mark.published("ca-ccpsa", "s. 14(3)")
def test_a_report_in_canada_holds_incident_product_similar_products_and_measures() -> None:
    at = {element.key: set(element.fields) for element in required_at("ca-consumer", "ca-ccpsa", "s. 14(3)")}
    assert at.pop("narrative") == {"occurrence.narrative"}
    assert at.pop("date") == {"occurrence.date"}
    assert at.pop("product") | at.pop("brand_and_model") == {"unit.product_name", "unit.brand", "unit.model"}
    assert at.pop("similar_products") == {"unit.still_on_sale", "custody.units_examined"}
    assert at.pop("measures") == {"occurrence.contacts"}
    assert at == {}


@pytest.mark.published("au-acl", "s. 131(5)")
def test_a_report_in_australia_identifies_goods_supply_circumstances_injury_and_action() -> None:
    at = {element.key for element in required_at("au-consumer", "au-acl", "s. 131(5)")}
    assert at == {"product", "brand_and_model", "made_and_supplied", "narrative", "danger_found", "action_taken"}
    injury = profile("au-consumer").element("injury")
    assert (injury.clauses[0].place, injury.only_if[0].terms[0].link) == ("s. 131(5)", "situation.injured")


def test_the_view_that_the_product_caused_the_injury_is_not_told_as_given_where_only_an_account_stands() -> None:
    """No field holds that view: so it cannot be required, and what is said of it names the account that is read."""
    own_view = profile("au-consumer").element("own_view")
    assert (own_view.level, own_view.fields) == (Level.NAMED, ("occurrence.narrative",))
    assert own_view.name.startswith("Account")
    assert "only a reader can tell" in own_view.asked


def test_the_australian_law_was_read_in_restatements_only() -> None:
    cited = [clause.status for clause in profile("au-consumer").clauses if clause.reference == "au-acl"]
    assert ClauseStatus.READ not in cited


# Implementing Decision (EU) 2019/417, Part III, Appendix 1: the record of authorities, section by section.
RECORD: Listed = {
    "2": {
        *("unit.category", "unit.product_name", "unit.brand", "unit.model", "unit.batch", "unit.serial"),
        *("unit.barcode", "pictures", "unit.description", "unit.packaging", "unit.customs_code"),
        *("custody.units_examined", "custody.units_faulty"),
    },
    "3": {
        *("requirements", "conformity_marks"),
        *("unit.documents", "unit.standards_claimed", "unit.counterfeit"),
    },
    "4": {
        *("unit.country", "unit.destinations", "unit.maker", "unit.maker_address"),
        *("unit.importer", "unit.importer_address", "unit.seller", "unit.seller_address"),
        *("unit.exporter", "unit.distributor", "unit.listing"),
    },
    "5": {
        *("findings.dangerous", "findings.protection", "scenarios", "risk.level", "readings"),
        *("occurrence.narrative", "occurrence.injury", "occurrence.date"),
    },
}


@pytest.mark.published("eu-2019-417", "Part III, App. 1, §§ 2–5")
def test_a_complaint_to_an_authority_follows_the_record_section_by_section() -> None:
    elements = profile("eu-authority-record").elements
    found = {
        section: {
            link
            for element in elements
            if element.clauses[0].place == f"Part III, App. 1, § {section}"
            for link in element.fields
        }
        for section in RECORD
    }
    assert found == RECORD
    sections = [e.clauses[0].place[-1] for e in elements if e.clauses[0].place.startswith("Part III, App. 1, §")]
    assert sections == sorted(sections)


# Derived from the texts above (nobody published it): every row and every regime. R required, r useful, - not named or
# given beyond what is asked, . no matter of a record between authorities (a complaint names its sender all the same).
# Where links stand together, the strongest level at which any of them is asked counts.
REGIMES = (
    *("us-agency-harm", "eu-consumer-report", "eu-authority-record", "gb-consumer-advice"),
    *("ca-consumer", "au-consumer", "us-maker"),
)
MATRIX: dict[tuple[str, ...], str] = {
    ("unit.product_name",): "RRRRRRR",
    ("unit.brand",): "rRRRRRR",
    ("unit.model",): "rRRRRRR",
    ("unit.batch", "unit.serial", "unit.date_code"): "rRRRrrR",
    ("unit.barcode",): "-rRr--r",
    ("pictures",): "rrRrrrR",
    ("unit.maker", "unit.importer"): "RRRRRrR",
    ("unit.seller", "unit.purchased", "unit.purchase_place", "unit.listing"): "rRRRrRR",
    ("unit.country",): "--RrrrR",
    ("findings.dangerous", "occurrence.narrative"): "RRRRRRR",
    ("risk.level", "readings", "requirements"): "-rRRr-R",
    ("occurrence.narrative", "occurrence.injury"): "RRRRRRR",
    ("occurrence.date",): "RrrrRRR",
    ("submitter.first_name",): "RR.RRRR",
    ("submitter.address", "submitter.email", "submitter.phone"): "RR.RRRR",
    ("submitter.category",): "R------",
    ("consents.verified",): "R------",
    ("consents.publish",): "R------",
    ("submitter.country",): "-R.----",
    ("occurrence.contacts",): "-RRRRRR",
}
LEVELS = {Level.REQUIRED: "R", Level.NAMED: "r", Level.NOT_ASKED: "-"}


@pytest.mark.parametrize("links", MATRIX)
def test_levels_are_those_of_the_matrix(links: tuple[str, ...]) -> None:
    told = ""
    for key in REGIMES:
        asked = {LEVELS[element.level] for element in profile(key).elements if {*links} & {*element.fields}}
        told += next((sign for sign in "Rr" if sign in asked), "-")
    wanted = MATRIX[links]
    assert "".join("." if sign == "." else level for sign, level in zip(wanted, told, strict=True)) == wanted


@pytest.mark.parametrize("link", ["findings.dangerous", "occurrence.narrative"])
def test_the_danger_and_the_account_are_required_of_every_authority_and_us_maker(link: str) -> None:
    """Both of them, but for the US agency: there the account is the element, and findings enter its text."""
    for key in REGIMES:
        levels = {element.level for element in profile(key).elements if link in element.fields}
        assert Level.REQUIRED in levels or (key, link) == ("us-agency-harm", "findings.dangerous"), key
    assert "findings.dangerous" in profile("us-agency-harm").element("harm").also


def test_the_injury_is_required_apart_from_the_account_where_no_narrower_rule_stands() -> None:
    injury = {
        key: {(e.level, bool(e.only_if)) for e in profile(key).elements if "occurrence.injury" in e.fields}
        for key in REGIMES
    }
    assert injury.pop("us-agency-harm") == {(Level.NAMED, False)}
    assert injury.pop("au-consumer") == {(Level.REQUIRED, True)}
    assert {key: found for key, found in injury.items() if found != {(Level.REQUIRED, False)}} == {}


@pytest.mark.parametrize("key", [key for key in profile_keys() if key not in REGIMES])
def test_the_brand_is_asked_also_where_the_matrix_has_no_column(key: str) -> None:
    levels = {element.level for element in profile(key).elements if "unit.brand" in element.fields}
    assert levels <= {Level.REQUIRED, Level.NAMED}
    assert levels


def test_the_state_of_residence_is_required_where_a_regime_routes_by_it() -> None:
    requiring = {
        key
        for key in profile_keys()
        for element in profile(key).elements
        if "submitter.country" in element.fields and element.level is Level.REQUIRED
    }
    assert requiring == {"eu-consumer-report"}

"""What people entered, as the report tells it: identity, circumstances, requirements, declaration, first page."""

from collections.abc import Callable
from dataclasses import fields, replace

import pytest

from hazardreport.addressees.profiles import profile
from hazardreport.assess.assessment import assess
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, FindingAnswer, Occasion
from hazardreport.case.stated import Stated, unknown, value
from hazardreport.case.unit import ConformityMark, Unit
from hazardreport.report.build import report_document
from hazardreport.report.context import Context, context
from hazardreport.report.declaration import declaration
from hazardreport.report.document import (
    Items,
    KeyValue,
    KeyValues,
    Missing,
    Paragraph,
    Part,
    Reference,
    Runs,
    SignatureLine,
    Table,
    blocks_of,
)
from hazardreport.report.findings import findings
from hazardreport.report.first_page import first_page
from hazardreport.report.identity import identity
from hazardreport.report.limits import limits
from hazardreport.risk.requirements import requirements
from hazardreport.wording import sentence

CREATED = "2026-11-25T12:00:00+00:00"
Given = Callable[..., Context]


def plain(runs: Runs) -> str:
    return "".join(run.text if isinstance(run, Reference) else run for run in runs)


def rows(part: Part) -> dict[str, KeyValue]:
    return {row.label: row for block in blocks_of(part) if isinstance(block, KeyValues) for row in block.rows}


def texts(part: Part) -> list[str]:
    found = []
    for block in blocks_of(part):
        match block:
            case KeyValues():
                found += [f"{row.label} {plain(row.runs)} {plain(row.note)}" for row in block.rows]
            case Table():
                found += [" | ".join(plain(cell) for cell in line.cells) for line in block.rows]
                found.append(f"{block.caption} {block.note}")
            case Paragraph():
                found.append(plain(block.runs))
            case Items():
                found += [plain(item) for item in block.items]
            case Missing():
                found.append(f"{block.what}: {block.why}")
    return found


@pytest.fixture(scope="module")
def given(full: Case, full_assessment: Assessment) -> Given:
    """The context of a report; the case may be another one with the same assessment."""

    def make(key: str = "eu-maker-notice", case: Case = full, assessment: Assessment = full_assessment) -> Context:
        return context(case, assessment, profile(key), CREATED, "a4")

    return make


def test_every_field_of_the_unit_is_value_unknown_or_not_applicable(given: Given, full: Case) -> None:
    shown = rows(identity(given(), 2))
    for field in fields(Unit):
        stated: Stated = getattr(full.unit, field.name)
        row = shown[sentence(f"report.unit_fields.{field.name}")]
        assert stated.text or stated.reason in plain(row.runs)
        assert row.known == bool(stated.text)


def test_where_a_field_was_read_is_told_with_picture_and_point(given: Given, full: Case) -> None:
    unit = replace(full.unit, serial=value("180347", picture="picture-002", point="A"))
    row = rows(identity(given(case=replace(full, unit=unit)), 2))["Serial number"]
    assert plain(row.note) == "read on picture-002, at point A"
    assert [run.target for run in row.note if isinstance(run, Reference)] == ["picture-picture-002", "point-A"]


def test_fields_that_nobody_answered_are_named_even_where_the_addressee_does_not_ask(given: Given) -> None:
    case = Case(id="WP-0")
    told = " ".join(texts(identity(given(case=case, assessment=assess(case)), 2)))
    for field in fields(Unit):
        assert sentence(f"report.unit_fields.{field.name}") in told


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("6291041500213", "check digit holds"),
        ("6291041500214", "check digit does not hold"),
        ("62910414", "check digit does not hold"),
        ("629104", "8, 12, 13 or 14 digits"),
        ("62910-A", "something else than digits"),
    ],
)
def test_a_barcode_is_kept_as_read_and_its_check_digit_told(given: Given, full: Case, typed: str, said: str) -> None:
    case = replace(full, unit=replace(full.unit, barcode=value(typed)))
    row = rows(identity(given(case=case), 2))["Barcode"]
    assert plain(row.runs) == typed
    assert said in plain(row.note)


def test_an_unknown_barcode_has_no_check_digit(given: Given, full: Case) -> None:
    case = replace(full, unit=replace(full.unit, barcode=unknown("torn off")))
    assert plain(rows(identity(given(case=case), 2))["Barcode"].note) == ""


def test_marks_of_conformity_stand_one_by_one(given: Given, full: Case) -> None:
    told = texts(identity(given(), 2))
    assert "CE | not stated | not stated | plate | not looked up | read on picture-002, at point A" in told
    bare = replace(full, conformity_marks=(ConformityMark(id="conformity-mark-001"),))
    assert any(text.startswith("not stated | not stated") for text in texts(identity(given(case=bare), 2)))
    none = replace(full, conformity_marks=())
    assert any("one by one" in text and "none is recorded" in text for text in texts(identity(given(case=none), 2)))


def test_circumstances_tell_use_incident_upkeep_and_changes(given: Given) -> None:
    told = texts(findings(given(), 3))
    for expected in (
        "Incident or discovery incident: something happened",
        "Used for melting wax for candles",
        "Near water, or water in the unit yes",
        "Damage to other things not applicable: nothing was damaged",
        "Cord and plug kept whole | seen | yes | no cut, no crushed place",
        "Used as the instructions say | unknown | not answered in this case | not stated",
        "Repair | looked for and excluded | varnish on the screws unbroken (picture-002)",
        "Misuse | found | left on empty once (picture-999 (not in this case))",
    ):
        assert any(text.startswith(expected) for text in told), expected
    assert any("2019/1020, art. 16(1) (from memory)" in text for text in told)


def test_a_discovery_is_no_incident(given: Given, full: Case) -> None:
    found = replace(full, occurrence=replace(full.occurrence, occasion=Occasion.DISCOVERY))
    assert any(text.startswith("When discovery, 2026-11-13") for text in texts(first_page(given(case=found), 1)))


def test_a_requirement_stands_with_answer_evidence_basis_and_status(given: Given, full: Case) -> None:
    told = texts(findings(given(), 3))
    for answer in full.requirements[:-1]:
        held = next(one for one in requirements() if one.key == answer.id)
        line = next(text for text in told if text.startswith(f"{held.name}: "))
        assert all(clause.place in line for clause in held.clauses)
        assert held.edition in line
        assert ("from memory" in line) == (
            any(clause.status.name == "FROM_MEMORY" for clause in held.clauses) or "from memory" in held.edition
        )


def test_what_was_only_seen_appears_and_what_nothing_shows_is_unsupported(given: Given, full: Case) -> None:
    told = texts(findings(given(), 3))
    for state in given().assessment.requirements:
        line = next((text for text in told if text.startswith(f"{state.name or state.key}: ")), "")
        if state.answer is FindingAnswer.SEEN and state.comparison is None and state.key != "no-such-point":
            assert "appear" in line, line
        if state.answer is not None:
            assert ("unsupported" in line.split(" | ")[0]) != state.supported


def test_a_measured_requirement_stands_against_its_limit_with_doubt(given: Given) -> None:
    line = next(text for text in texts(findings(given(), 3)) if text.startswith("Current from the touchable part"))
    assert "±" in line
    assert "against 500" in line
    assert "limit exceeded" in line
    assert "decided by a reading" in line


def test_points_not_looked_at_are_named_in_brief(given: Given) -> None:
    case = Case(id="WP-0")
    told = texts(findings(given(case=case, assessment=assess(case)), 3))
    line = next(text for text in told if text.startswith("Not looked at"))
    assert line.count(";") > 20
    assert any(text == "Construction requirements: none was answered in this case" for text in told)


def test_a_minor_needs_a_second_signature(given: Given, full: Case) -> None:
    def signatures(minor: Answer) -> int:
        case = replace(full, submitter=replace(full.submitter, minor=minor))
        return sum(isinstance(block, SignatureLine) for block in blocks_of(declaration(given(case=case), 9)))

    assert signatures(Answer.NO) == 1
    assert [signatures(answer) for answer in (Answer.YES, Answer.OPEN, Answer.UNKNOWN)] == [2, 2, 2]


def test_the_guardian_is_not_applicable_where_nobody_is_under_18(given: Given, full: Case) -> None:
    grown = replace(
        full,
        submitter=replace(full.submitter, minor=Answer.NO, guardian=Stated()),
        consents=replace(full.consents, guardian_agrees=Answer.OPEN),
    )
    shown = rows(declaration(given(case=grown), 9))
    assert plain(shown["Parent or guardian"].runs).startswith("not applicable: nobody concerned")
    assert plain(shown["Parent or guardian agrees"].runs).startswith("not applicable: nobody concerned")


def test_three_statements_stand_apart_with_their_clauses(given: Given) -> None:
    told = texts(declaration(given("us-agency-harm"), 9))
    statements = [text for text in told if "1102.10(d)(7)" in text or "1102.10(d)(8)" in text or "2055a(b)(6)" in text]
    assert len(statements) == 3
    assert any(text.startswith("Category consumer") for text in told)


def test_a_firm_without_consent_gets_no_name_at_all(full: Case, full_assessment: Assessment) -> None:
    refused = replace(full, consents=replace(full.consents, contact_to_firm=Answer.NO))
    document = report_document(refused, full_assessment, profile("eu-maker-notice"), created=CREATED)
    told = " ".join(text for part in document.parts for text in texts(part))
    for name in ("Marten", "Quay Street", "Orlan", "Ida Brehm"):
        assert name not in told
    assert "a helper, 43 years old" in told
    whole = report_document(refused, full_assessment, profile("us-agency-harm"), created=CREATED)
    told = " ".join(text for part in whole.parts for text in texts(part))
    assert all(name in told for name in ("Marten", "Quay Street", "Orlan", "Ida Brehm", "43 years"))


def test_the_first_page_tells_injury_listing_and_level_of_risk(given: Given, full: Case) -> None:
    shown = rows(first_page(given(), 1))
    assert plain(shown["Anyone injured"].runs).startswith("yes: tingling")
    told = " ".join(texts(first_page(given(), 1)))
    assert "Level of risk by the ways to an injury as the assessor judges them: serious" in told
    assert "no measure follows" in told
    calm = replace(full, scenarios=())
    assert "Level of risk" not in " ".join(texts(first_page(given(case=calm), 1)))
    seen = replace(full, unit=replace(full.unit, listing_seen=value("2026-11-17")))
    assert plain(rows(first_page(given(case=seen), 1))["Still on sale"].runs).endswith("listing seen 2026-11-17")


def test_confirmed_tables_and_digits_read_otherwise_are_told(given: Given, full: Case) -> None:
    told = texts(limits(given(), 9))
    assert any(
        "31 of 32 cells read agree; the table prints 32; 1 read otherwise" in text and "Ida Brehm" in text
        for text in told
    )
    assert any("> 1/10 000, severity_1: the program holds L, the reader read H" in text for text in told)
    none = replace(full, confirmations=())
    assert any("Nobody has compared" in text for text in texts(limits(given(case=none), 9)))


def test_tables_and_clauses_from_memory_are_named_as_limits(given: Given, full: Case) -> None:
    unread = replace(full, confirmations=())
    told = " ".join(texts(limits(given(case=unread, assessment=assess(unread)), 9)))
    assert "eu-2019-417, Risk level from severity and probability" in told
    assert "eu-2019-1020, art. 16(1)" in told

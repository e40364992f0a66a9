"""What an addressee asks for, what is entered on its form, what was sent, and the owner's notice."""

from collections.abc import Callable
from dataclasses import replace
from io import BytesIO
from itertools import product

import pikepdf
import pytest

from hazardreport.addressees.form_text import form_text as text_to_enter
from hazardreport.addressees.profiles import Profile, profile, profile_keys
from hazardreport.assess.assessment import assess
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer
from hazardreport.case.stated import Stated, value
from hazardreport.report.build import report_document
from hazardreport.report.context import Context, context
from hazardreport.report.document import (
    Items,
    KeyValues,
    Missing,
    Paragraph,
    Part,
    Reference,
    Runs,
    SignalPanel,
    SignatureLine,
    Table,
    blocks_of,
)
from hazardreport.report.form_text import form_text
from hazardreport.report.law import law
from hazardreport.report.letters import letters
from hazardreport.report.notice import notice
from hazardreport.report.pdf.draw import draw_pdf
from hazardreport.severity.terms import SignalWord
from hazardreport.wording import keys, lines, template

CREATED = "2026-11-25T12:00:00+00:00"
Pictures = Callable[[str], bytes]
Given = Callable[..., Context]


def plain(runs: Runs) -> str:
    return "".join(run.text if isinstance(run, Reference) else run for run in runs)


def told(part: Part) -> list[str]:
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
            case SignalPanel():
                found.append(f"{block.word.value} {block.subject} {block.meaning}")
    return found


@pytest.fixture(scope="module")
def given(full: Case, full_assessment: Assessment) -> Given:
    def make(key: str, case: Case = full, assessment: Assessment = full_assessment, created: str = CREATED) -> Context:
        return context(case, assessment, profile(key), created, "a4")

    return make


# --- what the addressee asks for --------------------------------------------------------------------------------------


@pytest.mark.parametrize("key", [key for key in profile_keys() if "law" in profile(key).parts])
def test_each_element_stands_with_clause_and_what_happens_without_it(given: Given, key: str) -> None:
    asked: Profile = profile(key)
    shown = told(law(given(key), 2))
    for element in asked.elements:
        line = next(text for text in shown if text.startswith(f"{element.name} | "))
        assert element.without in line
        assert all(clause.place in line for clause in element.clauses)


def test_an_element_that_is_not_asked_in_this_case_says_why(given: Given, full: Case) -> None:
    grown = replace(full, submitter=replace(full.submitter, minor=Answer.NO))
    line = next(
        text for text in told(law(given("us-agency-harm", grown), 2)) if text.startswith("Parent or guardian |")
    )
    assert "not applicable: " in line


def test_a_clause_from_memory_says_so_and_one_read_in_public_is_explained(given: Given) -> None:
    shown = told(law(given("eu-authority-record"), 2))
    assert any("2019/1020, art. 4 (from memory)" in text for text in shown)
    assert any("A clause without a mark was read in the public text." in text for text in shown)


def test_market_surveillance_is_told_to_european_addressees_alone(given: Given) -> None:
    def speaks(key: str) -> bool:
        return any("Article 16: they act where" in text for text in told(law(given(key), 2)))

    assert speaks("eu-authority-record")
    assert speaks("eu-maker-notice")
    assert not speaks("us-agency-harm")
    assert not speaks("au-consumer")


def test_what_brings_the_report_to_its_addressee_is_told_or_that_it_was_chosen(given: Given) -> None:
    def brought(key: str) -> str:
        return next(text for text in told(law(given(key), 2)) if text.startswith("So it comes to this addressee by"))

    assert "2014/35/EU, art. 6" in brought("eu-maker-notice")
    assert "the submitter chose this addressee" in brought("us-agency-harm")
    assert any(
        text.startswith("The submitter lives in European Union") for text in told(law(given("eu-maker-notice"), 2))
    )


# --- text to enter ----------------------------------------------------------------------------------------------------

ENTERED = [key for key in profile_keys() if "form_text" in profile(key).parts]


@pytest.mark.parametrize("key", ENTERED)
def test_each_text_to_enter_stands_whole_with_its_number_of_characters(
    given: Given, full: Case, full_assessment: Assessment, key: str
) -> None:
    shown = told(form_text(given(key), 2))
    for entry in text_to_enter(full, profile(key), full_assessment).entries:
        row = next(text for text in shown if text.startswith(f"{entry.name} "))
        if not entry.text:
            assert "nothing to enter" in row
        elif entry.personal:
            assert entry.text not in row
            assert f"{len(entry.text)} characters" in row
        else:
            assert entry.text in row
            assert f"{len(entry.text)} characters" in row


def test_a_form_only_addressee_is_told_what_it_accepts_and_what_to_attach(given: Given) -> None:
    shown = told(form_text(given("us-agency-harm"), 2))
    assert any(text.startswith("What is accepted") and "is not that form" in text for text in shown)
    assert any("us-agency-harm.pdf: " in text for text in shown)


def test_missing_text_says_what_is_asked(given: Given) -> None:
    case = Case(id="WP-0")
    shown = told(form_text(given("us-agency-harm", case, assess(case)), 2))
    assert any(text.startswith("Harm nothing to enter Nothing to enter yet") for text in shown)


# --- correspondence ---------------------------------------------------------------------------------------------------


def test_every_letter_stands_with_day_reference_and_what_was_sent(given: Given) -> None:
    shown = told(letters(given("eu-maker-notice"), 7))
    for expected in (
        "letter-001: report, sent | 2026-11-16 | Lumora Craft Goods Ltd; as the maker",
        "letter-002: receipt, came in | 2026-11-18",
        "letter-005: report, sent | 2026-11-23 | not stated; as the US federal",
        "letter-004: comment of the maker, came in",
    ):
        assert any(text.startswith(expected) for text in shown), expected
    sent = next(text for text in shown if text.startswith("letter-001: report"))
    assert "revision 5; SHA-256 5ad05ad05ad0…" in sent
    assert any("reference: LCG-7781" in text and "Answers letter-001." in text for text in shown)


def test_days_are_expected_and_never_promised(given: Given) -> None:
    shown = told(letters(given("us-agency-harm"), 7))
    assert any("Expected 2026-11-24 at the earliest, 2026-12-01 at the latest" in text for text in shown)
    assert any("Expected, no promise." in text and "federal holidays" in text for text in shown)


def test_no_day_is_counted_where_the_report_has_none(given: Given) -> None:
    shown = told(letters(given("us-agency-harm", created="one evening"), 7))
    assert any("no day can be counted" in text for text in shown)


def test_requests_for_correction_stand_under_the_point_that_they_dispute(given: Given) -> None:
    shown = told(letters(given("us-agency-harm"), 7))
    request = next(text for text in shown if text.startswith("identity of the maker letter-003"))
    assert "“made by Lumora Craft Goods Ltd”" in request
    assert "An answer is asked for by 2026-12-04" in request
    assert any(text.startswith("letter-004 (2026-11-21): The plug must be put in") for text in shown)
    assert any("letter-003 of Lumora Craft Goods Ltd asks you for an answer" in text for text in shown)


def test_a_case_without_letters_says_so_and_is_held_back(given: Given, full: Case) -> None:
    quiet = replace(full, letters=())
    shown = told(letters(given("eu-maker-notice", quiet), 7))
    assert any(text.startswith("Correspondence: no letter is recorded") for text in shown)
    assert any(text.startswith("Requests for correction: none") for text in shown)
    assert any(text.startswith("Hold this publication back") for text in shown)
    early = replace(quiet, consents=replace(full.consents, early_publication=value("children are in danger")))
    assert any("children are in danger" in text for text in told(letters(given("eu-maker-notice", early), 7)))


# --- the owner's notice -----------------------------------------------------------------------------------------------


def test_the_notice_says_what_to_do_in_plain_words(given: Given) -> None:
    part = notice(given("owner-notice"), 1)
    text = " ".join(told(part))
    for expected in (
        "Do not touch it",
        "reach it dry",
        "switch off at the board",
        "Do not touch the person",
        "Cut the supply",
        "Call the emergency number",
        "resuscitate",
        "See a doctor",
        "Do not test it, repair it, clean it, open it, lend it, sell it or discard it",
        "common practice",
        "I take it back against this advice",
    ):
        assert expected in text
    assert sum(isinstance(block, SignatureLine) for block in blocks_of(part)) == 1


def test_the_notice_holds_no_instruction_for_a_test_and_no_name_of_the_submitter(given: Given) -> None:
    text = " ".join(told(notice(given("owner-notice"), 1)))
    assert "Marten" not in text
    instructions = [template(key) for key in keys("tests") if key.endswith(".instruction")]
    assert instructions
    assert not any(instruction in text for instruction in instructions)
    assert not any(word in text.lower() for word in ("probe", "multimeter", "clip on", "measure between"))


@pytest.mark.parametrize("word", SignalWord)
def test_the_notice_says_no_more_than_the_signal_word(
    given: Given, full_assessment: Assessment, word: SignalWord
) -> None:
    verdict = replace(full_assessment.verdict, word=word)
    shown = told(notice(given("owner-notice", assessment=replace(full_assessment, verdict=verdict)), 1))
    kills = any("at which the heart may fibrillate; that can kill" in text for text in shown)
    assert kills == (word is SignalWord.DANGER)
    assert any("Its switch does not change that" in text for text in shown) == (
        word in (SignalWord.DANGER, SignalWord.WARNING, SignalWord.CAUTION)
    )


@pytest.mark.parametrize(("paper", "long"), tuple(product(("a4", "letter"), (False, True))))
def test_the_notice_is_one_page(
    full: Case, full_assessment: Assessment, pictures: Pictures, paper: str, long: bool
) -> None:
    typed: Stated = value("<b>\u05e2\u05d1 " + "a long name " * 200)
    unit = replace(full.unit, brand=typed, serial=typed, maker=typed, importer=typed, seller=typed)
    case = replace(full, unit=unit) if long else full
    document = report_document(case, full_assessment, profile("owner-notice"), created=CREATED, paper=paper)
    with pikepdf.open(BytesIO(draw_pdf(document, pictures))) as pdf:
        assert len(pdf.pages) == 1


def test_no_sentence_of_the_notice_is_long() -> None:
    steps = (*lines("report_notice.now.steps"), *lines("report_notice.held.steps"))
    assert all(len(sentence.split()) <= 25 for step in steps for sentence in step.split(". "))

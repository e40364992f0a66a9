"""What a reader of the PDF must not take for more, or for less, than it is."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from hazardreport.addressees.profiles import profile
from hazardreport.assess.assessment import assess
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, Custody, Finding, FindingClaim, Occurrence
from hazardreport.case.picture import Recognisable
from hazardreport.case.scenario import Scenario
from hazardreport.case.situation import Situation
from hazardreport.case.stated import Stated, not_applicable, unknown, value
from hazardreport.report.build import report_document
from hazardreport.report.context import context, stated_runs
from hazardreport.report.document import (
    Items,
    KeyValues,
    Missing,
    Paragraph,
    Part,
    Reference,
    ReportDocument,
    Runs,
    SignalPanel,
    Table,
    anchors,
    blocks_of,
)
from hazardreport.report.findings import findings
from hazardreport.report.first_page import first_page
from hazardreport.report.law import law
from hazardreport.report.notice import notice
from hazardreport.report.pdf.draw import draw_pdf
from hazardreport.report.personal_data import holds_personal_data
from hazardreport.severity.terms import SignalWord
from hazardreport.wording import sentence

CREATED = "2026-11-25T12:00:00+00:00"
WORDS = {SignalWord.DANGER: "will cause death", SignalWord.WARNING: "could cause death", SignalWord.CAUTION: "minor"}


def plain(runs: Runs) -> str:
    return "".join(run.text if isinstance(run, Reference) else run for run in runs)


def texts(part: Part) -> list[str]:
    found = []
    for block in blocks_of(part):
        match block:
            case KeyValues():
                found += [f"{row.label}: {plain(row.runs)} {plain(row.note)}" for row in block.rows]
            case Table():
                found += [" | ".join(plain(cell) for cell in line.cells) for line in block.rows]
            case Paragraph():
                found.append(plain(block.runs))
            case Items():
                found += [plain(item) for item in block.items]
            case Missing():
                found.append(f"{block.what}: {block.why}")
            case SignalPanel():
                found.append(block.meaning)
    return found


def made(part: Callable[..., Part], case: Case, assessment: Assessment, key: str = "eu-maker-notice") -> Part:
    return part(context(case, assessment, profile(key), CREATED, "a4"), 1)


def document(case: Case, assessment: Assessment, key: str) -> ReportDocument:
    return report_document(case, assessment, profile(key), created=CREATED)


def refused(case: Case) -> Case:
    return replace(case, consents=replace(case.consents, contact_to_firm=Answer.NO))


# --- the signal word --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("word", WORDS)
@pytest.mark.parametrize(("part", "key"), [(first_page, "eu-maker-notice"), (notice, "owner-notice")])
def test_the_signal_word_is_told_as_a_definition_and_by_which_rule_it_was_chosen(
    full: Case, full_assessment: Assessment, word: SignalWord, part: Callable[..., Part], key: str
) -> None:
    """ANSI Z535.4 as label makers restate it: will, could, minor or moderate; the rule is the program's own."""
    verdict = replace(full_assessment.verdict, word=word)
    told = texts(made(part, full, replace(full_assessment, verdict=verdict), key))
    meaning = told[0]
    assert meaning.startswith(f"{word.value}: the word for a situation that, if not avoided, ")
    assert WORDS[word] in meaning
    assert " Chosen here because " in meaning
    assert not any("Contact in the recorded circumstances will" in text for text in told)
    assert any("ANSI Z535.4" in text for text in told)


def test_without_a_signal_word_no_meaning_of_one_is_told(full: Case, full_assessment: Assessment) -> None:
    verdict = replace(full_assessment.verdict, word=SignalWord.NOT_EXCLUDED)
    told = texts(made(first_page, full, replace(full_assessment, verdict=verdict)))
    assert not any("ANSI" in text or "the word for a situation" in text for text in told)


def test_where_the_meaning_is_from_stands_in_the_bibliography(full: Case, full_assessment: Assessment) -> None:
    assert "reference-ansi-z535-4" in anchors(document(full, full_assessment, "eu-maker-notice"))


# --- withheld ---------------------------------------------------------------------------------------------------------


def test_a_withheld_fact_is_withheld_and_never_not_applicable(full: Case, full_assessment: Assessment) -> None:
    told = [text for part in document(refused(full), full_assessment, "eu-maker-notice").parts for text in texts(part)]
    assert any("withheld: the submitter has not consented" in text for text in told)
    assert not any("not applicable: withheld" in text for text in told)
    assert plain(stated_runs(not_applicable(sentence("report.words.withheld")))).startswith("withheld: ")
    assert plain(stated_runs(not_applicable("no fuse"))) == "not applicable: no fuse"


def test_that_the_sender_is_withheld_is_told_once(full: Case, full_assessment: Assessment) -> None:
    sender = next(text for text in texts(made(law, refused(full), full_assessment)) if text.startswith("Sender | "))
    assert sender.count("withheld") == 1
    assert "not applicable" not in sender
    last = document(refused(full), full_assessment, "eu-maker-notice").parts[-1]
    contact = next(section for section in last.sections if section.title == "Contact of the submitter")
    assert "\n".join(texts(replace(last, sections=(contact,)))).count("withheld") == 1


@pytest.mark.parametrize(
    ("said", "shown"),
    [
        ("a girl of 12", True),
        ("Girl of 12", True),
        ("43 years", True),
        ("Tilda, 12 years", False),
        ("tilda, 12 years", False),
        ("Tilda aged 12", False),
        ("girl of 12, Smith", False),
        ("our neighbour's daughter Tilda", False),
    ],
)
def test_the_age_of_a_person_hurt_is_no_contact_a_name_is_withheld(
    full: Case, full_assessment: Assessment, said: str, shown: bool
) -> None:
    case = refused(replace(full, occurrence=replace(full.occurrence, injured_person=value(said))))
    told = texts(made(findings, case, full_assessment))
    assert any(said in text for text in told) is shown
    assert any("withheld: " in text for text in told) is not shown


# --- findings ---------------------------------------------------------------------------------------------------------


def test_a_finding_without_text_proves_no_claim_and_is_counted(full: Case, full_assessment: Assessment) -> None:
    empty = Finding(id="finding-901", text=" ", claim=FindingClaim.DANGEROUS)
    told = texts(made(findings, replace(full, findings=(*full.findings, empty)), full_assessment))
    assert not any("finding-901" in text for text in told)
    assert sum(text.startswith("1 finding without text") for text in told) == 1
    assert not any("without text" in text for text in texts(made(findings, full, full_assessment)))
    many = replace(full, findings=(empty, replace(empty, id="finding-902")))
    told = texts(made(findings, many, full_assessment))
    assert any(text.startswith("2 findings without text") for text in told)
    assert any(text.startswith("Findings on this claim: none is recorded") for text in told)


def test_a_way_to_an_injury_does_not_link_to_a_finding_without_text(full: Case) -> None:
    way = Scenario(id="scenario-001", title="Touched", findings=("finding-901",))
    case = replace(full, findings=(Finding(id="finding-901", text=""),), scenarios=(way,))
    told = document(case, assess(case), "eu-maker-notice")
    assert any("Starts from: finding-901 (without text)" in text for part in told.parts for text in texts(part))
    assert "finding-finding-901" not in anchors(told)


# --- the first page ---------------------------------------------------------------------------------------------------


def test_entries_of_the_box_that_nobody_answered_stand_in_one_line(full: Case, full_assessment: Assessment) -> None:
    unit = replace(
        full.unit, still_on_sale=Stated(), listing_seen=Stated(), purchased=Stated(), purchase_place=Stated()
    )
    case = replace(full, unit=unit, custody=replace(full.custody, kept_at=Stated(), kept_until=unknown("not agreed")))
    told = texts(made(first_page, case, full_assessment))
    assert "Not answered in this case: Still on sale; Bought." in told
    assert any(text.startswith("The unit is kept: ") and "not agreed" in text for text in told)
    assert not any(text.startswith(("Still on sale", "Bought")) for text in told)


def test_nothing_answered_is_one_line_without_a_box(full: Case, full_assessment: Assessment) -> None:
    unit = replace(
        full.unit, still_on_sale=Stated(), listing_seen=Stated(), purchased=Stated(), purchase_place=Stated()
    )
    bare = replace(full, unit=unit, custody=Custody(), occurrence=Occurrence(), situation=Situation())
    part = made(first_page, bare, full_assessment)
    (line,) = [text for text in texts(part) if text.startswith("Not answered")]
    assert line.count(";") == 5
    assert not any(isinstance(block, KeyValues) and block.boxed for block in blocks_of(part))


# --- personal data ----------------------------------------------------------------------------------------------------


def test_only_a_report_that_holds_personal_data_says_so(
    full: Case, full_assessment: Assessment, pictures: Callable[[str], bytes], pages_of: Callable[[bytes], list[str]]
) -> None:
    assert document(full, full_assessment, "eu-authority-record").privacy == "contains personal data"
    told = document(full, full_assessment, "owner-notice")
    assert told.privacy == ""
    assert all("personal data" not in page for page in pages_of(draw_pdf(told, pictures)))


def test_a_picture_on_which_nobody_said_that_nobody_is_seen_counts_as_personal(
    full: Case, full_assessment: Assessment
) -> None:
    pictures = tuple(replace(one, illustration=False, recognisable=Recognisable.NO) for one in full.pictures)
    seen_through = replace(refused(full), pictures=pictures)
    page = made(first_page, seen_through, full_assessment)
    assert not holds_personal_data(seen_through, (page,))
    for answer in (Recognisable.OPEN, Recognisable.YES):
        shown = replace(seen_through, pictures=tuple(replace(one, recognisable=answer) for one in pictures))
        assert holds_personal_data(shown, (page,))


# --- the owner's notice -----------------------------------------------------------------------------------------------


def test_the_owner_is_sent_only_to_firms_that_are_known_with_where_they_are_reached(
    full: Case, full_assessment: Assessment
) -> None:
    unit = replace(
        full.unit,
        maker=value("Lumora Craft Goods Ltd"),
        maker_address=value("3 Quarry Way, Nordhafen"),
        maker_contact=value("care@lumora.example"),
        importer=not_applicable("made in the EU"),
        importer_address=unknown("not found"),
        seller=unknown("a flea market"),
        seller_contact=Stated(),
        seller_address=Stated(),
    )
    told = texts(made(notice, replace(full, unit=unit), full_assessment, "owner-notice"))
    assert any("Maker: Lumora Craft Goods Ltd, care@lumora.example, 3 Quarry Way, Nordhafen" in text for text in told)
    assert not any(text.startswith(("Importer", "Seller")) or "not applicable" in text for text in told)


# --- tables that a reader confirmed -----------------------------------------------------------------------------------


def test_cells_are_counted_as_the_command_line_counts_them(full: Case, full_assessment: Assessment) -> None:
    (one,) = full.confirmations
    some = replace(one, rows=tuple(one.rows[:3]))
    told = [
        text
        for part in document(replace(full, confirmations=(some,)), full_assessment, "eu-authority-record").parts
        for text in texts(part)
    ]
    assert any(text.endswith("12 of 12 cells read agree; the table prints 32") for text in told)
    assert not any("0 row" in text or "0 read" in text for text in told)
    unfit = replace(one, rows=(*one.rows, ("never", "H", "H", "H", "H")))
    told = [
        text
        for part in document(replace(full, confirmations=(unfit,)), full_assessment, "eu-authority-record").parts
        for text in texts(part)
    ]
    assert any("1 read otherwise; 1 row fits no row of the table" in text for text in told)

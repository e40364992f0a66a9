"""The report of every addressee: parts in order, nothing blank, links that hold, hostile texts, files that draw."""

from collections.abc import Callable, Iterator
from dataclasses import fields, is_dataclass, replace
from enum import Enum
from io import BytesIO
from typing import Any

import pikepdf
import pytest

from hazardreport.addressees.profiles import profile, profile_keys
from hazardreport.assess.assessment import assess
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.publication import published
from hazardreport.case.stated import Standing, Stated
from hazardreport.errors import UnknownReportPartError
from hazardreport.report.build import report_document
from hazardreport.report.document import (
    Block,
    Items,
    KeyValues,
    Missing,
    Paragraph,
    Reference,
    ReportDocument,
    Runs,
    Table,
    anchors,
    blocks,
    part_anchor,
    runs_of,
)
from hazardreport.report.pdf.draw import draw_pdf

CREATED = "2026-11-25T12:00:00+00:00"
Pictures = Callable[[str], bytes]
Pages = Callable[[bytes], tuple[str, ...]]
KEYS = profile_keys()
TYPED = '<b>&amp;</b> {case} "quoted" \u05e2\u05d1\u05e8\u05d9\u05ea \u202egnp \x07 ' + "W" * 400


def plain(runs: Runs) -> str:
    return "".join(run.text if isinstance(run, Reference) else run for run in runs)


def cells(block: Block) -> Iterator[str]:
    """Every text of a block that a reader expects to say something."""
    match block:
        case Paragraph():
            yield plain(block.runs)
        case Items():
            yield from (plain(item) for item in block.items)
        case KeyValues():
            for row in block.rows:
                yield row.label
                yield plain(row.runs)
        case Table():
            yield block.caption
            for line in block.rows:
                yield from (plain(cell) for cell in line.cells)
        case Missing():
            yield block.what
            yield block.why


def told(document: ReportDocument) -> list[str]:
    return [text for block in blocks(document) for text in cells(block)]


def built(case: Case, assessment: Assessment, key: str) -> ReportDocument:
    return report_document(case, assessment, profile(key), created=CREATED)


@pytest.fixture(scope="module")
def nothing() -> tuple[Case, Assessment]:
    case = Case(id="WP-0")
    return case, assess(case)


def hostile(value: Any, name: str = "") -> Any:
    """The record with the typed text in every field that a person writes freely."""
    if isinstance(value, Stated):
        return replace(value, standing=Standing.VALUE, text=TYPED) if name != "guardian" else value
    if isinstance(value, str) and not isinstance(value, Enum):
        free = ("text", "title", "who", "reason", "severity_reason", "note", "mark", "holder", "number", "place")
        return TYPED if name in (*free, "whom", "means", "reference", "person", "cause", "requirement") else value
    if isinstance(value, tuple):
        return tuple(hostile(item, name) for item in value)
    if is_dataclass(value) and not isinstance(value, type):
        changes = {one.name: hostile(getattr(value, one.name), one.name) for one in fields(value)}
        return replace(value, **changes)
    return value


@pytest.fixture(scope="module")
def attacked(full: Case) -> tuple[Case, Assessment]:
    names = ("unit", "occurrence", "household", "upkeep", "conformity_marks", "requirements", "scenarios", "letters")
    changes = {name: hostile(getattr(full, name)) for name in (*names, "harm_factors", "findings", "situation")}
    case = replace(full, **changes)
    return case, assess(case)


@pytest.mark.parametrize("key", KEYS)
def test_the_parts_are_those_of_the_addressee_in_its_order(full: Case, full_assessment: Assessment, key: str) -> None:
    document = built(full, full_assessment, key)
    assert tuple(part.key for part in document.parts) == profile(key).parts
    assert [part.number for part in document.parts] == list(range(1, len(document.parts) + 1))


@pytest.mark.parametrize("key", KEYS)
def test_nothing_is_blank_in_a_full_case(full: Case, full_assessment: Assessment, key: str) -> None:
    assert all(text.strip() for text in told(built(full, full_assessment, key)))


@pytest.mark.parametrize("key", KEYS)
def test_nothing_is_blank_in_an_empty_case(nothing: tuple[Case, Assessment], key: str) -> None:
    assert all(text.strip() for text in told(built(*nothing, key)))


@pytest.mark.parametrize("key", KEYS)
def test_every_link_leads_to_something_or_to_a_part_that_this_addressee_does_not_get(
    full: Case, full_assessment: Assessment, key: str
) -> None:
    document = built(full, full_assessment, key)
    runs = (run for block in blocks(document) for line in runs_of(block) for run in line)
    lost = {run.target for run in runs if isinstance(run, Reference)} - anchors(document)
    absent = {part_anchor(one) for one in ("evidence", "findings", "risk") if one not in profile(key).parts}
    assert lost <= absent


def test_a_record_that_the_case_does_not_have_is_named_and_not_linked(full: Case, full_assessment: Assessment) -> None:
    document = built(full, full_assessment, "eu-maker-notice")
    assert any("reading-777 (not in this case)" in text for text in told(document))
    assert any("picture-999 (not in this case)" in text for text in told(document))
    assert any("letter-999 (not in this case)" in text for text in told(document))


@pytest.mark.parametrize("key", KEYS)
def test_the_file_of_every_addressee_draws(
    full: Case, full_assessment: Assessment, pictures: Pictures, key: str
) -> None:
    with pikepdf.open(BytesIO(draw_pdf(built(full, full_assessment, key), pictures))) as pdf:
        assert pdf.get_warnings() == []
        assert len(pdf.pages) == 1 if key == "owner-notice" else len(pdf.pages) > 10


def test_an_empty_case_draws(nothing: tuple[Case, Assessment], pictures: Pictures) -> None:
    with pikepdf.open(BytesIO(draw_pdf(built(*nothing, "us-agency-harm"), pictures))) as pdf:
        assert pdf.get_warnings() == []


def test_hostile_texts_are_printed_as_typed_and_never_read_as_markup(
    attacked: tuple[Case, Assessment], pictures: Pictures, pages_of: Pages
) -> None:
    document = built(*attacked, "us-agency-harm")
    assert all(text.strip() for text in told(document))
    text = "".join(pages_of(draw_pdf(document, pictures)))
    assert "<b>&amp;</b> {case}" in text
    assert "[U+202E]" in text


def test_texts_longer_than_a_page_break_over_pages(full: Case, pictures: Pictures) -> None:
    tall = "line\n" * 90
    scenario = full.scenarios[0]
    steps = tuple(replace(step, text=tall, reason=tall) for step in scenario.steps[:1])
    case = replace(
        full,
        scenarios=(replace(scenario, title=tall, who=tall, steps=steps, severity_reason=tall),),
        letters=tuple(replace(letter, text=tall, whom=tall) for letter in full.letters[:1]),
    )
    some = replace(profile("eu-authority-record"), parts=("risk", "letters"))
    document = report_document(case, assess(case), some, created=CREATED)
    with pikepdf.open(BytesIO(draw_pdf(document, pictures))) as pdf:
        assert len(pdf.pages) > 8


def test_a_part_that_nothing_builds_is_refused(full: Case, full_assessment: Assessment) -> None:
    odd = replace(profile("eu-maker-notice"), parts=("first_page", "horoscope"))
    with pytest.raises(UnknownReportPartError) as refused:
        report_document(full, full_assessment, odd, created=CREATED)
    assert refused.value.parts == "horoscope"
    assert "first_page" in refused.value.known


def test_a_publication_names_nobody_in_any_part(full: Case) -> None:
    case = published(full, "ab12" * 16).case
    assessment = assess(case)
    for key in ("us-agency-harm", "eu-authority-record", "owner-notice"):
        text = " ".join(told(built(case, assessment, key)))
        for name in ("Marten", "Quay Street", "Orlan", "Ida Brehm", "43 years"):
            assert name not in text
        assert "Lumora" in text

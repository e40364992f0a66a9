"""What the revisions of a case tell a firm that may know no names: which fields changed, and not a word of them."""

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from hazardreport.addressees.profiles import profile, profile_keys
from hazardreport.app.report_log import report_log
from hazardreport.assess.assessment import assess
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer
from hazardreport.case.personal import FREE_TEXT, PERSONAL, is_withheld_in_log
from hazardreport.report.build import report_document
from hazardreport.report.context import RevisionLine
from hazardreport.report.document import Table, blocks_of
from hazardreport.report.pdf.draw import draw_pdf
from hazardreport.review.record_changes import word
from hazardreport.storage.case_json import case_from_document, plain_document
from hazardreport.storage.folder import create_case, save_case

CREATED = "2026-11-25T12:00:00+00:00"
FIRMS = tuple(key for key in profile_keys() if profile(key).contact_consent == "consents.contact_to_firm")
AUTHOR = "Zinnobar Technik"
Drawn = Callable[[str, Case, tuple[RevisionLine, ...]], str]


def planted(part: Any, name: str, place: str, places: set[str]) -> Any:
    """The record with a name in every text that a person writes; the places go into `places`."""
    if isinstance(part, dict):
        return {key: planted(item, name, f"{place}.{key}" if place else key, places) for key, item in part.items()}
    if isinstance(part, list):
        return [planted(item, name, f"{place}[]", places) for item in part]
    if isinstance(part, str) and is_withheld_in_log(place):
        places.add(place)
        return f"{name} {len(places)} {part}"
    return part


@pytest.fixture(scope="module")
def clean(full: Case) -> Case:
    """The case as it is now: no text of an earlier state is left in it."""
    consents = replace(full.consents, contact_to_firm=Answer.NO)
    return replace(full, consents=consents, pictures=(), attachments=())


@pytest.fixture(scope="module")
def places() -> set[str]:
    return set()


@pytest.fixture(scope="module")
def log(clean: Case, places: set[str], tmp_path_factory: pytest.TempPathFactory) -> tuple[RevisionLine, ...]:
    """Revisions by a named author; in two of them a name stood in every text, and each text by itself once changed."""
    folder: Path = tmp_path_factory.mktemp("log") / "case"
    saved = create_case(folder, Case(id=clean.id), author=AUTHOR, time=CREATED)
    document = plain_document(clean)
    states = [case_from_document(planted(document, f"Zinnobar-{name}", "", places), "") for name in ("a", "b")]
    by_record = [replace(states[1], **{name: getattr(clean, name)}) for name in ("harm_factors", "unit", "submitter")]
    for state in (*states, *by_record, clean):
        saved = save_case(replace(state, revision=saved.revision), folder, author=AUTHOR, time=CREATED)
    return report_log(folder)


@pytest.fixture(scope="module")
def assessed(clean: Case) -> Assessment:
    return assess(clean)


@pytest.fixture(scope="module")
def drawn(
    assessed: Assessment, pictures: Callable[[str], bytes], pages_of: Callable[[bytes], tuple[str, ...]]
) -> Drawn:
    def text(key: str, case: Case, log: tuple[RevisionLine, ...]) -> str:
        document = report_document(case, assessed, profile(key), created=CREATED, log=log)
        pages = "\n".join(pages_of(draw_pdf(document, pictures)))
        return re.sub(r"[\s\-\u00ad\u2010\u2011\ufffe\u200b]", "", pages).lower()

    return text


def test_a_name_was_planted_in_every_text_that_a_person_writes(log: tuple[RevisionLine, ...], places: set[str]) -> None:
    fields = {place.removesuffix(".text").removesuffix(".reason") for place in places}
    without_files = {place for place in {*PERSONAL, *FREE_TEXT} if not place.startswith(("pictures", "attachments"))}
    assert len(log) == 7
    assert len(fields & without_files) > 80
    assert "Zinnobar" in "".join(line.changed for line in log)
    assert all(line.author == AUTHOR for line in log)


def test_the_lines_for_such_a_firm_name_fields_and_no_texts(log: tuple[RevisionLine, ...]) -> None:
    assert all(line.fields and "Zinnobar" not in line.fields and "→" not in line.fields for line in log)
    factors = next(line for line in log if line.revision == 4)
    pieces = factors.fields.split("; ")
    assert all(piece.startswith(f"{word('harm_factors')}: ") and piece.endswith(" changed") for piece in pieces[:3])
    assert "→" in factors.changed


@pytest.mark.parametrize("key", FIRMS)
def test_no_name_of_an_earlier_state_and_no_author_stands_in_the_report_to_a_firm(
    clean: Case, log: tuple[RevisionLine, ...], drawn: Drawn, key: str
) -> None:
    text = drawn(key, clean, log)
    assert "zinnobar" not in text
    assert "technik" not in text


def test_with_the_consent_the_lines_tell_the_texts_and_who_wrote_them(
    clean: Case, log: tuple[RevisionLine, ...], drawn: Drawn
) -> None:
    allowed = replace(clean, consents=replace(clean.consents, contact_to_firm=Answer.YES))
    text = drawn("eu-maker-notice", allowed, log)
    assert "zinnobartechnik" in text
    assert "zinnobara" in text or "zinnobarb" in text


def test_the_table_of_revisions_keeps_time_number_and_hash(
    clean: Case, assessed: Assessment, log: tuple[RevisionLine, ...]
) -> None:
    document = report_document(clean, assessed, profile("eu-maker-notice"), created=CREATED, log=log)
    part = next(part for part in document.parts if part.key == "evidence")
    tables = [block for block in blocks_of(part) if isinstance(block, Table)]
    rows = next(table.rows for table in tables if any("name withheld" in str(row.cells[2]) for row in table.rows))
    assert [str(row.cells[0][0]) for row in rows] == [str(line.revision) for line in log]
    assert [str(row.cells[3][0]) for row in rows] == [line.fields for line in log]
    assert all(line.hash.startswith(str(row.cells[4][0])) for row, line in zip(rows, log, strict=True))


def test_a_log_that_does_not_tell_fields_apart_tells_such_a_firm_nothing(clean: Case, drawn: Drawn) -> None:
    line = RevisionLine(revision=1, time=CREATED, author=AUTHOR, changed="note → Zinnobar", hash="ab" * 32)
    assert "zinnobar" not in drawn("eu-maker-notice", clean, (line,))

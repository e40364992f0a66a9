"""A case with confirmed tables: statuses rise wherever these tables were used, no number changes."""

import ast
import re
import string
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import fields, is_dataclass, replace
from enum import StrEnum
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import hazardreport
from hazardreport import wording
from hazardreport.addressees.profiles import profile
from hazardreport.assess.assessment import assess, live_part, settled_part
from hazardreport.assess.records import Assessment
from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.confirmation import TableConfirmation
from hazardreport.quantity.trace import Source, Status
from hazardreport.report.build import report_document
from hazardreport.resources_dir import DEMO_CASE
from hazardreport.standards.confirmed import printed_cells
from hazardreport.standards.tables import all_tables, table_as_filed
from hazardreport.storage.folder import open_case
from hazardreport.wording import sentence

NOON = "2026-06-01T12:00:00Z"
UNSURE = (Status.FROM_MEMORY, Status.COMMON_PRACTICE, Status.CHOICE)


@pytest.fixture(scope="module")
def case() -> Case:
    return replace(open_case(DEMO_CASE, for_writing=False).case, confirmations=())


@pytest.fixture(scope="module")
def plain(case: Case) -> Assessment:
    return assess(case)


def confirmation_of(key: tuple[str, str], number: int = 1) -> TableConfirmation:
    held = table_as_filed(*key)
    return TableConfirmation(
        id=f"confirmation-{number:03d}",
        table="/".join(key),
        sha256=held.sha256,
        edition=held.citation.edition,
        page="1",
        name="A. Leserin",
        day="2026-05-20",
        rows=held.rows,
    )


DOCUMENTS = [key for key in all_tables() if key[0] != "own-choices" and not table_as_filed(*key).own_words]
"""What can be compared digit by digit."""


def all_confirmed(case: Case) -> Case:
    keys = DOCUMENTS
    return replace(case, confirmations=tuple(confirmation_of(key, n) for n, key in enumerate(keys, start=1)))


def sources_in(item: Any) -> Iterator[Source]:
    """Every source anywhere in an assessment."""
    if isinstance(item, Source):
        yield item
    elif is_dataclass(item):
        for field in fields(item):
            yield from sources_in(getattr(item, field.name))
    elif isinstance(item, tuple | list | frozenset):
        for one in item:
            yield from sources_in(one)


def without_statuses(item: Any) -> Any:
    """The same tree with every source confirmed, without words of who confirmed it, nor how sure it is."""
    if isinstance(item, Assessment):
        item = replace(item, editions=(), confirmed=(), problems=())
    if isinstance(item, Source):
        return replace(item, status=Status.CONFIRMED)
    if is_dataclass(item) and not isinstance(item, type):
        return tuple(without_statuses(getattr(item, field.name)) for field in fields(item) if field.init)
    if isinstance(item, tuple | list):
        return tuple(without_statuses(one) for one in item)
    return MARKED.sub("", item) if isinstance(item, str) and not isinstance(item, StrEnum) else item


MARKED = re.compile(
    "|".join(
        re.escape(text)
        for text in (
            *(sentence(f"risk.marked.{status.name.lower()}", text="") for status in UNSURE),
            " " + sentence("risk.sensitivity.memory"),
        )
    )
)


def table_places() -> set[tuple[str, str]]:
    cited = (table_as_filed(*key).citation for key in DOCUMENTS)
    return {(one.key, one.table) for one in cited}


def test_every_source_that_a_table_gave_from_memory_is_raised_and_falls_back(case: Case, plain: Assessment) -> None:
    with_all = assess(all_confirmed(case))
    again = assess(case)
    places = table_places()
    before = [source for source in sources_in(plain) if source.status is Status.FROM_MEMORY]
    left = [source for source in sources_in(with_all) if source.status is Status.FROM_MEMORY]

    assert any((source.key, source.place) in places for source in before)
    assert [source for source in left if (source.key, source.place) in places] == []
    assert again == plain


def test_no_number_of_an_assessment_changes(case: Case, plain: Assessment) -> None:
    assert without_statuses(assess(all_confirmed(case))) == without_statuses(plain)


@settings(derandomize=True, deadline=None, max_examples=6)
@given(data=st.data())
def test_only_the_sources_of_confirmed_tables_change(data: st.DataObject) -> None:
    case = replace(open_case(DEMO_CASE, for_writing=False).case, confirmations=())
    keys = DOCUMENTS
    chosen = data.draw(st.lists(st.sampled_from(keys), unique=True, max_size=4))
    confirmations = tuple(confirmation_of(key, n) for n, key in enumerate(chosen, start=1))
    before, after = (live_part(one).assessment for one in (case, replace(case, confirmations=confirmations)))
    places = {(table_as_filed(*key).citation.key, table_as_filed(*key).citation.table) for key in chosen}

    assert without_statuses(before) == without_statuses(after)
    for one, other in zip(sources_in(before.trace), sources_in(after.trace), strict=True):
        assert one.status is other.status or (one.key, one.place) in places or one.key == "own-choices"


def test_the_settled_part_sees_the_confirmations_in_a_thread_of_its_own(case: Case) -> None:
    live = live_part(all_confirmed(case))
    with ThreadPoolExecutor(1) as pool:
        elsewhere = pool.submit(settled_part, live).result()
    assert elsewhere == assess(all_confirmed(case))


def test_jobs_side_by_side_do_not_mix(case: Case) -> None:
    with ThreadPoolExecutor(2) as pool:
        results = [live.assessment for live in pool.map(live_part, [case, all_confirmed(case)] * 3)]
    assert all(result == results[0] for result in results[::2])
    assert all(result == results[1] for result in results[1::2])
    assert results[1] != results[0]


def test_editions_keep_the_hash_of_the_file_and_say_who_confirmed(case: Case, plain: Assessment) -> None:
    after = assess(all_confirmed(case))
    assert {(key, place, sha256) for key, place, _, _, sha256 in after.editions} == {
        (key, place, sha256) for key, place, _, _, sha256 in plain.editions
    }
    documents = [edition for edition in after.editions if edition[:2] in table_places()]
    assert documents
    assert {edition[3] for edition in documents} <= {"confirmed by a reader", "partly confirmed by a reader"}
    (one,) = [one for one in after.confirmed if (one.key, one.table) == ("iec-60479-1-2018", "Table 4")]
    assert (one.reader, one.page, one.day, one.agreeing) == ("A. Leserin", "1", "2026-05-20", one.cells)


def test_the_report_of_such_a_case_says_so(case: Case) -> None:
    confirmed_case = all_confirmed(case)
    document = report_document(confirmed_case, assess(confirmed_case), profile("us-agency-harm"), created=NOON)
    drawn = [source for source in sources_in(document) if (source.key, source.place) in table_places()]
    assert [source for source in drawn if source.status is Status.FROM_MEMORY] == []
    assert "confirmed by a reader" in repr(document)


def test_a_contradiction_is_a_problem_with_both_digits_and_changes_no_number(case: Case, plain: Assessment) -> None:
    key = ("iec-60479-1-2018", "table-1")
    held = table_as_filed(*key)
    rows = ((held.rows[0][0], "1", *held.rows[0][2:]), *held.rows[1:])
    after = assess(edits.add_confirmation(case, replace(confirmation_of(key), rows=rows)))
    (problem,) = [problem for problem in after.problems if problem.kind == "confirmation"]

    assert (problem.key, problem.id) == ("confirmation_differs", "confirmation-001")
    assert held.rows[0][1] in dict(problem.fields)["cells"]
    assert "read 1," in dict(problem.fields)["cells"]
    assert without_statuses(after) == without_statuses(plain)


def test_many_differing_cells_are_counted_after_the_first(case: Case) -> None:
    key = ("iec-60479-1-2018", "table-1")
    held = table_as_filed(*key)
    rows = tuple((row[0], *("7" for _ in row[1:])) for row in held.rows)
    found = live_part(edits.add_confirmation(case, replace(confirmation_of(key), rows=rows))).assessment
    (problem,) = [problem for problem in found.problems if problem.kind == "confirmation"]
    assert f"and {len(printed_cells(held)) - 6} more" in dict(problem.fields)["cells"]


@pytest.mark.parametrize(
    ("change", "key"),
    [
        ({"sha256": "0" * 64}, "confirmation_earlier_copy"),
        ({"page": ""}, "confirmation_incomplete"),
        ({"edition": "1901"}, "confirmation_other_edition"),
        ({"table": "own-choices/population"}, "confirmation_own_choice"),
        ({"table": "none/none"}, "confirmation_unknown_table"),
        ({"rows": ()}, "confirmation_nothing_read"),
    ],
)
def test_a_confirmation_that_does_not_count_is_a_problem(
    case: Case, plain: Assessment, change: dict[str, Any], key: str
) -> None:
    given_one = replace(confirmation_of(("iec-60479-1-2018", "table-1")), **change)
    after = live_part(edits.add_confirmation(case, given_one)).assessment

    assert key in [problem.key for problem in after.problems if problem.kind == "confirmation"]
    assert after.confirmed == ()
    assert after.trace == live_part(case).assessment.trace


def test_rows_that_fit_no_row_are_a_problem_that_says_which_and_why(case: Case) -> None:
    key = ("iec-60479-1-2018", "table-1")
    held = table_as_filed(*key)
    rows = (held.rows[0], ("26.5", "1", "2", "3"), held.rows[1][:-1], held.rows[0])
    after = live_part(edits.add_confirmation(case, replace(confirmation_of(key), rows=rows))).assessment
    (problem,) = [problem for problem in after.problems if problem.kind == "confirmation"]

    assert problem.key == "confirmation_rows"
    told = sentence(f"problems.{problem.key}.what", **dict(problem.fields))
    assert "2 (the table has no such row); 3 (not as many cells" in told
    assert "4 (the same row a second time)" in told


@pytest.mark.parametrize("key", [key for key in wording.keys("problems") if ".confirmation_" in key])
def test_every_sentence_on_confirmations_is_filled_by_its_fields(key: str) -> None:
    names = {"table", "name", "edition", "page", "cells", "count", "rows"}
    assert {name for _, name, _, _ in string.Formatter().parse(wording.template(key)) if name} <= names


def test_no_cache_of_sources_forgets_the_confirmations() -> None:
    """By the annotation of what it returns: whoever keeps sources or tables keeps them by the confirmations."""
    root = Path(hazardreport.__file__).parent
    rooms = ("severity", "readings", "circuit", "assess", "risk", "addressees", "figures", "report", "standards")
    found = [
        f"{path.relative_to(root)}: {name}"
        for room in rooms
        for path in sorted((root / room).rglob("*.py"))
        for name in offences(ast.parse(path.read_text(encoding="utf-8")))
    ]
    assert found == []


HOLDING = ("Source", "Table", "Status", "Entry", "ReadingResult", "Citation", "LevelCell", "Injury", "Hazard")
ALLOWED = ("table_as_filed", "_answer", "_points", "_kept", "comparisons")
"""Of standards: they are keyed by the table itself, or by the confirmations."""


def offences(tree: Any) -> list[str]:
    return [
        node.name
        for node in ast.walk(tree)
        if isinstance(node, ast.FunctionDef)
        and node.name not in ALLOWED
        and any(re.search(r"\b(lru_)?cache\b", ast.unparse(one)) for one in node.decorator_list)
        and node.returns is not None
        and set(re.findall(r"\w+", ast.unparse(node.returns))) & set(HOLDING)
    ]


def test_a_planted_cache_of_sources_is_caught() -> None:
    assert offences(ast.parse("@cache\ndef f() -> tuple[Source, ...]:\n    return ()")) == ["f"]
    assert offences(ast.parse("@lru_cache(maxsize=3)\ndef f() -> Table:\n    return g()")) == ["f"]
    assert offences(ast.parse("@cached_by_confirmations()\ndef f() -> Source:\n    return g()")) == []

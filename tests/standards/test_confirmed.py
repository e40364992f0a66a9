"""Tables confirmed by readers: agreeing cells become confirmed, nothing else changes."""

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.case.confirmation import TableConfirmation
from hazardreport.errors import OutsideTableError
from hazardreport.quantity.trace import Source, Status
from hazardreport.standards.active import active, cached_by_confirmations
from hazardreport.standards.confirmed import (
    agrees,
    compared,
    comparisons,
    confirmations_count,
    confirmed,
    printed_cells,
)
from hazardreport.standards.tables import Table, all_tables, table, table_as_filed

RISK_LEVEL = ("eu-2019-417", "risk-level")
IMPEDANCE = ("iec-60479-1-2018", "table-4")
WORDS = {"S": "serious", "H": "high", "M": "medium", "L": "low"}
DOCUMENTS = [key for key in all_tables() if key[0] != "own-choices" and not table_as_filed(*key).own_words]
OUR_WORDS = [key for key in all_tables() if table_as_filed(*key).own_words]


def confirmation_of(
    key: tuple[str, str], rows: Sequence[tuple[str, ...]] | None = None, **changed: Any
) -> TableConfirmation:
    """A confirmation of a table with its own digits, or with others; an invented reader."""
    held = table_as_filed(*key)
    usual = TableConfirmation(
        id="confirmation-001",
        table="/".join(key),
        rows=tuple(held.rows if rows is None else rows),
        edition=held.citation.edition,
        page="11",
        name="A. Leserin",
        day="2026-05-20",
        sha256=held.sha256,
    )
    return replace(usual, **changed)


def with_cell(held: Table, number: int, column: str, text: str) -> list[tuple[str, ...]]:
    """The rows of a table with one cell otherwise."""
    place = [name for name, _ in held.arguments + held.values].index(column)
    rows = [list(row) for row in held.rows]
    rows[number][place] = text
    return [tuple(row) for row in rows]


@pytest.mark.parametrize("key", DOCUMENTS, ids="/".join)
def test_the_own_digits_of_every_table_confirm_every_cell(key: tuple[str, str]) -> None:
    found = compared(confirmation_of(key))

    assert found.not_counted == ""
    assert (found.differing, found.unfit) == ((), ())
    assert set(printed_cells(table_as_filed(*key))) == set(found.agreeing)
    with confirmations_count((confirmation_of(key),)):
        held = table(*key)
    statuses = {held.cell_status(column, number) for number, column in printed_cells(held)}
    assert statuses <= {Status.CONFIRMED, Status.CHOICE}
    if Status.CHOICE not in statuses:
        assert held.citation.status is Status.CONFIRMED
    assert (held.rows, held.sha256) == (table_as_filed(*key).rows, table_as_filed(*key).sha256)


def test_the_citation_names_edition_page_and_both_readers() -> None:
    one = confirmation_of(IMPEDANCE, edition="2018-12", page="17", second_reader="B. Zweitleser")
    with confirmations_count((one,)):
        citation = table(*IMPEDANCE).citation

    assert (citation.edition, citation.page, citation.reader, citation.second_reader) == (
        "2018-12",
        "17",
        "A. Leserin",
        "B. Zweitleser",
    )


def test_the_same_person_is_no_second_reader() -> None:
    with confirmations_count((confirmation_of(IMPEDANCE, second_reader="a. leserin "),)):
        assert table(*IMPEDANCE).citation.second_reader == ""


def test_cells_that_were_not_read_stay_as_they_are() -> None:
    held = table_as_filed(*IMPEDANCE)
    rows = [(row[0], row[1], *("" for _ in row[2:])) for row in held.rows[:2]]
    with confirmations_count((confirmation_of(IMPEDANCE, rows),)):
        found = table(*IMPEDANCE)

    first, second = (column for column, _ in held.values[:2])
    assert [found.cell_status(first, number) for number in range(3)] == [
        Status.CONFIRMED,
        Status.CONFIRMED,
        Status.FROM_MEMORY,
    ]
    assert found.cell_status(second, 0) is Status.FROM_MEMORY
    assert found.citation.status is Status.FROM_MEMORY
    assert found.source(first).status is Status.FROM_MEMORY


def test_between_rows_both_neighbours_must_be_confirmed_and_the_rule_keeps_its_status() -> None:
    held = table_as_filed(*IMPEDANCE)
    column = held.values[0][0]
    argument = held.arguments[0][0]
    at = [float(row[0]) for row in held.rows]
    middle = (at[0] + at[1]) / 2.0
    rows = [(row[0], row[1], *("" for _ in row[2:])) for row in held.rows[:1]]
    with confirmations_count((confirmation_of(IMPEDANCE, rows),)):
        assert table(*IMPEDANCE).source(column, **{argument: at[0]}).status is Status.CONFIRMED
        assert table(*IMPEDANCE).source(column, **{argument: middle}).status is Status.FROM_MEMORY
    with confirmations_count((confirmation_of(IMPEDANCE),)):
        assert table(*IMPEDANCE).source(column, **{argument: middle}).status is held.between_status


def test_digits_that_differ_are_told_never_used_and_raise_nothing() -> None:
    held = table_as_filed(*IMPEDANCE)
    column = held.values[1][0]
    printed = held.rows[3][2]
    one = confirmation_of(IMPEDANCE, with_cell(held, 3, column, str(int(printed) + 5)))
    (difference,) = compared(one).differing

    assert (difference.number, difference.column, difference.held) == (3, column, printed)
    assert difference.arguments == held.rows[3][:1]
    with confirmations_count((one,)):
        found = table(*IMPEDANCE)
    assert found.rows == held.rows
    assert found.cell_status(column, 3) is Status.FROM_MEMORY
    assert found.cell_status(column, 2) is Status.CONFIRMED
    assert found.citation.status is Status.FROM_MEMORY


def test_a_cell_that_one_reader_confirms_and_another_disputes_stays_as_it_is() -> None:
    held = table_as_filed(*IMPEDANCE)
    column = held.values[0][0]
    first = confirmation_of(IMPEDANCE)
    second = confirmation_of(IMPEDANCE, with_cell(held, 0, column, "1"), id="confirmation-002", name="B. Zweitleser")
    for order in ((first, second), (second, first)):
        with confirmations_count(order):
            assert table(*IMPEDANCE).cell_status(column, 0) is Status.FROM_MEMORY
            assert table(*IMPEDANCE).cell_status(column, 1) is Status.CONFIRMED


def test_two_readers_of_different_halves_confirm_the_whole() -> None:
    held = table_as_filed(*IMPEDANCE)
    first = confirmation_of(IMPEDANCE, held.rows[:4])
    second = confirmation_of(IMPEDANCE, held.rows[4:], id="confirmation-002", name="B. Zweitleser", page="12")
    with confirmations_count((first, second)):
        citation = table(*IMPEDANCE).citation
    assert citation.status is Status.CONFIRMED
    assert (citation.reader, citation.page) == ("A. Leserin; B. Zweitleser", "11; 12")


@pytest.mark.parametrize(
    ("why", "key", "fields"),
    [
        ("earlier_copy", IMPEDANCE, {"sha256": "0" * 64}),
        ("earlier_copy", IMPEDANCE, {"sha256": ""}),
        ("no_day", IMPEDANCE, {"day": ""}),
        ("no_day", IMPEDANCE, {"day": "31 February 2026"}),
        ("no_day", IMPEDANCE, {"day": "2026-02-31"}),
        ("no_day", IMPEDANCE, {"day": "May 2026"}),
        ("no_day", IMPEDANCE, {"day": "last spring"}),
        ("own_words", ("eu-2019-417", "injuries"), {}),
        ("incomplete", IMPEDANCE, {"page": " "}),
        ("incomplete", IMPEDANCE, {"edition": ""}),
        ("incomplete", IMPEDANCE, {"name": ""}),
        ("other_edition", IMPEDANCE, {"edition": "first edition, 1974"}),
        ("own_choice", ("own-choices", "population"), {}),
        ("own_choice", ("own-choices", "hand-held-meter"), {}),
    ],
)
def test_what_does_not_count_says_why(why: str, key: tuple[str, str], fields: dict[str, str]) -> None:
    one = confirmation_of(key, None, **fields)

    assert compared(one).not_counted == why
    with confirmations_count((one,)):
        assert table(*key) is table_as_filed(*key)


def test_an_empty_sheet_and_an_unknown_table_confirm_nothing() -> None:
    held = table_as_filed(*IMPEDANCE)
    empty = [(row[0], *("" for _ in row[1:])) for row in held.rows]

    assert compared(confirmation_of(IMPEDANCE, empty)).not_counted == "nothing_read"
    assert compared(TableConfirmation(id="x", table="iec-60479-1-2018/table-99")).not_counted == "unknown_table"
    assert compared(TableConfirmation(id="x", table="../editions")).not_counted == "unknown_table"


def test_rows_that_fit_no_row_are_told() -> None:
    held = table_as_filed(*IMPEDANCE)
    rows = [held.rows[0], held.rows[1][:-1], ("26.5", *held.rows[2][1:]), held.rows[0]]

    assert [(row.number, row.why) for row in compared(confirmation_of(IMPEDANCE, rows)).unfit] == [
        (2, "width"),
        (3, "unknown"),
        (4, "repeated"),
    ]


@pytest.mark.parametrize(
    ("printed", "read", "same"),
    [
        ("4.30", "4.3", True),
        ("4.3", "4,30", True),
        ("1150", "1\u00a0150", True),
        ("-2", "\u22122", True),
        ("1200", "1,200", False),
        ("1.200", "1,200", True),
        ("1.2", "1,200", False),
        ("", "-", True),
        ("5", "\u2013", False),
        ("", "5", False),
        ("5", "5 V", False),
        ("5", "nan", False),
        ("5", "\u0665", False),
        ("50", "5_0", False),
    ],
)
def test_cells_agree_by_value(printed: str, read: str, same: bool) -> None:
    assert agrees(printed, read) is same


def test_words_agree_without_regard_to_capitals_and_spaces() -> None:
    assert agrees("see  note", "See note", text=True)
    assert not agrees("see note", "see notes", text=True)


def test_tables_in_words_of_ours_are_those_of_texts_that_a_document_says_at_length() -> None:
    assert [
        ("16-cfr-1115", "factors"),
        *(("eu-2019-417", name) for name in ("consumers", "hazards", "injuries", "severity")),
    ] == OUR_WORDS


@pytest.mark.parametrize("key", OUR_WORDS, ids="/".join)
def test_a_table_in_words_of_ours_is_not_raised_by_a_confirmation(key: tuple[str, str]) -> None:
    before = table(*key).citation
    with confirmations_count((confirmation_of(key),)):
        assert table(*key).citation == before
        assert table(*key).confirmed == frozenset()


@cached_by_confirmations()
def kept_source() -> Source:
    return table(*IMPEDANCE).source()


def test_what_is_kept_by_confirmations_follows_them_and_comes_back() -> None:
    one = (confirmation_of(IMPEDANCE),)
    before = kept_source()
    with confirmations_count(one):
        inside = kept_source()
        with confirmations_count(()):
            assert kept_source() is before
        assert kept_source() is inside
    assert kept_source() is before
    assert (before.status, inside.status) == (Status.FROM_MEMORY, Status.CONFIRMED)


def test_a_block_ends_with_its_error() -> None:
    with pytest.raises(OutsideTableError), confirmations_count((confirmation_of(IMPEDANCE),)):
        table(*IMPEDANCE).look_up(table(*IMPEDANCE).values[0][0], **{table(*IMPEDANCE).arguments[0][0]: 1e9})
    assert table(*IMPEDANCE) is table_as_filed(*IMPEDANCE)


def test_another_thread_does_not_see_the_block() -> None:
    with confirmations_count((confirmation_of(IMPEDANCE),)), ThreadPoolExecutor(1) as pool:
        assert pool.submit(lambda: table(*IMPEDANCE)).result() is table_as_filed(*IMPEDANCE)
        assert table(*IMPEDANCE) is not table_as_filed(*IMPEDANCE)


def test_the_same_cells_give_the_same_tables_whatever_else_was_typed() -> None:
    one = confirmation_of(IMPEDANCE)
    with confirmations_count((one,)):
        first = active()
    with confirmations_count((replace(one, note="a corrigendum is pasted in"),)):
        assert active() is first


@settings(derandomize=True, deadline=None, max_examples=60)
@given(data=st.data())
def test_no_value_changes_whatever_a_reader_types(data: st.DataObject) -> None:
    key = data.draw(st.sampled_from(all_tables()))
    held = table_as_filed(*key)
    cell = st.one_of(st.sampled_from(["", "0", "1", "-", "1,5", "x", "1e3"]), st.text(max_size=4))
    printed = st.sampled_from(held.rows).map(list)
    row = st.one_of(st.lists(cell, max_size=len(held.rows[0]) + 1), printed)
    rows = data.draw(st.lists(row.map(tuple), max_size=6))
    one = confirmation_of(key, rows)
    found = compared(one)
    with confirmations_count((one,)):
        after = table(*key)

    assert after.rows == held.rows
    assert (after.between_status, after.outside_status) == (held.between_status, held.outside_status)
    for number, column in printed_cells(held):
        status = held.status(column, held.rows[number][0])
        raised = (number, column) in found.agreeing and not found.not_counted and status is not Status.CHOICE
        assert after.cell_status(column, number) is (Status.CONFIRMED if raised else status)
    number, column = data.draw(st.sampled_from(printed_cells(held)))
    if dict(held.values)[column] != "text":
        cells = zip(held.arguments, held.rows[number], strict=False)
        at = {name: text if unit == "text" else float(text) for (name, unit), text in cells}
        assert after.look_up(column, **at) == held.look_up(column, **at)
    assert confirmed(held, ()) is held
    assert comparisons((one,)) == (found,)


@pytest.mark.parametrize("spelled", [str.upper, str.lower, lambda cell: WORDS[cell], lambda cell: WORDS[cell].upper()])
def test_the_levels_of_risk_are_confirmed_by_letters_and_by_words(spelled: Callable[[str], str]) -> None:
    rows = [(row[0], *(spelled(cell) for cell in row[1:])) for row in table_as_filed(*RISK_LEVEL).rows]
    found = compared(confirmation_of(RISK_LEVEL, rows))

    assert (len(found.agreeing), found.differing) == (32, ())


@pytest.mark.parametrize("typed", ["high", "H", "h", "hi"])
def test_another_level_differs_however_it_is_spelled(typed: str) -> None:
    held = table_as_filed(*RISK_LEVEL)
    found = compared(confirmation_of(RISK_LEVEL, with_cell(held, 1, "severity_1", typed)))

    assert [(cell.held, cell.read) for cell in found.differing] == [("M", typed)]


@pytest.mark.parametrize("key", all_tables(), ids="/".join)
def test_spellings_stand_for_cells_of_the_table_and_none_for_two(key: tuple[str, str]) -> None:
    held = table_as_filed(*key)
    cells = {cell for row in held.rows for cell in row[len(held.arguments) :]}
    words = [word.casefold() for _, word in held.spellings]

    assert {cell for cell, _ in held.spellings} <= cells
    assert len(words) == len({*words})
    assert not {cell.casefold() for cell in cells} & {*words}

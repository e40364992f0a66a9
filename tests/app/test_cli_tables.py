"""confirm-table: an empty sheet out, the digits as typed from the document in."""

import csv
import io
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from hazardreport.standards.tables import all_tables, table_as_filed
from hazardreport.storage.folder import open_case

Answered = Callable[..., Any]
KEY = "iec-60479-1-2018/table-4"
BY = ("--edition", "2018", "--page", "17", "--by", "A. Leserin")


def rows_of(path: Path) -> list[list[str]]:
    return list(csv.reader(io.StringIO(path.read_text(encoding="utf-8"), newline="")))


def write(path: Path, rows: list[list[str]], delimiter: str = ",") -> None:
    with path.open("w", encoding="utf-8", newline="") as stream:
        csv.writer(stream, delimiter=delimiter).writerows(rows)


@pytest.fixture
def sheet(answered: Answered, demo: Path, tmp_path: Path) -> Path:
    path = tmp_path / "table.csv"
    assert answered("confirm-table", demo, "--table", KEY, "--blank", path).code == 0
    return path


def filled(sheet: Path, **changed: str) -> list[list[str]]:
    """The sheet with the digits of the program, and some cells as a reader typed them otherwise: r0c1="7"."""
    held = table_as_filed(*KEY.split("/"))
    rows = [rows_of(sheet)[0], *(list(row) for row in held.rows)]
    for place, text in changed.items():
        row, column = place[1:].split("c")
        rows[int(row) + 1][int(column)] = text
    write(sheet, rows)
    return rows


@pytest.mark.parametrize("key", [key for key in all_tables() if not table_as_filed(*key).own_words], ids="/".join)
def test_no_sheet_shows_a_digit_of_the_program(answered: Answered, tmp_path: Path, key: tuple[str, str]) -> None:
    path = tmp_path / "sheet.csv"
    assert answered("confirm-table", tmp_path, "--table", "/".join(key), "--blank", path).code == 0

    held, rows = table_as_filed(*key), rows_of(path)
    first = len(held.arguments)
    assert [row[:first] for row in rows[1:]] == [list(row[:first]) for row in held.rows]
    assert all(not cell for row in rows[1:] for cell in row[first:])


@pytest.mark.parametrize("key", [key for key in all_tables() if table_as_filed(*key).own_words], ids="/".join)
def test_a_table_in_words_of_ours_has_no_sheet_and_says_why(
    answered: Answered, tmp_path: Path, key: tuple[str, str]
) -> None:
    path = tmp_path / "sheet.csv"
    answer = answered("confirm-table", tmp_path, "--table", "/".join(key), "--blank", path)
    assert answer.code != 0
    assert "short words of ours" in " ".join(answer.err.split())
    assert not path.exists()
    assert "/".join(key) not in answered("confirm-table", "--list").out


@pytest.mark.parametrize("day", ["31 February 2026", "2026-02-31", "some day"])
def test_a_day_that_is_none_is_kept_and_told(answered: Answered, demo: Path, sheet: Path, day: str) -> None:
    filled(sheet)
    answer = answered("confirm-table", demo, "--table", KEY, "--digits", sheet, *BY, "--day", day)
    assert answer.code == 1
    assert "It does not count" in " ".join(answer.out.split())
    assert open_case(demo, for_writing=False).case.confirmations[0].day == day


def test_the_digits_of_the_document_become_a_confirmation(answered: Answered, demo: Path, sheet: Path) -> None:
    filled(sheet)
    answer = answered("confirm-table", demo, "--table", KEY, "--digits", sheet, *BY, "--second", "B. Zweit")

    assert answer.code == 0, answer.out + answer.err
    assert "27 of 27 cells that were read agree" in answer.out
    (one,) = open_case(demo, for_writing=False).case.confirmations
    assert (one.id, one.table, one.name, one.second_reader) == ("confirmation-001", KEY, "A. Leserin", "B. Zweit")
    assert (one.edition, one.page, one.day) == ("2018", "17", "2026-06-01")
    assert one.rows == table_as_filed(*KEY.split("/")).rows
    assert one.sha256 == table_as_filed(*KEY.split("/")).sha256


def test_the_assessment_and_the_json_say_it(answered: Answered, demo: Path, sheet: Path) -> None:
    filled(sheet)
    answered("confirm-table", demo, "--table", KEY, "--digits", sheet, *BY)
    assert '"reader": "A. Leserin"' in answered("assess", demo, "--json").out


def test_a_sheet_with_semicolons_commas_and_columns_in_another_order_is_read(
    answered: Answered, demo: Path, sheet: Path
) -> None:
    rows = filled(sheet)
    turned = [[cell.replace(".", ",") for cell in reversed(row)] for row in rows]
    write(sheet, [[], *turned], delimiter=";")
    answer = answered("confirm-table", demo, "--table", KEY, "--digits", sheet, *BY)
    assert "27 of 27" in answer.out, answer.out + answer.err


def test_differing_digits_are_told_with_exit_code_1_and_kept(answered: Answered, demo: Path, sheet: Path) -> None:
    held = table_as_filed(*KEY.split("/"))
    filled(sheet, r0c1="7", r2c3="")
    answer = answered("confirm-table", demo, "--table", KEY, "--digits", sheet, *BY)

    assert answer.code == 1
    assert "25 of 26 cells that were read agree" in answer.out
    assert f"read 7, the program has {held.rows[0][1]}" in answer.out
    assert open_case(demo, for_writing=False).case.confirmations[0].rows[0][1] == "7"
    assert "read 7" in answered("assess", demo).out


def test_the_same_person_reading_again_replaces_it_another_one_adds(
    answered: Answered, demo: Path, sheet: Path
) -> None:
    filled(sheet, r0c1="7")
    answered("confirm-table", demo, "--table", KEY, "--digits", sheet, *BY)
    filled(sheet)
    assert answered("confirm-table", demo, "--table", KEY, "--digits", sheet, *BY).code == 0
    answered("confirm-table", demo, "--table", KEY, "--digits", sheet, *BY[:-1], "B. Zweit")

    ids = [one.id for one in open_case(demo, for_writing=False).case.confirmations]
    assert ids == ["confirmation-001", "confirmation-002"]


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        ([["a", "b"], ["1", "2"]], "column"),
        ([], "empty"),
        ([["touch_voltage"], ["25"]], "missing"),
        (
            [["touch_voltage", "touch_voltage", "percentile_5", "percentile_50", "percentile_95"], ["2"] * 5],
            "stands twice",
        ),
        (
            [["touch_voltage", "percentile_5", "percentile_50", "percentile_95"], ["25", "1", "2", "3", "4"]],
            "5 cells for 4 columns",
        ),
    ],
)
def test_a_file_that_is_no_such_sheet_is_refused_and_nothing_saved(
    answered: Answered, demo: Path, tmp_path: Path, rows: list[list[str]], told: str
) -> None:
    path = tmp_path / "wrong.csv"
    write(path, rows)
    answer = answered("confirm-table", demo, "--table", KEY, "--digits", path, *BY)

    assert answer.code == 3
    assert told in answer.err
    assert open_case(demo, for_writing=False).case.confirmations == ()


@pytest.mark.parametrize("content", [b"\xff\xfe\x00", b"\x80", b"a\0b", b'"a\n', b"," * 1_100_000])
def test_bytes_that_are_no_text_are_refused(answered: Answered, demo: Path, tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "wrong.csv"
    path.write_bytes(content)
    assert answered("confirm-table", demo, "--table", KEY, "--digits", path, *BY).code == 3


def test_without_edition_page_or_reader_it_is_refused(answered: Answered, demo: Path, sheet: Path) -> None:
    filled(sheet)
    answer = answered("confirm-table", demo, "--table", KEY, "--digits", sheet, "--by", "A. Leserin")
    assert answer.code == 2
    assert "--edition, --page" in answer.err


def test_an_unknown_table_and_a_file_in_the_way_are_refused(answered: Answered, demo: Path, sheet: Path) -> None:
    assert answered("confirm-table", demo, "--table", "iec/none", "--blank", sheet).code == 3
    assert answered("confirm-table", demo, "--table", "../editions", "--blank", sheet).code == 3
    assert answered("confirm-table", demo, "--table", KEY, "--blank", sheet).code == 4
    assert answered("confirm-table", demo, "--table", KEY).code == 2
    assert answered("confirm-table", demo / "none", "--table", KEY, "--digits", sheet, *BY).code == 3


RISK_LEVEL = "eu-2019-417/risk-level"
WORDS = {"S": "serious", "H": "high", "M": "Medium", "L": "L"}


def test_a_table_of_words_says_what_to_type_and_takes_it(answered: Answered, demo: Path, tmp_path: Path) -> None:
    path = tmp_path / "levels.csv"
    answer = answered("confirm-table", demo, "--table", RISK_LEVEL, "--blank", path)
    assert "Type S or serious, H or high, M or medium, L or low" in answer.out
    heads, *rows = rows_of(path)
    assert heads[1] == "severity_1 [S or serious / H or high / M or medium / L or low]"
    held = table_as_filed(*RISK_LEVEL.split("/"))
    write(path, [heads, *([row[0], *(WORDS[cell] for cell in row[1:])] for row in map(list, held.rows))], ";")

    answer = answered("confirm-table", demo, "--table", RISK_LEVEL, "--digits", path, *BY)
    assert answer.code == 0, answer.out + answer.err
    assert "32 of 32 cells that were read agree" in answer.out
    assert len(rows) == len(held.rows)


def test_the_tables_are_listed_without_a_case(answered: Answered) -> None:
    answer = answered("confirm-table", "--list")

    assert answer.code == 0
    keys = [line.split()[0] for line in answer.out.splitlines()]
    typed = [key for key in all_tables() if key[0] != "own-choices" and not table_as_filed(*key).own_words]
    assert keys == ["/".join(key) for key in typed]
    assert answered("keys", "tables").out == answer.out


@pytest.mark.parametrize(
    ("key", "told"),
    [
        ("risk-level", "“risk-level” names no table"),
        ("eu-2019-417/levels", "no table “eu-2019-417/levels”"),
    ],
)
def test_an_unknown_table_is_named_as_typed(
    answered: Answered, demo: Path, tmp_path: Path, key: str, told: str
) -> None:
    answer = answered("confirm-table", demo, "--table", key, "--blank", tmp_path / "x.csv")

    assert answer.code != 0
    assert told in answer.err
    assert "keys tables" in answer.err


@pytest.mark.parametrize("words", [("--blank", "x.csv"), ("case", "--blank", "x.csv")])
def test_case_and_table_are_both_needed_to_confirm(answered: Answered, words: tuple[str, ...]) -> None:
    answer = answered("confirm-table", *words)

    assert answer.code == 2
    assert "--list" in answer.err


@pytest.mark.parametrize(
    ("kind", "line"),
    [
        ("addressees", "eu-maker-notice"),
        ("hazards", "high-or-low-voltage"),
        ("injuries", "electric-shock"),
        ("consumers", "very vulnerable"),
        ("requirements", "rating-plate"),
    ],
)
def test_the_keys_of_each_kind_are_listed_with_their_names(answered: Answered, kind: str, line: str) -> None:
    answer = answered("keys", kind)

    assert answer.code == 0
    assert any(one.startswith(f"{line}  ") for one in answer.out.splitlines())

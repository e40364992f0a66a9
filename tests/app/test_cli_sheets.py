"""The command line: bench sheets that do not fit are refused whole, each fault with its line and column."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from hazardreport.storage.folder import open_case

Answered = Callable[..., Any]
HEAD = "first,second,quantity,value,plug,switch\n"
GOOD = "A,E,voltage,230.9 V,reversed,off\n"


@pytest.fixture
def imported(answered: Answered, demo: Path, tmp_path: Path) -> Callable[[str], Any]:
    """The answer to importing a bench sheet of some text into the demo case."""

    def answer(text: str) -> Any:
        sheet = tmp_path / "readings.csv"
        sheet.write_bytes(text.encode("utf-8"))
        return answered("import-readings", demo, sheet)

    return answer


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        pytest.param("A,E,voltage,230.9 Ω,reversed,off\n", ("line 2", "Ω", "voltage"), id="a wrong unit"),
        pytest.param("A,E,resistance,12 V,unplugged,on\n", ("line 2", "V", "resistance"), id="volts for a resistance"),
        pytest.param("A,E,voltage,230.9 V,sideways,off\n", ("line 2", "sideways"), id="an unknown state"),
        pytest.param("A,E,voltage,230.9 V,reversed,half\n", ("line 2", "half"), id="an unknown switch"),
        pytest.param("A,E,voltage,230,9 V,reversed,off\n", ("line 2",), id="a bare decimal comma"),
        pytest.param("A,E,voltage,lots,reversed,off\n", ("line 2", "lots"), id="no number"),
        pytest.param("A,Q,voltage,230.9 V,reversed,off\n", ("line 2", "Q"), id="a point that the case lacks"),
        pytest.param(GOOD + "A,E,warmth,3,reversed,off\n", ("line 3", "warmth"), id="an unknown quantity"),
    ],
)
def test_a_row_that_does_not_fit_is_told_and_nothing_is_imported(
    imported: Callable[[str], Any],
    demo: Path,
    fingerprint: Callable[[Path], object],
    rows: str,
    told: tuple[str, ...],
) -> None:
    before = fingerprint(demo)

    answer = imported(HEAD + rows)

    assert answer.code == 3
    assert all(part in answer.err for part in told), answer.err
    assert fingerprint(demo) == before


def test_all_faults_are_told_at_once(imported: Callable[[str], Any]) -> None:
    answer = imported(HEAD + "A,E,voltage,x,reversed,off\n" + GOOD + "A,E,voltage,1 V,sideways,half\n")

    assert answer.code == 3
    assert all(part in answer.err for part in ("line 2", "line 4", "sideways", "half"))
    assert "line 3" not in answer.err


@pytest.mark.parametrize(
    "text",
    [
        pytest.param(HEAD + GOOD + "\n,,,,,\n" + GOOD, id="empty rows"),
        pytest.param(HEAD + GOOD + 'A,E,voltage,"230,9 V",reversed,off\n', id="a quoted decimal comma"),
        pytest.param((HEAD + GOOD + GOOD).replace(",", ";").replace("230.9", "230,9"), id="semicolons"),
    ],
)
def test_empty_rows_are_skipped_and_decimal_commas_understood(imported: Callable[[str], Any], text: str) -> None:
    answer = imported(text)

    assert answer.code == 0
    assert answer.out.startswith("2 readings were added; the case, now revision 7, has 27.")


def test_one_reading_is_told_in_the_singular(imported: Callable[[str], Any]) -> None:
    assert imported(HEAD + GOOD).out.startswith("1 reading was added; ")
    again = imported(HEAD + GOOD)
    assert "1 row stands in the case already" in again.out + again.err


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "readings.csv"),
        ("first,second\nA,E\n", "quantity"),
        (HEAD.replace("switch", "colour") + GOOD, "colour"),
    ],
)
def test_a_sheet_without_its_columns_is_told(imported: Callable[[str], Any], text: str, told: str) -> None:
    answer = imported(text)

    assert answer.code == 3
    assert told in answer.err


def test_a_sheet_that_is_not_there_is_told(answered: Answered, demo: Path, tmp_path: Path) -> None:
    answer = answered("import-readings", demo, tmp_path / "none.csv")

    assert answer.code == 3
    assert "none.csv" in answer.err


def test_what_cannot_be_is_told_when_a_unit_sheet_is_read_and_kept(answered: Answered, demo: Path) -> None:
    sheet = demo.parent / "odd.toml"
    sheet.write_text(
        '[unit]\npurchased = "31 February 2026"\n[consents]\nverified = "yes"\nverified_on = "2026-02-30"\n',
        encoding="utf-8",
    )
    answer = answered("import-unit", demo, sheet, "--author", "Rosa Example")

    assert answer.code == 0
    assert answer.err.count("Kept as typed:") == 2
    assert "“31 February 2026” is a day that no calendar has" in answer.err
    assert "“2026-02-30” is a day that no calendar has" in answer.err
    kept = open_case(demo, for_writing=False).case
    assert kept.unit.purchased.text == "31 February 2026"
    assert kept.consents.verified_on == "2026-02-30"
    assert answered("import-unit", demo, sheet, "--author", "Rosa Example").err == ""

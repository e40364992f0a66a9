"""What fuzzing found, each by its least input: once an exception that was not ours, a hang, or memory without bound."""

from collections.abc import Callable
from pathlib import Path

import pytest

from hazardreport import errors
from hazardreport.case import edits
from hazardreport.storage.bench_sheet import read_bench_sheet
from hazardreport.storage.unit_sheet import read_unit_sheet
from hazardreport.storage.zip_format import order
from tests.fuzz.answers import told
from tests.fuzz.full_case import SMALL

HEAD = "id,first,second,quantity,value,switch,repeats\n"
ROW = ",A,B,voltage,117 V,on,\n"


@pytest.fixture
def sheet_faults(tmp_path: Path) -> Callable[[str], list[tuple[str, str]]]:
    """Places and keys of the faults of a unit sheet."""

    def faults(text: str) -> list[tuple[str, str]]:
        path = tmp_path / "unit.toml"
        path.write_text(text, encoding="utf-8", newline="")
        with pytest.raises(errors.UnitSheetRefusedError) as caught:
            read_unit_sheet(SMALL, path)
        told(caught.value)
        return [(one.place, one.key.removeprefix("storage.")) for one in caught.value.details]

    return faults


@pytest.fixture
def bench_faults(tmp_path: Path) -> Callable[[str], list[tuple[str, str]]]:
    """Places and keys of the faults of a bench sheet."""

    def faults(text: str) -> list[tuple[str, str]]:
        path = tmp_path / "readings.csv"
        path.write_text(text, encoding="utf-8", newline="")
        with pytest.raises(errors.BenchSheetRefusedError) as caught:
            read_bench_sheet(SMALL, path)
        told(caught.value)
        return [(one.place, one.key.removeprefix("storage.")) for one in caught.value.details]

    return faults


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        pytest.param(f"[wiring]\nfrequency = 1{'0' * 400}\n", ("line 2", "too_long_word"), id="number beyond floats"),
        pytest.param(f"[wiring]\nfrequency = 0x{'f' * 5000}\n", ("line 2", "too_long_word"), id="hexadecimal number"),
        pytest.param(f"[wiring]\nnote = 0x{'f' * 5000}\n", ("line 2", "too_long_word"), id="hexadecimal for a text"),
        pytest.param("a." * 5000 + "a = 1\n", ("line 1", "too_many_parts"), id="key of many parts"),
        pytest.param("[" + "a." * 5000 + "a]\n", ("line 1", "too_many_parts"), id="table of many parts"),
        pytest.param("title = " + "[" * 9 + "]" * 9, ("", "too_deep"), id="nested lists"),
        pytest.param("title = " + "{a=" * 9 + "1" + "}" * 9, ("", "too_deep"), id="nested tables"),
        pytest.param("[[instruments]]\n" * 501, ("instruments", "too_many_items"), id="many tables"),
        pytest.param(
            "private_words = [" + "'a'," * 501 + "]", ("line 1, private_words", "too_many_items"), id="many texts"
        ),
    ],
)
def test_a_unit_sheet_without_measure_is_refused(
    sheet_faults: Callable[[str], list[tuple[str, str]]], text: str, fault: tuple[str, str]
) -> None:
    assert fault in sheet_faults(text)


def test_points_and_brackets_in_texts_and_comments_are_no_shape(tmp_path: Path) -> None:
    path = tmp_path / "unit.toml"
    text = "a.b.c.d.e.f.g.h.i.j.k [[[[[[[[[[[[ " + "x" * 300
    path.write_text(
        f"# {text}\ntitle = \"{text}\"\n[unit]\nbrand = '{text}'\nmodel = '''\n{text}'''\n"
        f'[wiring]\nnote = """\\"""{text}\n""" # {text}\n',
        encoding="utf-8",
    )
    case = read_unit_sheet(SMALL, path)
    assert (case.title, case.unit.brand.text, case.unit.model.text) == (text, text, text)
    assert case.wiring.note == f'"""{text}'


def test_spaces_behind_a_bracket_are_looked_at_once(sheet_faults: Callable[[str], list[tuple[str, str]]]) -> None:
    assert sheet_faults(f"title = [\n[{' ' * 500_000}\n1],\n]\n") == [("line 1, title", "no_text")]


def test_a_name_of_points_is_cut_into_few(sheet_faults: Callable[[str], list[tuple[str, str]]]) -> None:
    assert [key for _, key in sheet_faults(f'[unit]\n"{"a." * 200_000}" = 1\n')] == ["unknown_key_of"]


def test_lines_are_those_of_toml_where_texts_hold_other_breaks(
    sheet_faults: Callable[[str], list[tuple[str, str]]],
) -> None:
    assert sheet_faults("title = 'a\u2028b\x85c'\nx = 1\n") == [("line 2, x", "unknown_key_of")]


def test_faults_are_counted_beyond_those_that_are_kept(tmp_path: Path) -> None:
    path = tmp_path / "unit.toml"
    path.write_text("[unit]\n" + "".join(f"k{number} = 1\n" for number in range(700)))
    with pytest.raises(errors.UnitSheetRefusedError) as caught:
        read_unit_sheet(SMALL, path)
    assert (caught.value.count, len(caught.value.details)) == (700, 500)
    assert caught.value.listing.endswith("- and 660 more")


@pytest.mark.parametrize("id", ["reading-²", "reading-" + "9" * 5000, "reading-" + "9" * 30])
def test_an_id_that_looks_like_a_number_is_refused_or_taken(
    bench_faults: Callable[[str], list[tuple[str, str]]], id: str
) -> None:
    assert bench_faults(f"{HEAD}{id}{ROW}{ROW},x,\n")[0][0].startswith(("line 2, id", "line 4"))


@pytest.mark.parametrize(
    ("taken", "free"),
    [
        ((), "reading-001"),
        (("reading-007", "reading-²", "reading-١"), "reading-008"),
        (("reading-" + "9" * 5000,), "reading-001"),
        (("reading-" + "9" * 18, "reading-1" + "0" * 18), "reading-1" + "0" * 17 + "1"),
    ],
)
def test_the_next_id_is_free_whatever_ids_there_are(taken: tuple[str, ...], free: str) -> None:
    assert edits.next_id("reading", taken) == free


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        pytest.param(HEAD + ROW * 5001, ("line 5002", "too_many_rows"), id="rows"),
        pytest.param(HEAD.strip() + "," * 200 + "y\n" + ROW, ("line 1", "too_many_columns"), id="columns"),
        pytest.param(HEAD + ROW.strip() + "x;" * 501 + "\n", ("line 2, repeats", "too_many_items"), id="repeats"),
    ],
)
def test_a_bench_sheet_without_measure_is_refused(
    bench_faults: Callable[[str], list[tuple[str, str]]], text: str, fault: tuple[str, str]
) -> None:
    assert fault in bench_faults(text)


def test_empty_rows_are_no_rows(tmp_path: Path) -> None:
    path = tmp_path / "readings.csv"
    path.write_text(",,\n" * 3 + HEAD + ",,,,,,\n" * 6000 + ROW + "\n" * 6000)
    assert [one.id for one in read_bench_sheet(SMALL, path).readings] == ["reading-001"]


def test_names_of_a_zip_file_that_are_no_text_have_their_order() -> None:
    assert order("a\udcff") == b"a\xff"

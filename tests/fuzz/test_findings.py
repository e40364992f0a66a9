"""What fuzzing found, each by its least input: once an exception that was not ours, a hang, or memory without bound."""

from collections.abc import Callable
from pathlib import Path

import pytest

from hazardreport import errors
from hazardreport.case import edits
from hazardreport.storage.bench_sheet import read_bench_sheet
from hazardreport.storage.case_json import case_from_bytes
from hazardreport.storage.log import log_from_bytes, record_of
from hazardreport.storage.pack_names import clashes, path_fault
from hazardreport.storage.patch import LIST_LIMIT
from hazardreport.storage.unit_sheet import read_unit_sheet
from hazardreport.storage.zip_format import order
from hazardreport.storage.zip_reader import wide_numbers
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


def line(number: int, *changes: tuple[str, str]) -> bytes:
    """A line of a log that adds these values, as JSON, at these places."""
    operations = ",".join(f'{{"op":"add","path":"{path}","value":{value}}}' for path, value in changes)
    return (
        f'{{"revision":{number},"time":"","author":{{}},"program":"","before":"","changes":[{operations}]}}\n'.encode()
    )


@pytest.mark.parametrize(
    "data",
    [
        pytest.param(line(1, *(("/a" * depth, "{}") for depth in range(600))), id="nested by many places"),
        pytest.param(line(1, ("", "0"), ("/a" * 100_000, "0")), id="long place"),
        pytest.param(line(1, ("", "[]"), *[("/0", "0")] * (LIST_LIMIT + 1)), id="long list"),
    ],
)
def test_a_log_without_measure_is_not_replayed(data: bytes) -> None:
    with pytest.raises(errors.PatchRefusedError) as caught:
        record_of(log_from_bytes(data), {})
    told(caught.value)


@pytest.mark.parametrize(
    ("data", "key"),
    [
        pytest.param(line(1, ("", "[" * 900 + "]" * 900)), "too_deep", id="nested value"),
        pytest.param(b"\n" * 200_001, "too_many_lines", id="lines"),
        pytest.param(line(1, ("", "[" + "0," * 4_000_000 + "0]")), "too_many_values", id="values"),
    ],
)
def test_a_log_without_measure_has_a_fault(data: bytes, key: str) -> None:
    assert [one.key for one in log_from_bytes(data).faults] == [f"storage.{key}"]


def test_a_long_extra_field_of_a_zip_file_is_walked_once() -> None:
    assert wide_numbers(b"up\0\0" * 16_000 + b"\1\0\x08\0" + b"\7" + b"\0" * 7) == [7]


def test_a_deep_path_is_refused_and_cut() -> None:
    deep = "pictures/" + "a/" * 400 + "b"
    assert path_fault(deep) == "name_too_long"
    assert list(clashes([deep, deep + "c"])) == []


@pytest.mark.parametrize(
    ("data", "place", "key"),
    [
        pytest.param(
            b'{"format": 2, "case": {"' + b"k" * 50_000 + b'": [' + b"NaN," * 2_000 + b"0]}}",
            "case." + "k" * 100 + "[0]",
            "not_finite",
            id="items under a long key",
        ),
        pytest.param(b'{"format": "' + b'\\"' * 200_000, "line 1", "no_json", id="text of quotes without end"),
        pytest.param(b'{"format": 2, "case": [' + b"[]," * 1_100_000 + b"0]}", "", "too_many_values", id="values"),
    ],
)
def test_a_record_without_measure_is_refused(data: bytes, place: str, key: str) -> None:
    with pytest.raises(errors.CaseInvalidError) as caught:
        case_from_bytes(data, "case.json")
    told(caught.value)
    assert (caught.value.details[0].place, caught.value.details[0].key) == (place, f"storage.{key}")


def test_faults_of_a_record_are_counted_beyond_those_that_are_kept() -> None:
    keys = ",".join(f'"k{number}": 1' for number in range(700))
    with pytest.raises(errors.CaseInvalidError) as caught:
        case_from_bytes(f'{{"format": 2, "case": {{"id": "C-1", {keys}}}}}'.encode(), "case.json")
    assert (caught.value.count, len(caught.value.details)) == (700, 500)

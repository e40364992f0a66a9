"""Bench sheets: read however spreadsheets write them, refused as a whole."""

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport import errors, wording
from hazardreport.case.case import Case
from hazardreport.case.picture import Point
from hazardreport.case.reading import (
    EarthState,
    Instrument,
    Load,
    LoadKind,
    PlugPosition,
    Quantity,
    Reading,
    State,
    SupplyKind,
    SwitchPosition,
    Temperature,
)
from hazardreport.case.wiring import SwitchPoles, Wiring
from hazardreport.resources_dir import RESOURCES
from hazardreport.storage.bench_row import COLUMNS
from hazardreport.storage.bench_sheet import bench_sheet, bench_sheet_of, read_bench_sheet

CASE = Case(
    id="C-1",
    points=tuple(Point(letter=letter) for letter in ("A", "B", "C", "E", "AA")),
    instruments=(Instrument(id="instrument-001", name="Multimeter 1"),),
)
Make = Callable[[str | bytes], Path]
HEAD = "first,second,quantity,value,switch\n"


@pytest.fixture
def sheet(tmp_path: Path) -> Make:
    def make(text: str | bytes) -> Path:
        path = tmp_path / "readings.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    return make


def refusal(path: Path, case: Case = CASE) -> errors.BenchSheetRefusedError:
    with pytest.raises(errors.BenchSheetRefusedError) as caught:
        read_bench_sheet(case, path)
    assert caught.value.listing in wording.what(caught.value)
    return caught.value


def places(error: errors.BenchSheetRefusedError) -> list[str]:
    return [fault.place for fault in error.details]


def test_a_row_becomes_a_reading(sheet: Make) -> None:
    text = (
        "First;Second;Quantity;Value;Plug;Switch;Earth;Temperature;Load;Load_ohm;Load rated V;Load rated W;Instrument;"
        "Supply;Supply_voltage;Proved;Repeats;Taken;By;As found;Note\r\n"
        "a;e;Voltage;117,4 V;reversed;off;absent;working temperature;resistor;4700,5;;;multimeter 1;inverter;121,2 V;"
        'yes;"117,2 V; 117,5 V";4 May, noon;Kim;x;"two\nlines"\r\n'
    )
    assert read_bench_sheet(CASE, sheet(text)).readings == (
        Reading(
            id="reading-001",
            first="A",
            second="E",
            quantity=Quantity.VOLTAGE,
            typed="117,4 V",
            state=State(
                plug=PlugPosition.REVERSED,
                switch=SwitchPosition.OFF,
                earth=EarthState.ABSENT,
                temperature=Temperature.WORKING,
            ),
            load=Load(kind=LoadKind.RESISTOR, resistance=4700.5),
            instrument="instrument-001",
            supply=SupplyKind.INVERTER,
            supply_typed="121,2 V",
            proved=True,
            repeats=("117,2 V", "117,5 V"),
            taken="4 May, noon",
            by="Kim",
            as_found=True,
            note="two\nlines",
        ),
    )


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_every_spreadsheets_dialect_is_read(sheet: Make, delimiter: str, encoding: str, ending: str) -> None:
    rows = (("first", "second", "quantity", "value", "switch"), ("A", "B", "resistance", '"24,3 Ω"', "on"), ("",) * 5)
    text = "".join(delimiter.join(row) + ending for row in rows)
    found = bench_sheet_of(CASE, sheet(text.encode(encoding)))
    assert [one.typed for one in found.readings] == ["24,3 Ω"]
    assert found.readings[0].state == State(plug=PlugPosition.UNPLUGGED, switch=SwitchPosition.ON)
    assert found.skipped == 1


def test_a_line_that_names_the_delimiter_is_left_out(sheet: Make) -> None:
    found = bench_sheet_of(CASE, sheet("sep=;\r\n" + HEAD.replace(",", ";") + "A;B;resistance;1,5;on\r\n"))
    assert [one.typed for one in found.readings] == ["1,5"]


def test_empty_rows_are_skipped_and_counted(sheet: Make) -> None:
    found = bench_sheet_of(
        CASE, sheet("\n,,\n" + HEAD + ",,,,\nA,B,resistance,5,on\n\n , ,,,\nA,C,resistance,6,on,,\n")
    )
    assert [one.typed for one in found.readings] == ["5", "6"]
    assert found.skipped == 3


def test_a_live_reading_without_plug_position_is_not_given_one(sheet: Make) -> None:
    found = bench_sheet_of(CASE, sheet(HEAD + "A,E,voltage,117,on\n"))
    assert found.readings[0].state.plug is PlugPosition.UNKNOWN


def test_a_unit_without_switch_needs_no_switch_position(sheet: Make) -> None:
    case = replace(CASE, wiring=Wiring(switch=SwitchPoles.NONE))
    path = sheet("first,second,quantity,value\nA,B,resistance,5\n")
    assert bench_sheet_of(case, path).readings[0].state.switch is SwitchPosition.NONE
    assert places(refusal(path)) == ["line 2, switch"]


def test_a_known_id_replaces_its_reading_and_others_are_added(sheet: Make) -> None:
    case = read_bench_sheet(CASE, sheet(HEAD + "A,B,resistance,5,on\nA,C,resistance,6,on\n"))
    text = "id," + HEAD + "reading-002,A,C,resistance,7,on\n,A,E,resistance,8,on\nreading-003,B,E,resistance,9,on\n"
    changed = read_bench_sheet(case, sheet(text))
    assert [(one.id, one.typed) for one in changed.readings] == [
        ("reading-001", "5"),
        ("reading-002", "7"),
        ("reading-004", "8"),
        ("reading-003", "9"),
    ]


def test_all_refusals_are_told_together_and_nothing_comes_in(sheet: Make) -> None:
    error = refusal(
        sheet(
            "id,first,second,quantity,value,plug,switch,load,load_ohm,load_rated_V,instrument,proved,picture,repeats\n"
            "r 1,A,B,resistance,5 V,sideways,on,,,,,,,\n"
            ",Q,B,inductance,5,,on,,,,,,,\n"
            ",A,A,resistance,,,maybe,resistor,,,other meter,perhaps,picture-9,\n"
            ",A,B,lamp brightness,bright,,on,filament lamp,,230,,,,\n"
            ",A,B,voltage,5 V,,on,,-3,,,,,5 V; five\n"
            "good,A,B,voltage,5 V,,on,,,,,,,\n"
            "good,A,B,voltage,6 V,,on,,,,,,,\n"
        )
    )
    assert set(places(error)) == {
        "line 2, id",
        "line 2, value",
        "line 2, plug",
        "line 3, first",
        "line 3, quantity",
        "line 4, second",
        "line 4, value",
        "line 4, switch",
        "line 4, load_ohm",
        "line 4, instrument",
        "line 4, proved",
        "line 4, picture",
        "line 5, value",
        "line 5, load_rated_W",
        "line 6, load_ohm",
        "line 6, repeats",
        "line 8, id",
    }
    assert "A, B, C, E, AA" in error.listing
    assert "Multimeter 1" in error.listing


def test_an_unquoted_decimal_comma_between_commas_is_explained(sheet: Make) -> None:
    error = refusal(sheet(HEAD + "A,B,resistance,24,3 Ω,on\n"))
    assert places(error) == ["line 2"]
    assert "quotes" in error.listing


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("", ""),
        ("\n\n,,\n", ""),
        ("first,second,quantity\nA,B,voltage\n", "line 1"),
        ("first,second,quantity,value,colour\n", "line 1, colour"),
        ("first,second,quantity,value,Value\n", "line 1, value"),
        (HEAD + '"A,B\n', "line 2"),
        (b"first,second,quantity,value\nA,B,resistance,24 \xea\n", ""),
        (b"\0\1\2\3", ""),
        (b"\xff\xfeA", ""),
    ],
)
def test_what_is_no_sheet_is_refused(sheet: Make, text: str | bytes, place: str) -> None:
    assert places(refusal(sheet(text)))[0] == place


def test_line_numbers_count_lines_within_cells(sheet: Make) -> None:
    text = "first,second,quantity,value,switch,note\n" + 'A,B,resistance,5,on,"a\nb\nc"\nA,Q,resistance,5,on,\n'
    assert places(refusal(sheet(text))) == ["line 5, second"]


def test_the_document_explains_every_column_and_its_example_is_read(sheet: Make) -> None:
    text = (RESOURCES / "schema" / "bench-sheet.md").read_text(encoding="utf-8")
    explained = {
        name for row in re.findall(r"^\| (`.*?) \|", text, re.MULTILINE) for name in re.findall(r"`(\w+)`", row)
    }
    assert explained == set(COLUMNS)
    example = re.search(r"```csv\n(.*?)```", text, re.DOTALL)
    assert example is not None
    assert len(bench_sheet_of(CASE, sheet(example[1])).readings) == 3


TEXTS = st.text(st.characters(exclude_categories=("C",)), max_size=12).map(str.strip)
SIZES = st.none() | st.floats(min_value=1e-6, max_value=1e9)
LOADS = st.one_of(
    st.just(Load()),
    st.builds(
        Load, kind=st.just(LoadKind.RESISTOR), resistance=st.floats(min_value=1e-3, max_value=1e9), tolerance=SIZES
    ),
    st.builds(
        Load,
        kind=st.just(LoadKind.LAMP),
        rated_voltage=st.floats(min_value=1, max_value=400),
        rated_power=st.floats(min_value=1, max_value=400),
    ),
)
READINGS = st.builds(
    Reading,
    id=st.just(""),
    first=st.sampled_from(["A", "B"]),
    second=st.sampled_from(["C", "AA"]),
    quantity=st.just(Quantity.VOLTAGE),
    typed=st.sampled_from(["117 V", "117,4 V", "OL", "> 20 V", "0.5", "-3 V", "117.4 ± 0.5 V"]),
    state=st.builds(
        State,
        plug=st.sampled_from(PlugPosition),
        switch=st.sampled_from(SwitchPosition),
        earth=st.sampled_from(EarthState),
        temperature=st.sampled_from(Temperature),
    ),
    load=LOADS,
    instrument=st.sampled_from(["", "instrument-001"]),
    supply=st.sampled_from(SupplyKind),
    supply_typed=st.sampled_from(["", "230 V"]),
    proved=st.booleans(),
    repeats=st.lists(st.sampled_from(["117.1 V", "118 V"]), max_size=3).map(tuple),
    taken=TEXTS,
    by=TEXTS,
    as_found=st.booleans(),
    note=TEXTS | st.sampled_from(["=1+1", "'=1+1", "@x", "+x", "-x", "-3", "''=", "a,b", 'say "x"', "a;b"]),
)


@given(readings=st.lists(READINGS, max_size=4))
@settings(derandomize=True, deadline=None, max_examples=150)
def test_an_exported_sheet_comes_back_as_it_was(
    tmp_path_factory: pytest.TempPathFactory, readings: list[Reading]
) -> None:
    case = replace(
        CASE,
        readings=tuple(replace(one, id=f"reading-{number:03d}") for number, one in enumerate(readings, 1)),
    )
    path = tmp_path_factory.getbasetemp() / "export.csv"
    path.write_bytes(bench_sheet(case).encode())
    assert read_bench_sheet(CASE, path) == case
    assert read_bench_sheet(case, path) == case


def test_no_cell_of_an_export_looks_like_a_formula() -> None:
    note = '=HYPERLINK("http://example.org")'
    one = Reading(id="reading-001", first="A", second="B", quantity=Quantity.VOLTAGE, typed="-5 V", note=note)
    text = bench_sheet(replace(CASE, readings=(one,)))
    assert "\"'=HYPERLINK" in text
    assert ",-5 V," in text

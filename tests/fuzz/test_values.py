"""Odd values in every place of every file: read and saved equal, or refused with words and the place."""

import json
import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport import errors
from hazardreport.case.case import Case
from hazardreport.errors import Fault
from hazardreport.quantity.typed import UNITS
from hazardreport.storage.bench_row import COLUMNS
from hazardreport.storage.bench_sheet import bench_sheet, read_bench_sheet
from hazardreport.storage.case_json import case_bytes, case_from_bytes
from hazardreport.storage.faults import at_line
from hazardreport.storage.unit_sheet import read_unit_sheet
from tests.fuzz import json_tree, odd, toml_text
from tests.fuzz.answers import told
from tests.fuzz.full_case import SMALL, full_case
from tests.fuzz.json_tree import Members, Raw
from tests.fuzz.targets import case_record, log, pack, readings_csv, typed_text, unit_toml

RECORD = json.loads(case_bytes(full_case()))
RANDOM = st.integers(min_value=0, max_value=2**32).map(random.Random)
TEXT = st.text(st.characters(exclude_categories=("Cs",)))
few = settings(derandomize=True, deadline=None, max_examples=60)
many = settings(derandomize=True, deadline=None, max_examples=300)


def every_place(value: Any, place: str, keys: tuple[Any, ...]) -> list[tuple[str, tuple[Any, ...]]]:
    """Places of a record as messages name them, with the keys that lead there."""
    inner: list[tuple[str, Any]] = []
    if isinstance(value, dict):
        inner = [(f"{place}.{key}", key) for key in value]
    elif isinstance(value, list):
        inner = [(f"{place}[{index}]", index) for index in range(len(value))]
    return [(place, keys), *(one for name, key in inner for one in every_place(value[key], name, (*keys, key)))]


RECORDS = [json.loads(data) for data in json_tree.documents(case_bytes(full_case()))]
"""A record for each field of the case, so that each is small."""

PLACES = [(record, place, keys) for record in RECORDS for place, keys in every_place(record["case"], "case", ("case",))]
NOT_IN_JSON = (float("nan"), float("-inf"), 10**400, "half \ud83d", {"\udfff": 1})


def changed_record(record: Any, keys: tuple[Any, ...], value: Any) -> bytes:
    """The record with another value in one place."""
    record = json.loads(json.dumps(record))
    holder = record
    for key in keys[:-1]:
        holder = holder[key]
    holder[keys[-1]] = value
    return json.dumps(record).encode()


def refused(data: bytes) -> list[str]:
    """Places of the faults of a record that must be refused."""
    with pytest.raises(errors.CaseInvalidError) as caught:
        case_from_bytes(data, "case.json")
    told(caught.value)
    return [one.place for one in caught.value.details]


def test_a_value_of_another_type_is_refused_at_its_place() -> None:
    assert len(PLACES) > 250
    for record, place, keys in PLACES:
        found = refused(changed_record(record, keys, [[{"x": 1}]]))
        assert any(one.startswith(place) for one in found), place


@pytest.mark.parametrize("start", range(len(NOT_IN_JSON)))
def test_what_json_cannot_hold_is_refused_at_its_place(start: int) -> None:
    for index, (record, place, keys) in enumerate(PLACES[start :: len(NOT_IN_JSON)]):
        value = NOT_IN_JSON[(index + start) % len(NOT_IN_JSON)]
        assert place in refused(changed_record(record, keys, value)), (place, value)


def test_a_repeated_key_is_refused_at_its_place() -> None:
    for record in RECORDS:
        named = every_place(record["case"], "case", ("case",))
        members = [place for place, keys in named[1:] if isinstance(keys[-1], str)]
        for index, place in enumerate(members):
            whole = json_tree.tree(json.dumps(record).encode())
            case = next(pair for pair in whole.pairs if pair[0] == "case")
            inside, at, _ = [one for one in json_tree.places(case[1]) if one[2]][index]
            inside.insert(at, list(inside[at]))
            assert place in refused(json_tree.written(whole).encode()), place


@pytest.mark.parametrize("text", [*odd.TEXTS, "x" * 1_000_000])
def test_odd_texts_in_every_text_of_a_record_come_back_equal(text: str) -> None:
    case = full_case()
    for place in ("title", "created", "published_from"):
        record = json.loads(json.dumps(RECORD))
        record["case"][place] = text
        case = case_from_bytes(json.dumps(record).encode(), "case.json")
        assert getattr(case, place) == text
        assert case_from_bytes(case_bytes(case), "case.json") == case


@pytest.mark.parametrize("column", COLUMNS)
def test_an_odd_cell_is_read_or_refused_at_its_line_and_column(column: str, tmp_path: Path) -> None:
    good = dict.fromkeys(COLUMNS, "") | {"first": "A", "second": "E", "quantity": "voltage", "value": "117 V"}
    good["switch"] = "on"
    path = tmp_path / "readings.csv"
    for text in (*odd.TEXTS, *odd.NUMBERS, "x" * 140_000):
        cells = [text if name == column else good[name] for name in COLUMNS]
        written = ",".join('"' + cell.replace('"', '""').replace("\0", "") + '"' for cell in cells)
        path.write_text(f"{','.join(COLUMNS)}\n{written}\n", encoding="utf-8", newline="")
        case, faults = answer(read_bench_sheet, path)
        places = {at_line(2, column), at_line(2, column.partition("_")[0]), at_line(2, "")}
        assert not faults or places & {one.place for one in faults}, text
        path.write_text(bench_sheet(case), encoding="utf-8", newline="")
        assert read_bench_sheet(SMALL, path).readings == case.readings


def answer(read: Callable[[Case, Path], Case], path: Path) -> tuple[Case, tuple[Fault, ...]]:
    """The case after a sheet, and the faults of the sheet, told."""
    try:
        return read(SMALL, path), ()
    except (errors.BenchSheetRefusedError, errors.UnitSheetRefusedError) as error:
        told(error)
        return SMALL, error.details


FIELDS = (
    "title",
    "unit.brand",
    "unit.model",
    "wiring.nominal_voltage",
    "wiring.cord_cores",
    "wiring.plug",
    "wiring.element.rated_power",
    "household.children",
    "household.floor_resistance",
    "consents.verified",
    "submitter.email",
    "absent.pictures",
)


@pytest.mark.parametrize("field", FIELDS)
def test_an_odd_value_of_a_unit_sheet_is_read_or_refused_at_its_line(field: str, tmp_path: Path) -> None:
    table, _, name = field.rpartition(".")
    path = tmp_path / "unit.toml"
    texts = [json.dumps(text, ensure_ascii=False).replace("\x7f", "") for text in odd.TEXTS]
    for value in (*toml_text.VALUES, *odd.NUMBERS, *texts):
        path.write_text(f"[{table}]\n{name} = {value}\n" if table else f"{name} = {value}\n", encoding="utf-8")
        case, faults = answer(read_unit_sheet, path)
        line = at_line(2 if table else 1, "")
        assert not faults or any(
            one.place.startswith(line) or one.key in ("storage.no_toml", "storage.too_deep") for one in faults
        ), value
        assert case_from_bytes(case_bytes(case), "case.json") == case


@given(random_=RANDOM)
@many
def test_changed_records_are_read_or_refused(random_: random.Random) -> None:
    data = random_.choice(case_record.seeds())
    case_record.one_input(case_record.changed(data, random_))


@given(random_=RANDOM)
@many
def test_changed_bench_sheets_are_read_or_refused(random_: random.Random) -> None:
    readings_csv.one_input(readings_csv.changed(random_.choice(readings_csv.seeds()), random_))


@given(random_=RANDOM)
@many
def test_changed_unit_sheets_are_read_or_refused(random_: random.Random) -> None:
    unit_toml.one_input(unit_toml.changed(random_.choice(unit_toml.seeds()), random_))


@given(random_=RANDOM)
@few
def test_changed_logs_are_read_or_their_faults_told(random_: random.Random) -> None:
    log.one_input(log.changed(random_.choice(log.seeds()), random_))


@given(random_=RANDOM)
@few
def test_changed_packs_are_unpacked_whole_or_not_at_all(random_: random.Random) -> None:
    pack.one_input(pack.changed(random_.choice(pack.seeds()), random_))


@given(data=st.binary(max_size=200))
@many
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    case_record.one_input(data)
    readings_csv.one_input(data)
    unit_toml.one_input(data)


@given(text=TEXT, quantity=st.sampled_from(sorted(UNITS)))
@many
def test_any_typed_text_is_read_or_refused(text: str, quantity: str) -> None:
    typed_text.one_input(bytes([typed_text.QUANTITIES.index(quantity)]) + text.encode())


@given(random_=RANDOM)
@many
def test_changed_typed_texts_are_read_or_refused(random_: random.Random) -> None:
    typed_text.one_input(typed_text.changed(b"\0117.4 V", random_))


def test_the_tree_of_a_record_is_written_as_it_was_read() -> None:
    data = b'{"a":[1,2.50,null,"\\ud800",{"a":1,"a":NaN}],"":{}}'
    assert json_tree.written(json_tree.tree(data)).encode() == data
    assert json_tree.tree(b'{"a":1}') == Members([["a", Raw("1")]])

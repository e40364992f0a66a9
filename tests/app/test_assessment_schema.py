"""The assessment as JSON against its published schema, by an independent validator."""

import copy
import itertools
import json
import math
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from hazardreport.app.assessment_json import assessment_json
from hazardreport.assess.assessment import assess, live_part
from hazardreport.case.case import Case
from hazardreport.quantity.trace import Trace
from hazardreport.resources_dir import DEMO_CASE, RESOURCES
from hazardreport.storage.bench_sheet import read_bench_sheet
from hazardreport.storage.folder import open_case
from hazardreport.storage.unit_sheet import read_unit_sheet

ROOT = Path(__file__).resolve().parents[2]
SCHEMA = RESOURCES / "schema" / "assessment.schema.json"
TYPED_WRONG = ("", "OL", "twelve", "> 20 MΩ", "1e999 V", "-5 V", "230", "0 Ω", "not detected")
GLUE_POT = ROOT / "tests" / "material" / "glue-pot"


@pytest.fixture(scope="module")
def making() -> ModuleType:
    spec = spec_from_file_location("assessment_schema", ROOT / "tests" / "making" / "assessment_schema.py")
    assert spec is not None
    assert spec.loader is not None
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def validator() -> Draft202012Validator:
    schema = json.loads(SCHEMA.read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema)


@pytest.fixture(scope="module")
def demo() -> Case:
    return open_case(DEMO_CASE, for_writing=False).case


@pytest.fixture(scope="module")
def document(demo: Case) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(assessment_json(demo, assess(demo)))
    return found


def test_the_schema_is_that_of_the_records(making: ModuleType) -> None:
    assert SCHEMA.read_text(encoding="utf-8") == making.schema_text()


def test_every_number_has_a_unit(making: ModuleType) -> None:
    assert making.numbers_without_unit() == []


def test_the_demo_is_valid(validator: Draft202012Validator, document: dict[str, Any]) -> None:
    assert [error.message for error in validator.iter_errors(document)] == []


def test_an_empty_case_and_the_live_part_are_valid(validator: Draft202012Validator, demo: Case) -> None:
    for case, assessment in (
        (Case(id="C-1"), assess(Case(id="C-1"))),
        (demo, live_part(demo).assessment),
        (replace(demo, readings=demo.readings[:3]), assess(replace(demo, readings=demo.readings[:3]))),
    ):
        written = json.loads(assessment_json(case, assessment))
        assert [error.message for error in validator.iter_errors(written)] == []


def test_other_units_and_a_case_full_of_problems_are_valid(validator: Draft202012Validator, demo: Case) -> None:
    glue_pot = read_bench_sheet(read_unit_sheet(Case(id="C-2"), GLUE_POT / "unit.toml"), GLUE_POT / "readings.csv")
    faulty = tuple(
        replace(reading, typed=typed, instrument="", second=reading.first if number % 2 else reading.second)
        for number, (reading, typed) in enumerate(zip(demo.readings, itertools.cycle(TYPED_WRONG), strict=False))
    )
    wiring = replace(demo.wiring, frequency=None, nominal_voltage=-1.0)
    for case, least in (
        (glue_pot, 0),
        (replace(demo, readings=faulty), len(faulty) // 2),
        (replace(demo, wiring=wiring), 1),
        (replace(glue_pot, household=demo.household, instruments=()), 1),
    ):
        assessment = assess(case)
        written = json.loads(assessment_json(case, assessment), parse_constant=_refuse)
        assert [error.message for error in validator.iter_errors(written)] == []
        assert len(written["assessment"]["problems"]) >= least


def _refuse(constant: str) -> None:
    raise AssertionError(f"{constant} is no JSON")


def test_a_number_that_is_none_is_never_written(demo: Case) -> None:
    assessment = live_part(demo).assessment
    first, *others = assessment.trace
    nothing = replace(first, measured=replace(first.measured, value=math.nan))

    with pytest.raises(ValueError, match="JSON"):
        assessment_json(demo, replace(assessment, trace=Trace(numbers=(nothing, *others))))


def test_the_description_names_every_key() -> None:
    """Every key of the schema's records of results stands in assessment.md, and the units of its enumeration."""
    described = (SCHEMA.parent / "assessment.md").read_text(encoding="utf-8")
    records = json.loads(SCHEMA.read_text(encoding="utf-8"))["$defs"]
    keys = {name for record in records.values() for name in record.get("properties", {}) if "_infinite" not in name}
    assert {
        key for key in keys | set(records["Measured"]["properties"]["unit"]["enum"]) if f"`{key}`" not in described
    } == set()


def test_the_same_case_gives_the_same_bytes(demo: Case) -> None:
    assert assessment_json(demo, assess(demo)) == assessment_json(demo, assess(demo))


def _drop_key(document: dict[str, Any]) -> None:
    del document["assessment"]["verdict"]["word"]


def _wrong_type(document: dict[str, Any]) -> None:
    document["assessment"]["trace"][0]["measured"]["value"] = "230"


def _unknown_key(document: dict[str, Any]) -> None:
    document["assessment"]["mood"] = 1


def _unknown_unit(document: dict[str, Any]) -> None:
    document["assessment"]["trace"][0]["measured"]["unit"] = "mV"


def _unknown_state(document: dict[str, Any]) -> None:
    document["assessment"]["states"][0]["state"] = "sideways-on"


def _not_a_number(document: dict[str, Any]) -> None:
    document["assessment"]["trace"][0]["measured"]["value_infinite"] = "nan"


@pytest.mark.parametrize("plant", [_drop_key, _wrong_type, _unknown_key, _unknown_unit, _unknown_state, _not_a_number])
def test_a_planted_defect_is_refused(
    validator: Draft202012Validator, document: dict[str, Any], plant: Callable[[dict[str, Any]], None]
) -> None:
    planted = copy.deepcopy(document)
    plant(planted)

    assert not validator.is_valid(planted)


def test_every_number_that_is_named_is_in_the_trace(document: dict[str, Any]) -> None:
    """The object alone is enough to go back from the verdict to the readings."""
    numbers = {number["id"]: number for number in document["assessment"]["trace"]}
    pending = list(document["assessment"]["verdict"]["figures"])
    seen: set[str] = set()
    while pending:
        number = numbers[pending.pop()]
        if number["id"] not in seen:
            seen.add(number["id"])
            pending += number["inputs"]
    assert any(name.startswith("reading.") for name in seen)


def test_sheets_alone_run_the_engine_without_a_window(tmp_path: Path) -> None:
    """A new case, a unit sheet, a bench sheet, and the assessment: no module of the window is loaded."""
    script = f"""
import io, sys
from hazardreport.app.cli import run

case = {str(tmp_path / "case")!r}
out = io.StringIO()
for arguments in (
    ["new", case],
    ["import-unit", case, {str(GLUE_POT / "unit.toml")!r}],
    ["import-readings", case, {str(GLUE_POT / "readings.csv")!r}],
):
    assert run(arguments, io.StringIO(), sys.stderr) == 0, arguments
assert run(["assess", case, "--json"], out, sys.stderr) == 0
assert not [name for name in sys.modules if name.startswith("PySide6")]
sys.stdout.write(out.getvalue())
"""
    answer = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False, timeout=120)

    assert answer.returncode == 0, answer.stderr
    assert json.loads(answer.stdout)["assessment"]["verdict"]["word"] == "WARNING"

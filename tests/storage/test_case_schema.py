"""The published schema of case.json is the one that the records make."""

import json
import runpy
from pathlib import Path
from typing import Any

import pytest

from hazardreport.case.case import Case
from hazardreport.case.picture import Mark, MarkKind, Picture
from hazardreport.case.stated import unknown
from hazardreport.case.unit import Unit
from hazardreport.storage.case_json import case_bytes

SCRIPT = Path(__file__).parents[1] / "making" / "case_schema.py"


@pytest.fixture(scope="module")
def script() -> dict[str, Any]:
    return runpy.run_path(str(SCRIPT))


def test_the_schema_is_up_to_date(script: dict[str, Any]) -> None:
    assert script["PATH"].read_text(encoding="utf-8") == script["schema_text"](), "run tests/making/case_schema.py"


def fits(value: Any, schema: dict[str, Any], root: dict[str, Any]) -> bool:
    """The part of JSON schema that our schema uses."""
    if "$ref" in schema:
        return fits(value, root["$defs"][schema["$ref"].rsplit("/", 1)[1]], root)
    if "anyOf" in schema:
        return any(fits(value, one, root) for one in schema["anyOf"])
    if "enum" in schema or "const" in schema:
        return value in schema.get("enum", [schema.get("const")])
    if schema["type"] == "object":
        known = schema["properties"]
        return (
            isinstance(value, dict)
            and set(schema.get("required", ())) <= set(value) <= set(known)
            and all(fits(item, known[name], root) for name, item in value.items())
        )
    if schema["type"] == "array":
        if not isinstance(value, list):
            return False
        if "prefixItems" in schema:
            return len(value) == len(schema["prefixItems"]) and all(
                fits(item, one, root) for item, one in zip(value, schema["prefixItems"], strict=True)
            )
        return all(fits(item, schema["items"], root) for item in value)
    kinds = {"string": str, "integer": int, "number": (int, float), "boolean": bool, "null": type(None)}
    return isinstance(value, kinds[schema["type"]])


def record() -> dict[str, Any]:
    mark = Mark(id="mark-001", kind=MarkKind.ARROW, vertices=((0.0, 1.0), (2.0, 3.0)))
    picture = Picture(
        id="picture-001",
        file="picture-001.jpg",
        original_name="a.jpg",
        media_type="image/jpeg",
        sha256="0" * 64,
        size=1,
        width=1,
        height=1,
        marks=(mark,),
    )
    case = Case(id="C-1", unit=Unit(brand=unknown("scratched")), pictures=(picture,))
    loaded: dict[str, Any] = json.loads(case_bytes(case))
    return loaded


def test_a_saved_case_fits_the_schema(script: dict[str, Any]) -> None:
    schema = script["schema"]()
    assert fits(record(), schema, schema)


def test_what_the_reader_refuses_does_not_fit(script: dict[str, Any]) -> None:
    schema = script["schema"]()
    more, kind, mark = record(), record(), record()
    more["case"]["unit"]["more"] = 1
    kind["case"]["wiring"]["plug"] = "sideways"
    mark["case"]["pictures"][0]["marks"][0]["vertices"] = [[1.0]]
    for wrong in (
        more,
        kind,
        mark,
        {"format": 4, "oldest_reader": 2, "case": record()["case"]},
        {"format": 3, "oldest_reader": 2},
    ):
        assert not fits(wrong, schema, schema)

"""Makes resources/schema/assessment.schema.json from the records: python tests/making/assessment_schema.py"""

import json
from typing import Any

import msgspec

from hazardreport.app.assessment_json import FORMAT, VERSION
from hazardreport.assess.records import Assessment
from hazardreport.case.unit_state import UnitState
from hazardreport.quantity.trace import Number, Trace
from hazardreport.resources_dir import RESOURCES

PATH = RESOURCES / "schema" / "assessment.schema.json"
STATE = r"^(straight|reversed|unplugged|unknown)-(on|off)(-cut-out)?(-earthed)?$"
UNITS = ["1", "A", "C", "F", "Hz", "J", "V", "W", "ohm", "s"]
UNIT_OF = {
    "agreeing": "1",
    "cells": "1",
    "chi_square": "1",
    "degrees_of_freedom": "1",
    "difference": "1",
    "falls_after": "bands of probability",
    "high": "as the number's own",
    "low": "as the number's own",
    "percentile": "% of people, whose impedance is not above the one meant",
    "probability": "1",
    "rises_after": "bands of probability",
    "score": "1",
    "seed": "1",
    "standard_uncertainty": "as `unit` says",
    "standardized": "1",
    "step": "none, it counts the steps from 1",
    "tolerance": "1",
    "trials": "1",
    "value": "as `unit` says",
}
"""Unit of every number that stands outside of a measured value."""


def schema() -> dict[str, Any]:
    """JSON schema of what `hazardreport assess --json` writes: nothing beside the keys that it names."""
    (reference, number), records = msgspec.json.schema_components([Assessment, Number], ref_template="#/$defs/{name}")
    records.pop(Trace.__name__, None)
    records[UnitState.__name__] = {"type": "string", "pattern": STATE, "description": "A state of the unit."}
    for record in records.values():
        if record.get("type") == "object":
            _as_written(record)
    records["Assessment"]["properties"]["trace"] = {"type": "array", "items": number}
    records["Measured"]["properties"]["unit"] = {"enum": UNITS}
    case = {name: {"type": kind} for name, kind in (("id", "string"), ("title", "string"), ("revision", "integer"))}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Assessment of a case",
        "type": "object",
        "properties": {
            "format": {"const": FORMAT},
            "version": {"const": VERSION},
            "program": {"type": "string"},
            "case": {"type": "object", "properties": case, "required": list(case), "additionalProperties": False},
            "assessment": reference,
        },
        "required": ["format", "version", "program", "case", "assessment"],
        "additionalProperties": False,
        "$defs": dict(sorted(records.items())),
    }


def _as_written(record: dict[str, Any]) -> None:
    """Every key is written; a number that is infinite is null, with a key beside it that says which way."""
    record["description"] = record.get("description", "").split("\n")[0]
    record["additionalProperties"] = False
    record["required"] = sorted(record["properties"])
    for name, field in list(record["properties"].items()):
        plain = {key: item for key, item in field.items() if key != "default"}
        if _is_number(plain):
            plain["description"] = f"Unit: {UNIT_OF[name]}."
            if "number" in _types(plain):
                record["properties"][f"{name}_infinite"] = {"enum": ["+", "-"]}
                plain = {"anyOf": [{"type": "number"}, {"type": "null"}], "description": plain["description"]}
        record["properties"][name] = plain


def _types(field: dict[str, Any]) -> set[str]:
    if "anyOf" in field:
        return {option.get("type", "") for option in field["anyOf"]}
    return {field.get("type", "")}


def _is_number(field: dict[str, Any]) -> bool:
    return bool(_types(field) & {"number", "integer"})


def numbers_without_unit() -> list[str]:
    """Fields of numbers that no entry above explains."""
    _, records = msgspec.json.schema_components([Assessment, Number], ref_template="#/$defs/{name}")
    return [
        f"{record}.{name}"
        for record, entry in records.items()
        for name, field in entry.get("properties", {}).items()
        if _is_number(field) and name not in UNIT_OF
    ]


def schema_text() -> str:
    """The file's text."""
    return json.dumps(schema(), indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    PATH.write_text(schema_text(), encoding="utf-8", newline="\n")

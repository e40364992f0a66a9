"""The whole assessment as JSON, in one fixed order; described in resources/schema/assessment.md."""

import json
import math
from dataclasses import fields, is_dataclass
from enum import Enum
from typing import Any

import hazardreport
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.unit_state import UnitState
from hazardreport.quantity.trace import Trace

FORMAT = "hazardreport-assessment"
VERSION = 1


def assessment_json(case: Case, assessment: Assessment) -> str:
    """Text of one JSON object with a line end; infinite numbers are null with a flag beside them."""
    document = {
        "format": FORMAT,
        "version": VERSION,
        "program": hazardreport.__version__,
        "case": {"id": case.id, "title": case.title, "revision": case.revision},
        "assessment": _plain(assessment),
    }
    return json.dumps(document, ensure_ascii=False, allow_nan=False, indent=2) + "\n"


def _plain(value: Any) -> Any:
    if isinstance(value, Trace):
        return [_plain(number) for number in value]
    if isinstance(value, UnitState):
        return value.key
    if is_dataclass(value) and not isinstance(value, type):
        return _record(value)
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    return value


def _record(record: Any) -> dict[str, Any]:
    plain: dict[str, Any] = {}
    for field in fields(record):
        value = getattr(record, field.name)
        if isinstance(value, float) and math.isinf(value):
            plain[field.name] = None
            plain[f"{field.name}_infinite"] = "+" if value > 0 else "-"
        else:
            plain[field.name] = _plain(value)
    return plain

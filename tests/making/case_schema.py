"""Makes resources/schema/case.schema.json from the records: python tests/making/case_schema.py"""

import json
from typing import Any

import msgspec

from hazardreport.case.case import Case
from hazardreport.resources_dir import RESOURCES
from hazardreport.storage.case_json import FORMAT, OLDEST_READER

PATH = RESOURCES / "schema" / "case.schema.json"


def schema() -> dict[str, Any]:
    """JSON schema of case.json: format numbers, hash of the log's last line, record; nothing beside them."""
    (reference,), records = msgspec.json.schema_components([Case], ref_template="#/$defs/{name}")
    for record in records.values():
        if record.get("type") == "object":
            record["additionalProperties"] = False
            record["description"] = record.get("description", "").split("\n")[0]
            record["properties"] = {name: _without_defaults(field) for name, field in record["properties"].items()}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Record of a case",
        "type": "object",
        "properties": {
            "format": {"const": FORMAT},
            "oldest_reader": {"const": OLDEST_READER},
            "log_head": {"type": "string", "pattern": "^[0-9a-f]{64}$"},
            "case": reference,
        },
        "required": ["format", "oldest_reader", "case"],
        "additionalProperties": False,
        "$defs": dict(sorted(records.items())),
    }


def _without_defaults(field: dict[str, Any]) -> dict[str, Any]:
    """A field without its default where that is a whole record: the record's own fields have theirs."""
    return {name: item for name, item in field.items() if name != "default" or not isinstance(item, dict)}


def schema_text() -> str:
    """The file's text."""
    return json.dumps(schema(), indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    PATH.write_text(schema_text(), encoding="utf-8", newline="\n")

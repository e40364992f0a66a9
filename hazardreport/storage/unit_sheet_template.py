"""An empty unit sheet in which every field is explained.

The tables, choices and units are in resources/schema; above each field that has a plain line in the wording file
`fields`, that line is put in, so that window and sheet say the same.
"""

import re
import textwrap

from hazardreport import wording
from hazardreport.resources_dir import RESOURCES

TEMPLATE = RESOURCES / "schema" / "unit-sheet-template.toml"
WIDTH = 118

_TABLE = re.compile(r"(?:# )?\[+([a-z_.]+)\]+")
_FIELD = re.compile(r"(?:# )?([a-z_0-9]+) = ")


def unit_sheet_template() -> str:
    """The sheet as a person gets it."""
    lines: list[str] = []
    table = "case"
    for line in TEMPLATE.read_text(encoding="utf-8").split("\n"):
        name = ""
        if header := _TABLE.match(line):
            name = table = header[1]
        elif field := _FIELD.match(line):
            name = f"{table}.{field[1]}"
        if name:
            lines += _explained(name)
        lines.append(line)
    return "\n".join(lines)


def _explained(name: str) -> list[str]:
    try:
        told = wording.template(f"fields.{name}")
    except KeyError:
        return []
    return textwrap.wrap(told, WIDTH, initial_indent="# ", subsequent_indent="# ", break_on_hyphens=False)

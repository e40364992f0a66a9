"""Lines of the fields of a TOML text, which the standard reader does not tell."""

import re

_HEADER = re.compile(r"[ \t]*+\[(\[?)([A-Za-z0-9_.\- \t]++)\]")
_KEY = re.compile(r"[ \t]*+([A-Za-z0-9_\-]++(?:[ \t]*+\.[ \t]*+[A-Za-z0-9_\-]++)*+)[ \t]*+=")
LONGEST = 1_000
"""Longer names have the line of what is around them."""


def line_numbers(text: str) -> dict[str, int]:
    """Line by field: "unit.brand", "points[1]", "points[1].letter".

    >>> line_numbers('title = "x"\\n[unit]\\nbrand = ""\\n[[points]]\\nletter = "A"\\n')
    {'title': 1, 'unit': 2, 'unit.brand': 3, 'points[0]': 4, 'points[0].letter': 5}
    """
    lines: dict[str, int] = {}
    counts: dict[str, int] = {}
    table, quoted = "", ""
    for number, line in enumerate(text.split("\n"), 1):
        if not quoted:
            if header := _HEADER.match(line):
                table = _resolved(re.sub(r"\s", "", header[2]), counts, opens=bool(header[1]))
                lines.setdefault(table, number)
            elif key := _KEY.match(line):
                name = re.sub(r"\s", "", key[1])
                lines.setdefault(f"{table}.{name}" if table else name, number)
        for quotes in ('"""', "'''"):
            if quoted in ("", quotes) and line.count(quotes) % 2:
                quoted = "" if quoted else quotes
    return lines


def _resolved(name: str, counts: dict[str, int], *, opens: bool) -> str:
    """The name with the index of each list of tables in it."""
    if opens:
        counts[name] = counts.get(name, -1) + 1
    parts = name.split(".")
    resolved = []
    for length, part in enumerate(parts, 1):
        prefix = ".".join(parts[:length])
        resolved.append(f"{part}[{counts[prefix]}]" if prefix in counts else part)
    return ".".join(resolved)


def line_of(field: str, lines: dict[str, int]) -> int | None:
    """Line of a field, or of the nearest field around it that has one."""
    field = field[:LONGEST]
    while field:
        if field in lines:
            return lines[field]
        field = field[: max(field.rfind("."), field.rfind("["), 0)]
    return None

"""Faults of a file, gathered and told together."""

from collections.abc import Iterable

from hazardreport import wording
from hazardreport.errors import Fault
from hazardreport.evidence.names import shown, shown_name

SHOWN = 40
"""So many faults are written out; more of them are counted."""


def fault(place: str, key: str, **fields: object) -> Fault:
    """One fault; its sentence is the entry `key` of storage.toml."""
    return Fault(place=place, key=f"storage.{key}", fields=fields)


def at_line(line: int | None, name: str) -> str:
    """A place in a text file: "line 12, unit.brand", or as much of it as is known."""
    if line is None:
        return name
    return wording.sentence("storage.at_line_and_field" if name else "storage.at_line", line=line, name=name)


def sentence(one: Fault) -> str:
    """Place and sentence of one fault; odd characters out of the file are shown, not obeyed."""
    text = wording.sentence(one.key, **{name: _safe(item) for name, item in one.fields.items()})
    return f"{shown_name(one.place)}: {text}" if one.place else text


def _safe(item: object) -> object:
    return shown(item) if isinstance(item, str) else item


def listing(faults: Iterable[Fault]) -> str:
    """All faults, one in each line."""
    every = tuple(faults)
    lines = [f"- {sentence(one)}" for one in every[:SHOWN]]
    if len(every) > SHOWN:
        lines.append(wording.sentence("storage.more_faults", count=len(every) - SHOWN))
    return "\n".join(lines)

"""Faults of a file, gathered and told together."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from hazardreport import wording
from hazardreport.errors import Fault
from hazardreport.evidence.names import shown, shown_name

SHOWN = 40
KEPT = 500
"""So many faults are written out, so many are kept as records; more of them are counted."""

_LONGEST_FIELD = 1_000


@dataclass(kw_only=True, slots=True)
class Gathered:
    """Faults in the order in which they are found; a file of nothing but faults costs no more than many."""

    kept: list[Fault] = field(default_factory=list)
    count: int = 0

    def append(self, one: Fault) -> None:
        """One more fault."""
        self.count += 1
        if len(self.kept) < KEPT:
            self.kept.append(one)

    def extend(self, more: Iterable[Fault]) -> None:
        """Several more."""
        for one in more:
            self.append(one)

    def __len__(self) -> int:
        return self.count

    def __iter__(self) -> Iterator[Fault]:
        return iter(self.kept)


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
    return f"{shown_name(one.place[:_LONGEST_FIELD])}: {text}" if one.place else text


def _safe(item: object) -> object:
    if not isinstance(item, str):
        return item
    return shown(item) if len(item) <= _LONGEST_FIELD else shown(item[:_LONGEST_FIELD]) + "…"


def listing(faults: Iterable[Fault]) -> str:
    """All faults, one in each line; those beyond `SHOWN` are counted."""
    every = faults if isinstance(faults, Gathered) else tuple(faults)
    lines = [f"- {sentence(one)}" for one in tuple(every)[:SHOWN]]
    if len(every) > SHOWN:
        lines.append(wording.sentence("storage.more_faults", count=len(every) - SHOWN))
    return "\n".join(lines)

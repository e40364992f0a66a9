"""What a field of the Unit page is: its place in the case, its label, its kind, its plain line; the edit it makes."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from functools import reduce
from typing import Any

from hazardreport import wording
from hazardreport.case import edits
from hazardreport.case.case import Case

TRADE_TERMS = (
    "residual-current device",
    "protection class",
    "barcode",
    "IP code",
    "rated",
    "kind of current",
    "mark",
    "standard",
    "importer",
    "responsible person",
    "exporter",
    "distributor",
    "marketplace",
    "classification",
    "customs",
    "batch",
    "serial number",
    "date code",
    "article number",
    "EEA",
    "earth",
    "earthed metal",
    "floor",
    "injured person",
    "misuse",
    "guardian",
    "reports as",
    "requirement",
    "probability",
    "severity",
)
"""Words of the trade: a label with one of them shows its plain line always, not only where the cursor is."""
_TERM = re.compile(rf"\b(?:{'|'.join(map(re.escape, TRADE_TERMS))})", re.IGNORECASE)


@dataclass(frozen=True, kw_only=True, slots=True)
class FieldPlace:
    """One field: its path in the case ("unit.model"), label, kind and hint.

    kind   "stated", "long", "answer", "statement", "text", "words", "fraction", "kept", "alteration", an enumeration,
           a unit sign in brackets for a number: "[V]", or a quantity in angle brackets for one that is typed with unit
           and prefix: "<capacitance>"
    words  what people see for a value of the enumeration, where it is not the value itself
    """

    path: str
    label: str
    kind: str | type[StrEnum] = "stated"
    hint: str = ""
    words: Mapping[object, str] = field(default_factory=dict)

    @property
    def explanation(self) -> str:
        """What is asked, in one plain line."""
        return wording.sentence(explanation_key(self.path))

    @property
    def has_trade_term(self) -> bool:
        """Whether the label has a word of the trade."""
        return _TERM.search(self.label) is not None


@dataclass(frozen=True, kw_only=True, slots=True)
class Group:
    """A titled group of fields; `hint` is a key of the wording or "". `name` stands in the row of links.

    measured  for whoever opens and measures: its plain lines are shown where the cursor is, not always
    """

    name: str
    title: str
    fields: tuple[FieldPlace, ...]
    hint: str = ""
    measured: bool = False


def place(
    path: str,
    label: str,
    kind: str | type[StrEnum] = "stated",
    hint: str = "",
    words: Mapping[object, str] | None = None,
) -> FieldPlace:
    """A field."""
    return FieldPlace(path=path, label=label, kind=kind, hint=hint, words=words or {})


def explanation_key(path: str) -> str:
    """Key of the plain line of a field in the wording."""
    return f"fields.{path}" if "." in path else f"fields.case.{path}"


_SETTERS: dict[str, Callable[..., Case]] = {
    "situation": edits.set_situation,
    "wiring": edits.set_wiring,
    "household": edits.set_household,
    "occurrence": edits.set_occurrence,
    "upkeep": edits.set_upkeep,
    "submitter": edits.set_submitter,
    "consents": edits.set_consents,
    "custody": edits.set_custody,
}


def field_value(case: Case, path: str) -> Any:
    """What the case holds at a path."""
    return reduce(getattr, path.split("."), case)


def _with(record: Any, names: list[str], value: object) -> Any:
    head, *rest = names
    return replace(record, **{head: _with(getattr(record, head), rest, value) if rest else value})


def edit_of(case: Case, path: str, value: object) -> tuple[Callable[..., Case], tuple[object, ...]]:
    """The edit that puts a value at a path, with its arguments."""
    room, *names = path.split(".")
    if not names:
        return edits.set_private_words, (value,)
    if room == "unit":
        return edits.set_unit_field, (names[0], value)
    return _SETTERS[room], (_with(getattr(case, room), names, value),)

"""A record in which words are replaced wherever people write: ids, links, keys, hashes and numbers stay."""

from collections.abc import Callable
from dataclasses import dataclass, fields, is_dataclass, replace
from enum import Enum
from typing import Any

from hazardreport.case.case import Case
from hazardreport.case.publication_places import IDS, KEPT, LINKS
from hazardreport.case.stated import Stated
from hazardreport.case.word_search import WordSearch

NOT_WRITTEN = frozenset(("created", "competence.stated"))
"""Texts of ours beside those that a publication keeps."""


def without_words(case: Case, words: Callable[[str], WordSearch], by: str, private: Callable[[Stated], Stated]) -> Case:
    """The case with `by` in place of each word; itself where none stands in it.

    Parameters
    ----------
    case : Case
        The record.
    words : callable
        The search for each place, written as `case.personal` does.
    by : str
        What stands where a word stood.
    private : callable
        What stands in place of a field that is marked as private.
    """
    changed: Case = _Search(words=words, by=by, private=private).value(case, "")
    return changed


@dataclass(frozen=True, kw_only=True, slots=True)
class _Search:
    words: Callable[[str], WordSearch]
    by: str
    private: Callable[[Stated], Stated]

    def value(self, value: Any, place: str) -> Any:
        """The value without words; itself where nothing changes."""
        if isinstance(value, Stated):
            return self._stated(value, place)
        if isinstance(value, str) and not isinstance(value, Enum):
            written = value and not any(place in kept for kept in (KEPT, LINKS, IDS, NOT_WRITTEN))
            return self.words(place).replaced(value, self.by)[0] if written else value
        if isinstance(value, tuple):
            items = tuple(self.value(item, f"{place}[]") for item in value)
            return value if all(new is old for new, old in zip(items, value, strict=True)) else items
        if is_dataclass(value) and not isinstance(value, type):
            return self._record(value, place)
        return value

    def _record(self, record: Any, place: str) -> Any:
        changes = {}
        for field in fields(record):
            old = getattr(record, field.name)
            new = self.value(old, f"{place}.{field.name}" if place else field.name)
            if new is not old:
                changes[field.name] = new
        return replace(record, **changes) if changes else record

    def _stated(self, stated: Stated, place: str) -> Stated:
        shown = self.private(stated) if stated.private else stated
        text, reason = (self.words(place).replaced(one, self.by)[0] for one in (shown.text, shown.reason))
        return shown if (text, reason) == (shown.text, shown.reason) else replace(shown, text=text, reason=reason)

"""Documents that tables, equations and requirements cite, by key."""

import tomllib
from dataclasses import dataclass
from functools import cache

from hazardreport.errors import UnknownReferenceError
from hazardreport.standards.tables import FOLDER


@dataclass(frozen=True, kw_only=True, slots=True)
class Reference:
    """One cited document.

    title, body, year  as the bibliography prints them; year "" where the document carries none
    where              how to obtain it
    free               True if it costs nothing
    """

    key: str
    title: str
    body: str
    year: str
    where: str
    free: bool


@cache
def references() -> tuple[Reference, ...]:
    """All documents, sorted by key."""
    with (FOLDER / "references.toml").open("rb") as stream:
        entries = tomllib.load(stream)
    return tuple(Reference(key=key, **entry) for key, entry in sorted(entries.items()))


def reference(key: str) -> Reference:
    """The document of a key.

    Raises
    ------
    UnknownReferenceError
        If references.toml has no such key.
    """
    found = next((entry for entry in references() if entry.key == key), None)
    if found is None:
        raise UnknownReferenceError(reference=key)
    return found

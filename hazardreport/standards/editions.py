"""Which edition of a subject's tables a new case uses, and which others are held."""

import tomllib
from dataclasses import dataclass
from functools import cache

from hazardreport.errors import UnknownTableError
from hazardreport.standards.tables import FOLDER


@dataclass(frozen=True, kw_only=True, slots=True)
class Subject:
    """Editions that answer one question.

    key      "body-impedance"
    default  key of the document that new cases use
    others   keys of further documents held on the subject
    reason   why the default is the default
    """

    key: str
    default: str
    others: tuple[str, ...]
    reason: str


@cache
def subjects() -> tuple[Subject, ...]:
    """All subjects, in the order of the file."""
    with (FOLDER / "editions.toml").open("rb") as stream:
        entries = tomllib.load(stream)
    return tuple(
        Subject(key=key, default=entry["default"], others=tuple(entry["others"]), reason=entry["reason"])
        for key, entry in entries.items()
    )


def default_edition(subject: str) -> str:
    """Key of the document that a new case uses for a subject.

    Raises
    ------
    UnknownTableError
        If editions.toml has no such subject.
    """
    found = next((entry for entry in subjects() if entry.key == subject), None)
    if found is None:
        raise UnknownTableError(standard=subject, table="editions")
    return found.default

"""Profiles of addressees: what law or practice asks of a report, as data; says nothing about a case."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Any

from hazardreport import wording
from hazardreport.errors import UnknownProfileError
from hazardreport.quantity.trace import Source, Status
from hazardreport.resources_dir import RESOURCES

PROFILES = RESOURCES / "profiles"


class Level(StrEnum):
    """Whether the addressee asks for an element."""

    REQUIRED = "required"
    NAMED = "named"
    NOT_ASKED = "not asked"


class ClauseStatus(StrEnum):
    """How the wording of a clause was checked."""

    READ = "C"
    RESTATED = "C-2"
    FROM_MEMORY = "M"


class Need(StrEnum):
    """How many of an element's fields must be answered."""

    ALL = "all"
    ANY = "any"


@dataclass(frozen=True, kw_only=True, slots=True)
class Clause:
    """Where something is asked: key in references.toml, place in it, how it was checked."""

    reference: str
    place: str
    status: ClauseStatus

    @property
    def source(self) -> Source:
        """The clause as the source of a number or statement; a restatement counts as confirmed."""
        memory = self.status is ClauseStatus.FROM_MEMORY
        return Source(key=self.reference, place=self.place, status=Status.FROM_MEMORY if memory else Status.CONFIRMED)


@dataclass(frozen=True, kw_only=True, slots=True)
class Element:
    """One thing that the addressee asks for.

    key              of the element in its profile
    name, asked      for people: its name; what exactly is asked
    fields           links to the case: "unit.maker", "pictures", "severity.established"
    need             all of the fields, or any of them
    reason_accepted  an absence with its reason is enough; False where the addressee needs the value itself
    part             part of the report in which it stands
    """

    key: str
    name: str
    asked: str
    level: Level
    fields: tuple[str, ...]
    need: Need
    reason_accepted: bool
    part: str
    clauses: tuple[Clause, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Request:
    """What the report asks the addressee to do."""

    key: str
    text: str
    clauses: tuple[Clause, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class FollowUp:
    """A date that follows, in words: what is expected, and by when at the earliest or latest."""

    key: str
    text: str
    clauses: tuple[Clause, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Consent:
    """A statement of the submitter that the declaration shows; field: link to the case."""

    key: str
    field: str
    text: str
    clauses: tuple[Clause, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Profile:
    """One addressee.

    key, authority   stem of its file; folder of its file
    title, who       name of the output; who receives it
    language         of the sentences
    paper            "a4" or "letter"
    signal_words     the meaning that the first page prints beside the signal word
    accepts          what the addressee accepts, for people
    form_only        accepts only its own form: the report is text to enter plus attachments
    contact_consent  field without whose yes no name and contact may reach this addressee, or ""
    parts            keys of the report's parts, in the addressee's order
    """

    key: str
    authority: str
    title: str
    who: str
    language: str
    paper: str
    signal_words: str
    accepts: str
    form_only: bool
    contact_consent: str
    parts: tuple[str, ...]
    elements: tuple[Element, ...]
    consents: tuple[Consent, ...]
    requests: tuple[Request, ...]
    follow_up: tuple[FollowUp, ...]

    @property
    def clauses(self) -> tuple[Clause, ...]:
        """Every clause that the profile cites."""
        return (
            *(clause for element in self.elements for clause in element.clauses),
            *(clause for consent in self.consents for clause in consent.clauses),
            *(clause for request in self.requests for clause in request.clauses),
            *(clause for follow in self.follow_up for clause in follow.clauses),
        )

    def element(self, key: str) -> Element:
        """The element of that key."""
        return next(element for element in self.elements if element.key == key)


def _files() -> dict[str, Path]:
    return {path.stem: path for path in sorted(PROFILES.glob("*/*.toml"))}


def profile_keys() -> tuple[str, ...]:
    """Keys of all addressees, sorted."""
    return tuple(sorted(_files()))


@cache
def profile(key: str) -> Profile:
    """The addressee of that key.

    Raises
    ------
    UnknownProfileError
        If no profile has that key.
    """
    files = _files()
    if key not in files:
        raise UnknownProfileError(profile=key, known=", ".join(sorted(files)))
    path = files[key]
    with path.open("rb") as stream:
        return _read(key, path.parent.name, tomllib.load(stream))


def _clauses(rows: list[list[str]]) -> tuple[Clause, ...]:
    return tuple(Clause(reference=row[0], place=row[1], status=ClauseStatus(row[2])) for row in rows)


def _element(stem: str, data: Mapping[str, Any]) -> Element:
    key = data["key"]
    return Element(
        key=key,
        name=wording.sentence(f"{stem}.elements.{key}.name"),
        asked=wording.sentence(f"{stem}.elements.{key}.asked"),
        level=Level(data["level"]),
        fields=tuple(data["fields"]),
        need=Need(data.get("need", "all")),
        reason_accepted=data["reason_accepted"],
        part=data["part"],
        clauses=_clauses(data["clauses"]),
    )


def _read(key: str, authority: str, data: Mapping[str, Any]) -> Profile:
    stem = f"profiles.{key.replace('-', '_')}"
    return Profile(
        key=key,
        authority=authority,
        title=wording.sentence(f"{stem}.title"),
        who=wording.sentence(f"{stem}.who"),
        language=data["language"],
        paper=data["paper"],
        signal_words=wording.sentence(f"{stem}.signal_words"),
        accepts=wording.sentence(f"{stem}.accepts"),
        form_only=data["form_only"],
        contact_consent=data["contact_consent"],
        parts=tuple(data["parts"]),
        elements=tuple(_element(stem, element) for element in data["elements"]),
        consents=tuple(
            Consent(
                key=consent["key"],
                field=consent["field"],
                text=wording.sentence(f"{stem}.consents.{consent['key']}"),
                clauses=_clauses(consent["clauses"]),
            )
            for consent in data["consents"]
        ),
        requests=tuple(
            Request(
                key=request["key"],
                text=wording.sentence(f"{stem}.requests.{request['key']}"),
                clauses=_clauses(request["clauses"]),
            )
            for request in data["requests"]
        ),
        follow_up=tuple(
            FollowUp(
                key=follow["key"],
                text=wording.sentence(f"{stem}.follow_up.{follow['key']}"),
                clauses=_clauses(follow["clauses"]),
            )
            for follow in data["follow_up"]
        ),
    )

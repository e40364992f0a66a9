"""A profile's file and its sentences as records; refuses a file that leaves out a source, a status or a sentence."""

import string
from collections.abc import Callable, Mapping
from enum import StrEnum
from typing import Any, TypeVar

from hazardreport import wording
from hazardreport.addressees.asked import (
    Clause,
    ClauseStatus,
    Condition,
    Consent,
    Counting,
    Element,
    FollowUp,
    Form,
    Kind,
    Level,
    Need,
    Profile,
    ProposalRule,
    Request,
    Term,
)
from hazardreport.addressees.days import CALENDARS
from hazardreport.addressees.links import choices, gap_name, is_link
from hazardreport.case.letter import LetterKind
from hazardreport.errors import ProfileRefusedError, UnknownReferenceError
from hazardreport.standards.references import reference

Choice = TypeVar("Choice", bound=StrEnum)
Row = TypeVar("Row")

PARTS = (
    "first_page",
    "identity",
    "findings",
    "measurements",
    "severity",
    "risk",
    "law",
    "form_text",
    "letters",
    "evidence",
    "calculations",
    "limits",
    "declaration",
    "notice",
)
"""Keys of the parts that a report can have."""

SHARED = "addressee_common"
"""Wording file of elements that several profiles have."""

_OF_PROFILE = {
    *("language", "paper", "kind", "form", "rank", "contact_consent", "parts"),
    *("proposals", "elements", "consents", "requests", "follow_up"),
}
_OF_ELEMENT = {
    *("key", "level", "fields", "need", "reason_accepted", "part", "clauses"),
    *("only_if", "also", "template", "limit"),
}
_OF_FOLLOW_UP = {
    *("key", "clauses", "starts", "days", "counting", "holidays", "waits_for", "only_if"),
    *("ended_by", "owed", "extended_by", "extended_days"),
}


class _Reader:
    """Reads one profile; every refusal names the profile and the place in its file."""

    def __init__(self, key: str) -> None:
        self.key = key
        self.stem = f"addressee_{key.replace('-', '_')}"

    def refused(self, place: str, reason: str, **fields: object) -> ProfileRefusedError:
        return ProfileRefusedError(
            profile=self.key, place=place, reason=wording.sentence(f"profiles.refused.{reason}", **fields)
        )

    def sentence(self, name: str) -> str:
        """The profile's own sentence, or for an element the one that all profiles share."""
        for stem in (self.stem, SHARED) if name.startswith("elements.") else (self.stem,):
            try:
                text = wording.template(f"{stem}.{name}")
            except (KeyError, FileNotFoundError):
                continue
            if text.strip():
                return text
        raise self.refused(name, "no_sentence", file=f"{self.stem}.toml")

    def known(self, place: str, data: Mapping[str, Any], names: set[str]) -> None:
        for name in data:
            if name not in names:
                raise self.refused(place, "unknown_entry", name=name)

    def value(self, place: str, data: Mapping[str, Any], name: str, kind: type) -> Any:
        if name not in data:
            raise self.refused(place, "no_entry", name=name)
        if type(data[name]) is not kind:
            raise self.refused(place, "wrong_kind", name=name, value=data[name])
        return data[name]

    def chosen(self, place: str, choice: type[Choice], text: object) -> Choice:
        try:
            return choice(str(text))
        except ValueError as error:
            raise self.refused(place, "no_choice", value=text, choices=", ".join(choice)) from error

    def kind(self, place: str, data: Mapping[str, Any], name: str) -> LetterKind | None:
        return self.chosen(place, LetterKind, data[name]) if name in data else None

    def clauses(self, place: str, data: Mapping[str, Any], required: bool) -> tuple[Clause, ...]:
        rows = self.value(place, data, "clauses", list)
        if required and not rows:
            raise self.refused(place, "no_source")
        return tuple(self._clause(place, row) for row in rows)

    def _clause(self, place: str, row: Any) -> Clause:
        if not isinstance(row, list) or len(row) != 3 or not all(isinstance(one, str) and one.strip() for one in row):
            raise self.refused(place, "clause_shape", row=row)
        try:
            reference(row[0])
        except UnknownReferenceError as error:
            raise self.refused(place, "no_reference", reference=row[0]) from error
        return Clause(reference=row[0], place=row[1], status=self.chosen(place, ClauseStatus, row[2]))

    def link(self, place: str, text: object) -> str:
        if not isinstance(text, str) or not is_link(text):
            raise self.refused(place, "no_link", link=text)
        return text

    def conditions(self, place: str, texts: Any) -> tuple[Condition, ...]:
        if not isinstance(texts, list):
            raise self.refused(place, "wrong_kind", name="only_if", value=texts)
        return tuple(Condition(terms=tuple(self._term(place, term) for term in str(t).split(" and "))) for t in texts)

    def _term(self, place: str, text: str) -> Term:
        link, sign, word = (piece.strip() for piece in text.partition("="))
        if not sign or not word:
            raise self.refused(place, "no_condition", text=text)
        if word not in ("present", "missing", *choices(self.link(place, link))):
            raise self.refused(place, "no_answer", word=word, link=link)
        return Term(link=link, word=word)

    def rows(
        self, data: Mapping[str, Any], name: str, read: Callable[[str, Mapping[str, Any]], Row]
    ) -> tuple[Row, ...]:
        found, keys = [], set()
        for number, row in enumerate(self.value(name, data, name, list), start=1):
            key = self.value(f"{name} {number}", row, "key", str)
            if key in keys:
                raise self.refused(f"{name} {key}", "twice", name=key)
            keys.add(key)
            found.append(read(f"{name} {key}", row))
        return tuple(found)

    # --- rows ---------------------------------------------------------------------------------------------------------

    def element(self, place: str, data: Mapping[str, Any]) -> Element:
        self.known(place, data, _OF_ELEMENT)
        stem = f"elements.{data['key']}"
        only_if = self.conditions(place, data.get("only_if", []))
        fields = tuple(self.link(place, link) for link in self.value(place, data, "fields", list))
        if not fields:
            raise self.refused(place, "no_field")
        also = tuple(self.link(place, link) for link in data.get("also", []))
        part = self.value(place, data, "part", str)
        if part not in PARTS:
            raise self.refused(place, "no_choice", value=part, choices=", ".join(PARTS))
        template = self.sentence(f"{stem}.text") if data.get("template") else ""
        gaps = {name for _, name, _, _ in string.Formatter().parse(template) if name is not None}
        if gaps - {gap_name(link) for link in (*fields, *also)}:
            raise self.refused(place, "no_gap", names=", ".join(sorted(gaps)))
        return Element(
            key=data["key"],
            name=self.sentence(f"{stem}.name"),
            asked=self.sentence(f"{stem}.asked"),
            without=self.sentence(f"{stem}.without"),
            level=self.chosen(place, Level, self.value(place, data, "level", str)),
            fields=fields,
            need=self.chosen(place, Need, data.get("need", "all")),
            reason_accepted=self.value(place, data, "reason_accepted", bool),
            part=part,
            clauses=self.clauses(place, data, required=True),
            only_if=only_if,
            only_if_text=self.sentence(f"{stem}.only_if") if only_if else "",
            also=also,
            template=template,
            limit=self.value(place, data, "limit", int) if "limit" in data else None,
        )

    def consent(self, place: str, data: Mapping[str, Any]) -> Consent:
        self.known(place, data, {"key", "field", "clauses"})
        return Consent(
            key=data["key"],
            field=self.link(place, self.value(place, data, "field", str)),
            text=self.sentence(f"consents.{data['key']}"),
            clauses=self.clauses(place, data, required=False),
        )

    def request(self, place: str, data: Mapping[str, Any]) -> Request:
        self.known(place, data, {"key", "clauses"})
        return Request(
            key=data["key"],
            text=self.sentence(f"requests.{data['key']}"),
            clauses=self.clauses(place, data, required=False),
        )

    def follow_up(self, place: str, data: Mapping[str, Any]) -> FollowUp:
        self.known(place, data, _OF_FOLLOW_UP)
        counting = self.chosen(place, Counting, data.get("counting", "none"))
        days = self.value(place, data, "days", int) if "days" in data else None
        if (days is None) != (counting is Counting.NONE) or (days is not None and days < 1):
            raise self.refused(place, "days_and_counting")
        calendar = self.value(place, data, "holidays", str) if "holidays" in data else ""
        if (counting is Counting.BUSINESS and not calendar) or (calendar and calendar not in CALENDARS):
            raise self.refused(place, "no_calendar", calendars=", ".join(CALENDARS))
        waits_for = self.kind(place, data, "waits_for")
        owed = self.value(place, data, "owed", bool) if "owed" in data else False
        if owed and (not data.get("clauses") or days is None or waits_for is None):
            raise self.refused(place, "owed_by_nothing")
        more = self.value(place, data, "extended_days", int) if "extended_days" in data else None
        if (more is None) != ("extended_by" not in data) or (more is not None and (more < 1 or days is None)):
            raise self.refused(place, "extended_by_nothing")
        ended_by = self.value(place, data, "ended_by", list) if "ended_by" in data else []
        return FollowUp(
            key=data["key"],
            text=self.sentence(f"follow_up.{data['key']}"),
            clauses=self.clauses(place, data, required=False),
            starts=self.kind(place, data, "starts"),
            days=days,
            counting=counting,
            holidays=calendar,
            waits_for=waits_for,
            ended_by=tuple(self.chosen(place, LetterKind, kind) for kind in ended_by),
            owed=owed,
            extended_by=self.kind(place, data, "extended_by"),
            extended_days=more,
            only_if=self.conditions(place, data.get("only_if", [])),
        )

    def rule(self, place: str, data: Mapping[str, Any]) -> ProposalRule:
        self.known(place, data, {"key", "when", "duty", "clauses"})
        return ProposalRule(
            key=data["key"],
            text=self.sentence(f"proposals.{data['key']}"),
            when=self.conditions(place, self.value(place, data, "when", list)),
            duty=self.value(place, data, "duty", bool) if "duty" in data else False,
            clauses=self.clauses(place, data, required=False),
        )


def read_profile(key: str, authority: str, data: Mapping[str, Any]) -> Profile:
    """The profile of one file, with its sentences from the wording file "addressee_<key>".

    Raises
    ------
    ProfileRefusedError
        If a source, a status, a sentence or another entry is left out, or an entry says what nobody can read.
    """
    reader = _Reader(key)
    reader.known("", data, _OF_PROFILE)
    parts = tuple(reader.value("", data, "parts", list))
    for part in parts:
        if part not in PARTS:
            raise reader.refused("parts", "no_choice", value=part, choices=", ".join(PARTS))
    form = reader.chosen("form", Form, reader.value("", data, "form", str))
    consent = reader.value("", data, "contact_consent", str)
    return Profile(
        key=key,
        authority=authority,
        kind=reader.chosen("kind", Kind, reader.value("", data, "kind", str)),
        form=form,
        rank=reader.value("", data, "rank", int),
        title=reader.sentence("title"),
        who=reader.sentence("who"),
        language=reader.value("", data, "language", str),
        paper=reader.value("", data, "paper", str),
        accepts=reader.sentence("accepts"),
        size="" if form is Form.FREE else reader.sentence("size"),
        contact_consent=reader.link("contact_consent", consent) if consent else "",
        parts=parts,
        elements=reader.rows(data, "elements", reader.element),
        consents=reader.rows(data, "consents", reader.consent),
        requests=reader.rows(data, "requests", reader.request),
        follow_up=reader.rows(data, "follow_up", reader.follow_up),
        proposals=reader.rows(data, "proposals", reader.rule),
    )

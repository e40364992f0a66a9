"""Fields of a TOML table into fields of a record, each by the type that the record gives it; faults are gathered."""

import difflib
import math
import types
import typing
from collections.abc import Mapping
from dataclasses import MISSING, dataclass, field, fields, is_dataclass, replace
from datetime import date
from enum import StrEnum
from typing import Any, ClassVar, Protocol, TypeVar, cast

from hazardreport.case.stated import Stated, not_applicable, unknown, value
from hazardreport.storage.faults import SHOWN, Gathered, at_line, fault
from hazardreport.storage.toml_lines import line_of


class DataRecord(Protocol):
    """Any record: a dataclass."""

    __dataclass_fields__: ClassVar[dict[str, Any]]


Record = TypeVar("Record", bound=DataRecord)

LEFT_AS_IT_IS = object()
"""Answer of a reader for a field that says nothing."""

LIST_LIMIT = 500
"""So many tables or texts stand in one list."""

_STANDINGS = ("value", "unknown", "not_applicable")


@dataclass(kw_only=True, slots=True)
class Sheet:
    """A sheet being read: lines of its fields, and the faults found so far."""

    lines: dict[str, int]
    faults: Gathered = field(default_factory=Gathered)

    def found(self, place: str, key: str, **about: object) -> None:
        """One more fault, at a field."""
        self.faults.append(fault(at_line(line_of(place, self.lines), place), key, **about))

    def table(self, table: object, place: str) -> Mapping[str, Any]:
        """The table at a place; anything else is a fault."""
        if isinstance(table, Mapping):
            return table
        self.found(place, "no_table", name=place)
        return {}

    def tables(self, tables: object, place: str) -> list[tuple[str, Mapping[str, Any]]]:
        """The tables of a list with their places."""
        if not isinstance(tables, list):
            self.found(place, "no_tables", name=place)
            return []
        if len(tables) > LIST_LIMIT:
            self.found(place, "too_many_items", limit=LIST_LIMIT)
            return []
        return [(f"{place}[{index}]", self.table(table, f"{place}[{index}]")) for index, table in enumerate(tables)]

    def known(self, table: Mapping[str, Any], names: typing.Iterable[str], place: str) -> None:
        """Every name in a table must be one of these."""
        every = sorted(names)
        for name in table:
            if name not in every:
                like = difflib.get_close_matches(name, every, n=1) if len(self.faults) < SHOWN else []
                inner = f"{place}.{name}" if place else name
                self.found(
                    inner, "unknown_key_like" if like else "unknown_key_of", like="".join(like), names=", ".join(every)
                )

    def changed(self, record: Record, table: Mapping[str, Any], place: str) -> Record:
        """The record with what the table says."""
        hints = typing.get_type_hints(type(record))
        self.known(table, hints, place)
        changes = {
            name: read
            for name, hint in hints.items()
            if name in table
            and (read := self.read(table[name], hint, f"{place}.{name}", getattr(record, name))) is not LEFT_AS_IT_IS
        }
        return replace(record, **changes)

    def made(self, kind: type[Record], table: Mapping[str, Any], place: str) -> Record | None:
        """A new record of a table, or None where a field that it needs is missing or was refused."""
        hints = typing.get_type_hints(kind)
        self.known(table, hints, place)
        before = len(self.faults)
        given = {
            name: read
            for name, hint in hints.items()
            if name in table and (read := self.read(table[name], hint, f"{place}.{name}", None)) is not LEFT_AS_IT_IS
        }
        for one in fields(kind):
            needed = one.default is MISSING and one.default_factory is MISSING
            if needed and one.name not in given and (one.name not in table or table[one.name] == ""):
                self.found(f"{place}.{one.name}", "missing_field", name=one.name)
        return kind(**given) if len(self.faults) == before else None

    def read(self, found: object, hint: Any, place: str, present: Any) -> Any:
        """A field of the type `hint`; a fault counts as a field that says nothing."""
        if found == "":
            return LEFT_AS_IT_IS
        if typing.get_origin(hint) in (types.UnionType, typing.Union):
            hint = next(option for option in typing.get_args(hint) if option is not types.NoneType)
        if hint is Stated:
            return self._stated(found, place, present)
        if typing.get_origin(hint) is tuple:
            inner = typing.get_args(hint)[0]
            if inner is str:
                return self._texts(found, place)
            records = [self.made(inner, table, at) for at, table in self.tables(found, place)]
            return tuple(record for record in records if record is not None)
        if is_dataclass(hint):
            return self.changed(cast(DataRecord, present), self.table(found, place), place)
        if hint is bool:
            return self._checked(isinstance(found, bool), found, place, "no_truth_value")
        if hint in (int, float):
            return self._number(found, hint, place)
        text = found.isoformat() if isinstance(found, date) else found
        if not isinstance(text, str):
            return self._checked(False, found, place, "no_text")
        return self._chosen(text, hint, place) if issubclass(hint, StrEnum) else text.strip()

    def _texts(self, found: object, place: str) -> object:
        if isinstance(found, list) and len(found) > LIST_LIMIT:
            self.found(place, "too_many_items", limit=LIST_LIMIT)
            return LEFT_AS_IT_IS
        if isinstance(found, list) and all(isinstance(item, str) for item in found):
            return tuple(text for item in found if (text := item.strip()))
        return self._checked(False, found, place, "no_texts")

    def _checked(self, fits: bool, found: object, place: str, key: str, **about: object) -> object:
        if fits:
            return found
        self.found(place, key, text=str(found)[:60], **about)
        return LEFT_AS_IT_IS

    def _number(self, found: object, kind: type, place: str) -> object:
        if isinstance(found, bool) or not isinstance(found, int | float):
            return self._checked(False, found, place, "no_number")
        if not math.isfinite(found) or found < 0 or abs(found) > 1e15:
            return self._checked(False, found, place, "no_such_number")
        if kind is int and found != int(found):
            return self._checked(False, found, place, "no_whole_number")
        return kind(found)

    def _chosen(self, text: str, kind: type[StrEnum], place: str) -> object:
        for option in kind:
            if option.value.casefold() == " ".join(text.split()).casefold():
                return option
        options = ", ".join(f"“{option.value}”" for option in kind)
        return self._checked(False, text, place, "no_such_choice", options=options)

    def _stated(self, found: object, place: str, present: Any) -> object:
        """A stated field; one that is private stays so unless the sheet says otherwise."""
        private = isinstance(present, Stated) and present.private
        if isinstance(found, str | date):
            text = found.isoformat() if isinstance(found, date) else found.strip()
            return replace(value(text), private=private)
        if not isinstance(found, Mapping):
            return self._checked(False, found, place, "no_text")
        before = len(self.faults)
        self.known(found, (*_STANDINGS, "picture", "point", "private"), place)
        for name in (*_STANDINGS, "picture", "point"):
            self._checked(isinstance(found.get(name, ""), str), found.get(name), f"{place}.{name}", "no_text")
        told = found.get("private", private)
        self._checked(isinstance(told, bool), told, f"{place}.private", "no_truth_value")
        standings = [name for name in _STANDINGS if name in found]
        if len(standings) != 1:
            self.found(place, "one_standing")
        elif not str(found[standings[0]]).strip():
            self.found(place, "no_reason" if standings[0] != "value" else "no_text", text="")
        if len(self.faults) > before:
            return LEFT_AS_IT_IS
        text = found[standings[0]].strip()
        if standings[0] == "value":
            stated = value(text, picture=found.get("picture", ""), point=found.get("point", ""))
        else:
            stated = (unknown if standings[0] == "unknown" else not_applicable)(text)
        return replace(stated, private=told)

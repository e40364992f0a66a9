"""The differences between two states of the record, record by record, as people name them.

The log counts the records of a list; people know them by their ids. Both states are plain JSON values.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from hazardreport.storage.patch import tokens
from hazardreport.storage.values import hash_in
from hazardreport.wording import sentence, template

_STATED = ("standing", "text", "reason")
_COUNTED_BY_THE_PROGRAM = ("revision",)


class Deed(StrEnum):
    """What was done to a record or a field."""

    ADDED = "added"
    REMOVED = "removed"
    CHANGED = "changed"
    MOVED = "moved"


@dataclass(frozen=True, kw_only=True, slots=True)
class Change:
    """One change of a record.

    subject  what was changed, in words: "reading-007", "picture-003, cover-001", "unit"
    field    of it, in words; "" where the whole record was added, removed, or moved in its list
    before   text, "" for nothing, None where the state before is not known
    after    text, "" for nothing
    kind     list that the record stands in, as the record has it: "readings"; "" for a field of the case itself
    parts    fields of a record that was added or removed
    """

    subject: str
    field: str = ""
    deed: Deed = Deed.CHANGED
    before: str | None = ""
    after: str = ""
    kind: str = ""
    parts: tuple["Change", ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Comparison:
    """Compares two plain JSON records; `gone` stands for a text of which only the hash is left."""

    gone: str

    def __call__(self, before: Any, after: Any) -> Iterator[Change]:
        """The changes, in the order of the record."""
        case = word("case")
        if not isinstance(before, dict) or not isinstance(after, dict):
            yield Change(subject=case, before=self.text(before), after=self.text(after))
            return
        for key in dict.fromkeys((*before, *after)):
            old, new = before.get(key), after.get(key)
            if key in _COUNTED_BY_THE_PROGRAM or old is new:
                continue
            inner = _plain(old) or _plain(new)
            subject = () if not inner else (word(key),)
            yield from self.value(old, new, subject or (case,), () if inner else (key,), "")

    def value(
        self, before: Any, after: Any, subject: tuple[str, ...], field: tuple[str, ...], kind: str
    ) -> Iterator[Change]:
        """Changes of one value; `subject` are the records around it, `field` the keys within the innermost."""
        if before is after:
            return
        if (_records(before) or _records(after)) and _listed(before) and _listed(after):
            yield from self.records(before or [], after or [], subject, field[-1] if field else kind, kind)
        elif _plain(before) and _plain(after):
            yield from self.fields(before, after, subject, field, kind)
        elif _plain(after) and before is None:
            yield self.whole(Deed.ADDED, after, (*subject, *map(word, field)), kind)
        elif _plain(before) and after is None:
            yield self.whole(Deed.REMOVED, before, (*subject, *map(word, field)), kind)
        elif before != after or type(before) is not type(after):
            words = ", ".join(word(key) for key in field)
            change = Change(
                subject=", ".join(subject), field=words, before=self.text(before), after=self.text(after), kind=kind
            )
            if change.before or (change.after and not (before is None and after is False)):
                yield change

    def fields(
        self,
        before: Mapping[str, Any],
        after: Mapping[str, Any],
        subject: tuple[str, ...],
        field: tuple[str, ...],
        kind: str,
    ) -> Iterator[Change]:
        """Changes field by field; a field that says what it is or why not is one text."""
        keys = dict.fromkeys((*before, *after))
        if set(_STATED) <= keys.keys():
            yield from self.value(self.stated(before), self.stated(after), subject, field, kind)
            keys = dict.fromkeys(key for key in keys if key not in _STATED)
        for key in keys:
            yield from self.value(before.get(key), after.get(key), subject, (*field, key), kind)

    def stated(self, field: Mapping[str, Any]) -> str:
        """A field that says what it is, or why it is not known."""
        standing, text, reason = (self.text(field.get(name)) for name in _STATED)
        if standing in ("value", "open", ""):
            return text
        return sentence("changes.absent", standing=standing, reason=reason) if reason else standing

    def records(
        self, before: Sequence[Any], after: Sequence[Any], subject: tuple[str, ...], key: str, kind: str
    ) -> Iterator[Change]:
        """Records by their id, wherever they stand in their list."""
        outer = () if subject == (word("case"),) else subject
        kind = kind or key
        old, new = _by_name(before, key), _by_name(after, key)
        for name, record in old.items():
            if name not in new:
                yield self.whole(Deed.REMOVED, record, (*outer, name), kind)
        for name, record in new.items():
            if name not in old:
                yield self.whole(Deed.ADDED, record, (*outer, name), kind)
            elif record is not old[name]:
                yield from self.value(old[name], record, (*outer, name), (), kind)
        ours, theirs = [name for name in old if name in new], [name for name in new if name in old]
        if ours != theirs:
            yield Change(subject=", ".join((*outer, word(key))), deed=Deed.MOVED, kind=kind)

    def whole(self, deed: Deed, record: Any, subject: tuple[str, ...], kind: str) -> Change:
        """A record that was added or removed, with its fields that say something."""
        empty = dict.fromkeys(record) if isinstance(record, dict) else None
        before, after = (empty, record) if deed is Deed.ADDED else (record, empty)
        parts = tuple(self.parts(before, after, subject, kind))
        return Change(subject=", ".join(subject), deed=deed, kind=kind, parts=parts)

    def parts(self, before: Any, after: Any, subject: tuple[str, ...], kind: str) -> Iterator[Change]:
        """Fields of a record against nothing; what is in it is told as its own fields."""
        for key in after or before:
            old, new = (side.get(key) if side else None for side in (before, after))
            found = new if old is None else old
            if key == "id" or found is False:
                continue
            if _plain(found) and not _records(found):
                nothing: dict[str, Any] = {}
                yield from self.fields(old or nothing, new or nothing, subject, (key,), kind)
            else:
                yield from self.value(old, new, subject, (key,), kind)

    def told(self, operation: Mapping[str, Any]) -> Change:
        """A change that does not fit the record before it, as the log tells it."""
        words = ", ".join(word(key) for key in tokens(operation.get("path", "")))
        deed = {"add": Deed.ADDED, "remove": Deed.REMOVED}.get(str(operation.get("op")), Deed.CHANGED)
        return Change(
            subject=word("case"),
            field=words,
            deed=Deed.CHANGED if "value" in operation else deed,
            before=None,
            after=self.text(operation.get("value")),
        )

    def text(self, value: Any) -> str:
        """A value in words."""
        if hash_in(value):
            return self.gone
        if value is None:
            return ""
        if isinstance(value, bool):
            return sentence("changes.yes" if value else "changes.no")
        if isinstance(value, float):
            return f"{value:.10g}"
        if isinstance(value, list):
            texts = [f"({self.text(item)})" if isinstance(item, list) else self.text(item) for item in value]
            return ", ".join(texts)
        if isinstance(value, dict):
            return "; ".join(f"{word(key)} {self.text(item)}" for key, item in value.items())
        return str(value)


def _plain(value: Any) -> bool:
    """A record, or part of one; not the stand-in of a text."""
    return isinstance(value, dict) and not hash_in(value)


def _records(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(_plain(item) for item in value)


def _listed(value: Any) -> bool:
    """A list of records, or nothing where one may stand."""
    return value is None or value == [] or _records(value)


def _by_name(records: Sequence[Any], key: str) -> dict[str, Any]:
    """Records by the name that people know them by; those without one are counted."""
    found: dict[str, Any] = {}
    for number, record in enumerate(records, 1):
        name = _name(record, key, number)
        repeat = 2
        while name in found:
            name = sentence("changes.again", name=_name(record, key, number), number=repeat)
            repeat += 1
        found[name] = record
    return found


def _name(record: Any, key: str, number: int) -> str:
    if isinstance(record, dict):
        if isinstance(record.get("id"), str) and record["id"]:
            return str(record["id"])
        if isinstance(record.get("letter"), str):
            return sentence("changes.point", letter=record["letter"])
        if "caution" in record and "test" in record:
            return sentence("changes.caution", caution=record["caution"], test=record["test"])
        if "field" in record and "reason" in record:
            return sentence("changes.absence", field=record["field"])
    return sentence("changes.one_of", kind=word(key), number=number)


def word(key: str) -> str:
    """The word for a field, never empty; one of a later program is told as it stands in the file."""
    try:
        return template(f"changes.field.{key}")
    except KeyError:
        return key.replace("_", " ") or '""'

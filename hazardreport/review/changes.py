"""What a revision changed, in words for people: "reading-007: value 117 V → 231 V", "picture-003 added".

The log holds JSON Patches, which count the records of a list; people know them by their ids. So both states of the
record are compared, record by record. Nothing here decides whether the log is sound: that is `review.chain`.
"""

import copy
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

from hazardreport.case.case import Case
from hazardreport.errors import PatchRefusedError, ValuesMissingError
from hazardreport.review.chain import Chain, Revision
from hazardreport.storage.case_json import plain_document
from hazardreport.storage.patch import patched, tokens
from hazardreport.storage.values import hash_in
from hazardreport.wording import sentence, template

LINES = 3
"""So many changes are told in one line; the others are counted."""
SHORT = 60
"""Longest text within a line. [character]"""

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


def changes_between(before: Case, after: Case) -> tuple[Change, ...]:
    """What makes one case of another; the number of the revision does not count."""
    return tuple(_Comparison(gone="")(plain_document(before), plain_document(after)))


def changes_of(chain: Chain) -> tuple[tuple[Change, ...], ...]:
    """The changes of each revision of a log, in their order.

    A text whose hash alone is left is said to be erased, or, if texts are missing that nobody erased, not to be there.
    """
    missing = any(isinstance(problem, ValuesMissingError) for problem in chain.problems)
    compared = _Comparison(gone=sentence("changes.not_there" if missing else "changes.erased"))
    document: Any = plain_document(Case(id=""))
    found: list[tuple[Change, ...]] = []
    for revision in chain.revisions:
        try:
            after = _patched(document, revision.changes)
            found.append(tuple(compared(document, after)))
            document = after
        except PatchRefusedError:
            found.append(tuple(compared.told(operation) for operation in revision.changes))
    return tuple(found)


def _patched(document: Any, operations: Iterable[Mapping[str, Any]]) -> Any:
    """The document after the operations; what they leave alone is shared with the one before, which stays as it is."""
    for operation in operations:
        if tokens(operation.get("path", "")):
            document = _unshared(document, operation["path"])
        document = patched(document, [dict(operation)])
    return document


def _unshared(document: Any, pointer: str) -> Any:
    whole = holder = copy.copy(document)
    try:
        for key in tokens(pointer)[:-1]:
            place = int(key) if isinstance(holder, list) else key
            holder[place] = copy.copy(holder[place])
            holder = holder[place]
    except (LookupError, TypeError, ValueError) as error:
        raise PatchRefusedError(path=pointer[:80]) from error
    return whole


@dataclass(frozen=True, kw_only=True, slots=True)
class _Comparison:
    """Compares two plain JSON records; `gone` stands for a text of which only the hash is left."""

    gone: str

    def __call__(self, before: Any, after: Any) -> Iterator[Change]:
        """The changes, in the order of the record."""
        case = _word("case")
        if not isinstance(before, dict) or not isinstance(after, dict):
            yield Change(subject=case, before=self.text(before), after=self.text(after))
            return
        for key in dict.fromkeys((*before, *after)):
            old, new = before.get(key), after.get(key)
            if key in _COUNTED_BY_THE_PROGRAM or old is new:
                continue
            inner = _plain(old) or _plain(new)
            subject = () if not inner else (_word(key),)
            yield from self.value(old, new, subject or (case,), () if inner else (key,), "")

    def value(
        self, before: Any, after: Any, subject: tuple[str, ...], field: tuple[str, ...], kind: str
    ) -> Iterator[Change]:
        """Changes of one value; `subject` are the records around it, `field` the keys within the innermost."""
        if before is after:
            return
        if _records(before) or _records(after):
            yield from self.records(before or [], after or [], subject, field[-1], kind)
        elif _plain(before) and _plain(after):
            yield from self.fields(before, after, subject, field, kind)
        elif _plain(after) and before is None:
            yield self.whole(Deed.ADDED, after, (*subject, *map(_word, field)), kind)
        elif _plain(before) and after is None:
            yield self.whole(Deed.REMOVED, before, (*subject, *map(_word, field)), kind)
        elif before != after or type(before) is not type(after):
            words = ", ".join(_word(key) for key in field)
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
        outer = () if subject == (_word("case"),) else subject
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
            yield Change(subject=", ".join((*outer, _word(key))), deed=Deed.MOVED, kind=kind)

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
        words = ", ".join(_word(key) for key in tokens(operation.get("path", "")))
        deed = {"add": Deed.ADDED, "remove": Deed.REMOVED}.get(str(operation.get("op")), Deed.CHANGED)
        return Change(
            subject=_word("case"),
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
            return "; ".join(f"{_word(key)} {self.text(item)}" for key, item in value.items())
        return str(value)


def _plain(value: Any) -> bool:
    """A record, or part of one; not the stand-in of a text."""
    return isinstance(value, dict) and not hash_in(value)


def _records(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(_plain(item) for item in value)


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
    return sentence("changes.one_of", kind=_word(key), number=number)


def _word(key: str) -> str:
    """The word for a field; one of a later program is told as it stands in the file."""
    try:
        return template(f"changes.field.{key}")
    except KeyError:
        return key.replace("_", " ")


def line(change: Change) -> str:
    """One change in one line."""
    if change.deed is not Deed.CHANGED:
        return sentence(f"changes.{change.deed.value}", subject=change.subject)
    before, after = (None if text is None else _short(text) for text in (change.before, change.after))
    where = sentence("changes.where", subject=change.subject, field=change.field) if change.field else change.subject
    if before is None:
        return sentence("changes.now", where=where, after=after)
    if before == after:
        return sentence("changes.otherwise", where=where)
    return sentence("changes.from_to", where=where, before=before, after=after)


def _short(text: str) -> str:
    flat = " ".join(text.split())
    if not flat:
        return sentence("changes.nothing")
    return flat if len(flat) <= SHORT else flat[: SHORT - 1].rstrip() + "…"


def summary(changes: Sequence[Change], limit: int = LINES) -> str:
    """Changes in one line: the first few are told, records of one kind are taken together, the others are counted."""
    told = list(_together(changes))
    if not told:
        return sentence("changes.none")
    shown = [line(one) if count == 1 else _many(one, count) for one, count in told[:limit]]
    more = sum(count for _, count in told[limit:])
    if more:
        shown.append(sentence("changes.more", count=more))
    return "; ".join(shown)


def _together(changes: Sequence[Change]) -> Iterator[tuple[Change, int]]:
    """Changes with how many they stand for: whole records of a kind that were added, or removed, are one."""
    counts: dict[tuple[str, Deed], int] = {}
    for change in changes:
        if _is_whole(change):
            counts[change.kind, change.deed] = counts.get((change.kind, change.deed), 0) + 1
    for change in changes:
        count = counts.get((change.kind, change.deed), 1) if _is_whole(change) else 1
        if 0 < count < LINES:
            yield change, 1
        elif count:
            counts[change.kind, change.deed] = 0
            yield change, count


def _is_whole(change: Change) -> bool:
    return bool(change.kind) and change.deed in (Deed.ADDED, Deed.REMOVED) and ", " not in change.subject


def _many(change: Change, count: int) -> str:
    return sentence(f"changes.many_{change.deed.value}", count=count, kind=_word(change.kind))


def told(revision: Revision, changes: Sequence[Change], limit: int = LINES) -> str:
    """What a revision changed, in one line, with what else is to be known of it."""
    remarks = []
    if not revision.before:
        remarks.append(sentence("changes.first"))
        changes = sorted(changes, key=lambda change: not _is_whole(change))
    if revision.from_format:
        remarks.append(sentence("changes.from_format", format=revision.from_format))
    if revision.restarted:
        remarks.append(sentence("changes.restarted", sha256=revision.restarted[:8]))
    if revision.erased:
        remarks.append(sentence("changes.texts_erased", count=revision.erased))
    return "; ".join((*remarks, summary(changes, limit)))


def field_by_field(changes: Iterable[Change]) -> tuple[Change, ...]:
    """The changes with the fields of whole records in place: first that it was added or removed, then what it says."""
    found: list[Change] = []
    for change in changes:
        found.append(replace(change, parts=()))
        found += field_by_field(change.parts)
    return tuple(found)

"""What a revision changed, in words for people: "reading-007: value 117 V → 231 V", "picture-003 added".

The log holds JSON Patches, which count the records of a list; people know them by their ids. So both states of the
record are compared, record by record. Nothing here decides whether the log is sound: that is `review.chain`.
"""

import copy
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from hazardreport.case.case import Case
from hazardreport.case.word_search import WordSearch
from hazardreport.errors import PatchRefusedError, ValuesMissingError
from hazardreport.review.chain import Chain, Revision
from hazardreport.review.record_changes import Change, Comparison, Deed, word
from hazardreport.storage.case_json import plain_document
from hazardreport.storage.patch import patched, tokens
from hazardreport.wording import sentence

LINES = 3
"""So many changes are told in one line; the others are counted."""
SHORT = 60
"""Longest text within a line. [character]"""


def changes_between(before: Case, after: Case) -> tuple[Change, ...]:
    """What makes one case of another; the number of the revision does not count."""
    return tuple(Comparison(gone="")(plain_document(before), plain_document(after)))


def changes_of(chain: Chain) -> tuple[tuple[Change, ...], ...]:
    """The changes of each revision of a log, in their order.

    A text whose hash alone is left is said to be erased, or, if texts are missing that nobody erased, not to be there.
    """
    missing = any(isinstance(problem, ValuesMissingError) for problem in chain.problems)
    compared = Comparison(gone=sentence("changes.not_there" if missing else "changes.erased"))
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


def line(change: Change, *, texts: bool = True) -> str:
    """One change in one line; without texts it only says what changed."""
    if change.deed is not Deed.CHANGED:
        return sentence(f"changes.{change.deed.value}", subject=change.subject)
    before, after = (None if text is None else _short(text) for text in (change.before, change.after))
    where = sentence("changes.where", subject=change.subject, field=change.field) if change.field else change.subject
    if not texts:
        return sentence("changes.otherwise", where=where)
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


def summary(changes: Sequence[Change], limit: int = LINES, *, texts: bool = True) -> str:
    """Changes in one line: the first few are told, records of one kind are taken together, the others are counted."""
    told = list(_together(changes))
    if not told:
        return sentence("changes.none")
    shown = [line(one, texts=texts) if count == 1 else _many(one, count) for one, count in told[:limit]]
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
    return sentence(f"changes.many_{change.deed.value}", count=count, kind=word(change.kind))


def told(revision: Revision, changes: Sequence[Change], limit: int = LINES, *, texts: bool = True) -> str:
    """What a revision changed, in one line, with what else is to be known of it.

    Without texts, nothing that stood or stands in the record is told, only which records and fields changed: for
    readers from whom names are kept, which may stand in any text.
    """
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
    return "; ".join((*remarks, summary(changes, limit, texts=texts)))


def field_by_field(changes: Iterable[Change]) -> tuple[Change, ...]:
    """The changes with the fields of whole records in place: first that it was added or removed, then what it says."""
    found: list[Change] = []
    for change in changes:
        found.append(replace(change, parts=()))
        found += field_by_field(change.parts)
    return tuple(found)


def places_with(case: Case, words: Sequence[str]) -> tuple[str, ...]:
    """Where in the record one of the words still stands (`case.word_search`) because a person wrote it there."""
    search = WordSearch(word for word in words if word.strip())
    found = [
        f"{one.subject} {one.field}".strip()
        for one in field_by_field(changes_between(Case(id=""), case))
        if search.spans(one.after)
    ]
    return tuple(dict.fromkeys(found))

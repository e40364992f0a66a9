"""A person is erased from a case: from the record, from the texts behind the log's hashes, from what lies beside it.

The log keeps its hashes and stays valid; that and when something was erased stands in it. What the log never hashes
(ids, typed measurements, links) keeps its text in earlier lines, also if a name stands in it. Nothing is searched
inside pictures and attachments: they go, file and all, if they are named. Packs handed on before are out of reach.
"""

import contextlib
import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import msgspec

from hazardreport.case.case import Case
from hazardreport.case.erasing import without_attachment, without_person, without_picture
from hazardreport.case.personal import Person, person_of
from hazardreport.case.picture import Recognisable
from hazardreport.case.word_search import WordSearch
from hazardreport.errors import CouldNotWriteError, NoSuchRecordError, PatchRefusedError
from hazardreport.storage import files, layout
from hazardreport.storage.begun import MARKER, begin, is_evidence
from hazardreport.storage.case_json import plain_document
from hazardreport.storage.journal import clear_journal, overtaken
from hazardreport.storage.log import Log, log_from_bytes, operations_of, place_of, texts_of
from hazardreport.storage.manifest import read_manifest
from hazardreport.storage.patch import difference, patched
from hazardreport.storage.revision import Signature
from hazardreport.storage.saving import save_case
from hazardreport.storage.values import hash_in, hashes_in, opened, values_from_bytes


@dataclass(frozen=True, kw_only=True, slots=True)
class Wish:
    """What is to be erased.

    persons      whose fields go
    pictures     ids of pictures, in the record or in the log, whose file and texts go
    attachments  ids of attachments, likewise
    authors      names, or parts of names, of authors of revisions that go
    words        names or addresses: every earlier text in which one of them stands (`case.word_search`) is erased
    reason       stands in place of answered fields
    """

    persons: frozenset[Person] = frozenset()
    pictures: frozenset[str] = frozenset()
    attachments: frozenset[str] = frozenset()
    authors: frozenset[str] = frozenset()
    words: tuple[str, ...] = ()
    reason: str

    def ids(self, place: str) -> frozenset[str]:
        """Ids of the pictures or the attachments that go, by the folder in which they lie."""
        return {layout.PICTURES: self.pictures, layout.ATTACHMENTS: self.attachments}[place]

    def granted(self, case: Case) -> Case:
        """The case after this wish, as far as its record goes."""
        without = without_picture(without_person(case, self.persons, self.reason), self.pictures)
        return without_attachment(without, self.attachments)


def recognisable_pictures(case: Case) -> frozenset[str]:
    """Ids of the pictures that show somebody, as somebody said."""
    return frozenset(picture.id for picture in case.pictures if picture.recognisable is Recognisable.YES)


def erase(case: Case, folder: Path, wish: Wish, signature: Signature) -> Case:
    """The case as saved without the person; what was in the folder before is not there any more.

    Texts that are erased here stood in earlier revisions, or stand in the record now and are emptied in it. A text of
    free writing with one of the words in it must have been changed by a person before: the record is never rewritten
    by guessing. If nothing of the wish is anywhere, nothing is saved: the case is the one given, with its revision.
    Damaged and older records beside the case, and a journal that a save has overtaken, are not searched: they go, and
    count as something that was there.

    Raises
    ------
    NoSuchRecordError
        If a picture or an attachment to be erased is neither in the case nor in its log.
    CouldNotWriteError
        If the disk refuses. If that happens while files are removed, the record is erased already, and the next
        opening for writing removes what still lies there.
    Further, what `save_case` raises.
    """
    log = log_from_bytes(_bytes(folder / layout.LOG))
    texts = texts_of(values_from_bytes(_bytes(folder / layout.VALUES))[0])
    states = _states(log)
    of_files, files_gone = _of_files(case, states, texts, wish)
    after = wish.granted(case)
    hashes = _hashes(log, texts, wish, of_files, _resolved(log, states, texts, after))
    if after == case and not hashes and not _is_there(folder, files_gone) and not _beside(folder):
        return case
    if signature.author and WordSearch((*wish.words, *wish.authors)).spans(signature.author):
        signature = replace(signature, author="")
    begin(folder, files_gone)
    saved = save_case(after, folder, signature=signature, erase=hashes, erase_files=files_gone)
    clear_journal(folder)
    _remove(folder / name for name in (*files_gone, MARKER))
    _remove(_beside(folder))
    return saved


def _is_there(folder: Path, paths: Iterable[str]) -> bool:
    """Whether any of the files lies in the folder or is listed in the manifest."""
    manifest = read_manifest(folder / layout.MANIFEST)
    listed = manifest.hashes if manifest else {}
    return any(path in listed or os.path.lexists(folder / path) for path in paths)


def _beside(folder: Path) -> list[Path]:
    """Records that lie beside the case and are not searched."""
    found = [path for path in folder.iterdir() if ".damaged-" in path.name or path.name == layout.PREVIOUS]
    return [*found, folder / layout.JOURNAL] if overtaken(folder) else found


def _states(log: Log) -> list[Any]:
    """The record after each line, hashes and all, as far as the log can be replayed."""
    found: list[Any] = []
    with contextlib.suppress(PatchRefusedError):
        for number in range(1, len(log.lines) + 1):
            before = msgspec.json.decode(msgspec.json.encode(found[-1])) if found else None
            found.append(patched(before, operations_of(log.lines[number - 1])))
    return [state for state in found if isinstance(state, dict)]


def _of_files(
    case: Case, states: list[Any], texts: Mapping[str, str], wish: Wish
) -> tuple[frozenset[str], frozenset[str]]:
    """Hashes of everything that was ever said of the pictures and attachments that go, and paths of their files.

    A file that another record names now is not among them, nor what a log names that lies elsewhere.
    """
    hashes: set[str] = set()
    paths: set[str] = set()
    for place, kind, present in (
        (layout.PICTURES, "picture", case.pictures),
        (layout.ATTACHMENTS, "attachment", case.attachments),
    ):
        ids = wish.ids(place)
        records = list(_records(states, place, ids))
        for unknown in sorted(ids - {one["id"] for one in records} - {one.id for one in present}):
            raise NoSuchRecordError(kind=kind, id=unknown)
        names = {str(opened(one, texts, set()).get("file")) for one in records}
        names |= {one.file for one in present if one.id in ids}
        named = (f"{place}/{name}" for name in names - {one.file for one in present if one.id not in ids})
        paths.update(path for path in named if is_evidence(path))
        hashes.update(sha256 for one in records for sha256 in hashes_in(one))
    return frozenset(hashes), frozenset(paths)


def _records(states: Iterable[Any], place: str, ids: frozenset[str]) -> Iterable[dict[str, Any]]:
    """The records with these ids in every state, as far as they are records."""
    for one in (one for state in states if isinstance(found := state.get(place), list) for one in found):
        if isinstance(one, dict) and isinstance(one.get("id"), str) and one["id"] in ids:
            yield one


def _resolved(log: Log, states: list[Any], texts: Mapping[str, str], after: Case) -> frozenset[str]:
    """Hashes of the log that the record still stands on after the next line; none if the log cannot be continued."""
    if log.faults or not states:
        return frozenset()
    last = opened(states[-1], texts, set())
    return frozenset(hashes_in(patched(states[-1], difference(last, plain_document(after)))))


def _bytes(path: Path) -> bytes:
    return files.read(path) if path.exists() else b""


def _hashes(
    log: Log, texts: Mapping[str, str], wish: Wish, of_files: frozenset[str], resolved: frozenset[str]
) -> list[str]:
    """Hashes whose texts go, in the order of the log; then those that no line names, whatever they say."""
    words, authors = WordSearch(wish.words), WordSearch((*wish.words, *wish.authors))
    found: list[str] = []
    named: set[str] = set()
    for line in () if log.faults else log.lines:
        author = hash_in(line.author)
        named.add(author)
        if authors.spans(texts.get(author, "")):
            found.append(author)
        for operation in operations_of(line):
            for one, where in _stand_ins(operation.get("value"), place_of(operation["path"])):
                named.add(one)
                if one in of_files or person_of(where) in wish.persons or words.spans(texts.get(one, "")):
                    found.append(one)
    found += [one for one in texts if one not in named]
    return list(dict.fromkeys(one for one in found if one in texts and one not in resolved))


def _stand_ins(value: Any, place: str) -> Iterable[tuple[str, str]]:
    """Hashes in a part of the log, each with the place that it stands at."""
    if one := hash_in(value):
        yield one, place
    elif isinstance(value, dict):
        for key, item in value.items():
            yield from _stand_ins(item, f"{place}.{key}" if place else key)
    elif isinstance(value, list):
        for item in value:
            yield from _stand_ins(item, f"{place}[]")


def _remove(paths: Iterable[Path]) -> None:
    for path in list(paths):
        try:
            files.remove(path)
        except OSError as error:
            raise CouldNotWriteError(path=str(path), reason=files.reason(error)) from error

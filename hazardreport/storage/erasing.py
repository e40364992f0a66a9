"""A person is erased from a case: from the record, from the texts behind the log's hashes, from everything beside it.

The log keeps its hashes and stays valid; that and when something was erased stands in it. Packs that were handed on
before are out of reach.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from hazardreport.case.case import Case
from hazardreport.case.erasing import without_person, without_picture
from hazardreport.case.personal import Person, person_of
from hazardreport.case.picture import Recognisable
from hazardreport.errors import CouldNotWriteError, NoSuchRecordError
from hazardreport.storage import files, layout
from hazardreport.storage.case_json import plain_document
from hazardreport.storage.journal import clear_journal
from hazardreport.storage.log import Log, log_from_bytes, operations_of, place_of, texts_of
from hazardreport.storage.revision import Signature
from hazardreport.storage.saving import save_case
from hazardreport.storage.values import hash_in, values_from_bytes


@dataclass(frozen=True, kw_only=True, slots=True)
class Wish:
    """What is to be erased.

    persons   whose fields go
    pictures  ids of pictures whose file goes too
    authors   names, or parts of names, of authors of revisions that go
    words     names or addresses: every text in which one of them stands is erased, wherever it is in the log
    reason    stands in place of answered fields
    """

    persons: frozenset[Person] = frozenset()
    pictures: frozenset[str] = frozenset()
    authors: frozenset[str] = frozenset()
    words: tuple[str, ...] = ()
    reason: str


def recognisable_pictures(case: Case) -> frozenset[str]:
    """Ids of the pictures that show somebody, as somebody said."""
    return frozenset(picture.id for picture in case.pictures if picture.recognisable is Recognisable.YES)


def erase(case: Case, folder: Path, wish: Wish, signature: Signature) -> Case:
    """The case as saved without the person; what was in the folder before is not there any more.

    Texts that are erased here stood in earlier revisions, or stand in the record now and are emptied in it. A text of
    free writing with one of the words in it must have been changed by a person before: the record is never rewritten
    by guessing.

    Raises
    ------
    NoSuchRecordError
        If a picture to be erased is not in the case.
    CouldNotWriteError
        If the disk refuses. If that happens while files are removed, the record is erased already, and `verify` names
        what still lies there.
    Further, what `save_case` raises.
    """
    for picture_id in sorted(wish.pictures):
        if case.picture(picture_id) is None:
            raise NoSuchRecordError(kind="picture", id=picture_id)
    gone = [picture for picture in case.pictures if picture.id in wish.pictures]
    files_gone = frozenset(f"{layout.PICTURES}/{picture.file}" for picture in gone)
    after = without_picture(without_person(case, wish.persons, wish.reason), wish.pictures)
    log = log_from_bytes(_bytes(folder / layout.LOG))
    texts = texts_of(values_from_bytes(_bytes(folder / layout.VALUES))[0])
    present = _texts_in(plain_document(after))
    of_pictures = frozenset().union(*(_texts_in(part) for part in _plain_pictures(case, wish.pictures))) - present
    hashes = _hashes(log, texts, wish, present, of_pictures)
    saved = save_case(after, folder, signature=signature, erase=hashes, erase_files=files_gone)
    clear_journal(folder)
    _remove(folder / name for name in files_gone)
    _remove(path for path in folder.iterdir() if ".damaged-" in path.name or path.name == layout.PREVIOUS)
    return saved


def _bytes(path: Path) -> bytes:
    return files.read(path) if path.exists() else b""


def _hashes(
    log: Log, texts: dict[str, str], wish: Wish, present: frozenset[str], of_pictures: frozenset[str]
) -> list[str]:
    """Hashes in the log whose texts go, in the order of the log."""
    found: list[str] = []
    for line in log.lines:
        author = hash_in(line.author)
        if author and any(name.casefold() in texts.get(author, "").casefold() for name in wish.authors if name):
            found.append(author)
        for operation in operations_of(line):
            if "value" in operation:
                place = place_of(operation["path"])
                found += [
                    one
                    for one, where in _stand_ins(operation["value"], place)
                    if person_of(where) in wish.persons
                    or _named(texts.get(one, ""), wish.words, present)
                    or (where.startswith("pictures[]") and texts.get(one) in of_pictures)
                ]
    return list(dict.fromkeys(one for one in found if one in texts))


def _named(text: str, words: Iterable[str], present: frozenset[str]) -> bool:
    """Whether one of the words stands in a text that the record no longer has."""
    folded = text.casefold()
    return text not in present and any(word.casefold() in folded for word in words if word.strip())


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


def _plain_pictures(case: Case, ids: frozenset[str]) -> list[Any]:
    return [picture for picture in plain_document(case)["pictures"] if picture["id"] in ids]


def _texts_in(part: Any) -> frozenset[str]:
    """All texts in a plain JSON value."""
    if isinstance(part, str):
        return frozenset((part,))
    parts = part.values() if isinstance(part, dict) else part if isinstance(part, list) else ()
    return frozenset().union(*map(_texts_in, parts))


def _remove(paths: Iterable[Path]) -> None:
    for path in list(paths):
        try:
            files.remove(path)
        except OSError as error:
            raise CouldNotWriteError(path=str(path), reason=files.reason(error)) from error

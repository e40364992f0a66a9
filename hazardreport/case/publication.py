"""A case without anything that identifies a person, derived from a whole one; the whole one is not changed.

Personal fields say that they are withheld, pictures stay only if it was said that nobody can be recognised on them,
attachments and names of files are left out, and in all other texts the words that identify a person are replaced where
they can be read. Numbers, states, ids and links stay; an id that holds such a word gets another, everywhere.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, fields, is_dataclass, replace
from enum import Enum, StrEnum
from typing import Any

from hazardreport.case.case import Case
from hazardreport.case.edits import next_id, next_letter
from hazardreport.case.identifying_words import identifying_words
from hazardreport.case.personal import PERSONAL
from hazardreport.case.picture import Picture, Point, Recognisable
from hazardreport.case.publication_places import CLAIMED, FILE_NAMES, IDS, KEPT, LINKS, REMARKS
from hazardreport.case.stated import Absence, Stated, unknown
from hazardreport.case.word_search import WordSearch
from hazardreport.wording import sentence


class Why(StrEnum):
    """Why something is not in a publication."""

    PERSONAL = "personal"
    PRIVATE = "private"
    RECOGNISABLE = "recognisable"
    NOT_LOOKED_AT = "not looked at"
    ATTACHMENT = "attachment"
    CLAIM = "claim of a file"
    REFERENCE = "reference"
    ID = "id"


@dataclass(frozen=True, kw_only=True, slots=True)
class Withheld:
    """One thing that was left out.

    place     in the whole case, records by their id: "readings[reading-004].by"
    sha256    of the file that was left out, "" if it is none
    shown_on  id of a published picture that is said to show it, or ""
    """

    place: str
    why: Why
    sha256: str = ""
    shown_on: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Replaced:
    """A text in which words were replaced, and how many."""

    place: str
    count: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Published:
    """A publication and what was done to make it.

    case       record of the publication; its pictures are still to be derived from the originals
    originals  the whole case's record of each published picture, in the same order
    withheld   left out; replaced: texts in which words were replaced
    """

    case: Case
    originals: tuple[Picture, ...]
    withheld: tuple[Withheld, ...]
    replaced: tuple[Replaced, ...]


_PICTURE_ID = re.compile(r"picture-[0-9]{1,18}")


def published(case: Case, head: str) -> Published:
    """The publication of a case; publishing it again gives the same.

    Parameters
    ----------
    case : Case
        The whole case.
    head : str
        Hash of the last line of its log, by which the publication says what it was derived from.
    """
    work = _Work(words=identifying_words(case), withheld=sentence("publication.withheld"))
    kept = tuple(one for one in case.pictures if one.recognisable is Recognisable.NO)
    work.left_out(case)
    less = replace(case, competence=None, pictures=kept, attachments=(), private_words=())
    work.names = _names(less, work.words)
    derived: Case = work.value(less, "", "")
    pictures = tuple(
        replace(one, file=file, has_position=False)
        for one, file in zip(derived.pictures, _files(derived.pictures), strict=True)
    )
    absences = derived.absences
    if case.pictures and not kept and not derived.absence("pictures"):
        absences = (*absences, Absence(field="pictures", reason=sentence("publication.no_pictures")))
    return Published(
        case=replace(derived, pictures=pictures, absences=absences, published_from=head),
        originals=kept,
        withheld=tuple(work.without),
        replaced=tuple(work.replaced),
    )


def _names(case: Case, words: WordSearch) -> dict[str, dict[str, str]]:
    """The id of each published record by its old one; another only where the old one holds a word."""
    given: dict[str, Iterable[str]] = {
        kind: [one.id for one in getattr(case, kind)]
        for kind in IDS.values()
        if kind != "points" and not kind.startswith("pictures[]")
    }
    given["pictures[].marks"] = [mark.id for one in case.pictures for mark in one.marks]
    given["pictures[].covers"] = [cover.id for one in case.pictures for cover in one.covers]
    names = {kind: _renamed(ids, words, _numbered(kind)) for kind, ids in given.items()}
    names["points"] = _renamed([point.letter for point in case.points], words, _lettered)
    return names


def _numbered(kind: str) -> Callable[[set[str]], str]:
    stem = kind.rpartition(".")[2].removesuffix("s").replace("_", "-")
    return lambda taken: next_id(stem, taken)


def _lettered(taken: set[str]) -> str:
    return next_letter(Point(letter=letter) for letter in taken)


def _renamed(ids: Iterable[str], words: WordSearch, free: Callable[[set[str]], str]) -> dict[str, str]:
    names = {one: "" if words.spans(one) else one for one in ids}
    taken = set(names)
    for one in [one for one, name in names.items() if not name and one]:
        names[one] = free(taken)
        taken.add(names[one])
    return names


def _files(pictures: tuple[Picture, ...]) -> tuple[str, ...]:
    """Names of the derived files: by the picture's id, or by its place where the id makes no name."""
    named = [one.id if _PICTURE_ID.fullmatch(one.id) else "" for one in pictures]
    named = [name if name and named.index(name) == place else "" for place, name in enumerate(named)]
    taken = {name for name in named if name}
    for place, name in enumerate(named):
        if not name:
            named[place] = next_id("picture", taken)
            taken.add(named[place])
    return tuple(f"{name}.jpg" for name in named)


@dataclass(kw_only=True, slots=True)
class _Work:
    """A record on its way into a publication, and what was done to it so far."""

    words: WordSearch
    withheld: str
    names: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    without: list[Withheld] = field(default_factory=list)
    replaced: list[Replaced] = field(default_factory=list)
    lost: int = 0

    def left_out(self, case: Case) -> None:
        """Whole records that are not in the publication."""
        if case.competence is not None:
            self.without.append(Withheld(place="competence", why=Why.PERSONAL))
        if case.private_words:
            self.without.append(Withheld(place="private_words", why=Why.PERSONAL))
        for picture in case.pictures:
            if picture.recognisable is not Recognisable.NO:
                why = Why.NOT_LOOKED_AT if picture.recognisable is Recognisable.OPEN else Why.RECOGNISABLE
                self.without.append(Withheld(place=f"pictures[{picture.id}]", why=why, sha256=picture.sha256))
        for one in case.attachments:
            self.without.append(Withheld(place=f"attachments[{one.id}]", why=Why.ATTACHMENT, sha256=one.sha256))

    def value(self, value: Any, place: str, shown: str) -> Any:
        """The value as it is published; `place` as the model of personal fields writes it, `shown` for people."""
        if isinstance(value, Stated):
            return self._stated(value, place, shown)
        if isinstance(value, str) and not isinstance(value, Enum):
            return self._text(value, place, shown)
        if isinstance(value, tuple):
            return self._items(value, place, shown)
        if is_dataclass(value) and not isinstance(value, type):
            return self._record(value, place, shown)
        return value

    def _record(self, record: Any, place: str, shown: str) -> Any:
        before = self.lost
        changes = {}
        for one in fields(record):
            inner, told = (f"{name}.{one.name}" if name else one.name for name in (place, shown))
            old = getattr(record, one.name)
            new = self.value(old, inner, told)
            if new is not old:
                changes[one.name] = new
        remark = REMARKS.get(place, "")
        if remark and self.lost > before:
            text = changes.get(remark, getattr(record, remark))
            changes[remark] = " ".join(part for part in (text, sentence("publication.reference_lost")) if part)
        return replace(record, **changes) if changes else record

    def _items(self, items: tuple[Any, ...], place: str, shown: str) -> tuple[Any, ...]:
        inner = f"{place}[]"
        kept = []
        for index, item in enumerate(items):
            name = str(getattr(item, "id", "") or getattr(item, "letter", "") or index)
            new = self.value(item, inner, f"{shown}[{name}]")
            if new or not (item and inner in LINKS):
                kept.append(new)
        same = len(kept) == len(items) and all(new is old for new, old in zip(kept, items, strict=True))
        return items if same else tuple(kept)

    def _stated(self, stated: Stated, place: str, shown: str) -> Stated:
        withheld = unknown(sentence("publication.reason"))
        if place in PERSONAL or stated.private:
            if not stated.text and not stated.reason:
                return Stated()
            if stated != withheld:
                why = Why.PERSONAL if place in PERSONAL else Why.PRIVATE
                shown_on = self.names["pictures"].get(stated.picture, "")
                self.without.append(Withheld(place=shown, why=why, shown_on=shown_on))
            return stated if stated == withheld else withheld
        return replace(
            stated,
            text=self._searched(stated.text, shown),
            reason=self._searched(stated.reason, f"{shown}.reason"),
            picture=self._link(stated.picture, "pictures", shown),
            point=self._link(stated.point, "points", shown),
        )

    def _text(self, text: str, place: str, shown: str) -> str:
        if place in KEPT or not text:
            return text
        if place in PERSONAL or place in CLAIMED:
            stand_in = "" if place in FILE_NAMES or place in CLAIMED else self.withheld
            if text != stand_in:
                self.without.append(Withheld(place=shown, why=Why.PERSONAL if place in PERSONAL else Why.CLAIM))
            return stand_in
        if place in LINKS:
            return self._link(text, LINKS[place], shown)
        if place in IDS:
            if (name := self.names[IDS[place]][text]) != text:
                self.without.append(Withheld(place=shown, why=Why.ID))
            return name
        return self._searched(text, shown)

    def _link(self, id: str, kind: str, shown: str) -> str:
        """The link to a record that is published; "" if it is left out, or if nobody knows it and it holds a word."""
        if not id:
            return ""
        if id in self.names[kind]:
            return self.names[kind][id]
        if kind not in ("pictures", "attachments") and not self.words.spans(id):
            return id
        self.lost += 1
        self.without.append(Withheld(place=shown, why=Why.REFERENCE))
        return ""

    def _searched(self, text: str, shown: str) -> str:
        found, count = self.words.replaced(text, self.withheld)
        if count:
            self.replaced.append(Replaced(place=shown, count=count))
        return found

"""Many files are taken in at once.

All that can be taken are in, or none is: until the last step everything lies under hidden names, and a disk that
refuses, or a person who cancels, ends it with nothing left. Files that cannot be taken are told and hold up no other.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from hazardreport.case.attachment import Attachment
from hazardreport.case.case import Case
from hazardreport.case.edits import add_attachment, add_picture, next_id
from hazardreport.case.picture import Picture
from hazardreport.errors import HazardReportError, OnlyFirstPictureShownError
from hazardreport.evidence import disk
from hazardreport.evidence.intake import attachment_record, picture_record
from hazardreport.evidence.kinds import PICTURES, suffix
from hazardreport.evidence.names import shown_name
from hazardreport.evidence.settling import Settled, Staged, settled
from hazardreport.evidence.staging import Copied, Destination, Known, Same, Staging, Wanted

__all__ = ["Destination", "Taken", "Wanted", "destination", "take_in_many", "with_taken"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Taken:
    """What became of the files, each in the order of the files.

    known     name and id of those that the case has, or that came twice
    refused   errors of those that were not taken
    remarks   what is worth knowing of those that were
    settled   to be told once the record is safe, or that it will not be
    """

    pictures: tuple[Picture, ...] = ()
    attachments: tuple[Attachment, ...] = ()
    known: tuple[tuple[str, str], ...] = ()
    refused: tuple[HazardReportError, ...] = ()
    remarks: tuple[HazardReportError, ...] = ()
    settled: Settled = field(default_factory=Settled)


def destination(case: Case, pictures: Path, attachments: Path, wanted: Wanted, imported: str) -> Destination:
    """The destination of more files of a case."""
    return Destination(
        pictures=pictures,
        attachments=attachments,
        wanted=wanted,
        imported=imported,
        first_picture=_number(next_id("picture", (picture.id for picture in case.pictures))),
        first_attachment=_number(next_id("attachment", (one.id for one in case.attachments))),
        known_pictures={picture.sha256: picture.id for picture in case.pictures},
        known_attachments={one.sha256: one.id for one in case.attachments},
    )


def _number(id: str) -> int:
    return int(id.rpartition("-")[2])


def with_taken(case: Case, taken: Taken) -> Case:
    """Case with the records of what was taken in."""
    for picture in taken.pictures:
        case = add_picture(case, picture)
    for attachment in taken.attachments:
        case = add_attachment(case, attachment)
    return case


def take_in_many(
    sources: Sequence[Path],
    place: Destination,
    progress: Callable[[int, int], object] = lambda done, total: None,
) -> Taken:
    """Records of the files whose bytes now lie in the folders of the case.

    Parameters
    ----------
    sources : sequence of Path
        The files as they came.
    place : Destination
        Where they go.
    progress : callable
        Told how many of how many are done, at least every tenth of a second; whatever it raises ends everything.

    Raises
    ------
    CouldNotWriteError
        If the disk refuses. Then, as after any other exception, nothing is left in the folders.
    """
    staging = Staging(place)
    try:
        staging.stage_all(sources, progress)
        return _Order(staging, sources).taken()
    except BaseException:
        for part in staging.parts:
            disk.gone(part)
        raise


@dataclass(frozen=True, kw_only=True, slots=True)
class _Named:
    """A copied file with its source and its new id."""

    source: Path
    id: str
    copied: Copied

    @property
    def is_picture(self) -> bool:
        return self.copied.proof is not None


class _Order:
    """Outcomes brought into the order of the files."""

    def __init__(self, staging: Staging, sources: Sequence[Path]) -> None:
        self._staging = staging
        self._sources = sources
        self._next = {True: staging.place.first_picture, False: staging.place.first_attachment}
        self._ids: dict[int, str] = {}
        self._named: list[_Named] = []
        self._known: list[tuple[str, str]] = []
        self._refused: list[HazardReportError] = []
        self._remarks: list[HazardReportError] = []

    def taken(self) -> Taken:
        """The files under their names, and their records."""
        for number, source in enumerate(self._sources):
            self._add(number, source)
        place, result = self._staging.place, Settled()
        try:
            pictures = self._settled(result, place.pictures, [one for one in self._named if one.is_picture])
            attachments = self._settled(result, place.attachments, [one for one in self._named if not one.is_picture])
        except BaseException:
            result.withdraw()
            raise
        return Taken(
            pictures=tuple(_picture(one, file, place.imported) for one, file in pictures),
            attachments=tuple(_attachment(one, file, place.imported) for one, file in attachments),
            known=tuple(self._known),
            refused=tuple(self._refused),
            remarks=tuple(self._remarks),
            settled=result,
        )

    def _add(self, number: int, source: Path) -> None:
        name, outcome = shown_name(source.name), self._staging.outcomes[number]
        first = outcome.number if isinstance(outcome, Same) else number
        content = self._staging.outcomes[first]
        if isinstance(content, HazardReportError):
            self._refused.append(content if first == number else _about(content, name))
        elif isinstance(content, Known):
            self._known.append((name, content.id))
        elif first in self._ids:
            self._known.append((name, self._ids[first]))
        elif isinstance(content, Copied):
            self._ids[first] = self._new_id(as_picture=content.proof is not None)
            self._named.append(_Named(source=source, id=self._ids[first], copied=content))
            if content.proof is not None and content.proof.more:
                self._remarks.append(OnlyFirstPictureShownError(name=name))

    def _new_id(self, *, as_picture: bool) -> str:
        number = self._next[as_picture]
        self._next[as_picture] += 1
        return f"{'picture' if as_picture else 'attachment'}-{number:03d}"

    def _settled(self, result: Settled, folder: Path, named: list[_Named]) -> list[tuple[_Named, str]]:
        staged = [Staged(part=one.copied.part, id=one.id, suffix=_suffix(one)) for one in named]
        part = settled(folder, staged)
        result.files += part.files
        result.markers += part.markers
        return [(one, path.name) for one, path in zip(named, part.files, strict=True)]


def _suffix(one: _Named) -> str:
    return PICTURES[one.copied.kind] if one.is_picture else suffix(one.copied.kind, one.source.name)


def _picture(one: _Named, file: str, imported: str) -> Picture:
    proof = one.copied.proof
    assert proof is not None
    return picture_record(one.source, one.id, file, one.copied.kind, one.copied.copy, proof, imported)


def _attachment(one: _Named, file: str, imported: str) -> Attachment:
    return attachment_record(one.source, one.id, file, one.copied.kind, one.copied.copy, imported)


def _about(error: HazardReportError, name: str) -> HazardReportError:
    """The same error about another file with the same bytes."""
    fields = error.fields()
    return type(error)(**{**fields, "name": name}) if "name" in fields else error

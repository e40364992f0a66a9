"""A publication on the disk: a case of its own, with a log that begins here, derived pictures, and nothing else.

The whole case is only read. It must be as it was saved, and each published picture must be the one that was taken in:
covers were drawn for it. Of the log of the whole case only the hash of its last line is named.
"""

import contextlib
import shutil
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path

from hazardreport import wording
from hazardreport.case.case import Case
from hazardreport.case.picture import Cover, Mark, Picture, Placement
from hazardreport.case.publication import Published, published
from hazardreport.errors import (
    CouldNotWriteError,
    FolderNotEmptyError,
    LogDamagedError,
    LogMissingError,
    NoCaseError,
    UnsavedWorkError,
)
from hazardreport.evidence.derived import published_jpeg
from hazardreport.evidence.kinds import JPEG
from hazardreport.storage import files, layout
from hazardreport.storage.case_json import document
from hazardreport.storage.condition import manifest_problems, picture_path, with_unsaved_work
from hazardreport.storage.faults import listing
from hazardreport.storage.log import Log, log_from_bytes
from hazardreport.storage.manifest import Counting, counting
from hazardreport.storage.pack import Packed, pack_case
from hazardreport.storage.revision import Signature
from hazardreport.storage.saving import save_case
from hazardreport.storage.values import Salt, random_salt

WORKERS = 2
"""So many pictures are derived at a time: each takes the memory of its decoded pixels."""


@dataclass(frozen=True, kw_only=True, slots=True)
class PackedPublication:
    """A publication that was packed, and what was done to the case for it."""

    packed: Packed
    published: Published


def published_folder(folder: Path) -> Published:
    """The publication that the saved case of a folder gives; nothing is written and no picture is read.

    Raises
    ------
    NoCaseError
        If the folder holds no case.
    UnsavedWorkError
        If the journal holds edits that were not saved.
    LogMissingError, LogDamagedError
        If the case has no log that a publication could be derived from: save it once.
    CaseFileChangedError, ManifestMissingError, ManifestDamagedError
        If the case is not as it was saved.
    CaseInvalidError, CouldNotReadError
        If the record cannot be read.
    """
    count = counting(folder)
    if not count.case.is_file():
        raise NoCaseError(path=str(folder))
    case = document(files.read(count.case), str(folder / layout.CASE)).case
    if with_unsaved_work(folder, case)[1]:
        raise UnsavedWorkError(path=str(folder))
    for problem in manifest_problems(count):
        raise problem
    return published(case, _log(count).head)


def _log(count: Counting) -> Log:
    path = count.located(layout.LOG)
    if not path.is_file():
        raise LogMissingError(path=str(path))
    log = log_from_bytes(files.read(path))
    if log.faults or not log.lines:
        raise LogDamagedError(path=str(path), count=len(log.faults), listing=listing(log.faults))
    return log


def publish_case(folder: Path, into: Path, *, created: str, salt: Salt = random_salt) -> Published:
    """What was done to make the publication of a case, which is a folder of its own.

    Parameters
    ----------
    folder : Path
        Folder of the saved case; nothing is written into it.
    into : Path
        Folder to make.
    created : str
        Time of publishing, ISO 8601 UTC, for the log.
    salt : callable
        Gives the salts of hashed texts.

    Raises
    ------
    FolderNotEmptyError
        If something is at the place already.
    PictureChangedError, PictureDamagedError, PictureTooLargeError
        If a picture is not the one that was taken in, or cannot be decoded.
    CouldNotWriteError
        If it could not be written; then nothing is left of it.

    Notes
    -----
    Refuses besides what `published_folder` refuses.
    """
    into = into.absolute()
    _refuse_inside(folder, into)
    if into.is_symlink() or (into.exists() and not (into.is_dir() and not any(into.iterdir()))):
        raise FolderNotEmptyError(path=str(into))
    found = published_folder(folder)
    part = into.with_name(f".{into.name}.part")
    try:
        part.parent.mkdir(parents=True, exist_ok=True)
        shutil.rmtree(part, ignore_errors=True)
        made = replace(found, case=_made(found, folder, part, Signature(time=created, salt=salt)))
        if into.exists():
            into.rmdir()
        files.replace(part, into)
        files.sync_folder(into.parent)
    except OSError as error:
        raise CouldNotWriteError(path=str(into), reason=files.reason(error)) from error
    finally:
        shutil.rmtree(part, ignore_errors=True)
    return made


def pack_publication(
    folder: Path, out: Path, *, created: str, overwrite: bool = False, salt: Salt = random_salt
) -> PackedPublication:
    """The publication of a case as one file; parameters and refusals are those of `publish_case` and `pack_case`."""
    _refuse_inside(folder, out)
    found = published_folder(folder)
    with _temporary() as place:
        made = replace(found, case=_made(found, folder, place / "case", Signature(time=created, salt=salt)))
        packed = pack_case(place / "case", out, created=created, overwrite=overwrite)
    return PackedPublication(packed=packed, published=made)


def _refuse_inside(folder: Path, out: Path) -> None:
    if out.resolve().is_relative_to(folder.resolve()):
        raise CouldNotWriteError(path=str(out), reason=wording.sentence("storage.inside_case"))


@contextlib.contextmanager
def _temporary() -> Iterator[Path]:
    """A folder of our own that is gone afterwards."""
    place = Path(tempfile.mkdtemp(prefix="hazardreport-publication-"))
    try:
        yield place
    finally:
        shutil.rmtree(place, ignore_errors=True)


def _made(found: Published, source: Path, target: Path, signature: Signature) -> Case:
    """The case as saved at the target, with its pictures derived from those of the source.

    The publication bears the number of the revision that it was derived from.
    """
    try:
        (target / layout.PICTURES).mkdir(parents=True)
    except OSError as error:
        raise CouldNotWriteError(path=str(target), reason=files.reason(error)) from error

    def derived(pair: tuple[Picture, Picture]) -> Picture:
        original, record = pair
        data, width, height = published_jpeg(picture_path(source, original.file), original)
        files.write_through(picture_path(target, record.file), data)
        return derived_record(record, original, data, width, height)

    with ThreadPoolExecutor(WORKERS) as threads:
        pairs = zip(found.originals, found.case.pictures, strict=True)
        pictures = tuple(threads.map(derived, pairs))
    case = replace(found.case, pictures=pictures, revision=found.case.revision - 1)
    return save_case(case, target, signature=signature)


def derived_record(record: Picture, original: Picture, data: bytes, width: int, height: int) -> Picture:
    """The record of a derived picture: its file, and places on it in its own pixels.

    Its covers say where it was covered; the file itself shows nothing below them any more.

    Parameters
    ----------
    record : Picture
        As it is published, places still in pixels of the original.
    original : Picture
        Record of the file that it was derived from.
    data : bytes
        Of the derived JPEG file.
    width, height : int
        Of the derived picture. [pixel]
    """
    across, along = width / max(1, original.width), height / max(1, original.height)
    if (width, height) == (original.width, original.height):
        across = along = 1.0
    return replace(
        record,
        media_type=JPEG,
        sha256=files.digest(data),
        size=len(data),
        width=width,
        height=height,
        orientation=1,
        covers=tuple(_cover(cover, across, along) for cover in record.covers),
        placements=tuple(Placement(letter=one.letter, x=one.x * across, y=one.y * along) for one in record.placements),
        marks=tuple(_scaled(mark, across, along) for mark in record.marks),
        derived_from=original.sha256,
    )


def _scaled(mark: Mark, across: float, along: float) -> Mark:
    return replace(mark, vertices=tuple((x * across, y * along) for x, y in mark.vertices))


def _cover(cover: Cover, across: float, along: float) -> Cover:
    left, right, top, bottom = cover.left * across, cover.right * across, cover.top * along, cover.bottom * along
    return replace(cover, left=left, top=top, right=right, bottom=bottom)

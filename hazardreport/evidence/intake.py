"""Pictures are taken in: original bytes untouched, hashed in the same read, decoded once to prove that they are whole.

A picture is in or it is not: until it has been proved it lives under a hidden name, and the last step is one rename.
An existing file is never overwritten.
"""

import errno
import hashlib
import os
import stat
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from hazardreport.case.case import Case
from hazardreport.case.picture import Picture
from hazardreport.errors import (
    CouldNotReadError,
    CouldNotWriteError,
    EmptyFileError,
    NotAFileError,
    PictureFileMissingError,
    PictureFileTooBigError,
)
from hazardreport.evidence.claims import Claims, claims
from hazardreport.evidence.names import shown_name
from hazardreport.evidence.opening import JPEG, decoded, media_type, opened

BYTE_LIMIT = 500_000_000
"""Largest file that is copied. [byte]"""

_CHUNK = 1 << 20
write: Callable[[int, bytes], int] = os.write
"""The one way in which intake writes; tests put failures here."""


@dataclass(frozen=True, kw_only=True, slots=True)
class _Copy:
    sha256: str
    size: int
    media_type: str


def take_in(source: Path, folder: Path, id: str, imported: str) -> Picture:
    """The record of a picture whose bytes now lie in the folder of pictures.

    Parameters
    ----------
    source : Path
        The file as it came; links are followed, its bytes are read once.
    folder : Path
        The case's folder of pictures; made if it is not there.
    id : str
        Id of the new picture, which also names its file: "picture-003".
    imported : str
        When, ISO 8601 UTC.

    Raises
    ------
    PictureFileMissingError, NotAFileError, EmptyFileError, CouldNotReadError
        If there is nothing to read.
    NotAPictureError, PictureTypeRefusedError, PictureFileTooBigError, PictureTooLargeError, PictureDamagedError
        If it is no whole JPEG or PNG within the limits.
    CouldNotWriteError
        If the folder cannot be written. In every case nothing is left in the folder.
    """
    name = shown_name(source.name)
    descriptor = _opened_source(source)
    part = folder / f".{id}.part"
    try:
        with os.fdopen(descriptor, "rb") as stream:
            copy = _copied(stream, part, source, name)
        found, width, height = _proved(part, copy.media_type, name)
        target = _settled(part, folder, id, ".jpg" if copy.media_type == JPEG else ".png")
    except BaseException:
        part.unlink(missing_ok=True)
        raise
    if found.orientation >= 5:
        width, height = height, width
    return Picture(
        id=id,
        file=target.name,
        original_name=name,
        media_type=copy.media_type,
        sha256=copy.sha256,
        size=copy.size,
        width=width,
        height=height,
        orientation=found.orientation,
        claimed_time=found.claimed_time,
        imported=imported,
        camera=found.camera,
        has_position=found.has_position,
    )


def same_picture(case: Case, sha256: str) -> Picture | None:
    """The picture of the case with the very same bytes, if there is one."""
    return next((picture for picture in case.pictures if picture.sha256 == sha256), None)


def _opened_source(source: Path) -> int:
    """A descriptor of a regular file; a pipe never blocks and a device is never read."""
    path = shown_name(str(source))
    try:
        descriptor = os.open(source, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    except FileNotFoundError as error:
        raise PictureFileMissingError(path=path) from error
    except (IsADirectoryError, ValueError) as error:
        raise NotAFileError(path=path) from error
    except OSError as error:
        if source.is_dir() or (source.exists() and not source.is_file()):
            raise NotAFileError(path=path) from error
        raise CouldNotReadError(path=path, reason=error.strerror or str(error)) from error
    if not stat.S_ISREG(os.fstat(descriptor).st_mode):
        os.close(descriptor)
        raise NotAFileError(path=path)
    return descriptor


def _copied(stream: BinaryIO, part: Path, source: Path, name: str) -> _Copy:
    """The bytes under their hidden name, on the disk."""
    chunk = _read(stream, source)
    if not chunk:
        raise EmptyFileError(name=name)
    kind = media_type(chunk[:64], name)
    digest, size = hashlib.sha256(), 0
    try:
        part.parent.mkdir(parents=True, exist_ok=True)
        part.unlink(missing_ok=True)
        out = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o644)
    except OSError as error:
        raise CouldNotWriteError(path=str(part.parent), reason=error.strerror or str(error)) from error
    try:
        while chunk:
            size += len(chunk)
            if size > BYTE_LIMIT:
                raise PictureFileTooBigError(
                    name=name,
                    size=max(size, os.fstat(stream.fileno()).st_size) // 1_000_000,
                    limit=BYTE_LIMIT // 1_000_000,
                )
            digest.update(chunk)
            _write_whole(out, chunk)
            chunk = _read(stream, source)
        os.fsync(out)
    except OSError as error:
        raise CouldNotWriteError(path=str(part.parent), reason=error.strerror or str(error)) from error
    finally:
        os.close(out)
    return _Copy(sha256=digest.hexdigest(), size=size, media_type=kind)


def _read(stream: BinaryIO, source: Path) -> bytes:
    try:
        return stream.read(_CHUNK)
    except OSError as error:
        raise CouldNotReadError(path=shown_name(str(source)), reason=error.strerror or str(error)) from error


def _write_whole(out: int, chunk: bytes) -> None:
    view = memoryview(chunk)
    while view:
        written = write(out, bytes(view))
        if written <= 0:
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        view = view[written:]


def _proved(part: Path, type: str, name: str) -> tuple[Claims, int, int]:
    """Claims and stored size of a picture that decodes to its end."""
    try:
        with part.open("rb") as stream:
            image = opened(stream, type, name)
            width, height = image.size
            return claims(decoded(image, name)), width, height
    except OSError as error:
        raise CouldNotReadError(path=str(part), reason=error.strerror or str(error)) from error


def _settled(part: Path, folder: Path, id: str, suffix: str) -> Path:
    """The file under its own name: that of its id, or with a number where a picture that was taken out still lies."""
    try:
        count = 1
        while (target := folder / (f"{id}{suffix}" if count == 1 else f"{id}-{count}{suffix}")).exists():
            count += 1
        part.replace(target)
        _sync_folder(folder)
    except OSError as error:
        raise CouldNotWriteError(path=str(folder), reason=error.strerror or str(error)) from error
    return target


def _sync_folder(folder: Path) -> None:
    if os.name != "posix":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)

"""A file of the outside is read once, hashed on the way, and copied under a hidden name.

A link is followed if a regular file is at its end. Pipes, devices, sockets and folders are refused before they are
opened. A file that is not the same after reading as before is refused: nobody could say which of the two was kept.
"""

import hashlib
import os
import stat
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from hazardreport.errors import (
    AttachmentTooBigError,
    CouldNotReadError,
    EmptyFileError,
    FileChangedWhileReadError,
    NotAFileError,
    PictureFileMissingError,
    PictureFileTooBigError,
)
from hazardreport.evidence import disk
from hazardreport.evidence.kinds import START
from hazardreport.evidence.names import shown_name

PICTURE_BYTES = 500_000_000
"""Largest file that is taken in as a picture. [byte]"""

ATTACHMENT_BYTES = 2_000_000_000
"""Largest file that is taken in as an attachment. [byte]"""

_CHUNK = 1 << 20


@dataclass(frozen=True, kw_only=True, slots=True)
class Copy:
    """A copied file: its first bytes, SHA-256 of all, hexadecimal, and how many there are."""

    start: bytes
    sha256: str
    size: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Place:
    """Where a file is copied to, how many bytes it may have there, and as what it is refused if it has more."""

    part: Path
    limit: int
    error: type[PictureFileTooBigError] | type[AttachmentTooBigError]


def place_of_picture(part: Path) -> Place:
    """A place for a picture."""
    return Place(part=part, limit=PICTURE_BYTES, error=PictureFileTooBigError)


def place_of_attachment(part: Path) -> Place:
    """A place for an attachment."""
    return Place(part=part, limit=ATTACHMENT_BYTES, error=AttachmentTooBigError)


def opened_source(source: Path) -> BinaryIO:
    """A stream of a regular file.

    Raises
    ------
    PictureFileMissingError, NotAFileError, CouldNotReadError
        If there is none that can be read.
    """
    path = shown_name(str(source))
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0) | getattr(os, "O_BINARY", 0)
    try:
        if not stat.S_ISREG(os.stat(source).st_mode):
            raise NotAFileError(path=path)
        descriptor = os.open(source, flags)
    except FileNotFoundError as error:
        raise PictureFileMissingError(path=path) from error
    except ValueError as error:
        raise NotAFileError(path=path) from error
    except OSError as error:
        raise CouldNotReadError(path=path, reason=error.strerror or str(error)) from error
    if not stat.S_ISREG(os.fstat(descriptor).st_mode):
        os.close(descriptor)
        raise NotAFileError(path=path)
    return os.fdopen(descriptor, "rb", buffering=0)


def copied(
    source: Path,
    place_for: Callable[[bytes], Place],
    going_on: Callable[[], object] = lambda: None,
    hand_over: Callable[[int], object] | None = None,
) -> Copy:
    """The bytes of a file under a hidden name.

    Parameters
    ----------
    source : Path
        The file as it came.
    place_for : callable
        Where a file goes that begins so, or an error of its own: nothing has been written then.
    going_on : callable
        Asked before every piece; whatever it raises ends the copying.
    hand_over : callable, optional
        Takes the written descriptor over, to sync and to close it; else both are done here.

    Raises
    ------
    EmptyFileError, FileChangedWhileReadError, PictureFileTooBigError, AttachmentTooBigError, CouldNotReadError
        If the file is not taken.
    CouldNotWriteError
        If the disk refuses. In every case no part is left.
    """
    name = shown_name(source.name)
    with opened_source(source) as stream:
        before = os.fstat(stream.fileno())
        chunk = _read(stream, source)
        if not chunk:
            raise EmptyFileError(name=name)
        place = place_for(chunk[:START])
        start, digest, size = chunk[:START], hashlib.sha256(), 0
        try:
            out = disk.new_file(place.part)
        except OSError as error:
            raise disk.not_written(place.part.parent, error) from error
        try:
            while chunk:
                going_on()
                size += len(chunk)
                if (whole := max(size, before.st_size)) > place.limit:
                    raise place.error(name=name, size=whole // 1_000_000, limit=place.limit // 1_000_000)
                digest.update(chunk)
                disk.write_whole(out, chunk)
                chunk = _read(stream, source)
            if not _same(before, os.fstat(stream.fileno()), size):
                raise FileChangedWhileReadError(name=name)
            if hand_over is None:
                disk.sync(out)
        except BaseException as error:
            os.close(out)
            disk.gone(place.part)
            if isinstance(error, OSError):
                raise disk.not_written(place.part.parent, error) from error
            raise
    if hand_over is None:
        os.close(out)
    else:
        hand_over(out)
    return Copy(start=start, sha256=digest.hexdigest(), size=size)


def _same(before: os.stat_result, after: os.stat_result, size: int) -> bool:
    return before.st_size == after.st_size == size and before.st_mtime_ns == after.st_mtime_ns


def _read(stream: BinaryIO, source: Path) -> bytes:
    try:
        return stream.read(_CHUNK)
    except OSError as error:
        raise CouldNotReadError(path=shown_name(str(source)), reason=error.strerror or str(error)) from error

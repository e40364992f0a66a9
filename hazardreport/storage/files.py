"""Files read and written whole: a file is the old one or the new one, never half of either."""

import contextlib
import errno
import functools
import hashlib
import os
import stat
from collections.abc import Callable
from io import BufferedReader
from pathlib import Path

from hazardreport.errors import CouldNotReadError, CouldNotWriteError
from hazardreport.wording import sentence

write: Callable[[int, memoryview], int] = os.write
fsync: Callable[[int], None] = os.fsync
replace: Callable[[Path, Path], None] = os.replace
unlink: Callable[[Path], None] = os.unlink
truncate: Callable[[int, int], None] = os.ftruncate
create: Callable[[Path, int], int] = functools.partial(os.open, mode=0o644)
"""The only ways in which this room changes files; tests put failures here."""

PIECE = 1 << 20
"""So many bytes at most are given to the system at a time. [byte]"""


READ_LIMIT = 72_000_000
"""Largest file that is read whole: above the limits of every reader, which tell more. [byte]"""


def reason(error: OSError) -> str:
    """Why the system refused, in its own words."""
    return error.strerror or str(error)


NEVER_ELSEWHERE = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
"""Flags with which a link is not followed and a pipe not waited for."""


def demand_regular(descriptor: int) -> None:
    """An OSError, and the descriptor closed, if what was opened is a pipe, a device or a folder."""
    if not stat.S_ISREG(os.fstat(descriptor).st_mode):
        os.close(descriptor)
        raise OSError(errno.EINVAL, sentence("storage.no_file"))


def opened_regular(path: Path) -> BufferedReader:
    """A stream of a regular file; a pipe or device is never waited for, an OSError says that it is none."""
    descriptor = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    demand_regular(descriptor)
    return os.fdopen(descriptor, "rb")


def read(path: Path) -> bytes:
    """The bytes of a file, at most `READ_LIMIT`.

    Raises
    ------
    CouldNotReadError
        If the system refuses, if it is no regular file, or larger than any file of a case that is read whole.
    """
    try:
        with opened_regular(path) as stream:
            large = os.fstat(stream.fileno()).st_size > READ_LIMIT
            data = b"" if large else stream.read()
    except OSError as error:
        raise CouldNotReadError(path=str(path), reason=reason(error)) from error
    if large:
        limit = READ_LIMIT // 1_000_000
        raise CouldNotReadError(path=str(path), reason=sentence("storage.too_many_bytes", limit=limit))
    return data


def sha256(path: Path) -> str:
    """SHA-256 of a file, hexadecimal, read in pieces."""
    try:
        with opened_regular(path) as stream:
            return hashlib.file_digest(stream, "sha256").hexdigest()
    except OSError as error:
        raise CouldNotReadError(path=str(path), reason=reason(error)) from error


def digest(data: bytes) -> str:
    """SHA-256 of bytes, hexadecimal."""
    return hashlib.sha256(data).hexdigest()


def remove(path: Path) -> None:
    """The file is gone, if it was there."""
    if path.exists() or path.is_symlink():
        unlink(path)


def write_all(descriptor: int, data: bytes) -> None:
    """All bytes are in the file, however few the system takes at a time; an OSError says why not."""
    view = memoryview(data)
    while view:
        written = write(descriptor, view[:PIECE])
        if written <= 0:
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        view = view[written:]


def write_through(path: Path, data: bytes) -> None:
    """The bytes are in a new file and on the disk; not atomic, so only for files that nobody reads yet."""
    try:
        remove(path)
        descriptor = create(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | NEVER_ELSEWHERE)
        try:
            write_all(descriptor, data)
            fsync(descriptor)
        finally:
            os.close(descriptor)
    except OSError as error:
        with contextlib.suppress(OSError):
            remove(path)
        raise CouldNotWriteError(path=str(path.parent), reason=reason(error)) from error


def rename(old: Path, new: Path) -> None:
    """The file under its new name; what had that name is gone."""
    try:
        replace(old, new)
    except OSError as error:
        raise CouldNotWriteError(path=str(new), reason=reason(error)) from error


def write_atomically(path: Path, data: bytes) -> None:
    """The file holds these bytes and they are on the disk; until the last step it holds the old ones."""
    part = path.with_name(f".{path.name}.part")
    write_through(part, data)
    try:
        rename(part, path)
    except CouldNotWriteError:
        with contextlib.suppress(OSError):
            remove(part)
        raise
    sync_folder(path.parent)


def sync_folder(folder: Path) -> None:
    """Renames in the folder are on the disk, where the system knows how."""
    if os.name != "posix":
        return
    try:
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            fsync(descriptor)
        finally:
            os.close(descriptor)
    except OSError as error:
        raise CouldNotWriteError(path=str(folder), reason=reason(error)) from error

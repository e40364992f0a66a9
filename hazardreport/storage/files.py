"""Files read and written whole: a file is the old one or the new one, never half of either."""

import contextlib
import hashlib
import os
from collections.abc import Callable
from pathlib import Path

from hazardreport.errors import CouldNotReadError, CouldNotWriteError

write: Callable[[int, bytes], int] = os.write
replace: Callable[[Path, Path], None] = os.replace
"""The only two ways in which this room changes a file's content or name; tests put failures here."""


def reason(error: OSError) -> str:
    """Why the system refused, in its own words."""
    return error.strerror or str(error)


def read(path: Path) -> bytes:
    """The bytes of a file."""
    try:
        return path.read_bytes()
    except OSError as error:
        raise CouldNotReadError(path=str(path), reason=reason(error)) from error


def sha256(path: Path) -> str:
    """SHA-256 of a file, hexadecimal, read in pieces."""
    try:
        with path.open("rb") as stream:
            return hashlib.file_digest(stream, "sha256").hexdigest()
    except OSError as error:
        raise CouldNotReadError(path=str(path), reason=reason(error)) from error


def write_through(path: Path, data: bytes) -> None:
    """The bytes are in the file and on the disk; not atomic, so only for files that nobody reads yet."""
    try:
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC | getattr(os, "O_BINARY", 0), 0o644)
        try:
            view = memoryview(data)
            while view:
                view = view[write(descriptor, bytes(view[: 1 << 20])) :]
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
    except OSError as error:
        with contextlib.suppress(OSError):
            path.unlink(missing_ok=True)
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
            part.unlink(missing_ok=True)
        raise
    sync_folder(path.parent)


def sync_folder(folder: Path) -> None:
    """Renames in the folder are on the disk, where the system knows how."""
    if os.name != "posix":
        return
    try:
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
    except OSError as error:
        raise CouldNotWriteError(path=str(folder), reason=reason(error)) from error

"""How files are written here: the only ways in which this room changes anything on a disk; tests put failures here."""

import contextlib
import errno
import os
from collections.abc import Callable
from pathlib import Path

from hazardreport.errors import CouldNotWriteError

write: Callable[[int, bytes], int] = os.write
sync: Callable[[int], None] = os.fsync
rename: Callable[[Path, Path], None] = os.rename
remove: Callable[[Path], None] = os.unlink


def not_written(folder: Path, error: OSError) -> CouldNotWriteError:
    """What a disk refused, with its reason."""
    return CouldNotWriteError(path=str(folder), reason=error.strerror or str(error))


def new_file(path: Path) -> int:
    """A descriptor of an empty file in a folder that is made if needed; what lay there under its name is gone."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with contextlib.suppress(FileNotFoundError):
        remove(path)
    return os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o644)


def write_whole(descriptor: int, data: bytes) -> None:
    """All of the bytes; a disk that takes none refuses them."""
    view = memoryview(data)
    while view:
        written = write(descriptor, bytes(view) if len(view) < len(data) else data)
        if written <= 0:
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        view = view[written:]


def write_file(path: Path, data: bytes) -> None:
    """A new file with these bytes, on the disk."""
    descriptor = new_file(path)
    try:
        write_whole(descriptor, data)
        sync(descriptor)
    finally:
        os.close(descriptor)


def sync_folder(folder: Path) -> None:
    """Names in the folder are on the disk, where the system knows how."""
    if os.name != "posix":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        sync(descriptor)
    finally:
        os.close(descriptor)


def gone(path: Path) -> bool:
    """Whether the file is not there any more; one that cannot be removed stays until the case is opened again."""
    try:
        remove(path)
    except FileNotFoundError:
        return True
    except OSError:
        return False
    return True

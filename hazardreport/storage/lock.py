"""Who has a case open: one process may write, others look on.

The system holds the lock and frees it when its process dies, however it dies. Where a file system knows no locks, the
file itself is the lock, and it counts only while the process that it names is alive.
"""

import contextlib
import errno
import os
import sys
import threading
import time
import weakref
from pathlib import Path

from hazardreport.errors import CaseOpenElsewhereError, CaseReadOnlyError
from hazardreport.storage import files, layout
from hazardreport.storage.holder import Holder, holder_from_bytes, ourselves

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

_NO_LOCKS_HERE = {errno.ENOLCK, errno.ENOSYS, errno.EOPNOTSUPP, errno.EINVAL}
_HELD_BY_ANOTHER = {errno.EWOULDBLOCK, errno.EAGAIN, errno.EACCES, errno.EDEADLK}
_LOCKED_BYTE = 1 << 30
"""Where the system locks single bytes it also keeps others from reading them; so this one is behind the text."""
_LONGEST = 2_000
_ATTEMPTS = 20
_LOOKS = 5
_BETWEEN_LOOKS = 0.01
"""Somebody who only asks holds the lock for a moment; so it is tried so often, with pauses between. [s]"""
_held: dict[Path, "_Shared"] = {}
_mutex = threading.RLock()


class _Shared:
    """The locked file of one folder, for all holders in this process."""

    def __init__(self, folder: Path, descriptor: int) -> None:
        self.folder = folder
        self.holders = 0
        self.saving = threading.RLock()
        self.free = weakref.finalize(self, _let_go, folder / layout.LOCK, descriptor, os.getpid())


class CaseLock:
    """The right to write to one folder; shared within the process, freed by the last `release` or at its end."""

    def __init__(self, shared: _Shared) -> None:
        self._shared = shared
        self._released = False
        shared.holders += 1

    @property
    def folder(self) -> Path:
        """The folder, resolved."""
        return self._shared.folder

    @property
    def holders(self) -> int:
        """How many in this process hold it."""
        return self._shared.holders

    @property
    def saving(self) -> threading.RLock:
        """Taken while the files of the case are changed: one thread at a time."""
        return self._shared.saving

    def release(self) -> None:
        """One holder less, once; the last one frees the folder."""
        with _mutex:
            if self._released:
                return
            self._released = True
            self._shared.holders -= 1
            if self._shared.holders <= 0:
                _held.pop(self._shared.folder, None)
                self._shared.free()


def acquire(folder: Path) -> CaseLock:
    """The lock of a folder.

    Raises
    ------
    CaseOpenElsewhereError
        If another process that is alive holds it.
    CaseReadOnlyError
        If no lock can be put there.
    """
    key = folder.resolve()
    path = key / layout.LOCK
    with _mutex:
        if key in _held:
            return CaseLock(_held[key])
        try:
            descriptor = _locked_descriptor(path)
            for _ in range(_LOOKS):
                if descriptor is None:
                    time.sleep(_BETWEEN_LOOKS)
                    descriptor = _locked_descriptor(path)
        except OSError as error:
            raise CaseReadOnlyError(path=str(folder), reason=files.reason(error)) from error
        if descriptor is None:
            raise CaseOpenElsewhereError(path=str(folder), holder=_holder(path))
        _held[key] = _Shared(key, descriptor)
        return CaseLock(_held[key])


def elsewhere(folder: Path) -> str:
    """Who else has the folder open, or ""; nothing is written."""
    key = folder.resolve()
    with _mutex:
        if key in _held:
            return ""
        try:
            descriptor = os.open(key / layout.LOCK, os.O_RDONLY | files.NEVER_ELSEWHERE)
            files.demand_regular(descriptor)
        except OSError:
            return ""
        try:
            return "" if _locked(descriptor, shared=True) else _holder(key / layout.LOCK)
        except OSError:
            return ""
        finally:
            os.close(descriptor)


def _locked_descriptor(path: Path) -> int | None:
    """A descriptor that holds the lock and names us; None if another process holds it."""
    for _ in range(_ATTEMPTS):
        descriptor = files.create(path, os.O_RDWR | os.O_CREAT | files.NEVER_ELSEWHERE)
        files.demand_regular(descriptor)
        try:
            if not _locked(descriptor):
                os.close(descriptor)
                return None
            if _still_there(descriptor, path):
                _sign(descriptor, path)
                return descriptor
        except OSError:
            os.close(descriptor)
            raise
        os.close(descriptor)
    return None


def _sign(descriptor: int, path: Path) -> None:
    """Who we are stands in the file; where there is no room for that, the file is gone again."""
    try:
        files.truncate(descriptor, 0)
        files.write_all(descriptor, ourselves().to_bytes())
    except OSError:
        with contextlib.suppress(OSError):
            files.unlink(path)
        raise


def _locked(descriptor: int, *, shared: bool = False) -> bool:
    """Whether the lock could be had; on a file system without locks, whether the process named in the file is gone."""
    try:
        if sys.platform == "win32":
            os.lseek(descriptor, _LOCKED_BYTE, os.SEEK_SET)
            try:
                msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
            finally:
                os.lseek(descriptor, 0, os.SEEK_SET)
        else:
            fcntl.flock(descriptor, (fcntl.LOCK_SH if shared else fcntl.LOCK_EX) | fcntl.LOCK_NB)
    except OSError as error:
        if error.errno in _HELD_BY_ANOTHER:
            return False
        if error.errno not in _NO_LOCKS_HERE:
            raise
        holder = holder_from_bytes(os.read(descriptor, _LONGEST))
        os.lseek(descriptor, 0, os.SEEK_SET)
        return holder is None or not holder.may_be_alive
    return True


def _still_there(descriptor: int, path: Path) -> bool:
    """Whether the locked file is still the one of that name: its last holder may have removed it meanwhile."""
    try:
        return os.path.samestat(os.fstat(descriptor), path.lstat())
    except FileNotFoundError:
        return False


def _holder(path: Path) -> str:
    """Who is named in the file, for people; "?" if nobody is, or if it cannot be read."""
    try:
        with files.opened_regular(path) as stream:
            holder: Holder | None = holder_from_bytes(stream.read(_LONGEST))
    except OSError:
        return "?"
    return holder.told if holder else "?"


def _let_go(path: Path, descriptor: int, pid: int) -> None:
    """Removes the file while the lock is still held, then frees it; a forked child only closes its copy."""
    if os.getpid() == pid:
        with contextlib.suppress(OSError):
            if os.path.samestat(os.fstat(descriptor), path.lstat()):
                files.unlink(path)
    with contextlib.suppress(OSError):
        os.close(descriptor)

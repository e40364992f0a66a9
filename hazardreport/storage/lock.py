"""Who has a case open: one process may write, others look on.

The system holds the lock and frees it when its process dies, however it dies. Where a file system knows no locks, the
file itself is the lock, and it counts only while the process that it names is alive.
"""

import contextlib
import errno
import os
import socket
import sys
import threading
import weakref
from pathlib import Path

from hazardreport.errors import CaseOpenElsewhereError, CaseReadOnlyError
from hazardreport.storage import files, layout

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

_NO_LOCKS_HERE = {errno.ENOLCK, errno.ENOSYS, errno.EOPNOTSUPP, errno.EINVAL}
_ATTEMPTS = 20
_held: dict[Path, "CaseLock"] = {}
_mutex = threading.RLock()


class CaseLock:
    """The right to write to one folder; shared within the process, freed by the last `release` or at its end."""

    def __init__(self, folder: Path, descriptor: int) -> None:
        self.folder = folder
        self.holders = 1
        self._free = weakref.finalize(self, _let_go, folder / layout.LOCK, descriptor, os.getpid())

    def release(self) -> None:
        """One holder less; the last one frees the folder."""
        with _mutex:
            self.holders -= 1
            if self.holders <= 0:
                _held.pop(self.folder, None)
                self._free()


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
            _held[key].holders += 1
            return _held[key]
        try:
            descriptor = _locked_descriptor(path)
        except OSError as error:
            raise CaseReadOnlyError(path=str(folder), reason=files.reason(error)) from error
        if descriptor is None:
            raise CaseOpenElsewhereError(path=str(folder), holder=_holder(path))
        lock = CaseLock(key, descriptor)
        _held[key] = lock
        return lock


def elsewhere(folder: Path) -> str:
    """Who else has the folder open, or ""; nothing is written."""
    key = folder.resolve()
    with _mutex:
        if key in _held:
            return ""
        try:
            descriptor = os.open(key / layout.LOCK, os.O_RDONLY)
        except OSError:
            return ""
        try:
            return "" if _locked(descriptor, shared=True) else _holder(key / layout.LOCK)
        finally:
            os.close(descriptor)


def _locked_descriptor(path: Path) -> int | None:
    """A descriptor that holds the lock and names us; None if another process holds it."""
    for _ in range(_ATTEMPTS):
        descriptor = os.open(path, os.O_RDWR | os.O_CREAT, 0o644)
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
    """Our process and machine stand in the file; where there is no room for that, the file is gone again."""
    try:
        os.ftruncate(descriptor, 0)
        os.write(descriptor, f"{os.getpid()} {socket.gethostname()}\n".encode())
    except OSError:
        with contextlib.suppress(OSError):
            path.unlink()
        raise


def _locked(descriptor: int, *, shared: bool = False) -> bool:
    """Whether the lock could be had; on a file system without locks, whether the process named in the file is gone."""
    try:
        if sys.platform == "win32":
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        else:
            fcntl.flock(descriptor, (fcntl.LOCK_SH if shared else fcntl.LOCK_EX) | fcntl.LOCK_NB)
    except OSError as error:
        if error.errno not in _NO_LOCKS_HERE:
            return False
        pid, host = _named(os.read(descriptor, 200))
        os.lseek(descriptor, 0, os.SEEK_SET)
        return not _alive(pid, host)
    return True


def _still_there(descriptor: int, path: Path) -> bool:
    """Whether the locked file is still the one of that name: its last holder may have removed it meanwhile."""
    try:
        return os.path.samestat(os.fstat(descriptor), path.stat())
    except FileNotFoundError:
        return False


def _named(data: bytes) -> tuple[int, str]:
    number, _, host = data.decode("utf-8", "replace").strip().partition(" ")
    return (int(number) if number.isdigit() else 0), host


def _alive(pid: int, host: str) -> bool:
    """Whether a process may still be there; of another machine nothing is known, so it counts as alive."""
    if pid <= 0:
        return False
    if host != socket.gethostname():
        return True
    if sys.platform == "win32" or pid == os.getpid():
        return False
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True


def _holder(path: Path) -> str:
    try:
        pid, host = _named(path.read_bytes()[:200])
    except OSError:
        return "?"
    return f"{host}, {pid}" if pid else "?"


def _let_go(path: Path, descriptor: int, pid: int) -> None:
    """Removes the file while the lock is still held, then frees it; a forked child only closes its copy."""
    if os.getpid() == pid:
        with contextlib.suppress(OSError):
            if os.path.samestat(os.fstat(descriptor), path.stat()):
                path.unlink()
    with contextlib.suppress(OSError):
        os.close(descriptor)

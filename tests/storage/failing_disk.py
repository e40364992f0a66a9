"""A disk that fails at chosen calls: every change that storage makes to a file is counted."""

import errno
import os
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from hazardreport.storage import files

HOOKS = ("write", "fsync", "replace", "unlink", "create", "truncate")

Fault = Callable[[str, Callable[..., Any], tuple[Any, ...]], Any]
"""What happens instead of a call: its name, the real one, its arguments."""


def refused(number: int) -> Fault:
    """The system refuses, nothing is done."""

    def fault(name: str, real: Callable[..., Any], arguments: tuple[Any, ...]) -> Any:
        raise OSError(number, os.strerror(number))

    return fault


def done_but_refused(name: str, real: Callable[..., Any], arguments: tuple[Any, ...]) -> Any:
    """It is done, and the system says that it failed."""
    result = real(*arguments)
    if name == "create":
        os.close(result)
    raise OSError(errno.EIO, os.strerror(errno.EIO))


def short(size: Callable[[int], int]) -> Fault:
    """A write takes only some of the bytes and says so; other calls are done."""

    def fault(name: str, real: Callable[..., Any], arguments: tuple[Any, ...]) -> Any:
        if name != "write":
            return real(*arguments)
        descriptor, data = arguments
        return real(descriptor, data[: size(len(data))])

    return fault


def half_and_refused(name: str, real: Callable[..., Any], arguments: tuple[Any, ...]) -> Any:
    """A write puts half of the bytes down before the disk is full; other calls are refused."""
    if name == "write":
        real(arguments[0], arguments[1][: len(arguments[1]) // 2])
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


ONE_BYTE, HALF, NOTHING = short(lambda size: min(size, 1)), short(lambda size: (size + 1) // 2), short(lambda size: 0)
FAULTS: Mapping[str, Fault] = {
    "full": refused(errno.ENOSPC),
    "failing": refused(errno.EIO),
    "read-only": refused(errno.EROFS),
    "half, then full": half_and_refused,
    "done but refused": done_but_refused,
    "nothing written": NOTHING,
}
"""Of these the program may say that it could not save."""

SHORT: Mapping[str, Fault] = {"one byte": ONE_BYTE, "half": HALF}
"""These are no failures: the program writes on."""


@contextmanager
def failing(faults: Mapping[int, Fault], from_then_on: Fault | None = None) -> Iterator[list[str]]:
    """Calls are counted from 1; those in `faults` go wrong, and with `from_then_on` all after the last of them.

    Gives the names of the calls, growing.
    """
    calls: list[str] = []
    real = {name: getattr(files, name) for name in HOOKS}

    def hook(name: str) -> Callable[..., Any]:
        def call(*arguments: Any) -> Any:
            calls.append(name)
            fault = faults.get(len(calls))
            if fault is None and from_then_on is not None and len(calls) > max(faults, default=0):
                fault = from_then_on
            return real[name](*arguments) if fault is None else fault(name, real[name], arguments)

        return call

    try:
        for name in HOOKS:
            setattr(files, name, hook(name))
        yield calls
    finally:
        for name in HOOKS:
            setattr(files, name, real[name])


def bytes_of(folder: Path) -> dict[str, bytes]:
    """All files of a folder."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()
    }

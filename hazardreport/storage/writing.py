"""Bytes into an open file, all of them, through the one way in which this room writes."""

import errno
import os

from hazardreport.storage import files

PIECE = 1 << 20


def write_all(descriptor: int, data: bytes) -> None:
    """All bytes are in the file, however few the system takes at a time; an OSError says why not."""
    view = memoryview(data)
    while view:
        written = files.write(descriptor, bytes(view[:PIECE]))
        if written <= 0:
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        view = view[written:]

"""Derived pictures kept in memory by what they were made from: a report does not derive them again for each keystroke.

There is no cache on the disk: a picture would outlive its case there. What is kept answers only for a file whose bytes
are still those that were taken in.
"""

import hashlib
import os
import threading
import time
from collections import OrderedDict
from collections.abc import Callable, Hashable
from pathlib import Path

from hazardreport.case.picture import Picture
from hazardreport.errors import CouldNotReadError, PictureChangedError
from hazardreport.evidence.derived import jpeg_of, opened_original, original_bytes, stand_in_jpeg

BYTES_KEPT = 128_000_000
"""Most bytes of derived pictures that are kept at a time. [byte]"""

HASHES_KEPT = 8192
SETTLED = 2_000_000_000
"""A file that was touched less than this before it was hashed is hashed again. [ns]"""

Fingerprint = tuple[int, int, int, int, int]


class BytesCache:
    """The bytes used last, up to a limit; the same key always gives the very same bytes. For any number of threads."""

    def __init__(self, limit: int) -> None:
        self._limit = limit
        self._lock = threading.Lock()
        self._kept: OrderedDict[Hashable, bytes] = OrderedDict()
        self._size = 0

    @property
    def size(self) -> int:
        """Bytes kept now. [byte]"""
        return self._size

    def get(self, key: Hashable, make: Callable[[], bytes]) -> bytes:
        """What is kept under a key, made first if it is not there; made outside of the lock."""
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key]
        made = make()
        with self._lock:
            kept = self._kept.setdefault(key, made)
            if kept is made:
                self._size += len(made)
            self._kept.move_to_end(key)
            while self._size > self._limit:
                _, gone = self._kept.popitem(last=False)
                self._size -= len(gone)
        return kept


class FileHashes:
    """SHA-256 of files, read again only when something about the file has changed. For any number of threads.

    A change is seen by identity, size and both times of the file. A file that changed within the last seconds is read
    again each time, since a further change might bear the same times.
    """

    def __init__(self, now: Callable[[], int] = time.time_ns) -> None:
        self._now = now
        self._lock = threading.Lock()
        self._known: OrderedDict[Path, tuple[Fingerprint, str]] = OrderedDict()

    def sha256(self, path: Path) -> str:
        """Hexadecimal hash of a file's bytes; raises OSError if it cannot be read."""
        print_now = _fingerprint(os.stat(path))
        with self._lock:
            known = self._known.get(path)
            if known is not None and known[0] == print_now:
                self._known.move_to_end(path)
                return known[1]
        started = self._now()
        with opened_original(path) as stream:
            before = _fingerprint(os.fstat(stream.fileno()))
            found = hashlib.file_digest(stream, "sha256").hexdigest()
            after = _fingerprint(os.fstat(stream.fileno()))
        with self._lock:
            if before == after and started - max(after[3:]) >= SETTLED:
                self._known[path] = (after, found)
                self._known.move_to_end(path)
                while len(self._known) > HASHES_KEPT:
                    self._known.popitem(last=False)
            else:
                self._known.pop(path, None)
        return found


class DerivedPictures:
    """Derived pictures of the files as they were taken in."""

    def __init__(self, limit: int = BYTES_KEPT) -> None:
        self.kept = BytesCache(limit)
        self.hashes = FileHashes()

    def jpeg(self, path: Path, picture: Picture, longest_side: int, quality: int = 85) -> bytes:
        """`upright_jpeg` of the original.

        Raises
        ------
        CouldNotReadError, PictureDamagedError, PictureTooLargeError
            If the file is gone, broken or too large to decode.
        PictureChangedError
            If it is not the file that was taken in, whatever is kept of that one.
        """
        try:
            found = self.hashes.sha256(path)
        except OSError as error:
            raise CouldNotReadError(path=str(path), reason=error.strerror or str(error)) from error
        if found != picture.sha256:
            raise PictureChangedError(picture=picture.id, file=picture.file)
        covers = tuple(sorted((one.left, one.top, one.right, one.bottom) for one in picture.covers))
        size = (picture.width, picture.height, longest_side)
        key = ("picture", picture.sha256, picture.media_type, picture.orientation, covers, size, quality)
        return self.kept.get(key, lambda: jpeg_of(original_bytes(path, picture), picture, longest_side, quality))

    def stand_in(self, picture: Picture, longest_side: int, text: str) -> bytes:
        """`stand_in_jpeg`."""
        key = ("stand-in", picture.width, picture.height, longest_side, text)
        return self.kept.get(key, lambda: stand_in_jpeg(picture, longest_side, text))


def _fingerprint(status: os.stat_result) -> Fingerprint:
    return status.st_dev, status.st_ino, status.st_size, status.st_mtime_ns, status.st_ctime_ns

"""A zip file whose bytes are determined by its members, written in one go, and checked byte by byte.

The checksum and the size of a member stand before its content, so the writer goes back to fill them in; memory stays
the same however large a member is.
"""

import contextlib
import os
import secrets
import types
import zlib
from collections.abc import Iterable
from pathlib import Path
from typing import Self

from hazardreport.errors import CouldNotWriteError, FileInTheWayError
from hazardreport.storage import files
from hazardreport.storage.zip_format import Entry, central_header, end_records, local_header, order


class SizeChangedError(Exception):
    """A content that was longer or shorter than announced: its file changed while it was read."""


class CanonicalZip:
    """A zip file under way, in a hidden file beside its place until it is whole.

    Leaving the `with` block without an exception puts it in its place; with one, nothing is left.

    Raises
    ------
    FileInTheWayError
        If there is a file already and `overwrite` was not asked for.
    CouldNotWriteError
        If the disk is full or the folder may not be written.
    """

    def __init__(self, path: Path, *, overwrite: bool = False) -> None:
        self._path = path
        self._overwrite = overwrite
        self._part = path.absolute().with_name(f".{secrets.token_hex(8)}.part")
        self._entries: list[Entry] = []
        self._place = 0
        self._descriptor = -1

    def __enter__(self) -> Self:
        self._refuse_to_overwrite()
        flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | files.NEVER_ELSEWHERE
        try:
            self._descriptor = files.create(self._part, flags)
        except OSError as error:
            raise self._refused(error) from error
        return self

    def _refuse_to_overwrite(self) -> None:
        if (self._path.exists() or self._path.is_symlink()) and not (self._overwrite and self._path.is_file()):
            raise FileInTheWayError(path=str(self._path))

    def _refused(self, error: OSError) -> CouldNotWriteError:
        return CouldNotWriteError(path=str(self._path), reason=files.reason(error))

    def add(self, name: str, size: int, content: Iterable[bytes]) -> int:
        """CRC-32 of a member that was added; members come in the order of their names.

        Raises
        ------
        SizeChangedError
            If the content has not the announced size; the zip file cannot be used then.
        """
        if self._entries and order(name) <= order(self._entries[-1].name):
            raise ValueError(f"{name} does not come after {self._entries[-1].name}")
        at = self._place
        crc = length = 0
        self._write(local_header(Entry(name=name, size=size, crc=0, offset=at)))
        for piece in content:
            length += len(piece)
            if length > size:
                break
            crc = zlib.crc32(piece, crc)
            self._write(piece)
        if length != size:
            raise SizeChangedError(name)
        entry = Entry(name=name, size=size, crc=crc, offset=at)
        self._write_at(at, local_header(entry))
        self._entries.append(entry)
        return crc

    def _write(self, data: bytes) -> None:
        try:
            files.write_all(self._descriptor, data)
        except OSError as error:
            raise self._refused(error) from error
        self._place += len(data)

    def _write_at(self, place: int, data: bytes) -> None:
        end = self._place
        try:
            os.lseek(self._descriptor, place, os.SEEK_SET)
            self._write(data)
            os.lseek(self._descriptor, end, os.SEEK_SET)
        except OSError as error:
            raise self._refused(error) from error
        self._place = end

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        traceback: types.TracebackType | None,
    ) -> None:
        try:
            if error is None:
                self._finish()
        finally:
            if self._descriptor >= 0:
                os.close(self._descriptor)
                self._descriptor = -1
                with contextlib.suppress(OSError):
                    files.remove(self._part)

    def _finish(self) -> None:
        start = self._place
        for entry in self._entries:
            self._write(central_header(entry))
        self._write(end_records(len(self._entries), self._place - start, start))
        try:
            files.fsync(self._descriptor)
        except OSError as error:
            raise self._refused(error) from error
        os.close(self._descriptor)
        self._descriptor = -1
        try:
            self._refuse_to_overwrite()
            files.rename(self._part, self._path)
        except BaseException:
            with contextlib.suppress(OSError):
                files.remove(self._part)
            raise
        files.sync_folder(self._path.parent)

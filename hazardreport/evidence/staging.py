"""Files on their way into a case, under hidden names: copied, hashed and proved by two threads, synced by a third."""

import os
import queue
import secrets
import threading
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path

from hazardreport.errors import CouldNotWriteError, HazardReportError
from hazardreport.evidence import disk
from hazardreport.evidence.intake import place_for_picture
from hazardreport.evidence.kinds import any_type, is_picture, media_type
from hazardreport.evidence.names import shown_name
from hazardreport.evidence.proof import Proof, proved
from hazardreport.evidence.source import Copy, Place, copied, place_of_attachment

WORKERS = 2
_UNSYNCED = 8
"""How many files may be waiting for the disk, each with an open descriptor."""


class Wanted(StrEnum):
    """As what files are taken in."""

    PICTURES = "pictures"
    ATTACHMENTS = "attachments"
    EITHER = "either"


@dataclass(frozen=True, kw_only=True, slots=True)
class Destination:
    """Where files go, under which numbers, and what the case has already.

    pictures, attachments              folders of the case
    wanted                             with "either", what is no picture becomes an attachment
    first_picture, first_attachment    numbers of the first new ids
    known_pictures, known_attachments  SHA-256 -> id
    imported                           when, ISO 8601 UTC
    """

    pictures: Path
    attachments: Path
    wanted: Wanted
    imported: str
    first_picture: int = 1
    first_attachment: int = 1
    known_pictures: Mapping[str, str] = field(default_factory=dict)
    known_attachments: Mapping[str, str] = field(default_factory=dict)


class _Stopped(Exception):  # noqa: N818 - not an error: it ends a worker whose result nobody wants
    """Somebody cancelled, or another file could not be written."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Copied:
    """A file under its hidden name; without a proof it is an attachment."""

    part: Path
    kind: str
    copy: Copy
    proof: Proof | None


@dataclass(frozen=True, kw_only=True, slots=True)
class Same:
    """A file with the bytes of another one of these files, known by its number."""

    number: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Known:
    """A file that the case has under that id."""

    id: str


Outcome = Copied | Same | Known | HazardReportError


class Staging:
    """Files being copied and proved by several threads."""

    def __init__(self, place: Destination) -> None:
        self.place = place
        self.outcomes: dict[int, Outcome] = {}
        self.parts: list[Path] = []
        self._token = secrets.token_hex(4)
        self._first: dict[tuple[bool, str], int] = {}
        self._mutex = threading.Lock()
        self._stop = threading.Event()
        self._room = threading.Semaphore(_UNSYNCED)
        self._syncs = ThreadPoolExecutor(1)
        self._synced: list[Future[None]] = []
        self._over: queue.SimpleQueue[BaseException | None] = queue.SimpleQueue()

    def stage_all(self, sources: Sequence[Path], progress: Callable[[int, int], object]) -> None:
        """Every file has an outcome, and what was copied is on the disk."""
        total, done = len(sources), 0
        with self._syncs, ThreadPoolExecutor(WORKERS) as workers:
            try:
                for number, source in enumerate(sources):
                    workers.submit(self._run, number, source)
                while done < total:
                    progress(done, total)
                    done += self._wait()
                for sync in self._synced:
                    sync.result()
                progress(total, total)
            except BaseException:
                self._stop.set()
                workers.shutdown(wait=True, cancel_futures=True)
                raise

    def _wait(self) -> int:
        """One if a file is done within a tenth of a second; a failure that ends everything is raised."""
        try:
            failure = self._over.get(timeout=0.1)
        except queue.Empty:
            return 0
        if failure is not None:
            raise failure
        return 1

    def _run(self, number: int, source: Path) -> None:
        try:
            self.outcomes[number] = self._outcome(number, source)
        except CouldNotWriteError as error:
            self._over.put(error)
        except HazardReportError as error:
            self.outcomes[number] = error
            self._over.put(None)
        except BaseException as error:  # noqa: BLE001 - handed to the caller's thread, which raises it
            self._over.put(error)
        else:
            self._over.put(None)

    def _going_on(self) -> None:
        if self._stop.is_set():
            raise _Stopped

    def _outcome(self, number: int, source: Path) -> Outcome:
        name = shown_name(source.name)
        written: list[int] = []
        copy = copied(source, lambda start: self._place_for(start, number, name), self._going_on, written.append)
        as_picture = self._as_picture(copy.start)
        part = self._part(number, as_picture)
        try:
            other = self._claimed(number, copy.sha256, as_picture)
            if other is not None:
                disk.gone(part)
                return other
            self._sync(written.pop(), part)
        finally:
            for descriptor in written:
                os.close(descriptor)
        if not as_picture:
            return Copied(part=part, kind=any_type(copy.start), copy=copy, proof=None)
        kind = media_type(copy.start, name)
        try:
            return Copied(part=part, kind=kind, copy=copy, proof=proved(part, kind, name))
        except BaseException:
            disk.gone(part)
            raise

    def _as_picture(self, start: bytes) -> bool:
        wanted = self.place.wanted
        return wanted is Wanted.PICTURES or (wanted is Wanted.EITHER and is_picture(start))

    def _part(self, number: int, as_picture: bool) -> Path:
        folder = self.place.pictures if as_picture else self.place.attachments
        return folder / f".taking-{self._token}-{number}.part"

    def _place_for(self, start: bytes, number: int, name: str) -> Place:
        as_picture = self._as_picture(start)
        part = self._part(number, as_picture)
        place = place_for_picture(start, part, name) if as_picture else place_of_attachment(part)
        self.parts.append(part)
        return place

    def _claimed(self, number: int, sha256: str, as_picture: bool) -> Known | Same | None:
        """None if these bytes are new; else who has them."""
        known = self.place.known_pictures if as_picture else self.place.known_attachments
        if sha256 in known:
            return Known(id=known[sha256])
        with self._mutex:
            first = self._first.setdefault((as_picture, sha256), number)
        return None if first == number else Same(number=first)

    def _sync(self, descriptor: int, part: Path) -> None:
        """Sync and close in the thread for that; waits while too many wait already."""
        self._room.acquire()
        try:
            self._synced.append(self._syncs.submit(self._synced_and_closed, descriptor, part))
        except BaseException:
            os.close(descriptor)
            self._room.release()
            raise

    def _synced_and_closed(self, descriptor: int, part: Path) -> None:
        try:
            if not self._stop.is_set():
                disk.sync(descriptor)
        except OSError as error:
            raise disk.not_written(part.parent, error) from error
        finally:
            os.close(descriptor)
            self._room.release()

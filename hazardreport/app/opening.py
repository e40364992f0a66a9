"""How a case comes to the window: a new one, one from disk or from a pack, a copy of the demo. No widgets; for jobs."""

import atexit
import shutil
import tempfile
from contextlib import ExitStack
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from hazardreport.case.case import Case
from hazardreport.errors import PackReadOnlyError
from hazardreport.resources_dir import DEMO_CASE

if TYPE_CHECKING:
    from hazardreport.storage.folder import OpenedCase
    from hazardreport.storage.unpack import Unpacked


@dataclass(frozen=True, kw_only=True, slots=True)
class NewCaseWish:
    """What the person asked for: number, title, folder, when, and who it is."""

    id: str
    title: str
    folder: Path
    created: str
    author: str = ""


def opened_case(path: Path) -> "OpenedCase":
    """The case of a folder, of a file in it, or of a pack; that of a pack is read-only."""
    from hazardreport.storage.folder import open_case

    if path.is_file() and is_zip(path):
        return _opened_pack(path)
    return open_case(path.parent if path.is_file() else path)


def is_zip(path: Path) -> bool:
    """Whether a file begins or ends as a zip file does."""
    try:
        with path.open("rb") as stream:
            return stream.read(2) == b"PK" or path.suffix.lower() == ".zip"
    except OSError:
        return False


def unpacked_for_a_look(path: Path, at_end: ExitStack) -> "Unpacked":
    """A pack unpacked to a folder that is gone when `at_end` is closed."""
    from hazardreport.storage.unpack import unpack

    place = Path(tempfile.mkdtemp(prefix="hazardreport-pack-"))
    at_end.callback(shutil.rmtree, place, ignore_errors=True)
    return unpack(path, place / path.stem)


_at_exit = ExitStack()
atexit.register(_at_exit.close)


def _opened_pack(path: Path) -> "OpenedCase":
    from hazardreport.app.opened_pack import OpenedPack
    from hazardreport.storage.folder import open_case

    with ExitStack() as failed:
        unpacked = unpacked_for_a_look(path, failed)
        opened = open_case(unpacked.folder, for_writing=False)
        at_end = failed.pop_all()
    _at_exit.callback(at_end.close)
    return OpenedPack(
        case=opened.case,
        folder=opened.folder,
        problems=(PackReadOnlyError(path=str(path)), *unpacked.remarks, *opened.problems),
        read_only=True,
        pack=path,
        at_end=at_end,
    )


def unpacked_case(pack: Path, into: Path) -> "OpenedCase":
    """The case of a pack, unpacked to a new folder to go on working there."""
    from hazardreport.storage.folder import open_case
    from hazardreport.storage.unpack import unpack

    unpacked = unpack(pack, into)
    opened = open_case(unpacked.folder)
    return replace(opened, problems=(*unpacked.remarks, *opened.problems))


def saved_beside(folder: Path) -> Case:
    """The case as it was saved last, whatever the journal holds.

    Raises
    ------
    CaseInvalidError, CouldNotReadError
        If it cannot be read.
    """
    from hazardreport.storage.condition import saved_record
    from hazardreport.storage.manifest import counting

    return saved_record(folder, counting(folder))[0]


def new_case(wish: NewCaseWish) -> "OpenedCase":
    """A new case, saved and opened."""
    from hazardreport.storage.folder import create_case, open_case

    create_case(wish.folder, Case(id=wish.id, title=wish.title, created=wish.created), author=wish.author)
    return open_case(wish.folder)


def copied_demo(target: Path | None = None) -> "OpenedCase":
    """A copy of the demo case in a new folder, opened; the demo itself never changes."""
    from hazardreport.storage.folder import copy_case, open_case

    folder = target or Path(tempfile.mkdtemp(prefix="hazardreport-demo-")) / "demo-case"
    return open_case(copy_case(DEMO_CASE, folder))

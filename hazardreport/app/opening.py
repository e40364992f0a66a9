"""How a case comes to the window: a new one, one from disk, a copy of the demo. Pure of widgets; runs in jobs."""

import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from hazardreport.case.case import Case
from hazardreport.resources_dir import DEMO_CASE

if TYPE_CHECKING:
    from hazardreport.storage.folder import OpenedCase


@dataclass(frozen=True, kw_only=True, slots=True)
class NewCaseWish:
    """What the person asked for: number, title, folder, and when."""

    id: str
    title: str
    folder: Path
    created: str


def opened_case(folder: Path) -> "OpenedCase":
    """The case of a folder."""
    from hazardreport.storage.folder import open_case

    return open_case(folder)


def new_case(wish: NewCaseWish) -> "OpenedCase":
    """A new case, saved and opened."""
    from hazardreport.storage.folder import create_case, open_case

    create_case(wish.folder, Case(id=wish.id, title=wish.title, created=wish.created))
    return open_case(wish.folder)


def copied_demo(target: Path | None = None) -> "OpenedCase":
    """A copy of the demo case in a new folder, opened; the demo itself never changes."""
    from hazardreport.storage.folder import copy_case, open_case

    folder = target or Path(tempfile.mkdtemp(prefix="hazardreport-demo-")) / "demo-case"
    return open_case(copy_case(DEMO_CASE, folder))

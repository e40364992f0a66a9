"""What saving tells, and where copies go when the case's own folder cannot be written."""

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QStandardPaths

from hazardreport import wording
from hazardreport.app.notices import Level, Notice, notice_of
from hazardreport.case.case import Case
from hazardreport.errors import CaseOpenElsewhereError, CaseReadOnlyError, HazardReportError

if TYPE_CHECKING:
    from hazardreport.storage.folder import OpenedCase


def read_only_because(opened: "OpenedCase", pack: Path | None) -> str:
    """Why nothing is written, for the strip."""
    if pack is not None:
        return wording.sentence("window.saved.pack")
    for problem in opened.problems:
        if isinstance(problem, CaseOpenElsewhereError):
            return wording.sentence("window.saved.elsewhere", holder=problem.holder)
        if isinstance(problem, CaseReadOnlyError):
            return wording.sentence("window.saved.folder", why=problem.reason)
    return wording.sentence("window.saved.read_only")


def write_journal(case: Case, folder: Path) -> None:
    """Put the case into the folder's journal (runs in a job)."""
    from hazardreport.storage import journal

    journal.write_journal(case, folder)


def not_saved(error: HazardReportError | OSError) -> Notice:
    """The notice of a failed save; an error of the system is told in its own words."""
    if isinstance(error, HazardReportError):
        return notice_of(error)
    return Notice(
        level=Level.PROBLEM,
        what=wording.sentence("window.not_saved.what", why=str(error)),
        remedy=wording.sentence("window.not_saved.remedy"),
    )


def file_name_of(text: str) -> str:
    """A text of a person as one part of a path that every system takes: letters, digits, points and hyphens."""
    kept = "".join(sign if sign.isalnum() or sign in "-_." else "-" for sign in text[:40])
    return kept.strip("-.") or "case"


def kept_folder() -> Path:
    """Where copies are kept when the case's own folder cannot be written."""
    return Path(QStandardPaths.writableLocation(QStandardPaths.StandardLocation.AppLocalDataLocation)) / "kept"

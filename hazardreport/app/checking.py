"""Every byte of the open case is looked at once it is open, off the window's thread, and whenever the person asks."""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from hazardreport import wording
from hazardreport.app.jobs import Control, Jobs
from hazardreport.app.notices import Level, Notice, Notices
from hazardreport.app.sealing import LogRead, log_read
from hazardreport.app.session import Session, clock
from hazardreport.case.case import Case
from hazardreport.errors import (
    AttachmentChangedError,
    AttachmentMissingError,
    CaseFileChangedError,
    HazardReportError,
    PictureChangedError,
    PictureMissingError,
)

if TYPE_CHECKING:
    from hazardreport.review.integrity import FileCheck, Integrity
    from hazardreport.review.record_changes import Change

LANE = "review"
TOLD_AT_ONCE = 3
"""So many files that are not whole are told one by one; more of them as a count."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Checked:
    """A case that was checked.

    integrity  file by file, and the log
    changes    of each revision of the log
    time       when, local, for people
    """

    integrity: "Integrity"
    changes: "tuple[tuple[Change, ...], ...]"
    time: str

    def whole(self, case: Case) -> bool:
        """Every file is as it was saved, and nothing else is wrong."""
        return not self.integrity.problems and not bad_files(self.integrity, case)


def checked_case(control: Control, folder: Path) -> Checked:
    """Check every file (runs in a job)."""
    from hazardreport.review.changes import changes_of
    from hazardreport.review.integrity import check_folder

    integrity = check_folder(folder, control.step)
    return Checked(integrity=integrity, changes=changes_of(integrity.chain), time=clock())


def is_new(file: "FileCheck", case: Case) -> bool:
    """A picture or attachment that came in since the last revision, which the list cannot know yet."""
    new = {f"pictures/{one.file}" for one in case.pictures} | {f"attachments/{one.file}" for one in case.attachments}
    return file.state.value == "not listed" and file.path in new


def bad_files(integrity: "Integrity", case: Case) -> "tuple[FileCheck, ...]":
    """Files that are not as they were saved."""
    return tuple(file for file in integrity.files if file.state.value != "whole" and not is_new(file, case))


class CaseCheck(QObject):
    """Holds the newest check of the open case; tells what is not whole and was not told when it was opened."""

    begun = Signal()
    checked = Signal(object)
    failed = Signal(object)

    def __init__(self, session: Session, jobs: Jobs, notices: Notices, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.newest: Checked | None = None
        self._session, self._jobs, self._notices = session, jobs, notices
        self._told: set[str] = set()
        session.opened.connect(self.on_opened)
        session.closed.connect(self.on_closed)
        session.saved.connect(self.on_saved)

    @property
    def busy(self) -> bool:
        """A check is under way."""
        return self._jobs.busy(LANE)

    def on_opened(self, case: Case) -> None:
        """Another case is open: read all of it."""
        self.newest = None
        self._told = {wording.what(problem) for problem in self._session.problems}
        self.start()

    def on_closed(self) -> None:
        """No case any more."""
        self._jobs.cancel(LANE)
        self._jobs.cancel("log")
        self.newest = None

    def on_saved(self, case: Case) -> None:
        """The log is one revision longer; the files are not read again for that."""
        if self.newest is not None and self._session.folder is not None:
            self._jobs.start("log", log_read, self._session.folder, on_result=self._on_log_read)

    def _on_log_read(self, read: LogRead) -> None:
        if self.newest is not None:
            integrity = replace(self.newest.integrity, chain=read.chain)
            self.newest = replace(self.newest, integrity=integrity, changes=read.changes)
            self.checked.emit(self.newest)

    def start(self) -> None:
        """Read every file of the case."""
        folder, revision = self._session.folder, self._session.revision
        if folder is None:
            return
        self._jobs.start(
            LANE,
            checked_case,
            folder,
            controlled=True,
            on_result=lambda found: self._on_checked(found, folder, revision),
            on_error=self._on_failed,
        )
        self.begun.emit()

    def _on_checked(self, found: Checked, folder: Path, revision: int) -> None:
        if self._session.folder != folder:
            return
        if self._session.revision != revision:
            self.start()
            return
        self.newest = found
        self._tell(found.integrity, folder)
        self.checked.emit(found)

    def _on_failed(self, error: BaseException) -> None:
        self.failed.emit(error)
        self._jobs.failed.emit(error)

    def _tell(self, integrity: "Integrity", folder: Path) -> None:
        case = self._session.case
        bad = bad_files(integrity, case)
        if self._jobs.busy("pictures"):
            bad = tuple(file for file in bad if file.state.value != "not listed")
        errors = [*integrity.problems, *(error for file in bad if (error := error_of(file, case, folder)) is not None)]
        new = {text: error for error in errors if (text := wording.what(error)) not in self._told}
        self._told |= new.keys()
        for error in list(new.values())[:TOLD_AT_ONCE]:
            self._notices.error(error)
        unlisted = [file.path for file in bad if file.state.value == "not listed"]
        self._count("window.check.not_listed", unlisted)
        self._count("window.check.more", list(new)[TOLD_AT_ONCE:])

    def _count(self, key: str, lines: list[str]) -> None:
        if lines:
            what = wording.sentence(key, count=len(lines))
            if what not in self._told:
                self._told.add(what)
                remedy = wording.sentence("window.check.remedy")
                self._notices.tell(Notice(level=Level.PROBLEM, what=what, remedy=remedy, details="\n".join(lines)))


def error_of(file: "FileCheck", case: Case, folder: Path) -> HazardReportError | None:
    """What is to be said of a listed file that is missing or changed."""
    if file.state.value not in ("missing", "changed"):
        return None
    missing = file.state.value == "missing"
    for picture in case.pictures:
        if file.path == f"pictures/{picture.file}":
            kind = PictureMissingError if missing else PictureChangedError
            return kind(picture=picture.id, file=picture.file)
    for attachment in case.attachments:
        if file.path == f"attachments/{attachment.file}":
            made = AttachmentMissingError if missing else AttachmentChangedError
            return made(attachment=attachment.id, file=attachment.file)
    return CaseFileChangedError(path=str(folder / file.path))

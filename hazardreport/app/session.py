"""The present case, its undo stack, and its place on disk: every edit is in the journal within a second."""

import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtGui import QUndoStack

from hazardreport import wording
from hazardreport.app.case_change import CaseChange
from hazardreport.app.jobs import Jobs
from hazardreport.app.notices import Notices
from hazardreport.app.saving import file_name_of, kept_folder, not_saved, read_only_because, write_journal
from hazardreport.case.case import Case
from hazardreport.errors import HazardReportError, UnsavedWorkRecoveredError

if TYPE_CHECKING:
    from hazardreport.storage.erasing import Wish
    from hazardreport.storage.folder import OpenedCase

JOURNAL_PAUSE_MS = 250
RETRY_MS = 5000


class SaveState(StrEnum):
    """Where the newest edit is."""

    NOTHING = "nothing"
    SAVING = "saving"
    SAVED = "saved"
    READ_ONLY = "read-only"
    NOT_SAVED = "not saved"


class Session(QObject):
    """Holds one open case; the only place through which the window changes it."""

    case_changed = Signal(object)
    opened = Signal(object)
    closed = Signal()
    save_state_changed = Signal(object, str)
    saved = Signal(object)
    author_changed = Signal()

    def __init__(self, notices: Notices, jobs: Jobs, kept: Path | None = None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.stack = QUndoStack(self)
        self.folder: Path | None = None
        self.read_only = False
        self.author = ""
        self._notices = notices
        self._jobs = jobs
        self._kept = kept
        self._case: Case | None = None
        self._kept_at: Path | None = None
        self._opened: OpenedCase | None = None
        self._revision = 0
        self._written: Case | None = None
        self._saved: Case | None = None
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self.on_journal_due)

    @property
    def case(self) -> Case:
        """The present case; asking without one is a defect of ours."""
        if self._case is None:
            raise RuntimeError("no case is open")
        return self._case

    @property
    def has_case(self) -> bool:
        """A case is open."""
        return self._case is not None

    @property
    def revision(self) -> int:
        """Number of the revision saved last."""
        return self._revision

    @property
    def pack(self) -> Path | None:
        """The pack that the case was opened from; None for a case in its folder."""
        return getattr(self._opened, "pack", None)

    @property
    def problems(self) -> tuple[HazardReportError, ...]:
        """What was told when the case was opened."""
        return self._opened.problems if self._opened is not None else ()

    @property
    def pictures_folder(self) -> Path:
        """Where the original pictures of the open case are."""
        if self.folder is None:
            raise RuntimeError("no case is open")
        return self.folder / "pictures"

    def edit(self, text: str, function: Callable[..., Case], *arguments: Any, merge: str = "") -> bool:
        """Change the case by a pure function; `text` names the edit in the Edit menu; equal `merge` joins steps."""
        before = self.case
        if self.read_only:
            self._notices.note("window.read_only")
            return False
        try:
            after = function(before, *arguments)
        except HazardReportError as error:
            self._notices.error(error)
            return False
        if after == before:
            return False
        self.stack.push(CaseChange(self._show, text, before, after, merge))
        return True

    def _show(self, case: Case) -> None:
        self._case = case
        if not self._timer.isActive():
            self._timer.start(JOURNAL_PAUSE_MS)
        self.save_state_changed.emit(SaveState.SAVING, wording.sentence("window.saved.saving"))
        self.case_changed.emit(case)

    def adopt(self, opened: "OpenedCase") -> bool:
        """Make a case from disk the present one; False if the case before it could not be saved."""
        if not self.close():
            opened.close()
            return False
        recovered = any(isinstance(problem, UnsavedWorkRecoveredError) for problem in opened.problems)
        self._case, self._written, self.folder = opened.case, opened.case, opened.folder
        self._saved = None if recovered else opened.case
        self._kept_at = None
        self._revision = opened.case.revision
        self.read_only, self._opened = opened.read_only, opened
        if opened.read_only:
            self.save_state_changed.emit(SaveState.READ_ONLY, read_only_because(opened, self.pack))
        else:
            key = "window.saved.recovered" if recovered else "window.saved.opened"
            self.save_state_changed.emit(SaveState.SAVED, wording.sentence(key))
        self.opened.emit(opened.case)
        self.case_changed.emit(opened.case)
        for problem in opened.problems:
            self._notices.error(problem)
        return True

    def on_journal_due(self) -> None:
        """Write the newest case to the journal, off this thread."""
        if self._case is None or self.folder is None or self._case is self._written or self.read_only:
            return
        if self._jobs.busy("journal"):
            self._timer.start(JOURNAL_PAUSE_MS)
            return
        case, folder = self._case, self.folder
        self._jobs.start(
            "journal",
            write_journal,
            case,
            folder,
            on_result=lambda _: self._on_written(case),
            on_error=lambda error: self._on_not_written(case, error),
            urgent=True,
        )

    def _on_written(self, case: Case) -> None:
        self._written = case
        if case is self._case:
            self.save_state_changed.emit(SaveState.SAVED, wording.sentence("window.saved.saved", time=clock()))
        elif not self._timer.isActive():
            self._timer.start(JOURNAL_PAUSE_MS)

    def _on_not_written(self, case: Case, error: BaseException) -> None:
        if not isinstance(error, HazardReportError | OSError):
            self._notices.error(error)
        kept = self.keep_copy(case)
        why = wording.what(error) if isinstance(error, HazardReportError) else str(error)
        key = "window.saved.kept" if kept else "window.saved.not_saved"
        text = wording.sentence(key, why=why, folder=kept or "")
        self.save_state_changed.emit(SaveState.NOT_SAVED, text)
        self._timer.start(RETRY_MS)

    def keep_copy(self, case: Case | None = None) -> Path | None:
        """Write a copy of the case away from its folder; the place, or None where that failed too.

        One place for each opening of a case: a later copy takes the place of the earlier one.
        """
        case = case or self._case
        if case is None:
            return None
        if self._kept_at is None:
            name = f"{file_name_of(case.id)}-{datetime.now(UTC):%Y%m%dT%H%M%S%f}"
            self._kept_at = (self._kept or kept_folder()) / name
        folder = self._kept_at
        try:
            folder.mkdir(parents=True, exist_ok=True)
            write_journal(case, folder)
        except (HazardReportError, OSError):
            return None
        return folder

    def save(self) -> bool:
        """Save a new revision now; False if that was refused, with a notice."""
        if self._case is None or self.folder is None or self.read_only:
            return False
        from hazardreport.storage.folder import save_case
        from hazardreport.storage.journal import clear_journal

        self._timer.stop()
        self._jobs.settle("journal")
        if self._case == self._saved:
            return self._without_journal()
        case = self._case if self._case.revision == self._revision else replace(self._case, revision=self._revision)
        try:
            saved = save_case(case, self.folder, author=self.author)
            clear_journal(self.folder)
        except (HazardReportError, OSError) as error:
            self._notices.tell(not_saved(error))
            self._on_not_written(self._case, error)
            return False
        self._take_saved(saved)
        return True

    def _without_journal(self) -> bool:
        """What is saved is the present case: edits that were taken back are not to come back as unsaved work."""
        from hazardreport.storage.journal import clear_journal

        if self.folder is not None:
            try:
                clear_journal(self.folder)
            except HazardReportError as error:
                self._notices.error(error)
        self._written = self._case
        return True

    def _take_saved(self, saved: Case) -> None:
        self._case = self._saved = self._written = saved
        self._revision = saved.revision
        self.save_state_changed.emit(SaveState.SAVED, wording.sentence("window.saved.saved", time=clock()))
        self.case_changed.emit(saved)
        self.saved.emit(saved)

    def erase(self, wish: "Wish") -> bool:
        """Erase for good, as a revision; nothing of before can be undone. False if that was refused, with a notice.

        Nothing of the wish anywhere: then there is no new revision, and everything stays as it was. Otherwise copies
        that the window kept elsewhere, because the folder could not be written, go too.
        """
        if self.folder is None or self.read_only or not self.save():
            return False
        from hazardreport.storage.erasing import erase
        from hazardreport.storage.revision import Signature

        try:
            saved = erase(self.case, self.folder, wish, Signature(author=self.author))
        except (HazardReportError, OSError) as error:
            self._notices.tell(not_saved(error))
            return False
        if saved.revision == self.case.revision:
            return True
        self.stack.clear()
        if self._kept_at is not None:
            shutil.rmtree(self._kept_at, ignore_errors=True)
            self._kept_at = None
        self._take_saved(saved)
        return True

    def close(self) -> bool:
        """Save and let the case go; False if it could not be saved: it then stays open."""
        if self._case is None:
            return True
        if self._jobs.busy("pictures"):
            self._notices.note("window.pictures.busy")
            return False
        if self._jobs.busy("pack"):
            self._notices.note("window.pack.busy")
            return False
        self._timer.stop()
        if not self.read_only and not self.save():
            return False
        self.stack.clear()
        self._jobs.cancel("review")
        if self._opened is not None:
            self._opened.close()
        self._case = self._saved = self._written = self._opened = None
        self.folder = None
        self.save_state_changed.emit(SaveState.NOTHING, "")
        self.closed.emit()
        return True

    def abandon(self) -> None:
        """Let the case go as a crash would: the journal keeps what was edited."""
        self._timer.stop()
        self._jobs.settle("journal")
        self.stack.clear()
        if self._opened is not None:
            self._opened.close()
        self._case = self._opened = None


def clock() -> str:
    """Local time for the saved state."""
    return datetime.now().astimezone().strftime("%H:%M:%S")

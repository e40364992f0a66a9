"""Letters on the Report page: every change is an edit that can be undone; days are worked out in the background."""

from collections.abc import Callable
from datetime import date
from pathlib import Path

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QFileDialog

from hazardreport.addressees.publication_hold import publication_hold
from hazardreport.app.desk import Desk
from hazardreport.app.dialogs.letter import LetterDialog
from hazardreport.app.letter_lines import ExpectedLine, calendar_bytes, expected_lines, letter_blocks
from hazardreport.app.views.letters_view import LettersView
from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.letter import Letter
from hazardreport.storage import files

DECIDING = ("letters", "situation", "unit", "submitter", "occurrence", "consents")
"""Records of a case on which it depends what is expected: the letters, and what the conditions of profiles ask of."""


class Letters(QObject):
    """Joins the view of the letters with the session."""

    def __init__(self, desk: Desk, today: Callable[[], date] = date.today) -> None:
        super().__init__()
        self.desk = desk
        self.today = today
        self.last_export = Path()
        self.view = LettersView()
        self._worked_out: tuple[object, ...] = ()
        self.view.letters.add_asked.connect(self.on_add_asked)
        self.view.letters.change_asked.connect(self.on_change_asked)
        self.view.letters.remove_asked.connect(self.on_remove_asked)
        self.view.expected.calendar_asked.connect(self.on_calendar_asked)

    def show_case(self, case: Case) -> None:
        """Show the letters now, and what follows from them as soon as it is worked out."""
        hold = publication_hold(case, self.today())
        self.view.hold.show_hold(hold.sentences, hold.held_back)
        self.view.letters.show_blocks(letter_blocks(case, self.today()), self.desk.session.read_only)
        wanted = (*(getattr(case, name) for name in DECIDING), self.today())
        if wanted != self._worked_out:
            self._worked_out = wanted
            self.desk.jobs.start("letters", expected_lines, case, self.today(), on_result=self.on_expected)

    def on_expected(self, lines: tuple[ExpectedLine, ...]) -> None:
        """The days are worked out."""
        self.view.expected.show_lines(lines)

    def _start(self) -> Path:
        folder = self.desk.session.folder
        return self.last_export if self.last_export.name else folder.parent if folder else Path.home()

    def _ask(self, letter: Letter) -> Letter | None:
        dialog = LetterDialog(letter, self.desk.session.case, self._start(), self.view)
        asked = dialog.ask()
        dialog.deleteLater()
        return asked

    def on_add_asked(self) -> None:
        """One more letter: for the chosen addressee, of today, of the newest saved revision."""
        case = self.desk.session.case
        letter = Letter(
            id=edits.next_id("letter", (letter.id for letter in case.letters)),
            addressee=case.addressee,
            day=self.today().isoformat(),
            revision=self.desk.session.revision,
        )
        asked = self._ask(letter)
        if asked is not None and self.desk.session.edit("Add Letter", edits.add_letter, asked):
            self.view.letters.focus(asked.id)

    def on_change_asked(self, id: str) -> None:
        """One letter is told anew."""
        letter = self.desk.session.case.letter(id)
        asked = None if letter is None else self._ask(letter)
        if asked is not None and self.desk.session.edit("Change Letter", edits.change_letter, asked):
            self.view.letters.focus(id)

    def on_remove_asked(self, id: str) -> None:
        """One letter was none."""
        self.desk.session.edit("Remove Letter", edits.remove_letter, id)

    def on_calendar_asked(self) -> None:
        """Ask where to, then write the calendar file whole or not at all."""
        case = self.desk.session.case
        folder = self.desk.session.folder
        start = str((folder.parent if folder else Path.home()) / f"{case.id}.ics")
        chosen, _ = QFileDialog.getSaveFileName(self.view, "Save calendar file", start, "Calendar (*.ics)")
        if chosen:
            target = Path(chosen)
            path = target if target.suffix else target.with_suffix(".ics")
            self.desk.jobs.start("calendar", save_calendar, case, self.today(), path, on_result=self.on_calendar_saved)

    def on_calendar_saved(self, path: Path) -> None:
        """The file is there."""
        self.desk.notices.note("window.letters.calendar_saved", path=str(path))

    def reveal(self, link: str) -> None:
        """Put the cursor to a letter, or to the button that adds one."""
        self.view.letters.focus(link)
        block = self.view.letters.block(link)
        self.view.ensureWidgetVisible(block or self.view.letters.add)


def save_calendar(case: Case, today: date, path: Path) -> Path:
    """The calendar file, written whole or not at all; its path."""
    files.write_atomically(path, calendar_bytes(case, today))
    return path

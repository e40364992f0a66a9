"""The Review page: is every file as it was saved, what did each revision change, in whose hands are its hashes."""

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QHBoxLayout, QLabel, QPlainTextEdit, QPushButton, QTabWidget, QVBoxLayout, QWidget

from hazardreport import wording
from hazardreport.app.checking import Checked, bad_files, is_new
from hazardreport.app.desk import Desk
from hazardreport.app.pages.page import Page
from hazardreport.app.views.anchors_view import AnchorsView
from hazardreport.app.views.log_view import LogView
from hazardreport.app.views.text_table_view import TextTableView

if TYPE_CHECKING:
    from hazardreport.case.case import Case
    from hazardreport.review.integrity import FileCheck

SIGNS = {"whole": "✓", "changed": "▲", "missing": "✕", "not listed": "?"}
PROBLEM_LINES = 7
"""So many lines of problems are in view; more of them scroll."""


class ReviewPage(Page):
    """Looks at the case and changes nothing."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, "Review", wording.sentence("window.review.hint"), parent)
        row = QHBoxLayout()
        self.again = QPushButton("Check again")
        self.again.setProperty("role", "main")
        self.again.clicked.connect(self.check)
        self.answer = QLabel()
        self.answer.setProperty("role", "strong")
        self.answer.setWordWrap(True)
        self.answer.setAccessibleName("Whether the case is whole")
        row.addWidget(self.again)
        row.addSpacing(12)
        row.addWidget(self.answer, 1)
        self.column.addLayout(row)
        self.problems = QPlainTextEdit()
        self.problems.setReadOnly(True)
        self.problems.setAccessibleName("Problems of the case")
        self.problems.setTabChangesFocus(True)
        self.problems.hide()
        self.column.addWidget(self.problems)
        self.files = TextTableView("Files of the case", ("File", "State", "SHA-256"), (32, 18, 50))
        self.log = LogView()
        self.anchors = AnchorsView()
        self.tabs = QTabWidget()
        self.tabs.setAccessibleName("Parts of the review")
        self.tabs.addTab(self._files_part(), "&Files")
        self.tabs.addTab(self.log, "&Log")
        self.tabs.addTab(self.anchors, "&Anchors")
        self.column.addWidget(self.tabs, 1)
        self.dress()
        desk.checking.begun.connect(self.on_begun)
        desk.checking.failed.connect(self.on_failed)
        desk.checking.checked.connect(self.on_checked)
        if desk.checking.newest is not None:
            self.on_checked(desk.checking.newest)
        elif desk.checking.busy:
            self.on_begun()
        else:
            self.check()

    def _files_part(self) -> QWidget:
        part = QWidget()
        column = QVBoxLayout(part)
        column.setContentsMargins(0, 8, 0, 0)
        column.setSpacing(8)
        column.addWidget(self.files, 1)
        note = QLabel(wording.sentence("window.review.note"))
        note.setProperty("role", "small")
        note.setWordWrap(True)
        column.addWidget(note)
        return part

    def check(self) -> None:
        """Read every file and compare it."""
        self.desk.checking.start()

    def on_begun(self) -> None:
        """A check is under way."""
        self.again.setEnabled(False)
        self.answer.setText(wording.sentence("window.review.reading"))

    def on_failed(self, error: BaseException) -> None:
        """The folder could not be checked."""
        self.again.setEnabled(True)
        self.answer.setText(wording.sentence("window.review.not_checked"))

    def on_checked(self, found: Checked) -> None:
        """Show what was found."""
        self.again.setEnabled(True)
        if not self.desk.session.has_case:
            return
        case, integrity = self.desk.session.case, found.integrity
        bad = bad_files(integrity, case)
        key = "window.review.whole" if found.whole(case) else "window.review.not_whole"
        self.answer.setText(wording.sentence(key, count=len(integrity.files), bad=len(bad), time=found.time))
        lines = [f"{wording.what(problem)} {wording.remedy(problem)}" for problem in integrity.problems]
        self._show_problems(lines)
        worst_first = sorted(integrity.files, key=lambda file: file not in bad)
        self.files.show_rows([file_row(file, case) for file in worst_first])
        self.log.show_chain(integrity.chain, found.changes)
        self.anchors.show_chain(integrity.chain)

    def _show_problems(self, lines: list[str]) -> None:
        self.problems.setVisible(bool(lines))
        self.problems.setPlainText("\n".join(f"▲ {line}" for line in lines))
        height = self.problems.fontMetrics().lineSpacing() * min(PROBLEM_LINES, 2 * len(lines) + 1) + 20
        self.problems.setFixedHeight(height)

    def on_scheme_changed(self) -> None:
        """Columns grow with the text."""
        super().on_scheme_changed()
        for table in (self.files, self.log.revisions, self.log.fields, self.anchors.table):
            table.fit()


def file_row(file: "FileCheck", case: "Case") -> tuple[str, str, str]:
    """One file in words."""
    new = is_new(file, case)
    state = wording.sentence("window.review.fresh") if new else file.state.value
    sign = "✓" if new else SIGNS.get(file.state.value, "?")
    shown = file.sha256 or "–"
    if file.listed and file.listed != file.sha256:
        shown = wording.sentence("window.review.listed", found=shown, listed=file.listed)
    return file.path, f"{sign}  {state}", shown

"""The Review page: is every file of the case as it was saved."""

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QHeaderView, QLabel, QPushButton, QTableWidget, QTableWidgetItem, QWidget

from hazardreport import wording
from hazardreport.app.desk import Desk
from hazardreport.app.pages.page import Page
from hazardreport.app.session import clock

if TYPE_CHECKING:
    from hazardreport.review.integrity import FileCheck, Integrity

SIGNS = {"whole": "✓", "changed": "▲", "missing": "✕", "not listed": "?"}


def integrity_of(folder: Path) -> "Integrity":
    """Check every file (runs in a job)."""
    from hazardreport.review.integrity import check_folder

    return check_folder(folder)


class ReviewPage(Page):
    """Integrity file by file."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, "Review", wording.sentence("window.review.hint"), parent)
        row = QHBoxLayout()
        self.again = QPushButton("Check again")
        self.again.setProperty("role", "main")
        self.again.clicked.connect(self.check)
        self.answer = QLabel()
        self.answer.setProperty("role", "strong")
        self.answer.setWordWrap(True)
        row.addWidget(self.again)
        row.addSpacing(12)
        row.addWidget(self.answer, 1)
        self.column.addLayout(row)
        self.problems = QLabel()
        self.problems.setWordWrap(True)
        self.problems.hide()
        self.column.addWidget(self.problems)
        self.table = QTableWidget(0, 3)
        self.table.setAccessibleName("Files of the case")
        self.table.setHorizontalHeaderLabels(["File", "State", "SHA-256"])
        self.table.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
        self.table.setSelectionBehavior(QTableWidget.SelectionBehavior.SelectRows)
        self.table.setShowGrid(False)
        self.table.setAlternatingRowColors(True)
        self.table.verticalHeader().hide()
        header = self.table.horizontalHeader()
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(1, QHeaderView.ResizeMode.ResizeToContents)
        header.setStretchLastSection(True)
        self.column.addWidget(self.table, 1)
        note = QLabel(wording.sentence("window.review.note"))
        note.setProperty("role", "small")
        note.setWordWrap(True)
        self.column.addWidget(note)
        self.check()

    def check(self) -> None:
        """Read every file and compare it."""
        folder = self.desk.session.folder
        if folder is None:
            return
        self.again.setEnabled(False)
        self.answer.setText("Reading every file…")
        self.desk.jobs.start("review", integrity_of, folder, on_result=self.on_checked, on_error=self.on_failed)

    def on_failed(self, error: BaseException) -> None:
        """The folder could not be checked."""
        self.again.setEnabled(True)
        self.answer.setText("Not checked")
        self.desk.jobs.failed.emit(error)

    def on_checked(self, integrity: "Integrity") -> None:
        """Show what was found."""
        self.again.setEnabled(True)
        if not self.desk.session.has_case:
            return
        new = {f"pictures/{picture.file}" for picture in self.desk.session.case.pictures}
        self.table.setRowCount(len(integrity.files))
        bad = 0
        for row, file in enumerate(integrity.files):
            fresh = file.state.value == "not listed" and file.path in new
            bad += file.state.value != "whole" and not fresh
            self._show_row(row, file, fresh)
        whole = not bad and not integrity.problems
        key = "window.review.whole" if whole else "window.review.not_whole"
        self.answer.setText(wording.sentence(key, count=len(integrity.files), bad=bad, time=clock()))
        self.problems.setVisible(bool(integrity.problems))
        self.problems.setText("\n".join(f"{wording.what(p)} {wording.remedy(p)}" for p in integrity.problems))
        self.checked.emit(whole)

    def _show_row(self, row: int, file: "FileCheck", fresh: bool) -> None:
        state = wording.sentence("window.review.fresh") if fresh else file.state.value
        sign = "✓" if fresh else SIGNS.get(file.state.value, "?")
        shown = file.sha256 or "–"
        if file.listed and file.listed != file.sha256:
            shown = f"{shown}  (listed: {file.listed})"
        for column, text in enumerate((file.path, f"{sign}  {state}", shown)):
            item = QTableWidgetItem(text)
            item.setToolTip(text)
            self.table.setItem(row, column, item)

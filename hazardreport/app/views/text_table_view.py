"""A calm, read-only table of texts."""

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QFocusEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QTableView, QWidget

from hazardreport.app.models.text_table import TextTable

WRAPPED_ROWS = 200
"""In tables of up to so many rows texts wrap."""


class TextTableView(QTableView):
    """Rows are chosen as a whole; columns share the width as `shares` say, long texts wrap."""

    def __init__(self, name: str, heads: Sequence[str], shares: Sequence[int], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.texts = TextTable(heads, self)
        self.setModel(self.texts)
        self.setAccessibleName(name)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setShowGrid(False)
        self.setAlternatingRowColors(True)
        self.setWordWrap(True)
        self.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setTabKeyNavigation(False)
        self.setCornerButtonEnabled(False)
        self.verticalHeader().hide()
        header = self.horizontalHeader()
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        header.setHighlightSections(False)
        header.setMinimumSectionSize(24)
        self._shares = tuple(shares)
        self.fit()

    def fit(self) -> None:
        """Share out the width, and make rows as high as their wrapped texts; many rows keep one line each."""
        room, whole = self.viewport().width(), sum(self._shares)
        for column, share in enumerate(self._shares):
            self.setColumnWidth(column, room * share // whole)
        self.verticalHeader().setDefaultSectionSize(self.fontMetrics().height() + 12)
        if self.texts.rowCount() <= WRAPPED_ROWS:
            self.resizeRowsToContents()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lines wrap otherwise in another width."""
        super().resizeEvent(event)
        self.fit()

    def show_rows(self, rows: Sequence[Sequence[str]]) -> None:
        """Show other rows."""
        self.texts.show_rows(rows)
        self.fit()

    @property
    def row(self) -> int:
        """The chosen row, -1 if there is none."""
        return self.currentIndex().row()

    def choose(self, row: int) -> None:
        """Choose a row and bring it into view."""
        self.setCurrentIndex(self.texts.index(row, 0))

    def focusInEvent(self, event: QFocusEvent) -> None:
        """The cursor of the keyboard always stands somewhere."""
        super().focusInEvent(event)
        if self.row < 0 and self.texts.rowCount():
            self.choose(0)

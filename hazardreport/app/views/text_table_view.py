"""A calm, read-only table of texts."""

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from hazardreport.app.models.text_table import TextTable


class TextTableView(QTableView):
    """Rows are chosen as a whole; one column takes the room that is left.

    `widths` are those of the others, in characters.
    """

    def __init__(
        self, name: str, heads: Sequence[str], widths: Sequence[int], stretch: int, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.texts = TextTable(heads, self)
        self.setModel(self.texts)
        self.setAccessibleName(name)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setShowGrid(False)
        self.setAlternatingRowColors(True)
        self.setWordWrap(False)
        self.setTabKeyNavigation(False)
        self.setCornerButtonEnabled(False)
        self.verticalHeader().hide()
        header = self.horizontalHeader()
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        header.setHighlightSections(False)
        header.setMinimumSectionSize(24)
        self._widths = tuple(widths)
        self._stretch = stretch
        header.setSectionResizeMode(stretch, QHeaderView.ResizeMode.Stretch)
        self.fit()

    def fit(self) -> None:
        """Columns as wide as their texts usually are in the present size of text."""
        wide = self.fontMetrics().averageCharWidth()
        for column, width in enumerate(self._widths):
            if column != self._stretch:
                self.setColumnWidth(column, width * wide + 24)
        self.verticalHeader().setDefaultSectionSize(self.fontMetrics().height() + 12)

    def show_rows(self, rows: Sequence[Sequence[str]]) -> None:
        """Show other rows."""
        self.texts.show_rows(rows)

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

"""A table whose rows are named and whose values are empty, to be typed from a document without seeing ours."""

import csv
import io
from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QTableWidget, QTableWidgetItem, QWidget


class BlindTable(QTableWidget):
    """The first columns name the row and cannot be changed; the others are typed, or pasted from a spreadsheet."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Cells of the table")
        self.setAlternatingRowColors(True)
        self.setTabKeyNavigation(True)
        self.verticalHeader().hide()
        self._named = 0

    def show_table(self, heads: Sequence[str], named: int, rows: Sequence[Sequence[str]]) -> None:
        """Show column heads and rows; the first `named` cells of a row are ours, the others as typed so far."""
        self._named = named
        self.clear()
        self.setColumnCount(len(heads))
        self.setRowCount(len(rows))
        self.setHorizontalHeaderLabels(list(heads))
        for row, cells in enumerate(rows):
            for column, text in enumerate(cells):
                item = QTableWidgetItem(text)
                if column < named:
                    item.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable)
                self.setItem(row, column, item)
        self.resizeColumnsToContents()
        for column in range(len(heads)):
            self.setColumnWidth(column, min(240, max(88, self.columnWidth(column))))
        if rows and named < len(heads):
            self.setCurrentCell(0, named)

    def cells(self) -> tuple[tuple[str, ...], ...]:
        """All rows as they stand."""
        return tuple(
            tuple(self._text(row, column) for column in range(self.columnCount())) for row in range(self.rowCount())
        )

    def _text(self, row: int, column: int) -> str:
        item = self.item(row, column)
        return item.text() if item is not None else ""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Paste cells; Delete empties them; Enter goes on to the next."""
        if event.matches(QKeySequence.StandardKey.Paste):
            self.paste(QGuiApplication.clipboard().text())
        elif event.key() == Qt.Key.Key_Delete:
            for item in self.selectedItems():
                if item.column() >= self._named:
                    item.setText("")
        else:
            super().keyPressEvent(event)

    def paste(self, text: str) -> None:
        """Cells of a spreadsheet, from the current cell on; what falls on the names of rows is left out."""
        top, left = max(0, self.currentRow()), max(self._named, self.currentColumn())
        for row, cells in enumerate(csv.reader(io.StringIO(text), dialect="excel-tab"), start=top):
            for column, cell in enumerate(cells, start=left):
                item = self.item(row, column)
                if item is not None:
                    item.setText(cell.strip())

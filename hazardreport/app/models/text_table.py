"""Rows of texts as a model: thousands of them cost nothing until they are seen."""

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

Index = QModelIndex | QPersistentModelIndex
TEXT_ROLES = (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole)


class TextTable(QAbstractTableModel):
    """Texts under column heads; a text that is cut off in its cell is whole in its tool tip."""

    def __init__(self, heads: Sequence[str], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.heads = tuple(heads)
        self.rows: tuple[tuple[str, ...], ...] = ()

    def show_rows(self, rows: Sequence[Sequence[str]]) -> None:
        """Show other rows; the same rows again disturb nobody."""
        new = tuple(tuple(row) for row in rows)
        if new != self.rows:
            self.beginResetModel()
            self.rows = new
            self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - the signature is Qt's
        """How many rows."""
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - the signature is Qt's
        """How many columns."""
        return 0 if parent.isValid() else len(self.heads)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The text of a cell."""
        if not index.isValid():
            return None
        text = self.rows[index.row()][index.column()]
        if role in TEXT_ROLES:
            return text
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{self.heads[index.column()]}: {text}"
        return None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Heads of columns; rows have none."""
        if role == Qt.ItemDataRole.DisplayRole and orientation is Qt.Orientation.Horizontal:
            return self.heads[section]
        return None

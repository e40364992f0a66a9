"""A list of records of which some are ticked."""

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QWidget


class TickList(QListWidget):
    """Records, each with a tick if it is meant."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.label = name
        self.explanation = ""
        self.setAccessibleName(name)
        self.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setMinimumHeight(84)
        self.setMaximumHeight(150)

    def explain(self, label: str, text: str) -> None:
        """Say in plain words what is to be ticked: to assistive technology, on hovering, and to a help line."""
        self.label, self.explanation = label, text
        self.setToolTip(text)
        self.setAccessibleDescription(text)

    def show_entries(self, entries: Sequence[tuple[str, str]], ticked: Sequence[str]) -> None:
        """Show records as (id, text), those of `ticked` with a tick."""
        blocked = self.blockSignals(True)
        row = self.currentRow()
        self.clear()
        for key, text in entries:
            item = QListWidgetItem(text)
            item.setData(Qt.ItemDataRole.UserRole, key)
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(Qt.CheckState.Checked if key in ticked else Qt.CheckState.Unchecked)
            self.addItem(item)
        self.setCurrentRow(row)
        self.blockSignals(blocked)

    def ticked(self) -> tuple[str, ...]:
        """Ids with a tick."""
        items = [self.item(row) for row in range(self.count())]
        return tuple(
            str(item.data(Qt.ItemDataRole.UserRole)) for item in items if item.checkState() is Qt.CheckState.Checked
        )

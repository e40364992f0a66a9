"""A list of records of which one is chosen; nothing is made anew where nothing changed."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QListWidget, QWidget


class ChosenList(QListWidget):
    """Records as (id, text), several lines each; `chosen` carries the id."""

    chosen = Signal(str)

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._entries: list[tuple[str, str]] = []
        self.setAccessibleName(name)
        self.setWordWrap(True)
        self.setSpacing(2)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.currentRowChanged.connect(self.on_row_changed)

    def show_entries(self, entries: Sequence[tuple[str, str]], current: str) -> None:
        """Show records and mark the current one."""
        blocked = self.blockSignals(True)
        new = list(entries)
        if [key for key, _ in new] != [key for key, _ in self._entries]:
            self.clear()
            self.addItems([text for _, text in new])
        else:
            for row, (_, text) in enumerate(new):
                if self.item(row).text() != text:
                    self.item(row).setText(text)
        self._entries = new
        keys = [key for key, _ in new]
        self.setCurrentRow(keys.index(current) if current in keys else -1)
        self.blockSignals(blocked)

    def on_row_changed(self, row: int) -> None:
        """Another record was chosen."""
        if 0 <= row < len(self._entries):
            self.chosen.emit(self._entries[row][0])

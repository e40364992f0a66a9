"""The bench sheet as a table: the readings of the case, and a row that is being begun."""

from collections.abc import Mapping
from dataclasses import replace

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QFont

from hazardreport.app.models.bench_columns import COLUMNS, PLACES, UNDERSTOOD, VALUE
from hazardreport.app.models.understood import understood
from hazardreport.case.case import Case
from hazardreport.case.reading import Reading

Index = QModelIndex | QPersistentModelIndex
CHECK = Qt.ItemDataRole.CheckStateRole


class BenchModel(QAbstractTableModel):
    """Read only towards the case: what is entered is told by `cell_entered`."""

    cell_entered = Signal(object, str, object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._case = Case(id="")
        self._rows: tuple[Reading, ...] = ()
        self.pending: Reading | None = None
        self._typing: tuple[str, str] | None = None
        self._problems: Mapping[str, str] = {}
        self.editable = True

    def show_case(self, case: Case) -> None:
        """Show the readings of a case; rows that stay keep their place."""
        self._case = case
        self._put((*case.readings, *((self.pending,) if self.pending is not None else ())))

    def show_pending(self, reading: Reading | None) -> None:
        """Show a row that is no reading of the case yet, or none."""
        self.pending = reading
        self._put((*self._case.readings, *((reading,) if reading is not None else ())))

    def _put(self, rows: tuple[Reading, ...]) -> None:
        old, new = [reading.id for reading in self._rows], [reading.id for reading in rows]
        if new[: len(old)] == old:
            before, self._rows = self._rows, rows[: len(old)]
            self._tell_changed(before)
            if len(new) > len(old):
                self.beginInsertRows(QModelIndex(), len(old), len(new) - 1)
                self._rows = rows
                self.endInsertRows()
        elif old[: len(new)] == new:
            self.beginRemoveRows(QModelIndex(), len(new), len(old) - 1)
            before, self._rows = self._rows[: len(new)], rows
            self.endRemoveRows()
            self._tell_changed(before)
        else:
            self.beginResetModel()
            self._rows = rows
            self.endResetModel()

    def _tell_changed(self, before: tuple[Reading, ...]) -> None:
        for row, (old, new) in enumerate(zip(before, self._rows, strict=False)):
            if old is not new:
                self.dataChanged.emit(self.index(row, 0), self.index(row, len(COLUMNS) - 1))

    def show_problems(self, problems: Mapping[str, str]) -> None:
        """What the assessment says about readings, by id."""
        if problems == self._problems:
            return
        self._problems = problems
        for row in range(len(self._rows)):
            place = self.index(row, PLACES[UNDERSTOOD])
            self.dataChanged.emit(place, place)

    def show_typing(self, id: str, text: str | None) -> None:
        """What is being typed in a value cell; None when the cell is left."""
        self._typing = None if text is None else (id, text)
        row = self.row_of(id)
        if row >= 0:
            place = self.index(row, PLACES[UNDERSTOOD])
            self.dataChanged.emit(place, place)

    def row_of(self, id: str) -> int:
        """The row of a reading, or -1."""
        return next((row for row, reading in enumerate(self._rows) if reading.id == id), -1)

    def reading(self, row: int) -> Reading:
        """The reading of a row."""
        return self._rows[row]

    def fault(self, row: int) -> str:
        """What is to be said about a reading: what was not understood, else what the assessment says."""
        reading = self._now(row)
        return understood(reading.typed, reading.quantity).fault or self._problems.get(reading.id, "")

    def _now(self, row: int) -> Reading:
        reading = self._rows[row]
        if self._typing is not None and self._typing[0] == reading.id:
            return replace(reading, typed=self._typing[1])
        return reading

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own default
        """Rows."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own default
        """Columns."""
        return 0 if parent.isValid() else len(COLUMNS)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Heads of the columns, numbers of the rows."""
        if role != Qt.ItemDataRole.DisplayRole:
            return None
        return COLUMNS[section].head if orientation is Qt.Orientation.Horizontal else str(section + 1)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Text, tick and words of a cell."""
        if not index.isValid() or index.row() >= len(self._rows):
            return None
        column, reading = COLUMNS[index.column()], self._rows[index.row()]
        if role == CHECK and column.tick is not None:
            return Qt.CheckState.Checked if column.tick(reading) else Qt.CheckState.Unchecked
        if role == Qt.ItemDataRole.EditRole:
            return column.text(reading, self._case)
        if role == Qt.ItemDataRole.DisplayRole:
            return "" if column.tick is not None else self._shown(index.row(), index.column())
        if role == Qt.ItemDataRole.ToolTipRole:
            return self.fault(index.row()) or None
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{column.head}: {self._shown(index.row(), index.column()) or 'empty'}"
        if role == Qt.ItemDataRole.FontRole and column.key == VALUE:
            font = QFont()
            font.setBold(True)
            return font
        return None

    def _shown(self, row: int, place: int) -> str:
        column = COLUMNS[place]
        if column.key != UNDERSTOOD:
            return column.text(self._rows[row], self._case)
        reading = self._now(row)
        said = understood(reading.typed, reading.quantity)
        return f"▲ {said.text}" if self.fault(row) else said.text

    def flags(self, index: Index) -> Qt.ItemFlag:
        """What can be entered."""
        flags = super().flags(index)
        if not index.isValid() or not self.editable:
            return flags
        column = COLUMNS[index.column()]
        if column.tick is not None:
            return flags | Qt.ItemFlag.ItemIsUserCheckable
        return flags | Qt.ItemFlag.ItemIsEditable if column.change is not None else flags

    def setData(self, index: Index, value: object, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Tell what was entered; the case answers by a new model state."""
        if not index.isValid() or index.row() >= len(self._rows):
            return False
        column = COLUMNS[index.column()]
        if role == CHECK:
            value = Qt.CheckState(value) is Qt.CheckState.Checked
        elif role != Qt.ItemDataRole.EditRole:
            return False
        self.cell_entered.emit(self._rows[index.row()], column.key, value)
        return True

    def choices(self, place: int) -> list[tuple[object, str]] | None:
        """Values for a cell of that column, or None for typed text."""
        choices = COLUMNS[place].choices
        return None if choices is None else choices(self._case)

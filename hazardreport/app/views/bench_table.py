"""The bench sheet's table and the editors of its cells."""

from PySide6.QtCore import QAbstractItemModel, QEvent, QModelIndex, QObject, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QAbstractItemView,
    QApplication,
    QComboBox,
    QHeaderView,
    QLineEdit,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from hazardreport.app.models.bench_columns import COLUMNS, PLACES, VALUE
from hazardreport.app.models.bench_model import BenchModel

Index = QModelIndex | QPersistentModelIndex


class BenchDelegate(QStyledItemDelegate):
    """Combo boxes for values that are chosen, line edits for text; tells each keystroke in a value cell."""

    typing = Signal(str, object)
    value_entered = Signal(str)

    def __init__(self, model: BenchModel, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._model = model

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        """The editor of a cell."""
        column = COLUMNS[index.column()]
        name = f"{column.head}, row {index.row() + 1}"
        choices = self._model.choices(index.column())
        if choices is not None:
            box = QComboBox(parent)
            box.setAccessibleName(name)
            box.addItems([text for _, text in choices])
            box.view().setMinimumWidth(max(120, box.view().sizeHintForColumn(0) + 16))
            box.activated.connect(lambda: self._done(box))
            return box
        edit = QLineEdit(parent)
        edit.setAccessibleName(name)
        edit.setPlaceholderText(column.hint)
        if column.key == VALUE:
            reading = self._model.reading(index.row()).id
            edit.setProperty("reading", reading)
            edit.textEdited.connect(lambda text: self.typing.emit(reading, text))
        return edit

    def _done(self, editor: QWidget) -> None:
        self.commitData.emit(editor)
        self.closeEditor.emit(editor, QAbstractItemDelegate.EndEditHint.NoHint)

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        """Put the present value into the editor."""
        text = str(index.data(Qt.ItemDataRole.EditRole) or "")
        if isinstance(editor, QComboBox):
            choices = self._model.choices(index.column()) or []
            shown = [str(value) == text or label == text for value, label in choices]
            editor.setCurrentIndex(shown.index(True) if True in shown else -1)
        elif isinstance(editor, QLineEdit) and not editor.isModified():
            editor.setText(text)

    def setModelData(self, editor: QWidget, model: QAbstractItemModel, index: Index) -> None:
        """Tell what was entered."""
        if isinstance(editor, QComboBox):
            choices = self._model.choices(index.column()) or []
            if 0 <= editor.currentIndex() < len(choices):
                model.setData(index, choices[editor.currentIndex()][0])
        elif isinstance(editor, QLineEdit) and editor.text() != str(index.data(Qt.ItemDataRole.EditRole) or ""):
            model.setData(index, editor.text())

    def eventFilter(self, editor: QObject, event: QEvent) -> bool:
        """Enter in a value cell enters the value and goes on to the next test."""
        if isinstance(editor, QLineEdit) and isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            reading = editor.property("reading")
            if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and reading:
                self._done(editor)
                self.value_entered.emit(str(reading))
                return True
        return super().eventFilter(editor, event)

    def destroyEditor(self, editor: QWidget, index: Index) -> None:
        """The cell was left."""
        reading = editor.property("reading")
        super().destroyEditor(editor, index)
        if reading:
            self.typing.emit(str(reading), None)


class BenchTable(QTableView):
    """The table; Delete removes rows, paste and copy work on rows."""

    remove_asked = Signal(object)
    paste_asked = Signal(str)

    def __init__(self, model: BenchModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = model
        self.setModel(model)
        self.delegate = BenchDelegate(model, self)
        self.setItemDelegate(self.delegate)
        self.setAccessibleName("Bench sheet")
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectItems)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.DoubleClicked
            | QAbstractItemView.EditTrigger.EditKeyPressed
            | QAbstractItemView.EditTrigger.AnyKeyPressed
            | QAbstractItemView.EditTrigger.SelectedClicked
        )
        self.setAlternatingRowColors(True)
        self.setWordWrap(False)
        self.setShowGrid(False)
        self.setTabKeyNavigation(True)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        rows = self.verticalHeader()
        rows.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        rows.setDefaultSectionSize(self.fontMetrics().height() + 16)
        head = self.horizontalHeader()
        head.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        head.setHighlightSections(False)
        head.setMinimumHeight(self.fontMetrics().height() + 14)
        self._fit_to_font()

    def _fit_to_font(self) -> None:
        self.verticalHeader().setDefaultSectionSize(self.fontMetrics().height() + 16)
        scale = max(1.0, self.fontMetrics().height() / 16)
        for place, column in enumerate(COLUMNS):
            self.setColumnWidth(place, int(column.width * scale))

    def changeEvent(self, event: QEvent) -> None:
        """Columns and rows grow with the text."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._fit_to_font()

    def edit_value(self, id: str) -> None:
        """Put the cursor into the value cell of a reading."""
        row = self._bench.row_of(id)
        if row < 0:
            return
        place = self._bench.index(row, PLACES[VALUE])
        self.setFocus(Qt.FocusReason.OtherFocusReason)
        self.setCurrentIndex(place)
        self.scrollTo(self._bench.index(row, 0))
        self.edit(place)

    def selected_ids(self) -> tuple[str, ...]:
        """Readings with a selected cell."""
        rows = sorted({index.row() for index in self.selectedIndexes()})
        return tuple(self._bench.reading(row).id for row in rows)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Delete, copy and paste."""
        if event.key() == Qt.Key.Key_Delete:
            self.remove_asked.emit(self.selected_ids())
        elif event.matches(QKeySequence.StandardKey.Paste):
            self.paste_asked.emit(QApplication.clipboard().text())
        elif event.matches(QKeySequence.StandardKey.Copy):
            self._copy()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentIndex().isValid():
            self.edit(self.currentIndex())
        else:
            super().keyPressEvent(event)

    def _copy(self) -> None:
        rows: dict[int, list[str]] = {}
        for index in sorted(self.selectedIndexes(), key=lambda index: (index.row(), index.column())):
            rows.setdefault(index.row(), []).append(str(index.data(Qt.ItemDataRole.EditRole) or ""))
        QApplication.clipboard().setText("\n".join("\t".join(row) for row in rows.values()))

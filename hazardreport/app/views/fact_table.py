"""A calm table of texts and of numbers that can be clicked."""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QObject, QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel, QPushButton, QScrollArea, QWidget

from hazardreport.quantity.formatting import format_number
from hazardreport.quantity.trace import Number, Status


@dataclass(frozen=True, kw_only=True, slots=True)
class NumberCell:
    """A number that opens its calculation: id in the trace, its text, what it is."""

    id: str
    text: str
    name: str


@dataclass(frozen=True, kw_only=True, slots=True)
class StrongCell:
    """A text that matters more than its neighbours."""

    text: str


Cell = str | NumberCell | StrongCell


def star(number: Number) -> str:
    """A star for a number whose sources are not confirmed."""
    return "" if number.status is Status.CONFIRMED or number.status is Status.CHOICE else " *"


def number_cell(number: Number) -> NumberCell:
    """A cell for a number of the trace."""
    return NumberCell(id=number.id, text=format_number(number) + star(number), name=number.name)


FIRST_WIDTH = 130
TEXT_WIDTH = 72
WIDE_WIDTH = 150
TIGHT_WIDTH = 96
SMALLEST_TARGET = 24
"""Least widths in pixels: first column, other texts, wide ones, wide ones in a narrow window; what is clicked."""


class NumberButton(QPushButton):
    """A number that is never smaller than its text; least sizes of a style sheet would take the place of that."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("role", "number")
        self.setCheckable(True)
        self.setCursor(Qt.CursorShape.PointingHandCursor)

    def sizeHint(self) -> QSize:
        """As large as its text, and large enough to be hit."""
        return super().sizeHint().expandedTo(QSize(SMALLEST_TARGET, SMALLEST_TARGET))

    def minimumSizeHint(self) -> QSize:
        """No number is ever cut off."""
        return self.sizeHint()


class FactTable(QScrollArea):
    """Rows of cells under column heads; columns of numbers are set flush right.

    A number keeps its whole width and texts wrap. In a narrow window the uncertainty goes to a second line; a table
    that is still too wide is moved sideways by itself.
    `numbers` and `wide` are columns: of numbers, and of texts too long for a narrow column.
    """

    number_asked = Signal(str)

    def __init__(
        self,
        heads: Sequence[str],
        numbers: Sequence[int] = (),
        wide: Sequence[int] = (),
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        content = QWidget()
        self._grid = QGridLayout(content)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(14)
        self._grid.setVerticalSpacing(3)
        self._columns = len(heads)
        self._numbers = frozenset(numbers)
        self._wide = frozenset(wide)
        self._rows: tuple[tuple[Cell, ...], ...] = ()
        self._widgets: list[list[QWidget]] = []
        self._rules: list[QFrame] = []
        for column, head in enumerate(heads):
            label = QLabel(head)
            label.setProperty("role", "small")
            label.setAlignment(self._alignment(column) | Qt.AlignmentFlag.AlignBottom)
            label.setWordWrap(True)
            self._grid.addWidget(label, 0, column)
        self._grid.setColumnStretch(0, 3)
        self._grid.setColumnMinimumWidth(0, FIRST_WIDTH)
        for column in range(1, len(heads)):
            self._grid.setColumnStretch(column, 0 if column in self._numbers else 2)
            if column not in self._numbers:
                self._grid.setColumnMinimumWidth(column, WIDE_WIDTH if column in wide else TEXT_WIDTH)
        self._asked = ""
        self._tight = False
        self._loose_width = 0
        self.setWidget(content)

    def _alignment(self, column: int) -> Qt.AlignmentFlag:
        return Qt.AlignmentFlag.AlignRight if column in self._numbers else Qt.AlignmentFlag.AlignLeft

    @property
    def rows(self) -> tuple[tuple[Cell, ...], ...]:
        """What is shown."""
        return self._rows

    def show_rows(self, rows: Sequence[Sequence[Cell]]) -> None:
        """Show rows; widgets of cells that keep their kind are kept."""
        new = tuple(tuple(row) for row in rows)
        if new == self._rows:
            return
        self.setUpdatesEnabled(False)
        old, self._rows = self._rows, new
        for row in range(max(len(old), len(new))):
            for column in range(self._columns):
                before = old[row][column] if row < len(old) else None
                after = new[row][column] if row < len(new) else None
                if before != after:
                    self._put(row, column, before, after)
        self._widgets = self._widgets[: len(new)]
        self._draw_rules(len(new))
        self._set_tight(False)
        self._keep_height()
        self.setUpdatesEnabled(True)

    def _keep_height(self) -> None:
        """Nobody may squeeze wrapped lines; the bar that moves the table sideways has its own room."""
        if self._tight and self.width() >= self._loose_width:
            self._set_tight(False)
        self._grid.activate()
        least = self._grid.minimumSize().width()
        if least > self.width() and self.isVisible() and not self._tight:
            self._loose_width = least
            self._set_tight(True)
            self._grid.activate()
            least = self._grid.minimumSize().width()
        height = self._grid.totalHeightForWidth(max(self.width(), least))
        if least > self.width():
            height += self.horizontalScrollBar().sizeHint().height()
        if height != self.minimumHeight():
            self.setFixedHeight(height)

    def _set_tight(self, tight: bool) -> None:
        if tight is self._tight:
            return
        self._tight = tight
        for column in self._wide:
            self._grid.setColumnMinimumWidth(column, TIGHT_WIDTH if tight else WIDE_WIDTH)
        for widgets, row in zip(self._widgets, self._rows, strict=True):
            for widget, cell in zip(widgets, row, strict=True):
                if isinstance(cell, NumberCell):
                    self._fill(widget, cell)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lines wrap otherwise in another width."""
        super().resizeEvent(event)
        self._keep_height()

    def showEvent(self, event: QShowEvent) -> None:
        """Lines get their width when they are seen."""
        super().showEvent(event)
        self._keep_height()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Texts got another size."""
        answer = super().eventFilter(watched, event)
        if event.type() == QEvent.Type.LayoutRequest and watched is self.widget():
            self._keep_height()
        return answer

    def _put(self, row: int, column: int, before: Cell | None, after: Cell | None) -> None:
        while len(self._widgets) <= row:
            self._widgets.append([QWidget() for _ in range(self._columns)])
        widget = self._widgets[row][column]
        if type(before) is not type(after) or before is None:
            self._grid.removeWidget(widget)
            widget.hide()
            widget.deleteLater()
            widget = self._made(after, column)
            self._widgets[row][column] = widget
            if after is not None:
                alignment = self._alignment(column) | Qt.AlignmentFlag.AlignVCenter
                if isinstance(widget, QLabel):
                    widget.setAlignment(alignment)
                    self._grid.addWidget(widget, 2 * row + 2, column)
                else:
                    self._grid.addWidget(widget, 2 * row + 2, column, alignment)
        self._fill(widget, after)

    def _made(self, cell: Cell | None, column: int) -> QWidget:
        if isinstance(cell, NumberCell):
            button = NumberButton()
            button.clicked.connect(lambda: self.number_asked.emit(str(button.property("number"))))
            return button
        label = QLabel()
        label.setWordWrap(column not in self._numbers)
        if isinstance(cell, StrongCell):
            label.setProperty("role", "strong")
        return label

    def _fill(self, widget: QWidget, cell: Cell | None) -> None:
        if isinstance(widget, QPushButton) and isinstance(cell, NumberCell):
            widget.setText(cell.text.replace(" ± ", "\n± ") if self._tight else cell.text)
            widget.setProperty("number", cell.id)
            widget.setChecked(cell.id == self._asked)
            widget.setAccessibleName(f"{cell.name}: {cell.text}")
            widget.setToolTip(f"{cell.name}: show how it was calculated")
        elif isinstance(widget, QLabel) and cell is not None:
            widget.setText(cell if isinstance(cell, str) else cell.text)

    def _draw_rules(self, count: int) -> None:
        while len(self._rules) < count:
            rule = QFrame()
            rule.setObjectName("rule")
            rule.setFixedHeight(1)
            self._grid.addWidget(rule, 2 * len(self._rules) + 1, 0, 1, self._columns)
            self._rules.append(rule)
        for row, rule in enumerate(self._rules):
            rule.setVisible(row < count)

    def show_asked(self, id: str) -> None:
        """Mark the number whose calculation is open."""
        self._asked = id
        for button in self.findChildren(QPushButton):
            button.setChecked(button.property("number") == id)

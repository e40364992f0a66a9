"""The test plan in safe order, and one test with its cautions before its instruction."""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QScrollArea,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from hazardreport import wording
from hazardreport.app.views.flow import FlowLayout


@dataclass(frozen=True, kw_only=True, slots=True)
class TestLine:
    """One test as the plan shows it; texts are already those that may be shown.

    sign, standing  "✓", "done"; "▸", "next"; "○", "open"; "–", "left out"
    readable        it is a reading that can be entered
    kept            its cautions were said to be kept; live: they must be before the instruction is shown
    left_out        why it is left out, or ""
    """

    __test__ = False

    id: str
    group: str
    name: str
    reason: str
    instruction: str
    cautions: tuple[str, ...]
    sign: str
    standing: str
    live: bool
    readable: bool
    kept: bool
    left_out: str = ""


class PlanView(QWidget):
    """List on the left, the chosen test on the right."""

    test_chosen = Signal(str)
    reading_asked = Signal(str)
    cautions_kept = Signal(str)
    left_out = Signal(str, str)
    pictures_asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._lines: tuple[TestLine, ...] = ()
        self.current = ""
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        self.list = QListWidget()
        self.list.setAccessibleName("Test plan")
        self.list.setWordWrap(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.currentItemChanged.connect(self.on_item_changed)
        self.list.itemActivated.connect(self.on_activated)
        split = QSplitter(Qt.Orientation.Horizontal)
        split.addWidget(self.list)
        split.addWidget(self._detail())
        split.setSizes([300, 420])
        split.setStretchFactor(1, 1)
        split.setChildrenCollapsible(False)
        layout.addWidget(split)

    def _detail(self) -> QWidget:
        card = QFrame()
        card.setObjectName("card")
        outer = QVBoxLayout(card)
        outer.setContentsMargins(16, 10, 12, 12)
        outer.setSpacing(6)
        self.name = _label("strong")
        outer.addWidget(self.name)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        content = QWidget()
        content.setObjectName("plain")
        column = QVBoxLayout(content)
        column.setContentsMargins(0, 0, 6, 0)
        column.setSpacing(8)
        self.reason = _label("faint")
        self.cautions = _label("")
        self.instruction = _label("")
        for label in (self.reason, self.cautions, self.instruction):
            column.addWidget(label)
        column.addStretch(1)
        scroll.setWidget(content)
        outer.addWidget(scroll, 1)
        row = FlowLayout()
        self.keep = QPushButton("These cautions are kept")
        self.keep.clicked.connect(lambda: self.cautions_kept.emit(self.current))
        self.enter = QPushButton("Enter the reading")
        self.enter.setProperty("role", "main")
        self.enter.clicked.connect(lambda: self.reading_asked.emit(self.current))
        self.look = QPushButton("Go to pictures")
        self.look.clicked.connect(self.pictures_asked)
        self.skip = QLineEdit()
        self.skip.setPlaceholderText("left out, because …")
        self.skip.setAccessibleName("Why this test is left out")
        self.skip.editingFinished.connect(self.on_skip_entered)
        for widget in (self.keep, self.enter, self.look):
            row.addWidget(widget)
        self.skip.setMinimumWidth(self.skip.fontMetrics().averageCharWidth() * 26)
        row.addWidget(self.skip)
        outer.addLayout(row)
        return card

    def line(self, id: str) -> TestLine | None:
        """The test of an id."""
        return next((line for line in self._lines if line.id == id), None)

    def show_lines(self, lines: Sequence[TestLine]) -> None:
        """Show the plan."""
        new = tuple(lines)
        if new == self._lines:
            return
        self._lines = new
        if self.line(self.current) is None:
            following = next((line for line in new if line.standing == "next"), new[0] if new else None)
            self.current = following.id if following is not None else ""
        blocked = self.list.blockSignals(True)
        self.list.clear()
        group = ""
        for line in new:
            if line.group != group:
                group = line.group
                head = QListWidgetItem(group)
                head.setFlags(Qt.ItemFlag.NoItemFlags)
                font = head.font()
                font.setBold(True)
                head.setFont(font)
                self.list.addItem(head)
            item = QListWidgetItem(f"{line.sign}  {line.name}")
            item.setData(Qt.ItemDataRole.UserRole, line.id)
            item.setData(Qt.ItemDataRole.AccessibleTextRole, f"{line.name}, {line.standing}")
            item.setToolTip(f"{line.name} ({line.standing})")
            self.list.addItem(item)
            if line.id == self.current:
                self.list.setCurrentItem(item)
        self.list.blockSignals(blocked)
        self._show_detail()

    def choose(self, id: str) -> None:
        """Choose a test."""
        for row in range(self.list.count()):
            if self.list.item(row).data(Qt.ItemDataRole.UserRole) == id:
                self.list.setCurrentRow(row)

    def on_item_changed(self, item: QListWidgetItem | None) -> None:
        """Another test was chosen."""
        if item is not None and item.data(Qt.ItemDataRole.UserRole):
            self.current = str(item.data(Qt.ItemDataRole.UserRole))
            self._show_detail()
            self.test_chosen.emit(self.current)

    def on_activated(self, item: QListWidgetItem) -> None:
        """Enter or a double click on a test: enter its reading."""
        line = self.line(self.current)
        if line is not None and line.readable and (line.kept or not line.live):
            self.reading_asked.emit(line.id)

    def on_skip_entered(self) -> None:
        """A reason for leaving the test out was typed, or taken back."""
        line = self.line(self.current)
        if line is not None and self.skip.text().strip() != line.left_out:
            self.left_out.emit(line.id, self.skip.text().strip())

    def _show_detail(self) -> None:
        line = self.line(self.current)
        for widget in (self.keep, self.enter, self.look, self.skip):
            widget.setVisible(line is not None)
        if line is None:
            self.name.setText(wording.sentence("window.readings.no_plan"))
            for label in (self.reason, self.cautions, self.instruction):
                label.clear()
            return
        self.name.setText(line.name)
        self.reason.setText(line.reason)
        self.cautions.setVisible(bool(line.cautions))
        self.cautions.setText("\n".join(f"{number}.  {text}" for number, text in enumerate(line.cautions, 1)))
        hidden = line.live and bool(line.cautions) and not line.kept
        self.instruction.setText(wording.sentence("window.readings.cautions_first") if hidden else line.instruction)
        self.keep.setVisible(bool(line.cautions) and not line.kept)
        self.enter.setVisible(line.readable and not hidden)
        self.look.setVisible(not line.readable and not line.live)
        if not self.skip.hasFocus():
            self.skip.setText(line.left_out)


def _label(role: str) -> QLabel:
    label = QLabel()
    label.setWordWrap(True)
    label.setProperty("role", role)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return label

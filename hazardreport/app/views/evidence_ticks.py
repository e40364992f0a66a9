"""Which pictures and readings show something: a line that says it, and two tick lists that unfold below it."""

from collections.abc import Mapping, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from hazardreport import wording
from hazardreport.app.views.tick_list import TickList

Entries = Sequence[tuple[str, str]]


class EvidenceTicks(QWidget):
    """Two tick lists under one line; the lists are filled when they are unfolded.

    `entered` carries "pictures" or "readings" and the ticked ids.
    """

    entered = Signal(str, object)

    def __init__(self, subject: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._subject = subject
        self._entries: dict[str, Entries] = {"pictures": (), "readings": ()}
        self._ticked: dict[str, tuple[str, ...]] = {"pictures": (), "readings": ()}
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        line = QHBoxLayout()
        line.setSpacing(8)
        self.toggle = QPushButton("Choose")
        self.toggle.setCheckable(True)
        self.toggle.toggled.connect(self.on_toggled)
        self.shown = QLabel()
        self.shown.setWordWrap(True)
        self.shown.setTextFormat(Qt.TextFormat.PlainText)
        line.addWidget(self.shown, 1)
        line.addWidget(self.toggle, 0, Qt.AlignmentFlag.AlignTop)
        column.addLayout(line)
        self.lists = {
            "pictures": TickList(f"Pictures that show it: {subject}"),
            "readings": TickList(f"Readings that show it: {subject}"),
        }
        self._heads: list[QLabel] = []
        for name, head in (("pictures", "Pictures"), ("readings", "Readings")):
            label = QLabel(head)
            label.setProperty("role", "small")
            ticks = self.lists[name]
            ticks.itemChanged.connect(lambda _, name=name: self.on_ticked(name))
            for widget in (label, ticks):
                widget.hide()
                column.addWidget(widget)
            self._heads.append(label)
        self.set_subject(subject)

    def set_subject(self, subject: str) -> None:
        """What the pictures and readings are to show, for assistive technology."""
        self._subject = subject
        self.toggle.setAccessibleName(f"Choose pictures and readings that show it: {subject}")
        for name, ticks in self.lists.items():
            ticks.setAccessibleName(f"{name.capitalize()} that show it: {subject}")

    def explain(self, lines: Mapping[str, tuple[str, str]]) -> None:
        """Label and plain line of both lists, by "pictures" and "readings"."""
        for name, ticks in self.lists.items():
            ticks.explain(*lines[name])
        told = " ".join(line for _, line in lines.values())
        self.toggle.setToolTip(told)
        self.toggle.setAccessibleDescription(told)

    def show_ticks(
        self, pictures: Entries, readings: Entries, ticked_pictures: Sequence[str], ticked_readings: Sequence[str]
    ) -> None:
        """Show what there is to tick, and what is ticked."""
        self._entries = {"pictures": pictures, "readings": readings}
        self._ticked = {"pictures": tuple(ticked_pictures), "readings": tuple(ticked_readings)}
        told = [*self._ticked["pictures"], *self._ticked["readings"]]
        self.shown.setText(", ".join(told) if told else wording.sentence("window.evidence.none_tied"))
        self.shown.setProperty("role", "small")
        if self.toggle.isChecked():
            self._fill()

    def _fill(self) -> None:
        for name, ticks in self.lists.items():
            gone = [(key, f"{key}  (not in this case)") for key in self._ticked[name] if not self._has(name, key)]
            entries = [*self._entries[name], *gone]
            ticks.show_entries(entries, self._ticked[name])
            ticks.setVisible(bool(entries))
            row = ticks.sizeHintForRow(0) if entries else 0
            ticks.setFixedHeight(max(40, min(row * len(entries) + 2 * ticks.frameWidth() + 8, 150)))
        self._heads[0].setVisible(not self.lists["pictures"].isHidden())
        self._heads[1].setVisible(not self.lists["readings"].isHidden())
        if not any(self._entries.values()) and not any(self._ticked.values()):
            self.shown.setText(wording.sentence("window.evidence.nothing_there"))

    def _has(self, name: str, key: str) -> bool:
        return any(entry == key for entry, _ in self._entries[name])

    def on_toggled(self, down: bool) -> None:
        """Unfold the lists, or fold them."""
        if down:
            self._fill()
            return
        for widget in (*self.lists.values(), *self._heads):
            widget.hide()

    def on_ticked(self, name: str) -> None:
        """A tick was set or taken away."""
        self.entered.emit(name, self.lists[name].ticked())

    def set_read_only(self, read_only: bool) -> None:
        """Nothing can be ticked; the lists can still be read."""
        for ticks in self.lists.values():
            ticks.setEnabled(not read_only)

"""How grave an injury is: four levels, each with what the tables say of it; one is pressed, or none."""

from collections.abc import Mapping
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from hazardreport.app.views.fields import Field
from hazardreport.app.views.record_list import text_label


@dataclass(frozen=True, kw_only=True, slots=True)
class SeverityText:
    """What the tables say of one level: meaning of the level; injury: the entry for the chosen injury, or ""."""

    meaning: str
    injury: str = ""


class SeverityField(Field):
    """Buttons 1 to 4, each beside its texts; the one that is down, pressed again, takes the choice back (0)."""

    def __init__(self, label: str, parent: QWidget | None = None) -> None:
        super().__init__(label, parent)
        self._texts: Mapping[int, SeverityText] = {}
        grid = QGridLayout()
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(8)
        grid.setColumnStretch(1, 1)
        self.buttons: dict[int, QPushButton] = {}
        self.injuries: dict[int, QLabel] = {}
        self.meanings: dict[int, QLabel] = {}
        for level in (1, 2, 3, 4):
            button = QPushButton(str(level))
            button.setCheckable(True)
            button.clicked.connect(lambda down, level=level: self.on_clicked(level, down))
            texts = QVBoxLayout()
            texts.setSpacing(1)
            self.injuries[level] = text_label("")
            self.meanings[level] = text_label("", "small")
            texts.addWidget(self.injuries[level])
            texts.addWidget(self.meanings[level])
            grid.addWidget(button, level, 0, Qt.AlignmentFlag.AlignTop)
            grid.addLayout(texts, level, 1)
            self.buttons[level] = button
        self._row.addLayout(grid, 1)
        self.setFocusProxy(self.buttons[1])

    def show_texts(self, texts: Mapping[int, SeverityText]) -> None:
        """What stands beside each level."""
        if texts == self._texts:
            return
        self._texts = texts
        for level, button in self.buttons.items():
            text = texts[level]
            self.injuries[level].setText(text.injury)
            self.injuries[level].setVisible(bool(text.injury))
            self.meanings[level].setText(text.meaning)
            said = ". ".join(part for part in (text.injury, text.meaning, self.explanation) if part)
            button.setAccessibleName(f"{self.label} {level}")
            button.setAccessibleDescription(said)

    def on_clicked(self, level: int, down: bool) -> None:
        """A level was chosen, or taken back."""
        self.show_value(level if down else 0)
        self.entered.emit(level if down else 0)

    def show_value(self, value: object) -> None:
        """Show the chosen level."""
        for level, button in self.buttons.items():
            button.setChecked(level == value)

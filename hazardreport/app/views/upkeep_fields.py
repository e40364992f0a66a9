"""Two fields of upkeep: how something was kept and how that is known; what was found, or looked for and excluded."""

from collections.abc import Callable, Sequence
from dataclasses import replace

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QHBoxLayout, QLabel, QMenu, QPushButton, QWidget

from hazardreport.app.views.fields import AnswerField, ChoiceField, Field, TextField
from hazardreport.app.views.flow import FlowLayout
from hazardreport.case.circumstances import Answer
from hazardreport.case.upkeep import Alteration, Excluded, Kept, Knowing

KNOWN = (
    (Knowing.OPEN, "Not answered yet"),
    (Knowing.SEEN, "Seen"),
    (Knowing.TOLD, "Told by somebody"),
    (Knowing.UNKNOWN, "Nobody knows"),
)
RESULTS = (
    (Excluded.OPEN, "Not answered yet"),
    (Excluded.FOUND, "Found"),
    (Excluded.EXCLUDED, "Looked for and excluded"),
    (Excluded.COULD_NOT_TELL, "Could not tell"),
)
CHOICE_WIDTH = 240


class KeptField(Field):
    """Whether something was as it should be, how that is known, and what was seen or told."""

    def __init__(self, label: str, parent: QWidget | None = None) -> None:
        super().__init__(label, parent)
        self._kept = Kept()
        self.known = ChoiceField(f"{label}: how it is known", KNOWN, width=CHOICE_WIDTH)
        self.proper = AnswerField(f"{label}: as it should be")
        self.text = TextField(f"{label}: what was seen, or who told what", hint="what was seen, or who told what")
        self.known.entered.connect(self.on_known)
        self.proper.entered.connect(self.on_proper)
        self.text.entered.connect(self.on_text)
        self.setFocusProxy(self.known)
        row = FlowLayout(gap=10)
        row.addWidget(self.known)
        row.addWidget(_beside("in order", self.proper))
        self._column.insertLayout(0, row)
        self._column.insertWidget(1, self.text)
        self._column.setSpacing(4)

    def on_known(self, known: object) -> None:
        """Seen, told or not known."""
        if isinstance(known, Knowing):
            self._tell(replace(self._kept, known=known))

    def on_proper(self, answer: object) -> None:
        """As it should be, or not."""
        if isinstance(answer, Answer):
            self._tell(replace(self._kept, proper=answer))

    def on_text(self, text: object) -> None:
        """What was seen, or who told what."""
        self._tell(replace(self._kept, text=str(text)))

    def _tell(self, kept: Kept) -> None:
        self._kept = kept
        self.entered.emit(kept)

    def show_value(self, value: object) -> None:
        """Show one point of upkeep."""
        if isinstance(value, Kept):
            self._kept = value
            self.known.show_value(value.known)
            self.proper.show_value(value.proper)
            self.text.show_value(value.text)


def _beside(text: str, field: Field) -> QWidget:
    """A field with a word before it, which stay together."""
    whole = QWidget()
    row = QHBoxLayout(whole)
    row.setContentsMargins(0, 0, 0, 0)
    label = QLabel(text)
    label.setProperty("role", "faint")
    row.addWidget(label)
    row.addWidget(field)
    return whole


class AlterationField(Field):
    """Whether something was found or excluded, what shows it, and on which pictures."""

    def __init__(self, label: str, parent: QWidget | None = None) -> None:
        super().__init__(label, parent)
        self._alteration = Alteration()
        self._entries: Sequence[tuple[str, str]] = ()
        self.result = ChoiceField(f"{label}: found or excluded", RESULTS, width=CHOICE_WIDTH)
        self.result.entered.connect(self.on_result)
        self.text = TextField(f"{label}: what shows it", hint="what shows it")
        self.text.entered.connect(self.on_text)
        self.pictures = QPushButton("Pictures…")
        self._menu = QMenu(self.pictures)
        self._menu.aboutToShow.connect(self.on_menu_about_to_show)
        self.pictures.setMenu(self._menu)
        self.setFocusProxy(self.result)
        self._row.addWidget(self.result, 1)
        self._row.addWidget(self.pictures)
        self._column.insertWidget(1, self.text)
        self._column.setSpacing(4)
        self._show_count()

    def show_pictures(self, entries: Sequence[tuple[str, str]]) -> None:
        """The pictures that may show it, as (id, name)."""
        self._entries = entries
        self._show_count()

    def on_menu_about_to_show(self) -> None:
        """One entry for each picture, ticked if it shows it."""
        self._menu.clear()
        shown = self._alteration.pictures
        gone = [(key, f"{key} (not in this case)") for key in shown if key not in dict(self._entries)]
        for key, name in (*self._entries, *gone):
            action = QAction(name, self._menu)
            action.setCheckable(True)
            action.setChecked(key in shown)
            action.triggered.connect(self._toggle(key))
            self._menu.addAction(action)

    def _toggle(self, key: str) -> Callable[[], None]:
        return lambda: self.toggle_picture(key)

    def toggle_picture(self, key: str) -> None:
        """A picture shows it, or no longer."""
        shown = self._alteration.pictures
        kept = tuple(one for one in shown if one != key) if key in shown else (*shown, key)
        self._tell(replace(self._alteration, pictures=kept))

    def on_result(self, result: object) -> None:
        """Found, excluded, or it could not be told."""
        if isinstance(result, Excluded):
            self._tell(replace(self._alteration, result=result))

    def on_text(self, text: object) -> None:
        """What shows it."""
        self._tell(replace(self._alteration, text=str(text)))

    def _tell(self, alteration: Alteration) -> None:
        self._alteration = alteration
        self._show_count()
        self.entered.emit(alteration)

    def show_value(self, value: object) -> None:
        """Show one alteration."""
        if isinstance(value, Alteration):
            self._alteration = value
            self.result.show_value(value.result)
            self.text.show_value(value.text)
            self._show_count()

    def _show_count(self) -> None:
        shown = self._alteration.pictures
        self.pictures.setText(f"Pictures: {len(shown)}" if shown else "Pictures…")
        told = ", ".join(shown) or "none"
        self.pictures.setAccessibleName(f"{self.label}: pictures that show it, {told}")
        self.pictures.setEnabled(bool(self._entries or shown))

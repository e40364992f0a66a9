"""Fields for keeping: a moment with a button for now, and words one below the other."""

from collections.abc import Callable
from datetime import datetime

from PySide6.QtWidgets import QPushButton, QWidget

from hazardreport import wording
from hazardreport.app.views.fields import TextField
from hazardreport.evidence.moments import moment


def here_and_now() -> datetime:
    """Local time with its offset, to the minute."""
    return datetime.now().astimezone().replace(second=0, microsecond=0)


class MomentField(TextField):
    """A time as it is told; says when it cannot be compared with others, and has a button for now."""

    def __init__(self, label: str, now: Callable[[], datetime] = here_and_now, parent: QWidget | None = None) -> None:
        super().__init__(label, hint="2026-05-04T09:30+02:00", parent=parent)
        self._now = now
        self.now = QPushButton("Now")
        self.now.setAccessibleName(f"{label}: now")
        self.now.setAutoDefault(False)
        self.now.clicked.connect(self.on_now_clicked)
        self._row.addWidget(self.now)
        self.edit.textChanged.connect(self.on_text_changed)

    def on_now_clicked(self) -> None:
        """It happened just now."""
        told = self._now().isoformat(timespec="minutes")
        self.show_value(told)
        self.entered.emit(told)

    def on_text_changed(self) -> None:
        """Say what is understood."""
        told = self.text().strip()
        key = "window.custody.no_moment" if told and moment(told) is None else ""
        self.show_remark(wording.sentence(key) if key else "")


class WordsField(TextField):
    """Several names or words, one in each line."""

    def __init__(self, label: str, hint: str = "", parent: QWidget | None = None) -> None:
        super().__init__(label, long=True, hint=hint, parent=parent)

    def words(self) -> tuple[str, ...]:
        """The words, without blanks and repeats."""
        return tuple(dict.fromkeys(word for line in self.text().splitlines() if (word := line.strip())))

    def _value(self) -> object:
        return self.words()

    def show_value(self, value: object) -> None:
        """Show words; what is being typed stays where it says the same."""
        words = value if isinstance(value, tuple) else ()
        if words != self.words():
            super().show_value("\n".join(words))

"""What the window keeps from one time to the next: cases opened last, and who the person is."""

from pathlib import Path

from PySide6.QtCore import QSettings

RECENT = 6


class Preferences:
    """The settings of one person on one computer."""

    def __init__(self, settings: QSettings) -> None:
        self._settings = settings

    @property
    def author(self) -> str:
        """Name for the log of cases, "" if nobody was named."""
        return str(self._settings.value("author", "") or "")

    @author.setter
    def author(self, name: str) -> None:
        self._settings.setValue("author", " ".join(name.split()))

    @property
    def recent(self) -> tuple[Path, ...]:
        """Folders and packs opened last that are still there, the last one first."""
        stored = self._settings.value("recent", [])
        names = [stored] if isinstance(stored, str) else list(stored) if isinstance(stored, list) else []
        return tuple(path for name in names if (path := Path(str(name))).exists())

    def remember(self, path: Path) -> None:
        """Put a folder or pack first among those opened last."""
        first = path.resolve()
        others = [str(other) for other in self.recent if other != first]
        self._settings.setValue("recent", [str(first), *others][:RECENT])

    @property
    def place(self) -> Path:
        """Where the case opened last lies; at first the person's own folder."""
        recent = self.recent
        return recent[0].parent if recent else Path.home()

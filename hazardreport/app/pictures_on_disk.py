"""Files on their way into a case of the window, in jobs; knows no widget."""

import shutil
import tempfile
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtGui import QImage

from hazardreport.app.jobs import Control, JobCancelled
from hazardreport.app.session import SaveState, Session

if TYPE_CHECKING:
    from hazardreport.evidence.batch import Destination, Taken
    from hazardreport.evidence.settling import Settled


def take_in_files(control: Control, sources: Sequence[Path], place: "Destination") -> "Taken":
    """Files copied into the case in a job; a cancelled one leaves nothing behind.

    The caller makes one edit of the records and hands `settled` to `KeptUntilSaved`, or withdraws it.
    """
    from hazardreport.evidence.batch import take_in_many

    taken = take_in_many(sources, place, control.step)
    if control.cancelled:
        taken.settled.withdraw()
        raise JobCancelled
    return taken


class KeptUntilSaved(QObject):
    """Imports whose records are not safe on the disk yet; a crash before that must leave no file without a record."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._kept: list[Settled] = []
        session.save_state_changed.connect(self.on_save_state_changed)

    def keep(self, settled: "Settled") -> None:
        """Wait with these files until the case that holds their records is written."""
        self._kept.append(settled)

    def on_save_state_changed(self, state: SaveState, text: str) -> None:
        """The newest case is in the journal or saved."""
        if state is SaveState.SAVED:
            for settled in self._kept:
                settled.done()
            self._kept.clear()


def take_in_pasted(control: Control, sources: Sequence[Path], place: "Destination") -> "Taken":
    """The same for files that `pasted_file` made; they are gone afterwards, whatever became of them."""
    try:
        return take_in_files(control, sources, place)
    finally:
        for source in sources:
            shutil.rmtree(source.parent, ignore_errors=True)


def pasted_file(image: QImage) -> Path:
    """A picture from the clipboard as a PNG file."""
    folder = Path(tempfile.mkdtemp(prefix="hazardreport-paste-"))
    path = folder / f"pasted-{datetime.now(UTC):%Y%m%dT%H%M%S}.png"
    image.save(str(path))
    return path

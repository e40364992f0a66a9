"""Files between disk and window: taken in, decoded for the screen. Runs in jobs; knows no widget."""

import tempfile
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QSize
from PySide6.QtGui import QImage, QImageReader

from hazardreport.app.jobs import Control, JobCancelled
from hazardreport.app.session import SaveState, Session
from hazardreport.case.picture import Picture
from hazardreport.errors import HazardReportError

if TYPE_CHECKING:
    from hazardreport.evidence.batch import Destination, Taken
    from hazardreport.evidence.settling import Settled

LONGEST_SHOWN = 6000


@dataclass(kw_only=True, slots=True)
class TakenIn:
    """What became of the files: pictures taken in, names that the case has already, errors of those refused."""

    pictures: list[Picture] = field(default_factory=list)
    known: list[str] = field(default_factory=list)
    errors: list[HazardReportError] = field(default_factory=list)


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


def take_in_pictures(
    control: Control, sources: Sequence[Path], folder: Path, first_number: int, hashes: frozenset[str]
) -> TakenIn:
    """Pictures copied into the case in a job; a cancelled one leaves nothing behind."""
    from hazardreport.evidence.batch import Destination, Wanted

    place = Destination(
        pictures=folder,
        attachments=folder.parent / "attachments",
        wanted=Wanted.PICTURES,
        imported=datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ"),
        first_picture=first_number,
        known_pictures=dict.fromkeys(hashes, ""),
    )
    taken = take_in_files(control, sources, place)
    taken.settled.done()
    return TakenIn(pictures=list(taken.pictures), known=[name for name, _ in taken.known], errors=list(taken.refused))


def upright(path: str, longest: int = LONGEST_SHOWN) -> QImage:
    """The picture of a file, upright, scaled down to a longest side; a null image if it cannot be read."""
    reader = QImageReader(path)
    reader.setAutoTransform(True)
    size = reader.size()
    if size.isValid() and max(size.width(), size.height()) > longest:
        factor = longest / max(size.width(), size.height())
        reader.setScaledSize(QSize(max(1, round(size.width() * factor)), max(1, round(size.height() * factor))))
    image = reader.read()
    if not image.isNull() and image.format() not in (QImage.Format.Format_RGB32, QImage.Format.Format_ARGB32):
        image = image.convertToFormat(QImage.Format.Format_ARGB32)
    return image


def pasted_file(image: QImage) -> Path:
    """A picture from the clipboard as a PNG file."""
    folder = Path(tempfile.mkdtemp(prefix="hazardreport-paste-"))
    path = folder / f"pasted-{datetime.now(UTC):%Y%m%dT%H%M%S}.png"
    image.save(str(path))
    return path

"""Pictures between disk and window: taken in, decoded for the screen. Runs in jobs; knows no widget."""

import tempfile
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from PySide6.QtCore import QSize
from PySide6.QtGui import QImage, QImageReader

from hazardreport.app.jobs import Control, JobCancelled
from hazardreport.case.picture import Picture
from hazardreport.errors import HazardReportError

LONGEST_SHOWN = 6000


@dataclass(kw_only=True, slots=True)
class TakenIn:
    """What became of the files: pictures taken in, names that the case has already, errors of those refused."""

    pictures: list[Picture] = field(default_factory=list)
    known: list[str] = field(default_factory=list)
    errors: list[HazardReportError] = field(default_factory=list)


def take_in_pictures(
    control: Control, sources: Sequence[Path], folder: Path, first_number: int, hashes: frozenset[str]
) -> TakenIn:
    """Take files in one after the other; a cancelled job leaves nothing behind."""
    from hazardreport.evidence.intake import take_in

    result = TakenIn()
    imported = datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    try:
        for done, source in enumerate(sources):
            control.step(done, len(sources))
            name = f"picture-{first_number + len(result.pictures):03d}"
            try:
                picture = take_in(source, folder, name, imported)
            except HazardReportError as error:
                result.errors.append(error)
                continue
            if picture.sha256 in hashes | {other.sha256 for other in result.pictures}:
                (folder / picture.file).unlink(missing_ok=True)
                result.known.append(picture.original_name)
            else:
                result.pictures.append(picture)
        control.step(len(sources), len(sources))
    except JobCancelled:
        for picture in result.pictures:
            (folder / picture.file).unlink(missing_ok=True)
        raise
    return result


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

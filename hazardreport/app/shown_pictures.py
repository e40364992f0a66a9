"""Pictures decoded for the screen, upright by the case's record. Runs in jobs; knows no widget."""

from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QImage, QImageReader, QTransform

from hazardreport.case.picture import Picture

LONGEST_SHOWN = 6000
_BY_QT = frozenset(("image/jpeg", "image/png"))
_TURNS = {3: 180, 5: 90, 6: 90, 7: 270, 8: 270}
_MIRRORED = {2: Qt.Orientation.Horizontal, 4: Qt.Orientation.Vertical}
_MIRRORED_THEN_TURNED = frozenset((5, 7))


def shown_image(path: Path, picture: Picture, longest: int = LONGEST_SHOWN, *, covered: bool = False) -> QImage:
    """The picture of a file, upright, scaled down to a longest side; a null image if it cannot be read.

    Parameters
    ----------
    path : Path
        File of the picture.
    picture : Picture
        Its record. The orientation is taken from here, not from the file: a cover must lie where it lies in a report.
    longest : int
        Longest side of the answer. [pixel]
    covered : bool
        With its covers, as a report shows it. Kinds that Qt must not or cannot decode never reach it.
    """
    if picture.media_type in _BY_QT and not (covered and picture.covers):
        return _by_qt(path, picture, longest)
    from hazardreport.evidence.derived import upright_image

    image = upright_image(path, picture if covered else replace(picture, covers=()), longest)
    data = image.tobytes()
    return QImage(data, image.width, image.height, 3 * image.width, QImage.Format.Format_RGB888).convertToFormat(
        QImage.Format.Format_RGB32
    )


def _by_qt(path: Path, picture: Picture, longest: int) -> QImage:
    reader = QImageReader(str(path))
    reader.setAutoTransform(False)
    size = reader.size()
    if size.isValid() and max(size.width(), size.height()) > longest:
        factor = longest / max(size.width(), size.height())
        reader.setScaledSize(QSize(max(1, round(size.width() * factor)), max(1, round(size.height() * factor))))
    image = reader.read()
    if image.isNull():
        return image
    if image.format() not in (QImage.Format.Format_RGB32, QImage.Format.Format_ARGB32):
        image = image.convertToFormat(QImage.Format.Format_ARGB32)
    return _upright(image, picture.orientation)


def _upright(image: QImage, orientation: int) -> QImage:
    if orientation in _MIRRORED:
        return image.flipped(_MIRRORED[orientation])
    if orientation not in _TURNS:
        return image
    plain = image.flipped(Qt.Orientation.Vertical) if orientation in _MIRRORED_THEN_TURNED else image
    return plain.transformed(QTransform().rotate(_TURNS[orientation]))

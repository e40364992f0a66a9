"""The pictures of a case as a list with thumbnails that are decoded when they are first asked for."""

from collections import OrderedDict
from pathlib import Path

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, QSize, Qt, QTimer
from PySide6.QtGui import QColor, QIcon, QImage, QPixmap

from hazardreport.app.jobs import Jobs
from hazardreport.app.models.picture_badges import badged, remarks
from hazardreport.app.shown_pictures import shown_image
from hazardreport.case.picture import Cover, Picture, Recognisable

SIDE = 128
KEPT = 400
Look = tuple[str, tuple[Cover, ...], Recognisable]
Index = QModelIndex | QPersistentModelIndex


class PictureList(QAbstractListModel):
    """Read only; one row for each picture."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pictures: tuple[Picture, ...] = ()
        self._folder = Path()
        self._jobs = Jobs(self, threads=1)
        self._jobs.failed.connect(lambda _: None)
        self._icons: OrderedDict[Look, QIcon] = OrderedDict()
        self._asked: set[Look] = set()
        self._arrived: set[Look] = set()
        self._batch = QTimer(self)
        self._batch.setSingleShot(True)
        self._batch.setInterval(50)
        self._batch.timeout.connect(self.on_batch)
        blank = QPixmap(SIDE, SIDE)
        blank.fill(QColor(128, 128, 128, 40))
        self._blank = QIcon(blank)

    def show_pictures(self, pictures: tuple[Picture, ...], folder: Path) -> None:
        """Show the pictures of a case whose files are in `folder`."""
        self._folder = folder
        old = [picture.id for picture in self._pictures]
        if [picture.id for picture in pictures] == old:
            changed = [row for row, picture in enumerate(pictures) if picture is not self._pictures[row]]
            self._pictures = pictures
            for row in changed:
                self.dataChanged.emit(self.index(row), self.index(row))
            return
        self.beginResetModel()
        self._pictures = pictures
        self.endResetModel()

    def picture(self, row: int) -> Picture:
        """The picture of a row."""
        return self._pictures[row]

    def row_of(self, id: str) -> int:
        """The row of a picture, or -1."""
        return next((row for row, picture in enumerate(self._pictures) if picture.id == id), -1)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own default
        """How many pictures."""
        return 0 if parent.isValid() else len(self._pictures)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Name, thumbnail and words for one picture."""
        if not index.isValid():
            return None
        picture = self._pictures[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return picture.caption or picture.original_name
        if role == Qt.ItemDataRole.DecorationRole:
            return self._thumbnail(picture)
        if role in (Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleTextRole):
            words = f"{picture.id}: {picture.description or picture.caption or picture.original_name}"
            return "\n".join((words, *remarks(picture)))
        if role == Qt.ItemDataRole.SizeHintRole:
            return QSize(SIDE + 16, SIDE)
        return None

    def _thumbnail(self, picture: Picture) -> QIcon:
        look = _look(picture)
        if look in self._icons:
            self._icons.move_to_end(look)
            return self._icons[look]
        if look not in self._asked:
            self._asked.add(look)
            self._jobs.start(
                f"thumbnail {picture.id} {hash(look)}",
                _covered,
                self._folder / picture.file,
                picture,
                on_result=lambda image: self._on_image(picture, image),
            )
        return self._blank

    def _on_image(self, picture: Picture, image: QImage) -> None:
        look = _look(picture)
        self._asked.discard(look)
        pixmap = QPixmap.fromImage(image) if not image.isNull() else self._blank.pixmap(SIDE, SIDE)
        self._icons[look] = QIcon(badged(pixmap, picture))
        while len(self._icons) > KEPT:
            self._icons.popitem(last=False)
        self._arrived.add(look)
        if not self._batch.isActive():
            self._batch.start()

    def on_batch(self) -> None:
        """Thumbnails arrived."""
        for row, picture in enumerate(self._pictures):
            if _look(picture) in self._arrived:
                self.dataChanged.emit(self.index(row), self.index(row), [Qt.ItemDataRole.DecorationRole])
        self._arrived.clear()

    def close(self) -> None:
        """Stop decoding."""
        self._jobs.close()


def _look(picture: Picture) -> Look:
    """What a thumbnail depends on."""
    return picture.sha256, picture.covers, picture.recognisable


def _covered(path: Path, picture: Picture) -> QImage:
    return shown_image(path, picture, SIDE * 2, covered=True)

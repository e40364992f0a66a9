"""Beside the picture: what it shows in words, the points of the case, what lies over it, the facts of its file."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QScrollArea,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from hazardreport import wording
from hazardreport.app.views.attachment_list import AttachmentList, shown_size
from hazardreport.app.views.fields import TextField
from hazardreport.case.picture import Cover, Picture, Point, PointRole, Recognisable

RECOGNISABLE = {
    Recognisable.OPEN: "not looked at yet",
    Recognisable.NO: "no",
    Recognisable.YES: "yes",
}


class PointRow(QWidget):
    """One lettered point: letter, role, description."""

    changed = Signal(object)
    remove_asked = Signal(str)
    place_asked = Signal(str)

    def __init__(self, point: Point, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._point = point
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 6)
        grid.setHorizontalSpacing(6)
        grid.setVerticalSpacing(4)
        self.letter = QPushButton(point.letter)
        self.letter.setFixedWidth(40)
        self.letter.setToolTip("Place this point on the picture")
        self.letter.setAccessibleName(f"Place point {point.letter} on the picture")
        self.letter.clicked.connect(lambda: self.place_asked.emit(self._point.letter))
        self.role = QComboBox()
        self.role.setAccessibleName(f"Role of point {point.letter}")
        self.role.addItems([role.value for role in PointRole])
        self.role.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.role.setMinimumContentsLength(8)
        self.role.activated.connect(self.on_role_chosen)
        self.words = QLineEdit()
        self.words.setAccessibleName(f"Description of point {point.letter}")
        self.words.setPlaceholderText("where it is, for people")
        self.words.editingFinished.connect(self.on_words_entered)
        remove = QToolButton()
        remove.setText("×")
        remove.setProperty("role", "plain")
        remove.setAccessibleName(f"Remove point {point.letter}")
        remove.setToolTip("Remove this point from the case")
        remove.clicked.connect(lambda: self.remove_asked.emit(self._point.letter))
        grid.addWidget(self.letter, 0, 0)
        grid.addWidget(self.role, 0, 1)
        grid.addWidget(remove, 0, 2)
        grid.addWidget(self.words, 1, 0, 1, 3)
        grid.setColumnStretch(1, 1)
        self.show_point(point)

    def show_point(self, point: Point) -> None:
        """Show a point; a description that is being typed stays."""
        changed = point.description != self._point.description or not self.words.hasFocus()
        self._point = point
        self.role.setCurrentIndex(list(PointRole).index(point.role))
        if changed and self.words.text() != point.description:
            self.words.setText(point.description)
            self.words.setCursorPosition(0)

    def on_role_chosen(self, index: int) -> None:
        """Another role was chosen."""
        self.changed.emit(replace(self._point, role=list(PointRole)[index]))

    def on_words_entered(self) -> None:
        """The description was typed."""
        if self.words.text() != self._point.description:
            self.changed.emit(replace(self._point, description=self.words.text()))


class PictureDetails(QScrollArea):
    """Everything about the picture that is words."""

    picture_changed = Signal(object, str)
    point_changed = Signal(object)
    point_removed = Signal(str)
    point_place_asked = Signal(str)
    remove_asked = Signal()
    item_chosen = Signal(str, str)
    cover_changed = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._picture: Picture | None = None
        self._cover = ""
        self._rows: dict[str, PointRow] = {}
        content = QWidget()
        whole = QVBoxLayout(content)
        whole.setContentsMargins(12, 0, 8, 12)
        whole.setSpacing(6)
        self._of_picture = QWidget()
        self._column = QVBoxLayout(self._of_picture)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(6)
        self.attachments = AttachmentList()
        whole.addWidget(self._of_picture)
        whole.addWidget(self.attachments)
        whole.addStretch(1)
        self._words()
        self._over()
        self._publication()
        self._points()
        self._facts()
        self.setWidget(content)

    def _heading(self, text: str) -> QLabel:
        label = QLabel(text)
        label.setProperty("role", "strong")
        label.setContentsMargins(0, 8, 0, 0)
        self._column.addWidget(label)
        return label

    def _words(self) -> None:
        self._heading("Picture")
        self.caption = TextField("Caption", hint="caption")
        self.description = TextField("Description", long=True, hint="for people who cannot see it")
        self.caption.entered.connect(lambda text: self._change("caption", str(text)))
        self.description.entered.connect(lambda text: self._change("description", str(text)))
        self.as_found = QCheckBox("Shows it as found")
        self.as_found.clicked.connect(lambda on: self._change("as_found", on))
        self.illustration = QCheckBox("Drawn, not photographed")
        self.illustration.clicked.connect(lambda on: self._change("illustration", on))
        for widget in (self.caption, self.description, self.as_found, self.illustration):
            self._column.addWidget(widget)

    def _points(self) -> None:
        self._heading("Points of the unit")
        self._no_points = QLabel(wording.sentence("window.pictures.no_points"))
        self._no_points.setProperty("role", "small")
        self._no_points.setWordWrap(True)
        self._column.addWidget(self._no_points)
        self._point_column = QVBoxLayout()
        self._point_column.setSpacing(2)
        self._column.addLayout(self._point_column)

    def _over(self) -> None:
        self._over_heading = self._heading("On this picture")
        self.over = QListWidget()
        self.over.setAccessibleName("Points, marks and covers on this picture")
        self.over.setMaximumHeight(120)
        self.over.itemSelectionChanged.connect(self.on_item_selected)
        self._column.addWidget(self.over)
        self.reason = TextField("What the cover hides", hint="what it hides: face, address")
        self.reason.entered.connect(self.on_reason_entered)
        self.reason.hide()
        self._column.addWidget(self.reason)

    def _publication(self) -> None:
        self._heading("Privacy")
        asked = QLabel(wording.sentence("window.pictures.recognisable"))
        asked.setWordWrap(True)
        self.recognisable = QComboBox()
        self.recognisable.setAccessibleName(asked.text())
        self.recognisable.addItems(list(RECOGNISABLE.values()))
        self.recognisable.activated.connect(lambda row: self._change("recognisable", list(RECOGNISABLE)[row]))
        asked.setBuddy(self.recognisable)
        remark = QLabel(wording.sentence("window.pictures.recognisable_why"))
        remark.setProperty("role", "small")
        remark.setWordWrap(True)
        for widget in (asked, self.recognisable, remark):
            self._column.addWidget(widget)

    def _facts(self) -> None:
        self._heading("Facts of the file")
        self.facts = QLabel()
        self.facts.setProperty("role", "small")
        self.facts.setTextFormat(Qt.TextFormat.PlainText)
        self.facts.setWordWrap(True)
        self.facts.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByMouse | Qt.TextInteractionFlag.TextSelectableByKeyboard
        )
        self._column.addWidget(self.facts)
        row = QHBoxLayout()
        remove = QPushButton("Take out of the case")
        remove.clicked.connect(self.remove_asked)
        row.addWidget(remove)
        row.addStretch(1)
        self._column.addLayout(row)

    def _change(self, name: str, value: Any) -> None:
        if self._picture is not None:
            self.picture_changed.emit(replace(self._picture, **{name: value}), name)

    def show_picture(self, picture: Picture | None) -> None:
        """Show the words of a picture, or of none; what was typed for the one before is entered first."""
        if self._picture is not None and (picture is None or self._picture.id != picture.id):
            self.caption.on_done()
            self.description.on_done()
            self.reason.on_done()
            self._cover = ""
        self._picture = picture
        self._of_picture.setVisible(picture is not None)
        if picture is None:
            return
        self.caption.show_value(picture.caption)
        self.description.show_value(picture.description)
        self.as_found.setChecked(picture.as_found)
        self.illustration.setChecked(picture.illustration)
        self.recognisable.setCurrentIndex(list(RECOGNISABLE).index(picture.recognisable))
        self.facts.setText("\n".join(_facts(picture)))
        self._show_over(picture)
        self._show_reason()

    def _show_over(self, picture: Picture) -> None:
        entries = [("point", spot.letter, f"Point {spot.letter}") for spot in picture.placements]
        entries += [("mark", m.id, f"{m.kind.value.capitalize()} {m.text}".strip()) for m in picture.marks]
        entries += [("cover", c.id, f"Cover: {c.reason}" if c.reason.strip() else "Cover") for c in picture.covers]
        self._over_heading.setVisible(bool(entries))
        self.over.setVisible(bool(entries))
        shown = [self.over.item(row).data(Qt.ItemDataRole.UserRole) for row in range(self.over.count())]
        texts = [self.over.item(row).text() for row in range(self.over.count())]
        if shown == [[kind, key] for kind, key, _ in entries] and texts == [text for _, _, text in entries]:
            return
        blocked = self.over.blockSignals(True)
        self.over.clear()
        for kind, key, text in entries:
            item = QListWidgetItem(text)
            item.setData(Qt.ItemDataRole.UserRole, [kind, key])
            self.over.addItem(item)
        self.over.blockSignals(blocked)

    def on_item_selected(self) -> None:
        """A point, mark or cover was chosen in the list."""
        items = self.over.selectedItems()
        if items:
            self.item_chosen.emit(*items[0].data(Qt.ItemDataRole.UserRole))

    def show_chosen(self, kind: str, id: str) -> None:
        """Mark in the list what is chosen on the picture."""
        blocked = self.over.blockSignals(True)
        self.over.clearSelection()
        for row in range(self.over.count()):
            if self.over.item(row).data(Qt.ItemDataRole.UserRole) == [kind, id]:
                self.over.setCurrentRow(row)
        self.over.blockSignals(blocked)
        self.reason.on_done()
        self._cover = id if kind == "cover" else ""
        self._show_reason()
        if self._cover:
            QTimer.singleShot(0, self.reason, lambda: self.ensureWidgetVisible(self.reason))

    def _chosen_cover(self) -> Cover | None:
        covers = self._picture.covers if self._picture is not None else ()
        return next((cover for cover in covers if cover.id == self._cover), None)

    def _show_reason(self) -> None:
        cover = self._chosen_cover()
        self.reason.setVisible(cover is not None)
        self.reason.show_value(cover.reason if cover is not None else "")

    def on_reason_entered(self, reason: object) -> None:
        """It was typed what the chosen cover hides."""
        cover = self._chosen_cover()
        if cover is not None and cover.reason != str(reason):
            self.cover_changed.emit(replace(cover, reason=str(reason)))

    def show_points(self, points: Sequence[Point]) -> None:
        """Show all points of the case."""
        letters = [point.letter for point in points]
        for letter in [letter for letter in self._rows if letter not in letters]:
            gone = self._rows.pop(letter)
            self._point_column.removeWidget(gone)
            gone.hide()
            gone.deleteLater()
        for place, point in enumerate(points):
            row = self._rows.get(point.letter) or self._new_row(point)
            if self._point_column.indexOf(row) != place:
                self._point_column.insertWidget(place, row)
            row.show_point(point)
        self._no_points.setVisible(not points)

    def _new_row(self, point: Point) -> PointRow:
        row = PointRow(point)
        row.changed.connect(self.point_changed)
        row.remove_asked.connect(self.point_removed)
        row.place_asked.connect(self.point_place_asked)
        self._rows[point.letter] = row
        return row

    def point_row(self, letter: str) -> PointRow | None:
        """The row of a point."""
        return self._rows.get(letter)


def _facts(picture: Picture) -> list[str]:
    groups = " ".join(picture.sha256[start : start + 8] for start in range(0, len(picture.sha256), 8))
    return [
        f"{picture.id} ({picture.original_name})",
        f"{picture.width} × {picture.height} pixels, {picture.media_type}, {shown_size(picture.size)}",
        f"Time that the file claims: {picture.claimed_time or 'none'}",
        f"Camera that the file claims: {picture.camera or 'none'}",
        f"Position data in the file: {'yes; never passed on in reports' if picture.has_position else 'none'}",
        f"Taken in: {picture.imported}",
        f"SHA-256: {groups}",
    ]

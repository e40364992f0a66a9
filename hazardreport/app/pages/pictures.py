"""The Pictures page: pictures and other files come in; pictures get their points, marks, covers and words."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, QSize, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDragMoveEvent, QDropEvent, QGuiApplication, QImage, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QButtonGroup,
    QComboBox,
    QFileDialog,
    QFrame,
    QHBoxLayout,
    QLabel,
    QListView,
    QPushButton,
    QSplitter,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from hazardreport import wording
from hazardreport.app.desk import Desk
from hazardreport.app.models.picture_list import SIDE, PictureList
from hazardreport.app.notices import Level, notice_of
from hazardreport.app.pages.page import Page
from hazardreport.app.pictures_on_disk import KeptUntilSaved, pasted_file, take_in_files, take_in_pasted
from hazardreport.app.shown_pictures import shown_image
from hazardreport.app.views.picture_details import PictureDetails
from hazardreport.app.views.picture_tools import Tool
from hazardreport.app.views.picture_view import PictureView
from hazardreport.case import edits
from hazardreport.case.attachment import Attachment
from hazardreport.case.case import Case
from hazardreport.case.picture import Cover, Mark, MarkKind, Picture, Placement, Point
from hazardreport.storage.layout import ATTACHMENTS

TOOLS = (
    (Tool.SELECT, "Select", "S"),
    (Tool.POINT, "Point", "P"),
    (Tool.ARROW, "Arrow", "A"),
    (Tool.OUTLINE, "Outline", "O"),
    (Tool.FREE_LINE, "Line", "L"),
    (Tool.TEXT, "Text", "T"),
    (Tool.COVER, "Cover", "C"),
)
if TYPE_CHECKING:
    from hazardreport.evidence.batch import Destination, Taken

PICTURE_NAMES = (".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp", ".heic", ".heif")
FILTER = f"Pictures ({' '.join(f'*{suffix}' for suffix in PICTURE_NAMES)});;All files (*)"
NEW_POINT = "new"
UNDO_NAMES = {"recognisable": "Say Whether Anybody Can Be Recognised"}


class PicturesPage(Page):
    """Pictures of the case."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, "Pictures", wording.sentence("window.pictures.hint"), parent)
        self.setAcceptDrops(True)
        self.model = PictureList(self)
        self.view = PictureView()
        self.details = PictureDetails()
        self.list = self._list()
        self.current = ""
        self._image_of = ""
        self._kept = KeptUntilSaved(desk.session, self)
        self.places = QStackedWidget()
        self.places.addWidget(self._empty())
        self.places.addWidget(self._workplace())
        self.column.addWidget(self.places, 1)
        self._connect()

    def _empty(self) -> QWidget:
        area = QFrame()
        area.setObjectName("card")
        layout = QVBoxLayout(area)
        layout.addStretch(1)
        line = QLabel(wording.sentence("window.pictures.empty"))
        line.setAlignment(Qt.AlignmentFlag.AlignCenter)
        line.setWordWrap(True)
        line.setProperty("role", "faint")
        layout.addWidget(line)
        button = QPushButton("Add pictures or files…")
        button.setProperty("role", "main")
        button.setMinimumHeight(32)
        button.clicked.connect(self.on_add_clicked)
        row = QHBoxLayout()
        row.addStretch(1)
        row.addWidget(button)
        row.addStretch(1)
        layout.addSpacing(12)
        layout.addLayout(row)
        layout.addStretch(1)
        return area

    def _list(self) -> QListView:
        view = QListView()
        view.setAccessibleName("Pictures of the case")
        view.setModel(self.model)
        view.setViewMode(QListView.ViewMode.IconMode)
        view.setIconSize(QSize(SIDE, SIDE - 36))
        view.setUniformItemSizes(True)
        view.setLayoutMode(QListView.LayoutMode.Batched)
        view.setResizeMode(QListView.ResizeMode.Adjust)
        view.setMovement(QListView.Movement.Static)
        view.setTextElideMode(Qt.TextElideMode.ElideMiddle)
        view.setMinimumHeight(SIDE + 8)
        view.setAcceptDrops(False)
        view.viewport().setAcceptDrops(False)
        return view

    def _workplace(self) -> QWidget:
        whole = QWidget()
        layout = QVBoxLayout(whole)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(8)
        layout.addLayout(self._toolbar())
        upper = QSplitter(Qt.Orientation.Horizontal)
        self.stage = QStackedWidget()
        self.stage.addWidget(self._empty())
        self.stage.addWidget(self.view)
        upper.addWidget(self.stage)
        upper.addWidget(self.details)
        upper.setStretchFactor(0, 1)
        upper.setSizes([520, 270])
        upper.setChildrenCollapsible(False)
        self.view.setMinimumSize(240, 160)
        self.details.setMinimumWidth(220)
        split = QSplitter(Qt.Orientation.Vertical)
        split.addWidget(upper)
        split.addWidget(self.list)
        split.setStretchFactor(0, 1)
        split.setSizes([600, SIDE + 8])
        split.setChildrenCollapsible(False)
        layout.addWidget(split, 1)
        return whole

    def _toolbar(self) -> QHBoxLayout:
        bar = QHBoxLayout()
        bar.setSpacing(4)
        add = QPushButton("Add…")
        add.setToolTip("Add pictures and other files; they can be dropped and pasted as well")
        add.setAccessibleName("Add pictures or files")
        add.clicked.connect(self.on_add_clicked)
        bar.addWidget(add)
        bar.addSpacing(10)
        self._tools = QButtonGroup(self)
        self.tool_buttons: dict[Tool, QToolButton] = {}
        for tool, name, key in TOOLS:
            button = self._tool_button(name, f"tool-{tool.value.replace(' ', '-')}", f"{name} ({key})")
            button.setCheckable(True)
            button.clicked.connect(lambda _, tool=tool: self.on_tool_clicked(tool))
            self._tools.addButton(button)
            self.tool_buttons[tool] = button
            bar.addWidget(button)
        self.tool_buttons[Tool.SELECT].setChecked(True)
        self.letter = QComboBox()
        self.letter.setAccessibleName("Point to place")
        self.letter.setToolTip("Which point the Point tool places")
        bar.addWidget(self.letter)
        bar.addStretch(1)
        for name, icon, tip, act in (
            ("−", "zoom-out", "Zoom out (-)", lambda: self.view.zoom_by(0.8)),
            ("+", "zoom-in", "Zoom in (+)", lambda: self.view.zoom_by(1.25)),
            ("Fit", "zoom-fit", "Fit (0)", self.view.fit),
            ("100 %", "zoom-actual", "100 % (1)", lambda: self.view.zoom_to(1.0)),
        ):
            button = self._tool_button(name, icon, tip)
            button.clicked.connect(lambda _, act=act: act())
            bar.addWidget(button)
        return bar

    def _tool_button(self, name: str, icon: str, tip: str) -> QToolButton:
        button = QToolButton()
        button.setProperty("role", "plain")
        button.setText(name)
        button.setToolTip(tip)
        button.setAccessibleName(tip)
        button.setProperty("icon-name", icon)
        return button

    def _connect(self) -> None:
        self.dress()
        self.list.selectionModel().currentChanged.connect(self.on_current_changed)
        self.view.tool_changed.connect(self.on_tool_changed)
        self.view.point_placed.connect(self.on_point_placed)
        self.view.point_moved.connect(self.on_point_moved)
        self.view.mark_drawn.connect(self.on_mark_drawn)
        self.view.mark_changed.connect(self.on_mark_changed)
        self.view.cover_drawn.connect(self.on_cover_drawn)
        self.view.cover_changed.connect(self.on_cover_changed)
        self.view.removed.connect(self.on_removed)
        self.view.chosen_changed.connect(self.details.show_chosen)
        self.details.item_chosen.connect(lambda *chosen: self.view.choose(chosen))
        self.details.cover_changed.connect(self.on_cover_changed)
        self.details.picture_changed.connect(self.on_picture_changed)
        self.details.point_changed.connect(self.on_point_changed)
        self.details.point_removed.connect(self.on_point_removed)
        self.details.point_place_asked.connect(self.on_point_place_asked)
        self.details.remove_asked.connect(self.on_picture_remove_asked)
        self.details.attachments.attachment_changed.connect(self.on_attachment_changed)
        self.details.attachments.remove_asked.connect(self.on_attachment_remove_asked)
        paste = QShortcut(QKeySequence(QKeySequence.StandardKey.Paste), self)
        paste.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        paste.activated.connect(self.on_paste_asked)

    # pictures come in

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Files or a picture are over the page."""
        if event.mimeData().hasUrls() or event.mimeData().hasImage():
            event.acceptProposedAction()

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        """They may be dropped anywhere on it."""
        event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """They were dropped."""
        event.acceptProposedAction()
        self._take(event.mimeData().urls(), event.mimeData().imageData() if event.mimeData().hasImage() else None)

    def on_paste_asked(self) -> None:
        """Paste files or a picture."""
        data = QGuiApplication.clipboard().mimeData()
        self._take(data.urls(), data.imageData() if data.hasImage() else None)

    def _take(self, urls: Sequence[QUrl], image: object) -> None:
        files = [Path(url.toLocalFile()) for url in urls if url.isLocalFile()]
        if files:
            self.add_files(files)
        elif isinstance(image, QImage) and not image.isNull():
            self._add([pasted_file(image)], take_in_pasted)
        else:
            self.desk.notices.note("window.pictures.nothing_usable")

    def on_add_clicked(self) -> None:
        """Pick files."""
        files, _ = QFileDialog.getOpenFileNames(self, "Add pictures or files", "", FILTER)
        if files:
            self.add_files([Path(file) for file in files])

    def add_files(self, files: Sequence[Path]) -> None:
        """Take files in, in a job: pictures as pictures, anything else as an attachment."""
        self._add(files, take_in_files)

    def _add(self, files: Sequence[Path], work: Callable[..., "Taken"]) -> None:
        if self.desk.session.read_only:
            self.desk.notices.note("window.read_only")
        elif self.desk.jobs.busy("pictures"):
            self.desk.notices.note("window.pictures.busy")
        else:
            self.desk.jobs.start(
                "pictures",
                work,
                tuple(files),
                self._destination(),
                controlled=True,
                on_result=self.on_taken_in,
            )

    def _destination(self) -> "Destination":
        from hazardreport.evidence.batch import Wanted, destination

        session = self.desk.session
        return destination(
            session.case,
            session.pictures_folder,
            session.pictures_folder.with_name(ATTACHMENTS),
            Wanted.EITHER,
            datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ"),
        )

    def on_taken_in(self, taken: "Taken") -> None:
        """Files are in: one edit for all; what was refused is told."""
        from hazardreport.evidence.batch import with_taken

        if taken.pictures or taken.attachments:
            if taken.pictures:
                self.current = taken.pictures[0].id
            name = _added(len(taken.pictures), len(taken.attachments))
            if self.desk.session.edit(name, with_taken, taken):
                self._kept.keep(taken.settled)
            else:
                taken.settled.withdraw()
        for attachment in taken.attachments:
            if attachment.original_name.lower().endswith(PICTURE_NAMES):
                self.desk.notices.note("window.pictures.no_picture", name=attachment.original_name)
        for name, _ in taken.known:
            self.desk.notices.note("window.pictures.known", name=name)
        for remark in taken.remarks:
            self.desk.notices.tell(replace(notice_of(remark), level=Level.NOTE))
        for error in taken.refused:
            self.desk.notices.error(error)

    # what is shown

    def show_case(self, case: Case) -> None:
        """Show the pictures of the case."""
        folder = self.desk.session.pictures_folder
        self.view.read_only = self.desk.session.read_only
        self.model.show_pictures(case.pictures, folder)
        self.places.setCurrentIndex(1 if case.pictures or case.attachments else 0)
        self.stage.setCurrentIndex(1 if case.pictures else 0)
        self.list.setVisible(bool(case.pictures))
        self.details.attachments.show_attachments(case.attachments, case.pictures)
        self.details.show_points(case.points)
        if case.picture(self.current) is None:
            self.current = case.pictures[0].id if case.pictures else ""
        self._show_letters(case)
        self._show_current(case)

    def _show_letters(self, case: Case) -> None:
        picture = case.picture(self.current)
        placed = {spot.letter for spot in picture.placements} if picture else set()
        free = [point.letter for point in case.points if point.letter not in placed]
        wanted = self.letter.currentData()
        self.letter.clear()
        self.letter.addItem(f"{edits.next_letter(case.points)} (new)", NEW_POINT)
        for letter in free:
            self.letter.addItem(letter, letter)
        found = self.letter.findData(wanted)
        self.letter.setCurrentIndex(max(found, 0))

    def _show_current(self, case: Case) -> None:
        picture = case.picture(self.current)
        self.view.show_picture(picture, _lines(case))
        self.details.show_picture(picture)
        if picture is None:
            self._image_of = ""
            return
        row = self.model.row_of(picture.id)
        if self.list.currentIndex().row() != row:
            self.list.setCurrentIndex(self.model.index(row))
        if self._image_of != picture.sha256:
            self._image_of = picture.sha256
            self.desk.jobs.start(
                "picture",
                shown_image,
                self.desk.session.pictures_folder / picture.file,
                picture,
                on_result=lambda image: self._on_image(picture.sha256, image),
            )

    def _on_image(self, sha256: str, image: QImage) -> None:
        if sha256 != self._image_of:
            return
        if image.isNull():
            self.desk.notices.note("window.pictures.unreadable")
        self.view.show_image(image)

    def on_current_changed(self, current: QModelIndex, previous: QModelIndex) -> None:
        """Another picture was chosen."""
        if current.isValid() and self.desk.session.has_case:
            chosen = self.model.picture(current.row()).id
            if chosen != self.current:
                self.current = chosen
                self._show_letters(self.desk.session.case)
                self._show_current(self.desk.session.case)

    def reveal(self, link: str) -> None:
        """Show a picture, or a point."""
        case = self.desk.session.case
        if case.picture(link) is not None:
            self.current = link
            self._show_letters(case)
            self._show_current(case)
        elif link.startswith("point-"):
            letter = link.removeprefix("point-")
            on = next((p for p in case.pictures if any(s.letter == letter for s in p.placements)), None)
            if on is not None:
                self.reveal(on.id)
                self.view.choose(("point", letter))

    def leave(self) -> None:
        """Stop decoding thumbnails."""
        self.model.close()

    # what was done on the picture

    def on_tool_clicked(self, tool: Tool) -> None:
        """A tool was taken from the bar."""
        self.view.choose_tool(tool)
        self.view.setFocus(Qt.FocusReason.OtherFocusReason)

    def on_tool_changed(self, tool: Tool) -> None:
        """Another tool is in the hand."""
        self.tool_buttons[tool].setChecked(True)

    def on_point_placed(self, x: float, y: float) -> None:
        """A point was placed."""
        case = self.desk.session.case
        data = self.letter.currentData()
        letter = edits.next_letter(case.points) if data in (None, NEW_POINT) else str(data)
        placement = Placement(letter=letter, x=x, y=y)
        self.desk.session.edit(f"Place Point {letter}", edits.place_point, self.current, placement)

    def on_point_moved(self, letter: str, x: float, y: float) -> None:
        """A point was moved."""
        placement = Placement(letter=letter, x=x, y=y)
        merge = f"{self.current} point {letter}"
        self.desk.session.edit(f"Move Point {letter}", edits.place_point, self.current, placement, merge=merge)

    def on_mark_drawn(self, kind: MarkKind, vertices: tuple[tuple[float, float], ...], text: str) -> None:
        """A mark was drawn."""
        picture = self.desk.session.case.picture(self.current)
        if picture is not None:
            mark = Mark(
                id=edits.next_id("mark", (m.id for m in picture.marks)), kind=kind, vertices=vertices, text=text
            )
            self.desk.session.edit(f"Draw {kind.value.capitalize()}", edits.add_mark, self.current, mark)
            self.view.choose_tool(Tool.SELECT)
            self.view.choose(("mark", mark.id))

    def on_mark_changed(self, mark: Mark) -> None:
        """A mark was moved or labelled."""
        merge = f"{self.current} {mark.id}"
        self.desk.session.edit(
            f"Change {mark.kind.value.capitalize()}", edits.change_mark, self.current, mark, merge=merge
        )

    def on_cover_drawn(self, left: float, top: float, right: float, bottom: float) -> None:
        """A cover was drawn; it is chosen, so that its reason can be typed."""
        picture = self.desk.session.case.picture(self.current)
        if picture is not None:
            key = edits.next_id("cover", (one.id for one in picture.covers))
            cover = Cover(id=key, left=left, top=top, right=right, bottom=bottom)
            self.desk.session.edit("Cover", edits.add_cover, self.current, cover)
            self.view.choose_tool(Tool.SELECT)
            self.view.choose(("cover", cover.id))

    def on_cover_changed(self, cover: Cover) -> None:
        """A cover was moved, sized or given a reason."""
        merge = f"{self.current} {cover.id}"
        self.desk.session.edit("Change Cover", edits.change_cover, self.current, cover, merge=merge)

    def on_removed(self, kind: str, id: str) -> None:
        """A point, mark or cover was taken off the picture."""
        if kind == "point":
            self.desk.session.edit(f"Take Point {id} off", edits.take_point_off, self.current, id)
        elif kind == "cover":
            self.desk.session.edit("Remove Cover", edits.remove_cover, self.current, id)
        else:
            self.desk.session.edit("Remove Mark", edits.remove_mark, self.current, id)

    def on_picture_changed(self, picture: Picture, field: str) -> None:
        """The words of a picture were changed."""
        session = self.desk.session
        now = session.case.picture(picture.id)
        if now is not None:
            changed = replace(now, **{field: getattr(picture, field)})
            text = UNDO_NAMES.get(field) or f"Change {field.replace('_', ' ').capitalize()}"
            session.edit(text, edits.change_picture, changed, merge=f"{picture.id} {field}")

    def on_point_changed(self, point: Point) -> None:
        """A point got another role or description."""
        self.desk.session.edit(f"Describe Point {point.letter}", edits.change_point, point)

    def on_point_removed(self, letter: str) -> None:
        """A point was removed from the case."""
        self.desk.session.edit(f"Remove Point {letter}", edits.remove_point, letter)

    def on_point_place_asked(self, letter: str) -> None:
        """A point of the case is to be placed on this picture."""
        found = self.letter.findData(letter)
        if found >= 0:
            self.letter.setCurrentIndex(found)
            self.on_tool_clicked(Tool.POINT)
        else:
            self.on_tool_clicked(Tool.SELECT)
            self.view.choose(("point", letter))

    def on_picture_remove_asked(self) -> None:
        """The picture is to be taken out."""
        self.desk.session.edit("Take Picture out", edits.remove_picture, self.current)

    def on_attachment_changed(self, attachment: Attachment, field: str) -> None:
        """An attachment got another caption, or another picture stands for it."""
        session = self.desk.session
        now = session.case.attachment(attachment.id)
        if now is not None:
            changed = replace(now, **{field: getattr(attachment, field)})
            text = "Choose Still" if field == "still" else "Describe Attachment"
            session.edit(text, edits.change_attachment, changed, merge=f"{attachment.id} {field}")

    def on_attachment_remove_asked(self, id: str) -> None:
        """An attachment is to be taken out."""
        self.desk.session.edit("Take Attachment out", edits.remove_attachment, id)


def _added(pictures: int, attachments: int) -> str:
    """Name of the edit."""
    named = [
        one if count == 1 else f"{count} {one}s"
        for count, one in ((pictures, "Picture"), (attachments, "Attachment"))
        if count
    ]
    return f"Add {' and '.join(named)}"


def _lines(case: Case) -> tuple[tuple[str, str, str], ...]:
    return tuple((reading.first, reading.second, reading.typed) for reading in case.readings if reading.typed.strip())

"""One picture, large: zoom to the pointer, pan, fit; points, marks and covers placed by mouse or by keyboard."""

from collections.abc import Sequence
from dataclasses import replace

from PySide6.QtCore import QPoint, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QImage,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPainterPath,
    QPen,
    QPixmap,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import (
    QFrame,
    QGraphicsItem,
    QGraphicsPathItem,
    QGraphicsScene,
    QGraphicsView,
    QLineEdit,
    QWidget,
)

from hazardreport.app.views.picture_covers import (
    HANDLES,
    RIGHT_BOTTOM,
    box_of,
    cover_items,
    handle_place,
    moved_cover,
)
from hazardreport.app.views.picture_items import (
    HALO,
    INK,
    MARK,
    LabelItem,
    LetterItem,
    handles_of,
    mark_items,
    outline_of,
    touches,
)
from hazardreport.app.views.picture_tools import ARROWS, KINDS, TOOL_KEYS, Tool
from hazardreport.case.picture import Cover, Mark, MarkKind, Picture, Placement

MOST_ZOOM = 16.0
REACH = 14.0


Chosen = tuple[str, str]
Placed = Mark | Placement | Cover
NOTHING: Chosen = ("", "")


class PictureView(QGraphicsView):
    """Shows a picture with its points, marks and covers; tells what the person did, in picture coordinates."""

    point_placed = Signal(float, float)
    point_moved = Signal(str, float, float)
    mark_drawn = Signal(object, object, str)
    mark_changed = Signal(object)
    cover_drawn = Signal(float, float, float, float)
    cover_changed = Signal(object)
    removed = Signal(str, str)
    chosen_changed = Signal(str, str)
    tool_changed = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._scene = QGraphicsScene(self)
        self.setScene(self._scene)
        self.setAccessibleName("Picture")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.SmoothPixmapTransform)
        self.setTransformationAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setResizeAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setViewportUpdateMode(QGraphicsView.ViewportUpdateMode.SmartViewportUpdate)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAcceptDrops(False)
        self.viewport().setAcceptDrops(False)
        self.tool = Tool.SELECT
        self.chosen: Chosen = NOTHING
        self.read_only = False
        self._picture: Picture | None = None
        self._lines: Sequence[tuple[str, str, str]] = ()
        self._pixmap = self._scene.addPixmap(QPixmap())
        self._overlay: list[QGraphicsItem] = []
        self._draft: list[QPointF] = []
        self._draft_item: QGraphicsPathItem | None = None
        self._fitted = True
        self._pan: QPoint | None = None
        self._grabbed: tuple[Chosen, int, QPointF] | None = None
        self._moving: Placed | None = None
        self.cross: QPointF | None = None
        self._editor: QLineEdit | None = None

    # what is shown

    def show_picture(self, picture: Picture | None, lines: Sequence[tuple[str, str, str]] = ()) -> None:
        """Show a picture's record: its points, marks, and the readings between its points as (first, second, text)."""
        other = picture is None or self._picture is None or picture.id != self._picture.id
        self._picture, self._lines = picture, lines
        if other:
            self.chosen = NOTHING
            self._drop_draft()
            self._pixmap.setPixmap(QPixmap())
            self._fitted = True
            self.cross = None
            if picture is not None:
                margin = 0.35 * max(picture.width, picture.height)
                area = QRectF(0, 0, picture.width, picture.height)
                self._scene.setSceneRect(area.adjusted(-margin, -margin, margin, margin))
                self.fit()
        if picture is not None:
            self.setAccessibleDescription(picture.description or picture.caption or picture.original_name)
            if self.chosen != NOTHING and self._find(self.chosen) is None:
                self.choose(NOTHING)
        self._rebuild()

    def show_image(self, image: QImage) -> None:
        """The pixels of the picture shown, upright, at full size or scaled."""
        if self._picture is None or image.isNull():
            return
        self._pixmap.setPixmap(QPixmap.fromImage(image))
        self._pixmap.setTransformationMode(Qt.TransformationMode.SmoothTransformation)
        self._pixmap.setScale(self._picture.width / image.width())

    def _find(self, chosen: Chosen) -> Placed | None:
        if self._picture is None:
            return None
        kind, key = chosen
        if kind == "point":
            return next((p for p in self._picture.placements if p.letter == key), None)
        if kind == "cover":
            return next((c for c in self._picture.covers if c.id == key), None)
        return next((m for m in self._picture.marks if m.id == key), None) if kind == "mark" else None

    def _rebuild(self) -> None:
        for item in self._overlay:
            self._scene.removeItem(item)
        self._overlay = []
        picture = self._picture
        if picture is None:
            return
        covers = [self._moving if self._is_moving("cover", c.id) else c for c in picture.covers]
        for cover in covers:
            if isinstance(cover, Cover):
                self._overlay += cover_items(cover, self.scale_now(), self.chosen == ("cover", cover.id))
        marks = [self._moving if self._is_moving("mark", m.id) else m for m in picture.marks]
        spots = [self._moving if self._is_moving("point", p.letter) else p for p in picture.placements]
        for mark in marks:
            if isinstance(mark, Mark):
                self._overlay += mark_items(mark, self.scale_now(), self.chosen == ("mark", mark.id))
        places = {spot.letter: spot for spot in spots if isinstance(spot, Placement)}
        self._add_lines(places)
        for letter, spot in places.items():
            item = LetterItem(letter, self.chosen == ("point", letter))
            item.setPos(spot.x, spot.y)
            self._overlay.append(item)
        for item in self._overlay:
            if item.scene() is None:
                self._scene.addItem(item)

    def _is_moving(self, kind: str, id: str) -> bool:
        return self._moving is not None and self._grabbed is not None and self._grabbed[0] == (kind, id)

    def _add_lines(self, places: dict[str, Placement]) -> None:
        texts: dict[tuple[str, str], list[str]] = {}
        for first, second, text in self._lines:
            if first in places and second in places and first != second:
                texts.setdefault((min(first, second), max(first, second)), []).append(text)
        for (first, second), values in texts.items():
            one, two = places[first], places[second]
            for width, colour, z in ((4.5, HALO, 5), (2.0, INK, 6)):
                pen = QPen(colour, width)
                pen.setCosmetic(True)
                line = self._scene.addLine(one.x, one.y, two.x, two.y, pen)
                line.setZValue(z)
                self._overlay.append(line)
            text = ", ".join(values) if len(values) < 3 else f"{len(values)} readings"
            label = LabelItem(text, INK, centred=True, bold=True)
            label.setPos((one.x + two.x) / 2, (one.y + two.y) / 2)
            self._overlay.append(label)

    # tools and choice

    def choose_tool(self, tool: Tool) -> None:
        """Take another tool."""
        self._drop_draft()
        self.tool = tool
        self.viewport().setCursor(Qt.CursorShape.ArrowCursor if tool is Tool.SELECT else Qt.CursorShape.CrossCursor)
        if tool is not Tool.SELECT:
            self.choose(NOTHING)
        self.tool_changed.emit(tool)
        self.viewport().update()

    def choose(self, chosen: Chosen) -> None:
        """Choose a point, a mark or a cover, or nothing."""
        if chosen == self.chosen:
            return
        self.chosen = chosen
        self._rebuild()
        self.chosen_changed.emit(*chosen)

    def _everything(self) -> list[Chosen]:
        if self._picture is None:
            return []
        points = [("point", spot.letter) for spot in self._picture.placements]
        marks = [("mark", mark.id) for mark in self._picture.marks]
        return points + marks + [("cover", cover.id) for cover in self._picture.covers]

    def focusNextPrevChild(self, next: bool) -> bool:
        """Tab walks through points, marks and covers, then leaves the picture at the ends."""
        items = self._everything()
        if self.tool is Tool.SELECT and items:
            step = 1 if next else -1
            start = -1 if next else len(items)
            place = (items.index(self.chosen) if self.chosen in items else start) + step
            if 0 <= place < len(items):
                self.choose(items[place])
                return True
            self.choose(NOTHING)
        return super().focusNextPrevChild(next)

    # zoom

    def scale_now(self) -> float:
        """Screen pixels for one picture pixel."""
        return self.transform().m11()

    def fit(self) -> None:
        """Show the whole picture."""
        if self._picture is None or self.viewport().width() < 20:
            return
        margin = 16
        scale = min(
            (self.viewport().width() - margin) / self._picture.width,
            (self.viewport().height() - margin) / self._picture.height,
        )
        self.resetTransform()
        self.scale(max(scale, 1e-4), max(scale, 1e-4))
        self.centerOn(self._picture.width / 2, self._picture.height / 2)
        self._fitted = True
        self._rebuild()

    def zoom_to(self, scale: float, at: QPoint | None = None) -> None:
        """Zoom so that what is under `at` (the middle if None) stays there."""
        at = at or self.viewport().rect().center()
        before = self.mapToScene(at)
        factor = min(max(scale, 0.01), MOST_ZOOM) / self.scale_now()
        self.scale(factor, factor)
        shift = self.mapFromScene(before) - at
        self.horizontalScrollBar().setValue(self.horizontalScrollBar().value() + shift.x())
        self.verticalScrollBar().setValue(self.verticalScrollBar().value() + shift.y())
        self._fitted = False
        self._rebuild()

    def zoom_by(self, factor: float, at: QPoint | None = None) -> None:
        """Zoom in or out."""
        self.zoom_to(self.scale_now() * factor, at)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """The wheel zooms to the pointer."""
        if self._picture is not None and event.angleDelta().y():
            self.zoom_by(1.0015 ** event.angleDelta().y(), event.position().toPoint())
            event.accept()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """A fitted picture stays fitted."""
        super().resizeEvent(event)
        if self._fitted:
            self.fit()

    # mouse

    def _within(self, at: QPointF) -> QPointF:
        if self._picture is None:
            return at
        return QPointF(
            min(max(at.x(), 0.0), float(self._picture.width)), min(max(at.y(), 0.0), float(self._picture.height))
        )

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Press: place, begin a mark, choose, or begin to pan."""
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        if self._picture is None:
            return
        at = self.mapToScene(event.position().toPoint())
        if event.button() is Qt.MouseButton.MiddleButton:
            self._pan = event.position().toPoint()
        elif event.button() is Qt.MouseButton.LeftButton:
            if self.tool is Tool.SELECT:
                self._press_select(at, event.position().toPoint())
            elif not self.read_only:
                self._press_tool(self._within(at))

    def _press_tool(self, at: QPointF) -> None:
        if self.tool is Tool.POINT:
            self.point_placed.emit(at.x(), at.y())
        elif self.tool is Tool.TEXT:
            self._ask_text(at, "", lambda text: self.mark_drawn.emit(MarkKind.TEXT, ((at.x(), at.y()),), text))
        else:
            self._draft = [at]

    def _press_select(self, at: QPointF, screen: QPoint) -> None:
        hit, vertex = self._hit(at)
        self.choose(hit)
        if hit == NOTHING:
            self._pan = screen
        elif not self.read_only:
            self._grabbed = (hit, vertex, at)

    def _hit(self, at: QPointF) -> tuple[Chosen, int]:
        picture, scale = self._picture, self.scale_now()
        if picture is None:
            return NOTHING, -1
        chosen = self._find(self.chosen)
        if isinstance(chosen, Mark):
            for index in handles_of(chosen):
                if _distance(at, QPointF(*chosen.vertices[index])) * scale <= REACH:
                    return self.chosen, index
        if isinstance(chosen, Cover):
            for index in range(len(HANDLES)):
                if _distance(at, handle_place(chosen, index)) * scale <= REACH:
                    return self.chosen, index
        for spot in reversed(picture.placements):
            disc = QPointF(spot.x + 20 / scale, spot.y - 20 / scale)
            if min(_distance(at, QPointF(spot.x, spot.y)), _distance(at, disc)) * scale <= REACH:
                return ("point", spot.letter), -1
        for mark in reversed(picture.marks):
            if touches(mark, at, scale):
                return ("mark", mark.id), -1
        for cover in reversed(picture.covers):
            if box_of(cover).contains(at):
                return ("cover", cover.id), -1
        return NOTHING, -1

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Move: pan, pull, or draw on."""
        screen = event.position().toPoint()
        at = self.mapToScene(screen)
        if self._pan is not None:
            shift = screen - self._pan
            self._pan = screen
            self.horizontalScrollBar().setValue(self.horizontalScrollBar().value() - shift.x())
            self.verticalScrollBar().setValue(self.verticalScrollBar().value() - shift.y())
            self._fitted = False
        elif self._grabbed is not None:
            chosen, vertex, start = self._grabbed
            self._moving = self._moved(chosen, vertex, at - start)
            self._rebuild()
        elif self._draft and event.buttons() & Qt.MouseButton.LeftButton:
            if self.tool is Tool.FREE_LINE:
                if _distance(at, self._draft[-1]) * self.scale_now() >= 3:
                    self._draft.append(self._within(at))
            else:
                self._draft = [self._draft[0], self._within(at)]
            self._show_draft()

    def _moved(self, chosen: Chosen, vertex: int, shift: QPointF) -> Placed | None:
        found = self._find(chosen)
        if isinstance(found, Cover) and self._picture is not None:
            return moved_cover(found, vertex, shift, self._picture.width, self._picture.height)
        if isinstance(found, Placement):
            to = self._within(QPointF(found.x, found.y) + shift)
            return replace(found, x=to.x(), y=to.y())
        if isinstance(found, Mark):
            moved = [
                self._within(QPointF(*v) + shift) if vertex in (-1, index) else QPointF(*v)
                for index, v in enumerate(found.vertices)
            ]
            return replace(found, vertices=tuple((v.x(), v.y()) for v in moved))
        return None

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Release: tell what was moved or drawn."""
        self._pan = None
        moved, self._moving = self._moving, None
        grabbed, self._grabbed = self._grabbed, None
        if grabbed is not None and moved is not None and moved != self._find(grabbed[0]):
            self._tell_moved(moved)
        if self._draft and event.button() is Qt.MouseButton.LeftButton:
            self._finish_draft()

    def _tell_moved(self, moved: Placed) -> None:
        if isinstance(moved, Placement):
            self.point_moved.emit(moved.letter, moved.x, moved.y)
        elif isinstance(moved, Cover):
            self.cover_changed.emit(moved)
        else:
            self.mark_changed.emit(moved)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Twice on a mark: its label; on a cover: its reason."""
        if self.tool is Tool.SELECT:
            self._edit_words()

    # drafts

    def _show_draft(self) -> None:
        if not self._draft:
            return
        if self._draft_item is None:
            self._draft_item = QGraphicsPathItem()
            pen = QPen(MARK, 3)
            pen.setCosmetic(True)
            self._draft_item.setPen(pen)
            self._draft_item.setZValue(50)
            self._scene.addItem(self._draft_item)
        points = [(point.x(), point.y()) for point in self._draft]
        if self.cross is not None and not self.underMouse():
            points.append((self.cross.x(), self.cross.y()))
        if self.tool is Tool.COVER:
            path = QPainterPath()
            path.addRect(QRectF(QPointF(*points[0]), QPointF(*points[-1])).normalized())
        else:
            path = outline_of(KINDS[self.tool], points, 16 / self.scale_now())
        self._draft_item.setPath(path)

    def _drop_draft(self) -> None:
        self._draft = []
        if self._draft_item is not None:
            self._scene.removeItem(self._draft_item)
            self._draft_item = None

    def _finish_draft(self) -> None:
        draft, tool = self._draft, self.tool
        self._drop_draft()
        span = max((_distance(draft[0], point) for point in draft[1:]), default=0.0)
        if span * self.scale_now() < 6:
            return
        if tool is Tool.COVER:
            box = QRectF(draft[0], draft[-1]).normalized()
            if min(box.width(), box.height()) > 0:
                self.cover_drawn.emit(box.left(), box.top(), box.right(), box.bottom())
        else:
            self.mark_drawn.emit(KINDS[tool], tuple((point.x(), point.y()) for point in draft), "")

    def _edit_words(self) -> None:
        """Ask for the label of the chosen mark, or for the reason of the chosen cover."""
        chosen = self._find(self.chosen)
        if isinstance(chosen, Mark):
            mark = chosen
            at = QPointF(*mark.vertices[0])
            self._ask_text(at, mark.text, lambda text: self.mark_changed.emit(replace(mark, text=text)))
        elif isinstance(chosen, Cover):
            cover = chosen
            at = box_of(cover).topLeft()
            self._ask_text(
                at, cover.reason, lambda text: self.cover_changed.emit(replace(cover, reason=text)), "Reason"
            )

    def _ask_text(self, at: QPointF, text: str, answer: object, name: str = "Label") -> None:
        if self._editor is not None or self.read_only:
            return
        editor = QLineEdit(text, self.viewport())
        editor.setAccessibleName("Label of the mark" if name == "Label" else "What the cover hides")
        editor.setPlaceholderText(f"{name}, then Enter")
        editor.setFixedWidth(200)
        place = self.mapFromScene(at)
        editor.move(min(place.x(), self.viewport().width() - 204), min(place.y(), self.viewport().height() - 34))
        self._editor = editor

        def done(keep: bool) -> None:
            if self._editor is not editor:
                return
            self._editor = None
            typed = editor.text().strip()
            editor.deleteLater()
            self.setFocus(Qt.FocusReason.OtherFocusReason)
            if keep and typed and callable(answer):
                answer(typed)

        editor.editingFinished.connect(lambda: done(True))
        editor.show()
        editor.setFocus(Qt.FocusReason.OtherFocusReason)

    # keyboard

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Every tool has a key; arrows nudge or move the cross, Ctrl sizes a cover; Enter places; Delete removes."""
        key = Qt.Key(event.key())
        plain = not event.modifiers() & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier)
        if self._picture is None:
            super().keyPressEvent(event)
        elif plain and key in TOOL_KEYS:
            self.choose_tool(TOOL_KEYS[key])
        elif key in ARROWS:
            self._arrow(ARROWS[key], event.modifiers())
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._enter()
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace) and self.chosen != NOTHING and not self.read_only:
            self.removed.emit(*self.chosen)
        elif key is Qt.Key.Key_Escape:
            self._escape()
        elif plain and key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self.zoom_by(1.25)
        elif plain and key is Qt.Key.Key_Minus:
            self.zoom_by(0.8)
        elif plain and key is Qt.Key.Key_0:
            self.fit()
        elif plain and key is Qt.Key.Key_1:
            self.zoom_to(1.0)
        else:
            super().keyPressEvent(event)

    def _arrow(self, way: QPointF, modifiers: Qt.KeyboardModifier) -> None:
        far = bool(modifiers & Qt.KeyboardModifier.ShiftModifier)
        fine = bool(modifiers & Qt.KeyboardModifier.ControlModifier)
        if self.tool is Tool.SELECT:
            if self.chosen != NOTHING and not self.read_only:
                sized = fine and self.chosen[0] == "cover"
                vertex = RIGHT_BOTTOM if sized else -1
                moved = self._moved(self.chosen, vertex, way * ((10 if far else 1) / self.scale_now()))
                if moved is not None and moved != self._find(self.chosen):
                    self._tell_moved(moved)
            elif self.chosen == NOTHING:
                bar = self.horizontalScrollBar() if way.x() else self.verticalScrollBar()
                bar.setValue(bar.value() + int((way.x() + way.y()) * (160 if far else 40)))
            return
        start = self.cross or self._within(self.mapToScene(self.viewport().rect().center()))
        step = (1 if fine else 48 if far else 6) / self.scale_now()
        self.cross = self._within(start + way * step)
        self.ensureVisible(QRectF(self.cross.x(), self.cross.y(), 1, 1), 40, 40)
        self._show_draft()
        self.viewport().update()

    def _enter(self) -> None:
        if self.tool is Tool.SELECT:
            self._edit_words()
            return
        if self.read_only:
            return
        if self.cross is None:
            self.cross = self._within(self.mapToScene(self.viewport().rect().center()))
            self.viewport().update()
        elif self.tool in (Tool.POINT, Tool.TEXT) or not self._draft:
            self._press_tool(self.cross)
        elif self.tool is Tool.FREE_LINE and self.cross != self._draft[-1]:
            self._draft.append(self.cross)
            self._show_draft()
        else:
            if self.tool is not Tool.FREE_LINE:
                self._draft.append(self.cross)
            self._finish_draft()

    def _escape(self) -> None:
        if self._draft:
            self._drop_draft()
        elif self.tool is not Tool.SELECT:
            self.choose_tool(Tool.SELECT)
        else:
            self.choose(NOTHING)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the cross."""
        super().focusInEvent(event)
        self.viewport().update()

    def drawForeground(self, painter: QPainter, rect: QRectF | object) -> None:
        """The cross for placing by keyboard."""
        if self.cross is None or self.tool is Tool.SELECT or not self.hasFocus():
            return
        reach = 18 / self.scale_now()
        for width, colour in ((5.0, QColor(HALO)), (2.0, QColor(INK))):
            pen = QPen(colour, width)
            pen.setCosmetic(True)
            painter.setPen(pen)
            x, y = self.cross.x(), self.cross.y()
            painter.drawLine(QPointF(x - reach, y), QPointF(x + reach, y))
            painter.drawLine(QPointF(x, y - reach), QPointF(x, y + reach))


def _distance(one: QPointF, two: QPointF) -> float:
    return float(((one.x() - two.x()) ** 2 + (one.y() - two.y()) ** 2) ** 0.5)

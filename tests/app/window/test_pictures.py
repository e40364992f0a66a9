"""Pictures come in; points and marks by mouse and by keyboard; nothing half done."""

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QGuiApplication, QImage, QWheelEvent
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from hazardreport.app.notices import Level
from hazardreport.app.pages.pictures import PicturesPage
from hazardreport.app.views.picture_view import PictureView, Tool
from hazardreport.app.window import Window
from hazardreport.case.case import Case
from hazardreport.case.picture import MarkKind

LONG = 8_000


def drop(target: PicturesPage, *paths: Path) -> None:
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    event = QDropEvent(
        QPointF(40, 40), Qt.DropAction.CopyAction, data, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    )
    enter = QDragEnterEvent(
        QPoint(40, 40), Qt.DropAction.CopyAction, data, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    )
    QApplication.sendEvent(target, enter)
    QApplication.sendEvent(target, event)


@pytest.fixture
def empty_page(fresh: Window) -> PicturesPage:
    fresh.show_page("pictures")
    found = fresh.pages["pictures"]
    assert isinstance(found, PicturesPage)
    return found


@pytest.fixture
def pictures(empty_page: PicturesPage, photo: Callable[[str], Path], qtbot: QtBot) -> PicturesPage:
    drop(empty_page, photo("pot.jpg"))
    qtbot.waitUntil(lambda: len(case_of(empty_page).pictures) == 1, timeout=LONG)
    empty_page.view.setFocus()
    return empty_page


def case_of(page: PicturesPage) -> Case:
    return page.desk.session.case


def placed(page: PicturesPage) -> dict[str, tuple[float, float]]:
    return {spot.letter: (spot.x, spot.y) for spot in case_of(page).pictures[0].placements}


def click(qtbot: QtBot, view: PictureView, x: float, y: float) -> None:
    qtbot.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=view.mapFromScene(QPointF(x, y)))


def drag(qtbot: QtBot, view: PictureView, start: tuple[float, float], end: tuple[float, float]) -> None:
    one, two = view.mapFromScene(QPointF(*start)), view.mapFromScene(QPointF(*end))
    qtbot.mousePress(view.viewport(), Qt.MouseButton.LeftButton, pos=one)
    middle = QPoint((one.x() + two.x()) // 2, (one.y() + two.y()) // 2)
    for place in (middle, two):
        qtbot.mouseMove(view.viewport(), place)
        QApplication.sendEvent(view.viewport(), _move(place))
    qtbot.mouseRelease(view.viewport(), Qt.MouseButton.LeftButton, pos=two)


def _move(place: QPoint) -> object:
    from PySide6.QtCore import QEvent
    from PySide6.QtGui import QMouseEvent

    return QMouseEvent(
        QEvent.Type.MouseMove,
        QPointF(place),
        QPointF(place),
        Qt.MouseButton.NoButton,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )


def test_a_text_file_named_jpg_is_told_and_becomes_an_attachment(
    empty_page: PicturesPage, fresh: Window, qtbot: QtBot, tmp_path: Path
) -> None:
    false = tmp_path / "holiday.jpg"
    false.write_text("no picture at all", encoding="utf-8")
    drop(empty_page, false)

    qtbot.waitUntil(lambda: fresh.strip.notice is not None, timeout=LONG)
    assert fresh.strip.notice is not None
    assert fresh.strip.notice.level is Level.NOTE
    assert "holiday.jpg" in fresh.strip.notice.what
    assert case_of(empty_page).pictures == ()
    assert [one.media_type for one in case_of(empty_page).attachments] == ["text/plain"]


def test_a_broken_picture_is_told_and_changes_nothing(
    empty_page: PicturesPage, fresh: Window, qtbot: QtBot, photo: Callable[[str], Path]
) -> None:
    broken = photo("holiday.jpg")
    broken.write_bytes(broken.read_bytes()[:900])
    before = case_of(empty_page)
    drop(empty_page, broken)

    qtbot.waitUntil(lambda: fresh.strip.notice is not None, timeout=LONG)
    assert fresh.strip.notice is not None
    assert fresh.strip.notice.level is Level.PROBLEM
    assert "holiday.jpg" in fresh.strip.notice.what
    assert case_of(empty_page) is before
    assert list(empty_page.desk.session.pictures_folder.iterdir()) == []


def test_good_files_come_in_although_one_is_refused(
    empty_page: PicturesPage, fresh: Window, qtbot: QtBot, tmp_path: Path, photo: Callable[[str], Path]
) -> None:
    (tmp_path / "bad.png").write_bytes(b"\x89PNG\r\n\x1a\n broken")
    drop(empty_page, photo("one.jpg"), tmp_path / "bad.png", photo("three.png"))

    qtbot.waitUntil(lambda: len(case_of(empty_page).pictures) == 2, timeout=LONG)
    assert fresh.strip.notice is not None
    assert fresh.desk.session.stack.undoText() == "Add 2 Pictures"
    fresh.desk.session.stack.undo()
    assert case_of(empty_page).pictures == ()


def test_the_same_picture_is_not_taken_in_twice(
    pictures: PicturesPage, fresh: Window, qtbot: QtBot, photo: Callable[[str], Path]
) -> None:
    drop(pictures, photo("pot.jpg"))

    qtbot.waitUntil(lambda: fresh.strip.notice is not None, timeout=LONG)
    assert len(case_of(pictures).pictures) == 1
    assert len(list(pictures.desk.session.pictures_folder.glob("picture-*"))) == 1


def test_a_picture_can_be_pasted(empty_page: PicturesPage, qtbot: QtBot) -> None:
    image = QImage(64, 48, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.darkGreen)
    QGuiApplication.clipboard().setImage(image)
    empty_page.on_paste_asked()

    qtbot.waitUntil(lambda: len(case_of(empty_page).pictures) == 1, timeout=LONG)
    assert case_of(empty_page).pictures[0].media_type == "image/png"


def test_a_point_is_placed_by_mouse(pictures: PicturesPage, qtbot: QtBot) -> None:
    qtbot.keyClick(pictures.view, Qt.Key.Key_P)
    click(qtbot, pictures.view, 100, 80)

    assert placed(pictures)["A"] == pytest.approx((100, 80), abs=3)


def test_a_point_is_placed_by_keyboard(pictures: PicturesPage, qtbot: QtBot) -> None:
    view = pictures.view
    qtbot.keyClick(view, Qt.Key.Key_P)
    qtbot.keyClick(view, Qt.Key.Key_Left)
    start = view.cross
    assert start is not None
    qtbot.keyClick(view, Qt.Key.Key_Up, Qt.KeyboardModifier.ShiftModifier)
    qtbot.keyClick(view, Qt.Key.Key_Return)

    x, y = placed(pictures)["A"]
    assert x == pytest.approx(start.x())
    assert y < start.y()


def test_arrows_nudge_the_chosen_point_as_one_step(pictures: PicturesPage, qtbot: QtBot) -> None:
    view = pictures.view
    pictures.on_point_placed(100, 80)
    steps = pictures.desk.session.stack.count()
    view.choose(("point", "A"))
    for _ in range(3):
        qtbot.keyClick(view, Qt.Key.Key_Right)

    assert placed(pictures)["A"][0] == pytest.approx(100 + 3 / view.scale_now())
    assert pictures.desk.session.stack.count() == steps + 1
    pictures.desk.session.stack.undo()
    assert placed(pictures)["A"] == (100, 80)


def test_delete_takes_a_point_off_and_undo_brings_it_back(pictures: PicturesPage, qtbot: QtBot) -> None:
    pictures.on_point_placed(100, 80)
    pictures.view.choose(("point", "A"))
    qtbot.keyClick(pictures.view, Qt.Key.Key_Delete)
    assert placed(pictures) == {}
    assert case_of(pictures).point("A") is not None

    pictures.desk.session.stack.undo()
    assert placed(pictures) == {"A": (100, 80)}


def test_a_point_is_dragged(pictures: PicturesPage, qtbot: QtBot) -> None:
    pictures.on_point_placed(100, 80)
    drag(qtbot, pictures.view, (100, 80), (300, 200))

    assert placed(pictures)["A"] == pytest.approx((300, 200), abs=4)


@pytest.mark.parametrize(
    ("key", "kind"),
    [
        pytest.param(Qt.Key.Key_A, MarkKind.ARROW, id="arrow"),
        pytest.param(Qt.Key.Key_O, MarkKind.OUTLINE, id="outline"),
        pytest.param(Qt.Key.Key_L, MarkKind.FREE_LINE, id="free-line"),
    ],
)
def test_a_mark_is_drawn_by_mouse(pictures: PicturesPage, qtbot: QtBot, key: Qt.Key, kind: MarkKind) -> None:
    qtbot.keyClick(pictures.view, key)
    drag(qtbot, pictures.view, (100, 80), (300, 200))

    (mark,) = case_of(pictures).pictures[0].marks
    assert mark.kind is kind
    assert mark.vertices[0] == pytest.approx((100, 80), abs=3)
    assert mark.vertices[-1] == pytest.approx((300, 200), abs=3)


def test_an_arrow_is_drawn_by_keyboard(pictures: PicturesPage, qtbot: QtBot) -> None:
    view = pictures.view
    qtbot.keyClick(view, Qt.Key.Key_A)
    qtbot.keyClick(view, Qt.Key.Key_Right)
    qtbot.keyClick(view, Qt.Key.Key_Return)
    for _ in range(4):
        qtbot.keyClick(view, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    qtbot.keyClick(view, Qt.Key.Key_Return)

    (mark,) = case_of(pictures).pictures[0].marks
    assert mark.kind is MarkKind.ARROW
    assert mark.vertices[1][0] > mark.vertices[0][0]


def test_text_is_typed_where_it_stands(pictures: PicturesPage, qtbot: QtBot) -> None:
    qtbot.keyClick(pictures.view, Qt.Key.Key_T)
    click(qtbot, pictures.view, 100, 80)
    editor = pictures.view.viewport().findChild(QLineEdit)
    assert editor is not None
    qtbot.keyClicks(editor, "soot")
    qtbot.keyClick(editor, Qt.Key.Key_Return)

    (mark,) = case_of(pictures).pictures[0].marks
    assert (mark.kind, mark.text) == (MarkKind.TEXT, "soot")


def test_tab_walks_through_points_and_marks_and_leaves_at_the_end(pictures: PicturesPage, qtbot: QtBot) -> None:
    pictures.on_point_placed(100, 80)
    pictures.on_point_placed(200, 80)
    view = pictures.view
    assert view.focusNextPrevChild(True)
    assert view.chosen == ("point", "A")
    assert view.focusNextPrevChild(True)
    assert view.chosen == ("point", "B")
    view.focusNextPrevChild(True)
    assert view.chosen == ("", "")


def test_zoom_keeps_what_is_under_the_pointer(pictures: PicturesPage, qtbot: QtBot) -> None:
    view = pictures.view
    at = QPoint(150, 120)
    before = view.mapToScene(at)
    for _ in range(5):
        event = QWheelEvent(
            QPointF(at),
            QPointF(at),
            QPoint(),
            QPoint(0, 120),
            Qt.MouseButton.NoButton,
            Qt.KeyboardModifier.NoModifier,
            Qt.ScrollPhase.NoScrollPhase,
            False,
        )
        QApplication.sendEvent(view.viewport(), event)
    after = view.mapToScene(at)

    drift = ((after.x() - before.x()) ** 2 + (after.y() - before.y()) ** 2) ** 0.5 * view.scale_now()
    assert drift < 3
    qtbot.keyClick(view, Qt.Key.Key_1)
    assert view.scale_now() == pytest.approx(1.0)


def test_bare_letters_are_tools_only_in_the_picture(pictures: PicturesPage, qtbot: QtBot) -> None:
    pictures.details.caption.edit.setFocus()
    qtbot.keyClicks(pictures.details.caption.edit, "pot")

    assert pictures.view.tool is Tool.SELECT
    qtbot.keyClick(pictures.details.caption.edit, Qt.Key.Key_Return)
    assert case_of(pictures).pictures[0].caption == "pot"


def test_points_and_marks_have_a_list_for_those_who_cannot_see_them(pictures: PicturesPage) -> None:
    pictures.on_point_placed(100, 80)

    assert [pictures.details.over.item(row).text() for row in range(pictures.details.over.count())] == ["Point A"]
    pictures.details.over.setCurrentRow(0)
    assert pictures.view.chosen == ("point", "A")

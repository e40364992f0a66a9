"""Covers as a person draws, moves, sizes, explains and removes them; the question that a publication asks."""

import importlib
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QAccessible, QImage
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from hazardreport.app.pages.pictures import PicturesPage
from hazardreport.app.views.picture_covers import COVER
from hazardreport.app.views.picture_tools import Tool
from hazardreport.app.window import Window
from hazardreport.case.case import Case
from hazardreport.case.picture import Cover, Recognisable
from tests.app.window.test_pictures import drag, drop

LONG = 8_000


@pytest.fixture
def page(fresh: Window, photo: Callable[[str], Path], qtbot: QtBot) -> PicturesPage:
    fresh.show_page("pictures")
    found = fresh.pages["pictures"]
    assert isinstance(found, PicturesPage)
    drop(found, photo("pot.jpg"))
    qtbot.waitUntil(lambda: len(case_of(found).pictures) == 1, timeout=LONG)
    qtbot.waitUntil(lambda: not found.view._pixmap.pixmap().isNull(), timeout=LONG)
    found.view.setFocus()
    importlib.import_module("numpy")  # pytest.approx looks into it, maybe while the first assessment still imports it
    return found


def case_of(page: PicturesPage) -> Case:
    return page.desk.session.case


def covers(page: PicturesPage) -> tuple[Cover, ...]:
    return case_of(page).pictures[0].covers


def edges(cover: Cover) -> tuple[float, float, float, float]:
    return cover.left, cover.top, cover.right, cover.bottom


def draw(page: PicturesPage, qtbot: QtBot, start: tuple[float, float], end: tuple[float, float]) -> Cover:
    qtbot.keyClick(page.view, Qt.Key.Key_C)
    drag(qtbot, page.view, start, end)
    return covers(page)[-1]


def seen(page: PicturesPage, x: float, y: float) -> tuple[int, int, int]:
    """The colour that a person sees at a place of the picture."""
    QApplication.processEvents()
    shot: QImage = page.view.viewport().grab().toImage()
    place: QPoint = page.view.mapFromScene(QPointF(x, y))
    colour = shot.pixelColor(round(place.x() * shot.devicePixelRatio()), round(place.y() * shot.devicePixelRatio()))
    return colour.red(), colour.green(), colour.blue()


@pytest.mark.parametrize("end", [(300, 200), (20, 30)])
def test_a_cover_is_drawn_by_mouse_in_any_direction(page: PicturesPage, qtbot: QtBot, end: tuple[int, int]) -> None:
    cover = draw(page, qtbot, (100, 80), end)

    wanted = (min(100, end[0]), min(80, end[1]), max(100, end[0]), max(80, end[1]))
    assert edges(cover) == pytest.approx(wanted, abs=3)
    assert page.view.tool is Tool.SELECT
    assert page.view.chosen == ("cover", cover.id)
    page.desk.session.stack.undo()
    assert covers(page) == ()


def test_a_cover_is_drawn_by_keyboard(page: PicturesPage, qtbot: QtBot) -> None:
    view = page.view
    qtbot.keyClick(view, Qt.Key.Key_C)
    qtbot.keyClick(view, Qt.Key.Key_Return)
    qtbot.keyClick(view, Qt.Key.Key_Return)
    for key in (Qt.Key.Key_Right, Qt.Key.Key_Down):
        qtbot.keyClick(view, key, Qt.KeyboardModifier.ShiftModifier)
    qtbot.keyClick(view, Qt.Key.Key_Return)

    (cover,) = covers(page)
    assert cover.right - cover.left == pytest.approx(48 / view.scale_now(), abs=1)
    assert cover.bottom - cover.top == pytest.approx(48 / view.scale_now(), abs=1)


def test_a_line_without_height_covers_nothing(page: PicturesPage, qtbot: QtBot) -> None:
    qtbot.keyClick(page.view, Qt.Key.Key_C)
    drag(qtbot, page.view, (100, 80), (300, 80))

    assert covers(page) == ()


def test_it_is_opaque_and_lets_one_see_below_while_it_is_chosen(page: PicturesPage, qtbot: QtBot) -> None:
    """The red block of the test picture lies at (69, 40) to (189, 130)."""
    before = seen(page, 120, 80)
    draw(page, qtbot, (60, 30), (220, 160))
    chosen = [seen(page, x, y) for x in range(100, 150) for y in (70, 80)]
    page.view.choose(("", ""))

    assert before[0] > before[2] + 80
    assert seen(page, 120, 80) == COVER.getRgb()[:3]
    assert any(red > blue + 40 for red, _, blue in chosen), "nothing of the picture is seen through the hatching"


def test_a_cover_is_moved_by_mouse_and_stays_inside(page: PicturesPage, qtbot: QtBot) -> None:
    draw(page, qtbot, (100, 80), (300, 200))
    drag(qtbot, page.view, (200, 140), (260, 170))
    assert edges(covers(page)[0]) == pytest.approx((160, 110, 360, 230), abs=4)

    drag(qtbot, page.view, (260, 170), (-300, -300))
    assert edges(covers(page)[0]) == pytest.approx((0, 0, 200, 120), abs=4)


@pytest.mark.parametrize(
    ("handle", "to", "wanted"),
    [
        pytest.param((300, 200), (350, 260), (100, 80, 350, 260), id="corner"),
        pytest.param((100, 140), (60, 170), (60, 80, 300, 200), id="left edge"),
        pytest.param((200, 80), (230, 40), (100, 40, 300, 200), id="upper edge"),
        pytest.param((100, 80), (340, 240), (300, 200, 340, 240), id="pulled over the opposite corner"),
        pytest.param((300, 140), (2000, 140), (100, 80, 640, 200), id="beyond the picture"),
    ],
)
def test_a_cover_is_sized_by_its_handles(
    page: PicturesPage,
    qtbot: QtBot,
    handle: tuple[float, float],
    to: tuple[float, float],
    wanted: tuple[float, float, float, float],
) -> None:
    draw(page, qtbot, (100, 80), (300, 200))
    drag(qtbot, page.view, handle, to)

    assert edges(covers(page)[0]) == pytest.approx(wanted, abs=5)


def test_arrows_nudge_and_with_ctrl_size_as_one_step(page: PicturesPage, qtbot: QtBot) -> None:
    before = draw(page, qtbot, (100, 80), (300, 200))
    steps = page.desk.session.stack.count()
    for _ in range(3):
        qtbot.keyClick(page.view, Qt.Key.Key_Right)
    qtbot.keyClick(page.view, Qt.Key.Key_Down, Qt.KeyboardModifier.ControlModifier)
    pixel = 1 / page.view.scale_now()

    left, top, right, bottom = edges(before)
    wanted = (left + 3 * pixel, top, right + 3 * pixel, bottom + pixel)
    assert edges(covers(page)[0]) == pytest.approx(wanted, abs=0.01)
    assert page.desk.session.stack.count() == steps + 1
    page.desk.session.stack.undo()
    assert covers(page) == (before,)


def test_delete_removes_a_cover_and_undo_brings_it_back(page: PicturesPage, qtbot: QtBot) -> None:
    cover = draw(page, qtbot, (100, 80), (300, 200))
    qtbot.keyClick(page.view, Qt.Key.Key_Delete)
    assert covers(page) == ()

    page.desk.session.stack.undo()
    assert covers(page) == (cover,)


def test_tab_reaches_covers_after_points(page: PicturesPage, qtbot: QtBot) -> None:
    page.on_point_placed(500, 400)
    cover = draw(page, qtbot, (100, 80), (300, 200))
    page.view.choose(("", ""))
    page.view.focusNextPrevChild(True)
    assert page.view.chosen == ("point", "A")
    page.view.focusNextPrevChild(True)
    assert page.view.chosen == ("cover", cover.id)


def test_the_reason_is_typed_beside_the_picture(page: PicturesPage, qtbot: QtBot) -> None:
    assert not page.details.reason.isVisible()
    draw(page, qtbot, (100, 80), (300, 200))
    assert page.details.reason.isVisible()
    qtbot.keyClicks(page.details.reason.edit, "face of a child")
    qtbot.keyClick(page.details.reason.edit, Qt.Key.Key_Return)

    assert covers(page)[0].reason == "face of a child"
    texts = [page.details.over.item(row).text() for row in range(page.details.over.count())]
    assert texts == ["Cover: face of a child"]
    page.view.choose(("", ""))
    assert not page.details.reason.isVisible()


def test_a_reason_typed_and_left_by_choosing_another_cover_belongs_to_the_first(
    page: PicturesPage, qtbot: QtBot
) -> None:
    first = draw(page, qtbot, (100, 80), (200, 200))
    second = draw(page, qtbot, (300, 80), (400, 200))
    page.view.choose(("cover", first.id))
    qtbot.keyClicks(page.details.reason.edit, "address")
    page.view.choose(("cover", second.id))

    assert [cover.reason for cover in covers(page)] == ["address", ""]
    assert page.details.reason.text() == ""


def test_enter_on_a_chosen_cover_asks_for_its_reason(page: PicturesPage, qtbot: QtBot) -> None:
    draw(page, qtbot, (100, 80), (300, 200))
    qtbot.keyClick(page.view, Qt.Key.Key_Return)
    editor = page.view.viewport().findChild(QLineEdit)
    assert editor is not None
    qtbot.keyClicks(editor, "letter")
    qtbot.keyClick(editor, Qt.Key.Key_Return)

    assert covers(page)[0].reason == "letter"


def test_whether_anybody_can_be_recognised_is_answered_and_undone(page: PicturesPage, qtbot: QtBot) -> None:
    choice = page.details.recognisable
    assert choice.currentText() == "not looked at yet"
    choice.setFocus()
    qtbot.keyClick(choice, Qt.Key.Key_N)
    choice.activated.emit(choice.findText("no"))

    assert case_of(page).pictures[0].recognisable is Recognisable.NO
    page.desk.session.stack.undo()
    assert choice.currentText() == "not looked at yet"


def test_a_cover_that_is_moved_away_takes_the_answer_back(page: PicturesPage, qtbot: QtBot) -> None:
    draw(page, qtbot, (100, 80), (300, 200))
    page.details.recognisable.activated.emit(1)
    assert case_of(page).pictures[0].recognisable is Recognisable.NO
    page.view.setFocus()
    qtbot.keyClick(page.view, Qt.Key.Key_Right)

    assert case_of(page).pictures[0].recognisable is Recognisable.OPEN
    assert page.details.recognisable.currentText() == "not looked at yet"


def test_tool_and_fields_have_names(page: PicturesPage, qtbot: QtBot) -> None:
    draw(page, qtbot, (100, 80), (300, 200))
    names = {
        page.tool_buttons[Tool.COVER]: "Cover (C)",
        page.details.reason.edit: "What the cover hides",
        page.details.over: "Points, marks and covers on this picture",
    }
    for widget, name in names.items():
        interface = QAccessible.queryAccessibleInterface(widget)
        assert interface.text(QAccessible.Text.Name) == name
    assert page.details.recognisable.accessibleName() == "Can anybody be recognised, with the covers?"


def test_the_list_says_what_is_covered_and_what_is_open(page: PicturesPage, qtbot: QtBot) -> None:
    words = str(page.model.data(page.model.index(0), Qt.ItemDataRole.AccessibleTextRole))
    assert "Nobody has said yet" in words
    draw(page, qtbot, (100, 80), (300, 200))
    page.details.recognisable.activated.emit(1)

    words = str(page.model.data(page.model.index(0), Qt.ItemDataRole.AccessibleTextRole))
    assert "Covers: 1" in words
    assert "Nobody" not in words


def test_nothing_is_covered_in_a_case_for_reading(page: PicturesPage, qtbot: QtBot) -> None:
    page.view.read_only = True
    qtbot.keyClick(page.view, Qt.Key.Key_C)
    drag(qtbot, page.view, (100, 80), (300, 200))

    assert covers(page) == ()

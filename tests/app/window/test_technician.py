"""What hurt someone who had never seen the program: each of it, mended, as a person meets it."""

import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from hazardreport.app.pages import report
from hazardreport.app.pages.pictures import PicturesPage
from hazardreport.app.pages.readings import ReadingsPage
from hazardreport.app.pages.report import ReportPage
from hazardreport.app.pages.severity import SeverityPage
from hazardreport.app.pages.unit import UnitPage
from hazardreport.app.views.fields import NumberField, TextField
from hazardreport.app.views.stated_field import StatedField
from hazardreport.app.window import Window
from hazardreport.assess.records import Assessment
from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.picture import Point
from hazardreport.case.reading import Quantity, Reading
from hazardreport.case.stated import Stated, value


def unit(window: Window) -> UnitPage:
    page = window.pages["unit"]
    assert isinstance(page, UnitPage)
    return page


def stated(window: Window, path: str) -> StatedField:
    field = unit(window).fields[path]
    assert isinstance(field, StatedField)
    return field


def cursor(window: Window) -> QWidget:
    widget = window.focusWidget()
    assert widget is not None
    return widget


def test_a_new_case_has_the_cursor_in_its_first_field(fresh: Window, qtbot: QtBot) -> None:
    assert unit(fresh).isAncestorOf(cursor(fresh))


def test_tab_goes_from_field_to_field(fresh: Window, qtbot: QtBot) -> None:
    names = ("product_name", "common_names", "category", "brand", "model")
    stated(fresh, "unit.product_name").setFocus()
    for name in names:
        qtbot.keyClicks(cursor(fresh), f"my {name}")
        qtbot.keyClick(cursor(fresh), Qt.Key.Key_Tab)

    assert [getattr(fresh.desk.session.case.unit, name) for name in names] == [value(f"my {name}") for name in names]


def test_undo_by_key_works_in_a_field_and_goes_on_to_older_steps(fresh: Window, qtbot: QtBot) -> None:
    for path in ("unit.brand", "unit.model"):
        stated(fresh, path).setFocus()
        qtbot.keyClicks(cursor(fresh), "A 1")
        qtbot.keyClick(cursor(fresh), Qt.Key.Key_Return)
    qtbot.keyClick(cursor(fresh), Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert stated(fresh, "unit.model").text.edit.text() == ""
    assert stated(fresh, "unit.brand").text.edit.text() == "A 1"

    qtbot.keyClick(cursor(fresh), Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert stated(fresh, "unit.brand").text.edit.text() == ""


def test_typing_goes_on_while_the_case_changes_elsewhere(fresh: Window, qtbot: QtBot) -> None:
    field = unit(fresh).fields["wiring.note"]
    assert isinstance(field, TextField)
    field.setFocus()
    qtbot.keyClicks(field.edit, "thermal cut-out")
    fresh.desk.session.edit("Pictures arrive", edits.set_title, "Meanwhile")

    assert field.edit.text() == "thermal cut-out"
    qtbot.waitUntil(lambda: fresh.desk.session.case.wiring.note == "thermal cut-out", timeout=2000)


@pytest.mark.parametrize("typed", ["inf", "nan", "1e999", "lots"])
def test_what_is_no_number_stays_with_its_remark(fresh: Window, qtbot: QtBot, typed: str) -> None:
    field = unit(fresh).fields["wiring.nominal_voltage"]
    assert isinstance(field, NumberField)
    qtbot.keyClicks(field.edit, typed)
    qtbot.keyClick(field.edit, Qt.Key.Key_Return)
    fresh.desk.session.edit("Something else", edits.set_title, "Meanwhile")

    assert fresh.desk.session.case.wiring.nominal_voltage is None
    assert field.edit.text() == typed
    assert field._remark.isVisibleTo(fresh)


def test_a_page_chosen_by_its_key_takes_the_cursor(demo: Window, qtbot: QtBot) -> None:
    for number, page in enumerate(("unit", "pictures", "readings", "severity", "findings", "report", "review"), 1):
        qtbot.keyClick(demo, Qt.Key(Qt.Key.Key_0.value + number), Qt.KeyboardModifier.ControlModifier)
        assert demo.pages[page].isVisible()
        assert demo.pages[page].isAncestorOf(cursor(demo)), page


def test_nobody_closes_a_case_while_its_pictures_arrive(
    fresh: Window, qtbot: QtBot, photo: Callable[[str], Path]
) -> None:
    gate = threading.Event()
    fresh.desk.jobs.start("pictures", gate.wait, 5)
    fresh.on_close_asked()
    assert fresh.desk.session.has_case
    assert fresh.strip.notice is not None

    fresh.close()
    assert fresh.isVisible()
    gate.set()
    qtbot.waitUntil(lambda: not fresh.desk.jobs.busy("pictures"), timeout=3000)
    fresh.on_close_asked()
    assert not fresh.desk.session.has_case


def test_a_report_exported_right_after_an_edit_holds_the_results_of_that_edit(
    demo: Window, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    given: list[object] = []

    def written(case: Case, assessment: Assessment | None, *rest: object) -> Path:
        given.append((case, assessment))
        return tmp_path / "out.pdf"

    monkeypatch.setattr(report, "export", written)
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "out.pdf"), ""))
    demo.show_page("report")
    page = demo.pages["report"]
    assert isinstance(page, ReportPage)
    qtbot.waitUntil(page.export_button.isEnabled, timeout=10_000)
    demo.desk.session.edit("Another title", edits.set_title, "Another")
    qtbot.mouseClick(page.export_button, Qt.MouseButton.LeftButton)
    assert page.export_button.text() == "Exporting…"

    qtbot.waitUntil(lambda: bool(given), timeout=10_000)
    assert given == [(demo.desk.session.case, None)]
    qtbot.waitUntil(lambda: page.export_button.text() == "Export PDF…", timeout=3000)


def test_links_of_a_report_keep_their_order_for_the_keyboard(demo: Window, qtbot: QtBot) -> None:
    demo.show_page("report")
    page = demo.pages["report"]
    assert isinstance(page, ReportPage)
    demo.desk.session.edit("Forget", edits.set_unit_field, "maker", Stated())
    demo.desk.session.edit("Forget", edits.set_unit_field, "model", Stated())
    qtbot.wait(50)
    buttons = [one for one in page.elements.findChildren(QPushButton) if one.isVisible()]
    by_place = sorted(buttons, key=lambda one: one.mapTo(page.elements, one.rect().topLeft()).y())
    chain: list[QWidget] = [by_place[0]]
    widget = by_place[0].nextInFocusChain()
    while widget is not None and widget is not by_place[0]:
        if widget in buttons:
            chain.append(widget)
        widget = widget.nextInFocusChain()

    assert chain == by_place


def test_an_edit_on_the_report_page_never_rebuilds_its_list(demo: Window, qtbot: QtBot) -> None:
    demo.show_page("report")
    page = demo.pages["report"]
    assert isinstance(page, ReportPage)
    before = set(page.elements.findChildren(QPushButton))
    started = time.perf_counter()
    demo.desk.session.edit("Another maker", edits.set_unit_field, "model", value("Z 9"))

    assert time.perf_counter() - started < 0.5
    assert len(before & set(page.elements.findChildren(QPushButton))) >= len(before) - 3


def test_recovered_work_is_named_so(fresh: Window, qtbot: QtBot, made_window: Callable[[], Window]) -> None:
    session, folder = fresh.desk.session, fresh.desk.session.folder
    assert folder is not None
    session.edit("Change Title", edits.set_title, "In the journal")
    qtbot.waitUntil(lambda: fresh.strip.saved.text().startswith("All changes saved"), timeout=2000)
    session.abandon()

    second = made_window()
    second.open_path(folder)
    qtbot.waitUntil(lambda: second.desk.session.has_case, timeout=5000)
    assert second.desk.session.case.title == "In the journal"
    assert second.strip.saved.text().startswith("Recovered work")


def test_the_severity_page_comes_without_a_long_pause_and_whole(demo: Window, qtbot: QtBot) -> None:
    demo.show_page("severity")
    page = demo.pages["severity"]
    assert isinstance(page, SeverityPage)
    qtbot.waitUntil(lambda: not page._waiting, timeout=5000)
    qtbot.wait(50)
    assessment = demo.desk.live.assessment
    assert assessment is not None

    assert len(page.tables["states"].rows) == len(assessment.states)
    assert len(page.tables["devices"].rows) == len(assessment.devices)
    assert page.tables["states"].height() > 100
    assert page.sections.area.widget().updatesEnabled()


def test_the_cautions_can_be_read_in_a_small_window(demo: Window, qtbot: QtBot) -> None:
    demo.resize(900, 600)
    demo.show_page("readings")
    qtbot.wait(50)
    page = demo.pages["readings"]
    assert isinstance(page, ReadingsPage)

    assert page.plan_view.height() >= page.fontMetrics().lineSpacing() * 15
    assert page.table.height() >= page.fontMetrics().lineSpacing() * 5
    assert demo.height() == 600


def test_only_a_reading_with_a_fault_is_marked(fresh: Window, qtbot: QtBot) -> None:
    for number, typed in ((1, "24,3 Ω"), (2, "banana")):
        reading = Reading(id=f"reading-00{number}", first="A", second="B", quantity=Quantity.RESISTANCE, typed=typed)
        for letter in "AB":
            if fresh.desk.session.case.point(letter) is None:
                fresh.desk.session.edit("Point", edits.add_point, Point(letter=letter))
        assert fresh.desk.session.edit("Add", edits.add_reading, reading)
    fresh.show_page("readings")
    page = fresh.pages["readings"]
    assert isinstance(page, ReadingsPage)
    qtbot.waitUntil(lambda: bool(page.model.fault(1)), timeout=10_000)

    assert page.model.fault(0) == ""


def test_points_that_readings_bring_leave_typing_alone(
    fresh: Window, qtbot: QtBot, photo: Callable[[str], Path]
) -> None:
    fresh.show_page("pictures")
    page = fresh.pages["pictures"]
    assert isinstance(page, PicturesPage)
    page.add_files([photo("one.jpg")])
    qtbot.waitUntil(lambda: len(fresh.desk.session.case.pictures) == 1, timeout=10_000)
    fresh.desk.session.edit("Point", edits.add_point, Point(letter="A"))
    row = page.details.point_row("A")
    assert row is not None
    row.words.setFocus()
    qtbot.keyClicks(row.words, "rim of the p")
    fresh.desk.session.edit("Point", edits.add_point, Point(letter="B"))

    assert page.details.point_row("A") is row
    assert row.words.text() == "rim of the p"


def test_a_caption_being_typed_is_entered_when_another_picture_comes(
    fresh: Window, qtbot: QtBot, photo: Callable[[str], Path]
) -> None:
    fresh.show_page("pictures")
    page = fresh.pages["pictures"]
    assert isinstance(page, PicturesPage)
    page.add_files([photo("one.jpg")])
    qtbot.waitUntil(lambda: len(fresh.desk.session.case.pictures) == 1, timeout=10_000)
    qtbot.keyClicks(page.details.caption.edit, "Whole unit")
    page.add_files([photo("another.jpg")])
    qtbot.waitUntil(lambda: len(fresh.desk.session.case.pictures) == 2, timeout=10_000)

    assert [picture.caption for picture in fresh.desk.session.case.pictures] == ["Whole unit", ""]
    assert page.details.caption.edit.text() == ""


def test_a_line_that_takes_a_reason_is_as_wide_as_the_others(fresh: Window, qtbot: QtBot) -> None:
    fresh.desk.session.edit("Addressee", edits.choose_addressee, "eu-maker-notice")
    fresh.show_page("report")
    page = fresh.pages["report"]
    assert isinstance(page, ReportPage)
    qtbot.waitUntil(
        lambda: any(one.text().startswith("Say why") for one in page.findChildren(QPushButton)), timeout=9000
    )
    qtbot.wait(50)
    names = [one for one in page.elements.findChildren(QPushButton) if one.accessibleName().endswith("go to the field")]

    assert len({one.mapTo(page.elements, one.rect().topLeft()).x() for one in names}) == 1
    assert len({one.width() for one in names}) == 1

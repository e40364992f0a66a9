"""Who saves stands in the log and in the strip; without a name this is said once."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from hazardreport.app.dialogs.author import AuthorDialog
from hazardreport.app.dialogs.erasing import ErasingDialog
from hazardreport.app.dialogs.new_case import NewCaseDialog
from hazardreport.app.dialogs.recovery import RecoveryDialog
from hazardreport.app.window import Window
from hazardreport.case import edits
from hazardreport.case.personal import Person
from hazardreport.case.picture import Recognisable
from hazardreport.case.stated import value
from hazardreport.review.integrity import check_folder
from hazardreport.storage.pack import pack_case

LONG = 20_000
Asked = Callable[..., list[Any]]


def authors(window: Window) -> list[str]:
    folder = window.desk.session.folder
    assert folder is not None
    return [revision.author for revision in check_folder(folder).chain.revisions]


def test_the_name_given_with_a_new_case_is_in_its_log_and_kept(
    window: Window, made_window: Callable[[], Window], qtbot: QtBot, tmp_path: Path, when_asked: Asked
) -> None:
    def fill(dialog: NewCaseDialog) -> None:
        dialog.place.setText(str(tmp_path))
        dialog.number.setText("K-1")
        qtbot.keyClicks(dialog.author, "Rosa  Example ")
        dialog._create.click()

    when_asked(NewCaseDialog, fill)
    qtbot.mouseClick(window.start.buttons["new"], Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: window.desk.session.has_case, timeout=LONG)

    assert authors(window) == ["Rosa Example"]
    assert window.strip.revision.text() == "revision 1 · Rosa Example"
    assert made_window().desk.session.author == "Rosa Example"


def test_another_name_counts_from_the_next_revision_on(fresh: Window, qtbot: QtBot, when_asked: Asked) -> None:
    def fill(dialog: AuthorDialog) -> None:
        dialog.name.setText("Ina Muster")
        dialog.keep.click()

    when_asked(AuthorDialog, fill)
    fresh.actions_of_case.name.trigger()
    assert fresh.strip.revision.text() == "revision 1 · Ina Muster"
    fresh.desk.session.edit("Change Title", edits.set_title, "Second")
    fresh.on_save_asked()

    assert authors(fresh) == ["", "Ina Muster"]
    assert fresh.strip.revision.text() == "revision 2 · Ina Muster"
    assert fresh.strip.notice is None


def test_without_a_name_this_is_said_once(fresh: Window) -> None:
    assert fresh.strip.revision.text() == "revision 1 · nobody named"
    fresh.desk.session.edit("Change Title", edits.set_title, "Second")
    fresh.on_save_asked()
    assert fresh.strip.notice is not None
    assert "nobody was named" in fresh.strip.notice.what
    fresh.strip.on_dismiss_clicked()
    fresh.desk.session.edit("Change Title", edits.set_title, "Third")
    fresh.on_save_asked()

    assert fresh.strip.notice is None


def test_the_notice_without_a_name_asks_for_it_and_comes_again_with_another_case(
    fresh: Window, qtbot: QtBot, when_asked: Asked
) -> None:
    def fill(dialog: AuthorDialog) -> None:
        dialog.name.setText("Ina Muster")
        dialog.keep.click()

    def save(title: str) -> None:
        fresh.desk.session.edit("Change Title", edits.set_title, title)
        fresh.on_save_asked()

    save("Second")
    fresh.strip.on_dismiss_clicked()
    folder = fresh.desk.session.folder
    assert folder is not None
    fresh.desk.session.close()
    fresh.open_path(folder)
    qtbot.waitUntil(lambda: fresh.desk.session.has_case, timeout=LONG)
    save("Third")
    assert fresh.strip.notice is not None
    assert fresh.strip.offer.text() == "Your name…"
    when_asked(AuthorDialog, fill)
    qtbot.mouseClick(fresh.strip.offer, Qt.MouseButton.LeftButton)
    save("Fourth")

    assert authors(fresh)[-2:] == ["", "Ina Muster"]
    assert fresh.strip.notice is None


def test_a_pack_names_the_menu_by_which_it_is_unpacked(fresh: Window, qtbot: QtBot, tmp_path: Path) -> None:
    session = fresh.desk.session
    assert session.folder is not None
    pack_case(session.folder, tmp_path / "some.zip", created="2026-06-01T12:00:00Z")
    session.close()
    fresh.open_path(tmp_path / "some.zip")
    qtbot.waitUntil(lambda: session.has_case and fresh.strip.notice is not None, timeout=LONG)

    assert fresh.strip.notice is not None
    assert "Case > Unpack…" in fresh.strip.notice.remedy
    assert fresh.strip.offer.text() == "Unpack…"
    assert fresh.strip.offer.isVisibleTo(fresh.strip)
    unpacked: list[bool] = []
    fresh.actions_of_case.unpack.triggered.disconnect()
    fresh.actions_of_case.unpack.triggered.connect(lambda: unpacked.append(True))
    qtbot.mouseClick(fresh.strip.offer, Qt.MouseButton.LeftButton)
    assert unpacked == [True]


def killed(window: Window, qtbot: QtBot) -> Path:
    """The folder of a window that was killed right after an edit went into the journal."""
    session = window.desk.session
    session.edit("Change Model", edits.set_unit_field, "model", value("X 1"))
    qtbot.waitUntil(lambda: window.strip.saved.text().startswith("All changes saved"), timeout=LONG)
    folder = session.folder
    assert folder is not None
    session.abandon()
    return folder


def test_recovered_work_is_shown_field_by_field_and_kept(
    fresh: Window, made_window: Callable[[], Window], qtbot: QtBot
) -> None:
    folder = killed(fresh, qtbot)
    second = made_window()
    second.open_path(folder)
    qtbot.waitUntil(lambda: second.actions_of_case.recovery is not None, timeout=LONG)
    dialog = second.actions_of_case.recovery
    assert isinstance(dialog, RecoveryDialog)
    assert dialog.lines.toPlainText() == "unit: model (empty) → X 1"
    dialog.keep.click()

    assert second.desk.session.case.unit.model.text == "X 1"
    assert second.desk.session.stack.count() == 0


def test_dropping_recovered_work_can_be_undone(fresh: Window, made_window: Callable[[], Window], qtbot: QtBot) -> None:
    folder = killed(fresh, qtbot)
    second = made_window()
    second.open_path(folder)
    qtbot.waitUntil(lambda: second.actions_of_case.recovery is not None, timeout=LONG)
    dialog = second.actions_of_case.recovery
    assert dialog is not None
    dialog.drop.click()

    session = second.desk.session
    assert session.case.unit.model.text == ""
    session.stack.undo()
    assert session.case.unit.model.text == "X 1"


def test_escape_keeps_recovered_work(fresh: Window, made_window: Callable[[], Window], qtbot: QtBot) -> None:
    folder = killed(fresh, qtbot)
    second = made_window()
    second.open_path(folder)
    qtbot.waitUntil(lambda: second.actions_of_case.recovery is not None, timeout=LONG)
    dialog = second.actions_of_case.recovery
    assert dialog is not None
    qtbot.keyClick(dialog, Qt.Key.Key_Escape)

    assert second.desk.session.case.unit.model.text == "X 1"


def test_a_person_is_erased_for_good(demo: Window, qtbot: QtBot, when_asked: Asked) -> None:
    session = demo.desk.session
    name = "Tilo Musterhaft"
    assert any(reading.by == name for reading in session.case.readings)
    shown = session.case.pictures[0]
    session.edit("Say", edits.change_picture, replace(shown, recognisable=Recognisable.YES))
    folder = session.folder
    assert folder is not None

    def choose(dialog: ErasingDialog) -> None:
        assert not dialog.erase.isEnabled()
        assert shown.id in dialog.going.toPlainText()
        for person in (Person.MEASURER, Person.KEEPER):
            dialog.persons[person].click()
        assert f"by {name} → (empty)" in dialog.going.toPlainText()
        qtbot.keyClicks(dialog.words, name)
        assert not dialog.erase.isEnabled()
        dialog.sure.click()
        dialog.erase.click()

    when_asked(ErasingDialog, choose)
    demo.actions_of_case.erase.trigger()
    qtbot.waitUntil(lambda: session.case.picture(shown.id) is None, timeout=LONG)

    assert session.stack.count() == 0
    assert not any(reading.by for reading in session.case.readings)
    assert not (folder / "pictures" / shown.file).exists()
    assert name not in (folder / "values.jsonl").read_text(encoding="utf-8")
    integrity = check_folder(folder)
    assert integrity.whole
    assert integrity.chain.problems == ()


def test_an_attachment_is_erased_from_the_window(demo: Window, qtbot: QtBot, when_asked: Asked) -> None:
    session = demo.desk.session
    gone = session.case.attachments[0]
    folder = session.folder
    assert folder is not None

    def choose(dialog: ErasingDialog) -> None:
        assert gone.id not in dialog.going.toPlainText()
        dialog.attachments.item(0).setCheckState(Qt.CheckState.Checked)
        assert gone.id in dialog.going.toPlainText()
        dialog.sure.click()
        dialog.erase.click()

    when_asked(ErasingDialog, choose)
    demo.actions_of_case.erase.trigger()
    qtbot.waitUntil(lambda: session.case.attachment(gone.id) is None, timeout=LONG)

    assert not (folder / "attachments" / gone.file).exists()
    assert check_folder(folder).whole


def test_a_name_that_is_nowhere_makes_no_revision(demo: Window, qtbot: QtBot, when_asked: Asked) -> None:
    before = demo.desk.session.revision

    def choose(dialog: ErasingDialog) -> None:
        qtbot.keyClicks(dialog.words, "Nobody Known")
        dialog.sure.click()
        dialog.erase.click()

    met = when_asked(ErasingDialog, choose)
    demo.actions_of_case.erase.trigger()
    qtbot.waitUntil(lambda: bool(met), timeout=LONG)

    assert demo.desk.session.revision == before
    assert any(notice.what.startswith("Nothing was erased") for notice in demo.strip._notices)


def test_leaving_the_dialog_erases_nothing(demo: Window, qtbot: QtBot, when_asked: Asked) -> None:
    before = demo.desk.session.case
    met = when_asked(ErasingDialog, lambda dialog: dialog.reject())
    demo.actions_of_case.erase.trigger()
    qtbot.waitUntil(lambda: bool(met), timeout=LONG)

    assert demo.desk.session.case.readings == before.readings

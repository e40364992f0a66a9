"""The session: one place for edits, undo, journal and saving."""

import shutil
import threading
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from hazardreport.app.notices import Level
from hazardreport.app.window import Window
from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.picture import Placement
from hazardreport.case.stated import value
from hazardreport.errors import CouldNotWriteError
from hazardreport.storage import folder as storage_folder
from hazardreport.storage import journal


def saved_text(window: Window) -> str:
    return window.strip.saved.text()


def test_undo_restores_the_very_same_case(fresh: Window) -> None:
    session = fresh.desk.session
    before = session.case
    session.edit("Change Model", edits.set_unit_field, "model", value("X 1"))
    after = session.case

    session.stack.undo()
    assert session.case is before
    session.stack.redo()
    assert session.case is after


def test_the_edit_menu_names_the_edit(fresh: Window) -> None:
    fresh.desk.session.edit("Change Model", edits.set_unit_field, "model", value("X 1"))

    assert fresh.desk.session.stack.undoText() == "Change Model"


def test_an_edit_that_changes_nothing_is_no_step(fresh: Window) -> None:
    assert not fresh.desk.session.edit("Change Title", edits.set_title, fresh.desk.session.case.title)
    assert fresh.desk.session.stack.count() == 0


def test_typing_in_one_field_is_one_step(fresh: Window) -> None:
    session = fresh.desk.session
    before = session.case
    for text in ("P", "Po", "Pot 2"):
        session.edit("Change Title", edits.set_title, text, merge="title")

    assert session.stack.count() == 1
    session.stack.undo()
    assert session.case is before


def test_a_refused_edit_is_told_and_changes_nothing(fresh: Window) -> None:
    before = fresh.desk.session.case

    assert not fresh.desk.session.edit("Move", edits.place_point, "picture-009", Placement(letter="A", x=1, y=1))
    assert fresh.desk.session.case is before
    assert fresh.strip.notice is not None
    assert fresh.strip.notice.level is Level.PROBLEM


def test_every_edit_is_on_disk_within_a_second(fresh: Window, qtbot: QtBot) -> None:
    session = fresh.desk.session
    assert session.folder is not None
    folder = session.folder
    started = time.monotonic()
    session.edit("Change Model", edits.set_unit_field, "model", value("X 1"))

    qtbot.waitUntil(lambda: journal.journalled_case(folder) == session.case, timeout=1000)
    assert time.monotonic() - started < 1.0


def test_the_saved_state_follows_the_edits(fresh: Window, qtbot: QtBot) -> None:
    fresh.desk.session.edit("Change Title", edits.set_title, "Another")

    assert saved_text(fresh) == "Saving…"
    qtbot.waitUntil(lambda: saved_text(fresh).startswith("All changes saved "), timeout=2000)


def test_a_killed_window_loses_nothing(
    made_window: Callable[[], Window], fresh: Window, qtbot: QtBot, tmp_path: Path
) -> None:
    session = fresh.desk.session
    session.edit("Change Model", edits.set_unit_field, "model", value("X 1"))
    qtbot.waitUntil(lambda: saved_text(fresh).startswith("All changes saved"), timeout=2000)
    edited, folder = session.case, session.folder
    assert folder is not None
    left = tmp_path / "as-the-kill-left-it"
    shutil.copytree(folder, left)

    second = made_window()
    second.open_path(left)
    qtbot.waitUntil(lambda: second.desk.session.has_case, timeout=5000)

    assert second.desk.session.case == edited
    assert second.strip.notice is not None


def test_closing_saves_a_revision_and_reopening_gives_the_same_case(fresh: Window, qtbot: QtBot) -> None:
    session = fresh.desk.session
    session.edit("Change Model", edits.set_unit_field, "model", value("X 1"))
    session.save()
    last, folder = session.case, session.folder
    assert folder is not None
    assert session.close()

    assert storage_folder.open_case(folder, for_writing=False).case == last
    assert journal.journalled_case(folder) is None
    assert fresh.places.currentIndex() == 0


def test_an_edit_that_was_taken_back_does_not_come_back_as_unsaved_work(fresh: Window, qtbot: QtBot) -> None:
    session = fresh.desk.session
    folder = session.folder
    assert folder is not None
    session.save()
    session.edit("Change Title", edits.set_title, "Taken back")
    qtbot.waitUntil(lambda: (folder / "journal.json").exists(), timeout=5000)
    session.stack.undo()
    assert session.close()
    assert not (folder / "journal.json").exists()
    assert storage_folder.open_case(folder, for_writing=False).problems == ()


def test_undo_after_saving_and_saving_again_never_counts_a_revision_twice(fresh: Window) -> None:
    session = fresh.desk.session
    session.edit("Change Title", edits.set_title, "Second")
    session.save()
    first = session.case.revision
    session.stack.undo()
    session.save()

    assert session.case.revision == first + 1
    assert session.case.title == "Pot"


def test_a_full_disk_keeps_a_copy_and_says_where(
    fresh: Window, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    session = fresh.desk.session
    real, folder = journal.write_journal, session.folder

    def full(case: object, where: Path) -> None:
        if where == folder:
            raise CouldNotWriteError(path=str(where), reason="No space left on device")
        real(case, where)  # type: ignore[arg-type]

    monkeypatch.setattr(journal, "write_journal", full)
    session.edit("Change Title", edits.set_title, "Kept all the same")

    qtbot.waitUntil(lambda: saved_text(fresh).startswith("Not saved"), timeout=3000)
    assert str(tmp_path / "kept") in saved_text(fresh)
    kept = next((tmp_path / "kept").iterdir())
    assert journal.journalled_case(kept) == session.case


def test_later_copies_take_the_place_of_earlier_ones(fresh: Window, tmp_path: Path) -> None:
    session = fresh.desk.session
    first = session.keep_copy()
    session.edit("Change Title", edits.set_title, "Later")

    assert session.keep_copy() == first
    assert len(list((tmp_path / "kept").iterdir())) == 1


@pytest.mark.parametrize("id", ["../../up", "2026/114", "a\\b:c*?", "..", "", "W" * 300])
def test_a_copy_of_any_case_number_stays_in_its_place(fresh: Window, tmp_path: Path, id: str) -> None:
    kept = fresh.desk.session.keep_copy(replace(fresh.desk.session.case, id=id))

    assert kept is not None
    assert kept.parent == tmp_path / "kept"


def test_a_journal_under_way_never_outlives_a_save(
    fresh: Window, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    session, real = fresh.desk.session, journal.write_journal
    folder = session.folder
    assert folder is not None
    begun = threading.Event()

    def slow(case: Case, where: Path) -> None:
        begun.set()
        time.sleep(0.3)
        real(case, where)

    monkeypatch.setattr(journal, "write_journal", slow)
    session.edit("Change Title", edits.set_title, "Older")
    qtbot.waitUntil(begun.is_set, timeout=2000)
    session.edit("Change Title", edits.set_title, "Newest")
    assert session.close()
    qtbot.wait(400)

    assert journal.journalled_case(folder) is None
    assert storage_folder.open_case(folder, for_writing=False).case.title == "Newest"


def test_a_calculation_never_keeps_the_journal_waiting(fresh: Window, qtbot: QtBot) -> None:
    session = fresh.desk.session
    folder = session.folder
    assert folder is not None
    gate = threading.Event()
    for number in range(4):
        fresh.desk.jobs.start(f"calculation {number}", gate.wait, 5)
    session.edit("Change Title", edits.set_title, "On the disk")

    qtbot.waitUntil(lambda: journal.journalled_case(folder) == session.case, timeout=1000)
    gate.set()


def test_a_case_open_elsewhere_is_read_only(
    made_window: Callable[[], Window], fresh: Window, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = fresh.desk.session
    session.read_only = True
    before = session.case

    assert not session.edit("Change Title", edits.set_title, "No")
    assert session.case is before

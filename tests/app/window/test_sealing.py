"""Packing as a person does it: the hash offered, an anchor recorded or not, the pack written and opened again."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QGuiApplication
from PySide6.QtWidgets import QApplication, QFileDialog
from pytestqt.qtbot import QtBot

from hazardreport.app.dialogs.anchor import AnchorDialog
from hazardreport.app.dialogs.publication import PublicationDialog
from hazardreport.app.dialogs.sealing import SealingDialog, in_groups
from hazardreport.app.opening import opened_case
from hazardreport.app.pages.review import ReviewPage
from hazardreport.app.window import Window
from hazardreport.case import edits
from hazardreport.case.custody import AnchorKind
from hazardreport.case.stated import value
from hazardreport.review.integrity import check_folder
from hazardreport.review.pack_integrity import check_pack

LONG = 20_000
Asked = Callable[..., list[Any]]


@pytest.fixture
def out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The file that is chosen in every dialog that asks where to write."""
    path = tmp_path / "out" / "pack.zip"
    path.parent.mkdir()
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(path), ""))
    return path


def head_of(window: Window) -> str:
    folder = window.desk.session.folder
    assert folder is not None
    return check_folder(folder).chain.head


def test_a_hash_is_shown_in_groups_of_four() -> None:
    assert in_groups("0123456789abcdef" * 4) == (
        "0123 4567 89ab cdef 0123 4567 89ab cdef\n0123 4567 89ab cdef 0123 4567 89ab cdef"
    )


def test_a_case_is_packed_without_an_anchor_and_says_so(
    fresh: Window, qtbot: QtBot, out: Path, when_asked: Asked
) -> None:
    fresh.desk.session.edit("Change Model", edits.set_unit_field, "model", value("X 1"))
    met = when_asked(SealingDialog, lambda dialog: dialog.without.click())
    fresh.actions_of_case.pack.trigger()
    qtbot.waitUntil(lambda: "The pack was written" in fresh.strip.what.text(), timeout=LONG)

    assert len(met) == 1
    assert "Anchored: no" in fresh.strip.what.text()
    assert check_pack(out).whole
    opened = opened_case(out)
    assert opened.case == fresh.desk.session.case
    assert opened.case.unit.model.text == "X 1"
    opened.close()


def test_the_hash_that_is_offered_is_that_of_the_log(fresh: Window, qtbot: QtBot, out: Path, when_asked: Asked) -> None:
    shown: list[str] = []

    def look(dialog: SealingDialog) -> None:
        shown.append(dialog.hash.text())
        dialog.copy.click()
        dialog.reject()

    when_asked(SealingDialog, look)
    fresh.actions_of_case.pack.trigger()
    qtbot.waitUntil(lambda: bool(shown), timeout=LONG)

    assert shown[0].replace(" ", "").replace("\n", "") == head_of(fresh)
    assert QGuiApplication.clipboard().text() == head_of(fresh)
    assert not out.exists()


def test_an_anchor_is_recorded_with_its_file_and_the_pack_says_so(
    fresh: Window, qtbot: QtBot, out: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, when_asked: Asked
) -> None:
    letter = tmp_path / "countersigned.pdf"
    letter.write_bytes(b"%PDF-1.7\n% a page that somebody signed\n%%EOF\n")
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: (str(letter), ""))
    head, revision = head_of(fresh), fresh.desk.session.revision

    def fill(dialog: AnchorDialog) -> None:
        assert not dialog.keep.isEnabled()
        qtbot.keyClicks(dialog.texts["whom"].edit, "Office of Market Surveillance")
        qtbot.keyClicks(dialog.texts["reference"].edit, "MS-2026/114")
        dialog.pick.click()
        dialog.keep.click()

    when_asked(SealingDialog, lambda dialog: dialog.anchor.click())
    when_asked(AnchorDialog, fill)
    fresh.actions_of_case.pack.trigger()
    qtbot.waitUntil(lambda: "The pack was written" in fresh.strip.what.text(), timeout=LONG)

    (anchor,) = fresh.desk.session.case.anchors
    assert (anchor.revision, anchor.head, anchor.whom) == (revision, head, "Office of Market Surveillance")
    assert anchor.kind is AnchorKind.SENT
    (attachment,) = fresh.desk.session.case.attachments
    assert anchor.attachment == attachment.id
    folder = fresh.desk.session.folder
    assert folder is not None
    assert (folder / "attachments" / attachment.file).read_bytes() == letter.read_bytes()
    assert check_folder(folder).whole
    assert check_pack(out).whole
    assert f"revision {revision}" in fresh.strip.what.text()

    again = when_asked(SealingDialog, lambda dialog: dialog.reject())
    out.unlink()
    fresh.actions_of_case.pack.trigger()
    qtbot.waitUntil(out.exists, timeout=LONG)
    qtbot.waitUntil(lambda: not fresh.desk.jobs.busy("pack"), timeout=LONG)
    assert again == []


def test_an_edit_after_the_anchor_is_offered_another(fresh: Window, qtbot: QtBot, out: Path, when_asked: Asked) -> None:
    when_asked(SealingDialog, lambda dialog: dialog.anchor.click())
    when_asked(AnchorDialog, lambda dialog: (dialog.texts["whom"].edit.setText("Notary"), dialog.keep.click()))
    fresh.actions_of_case.pack.trigger()
    qtbot.waitUntil(out.exists, timeout=LONG)
    qtbot.waitUntil(lambda: not fresh.desk.jobs.busy("pack"), timeout=LONG)
    fresh.desk.session.edit("Change Model", edits.set_unit_field, "model", value("X 1"))
    met = when_asked(SealingDialog, lambda dialog: dialog.reject())
    fresh.actions_of_case.pack.trigger()
    qtbot.waitUntil(lambda: bool(met), timeout=LONG)


def test_a_case_that_is_not_whole_is_not_packed_and_the_file_is_named(
    demo: Window, qtbot: QtBot, out: Path, when_asked: Asked
) -> None:
    picture = demo.desk.session.pictures_folder / demo.desk.session.case.pictures[0].file
    picture.write_bytes(picture.read_bytes()[:-1] + b"\0")
    when_asked(SealingDialog, lambda dialog: dialog.without.click())
    demo.actions_of_case.pack.trigger()
    qtbot.waitUntil(lambda: picture.name in demo.strip.what.text(), timeout=LONG)

    assert not out.exists()


@pytest.fixture
def pack(demo: Window, qtbot: QtBot, out: Path, when_asked: Asked) -> Path:
    """A pack of the demo case."""
    when_asked(SealingDialog, lambda dialog: dialog.without.click())
    demo.actions_of_case.pack.trigger()
    qtbot.waitUntil(out.exists, timeout=LONG)
    qtbot.waitUntil(lambda: not demo.desk.jobs.busy("pack"), timeout=LONG)
    return out


def drop(window: Window, path: Path) -> None:
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path))])
    buttons, keys = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    enter = QDragEnterEvent(QPoint(50, 50), Qt.DropAction.CopyAction, data, buttons, keys)
    QApplication.sendEvent(window.start.viewport(), enter)
    assert enter.isAccepted()
    event = QDropEvent(QPointF(50, 50), Qt.DropAction.CopyAction, data, buttons, keys)
    QApplication.sendEvent(window.start.viewport(), event)


def test_a_dropped_pack_opens_read_only_and_leaves_nothing_behind(
    made_window: Callable[[], Window], pack: Path, qtbot: QtBot
) -> None:
    second = made_window()
    drop(second, pack)
    qtbot.waitUntil(lambda: second.desk.session.has_case, timeout=LONG)
    session = second.desk.session
    folder = session.folder
    assert folder is not None
    assert folder.is_dir()
    assert second.strip.saved.text() == "Read-only: a pack; unpack it to go on working"
    assert not session.edit("Change Title", edits.set_title, "No")
    assert not second.actions_of_case.pack.isEnabled()
    assert not second.actions_of_case.erase.isEnabled()
    second.show_page("review")
    page = second.pages["review"]
    assert isinstance(page, ReviewPage)
    qtbot.waitUntil(lambda: page.answer.text().startswith("Whole"), timeout=LONG)
    before = pack.read_bytes()
    assert session.close()

    assert not folder.exists()
    assert pack.read_bytes() == before


def test_a_pack_is_unpacked_to_go_on_working(
    made_window: Callable[[], Window], pack: Path, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    second = made_window()
    second.open_path(pack)
    qtbot.waitUntil(lambda: second.desk.session.has_case, timeout=LONG)
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: str(tmp_path))
    second.actions_of_case.unpack.trigger()
    qtbot.waitUntil(lambda: second.desk.session.folder == tmp_path / "pack", timeout=LONG)

    assert not second.desk.session.read_only
    assert second.desk.session.edit("Change Title", edits.set_title, "Goes on")
    assert second.desk.session.save()


def test_a_publication_shows_first_what_nobody_has_looked_at(
    demo: Window, qtbot: QtBot, out: Path, when_asked: Asked
) -> None:
    seen: list[str] = []

    def look(dialog: PublicationDialog) -> None:
        labels = [label.text() for label in dialog.findChildren(type(demo.strip.what))]
        seen.extend([*labels, dialog.lines.toPlainText()])
        assert not out.exists()
        dialog.pack.click()

    when_asked(PublicationDialog, look)
    demo.actions_of_case.publish.trigger()
    qtbot.waitUntil(lambda: "The publication was written" in demo.strip.what.text(), timeout=LONG)

    open_ = [one.id for one in demo.desk.session.case.pictures if one.recognisable.value == "open"]
    assert all(any(id_ in text for text in seen) for id_ in open_)
    assert check_pack(out).whole

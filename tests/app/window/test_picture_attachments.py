"""Files that are no pictures, and kinds of pictures that Qt does not decode, as a person drops them on the page."""

import io
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QImage
from PySide6.QtWidgets import QApplication, QFileDialog
from pytestqt.qtbot import QtBot

from hazardreport.app.notices import Level
from hazardreport.app.pages.pictures import PicturesPage
from hazardreport.app.window import Window
from hazardreport.case.attachment import Attachment
from hazardreport.case.case import Case
from tests.app.window.test_pictures import drop

LONG = 8_000
HEIC = Path(__file__).parents[2] / "material" / "heic" / "plain.heic"


@pytest.fixture
def page(fresh: Window) -> PicturesPage:
    fresh.show_page("pictures")
    found = fresh.pages["pictures"]
    assert isinstance(found, PicturesPage)
    return found


@pytest.fixture
def invoice(tmp_path: Path) -> Path:
    path = tmp_path / "invoice of Kerzenhof.pdf"
    path.write_bytes(b"%PDF-1.7\n1 0 obj <<>> endobj\ntrailer <<>>\n%%EOF\n")
    return path


@pytest.fixture
def video(tmp_path: Path) -> Path:
    path = tmp_path / "smoke.mp4"
    path.write_bytes(b"\0\0\0\x18ftypmp42\0\0\0\0mp42isom" + b"\0" * 400)
    return path


def case_of(page: PicturesPage) -> Case:
    return page.desk.session.case


def attachments(page: PicturesPage) -> tuple[Attachment, ...]:
    return case_of(page).attachments


def dropped(page: PicturesPage, qtbot: QtBot, *paths: Path) -> None:
    before = len(case_of(page).pictures) + len(attachments(page))
    drop(page, *paths)
    qtbot.waitUntil(lambda: len(case_of(page).pictures) + len(attachments(page)) == before + len(paths), timeout=LONG)


def test_a_pdf_that_is_dropped_becomes_an_attachment(page: PicturesPage, invoice: Path, qtbot: QtBot) -> None:
    dropped(page, qtbot, invoice)

    (attachment,) = attachments(page)
    assert (attachment.original_name, attachment.media_type) == (invoice.name, "application/pdf")
    kept = page.desk.session.pictures_folder.with_name("attachments") / attachment.file
    assert kept.read_bytes() == invoice.read_bytes()
    row = page.details.attachments.row(attachment.id)
    assert row is not None
    assert row.isVisible()
    assert row.name.text() == invoice.name
    assert "application/pdf" in row.kind.text()
    assert page.desk.session.stack.undoText() == "Add Attachment"
    page.desk.session.stack.undo()
    assert attachments(page) == ()
    assert not page.details.attachments.isVisible()


def test_pictures_and_files_come_in_as_one_step(
    page: PicturesPage, invoice: Path, photo: Callable[[str], Path], qtbot: QtBot
) -> None:
    dropped(page, qtbot, photo("one.jpg"), invoice, photo("three.png"))

    assert [one.id for one in case_of(page).pictures] == ["picture-001", "picture-002"]
    assert page.desk.session.stack.undoText() == "Add 2 Pictures and Attachment"
    page.desk.session.stack.undo()
    assert (case_of(page).pictures, attachments(page)) == ((), ())


def test_a_caption_is_typed_and_undone(page: PicturesPage, invoice: Path, qtbot: QtBot) -> None:
    dropped(page, qtbot, invoice)
    row = page.details.attachments.row("attachment-001")
    assert row is not None
    qtbot.keyClicks(row.caption.edit, "invoice of the dealer")
    qtbot.keyClick(row.caption.edit, Qt.Key.Key_Return)

    assert attachments(page)[0].caption == "invoice of the dealer"
    page.desk.session.stack.undo()
    assert row.caption.text() == ""


def test_an_attachment_is_taken_out_and_comes_back(page: PicturesPage, invoice: Path, qtbot: QtBot) -> None:
    dropped(page, qtbot, invoice)
    row = page.details.attachments.row("attachment-001")
    assert row is not None
    qtbot.mouseClick(row.remove, Qt.MouseButton.LeftButton)
    assert attachments(page) == ()

    page.desk.session.stack.undo()
    assert [one.id for one in attachments(page)] == ["attachment-001"]


def test_a_picture_of_the_case_stands_for_a_video(
    page: PicturesPage, video: Path, invoice: Path, photo: Callable[[str], Path], qtbot: QtBot
) -> None:
    dropped(page, qtbot, video, invoice, photo("pot.jpg"))
    row, other = page.details.attachments.row("attachment-001"), page.details.attachments.row("attachment-002")
    assert row is not None
    assert other is not None
    assert row.still.isVisible()
    assert not other.still.isVisible()
    place = row.still.findData("picture-001")
    row.still.setCurrentIndex(place)
    row.still.activated.emit(place)
    assert attachments(page)[0].still == "picture-001"

    page.on_picture_remove_asked()
    assert "no longer in the case" in row.still.currentText()
    page.desk.session.stack.undo()
    page.desk.session.stack.undo()
    assert attachments(page)[0].still == ""
    assert row.still.currentData() == ""


@pytest.mark.parametrize("kind", ["TIFF", "WEBP"])
def test_kinds_that_do_not_reach_qt_are_shown_all_the_same(
    page: PicturesPage, kind: str, tmp_path: Path, qtbot: QtBot
) -> None:
    image = Image.new("RGB", (120, 80), "white")
    image.paste((200, 30, 30), (0, 0, 60, 40))
    path = tmp_path / f"pot.{kind.lower()}"
    image.save(path, kind, **({"lossless": True} if kind == "WEBP" else {}))
    dropped(page, qtbot, path)
    qtbot.waitUntil(lambda: not page.view._pixmap.pixmap().isNull(), timeout=LONG)

    shown = page.view._pixmap.pixmap().toImage()
    assert (shown.width(), shown.height()) == (120, 80)
    assert shown.pixelColor(20, 20).getRgb()[:3] == (200, 30, 30)
    assert shown.pixelColor(100, 60).getRgb()[:3] == (255, 255, 255)


def test_heic_is_shown(page: PicturesPage, qtbot: QtBot) -> None:
    dropped(page, qtbot, HEIC)
    qtbot.waitUntil(lambda: not page.view._pixmap.pixmap().isNull(), timeout=LONG)

    picture, shown = case_of(page).pictures[0], page.view._pixmap.pixmap()
    assert picture.media_type == "image/heic"
    assert (shown.width(), shown.height()) == (picture.width, picture.height)


def test_a_file_of_several_pictures_says_that_the_first_is_shown(
    page: PicturesPage, fresh: Window, tmp_path: Path, qtbot: QtBot
) -> None:
    path = tmp_path / "pages.tif"
    first, second = Image.new("RGB", (30, 20), "white"), Image.new("RGB", (30, 20), "black")
    first.save(path, "TIFF", save_all=True, append_images=[second])
    dropped(page, qtbot, path)

    assert fresh.strip.notice is not None
    assert fresh.strip.notice.level is Level.NOTE
    assert "pages.tif" in fresh.strip.notice.what


def test_the_file_dialog_offers_every_kind(page: PicturesPage, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []

    def ask(parent: object, title: str, folder: str, kinds: str) -> tuple[list[str], str]:
        asked.append(kinds)
        return [], ""

    monkeypatch.setattr(QFileDialog, "getOpenFileNames", ask)
    page.on_add_clicked()
    assert all(f"*.{kind}" in asked[0] for kind in ("jpg", "jpeg", "png", "tif", "tiff", "webp", "heic", "heif"))
    assert "All files" in asked[0]


def test_nothing_of_a_pasted_picture_stays_outside_of_the_case(
    page: PicturesPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    place = tmp_path / "temporary"
    place.mkdir()
    monkeypatch.setattr("tempfile.tempdir", str(place))
    image = QImage(64, 48, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.darkGreen)
    QGuiApplication.clipboard().setImage(image)
    page.on_paste_asked()
    qtbot.waitUntil(lambda: len(case_of(page).pictures) == 1, timeout=LONG)

    assert list(place.iterdir()) == []


def test_no_marker_stays_once_the_case_is_written(page: PicturesPage, invoice: Path, qtbot: QtBot) -> None:
    dropped(page, qtbot, invoice)
    folder = page.desk.session.pictures_folder.with_name("attachments")
    qtbot.waitUntil(lambda: [path.name for path in folder.iterdir()] == ["attachment-001.pdf"], timeout=LONG)


def test_an_import_that_is_cancelled_leaves_nothing(page: PicturesPage, tmp_path: Path, qtbot: QtBot) -> None:
    files = []
    for number in range(60):
        buffer = io.BytesIO()
        Image.effect_noise((300 + number, 200), 60).save(buffer, "PNG")
        files.append(tmp_path / f"noise-{number}.png")
        files[-1].write_bytes(buffer.getvalue())
    before = case_of(page)
    drop(page, *files)
    page.desk.jobs.cancel("pictures")
    qtbot.waitUntil(lambda: not page.desk.jobs.busy("pictures"), timeout=LONG)
    QApplication.processEvents()

    assert case_of(page) is before
    folder = page.desk.session.pictures_folder
    left = (*folder.glob("*"), *folder.with_name("attachments").glob("*"))
    assert left == ()


def test_attachments_stand_beside_an_empty_place_for_pictures(page: PicturesPage, invoice: Path, qtbot: QtBot) -> None:
    dropped(page, qtbot, invoice)

    assert page.details.isVisible()
    assert not page.view.isVisible()
    assert not page.details.caption.isVisible()
    assert not page.list.isVisible()

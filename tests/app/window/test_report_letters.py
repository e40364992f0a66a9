"""Letters as a person keeps them: added, changed, removed, undone; what is expected of them; the calendar file."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QFileDialog
from pytestqt.qtbot import QtBot

from hazardreport.addressees.profiles import profile, profile_keys
from hazardreport.app.dialogs.letter import LetterDialog
from hazardreport.app.letter_lines import letter_blocks
from hazardreport.app.pages.report import ReportPage
from hazardreport.app.pages.report_letters import DECIDING
from hazardreport.app.pages.unit import UnitPage
from hazardreport.app.window import Window
from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, Consents
from hazardreport.case.letter import AttackedPoint, Letter, LetterKind
from hazardreport.case.stated import value
from hazardreport.storage import files

LONG = 15_000
TODAY = date(2026, 6, 20)
REPORT = Letter(
    id="letter-001",
    addressee="us-agency-harm",
    whom="agency (invented)",
    day="2026-05-20",
    means="form on a website",
    revision=1,
)


@pytest.fixture
def page(fresh: Window) -> ReportPage:
    fresh.show_page("report")
    found = fresh.pages["report"]
    assert isinstance(found, ReportPage)
    found.letters.today = lambda: TODAY
    found.tabs.setCurrentWidget(found.letters.view)
    return found


def case_of(page: ReportPage) -> Case:
    return page.desk.session.case


def choose(box: QComboBox, text: str) -> None:
    box.setFocus()
    place = box.findText(text)
    assert place >= 0, [box.itemText(row) for row in range(box.count())]
    box.setCurrentIndex(place)
    box.activated.emit(place)


def box_of(dialog: LetterDialog, name: str) -> QComboBox:
    return next(box for box in dialog.findChildren(QComboBox) if box.accessibleName() == name)


def fill(qtbot: QtBot, dialog: LetterDialog, **texts: str) -> None:
    for name, text in texts.items():
        edit = dialog.texts[name].edit
        edit.setFocus()
        edit.selectAll()
        qtbot.keyClicks(edit, text)


def keep(qtbot: QtBot, dialog: LetterDialog) -> None:
    qtbot.mouseClick(dialog.keep, Qt.MouseButton.LeftButton)


def notes(page: ReportPage, number: int) -> str:
    return " ".join(note.text for note in page.letters.view.letters.blocks[number].block.notes)


def test_a_letter_is_added_changed_removed_and_all_of_it_undone(
    page: ReportPage, qtbot: QtBot, when_asked: Callable[..., list[Any]]
) -> None:
    page.desk.session.edit("Choose", edits.choose_addressee, "us-agency-harm")
    page.tabs.setCurrentWidget(page.letters.view)
    letters = page.letters.view.letters

    def add(dialog: LetterDialog) -> None:
        assert dialog.texts["day"].text() == "2026-06-20"
        assert box_of(dialog, "Addressee").currentText().startswith("Report of harm")
        fill(qtbot, dialog, whom="agency (invented)", means="form on a website", text="report with pictures")
        keep(qtbot, dialog)

    when_asked(LetterDialog, add)
    qtbot.mouseClick(letters.add, Qt.MouseButton.LeftButton)
    (letter,) = case_of(page).letters
    assert letter == Letter(
        id="letter-001",
        addressee="us-agency-harm",
        whom="agency (invented)",
        day="2026-06-20",
        means="form on a website",
        text="report with pictures",
        revision=page.desk.session.revision,
    )
    assert letters.blocks[0].block.heading == "2026-06-20  Report that was sent: agency (invented)"

    def change(dialog: LetterDialog) -> None:
        fill(qtbot, dialog, reference="HR-77-0113")
        keep(qtbot, dialog)

    when_asked(LetterDialog, change)
    qtbot.mouseClick(letters.blocks[0].change, Qt.MouseButton.LeftButton)
    assert case_of(page).letters[0].reference == "HR-77-0113"
    assert "Reference: HR-77-0113" in "\n".join(letters.blocks[0].block.lines)
    qtbot.mouseClick(letters.blocks[0].remove, Qt.MouseButton.LeftButton)
    assert case_of(page).letters == ()

    stack = page.desk.session.stack
    assert stack.undoText() == "Remove Letter"
    stack.undo()
    stack.undo()
    assert case_of(page).letters == (letter,)
    stack.undo()
    assert case_of(page).letters == ()
    assert letters.empty.isVisibleTo(page)


def test_a_letter_that_was_left_is_not_recorded(
    page: ReportPage, qtbot: QtBot, when_asked: Callable[..., list[Any]]
) -> None:
    when_asked(LetterDialog, lambda dialog: dialog.reject())
    qtbot.mouseClick(page.letters.view.letters.add, Qt.MouseButton.LeftButton)

    assert case_of(page).letters == ()


def test_an_answer_names_its_letter_and_has_no_revision(
    page: ReportPage, qtbot: QtBot, when_asked: Callable[..., list[Any]]
) -> None:
    page.desk.session.edit("Add Letter", edits.add_letter, REPORT)

    def answer(dialog: LetterDialog) -> None:
        assert dialog.texts["revision"].isVisibleTo(dialog)
        choose(box_of(dialog, "What it is"), "Acknowledgement of receipt")
        assert not dialog.texts["revision"].isVisibleTo(dialog)
        assert not box_of(dialog, "Disputes").isVisibleTo(dialog)
        choose(box_of(dialog, "Answers which letter"), "letter-001, report, 2026-05-20, agency (invented)")
        fill(qtbot, dialog, whom="agency (invented)", day="2026-05-22", reference="HR-77-0113")
        keep(qtbot, dialog)

    when_asked(LetterDialog, answer)
    qtbot.mouseClick(page.letters.view.letters.add, Qt.MouseButton.LeftButton)

    receipt = case_of(page).letters[1]
    assert (receipt.kind, receipt.answers, receipt.revision) == (LetterKind.RECEIPT, "letter-001", 0)


def test_a_request_for_correction_says_what_it_disputes_and_what_follows(
    page: ReportPage, qtbot: QtBot, when_asked: Callable[..., list[Any]]
) -> None:
    def request(dialog: LetterDialog) -> None:
        choose(box_of(dialog, "What it is"), "Request for correction")
        choose(box_of(dialog, "Disputes"), "Date of the incident")
        fill(qtbot, dialog, whom="maker (invented)", day="2026-06-10", answer_by="2026-06-15", text="11 May")
        keep(qtbot, dialog)

    when_asked(LetterDialog, request)
    qtbot.mouseClick(page.letters.view.letters.add, Qt.MouseButton.LeftButton)

    (letter,) = case_of(page).letters
    assert letter.disputes is AttackedPoint.DATE
    assert "It disputes: date of the incident." in notes(page, 0)
    assert "2026-06-15" in notes(page, 0)
    assert any(note.problem for note in page.letters.view.letters.blocks[0].block.notes)


def test_the_file_that_was_sent_is_kept_by_its_hash(
    page: ReportPage,
    qtbot: QtBot,
    when_asked: Callable[..., list[Any]],
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
) -> None:
    sent = tmp_path / "sent.pdf"
    sent.write_bytes(b"what was sent")
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: (str(sent), ""))

    def add(dialog: LetterDialog) -> None:
        qtbot.mouseClick(dialog.file_field.choose, Qt.MouseButton.LeftButton)
        keep(qtbot, dialog)

    when_asked(LetterDialog, add)
    qtbot.mouseClick(page.letters.view.letters.add, Qt.MouseButton.LeftButton)
    assert case_of(page).letters[0].file_sha256 == files.sha256(sent)


def test_a_file_that_cannot_be_read_is_told_and_nothing_is_taken(
    page: ReportPage,
    qtbot: QtBot,
    when_asked: Callable[..., list[Any]],
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
) -> None:
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: (str(tmp_path / "gone.pdf"), ""))
    told: list[str] = []

    def add(dialog: LetterDialog) -> None:
        qtbot.mouseClick(dialog.file_field.choose, Qt.MouseButton.LeftButton)
        told.append(dialog.file_field._remark.text())
        keep(qtbot, dialog)

    when_asked(LetterDialog, add)
    qtbot.mouseClick(page.letters.view.letters.add, Qt.MouseButton.LeftButton)
    assert "gone.pdf" in told[0]
    assert case_of(page).letters[0].file_sha256 == ""


def test_what_is_odd_about_a_letter_stands_below_it(page: ReportPage) -> None:
    page.desk.session.edit("Add Letter", edits.add_letter, replace(REPORT, day="soon"))

    assert "“soon” is no day" in notes(page, 0)


def test_what_is_expected_says_that_nobody_promised_it_and_overdue_by_word(page: ReportPage, qtbot: QtBot) -> None:
    page.desk.session.edit("Add Letter", edits.add_letter, replace(REPORT, day="2026-06-19"))
    expected = page.letters.view.expected
    qtbot.waitUntil(lambda: bool(expected.lines), timeout=LONG)
    assert any(line.startswith("Expected, no promise. ") for line in expected.lines)
    assert any("Nobody has promised it" in line for line in expected.lines)

    forwarded = replace(REPORT, id="letter-002", kind=LetterKind.FORWARDED, day="2026-04-01")
    page.desk.session.edit("Consent", edits.set_consents, Consents(publish=Answer.YES))
    page.desk.session.edit("Change Letter", edits.change_letter, replace(REPORT, day="2026-03-27"))
    page.desk.session.edit("Add Letter", edits.add_letter, forwarded)
    qtbot.waitUntil(lambda: any(line.startswith("Overdue. ") for line in expected.lines), timeout=LONG)

    page.desk.session.edit("Remove Letter", edits.remove_letter, "letter-002")
    page.desk.session.edit("Remove Letter", edits.remove_letter, "letter-001")
    qtbot.waitUntil(lambda: not expected.lines, timeout=LONG)
    assert not expected.calendar.isEnabled()


def test_what_is_expected_follows_the_consent_to_publication(page: ReportPage, qtbot: QtBot) -> None:
    expected = page.letters.view.expected

    def told() -> str:
        return "\n".join(expected.lines)

    page.desk.session.edit("Consent", edits.set_consents, Consents(publish=Answer.YES))
    page.desk.session.edit("Add Letter", edits.add_letter, replace(REPORT, day="2026-06-19"))
    qtbot.waitUntil(lambda: "ublication is expected" in told(), timeout=LONG)
    assert "no consent to publication is recorded" not in told()

    page.desk.session.edit("Consent", edits.set_consents, Consents())
    qtbot.waitUntil(lambda: "Not expected: no consent to publication is recorded" in told(), timeout=LONG)

    page.desk.session.edit("Consent", edits.set_consents, Consents(publish=Answer.NO))
    qtbot.waitUntil(lambda: bool(told()) and "ublication is expected" not in told(), timeout=LONG)


def test_every_record_that_a_rule_asks_of_makes_the_days_be_worked_out_anew() -> None:
    asked = {
        term.link.partition(".")[0]
        for key in profile_keys()
        for follow in profile(key).follow_up
        for condition in follow.only_if
        for term in condition.terms
    }
    assert asked
    assert asked <= set(DECIDING)


@pytest.mark.parametrize("day", ["2026-06-21", "someday", ""])
def test_reports_that_cannot_have_gone_out_hold_a_publication_back(page: ReportPage, day: str) -> None:
    page.desk.session.edit("Add Letter", edits.add_letter, replace(REPORT, day=day))
    page.desk.session.edit(
        "Add Letter", edits.add_letter, replace(REPORT, id="letter-002", addressee="us-maker", day=day)
    )
    told = page.letters.view.hold.told.text()
    assert "Hold this publication back" in told
    assert "letter-001, letter-002 cannot show it" in told


def test_the_calendar_file_holds_the_latest_expected_days(
    page: ReportPage, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    page.desk.session.edit("Add Letter", edits.add_letter, replace(REPORT, day="2026-06-19"))
    qtbot.waitUntil(page.letters.view.expected.calendar.isEnabled, timeout=LONG)
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "days"), ""))
    qtbot.mouseClick(page.letters.view.expected.calendar, Qt.MouseButton.LeftButton)

    target = tmp_path / "days.ics"
    qtbot.waitUntil(target.exists, timeout=LONG)
    text = target.read_text(encoding="utf-8")
    assert text.startswith("BEGIN:VCALENDAR")
    assert text.count("BEGIN:VEVENT") >= 1
    assert "agency (invented)" not in text


def test_a_publication_waits_until_authority_and_maker_have_the_report(page: ReportPage, qtbot: QtBot) -> None:
    hold = page.letters.view.hold
    assert "Hold this publication back" in hold.told.text()
    with qtbot.waitSignal(page.link_asked) as asked:
        qtbot.mouseClick(hold.why, Qt.MouseButton.LeftButton)
    assert asked.args == ["consents.early_publication"]
    window = page.window()
    assert isinstance(window, Window)
    unit = window.pages["unit"]
    assert isinstance(unit, UnitPage)
    field = unit.fields["consents.early_publication"]
    qtbot.waitUntil(lambda: field.text.edit.hasFocus(), timeout=3000)  # type: ignore[attr-defined]

    consents = replace(case_of(page).consents, early_publication=value("others are using it now"))
    window.show_page("report")
    page.desk.session.edit("Say why", edits.set_consents, consents)
    assert "others are using it now" in hold.told.text()
    assert not hold.why.isVisibleTo(page)


def test_a_link_leads_to_a_letter(page: ReportPage, qtbot: QtBot) -> None:
    page.desk.session.edit("Add Letter", edits.add_letter, REPORT)
    window = page.window()
    assert isinstance(window, Window)
    window.show_page("unit")
    window.go_to("letter-001")

    qtbot.waitUntil(lambda: window.focusWidget() is page.letters.view.letters.blocks[0].change, timeout=3000)
    assert page.tabs.currentWidget() is page.letters.view


def test_letters_are_there_when_the_case_is_opened_again(
    page: ReportPage, open_folder: Callable[[Window, Path], None]
) -> None:
    window = page.window()
    assert isinstance(window, Window)
    session = window.desk.session
    session.edit("Add Letter", edits.add_letter, REPORT)
    folder = session.folder
    assert folder is not None
    session.save()
    session.close()
    open_folder(window, folder)

    assert session.case.letters == (REPORT,)


def test_what_is_only_good_to_know_of_several_letters_is_said_once_with_the_last() -> None:
    first = Letter(id="letter-001", kind=LetterKind.REPORT, whom="office", day="2026-05-12")
    case = Case(id="C-1", revision=3, letters=(first, replace(first, id="letter-002", day="2026-05-13")))
    one, two = letter_blocks(case, date(2026, 6, 1))
    told = [note.text for note in two.notes if "which revision of the case was sent" in note.text]

    assert not any("which revision" in note.text for note in one.notes)
    assert len(told) == 1
    assert told[0].startswith("Good to know, letter-001, letter-002: ")
    assert not any(note.problem for note in two.notes if note.text == told[0])

"""The Report page's parts: whom to tell and why, what is asked and why it matters, text to copy into a form."""

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLabel, QPushButton
from pytestqt.qtbot import QtBot

from hazardreport.addressees.completeness import State, element_states
from hazardreport.addressees.form_text import form_text
from hazardreport.addressees.profiles import profile, profile_keys
from hazardreport.addressees.proposal import proposals
from hazardreport.app.pages.report import ReportPage
from hazardreport.app.pages.unit import UnitPage
from hazardreport.app.window import Window
from hazardreport.case import edits
from hazardreport.case.circumstances import Answer
from hazardreport.case.letter import Letter
from hazardreport.case.situation import Situation, Territory
from hazardreport.case.stated import value

EU = Situation(residence=Territory.EU, bought_in=Territory.EU, online=Answer.YES, injured=Answer.NO)
US = Situation(residence=Territory.UNITED_STATES, bought_in=Territory.UNITED_STATES, online=Answer.NO)


def report_of(window: Window) -> ReportPage:
    window.show_page("report")
    page = window.pages["report"]
    assert isinstance(page, ReportPage)
    return page


@pytest.fixture
def page(fresh: Window) -> ReportPage:
    return report_of(fresh)


def texts(page: ReportPage) -> str:
    QApplication.processEvents()
    shown = page.tabs.currentWidget()
    return "\n".join(label.text() for label in shown.findChildren(QLabel) if label.isVisibleTo(page))


def test_without_an_addressee_the_page_begins_with_whom_to_tell(page: ReportPage) -> None:
    assert page.tabs.currentWidget() is page.whom
    assert not page.tabs.isTabVisible(page.tabs.indexOf(page.text))


def test_a_question_that_nobody_answered_leads_to_its_field(page: ReportPage, fresh: Window, qtbot: QtBot) -> None:
    assert list(page.whom.questions) == [
        "situation.residence", "situation.bought_in", "situation.online", "situation.injured",
    ]  # fmt: skip
    qtbot.mouseClick(page.whom.questions["situation.bought_in"], Qt.MouseButton.LeftButton)

    unit = fresh.pages["unit"]
    assert isinstance(unit, UnitPage)
    qtbot.waitUntil(lambda: unit.fields["situation.bought_in"].box.hasFocus(), timeout=3000)  # type: ignore[attr-defined]


def test_answers_propose_addressees_with_reason_and_law_in_the_order_of_telling(page: ReportPage) -> None:
    page.desk.session.edit("Answer", edits.set_situation, EU)

    assert list(page.whom.buttons) == [one.profile for one in proposals(EU)]
    assert page.whom.questions == {}
    shown = texts(page)
    for one in proposals(EU):
        assert one.title in shown
        assert one.reason in shown
    assert "within 3 working days" in shown
    assert "Regulation (EU) 2023/988, art. 22(8)" in shown
    assert "(from memory)" in shown


def test_choosing_a_proposal_chooses_the_addressee_and_can_be_undone(page: ReportPage, qtbot: QtBot) -> None:
    page.desk.session.edit("Answer", edits.set_situation, US)
    qtbot.mouseClick(page.whom.buttons["us-agency-harm"], Qt.MouseButton.LeftButton)
    assert page.desk.session.case.addressee == "us-agency-harm"
    assert page.addressee.currentData() == "us-agency-harm"
    assert page.tabs.currentWidget() is page.asked

    page.tabs.setCurrentWidget(page.whom)
    assert page.whom.buttons["us-agency-harm"].text() == "Chosen"
    page.desk.session.stack.undo()
    assert page.desk.session.case.addressee == ""
    assert page.whom.buttons["us-agency-harm"].text() == "Choose"


@pytest.mark.parametrize("key", profile_keys())
def test_every_addressee_can_be_chosen_and_shows_all_that_it_asks(page: ReportPage, key: str) -> None:
    page.addressee.setCurrentIndex(page.addressee.findData(key))
    page.addressee.activated.emit(page.addressee.currentIndex())
    found = profile(key)

    assert page.desk.session.case.addressee == key
    names = {button.text() for button in page.elements.findChildren(QPushButton)}
    states = element_states(page.desk.session.case, found, None)
    assert {state.element.name for state in states if state.element.level.value != "not asked"} <= names
    assert page.tabs.isTabVisible(page.tabs.indexOf(page.text)) is found.text_to_enter


def test_what_is_missing_says_why_it_matters(page: ReportPage) -> None:
    page.choose("us-agency-harm")
    harm = next(one for one in profile("us-agency-harm").elements if one.key == "harm")

    assert f"Without it: {harm.without}" in texts(page)


def test_an_element_that_is_not_asked_here_says_by_which_answer(page: ReportPage) -> None:
    page.choose("us-agency-harm")
    assert "missing: to be answered first. Asked only where the submitter" in texts(page)
    page.desk.session.edit("Under 18", edits.set_submitter, replace(page.desk.session.case.submitter, minor=Answer.NO))
    states = element_states(page.desk.session.case, profile("us-agency-harm"), None)
    others = [state for state in states if state.state is State.NOT_APPLICABLE]
    assert others

    shown = texts(page)
    assert "Not applicable here" in shown
    assert others[0].reason in shown


def test_statements_and_consents_show_the_answer_that_was_given(page: ReportPage, qtbot: QtBot) -> None:
    page.choose("us-agency-harm")
    assert "not answered yet" in texts(page)
    given = replace(page.desk.session.case.consents, verified=Answer.YES, verified_on="2026-05-14", publish=Answer.NO)
    page.desk.session.edit("Consent", edits.set_consents, given)

    shown = texts(page)
    assert "– yes, 2026-05-14" in shown
    assert "– the submitter answered: no" in shown


def test_faults_of_what_is_asked_are_to_be_looked_at_and_lead_to_their_field(page: ReportPage, qtbot: QtBot) -> None:
    page.choose("us-agency-harm")
    assert "To look at before it is sent" not in texts(page)
    complete = page.summary.text()
    given = replace(page.desk.session.case.consents, verified_on="2026-02-30")
    page.desk.session.edit("Consent", edits.set_consents, given)

    shown = texts(page)
    assert "To look at before it is sent" in shown
    assert "is a day that no calendar has" in shown
    assert page.summary.text() == complete
    with qtbot.waitSignal(page.elements.link_asked) as asked:
        head = next(one for one in page.elements.findChildren(QPushButton) if "no calendar" in one.accessibleName())
        qtbot.mouseClick(head, Qt.MouseButton.LeftButton)
    assert asked.args == ["consents.verified_on"]


def test_text_to_enter_is_counted_and_copied_element_by_element(demo: Window, qtbot: QtBot) -> None:
    page = report_of(demo)
    page.choose("us-agency-harm")
    page.tabs.setCurrentWidget(page.text)
    case = page.desk.session.case
    expected = form_text(case, profile("us-agency-harm"), page._assessment)
    assert [card.entry for card in page.text.entries.values()] == list(expected.entries)

    with_text = [entry for entry in expected.entries if entry.text]
    first, second = (page.text.entries[entry.element] for entry in with_text[:2])
    assert first.count.text().startswith(f"Characters: {len(with_text[0].text)}")
    qtbot.mouseClick(first.copy, Qt.MouseButton.LeftButton)
    assert QApplication.clipboard().text() == with_text[0].text
    assert first.copy.text() == "Copied"
    qtbot.mouseClick(second.copy, Qt.MouseButton.LeftButton)
    assert QApplication.clipboard().text() == with_text[1].text
    assert (first.copy.text(), second.copy.text()) == ("Copy", "Copied")


def test_text_to_enter_follows_the_case(demo: Window) -> None:
    page = report_of(demo)
    page.choose("us-agency-harm")
    page.tabs.setCurrentWidget(page.text)
    page.desk.session.edit("Change", edits.set_unit_field, "product_name", value("Pot of another name"))

    assert "Pot of another name" in texts(page)


def test_where_nothing_can_be_entered_there_is_nothing_to_copy(page: ReportPage) -> None:
    page.choose("us-agency-harm")
    page.tabs.setCurrentWidget(page.text)
    harm = page.text.entries["harm"]

    assert harm.count.text() == "Nothing to enter."
    assert not harm.copy.isEnabled()
    assert harm.entry.note in texts(page)


@pytest.mark.parametrize("points", [pytest.param(9.5, id="small-text"), pytest.param(19.0, id="large-text")])
def test_no_part_is_wider_than_its_place(demo: Window, qtbot: QtBot, points: float) -> None:
    demo.desk.looks.apply(demo.desk.looks.scheme, points)
    demo.resize(int(1280 * max(1.0, points / 16)), 820)
    page = report_of(demo)
    page.desk.session.edit("Answer", edits.set_situation, EU)
    page.choose("us-agency-harm")
    letter = Letter(id="letter-077", addressee="us-agency-harm", whom="x" * 90, text="https://" + "long-address/" * 20)
    page.desk.session.edit("Add Letter", edits.add_letter, letter)
    for part, area in (
        (page.asked, page.elements),
        (page.whom, page.whom),
        (page.text, page.text),
        (page.letters.view, page.letters.view),
    ):
        page.tabs.setCurrentWidget(part)
        qtbot.waitUntil(lambda area=area: area.widget().width() <= area.viewport().width(), timeout=3000)  # type: ignore[misc]
    demo.desk.looks.apply(demo.desk.looks.scheme)

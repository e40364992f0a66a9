"""The Report page: whom to tell, what an addressee asks for and what is missing, preview, export, letters."""

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QComboBox,
    QFileDialog,
    QHBoxLayout,
    QInputDialog,
    QLabel,
    QPushButton,
    QSplitter,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from hazardreport import wording
from hazardreport.addressees.completeness import ElementState, element_states
from hazardreport.addressees.form_text import form_text
from hazardreport.addressees.profiles import Level, profile, profile_keys
from hazardreport.addressees.proposal import open_questions, proposals, remarks
from hazardreport.app.addressee_lines import clauses_text, consent_lines, element_groups, fault_lines
from hazardreport.app.before_sending import faults
from hazardreport.app.desk import Desk
from hazardreport.app.pages.page import Page
from hazardreport.app.pages.report_letters import Letters
from hazardreport.app.pages.report_preview import Preview
from hazardreport.app.report_file import export, now_text
from hazardreport.app.views.element_list import ElementList
from hazardreport.app.views.form_text_view import FormTextView
from hazardreport.app.views.proposal_view import ProposalLine, ProposalView, Question
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.edits import choose_addressee, state_absence

PAPERS = (("", "As the addressee prefers"), ("a4", "A4"), ("letter", "US Letter"))


class ReportPage(Page):
    """From the case to a file, and to what came of it."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, "Report", wording.sentence("window.report.hint"), parent)
        self._case: Case | None = None
        self._assessment: Assessment | None = None
        self._assessed: Case | None = None
        self.addressee = QComboBox()
        self.addressee.setAccessibleName("Addressee")
        self.addressee.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.addressee.setMinimumContentsLength(20)
        self.addressee.addItem("Choose the addressee", "")
        for key in profile_keys():
            self.addressee.addItem(profile(key).title, key)
            self.addressee.setItemData(self.addressee.count() - 1, profile(key).title, Qt.ItemDataRole.ToolTipRole)
        self.addressee.activated.connect(self.on_addressee_chosen)
        self.paper = QComboBox()
        self.paper.setAccessibleName("Paper")
        for key, name in PAPERS:
            self.paper.addItem(name, key)
        self.export_button = QPushButton("Export PDF…")
        self.export_button.setProperty("role", "main")
        self.export_button.clicked.connect(self.on_export_clicked)
        self.summary = QLabel()
        self.summary.setWordWrap(True)
        self.accepts = QLabel()
        self.accepts.setWordWrap(True)
        self.accepts.setProperty("role", "small")
        self.elements = ElementList()
        self.elements.link_asked.connect(self.link_asked)
        self.elements.reason_asked.connect(self.on_reason_asked)
        self.pages = Preview(desk, wording.sentence("window.report.empty"))
        self.paper.activated.connect(lambda: self.pages.draw_soon(str(self.paper.currentData())))
        self.whom = ProposalView()
        self.whom.chosen.connect(self.choose)
        self.whom.link_asked.connect(self.link_asked)
        self.text = FormTextView()
        self.letters = Letters(desk)
        self.letters.view.link_asked.connect(self.link_asked)
        self._arrange()
        self.dress()

    def _arrange(self) -> None:
        bar = QHBoxLayout()
        bar.setSpacing(8)
        bar.addWidget(self.addressee, 1)
        bar.addWidget(self.paper)
        bar.addWidget(self.export_button)
        self.column.addLayout(bar)
        self.column.addWidget(self.summary)
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 8, 6, 0)
        column.addWidget(self.accepts)
        column.addWidget(self.elements, 1)
        left.setMinimumWidth(200)
        self.pages.setMinimumWidth(220)
        self.asked = QSplitter(Qt.Orientation.Horizontal)
        self.asked.addWidget(left)
        self.asked.addWidget(self.pages)
        self.asked.setSizes([300, 460])
        self.asked.setStretchFactor(1, 1)
        self.asked.setChildrenCollapsible(False)
        self.tabs = QTabWidget()
        self.tabs.setAccessibleName("Parts of the report")
        self.tabs.addTab(self.whom, "&Whom to tell")
        self.tabs.addTab(self.asked, "What is &asked")
        self.tabs.addTab(self.text, "&Text to enter")
        self.tabs.addTab(self.letters.view, "&Letters")
        self.tabs.currentChanged.connect(self._show_parts)
        self.column.addWidget(self.tabs, 1)

    def on_addressee_chosen(self, index: int) -> None:
        """The report is for someone else."""
        self.choose(str(self.addressee.itemData(index)))

    def choose(self, key: str) -> None:
        """Choose the addressee by its key; what it asks for is shown next."""
        if self.desk.session.edit("Choose Addressee", choose_addressee, key) and key:
            self.tabs.setCurrentWidget(self.asked)

    def show_case(self, case: Case) -> None:
        """Show the addressee and what it needs."""
        first, self._case = self._case is None, case
        self.addressee.setCurrentIndex(max(0, self.addressee.findData(case.addressee)))
        self.addressee.setToolTip(self.addressee.currentText())
        self.addressee.setEnabled(not self.desk.session.read_only)
        if first:
            self.tabs.setCurrentWidget(self.asked if self._key() else self.whom)
        self._show_parts_if_seen()

    def show_assessment(self, case: Case, assessment: Assessment) -> None:
        """Draw the report anew after a pause, from the whole assessment: its live part alone is not what is sent."""
        if assessment.settled is None:
            return
        self._case, self._assessment, self._assessed = self.desk.session.case, assessment, case
        self._show_parts_if_seen()

    def showEvent(self, event: QShowEvent) -> None:
        """The page is seen: its parts and its preview are wanted."""
        super().showEvent(event)
        self._show_parts()

    def _key(self) -> str:
        case = self._case
        return case.addressee if case is not None and case.addressee in profile_keys() else ""

    def _show_parts_if_seen(self) -> None:
        if self.isVisible():
            self._show_parts()

    def _show_parts(self) -> None:
        """Show the tab that is seen, and the preview of it; the others follow when they are."""
        key, case = self._key(), self._case
        self.export_button.setEnabled(bool(key) and self._assessment is not None and not self.desk.jobs.busy("export"))
        if case is None:
            return
        self._show_summary(case, key)
        shown = self.tabs.currentWidget()
        if shown is self.whom:
            self._show_proposals(case)
        elif shown is self.asked:
            self.pages.want(case, self._assessment, key, str(self.paper.currentData()))
        elif shown is self.text:
            self._show_text(case, key)
        else:
            self.letters.show_case(case)

    def _show_summary(self, case: Case, key: str) -> None:
        self.tabs.setTabVisible(self.tabs.indexOf(self.text), bool(key) and profile(key).text_to_enter)
        if not key:
            self.summary.setText(wording.sentence("window.report.choose"))
            self.accepts.setText("")
            self.elements.show_groups(())
            return
        found = profile(key)
        self.accepts.setText(f"{found.who[:1].upper()}{found.who[1:]}. {found.accepts}")
        states = element_states(case, found, self._assessment)
        groups = element_groups(states)
        looked_at = ("To look at before it is sent", fault_lines(faults(case, found, states)))
        consents = ("Statements and consents", consent_lines(case, found))
        self.elements.show_groups((*groups[:1], looked_at, consents, *groups[1:]))
        required = [state for state in states if state.element.level is Level.REQUIRED]
        missing = sum(not state.complete for state in required)
        told = "window.report.complete" if not missing else "window.report.missing"
        self.summary.setText(wording.sentence(told, required=len(required), missing=missing))

    def _show_proposals(self, case: Case) -> None:
        situation = case.situation
        lines = [
            ProposalLine(
                key=one.profile,
                title=one.title,
                reason=one.reason,
                source=clauses_text(one.clauses),
                duties=tuple(
                    " ".join(part for part in (duty.text, clauses_text(duty.clauses)) if part) for duty in one.duties
                ),
            )
            for one in proposals(situation)
        ]
        questions = [Question(link=one.field, text=one.question) for one in open_questions(situation)]
        self.whom.show_proposals(questions, lines, remarks(situation), case.addressee, self.desk.session.read_only)

    def _show_text(self, case: Case, key: str) -> None:
        self.text.show_text(form_text(case, profile(key), self._assessment) if key else None)

    def on_reason_asked(self, link: str, name: str) -> None:
        """Say why something that is no field is absent."""
        question = wording.sentence("window.report.reason", name=name)
        reason, given = QInputDialog.getText(self, "Say why not", question, text=self.desk.session.case.absence(link))
        if given:
            self.desk.session.edit("Say why not", state_absence, link, reason.strip())

    def on_export_clicked(self) -> None:
        """Ask where to, then write the file."""
        case, assessment, key = self._case, self._assessment, self._key()
        if case is None or assessment is None or not key:
            return
        folder = self.desk.session.folder
        start = str((folder.parent if folder else Path.home()) / f"{case.id}-{key}.pdf")
        chosen, _ = QFileDialog.getSaveFileName(self, "Export PDF", start, "PDF (*.pdf)")
        if not chosen:
            return
        target = Path(chosen)
        self.export_button.setEnabled(False)
        self.export_button.setText("Exporting…")
        self.desk.jobs.start(
            "export",
            export,
            case,
            assessment if case == self._assessed else None,
            key,
            str(self.paper.currentData()),
            self.desk.session.pictures_folder,
            now_text(),
            target if target.suffix else target.with_suffix(".pdf"),
            on_result=self.on_exported,
            on_error=self.on_not_exported,
        )

    def _end_export(self) -> None:
        self.export_button.setText("Export PDF…")
        self.export_button.setEnabled(bool(self._key()) and self._assessment is not None)

    def on_not_exported(self, error: BaseException) -> None:
        """The file could not be written."""
        self._end_export()
        self.desk.jobs.failed.emit(error)

    def on_exported(self, target: Path) -> None:
        """The file is there; what is missing in it is said once more."""
        self._end_export()
        self.letters.last_export = target
        case, key = self._case, self._key()
        states: tuple[ElementState, ...] = ()
        if case is not None and key:
            states = element_states(case, profile(key), self._assessment)
        missing = [state.element.name for state in states if not state.complete]
        if missing:
            names = ", ".join(missing)
            self.desk.notices.note("window.report.exported_incomplete", path=str(target), names=names)
        else:
            self.desk.notices.note("window.report.exported", path=str(target))

    def reveal(self, link: str) -> None:
        """Show a letter, the letters, or the choice of the addressee."""
        if link.partition("-")[0] == "letter" or link.partition(".")[0] == "letters":
            self.tabs.setCurrentWidget(self.letters.view)
            self.letters.reveal(link)
        elif link == "addressee":
            self.tabs.setCurrentWidget(self.whom)
            self.addressee.setFocus(Qt.FocusReason.OtherFocusReason)

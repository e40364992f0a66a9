"""The Report page: addressee, what it needs and what is missing, live preview, export."""

from datetime import UTC, datetime
from pathlib import Path

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QImage, QShowEvent
from PySide6.QtWidgets import (
    QComboBox,
    QFileDialog,
    QHBoxLayout,
    QInputDialog,
    QLabel,
    QPushButton,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from hazardreport import wording
from hazardreport.addressees.completeness import REASON_LINKS, ElementState, State, element_states
from hazardreport.addressees.profiles import Level, profile, profile_keys
from hazardreport.app.desk import Desk
from hazardreport.app.pages.page import Page
from hazardreport.app.report_file import export, preview
from hazardreport.app.views.element_list import ElementLine, ElementList
from hazardreport.app.views.page_stack import PageStack
from hazardreport.app.views.rail import PageState
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.edits import choose_addressee, state_absence

PAUSE_MS = 350
PAPERS = (("", "As the addressee prefers"), ("a4", "A4"), ("letter", "US Letter"))


class ReportPage(Page):
    """From the case to a file."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, "Report", wording.sentence("window.report.hint"), parent)
        self._case: Case | None = None
        self._assessment: Assessment | None = None
        self._assessed: Case | None = None
        self._drawn: tuple[object, ...] = ()
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(PAUSE_MS)
        self._timer.timeout.connect(self.on_pause)
        self.addressee = QComboBox()
        self.addressee.setAccessibleName("Addressee")
        self.addressee.addItem("Choose the addressee", "")
        for key in profile_keys():
            self.addressee.addItem(profile(key).title, key)
            self.addressee.setItemData(self.addressee.count() - 1, profile(key).title, Qt.ItemDataRole.ToolTipRole)
        self.addressee.activated.connect(self.on_addressee_chosen)
        self.paper = QComboBox()
        self.paper.setAccessibleName("Paper")
        for key, name in PAPERS:
            self.paper.addItem(name, key)
        self.paper.activated.connect(lambda: self._timer.start())
        self.export_button = QPushButton("Export PDF…")
        self.export_button.setProperty("role", "main")
        self.export_button.clicked.connect(self.on_export_clicked)
        self.accepts = QLabel()
        self.accepts.setWordWrap(True)
        self.accepts.setProperty("role", "small")
        self.summary = QLabel()
        self.summary.setWordWrap(True)
        self.elements = ElementList()
        self.elements.link_asked.connect(self.link_asked)
        self.elements.reason_asked.connect(self.on_reason_asked)
        self.pages = PageStack(wording.sentence("window.report.empty"))
        self.pages.width_changed.connect(self.on_pause)
        self._arrange()

    def _arrange(self) -> None:
        bar = QHBoxLayout()
        bar.setSpacing(8)
        bar.addWidget(self.addressee, 1)
        bar.addWidget(self.paper)
        bar.addWidget(self.export_button)
        self.column.addLayout(bar)
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 6, 0)
        column.addWidget(self.summary)
        column.addWidget(self.accepts)
        column.addWidget(self.elements, 1)
        left.setMinimumWidth(200)
        self.pages.setMinimumWidth(220)
        split = QSplitter(Qt.Orientation.Horizontal)
        split.addWidget(left)
        split.addWidget(self.pages)
        split.setSizes([300, 460])
        split.setStretchFactor(1, 1)
        split.setChildrenCollapsible(False)
        self.column.addWidget(split, 1)

    def on_addressee_chosen(self, index: int) -> None:
        """The report is for someone else."""
        key = str(self.addressee.itemData(index))
        self.desk.session.edit("Choose Addressee", choose_addressee, key)

    def show_case(self, case: Case) -> None:
        """Show the addressee and what it needs."""
        self._case = case
        self.addressee.setCurrentIndex(max(0, self.addressee.findData(case.addressee)))
        self.addressee.setToolTip(self.addressee.currentText())
        self.addressee.setEnabled(not self.desk.session.read_only)
        self._show_elements_if_seen()

    def show_assessment(self, case: Case, assessment: Assessment) -> None:
        """Draw the report anew after a pause, from the whole assessment: its live part alone is not what is sent."""
        if assessment.settled is None:
            return
        self._case, self._assessment, self._assessed = self.desk.session.case, assessment, case
        self._show_elements_if_seen()
        self._timer.start()

    def showEvent(self, event: QShowEvent) -> None:
        """The page is seen: its elements and its preview are wanted."""
        super().showEvent(event)
        self._show_elements()
        self._timer.start()

    def _key(self) -> str:
        case = self._case
        return case.addressee if case is not None and case.addressee in profile_keys() else ""

    def _show_elements_if_seen(self) -> None:
        if self.isVisible():
            self._show_elements()

    def _show_elements(self) -> None:
        key, case = self._key(), self._case
        self.export_button.setEnabled(bool(key) and self._assessment is not None and not self.desk.jobs.busy("export"))
        if not key or case is None:
            self.summary.setText(wording.sentence("window.report.choose"))
            self.accepts.setText("")
            self.elements.show_groups(())
            return
        found = profile(key)
        self.accepts.setText(f"{found.who[:1].upper()}{found.who[1:]}. {found.accepts}")
        states = element_states(case, found, self._assessment)
        required = [state for state in states if state.element.level is Level.REQUIRED]
        named = [state for state in states if state.element.level is Level.NAMED]
        missing = [state for state in required if not state.complete]
        self.elements.show_groups(
            (
                ("Required, missing", [_line(state) for state in missing]),
                ("Required", [_line(state) for state in required if state.complete]),
                ("Named as useful", [_line(state) for state in named]),
            )
        )
        key = "window.report.complete" if not missing else "window.report.missing"
        self.summary.setText(wording.sentence(key, required=len(required), missing=len(missing)))

    def on_reason_asked(self, link: str, name: str) -> None:
        """Say why something that is no field is absent."""
        question = wording.sentence("window.report.reason", name=name)
        reason, given = QInputDialog.getText(self, "Say why not", question, text=self.desk.session.case.absence(link))
        if given:
            self.desk.session.edit("Say why not", state_absence, link, reason.strip())

    def _created(self) -> str:
        return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")

    def on_pause(self) -> None:
        """Nothing changed for a moment: draw the pages."""
        case, assessment, key = self._case, self._assessment, self._key()
        if case is None or assessment is None or not self.isVisible():
            return
        if not key:
            self.pages.show_pages(())
            self._drawn = ()
            return
        width = int(self.pages.page_width() * self.devicePixelRatioF())
        paper = str(self.paper.currentData())
        wanted = (case, id(assessment), key, paper, width)
        if wanted == self._drawn:
            return
        self._drawn = wanted
        self.desk.jobs.start(
            "preview",
            preview,
            case,
            assessment,
            key,
            paper,
            self.desk.session.pictures_folder,
            self._created(),
            width,
            controlled=True,
            on_result=self.on_pages,
        )

    def on_pages(self, images: tuple[QImage, ...]) -> None:
        """New pages are there."""
        self.pages.show_pages(images)

    def on_export_clicked(self) -> None:
        """Ask where to, then write the file."""
        case, assessment, key = self._case, self._assessment, self._key()
        if case is None or assessment is None or not key:
            return
        name = f"{case.id}-{key}.pdf"
        folder = self.desk.session.folder
        start = str((folder.parent if folder else Path.home()) / name)
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
            self._created(),
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
        case, key = self._case, self._key()
        states = element_states(case, profile(key), self._assessment) if case is not None and key else ()
        missing = [state.element.name for state in states if not state.complete]
        if missing:
            names = ", ".join(missing)
            self.desk.notices.note("window.report.exported_incomplete", path=str(target), names=names)
        else:
            self.desk.notices.note("window.report.exported", path=str(target))


def _line(state: ElementState) -> ElementLine:
    if state.state is State.PRESENT:
        return ElementLine(state=PageState.COMPLETE, name=state.element.name, text=_short(state.text), link=state.field)
    if state.state is State.NOT_APPLICABLE:
        return ElementLine(
            state=PageState.COMPLETE, name=state.element.name, text=_short(state.reason), link=state.field
        )
    asked = state.field in REASON_LINKS
    if state.state is State.ABSENT_WITH_REASON:
        sign = PageState.BEGUN if state.complete else PageState.ATTENTION
        text = f"absent: {state.reason}" if state.complete else f"the value itself is needed; {state.reason}"
        return ElementLine(
            state=sign, name=state.element.name, text=text, link=state.field, reason_asked=asked and not state.complete
        )
    required = state.element.level is Level.REQUIRED
    sign = PageState.ATTENTION if required else PageState.EMPTY
    text = f"missing: {state.element.asked}"
    return ElementLine(state=sign, name=state.element.name, text=text, link=state.field, reason_asked=asked)


def _short(text: str) -> str:
    return text if len(text) <= 90 else text[:88].rstrip() + "…"

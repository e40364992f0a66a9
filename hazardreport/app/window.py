"""The window: rail, page, verdict, strip; menus and shortcuts; opening, saving and closing cases."""

from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path

from PySide6.QtCore import QSettings, QSize, Qt, QTimer
from PySide6.QtGui import QAction, QCloseEvent, QKeySequence, QResizeEvent, QShowEvent
from PySide6.QtWidgets import (
    QFileDialog,
    QHBoxLayout,
    QMainWindow,
    QMessageBox,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

import hazardreport
from hazardreport import wording
from hazardreport.app.case_actions import PACKS, CaseActions
from hazardreport.app.checking import Checked
from hazardreport.app.desk import Desk
from hazardreport.app.dialogs.new_case import NewCaseDialog
from hazardreport.app.opening import copied_demo, new_case, opened_case
from hazardreport.app.page_states import page_of, standings
from hazardreport.app.pages.page import Page
from hazardreport.app.preferences import Preferences
from hazardreport.app.session import SaveState
from hazardreport.app.views.fields import TextField
from hazardreport.app.views.notice_strip import NoticeStrip
from hazardreport.app.views.rail import PageEntry, Rail
from hazardreport.app.views.start_view import StartView
from hazardreport.app.views.verdict_panel import VerdictPanel
from hazardreport.assess.records import Assessment, NextTest
from hazardreport.case.case import Case

ENTRIES = (
    PageEntry(key="unit", name="Unit", icon="page-unit"),
    PageEntry(key="pictures", name="Pictures", icon="page-pictures"),
    PageEntry(key="readings", name="Readings", icon="page-readings"),
    PageEntry(key="severity", name="Severity", icon="page-severity"),
    PageEntry(key="findings", name="Findings", icon="page-findings"),
    PageEntry(key="report", name="Report", icon="page-report"),
    PageEntry(key="review", name="Review", icon="page-review"),
)
NARROW = 1060
PROGRESS = {"pictures": "window.pictures.taking_in", "pack": "window.pack.progress"}
"""Lanes of long work that is shown in the strip, with what is said there."""


class Window(QMainWindow):
    """Arranges everything; knows no rule of the trade."""

    def __init__(self, desk: Desk, makers: Mapping[str, Callable[[Desk], Page]], settings: QSettings) -> None:
        super().__init__()
        self.desk = desk
        self._makers = makers
        self.preferences = Preferences(settings)
        self.actions_of_case = CaseActions(desk, self.preferences, self, self.finish_typing)
        self.pages: dict[str, Page] = {}
        self._page = "unit"
        self._whole: bool | None = None
        self._shown_once = False
        self._folded_by_person: bool | None = None
        self.setWindowTitle("Hazard report[*]")
        self.setMinimumSize(QSize(720, 480))
        self.resize(1280, 820)
        self._build()
        self._menus()
        self._connect()
        self._show_recent()

    def _build(self) -> None:
        self.rail = Rail(ENTRIES, self.desk.looks)
        self.stack = QStackedWidget()
        self.verdict = VerdictPanel()
        self.unfold = QToolButton()
        self.unfold.setText("«")
        self.unfold.setProperty("role", "plain")
        self.unfold.setAccessibleName("Show the verdict so far")
        self.unfold.setToolTip("Show the verdict so far (F9)")
        self.unfold.hide()
        self.strip = NoticeStrip(self.desk.looks)
        self.start = StartView(self.desk.looks)
        workplace = QWidget()
        row = QHBoxLayout(workplace)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addWidget(self.rail)
        row.addWidget(self.stack, 1)
        row.addWidget(self.unfold, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self.verdict)
        self.places = QStackedWidget()
        self.places.addWidget(self.start)
        self.places.addWidget(workplace)
        whole = QWidget()
        column = QVBoxLayout(whole)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.places, 1)
        column.addWidget(self.strip)
        self.setCentralWidget(whole)

    def _action(self, text: str, slot: Callable[[], object], *keys: QKeySequence.StandardKey | str) -> QAction:
        action = QAction(text, self)
        action.setShortcuts([QKeySequence(key) for key in keys])
        action.triggered.connect(lambda: slot())
        return action

    def _menus(self) -> None:
        standard = QKeySequence.StandardKey
        bar = self.menuBar()
        file = bar.addMenu("&File")
        file.addAction(self._action("&New case…", self.on_new_asked, standard.New))
        file.addAction(self._action("&Open case…", self.on_open_asked, standard.Open))
        file.addAction(self._action("Open &pack…", self.on_open_pack_asked))
        file.addAction(self._action("Look at the &demo case", self.on_demo_asked))
        file.addSeparator()
        self._save = self._action("&Save revision", self.on_save_asked, standard.Save)
        self._close = self._action("&Close case", self.on_close_asked, standard.Close)
        file.addActions([self._save, self._close])
        file.addSeparator()
        file.addAction(self._action("&Quit", self.close, standard.Quit))
        edit = bar.addMenu("&Edit")
        stack = self.desk.session.stack
        self._undo = self._action("&Undo", self.on_undo_asked, standard.Undo)
        self._redo = self._action("&Redo", self.on_redo_asked, standard.Redo)
        stack.undoTextChanged.connect(self.on_undo_text_changed)
        stack.redoTextChanged.connect(self.on_redo_text_changed)
        stack.canUndoChanged.connect(self._undo.setEnabled)
        stack.canRedoChanged.connect(self._redo.setEnabled)
        self._undo.setEnabled(False)
        self._redo.setEnabled(False)
        edit.addActions([self._undo, self._redo])
        self.actions_of_case.add_to(bar.addMenu("&Case"))
        view = bar.addMenu("&View")
        self._page_actions = []
        for number, entry in enumerate(ENTRIES, 1):
            action = self._action(f"&{number} {entry.name}", partial(self.on_page_key, entry.key), f"Ctrl+{number}")
            self._page_actions.append(action)
            view.addAction(action)
        view.addSeparator()
        self._fold = self._action("&Verdict so far", self.on_fold_asked, "F9")
        self._fold.setCheckable(True)
        self._fold.setChecked(True)
        view.addAction(self._fold)
        about = bar.addMenu("&Help")
        about.addAction(self._action("&About hazardreport", self.on_about_asked))
        self._enable(False)

    def _connect(self) -> None:
        desk = self.desk
        desk.looks.scheme_changed.connect(self.on_scheme_changed)
        desk.notices.raised.connect(self.strip.show_notice)
        desk.jobs.failed.connect(self.on_job_failed)
        desk.jobs.progressed.connect(self.on_progressed)
        desk.jobs.lane_busy.connect(self.on_lane_busy)
        self.strip.cancel_asked.connect(self.on_cancel_asked)
        self.strip.offer_taken.connect(self.actions_of_case.do)
        for signal in (desk.session.opened, desk.session.saved, desk.session.closed, desk.session.author_changed):
            signal.connect(self.on_author_changed)
        desk.session.opened.connect(self.on_opened)
        desk.session.closed.connect(self.on_closed)
        desk.session.case_changed.connect(self.on_case_changed)
        desk.session.save_state_changed.connect(self.on_save_state_changed)
        desk.live.assessed.connect(self.on_assessed)
        desk.checking.checked.connect(self.on_checked)
        desk.live.busy_changed.connect(self.verdict.show_busy)
        self.rail.page_chosen.connect(self.show_page)
        self.verdict.number_asked.connect(self.on_number_asked)
        self.verdict.test_asked.connect(lambda key: self.go_to(f"test.{key}"))
        self.verdict.fold_asked.connect(self.on_fold_asked)
        self.unfold.clicked.connect(self.on_fold_asked)
        self.start.new_asked.connect(self.on_new_asked)
        self.start.open_asked.connect(self.on_open_asked)
        self.start.demo_asked.connect(self.on_demo_asked)
        self.start.dropped.connect(lambda path: self.open_path(Path(path)))
        self.start.recent_asked.connect(lambda path: self.open_path(Path(path)))

    def _enable(self, open: bool) -> None:
        for action in (self._save, self._close, self._fold, *self._page_actions):
            action.setEnabled(open)

    def showEvent(self, event: QShowEvent) -> None:
        """The first paint comes before anything is opened."""
        super().showEvent(event)
        self._shown_once = True

    def resizeEvent(self, event: QResizeEvent) -> None:
        """A narrow window folds the verdict away, unless the person wants it."""
        super().resizeEvent(event)
        self._fold_if_narrow()

    def _fold_if_narrow(self) -> None:
        if self._folded_by_person is None:
            self._show_folded(self.width() < NARROW * self._text_scale())

    def _text_scale(self) -> float:
        """How much larger the text is than the size that widths were chosen for."""
        return max(1.0, self.fontMetrics().height() / 16.0)

    def on_scheme_changed(self) -> None:
        """Rail and verdict grow with the text."""
        scale = self._text_scale()
        self.rail.setFixedWidth(int(196 * min(scale, 1.6)))
        self.verdict.setFixedWidth(int(312 * min(scale, 1.5)))
        self._fold_if_narrow()

    def on_fold_asked(self) -> None:
        """Fold the verdict, or show it."""
        self._folded_by_person = self.verdict.isVisible()
        self._show_folded(self._folded_by_person)

    def _show_folded(self, folded: bool) -> None:
        self.verdict.setVisible(not folded)
        self.unfold.setVisible(folded)
        self._fold.setChecked(not folded)

    def finish_typing(self) -> None:
        """What is being typed is entered, as if the person had left the field."""
        typing = self.focusWidget()
        if typing is not None:
            typing.clearFocus()

    def _enter_typing(self) -> None:
        """What is being typed in a field is entered; the cursor stays there."""
        widget = self.focusWidget()
        field = widget.parentWidget() if widget is not None else None
        if isinstance(field, TextField):
            field.on_done()

    def on_undo_text_changed(self, text: str) -> None:
        """Another step is the newest."""
        self._undo.setText(f"&Undo {text}".rstrip())

    def on_redo_text_changed(self, text: str) -> None:
        """Another step can be done again."""
        self._redo.setText(f"&Redo {text}".rstrip())

    def on_undo_asked(self) -> None:
        """Take the newest step back, wherever the cursor is."""
        self._enter_typing()
        self.desk.session.stack.undo()

    def on_redo_asked(self) -> None:
        """Do the step again that was taken back."""
        self._enter_typing()
        self.desk.session.stack.redo()

    def on_page_key(self, key: str) -> None:
        """A page was chosen by its key: the cursor goes there too."""
        self.show_page(key)
        self._enter_page()

    def _enter_page(self) -> None:
        page = self.pages.get(self._page)
        if page is None:
            return
        following: QWidget | None = page.nextInFocusChain()
        while following is not None and following is not page and page.isAncestorOf(following):
            if following.isEnabled() and following.isVisible() and takes_tab(following):
                following.setFocus(Qt.FocusReason.ShortcutFocusReason)
                return
            following = following.nextInFocusChain()

    def on_save_asked(self) -> None:
        """Save a revision."""
        self.finish_typing()
        self.desk.session.save()

    def on_close_asked(self) -> None:
        """Close the case."""
        self.finish_typing()
        self.desk.session.close()

    def open_path(self, path: Path) -> None:
        """Open the case of a folder, of a file in it, or of a pack."""
        self.desk.jobs.start("open", opened_case, path, on_result=self.desk.session.adopt)

    def on_new_asked(self) -> None:
        """Ask for title and place, then make the case."""
        wish = NewCaseDialog(self.preferences.place, self.preferences.author, self).ask()
        if wish is not None:
            self.actions_of_case.set_name(wish.author)
            self.desk.jobs.start("open", new_case, wish, on_result=self.desk.session.adopt)

    def on_open_asked(self) -> None:
        """Ask for a folder, then open it."""
        folder = QFileDialog.getExistingDirectory(self, "Open case: choose its folder", str(self.preferences.place))
        if folder:
            self.open_path(Path(folder))

    def on_open_pack_asked(self) -> None:
        """Ask for a pack, then show what is in it."""
        name, _ = QFileDialog.getOpenFileName(self, "Open pack", str(self.preferences.place), PACKS)
        if name:
            self.open_path(Path(name))

    def on_demo_asked(self) -> None:
        """Open a copy of the demo case."""
        self.desk.jobs.start("open", copied_demo, on_result=self.desk.session.adopt)

    def on_about_asked(self) -> None:
        """Say which version this is."""
        QMessageBox.about(
            self, "About hazardreport", wording.sentence("window.about", version=hazardreport.__version__)
        )

    def _show_recent(self) -> None:
        self.start.show_recent(self.preferences.recent)

    def on_opened(self, case: Case) -> None:
        """A case is there: show the workplace."""
        place = self.desk.session.pack or self.desk.session.folder
        if place is not None:
            self.preferences.remember(place)
        self._whole = None
        self.verdict.show_nothing()
        self._enable(True)
        self.places.setCurrentIndex(1)
        self.show_page("unit")
        self._enter_page()
        self.desk.jobs.start("profiles", read_profiles, urgent=True)

    def on_closed(self) -> None:
        """No case any more: the start view."""
        self.desk.live.forget()
        for page in self.pages.values():
            page.leave()
            self.stack.removeWidget(page)
            page.deleteLater()
        self.pages = {}
        self._enable(False)
        self._show_recent()
        self.places.setCurrentIndex(0)
        self.setWindowTitle("Hazard report[*]")

    def show_page(self, key: str) -> None:
        """Show a page; it is built on the first visit."""
        if not self.desk.session.has_case:
            return
        if key not in self.pages:
            page = self._makers[key](self.desk)
            page.link_asked.connect(self.go_to)
            self.pages[key] = page
            self.stack.addWidget(page)
            page.show_case(self.desk.session.case)
            if self.desk.live.assessment is not None:
                page.show_assessment(self.desk.session.case, self.desk.live.assessment)
        self._page = key
        self.stack.setCurrentWidget(self.pages[key])
        self.rail.show_page(key)

    def go_to(self, link: str) -> None:
        """Show the page of a field or record, and the field there."""
        page = page_of(link)
        self.show_page(page)
        shown = self.pages[page]
        QTimer.singleShot(0, shown, lambda: shown.reveal(link))

    def on_number_asked(self, id: str) -> None:
        """Show how a number was calculated."""
        self.show_page("severity")
        self.pages["severity"].reveal(f"number.{id}")

    def on_case_changed(self, case: Case) -> None:
        """Every page shows the newest case."""
        for page in self.pages.values():
            page.show_case(case)
        self.rail.show_heading(case.title, case.id)
        self.setWindowTitle(f"{case.title or case.id}[*] – Hazard report")
        self._show_states()
        self.desk.live.follow(case)

    def on_assessed(self, case: Case, assessment: Assessment) -> None:
        """Every page shows the newest results."""
        if not self.desk.session.has_case:
            return
        told = assessment.settled is not None or assessment.next_test is not None
        sentence = next_test_sentence(case, assessment.next_test, assessment.no_further_test) if told else ""
        self.verdict.show_assessment(assessment, sentence)
        for page in self.pages.values():
            page.show_assessment(case, assessment)
        self._show_states()

    def on_checked(self, found: Checked) -> None:
        """The files of the case were checked."""
        self._whole = found.whole(self.desk.session.case)
        self._show_states()

    def _show_states(self) -> None:
        case = self.desk.session.case
        missing: tuple[str, ...] | None = None
        if case.addressee:
            from hazardreport.addressees import completeness, profiles

            if case.addressee in profiles.profile_keys():
                profile = profiles.profile(case.addressee)
                found = completeness.gaps(case, profile, self.desk.live.assessment)
                missing = tuple(state.field for state in found)
        for key, standing in standings(case, self.desk.live.assessment, missing, self._whole).items():
            self.rail.show_state(key, standing.state, standing.detail)

    def on_save_state_changed(self, state: SaveState, text: str) -> None:
        """Say where the newest edit is."""
        self.strip.show_saved(text)
        self.setWindowModified(state in (SaveState.SAVING, SaveState.NOT_SAVED))

    def on_progressed(self, lane: str, done: int, total: int) -> None:
        """Long work is on its way."""
        key = PROGRESS.get(lane)
        if key is not None and self.desk.jobs.busy(lane):
            self.strip.show_progress(wording.sentence(key, done=done, total=total), done, total)

    def on_lane_busy(self, lane: str, busy: bool) -> None:
        """Long work begins, or is over."""
        if lane == "pack" and busy:
            self.strip.show_progress(wording.sentence("window.pack.begun"), 0, 0)
        elif lane in PROGRESS and not busy:
            self.strip.show_progress("", 1, 1)

    def on_cancel_asked(self) -> None:
        """Nobody waits for the long work any more."""
        for lane in PROGRESS:
            self.desk.jobs.cancel(lane)

    def on_author_changed(self) -> None:
        """Say in the strip which revision this is, and who would save the next one."""
        session = self.desk.session
        if not session.has_case:
            self.strip.show_revision("")
        elif session.read_only:
            self.strip.show_revision(wording.sentence("window.author.revision", number=session.revision))
        else:
            name = session.author or wording.sentence("window.author.none")
            self.strip.show_revision(wording.sentence("window.author.revision_by", number=session.revision, name=name))

    def on_job_failed(self, error: BaseException) -> None:
        """Work in the background failed: tell it; keep a copy first if the error is not ours."""
        self.tell_error(error)

    def tell_error(self, error: BaseException) -> None:
        """Tell an error; one that the program does not know costs no work: a copy of the case is kept first."""
        from hazardreport.errors import HazardReportError

        if not isinstance(error, HazardReportError):
            kept = self.desk.session.keep_copy()
            if kept is not None:
                self.desk.notices.note("window.copy_kept", folder=str(kept))
        self.desk.notices.error(error)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Save; if that fails, ask before anything is lost."""
        self.finish_typing()
        for lane in PROGRESS:
            if self.desk.jobs.busy(lane):
                self.desk.notices.note(f"window.{lane}.busy")
                event.ignore()
                return
        if not self.desk.session.close() and not self._leave_unsaved():
            event.ignore()
            return
        self.desk.live.forget()
        super().closeEvent(event)

    def _leave_unsaved(self) -> bool:
        kept = self.desk.session.keep_copy()
        box = QMessageBox(self)
        box.setText(wording.sentence("window.leave.question"))
        key = "window.leave.kept" if kept else "window.leave.lost"
        box.setInformativeText(wording.sentence(key, folder=str(kept or "")))
        leave = box.addButton("Quit without saving", QMessageBox.ButtonRole.DestructiveRole)
        box.addButton("Stay", QMessageBox.ButtonRole.RejectRole)
        box.exec()
        if box.clickedButton() is not leave:
            return False
        self.desk.session.abandon()
        return True


def read_profiles() -> None:
    """Read every addressee once, so that the Report page need not wait for their files."""
    from hazardreport.addressees.profiles import profile, profile_keys

    for key in profile_keys():
        profile(key)


def takes_tab(widget: QWidget) -> bool:
    """The Tab key stops there."""
    return bool(widget.focusPolicy().value & Qt.FocusPolicy.TabFocus.value)


def next_test_sentence(case: Case, next_test: NextTest | None, none_because: str) -> str:
    """One sentence for the panel; "" if nothing is known about tests yet."""
    if next_test is None:
        return wording.sentence(f"tests.no_further.{none_because}") if case.readings and none_because else ""
    return next_test.name if next_test.shown else next_test.instruction

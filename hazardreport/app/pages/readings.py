"""The Readings page: who measures, the test plan, the bench sheet."""

import csv
import io
import tempfile
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QLabel, QPushButton, QSplitter, QVBoxLayout, QWidget

from hazardreport import wording
from hazardreport.app.desk import Desk
from hazardreport.app.dialogs.competence import CompetenceDialog
from hazardreport.app.dialogs.instruments import InstrumentsDialog
from hazardreport.app.models.bench_columns import COLUMNS, PLACES, VALUE
from hazardreport.app.models.bench_model import BenchModel
from hazardreport.app.page_states import GENTLE
from hazardreport.app.pages.page import Page
from hazardreport.app.plan_lines import Plan, begun_reading, plan_of
from hazardreport.app.problem_lines import problem_texts
from hazardreport.app.views.bench_table import BenchTable
from hazardreport.app.views.flow import FlowLayout
from hazardreport.app.views.plan_view import PlanView
from hazardreport.assess.records import Assessment
from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, CautionShown
from hazardreport.case.picture import Point
from hazardreport.case.reading import Instrument, Quantity, Reading
from hazardreport.errors import HazardReportError

HEADLESS = ("first", "second", "quantity", "value", "plug", "switch", "load")


class ReadingsPage(Page):
    """Plan above, bench sheet below."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, "Readings", wording.sentence("window.readings.hint"), parent)
        self.plan = Plan()
        self._points: tuple[Point, ...] = ()
        self._advance = False
        self._gentle: dict[str, str] = {}
        self.column.addWidget(self._gate())
        self.plan_view = PlanView()
        self.model = BenchModel(self)
        self.table = BenchTable(self.model)
        split = QSplitter(Qt.Orientation.Vertical)
        split.addWidget(self.plan_view)
        split.addWidget(self._sheet())
        split.setSizes([330, 270])
        self.plan_view.setMinimumHeight(self.plan_view.fontMetrics().lineSpacing() * 15)
        self.table.setMinimumHeight(self.table.fontMetrics().lineSpacing() * 5)
        split.setChildrenCollapsible(False)
        self.column.addWidget(split, 1)
        self._connect()

    def _gate(self) -> QWidget:
        bar = QWidget()
        row = QHBoxLayout(bar)
        row.setContentsMargins(0, 0, 0, 0)
        self.gate = QLabel()
        self.gate.setWordWrap(True)
        self.state_button = QPushButton("State who measures…")
        self.state_button.clicked.connect(self.on_state_clicked)
        self.take_back = QPushButton("Take back")
        self.take_back.setAccessibleName("Take the statement of competence back")
        self.take_back.clicked.connect(self.on_take_back_clicked)
        row.addWidget(self.gate, 1)
        row.addWidget(self.state_button)
        row.addWidget(self.take_back)
        return bar

    def _sheet(self) -> QWidget:
        whole = QWidget()
        column = QVBoxLayout(whole)
        column.setContentsMargins(0, 4, 0, 0)
        column.setSpacing(6)
        bar = FlowLayout()
        title = QLabel("Bench sheet  ")
        title.setProperty("role", "section")
        bar.addWidget(title)
        self.buttons: dict[str, QPushButton] = {}
        for text, slot in (
            ("Add row", self.on_add_clicked),
            ("Remove row", self.on_remove_clicked),
            ("Instruments…", self.on_instruments_clicked),
            ("Import…", self.on_import_clicked),
            ("Export…", self.on_export_clicked),
        ):
            button = QPushButton(text)
            button.setAccessibleName(f"{text.rstrip('…')}, bench sheet")
            button.clicked.connect(slot)
            self.buttons[text] = button
            bar.addWidget(button)
        column.addLayout(bar)
        column.addWidget(self.table, 1)
        self.remark = QLabel(wording.sentence("window.readings.empty"))
        self.remark.setWordWrap(True)
        self.remark.setProperty("role", "small")
        self.remark.setMinimumHeight(self.remark.fontMetrics().height())
        self.remark.setAlignment(Qt.AlignmentFlag.AlignTop)
        column.addWidget(self.remark)
        return whole

    def _connect(self) -> None:
        self.plan_view.reading_asked.connect(self.on_reading_asked)
        self.plan_view.cautions_kept.connect(self.on_cautions_kept)
        self.plan_view.left_out.connect(self.on_left_out)
        self.plan_view.pictures_asked.connect(lambda: self.link_asked.emit("pictures"))
        self.model.cell_entered.connect(self.on_cell_entered)
        self.model.dataChanged.connect(lambda *_: self._show_remark())
        self.table.delegate.typing.connect(self.on_typing)
        self.table.delegate.value_entered.connect(self.on_value_entered)
        self.table.remove_asked.connect(self.remove_readings)
        self.table.paste_asked.connect(self.on_paste_asked)
        self.table.selectionModel().currentChanged.connect(lambda *_: self._show_remark())

    # what is shown

    def show_case(self, case: Case) -> None:
        """Show gate, plan and sheet of a case."""
        read_only = self.desk.session.read_only
        self.model.editable = not read_only
        if self.model.pending is not None and case.reading(self.model.pending.id) is not None:
            self.model.pending = None
        self.model.show_case(case)
        competence = case.competence
        if competence is None:
            self.gate.setText(wording.sentence("window.competence.closed"))
        else:
            self.gate.setText(
                wording.sentence("window.competence.open", name=competence.name, qualification=competence.qualification)
            )
        self.state_button.setVisible(competence is None and not read_only)
        self.take_back.setVisible(competence is not None and not read_only)
        for text, button in self.buttons.items():
            button.setEnabled(not read_only or text.startswith("Export"))
        self.desk.jobs.start("plan", plan_of, case, on_result=self.on_plan)
        self._show_remark()

    def on_plan(self, plan: Plan) -> None:
        """The plan for the newest case is there."""
        self.plan = plan
        self.plan_view.show_lines(plan.lines)
        if self._advance:
            self._advance = False
            self._go_on()

    def show_assessment(self, case: Case, assessment: Assessment) -> None:
        """Show what is to be said about single readings."""
        problems: dict[str, str] = {}
        gentle: dict[str, str] = {}
        for problem in assessment.problems:
            if problem.kind == "reading" and problem.id:
                texts = gentle if problem.gentle or problem.key in GENTLE else problems
                text = " ".join(problem_texts(problem))
                texts[problem.id] = f"{texts[problem.id]} {text}" if problem.id in texts else text
        self._gentle = gentle
        self.model.show_problems(problems)
        self._show_remark()

    def _show_remark(self) -> None:
        row = self.table.currentIndex().row()
        if not self.model.rowCount():
            self.remark.setText(wording.sentence("window.readings.empty"))
        elif 0 <= row < self.model.rowCount():
            fault, reading = self.model.fault(row), self.model.reading(row).id
            self.remark.setText(f"▲ {reading}: {fault}" if fault else self._gentle.get(reading, ""))
        else:
            self.remark.setText("")

    # the plan

    def on_state_clicked(self) -> None:
        """Someone states who measures."""
        competence = CompetenceDialog(self).ask()
        if competence is not None:
            self.desk.session.edit("State Competence", edits.state_competence, competence)

    def on_take_back_clicked(self) -> None:
        """The statement is taken back: the live tests go."""
        self._drop_pending()
        self.desk.session.edit("Take Competence back", edits.state_competence, None)

    def _cautions(self, id: str, kept: Answer) -> tuple[CautionShown, ...]:
        test = self.plan.test(id)
        case = self.desk.session.case
        if test is None:
            return ()
        now = datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
        by = case.competence.name if case.competence is not None else ""
        known = {(one.caution, one.test) for one in case.cautions}
        return tuple(
            CautionShown(caution=key, test=test.key, by=by, when=now, kept=kept)
            for key in test.cautions
            if kept is Answer.YES or (key, test.key) not in known
        )

    def on_cautions_kept(self, id: str) -> None:
        """Someone says that the cautions before a test are kept."""
        self.desk.session.edit("Keep Cautions", _with_cautions, self._cautions(id, Answer.YES))

    def on_left_out(self, id: str, reason: str) -> None:
        """A test is left out, with its reason."""
        self.desk.session.edit("Leave Test out", edits.state_absence, f"test.{id}", reason)

    def on_reading_asked(self, id: str) -> None:
        """A test was picked: a row with all but its value, the cursor in the value cell."""
        test = self.plan.test(id)
        if test is None or self.desk.session.read_only:
            return
        case = self.desk.session.case
        shown = self._cautions(id, Answer.OPEN)
        if shown:
            self.desk.session.edit("Show Cautions", _with_cautions, shown)
        last = case.readings[-1] if case.readings else None
        instrument = last.instrument if last is not None else (case.instruments[0].id if case.instruments else "")
        by = case.competence.name if case.competence is not None else (last.by if last is not None else "")
        reading, self._points = begun_reading(
            test, case, edits.next_id("reading", (r.id for r in case.readings)), instrument, by
        )
        self._begin(reading)

    def _begin(self, reading: Reading) -> None:
        self.model.show_pending(reading)
        QTimer.singleShot(0, self.table, lambda: self.table.edit_value(reading.id))

    def _drop_pending(self) -> None:
        self._points = ()
        if self.model.pending is not None:
            self.model.show_pending(None)

    def _go_on(self) -> None:
        following = self.plan.following()
        if following is None:
            return
        self.plan_view.choose(following.id)
        if following.live and not following.kept:
            self.plan_view.keep.setFocus(Qt.FocusReason.OtherFocusReason)
        else:
            self.on_reading_asked(following.id)

    # the sheet

    def on_cell_entered(self, reading: Reading, key: str, value: object) -> None:
        """A cell was filled in: change the reading, or make the row that was begun one of the case."""
        column = COLUMNS[PLACES[key]]
        if column.change is None or not self.desk.session.has_case:
            return
        try:
            changed = column.change(reading, value)
        except HazardReportError as error:
            self.desk.notices.error(error)
            return
        if self.model.pending is not None and reading.id == self.model.pending.id:
            if key != VALUE or not changed.typed.strip():
                self.model.show_pending(changed)
                return
            points, self._points = self._points, ()
            self.desk.session.edit("Add Reading", _with_reading, points, changed)
        else:
            self.desk.session.edit(f"Change {column.head}", edits.change_reading, changed)

    def on_typing(self, id: str, text: str | None) -> None:
        """A value is being typed: say what was understood, and follow it with the verdict."""
        self.model.show_typing(id, text)
        if not self.desk.session.has_case:
            return
        case = self.desk.session.case
        if text is None:
            self.desk.live.follow(case)
            return
        if (reading := case.reading(id)) is not None:
            self.desk.live.follow(edits.change_reading(case, replace(reading, typed=text)))
        elif self.model.pending is not None and text.strip():
            self.desk.live.follow(_with_reading(case, self._points, replace(self.model.pending, typed=text)))

    def on_value_entered(self, id: str) -> None:
        """Enter in a value cell: on to the next test when the plan has seen the value."""
        if self.model.pending is None or self.model.pending.id != id:
            self._advance = True
            self.desk.jobs.start("plan", plan_of, self.desk.session.case, on_result=self.on_plan)
        else:
            self._drop_pending()

    def on_add_clicked(self) -> None:
        """A row of one's own, like the last one."""
        case = self.desk.session.case
        free = edits.next_id("reading", (r.id for r in case.readings))
        if case.readings:
            reading = replace(case.readings[-1], id=free, typed="", repeats=(), picture="", note="", taken="")
        else:
            letters = [point.letter for point in case.points[:2]]
            first, second, *_ = *letters, "", ""
            reading = Reading(id=free, first=first, second=second, quantity=Quantity.RESISTANCE, typed="")
        self._points = ()
        self._begin(reading)

    def on_remove_clicked(self) -> None:
        """The selected rows go."""
        self.remove_readings(self.table.selected_ids())

    def remove_readings(self, ids: Sequence[str]) -> None:
        """Readings go; undo brings them back."""
        if self.model.pending is not None and self.model.pending.id in ids:
            self._drop_pending()
        present = tuple(one for one in ids if self.desk.session.case.reading(one) is not None)
        if present:
            text = "Remove Reading" if len(present) == 1 else f"Remove {len(present)} Readings"
            self.desk.session.edit(text, _without_readings, present)

    def on_instruments_clicked(self) -> None:
        """Ask for the instruments."""
        asked = InstrumentsDialog(self.desk.session.case.instruments, self).ask()
        if asked is not None:
            self.desk.session.edit("Change Instruments", _with_instruments, asked)

    def on_import_clicked(self) -> None:
        """Read a bench sheet from a file."""
        name, _ = QFileDialog.getOpenFileName(
            self, "Import bench sheet", "", "Bench sheets (*.csv *.tsv *.txt);;All (*)"
        )
        if name:
            self._import(Path(name), "Import Bench Sheet")

    def _import(self, path: Path, text: str) -> None:
        from hazardreport.storage.bench_sheet import read_bench_sheet

        self.desk.session.edit(text, read_bench_sheet, path)

    def on_export_clicked(self) -> None:
        """Write the bench sheet to a file."""
        from hazardreport.storage.bench_sheet import bench_sheet

        case = self.desk.session.case
        name, _ = QFileDialog.getSaveFileName(self, "Export bench sheet", f"{case.id}-readings.csv", "CSV (*.csv)")
        if not name:
            return
        try:
            Path(name).write_text(bench_sheet(case), encoding="utf-8", newline="")
        except OSError as error:
            self.desk.notices.note("window.readings.not_exported", path=name, why=error.strerror or str(error))
        else:
            self.desk.notices.note("window.readings.exported", path=name)

    def on_paste_asked(self, text: str) -> None:
        """Rows of a spreadsheet: with heads, without heads, or one column of values."""
        rows = [row for row in csv.reader(io.StringIO(text), "excel-tab") if any(cell.strip() for cell in row)]
        if not rows or self.desk.session.read_only:
            return
        if max(len(row) for row in rows) == 1:
            self._paste_values([row[0] for row in rows])
            return
        known = {cell.strip().casefold() for cell in rows[0]}
        if not {"first", "second"} <= known:
            rows.insert(0, list(HEADLESS[: max(len(row) for row in rows)]))
        sheet = io.StringIO()
        csv.writer(sheet, "excel-tab").writerows(rows)
        with tempfile.TemporaryDirectory(prefix="hazardreport-paste-") as folder:
            path = Path(folder) / "pasted.tsv"
            path.write_text(sheet.getvalue(), encoding="utf-8", newline="")
            self._import(path, "Paste Rows")

    def _paste_values(self, values: Sequence[str]) -> None:
        start = max(0, self.table.currentIndex().row())
        readings = self.desk.session.case.readings[start : start + len(values)]
        changed = tuple(replace(r, typed=v.strip()) for r, v in zip(readings, values, strict=False))
        if changed:
            self.desk.session.edit("Paste Values", _with_changed, changed)
        if len(changed) < len(values):
            self.desk.notices.note("window.readings.pasted_short", taken=len(changed), count=len(values))

    def reveal(self, link: str) -> None:
        """Show a reading, or a test of the plan."""
        if link.startswith("reading-"):
            row = self.model.row_of(link)
            if row >= 0:
                self.table.setCurrentIndex(self.model.index(row, PLACES[VALUE]))
                self.table.setFocus(Qt.FocusReason.OtherFocusReason)
        elif link.startswith("test."):
            key = link.removeprefix("test.")
            test = next((test for test in self.plan.tests if key in (test.id, test.key) and not test.done), None)
            if test is not None:
                self.plan_view.choose(test.id)
            self.plan_view.list.setFocus(Qt.FocusReason.OtherFocusReason)
        elif link.startswith("instrument"):
            self.on_instruments_clicked()


def _with_cautions(case: Case, cautions: Sequence[CautionShown]) -> Case:
    for caution in cautions:
        case = edits.record_caution(case, caution)
    return case


def _with_reading(case: Case, points: Sequence[Point], reading: Reading) -> Case:
    for point in points:
        case = edits.add_point(case, point)
    return edits.add_reading(case, reading)


def _with_changed(case: Case, readings: Sequence[Reading]) -> Case:
    for reading in readings:
        case = edits.change_reading(case, reading)
    return case


def _without_readings(case: Case, ids: Sequence[str]) -> Case:
    for one in ids:
        case = edits.remove_reading(case, one)
    return case


def _with_instruments(case: Case, instruments: Sequence[Instrument]) -> Case:
    wanted = {one.id for one in instruments}
    for old in case.instruments:
        if old.id not in wanted:
            case = edits.remove_instrument(case, old.id)
    for one in instruments:
        change = edits.add_instrument if case.instrument(one.id) is None else edits.change_instrument
        case = change(case, one)
    return case

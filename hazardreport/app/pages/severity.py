"""The Severity page: source, states, persons, devices, as built, limits; every number opens its calculation."""

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QPushButton, QSplitter, QVBoxLayout, QWidget

from hazardreport import wording
from hazardreport.app.desk import Desk
from hazardreport.app.pages import severity_rows
from hazardreport.app.pages.page import Page
from hazardreport.app.problem_lines import ProblemLine, problem_lines
from hazardreport.app.views.calculation_view import CalculationView
from hazardreport.app.views.drawing_view import DrawingView
from hazardreport.app.views.fact_table import FactTable
from hazardreport.app.views.form import Card, SectionedScroll
from hazardreport.assess.agreement import entered, with_misfits, without_misfits
from hazardreport.assess.records import Assessment, Problem
from hazardreport.case.case import Case
from hazardreport.case.unit_state import UnitState
from hazardreport.figures.drawing import Drawing
from hazardreport.figures.naming import state_words
from hazardreport.quantity.formatting import format_chi_square

PART = 8
"""Rows that a table gets in one turn of the event loop."""


def title_of(key: str) -> str:
    """The title of a cited document."""
    from hazardreport.errors import UnknownReferenceError
    from hazardreport.standards.references import reference

    try:
        return reference(key).title
    except UnknownReferenceError:
        return key


class SeverityPage(Page):
    """Results, never edited here."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, "Severity", wording.sentence("window.severity.hint"), parent)
        self._case: Case | None = None
        self._assessment: Assessment | None = None
        self._stale = False
        self._waiting: list[Callable[[], None]] = []
        self._turn = QTimer(self)
        self._turn.setSingleShot(True)
        self._turn.setInterval(0)
        self._turn.timeout.connect(self.on_turn)
        self._state: UnitState | None = None
        self.sections = SectionedScroll()
        self.calculation = CalculationView(title_of)
        self.calculation.hide()
        self.calculation.closed.connect(self.on_calculation_closed)
        self.calculation.number_asked.connect(self.show_calculation)
        split = QSplitter(Qt.Orientation.Vertical)
        split.addWidget(self.sections)
        split.addWidget(self.calculation)
        split.setSizes([420, 260])
        split.setChildrenCollapsible(False)
        self.column.addWidget(split, 1)
        self.tables: dict[str, FactTable] = {}
        self._build()

    def _table(self, key: str, *heads: str, numbers: tuple[int, ...], wide: tuple[int, ...] = ()) -> FactTable:
        table = FactTable(heads, numbers, wide)
        table.number_asked.connect(self.show_calculation)
        self.tables[key] = table
        return table

    def _card(self, name: str, title: str, hint: str, *widgets: QWidget) -> Card:
        card = Card(title, wording.sentence(hint) if hint else "")
        for widget in widgets:
            card.body.addWidget(widget)
        self.sections.add_section(name, card)
        return card

    def _build(self) -> None:
        self.empty = QLabel(wording.sentence("window.severity.empty"))
        self.empty.setWordWrap(True)
        self.problems = QVBoxLayout()
        self.problem_card = Card("What to mend or know")
        self.problem_card.body.addLayout(self.problems)
        self.chart = DrawingView("Time and current of the likely contacts")
        self.chart.setFixedHeight(360)
        self.source = DrawingView("The source at the touchable part with its loads")
        self.source.setFixedHeight(300)
        self.known = QLabel()
        self.known.setWordWrap(True)
        states = self._table("states", "State", "Known", "U0", "Isc", "Median adult", numbers=(2, 3, 4))
        self._card("States", "Every state of the unit", "window.severity.states", self.empty, states, self.known)
        self.state_box = QComboBox()
        self.state_box.setAccessibleName("State of the unit for the exposures")
        self.state_box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.state_box.activated.connect(self.on_state_chosen)
        self.state_row = row = QWidget()
        line = QHBoxLayout(row)
        line.setContentsMargins(0, 0, 0, 0)
        line.addWidget(QLabel("State"))
        line.addWidget(self.state_box)
        line.addStretch(1)
        exposures = self._table("exposures", "Contact", "5 %", "50 %", "95 %", "Zone", "Lasts", numbers=(1, 2, 3, 5))
        population = self._table(
            "population",
            "Adults who touch it so", "Feel it", "Cannot let go", "Above c1", "Above c2",
            numbers=(1, 2, 3, 4),
        )  # fmt: skip
        self.adults = QLabel()
        self.adults.setWordWrap(True)
        self._card(
            "Persons", "Persons who touch it", "window.severity.persons",
            row, self.chart, exposures, self.adults, population,
        )  # fmt: skip
        routes = self._table("routes", "State", "Route", "U0", "|Zs|", "Isc", numbers=(2, 3, 4))
        fitted = self._table("parameters", "Fitted", "Symbol", "Value", "", numbers=(2,))
        self.agreement = QLabel()
        self.agreement.setWordWrap(True)
        residuals = self._table("residuals", "Reading", "Predicted", "Apart by, in standard deviations", numbers=(1, 2))
        self.artefact = QLabel()
        self.artefact.setWordWrap(True)
        rivals = self._table(
            "rivals",
            "Explanation", "The readings", "Chi-square / freedom", "P", "Behind the best by", "Most against it",
            numbers=(2, 3, 4), wide=(5,),
        )  # fmt: skip
        self._card(
            "Source", "The source at the metal part", "window.severity.source",
            self.source, routes, fitted, self.agreement, residuals, self.artefact, rivals,
        )  # fmt: skip
        devices = self._table(
            "devices", "Device", "State", "Current is", "Current", "Device", "In at most", numbers=(3, 5)
        )
        self._card("Devices", "Protective devices", "window.severity.devices", devices)
        built = self._table(
            "built", "State", "Touch voltage", "to true earth", "Earth current", "Devices", numbers=(1, 2, 3)
        )
        self.otherwise = QLabel()
        self.otherwise.setWordWrap(True)
        self._card("Built right", "If it had been built right", "window.severity.built", built, self.otherwise)
        pins = self._table(
            "pins",
            "Unplugged, with the",
            "After the stated time, rated",
            "Against the limit",
            "As supplied",
            "Energy",
            "Safe after",
            numbers=(1, 3, 4, 5),
        )
        self.pin_card = self._card("Unplugged", "Charge left between the pins", "window.severity.pins", pins)
        limits = self._table("limits", "Limit", "Value", "Limit", "P(exceeded)", "Decision", numbers=(1, 2, 3))
        self._card("Limits", "Against limits", "window.severity.limits", limits)
        self.sections.add_section("To mend", self.problem_card)

    def show_case(self, case: Case) -> None:
        """The readings may be stale until the newest results arrive."""
        self._case = case

    def show_assessment(self, case: Case, assessment: Assessment) -> None:
        """Show the results, now or when the page is next seen."""
        self._case, self._assessment = case, assessment
        if self.isVisible():
            self._show()
        else:
            self._stale = True

    def showEvent(self, event: QShowEvent) -> None:
        """The page is seen again."""
        super().showEvent(event)
        if self._stale:
            self._show()

    def _show(self) -> None:
        assessment = self._assessment
        if assessment is None:
            return
        self._stale = False
        self.empty.setVisible(not assessment.states)
        makers: tuple[tuple[str, Callable[[], severity_rows.Rows]], ...] = (
            ("states", lambda: severity_rows.state_rows(assessment)),
            ("routes", lambda: severity_rows.route_rows(assessment)),
            ("parameters", lambda: severity_rows.parameter_rows(assessment)),
            ("residuals", lambda: severity_rows.residual_rows(assessment, self._case)),
            ("devices", lambda: severity_rows.device_rows(assessment, assessment.devices)),
            ("built", lambda: severity_rows.built_rows(assessment)),
            ("limits", lambda: severity_rows.limit_rows(assessment)),
            ("rivals", lambda: severity_rows.rival_rows(assessment, self._case)),
            ("pins", lambda: severity_rows.pin_rows(assessment)),
        )
        self._waiting = [partial(self._begin_table, key, make) for key, make in makers]
        self._waiting.insert(1, lambda: self._show_states(assessment))
        self._waiting += [
            lambda: self._show_known(assessment),
            lambda: self._show_fit(assessment),
            lambda: self._show_problems(assessment),
            lambda: self.sections.hold(False),
        ]
        self.sections.show_section(self.pin_card, bool(assessment.pins))
        self.otherwise.setText("\n".join(severity_rows.otherwise_lines(assessment)))
        self.otherwise.setVisible(bool(assessment.otherwise))
        self.sections.hold(True)
        self.on_turn()
        if self.calculation.isVisible():
            self.calculation.show_number(assessment.trace, self.calculation.number)

    def on_turn(self) -> None:
        """Show the next part, then let the window breathe."""
        if self._waiting:
            self._waiting.pop(0)()
        if self._waiting:
            self._turn.start()

    def _begin_table(self, key: str, make: Callable[[], severity_rows.Rows]) -> None:
        self._show_part(key, make(), PART)

    def _show_part(self, key: str, rows: severity_rows.Rows, count: int) -> None:
        """A long table grows by a few rows in each turn."""
        table = self.tables[key]
        count = max(count, len(table.rows))
        table.show_rows(rows[:count])
        table.setVisible(bool(rows))
        if count < len(rows):
            self._waiting.insert(0, lambda: self._show_part(key, rows, count + PART))

    def _show_states(self, assessment: Assessment) -> None:
        states = severity_rows.exposure_states(assessment)
        if self._state not in states:
            self._state = states[0] if states else None
        self.state_box.clear()
        for state in states:
            self.state_box.addItem(state_words(state), state)
        if self._state is not None:
            self.state_box.setCurrentIndex(states.index(self._state))
        self._show_exposures(assessment)

    def on_state_chosen(self, index: int) -> None:
        """Another state was chosen."""
        if self._assessment is not None:
            self._state = severity_rows.exposure_states(self._assessment)[index]
            self._show_exposures(self._assessment)
            self.sections.settle()

    def _show_exposures(self, assessment: Assessment) -> None:
        state, case = self._state, self._case
        rows = severity_rows.exposure_rows(assessment, state)
        self._show_part("exposures", rows, PART)
        shares = severity_rows.population_rows(assessment, state)
        lines = severity_rows.population_lines(assessment, state)
        self.adults.setText("\n".join(f"• {line}" for line in lines))
        self.adults.setVisible(bool(lines))
        if shares or assessment.settled is not None:
            self._show_part("population", shares, PART)
        if self._waiting:
            self._turn.start()
        self.chart.setVisible(bool(rows))
        self.state_row.setVisible(bool(rows))
        known = any(cell.open_circuit_voltage and cell.source_impedance for cell in assessment.states)
        self.source.setVisible(known)
        charts: tuple[tuple[DrawingView, Callable[[float, float], Drawing] | None], ...] = (
            (self.chart, None),
            (self.source, None),
        )
        if rows and case is not None:

            def person(width: float, height: float) -> Drawing:
                from hazardreport.figures.time_current import time_current_chart

                return time_current_chart(assessment, width, height, state)

            def source(width: float, height: float) -> Drawing:
                from hazardreport.figures.source_line import source_characteristic

                return source_characteristic(case, assessment, width, height, assessment.verdict.headline)

            charts = ((self.chart, person), (self.source, source if known else None))
        for view, make in charts:
            view.show_drawing(make)

    def _show_known(self, assessment: Assessment) -> None:
        """What the words of the states table mean, and what would measure a predicted current."""
        fixed = any(cell.established for cell in assessment.states)
        lines = (wording.sentence("assess.basis.established") if fixed else "", assessment.would_measure)
        self.known.setText("\n".join(line for line in lines if line))
        self.known.setVisible(any(lines))

    def _show_fit(self, assessment: Assessment) -> None:
        fit = assessment.fit
        if fit is None:
            self.agreement.setText(wording.sentence("window.severity.no_fit"))
        else:
            known = {None: "untested", True: "one", False: "several"}[fit.consistent]
            told = without_misfits(assessment) or wording.sentence(
                f"window.severity.agreement.{known}",
                chi_square=format_chi_square(fit.chi_square),
                freedom=fit.degrees_of_freedom,
            )
            said = (entered(assessment), told, with_misfits(assessment))
            self.agreement.setText("\n".join(line for line in said if line))
        lines = severity_rows.artefact_lines(assessment)
        self.artefact.setVisible(bool(lines))
        self.artefact.setText("\n".join(f"{sign}: {text}" for sign, text in lines))

    def _show_problems(self, assessment: Assessment) -> None:
        while (item := self.problems.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.deleteLater()
        for line in problem_lines(assessment.problems):
            self.problems.addWidget(self._problem_line(line))
        if not assessment.problems:
            self.problems.addWidget(QLabel(wording.sentence("window.severity.no_problems")))

    def _problem_line(self, told: ProblemLine) -> QWidget:
        line = QWidget()
        row = QHBoxLayout(line)
        row.setContentsMargins(0, 0, 0, 0)
        readings = [problem.id for problem in told.problems if problem.kind == "reading" and problem.id]
        ids = ", ".join(readings)
        words = f"{told.text} ({ids})" if told.counted else f"{ids}: {told.text}"
        text = QLabel(words if readings else told.text)
        text.setWordWrap(True)
        row.addWidget(text, 1)
        first = next((problem for problem in told.problems if problem.id), None)
        if first is not None:
            go = QPushButton("Show")
            go.setAccessibleName(f"Show {first.id}")
            go.clicked.connect(lambda: self.link_asked.emit(problem_link(first)))
            row.addWidget(go, 0, Qt.AlignmentFlag.AlignTop)
        return line

    def show_calculation(self, id: str) -> None:
        """Open the worked calculation of a number."""
        if self._assessment is None:
            return
        self.calculation.show()
        self.calculation.show_number(self._assessment.trace, id)
        for table in self.tables.values():
            table.show_asked(id)

    def on_calculation_closed(self) -> None:
        """Put the calculation away."""
        self.calculation.hide()
        for table in self.tables.values():
            table.show_asked("")

    def reveal(self, link: str) -> None:
        """Open the calculation of a number."""
        if link.startswith("number."):
            self.show_calculation(link.removeprefix("number."))


OF_FIELDS = ("wiring", "unit", "occurrence", "submitter", "situation", "consents", "harm_factors", "custody")
"""Kinds of problems whose id is a field of that record."""


def problem_link(problem: Problem) -> str:
    """The link of the record that a problem concerns."""
    if problem.kind in OF_FIELDS and "." not in problem.id:
        return f"{problem.kind}.{problem.id}"
    return problem.id

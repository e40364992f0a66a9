"""Ways to an injury: told as steps with probabilities as the assessor judges them, to a level of risk."""

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QStackedWidget, QWidget

from hazardreport import wording
from hazardreport.app.desk import Desk
from hazardreport.app.pages.findings_place import Place
from hazardreport.app.pages.scenario_editor import ScenarioEditor
from hazardreport.app.pages.scenario_lines import entry_text
from hazardreport.app.views.chosen_list import ChosenList
from hazardreport.app.views.list_and_editor import ListAndEditor
from hazardreport.app.views.record_list import text_label
from hazardreport.assess.records import Assessment, Support
from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.scenario import Scenario, ScenarioStep


class ScenariosPlace(Place):
    """List on the left, one way to an injury on the right, the product's risk above both."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, wording.sentence("findings.scenarios.hint"), parent)
        self.current = ""
        self._assessment: Assessment | None = None
        self._supports: dict[str, tuple[tuple[ScenarioStep, ...], tuple[Support, ...]]] = {}
        row = QHBoxLayout()
        self.add = QPushButton("Add a way to an injury")
        self.add.setProperty("role", "main")
        self.add.clicked.connect(self.on_add_clicked)
        self.copy = QPushButton("Copy")
        self.copy.setAccessibleName("Copy this way to an injury")
        self.copy.clicked.connect(self.on_copy_clicked)
        self.remove = QPushButton("Remove")
        self.remove.setAccessibleName("Remove this way to an injury")
        self.remove.clicked.connect(self.on_remove_clicked)
        for button in (self.add, self.copy, self.remove):
            row.addWidget(button)
        row.addStretch(1)
        self.column.addLayout(row)
        self.product = text_label("", "strong")
        self.product.setAccessibleName("Risk of the product")
        self.column.addWidget(self.product)
        self.list = ChosenList("Ways to an injury")
        self.list.chosen.connect(self.on_chosen)
        empty = text_label(wording.sentence("findings.scenarios.empty"), "faint")
        empty.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.editor = ScenarioEditor()
        self.editor.changed.connect(self.on_changed)
        self.editor.typing.connect(self.on_typing)
        self.editor.number_asked.connect(lambda number: self.link_asked.emit(f"number.{number}"))
        self.editor.compare_asked.connect(self.compare_asked)
        self.stack = QStackedWidget()
        self.stack.addWidget(empty)
        self.stack.addWidget(self.editor)
        self.split = ListAndEditor(self.list, self.stack, 200)
        self.column.addWidget(self.split, 1)

    def on_changed(self, name: str, scenario: Scenario, merge: str) -> None:
        """The scenario was changed."""
        self.desk.session.edit(name, edits.change_scenario, scenario, merge=merge)

    def on_typing(self, scenario: Scenario) -> None:
        """A probability is being typed: follow it with the result, without entering it."""
        case = self.desk.session.case
        if case.scenario(scenario.id) is not None and not self.desk.session.read_only:
            self.desk.live.follow(edits.change_scenario(case, scenario))

    def _add(self, name: str, **values: Any) -> None:
        self.editor.enter_typing()
        case = self.desk.session.case
        new = Scenario(id=edits.next_id("scenario", (one.id for one in case.scenarios)), **values)
        before, self.current = self.current, new.id
        if self.desk.session.edit(name, edits.add_scenario, new):
            self.editor.sections.reveal(self.editor.fields["title"])
        else:
            self.current = before

    def on_add_clicked(self) -> None:
        """A new way with one empty step, and the cursor in its title."""
        self._add("Add Way to an Injury", steps=(ScenarioStep(),))

    def on_copy_clicked(self) -> None:
        """A second one like the present one, for another person or another end."""
        self.editor.enter_typing()
        known = self.desk.session.case.scenario(self.current)
        if known is not None:
            title = wording.sentence("findings.scenarios.copy", title=known.title)
            values = {
                name: getattr(known, name) for name in Scenario.__dataclass_fields__ if name not in ("id", "title")
            }
            self._add("Copy Way to an Injury", title=title, **values)

    def on_remove_clicked(self) -> None:
        """The way goes; undo brings it back."""
        if self.desk.session.case.scenario(self.current) is not None:
            self.desk.session.edit("Remove Way to an Injury", edits.remove_scenario, self.current)

    def on_chosen(self, id: str) -> None:
        """Another way was chosen."""
        self.editor.enter_typing()
        self.current = id
        self.show_case(self.desk.session.case)

    def show_case(self, case: Case) -> None:
        """Show the ways of the case."""
        if case.scenario(self.current) is None:
            self.current = case.scenarios[0].id if case.scenarios else ""
        self._show_list(case)
        read_only = self.desk.session.read_only
        self.add.setEnabled(not read_only)
        for button in (self.copy, self.remove):
            button.setEnabled(bool(case.scenarios) and not read_only)
        scenario = case.scenario(self.current)
        self.stack.setCurrentIndex(0 if scenario is None else 1)
        if scenario is not None:
            self.editor.show_scenario(case, scenario, read_only)
            self._show_result(case)

    def _show_list(self, case: Case) -> None:
        risk = self._assessment.risk if self._assessment is not None else None
        entries = [
            (one.id, entry_text(one, risk.scenario(one.id) if risk is not None else None)) for one in case.scenarios
        ]
        self.list.show_entries(entries, self.current)
        self.list.setVisible(bool(case.scenarios))
        self.product.setText(risk.product.sentence if risk is not None and case.scenarios else "")
        self.product.setVisible(bool(self.product.text()))

    def show_assessment(self, case: Case, assessment: Assessment) -> None:
        """Show the results; shares of adults stay beside a step until newer ones come, while the step is the same."""
        self._assessment = assessment
        if assessment.settled is not None:
            self._supports = {one.id: (one.steps, assessment.risk.support(one.id)) for one in case.scenarios}
        self._show_list(self.desk.session.case)
        self._show_result(case)

    def _show_result(self, case: Case) -> None:
        scenario = case.scenario(self.current)
        if scenario is None or self._assessment is None:
            return
        steps, supports = self._supports.get(scenario.id, ((), ()))
        same = [
            support
            for support in supports
            if steps[support.step - 1 : support.step] == scenario.steps[support.step - 1 : support.step]
        ]
        self.editor.show_result(self._assessment, tuple(same))

    def reveal(self, link: str) -> None:
        """Show a way to an injury."""
        if link.startswith("scenario-") and self.desk.session.case.scenario(link) is not None:
            self.editor.enter_typing()
            self.current = link
            self.show_case(self.desk.session.case)
            self.list.setFocus(Qt.FocusReason.OtherFocusReason)
        elif not self.desk.session.case.scenarios:
            self.add.setFocus(Qt.FocusReason.OtherFocusReason)

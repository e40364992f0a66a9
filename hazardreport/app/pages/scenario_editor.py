"""The editor of one way to an injury: who, by what, the steps in their order, the injury, what it comes to."""

from dataclasses import replace
from functools import partial
from typing import Any

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from hazardreport import wording
from hazardreport.app.pages.findings_fields import SCENARIO_FIELDS, STEP_FIELDS, by_name
from hazardreport.app.pages.findings_place import picture_entries, reading_entries
from hazardreport.app.pages.scenario_lines import (
    consumer_words,
    hazard_words,
    result_text,
    severity_texts,
    step_remarks,
    tables_from_memory,
    understood_probability,
)
from hazardreport.app.views.fields import ChoiceField, Field, TextField, choices
from hazardreport.app.views.form import FormCard, SectionedScroll
from hazardreport.app.views.help_line import HelpLine
from hazardreport.app.views.record_list import text_label
from hazardreport.app.views.result_card import ResultCard
from hazardreport.app.views.severity_field import SeverityField
from hazardreport.app.views.step_card import StepCard
from hazardreport.app.views.tick_list import TickList
from hazardreport.assess.records import Assessment, Support
from hazardreport.case.case import Case
from hazardreport.case.scenario import Consumer, Scenario, ScenarioStep
from hazardreport.standards.confirmed import confirmations_count

LABEL_WIDTH = 130
TICKS_HEIGHT = 130
NARROW_BOX = 140
ASKED, ASKED_OF_STEP = by_name(*SCENARIO_FIELDS), by_name(*STEP_FIELDS)


class ScenarioEditor(QWidget):
    """Shows a scenario and says how it is to be changed.

    changed  name of the edit, the scenario as it would be, and what joins keystrokes to one step of undo
    typing   the scenario as it would be if what is being typed were entered
    """

    changed = Signal(str, object, str)
    typing = Signal(object)
    number_asked = Signal(str)
    compare_asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._scenario = Scenario(id="")
        self._read_only = False
        self._case: Case | None = None
        self._told: tuple[Assessment, tuple[Support, ...]] | None = None
        self._turn = QTimer(self)
        self._turn.setSingleShot(True)
        self._turn.timeout.connect(self.on_turn)
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 0, 0, 0)
        self.sections = SectionedScroll()
        column.addWidget(self.sections, 1)
        self.help = HelpLine(wording.sentence("window.unit.help"))
        column.addWidget(self.help)
        self.fields: dict[str, Field] = {}
        self.steps: list[StepCard] = []
        self.sections.add_section("Who", self._who())
        self.sections.add_section("Steps", self._steps())
        self.sections.add_section("Injury", self._injury())
        self.result = ResultCard(
            wording.sentence("findings.result.title"),
            wording.sentence("findings.result.hint"),
            wording.sentence("findings.result.memory"),
        )
        self.result.compare_asked.connect(self.compare_asked)
        self.sections.add_section("Result", self.result)
        self.help.follow([*self.fields.values(), self.findings])

    def _who(self) -> QWidget:
        from hazardreport.risk.hazards import hazards

        card = FormCard(wording.sentence("findings.scenarios.who_title"), label_width=LABEL_WIDTH)
        offered: list[tuple[object, str]] = [("", "Not said yet"), *((one.key, one.name) for one in hazards())]
        self._add(card, "title", text_field("title"))
        self._add(card, "consumer", ChoiceField(ASKED["consumer"].label, choices(Consumer), width=260))
        self._add(card, "who", text_field("who"))
        self._add(card, "hazard", wide_choice(ASKED["hazard"].label, offered))
        self._findings_head = text_label(ASKED["findings"].label, "small")
        card.body.addWidget(self._findings_head)
        self.findings = TickList(ASKED["findings"].label)
        self.findings.explain(ASKED["findings"].label, ASKED["findings"].explanation)
        self.findings.itemChanged.connect(lambda _: self._change("findings", self.findings.ticked()))
        card.body.addWidget(self.findings)
        return card

    def _add(self, card: FormCard, name: str, field: Field) -> None:
        field.entered.connect(partial(self._change, name))
        field.explain(ASKED[name].explanation, shown=ASKED[name].has_trade_term)
        self.fields[name] = field
        card.add_field(field)

    def _steps(self) -> QWidget:
        whole = self._step_part = QWidget()
        self._step_column = QVBoxLayout(whole)
        self._step_column.setContentsMargins(0, 0, 0, 0)
        self._step_column.setSpacing(12)
        row = QHBoxLayout()
        self.add_step = QPushButton("Add step")
        self.add_step.clicked.connect(self.on_add_step)
        row.addWidget(self.add_step)
        row.addStretch(1)
        self._step_column.addLayout(row)
        return whole

    def _injury(self) -> QWidget:
        from hazardreport.risk.injuries import injuries

        card = FormCard(
            wording.sentence("findings.scenarios.injury_title"),
            wording.sentence("findings.scenarios.injury_hint"),
            label_width=LABEL_WIDTH,
        )
        offered: list[tuple[object, str]] = [("", "Not chosen yet"), *((one.key, one.name) for one in injuries())]
        self.severity = SeverityField(ASKED["severity"].label)
        self._add(card, "injury", wide_choice(ASKED["injury"].label, offered))
        self._add(card, "severity", self.severity)
        self._add(card, "severity_reason", text_field("severity_reason"))
        return card

    def show_scenario(self, case: Case, scenario: Scenario, read_only: bool) -> None:
        """Show a way to an injury as the case has it."""
        self._scenario, self._read_only = scenario, read_only
        for name, field in self.fields.items():
            field.show_value(getattr(scenario, name))
            field.set_read_only(read_only)
        with confirmations_count(case.confirmations):
            self.fields["consumer"].show_remark(consumer_words(scenario.consumer))
            self.fields["hazard"].show_remark(hazard_words(scenario.hazard))
            self.severity.show_texts(severity_texts(scenario.injury))
        self.findings.show_entries([(one.id, f"{one.id}  {one.text}") for one in case.findings], scenario.findings)
        self._fit_findings()
        self.findings.setEnabled(not read_only)
        self.add_step.setEnabled(not read_only)
        self._show_steps(case)
        self.result.show_tables(tables_from_memory(case.confirmations))

    def _fit_findings(self) -> None:
        count = self.findings.count()
        self.findings.setVisible(bool(count))
        self._findings_head.setVisible(bool(count))
        row = self.findings.sizeHintForRow(0) if count else 0
        self.findings.setFixedHeight(max(40, min(row * count + 2 * self.findings.frameWidth() + 8, TICKS_HEIGHT)))

    def _show_steps(self, case: Case) -> None:
        steps = self._scenario.steps
        while len(self.steps) > len(steps):
            card = self.steps.pop()
            self._step_column.removeWidget(card)
            card.hide()
            card.deleteLater()
        if len(steps) == len(self.steps) + 1:
            self._build_card()
        pictures, readings = picture_entries(case), reading_entries(case)
        for number, (card, step) in enumerate(zip(self.steps, steps, strict=False)):
            card.show_number(number, len(steps), self._read_only)
            card.show_step(step, pictures, readings, self._read_only)
        self._case = case
        if not self.whole:
            self._turn.start()
        self.sections.settle()

    def _build_card(self) -> None:
        """The card of the next step that has none yet."""
        card = StepCard(len(self.steps), understood_probability, ASKED_OF_STEP, self._step_part)
        card.entered.connect(self.on_step_entered)
        card.typing.connect(self.on_step_typing)
        card.moved.connect(self.on_step_moved)
        card.removed.connect(self.on_step_removed)
        card.number_asked.connect(self.number_asked)
        self.help.follow([*card.fields.values(), *card.ticks.lists.values(), card.ticks.toggle])
        self.steps.append(card)
        self._step_column.insertWidget(self._step_column.count() - 1, card)

    @property
    def whole(self) -> bool:
        """Every step of the scenario has its card."""
        return len(self.steps) == len(self._scenario.steps)

    def on_turn(self) -> None:
        """Build one more card, then let the window breathe."""
        if self._case is not None and not self.whole:
            self._build_card()
            self._show_steps(self._case)
            self._show_remarks()

    def show_result(self, assessment: Assessment, supports: tuple[Support, ...]) -> None:
        """Show what the present scenario comes to."""
        found = assessment.risk.scenario(self._scenario.id)
        self.result.show_result(result_text(self._scenario, found, assessment.problems))
        self._told = (assessment, supports)
        self._show_remarks()
        self.sections.settle()

    def _show_remarks(self) -> None:
        if self._told is not None:
            for number, card in enumerate(self.steps):
                card.show_remarks(step_remarks(self._scenario, number, *self._told))

    def enter_typing(self) -> None:
        """What is being typed is entered, before steps move."""
        fields = [*self.fields.values(), *(field for card in self.steps for field in card.fields.values())]
        for field in fields:
            if isinstance(field, TextField):
                field.on_done()

    def _tell(self, name: str, merge: str = "", **changed: Any) -> None:
        self.changed.emit(name, replace(self._scenario, **changed), merge)

    def _change(self, name: str, value: object) -> None:
        merge = f"{self._scenario.id} {name}" if name in ("title", "who", "severity_reason") else ""
        labels = {"findings": "Findings", **{key: field.label for key, field in self.fields.items()}}
        self._tell(f"Change {labels[name]} of Way to an Injury", merge, **{name: value})

    def _with_step(self, number: int, name: str, value: object) -> tuple[ScenarioStep, ...]:
        steps = self._scenario.steps
        changed: dict[str, Any] = {name: value}
        return (*steps[:number], replace(steps[number], **changed), *steps[number + 1 :])

    def on_step_entered(self, number: int, name: str, value: object) -> None:
        """A field of a step was filled in."""
        if number < len(self._scenario.steps):
            merge = f"{self._scenario.id} {number} {name}" if name in ("text", "probability", "reason") else ""
            self._tell(f"Change Step {number + 1}", merge, steps=self._with_step(number, name, value))

    def on_step_typing(self, number: int, text: str) -> None:
        """A probability is being typed: the result follows."""
        if number < len(self._scenario.steps):
            self.typing.emit(replace(self._scenario, steps=self._with_step(number, "probability", text)))

    def on_add_step(self) -> None:
        """One more step, with the cursor in its text."""
        self.enter_typing()
        self._tell("Add Step", steps=(*self._scenario.steps, ScenarioStep()))
        if self.steps and len(self.steps) == len(self._scenario.steps):
            self.sections.reveal(self.steps[-1].fields["text"])

    def on_step_removed(self, number: int) -> None:
        """The step goes; undo brings it back."""
        self.enter_typing()
        steps = self._scenario.steps
        self._tell(f"Remove Step {number + 1}", steps=(*steps[:number], *steps[number + 1 :]))
        if self.steps:
            self.steps[min(number, len(self.steps) - 1)].fields["text"].setFocus(Qt.FocusReason.OtherFocusReason)
        else:
            self.add_step.setFocus(Qt.FocusReason.OtherFocusReason)

    def on_step_moved(self, number: int, way: int) -> None:
        """The step changes places with its neighbour; the cursor goes with it."""
        other = number + way
        if not (0 <= other < len(self.steps)) or self._read_only:
            return
        card = self.steps[number]
        part = next((name for name, field in card.fields.items() if field.isAncestorOf(self._focused())), "")
        self.enter_typing()
        steps = list(self._scenario.steps)
        steps[number], steps[other] = steps[other], steps[number]
        self._tell(f"Move Step {number + 1}", steps=tuple(steps))
        moved = self.steps[other]
        button = moved.up if way < 0 else moved.down
        button = button if button.isEnabled() else (moved.down if way < 0 else moved.up)
        (moved.fields[part] if part else button).setFocus(Qt.FocusReason.OtherFocusReason)

    def _focused(self) -> QWidget:
        return self.window().focusWidget() or self


def text_field(name: str) -> TextField:
    """A text of a way to an injury."""
    asked = ASKED[name]
    return TextField(asked.label, long=asked.kind == "long", hint=asked.hint)


def wide_choice(label: str, offered: list[tuple[object, str]]) -> ChoiceField:
    """A choice among long texts that does not make the page wider than the window."""
    field = ChoiceField(label, offered)
    field.box.setMinimumWidth(NARROW_BOX)
    return field

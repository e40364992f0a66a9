"""Construction: what can be looked for on the unit, answered one by one, and the class of protection that follows."""

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QFrame, QLabel, QWidget

from hazardreport import wording
from hazardreport.app.desk import Desk
from hazardreport.app.pages.findings_fields import REQUIREMENT_FIELDS, by_name
from hazardreport.app.pages.findings_place import Place, picture_entries, reading_entries
from hazardreport.app.pages.requirement_lines import requirement_state, requirement_text
from hazardreport.app.views.class_card import ClassCard
from hazardreport.app.views.form import Card, SectionedScroll
from hazardreport.app.views.requirement_row import RequirementRow
from hazardreport.assess.records import Assessment
from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.circumstances import FindingAnswer
from hazardreport.case.requirement import RequirementAnswer

if TYPE_CHECKING:
    from hazardreport.risk.requirements import Requirement

ASKED = by_name(*REQUIREMENT_FIELDS)
PART = 2
"""Rows that are built in one turn of the event loop."""


class ConstructionPlace(Place):
    """One card for each group of requirements; rows come a few at a time, so that the window never waits."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, wording.sentence("findings.construction.hint"), parent)
        self.rows: dict[str, RequirementRow] = {}
        self._assessment: Assessment | None = None
        self._wanted = ""
        self._cards: dict[str, Card] = {}
        self._counts: dict[str, QLabel] = {}
        self.sections = SectionedScroll()
        self.column.addWidget(self.sections, 1)
        self.reasons = ClassCard(
            wording.sentence("findings.construction.class_title"), wording.sentence("findings.construction.class_hint")
        )
        self.reasons.link_asked.connect(self.on_link_asked)
        self.sections.add_section("Class", self.reasons)
        self._to_build: Iterator[Requirement] = iter(())
        self._turn = QTimer(self)
        self._turn.setSingleShot(True)
        self._turn.setInterval(0)
        self._turn.timeout.connect(self.on_turn)
        self._begin()

    def _begin(self) -> None:
        from hazardreport.risk.requirements import requirements

        found = requirements()
        for entry in found:
            if entry.group not in self._cards:
                card = Card(wording.sentence(f"findings.group.{group_key(entry.group)}.title"))
                count = QLabel()
                count.setProperty("role", "small")
                card.body.addWidget(count)
                self._counts[entry.group] = count
                self._cards[entry.group] = card
                self.sections.add_section(wording.sentence(f"findings.group.{group_key(entry.group)}.link"), card)
        self._to_build = iter(found)
        self._turn.start()

    @property
    def whole(self) -> bool:
        """Every row is there."""
        return not self._turn.isActive()

    def on_turn(self) -> None:
        """Build a few rows, then let the window breathe."""
        for _ in range(PART):
            entry = next(self._to_build, None)
            if entry is None:
                self.sections.settle()
                if self._wanted:
                    self.reveal(self._wanted)
                return
            self._add_row(entry)
        self._turn.start()

    def _add_row(self, entry: "Requirement") -> None:
        card = self._cards[entry.group]
        rule = QFrame()
        rule.setObjectName("rule")
        rule.setFixedHeight(1)
        card.body.addWidget(rule)
        row = RequirementRow(requirement_text(entry), ASKED)
        row.answered.connect(self.on_answered)
        row.noted.connect(self.on_noted)
        row.tied.connect(self.on_tied)
        row.unfolded.connect(self.sections.settle)
        row.number_asked.connect(lambda number: self.link_asked.emit(f"number.{number}"))
        self.rows[entry.key] = row
        card.body.addWidget(row)
        if self.desk.session.has_case:
            self._show_row(row, self.desk.session.case)
            self._show_count(entry.group)

    def _show_row(self, row: RequirementRow, case: Case) -> None:
        key = row.text.key
        row.show_evidence(picture_entries(case), reading_entries(case))
        row.show_state(
            requirement_state(case.requirement(key), key, self._assessment, case), self.desk.session.read_only
        )

    def _show_count(self, group: str) -> None:
        from hazardreport.risk.requirements import requirements

        case = self.desk.session.case
        keys = [entry.key for entry in requirements() if entry.group == group]
        answered = sum(case.requirement(key) is not None for key in keys)
        self._counts[group].setText(
            wording.sentence("findings.construction.answered", answered=answered, total=len(keys))
        )

    def show_case(self, case: Case) -> None:
        """Show the answers."""
        for row in self.rows.values():
            self._show_row(row, case)
        for group in self._counts:
            self._show_count(group)

    def show_assessment(self, case: Case, assessment: Assessment) -> None:
        """Show what the answers and readings come to."""
        self._assessment = assessment
        self.reasons.show_reasoning(assessment.protection_class, wording.sentence("findings.construction.nothing_seen"))
        for row in self.rows.values():
            self._show_row(row, self.desk.session.case)
        self.sections.settle()

    def _name(self, key: str) -> str:
        return self.rows[key].text.name

    def on_answered(self, key: str, answer: FindingAnswer | None) -> None:
        """An answer was given, or taken back."""
        if answer is None:
            self.desk.session.edit(f"Take Back Answer: {self._name(key)}", edits.take_answer_back, key)
            return
        known = self.desk.session.case.requirement(key)
        given = replace(known, answer=answer) if known is not None else RequirementAnswer(id=key, answer=answer)
        self.desk.session.edit(f"Answer: {self._name(key)}", edits.answer_requirement, given)

    def on_noted(self, key: str, note: str) -> None:
        """A note was typed."""
        self._change(key, f"Note: {self._name(key)}", f"{key} note", note=note)

    def on_tied(self, key: str, kind: str, ids: tuple[str, ...]) -> None:
        """Pictures or readings were tied to an answer."""
        self._change(key, f"Tie {kind.capitalize()}: {self._name(key)}", "", **{kind: ids})

    def _change(self, key: str, name: str, merge: str, **changed: Any) -> None:
        known = self.desk.session.case.requirement(key)
        if known is not None:
            self.desk.session.edit(name, edits.answer_requirement, replace(known, **changed), merge=merge)

    def on_link_asked(self, link: str) -> None:
        """A reason leads to a row of this place, or to another page."""
        if link.startswith("requirements."):
            self.reveal(link)
        else:
            self.link_asked.emit(link)

    def reveal(self, link: str) -> None:
        """Bring a requirement into view, now or as soon as its row is there; without one, the first."""
        key = link.removeprefix("requirements").removeprefix(".")
        row = self.rows.get(key) if key else next(iter(self.rows.values()), None)
        self._wanted = "" if row is not None else link
        if row is not None:
            if key:
                row.unfold()
            self.sections.reveal(row)


def group_key(group: str) -> str:
    """Key of a group in the wording."""
    return group.lower().replace(" ", "_")

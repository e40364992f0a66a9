"""What was found: one fact each, with the claim that it supports, tied to pictures and readings."""

from dataclasses import replace
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from hazardreport import wording
from hazardreport.app.desk import Desk
from hazardreport.app.pages.findings_fields import FINDING_FIELDS, by_name
from hazardreport.app.pages.findings_place import Place, picture_entries, reading_entries
from hazardreport.app.views.chosen_list import ChosenList
from hazardreport.app.views.fields import ChoiceField, Field, TextField, choices
from hazardreport.app.views.form import FormCard
from hazardreport.app.views.help_line import HelpLine
from hazardreport.app.views.list_and_editor import ListAndEditor
from hazardreport.app.views.listed_text import Groups, ListedTextField
from hazardreport.app.views.record_list import text_label
from hazardreport.app.views.tick_list import TickList
from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Finding, FindingAnswer, FindingClaim

ASKED = by_name(*FINDING_FIELDS)
CAUSES = ("", "design", "production", "repair", "misuse", "wear", "unknown")


class FoundPlace(Place):
    """List on the left, one finding on the right."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, wording.sentence("findings.found.hint"), parent)
        self.current = ""
        self.fields: dict[str, Field] = {}
        self.ticks: dict[str, TickList] = {}
        row = QHBoxLayout()
        self.add = QPushButton("Add finding")
        self.add.setProperty("role", "main")
        self.add.clicked.connect(self.on_add_clicked)
        self.remove = QPushButton("Remove finding")
        self.remove.clicked.connect(self.on_remove_clicked)
        row.addWidget(self.add)
        row.addWidget(self.remove)
        row.addStretch(1)
        self.column.addLayout(row)
        self.list = ChosenList("Findings")
        self.list.chosen.connect(self.on_chosen)
        empty = text_label(wording.sentence("window.findings.empty"), "faint")
        empty.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.stack = QStackedWidget()
        self.stack.addWidget(empty)
        self.help = HelpLine(wording.sentence("window.unit.help"))
        self.stack.addWidget(self._editor())
        self.split = ListAndEditor(self.list, self.stack, 240)
        self.column.addWidget(self.split, 1)
        self.column.addWidget(self.help)

    def _editor(self) -> QWidget:
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        content = QWidget()
        column = QVBoxLayout(content)
        column.setContentsMargins(12, 0, 8, 12)
        card = FormCard("Finding", label_width=104)
        self.fields = self._fields()
        for name, field in self.fields.items():
            field.entered.connect(lambda value, name=name: self._change(name, value))
            field.explain(ASKED[name].explanation, shown=ASKED[name].has_trade_term)
            card.add_field(field)
        column.addWidget(card)
        for name in ("pictures", "readings"):
            title = ASKED[name].label
            ticks = TickList(title)
            ticks.explain(title, ASKED[name].explanation)
            self.ticks[name] = ticks
            head = QLabel(title)
            head.setProperty("role", "strong")
            column.addWidget(head)
            column.addWidget(ticks)
            ticks.itemChanged.connect(lambda _, name=name, ticks=ticks: self._change(name, ticks.ticked()))
        column.addStretch(1)
        scroll.setWidget(content)
        self.help.follow([*self.fields.values(), *self.ticks.values()])
        return scroll

    def _fields(self) -> dict[str, Field]:
        text, requirement = ASKED["text"], ASKED["requirement"]
        causes = [(cause, cause.capitalize() or "Not said") for cause in CAUSES]
        self.requirement = ListedTextField(requirement.label, "Choose from the list", hint=requirement.hint)
        return {
            "text": TextField(text.label, long=True, hint=text.hint),
            "answer": ChoiceField(ASKED["answer"].label, choices(FindingAnswer), width=260),
            "claim": ChoiceField(ASKED["claim"].label, choices(FindingClaim), width=320),
            "requirement": self.requirement,
            "cause": ChoiceField(ASKED["cause"].label, causes, width=260),
        }

    def _finding(self, case: Case) -> Finding | None:
        return next((finding for finding in case.findings if finding.id == self.current), None)

    def _change(self, name: str, value: Any) -> None:
        finding = self._finding(self.desk.session.case)
        if finding is not None:
            changed = replace(finding, **{name: value})
            merge = f"{finding.id} {name}" if name in ("text", "requirement") else ""
            self.desk.session.edit("Change Finding", edits.change_finding, changed, merge=merge)

    def enter_typing(self) -> None:
        """What is being typed is entered where it belongs, before another finding is shown."""
        for field in self.fields.values():
            if isinstance(field, TextField):
                field.on_done()

    def on_add_clicked(self) -> None:
        """A new finding, with the cursor in its text."""
        self.enter_typing()
        finding = Finding(id=edits.next_id("finding", (f.id for f in self.desk.session.case.findings)), text="")
        before, self.current = self.current, finding.id
        if self.desk.session.edit("Add Finding", edits.add_finding, finding):
            self.fields["text"].setFocus(Qt.FocusReason.OtherFocusReason)
        else:
            self.current = before

    def on_remove_clicked(self) -> None:
        """The finding goes; undo brings it back."""
        if self._finding(self.desk.session.case) is not None:
            self.desk.session.edit("Remove Finding", edits.remove_finding, self.current)

    def on_chosen(self, id: str) -> None:
        """Another finding was chosen."""
        self.enter_typing()
        self.current = id
        self.show_case(self.desk.session.case)

    def show_case(self, case: Case) -> None:
        """Show the findings of the case."""
        if self._finding(case) is None:
            self.current = case.findings[0].id if case.findings else ""
        entries = [
            (finding.id, f"{finding.text or 'New finding'}\n{finding.answer.value} – {finding.claim.value}")
            for finding in case.findings
        ]
        self.list.show_entries(entries, self.current)
        self.list.setVisible(bool(case.findings))
        self.add.setEnabled(not self.desk.session.read_only)
        self.remove.setEnabled(bool(case.findings) and not self.desk.session.read_only)
        self._show_current(case)

    def _show_current(self, case: Case) -> None:
        finding = self._finding(case)
        self.stack.setCurrentIndex(0 if finding is None else 1)
        if finding is None:
            return
        for name, field in self.fields.items():
            field.show_value(getattr(finding, name))
            field.set_read_only(self.desk.session.read_only)
        if not self.requirement.menu.actions():
            self.requirement.show_choices(requirement_choices())
        self.ticks["pictures"].show_entries(picture_entries(case), finding.pictures)
        self.ticks["readings"].show_entries(reading_entries(case), finding.readings)
        for ticks in self.ticks.values():
            ticks.setEnabled(not self.desk.session.read_only)

    def reveal(self, link: str) -> None:
        """Show a finding."""
        if link.startswith("finding-"):
            self.enter_typing()
            self.current = link
            self.show_case(self.desk.session.case)


def requirement_choices() -> Groups:
    """The construction requirements by group, as (name, what stands in the field once it is chosen)."""
    from hazardreport.risk.requirements import requirements

    groups: dict[str, list[tuple[str, str]]] = {}
    for entry in requirements():
        groups.setdefault(entry.group, []).append((entry.name, entry.name))
    return list(groups.items())

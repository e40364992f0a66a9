"""The Findings page: what was seen, each finding tied to pictures and readings."""

from dataclasses import replace
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QPushButton,
    QScrollArea,
    QSplitter,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from hazardreport import wording
from hazardreport.app.desk import Desk
from hazardreport.app.pages.page import Page
from hazardreport.app.views.fields import ChoiceField, Field, TextField, choices
from hazardreport.app.views.form import FormCard
from hazardreport.app.views.tick_list import TickList
from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Finding, FindingAnswer, FindingClaim

CAUSES = ("", "design", "production", "repair", "misuse", "wear", "unknown")


class FindingsPage(Page):
    """List on the left, one finding on the right."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, "Findings", wording.sentence("window.findings.hint"), parent)
        self.current = ""
        row = QHBoxLayout()
        add = QPushButton("Add finding")
        add.setProperty("role", "main")
        add.clicked.connect(self.on_add_clicked)
        self.remove = QPushButton("Remove finding")
        self.remove.clicked.connect(self.on_remove_clicked)
        row.addWidget(add)
        row.addWidget(self.remove)
        row.addStretch(1)
        self.column.addLayout(row)
        self.list = QListWidget()
        self.list.setAccessibleName("Findings")
        self.list.setWordWrap(True)
        self.list.setSpacing(2)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.currentRowChanged.connect(self.on_row_changed)
        self.places = QStackedWidget()
        empty = QLabel(wording.sentence("window.findings.empty"))
        empty.setWordWrap(True)
        empty.setProperty("role", "faint")
        empty.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.places.addWidget(empty)
        self.places.addWidget(self._editor())
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self.split.addWidget(self.list)
        self.split.addWidget(self.places)
        self.split.setSizes([240, 520])
        self.split.setStretchFactor(1, 1)
        self.split.setChildrenCollapsible(False)
        self.column.addWidget(self.split, 1)

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
        self.fields: dict[str, Field] = {
            "text": TextField("What was seen", long=True, hint="one fact, in plain words"),
            "answer": ChoiceField("Answer", choices(FindingAnswer), width=260),
            "claim": ChoiceField("It shows", choices(FindingClaim), width=320),
            "requirement": TextField("Requirement", hint="standard, clause, edition"),
            "cause": ChoiceField("Cause", [(cause, cause.capitalize() or "Not said") for cause in CAUSES], width=260),
        }
        for name, field in self.fields.items():
            field.entered.connect(lambda value, name=name: self._change(name, value))
            card.add_field(field)
        column.addWidget(card)
        self.pictures = TickList("Pictures that show it")
        self.readings = TickList("Readings that show it")
        for name, ticks, title in (
            ("pictures", self.pictures, "Pictures that show it"),
            ("readings", self.readings, "Readings that show it"),
        ):
            label = QLabel(title)
            label.setProperty("role", "strong")
            column.addWidget(label)
            column.addWidget(ticks)
            ticks.itemChanged.connect(lambda _, name=name, ticks=ticks: self._change(name, ticks.ticked()))
        column.addStretch(1)
        scroll.setWidget(content)
        return scroll

    def _finding(self) -> Finding | None:
        found = self.desk.session.case.findings
        return next((finding for finding in found if finding.id == self.current), None)

    def _change(self, name: str, value: Any) -> None:
        finding = self._finding()
        if finding is not None:
            changed = replace(finding, **{name: value})
            merge = f"{finding.id} {name}" if name in ("text", "requirement") else ""
            self.desk.session.edit("Change Finding", edits.change_finding, changed, merge=merge)

    def on_add_clicked(self) -> None:
        """A new finding, with the cursor in its text."""
        case = self.desk.session.case
        finding = Finding(id=edits.next_id("finding", (f.id for f in case.findings)), text="")
        self.current = finding.id
        if self.desk.session.edit("Add Finding", edits.add_finding, finding):
            self.fields["text"].setFocus(Qt.FocusReason.OtherFocusReason)

    def on_remove_clicked(self) -> None:
        """The finding goes; undo brings it back."""
        if self._finding() is not None:
            self.desk.session.edit("Remove Finding", edits.remove_finding, self.current)

    def on_row_changed(self, row: int) -> None:
        """Another finding was chosen."""
        findings = self.desk.session.case.findings if self.desk.session.has_case else ()
        if 0 <= row < len(findings):
            self.current = findings[row].id
            self._show_current(self.desk.session.case)

    def show_case(self, case: Case) -> None:
        """Show the findings of the case."""
        if all(finding.id != self.current for finding in case.findings):
            self.current = case.findings[0].id if case.findings else ""
        texts = [
            f"{finding.text or 'New finding'}\n{finding.answer.value} – {finding.claim.value}"
            for finding in case.findings
        ]
        blocked = self.list.blockSignals(True)
        if [self.list.item(row).text() for row in range(self.list.count())] != texts:
            self.list.clear()
            self.list.addItems(texts)
        ids = [finding.id for finding in case.findings]
        self.list.setCurrentRow(ids.index(self.current) if self.current in ids else -1)
        self.list.blockSignals(blocked)
        self.list.setVisible(bool(case.findings))
        self.remove.setEnabled(bool(case.findings) and not self.desk.session.read_only)
        self._show_current(case)

    def _show_current(self, case: Case) -> None:
        finding = next((f for f in case.findings if f.id == self.current), None)
        self.places.setCurrentIndex(0 if finding is None else 1)
        if finding is None:
            return
        for name, field in self.fields.items():
            field.show_value(getattr(finding, name))
            field.set_read_only(self.desk.session.read_only)
        pictures = [(p.id, f"{p.id}  {p.caption or p.original_name}") for p in case.pictures]
        readings = [(r.id, f"{r.id}  {r.first}–{r.second}  {r.quantity.value} {r.typed}") for r in case.readings]
        self.pictures.show_entries(pictures, finding.pictures)
        self.readings.show_entries(readings, finding.readings)

    def reveal(self, link: str) -> None:
        """Show a finding."""
        if link.startswith("finding-"):
            self.current = link
            self.show_case(self.desk.session.case)

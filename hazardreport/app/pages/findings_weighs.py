"""What weighs beside the level: harm and likelihood as the US priority tells them, factors, who judged and when."""

from dataclasses import replace
from datetime import date
from functools import partial
from typing import Any

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QWidget

from hazardreport import wording
from hazardreport.app.desk import Desk
from hazardreport.app.pages.findings_fields import FACTOR_FIELDS, JUDGED_FIELDS, PRIORITY_FIELDS, by_name
from hazardreport.app.pages.findings_place import Place
from hazardreport.app.pages.unit_places import FieldPlace
from hazardreport.app.views.fields import ChoiceField, Field, TextField, choices
from hazardreport.app.views.form import FormCard, SectionedScroll
from hazardreport.app.views.record_list import text_label
from hazardreport.app.views.stated_field import StatedField
from hazardreport.assess.records import Assessment
from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.personal import person_of
from hazardreport.case.scenario import HarmGrade, Likelihood


class WeighsPlace(Place):
    """Three cards of fields; each field says in a line what is meant."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, wording.sentence("findings.weighs.hint"), parent)
        self.fields: dict[str, Field] = {}
        self._wanted = ""
        self.sections = SectionedScroll()
        self.column.addWidget(self.sections, 1)
        self.sections.add_section("Priority", self._priority())
        self._cards = iter((("Factors", "factors", FACTOR_FIELDS), ("Who judged", "judged", JUDGED_FIELDS)))
        self._turn = QTimer(self)
        self._turn.setSingleShot(True)
        self._turn.timeout.connect(self.on_turn)
        self._turn.start()

    def on_turn(self) -> None:
        """Build one more card, then let the window breathe."""
        entry = next(self._cards, None)
        if entry is None:
            self.sections.follow_focus(list(self.fields.values()))
            self.sections.settle()
            return
        link, name, fields = entry
        self.sections.add_section(link, self._card(name, fields))
        if self.desk.session.has_case:
            self.show_case(self.desk.session.case)
        if self._wanted in self.fields:
            self.reveal(self._wanted)
        self._turn.start()

    def _priority(self) -> QWidget:
        card = self._card("priority", PRIORITY_FIELDS)
        self.letter = text_label("", "strong")
        self.letter.setAccessibleName("US hazard priority")
        card.body.addWidget(self.letter)
        return card

    def _card(self, name: str, entries: tuple[FieldPlace, ...]) -> FormCard:
        card = FormCard(
            wording.sentence(f"findings.weighs.{name}_title"), wording.sentence(f"findings.weighs.{name}_hint")
        )
        for key, asked in by_name(*entries).items():
            field = self._field(key, asked)
            field.explain(asked.explanation, shown=True)
            field.entered.connect(partial(self.on_entered, key, asked.label))
            self.fields[key] = field
            card.add_field(field)
        return card

    def _field(self, key: str, asked: FieldPlace) -> Field:
        if key == "harm":
            return ChoiceField(asked.label, choices(HarmGrade), width=280)
        if key == "likelihood":
            return ChoiceField(asked.label, choices(Likelihood), width=280)
        if key == "assessed_on":
            return TextField(asked.label, hint=asked.hint)
        offered = person_of(f"harm_factors.{key}.text") is None
        stated = StatedField(asked.label, long=asked.kind == "long", may_be_private=offered)
        stated.link_asked.connect(self.link_asked)
        return stated

    def on_entered(self, key: str, label: str, value: object) -> None:
        """A field was filled in."""
        changed: dict[str, Any] = {key: value}
        factors = replace(self.desk.session.case.harm_factors, **changed)
        self.desk.session.edit(f"Change {label.rstrip('?')}", edits.set_harm_factors, factors, merge=f"factor {key}")

    def show_case(self, case: Case) -> None:
        """Fill the fields."""
        pictures = [(picture.id, picture.caption or picture.original_name) for picture in case.pictures]
        points = [(point.letter, point.description) for point in case.points]
        for key, field in self.fields.items():
            if isinstance(field, StatedField):
                field.show_places(pictures, points)
            field.show_value(getattr(case.harm_factors, key))
            field.set_read_only(self.desk.session.read_only)
        self._show_day(case.harm_factors.assessed_on)

    def _show_day(self, day: str) -> None:
        if "assessed_on" not in self.fields:
            return
        try:
            date.fromisoformat(day.strip() or "2026-05-14")
        except ValueError:
            self.fields["assessed_on"].show_remark(wording.sentence("findings.weighs.no_day"), problem=True)
        else:
            self.fields["assessed_on"].show_remark("")

    def show_assessment(self, case: Case, assessment: Assessment) -> None:
        """Show the priority that follows."""
        told = assessment.risk.priority.sentence
        self.letter.setText(told or wording.sentence("findings.weighs.no_letter"))
        self.sections.settle()

    def reveal(self, link: str) -> None:
        """Put the cursor into a field."""
        name = link.removeprefix("harm_factors.")
        field = self.fields.get(name)
        self._wanted = name if field is None else ""
        if field is not None:
            self.sections.reveal(field)

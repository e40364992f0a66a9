"""The Unit page: identity, wiring with its schematic, circumstances, event, reporter, keeping."""

from functools import partial

from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from hazardreport import wording
from hazardreport.app.desk import Desk
from hazardreport.app.pages.page import Page
from hazardreport.app.pages.unit_evidence import EvidenceCards
from hazardreport.app.pages.unit_fields import GROUPS, FieldPlace, Group, edit_of, field_value
from hazardreport.app.views.custody_fields import WordsField
from hazardreport.app.views.drawing_view import DrawingView
from hazardreport.app.views.fields import AnswerField, ChoiceField, Field, NumberField, StatedField, TextField, choices
from hazardreport.app.views.form import Card, FormCard, SectionedScroll
from hazardreport.app.views.quantity_field import QuantityField
from hazardreport.assess.records import Assessment
from hazardreport.case.barcode import barcode_fault
from hazardreport.case.case import Case
from hazardreport.case.edits import set_title
from hazardreport.case.personal import person_of
from hazardreport.case.stated import Standing, Stated
from hazardreport.figures.drawing import Drawing

EMPTY = Case(id="")
"""Tells which numbers of the case are never absent: cleared, they are zero."""


class UnitPage(Page):
    """Everything about the unit that is not a picture, a reading or a finding."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, "Unit", wording.sentence("window.unit.hint"), parent)
        self.fields: dict[str, Field] = {}
        self._assessment: Assessment | None = None
        self._case: Case | None = None
        self.sections = SectionedScroll()
        self.column.addWidget(self.sections, 1)
        self.title_field = TextField("Title of the case", hint="a short name for people")
        self.title_field.entered.connect(self.on_title_entered)
        self.schematic = DrawingView("Schematic of the unit as described")
        self.evidence = EvidenceCards(desk)
        for group in GROUPS:
            self.sections.add_section(group.name, self._card(group))
        self.dress()
        self.sections.follow_focus([self.title_field, *self.fields.values()])

    def _card(self, group: Group) -> QWidget:
        card = FormCard(group.title, wording.sentence(group.hint) if group.hint else "")
        if group.name == GROUPS[0].name:
            card.add_field(self.title_field)
        for place in group.fields:
            field = self._field(place)
            self.fields[place.path] = field
            card.add_field(field)
        if group.name == "Keeping":
            return self._with_evidence(card)
        return self._with_schematic(card) if group.name == "Wiring" else card

    def _with_evidence(self, form: FormCard) -> QWidget:
        whole = QWidget()
        layout = QVBoxLayout(whole)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(16)
        layout.addWidget(form)
        layout.addWidget(self.evidence)
        return whole

    def _with_schematic(self, form: FormCard) -> QWidget:
        whole = QWidget()
        layout = QVBoxLayout(whole)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(12)
        figure = Card("")
        self.schematic.setFixedHeight(250)
        figure.body.addWidget(self.schematic)
        row = QHBoxLayout()
        row.addWidget(figure)
        layout.addLayout(row)
        layout.addWidget(form)
        return whole

    def _field(self, place: FieldPlace) -> Field:
        field: Field
        kind = place.kind
        if not isinstance(kind, str):
            field = ChoiceField(place.label, choices(kind, place.words), width=280)
        elif kind == "answer":
            field = AnswerField(place.label)
        elif kind.startswith("["):
            field = NumberField(place.label, "" if kind == "[1]" else kind.strip("[]"), hint=place.hint)
        elif kind == "fraction":
            field = NumberField(place.label, "", hint=place.hint, fraction=True)
        elif kind.startswith("<"):
            field = QuantityField(place.label, kind.strip("<>"), hint=place.hint)
        elif kind == "words":
            field = WordsField(place.label, hint=place.hint)
        elif kind == "text":
            field = TextField(place.label, hint=place.hint)
        else:
            offered = person_of(place.path) is None
            stated = StatedField(place.label, long=kind == "long", hint=place.hint, may_be_private=offered)
            stated.picture_asked.connect(self.link_asked)
            field = stated
        field.entered.connect(partial(self.on_field_entered, place))
        return field

    def on_field_entered(self, place: FieldPlace, value: object) -> None:
        """A field was filled in."""
        if place.path == "wiring.cord_cores" and isinstance(value, float):
            value = int(value)
        if value is None and isinstance(field_value(EMPTY, place.path), float):
            value = 0.0
        function, arguments = edit_of(self.desk.session.case, place.path, value)
        before = field_value(self.desk.session.case, place.path)
        if isinstance(value, Stated) and before.private != value.private:
            deed = "Mark as Private" if value.private else "Take Back Private"
            self.desk.session.edit(f"{deed}: {place.label}", function, *arguments)
        else:
            self.desk.session.edit(f"Change {place.label}", function, *arguments, merge=place.path)

    def on_title_entered(self, title: object) -> None:
        """The case got another title."""
        self.desk.session.edit("Change Title", set_title, str(title), merge="title")

    def show_case(self, case: Case) -> None:
        """Fill the form."""
        before, self._case = self._case, case
        self.title_field.show_value(case.title)
        pictures = tuple((picture.id, picture.caption or picture.original_name) for picture in case.pictures)
        for path, field in self.fields.items():
            if isinstance(field, StatedField):
                field.show_pictures(pictures)
            field.show_value(field_value(case, path))
            field.set_read_only(self.desk.session.read_only)
        self.title_field.set_read_only(self.desk.session.read_only)
        self._show_barcode(case.unit.barcode)
        kept_at = self.evidence.show_case(case)
        self.fields["custody.kept_at"].show_remark(" ".join(f"{remark.what} {remark.remedy}" for remark in kept_at))
        if before is None or before.wiring != case.wiring or before.points != case.points:
            self._show_schematic()

    def _show_barcode(self, barcode: Stated) -> None:
        field = self.fields["unit.barcode"]
        if barcode.standing is not Standing.VALUE:
            field.show_remark("")
            return
        fault = barcode_fault(barcode.text)
        field.show_remark(wording.sentence(f"window.barcode.{fault or 'whole'}"), problem=bool(fault))

    def show_assessment(self, case: Case, assessment: Assessment) -> None:
        """Put the fitted values into the schematic."""
        self._assessment = assessment
        self._show_schematic()

    def _show_schematic(self) -> None:
        case = self._case
        if case is None:
            return
        assessment = self._assessment

        def make(width: float, height: float) -> Drawing:
            from hazardreport.figures.schematic import schematic

            return schematic(case, assessment, width, height)

        self.schematic.show_drawing(make)

    def reveal(self, link: str) -> None:
        """Put the cursor into a field."""
        records = self.evidence.list_of(link)
        if link in self.fields:
            self.sections.reveal(self.fields[link])
        elif records is not None:
            self.sections.reveal(records.block(link) or records)
            records.focus(link)

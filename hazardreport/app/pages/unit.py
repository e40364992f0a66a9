"""The Unit page: four questions, identity, circumstances, upkeep, wiring with its schematic, reporter, keeping."""

from functools import partial
from typing import Protocol

from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from hazardreport import wording
from hazardreport.app.desk import Desk
from hazardreport.app.pages.page import Page
from hazardreport.app.pages.unit_circumstances import GUARDIAN_FIELDS
from hazardreport.app.pages.unit_evidence import EvidenceCards
from hazardreport.app.pages.unit_fields import GROUPS, TITLE
from hazardreport.app.pages.unit_makers import made_field
from hazardreport.app.pages.unit_marks import MarksCard
from hazardreport.app.pages.unit_places import FieldPlace, Group, edit_of, field_value
from hazardreport.app.pages.unit_remarks import DAYS, barcode_remark, case_remarks, day_remark
from hazardreport.app.views.drawing_view import DrawingView
from hazardreport.app.views.fields import Field, TextField
from hazardreport.app.views.form import Card, FormCard, SectionedScroll
from hazardreport.app.views.help_line import HelpLine
from hazardreport.app.views.stated_field import StatedField
from hazardreport.app.views.upkeep_fields import AlterationField
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer
from hazardreport.case.edits import set_title
from hazardreport.case.stated import Stated
from hazardreport.figures.drawing import Drawing

SCROLL_ROOM = 22
"""Cards end so far before the page does: beside them is the scroll bar. [pixel]"""


class Remark(Protocol):
    """Says what is understood of a text, and whether that is to be mended."""

    def __call__(self, text: str, *, typing: bool = False) -> tuple[str, bool]:
        """The line below the field."""
        ...


EMPTY = Case(id="")
"""Tells which numbers of the case are never absent: cleared, they are zero."""


class UnitPage(Page):
    """Everything about the unit that is not a picture, a reading or a finding."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, "Unit", wording.sentence("window.unit.hint"), parent)
        self.fields: dict[str, Field] = {}
        self.cards: dict[str, FormCard] = {}
        self._assessment: Assessment | None = None
        self._case: Case | None = None
        self._told: tuple[str, ...] = ()
        self.sections = SectionedScroll()
        self.column.addWidget(self.sections, 1)
        self.help = HelpLine(wording.sentence("window.unit.help"))
        below = QHBoxLayout()
        below.setContentsMargins(0, 0, SCROLL_ROOM, 0)
        below.addWidget(self.help)
        self.column.addLayout(below)
        self.title_field = TextField(TITLE.label, hint=TITLE.hint)
        self.title_field.explain(TITLE.explanation, shown=False)
        self.title_field.entered.connect(self.on_title_entered)
        self.schematic = DrawingView("Schematic of the unit as described")
        self.evidence = EvidenceCards(desk)
        self.marks = MarksCard(desk)
        for group in GROUPS:
            self.sections.add_section(group.name, self._card(group))
        self.dress()
        self.sections.follow_focus([self.title_field, *self.fields.values()])
        self.sections.cursor_came.connect(self.on_cursor_came)
        for path, remark in (("unit.barcode", barcode_remark), *((path, day_remark) for path in DAYS)):
            field = self.fields[path]
            if isinstance(field, StatedField):
                field.typed.connect(partial(self.on_typed, field, remark))

    def _card(self, group: Group) -> QWidget:
        card = FormCard(group.title, wording.sentence(group.hint) if group.hint else "")
        if group.name == GROUPS[0].name:
            card.add_field(self.title_field)
        self.cards[group.name] = card
        for place in group.fields:
            field = made_field(place)
            field.explain(place.explanation, shown=place.has_trade_term and not group.measured)
            field.entered.connect(partial(self.on_field_entered, place))
            if isinstance(field, StatedField):
                field.link_asked.connect(self.link_asked)
            self.fields[place.path] = field
            card.add_field(field)
        if group.name == "Marks":
            return _together(card, self.marks)
        if group.name == "Keeping":
            return _together(card, self.evidence)
        return self._with_schematic(card) if group.name == "Wiring" else card

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

    def on_cursor_came(self, widget: QWidget) -> None:
        """The cursor is in another field: say what it asks for."""
        outer: QWidget | None = widget
        while outer is not None and outer is not self.title_field and outer not in self.fields.values():
            outer = outer.parentWidget()
        if isinstance(outer, Field):
            self.help.show_field(outer)

    def on_typed(self, field: Field, remark: Remark, text: str) -> None:
        """Say at each keystroke what is understood."""
        field.show_remark(*remark(text, typing=True))

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
        points = tuple((point.letter, point.description) for point in case.points)
        for path, field in self.fields.items():
            if isinstance(field, StatedField):
                field.show_places(pictures, points)
            elif isinstance(field, AlterationField):
                field.show_pictures(pictures)
            field.show_value(field_value(case, path))
            field.set_read_only(self.desk.session.read_only)
        self.title_field.set_read_only(self.desk.session.read_only)
        self._show_guardian(case)
        self._show_remarks(case)
        self.marks.show_case(case)
        kept_at = self.evidence.show_case(case)
        self.fields["custody.kept_at"].show_remark(" ".join(f"{remark.what} {remark.remedy}" for remark in kept_at))
        if before is None or before.wiring != case.wiring or before.points != case.points:
            self._show_schematic()

    def _show_guardian(self, case: Case) -> None:
        """Fields about a guardian are there where somebody is younger than 18, or where something stands in them."""
        told = any(field_value(case, path) != field_value(EMPTY, path) for path in GUARDIAN_FIELDS)
        for path in GUARDIAN_FIELDS:
            shown = told or case.submitter.minor is Answer.YES
            self.cards["Reporter"].show_field(self.fields[path], shown)

    def _show_remarks(self, case: Case) -> None:
        self.fields["unit.barcode"].show_remark(*barcode_remark(case.unit.barcode.text))
        told = case_remarks(case)
        for path in (*DAYS, *(path for path in self._told if path in self.fields)):
            held = field_value(case, path)
            text = held.text if isinstance(held, Stated) else str(held)
            self.fields[path].show_remark(*(day_remark(text) if path in DAYS else ("", False)))
        for path, (text, mend) in told.items():
            if path in self.fields:
                self.fields[path].show_remark(text, mend)
        self._told = tuple(told)

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
        """Put the cursor into a field, or to a record: "unit.model", "situation", "upkeep.cord.text", "item-001"."""
        records = self.evidence.list_of(link)
        field = self._field_of(link)
        if link == "title":
            self.sections.reveal(self.title_field)
        elif field is not None:
            for card in self.cards.values():
                card.show_field(field, True)
            self.sections.reveal(field)
        elif link == "conformity_marks" or link.startswith("conformity-mark-"):
            self.sections.reveal(self.marks.block(link) or self.marks)
            self.marks.focus(link)
        elif records is not None:
            self.sections.reveal(records.block(link) or records)
            records.focus(link)

    def _field_of(self, link: str) -> Field | None:
        """The field of a link: of that very place, of a part of it, or the first of a whole record."""
        parts = link.split(".")
        for length in range(len(parts), 1, -1):
            if (found := self.fields.get(".".join(parts[:length]))) is not None:
                return found
        if link in self.fields:
            return self.fields[link]
        return next((field for path, field in self.fields.items() if path.startswith(f"{link}.")), None)


def _together(form: QWidget, records: QWidget) -> QWidget:
    """A form and the records below it, as one section."""
    whole = QWidget()
    layout = QVBoxLayout(whole)
    layout.setContentsMargins(0, 0, 0, 0)
    layout.setSpacing(16)
    layout.addWidget(form)
    layout.addWidget(records)
    return whole

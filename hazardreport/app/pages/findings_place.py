"""What the four places of the Findings page have in common."""

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from hazardreport.app.desk import Desk
from hazardreport.app.views.record_list import text_label
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case

Entries = Sequence[tuple[str, str]]


class Place(QWidget):
    """One place of the page; it is shown the case and the results only while it is seen.

    link_asked     a record, field or number that another page shows
    compare_asked  a table, "<standard>/<table>", that somebody wants to compare with its document
    """

    link_asked = Signal(str)
    compare_asked = Signal(str)

    def __init__(self, desk: Desk, hint: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 10, 0, 0)
        self.column.setSpacing(10)
        self.hint = text_label(hint, "faint")
        self.column.addWidget(self.hint)

    def show_case(self, case: Case) -> None:
        """Show the present case."""

    def show_assessment(self, case: Case, assessment: Assessment) -> None:
        """Show the newest results; the case they are of may hold what is being typed."""

    def reveal(self, link: str) -> None:
        """Bring a record or field into view."""


def picture_entries(case: Case) -> Entries:
    """The pictures of a case as (id, text) for a tick list."""
    return [(picture.id, f"{picture.id}  {picture.caption or picture.original_name}") for picture in case.pictures]


def reading_entries(case: Case) -> Entries:
    """The readings of a case as (id, text) for a tick list."""
    return [
        (reading.id, f"{reading.id}  {reading.first}–{reading.second}  {reading.quantity.value} {reading.typed}")
        for reading in case.readings
    ]

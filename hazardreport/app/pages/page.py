"""What the seven pages have in common."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from hazardreport.app.desk import Desk
from hazardreport.app.views.form import title_block
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case


class Page(QWidget):
    """A page joins views, models and the session.

    `link_asked` names a record or field that another page shows.
    """

    link_asked = Signal(str)

    def __init__(self, desk: Desk, title: str, hint: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.setObjectName("page")
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(28, 22, 22, 14)
        self.column.setSpacing(12)
        block, self.hint = title_block(title, hint)
        self.column.addWidget(block)

    def dress(self) -> None:
        """Put icons on the page's buttons, now and whenever the scheme changes."""
        self.desk.looks.dress(self)
        self.desk.looks.scheme_changed.connect(self.on_scheme_changed)

    def on_scheme_changed(self) -> None:
        """Light turned dark, or dark light."""
        self.desk.looks.dress(self)

    def show_case(self, case: Case) -> None:
        """Show the present case."""

    def show_assessment(self, case: Case, assessment: Assessment) -> None:
        """Show the newest results."""

    def reveal(self, link: str) -> None:
        """Bring a field or record into view."""

    def leave(self) -> None:
        """The case goes: let go of what belongs to it."""

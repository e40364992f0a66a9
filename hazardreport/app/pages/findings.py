"""The Findings page: what was found, how the unit is built, how it may hurt somebody, and what else weighs."""

from collections.abc import Callable

from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QTabWidget, QVBoxLayout, QWidget

from hazardreport import wording
from hazardreport.app.desk import Desk
from hazardreport.app.pages.findings_construction import ConstructionPlace
from hazardreport.app.pages.findings_found import FoundPlace
from hazardreport.app.pages.findings_place import Place
from hazardreport.app.pages.findings_scenarios import ScenariosPlace
from hazardreport.app.pages.findings_weighs import WeighsPlace
from hazardreport.app.pages.page import Page
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case

PLACES: tuple[tuple[str, str, Callable[[Desk, QWidget | None], Place]], ...] = (
    ("found", "&What was found", FoundPlace),
    ("construction", "C&onstruction", ConstructionPlace),
    ("scenarios", "Ways to an &injury", ScenariosPlace),
    ("weighs", "What wei&ghs", WeighsPlace),
)


def place_of(link: str) -> str:
    """Which of the four places shows a record or field."""
    head = link.split(".")[0]
    if head in ("scenarios", "risk") or head.startswith("scenario-"):
        return "scenarios"
    if head == "requirements":
        return "construction"
    return "weighs" if head == "harm_factors" else "found"


class FindingsPage(Page):
    """Four places under one title; each is built when it is first seen, and shown what is new only while it is seen."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, "Findings", wording.sentence("window.findings.hint"), parent)
        self._case: Case | None = None
        self._assessment: tuple[Case, Assessment] | None = None
        self.places: dict[str, Place] = {}
        self._holders: list[QVBoxLayout] = []
        self.tabs = QTabWidget()
        self.tabs.setAccessibleName("Parts of the findings")
        for _, name, _ in PLACES:
            holder = QWidget()
            column = QVBoxLayout(holder)
            column.setContentsMargins(0, 0, 0, 0)
            self._holders.append(column)
            self.tabs.addTab(holder, name)
        self.tabs.currentChanged.connect(self.on_tab_changed)
        self.column.addWidget(self.tabs, 1)
        self.place("found")
        self.dress()

    @property
    def shown(self) -> str:
        """Key of the place that is seen."""
        return PLACES[self.tabs.currentIndex()][0]

    def place(self, key: str) -> Place:
        """One of the four places, built if it was not seen before."""
        if key not in self.places:
            number = [entry[0] for entry in PLACES].index(key)
            place = PLACES[number][2](self.desk, self._holders[number].parentWidget())
            place.link_asked.connect(self.link_asked)
            place.compare_asked.connect(self.on_compare_asked)
            self.places[key] = place
            self._holders[number].addWidget(place)
            self.desk.looks.dress(place)
        return self.places[key]

    def show_place(self, key: str) -> Place:
        """Bring a place to the front."""
        self.tabs.setCurrentIndex([entry[0] for entry in PLACES].index(key))
        return self.place(key)

    def on_tab_changed(self, _: int) -> None:
        """Another place is seen: show it what is new."""
        place = self.place(self.shown)
        if self._case is not None:
            place.show_case(self._case)
        if self._assessment is not None:
            place.show_assessment(*self._assessment)

    def show_case(self, case: Case) -> None:
        """Show the case in the place that is seen."""
        self._case = case
        if self.isVisible():
            self.place(self.shown).show_case(case)

    def show_assessment(self, case: Case, assessment: Assessment) -> None:
        """Show the results in the place that is seen."""
        self._assessment = (case, assessment)
        if self.isVisible():
            self.place(self.shown).show_assessment(case, assessment)

    def showEvent(self, event: QShowEvent) -> None:
        """The page is seen again."""
        super().showEvent(event)
        self.on_tab_changed(self.tabs.currentIndex())

    def on_compare_asked(self, key: str) -> None:
        """Somebody wants to compare a table with its document."""
        from hazardreport.app.table_comparison import compare_table

        compare_table(self.desk, key, self)

    def reveal(self, link: str) -> None:
        """Show a record or field in its place; a comparison of a table in its dialog."""
        if link.startswith("confirmation-"):
            known = next((one for one in self.desk.session.case.confirmations if one.id == link), None)
            self.on_compare_asked(known.table if known is not None else "")
            return
        self.show_place(place_of(link)).reveal(link)

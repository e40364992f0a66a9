"""The pages of the report as they will be, drawn in the background after a pause."""

from PySide6.QtCore import QTimer
from PySide6.QtGui import QImage, QShowEvent
from PySide6.QtWidgets import QWidget

from hazardreport.app.desk import Desk
from hazardreport.app.report_file import now_text, preview
from hazardreport.app.views.page_stack import PageStack
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case

PAUSE_MS = 350


class Preview(PageStack):
    """Draws what is wanted when it is seen; old pages stay until the new ones are there."""

    def __init__(self, desk: Desk, empty: str, parent: QWidget | None = None) -> None:
        super().__init__(empty, parent)
        self.desk = desk
        self._case: Case | None = None
        self._assessment: Assessment | None = None
        self._key = ""
        self._paper = ""
        self._drawn: tuple[object, ...] = ()
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(PAUSE_MS)
        self._timer.timeout.connect(self.on_pause)
        self.width_changed.connect(self.on_pause)

    def want(self, case: Case, assessment: Assessment | None, key: str, paper: str) -> None:
        """Draw this report after a pause; no key: nothing."""
        self._case, self._assessment, self._key = case, assessment, key
        self.draw_soon(paper)

    def draw_soon(self, paper: str) -> None:
        """Draw after a pause, on that paper."""
        self._paper = paper
        self._timer.start()

    def showEvent(self, event: QShowEvent) -> None:
        """Seen: what was wanted meanwhile is drawn."""
        super().showEvent(event)
        self._timer.start()

    def on_pause(self) -> None:
        """Nothing changed for a moment: draw the pages."""
        case, assessment = self._case, self._assessment
        if case is None or assessment is None or not self.isVisible():
            return
        if not self._key:
            self.show_pages(())
            self._drawn = ()
            return
        width = int(self.page_width() * self.devicePixelRatioF())
        wanted = (case, id(assessment), self._key, self._paper, width)
        if wanted == self._drawn:
            return
        self._drawn = wanted
        self.desk.jobs.start(
            "preview",
            preview,
            case,
            assessment,
            self._key,
            self._paper,
            self.desk.session.pictures_folder,
            now_text(),
            width,
            controlled=True,
            on_result=self.on_pages,
        )

    def on_pages(self, images: tuple[QImage, ...]) -> None:
        """New pages are there."""
        self.show_pages(images)

"""The live verdict: assess the newest case in a job, a short pause after each edit or keystroke."""

from PySide6.QtCore import QObject, QTimer, Signal

from hazardreport.app.jobs import Jobs
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case

PAUSE_MS = 120


def assessment_of(case: Case) -> Assessment:
    """Assess a case; the engine is imported here, in the job, so that the first paint never waits for it."""
    from hazardreport.assess.assessment import assess

    return assess(case)


class LiveVerdict(QObject):
    """Follows the case, and what is being typed, with an assessment."""

    assessed = Signal(object, object)
    busy_changed = Signal(bool)

    def __init__(self, jobs: Jobs, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._jobs = jobs
        self._case: Case | None = None
        self._pending: Case | None = None
        self.assessment: Assessment | None = None
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(PAUSE_MS)
        self._timer.timeout.connect(self.on_pause)

    def follow(self, case: Case) -> None:
        """The case is now this one, or would be if what is being typed were entered."""
        self._pending = case
        self.busy_changed.emit(True)
        self._timer.start()

    def forget(self) -> None:
        """No case any more."""
        self._timer.stop()
        self._jobs.cancel("assess")
        self._pending = self._case = self.assessment = None

    def on_pause(self) -> None:
        """Nobody typed for a moment: assess."""
        if self._pending is None:
            return
        if self._jobs.busy("assess"):
            self._timer.start()
            return
        case, self._pending = self._pending, None
        self._case = case
        self._jobs.start(
            "assess",
            assessment_of,
            case,
            on_result=lambda assessment: self._on_assessed(case, assessment),
            on_error=self._on_error,
        )

    def _on_assessed(self, case: Case, assessment: Assessment) -> None:
        if case is not self._case:
            return
        self.assessment = assessment
        self.assessed.emit(case, assessment)
        if self._pending is None:
            self.busy_changed.emit(False)

    def _on_error(self, error: BaseException) -> None:
        self.busy_changed.emit(False)
        self._jobs.failed.emit(error)

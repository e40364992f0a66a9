"""The live verdict: assess the newest case in a job, a short pause after each edit or keystroke.

Two jobs: the live part after each pause, and what takes longer once nobody has typed for a while.
"""

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from hazardreport.app.jobs import Jobs
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case

if TYPE_CHECKING:
    from hazardreport.assess.assessment import Live
    from hazardreport.circuit.fit import FitResult

PAUSE_MS = 120
SETTLE_MS = 350


def live_part_of(case: Case, last: "FitResult | None") -> "Live":
    """The live part; the engine is imported here, in the job, so that the first paint never waits for it."""
    from hazardreport.assess.assessment import live_part

    return live_part(case, last)


def whole_of(live: "Live") -> Assessment:
    """The whole assessment that follows from a live part."""
    from hazardreport.assess.assessment import settled_part

    return settled_part(live)


class LiveVerdict(QObject):
    """Follows the case, and what is being typed, with an assessment.

    `assessed` comes twice for a case: with the live part, and with the whole once nobody has typed for a while.
    """

    assessed = Signal(object, object)
    busy_changed = Signal(bool)

    def __init__(self, jobs: Jobs, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._jobs = jobs
        self._case: Case | None = None
        self._pending: Case | None = None
        self._live: Live | None = None
        self.assessment: Assessment | None = None
        self._timer = self._single_shot(PAUSE_MS)
        self._timer.timeout.connect(self.on_pause)
        self._settling = self._single_shot(SETTLE_MS)
        self._settling.timeout.connect(self.on_quiet)

    def _single_shot(self, milliseconds: int) -> QTimer:
        timer = QTimer(self)
        timer.setSingleShot(True)
        timer.setInterval(milliseconds)
        return timer

    def follow(self, case: Case) -> None:
        """The case is now this one, or would be if what is being typed were entered."""
        self._pending = case
        self._settling.stop()
        self._jobs.cancel("settle")
        self.busy_changed.emit(True)
        self._timer.start()

    def forget(self) -> None:
        """No case any more."""
        self._timer.stop()
        self._settling.stop()
        self._jobs.cancel("assess")
        self._jobs.cancel("settle")
        self._pending = self._case = self.assessment = self._live = None

    def on_pause(self) -> None:
        """Nobody typed for a moment: assess."""
        if self._pending is None:
            return
        if self._jobs.busy("assess"):
            self._timer.start()
            return
        case, self._pending = self._pending, None
        self._case = case
        last = self._live.fit if self._live is not None and self._live.case.id == case.id else None
        self._jobs.start(
            "assess",
            live_part_of,
            case,
            last,
            on_result=lambda live: self._on_live(case, live),
            on_error=self._on_error,
        )

    def on_quiet(self) -> None:
        """Nobody has typed for a while: work out the rest."""
        live = self._live
        if live is not None and self._pending is None:
            self._jobs.start(
                "settle",
                whole_of,
                live,
                on_result=lambda assessment: self._on_whole(live, assessment),
                on_error=self._on_error,
            )

    def _on_live(self, case: Case, live: "Live") -> None:
        if case is not self._case:
            return
        before, self._live = self._live, live
        self._show(case, self._with_last_test(before, live))
        if self._pending is None:
            self.busy_changed.emit(False)
            self._settling.start()

    def _with_last_test(self, before: "Live | None", live: "Live") -> Assessment:
        """The live part with the test that was next before, until the whole says which it is now.

        Only where nothing changed about who may measure: no live instruction outlasts its statement.
        """
        known = self.assessment
        if before is None or known is None or before.case.id != live.case.id:
            return live.assessment
        if before.case.competence != live.case.competence:
            return live.assessment
        return replace(live.assessment, next_test=known.next_test)

    def _on_whole(self, live: "Live", assessment: Assessment) -> None:
        if live is self._live and self._pending is None:
            self._show(live.case, assessment)

    def _show(self, case: Case, assessment: Assessment) -> None:
        self.assessment = assessment
        self.assessed.emit(case, assessment)

    def _on_error(self, error: BaseException) -> None:
        self.busy_changed.emit(False)
        self._jobs.failed.emit(error)

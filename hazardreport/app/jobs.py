"""Work off the window's thread: pure functions on frozen records, cancellable, one newest job for each lane."""

import threading
from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, QRunnable, QThreadPool, Signal


class JobCancelled(Exception):  # noqa: N818 - not an error: it ends a job that nobody waits for any more
    """Raised inside a job that was cancelled."""


class Control:
    """What a long job sees of its job: whether to stop, and whom to tell how far it is."""

    def __init__(self, report: Callable[[int, int], None]) -> None:
        self._stop = threading.Event()
        self._mutex = threading.Lock()
        self._report = report
        self.begun = False
        self.over = threading.Event()

    @property
    def cancelled(self) -> bool:
        """Nobody waits for the result any more."""
        return self._stop.is_set()

    def cancel(self) -> None:
        """Ask the job to stop."""
        with self._mutex:
            self._stop.set()

    def begin(self) -> bool:
        """The work begins; False if it was cancelled before, and then it never does."""
        with self._mutex:
            self.begun = not self._stop.is_set()
        return self.begun

    def step(self, done: int, total: int) -> None:
        """Say how far it is; ends the job if it was cancelled."""
        if self.cancelled:
            raise JobCancelled
        self._report(done, total)


class Job(QObject):
    """One piece of work; its signals arrive on the window's thread."""

    finished = Signal(object)
    failed = Signal(object)
    progressed = Signal(int, int)

    def __init__(self, lane: str, generation: int) -> None:
        super().__init__()
        self.lane = lane
        self.generation = generation
        self.control = Control(self.progressed.emit)


class _Run(QRunnable):
    def __init__(
        self, job: Job, work: Callable[[], Any], over: Callable[[Job, Any, BaseException | None], None]
    ) -> None:
        super().__init__()
        self._job, self._work, self._over = job, work, over

    def run(self) -> None:
        if not self._job.control.begin():
            self._over(self._job, None, JobCancelled())
            return
        try:
            result = self._work()
        except BaseException as error:  # noqa: BLE001 - handed to the window's thread, which tells the person
            self._job.control.over.set()
            self._over(self._job, None, error)
        else:
            self._job.control.over.set()
            self._over(self._job, result, None)


class Jobs(QObject):
    """Runs jobs in lanes: a new job of a lane makes the older ones of that lane void."""

    _over = Signal(object, object, object)
    failed = Signal(object)
    lane_busy = Signal(str, bool)
    progressed = Signal(str, int, int)

    def __init__(self, parent: QObject | None = None, threads: int = 2) -> None:
        super().__init__(parent)
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(threads)
        self._urgent_pool = QThreadPool(self)
        self._urgent_pool.setMaxThreadCount(1)
        self._generations: dict[str, int] = {}
        self._alive: dict[int, Job] = {}
        self._closed = False
        self._over.connect(self.on_over)

    def start(
        self,
        lane: str,
        work: Callable[..., Any],
        *arguments: Any,
        on_result: Callable[[Any], object] | None = None,
        on_error: Callable[[BaseException], object] | None = None,
        controlled: bool = False,
        urgent: bool = False,
    ) -> Job:
        """Run `work(*arguments)`, or `work(control, *arguments)` if controlled; older jobs of the lane become void.

        Urgent jobs have a thread of their own: they never wait for a calculation.
        """
        self.cancel(lane)
        generation = self._generations[lane] = self._generations.get(lane, 0) + 1
        job = Job(lane, generation)
        self._alive[id(job)] = job
        if on_result is not None:
            job.finished.connect(on_result)
        if on_error is not None:
            job.failed.connect(on_error)
        else:
            job.failed.connect(self.failed)
        job.progressed.connect(lambda done, total: self.progressed.emit(lane, done, total))
        leading = (job.control,) if controlled else ()
        pool = self._urgent_pool if urgent else self._pool
        pool.start(_Run(job, lambda: work(*leading, *arguments), self._hand_over))
        self.lane_busy.emit(lane, True)
        return job

    def _hand_over(self, job: Job, result: Any, error: BaseException | None) -> None:
        if not self._closed:
            self._over.emit(job, result, error)

    def on_over(self, job: Job, result: Any, error: BaseException | None) -> None:
        """A job came back, on the window's thread."""
        self._alive.pop(id(job), None)
        if job.generation != self._generations.get(job.lane):
            return
        self.lane_busy.emit(job.lane, False)
        if isinstance(error, JobCancelled) or (job.control.cancelled and error is None):
            return
        if error is not None:
            job.failed.emit(error)
        else:
            job.finished.emit(result)

    def busy(self, lane: str) -> bool:
        """A job of that lane is under way."""
        return any(job.lane == lane and job.generation == self._generations.get(lane) for job in self._alive.values())

    def cancel(self, lane: str) -> None:
        """Make the jobs of a lane void."""
        for job in self._alive.values():
            if job.lane == lane:
                job.control.cancel()

    def settle(self, lane: str) -> None:
        """Nothing of a lane runs any more: what waits is dropped, what runs is waited for; no result is handed over."""
        jobs = [job for job in self._alive.values() if job.lane == lane]
        if not jobs:
            return
        self.cancel(lane)
        self._generations[lane] = self._generations.get(lane, 0) + 1
        for job in jobs:
            if job.control.begun:
                job.control.over.wait()
        self.lane_busy.emit(lane, False)

    def cancel_all(self) -> None:
        """Make all jobs void; those that have begun run to their next step, their results are dropped."""
        for job in list(self._alive.values()):
            job.control.cancel()
            self._generations[job.lane] = self._generations.get(job.lane, 0) + 1

    def close(self) -> None:
        """Drop what waits, wait for what runs."""
        self._closed = True
        self.cancel_all()
        for pool in (self._pool, self._urgent_pool):
            pool.clear()
            pool.waitForDone()
        self._alive.clear()

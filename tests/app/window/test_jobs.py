"""Jobs: newest wins, cancelled ones are dropped, exceptions come back."""

import threading
from collections.abc import Iterator

import pytest
from pytestqt.qtbot import QtBot

from hazardreport.app.jobs import Control, JobCancelled, Jobs


@pytest.fixture
def jobs(qtbot: QtBot) -> Iterator[Jobs]:
    made = Jobs()
    yield made
    made.close()


def test_a_result_comes_back(jobs: Jobs, qtbot: QtBot) -> None:
    results: list[int] = []
    jobs.start("sum", sum, (1, 2, 3), on_result=results.append)

    qtbot.waitUntil(lambda: results == [6], timeout=3000)
    assert not jobs.busy("sum")


def test_an_exception_comes_back(jobs: Jobs, qtbot: QtBot) -> None:
    errors: list[BaseException] = []
    jobs.start("number", int, "x", on_error=errors.append)

    qtbot.waitUntil(lambda: len(errors) == 1, timeout=3000)
    assert isinstance(errors[0], ValueError)


def test_a_newer_job_of_a_lane_makes_the_older_void(jobs: Jobs, qtbot: QtBot) -> None:
    gate = threading.Event()
    results: list[str] = []

    def slow() -> str:
        gate.wait(5)
        return "old"

    jobs.start("lane", slow, on_result=results.append)
    jobs.start("lane", lambda: "new", on_result=results.append)
    qtbot.waitUntil(lambda: results == ["new"], timeout=3000)
    gate.set()
    qtbot.wait(80)

    assert results == ["new"]


def test_a_cancelled_job_stops_at_its_next_step(jobs: Jobs, qtbot: QtBot) -> None:
    begun, ended = threading.Event(), threading.Event()
    results: list[object] = []

    def long(control: Control) -> str:
        begun.set()
        try:
            for step in range(100_000):
                control.step(step, 100_000)
                ended.wait(0.001)
        except JobCancelled:
            ended.set()
            raise
        return "done"

    jobs.start("long", long, controlled=True, on_result=results.append)
    qtbot.waitUntil(begun.is_set, timeout=3000)
    jobs.cancel("long")

    qtbot.waitUntil(ended.is_set, timeout=3000)
    qtbot.waitUntil(lambda: not jobs.busy("long"), timeout=3000)
    assert results == []

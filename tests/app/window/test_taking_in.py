"""Imports in the window: cancelled ones leave nothing, finished ones wait for their record."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QApplication

from hazardreport.app.jobs import Control, JobCancelled
from hazardreport.app.pictures_on_disk import KeptUntilSaved, take_in_files
from hazardreport.app.session import SaveState
from hazardreport.case.case import Case
from hazardreport.evidence.batch import Destination, Wanted, destination
from hazardreport.evidence.settling import HIDDEN


class Saves(QObject):
    """The one thing of a session that is listened to."""

    save_state_changed = Signal(object, str)


@pytest.fixture
def place(tmp_path: Path) -> Destination:
    return destination(Case(id="C-1"), tmp_path / "pictures", tmp_path / "attachments", Wanted.EITHER, "")


@pytest.fixture
def sources(tmp_path: Path) -> list[Path]:
    paths = [tmp_path / f"{number}.txt" for number in range(5)]
    for path in paths:
        path.write_text(path.name)
    return paths


def control(report: Callable[[Control, int], object] = lambda control, done: None) -> Control:
    made: list[Control] = []
    made.append(Control(lambda done, total: report(made[0], done)))
    return made[0]


def test_files_keep_their_marker_until_the_newest_case_is_written(
    qapp: QApplication, place: Destination, sources: list[Path]
) -> None:
    session = Saves()
    kept = KeptUntilSaved(session)  # type: ignore[arg-type] # listens to one signal only
    taken = take_in_files(control(), sources, place)
    kept.keep(taken.settled)
    assert len(list(place.attachments.glob(HIDDEN))) == 1
    for state in (SaveState.SAVING, SaveState.NOT_SAVED):
        session.save_state_changed.emit(state, "")
        assert len(list(place.attachments.glob(HIDDEN))) == 1
    session.save_state_changed.emit(SaveState.SAVED, "")
    assert list(place.attachments.glob(HIDDEN)) == []
    assert len(os.listdir(place.attachments)) == 5


def test_a_job_cancelled_on_its_way_leaves_nothing(place: Destination, sources: list[Path]) -> None:
    with pytest.raises(JobCancelled):
        take_in_files(control(lambda job, done: job.cancel() if done == 2 else None), sources, place)
    assert os.listdir(place.attachments) == []


def test_a_job_cancelled_when_all_was_done_leaves_nothing(place: Destination, sources: list[Path]) -> None:
    with pytest.raises(JobCancelled):
        take_in_files(control(lambda job, done: job.cancel() if done == 5 else None), sources, place)
    assert os.listdir(place.attachments) == []

"""A save never writes a log that no reader takes; what to do then loses nothing."""

from dataclasses import replace
from pathlib import Path

import pytest

from hazardreport.case.case import Case
from hazardreport.errors import LogFullError
from hazardreport.review.integrity import check_folder
from hazardreport.storage import layout, log, values
from hazardreport.storage.folder import create_case, open_case, save_case


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    create_case(tmp_path / "case", Case(id="HR-1", title="first"))
    return tmp_path / "case"


@pytest.mark.parametrize(("room", "name"), [(log, layout.LOG), (values, layout.VALUES)])
def test_what_would_not_be_read_is_not_written(
    folder: Path, room: object, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(room, "BYTE_LIMIT", (folder / name).stat().st_size + 10)
    before = (folder / name).read_bytes()
    with pytest.raises(LogFullError) as told:
        save_case(Case(id="HR-1", title="second"), folder, author="Kim")
    assert told.value.path == str(folder / name)
    assert (folder / name).read_bytes() == before
    assert check_folder(folder).whole
    assert open_case(folder, for_writing=False).case.title == "first"


def test_the_next_save_begins_a_new_log_once_the_full_one_was_moved_out(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    case = open_case(folder, for_writing=False).case
    monkeypatch.setattr(log, "BYTE_LIMIT", (folder / layout.LOG).stat().st_size + 10)
    with pytest.raises(LogFullError):
        save_case(replace(case, title="second"), folder)
    for name in (layout.LOG, layout.VALUES):
        (folder / name).rename(tmp_path / name)
    monkeypatch.setattr(log, "BYTE_LIMIT", 64_000_000)
    opened = open_case(folder)
    save_case(replace(opened.case, title="second"), folder)
    opened.close()
    assert check_folder(folder).whole
    assert open_case(folder, for_writing=False).case.revision == 2

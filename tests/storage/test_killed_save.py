"""A process that dies at any step of a save leaves the old case or the new one, never half of either."""

import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

import hazardreport
from hazardreport.case.case import Case
from hazardreport.review.integrity import check_folder
from hazardreport.storage.folder import create_case, open_case, save_case
from hazardreport.storage.journal import write_journal

DIES = """
import os, sys
from dataclasses import replace
from pathlib import Path
from hazardreport.storage import files
from hazardreport.storage.folder import open_case, save_case
from hazardreport.storage.journal import write_journal

step, folder, what = int(sys.argv[1]), Path(sys.argv[2]), sys.argv[3]
case = replace(open_case(folder, for_writing=False).case, title="new")
steps = 0

def dying(real, half):
    def call(*arguments):
        global steps
        steps += 1
        if steps == step:
            if half:
                os.write(arguments[0], arguments[1][: len(arguments[1]) // 2])
            os._exit(9)
        return real(*arguments)
    return call

files.write, files.replace = dying(files.write, True), dying(files.replace, False)
files.sync_folder = dying(files.sync_folder, False)
(save_case if what == "save" else write_journal)(case, folder)
print(steps)
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    case = create_case(tmp_path / "case", Case(id="C-1", title="first"))
    save_case(replace(case, title="old"), tmp_path / "case")
    return tmp_path / "case"


def dies(step: int, folder: Path, what: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", DIES, str(step), str(folder), what],
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
        cwd=Path(hazardreport.__file__).parents[1],
    )


def titles_after_death(folder: Path) -> tuple[str, str]:
    """Title when opened only to read, then when opened to write; both times the case must be whole."""
    looked_at = open_case(folder, for_writing=False)
    assert looked_at.problems == ()
    assert check_folder(folder).whole
    opened = open_case(folder)
    opened.close()
    assert opened.problems == ()
    assert opened.case == looked_at.case
    assert not list(folder.glob(".*"))
    assert check_folder(folder).whole
    return looked_at.case.title, opened.case.title


def test_a_save_cut_off_at_any_step_is_the_old_case_or_the_new_one(folder: Path) -> None:
    seen = []
    for step in range(1, 30):
        result = dies(step, folder, "save")
        if result.returncode == 0:
            break
        assert result.returncode == 9, result.stderr
        seen.append(titles_after_death(folder)[0])
        case = open_case(folder)
        save_case(replace(case.case, title="old"), folder)
        case.close()
    assert seen == sorted(seen, reverse=True)
    assert set(seen) == {"old", "new"}
    assert len(seen) > 10
    assert open_case(folder, for_writing=False).case.title == "new"


def test_renames_that_reach_the_disk_in_the_other_order_lose_nothing(folder: Path) -> None:
    manifest = (folder / "manifest-sha256.txt").read_bytes()
    record = (folder / "case.json").read_bytes()
    case = open_case(folder, for_writing=False).case
    save_case(replace(case, title="new"), folder)
    (folder / ".case.json.new").write_bytes((folder / "case.json").read_bytes())
    (folder / "case.json").write_bytes(record)
    assert titles_after_death(folder)[0] == "new"
    assert (folder / "manifest-sha256.txt").read_bytes() != manifest


def test_a_journal_cut_off_at_any_step_is_the_old_one_or_the_new_one(folder: Path) -> None:
    case = open_case(folder, for_writing=False).case
    seen = []
    for step in range(1, 10):
        write_journal(replace(case, title="older edit"), folder)
        result = dies(step, folder, "journal")
        if result.returncode == 0:
            break
        assert result.returncode == 9, result.stderr
        opened = open_case(folder)
        opened.close()
        seen.append(opened.case.title)
    assert seen == ["older edit", "older edit", "new"]

"""The command line: cases made, copied, filled and verified."""

import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from hazardreport.resources_dir import DEMO_CASE
from hazardreport.storage import files

PROJECT = Path(__file__).resolve().parents[2]

Answered = Callable[..., Any]
PICTURE = DEMO_CASE / "pictures" / "picture-003.jpg"


def record(folder: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((folder / "case.json").read_text(encoding="utf-8"))["case"]
    return found


def change_one_byte(path: Path) -> None:
    data = bytearray(path.read_bytes())
    data[len(data) // 2] ^= 1
    path.write_bytes(bytes(data))


def test_a_new_case_is_saved_with_title_and_time(answered: Answered, tmp_path: Path) -> None:
    answer = answered("new", tmp_path / "case", "--title", "Pot, club")

    assert answer.code == 0
    made = record(tmp_path / "case")
    assert made["title"] == "Pot, club"
    assert made["created"] == "2026-06-01T12:00:00Z"
    assert made["id"] in answer.out
    assert answered("verify", tmp_path / "case").code == 0


def test_the_unit_sheet_of_a_new_case_changes_nothing_until_it_is_filled_in(answered: Answered, tmp_path: Path) -> None:
    case, sheet = tmp_path / "case", tmp_path / "unit.toml"
    assert answered("new", case, "--unit-sheet", sheet).code == 0

    before = record(case)
    answer = answered("import-unit", case, sheet)

    assert answer.code == 0
    assert record(case)["unit"] == before["unit"]


def test_a_sheet_that_someone_may_have_filled_in_is_not_overwritten(answered: Answered, tmp_path: Path) -> None:
    sheet = tmp_path / "unit.toml"
    sheet.write_text("mine")

    answer = answered("new", tmp_path / "case", "--unit-sheet", sheet)

    assert answer.code == 4
    assert "is not overwritten" in answer.err
    assert sheet.read_text() == "mine"
    assert not (tmp_path / "case").exists()


@pytest.mark.parametrize("command", ["new", "copy-demo"])
def test_a_folder_with_something_in_it_is_not_taken(answered: Answered, tmp_path: Path, command: str) -> None:
    (tmp_path / "mine.txt").write_text("mine")

    answer = answered(command, tmp_path)

    assert answer.code == 3
    assert sorted(path.name for path in tmp_path.iterdir()) == ["mine.txt"]


def test_the_demo_is_copied_whole(answered: Answered, tmp_path: Path) -> None:
    assert answered("copy-demo", tmp_path / "my-demo").code == 0

    assert record(tmp_path / "my-demo") == record(DEMO_CASE)
    assert answered("verify", tmp_path / "my-demo").code == 0


def test_a_filled_sheet_enters_the_case(answered: Answered, tmp_path: Path) -> None:
    sheet = tmp_path / "unit.toml"
    sheet.write_text('[unit]\nbrand = "Lumenkessel"\n[wiring]\nnominal_voltage = 230\n', encoding="utf-8")
    answered("new", tmp_path / "case")

    answer = answered("import-unit", tmp_path / "case", sheet)

    assert answer.code == 0
    assert record(tmp_path / "case")["unit"]["brand"]["text"] == "Lumenkessel"
    assert record(tmp_path / "case")["wiring"]["nominal_voltage"] == 230


def test_all_faults_of_a_sheet_are_told_and_nothing_changes(
    answered: Answered, tmp_path: Path, fingerprint: Callable[[Path], object]
) -> None:
    sheet = tmp_path / "unit.toml"
    sheet.write_text('[unit]\nbrandt = "x"\n[wiring]\nplug = "round"\n', encoding="utf-8")
    answered("new", tmp_path / "case")
    before = fingerprint(tmp_path / "case")

    answer = answered("import-unit", tmp_path / "case", sheet)

    assert answer.code == 3
    assert "brandt" in answer.err
    assert "round" in answer.err
    assert fingerprint(tmp_path / "case") == before


def test_pictures_are_copied_byte_for_byte(answered: Answered, tmp_path: Path) -> None:
    answered("new", tmp_path / "case")

    answer = answered("add-pictures", tmp_path / "case", PICTURE)

    assert answer.code == 0
    assert "1 of 1 files looked at" in answer.err
    assert (tmp_path / "case" / "pictures" / "picture-001.jpg").read_bytes() == PICTURE.read_bytes()
    assert answered("verify", tmp_path / "case").code == 0


def test_a_refused_picture_is_told_and_the_others_are_taken(answered: Answered, tmp_path: Path) -> None:
    answered("new", tmp_path / "case")
    (tmp_path / "letter.jpg").write_text("Dear club")

    answer = answered("add-pictures", "--quiet", tmp_path / "case", tmp_path / "letter.jpg", PICTURE, "gone.jpg")

    assert answer.code == 3
    assert "letter.jpg" in answer.err
    assert "gone.jpg" in answer.err
    assert "1 of 3 pictures were copied in" in answer.out
    assert [picture["original_name"] for picture in record(tmp_path / "case")["pictures"]] == ["picture-003.jpg"]
    assert answered("verify", tmp_path / "case").code == 0


def test_the_same_picture_is_not_copied_twice(answered: Answered, tmp_path: Path) -> None:
    answered("new", tmp_path / "case")
    answered("add-pictures", tmp_path / "case", PICTURE)

    answer = answered("add-pictures", tmp_path / "case", PICTURE)

    assert answer.code == 0
    assert "already in the case, as picture-001" in answer.err
    assert "No picture was copied in" in answer.out
    assert len(record(tmp_path / "case")["pictures"]) == 1


def test_one_changed_byte_is_found(answered: Answered, demo: Path) -> None:
    change_one_byte(demo / "pictures" / "picture-004.jpg")

    answer = answered("verify", demo)

    assert answer.code == 1
    assert "changed     pictures/picture-004.jpg" in answer.out
    assert "1 of 10 listed files is not as it was saved." in answer.out


def test_a_case_that_is_no_case_is_told(answered: Answered, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    for command in ("assess", "verify"):
        answer = answered(command, tmp_path / "empty")
        assert answer.code == 3
        assert "holds no case" in answer.err


def test_a_record_that_cannot_be_read_is_told_and_had_back_from_the_log(answered: Answered, demo: Path) -> None:
    (demo / "case.json").write_text("{", encoding="utf-8")

    answer = answered("assess", demo)

    assert answer.code == 0
    assert "case.json is damaged; log.jsonl with revision 6 was opened instead" in answer.err
    assert "DANGER" in answer.out


def test_a_record_that_cannot_be_read_is_refused_where_the_log_is_gone_too(answered: Answered, demo: Path) -> None:
    (demo / "case.json").write_text("{", encoding="utf-8")
    (demo / "log.jsonl").unlink()

    answer = answered("assess", demo)

    assert answer.code == 3
    assert "case.json" in answer.err


def test_a_full_disk_is_told_and_the_case_is_as_it_was(
    answered: Answered, demo: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    sheet = tmp_path / "unit.toml"
    sheet.write_text('title = "Another"\n', encoding="utf-8")
    before = (demo / "case.json").read_bytes()

    def full(descriptor: int, data: bytes) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(files, "write", full)
    answer = answered("import-unit", demo, sheet)

    assert answer.code == 4
    assert "No space left on device" in answer.err
    assert (demo / "case.json").read_bytes() == before


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that nobody may list but not write; in it the program, since the checkout may be closed to nobody."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o755)
    for name in ("hazardreport", "resources"):
        shutil.copytree(PROJECT / name, folder / "program" / name, ignore=shutil.ignore_patterns("__pycache__"))
    yield folder
    shutil.rmtree(folder)


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="needs root, to be nobody for once")
@pytest.mark.parametrize(
    ("place", "code", "told"), [("case", 4, "could not be written"), ("closed/case", 3, "could not be read")]
)
def test_a_folder_that_may_not_be_written_or_looked_into_is_told(
    open_folder: Path, place: str, code: int, told: str
) -> None:
    (open_folder / "closed").mkdir(mode=0o700)
    program = f"""
import os, sys
sys.path[:0] = {[str(open_folder / "program"), *sys.path]!r}
from hazardreport.app.cli import run
assert run(["new", {str(open_folder / "first")!r}], sys.stdout, sys.stderr) == 0
os.setgid(65534); os.setuid(65534)
sys.exit(run(["new", {str(open_folder / place)!r}], sys.stdout, sys.stderr))
"""

    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, timeout=60, check=False)

    assert done.returncode == code, done.stderr
    assert f"{told}: Permission denied" in done.stderr
    assert "Traceback" not in done.stderr
    assert not (open_folder / place).exists()


NAMELESS = "Nobody is named in the log of the case for this: say who you are with --author."


def test_without_a_name_for_the_log_a_changing_command_says_so_once(
    answered: Callable[..., Any], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("HAZARDREPORT_AUTHOR", raising=False)
    folder, sheet = tmp_path / "case", tmp_path / "unit.toml"
    assert answered("new", folder).err == NAMELESS + "\n"
    sheet.write_text('[unit]\nmaker = "Examplar"\n', encoding="utf-8")
    assert answered("import-unit", folder, sheet).err == NAMELESS + "\n"
    assert answered("import-unit", folder, sheet).err == ""
    assert answered("new", tmp_path / "other", "--author", "Rosa Example").err == ""
    assert answered("check", folder).err == ""
    monkeypatch.setenv("HAZARDREPORT_AUTHOR", "Rosa Example")
    assert answered("new", tmp_path / "third").err == ""

"""The program as a process: exit codes and streams; no command imports Qt, and help imports nothing heavy."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

HEAVY = ("numpy", "scipy", "pint", "reportlab", "pikepdf", "PIL", "msgspec", "PySide6", "holidays", "icalendar")
ENVIRONMENT = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}


def process(*words: object) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "hazardreport", *(str(word) for word in words)],
        capture_output=True,
        encoding="utf-8",
        timeout=120,
        check=False,
        env=ENVIRONMENT,
    )


def test_the_exit_code_and_the_streams_are_those_of_the_command(demo: Path) -> None:
    whole, wrong = process("verify", demo), process("assess", demo / "pictures")

    assert whole.returncode == 0
    assert "Every file is as the list of hashes says" in whole.stdout
    assert whole.stderr == ""
    assert wrong.returncode == 3
    assert wrong.stdout == ""
    assert "holds no case" in wrong.stderr
    assert "Traceback" not in wrong.stderr


def test_no_command_imports_qt(demo: Path, tmp_path: Path) -> None:
    material = Path(__file__).resolve().parents[1] / "material" / "glue-pot"
    commands = [
        ["--help"],
        ["--version"],
        ["new", tmp_path / "case", "--unit-sheet", tmp_path / "unit.toml"],
        ["copy-demo", tmp_path / "copy"],
        ["import-unit", tmp_path / "case", material / "unit.toml"],
        ["import-readings", tmp_path / "case", material / "readings.csv"],
        ["add-pictures", tmp_path / "case", demo / "pictures" / "picture-001.jpg"],
        ["assess", demo],
        ["assess", demo, "--json"],
        ["check", demo, "--for", "eu-maker-notice"],
        ["export", demo, "--for", "eu-maker-notice", "--out", tmp_path / "report.pdf"],
        [
            "letter",
            tmp_path / "case",
            "--kind",
            "message",
            "--to",
            "x",
            "--day",
            "2026-05-04",
            "--answer-by",
            "2099-01-01",
        ],
        ["letters", tmp_path / "case", "--calendar", tmp_path / "expected.ics"],
        ["verify", demo],
        ["pack", demo, "--out", tmp_path / "demo.zip"],
        ["verify", tmp_path / "demo.zip"],
        ["unpack", tmp_path / "demo.zip", "--into", tmp_path / "unpacked"],
        ["check", tmp_path / "demo.zip", "--for", "eu-maker-notice"],
    ]
    program = f"""
import io, sys
from hazardreport.app.cli import run
for words in {[[str(word) for word in words] for words in commands]!r}:
    err = io.StringIO()
    code = run(words, io.StringIO(), err)
    qt = [name for name in sys.modules if name.partition(".")[0] in ("PySide6", "shiboken6")]
    print(words[0], code, qt, repr(err.getvalue()) if code else "")
"""

    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, timeout=180, check=True, env=ENVIRONMENT
    )

    lines = done.stdout.splitlines()
    assert [line.split()[0] for line in lines] == [str(words[0]) for words in commands]
    assert all(line.rstrip().endswith("0 []") for line in lines), done.stdout


@pytest.mark.parametrize("words", [["--help"], ["export", "--help"], ["--version"], ["nonsense"]])
def test_help_and_wrong_words_import_nothing_heavy(words: list[str]) -> None:
    program = f"""
import io, sys
from hazardreport.app.cli import run
run({words!r}, io.StringIO(), io.StringIO())
print([name for name in {HEAVY!r} if name in sys.modules])
"""

    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, timeout=60, check=True, env=ENVIRONMENT
    )

    assert done.stdout.strip() == "[]"


def test_a_reader_that_goes_away_is_no_defect(demo: Path) -> None:
    with subprocess.Popen(
        [sys.executable, "-m", "hazardreport", "assess", str(demo), "--json", "--quiet"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=ENVIRONMENT,
    ) as child:
        assert child.stdout is not None
        assert child.stderr is not None
        child.stdout.read(10)
        child.stdout.close()
        told = child.stderr.read().decode()
        code = child.wait(timeout=120)

    assert (code, told) == (0, "")


def test_a_case_that_is_open_elsewhere_is_not_changed_and_can_be_read(demo: Path, tmp_path: Path) -> None:
    sheet = tmp_path / "unit.toml"
    sheet.write_text('title = "Another"\n', encoding="utf-8")
    program = f"""
import sys
from pathlib import Path
from hazardreport.storage.folder import open_case
opened = open_case(Path({str(demo)!r}))
print("open", flush=True)
sys.stdin.read()
"""
    with subprocess.Popen(
        [sys.executable, "-c", program], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=ENVIRONMENT
    ) as holder:
        assert holder.stdout is not None
        assert holder.stdin is not None
        assert holder.stdout.readline() == "open\n"
        refused, read = process("import-unit", demo, sheet), process("verify", demo)
        holder.stdin.close()
        holder.wait(timeout=60)

    assert refused.returncode == 3
    assert "open" in refused.stderr
    assert "Another" not in (demo / "case.json").read_text(encoding="utf-8")
    assert read.returncode == 0
    assert process("import-unit", demo, sheet).returncode == 0


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
@pytest.mark.parametrize("command", [["verify"], ["assess", "--json"], ["check", "--for", "us-agency-harm"]])
def test_an_answer_that_finds_no_room_answers_4(demo: Path, command: list[str]) -> None:
    with Path("/dev/full").open("w", encoding="utf-8") as full:
        answer = subprocess.run(
            [sys.executable, "-m", "hazardreport", command[0], str(demo), *command[1:]],
            stdout=full,
            stderr=subprocess.PIPE,
            encoding="utf-8",
            timeout=120,
            check=False,
            env=ENVIRONMENT,
        )

    assert answer.returncode == 4
    assert "The answer could not be written: No space left on device." in answer.stderr
    assert "Traceback" not in answer.stderr
    assert "Exception ignored" not in answer.stderr

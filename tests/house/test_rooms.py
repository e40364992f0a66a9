"""The house keeps its picture: data flows one way, and each room imports only the packages listed for it."""

import ast
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import hazardreport

ROOT = Path(hazardreport.__file__).resolve().parent
PROJECT = Path(__file__).resolve().parents[2]

THIRD_PARTY = {
    "addressees": {"holidays", "icalendar"},
    "app": {"PySide6", "shiboken6", "pypdfium2"},
    "assess": {"numpy", "scipy"},
    "circuit": {"numpy", "scipy"},
    "evidence": {"PIL", "pi_heif"},
    "figures": {"fontTools"},
    "quantity": {"numpy", "pint", "scipy"},
    "readings": {"numpy", "scipy"},
    "report": {"reportlab", "PIL", "pikepdf", "fontTools"},
    "severity": {"numpy", "scipy"},
    "storage": {"msgspec"},
}
ONLY_IN = {"pint": {"quantity/units.py"}, "numpy": {"quantity/propagation.py", "quantity/monte_carlo.py"}}
SCIPY = {"scipy.optimize", "scipy.special"}


def imported(source: str) -> Iterator[str]:
    """Dotted names of all absolute imports, those inside functions included."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            deeper = node.module == "scipy"
            yield from (f"{node.module}.{alias.name}" if deeper else node.module for alias in node.names)


def offences(place: str, source: str) -> list[str]:
    """Imports that a file at `place` (relative to the package) may not have."""
    room = place.split("/")[0]
    allowed = THIRD_PARTY.get(room, set())
    found = []
    for name in imported(source):
        top = name.split(".")[0]
        if top in sys.stdlib_module_names or top == "hazardreport":
            continue
        wrong = (
            top not in allowed
            or (room == "quantity" and top in ONLY_IN and place not in ONLY_IN[top])
            or (top == "scipy" and ".".join(name.split(".")[:2]) not in SCIPY)
        )
        if wrong:
            found.append(f"{place}: {name}")
    return found


def test_each_room_imports_only_its_third_party_packages() -> None:
    found = [
        offence
        for path in sorted(ROOT.rglob("*.py"))
        for offence in offences(path.relative_to(ROOT).as_posix(), path.read_text(encoding="utf-8"))
    ]
    assert found == []


@pytest.mark.parametrize(
    ("place", "source"),
    [
        ("quantity/typed.py", "from PySide6.QtCore import QObject"),
        ("quantity/typed.py", "import pint"),
        ("case/case.py", "def f():\n    import numpy"),
        ("severity/body.py", "from scipy import stats"),
        ("risk/level.py", "import numpy"),
        ("report/build.py", "import msgspec"),
        ("storage/folder.py", "import PIL.Image"),
        ("app/cli_letters.py", "import icalendar"),
    ],
)
def test_the_guard_catches_a_planted_offence(place: str, source: str) -> None:
    assert offences(place, source)


def lint_imports(folder: Path) -> subprocess.CompletedProcess[str]:
    program = (
        "import sys; sys.path.insert(0, '.'); from importlinter.cli import lint_imports; "
        "sys.exit(lint_imports(cache_dir=None, no_cache=True))"
    )
    return subprocess.run(
        [sys.executable, "-W", "ignore", "-c", program],
        cwd=folder,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )


def copied_project(tmp_path: Path) -> Path:
    shutil.copytree(ROOT, tmp_path / "hazardreport", ignore=shutil.ignore_patterns("__pycache__", "shipped"))
    shutil.copy(PROJECT / "pyproject.toml", tmp_path)
    return tmp_path


def test_data_flows_one_way(tmp_path: Path) -> None:
    result = lint_imports(copied_project(tmp_path))
    assert result.returncode == 0, result.stdout + result.stderr


@pytest.mark.parametrize(
    ("place", "line"),
    [
        ("case/planted.py", "from hazardreport.storage import folder"),
        ("circuit/planted.py", "import hazardreport.severity.terms"),
        ("risk/planted.py", "import hazardreport.severity.terms"),
        ("unlisted.py", ""),
    ],
)
def test_the_contract_catches_a_planted_offence(tmp_path: Path, place: str, line: str) -> None:
    folder = copied_project(tmp_path)
    (folder / "hazardreport" / place).write_text(f'"""Planted."""\n\n{line}\n', encoding="utf-8")

    assert lint_imports(folder).returncode != 0

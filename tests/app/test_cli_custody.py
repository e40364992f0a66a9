"""The command line says in one line what the record of keeping lacks, and nothing where it lacks nothing."""

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from hazardreport.resources_dir import DEMO_CASE

Answered = Callable[..., Any]
LINE = "Keeping of the evidence"


@pytest.fixture
def demo(tmp_path: Path) -> Path:
    shutil.copytree(DEMO_CASE, tmp_path / "demo")
    return tmp_path / "demo"


def lacking(answer: Any) -> list[str]:
    return [line for line in answer.out.splitlines() if line.startswith(LINE)]


def test_assess_tells_the_first_thing_to_mend_and_their_number(answered: Answered, demo: Path, tmp_path: Path) -> None:
    assert lacking(answered("assess", demo)) == []

    sheet = tmp_path / "unit.toml"
    sheet.write_text('[[items]]\nkind = "cord"\ndescription = "cord"\nlabel = "K 9"\nplace = "shelf"\n')
    assert answered("import-unit", demo, sheet).code == 0
    assert lacking(answered("assess", demo)) == [
        f"{LINE}, 1 thing to mend: item-004: The condition of the item when it was taken into"
    ]

    sheet.write_text('[[items]]\nkind = "part"\n')
    assert answered("import-unit", demo, sheet).code == 0
    told = lacking(answered("assess", demo))
    assert len(told) == 1
    assert told[0].startswith(f"{LINE}, 4 things to mend; the first, item-004: The condition")


def test_a_case_in_which_nothing_is_kept_yet_is_not_reproached(answered: Answered, tmp_path: Path) -> None:
    assert answered("new", tmp_path / "case").code == 0
    assert lacking(answered("assess", tmp_path / "case")) == []

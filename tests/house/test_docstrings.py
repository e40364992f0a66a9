"""Public functions of calculating rooms say what they answer; those of numbers in circuit and severity say units."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import hazardreport

HOUSE = Path(hazardreport.__file__).resolve().parent
ROOMS = ("quantity", "standards", "severity", "circuit", "readings", "assess")
WITH_UNITS = ("circuit", "severity")
NUMERIC = re.compile(r"\b(float|complex|ndarray|NDArray|Array|ArrayLike|ComplexArray|Real|Complex|Vector|Values)\b")
UNIT = re.compile(r"\[[^\]]+\]|[\(,] ?(V|A|ohm|W|s|F|Hz|C|J|1)[\),]")


def public_functions(tree: ast.Module) -> Iterator[tuple[str, ast.FunctionDef]]:
    """Functions of a module and methods of its public classes, without the private ones."""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
            yield node.name, node
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            for item in node.body:
                if isinstance(item, ast.FunctionDef) and not item.name.startswith("_"):
                    yield f"{node.name}.{item.name}", item


def words(text: str) -> list[str]:
    """Words of a name or a sentence, in small letters."""
    return re.findall(r"[a-z0-9]+", text.lower().replace("_", " "))


def offences(source: str, *, with_units: bool) -> list[str]:
    """Names of public functions whose docstring says too little, each with what it lacks."""
    found = []
    for name, function in public_functions(ast.parse(source)):
        text = ast.get_docstring(function)
        if not text:
            found.append(f"{name}: no docstring")
            continue
        if words(text.splitlines()[0]) == words(function.name):
            found.append(f"{name}: only its name")
        if not re.search(r"[.:\])]$", text.split("\n\n")[0].strip()):
            found.append(f"{name}: no sentence")
        if with_units and "." not in name and _numeric(function) and not UNIT.search(text):
            found.append(f"{name}: no unit")
    return found


def _numeric(function: ast.FunctionDef) -> bool:
    """Whether a function takes or gives plain numbers or arrays of them; one that only says yes or no does not."""
    if function.returns is not None and ast.unparse(function.returns) == "bool" and len(function.args.args) == 1:
        return False
    annotations = [item.annotation for item in (*function.args.args, *function.args.kwonlyargs)] + [function.returns]
    return any(NUMERIC.search(ast.unparse(annotation)) for annotation in annotations if annotation is not None)


@pytest.mark.parametrize("room", ROOMS)
def test_public_functions_say_what_they_answer(room: str) -> None:
    found = [
        f"{path.name}: {offence}"
        for path in sorted((HOUSE / room).rglob("*.py"))
        for offence in offences(path.read_text(encoding="utf-8"), with_units=room in WITH_UNITS)
    ]
    assert found == []


@pytest.mark.parametrize(
    ("planted", "offence"),
    [
        ("def current() -> str:\n    return ''", "current: no docstring"),
        ('def touch_current() -> str:\n    """Touch current."""', "touch_current: only its name"),
        ('def current() -> str:\n    """Touch current through a person"""', "current: no sentence"),
        ('def current(voltage: float) -> str:\n    """Touch current through a person."""', "current: no unit"),
        ('def current() -> NDArray[np.float64]:\n    """Currents of all people."""', "current: no unit"),
        ("class Body:\n    def current(self) -> float:\n        return 0.0", "Body.current: no docstring"),
    ],
)
def test_a_planted_docstring_that_says_too_little_is_caught(planted: str, offence: str) -> None:
    assert offences(planted, with_units=True) == [offence]


def test_a_sound_docstring_and_private_functions_pass() -> None:
    sound = 'def current(voltage: float) -> float:\n    """Current through a person. [A]"""\n'
    assert offences(sound + "def _inside(voltage: float) -> float:\n    return voltage\n", with_units=True) == []
    assert offences('def current(voltage: float) -> float:\n    """Of a person."""\n', with_units=False) == []

"""Sentences for people stand in resources/wording, whole, to be translated: none is put together in code."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import hazardreport

ROOT = Path(hazardreport.__file__).resolve().parent
ROOMS = ("addressees", "figures", "report", "risk")
VIEWS = ("app/views", "app/dialogs", "app/pages")
"""Labels and hints stand in the code of the widgets; what ends like a sentence, or gives an example, does not."""

ALLOWED = {
    ("addressees/calendar_file.py", "-//hazardreport//expected days//EN"): "identifier of the program in RFC 5545",
    ("risk/requirements.py", "requirement without key"): "a fault in the program's own file, for who mends the file",
    ("risk/requirements.py", ": a second one of that key"): "a fault in the program's own file, for who mends the file",
}
"""Texts with words that are no sentence for a person, each with its reason."""

LISTS_OF_NAMES = "report/identity.py"
"""Names of fields in one text, which is split; each of them is a name of the record."""

MARKUP = ("<font ", "<sub ")
"""Begins of marks of the PDF's paragraphs."""

QUESTIONS = frozenset(
    {
        "Can a user see it?",
        "Is it plausible?",
        "Where do you live?",
        "Where was it bought?",
        "Was it bought online?",
        "Was anybody hurt?",
    }
)
"""Labels of fields that are questions."""

CITATION = ("place", "source")
"""Arguments that name a place in a document: data, cited as printed."""


def words_in(text: str) -> bool:
    """Whether a text has two words with a space between, as a sentence has and a key has not."""
    return " " in text.strip() and len(re.findall(r"[^\W\d_]{2,}", text)) >= 2


def _left_out(tree: ast.Module) -> Iterator[ast.AST]:
    """Docstrings, values of enumerations, patterns, places of citations."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            yield node.value
        elif _is_data(node):
            yield from ast.walk(node)


def _is_data(node: ast.AST) -> bool:
    if isinstance(node, ast.ClassDef):
        return any("Enum" in ast.unparse(base) for base in node.bases)
    if isinstance(node, ast.Call):
        return ast.unparse(node.func).startswith("re.")
    return isinstance(node, ast.keyword) and node.arg in CITATION


def offences(place: str, source: str) -> list[str]:
    """Sentences in code, and texts with letters that are put together by `+`."""
    tree = ast.parse(source)
    skipped = {id(node) for node in _left_out(tree)}
    found = []
    for node in ast.walk(tree):
        if id(node) in skipped:
            continue
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and words_in(node.value):
            if (place, node.value) not in ALLOWED and not _is_code(place, node.value):
                found.append(f"{place}:{node.lineno}: {node.value!r}")
        elif isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add):
            sides = (node.left, node.right)
            if any(_is_code(place, text) for side in sides for text in _texts(side)):
                continue
            if any(_has_words(side) for side in sides) or all(_is_sentence(side) for side in sides):
                found.append(f"{place}:{node.lineno}: {ast.unparse(node)}")
    return found


def _has_words(node: ast.expr) -> bool:
    """A text with letters that is no key of the wording, plain or with fields in it."""
    return any(re.search(r"[^\W\d_]{2,}", text) and not re.fullmatch(r"[a-z_.]+\.", text) for text in _texts(node))


def _texts(node: ast.expr) -> list[str]:
    """The texts of a constant, or between the fields of one that is put together."""
    parts = node.values if isinstance(node, ast.JoinedStr) else [node]
    return [part.value for part in parts if isinstance(part, ast.Constant) and isinstance(part.value, str)]


def _is_code(place: str, text: str) -> bool:
    """Marks of the PDF, and lists of names of fields."""
    names = place == LISTS_OF_NAMES and re.fullmatch(r"[a-z_]+( [a-z_]+)*", text)
    return bool(names) or (place.startswith("report/pdf/") and text.startswith(MARKUP))


def sentences_in(place: str, source: str) -> list[str]:
    """Whole sentences in the code of a view."""
    tree = ast.parse(source)
    skipped = {id(node) for node in _left_out(tree)}
    return [
        f"{place}:{node.lineno}: {node.value!r}"
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
        if id(node) not in skipped and node.value not in QUESTIONS and words_in(node.value)
        if re.search(r"[.?!]$|[a-z][.?!] [A-Z]|\bsuch as\b", node.value.strip())
    ]


def _is_sentence(node: ast.expr) -> bool:
    """A sentence of the wording; two of them may follow each other with a space between, and not without."""
    return isinstance(node, ast.Call) and ast.unparse(node.func).split(".")[-1] in ("sentence", "template")


def test_no_sentence_stands_in_the_code_of_these_rooms() -> None:
    found = [
        offence
        for room in ROOMS
        for path in sorted((ROOT / room).rglob("*.py"))
        for offence in offences(path.relative_to(ROOT).as_posix(), path.read_text(encoding="utf-8"))
    ]
    assert found == []


def test_no_sentence_stands_in_the_code_of_the_views() -> None:
    found = [
        offence
        for room in VIEWS
        for path in sorted((ROOT / room).rglob("*.py"))
        for offence in sentences_in(path.relative_to(ROOT).as_posix(), path.read_text(encoding="utf-8"))
    ]
    assert found == []


@pytest.mark.parametrize("planted", ["Give an answer first.", "A number, such as 230", "Left out. Press it"])
def test_a_planted_sentence_in_a_view_is_caught(planted: str) -> None:
    assert sentences_in("app/views/planted.py", f"def f(x):\n    x.setText({planted!r})")


@pytest.mark.parametrize("sound", ["What happens", "one step, in plain words", "Can a user see it?", "1/50, 2 %"])
def test_a_label_in_a_view_passes(sound: str) -> None:
    assert sentences_in("app/views/planted.py", f"def f(x):\n    x.setText({sound!r})") == []


def test_every_allowed_text_is_still_there() -> None:
    for place, text in ALLOWED:
        assert text in (ROOT / place).read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "planted",
    [
        'def f():\n    return "The unit is dangerous."',
        'def f(x):\n    return f"Sent to {x} on time"',
        'def f(x):\n    return "Sent " + x',
        'def f(x):\n    return x + f" days {x}"',
        'def f(x):\n    return sentence("risk.a") + sentence("risk.b")',
        'TEXT = ("The unit",\n        "is dangerous by far")',
    ],
)
def test_a_planted_sentence_is_caught(planted: str) -> None:
    assert offences("risk/planted.py", planted)


@pytest.mark.parametrize(
    "sound",
    [
        '"""A docstring is for those who read the code."""',
        'def f():\n    """Sentence of a docstring."""\n    return sentence("risk.level.why", level=1)',
        'class Kind(StrEnum):\n    """A kind."""\n\n    UP = "severity up"',
        'PATTERN = re.compile("one or two words")',
        'SOURCE = Source(key="iec-61140", place="classes 0 to III")',
        "x = (1, 2) + (3,)",
        'told += " " + sentence("risk.product.open_one")',
        'x = " · " + name',
        'key = "problems." + name',
    ],
)
def test_what_is_no_sentence_passes(sound: str) -> None:
    assert offences("risk/planted.py", sound) == []

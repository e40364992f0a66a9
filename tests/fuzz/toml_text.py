"""Odd changes to a text in TOML, line by line: values, names, tables."""

import json
import random
import re

from tests.fuzz import odd

VALUES = (
    "true",
    "inf",
    "-inf",
    "nan",
    "-nan",
    "1979-05-27",
    "1979-05-27T07:32:00Z",
    "1979-05-27T00:32:00.999999-07:00",
    "07:32:00",
    "0xff",
    "0x" + "f" * 400,
    "0x" + "f" * 5000,
    "0o7",
    "0b1",
    "1_000",
    "01",
    "[]",
    "[[]]",
    "[1, 'a']",
    "['a', 'b']",
    "{}",
    "{value = 'x'}",
    "{unknown = 'not told'}",
    "{not_applicable = ''}",
    "{value = 'x', unknown = 'y'}",
    "{value = 1}",
    "{a.b.c = 1}",
    "{value = 'x', picture = 'picture-001', point = 'A'}",
    '"""\n[unit]\nbrand = 1\n"""',
    "'''\n\n'''",
    "[\n[          \n1],\n]",
    "x",
    '"\\ud800"',
    '"\\U0010ffff"',
)
_KEY = re.compile(r"(\s*)([^=\s#]+)(\s*=\s*)(.*)", re.DOTALL)


def changed(data: bytes, words: tuple[str, ...], random_: random.Random) -> bytes:
    """The text after one to four odd changes; `words` are names and texts that a sheet may hold."""
    lines = data.decode("utf-8", "replace").split("\n")
    for _ in range(random_.choice((1, 1, 1, 2, 2, 4))):
        _change(lines, words, random_)
    return "\n".join(lines).encode("utf-8", "replace")


def _change(lines: list[str], words: tuple[str, ...], random_: random.Random) -> None:
    index = random_.randrange(len(lines))
    kind = random_.randrange(10)
    if kind == 0:
        lines.insert(random_.randrange(len(lines)), lines[index])
    elif kind == 1 and len(lines) > 1:
        del lines[index]
    elif kind == 2:
        lines.insert(index, f"{_name(words, random_)} = {_value(words, random_)}")
    elif kind == 3:
        lines.insert(index, random_.choice(("[{}]", "[[{}]]", "[ {} ]", "[[{}")).format(_name(words, random_)))
    elif kind == 4:
        lines[index : index + 1] = lines[index : index + 12] * random_.choice((2, 3))
    elif found := _KEY.fullmatch(lines[index]):
        space, name, equals, value = found.groups()
        if kind == 5:
            name = _name(words, random_)
        elif kind == 6:
            name = f"{name}.{_name(words, random_)}"
        elif kind == 7:
            value = "[" * (depth := random_.choice((1, 2, 40, 400))) + value + "]" * depth
        else:
            value = _value(words, random_)
        lines[index] = f"{space}{name}{equals}{value}"


def _name(words: tuple[str, ...], random_: random.Random) -> str:
    kind = random_.randrange(6)
    if kind == 0:
        return json.dumps(odd.text(random_), ensure_ascii=False)
    if kind == 1:
        return ".".join(random_.choice(words) for _ in range(random_.choice((2, 3, 12, 200))))
    return random_.choice(words)


def _value(words: tuple[str, ...], random_: random.Random) -> str:
    kind = random_.randrange(5)
    if kind == 0:
        return json.dumps(odd.text(random_), ensure_ascii=False)
    if kind == 1:
        return random_.choice(odd.NUMBERS)
    if kind == 2:
        return json.dumps(random_.choice(words))
    return random_.choice(VALUES)

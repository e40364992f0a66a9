"""The shape of a TOML text, looked at before it is read: the standard reader takes time and memory without bound for
keys of very many parts, and Python does not compare very long whole numbers with others.
"""

import re

from hazardreport.errors import Fault
from hazardreport.storage.faults import at_line, fault

DEPTH_LIMIT = 8
PARTS_LIMIT = 8
WORD_LIMIT = 200
"""Brackets within each other; parts of a key between points; characters of a number or of a name without quotes."""

_OPAQUE = re.compile(
    r'"""(?:[^"\\]++|\\.|"{1,2}+(?!"))*+(?:"{3,5}|\\?\Z)'
    r"|'''(?:[^']++|'{1,2}+(?!'))*+(?:'{3,5}|\Z)"
    r'|"(?:[^"\\\n]++|\\[^\n])*+(?:"|\\?(?=\n|\Z))'
    r"|'[^'\n]*+(?:'|(?=\n|\Z))"
    r"|#[^\n]*+",
    re.DOTALL,
)
"""Texts and comments, also those that nothing ends."""

_BRACKET = re.compile(r"[\[\]{}]")
_KEY_OR_VALUE = re.compile(r"[^=\[\]{},\n]+")
_WORD = re.compile(r"[\w.+:-]+")


def shape_faults(text: str) -> list[Fault]:
    """What makes the text dearer to read than any unit sheet: one fault for each kind, with its line."""
    plain = _OPAQUE.sub(lambda found: "_" + "\n" * found.group().count("\n"), text)
    faults = []
    if (depth := _deepest(plain)) > DEPTH_LIMIT:
        faults.append(fault("", "too_deep", depth=depth, limit=DEPTH_LIMIT))
    many = next((found for found in _KEY_OR_VALUE.finditer(plain) if found[0].count(".") >= PARTS_LIMIT), None)
    if many:
        faults.append(fault(_line(plain, many.start()), "too_many_parts", limit=PARTS_LIMIT))
    long = next((found for found in _WORD.finditer(plain) if len(found[0]) > WORD_LIMIT), None)
    if long:
        faults.append(fault(_line(plain, long.start()), "too_long_word", text=long[0][:24], limit=WORD_LIMIT))
    return faults


def _line(text: str, position: int) -> str:
    return at_line(text.count("\n", 0, position) + 1, "")


def _deepest(plain: str) -> int:
    """Deepest nesting of brackets."""
    deepest = depth = 0
    for found in _BRACKET.finditer(plain):
        depth += 1 if found[0] in "[{" else -1
        deepest = max(deepest, depth)
    return deepest

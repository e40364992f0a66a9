"""Odd values that a hand, a broken disk or an attacker could put into a file."""

import random

LONG = 3_000

TEXTS = (
    "",
    " ",
    "\t",
    "0",
    "-0",
    "None",
    "null",
    "NaN",
    "é",
    "e\u0301",
    "\u202egpj.exe",
    "\u200b",
    "\ufeff",
    "\x00",
    "\x1b[31m",
    "\x85",
    "\u2028",
    "\U0001f525",
    "\U0010ffff",
    "²",
    "١٢",
    "Ⅻ",
    "ﬁ",
    "ß",
    "İ",
    "{0}",
    "{place}",
    "{",
    "%s",
    "../case.json",
    "/etc/passwd",
    "CON",
    "a\\b",
    "=1+1",
    "'=1",
    '"',
    "'",
    "a.b[0].c",
    "reading-²",
    "reading-" + "9" * 40,
    "picture-001",
    "x" * LONG,
    "\u0301" * 200,
    "a." * 200,
)
"""Texts of any file; halves of characters are added where a format can hold them."""

HALVES = ("\ud800", "half \udfff", "\udc80\udc80")
"""Lone surrogates: JSON can escape them."""

NUMBERS = (
    "0",
    "-0",
    "-0.0",
    "1",
    "-1",
    "0.1",
    "1.5",
    "2147483648",
    "9007199254740993",
    "18446744073709551616",
    "1" + "0" * 30,
    "1" + "0" * 400,
    "1e308",
    "1e309",
    "-1e999",
    "5e-324",
    "1e-400",
    "1" * 600 + ".5",
)
"""Numbers as JSON, TOML and a CSV cell write them alike."""


def text(random_: random.Random) -> str:
    """An odd text, or two of them joined."""
    one = random_.choice(TEXTS)
    return one + random_.choice(TEXTS) if random_.random() < 0.2 else one

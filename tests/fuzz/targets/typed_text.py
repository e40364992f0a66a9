"""Fuzz target: typed text, `read_value`. What is read is a number that can be reckoned with."""

import math
import random

from hazardreport.errors import HazardReportError
from hazardreport.quantity.typed import UNITS, Bound, read_value
from tests.fuzz import odd, table_text
from tests.fuzz.answers import told

RUNS = 100_000
QUANTITIES = sorted(UNITS)
PIECES = (
    *table_text.VALUES,
    *odd.NUMBERS[:12],
    *("±", "+/-", "%", "(", ")", ">", "<=", "≥", " ", "\u202f", ",", ".", "'", "e5", "E-9", "−", "µ", "μ"),
    *("k", "K", "M", "G", "T", "R", "mA", "MV", "VAC", "V⎓", "Hz", "Ω", "\u2126", "ohms", "uF", "s", "overload", "O/L"),
)


def seeds() -> list[bytes]:
    """Each value, for each quantity: the first byte says which."""
    return [bytes([index]) + text.encode() for index in range(len(QUANTITIES)) for text in table_text.VALUES]


def changed(data: bytes, random_: random.Random) -> bytes:
    """The text with pieces put in, taken out or replaced."""
    text = data[1:].decode("utf-8", "replace")
    for _ in range(random_.randint(1, 3)):
        at = random_.randrange(len(text) + 1)
        text = text[:at] + random_.choice((*PIECES, "")) + text[at + random_.choice((0, 0, 1, 3)) :]
    return bytes([random_.randrange(len(QUANTITIES))]) + text[:80].encode("utf-8", "replace")


def one_input(data: bytes) -> None:
    """One try to read these bytes as a typed value."""
    quantity = QUANTITIES[data[0] % len(QUANTITIES)] if data else QUANTITIES[0]
    try:
        found = read_value(data[1:].decode("utf-8", "surrogateescape"), quantity)
    except HazardReportError as error:
        told(error)
        return
    assert found.unit == UNITS[quantity]
    assert math.isfinite(found.value) or (found.value == math.inf and found.bound is Bound.ABOVE)
    assert math.isfinite(found.resolution)
    assert found.resolution >= 0.0
    assert found.uncertainty is None or (math.isfinite(found.uncertainty) and found.uncertainty >= 0.0)

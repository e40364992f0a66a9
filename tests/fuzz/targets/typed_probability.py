"""Fuzz target: the probability of a step as typed, `probability`. What is read is a probability, and is read again."""

import random

from hazardreport.errors import HazardReportError
from hazardreport.risk.probability import LONGEST_TEXT, printed, probability, spoken
from tests.fuzz import odd
from tests.fuzz.answers import told

RUNS = 100_000
TEXTS = (
    *("1", "1/1", "1/50", "27 / 160 000", "1 in 50", "3 out of 10 000", "2 %", "0,02", ".02", "100%", "1e-6", "2,5 %"),
    *("0", "0/5", "1/0", "0 %", "-1/50", "-0.5", "1.01", "101 %", "3/2", "2", "1,000", "< 1/50", "about 1 in 50"),
    *("", " ", "likely", "1/2/3", "1 in", "5 ‰", "1e-31", "1e99", "1e-99", "NaN", "inf", "½", "١/٢", "0x1/2", "1/1e3"),
    *("0." + "0" * 38 + "1", "1/" + "9" * 38, "1" * 40 + "/" + "9" * 40),
)
PIECES = (
    *odd.NUMBERS[:12],
    *(
        "/",
        "%",
        " in ",
        " out of ",
        "-",
        ".",
        ",",
        " ",
        "\u202f",
        "\u2212",
        "\u2044",
        "e-",
        "E5",
        "0",
        "9",
        "1",
        "<",
        "~",
    ),
)


def seeds() -> list[bytes]:
    """A text of every form, and of every refusal."""
    return [text.encode() for text in TEXTS]


def changed(data: bytes, random_: random.Random) -> bytes:
    """The text with pieces put in, taken out or replaced."""
    text = data.decode("utf-8", "replace")
    for _ in range(random_.randint(1, 3)):
        at = random_.randrange(len(text) + 1)
        text = text[:at] + random_.choice((*PIECES, "")) + text[at + random_.choice((0, 0, 1, 3)) :]
    return text[:80].encode("utf-8", "replace")


def one_input(data: bytes) -> None:
    """One try to read these bytes as a probability; printed, it is the same probability where it is not too long."""
    try:
        found = probability(data.decode("utf-8", "surrogateescape"))
    except HazardReportError as error:
        told(error)
        return
    assert 0 < found <= 1
    assert spoken(found).strip()
    again = printed(found)
    assert len(again) > LONGEST_TEXT or probability(again) == found

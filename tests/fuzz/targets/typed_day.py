"""Fuzz target: a day as typed, `read_day` and `day_of`. What is read is a span of days in its order."""

import random

from hazardreport.case.days import MONTHS, WEEKDAYS, day_of, read_day
from hazardreport.errors import HazardReportError
from tests.fuzz.answers import told

RUNS = 100_000
DAYS = (
    "2026-05-12",
    "2026-05",
    "2026",
    "12 May 2026",
    "May 12, 2026, receipt kept",
    "about May 2026",
    "14.05.2026",
    "03/04/2026",
    "12.05.26",
    "Tuesday, 12 May 2026",
    "2026-02-31",
    "2026-05-12T10:30:00Z",
    "in early May 2026 (as told)",
)
PIECES = (
    *(name.capitalize() for name in (*MONTHS, *WEEKDAYS)),
    *("-", "/", ".", ",", ";", "(", " ", "~", "about ", "ca. ", "th", "st", "of ", "T", "Z", "\u2013", "\u0662"),
    *("0", "00", "0000", "9999", "29", "31", "32", "02", "13", "1900", "\x00"),
)


def seeds() -> list[bytes]:
    """A text of every form."""
    return [text.encode() for text in DAYS]


def changed(data: bytes, random_: random.Random) -> bytes:
    """The text with pieces put in, taken out or replaced."""
    text = data.decode("utf-8", "replace")
    for _ in range(random_.randint(1, 3)):
        at = random_.randrange(len(text) + 1)
        text = text[:at] + random_.choice((*PIECES, "")) + text[at + random_.choice((0, 0, 1, 3)) :]
    return text[:80].encode("utf-8", "replace")


def one_input(data: bytes) -> None:
    """One try to read these bytes as a day, alone and with words behind it."""
    text = data.decode("utf-8", "surrogateescape")
    for reader in (read_day, day_of):
        try:
            found = reader(text)
        except HazardReportError as error:
            told(error)
            continue
        assert found.earliest <= found.first <= found.last <= found.latest

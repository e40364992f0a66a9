"""Typed probabilities of a step as exact fractions, and fractions as text.

Point and comma are decimal marks; blanks may group the digits of whole numbers ("1/1 000 000"). What can be read in two
ways is refused. Texts are short, so that no product of steps grows beyond what can be printed.
"""

import re
from decimal import Decimal
from fractions import Fraction
from typing import NoReturn

from hazardreport import wording
from hazardreport.errors import ProbabilityRefusedError

LONGEST_TEXT = 40
SMALLEST_EXPONENT = 30
NO_BREAK_SPACE = "\u00a0"
EXACT_DIGITS = 15

_SPACES = re.compile("[ \t\u00a0\u2000-\u200a\u202f\u205f\u3000]+")
_SAME_SIGNS = str.maketrans({"\u2212": "-", "\u2044": "/", "\u2215": "/"})
_WHOLE = r"(\d{1,3}(?: \d{3})+|\d+)"
_RATIO = re.compile(rf"{_WHOLE} ?(?:/| in | out of ) ?{_WHOLE}", re.ASCII | re.IGNORECASE)
_DECIMAL = re.compile(r"(\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE](-?\d{1,2}))? ?(%?)", re.ASCII)
_AMBIGUOUS = re.compile(r"[1-9]\d{0,2},\d{3} ?%?", re.ASCII)
_BOUND = re.compile(r"(?:[<>≤≥~≈]|about |circa |ca\.? ).*", re.IGNORECASE)


def probability(text: str) -> Fraction:
    """The probability that a person typed, exact.

    Parameters
    ----------
    text : str
        "1/50", "2 %", "0,02", "0.02", "1 in 50", "1".

    Returns
    -------
    Fraction
        More than 0, at most 1. [1]

    Raises
    ------
    ProbabilityRefusedError
        Nothing, nonsense, a bound, zero, negative, over 1, too long, or a number that can be read in two ways; `why`
        says which.

    Examples
    --------
    >>> probability("2 %"), probability("1 in 50"), probability("0,02")
    (Fraction(1, 50), Fraction(1, 50), Fraction(1, 50))
    """
    if len(text) > LONGEST_TEXT:
        _refuse(text, "too_long", most=LONGEST_TEXT)
    plain = _SPACES.sub(" ", text).strip().translate(_SAME_SIGNS)
    if not plain:
        _refuse(text, "empty")
    if _AMBIGUOUS.fullmatch(plain):
        _refuse(text, "ambiguous")
    if plain.startswith("-") and _read(text, plain[1:].strip()) is not None:
        _refuse(text, "negative")
    value = _read(text, plain)
    if value is None:
        _refuse(text, "bound" if _BOUND.fullmatch(plain) else "not_understood")
    if value == 0:
        _refuse(text, "zero")
    if value > 1:
        _refuse(text, "over_one")
    return value


def _read(text: str, plain: str) -> Fraction | None:
    ratio = _RATIO.fullmatch(plain)
    if ratio is not None:
        above, below = (int(part.replace(" ", "")) for part in ratio.groups())
        if below == 0:
            _refuse(text, "over_zero")
        return Fraction(above, below)
    decimal = _DECIMAL.fullmatch(plain)
    if decimal is None:
        return None
    digits, exponent, percent = decimal.groups()
    power = int(exponent or "0")
    if abs(power) > SMALLEST_EXPONENT:
        _refuse(text, "too_small" if power < 0 else "over_one")
    value = Fraction(Decimal(digits.replace(",", "."))) * Fraction(10) ** power
    return value / 100 if percent else value


def _refuse(text: str, why: str, **fields: object) -> NoReturn:
    shown = text if len(text) <= LONGEST_TEXT else text[:LONGEST_TEXT] + "…"
    raise ProbabilityRefusedError(text=shown, why=wording.sentence(f"risk.refused.{why}", **fields))


def printed(value: Fraction) -> str:
    """A probability as an exact fraction for records and JSON: "1/500", "1"."""
    return str(value)


def spoken(value: Fraction) -> str:
    """A probability for people: exact while it can be read, with "1 in …" where that is not evident.

    >>> spoken(Fraction(27, 160_000)).replace(NO_BREAK_SPACE, " ")
    '27/160 000 (about 1 in 5 930)'
    """
    if value == 1:
        return "1"
    exact = f"{_grouped(value.numerator)}/{_grouped(value.denominator)}"
    if value.numerator == 1 and len(str(value.denominator)) <= EXACT_DIGITS:
        return exact
    short = len(str(value.denominator)) <= EXACT_DIGITS
    if value > Fraction(1, 2):
        return exact if short else wording.sentence("risk.spoken.above")
    if value > Fraction(1, 10) and len(str(value.denominator)) <= 3:
        return exact
    if 1 / value > 10**EXACT_DIGITS:
        return wording.sentence("risk.spoken.below", times=_grouped(10**EXACT_DIGITS))
    about = wording.sentence("risk.spoken.about", times=times(1 / value))
    return wording.sentence("risk.spoken.both", exact=exact, about=about) if short else about


def times(value: Fraction) -> str:
    """A factor of at least 1 for people, to three digits: "3.33", "5 930"."""
    places = 3 - len(str(int(value)))
    return f"{float(round(value, places)):g}" if places > 0 else _grouped(int(round(value, places)))


def _grouped(number: int) -> str:
    return f"{number:,}".replace(",", NO_BREAK_SPACE)

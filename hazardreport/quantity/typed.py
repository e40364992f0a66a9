"""What people type, read into a value, a bound, or an error that says what was not understood. Light: no pint.

Point and comma are both decimal marks, and nothing separates groups of digits. A number that could hold a group
separator is refused, because reading it wrongly is wrong a thousandfold: ``1,500`` (1.5 or 1500?), ``1,500.2``,
``1.500,2`` and ``1 500``. ``1.500``, ``0,500``, ``24,3`` and ``1500`` can be read in one way only, since a
multimeter shows a point and never groups its digits.
"""

import math
import re
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from hazardreport.errors import EmptyTextError, GroupSeparatorError, TextNotUnderstoodError, UnitMismatchError


class Bound(StrEnum):
    """Whether a reading is a value or only a bound."""

    NONE = "value"
    ABOVE = "greater than"
    BELOW = "less than"


@dataclass(frozen=True, kw_only=True, slots=True)
class TypedValue:
    """Typed text as a number in a coherent unit.

    value        in `unit`; infinity for over-range without a stated range, zero for "not detected"
    unit         "ohm", "V", "A", … coherent SI
    bound        a bound stays a bound
    uncertainty  the number typed after ±, in `unit`, or None
    resolution   value of the last typed digit, in `unit`
    direct       d.c. was typed
    """

    value: float
    unit: str
    bound: Bound = Bound.NONE
    uncertainty: float | None = None
    resolution: float = 0.0
    direct: bool = False


UNITS = {
    "resistance": "ohm",
    "voltage": "V",
    "current": "A",
    "capacitance": "F",
    "time": "s",
    "power": "W",
    "frequency": "Hz",
}
SHOWN_UNITS = {"ohm": "Ω", "1": ""}
LONGEST_TEXT = 64

_PREFIXES = {"p": -12, "n": -9, "u": -6, "m": -3, "": 0, "k": 3, "K": 3, "M": 6, "G": 9, "T": 12}
_LARGEST_PREFIX = {"V": 3, "A": 3, "s": 0}
_CODE_LETTERS = {
    "ohm": {"R": 0, "k": 3, "K": 3, "M": 6, "G": 9, "T": 12},
    "F": {"p": -12, "n": -9, "u": -6, "m": -3, "F": 0},
    "V": {"V": 0},
}
_UNIT_WORDS = {
    **dict.fromkeys(("ohm", "ohms", "Ohm", "Ohms", "OHM", "OHMS", "R"), "ohm"),
    **dict.fromkeys(("V", "v", "volt", "volts", "Volt", "Volts"), "V"),
    **dict.fromkeys(("A", "a", "amp", "amps", "Amp", "Amps"), "A"),
    **dict.fromkeys(("s", "sec"), "s"),
    **dict.fromkeys(("W", "w"), "W"),
    **dict.fromkeys(("Hz", "hz", "HZ"), "Hz"),
    "F": "F",
}
_ALTERNATING = ("VAC", "Vac", "vac", "AAC", "V~", "A~", "Vrms", "VRMS", "Arms")
_DIRECT = ("VDC", "Vdc", "vdc", "ADC", "Adc", "V=", "A=", "V⎓", "A⎓")

_SPACES = re.compile("[ \t\u00a0\u2000-\u200a\u202f\u205f\u3000]+")
_SAME_SIGNS = str.maketrans({"\u00b5": "u", "\u03bc": "u", "\u2126": "ohm", "\u03a9": "ohm", "\u2212": "-"})
_OVER_RANGE = re.compile(r"(?:\.?[O0o]\.?[Ll]\.?|O/L|overload|over ?range|∞)", re.ASCII)
_NOT_DETECTED = re.compile(r"(?:not detected|n\.? ?d\.?)", re.ASCII | re.IGNORECASE)
_BOUND = re.compile(r"(>=|<=|[><≥≤])? ?(.*)", re.DOTALL)
_PLUS_MINUS = re.compile(r"±|\+ ?/ ?-|\+-")
_NUMBER = re.compile(
    r"([+-]? ?(?:\d+[.,]?\d*|[.,]\d+)(?:[eE][+-]?\d{1,2}(?![\d.,]))?)(?![\d.,])(.*)", re.ASCII | re.DOTALL
)
_CODE = re.compile(r"([+-]?)(\d*)([A-Za-z])(\d+)(?: ?([A-Za-z].*))?", re.ASCII)
_GROUPED = re.compile(r"[+-]?\d[\d.,' ]*[\d.,]", re.ASCII)
_AMBIGUOUS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}", re.ASCII)


@dataclass(frozen=True, slots=True)
class _Part:
    """One number of the text: value and last digit as decimals, unit "" if none was typed, exponent of its prefix."""

    value: Decimal
    last_digit: Decimal
    unit: str
    prefix: int
    direct: bool = False

    @property
    def bare(self) -> bool:
        return not self.unit and self.prefix == 0


def read_value(text: str, quantity: str) -> TypedValue:
    """The value or bound that a person typed.

    Parameters
    ----------
    text : str
        As typed: "24.3", "24,3 Ω", "1k2", "OL", "> 20 MΩ", "117.4 ± 0.5 V".
    quantity : str
        A key of `UNITS`; gives the unit where none was typed and decides which units fit.

    Returns
    -------
    TypedValue
        In the coherent unit of the quantity.

    Raises
    ------
    EmptyTextError
        If nothing was typed.
    GroupSeparatorError
        If a comma, point or space could separate groups of digits: it is not guessed.
    UnitMismatchError
        If the unit belongs to another quantity.
    TextNotUnderstoodError
        If anything else cannot be read; it names the part.

    Examples
    --------
    >>> read_value("1k2", "resistance")
    TypedValue(value=1200.0, unit='ohm', bound=<Bound.NONE: 'value'>, uncertainty=None, resolution=100.0, direct=False)
    >>> read_value("> 20 MΩ", "resistance").bound
    <Bound.ABOVE: 'greater than'>

    References
    ----------
    iec-60062: the letter code, from memory.
    """
    unit = UNITS[quantity]
    if len(text) > LONGEST_TEXT:
        raise TextNotUnderstoodError(text=f"{text[:24]}…", part=f"{text[:24]}…")
    clean = _SPACES.sub(" ", text.translate(_SAME_SIGNS)).strip()
    if not clean:
        raise EmptyTextError(text=text, part=text)
    matched = _BOUND.fullmatch(clean)
    sign, rest = (matched.group(1) or "", matched.group(2)) if matched else ("", clean)
    bound = Bound.ABOVE if sign[:1] in (">", "≥") and sign else Bound.BELOW if sign else Bound.NONE
    if word := _word(text, rest, quantity):
        if bound is not Bound.NONE and bound is not word.bound:
            raise _refusal(text, sign)
        return word
    pieces = _PLUS_MINUS.split(rest)
    if len(pieces) > 2 or (len(pieces) == 2 and bound is not Bound.NONE):
        raise _refusal(text, "±")
    if len(pieces) == 2:
        return _with_uncertainty(text, pieces[0].strip(), pieces[1].strip(), quantity)
    part = _part(text, rest, quantity)
    return TypedValue(
        value=_float(text, part.value, part.prefix),
        unit=unit,
        bound=bound,
        resolution=_float(text, part.last_digit, part.prefix),
        direct=part.direct,
    )


def _word(text: str, rest: str, quantity: str) -> TypedValue | None:
    """Over-range and "not detected", with or without a unit; None if the text is a number."""
    unit = UNITS[quantity]
    if _NOT_DETECTED.fullmatch(rest):
        return TypedValue(value=0.0, unit=unit, bound=Bound.BELOW)
    head, _, tail = rest.partition(" ")
    if _OVER_RANGE.fullmatch(rest) or (_OVER_RANGE.fullmatch(head) and tail):
        direct = False
        if not _OVER_RANGE.fullmatch(rest):
            _, _, direct = _unit(text, tail, quantity)
        return TypedValue(value=math.inf, unit=unit, bound=Bound.ABOVE, direct=direct)
    return None


def _with_uncertainty(text: str, left: str, right: str, quantity: str) -> TypedValue:
    bracketed = left.startswith("(") and ")" in right
    if bracketed:
        left, right = left[1:].strip(), right.replace(")", "", 1).strip()
    value = _part(text, left, quantity)
    percent = right.endswith("%")
    doubt = _part(text, right[:-1].strip() if percent else right, quantity)
    if percent and not doubt.bare:
        raise _refusal(text, right)
    if doubt.value < 0:
        raise _refusal(text, right)
    value_prefix = doubt.prefix if value.bare and not percent else value.prefix
    doubt_prefix = value.prefix if doubt.bare else doubt.prefix
    number = _float(text, value.value, value_prefix)
    return TypedValue(
        value=number,
        unit=UNITS[quantity],
        uncertainty=abs(number) * float(doubt.value) / 100.0 if percent else _float(text, doubt.value, doubt_prefix),
        resolution=_float(text, value.last_digit, value_prefix),
        direct=value.direct or doubt.direct,
    )


def _part(text: str, piece: str, quantity: str) -> _Part:
    if code := _letter_code(text, piece, quantity):
        return code
    grouped = _GROUPED.match(piece)
    if grouped and _could_group(grouped.group()):
        raise GroupSeparatorError(text=text, part=grouped.group())
    matched = _NUMBER.fullmatch(piece)
    if not matched:
        raise _refusal(text, piece or text)
    number = Decimal(matched.group(1).replace(",", ".").replace(" ", ""))
    exponent = number.as_tuple().exponent
    if not isinstance(exponent, int):
        raise _refusal(text, piece)
    unit, prefix, direct = _unit(text, matched.group(2).strip(), quantity)
    return _Part(number, Decimal(1).scaleb(exponent), unit, prefix, direct)


def _could_group(number: str) -> bool:
    """Whether a sign inside the number could separate groups of digits."""
    marks = number.count(".") + number.count(",")
    return marks > 1 or " " in number or "'" in number or bool(_AMBIGUOUS.fullmatch(number))


def _letter_code(text: str, piece: str, quantity: str) -> _Part | None:
    """1k2, R47, 4M7: a letter in the place of the decimal mark; None if the piece has no such form."""
    matched = _CODE.fullmatch(piece)
    if not matched or matched.group(3) in "eE":
        return None
    sign, whole, letter, fraction, tail = matched.groups()
    letters = _CODE_LETTERS.get(UNITS[quantity], {})
    if letter not in letters:
        raise _refusal(text, piece)
    if tail and _unit(text, tail, quantity)[1] != 0:
        raise _refusal(text, tail)
    number = Decimal(f"{sign}{whole or '0'}.{fraction}")
    return _Part(number, Decimal(1).scaleb(-len(fraction)), UNITS[quantity], letters[letter])


def _unit(text: str, typed: str, quantity: str) -> tuple[str, int, bool]:
    """Coherent unit or "", exponent of the prefix, whether d.c. was typed."""
    expected = UNITS[quantity]
    if not typed:
        return "", 0, False
    if typed in _PREFIXES and expected != "s" and typed not in _UNIT_WORDS and _fits(expected, typed):
        return "", _PREFIXES[typed], False
    compact = typed.replace(" ", "").replace(".", "")
    for prefix, word in ((compact[:length], compact[length:]) for length in (0, 1)):
        if prefix not in _PREFIXES:
            continue
        unit, direct = _unit_of_word(word)
        if not unit or (prefix and word == "R"):
            continue
        if unit != expected:
            raise UnitMismatchError(
                text=text,
                unit=typed if typed in text else typed.replace("ohm", "Ω"),
                quantity=quantity,
                expected=SHOWN_UNITS.get(expected, expected),
            )
        if _fits(unit, prefix):
            return unit, _PREFIXES[prefix], direct
    raise _refusal(text, typed)


def _fits(unit: str, prefix: str) -> bool:
    """Whether a prefix is credible with a unit: MA for mA is a slip, not a million amperes."""
    return _PREFIXES[prefix] <= _LARGEST_PREFIX.get(unit, 12)


def _unit_of_word(word: str) -> tuple[str, bool]:
    if word in _ALTERNATING:
        return word[0].upper(), False
    if word in _DIRECT:
        return word[0].upper(), True
    return _UNIT_WORDS.get(word, ""), False


def _float(text: str, number: Decimal, prefix: int) -> float:
    value = float(number.scaleb(prefix))
    if not math.isfinite(value) or (value == 0.0 and number != 0):
        raise _refusal(text, str(number))
    return value


def _refusal(text: str, part: str) -> TextNotUnderstoodError:
    """The error that names a part, with the signs that were typed."""
    return TextNotUnderstoodError(text=text, part=part if part in text else part.replace("ohm", "Ω"))

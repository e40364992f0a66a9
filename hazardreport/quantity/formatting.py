"""Numbers as people read them: SI prefixes, digits that the doubt allows, bounds. Light; decides nothing.

Between number and unit stands a no-break space, the minus sign is U+2212, decimals follow a point.
"""

import math
from decimal import ROUND_HALF_EVEN, Decimal

from hazardreport.quantity.measured import Measured
from hazardreport.quantity.trace import Number
from hazardreport.quantity.typed import SHOWN_UNITS, Bound, TypedValue
from hazardreport.wording import sentence

NO_BREAK_SPACE = "\u00a0"
MINUS = "\u2212"
DIGITS = 3
GUARD_DIGITS = 3

_SIGNS = {-12: "p", -9: "n", -6: "\u00b5", -3: "m", 0: "", 3: "k", 6: "M", 9: "G"}
_EXPONENTS = {
    "V": (-6, -3, 0, 3),
    "A": (-9, -6, -3, 0, 3),
    "ohm": (-3, 0, 3, 6, 9),
    "W": (-6, -3, 0, 3, 6),
    "s": (-6, -3, 0),
    "F": (-12, -9, -6, -3, 0),
    "Hz": (0, 3, 6),
    "J": (-6, -3, 0, 3),
    "C": (-9, -6, -3, 0),
}
_TOO_SMALL = Decimal("0.001")
_LEAST = {"ohm": Decimal("0.1")}


def format_value(value: float, unit: str, digits: int = DIGITS) -> str:
    """A number with its unit, to so many significant digits, with the SI prefix that suits it.

    Examples
    --------
    >>> format_value(0.0264831, "A").replace(NO_BREAK_SPACE, " ")
    '26.5 mA'
    >>> format_value(float("inf"), "s")
    'never'
    """
    number, shown_unit = value_and_unit(value, unit, digits)
    return _joined(number, shown_unit)


def value_and_unit(value: float, unit: str, digits: int = DIGITS) -> tuple[str, str]:
    """Number and prefixed unit apart, for the columns of a table."""
    if math.isinf(value):
        return _infinite(value, unit), ""
    number = _decimal(value)
    rounded = _to_significant(number, digits)
    exponent = _exponent(rounded, unit)
    if rounded and abs(rounded.scaleb(-exponent)) < _TOO_SMALL:
        return f"{rounded:.{digits - 1}e}".replace("-", MINUS), _unit(unit, 0)
    scaled = rounded.scaleb(-exponent)
    place = _place(number.scaleb(-exponent), digits) if number else 0
    return _plain(scaled, place), _unit(unit, exponent)


def format_measured(m: Measured, *, k: float = 2.0) -> str:
    """Value ± expanded uncertainty, the uncertainty to two significant digits and the value to the same place.

    An exact value (no uncertainty) is written with up to six significant digits.

    Parameters
    ----------
    m : Measured
        Value and standard uncertainty.
    k : float
        Coverage factor that the standard uncertainty is multiplied with. [1]

    Returns
    -------
    str
        Both with the same prefix and unit.

    Examples
    --------
    >>> format_measured(Measured(value=117.412, standard_uncertainty=0.6, unit="V")).replace(NO_BREAK_SPACE, " ")
    '117.4 V ± 1.2 V'

    References
    ----------
    jcgm-100-2008, 7.2.6.
    """
    if m.standard_uncertainty == 0.0 or math.isinf(m.value):
        return format_exact(m.value, m.unit)
    if math.isinf(m.standard_uncertainty):
        return f"{format_value(m.value, m.unit)} ± {_infinite(m.standard_uncertainty, '')}"
    uncertainty = _decimal(k * m.standard_uncertainty)
    rounded = _to_significant(uncertainty, 2)
    place = _place(uncertainty, 2)
    value = _decimal(m.value).quantize(Decimal(1).scaleb(place), rounding=ROUND_HALF_EVEN)
    exponent = _exponent(max(abs(value), rounded), m.unit)
    unit = _unit(m.unit, exponent)
    left = _joined(_plain(value.scaleb(-exponent), place - exponent), unit)
    right = _joined(_plain(rounded.scaleb(-exponent), place - exponent), unit)
    return f"{left} ± {right}"


def format_exact(value: float, unit: str) -> str:
    """A number without doubt: up to six significant digits, no zeros behind them."""
    number, shown_unit = value_and_unit(value, unit, DIGITS + GUARD_DIGITS)
    if "." in number:
        number = number.rstrip("0").rstrip(".")
    return _joined(number, shown_unit)


def format_bound(value: float, unit: str, bound: Bound, digits: int = DIGITS) -> str:
    """A value, or a bound that stays a bound: "> 20.0 MΩ"; over-range and "not detected" in words."""
    if bound is Bound.NONE:
        return format_value(value, unit, digits)
    if bound is Bound.ABOVE and math.isinf(value):
        return sentence("quantity.bound.over_range")
    if bound is Bound.BELOW and value == 0.0:
        return sentence("quantity.bound.not_detected")
    key = "quantity.bound.above" if bound is Bound.ABOVE else "quantity.bound.below"
    return sentence(key, value=format_value(value, unit, digits)).replace(" ", NO_BREAK_SPACE, 1)


def format_typed(typed: TypedValue) -> str:
    """What was understood of a typed text, with the digits that were typed and the prefix that suits it."""
    if typed.resolution == 0.0 or math.isinf(typed.value):
        return format_bound(typed.value, typed.unit, typed.bound)
    place = math.floor(math.log10(typed.resolution) + 0.5)
    value = _decimal(typed.value).quantize(Decimal(1).scaleb(place))
    if typed.uncertainty is None:
        return format_bound(typed.value, typed.unit, typed.bound, max(1, value.adjusted() - place + 1 if value else 1))
    exponent = _exponent(value, typed.unit)
    unit = _unit(typed.unit, exponent)
    uncertainty = _to_significant(_decimal(typed.uncertainty), 2).normalize().scaleb(-exponent)
    left = _joined(_plain(value.scaleb(-exponent), place - exponent), unit)
    return f"{left} ± {_joined(f'{uncertainty:f}', unit)}"


def format_number(n: Number) -> str:
    """A number of the trace: value ± U; or its interval, or its one-sided 95 % bound, where ± U would mislead."""
    unit = n.measured.unit
    low = n.low if n.low is not None and math.isfinite(n.low) else None
    high = n.high if n.high is not None and math.isfinite(n.high) else None
    if low is not None and high is not None:
        return sentence(
            "quantity.interval.with_value",
            value=format_value(n.measured.value, unit),
            low=format_value(low, unit),
            high=format_value(high, unit),
        )
    if low is not None:
        return format_bound(low, unit, Bound.ABOVE)
    if high is not None:
        return format_bound(high, unit, Bound.BELOW)
    return format_measured(n.measured)


def guard_digits(value: float, unit: str) -> str:
    """A number with three guard digits beyond the three that are normally shown, for worked calculations."""
    return format_value(value, unit, DIGITS + GUARD_DIGITS)


def _decimal(value: float) -> Decimal:
    if math.isnan(value):
        raise ValueError("a number that is no number cannot be shown")
    return Decimal(repr(float(value)))


def _place(number: Decimal, digits: int) -> int:
    """Power of ten of the last significant digit, after rounding: 0.0996 to two digits ends at 10^-2."""
    place = number.adjusted() - digits + 1
    rounded = number.quantize(Decimal(1).scaleb(place), rounding=ROUND_HALF_EVEN)
    return place + rounded.adjusted() - number.adjusted()


def _to_significant(number: Decimal, digits: int) -> Decimal:
    if not number:
        return Decimal(0)
    return number.quantize(Decimal(1).scaleb(_place(number, digits)), rounding=ROUND_HALF_EVEN)


def _exponent(number: Decimal, unit: str) -> int:
    """Power of ten of the prefix: the largest that leaves at least one before the decimal point."""
    allowed = _EXPONENTS.get(unit, (0,))
    size = abs(number)
    if not size or (unit in _LEAST and _LEAST[unit] <= size < 1):
        return 0
    return max((exponent for exponent in allowed if size >= Decimal(1).scaleb(exponent)), default=allowed[0])


def _plain(number: Decimal, place: int) -> str:
    text = f"{number:.{max(0, -place)}f}"
    return text.replace("-", MINUS) if number else text.lstrip("-")


def _unit(unit: str, exponent: int) -> str:
    return _SIGNS[exponent] + SHOWN_UNITS.get(unit, unit)


def _joined(number: str, unit: str) -> str:
    return f"{number}{NO_BREAK_SPACE}{unit}" if unit else number


def _infinite(value: float, unit: str) -> str:
    key = "quantity.infinite.s" if unit == "s" else "quantity.infinite.other"
    return (MINUS if value < 0 else "") + sentence(key)


LARGE_CHI_SQUARE = 1000.0


def format_chi_square(value: float) -> str:
    """A sum of squares, or a difference of two: two decimals; beyond what anybody compares only that it is. [1]

    >>> format_chi_square(0.0149), format_chi_square(-0.001)
    ('0.01', '0.00')
    """
    if not math.isfinite(value) or value > LARGE_CHI_SQUARE:
        return f"> {format_value(LARGE_CHI_SQUARE, '1', 4)}"
    return format_deviation(value, 2).removeprefix("+")


def format_deviation(value: float, places: int = 1) -> str:
    """A difference with its sign, to so many decimals; one that rounds to zero has none. [1]

    >>> format_deviation(1.26), format_deviation(-0.04)
    ('+1.3', '0.0')
    """
    text = f"{value:+.{places}f}"
    return text[1:] if not float(text) else text.replace("-", MINUS)

"""What people type, read into a value, a bound, or an error that says what was not understood. Light: no pint."""

from dataclasses import dataclass
from enum import StrEnum


class Bound(StrEnum):
    """Whether a reading is a value or only a bound."""

    NONE = "value"
    ABOVE = "greater than"
    BELOW = "less than"


@dataclass(frozen=True, kw_only=True, slots=True)
class TypedValue:
    """Typed text as a number in a coherent unit.

    value        in `unit`; infinity for over-range without a stated range
    unit         "ohm", "V", "A", … coherent SI
    bound        a bound stays a bound
    uncertainty  the number typed after ±, in `unit`, or None
    resolution   value of the last typed digit, in `unit`
    """

    value: float
    unit: str
    bound: Bound = Bound.NONE
    uncertainty: float | None = None
    resolution: float = 0.0

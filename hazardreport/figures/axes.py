"""A logarithmic axis: from a value to a place on the paper, and its ticks."""

import math
from dataclasses import dataclass

from hazardreport.quantity.formatting import format_value


@dataclass(frozen=True, kw_only=True, slots=True)
class LogAxis:
    """A logarithmic axis.

    low, high   values at its two ends, both positive, in `unit`
    start, end  where these ends lie [mm]
    """

    low: float
    high: float
    start: float
    end: float
    unit: str

    @property
    def decade(self) -> float:
        """Length of a factor of ten. [mm]"""
        return abs(self.end - self.start) / math.log10(self.high / self.low)

    def place(self, value: float) -> float:
        """Where a value lies; what lies beyond an end, zero and infinity included, is put on that end. [mm]"""
        held = min(max(value, self.low), self.high)
        return self.start + (self.end - self.start) * math.log(held / self.low) / math.log(self.high / self.low)

    def decades(self) -> tuple[tuple[float, str], ...]:
        """Powers of ten on the axis, each with its label."""
        first, last = math.ceil(math.log10(self.low) - 1e-9), math.floor(math.log10(self.high) + 1e-9)
        return tuple((10.0**power, format_value(10.0**power, self.unit, 1)) for power in range(first, last + 1))

    def between(self) -> tuple[float, ...]:
        """Two to nine times each power of ten on the axis."""
        first, last = math.floor(math.log10(self.low)), math.ceil(math.log10(self.high))
        values = (digit * 10.0**power for power in range(first, last + 1) for digit in range(2, 10))
        return tuple(value for value in values if self.low <= value <= self.high)

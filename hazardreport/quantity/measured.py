"""A value with its standard uncertainty and unit; light, so that every room may import it."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class Measured:
    """One number with doubt.

    value                 in `unit`
    standard_uncertainty  one standard deviation, in `unit`; zero where a number is exact
    unit                  coherent SI: "V", "A", "ohm", "W", "s", "F", "Hz", "1"
    degrees_of_freedom    infinity unless repeats limit it
    """

    value: float
    standard_uncertainty: float = 0.0
    unit: str
    degrees_of_freedom: float = float("inf")

    @property
    def expanded_uncertainty(self) -> float:
        """U with coverage factor k = 2, in `unit`."""
        return 2.0 * self.standard_uncertainty

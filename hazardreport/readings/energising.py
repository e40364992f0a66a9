"""Whether the unit may be plugged in at all for a live test."""

import re

from hazardreport.case.case import Case
from hazardreport.case.wiring import ProtectiveEarth
from hazardreport.quantity.typed import Bound
from hazardreport.readings.answers import Answers

SMALLEST_DEVICE = 6.0
DEFAULT_VOLTAGE = 240.0


def energising_refused(case: Case) -> bool:
    """Whether the tests without voltage predict an earth current that a fuse or breaker must clear.

    Only with a protective earth that is connected; the resistance from a pin to the touchable part stands for the loop.
    """
    if case.wiring.protective_earth is not ProtectiveEarth.CONNECTED:
        return False
    paths = [value for value, bound in Answers(case).paths_to_part() if bound is not Bound.ABOVE]
    voltage = case.wiring.nominal_voltage or DEFAULT_VOLTAGE
    return any(voltage > rated_current(case) * max(path, 0.0) for path in paths)


def rated_current(case: Case) -> float:
    """Rated current of the device upstream, the first number of what was told; a small one where none was. [A]"""
    rating = re.search(r"\d+(?:\.\d+)?", case.wiring.circuit_breaker)
    return float(rating.group()) if rating else SMALLEST_DEVICE

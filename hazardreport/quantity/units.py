"""Conversion between units: the one door to pint.

pint gets numbers and unit names that the program holds, never typed text: it reads ``24,3 ohm`` as 243 ohm.
Typed text is read by `hazardreport.quantity.typed`.
"""

import re
from functools import cache

import pint

from hazardreport.errors import UnitMismatchError, UnknownUnitError

_NAME = re.compile(r"[A-Za-zµμΩΩ°]+(?:\*{0,2}-?[0-9]|[ */]?[A-Za-zµμΩΩ°]+)*")


@cache
def _registry() -> pint.UnitRegistry[float]:
    return pint.UnitRegistry()


def convert(value: float, unit_from: str, unit_to: str) -> float:
    """A value in another unit of the same kind.

    Parameters
    ----------
    value : float
        Number to convert. [unit_from]
    unit_from, unit_to : str
        Names of units, without any number before them: "inch", "kW", "degC".

    Returns
    -------
    float
        The same quantity. [unit_to]

    Raises
    ------
    UnknownUnitError
        If a name is no unit.
    UnitMismatchError
        If the two units are of different kinds.

    Examples
    --------
    >>> round(convert(1.0, "inch", "mm"), 6)
    25.4
    """
    registry = _registry()
    for name in (unit_from, unit_to):
        if not _NAME.fullmatch(name):
            raise UnknownUnitError(unit=name)
    try:
        return float(registry.Quantity(value, unit_from).to(unit_to).magnitude)
    except pint.UndefinedUnitError as error:
        names = error.unit_names
        raise UnknownUnitError(unit=names if isinstance(names, str) else ", ".join(names)) from error
    except pint.DimensionalityError as error:
        raise UnitMismatchError(
            text=f"{value:g} {unit_from}", unit=unit_from, quantity=str(error.dim2).strip("()"), expected=unit_to
        ) from error

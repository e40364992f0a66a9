"""A device that tripped, noted in the place of a value: a lower bound of the current to earth of the whole circuit."""

from dataclasses import replace

from hazardreport.case.reading import Quantity, Reading, TrippingDevice
from hazardreport.quantity.formatting import format_exact
from hazardreport.quantity.measured import Measured
from hazardreport.quantity.trace import Source
from hazardreport.quantity.typed import Bound
from hazardreport.readings.result import Problem, ReadingResult
from hazardreport.standards.tables import table

TRIPPED = "tripped"
RATED = {TrippingDevice.MA_30: 30e-3}
"""Rated residual current of the devices that have one. [A]"""


def says_tripped(reading: Reading) -> bool:
    """Whether "tripped" stands in the place of the value."""
    return is_trip(reading.typed, reading.quantity)


def is_trip(text: str, quantity: Quantity) -> bool:
    """Whether a text in the place of a value says that a device tripped."""
    return text.strip().casefold() == TRIPPED and quantity is not Quantity.RESISTANCE


def least_current(device: TrippingDevice) -> tuple[float, Source] | None:
    """Current below which the device must not act, with its source; None where there is no such device.

    Parameters
    ----------
    device : TrippingDevice
        One that is not noted, or of another kind, counts as the most sensitive one: class A.

    Returns
    -------
    tuple of float and Source, or None
        Least residual current of the circuit when it acted. [A]

    Examples
    --------
    >>> least_current(TrippingDevice.MA_30)[0]
    0.015

    References
    ----------
    ul-943, class A; iec-61008-1, non-operating current.
    """
    if device is TrippingDevice.NONE:
        return None
    rated = RATED.get(device)
    if rated is not None:
        general = table("iec-61008-1", "non-operating")
        return rated * general.look_up("not_operating_up_to"), general.source("not_operating_up_to")
    class_a = table("ul-943", "class-a")
    return class_a.look_up("not_operating_below") * 1e-3, class_a.source("not_operating_below")


def tripped(result: ReadingResult, reading: Reading, problems: tuple[Problem, ...], refused: bool) -> ReadingResult:
    """The result of such a reading: it bounds the circuit's current, decides nothing, and restricts no fit.

    The load between the points carried part of that current at most; what else was on the circuit carried the rest.
    """
    least = least_current(reading.device)
    if least is None:
        problems = (*problems, ("tripped_without_device", ()))
        return replace(result, bound=Bound.NONE if refused else Bound.ABOVE, refused=refused, problems=problems)
    current, source = least
    problems = (*problems, ("device_tripped", (("current", format_exact(current, "A")),)))
    return replace(
        result,
        quantity=Quantity.CURRENT,
        value=None if refused else Measured(value=current, unit="A"),
        bound=Bound.NONE if refused else Bound.ABOVE,
        refused=refused,
        problems=problems,
        choices=("tripped",),
        sources=(source,),
    )

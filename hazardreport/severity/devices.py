"""Does a protective device act on a current, and in what longest time.

Each device is judged by the current that it sees itself. Where its standard leaves room, the verdict is "not
determined"; between tabulated steps the longer time holds. Devices do not limit the current: they end it.
"""

import re
from dataclasses import dataclass

from hazardreport.case.circumstances import ResidualCurrentDevice
from hazardreport.quantity.trace import Source
from hazardreport.severity.terms import Operation
from hazardreport.severity.zones import long_duration
from hazardreport.standards.tables import table

RATED_RESIDUAL_CURRENT = 0.03
_BREAKER = re.compile(r"(?:MCB\s+)?([BCD])\s*(\d+(?:[.,]\d+)?)\s*A?", re.IGNORECASE)
_FUSE_13 = re.compile(r"(?:BS\s*1362\s+)?13\s*A?\s+(?:plug\s+)?fuse", re.IGNORECASE)
_GENERAL_FUSE = re.compile(r"gG\s*(\d+(?:[.,]\d+)?)\s*A?|(\d+(?:[.,]\d+)?)\s*A?\s*gG(?:\s+fuse)?", re.IGNORECASE)
_MOULDED_CASE = re.compile(r"(?:UL\s*489\s+)?(15|20)\s*A(?:\s+(?:circuit\s+)?breaker)?", re.IGNORECASE)

Verdict = tuple[Operation, float | None]
NOT_DETERMINED: Verdict = (Operation.NOT_DETERMINED, None)
DOES_NOT_OPERATE: Verdict = (Operation.DOES_NOT_OPERATE, None)


@dataclass(frozen=True, kw_only=True, slots=True)
class OvercurrentDevice:
    """A breaker or fuse, understood from its designation.

    standard        key of the document that fixes its times
    characteristic  B, C or D of a circuit-breaker, else ""
    rated_current   [A]
    """

    standard: str
    characteristic: str = ""
    rated_current: float


def residual_current_operation(kind: ResidualCurrentDevice, current: float, direct_current: bool = False) -> Verdict:
    """Whether a residual-current device acts, and its longest time.

    Parameters
    ----------
    kind : ResidualCurrentDevice
        As told for the socket.
    current : float
        Residual current: through the person and the protective earth together, r.m.s. [A]
    direct_current : bool
        True on a d.c. supply: devices for alternating current are then not determined.

    Returns
    -------
    Operation, float or None
        Verdict, and the longest time to the end of the current if it operates [s]. Of an unknown current: not
        determined.

    Raises
    ------
    ValueError
        If the current is negative: a defect of the caller.

    Examples
    --------
    >>> residual_current_operation(ResidualCurrentDevice.GFCI_A, 0.020)
    (<Operation.OPERATES: 'operates'>, 1.0)

    References
    ----------
    ul-943, class A; iec-61008-1, break times of the general type.
    """
    if current < 0:
        raise ValueError("current")
    if kind is ResidualCurrentDevice.NONE:
        return DOES_NOT_OPERATE
    if direct_current or kind not in (ResidualCurrentDevice.GFCI_A, ResidualCurrentDevice.MA_30):
        return NOT_DETERMINED
    return _interrupter(current) if kind is ResidualCurrentDevice.GFCI_A else _residual_current_device(current)


def residual_current_sources(kind: ResidualCurrentDevice) -> tuple[Source, ...]:
    """Where the currents and times of a residual-current device come from."""
    if kind is ResidualCurrentDevice.GFCI_A:
        return (table("ul-943", "class-a").source(),)
    if kind is ResidualCurrentDevice.MA_30:
        return (table("iec-61008-1", "non-operating").source(), table("iec-61008-1", "break-time").source())
    return ()


def interrupter_time(current: float, numerator: float, exponent: float) -> float:
    """Longest time of a class A ground-fault circuit interrupter, currents in one unit. [s]

    References
    ----------
    ul-943, class A.
    """
    return float((numerator / current) ** exponent)


def overcurrent_device(designation: str) -> OvercurrentDevice | None:
    """The breaker or fuse behind "B16", "C 10 A", "13 A fuse", "gG 16", "20 A"; None if its times are not held."""
    text = designation.strip()
    if found := _BREAKER.fullmatch(text):
        rated = float(found[2].replace(",", "."))
        known = 0 < rated <= 63
        return (
            OvercurrentDevice(standard="iec-60898-1", characteristic=found[1].upper(), rated_current=rated)
            if known
            else None
        )
    if _FUSE_13.fullmatch(text):
        return OvercurrentDevice(standard="bs-1362", rated_current=13.0)
    if found := _GENERAL_FUSE.fullmatch(text):
        rated = float((found[1] or found[2]).replace(",", "."))
        return OvercurrentDevice(standard="iec-60269-1", rated_current=rated) if 16 <= rated <= 63 else None
    if found := _MOULDED_CASE.fullmatch(text):
        return OvercurrentDevice(standard="ul-489", rated_current=float(found[1]))
    return None


def overcurrent_operation(designation: str, current: float, direct_current: bool = False) -> Verdict:
    """Whether a breaker or fuse acts, and its longest time.

    Parameters
    ----------
    designation : str
        As told: "B16", "C10", "13 A fuse", "gG 16", "20 A breaker". One that is not understood is not determined.
    current : float
        Line current: element and protective earth together, r.m.s. [A]
    direct_current : bool
        True on a d.c. supply: devices for alternating current are then not determined.

    Returns
    -------
    Operation, float or None
        Verdict, and the longest time to the end of the current if it operates [s]. Of an unknown current: not
        determined.

    Raises
    ------
    ValueError
        If the current is negative: a defect of the caller.

    Examples
    --------
    >>> overcurrent_operation("B16", 460.0)
    (<Operation.OPERATES: 'operates'>, 0.1)
    >>> overcurrent_operation("B16", 16.4)
    (<Operation.DOES_NOT_OPERATE: 'does not operate'>, None)

    References
    ----------
    iec-60898-1, time-current characteristic and instantaneous tripping; bs-1362, 13 A; ul-489, calibration;
    iec-60269-1, gG.
    """
    if current < 0:
        raise ValueError("current")
    device = overcurrent_device(designation)
    if device is None or direct_current:
        return NOT_DETERMINED
    if device.standard == "bs-1362":
        return _stepped("bs-1362", "13-a", "current", current, "longest_time")
    multiple = current / device.rated_current
    if device.standard == "iec-60269-1":
        name = _general_fuse_table(device)
        argument, at = ("current", current) if name == "gg-16" else ("multiple", multiple)
        return _stepped("iec-60269-1", name, argument, at, "longest_time")
    if device.standard == "ul-489":
        return _stepped("ul-489", "time-current", "multiple", multiple, "longest_time")
    instantaneous = table("iec-60898-1", "instantaneous").look_up("always_above", characteristic=device.characteristic)
    if multiple >= instantaneous:
        return Operation.OPERATES, table("iec-60898-1", "instantaneous-time").look_up("time")
    column = "longest_time_up_to_32_a" if device.rated_current <= 32 else "longest_time_above_32_a"
    return _stepped("iec-60898-1", "time-current", "multiple", multiple, column)


def overcurrent_sources(designation: str) -> tuple[Source, ...]:
    """Where the currents and times of a breaker or fuse come from."""
    device = overcurrent_device(designation)
    if device is None:
        return ()
    if device.standard == "iec-60898-1":
        parts = ("time-current", "instantaneous", "instantaneous-time")
        return tuple(table("iec-60898-1", name).source() for name in parts)
    names = {"bs-1362": "13-a", "ul-489": "time-current", "iec-60269-1": _general_fuse_table(device)}
    return (table(device.standard, names[device.standard]).source(),)


def exposure_duration(verdict: Verdict) -> float:
    """How long a person carries the current: the device's time if that is shorter than a long exposure. [s]"""
    operation, time = verdict
    if operation is not Operation.OPERATES or time is None:
        return long_duration()
    return min(time, long_duration())


def _general_fuse_table(device: OvercurrentDevice) -> str:
    return "gg-16" if device.rated_current == 16 else "gg"


def _interrupter(current: float) -> Verdict:
    class_a = table("ul-943", "class-a")
    milliampere = current * 1e3
    if milliampere < class_a.look_up("not_operating_below"):
        return DOES_NOT_OPERATE
    if not milliampere >= class_a.look_up("operating_from"):
        return NOT_DETERMINED
    if milliampere > class_a.look_up("curve_up_to"):
        return Operation.OPERATES, class_a.look_up("time_above_curve")
    time = interrupter_time(milliampere, class_a.look_up("numerator"), class_a.look_up("exponent"))
    return Operation.OPERATES, time


def _residual_current_device(current: float) -> Verdict:
    bounds = table("iec-61008-1", "non-operating")
    multiple = current / RATED_RESIDUAL_CURRENT
    if multiple <= bounds.look_up("not_operating_up_to"):
        return DOES_NOT_OPERATE
    if not multiple >= bounds.look_up("operating_from"):
        return NOT_DETERMINED
    return Operation.OPERATES, table("iec-61008-1", "break-time").look_up("break_time", multiple=multiple)


def _stepped(standard: str, name: str, argument: str, value: float, column: str) -> Verdict:
    """By a table whose first row is the current that is carried, the second the one that surely trips."""
    held = table(standard, name)
    carried = float(held.rows[0][0])
    first = float(held.rows[1][0])
    if value <= carried:
        return DOES_NOT_OPERATE
    if not value >= first:
        return NOT_DETERMINED
    return Operation.OPERATES, held.look_up(column, **{argument: value})

"""Residual-current devices of other types than the general one, each for the kind of current that it answers to.

All their values are from memory. Up to the non-operating current a device must not act, from the operating current it
must; in between it is not determined.
"""

from enum import StrEnum

from hazardreport.quantity.trace import Source
from hazardreport.severity.devices import DOES_NOT_OPERATE, NOT_DETERMINED, RATED_RESIDUAL_CURRENT, Verdict
from hazardreport.severity.terms import Operation
from hazardreport.standards.tables import table


class ResidualType(StrEnum):
    """A type of device with the kind of residual current that it is asked about."""

    S_ALTERNATING = "type S, alternating current"
    A_PULSATING = "type A, pulsating direct current"
    B_SMOOTH = "type B, smooth direct current"


_BOUNDS = {
    ResidualType.S_ALTERNATING: ("iec-61008-1", "non-operating"),
    ResidualType.A_PULSATING: ("iec-61008-1", "type-a-pulsating"),
    ResidualType.B_SMOOTH: ("iec-62423", "smooth-dc"),
}
_TIMES = {
    ResidualType.S_ALTERNATING: ("iec-61008-1", "type-s"),
    ResidualType.A_PULSATING: ("iec-61008-1", "break-time"),
    ResidualType.B_SMOOTH: ("iec-62423", "break-time"),
}


def residual_type_operation(
    kind: ResidualType, current: float, rated_residual_current: float = RATED_RESIDUAL_CURRENT
) -> Verdict:
    """Whether a residual-current device of that type acts, and its longest time.

    Parameters
    ----------
    kind : ResidualType
        Type and kind of current.
    current : float
        Residual current: r.m.s. of alternating and pulsating, value of smooth direct current. [A]
    rated_residual_current : float
        Of the device; of type A above 10 mA. [A]

    Returns
    -------
    Operation, float or None
        Verdict, and the longest time to the end of the current if it operates. [s]

    Raises
    ------
    ValueError
        If the rated residual current is not one that the tables hold for.

    Notes
    -----
    Pulsating: the break times of the general type, counted from the current at which type A must act.

    Examples
    --------
    >>> residual_type_operation(ResidualType.S_ALTERNATING, 0.150)
    (<Operation.OPERATES: 'operates'>, 0.15)

    References
    ----------
    iec-61008-1, type S and type A; iec-62423, type B.
    """
    least = 0.01 if kind is ResidualType.A_PULSATING else 0.0
    if not least < rated_residual_current < float("inf"):
        raise ValueError("rated_residual_current")
    bounds = table(*_BOUNDS[kind])
    multiple = current / rated_residual_current
    if multiple <= bounds.look_up("not_operating_up_to"):
        return DOES_NOT_OPERATE
    operating = bounds.look_up("operating_from")
    if not multiple >= operating:
        return NOT_DETERMINED
    times = table(*_TIMES[kind])
    step = multiple / operating if kind is ResidualType.A_PULSATING else multiple
    return Operation.OPERATES, times.look_up("break_time", multiple=step)


def non_actuating_time(current: float, rated_residual_current: float = RATED_RESIDUAL_CURRENT) -> float:
    """Time that a type S device lets pass in any case, from its rated residual current on. [s]

    Raises
    ------
    OutsideTableError
        If the current is below the rated residual current, or unknown.

    References
    ----------
    iec-61008-1, type S.
    """
    times = table(*_TIMES[ResidualType.S_ALTERNATING])
    steps = [at for at, _ in times.points("non_actuating_time")]
    multiple = current / rated_residual_current
    following = min((step for step in steps if step >= multiple), default=steps[-1])
    return times.look_up("non_actuating_time", multiple=following if multiple >= steps[0] else multiple)


def residual_type_sources(kind: ResidualType) -> tuple[Source, ...]:
    """Where the currents and times of that type come from."""
    return table(*_BOUNDS[kind]).source(), table(*_TIMES[kind]).source()

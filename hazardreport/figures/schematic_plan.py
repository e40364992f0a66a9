"""Where the parts of the schematic stand, what is said beside them, and which way the line reaches the fault."""

from dataclasses import dataclass

from hazardreport.assess.records import Assessment
from hazardreport.case.reading import PlugPosition, SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Supply, SwitchPoles, Wiring
from hazardreport.quantity.formatting import format_number

DEFAULT_POSITION = 0.4
"""Where the fault is drawn while its place is not determined."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Plan:
    """Where the parts stand, from left to right and from top to bottom. [mm]"""

    head: float
    source: float
    plug: float
    box: float
    switch: float
    element: float
    fault: float
    part: float
    person: float
    top: float
    bottom: float
    earth: float
    ground: float
    tap: float


def plan_of(width: float, height: float, position: float, *, person: bool) -> Plan:
    """The plan for a size [mm] and a place of the fault [1]."""
    right = width - (26.0 if person else 9.0)
    left = 9.0
    across = right - left
    drawn = min(height, 0.6 * width)
    head = (height - drawn) / 2
    foot = head + drawn
    top, bottom = head + 17.5, foot - 29.0
    plug = left + max(across * 0.21, 20.5)
    box = max(left + across * 0.315, plug + 9.5)
    return Plan(
        head=head,
        source=left,
        plug=plug,
        box=box,
        switch=box + across * 0.095,
        element=left + across * (0.62 if across > 115 else 0.665),
        fault=left + across * (0.81 if across > 115 else 0.835),
        part=right,
        person=right + 15.0,
        top=top,
        bottom=bottom,
        earth=foot - 18.0,
        ground=foot - 6.5,
        tap=top + 5.0 + (bottom - top - 10.0) * min(max(position, 0.04), 0.96),
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class Facts:
    """What the drawing says beside its parts: fitted values by symbol, and the values of the chosen state."""

    fitted: dict[str, str]
    position: float | None
    open_circuit_voltage: str
    available_fault_current: str
    body_current: str


def facts_of(assessment: Assessment | None, state: UnitState | None) -> Facts:
    """What an assessment says of the parts in one state; empty where it says nothing."""
    fitted: dict[str, str] = {}
    position = None
    if assessment is not None and assessment.fit is not None:
        for parameter in assessment.fit.parameters:
            if parameter.determined and parameter.number in assessment.trace:
                number = assessment.number(parameter.number)
                fitted[parameter.symbol] = format_number(number)
                if parameter.symbol == "x":
                    position = number.measured.value
    cell = assessment.cell(state) if assessment is not None and state is not None else None

    def shown(id: str) -> str:
        return format_number(assessment.number(id)) if assessment is not None and id else ""

    return Facts(
        fitted=fitted,
        position=position,
        open_circuit_voltage=shown(cell.open_circuit_voltage) if cell else "",
        available_fault_current=shown(cell.available_fault_current) if cell else "",
        body_current=shown(cell.body_current) if cell else "",
    )


def poles_closed(switch: SwitchPoles, state: UnitState | None) -> tuple[bool | None, bool | None]:
    """Whether pole 1 and pole 2 are closed; None where it is not known."""
    if switch is SwitchPoles.UNKNOWN:
        off = state is not None and state.switch is SwitchPosition.OFF
        return (None, None) if off else (True, True)
    open_now = state is not None and state.switch is SwitchPosition.OFF
    return (
        not (open_now and switch in {SwitchPoles.POLE_1, SwitchPoles.BOTH}),
        not (open_now and switch in {SwitchPoles.POLE_2, SwitchPoles.BOTH}),
    )


def live_side(wiring: Wiring, state: UnitState | None) -> int | None:
    """The terminal through which the line reaches the fault: 1 or 2, 0 for none, None where it is not known."""
    if wiring.supply is not Supply.EARTHED_NEUTRAL or state is None or state.plug is PlugPosition.UNKNOWN:
        return None
    if state.plug is PlugPosition.UNPLUGGED:
        return 0
    pole = 1 if state.plug is PlugPosition.STRAIGHT else 2
    closed = poles_closed(wiring.switch, state)[pole - 1]
    return None if closed is None else pole if closed else 0

"""Where the parts of the schematic stand, what is said beside them, and which way the line reaches the fault."""

from dataclasses import dataclass

from hazardreport.assess.records import Assessment
from hazardreport.case.reading import PlugPosition, SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Element, Supply, SwitchPoles, Wiring
from hazardreport.quantity.formatting import format_number

MOST_FURTHER = 2
"""So many further elements are drawn; the text beside them counts all."""
FILTER_WIDTH = 16.0
FURTHER_WIDTH = 6.0
LABEL_ROOM = 28.0
CONTACT = 3.2
"""Half the width of a contact. [mm]"""

DEFAULT_POSITION = 0.4
"""Where the fault is drawn while its place is not determined."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Plan:
    """Where the parts stand, from left to right and from top to bottom. [mm]

    cut_out   between switch and elements; filter: left end of its room; further: elements beside the faulty one
    labels    from here to the right there is room for the element's values
    """

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
    cut_out: float
    filter: float
    further: tuple[float, ...]
    labels: float


def has_filter(wiring: Wiring) -> bool:
    """Whether any part of a filter is known."""
    return has_metal_line(wiring) or bool(wiring.filter.x_capacitance or wiring.filter.bleeder_resistance)


def has_metal_line(wiring: Wiring) -> bool:
    """Whether a capacitor leads to the metal of the unit."""
    return bool(wiring.filter.y_capacitance_1 or wiring.filter.y_capacitance_2)


def further_drawn(wiring: Wiring) -> int:
    """How many further elements are drawn."""
    return min(len(wiring.more_elements), MOST_FURTHER)


def least_width(wiring: Wiring, *, person: bool) -> float:
    """Width below which the same shape is drawn larger. [mm]"""
    more = FURTHER_WIDTH * further_drawn(wiring)
    more += FILTER_WIDTH if has_filter(wiring) else 0.0
    more += 3 * CONTACT if wiring.cut_out is not SwitchPoles.NONE else 0.0
    return (118.0 if person else 100.0) + more


def plan_of(width: float, height: float, position: float, wiring: Wiring, *, person: bool) -> Plan:
    """The plan for a size [mm], a place of the fault [1] and what the unit has."""
    right = width - (26.0 if person else 9.0)
    left = 9.0
    across = right - left
    drawn = min(height, 0.6 * width)
    head = (height - drawn) / 2
    foot = head + drawn
    top, bottom = head + 17.5, foot - 29.0
    plug = left + max(across * 0.21, 20.5)
    box = max(left + across * 0.315, plug + 9.5)
    switch = box + (FILTER_WIDTH + CONTACT if has_filter(wiring) else across * 0.095)
    further = further_drawn(wiring)
    element = left + across * (0.62 if across > 115 else 0.665)
    fault = left + across * (0.81 if across > 115 else 0.835)
    contacts = switch + CONTACT + (3 * CONTACT if wiring.cut_out is not SwitchPoles.NONE else 0.0)
    labels = box + (FILTER_WIDTH if has_filter(wiring) else 1.0)
    beside = FURTHER_WIDTH * further
    wanted = max(contacts + 7.0 + beside, labels + LABEL_ROOM + beside if has_filter(wiring) or further else 0.0)
    if wanted > element:
        element = min(wanted, right - 26.0)
        fault = (element + 2.2 + right) / 2 + 1.0
    return Plan(
        head=head,
        source=left,
        plug=plug,
        box=box,
        switch=switch,
        element=element,
        fault=fault,
        part=right,
        person=right + 15.0,
        top=top,
        bottom=bottom,
        earth=foot - 18.0,
        ground=foot - 6.5,
        tap=top + 5.0 + (bottom - top - 10.0) * min(max(position, 0.04), 0.96),
        cut_out=(switch + CONTACT + element - FURTHER_WIDTH * further) / 2,
        filter=box,
        further=tuple(element - FURTHER_WIDTH * (place + 1) for place in range(further)),
        labels=labels,
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


def _cut_out_closed(wiring: Wiring, state: UnitState) -> tuple[bool, bool]:
    """Whether the thermostat or cut-out leaves pole 1 and pole 2 closed."""
    open_now = state.cut_out_open
    return (
        not (open_now and wiring.cut_out in {SwitchPoles.POLE_1, SwitchPoles.BOTH}),
        not (open_now and wiring.cut_out in {SwitchPoles.POLE_2, SwitchPoles.BOTH}),
    )


def whole_to_fault(wiring: Wiring, position: float | None, side: int) -> bool | None:
    """Whether the faulty element is whole between a terminal and the fault; None where the fault's place is open."""
    broken = faulty_element(wiring).open_at
    if broken is None:
        return True
    if position is None or position == broken:
        return None
    return position < broken if side == 1 else position > broken


def faulty_element(wiring: Wiring) -> Element:
    """The element in which the fault lies; the first where the number is not one of the unit's."""
    elements = (wiring.element, *wiring.more_elements)
    place = wiring.faulty_element - 1
    return elements[place] if 0 <= place < len(elements) else wiring.element


def pole_reaches(wiring: Wiring, state: UnitState, position: float | None, pole: int) -> bool | None:
    """Whether a pole of the unit reaches the fault through switch, cut-out and element; None where it is not known."""
    ways = (
        poles_closed(wiring.switch, state)[pole - 1],
        _cut_out_closed(wiring, state)[pole - 1],
        whole_to_fault(wiring, position, pole),
    )
    if False in ways:
        return False
    return None if None in ways else True


def live_side(wiring: Wiring, state: UnitState | None, position: float | None = None) -> int | None:
    """The terminal through which the line reaches the fault: 1 or 2, 0 for none, None where it is not known."""
    if wiring.supply is not Supply.EARTHED_NEUTRAL or state is None or state.plug is PlugPosition.UNKNOWN:
        return None
    if state.plug is PlugPosition.UNPLUGGED:
        return 0
    pole = 1 if state.plug is PlugPosition.STRAIGHT else 2
    reached = pole_reaches(wiring, state, position, pole)
    return None if reached is None else pole if reached else 0


def neutral_reaches(wiring: Wiring, state: UnitState, position: float | None) -> bool:
    """Whether the neutral is known to reach the fault."""
    if state.plug not in (PlugPosition.STRAIGHT, PlugPosition.REVERSED):
        return False
    pole = 2 if state.plug is PlugPosition.STRAIGHT else 1
    return pole_reaches(wiring, state, position, pole) is True

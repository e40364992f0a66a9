"""The states that a unit can be measured in, and which of them are still open."""

from hazardreport.case.case import Case
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import CutOut, PlugPosition, State, SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Plug, SecondPart, SwitchPoles
from hazardreport.circuit.unit_network import unit_state


def plan_states(case: Case) -> tuple[State, ...]:
    """States in which the unit can be plugged in: off before on, straight before reversed.

    A thermostat or cut-out is first open, then closed; open only where it is known which poles it interrupts. With the
    switch off it is left out, since nothing can then be told about it.
    """
    plugs = [PlugPosition.STRAIGHT]
    if case.wiring.plug is not Plug.ONE_WAY:
        plugs.append(PlugPosition.REVERSED)
    return tuple(
        State(plug=plug, switch=switch, cut_out=cut_out) for plug in plugs for switch, cut_out in positions(case)
    )


def positions(case: Case) -> tuple[tuple[SwitchPosition, CutOut], ...]:
    """Positions of switch and cut-out that differ electrically, off before open before closed."""
    on = SwitchPosition.NONE if case.wiring.switch is SwitchPoles.NONE else SwitchPosition.ON
    off = () if on is SwitchPosition.NONE else ((SwitchPosition.OFF, CutOut.CLOSED),)
    opened = ((on, CutOut.OPEN),) if cut_out_known(case) else ()
    return (*off, *opened, (on, CutOut.CLOSED))


def cut_out_known(case: Case) -> bool:
    """Whether the unit has a thermostat or cut-out, and it is known which poles it interrupts."""
    return case.wiring.cut_out not in (SwitchPoles.NONE, SwitchPoles.UNKNOWN)


def second_part_apart(case: Case) -> bool:
    """Whether a second touchable part has to be measured by itself: not joined to the first, or nobody knows."""
    if case.wiring.second_part in (SecondPart.SEPARATE, SecondPart.UNKNOWN):
        return True
    noted = any(point.role is PointRole.SECOND_PART for point in case.points)
    return noted and case.wiring.second_part is SecondPart.NONE


def open_states(case: Case, established: frozenset[str]) -> tuple[UnitState, ...]:
    """The states of the plan that are not established."""
    states = (unit_state(state, case.wiring) for state in plan_states(case))
    return tuple(state for state in states if state.key not in established)

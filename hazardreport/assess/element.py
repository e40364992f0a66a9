"""Whether the element is whole: its cold resistance against its rating."""

from hazardreport.assess.readings_in import by_insulation_tester, role
from hazardreport.assess.records import Problem
from hazardreport.case.case import Case
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import PlugPosition, Quantity, SwitchPosition
from hazardreport.circuit.free_parameters import hot_factor, rated_resistance
from hazardreport.quantity.formatting import format_bound
from hazardreport.quantity.typed import Bound
from hazardreport.readings.result import ReadingResult
from hazardreport.standards.tables import table


def broken_element(case: Case, results: tuple[ReadingResult, ...]) -> tuple[Problem, ...]:
    """A problem for each reading from pin to pin that is far above the element's rating; none without a rating.

    The network has one whole element: with a broken one, each side of the break takes the voltage of its own pole.
    """
    rated = rated_resistance(case.wiring)
    if rated is None:
        return ()
    cold = rated / hot_factor(case.wiring)[0]
    limit = table("own-choices", "broken-element").look_up("ratio") * cold
    found = []
    for reading, result in zip(case.readings, results, strict=True):
        dead = reading.quantity is Quantity.RESISTANCE and reading.state.plug is PlugPosition.UNPLUGGED
        roles = {role(case, reading.first), role(case, reading.second)}
        if not dead or roles != {PointRole.PIN_1, PointRole.PIN_2} or by_insulation_tester(case, reading):
            continue
        if reading.state.switch is SwitchPosition.OFF or result.value is None or result.bound is Bound.BELOW:
            continue
        if result.value.value > limit:
            fields = (
                ("read", format_bound(result.value.value, "ohm", result.bound)),
                ("rated", format_bound(cold, "ohm", Bound.NONE, 2)),
            )
            found.append(Problem(key="element_broken", kind="reading", id=reading.id, fields=fields))
    return tuple(found)

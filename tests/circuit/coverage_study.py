"""How often 95 % intervals hold the truth, and how often honest readings are called contradictory: of seeded cases."""

from dataclasses import dataclass, field

from hazardreport.case.reading import PlugPosition, SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.circuit.fit import fit
from hazardreport.circuit.misfit import suspects
from hazardreport.circuit.prediction import predicted_states
from hazardreport.circuit.thevenin import available_current, sources_at_part

HEADLINE = UnitState(plug=PlugPosition.REVERSED, switch=SwitchPosition.OFF)
ON = UnitState(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.ON)
NAMES = {
    "supply_voltage": "supply voltage",
    "element_resistance": "element resistance",
    "fault_position": "fault position",
    "fault_resistance": "fault resistance",
    "hot_factor": "hot factor",
}
CONTRADICTORY, NAMED = "honest readings called contradictory", "honest reading named"


@dataclass
class Rates:
    """Cases and hits by quantity; what the readings left undetermined is no case."""

    cases: dict[str, int] = field(default_factory=dict)
    hits: dict[str, int] = field(default_factory=dict)

    def count(self, name: str, hit: bool) -> None:
        """One more case."""
        self.cases[name] = self.cases.get(name, 0) + 1
        self.hits[name] = self.hits.get(name, 0) + int(hit)


def study(simulated, seeds, *, within_limits: bool = False) -> Rates:
    """Rates over the cases of some seeds; `simulated` makes a case of a seed."""
    rates = Rates()
    for seed in seeds:
        case = simulated(seed, within_limits=within_limits)
        found = fit(case.observations, case.wiring)
        for name, determined, (low, high) in zip(found.names, found.determined, found.intervals, strict=True):
            if determined:
                rates.count(NAMES[name], bool(low <= getattr(case.truth, name) <= high))
        states = (HEADLINE, ON)
        voltage, impedance = sources_at_part(case.wiring, case.truth, states)
        current = available_current(voltage, impedance)
        for k, (where, said) in enumerate(
            zip(("reversed, off", "straight, on"), predicted_states(found, case.wiring, states), strict=True)
        ):
            if said.determined:
                low, high = said.source.low, said.source.high
                rates.count(f"open-circuit voltage, {where}", bool(low[0] <= abs(voltage[k]) <= high[0]))
                rates.count(f"available fault current, {where}", bool(low[3] <= current[k] <= high[3]))
        rates.count(CONTRADICTORY, found.consistent is False)
        rates.count(NAMED, len(suspects(case.observations, case.wiring, found)) == 1)
    return rates

"""The loads that meet the source at the touchable part: those that were used, and three persons."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from hazardreport.case.case import Case
from hazardreport.case.reading import CutOut, Load, LoadKind
from hazardreport.case.unit_state import UnitState
from hazardreport.circuit.loads import lamp_current
from hazardreport.quantity.formatting import format_exact
from hazardreport.wording import sentence

PERSONS = (500.0, 1000.0, 2000.0)
"""Total impedances of the persons drawn. [ohm]"""


@dataclass(frozen=True, kw_only=True, slots=True)
class LoadLine:
    """A load and where it meets the source.

    current   at a voltage, rising steadily with it
    voltage   where it meets the source [V]
    amperes   the current there [A]
    """

    name: str
    person: bool
    current: Callable[[float], float]
    voltage: float
    amperes: float


def meeting(open_circuit_voltage: float, source_impedance: float, current: Callable[[float], float]) -> float:
    """Voltage where a load meets the source, by halving: the load's current rises with voltage, the source's falls. [V]

    Examples
    --------
    >>> round(meeting(120.0, 20.0, lambda voltage: voltage / 100.0), 9)
    100.0
    """
    low, high = 0.0, open_circuit_voltage
    for _ in range(80):
        middle = (low + high) / 2
        if middle + source_impedance * current(middle) > open_circuit_voltage:
            high = middle
        else:
            low = middle
    return (low + high) / 2


def _resistive(resistance: float) -> Callable[[float], float]:
    return lambda voltage: voltage / resistance


def _lamp(rated_voltage: float, rated_power: float) -> Callable[[float], float]:
    return lambda voltage: lamp_current(voltage, rated_voltage, rated_power)


def _test_loads(case: Case, state: UnitState) -> Iterator[tuple[str, Callable[[float], float]]]:
    """The meters and loads that were used in a state, each once."""
    readings = [
        r
        for r in case.readings
        if (r.state.plug, r.state.switch) == (state.plug, state.switch)
        and (r.state.cut_out is CutOut.OPEN) == state.cut_out_open
    ]
    for resistance in dict.fromkeys(_meter(case, reading.instrument) for reading in readings):
        if resistance:
            yield sentence("figures.source_line.meter", value=format_exact(resistance, "ohm")), _resistive(resistance)
    for load in dict.fromkeys(reading.load for reading in readings):
        yield from _one_load(load)


def _meter(case: Case, id: str) -> float | None:
    instrument = case.instrument(id)
    return instrument.input_resistance if instrument else None


def _one_load(load: Load) -> Iterator[tuple[str, Callable[[float], float]]]:
    if load.kind is LoadKind.RESISTOR and load.resistance:
        name = sentence("figures.source_line.resistor", value=format_exact(load.resistance, "ohm"))
        yield name, _resistive(load.resistance)
    if load.kind is LoadKind.LAMP and load.rated_voltage and load.rated_power:
        voltage, power = format_exact(load.rated_voltage, "V"), format_exact(load.rated_power, "W")
        name = sentence("figures.source_line.lamp", voltage=voltage, power=power)
        yield name, _lamp(load.rated_voltage, load.rated_power)


def load_lines(
    case: Case, state: UnitState, open_circuit_voltage: float, source_impedance: float
) -> tuple[LoadLine, ...]:
    """The loads that were used in a state and three persons, with the points where they meet the source."""
    persons = [
        (sentence("figures.source_line.person", value=format_exact(value, "ohm")), _resistive(value))
        for value in PERSONS
    ]
    tests = list(_test_loads(case, state))
    found = []
    for name, current in (*tests, *persons):
        voltage = meeting(open_circuit_voltage, source_impedance, current)
        person = (name, current) in persons
        found.append(LoadLine(name=name, person=person, current=current, voltage=voltage, amperes=current(voltage)))
    return tuple(found)

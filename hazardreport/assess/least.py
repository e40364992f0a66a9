"""What a lit lamp, a loaded voltage or a current alone proves: a person carries at least so much."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from hazardreport.assess.ledger import Ledger
from hazardreport.assess.persons import plausible_paths
from hazardreport.assess.readings_in import connected, lamp_of, low_impedance, number_id, role
from hazardreport.assess.records import LeastCurrent, PartSource
from hazardreport.assess.routes import same_state, state_name
from hazardreport.assess.source import SourceAt, method, plausible_states
from hazardreport.case.case import Case
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import LoadKind, PlugPosition, Quantity, Reading
from hazardreport.case.unit_state import UnitState
from hazardreport.circuit.loads import brightness_bracket, lamp_bound
from hazardreport.circuit.unit_network import unit_state
from hazardreport.errors import OutsideTableError
from hazardreport.readings.result import ReadingResult
from hazardreport.severity.body import least_body_current
from hazardreport.severity.terms import BodyPath, Skin

MEDIAN = 50
EARTHS = frozenset({PointRole.EARTH, PointRole.EARTH_PIN})


@dataclass(frozen=True, kw_only=True, slots=True)
class _Shown:
    """At least so much flowed at at least that voltage: current [A], voltage [V], what shows it."""

    current: float
    voltage: float
    reading: str


def least_currents(
    ledger: Ledger,
    case: Case,
    results: tuple[ReadingResult, ...],
    sources: tuple[SourceAt, ...],
    parts: tuple[PartSource, ...],
) -> tuple[LeastCurrent, ...]:
    """Least current of a median adult in every state that people meet and whose source no readings fix.

    Low ends of reading and load are put in: value less 2u. A dark lamp, or one without a known filament, shows nothing.
    Where nobody noted how the plug was in, it is that of one of both ways.
    """
    first = {source.state for source in sources}
    second = {part.state for part in parts if part.established and not part.between}
    found = []
    for role_, known in ((PointRole.TOUCHABLE_PART, first), (PointRole.SECOND_PART, second)):
        for state in (*plausible_states(case), *_either_way(case)):
            if state in known:
                continue
            shown = list(_shown(case, results, state, role_))
            for path in plausible_paths(case.household):
                best = max(((_least(item, path), item) for item in shown), key=lambda pair: pair[0], default=None)
                if best is not None and best[0] > 0.0:
                    found.append(_entered(ledger, state, path, *best))
    return tuple(found)


def _either_way(case: Case) -> tuple[UnitState, ...]:
    """The states that people meet, with the plug one way or the other."""
    turned = (replace(state, plug=PlugPosition.UNKNOWN) for state in plausible_states(case))
    return tuple(dict.fromkeys(turned))


def _least(item: _Shown, path: BodyPath) -> float:
    return least_body_current(item.current, item.voltage, Skin.DRY, MEDIAN, path)


def _shown(case: Case, results: tuple[ReadingResult, ...], state: UnitState, at: PointRole) -> Iterator[_Shown]:
    for reading, result in zip(case.readings, results, strict=True):
        roles = {role(case, reading.first), role(case, reading.second)}
        if not result.used or at not in roles or not roles & EARTHS or reading.state.plug is PlugPosition.UNPLUGGED:
            continue
        if not same_state(unit_state(reading.state, case.wiring), state):
            continue
        lamp, load = lamp_of(reading), result.load_impedance
        if reading.quantity is Quantity.LAMP and lamp is not None and result.brightness is not None:
            try:
                current = lamp_bound(lamp, result.brightness)
            except OutsideTableError:
                continue
            voltage = brightness_bracket(result.brightness)[0] * lamp.rated_voltage
            yield _Shown(current=current, voltage=voltage, reading=reading.id)
        elif result.quantity is Quantity.CURRENT and result.value is not None and load is not None:
            shown = max(0.0, result.value.value - 2.0 * result.value.standard_uncertainty)
            current = shown / result.reading_factor
            voltage = current * abs(load) * (1.0 - 2.0 * result.load_uncertainty)
            yield _Shown(current=current, voltage=voltage, reading=reading.id)
        elif result.quantity is Quantity.VOLTAGE and result.value is not None:
            yield from _by_voltage(case, reading, result)


def _by_voltage(case: Case, reading: Reading, result: ReadingResult) -> Iterator[_Shown]:
    """A voltage under a load of known resistance, or in the meter's low-impedance mode."""
    together = connected(case, reading, result)
    loads = reading.load.kind is not LoadKind.NONE or low_impedance(result)
    if together is None or result.value is None or not loads:
        return
    resistance, _, doubt = together
    voltage = result.value.value - 2.0 * result.value.standard_uncertainty
    if voltage > 0.0:
        yield _Shown(current=voltage / (resistance + 2.0 * doubt), voltage=voltage, reading=reading.id)


def _entered(ledger: Ledger, state: UnitState, path: BodyPath, least: float, shown: _Shown) -> LeastCurrent:
    prefix = f"least.{state.key}.{shown.reading}"
    fields = {"state": state_name(state), "path": path.value}
    behind = (number_id(shown.reading),) if number_id(shown.reading) in ledger else ()
    rows = (("I", "least_load_current", shown.current, "A"), ("V", "least_load_voltage", shown.voltage, "V"))
    inputs = tuple(
        ledger.enter(
            f"{prefix}.{symbol}",
            name,
            symbol,
            value,
            unit,
            low=value,
            equation="low end of the reading with its load",
            inputs=behind,
            sources=method("lower bound"),
            fields=fields,
        )
        for symbol, name, value, unit in rows
    )
    number = ledger.enter(
        f"{prefix}.{path.name.lower()}.IB",
        "least_body_current",
        "IB",
        least,
        "A",
        low=least,
        equation="the lesser of I and of what V drives through the body",
        inputs=inputs,
        sources=method("lower bound"),
        fields=fields,
    )
    return LeastCurrent(state=state, path=path, number=number, reading=shown.reading)

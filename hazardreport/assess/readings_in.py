"""Readings of the case into the ledger, and on to the observations that the network is held against."""

import math
from dataclasses import dataclass

from hazardreport.assess.ledger import Ledger
from hazardreport.assess.records import Problem, ReadNumber
from hazardreport.case.case import Case
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import LoadKind, PlugPosition, Quantity, Reading
from hazardreport.circuit.fit import taken_as
from hazardreport.circuit.loads import Lamp, lamp_relative_uncertainty, lamp_resistance
from hazardreport.circuit.observations import Observation, plan
from hazardreport.circuit.unit_network import open_poles, unit_state
from hazardreport.errors import ObservationNotPredictableError, StateNotPossibleError
from hazardreport.quantity.trace import Source
from hazardreport.quantity.typed import Bound
from hazardreport.readings.all_readings import read_numbers
from hazardreport.readings.answers import HIGH_IMPEDANCE, INSULATION_TESTER
from hazardreport.readings.checks import GENTLE
from hazardreport.readings.result import Purpose, ReadingResult
from hazardreport.standards.tables import table

LEAST_RELATIVE_DOUBT = 1e-6
LETTERS = {"ohm": "R", "V": "V", "A": "I"}
EARTHS = frozenset({PointRole.EARTH, PointRole.EARTH_PIN})


@dataclass(frozen=True, kw_only=True, slots=True)
class LiveReading:
    """A usable reading at the touchable part of a plugged-in unit.

    resistance, capacitance  of everything between part and earth at that reading, meter included [ohm], [F]
    load_doubt               standard uncertainty of the resistance [ohm]
    loaded                   a test load was connected, or the meter loads the source itself in its low-impedance mode
    """

    reading: Reading
    result: ReadingResult
    number: str
    value: float
    uncertainty: float
    resistance: float
    capacitance: float
    load_doubt: float
    loaded: bool


def background_voltage(case: Case, results: tuple[ReadingResult, ...]) -> float:
    """Standard uncertainty of a live reading to earth, since neutral and earth are never quite alike. [V]

    The usual value, or the greatest voltage that was read between neutral and earth if that is more.
    """
    usual = table("own-choices", "background-voltage").look_up("standard_uncertainty")
    read = [
        result.value.value
        for reading, result in zip(case.readings, results, strict=True)
        if result.used
        and result.value is not None
        and reading.quantity is Quantity.VOLTAGE
        and (roles := {role(case, reading.first), role(case, reading.second)}) & EARTHS
        and PointRole.NEUTRAL in roles
    ]
    return max(usual, *read) if read else usual


def reading_symbol(letter: str, reading: str) -> str:
    """Symbol of something that belongs to one reading: "V19" for the voltage of reading-019."""
    return letter + reading.rpartition("-")[2].lstrip("0")


def number_id(reading: str) -> str:
    """Id of a reading's number in the trace."""
    return f"reading.{reading}"


def lamp_of(reading: Reading) -> Lamp | None:
    """The filament lamp of a reading with a known rating."""
    load = reading.load
    if load.kind is not LoadKind.LAMP or not load.rated_voltage or not load.rated_power:
        return None
    return Lamp(rated_voltage=load.rated_voltage, rated_power=load.rated_power, tolerance=load.tolerance)


def read_in(
    ledger: Ledger, case: Case
) -> tuple[tuple[ReadingResult, ...], tuple[ReadNumber, ...], tuple[Problem, ...]]:
    """All readings as results, as records, and what is wrong with them."""
    results = read_numbers(case)
    records, problems = [], []
    for reading, result in zip(case.readings, results, strict=True):
        problems += [
            Problem(key=key, kind="reading", id=reading.id, fields=fields, gentle=key in GENTLE)
            for key, fields in result.problems
        ]
        number = ""
        if result.value is not None and math.isfinite(result.value.value):
            bound = result.bound
            number = ledger.enter(
                number_id(reading.id),
                "reading",
                reading_symbol(LETTERS[result.value.unit], reading.id),
                result.value.value,
                result.value.unit,
                uncertainty=result.value.standard_uncertainty,
                low=result.value.value if bound is Bound.ABOVE else None,
                high=result.value.value if bound is Bound.BELOW else None,
                equation="as read",
                sources=result.sources,
                fields={"first": reading.first, "second": reading.second},
            )
        records.append(ReadNumber(reading=reading.id, number=number, bound=result.bound, used=result.used))
    return results, tuple(records), tuple(problems)


def role(case: Case, letter: str) -> PointRole:
    """What a letter is electrically; a letter without point is `OTHER`."""
    point = case.point(letter)
    return point.role if point else PointRole.OTHER


def by_insulation_tester(case: Case, reading: Reading) -> bool:
    """Whether the reading was taken at a test voltage that may change a fault path; such a one never enters the fit."""
    instrument = case.instrument(reading.instrument)
    return instrument is not None and instrument.kind == INSULATION_TESTER


def observation(
    case: Case, reading: Reading, result: ReadingResult, supply: float, background: float
) -> Observation | None:
    """The reading as something that the network predicts; None where it does not enter.

    The network has one supply voltage. A reading beside which another one was noted carries the difference as doubt.
    """
    if reading.quantity is Quantity.LAMP or result.quantity is None or result.value is None:
        return None
    if not (result.used or result.restricts) or result.purpose is Purpose.STORED_CHARGE:
        return None
    first, second = role(case, reading.first), role(case, reading.second)
    if PointRole.OTHER in (first, second) or by_insulation_tester(case, reading):
        return None
    if PointRole.NEUTRAL in (first, second) and {first, second} & EARTHS:
        return None
    lamp = lamp_of(reading)
    meter = result.meter_impedance if result.meter_impedance is not None else math.inf
    impedance = meter if lamp else (result.load_impedance if result.load_impedance is not None else math.inf)
    load_doubt = lamp_relative_uncertainty(lamp, result.value.value) if lamp else result.load_uncertainty
    doubt = max(result.value.standard_uncertainty, LEAST_RELATIVE_DOUBT * abs(result.value.value), 1e-9)
    if result.quantity is Quantity.VOLTAGE and {first, second} & EARTHS:
        doubt = math.hypot(doubt, background)
    at_unit = PointRole.TOUCHABLE_PART in (first, second) or PointRole.SECOND_PART in (first, second)
    noted = result.supply_voltage.value if result.supply_voltage is not None and at_unit else 0.0
    return Observation(
        id=reading.id,
        kind=result.quantity,
        first=first,
        second=second,
        state=reading.state,
        value=result.value.value,
        standard_uncertainty=doubt,
        bound=result.bound,
        load_impedance=impedance,
        lamp=lamp,
        load_relative_uncertainty=load_doubt,
        reading_factor=result.reading_factor,
        supply_ratio=noted / supply if noted > 0.0 and supply > 0.0 else 1.0,
        gain=f"{reading.instrument} {reading.quantity.value}",
        gain_uncertainty=result.gain_uncertainty,
    )


def observations(
    case: Case, results: tuple[ReadingResult, ...], supply: float
) -> tuple[tuple[Observation, ...], tuple[Problem, ...]]:
    """Everything that the fit is held against, values and bounds; and why the network cannot predict the rest."""
    found, problems = [], []
    background = background_voltage(case, results)
    for reading, result in zip(case.readings, results, strict=True):
        item = observation(case, reading, result, supply, background)
        if item is None:
            continue
        try:
            plan(taken_as((item,), PlugPosition.STRAIGHT), case.wiring)
            open_poles(case.wiring, unit_state(item.state, case.wiring))
        except (StateNotPossibleError, ObservationNotPredictableError) as error:
            fields = tuple((name, str(value)) for name, value in error.fields().items())
            problems.append(Problem(key=error.key, kind="reading", id=reading.id, fields=fields))
            continue
        found.append(item)
    return tuple(found), tuple(problems)


def live_readings(case: Case, results: tuple[ReadingResult, ...]) -> tuple[LiveReading, ...]:
    """Voltages from the touchable part to earth on the plugged-in unit, with what was connected."""
    found = []
    for reading, result in zip(case.readings, results, strict=True):
        if not result.used or result.value is None or reading.quantity is not Quantity.VOLTAGE:
            continue
        if reading.state.plug is PlugPosition.UNPLUGGED:
            continue
        roles = {role(case, reading.first), role(case, reading.second)}
        if PointRole.TOUCHABLE_PART not in roles or not roles & EARTHS:
            continue
        together = connected(case, reading, result)
        if together is None:
            continue
        resistance, capacitance, doubt = together
        found.append(
            LiveReading(
                reading=reading,
                result=result,
                number=number_id(reading.id),
                value=result.value.value,
                uncertainty=result.value.standard_uncertainty,
                resistance=resistance,
                capacitance=capacitance,
                load_doubt=doubt,
                loaded=reading.load.kind is not LoadKind.NONE or low_impedance(result),
            )
        )
    return tuple(found)


def low_impedance(result: ReadingResult) -> bool:
    """Whether the meter itself loads the source: its low-impedance mode."""
    return result.meter_impedance is not None and abs(result.meter_impedance) < HIGH_IMPEDANCE


def connected(case: Case, reading: Reading, result: ReadingResult) -> tuple[float, float, float] | None:
    """Resistance, capacitance and doubt of the resistance between the two points; None where it is not known."""
    meter = result.meter_impedance
    frequency = case.wiring.frequency
    if meter is None or not frequency or result.value is None:
        return None
    admittance = 1.0 / meter
    capacitance = admittance.imag / (2.0 * math.pi * frequency)
    lamp = lamp_of(reading)
    if lamp is not None:
        load = lamp_resistance(result.value.value, lamp.rated_voltage, lamp.rated_power)
        relative = lamp_relative_uncertainty(lamp, result.value.value)
    elif reading.load.kind is LoadKind.RESISTOR and reading.load.resistance:
        load, relative = reading.load.resistance, result.load_uncertainty
    elif reading.load.kind is LoadKind.NONE:
        return 1.0 / admittance.real, capacitance, 0.0
    else:
        return None
    together = 1.0 / (admittance.real + 1.0 / load)
    return together, capacitance, relative * together * together / load


def table_sources(results: tuple[ReadingResult, ...]) -> tuple[Source, ...]:
    """Sources of everything that the readings rest on."""
    return tuple(dict.fromkeys(source for result in results for source in result.sources))

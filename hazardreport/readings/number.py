"""A reading as typed, turned into a number with doubt. Nothing is thrown away: what cannot be used says why."""

import cmath
import math
from dataclasses import dataclass, replace
from functools import lru_cache

from hazardreport import wording
from hazardreport.case.case import Case
from hazardreport.case.picture import Point
from hazardreport.case.reading import Brightness, Instrument, LoadKind, Quantity, Reading
from hazardreport.case.wiring import Wiring
from hazardreport.errors import TextNotUnderstoodError, UnitMismatchError
from hazardreport.quantity.formatting import format_value
from hazardreport.quantity.measured import Measured
from hazardreport.quantity.propagation import mean_of_repeats
from hazardreport.quantity.typed import UNITS, Bound, TypedValue, read_value
from hazardreport.readings.accuracy import (
    CHOICES,
    Doubt,
    calibration_holds,
    combined,
    instrument_doubt,
    lead_doubt,
    range_of,
    rectangular,
    supply_doubt,
    typed_doubt,
)
from hazardreport.readings.checks import REFUSING, UNDECIDING, earth_by_ohmmeter, problems_before_reading, purpose
from hazardreport.readings.result import Problem, Purpose, ReadingResult
from hazardreport.standards.tables import table

TRIPPED = "tripped"

Refusal = TextNotUnderstoodError | UnitMismatchError


@dataclass(frozen=True, kw_only=True, slots=True)
class _Number:
    """Number of a reading before the checks have spoken."""

    value: Measured | None = None
    bound: Bound = Bound.NONE
    instrument_part: float = 0.0
    gain_part: float = 0.0
    supply_part: float = 0.0
    doubts: tuple[Doubt, ...] = ()
    choices: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()


def read_number(reading: Reading, case: Case) -> ReadingResult:
    """The reading as a number with doubt, a bound, or a refusal with reasons.

    Parameters
    ----------
    reading : Reading
        As typed.
    case : Case
        Gives points, instrument, wiring and frequency.

    Returns
    -------
    ReadingResult
        `value` is None if the reading is refused or is a bound without a number; `used` says whether it may decide.

    References
    ----------
    jcgm-100-2008, 4.2, 4.3.7, 5.1.2, G.4.1.
    """
    return _read_number(reading, case.points, case.instruments, case.wiring)


@lru_cache(maxsize=4096)
def _read_number(
    reading: Reading, points: tuple[Point, ...], instruments: tuple[Instrument, ...], wiring: Wiring
) -> ReadingResult:
    """All that the number depends on: at a keystroke only the reading under the cursor is read again."""
    case = Case(id="", points=points, instruments=instruments, wiring=wiring)
    problems = problems_before_reading(reading, case)
    loaded = _with_load(
        ReadingResult(reading_id=reading.id, purpose=purpose(reading, case), load=reading.load), reading, case
    )
    if reading.typed.strip().casefold() == TRIPPED and reading.quantity is not Quantity.RESISTANCE:
        return _tripped(loaded, reading, problems)
    if reading.quantity is Quantity.LAMP:
        return _lamp(loaded, reading, problems)
    try:
        typed = read_value(reading.typed, reading.quantity.value)
    except (TextNotUnderstoodError, UnitMismatchError) as error:
        return replace(loaded, refused=True, problems=(*problems, _not_read(error)))
    instrument = case.instrument(reading.instrument)
    supply_voltage, supply_problems = _supply_voltage(reading, instrument)
    drifts = loaded.purpose is Purpose.UNIT and reading.quantity is not Quantity.RESISTANCE and supply_voltage is None
    if typed.bound is Bound.NONE:
        number = _value(reading, instrument, typed, loaded.purpose, drifts)
    else:
        number = _bound(reading, typed, instrument)
    problems = (*problems, *_typed_problems(reading, case, loaded.purpose, typed), *number.problems, *supply_problems)
    refused = any(key in REFUSING for key, _ in problems)
    decides = not refused and not any(key in UNDECIDING for key, _ in problems)
    choices = (*loaded.choices, *number.choices, *(key for doubt in number.doubts for key in doubt.choices))
    sources = (*loaded.sources, *(source for doubt in number.doubts for source in doubt.sources))
    return replace(
        loaded,
        value=None if refused else number.value,
        bound=Bound.NONE if refused else number.bound,
        refused=refused,
        used=decides and number.value is not None and number.bound is Bound.NONE,
        typed=typed,
        instrument_uncertainty=number.instrument_part,
        gain_uncertainty=number.gain_part,
        supply_uncertainty=number.supply_part,
        supply_voltage=supply_voltage,
        problems=problems,
        choices=tuple(dict.fromkeys(choices)),
        sources=tuple(dict.fromkeys(sources)),
    )


def meter_impedance(instrument: Instrument | None, frequency: float | None) -> complex:
    """Impedance of a voltmeter's input at a frequency; that of a common meter where it is not stated. [ohm]"""
    common = table(CHOICES, "meter-input")
    resistance = instrument.input_resistance if instrument else None
    capacitance = instrument.input_capacitance if instrument else None
    resistance = resistance if resistance is not None and resistance > 0.0 else common.look_up("resistance")
    capacitance = capacitance if capacitance is not None and capacitance >= 0.0 else common.look_up("capacitance")
    return 1.0 / (1.0 / resistance + 2j * cmath.pi * (frequency or 0.0) * capacitance)


def _with_load(result: ReadingResult, reading: Reading, case: Case) -> ReadingResult:
    """Result with the impedance between the two points, as far as it is linear."""
    if reading.quantity is Quantity.RESISTANCE:
        return result
    instrument = case.instrument(reading.instrument)
    load = reading.load
    meter = None
    if reading.quantity is Quantity.VOLTAGE:
        meter = meter_impedance(instrument, case.wiring.frequency)
        stated = instrument is not None and None not in (instrument.input_resistance, instrument.input_capacitance)
        if not stated:
            source = table(CHOICES, "meter-input").source()
            result = replace(result, choices=("common_meter_input",), sources=(source,))
    if load.kind is LoadKind.NONE:
        return replace(result, meter_impedance=meter, load_impedance=meter)
    if load.kind is not LoadKind.RESISTOR or not load.resistance or load.resistance < 0.0:
        return replace(result, meter_impedance=meter)
    together = load.resistance if meter is None else 1.0 / (1.0 / load.resistance + 1.0 / meter)
    tolerance = load.tolerance
    if tolerance is None:
        common = table(CHOICES, "resistor-tolerance")
        tolerance = common.look_up("tolerance")
        result = replace(
            result,
            choices=(*result.choices, "resistor_tolerance"),
            sources=(*result.sources, common.source("tolerance")),
        )
    return replace(
        result, meter_impedance=meter, load_impedance=complex(together), load_uncertainty=rectangular(tolerance)
    )


def _lamp(result: ReadingResult, reading: Reading, problems: tuple[Problem, ...]) -> ReadingResult:
    text = reading.typed.strip().casefold()
    brightness = next((member for member in Brightness if member.value == text), None)
    if brightness is None:
        problems = (*problems, ("brightness_not_read", (("text", reading.typed[:24]),)))
        return replace(result, refused=True, problems=problems)
    dark = brightness is Brightness.DARK
    problems = (*problems, ("dark_lamp", ())) if dark else problems
    refused = any(key in REFUSING for key, _ in problems)
    return replace(
        result,
        brightness=brightness,
        bound=Bound.NONE if refused else Bound.BELOW if dark else Bound.ABOVE,
        refused=refused,
        used=not refused and not any(key in UNDECIDING for key, _ in problems),
        problems=problems,
        choices=("lamp_brightness",),
    )


def _tripped(result: ReadingResult, reading: Reading, problems: tuple[Problem, ...]) -> ReadingResult:
    """The supply's residual-current device tripped: a lower bound of the current to earth of the whole circuit."""
    refused = any(key in REFUSING for key, _ in problems)
    device = table("ul-943", "class-a")
    least = device.look_up("not_operating_below") * 1e-3
    known = reading.quantity is Quantity.CURRENT and not refused
    return replace(
        result,
        value=Measured(value=least, unit="A") if known else None,
        bound=Bound.NONE if refused else Bound.ABOVE,
        refused=refused,
        problems=(*problems, ("device_tripped", (("current", format_value(least, "A", 1)),))),
        choices=("tripped",),
        sources=(device.source("not_operating_below"),),
    )


def _not_read(error: Refusal) -> Problem:
    return "not_read", (("reason", wording.what(error)), ("advice", wording.remedy(error)))


def _typed_problems(reading: Reading, case: Case, kind: Purpose, typed: TypedValue) -> tuple[Problem, ...]:
    found: list[Problem] = []
    if typed.direct and kind is not Purpose.STORED_CHARGE:
        found.append(("direct_voltage", ()))
    if typed.bound is Bound.NONE and earth_by_ohmmeter(reading, case):
        found.append(("earth_by_ohmmeter", ()))
    if not reading.picture:
        found.append(("no_picture", ()))
    return tuple(found)


def _bound(reading: Reading, typed: TypedValue, instrument: Instrument | None) -> _Number:
    """A bound with the number it bounds with: typed, or the instrument's highest range or smallest step."""
    value = typed.value
    choices: tuple[str, ...] = ()
    if math.isinf(value) or (value == 0.0 and typed.bound is Bound.BELOW):
        accuracies = [a for a in (instrument.accuracies if instrument else ()) if a.quantity is reading.quantity]
        if not accuracies:
            return _Number(bound=typed.bound, problems=(("bound_without_number", ()),))
        if typed.bound is Bound.ABOVE:
            value, choices = max(accuracy.range_to for accuracy in accuracies), ("over_range",)
        else:
            lowest = min(accuracies, key=lambda accuracy: accuracy.range_to)
            value, choices = max(lowest.digits, 1.0) * lowest.resolution, ("not_detected",)
    return _Number(value=Measured(value=value, unit=typed.unit), bound=typed.bound, choices=choices)


def _value(reading: Reading, instrument: Instrument | None, typed: TypedValue, kind: Purpose, drifts: bool) -> _Number:
    repeats, problems = _repeats(reading)
    values = (typed.value, *repeats)
    mean, spread = typed.value, 0.0
    if repeats:
        measured = mean_of_repeats(values, typed.unit)
        mean, spread = measured.value, measured.standard_uncertainty
    own = typed_doubt(typed.uncertainty, typed.resolution) if typed.uncertainty is not None else None
    own = own or instrument_doubt(reading, instrument, mean, typed.resolution)
    problems += _value_problems(reading, instrument, values, own, kind)
    doubts, supply_part, lead = [own], 0.0, 0.0
    if reading.quantity is Quantity.RESISTANCE and instrument is not None and instrument.lead_resistance is not None:
        lead = instrument.lead_resistance
        doubts.append(Doubt(standard_uncertainty=0.0, choices=("leads_subtracted",)))
    elif reading.quantity is Quantity.RESISTANCE:
        doubts.append(lead_doubt())
    elif drifts:
        doubts.append(supply_doubt(mean))
        supply_part = doubts[-1].standard_uncertainty
    uncertainty, freedom = combined(tuple(doubt.standard_uncertainty for doubt in doubts), spread, len(values))
    return _Number(
        value=Measured(
            value=mean - lead, standard_uncertainty=uncertainty, unit=typed.unit, degrees_of_freedom=freedom
        ),
        instrument_part=own.standard_uncertainty,
        gain_part=own.gain,
        supply_part=supply_part,
        doubts=tuple(doubts),
        choices=("shared_gain",),
        problems=problems,
    )


def _repeats(reading: Reading) -> tuple[tuple[float, ...], tuple[Problem, ...]]:
    values: list[float] = []
    problems: list[Problem] = []
    for text in reading.repeats:
        try:
            typed = read_value(text, reading.quantity.value)
        except (TextNotUnderstoodError, UnitMismatchError) as error:
            problems.append(("repeat_left_out", (("text", text[:24]), ("reason", wording.what(error)))))
            continue
        if typed.bound is Bound.NONE:
            values.append(typed.value)
        else:
            problems.append(("repeat_is_bound", (("text", text[:24]),)))
    return tuple(values), tuple(problems)


def _value_problems(
    reading: Reading, instrument: Instrument | None, values: tuple[float, ...], own: Doubt, kind: Purpose
) -> tuple[Problem, ...]:
    found: list[Problem] = []
    unit = UNITS[reading.quantity.value]
    if kind is not Purpose.STORED_CHARGE and min(values) < -3.0 * own.standard_uncertainty:
        found.append(("negative", (("quantity", reading.quantity.value),)))
    ranges = [a.range_to for a in (instrument.accuracies if instrument else ()) if a.quantity is reading.quantity]
    beyond = next(
        (value for value in values if instrument and not range_of(instrument, reading.quantity, value, 0.0)), None
    )
    if ranges and beyond is not None:
        fields = (("value", format_value(beyond, unit)), ("range", format_value(max(ranges), unit)))
        found.append(("outside_range", fields))
    if instrument is not None and not calibration_holds(instrument, reading.taken):
        found.append(("no_calibration", (("instrument", instrument.name or instrument.id),)))
    return tuple(found)


def _supply_voltage(reading: Reading, instrument: Instrument | None) -> tuple[Measured | None, tuple[Problem, ...]]:
    """Supply voltage noted beside the reading, taken as read with the same instrument."""
    if not reading.supply_typed.strip():
        return None, ()
    try:
        typed = read_value(reading.supply_typed, Quantity.VOLTAGE.value)
    except (TextNotUnderstoodError, UnitMismatchError) as error:
        return None, (("supply_not_read", (("reason", wording.what(error)), ("advice", wording.remedy(error)))),)
    if typed.bound is not Bound.NONE:
        return None, (("supply_is_bound", ()),)
    voltage = replace(reading, quantity=Quantity.VOLTAGE)
    doubt = (
        typed_doubt(typed.uncertainty, typed.resolution)
        if typed.uncertainty is not None
        else instrument_doubt(voltage, instrument, typed.value, typed.resolution)
    )
    return Measured(value=typed.value, standard_uncertainty=doubt.standard_uncertainty, unit="V"), ()

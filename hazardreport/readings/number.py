"""A reading as typed, turned into a number with doubt. Nothing is thrown away: what cannot be used says why."""

import math
from dataclasses import dataclass, replace

from hazardreport import wording
from hazardreport.case.case import Case
from hazardreport.case.picture import Point
from hazardreport.case.reading import Brightness, Instrument, Quantity, Reading
from hazardreport.case.wiring import Wiring
from hazardreport.circuit.touch_networks import FIGURE_OF
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
    stated,
    supply_doubt,
    typed_doubt,
)
from hazardreport.readings.checks import REFUSING, UNDECIDING, earth_by_ohmmeter, problems_before_reading, purpose
from hazardreport.readings.connected import network_output_resistance, read_across_network, with_load
from hazardreport.readings.cut_wave import bounded, cut
from hazardreport.readings.result import Problem, Purpose, ReadingResult
from hazardreport.readings.tripped import says_tripped, tripped
from hazardreport.standards.active import cached_by_confirmations
from hazardreport.standards.tables import table

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


@cached_by_confirmations()
def _read_number(
    reading: Reading, points: tuple[Point, ...], instruments: tuple[Instrument, ...], wiring: Wiring
) -> ReadingResult:
    """All that the number depends on: at a keystroke only the reading under the cursor is read again."""
    case = Case(id="", points=points, instruments=instruments, wiring=wiring)
    problems = problems_before_reading(reading, case)
    kind = purpose(reading, case)
    loaded = with_load(
        ReadingResult(reading_id=reading.id, quantity=reading.quantity, purpose=kind, load=reading.load), reading, case
    )
    if says_tripped(reading):
        return tripped(loaded, reading, problems, _refused(problems))
    lamp = reading.quantity is Quantity.LAMP
    result = _lamp(loaded, reading, problems) if lamp else _read(loaded, reading, case, problems)
    if cut(reading, kind) and not result.refused:
        result = bounded(result)
    restricts = result.bound is not Bound.NONE and result.value is not None and _decides(result.problems)
    return replace(result, restricts=restricts)


def _read(loaded: ReadingResult, reading: Reading, case: Case, problems: tuple[Problem, ...]) -> ReadingResult:
    """The result of a reading that is a number."""
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
    refused, decides = _refused(problems), _decides(problems)
    choices = (*loaded.choices, *number.choices, *(key for doubt in number.doubts for key in doubt.choices))
    sources = (*loaded.sources, *(source for doubt in number.doubts for source in doubt.sources))
    result = replace(
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
    return _as_current(result, reading) if read_across_network(reading) else result


def _as_current(result: ReadingResult, reading: Reading) -> ReadingResult:
    """A voltage across the output of a touch-current network as the current that it stands for."""
    if reading.quantity is not Quantity.VOLTAGE or result.value is None:
        return result
    scale = 1.0 / network_output_resistance(FIGURE_OF[reading.load.kind])
    return replace(
        result,
        value=replace(
            result.value,
            value=result.value.value * scale,
            standard_uncertainty=result.value.standard_uncertainty * scale,
            unit="A",
        ),
        instrument_uncertainty=result.instrument_uncertainty * scale,
        gain_uncertainty=result.gain_uncertainty * scale,
        supply_uncertainty=result.supply_uncertainty * scale,
    )


def _refused(problems: tuple[Problem, ...]) -> bool:
    return any(key in REFUSING for key, _ in problems)


def _decides(problems: tuple[Problem, ...]) -> bool:
    return not any(key in REFUSING or key in UNDECIDING for key, _ in problems)


def _lamp(result: ReadingResult, reading: Reading, problems: tuple[Problem, ...]) -> ReadingResult:
    text = reading.typed.strip().casefold()
    brightness = next((member for member in Brightness if member.value == text), None)
    if brightness is None:
        problems = (*problems, ("brightness_not_read", (("text", reading.typed[:24]),)))
        return replace(result, refused=True, problems=problems)
    dark = brightness is Brightness.DARK
    problems = (*problems, ("dark_lamp", ())) if dark else problems
    refused = _refused(problems)
    return replace(
        result,
        brightness=brightness,
        bound=Bound.NONE if refused else Bound.BELOW if dark else Bound.ABOVE,
        refused=refused,
        used=_decides(problems),
        problems=problems,
        choices=("lamp_brightness",),
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
        accuracies = stated(instrument, reading.quantity)
        if not accuracies:
            return _Number(bound=typed.bound, problems=(("bound_without_number", ()),))
        if typed.bound is Bound.ABOVE:
            value, choices = max(accuracy.range_to for accuracy in accuracies), ("over_range",)
        else:
            lowest = min(accuracies, key=lambda accuracy: accuracy.range_to)
            value, choices = max(lowest.digits, 1.0) * lowest.resolution, ("not_detected",)
    problems = _impossible(reading.quantity, (value,), 0.0)
    return _Number(value=Measured(value=value, unit=typed.unit), bound=typed.bound, choices=choices, problems=problems)


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
    noted = instrument.lead_resistance if instrument is not None else None
    if reading.quantity is Quantity.RESISTANCE and noted is not None and noted >= 0.0:
        lead = noted
        if mean >= -3.0 * own.standard_uncertainty and mean - lead < -3.0 * own.standard_uncertainty:
            problems += (("below_leads", (("leads", format_value(lead, "ohm")),)),)
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
    stored = kind is Purpose.STORED_CHARGE
    magnitudes = tuple(abs(value) for value in values) if stored else values
    found = list(_impossible(reading.quantity, magnitudes, 3.0 * own.standard_uncertainty))
    unit = UNITS[reading.quantity.value]
    ranges = [accuracy.range_to for accuracy in stated(instrument, reading.quantity)]
    beyond = next(
        (value for value in values if instrument and not range_of(instrument, reading.quantity, value, 0.0)), None
    )
    if ranges and beyond is not None:
        fields = (("value", format_value(beyond, unit)), ("range", format_value(max(ranges), unit)))
        found.append(("outside_range", fields))
    if instrument is not None and not calibration_holds(instrument, reading.taken):
        found.append(("no_calibration", (("instrument", instrument.name or instrument.id),)))
    return tuple(found)


def _impossible(quantity: Quantity, values: tuple[float, ...], allowance: float) -> tuple[Problem, ...]:
    """Values below zero by more than doubt explains, or beyond anything that a household unit can show."""
    unit = UNITS[quantity.value]
    largest = table(CHOICES, "plausible-readings").look_up(quantity.value)
    if min(values) < -allowance:
        return (("negative", (("quantity", quantity.value),)),)
    if max(values) > largest:
        return (("absurd", (("value", format_value(max(values), unit)), ("largest", format_value(largest, unit)))),)
    return ()


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
    if typed.direct or not 0.0 < typed.value <= table(CHOICES, "plausible-readings").look_up(Quantity.VOLTAGE.value):
        return None, (("supply_not_possible", (("text", reading.supply_typed.strip()[:24]),)),)
    voltage = replace(reading, quantity=Quantity.VOLTAGE)
    doubt = (
        typed_doubt(typed.uncertainty, typed.resolution)
        if typed.uncertainty is not None
        else instrument_doubt(voltage, instrument, typed.value, typed.resolution)
    )
    return Measured(value=typed.value, standard_uncertainty=doubt.standard_uncertainty, unit="V"), ()

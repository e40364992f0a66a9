"""What is wrong or worth knowing about a reading before its number is looked at: points, state, supply, load, meter.

Each check gives a key of problems.toml. `REFUSING` keys take the number away; `UNDECIDING` keys keep it and let it
decide nothing; all others are remarks.
"""

from collections.abc import Iterator

from hazardreport.case.case import Case
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import (
    CutOut,
    EarthState,
    Instrument,
    LoadKind,
    PlugPosition,
    Quantity,
    Reading,
    SupplyKind,
    SwitchPosition,
)
from hazardreport.case.wiring import Plug, ProtectiveEarth, SecondPart, SwitchPoles
from hazardreport.quantity.formatting import format_value
from hazardreport.readings.accuracy import possible
from hazardreport.readings.connected import read_across_network
from hazardreport.readings.cut_wave import cut, wave_problems
from hazardreport.readings.result import Problem, Purpose
from hazardreport.standards.editions import default_edition
from hazardreport.standards.tables import table

REFUSING = frozenset(
    {
        "not_read",
        "brightness_not_read",
        "point_missing",
        "same_point",
        "resistance_plugged_in",
        "live_unplugged",
        "ammeter_across_part",
        "outside_range",
        "negative",
        "no_such_switch",
        "no_such_cut_out",
        "average_on_cut_wave",
        "absurd",
        "below_leads",
        "network_meter_too_low",
        "network_not_at_part",
    }
)
UNDECIDING = frozenset(
    {
        "behind_isolation",
        "supply_not_known",
        "not_proved",
        "other_lamp",
        "lamp_not_rated",
        "load_without_value",
        "point_without_role",
        "dark_lamp",
        "direct_voltage",
        "earth_by_ohmmeter",
        "device_tripped",
        "tripped_without_device",
        "wave_by_unknown_meter",
        "phase_cut",
        "upper_bound_cut_wave",
        "tolerance_not_possible",
    }
)
GENTLE = frozenset(
    {
        "no_picture",
        "earth_by_ohmmeter",
        "dark_lamp",
        "wave_unplugged",
        "earth_on_two_cores",
        "no_second_part",
        "earth_not_named",
        "device_not_noted",
        "proofs_not_noted",
    }
)
"""Good to know; nothing is wrong."""

_SOCKET = frozenset({PointRole.LINE, PointRole.NEUTRAL, PointRole.EARTH})
_PARTS = frozenset({PointRole.TOUCHABLE_PART, PointRole.SECOND_PART})
_UNIT = frozenset({*_PARTS, PointRole.PIN_1, PointRole.PIN_2, PointRole.EARTH_PIN})
_EARTH = frozenset({PointRole.EARTH, PointRole.EARTH_PIN})
EARTH_TESTER = "earth continuity tester"
CLAMP = "clamp"


def roles(reading: Reading, case: Case) -> tuple[PointRole, ...]:
    """Electrical roles of the reading's points, those that the case does not have left out."""
    points = (case.point(letter) for letter in (reading.first, reading.second))
    return tuple(point.role for point in points if point is not None)


def purpose(reading: Reading, case: Case) -> Purpose:
    """What the reading tells about, by its points and state."""
    found = set(roles(reading, case))
    if reading.quantity is Quantity.VOLTAGE and found and found <= _SOCKET:
        return Purpose.SUPPLY
    if reading.quantity is Quantity.VOLTAGE and reading.state.plug is PlugPosition.UNPLUGGED and found <= _UNIT:
        return Purpose.STORED_CHARGE
    return Purpose.UNIT


def problems_before_reading(reading: Reading, case: Case) -> tuple[Problem, ...]:
    """Everything about the reading but its number."""
    instrument = case.instrument(reading.instrument)
    return (
        *_points(reading, case),
        *_state(reading, case),
        *wave_problems(reading, case, purpose(reading, case)),
        *_supply(reading, case),
        *_load(reading, case, instrument),
        *_meter(reading, case, instrument),
    )


def _points(reading: Reading, case: Case) -> Iterator[Problem]:
    for letter in dict.fromkeys((reading.first, reading.second)):
        point = case.point(letter)
        if point is None:
            yield "point_missing", (("letter", letter or "–"),)
        elif point.role is PointRole.OTHER:
            yield "point_without_role", (("letter", letter),)
        elif point.role is PointRole.SECOND_PART and case.wiring.second_part is SecondPart.NONE:
            yield "no_second_part", (("letter", letter),)
    if reading.first == reading.second:
        yield "same_point", (("letter", reading.first or "–"),)


def _state(reading: Reading, case: Case) -> Iterator[Problem]:
    unplugged = reading.state.plug is PlugPosition.UNPLUGGED
    if reading.quantity is Quantity.RESISTANCE and not unplugged:
        yield "resistance_plugged_in", ()
    if reading.quantity is not Quantity.RESISTANCE and unplugged and purpose(reading, case) is Purpose.UNIT:
        yield "live_unplugged", (("quantity", reading.quantity.value),)
    if reading.state.switch is SwitchPosition.OFF and case.wiring.switch is SwitchPoles.NONE:
        yield "no_such_switch", ()
    if reading.state.switch is SwitchPosition.NONE and case.wiring.switch not in (
        SwitchPoles.NONE,
        SwitchPoles.UNKNOWN,
    ):
        yield "switch_not_noted", ()
    if reading.state.cut_out is CutOut.OPEN and case.wiring.cut_out is SwitchPoles.NONE:
        yield "no_such_cut_out", ()
    without_earth = case.wiring.cord_cores == 2 or case.wiring.protective_earth is ProtectiveEarth.NONE
    if reading.state.earth is EarthState.CONNECTED and without_earth:
        yield "earth_on_two_cores", ()
    if reading.state.plug is PlugPosition.UNKNOWN:
        yield "plug_position_not_known", ()
    if reading.state.plug is PlugPosition.REVERSED and case.wiring.plug is Plug.ONE_WAY:
        yield "one_way_plug_reversed", ()


def _supply(reading: Reading, case: Case) -> Iterator[Problem]:
    if reading.state.plug is PlugPosition.UNPLUGGED or reading.quantity is Quantity.RESISTANCE:
        return
    if purpose(reading, case) is not Purpose.UNIT:
        return
    if reading.supply in (SupplyKind.ISOLATING, SupplyKind.INVERTER):
        yield "behind_isolation", (("supply", reading.supply.value),)
    if reading.supply is SupplyKind.UNKNOWN:
        yield "supply_not_known", ()
    if reading.supply is SupplyKind.VARIABLE:
        yield "variable_transformer", ()
    if not reading.proved and reading.quantity is not Quantity.LAMP:
        yield "not_proved", ()


def _load(reading: Reading, case: Case, instrument: Instrument | None) -> Iterator[Problem]:
    load = reading.load
    if reading.quantity is Quantity.RESISTANCE:
        return
    if load.kind is LoadKind.OTHER_LAMP:
        yield "other_lamp", ()
    elif load.kind is LoadKind.LAMP and not (_positive(load.rated_voltage) and _positive(load.rated_power)):
        yield "lamp_not_rated", ()
    elif load.kind is LoadKind.RESISTOR and not _positive(load.resistance):
        yield "load_without_value", ()
    elif reading.quantity is Quantity.LAMP and load.kind is not LoadKind.LAMP:
        yield "lamp_not_rated", ()
    if load.tolerance is not None and not 0.0 <= load.tolerance < 1.0:
        yield "tolerance_not_possible", ()
    if read_across_network(reading):
        yield from _network(reading, case, instrument)
    clamp = instrument is not None and instrument.kind == CLAMP
    found = set(roles(reading, case))
    if (
        reading.quantity is Quantity.CURRENT
        and load.kind is LoadKind.NONE
        and not clamp
        and found & _PARTS
        and (found & _EARTH or found >= _PARTS)
    ):
        yield "ammeter_across_part", ()


def _network(reading: Reading, case: Case, instrument: Instrument | None) -> Iterator[Problem]:
    """What keeps a number across a touch-current network from being a touch current."""
    found = set(roles(reading, case))
    if not found & _PARTS and found - {PointRole.OTHER}:
        yield "network_not_at_part", ()
    least = table(default_edition("touch-network"), "meter").look_up("resistance")
    stated = instrument.input_resistance if instrument is not None else None
    if reading.quantity is Quantity.VOLTAGE and stated is not None and 0.0 < stated < least:
        yield "network_meter_too_low", (("least", format_value(least, "ohm")), ("input", format_value(stated, "ohm")))


def _meter(reading: Reading, case: Case, instrument: Instrument | None) -> Iterator[Problem]:
    if reading.quantity is Quantity.LAMP:
        return
    if instrument is None:
        yield "no_instrument", ()
        return
    if not any(accuracy.quantity is reading.quantity for accuracy in instrument.accuracies):
        yield "accuracy_not_stated", (("instrument", instrument.name or instrument.id), _quantity(reading))
    if not all(map(possible, instrument.accuracies)) or any(
        number is not None and number < 0.0
        for number in (instrument.input_resistance, instrument.input_capacitance, instrument.lead_resistance)
    ):
        yield "instrument_not_possible", (("instrument", instrument.name or instrument.id),)
    whole = not cut(reading, purpose(reading, case))
    if not instrument.true_rms and whole and reading.quantity is not Quantity.RESISTANCE:
        yield "average_responding", (("instrument", instrument.name or instrument.id),)


def earth_by_ohmmeter(reading: Reading, case: Case) -> bool:
    """Whether a protective earth was measured with the small current of an ohmmeter, which can only show it open."""
    instrument = case.instrument(reading.instrument)
    return (
        reading.quantity is Quantity.RESISTANCE
        and set(roles(reading, case)) == {PointRole.EARTH_PIN, PointRole.TOUCHABLE_PART}
        and (instrument is None or instrument.kind != EARTH_TESTER)
    )


def _quantity(reading: Reading) -> tuple[str, str]:
    return "quantity", reading.quantity.value


def _positive(number: float | None) -> bool:
    return number is not None and number > 0.0

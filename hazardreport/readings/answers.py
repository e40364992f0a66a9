"""Which readings of a case answer which test."""

from enum import StrEnum

from hazardreport.case.case import Case
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import LoadKind, PlugPosition, Quantity, Reading, State, SwitchPosition, Waveform
from hazardreport.case.wiring import Plug, SwitchPoles
from hazardreport.quantity.typed import Bound
from hazardreport.readings.checks import UNDECIDING, roles
from hazardreport.readings.connected import meter_impedance
from hazardreport.readings.number import read_number
from hazardreport.readings.result import Purpose, ReadingResult

INSULATION_TESTER = "insulation tester"
SMALL_LOAD = 20e3
HIGH_IMPEDANCE = 100e3
SPEAKING = frozenset({"dark_lamp", "device_tripped", "tripped_without_device"})
"""What decides nothing and still answers a test: it was done, and need not be done again."""


class LoadClass(StrEnum):
    """Loads between the touchable part and earth, by rising energy."""

    METER = "meter alone"
    RESISTOR = "small load"
    LOW = "low impedance"
    LAMP = "lamp"


class Answers:
    """Readings of one case, read once, asked many times."""

    def __init__(self, case: Case) -> None:
        self._case = case
        self._read = tuple((reading, read_number(reading, case)) for reading in case.readings)

    def answered(self, pair: tuple[PointRole, ...], quantity: Quantity, state: State | None) -> bool:
        """Whether a reading without voltage was taken between these points, in this switch position if one is given."""
        return any(
            reading.quantity is quantity
            and reading.state.plug is PlugPosition.UNPLUGGED
            and set(roles(reading, self._case)) == set(pair)
            and (state is None or self._same_contacts(reading.state, state))
            and not self._insulation(reading)
            and _says_something(result)
            for reading, result in self._read
        )

    def insulation_tried(self) -> bool:
        """Whether an insulation reading from a supply pin to the touchable part was taken."""
        return self._insulation_at() is not None

    def repeated_after_insulation(self, pair: tuple[PointRole, ...], state: State) -> bool:
        """Whether a resistance was read again after the insulation test."""
        at = self._insulation_at()
        if at is None:
            return False
        return any(
            reading.quantity is Quantity.RESISTANCE
            and set(roles(reading, self._case)) == set(pair)
            and self._same_contacts(reading.state, state)
            and not self._insulation(reading)
            and _says_something(result)
            for reading, result in self._read[at + 1 :]
        )

    def paths_to_part(self) -> tuple[tuple[float, Bound], ...]:
        """Low-voltage resistances from supply pins to the touchable part, with their bounds. [ohm]"""
        return tuple(
            (result.value.value, result.bound)
            for reading, result in self._read
            if result.value is not None
            and reading.quantity is Quantity.RESISTANCE
            and _pin_to_part(reading, self._case)
            and not self._insulation(reading)
        )

    def supply_proved(self, pair: tuple[PointRole, PointRole]) -> bool:
        """Whether the supply was read between these conductors, or a live reading says that it was proved."""
        return any(
            (result.purpose is Purpose.SUPPLY and set(roles(reading, self._case)) == set(pair) and result.used)
            or (result.purpose is Purpose.UNIT and reading.proved and result.used and _live(reading))
            for reading, result in self._read
        )

    def loaded(
        self,
        load_class: LoadClass,
        state: State,
        pair: tuple[PointRole, PointRole] = (PointRole.TOUCHABLE_PART, PointRole.EARTH),
    ) -> bool:
        """Whether such a load was tried between these points, with the full wave and a result that may speak."""
        return any(
            _live(reading)
            and _spoke(result)
            and reading.state.waveform is Waveform.FULL
            and set(roles(reading, self._case)) == set(pair)
            and self._same_plug(reading.state.plug, state.plug)
            and self._same_contacts(reading.state, state)
            and self._load_class(reading) is load_class
            for reading, result in self._read
        )

    def _insulation_at(self) -> int | None:
        return next(
            (
                place
                for place, (reading, result) in enumerate(self._read)
                if self._insulation(reading) and _pin_to_part(reading, self._case) and _says_something(result)
            ),
            None,
        )

    def _insulation(self, reading: Reading) -> bool:
        instrument = self._case.instrument(reading.instrument)
        return instrument is not None and instrument.kind == INSULATION_TESTER

    def _same_plug(self, read: PlugPosition, planned: PlugPosition) -> bool:
        one_way = self._case.wiring.plug is Plug.ONE_WAY
        return read is planned or (one_way and read is PlugPosition.UNKNOWN and planned is PlugPosition.STRAIGHT)

    def _same_contacts(self, read: State, planned: State) -> bool:
        """Whether switch and cut-out stood alike; with the switch off the cut-out says nothing."""
        off = SwitchPosition.OFF
        same_switch = (read.switch is off) == (planned.switch is off)
        matters = self._case.wiring.cut_out is not SwitchPoles.NONE and planned.switch is not off
        return same_switch and (not matters or read.cut_out is planned.cut_out)

    def _load_class(self, reading: Reading) -> LoadClass:
        if reading.quantity is Quantity.LAMP or reading.load.kind in (LoadKind.LAMP, LoadKind.OTHER_LAMP):
            return LoadClass.LAMP
        meter = abs(meter_impedance(self._case.instrument(reading.instrument), self._case.wiring.frequency))
        resistance = reading.load.resistance if reading.load.kind is LoadKind.RESISTOR else None
        if resistance is None:
            return LoadClass.METER if meter >= HIGH_IMPEDANCE else LoadClass.LOW
        return LoadClass.RESISTOR if min(resistance, meter) >= SMALL_LOAD else LoadClass.LOW


def _live(reading: Reading) -> bool:
    return reading.state.plug is not PlugPosition.UNPLUGGED


def _spoke(result: ReadingResult) -> bool:
    """Whether a live result answers its test: used, a bound that restricts, a lamp that stayed dark, a trip."""
    if result.refused:
        return False
    silent = {key for key, _ in result.problems if key in UNDECIDING} - SPEAKING
    return result.used or (not silent and _says_something(result))


def _says_something(result: ReadingResult) -> bool:
    """A value, a bound, or a brightness that was not refused."""
    return result.value is not None or result.bound is not Bound.NONE


def _pin_to_part(reading: Reading, case: Case) -> bool:
    found = set(roles(reading, case))
    return PointRole.TOUCHABLE_PART in found and bool(found & {PointRole.PIN_1, PointRole.PIN_2})

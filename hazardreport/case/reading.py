"""Readings as typed, the state they were taken in, and the instruments."""

from dataclasses import dataclass
from enum import StrEnum


class Quantity(StrEnum):
    """What a reading is a reading of."""

    RESISTANCE = "resistance"
    VOLTAGE = "voltage"
    CURRENT = "current"
    LAMP = "lamp brightness"


class PlugPosition(StrEnum):
    """How the plug is in; straight puts pin 1 on the line conductor."""

    UNPLUGGED = "unplugged"
    STRAIGHT = "straight"
    REVERSED = "reversed"
    UNKNOWN = "unknown"


class SwitchPosition(StrEnum):
    """Position of the unit's switch."""

    ON = "on"
    OFF = "off"
    NONE = "no switch"


class EarthState(StrEnum):
    """Protective earth of the unit while this was read."""

    AS_FOUND = "as found"
    CONNECTED = "connected"
    ABSENT = "absent"


class CutOut(StrEnum):
    """Thermostat or cut-out of the unit while this was read."""

    CLOSED = "closed"
    OPEN = "open"


class Waveform(StrEnum):
    """What the heat setting lets through; anything but the full wave is bounded by it."""

    FULL = "full wave"
    HALF = "half wave"
    CUT = "phase cut"


class Temperature(StrEnum):
    """Condition of the unit."""

    COLD = "cold"
    WORKING = "working temperature"
    WET = "after wetting"


@dataclass(frozen=True, kw_only=True, slots=True)
class State:
    """State of the unit during a reading."""

    plug: PlugPosition = PlugPosition.UNPLUGGED
    switch: SwitchPosition = SwitchPosition.ON
    earth: EarthState = EarthState.AS_FOUND
    temperature: Temperature = Temperature.COLD
    cut_out: CutOut = CutOut.CLOSED
    waveform: Waveform = Waveform.FULL


class LoadKind(StrEnum):
    """What was connected between the two points besides the meter."""

    NONE = "none"
    RESISTOR = "resistor"
    LAMP = "filament lamp"
    OTHER_LAMP = "other lamp"
    TOUCH_NETWORK_3 = "touch-current network, unweighted"
    TOUCH_NETWORK_4 = "touch-current network, weighted"


@dataclass(frozen=True, kw_only=True, slots=True)
class Load:
    """Test load.

    resistance                  of a resistor [ohm]
    rated_voltage, rated_power  of a lamp [V], [W]
    tolerance                   limits of the resistance or of the lamp's rated current, as a fraction [1]
    """

    kind: LoadKind = LoadKind.NONE
    resistance: float | None = None
    rated_voltage: float | None = None
    rated_power: float | None = None
    tolerance: float | None = None


class SupplyKind(StrEnum):
    """What fed the unit."""

    DIRECT = "direct"
    ISOLATING = "isolating transformer"
    VARIABLE = "variable transformer"
    INVERTER = "inverter"
    UNKNOWN = "unknown"


class TrippingDevice(StrEnum):
    """Residual-current device between the supply and the unit during a reading."""

    NOT_NOTED = "not noted"
    NONE = "none"
    MA_30 = "residual-current device 30 mA"
    GFCI_A = "GFCI class A"
    OTHER = "other"


class Brightness(StrEnum):
    """What a filament lamp did; typed as the value of a lamp reading."""

    DARK = "dark"
    GLOW = "glow"
    DIM = "dim"
    FULL = "full"


@dataclass(frozen=True, kw_only=True, slots=True)
class Reading:
    """One reading.

    id              "reading-007"
    first, second   letters of the two points
    typed           the text as typed, kept for ever
    instrument      id of the instrument, or ""
    supply          what fed the unit; supply_typed: supply voltage noted beside the reading, as typed
    device          residual-current device between supply and unit
    proved          meter proved before and after, L-N, L-E and N-E seen (for live readings)
    repeats         further values of the same reading, as typed
    taken           when, as told; by: who
    picture         id of the picture of the display, or ""
    as_found        before anything was moved or opened
    """

    id: str
    first: str
    second: str
    quantity: Quantity
    typed: str
    state: State = State()
    load: Load = Load()
    instrument: str = ""
    supply: SupplyKind = SupplyKind.DIRECT
    supply_typed: str = ""
    proved: bool = False
    repeats: tuple[str, ...] = ()
    taken: str = ""
    by: str = ""
    picture: str = ""
    as_found: bool = False
    note: str = ""
    device: TrippingDevice = TrippingDevice.NOT_NOTED


@dataclass(frozen=True, kw_only=True, slots=True)
class Accuracy:
    """Accuracy of one range, ± (percent of reading + digits).

    range_to    upper end of the range [V, A or ohm]
    percent     of reading [%]
    digits      counts of the last digit
    resolution  value of one digit [V, A or ohm]
    """

    quantity: Quantity
    range_to: float
    percent: float
    digits: float
    resolution: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Instrument:
    """A measuring instrument.

    name               for people: "multimeter 1"
    kind               "multimeter", "insulation tester", "clamp"
    input_resistance   on the voltage ranges [ohm]
    input_capacitance  [F]
    lead_resistance    subtracted from resistance readings if noted [ohm]
    calibrated         day of the last calibration, ISO; "" if none; calibrated_by: who
    """

    id: str
    name: str = ""
    kind: str = "multimeter"
    serial: str = ""
    input_resistance: float | None = None
    input_capacitance: float | None = None
    lead_resistance: float | None = None
    true_rms: bool = True
    calibrated: str = ""
    calibrated_by: str = ""
    accuracies: tuple[Accuracy, ...] = ()

"""How the unit is wired and supplied, as found; the circuit room compiles it to a network."""

from dataclasses import dataclass
from enum import StrEnum


class Supply(StrEnum):
    """Supply systems that can be described; the engine refuses those it does not solve.

    TWO_LIVE_POLES  split-phase: both poles live to earth, each at half the nominal voltage, in opposite phase
    TWO_PHASES      two phases of three: each pole at 1/√3 of the nominal voltage to earth
    """

    EARTHED_NEUTRAL = "single-phase, earthed neutral"
    TWO_LIVE_POLES = "two live poles"
    TWO_PHASES = "two phases of three"
    ISOLATED = "isolated"
    DIRECT_CURRENT = "direct current"


class Earthing(StrEnum):
    """Where the protective earth of the installation leads; not known is taken as TN."""

    TN = "TN"
    TT = "TT"
    UNKNOWN = "unknown"


class SupplyFault(StrEnum):
    """A conductor of the supply that was found interrupted.

    NEUTRAL  after the point where neutral and protective earth part
    PEN      before it: neutral and protective earth of the installation then float together
    """

    NONE = "none found"
    NEUTRAL = "neutral interrupted"
    PEN = "PEN interrupted"


class Plug(StrEnum):
    """Whether the plug can go in both ways round."""

    REVERSIBLE = "reversible"
    ONE_WAY = "one way only"
    UNKNOWN = "unknown"


class ProtectiveEarth(StrEnum):
    """Protective earth of the unit, as found: none provided, open (provided but interrupted), connected, not known."""

    NONE = "none provided"
    OPEN = "provided, interrupted"
    CONNECTED = "connected"
    UNKNOWN = "unknown"


class SwitchPoles(StrEnum):
    """Which supply poles the switch interrupts; pole 1 leads to pin 1 of the plug."""

    NONE = "no switch"
    POLE_1 = "pole 1"
    POLE_2 = "pole 2"
    BOTH = "both poles"
    UNKNOWN = "unknown"


class SecondPart(StrEnum):
    """How a second touchable part is joined to the first."""

    NONE = "no second part"
    JOINED = "joined by metal"
    SEPARATE = "separate"
    UNKNOWN = "unknown"


class ElementMaterial(StrEnum):
    """What the heating conductor is made of."""

    NICKEL_CHROMIUM = "nickel-chromium"
    IRON_CHROMIUM_ALUMINIUM = "iron-chromium-aluminium"
    UNKNOWN = "unknown"


@dataclass(frozen=True, kw_only=True, slots=True)
class Element:
    """One heating element; terminal 1 is the one nearer to pin 1.

    rated_voltage  [V]
    rated_power    [W]
    hot_factor     hot over cold resistance, None for the default of its material [1]
    open_at        where its conductor was found broken, from terminal 1 as a fraction; None if it was not [1]
    """

    rated_voltage: float | None = None
    rated_power: float | None = None
    material: ElementMaterial = ElementMaterial.UNKNOWN
    hot_factor: float | None = None
    open_at: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Filter:
    """Interference filter at the supply side of the switch; None where there is no such part, or it is not known.

    y_capacitance_1, y_capacitance_2   pin 1, pin 2 to the metal of the unit [F]
    x_capacitance                      between the pins [F]
    bleeder_resistance                 beside it [ohm]
    """

    y_capacitance_1: float | None = None
    y_capacitance_2: float | None = None
    x_capacitance: float | None = None
    bleeder_resistance: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Wiring:
    """Wiring and supply.

    nominal_voltage         of the supply, pole to pole [V]
    frequency               [Hz]
    cord_cores              2 or 3; None if not known
    line_resistance, neutral_resistance   of the supply to the socket [ohm]
    installation_earth_resistance         from the socket's earth contact to the earthed neutral [ohm]
    unit_earth_resistance                 from the plug's earth contact to the touchable part if it were connected [ohm]
    circuit_breaker         upstream, as told: "B16", "13 A fuse", ""
    note                    anything else about cut-outs, thermostats, filters
    earthing                of the installation; electrode_resistance: of its own electrode to true earth [ohm]
    supply_fault            conductor of the supply that was found interrupted
    cut_out                 which supply poles a thermostat or cut-out interrupts
    switch_leakage, cut_out_leakage   across one open pole, as of a worn or electronic switch; None for none [ohm]
    more_elements           further elements beside the first, behind the same switch
    faulty_element          number of the element in which the fault lies, 1 for `element` [1]
    filter                  interference filter
    second_part             a second touchable part, and how it is joined to the first
    """

    supply: Supply = Supply.EARTHED_NEUTRAL
    nominal_voltage: float | None = None
    frequency: float | None = None
    cord_cores: int | None = None
    plug: Plug = Plug.UNKNOWN
    protective_earth: ProtectiveEarth = ProtectiveEarth.UNKNOWN
    switch: SwitchPoles = SwitchPoles.UNKNOWN
    element: Element = Element()
    line_resistance: float = 0.2
    neutral_resistance: float = 0.2
    installation_earth_resistance: float = 0.2
    unit_earth_resistance: float = 0.1
    circuit_breaker: str = ""
    note: str = ""
    earthing: Earthing = Earthing.UNKNOWN
    electrode_resistance: float | None = None
    supply_fault: SupplyFault = SupplyFault.NONE
    cut_out: SwitchPoles = SwitchPoles.NONE
    switch_leakage: float | None = None
    cut_out_leakage: float | None = None
    more_elements: tuple[Element, ...] = ()
    faulty_element: int = 1
    filter: Filter = Filter()
    second_part: SecondPart = SecondPart.NONE

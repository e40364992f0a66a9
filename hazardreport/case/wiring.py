"""How the unit is wired and supplied, as found; the circuit room compiles it to a network."""

from dataclasses import dataclass
from enum import StrEnum


class Supply(StrEnum):
    """Supply systems that can be described; the engine refuses those it does not solve."""

    EARTHED_NEUTRAL = "single-phase, earthed neutral"
    TWO_LIVE_POLES = "two live poles"
    ISOLATED = "isolated"
    DIRECT_CURRENT = "direct current"


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
    """

    rated_voltage: float | None = None
    rated_power: float | None = None
    material: ElementMaterial = ElementMaterial.UNKNOWN
    hot_factor: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Wiring:
    """Wiring and supply.

    nominal_voltage         of the supply [V]
    frequency               [Hz]
    cord_cores              2 or 3; None if not known
    line_resistance, neutral_resistance   of the supply to the socket [ohm]
    installation_earth_resistance         from the socket's earth contact to the earthed neutral [ohm]
    unit_earth_resistance                 from the plug's earth contact to the touchable part if it were connected [ohm]
    circuit_breaker         upstream, as told: "B16", "13 A fuse", ""
    note                    anything else about cut-outs, thermostats, filters
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

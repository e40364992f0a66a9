"""One of the states that the unit can be in, for tables of states."""

from dataclasses import dataclass

from hazardreport.case.reading import PlugPosition, SwitchPosition


@dataclass(frozen=True, kw_only=True, slots=True)
class UnitState:
    """Plug position, switch position, and whether the protective earth of the unit is connected."""

    plug: PlugPosition
    switch: SwitchPosition
    earthed: bool = False

    @property
    def key(self) -> str:
        """For ids: "straight-off", "reversed-on-earthed"."""
        switch = "off" if self.switch is SwitchPosition.OFF else "on"
        return f"{self.plug.value}-{switch}" + ("-earthed" if self.earthed else "")

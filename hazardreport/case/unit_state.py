"""One of the states that the unit can be in, for tables of states."""

from dataclasses import dataclass

from hazardreport.case.reading import PlugPosition, SwitchPosition


@dataclass(frozen=True, kw_only=True, slots=True)
class UnitState:
    """Plug position, switch position, protective earth connected or not, thermostat or cut-out open or not."""

    plug: PlugPosition
    switch: SwitchPosition
    earthed: bool = False
    cut_out_open: bool = False

    @property
    def key(self) -> str:
        """For ids: "straight-off", "reversed-on-earthed", "straight-on-cut-out"."""
        switch = "off" if self.switch is SwitchPosition.OFF else "on"
        cut_out = "-cut-out" if self.cut_out_open else ""
        return f"{self.plug.value}-{switch}{cut_out}" + ("-earthed" if self.earthed else "")

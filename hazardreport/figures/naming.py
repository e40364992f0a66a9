"""Names of states and exposures as the figures write them."""

from hazardreport.case.reading import SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.severity.terms import BodyPath, Skin
from hazardreport.wording import sentence


def state_words(state: UnitState) -> str:
    """A state in words: "plug straight, switch off"."""
    plug = sentence(f"figures.state.{state.plug.value}")
    position = "no_switch" if state.switch is SwitchPosition.NONE else state.switch.value
    switch = sentence(f"figures.state.{position}")
    if state.cut_out_open:
        switch = sentence("figures.state.joined", plug=switch, switch=sentence("figures.state.cut_out_open"))
    if state.earthed:
        return sentence(
            "figures.state.joined_earthed", plug=plug, switch=switch, earth=sentence("figures.state.earthed")
        )
    return sentence("figures.state.joined", plug=plug, switch=switch)


def exposure_words(skin: Skin, path: BodyPath) -> str:
    """An exposure in words: "dry, hand to hand"."""
    return sentence("figures.time_current.point", skin=sentence(f"figures.skin.{skin.value}"), path=path.value)

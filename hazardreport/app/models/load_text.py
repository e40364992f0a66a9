"""A test load as a short text that people type, and back."""

import re

from hazardreport.case.reading import Load, LoadKind
from hazardreport.errors import TextNotUnderstoodError
from hazardreport.quantity.formatting import format_exact
from hazardreport.quantity.typed import Bound, read_value

_NETWORKS = {LoadKind.TOUCH_NETWORK_3: "network 3", LoadKind.TOUCH_NETWORK_4: "network 4"}
"""The touch-current networks, by the figure that shows them."""

_LAMP = re.compile(r"^\s*(?:filament\s+)?lamp\b(.*)$", re.IGNORECASE)


def load_text(load: Load) -> str:
    """The load as it is typed: "", "47 kΩ", "lamp 230 V 40 W", "other lamp", "network 4"."""
    if load.kind in _NETWORKS:
        return _NETWORKS[load.kind]
    if load.kind is LoadKind.RESISTOR:
        return format_exact(load.resistance, "ohm") if load.resistance is not None else "resistor"
    if load.kind is LoadKind.LAMP:
        parts = ["lamp"]
        parts += [format_exact(load.rated_voltage, "V")] if load.rated_voltage is not None else []
        parts += [format_exact(load.rated_power, "W")] if load.rated_power is not None else []
        return " ".join(parts)
    return "other lamp" if load.kind is LoadKind.OTHER_LAMP else ""


def load_of(text: str, before: Load) -> Load:
    """The load that was typed; its tolerance is kept if the kind stays.

    Raises
    ------
    TextNotUnderstoodError
        If it is no load: neither a resistance nor a lamp with its rating nor a touch-current network.
    """
    plain = text.strip()
    if not plain or plain.casefold() in ("none", "–", "-"):
        return Load()
    tolerance = before.tolerance
    if plain.casefold() == "other lamp":
        return Load(kind=LoadKind.OTHER_LAMP)
    network = plain.casefold().removeprefix("touch-current ")
    for kind, name in _NETWORKS.items():
        if network == name or plain.casefold() == kind.value:
            return Load(kind=kind)
    lamp = _LAMP.match(plain)
    if lamp is None:
        typed = read_value(plain, "resistance")
        if typed.bound is not Bound.NONE:
            raise TextNotUnderstoodError(text=text, part=plain)
        return Load(kind=LoadKind.RESISTOR, resistance=typed.value, tolerance=tolerance)
    rated: dict[str, float] = {}
    for piece in re.findall(r"[\d.,]+\s*[kmM]?[VW]\b", lamp.group(1)):
        quantity = "voltage" if piece.rstrip().endswith("V") else "power"
        rated[quantity] = read_value(piece, quantity).value
    return Load(
        kind=LoadKind.LAMP, rated_voltage=rated.get("voltage"), rated_power=rated.get("power"), tolerance=tolerance
    )

"""The supply side of the schematic: source with its earth, conductors found interrupted, protective earth."""

from collections.abc import Iterator

from hazardreport.case.reading import PlugPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Earthing, ProtectiveEarth, Supply, SupplyFault, Wiring
from hazardreport.figures.drawing import Shape, Stroke
from hazardreport.figures.inks import FAINT, TEXT
from hazardreport.figures.pieces import beside, centred
from hazardreport.figures.schematic_plan import Plan, has_metal_line
from hazardreport.figures.symbols import (
    alternating_source,
    broken_gap,
    direct_source,
    earth,
    gap,
    node,
    unknown_part,
    wire,
)
from hazardreport.figures.text_width import text_width
from hazardreport.quantity.formatting import format_exact
from hazardreport.wording import sentence

SMALL = 2.5
ASIDE = 5.5
"""How far beside the source its earth stands, where it does not hang from the neutral. [mm]"""
TWO_LIVE = frozenset({Supply.TWO_LIVE_POLES, Supply.TWO_PHASES})


def source_earth(plan: Plan, wiring: Wiring) -> float:
    """Where the conductor from the source to earth stands. [mm]"""
    beside_it = wiring.supply in TWO_LIVE or wiring.supply_fault is SupplyFault.PEN
    return plan.source - ASIDE if beside_it else plan.source


def supply(plan: Plan, wiring: Wiring) -> Iterator[Shape]:
    """Source with its earthed point, and what it delivers."""
    x, middle = plan.source, (plan.top + plan.bottom) / 2
    yield wire((x, plan.top), (x, plan.bottom))
    draw = direct_source if wiring.supply is Supply.DIRECT_CURRENT else alternating_source
    if wiring.supply in TWO_LIVE:
        quarter = (plan.bottom - plan.top) / 4
        for y in (middle - quarter, middle + quarter):
            yield from draw(x, y, min(4.0, quarter - 1.2))
        yield wire((x, middle), (x - ASIDE, middle), (x - ASIDE, plan.ground))
        yield node(x, middle)
        yield from earth(x - ASIDE, plan.ground)
    else:
        yield from draw(x, middle, 4.4)
    if wiring.supply is Supply.EARTHED_NEUTRAL:
        yield from _earthed_neutral(plan, wiring, middle)
    yield from _values(plan, wiring, middle)
    yield from _names(plan, wiring)


def _earthed_neutral(plan: Plan, wiring: Wiring, middle: float) -> Iterator[Shape]:
    """The neutral's way to earth; what was found interrupted is crossed out."""
    x = plan.source
    if wiring.supply_fault is SupplyFault.PEN:
        before = middle + (plan.bottom - middle) * 0.55
        yield wire((x, before), (x - ASIDE, before), (x - ASIDE, plan.ground))
        yield node(x, before)
        yield from earth(x - ASIDE, plan.ground)
        yield from broken_gap(x, (before + plan.bottom) / 2, upright=True)
    else:
        yield wire((x, plan.bottom), (x, plan.ground))
        yield from earth(x, plan.ground)
    yield node(x, plan.bottom)
    if wiring.supply_fault is SupplyFault.NEUTRAL:
        yield from broken_gap((x + plan.plug - 4.0) / 2 + 1.0, plan.bottom)


def _values(plan: Plan, wiring: Wiring, middle: float) -> Iterator[Shape]:
    x = plan.source
    room = plan.plug - 6.0 - x - 6.6
    values = []
    if text_width(sentence("figures.schematic.supply"), SMALL) <= room:
        values.append(sentence("figures.schematic.supply"))
    if wiring.nominal_voltage is not None:
        values.append(format_exact(wiring.nominal_voltage, "V"))
    if wiring.frequency is not None and wiring.supply is not Supply.DIRECT_CURRENT:
        values.append(format_exact(wiring.frequency, "Hz"))
    for place, text in enumerate(values):
        yield beside(x + 6.2, middle + (place - (len(values) - 1) / 2) * 3.6, text, SMALL)


def _names(plan: Plan, wiring: Wiring) -> Iterator[Shape]:
    names = ("line", "neutral")
    for name, y, away in zip(names, (plan.top, plan.bottom), (-2.2, 2.4), strict=True):
        text = sentence(f"figures.schematic.{name}")
        if wiring.supply in TWO_LIVE:
            text = "L1" if name == "line" else "L2"
        elif wiring.supply is not Supply.EARTHED_NEUTRAL:
            text = "1" if name == "line" else "2"
        yield centred(plan.source + 3.0, y + away, text, SMALL, bold=True)


def _to_installation(plan: Plan, wiring: Wiring) -> Iterator[Shape]:
    """From the socket's earth contact to where the installation is earthed."""
    y = plan.earth
    if wiring.earthing is Earthing.TT and wiring.supply in TWO_LIVE | {Supply.EARTHED_NEUTRAL}:
        x = plan.source + ASIDE
        yield wire((plan.plug, y), (x, y), (x, plan.ground))
        yield from earth(x, plan.ground)
    elif wiring.supply is Supply.EARTHED_NEUTRAL and wiring.supply_fault is SupplyFault.PEN:
        yield wire((plan.source, plan.bottom), (plan.source, y), (plan.plug, y))
    elif wiring.supply in TWO_LIVE | {Supply.EARTHED_NEUTRAL}:
        x = source_earth(plan, wiring)
        yield wire((x, y), (plan.plug, y))
        yield node(x, y)


def protective_earth(plan: Plan, wiring: Wiring, state: UnitState | None) -> Iterator[Shape]:
    """From the supply's earth through the plug to the part: whole, interrupted, not provided or not known."""
    as_built = state is not None and state.earthed
    kind = ProtectiveEarth.CONNECTED if as_built else wiring.protective_earth
    y = plan.earth
    name = sentence("figures.schematic.protective_earth")
    middle = (plan.box + plan.part) / 2
    filtered = has_metal_line(wiring)
    yield from _to_installation(plan, wiring)
    if filtered:
        yield wire((plan.box + 3.5, y), (plan.part, y), (plan.part, plan.bottom - 1.5))
    if kind is ProtectiveEarth.NONE:
        text = sentence("figures.schematic.values", symbol=name, value=sentence("figures.schematic.none_provided"))
        yield centred(middle, y + (4.0 if filtered else 0.0), text.replace(" = ", ": "), SMALL, FAINT)
        return
    unknown = kind is ProtectiveEarth.UNKNOWN
    end = plan.box + 3.5 if filtered else plan.part
    way = ((plan.plug, y), (end, y), *(() if filtered else ((plan.part, plan.bottom - 1.5),)))
    yield Stroke(points=way, ink=FAINT if unknown else TEXT, width=0.35, dashes=(1.2, 1.0) if unknown else ())
    if state is not None and state.plug is PlugPosition.UNPLUGGED:
        yield from gap(plan.plug, y)
    else:
        yield node(plan.plug, y, FAINT if unknown else TEXT)
    text = name
    where = plan.box - 2.6 if filtered else middle
    if kind is ProtectiveEarth.OPEN:
        yield from broken_gap(where, y)
        text = f"{name}, {sentence('figures.schematic.interrupted')}"
    elif unknown:
        yield from unknown_part(where, y, 2.6)
        text = f"{name}, {sentence('figures.schematic.not_known')}"
    yield centred(middle, y + 4.0, text, SMALL)

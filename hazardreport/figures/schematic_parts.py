"""The parts of the schematic, from left to right."""

from collections.abc import Iterator

from hazardreport.case.reading import PlugPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import ProtectiveEarth, Supply, SwitchPoles, Wiring
from hazardreport.figures.drawing import Fill, Shape, Stroke, Words
from hazardreport.figures.inks import FAINT, LIVE, PAPER, TEXT
from hazardreport.figures.pieces import arrow_head, beside, centred, corners, rounded
from hazardreport.figures.schematic_plan import Facts, Plan, poles_closed
from hazardreport.figures.symbols import (
    Place,
    alternating_source,
    broken_gap,
    contact,
    direct_source,
    earth,
    gap,
    node,
    resistor,
    unknown_part,
    wire,
)
from hazardreport.figures.text_width import fitted_size, text_width
from hazardreport.quantity.formatting import format_exact
from hazardreport.wording import sentence

SMALL = 2.5


def supply(plan: Plan, wiring: Wiring) -> Iterator[Shape]:
    """Source with its earthed pole, and what it delivers."""
    x, middle = plan.source, (plan.top + plan.bottom) / 2
    yield wire((x, plan.top), (x, plan.bottom))
    draw = direct_source if wiring.supply is Supply.DIRECT_CURRENT else alternating_source
    if wiring.supply is Supply.TWO_LIVE_POLES:
        quarter = (plan.bottom - plan.top) / 4
        for y in (middle - quarter, middle + quarter):
            yield from draw(x, y, min(4.0, quarter - 1.2))
        yield wire((x, middle), (x - 5.5, middle), (x - 5.5, plan.ground))
        yield node(x, middle)
        yield from earth(x - 5.5, plan.ground)
    else:
        yield from draw(x, middle, 4.4)
    if wiring.supply is Supply.EARTHED_NEUTRAL:
        yield wire((x, plan.bottom), (x, plan.ground))
        yield node(x, plan.bottom)
        yield from earth(x, plan.ground)
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
    names = ("line", "neutral")
    for name, y, away in zip(names, (plan.top, plan.bottom), (-2.2, 2.4), strict=True):
        text = sentence(f"figures.schematic.{name}")
        if wiring.supply is Supply.TWO_LIVE_POLES:
            text = "L1" if name == "line" else "L2"
        elif wiring.supply is not Supply.EARTHED_NEUTRAL:
            text = "1" if name == "line" else "2"
        yield centred(x + 3.0, y + away, text, SMALL, bold=True)


def plug_wires(plan: Plan, state: UnitState | None) -> tuple[tuple[Place, ...], tuple[Place, ...]]:
    """The ways of line and neutral through the plug."""
    left, right = plan.plug - 4.0, plan.plug + 4.0
    crossed = state is not None and state.plug is PlugPosition.REVERSED
    ends = (plan.bottom, plan.top) if crossed else (plan.top, plan.bottom)
    return ((left, plan.top), (right, ends[0])), ((left, plan.bottom), (right, ends[1]))


def _halves(way: tuple[Place, ...]) -> tuple[tuple[Place, Place], tuple[Place, Place]]:
    """A straight way with its middle left out, where another crosses it."""
    (x1, y1), (x2, y2) = way
    return ((x1, y1), (x1 + (x2 - x1) * 0.46, y1 + (y2 - y1) * 0.46)), (
        (x1 + (x2 - x1) * 0.54, y1 + (y2 - y1) * 0.54),
        (x2, y2),
    )


def plug(plan: Plan, state: UnitState | None) -> Iterator[Shape]:
    """Line and neutral through the plug: straight, crossed, apart or not known."""
    box = (plan.plug - 6.0, plan.top - 4.5, plan.plug + 6.0, plan.earth + 3.0)
    yield Stroke(points=rounded(box, 1.5), ink=FAINT, width=0.25, dashes=(1.0, 0.8), closed=True)
    yield Words(
        x=plan.plug, y=box[1] - 1.2, text=sentence("figures.schematic.plug"), ink=TEXT, size=SMALL, anchor="middle"
    )
    for y in (plan.top, plan.bottom):
        yield wire((plan.source, y), (plan.plug - 4.0, y))
        yield wire((plan.plug + 4.0, y), (plan.box + 2, y))
    line_way, neutral_way = plug_wires(plan, state)
    crossed = line_way[0][1] != line_way[1][1]
    yield wire(*line_way)
    if crossed:
        yield from (wire(*half) for half in _halves(neutral_way))
    else:
        yield wire(*neutral_way)
    if state is not None and state.plug is PlugPosition.UNPLUGGED:
        for y in (plan.top, plan.bottom):
            yield from gap(plan.plug, y)
    if state is not None and state.plug is PlugPosition.UNKNOWN:
        yield from unknown_part(plan.plug, (plan.top + plan.bottom) / 2, 3.0)
    for y, name in ((plan.top, "1"), (plan.bottom, "2")):
        yield node(plan.plug + 4.0, y)
        yield beside(plan.plug + 7.0, y - 2.0, name, SMALL - 0.2, FAINT)


def switch(plan: Plan, wiring: Wiring, state: UnitState | None) -> Iterator[Shape]:
    """The rails from plug to element, with the poles of the switch."""
    for y in (plan.top, plan.bottom):
        yield wire((plan.box + 2, y), (plan.element, y))
    poles = {
        SwitchPoles.NONE: (),
        SwitchPoles.UNKNOWN: (plan.top, plan.bottom),
        SwitchPoles.POLE_1: (plan.top,),
        SwitchPoles.POLE_2: (plan.bottom,),
        SwitchPoles.BOTH: (plan.top, plan.bottom),
    }[wiring.switch]
    closed = dict(zip((plan.top, plan.bottom), poles_closed(wiring.switch, state), strict=True))
    for y in poles:
        if wiring.switch is SwitchPoles.UNKNOWN:
            yield from unknown_part(plan.switch, y, 2.6)
        else:
            yield from contact((plan.switch - 3.2, y), (plan.switch + 3.2, y), closed=bool(closed[y]))
    if wiring.switch is SwitchPoles.BOTH:
        ends = (plan.top + (0.0 if closed[plan.top] else -1.4), plan.bottom - (0.0 if closed[plan.bottom] else 1.4))
        yield Stroke(points=((plan.switch, ends[0]), (plan.switch, ends[1])), ink=TEXT, width=0.2, dashes=(0.8, 0.8))
    name = sentence("figures.schematic.switch")
    if poles:
        yield centred(plan.switch, poles[-1] + 3.2, name, SMALL)


def element(plan: Plan, wiring: Wiring, facts: Facts) -> Iterator[Shape]:
    """The element between the rails, with rating and fitted resistance."""
    x = plan.element
    yield wire((x, plan.top), (x, plan.bottom))
    yield from resistor((x - 2.2, plan.top + 5.0, x + 2.2, plan.bottom - 5.0))
    rating = [
        format_exact(value, unit)
        for value, unit in ((wiring.element.rated_voltage, "V"), (wiring.element.rated_power, "W"))
        if value is not None
    ]
    texts = [sentence("figures.schematic.element"), " ".join(rating)]
    if "Re" in facts.fitted:
        texts.append(sentence("figures.schematic.values", symbol="Re", value=facts.fitted["Re"]))
    shown = [text for text in texts if text]
    middle = (plan.top + plan.bottom) / 2
    room = x - 4.0 - plan.box - 1.0
    for place, text in enumerate(shown):
        y = middle + (place - (len(shown) - 1) / 2) * 3.6
        size = fitted_size(text, SMALL, room, smallest=1.8)
        width = text_width(text, size)
        yield Fill(points=corners((x - 4.0 - width, y - 1.7, x - 3.2, y + 1.7)), ink=PAPER)
        yield beside(x - 3.6, y, text, size, anchor="end")


def fault(plan: Plan, facts: Facts) -> Iterator[Shape]:
    """From a place on the element through the fault's resistance to the touchable part."""
    y = plan.tap
    yield wire((plan.element + 2.2, y), (plan.part, y), ink=LIVE)
    yield arrow_head((plan.element + 2.2, y), (plan.element + 6, y), 1.8, LIVE)
    yield from resistor((plan.fault - 4.0, y - 1.5, plan.fault + 4.0, y + 1.5), LIVE)
    above = (
        sentence("figures.schematic.values", symbol="Rf", value=facts.fitted["Rf"]) if "Rf" in facts.fitted else "Rf"
    )
    below = sentence("figures.schematic.values", symbol="x", value=facts.fitted["x"]) if "x" in facts.fitted else "x"
    room = plan.part - plan.element - 5
    yield centred(plan.fault, y - 3.8, above, fitted_size(above, SMALL, room, smallest=1.8))
    yield Words(x=plan.element + 3.4, y=y + 3.9, text=below, ink=TEXT, size=SMALL)


def part(plan: Plan, facts: Facts) -> Iterator[Shape]:
    """The touchable part, its values, and the outline of the unit."""
    x = plan.part
    yield Stroke(points=((x, plan.top + 1.5), (x, plan.bottom - 1.5)), ink=TEXT, width=1.4)
    texts = [sentence("figures.schematic.part")]
    if facts.open_circuit_voltage:
        texts.append(sentence("figures.schematic.values", symbol="U0", value=facts.open_circuit_voltage))
    if facts.available_fault_current:
        texts.append(sentence("figures.schematic.values", symbol="Isc", value=facts.available_fault_current))
    for place, text in enumerate(texts):
        y = plan.top - 5.7 - (len(texts) - 1 - place) * 3.5
        yield Words(x=x + 3.4, y=y, text=text, ink=TEXT, size=SMALL, bold=place == 0, anchor="end")
    box = (plan.box, plan.top - 4.5, plan.part + 3.4, plan.bottom + 5.4)
    yield Stroke(points=rounded(box, 1.5), ink=FAINT, width=0.25, dashes=(1.0, 0.8), closed=True)
    yield Words(x=plan.box, y=box[1] - 1.2, text=sentence("figures.schematic.unit"), ink=TEXT, size=SMALL)


def protective_earth(plan: Plan, wiring: Wiring, state: UnitState | None) -> Iterator[Shape]:
    """From the supply's earth through the plug to the part: whole, interrupted, not provided or not known."""
    as_built = state is not None and state.earthed
    kind = ProtectiveEarth.CONNECTED if as_built else wiring.protective_earth
    y = plan.earth
    name = sentence("figures.schematic.protective_earth")
    middle = (plan.box + plan.part) / 2
    if wiring.supply is Supply.EARTHED_NEUTRAL:
        yield wire((plan.source, y), (plan.plug, y))
        yield node(plan.source, y)
    if kind is ProtectiveEarth.NONE:
        text = sentence("figures.schematic.values", symbol=name, value=sentence("figures.schematic.none_provided"))
        yield centred(middle, y, text.replace(" = ", ": "), SMALL, FAINT)
        return
    unknown = kind is ProtectiveEarth.UNKNOWN
    way = ((plan.plug, y), (plan.part, y), (plan.part, plan.bottom - 1.5))
    yield Stroke(points=way, ink=FAINT if unknown else TEXT, width=0.35, dashes=(1.2, 1.0) if unknown else ())
    if state is not None and state.plug is PlugPosition.UNPLUGGED:
        yield from gap(plan.plug, y)
    else:
        yield node(plan.plug, y, FAINT if unknown else TEXT)
    text = name
    if kind is ProtectiveEarth.OPEN:
        yield from broken_gap(middle, y)
        text = f"{name}, {sentence('figures.schematic.interrupted')}"
    elif unknown:
        yield from unknown_part(middle, y, 2.6)
        text = f"{name}, {sentence('figures.schematic.not_known')}"
    yield centred(middle, y + 4.0, text, SMALL)

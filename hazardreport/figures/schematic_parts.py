"""The parts of the schematic, from left to right."""

from collections.abc import Iterator

from hazardreport.case.reading import PlugPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import SwitchPoles, Wiring
from hazardreport.figures.drawing import Fill, Shape, Stroke, Words
from hazardreport.figures.inks import FAINT, LIVE, PAPER, TEXT
from hazardreport.figures.pieces import arrow_head, beside, centred, corners, rounded
from hazardreport.figures.schematic_plan import Facts, Plan, faulty_element, has_metal_line, poles_closed
from hazardreport.figures.symbols import Place, break_across, contact, gap, node, resistor, unknown_part, wire
from hazardreport.figures.text_width import fitted_size, text_width
from hazardreport.quantity.formatting import format_exact
from hazardreport.wording import sentence

SMALL = 2.5


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
    """The element with the fault between the rails, with rating, fitted resistance and break."""
    x = plan.element
    faulty = faulty_element(wiring)
    yield wire((x, plan.top), (x, plan.bottom))
    yield from resistor((x - 2.2, plan.top + 5.0, x + 2.2, plan.bottom - 5.0))
    if faulty.open_at is not None:
        place = min(max(faulty.open_at, 0.06), 0.94)
        yield from break_across(x, plan.top + 5.0 + (plan.bottom - plan.top - 10.0) * place, 2.6)
    rating = [
        format_exact(value, unit)
        for value, unit in ((faulty.rated_voltage, "V"), (faulty.rated_power, "W"))
        if value is not None
    ]
    name = sentence("figures.schematic.element")
    texts = [f"{name} {wiring.faulty_element}" if wiring.more_elements else name, " ".join(rating)]
    if "Re" in facts.fitted:
        texts.append(sentence("figures.schematic.values", symbol="Re", value=facts.fitted["Re"]))
    if faulty.open_at is not None:
        share = format_exact(100.0 * faulty.open_at, "1")
        texts.append(sentence("figures.schematic.broken_at", share=share))
    shown = [text for text in texts if text]
    middle = (plan.top + plan.bottom) / 2
    x = min((x, *plan.further)) + (0.0 if not plan.further else 0.8)
    room = x - 4.0 - plan.labels
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


def part(plan: Plan, wiring: Wiring, facts: Facts) -> Iterator[Shape]:
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
    foot = plan.earth + 1.8 if has_metal_line(wiring) else plan.bottom + 5.4
    box = (plan.box, plan.top - 4.5, plan.part + 3.4, foot)
    yield Stroke(points=rounded(box, 1.5), ink=FAINT, width=0.25, dashes=(1.0, 0.8), closed=True)
    yield Words(x=plan.box, y=box[1] - 1.2, text=sentence("figures.schematic.unit"), ink=TEXT, size=SMALL)

"""Parts of the schematic that only some units have: filter, thermostat or cut-out, further elements, a second part."""

from collections.abc import Iterator

from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import SecondPart, SwitchPoles, Wiring
from hazardreport.figures.drawing import Shape, Stroke
from hazardreport.figures.inks import FAINT, TEXT
from hazardreport.figures.pieces import beside, centred
from hazardreport.figures.schematic_plan import CONTACT, Plan, has_filter
from hazardreport.figures.symbols import capacitor, contact, node, resistor, unknown_part, wire
from hazardreport.figures.text_width import fitted_size
from hazardreport.quantity.formatting import format_exact
from hazardreport.wording import sentence

SMALL = 2.5


def filter_values(wiring: Wiring) -> tuple[tuple[str, str], ...]:
    """Symbol and value of each part of the filter."""
    parts = wiring.filter
    found = (
        ("C1", parts.y_capacitance_1, "F"),
        ("C2", parts.y_capacitance_2, "F"),
        ("Cx", parts.x_capacitance, "F"),
        ("Rb", parts.bleeder_resistance, "ohm"),
    )
    return tuple((symbol, format_exact(value, unit)) for symbol, value, unit in found if value)


def filter_parts(plan: Plan, wiring: Wiring) -> Iterator[Shape]:
    """Capacitors from each pole to the metal, and between the poles; their values in one line below the unit."""
    if not has_filter(wiring):
        return
    parts, x = wiring.filter, plan.filter
    level = (plan.bottom + 4.8 + plan.earth) / 2
    for away, value, rail, name in (
        (3.5, parts.y_capacitance_1, plan.top, "C1"),
        (10.5, parts.y_capacitance_2, plan.bottom, "C2"),
    ):
        if value:
            yield wire((x + away, rail), (x + away, plan.earth))
            yield node(x + away, rail)
            yield node(x + away, plan.earth)
            yield from capacitor(x + away, level, 1.6)
            yield beside(x + away + 2.0, level, name, SMALL - 0.3)
    gap = plan.bottom - plan.top
    if parts.x_capacitance:
        yield from _between_poles(plan, x + 8.0)
        yield from capacitor(x + 8.0, plan.top + gap * 0.36)
        yield beside(x + 8.8, plan.top + gap * 0.36 + 2.4, "Cx", SMALL - 0.3)
    if parts.bleeder_resistance:
        at, middle = x + 13.5, plan.top + gap * 0.6
        yield from _between_poles(plan, at)
        yield from resistor((at - 1.0, middle - 3.0, at + 1.0, middle + 3.0))
        yield beside(at - 1.5, middle + 1.6, "Rb", SMALL - 0.3, anchor="end")
    values = ", ".join(
        sentence("figures.schematic.values", symbol=symbol, value=value) for symbol, value in filter_values(wiring)
    )
    text = sentence("figures.schematic.filter", values=values)
    middle = (plan.box + plan.part) / 2
    size = fitted_size(text, SMALL, plan.part - plan.box, smallest=1.8)
    yield centred(middle, plan.earth + 7.8, text, size)


def _between_poles(plan: Plan, x: float) -> Iterator[Shape]:
    yield wire((x, plan.top), (x, plan.bottom))
    for y in (plan.top, plan.bottom):
        yield node(x, y)


def cut_out(plan: Plan, wiring: Wiring, state: UnitState | None) -> Iterator[Shape]:
    """The thermostat or cut-out in its poles, closed or open."""
    poles = {
        SwitchPoles.NONE: (),
        SwitchPoles.UNKNOWN: (plan.top,),
        SwitchPoles.POLE_1: (plan.top,),
        SwitchPoles.POLE_2: (plan.bottom,),
        SwitchPoles.BOTH: (plan.top, plan.bottom),
    }[wiring.cut_out]
    closed = state is None or not state.cut_out_open
    for y in poles:
        if wiring.cut_out is SwitchPoles.UNKNOWN:
            yield from unknown_part(plan.cut_out, y, 2.6)
        else:
            yield from contact((plan.cut_out - CONTACT, y), (plan.cut_out + CONTACT, y), closed=closed)
    if wiring.cut_out is SwitchPoles.BOTH:
        lift = 0.0 if closed else 1.4
        ends = ((plan.cut_out, plan.top - lift), (plan.cut_out, plan.bottom - lift))
        yield Stroke(points=ends, ink=TEXT, width=0.2, dashes=(0.8, 0.8))
    if poles:
        yield centred(plan.cut_out, poles[-1] + 3.2, sentence("figures.schematic.cut_out"), SMALL)


def further_elements(plan: Plan, wiring: Wiring) -> Iterator[Shape]:
    """Elements beside the faulty one, between the same poles."""
    for x in plan.further:
        yield wire((x, plan.top), (x, plan.bottom))
        yield node(x, plan.top)
        yield node(x, plan.bottom)
        yield from resistor((x - 1.4, plan.top + 5.0, x + 1.4, plan.bottom - 5.0))
    more = len(wiring.more_elements) - len(plan.further)
    if more > 0:
        x = plan.further[-1] - 2.0
        yield beside(x, plan.bottom - 6.0, f"+ {more}", SMALL, FAINT, anchor="end")


def second_part(plan: Plan, wiring: Wiring) -> Iterator[Shape]:
    """A second touchable part below the first: joined to it, separate, or not known how."""
    if wiring.second_part is SecondPart.NONE:
        return
    y, left, right = plan.bottom + 2.8, plan.part - 14.0, plan.part - 6.5
    if wiring.second_part is not SecondPart.SEPARATE:
        unknown = wiring.second_part is SecondPart.UNKNOWN
        way = ((right, y), (plan.part, y), (plan.part, plan.bottom - 1.5))
        yield Stroke(points=way, ink=FAINT if unknown else TEXT, width=0.35, dashes=(1.0, 0.8) if unknown else ())
        if unknown:
            yield from unknown_part(plan.part - 3.2, y, 2.0)
    yield Stroke(points=((left, y), (right, y)), ink=TEXT, width=1.4)
    yield beside(left - 1.6, y, sentence("figures.schematic.second_part"), SMALL, anchor="end")

"""The unit's circuit as described: supply, plug, switch, element with its fault, touchable part, protective earth.

Drawn from the wiring alone while it is being described, and with fitted values once there are any.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.reading import PlugPosition, SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import ProtectiveEarth, Supply, SwitchPoles, Wiring
from hazardreport.figures.drawing import Drawing, Fill, Shape, Stroke, Words
from hazardreport.figures.inks import FAINT, LIVE, PAPER, PERSON, TEXT, seen_through
from hazardreport.figures.naming import state_words
from hazardreport.figures.pieces import arrow_head, beside, centred, corners, rounded
from hazardreport.figures.symbols import (
    PERSON_HEIGHT,
    Place,
    alternating_source,
    broken_gap,
    contact,
    direct_source,
    earth,
    gap,
    node,
    person,
    person_path,
    resistor,
    unknown_part,
    wire,
)
from hazardreport.figures.text_width import fitted_size, text_width
from hazardreport.quantity.formatting import format_exact, format_number
from hazardreport.wording import sentence

DEFAULT_POSITION = 0.4
SMALL = 2.5


@dataclass(frozen=True, kw_only=True, slots=True)
class _Plan:
    """Where the parts stand, from left to right and from top to bottom. [mm]"""

    source: float
    plug: float
    box: float
    switch: float
    element: float
    fault: float
    part: float
    person: float
    top: float
    bottom: float
    earth: float
    ground: float
    tap: float


def _plan(width: float, height: float, position: float, *, person: bool) -> _Plan:
    right = width - (26.0 if person else 9.0)
    left = 9.0
    across = right - left
    top, bottom = 17.5, height - 29.0
    plug = left + max(across * 0.21, 20.5)
    box = max(left + across * 0.315, plug + 9.5)
    return _Plan(
        source=left,
        plug=plug,
        box=box,
        switch=box + across * 0.095,
        element=left + across * (0.62 if across > 115 else 0.665),
        fault=left + across * (0.81 if across > 115 else 0.835),
        part=right,
        person=right + 15.0,
        top=top,
        bottom=bottom,
        earth=height - 18.0,
        ground=height - 6.5,
        tap=top + 5.0 + (bottom - top - 10.0) * min(max(position, 0.04), 0.96),
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class _Facts:
    """What the drawing says beside its parts: fitted values by symbol, and the values of the chosen state."""

    fitted: dict[str, str]
    position: float | None
    open_circuit_voltage: str
    available_fault_current: str
    body_current: str


def _facts(assessment: Assessment | None, state: UnitState | None) -> _Facts:
    fitted: dict[str, str] = {}
    position = None
    if assessment is not None and assessment.fit is not None:
        for parameter in assessment.fit.parameters:
            if parameter.determined and parameter.number in assessment.trace:
                number = assessment.number(parameter.number)
                fitted[parameter.symbol] = format_number(number)
                if parameter.symbol == "x":
                    position = number.measured.value
    cell = assessment.cell(state) if assessment is not None and state is not None else None

    def shown(id: str) -> str:
        return format_number(assessment.number(id)) if assessment is not None and id else ""

    return _Facts(
        fitted=fitted,
        position=position,
        open_circuit_voltage=shown(cell.open_circuit_voltage) if cell else "",
        available_fault_current=shown(cell.available_fault_current) if cell else "",
        body_current=shown(cell.body_current) if cell else "",
    )


def _poles_closed(switch: SwitchPoles, state: UnitState | None) -> tuple[bool | None, bool | None]:
    """Whether pole 1 and pole 2 are closed; None where it is not known."""
    if switch is SwitchPoles.UNKNOWN:
        off = state is not None and state.switch is SwitchPosition.OFF
        return (None, None) if off else (True, True)
    open_now = state is not None and state.switch is SwitchPosition.OFF
    return (
        not (open_now and switch in {SwitchPoles.POLE_1, SwitchPoles.BOTH}),
        not (open_now and switch in {SwitchPoles.POLE_2, SwitchPoles.BOTH}),
    )


def _live_side(wiring: Wiring, state: UnitState | None) -> int | None:
    """The terminal through which the line reaches the fault: 1 or 2, 0 for none, None where it is not known."""
    if wiring.supply is not Supply.EARTHED_NEUTRAL or state is None or state.plug is PlugPosition.UNKNOWN:
        return None
    if state.plug is PlugPosition.UNPLUGGED:
        return 0
    pole = 1 if state.plug is PlugPosition.STRAIGHT else 2
    closed = _poles_closed(wiring.switch, state)[pole - 1]
    return None if closed is None else pole if closed else 0


def _supply(plan: _Plan, wiring: Wiring) -> Iterator[Shape]:
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


def _plug_wires(plan: _Plan, state: UnitState | None) -> tuple[tuple[Place, ...], tuple[Place, ...]]:
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


def _plug(plan: _Plan, state: UnitState | None) -> Iterator[Shape]:
    box = (plan.plug - 6.0, plan.top - 4.5, plan.plug + 6.0, plan.earth + 3.0)
    yield Stroke(points=rounded(box, 1.5), ink=FAINT, width=0.25, dashes=(1.0, 0.8), closed=True)
    yield Words(
        x=plan.plug, y=box[1] - 1.2, text=sentence("figures.schematic.plug"), ink=TEXT, size=SMALL, anchor="middle"
    )
    for y in (plan.top, plan.bottom):
        yield wire((plan.source, y), (plan.plug - 4.0, y))
        yield wire((plan.plug + 4.0, y), (plan.box + 2, y))
    line_way, neutral_way = _plug_wires(plan, state)
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


def _switch(plan: _Plan, wiring: Wiring, state: UnitState | None) -> Iterator[Shape]:
    for y in (plan.top, plan.bottom):
        yield wire((plan.box + 2, y), (plan.element, y))
    poles = {
        SwitchPoles.NONE: (),
        SwitchPoles.UNKNOWN: (plan.top, plan.bottom),
        SwitchPoles.POLE_1: (plan.top,),
        SwitchPoles.POLE_2: (plan.bottom,),
        SwitchPoles.BOTH: (plan.top, plan.bottom),
    }[wiring.switch]
    closed = dict(zip((plan.top, plan.bottom), _poles_closed(wiring.switch, state), strict=True))
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


def _element(plan: _Plan, wiring: Wiring, facts: _Facts) -> Iterator[Shape]:
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


def _fault(plan: _Plan, facts: _Facts) -> Iterator[Shape]:
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


def _part(plan: _Plan, facts: _Facts) -> Iterator[Shape]:
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


def _protective_earth(plan: _Plan, wiring: Wiring, state: UnitState | None) -> Iterator[Shape]:
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


def _path(plan: _Plan, side: int, state: UnitState, *, through_person: bool) -> tuple[Place, ...]:
    """The way of the current from the source to the part, or on through the person to earth."""
    x = plan.source
    middle = (plan.top + plan.bottom) / 2
    line_way, _ = _plug_wires(plan, state)
    rail = plan.top if side == 1 else plan.bottom
    way = [(x, middle), (x, plan.top), *line_way, (plan.element, rail), (plan.element, plan.tap), (plan.part, plan.tap)]
    if through_person:
        hand = _hand(plan)
        way += [hand, *person_path(hand, plan.person, plan.ground)]
    return tuple(way)


def _hand(plan: _Plan) -> Place:
    return plan.part + 0.7, plan.top + (plan.bottom - plan.top) * 0.45


def _highlight(plan: _Plan, side: int, state: UnitState, *, through_person: bool) -> Iterator[Shape]:
    way = _path(plan, side, state, through_person=through_person)
    yield Stroke(points=way, ink=seen_through(LIVE, 0.28), width=2.0)
    if through_person:
        x = plan.source
        returned = ((plan.person, plan.ground), (x, plan.ground))
        yield Stroke(points=returned, ink=seen_through(LIVE, 0.6), width=0.6, dashes=(2.0, 1.5))
        back = ((x, plan.ground), (x, (plan.top + plan.bottom) / 2))
        yield Stroke(points=back, ink=seen_through(LIVE, 0.28), width=2.0)


def _arrows(plan: _Plan, side: int, *, through_person: bool) -> Iterator[Shape]:
    rail = plan.top if side == 1 else plan.bottom
    before = plan.element - 7.0
    yield arrow_head((before + 2.4, rail), (before, rail), 2.4, LIVE)
    inside = plan.top + 5.2 if side == 1 else plan.bottom - 5.2
    points = ((plan.element, inside), (plan.element, plan.tap), (plan.element + 2.0, plan.tap))
    yield Stroke(points=points, ink=seen_through(LIVE, 0.28), width=2.0)
    if through_person:
        middle = (plan.source + plan.person) / 2
        yield arrow_head((middle - 2.4, plan.ground), (middle, plan.ground), 2.4, LIVE)


def _person(plan: _Plan, facts: _Facts, width: float) -> Iterator[Shape]:
    yield from person(_hand(plan), plan.person, plan.ground, PERSON)
    yield from earth(plan.person, plan.ground)
    top = plan.ground - (plan.ground - _hand(plan)[1]) * PERSON_HEIGHT
    texts: tuple[str, ...] = (sentence("figures.schematic.person"),)
    if facts.body_current:
        texts = (sentence("figures.schematic.median_adult"), facts.body_current)
    room = 2 * min(width - plan.person, plan.person - plan.part - 4.5) + 2
    for place, text in enumerate(texts):
        size = fitted_size(text, SMALL, room, smallest=1.8)
        yield centred(plan.person, top - 2.4 - (len(texts) - 1 - place) * 3.5, text, size)


def _description(
    wiring: Wiring, state: UnitState | None, facts: _Facts, side: int | None, *, through_person: bool
) -> str:
    if side is None:
        path = sentence("figures.schematic.path_unknown")
    elif side == 0:
        path = sentence("figures.schematic.path_none")
    else:
        key = "figures.schematic.path_person" if through_person else "figures.schematic.path_part"
        path = sentence(key, side=sentence(f"figures.schematic.side_{side}"))
    known = {"x", "Rf"} <= facts.fitted.keys()
    return sentence(
        "figures.schematic.description",
        state=state_words(state) if state else sentence("figures.state.unknown"),
        supply=wiring.supply.value,
        plug=f"{sentence('figures.schematic.plug').lower()} {wiring.plug.value}",
        switch=wiring.switch.value,
        earth=ProtectiveEarth.CONNECTED.value if state and state.earthed else wiring.protective_earth.value,
        fault=sentence("figures.schematic.fault", resistance=facts.fitted["Rf"], position=facts.fitted["x"])
        if known
        else sentence("figures.schematic.fault_unknown"),
        path=path,
    )


def schematic(
    case: Case,
    assessment: Assessment | None,
    width: float,
    height: float,
    state: UnitState | None = None,
    person: bool = False,
) -> Drawing:
    """The circuit of the unit in one state.

    Parameters
    ----------
    case : Case
        Its wiring is drawn.
    assessment : Assessment or None
        Gives fitted values where it has them.
    width, height : float
        Size of the figure, at least 90 by 60. [mm]
    state : UnitState, optional
        The verdict's state if not given; without one the plug is drawn straight and the switch on.
    person : bool
        Draw a person who touches the part and stands on earth, and the way of the current.

    Returns
    -------
    Drawing
        Supply on the left, touchable part on the right.
    """
    state = state or (assessment.verdict.headline if assessment else None)
    wiring = case.wiring
    facts = _facts(assessment, state)
    plan = _plan(width, height, DEFAULT_POSITION if facts.position is None else facts.position, person=person)
    side = _live_side(wiring, state)
    live: tuple[Shape, ...] = ()
    arrows: tuple[Shape, ...] = ()
    if side and state is not None:
        live = tuple(_highlight(plan, side, state, through_person=person))
        arrows = tuple(_arrows(plan, side, through_person=person))
    title = state_words(state) if state else ""
    shapes = (
        *(_person(plan, facts, width) if person else ()),
        *live,
        *_supply(plan, wiring),
        *_plug(plan, state),
        *_switch(plan, wiring, state),
        *_element(plan, wiring, facts),
        *_fault(plan, facts),
        *_protective_earth(plan, wiring, state),
        *_part(plan, facts),
        *arrows,
        *((Words(x=1.0, y=3.4, text=title, ink=TEXT, size=2.8, bold=True),) if title else ()),
    )
    description = _description(wiring, state, facts, side, through_person=person)
    return Drawing(width=width, height=height, description=description, shapes=shapes)

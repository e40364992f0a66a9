"""The unit's circuit as described: supply, plug, switch, element with its fault, touchable part, protective earth.

Drawn from the wiring alone while it is being described, and with fitted values once there are any.
"""

from collections.abc import Iterator

from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Earthing, ProtectiveEarth, SecondPart, SupplyFault, SwitchPoles, Wiring
from hazardreport.figures.drawing import Drawing, Shape, Stroke, Words
from hazardreport.figures.inks import LIVE, PERSON, TEXT, seen_through
from hazardreport.figures.naming import state_words
from hazardreport.figures.pieces import arrow_head, at_least, centred
from hazardreport.figures.schematic_more import cut_out, filter_parts, filter_values, further_elements, second_part
from hazardreport.figures.schematic_parts import SMALL, element, fault, part, plug, plug_wires, switch
from hazardreport.figures.schematic_plan import (
    DEFAULT_POSITION,
    Facts,
    Plan,
    facts_of,
    faulty_element,
    least_width,
    live_side,
    neutral_reaches,
    plan_of,
)
from hazardreport.figures.schematic_supply import TWO_LIVE, protective_earth, source_earth, supply
from hazardreport.figures.symbols import PERSON_HEIGHT, Place, earth, person_path
from hazardreport.figures.symbols import person as person_figure
from hazardreport.figures.text_width import fitted_size
from hazardreport.quantity.formatting import format_exact
from hazardreport.wording import sentence

HIGHEST_HAND = 46.0
"""How far the person's hand reaches above the ground; a taller figure would be too broad. [mm]"""


def _path(plan: Plan, side: int, state: UnitState, *, through_person: bool) -> tuple[Place, ...]:
    """The way of the current from the source to the part, or on through the person to earth."""
    x = plan.source
    middle = (plan.top + plan.bottom) / 2
    line_way, _ = plug_wires(plan, state)
    rail = plan.top if side == 1 else plan.bottom
    way = [(x, middle), (x, plan.top), *line_way, (plan.element, rail), (plan.element, plan.tap), (plan.part, plan.tap)]
    if through_person:
        hand = _hand(plan)
        way += [hand, *person_path(hand, plan.person, plan.ground)]
    return tuple(way)


def _hand(plan: Plan) -> Place:
    return plan.part + 0.7, max(plan.top + (plan.bottom - plan.top) * 0.45, plan.ground - HIGHEST_HAND)


def _highlight(plan: Plan, wiring: Wiring, side: int, state: UnitState, *, through_person: bool) -> Iterator[Shape]:
    way = _path(plan, side, state, through_person=through_person)
    yield Stroke(points=way, ink=seen_through(LIVE, 0.28), width=2.0)
    if through_person:
        x, middle = source_earth(plan, wiring), (plan.top + plan.bottom) / 2
        returned = ((plan.person, plan.ground), (x, plan.ground))
        yield Stroke(points=returned, ink=seen_through(LIVE, 0.6), width=0.6, dashes=(2.0, 1.5))
        joint = middle + (plan.bottom - middle) * 0.55
        back = (
            (x, plan.ground),
            *(() if x == plan.source else ((x, joint), (plan.source, joint))),
            (plan.source, middle),
        )
        yield Stroke(points=back, ink=seen_through(LIVE, 0.28), width=2.0)


def _arrows(plan: Plan, side: int, *, through_person: bool) -> Iterator[Shape]:
    rail = plan.top if side == 1 else plan.bottom
    before = plan.element - 7.0
    yield arrow_head((before + 2.4, rail), (before, rail), 2.4, LIVE)
    inside = plan.top + 5.2 if side == 1 else plan.bottom - 5.2
    points = ((plan.element, inside), (plan.element, plan.tap), (plan.element + 2.0, plan.tap))
    yield Stroke(points=points, ink=seen_through(LIVE, 0.28), width=2.0)
    if through_person:
        middle = (plan.source + plan.person) / 2
        yield arrow_head((middle - 2.4, plan.ground), (middle, plan.ground), 2.4, LIVE)


def _person(plan: Plan, facts: Facts, width: float) -> Iterator[Shape]:
    yield from person_figure(_hand(plan), plan.person, plan.ground, PERSON)
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
    wiring: Wiring, state: UnitState | None, facts: Facts, side: int | None, *, through_person: bool
) -> str:
    if wiring.supply in TWO_LIVE:
        path = sentence("figures.schematic.path_two_poles")
    elif side is None:
        path = sentence("figures.schematic.path_unknown")
    elif side == 0:
        joined = state is not None and neutral_reaches(wiring, state, facts.position)
        path = sentence("figures.schematic.path_none" if joined else "figures.schematic.path_apart")
    else:
        key = "figures.schematic.path_person" if through_person else "figures.schematic.path_part"
        path = sentence(key, side=sentence(f"figures.schematic.side_{side}"))
    known = {"x", "Rf"} <= facts.fitted.keys()
    described = sentence(
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
    return " ".join((described, *_more_described(wiring)))


def _more_described(wiring: Wiring) -> Iterator[str]:
    """What only some units have, in words."""
    if wiring.supply_fault is not SupplyFault.NONE:
        yield sentence("figures.schematic.said_supply_fault", fault=wiring.supply_fault.value)
    if wiring.earthing is Earthing.TT:
        yield sentence("figures.schematic.said_electrode")
    if wiring.cut_out is not SwitchPoles.NONE:
        yield sentence("figures.schematic.said_cut_out", poles=wiring.cut_out.value)
    broken = faulty_element(wiring).open_at
    if broken is not None:
        yield sentence("figures.schematic.said_broken", share=format_exact(100.0 * broken, "1"))
    if wiring.more_elements:
        yield sentence("figures.schematic.said_further", count=len(wiring.more_elements))
    if values := filter_values(wiring):
        said = ", ".join(f"{symbol} {value}" for symbol, value in values)
        yield sentence("figures.schematic.said_filter", values=said)
    if wiring.second_part is not SecondPart.NONE:
        yield sentence("figures.schematic.said_second_part", how=wiring.second_part.value)


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
        Size of the figure; below 100 by 64 (118 with a person, more for parts that only some
        units have) the same shape is drawn larger. [mm]
    state : UnitState, optional
        The verdict's state if not given; without one the plug is drawn straight and the switch on.
    person : bool
        Draw a person who touches the part and stands on earth, and the way of the current.

    Returns
    -------
    Drawing
        Supply on the left, touchable part on the right.
    """
    wiring = case.wiring
    width, height = at_least(width, height, least_width(wiring, person=person), 64.0)
    state = state or (assessment.verdict.headline if assessment else None)
    facts = facts_of(assessment, state)
    place = DEFAULT_POSITION if facts.position is None else facts.position
    plan = plan_of(width, height, place, wiring, person=person)
    side = live_side(wiring, state, facts.position)
    live: tuple[Shape, ...] = ()
    arrows: tuple[Shape, ...] = ()
    if side and state is not None:
        live = tuple(_highlight(plan, wiring, side, state, through_person=person))
        arrows = tuple(_arrows(plan, side, through_person=person))
    title = state_words(state) if state else ""
    shapes = (
        *(_person(plan, facts, width) if person else ()),
        *live,
        *supply(plan, wiring),
        *plug(plan, state),
        *switch(plan, wiring, state),
        *cut_out(plan, wiring, state),
        *further_elements(plan, wiring),
        *element(plan, wiring, facts),
        *fault(plan, facts),
        *protective_earth(plan, wiring, state),
        *part(plan, wiring, facts),
        *filter_parts(plan, wiring),
        *second_part(plan, wiring),
        *arrows,
        *((Words(x=1.0, y=plan.head + 3.4, text=title, ink=TEXT, size=2.8, bold=True),) if title else ()),
    )
    description = _description(wiring, state, facts, side, through_person=person)
    return Drawing(width=width, height=height, description=description, shapes=shapes)

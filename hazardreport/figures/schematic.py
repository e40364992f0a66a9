"""The unit's circuit as described: supply, plug, switch, element with its fault, touchable part, protective earth.

Drawn from the wiring alone while it is being described, and with fitted values once there are any.
"""

from collections.abc import Iterator

from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import ProtectiveEarth, Wiring
from hazardreport.figures.drawing import Drawing, Shape, Stroke, Words
from hazardreport.figures.inks import LIVE, PERSON, TEXT, seen_through
from hazardreport.figures.naming import state_words
from hazardreport.figures.pieces import arrow_head, at_least, centred
from hazardreport.figures.schematic_parts import (
    SMALL,
    element,
    fault,
    part,
    plug,
    plug_wires,
    protective_earth,
    supply,
    switch,
)
from hazardreport.figures.schematic_plan import DEFAULT_POSITION, Facts, Plan, facts_of, live_side, plan_of
from hazardreport.figures.symbols import PERSON_HEIGHT, Place, earth, person_path
from hazardreport.figures.symbols import person as person_figure
from hazardreport.figures.text_width import fitted_size
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


def _highlight(plan: Plan, side: int, state: UnitState, *, through_person: bool) -> Iterator[Shape]:
    way = _path(plan, side, state, through_person=through_person)
    yield Stroke(points=way, ink=seen_through(LIVE, 0.28), width=2.0)
    if through_person:
        x = plan.source
        returned = ((plan.person, plan.ground), (x, plan.ground))
        yield Stroke(points=returned, ink=seen_through(LIVE, 0.6), width=0.6, dashes=(2.0, 1.5))
        back = ((x, plan.ground), (x, (plan.top + plan.bottom) / 2))
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
        Size of the figure; below 100 by 64 (118 with a person) the same shape is drawn larger. [mm]
    state : UnitState, optional
        The verdict's state if not given; without one the plug is drawn straight and the switch on.
    person : bool
        Draw a person who touches the part and stands on earth, and the way of the current.

    Returns
    -------
    Drawing
        Supply on the left, touchable part on the right.
    """
    width, height = at_least(width, height, 118.0 if person else 100.0, 64.0)
    state = state or (assessment.verdict.headline if assessment else None)
    wiring = case.wiring
    facts = facts_of(assessment, state)
    plan = plan_of(width, height, DEFAULT_POSITION if facts.position is None else facts.position, person=person)
    side = live_side(wiring, state)
    live: tuple[Shape, ...] = ()
    arrows: tuple[Shape, ...] = ()
    if side and state is not None:
        live = tuple(_highlight(plan, side, state, through_person=person))
        arrows = tuple(_arrows(plan, side, through_person=person))
    title = state_words(state) if state else ""
    shapes = (
        *(_person(plan, facts, width) if person else ()),
        *live,
        *supply(plan, wiring),
        *plug(plan, state),
        *switch(plan, wiring, state),
        *element(plan, wiring, facts),
        *fault(plan, facts),
        *protective_earth(plan, wiring, state),
        *part(plan, facts),
        *arrows,
        *((Words(x=1.0, y=plan.head + 3.4, text=title, ink=TEXT, size=2.8, bold=True),) if title else ()),
    )
    description = _description(wiring, state, facts, side, through_person=person)
    return Drawing(width=width, height=height, description=description, shapes=shapes)

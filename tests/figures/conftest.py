"""A case and an assessment made up for the figures: their numbers need not be right, only placed."""

from collections.abc import Callable
from itertools import combinations

import pytest

from hazardreport.assess.records import (
    Assessment,
    Basis,
    Exposure,
    Fit,
    Parameter,
    StateCell,
    Verdict,
)
from hazardreport.case.case import Case
from hazardreport.case.picture import Mark, MarkKind, Picture, Placement, Point, PointRole
from hazardreport.case.reading import (
    Instrument,
    Load,
    LoadKind,
    PlugPosition,
    Quantity,
    Reading,
    State,
    SwitchPosition,
)
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Element, Plug, ProtectiveEarth, SwitchPoles, Wiring
from hazardreport.figures.drawing import Disc, Drawing, Fill, PictureArea, Stroke, Words
from hazardreport.figures.pieces import overlap, words_box
from hazardreport.quantity.measured import Measured
from hazardreport.quantity.trace import Number, Trace
from hazardreport.severity.terms import BodyPath, SignalWord, Skin, Zone

OFF = UnitState(plug=PlugPosition.REVERSED, switch=SwitchPosition.OFF)
ON = UnitState(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.ON)


def number(id: str, value: float, unit: str, u: float = 0.0) -> Number:
    measured = Measured(value=value, unit=unit, standard_uncertainty=u)
    return Number(id=id, name=id, symbol=id, measured=measured, equation="as given")


CURRENTS = {
    (Skin.DRY, BodyPath.HAND_TO_HAND): (0.0566, 0.0330, 0.0191),
    (Skin.WATER_WET, BodyPath.HAND_TO_HAND): (0.0567, 0.0341, 0.0204),
    (Skin.DRY, BodyPath.HANDS_TO_FEET): (0.283, 0.165, 0.096),
    (Skin.WATER_WET, BodyPath.HANDS_TO_FEET): (0.284, 0.170, 0.102),
}
ZONES = {BodyPath.HAND_TO_HAND: Zone.AC_3, BodyPath.HANDS_TO_FEET: Zone.AC_4_3}


def exposures(state: UnitState, duration: str) -> tuple[list[Number], list[Exposure]]:
    numbers, found = [], []
    for (skin, path), currents in CURRENTS.items():
        for percentile, current in zip((5, 50, 95), currents, strict=True):
            key = f"{state.key}.{skin.value}.{path.value}.{percentile}"
            numbers.append(number(key, current, "A"))
            found.append(
                Exposure(
                    state=state,
                    skin=skin,
                    percentile=percentile,
                    path=path,
                    body_impedance=key,
                    body_voltage=key,
                    touch_voltage=key,
                    body_current=key,
                    heart_current=key,
                    duration=duration,
                    zone=ZONES[path],
                    zone_long=ZONES[path],
                    plausible=True,
                )
            )
    return numbers, found


def made_up_assessment() -> Assessment:
    off_numbers, off = exposures(OFF, "long")
    on_numbers, on = exposures(ON, "short")
    parameters = [
        number("fit.Re", 24.0, "ohm", 0.1),
        number("fit.x", 0.32, "1", 0.004),
        number("fit.Rf", 12.4, "ohm", 0.6),
    ]
    source = [number("off.u0", 117.4, "V", 0.6), number("off.zs", 17.3, "ohm", 0.9), number("off.isc", 6.8, "A", 0.3)]
    source.append(number("off.ib", 0.0826, "A", 0.0007))
    times = [number("long", 10.0, "s"), number("short", 0.3, "s")]
    return Assessment(
        case_id="case-1",
        trace=Trace(numbers=(*parameters, *source, *times, *off_numbers, *on_numbers)),
        readings=(),
        routes=(),
        fit=Fit(
            parameters=tuple(
                Parameter(symbol=found.id.removeprefix("fit."), number=found.id, determined=True)
                for found in parameters
            ),
            residuals=(),
            chi_square=3.1,
            degrees_of_freedom=4,
            consistent=True,
        ),
        states=(
            StateCell(
                state=OFF,
                basis=Basis.MEASURED,
                established=True,
                open_circuit_voltage="off.u0",
                source_impedance="off.zs",
                available_fault_current="off.isc",
                body_current="off.ib",
            ),
            StateCell(state=ON, basis=Basis.NOT_DETERMINED),
        ),
        exposures=(*off, *on),
        devices=(),
        as_built=(),
        limits=(),
        artefact=(),
        verdict=Verdict(word=SignalWord.DANGER, sentence="", reason="", headline=OFF),
        next_test=None,
        problems=(),
    )


def made_up_case() -> Case:
    picture = Picture(
        id="picture-001",
        file="picture-001.jpg",
        original_name="pot.jpg",
        media_type="image/jpeg",
        sha256="0" * 64,
        size=1,
        width=1600,
        height=1200,
        caption="Wax-melting pot from the side, plug beside it",
        description="The pot and its plug.",
        placements=(
            Placement(letter="A", x=560, y=330),
            Placement(letter="B", x=1280, y=870),
            Placement(letter="C", x=1350, y=905),
            Placement(letter="D", x=1500, y=80),
        ),
        marks=(
            Mark(id="mark-001", kind=MarkKind.ARROW, vertices=((200, 900), (480, 640)), text="cord enters here"),
            Mark(id="mark-002", kind=MarkKind.OUTLINE, vertices=((1180, 780), (1440, 1000)), text="plug"),
            Mark(id="mark-003", kind=MarkKind.FREE_LINE, vertices=((300, 500), (360, 540), (420, 520), (470, 560))),
            Mark(id="mark-004", kind=MarkKind.TEXT, vertices=((700, 1100),), text="bench, wooden"),
        ),
    )
    return Case(
        id="case-1",
        wiring=Wiring(
            nominal_voltage=120.0,
            frequency=60.0,
            cord_cores=3,
            plug=Plug.REVERSIBLE,
            protective_earth=ProtectiveEarth.OPEN,
            switch=SwitchPoles.POLE_1,
            element=Element(rated_voltage=120.0, rated_power=600.0),
        ),
        points=(
            Point(letter="A", role=PointRole.TOUCHABLE_PART, description="pot rim, bare metal"),
            Point(letter="B", role=PointRole.PIN_1, description="first pin of the plug"),
            Point(letter="C", role=PointRole.PIN_2, description="second pin of the plug"),
            Point(letter="D", role=PointRole.EARTH, description="water pipe"),
        ),
        pictures=(picture,),
        instruments=(Instrument(id="instrument-1", name="multimeter 1", input_resistance=10e6),),
        readings=(
            Reading(
                id="reading-001",
                first="A",
                second="D",
                quantity=Quantity.VOLTAGE,
                typed="117.4 V",
                state=State(plug=PlugPosition.REVERSED, switch=SwitchPosition.OFF),
                instrument="instrument-1",
            ),
            Reading(
                id="reading-002",
                first="A",
                second="D",
                quantity=Quantity.VOLTAGE,
                typed="116.2 V",
                state=State(plug=PlugPosition.REVERSED, switch=SwitchPosition.OFF),
                load=Load(kind=LoadKind.RESISTOR, resistance=1500.0),
                instrument="instrument-1",
            ),
            Reading(
                id="reading-003",
                first="A",
                second="D",
                quantity=Quantity.VOLTAGE,
                typed="114 V",
                state=State(plug=PlugPosition.REVERSED, switch=SwitchPosition.OFF),
                load=Load(kind=LoadKind.LAMP, rated_voltage=120.0, rated_power=15.0),
                instrument="instrument-1",
            ),
            Reading(id="reading-004", first="A", second="B", quantity=Quantity.RESISTANCE, typed="20.1 Ω"),
        ),
    )


@pytest.fixture(scope="session")
def assessment() -> Assessment:
    return made_up_assessment()


@pytest.fixture(scope="session")
def case() -> Case:
    return made_up_case()


@pytest.fixture(scope="session")
def off_state() -> UnitState:
    return OFF


@pytest.fixture(scope="session")
def on_state() -> UnitState:
    return ON


def _inside(drawing: Drawing) -> list[str]:
    """What reaches beyond the edge of a drawing: texts by their boxes, lines and grounds by their points."""
    found = []
    for shape in drawing.shapes:
        match shape:
            case Words():
                left, top, right, bottom = words_box(shape)
            case Disc():
                left, top = shape.x - shape.radius, shape.y - shape.radius
                right, bottom = shape.x + shape.radius, shape.y + shape.radius
            case PictureArea():
                left, top, right, bottom = shape.x, shape.y, shape.x + shape.width, shape.y + shape.height
            case Stroke() | Fill():
                left, right = min(x for x, _ in shape.points), max(x for x, _ in shape.points)
                top, bottom = min(y for _, y in shape.points), max(y for _, y in shape.points)
        if min(left, top) < -0.01 or right > drawing.width + 0.01 or bottom > drawing.height + 0.01:
            found.append(repr(shape))
    return found


def _overlaps(drawing: Drawing) -> list[tuple[str, str]]:
    """Pairs of texts that lie upon each other."""
    texts = [shape for shape in drawing.shapes if isinstance(shape, Words)]
    return [
        (first.text, second.text)
        for first, second in combinations(texts, 2)
        if overlap(words_box(first), words_box(second)) > 0.05
    ]


@pytest.fixture(scope="session")
def beyond_the_edge() -> Callable[[Drawing], list[str]]:
    return _inside


@pytest.fixture(scope="session")
def texts_upon_each_other() -> Callable[[Drawing], list[tuple[str, str]]]:
    return _overlaps

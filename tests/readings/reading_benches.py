"""Cases and readings for the tests of this room: a wax-melting pot on a bench."""

from dataclasses import replace

from hazardreport.case.case import Case
from hazardreport.case.circumstances import Competence
from hazardreport.case.picture import Picture, Point, PointRole
from hazardreport.case.reading import (
    Accuracy,
    Instrument,
    Load,
    LoadKind,
    PlugPosition,
    Quantity,
    Reading,
    State,
    SwitchPosition,
)
from hazardreport.case.wiring import Plug, ProtectiveEarth, SwitchPoles, Wiring

LETTERS = {
    PointRole.TOUCHABLE_PART: "A",
    PointRole.EARTH: "B",
    PointRole.PIN_1: "C",
    PointRole.PIN_2: "D",
    PointRole.EARTH_PIN: "F",
    PointRole.LINE: "G",
    PointRole.NEUTRAL: "H",
    PointRole.OTHER: "K",
}

METER = Instrument(
    id="instrument-001",
    name="multimeter 1",
    serial="0417",
    input_resistance=10e6,
    input_capacitance=100e-12,
    lead_resistance=0.2,
    calibrated="2026-03-01",
    calibrated_by="bench 2",
    accuracies=(
        Accuracy(quantity=Quantity.VOLTAGE, range_to=6.0, percent=1.0, digits=3, resolution=0.001),
        Accuracy(quantity=Quantity.VOLTAGE, range_to=60.0, percent=1.0, digits=3, resolution=0.01),
        Accuracy(quantity=Quantity.VOLTAGE, range_to=600.0, percent=1.0, digits=3, resolution=0.1),
        Accuracy(quantity=Quantity.CURRENT, range_to=0.06, percent=1.5, digits=3, resolution=1e-5),
        Accuracy(quantity=Quantity.RESISTANCE, range_to=600.0, percent=0.9, digits=2, resolution=0.1),
        Accuracy(quantity=Quantity.RESISTANCE, range_to=60e6, percent=2.0, digits=5, resolution=1e4),
    ),
)
TESTER = Instrument(
    id="instrument-002",
    name="insulation tester 1",
    kind="insulation tester",
    calibrated="2026-03-01",
    accuracies=(Accuracy(quantity=Quantity.RESISTANCE, range_to=200e6, percent=3.0, digits=5, resolution=1e5),),
)
STATEMENT = Competence(
    name="Ida Brandt", qualification="electrician", permitted="test bench of the club's workshop", stated="2026-05-02"
)
PICTURE = Picture(
    id="picture-001",
    file="picture-001.jpg",
    original_name="pot.jpg",
    media_type="image/jpeg",
    sha256="0" * 64,
    size=1,
    width=1,
    height=1,
)


def bench(*readings: Reading, **wiring: object) -> Case:
    """A case with all points and both instruments, a picture, and these readings numbered in order."""
    described = Wiring(
        nominal_voltage=120.0,
        frequency=60.0,
        cord_cores=2,
        plug=Plug.REVERSIBLE,
        protective_earth=ProtectiveEarth.NONE,
        switch=SwitchPoles.POLE_1,
    )
    points = tuple(
        Point(letter=letter, role=role) for role, letter in LETTERS.items() if role is not PointRole.EARTH_PIN
    )
    return Case(
        id="case-1",
        wiring=replace(described, **wiring),
        points=points,
        pictures=(PICTURE,),
        instruments=(METER, TESTER),
        readings=tuple(
            replace(reading, id=f"reading-{number:03d}") for number, reading in enumerate(readings, start=1)
        ),
    )


def taken(first: PointRole, second: PointRole, quantity: Quantity, typed: str, **changes: object) -> Reading:
    """A reading of the calibrated meter."""
    reading = Reading(
        id="reading-001",
        first=LETTERS[first],
        second=LETTERS[second],
        quantity=quantity,
        typed=typed,
        instrument=METER.id,
        taken="2026-05-02T10:00",
        picture=PICTURE.id,
    )
    return replace(reading, **changes)


def live(typed: str, *, plug: PlugPosition = PlugPosition.STRAIGHT, off: bool = False, **changes: object) -> Reading:
    """A proved voltage reading from the touchable part to earth."""
    state = State(plug=plug, switch=SwitchPosition.OFF if off else SwitchPosition.ON)
    reading = taken(PointRole.TOUCHABLE_PART, PointRole.EARTH, Quantity.VOLTAGE, typed, state=state, proved=True)
    return replace(reading, **changes)


def dead(first: PointRole, second: PointRole, typed: str, *, off: bool = False, **changes: object) -> Reading:
    """A resistance reading on the unplugged unit."""
    state = State(switch=SwitchPosition.OFF if off else SwitchPosition.ON)
    return taken(first, second, Quantity.RESISTANCE, typed, **{"state": state, **changes})


def stored(first: PointRole, second: PointRole) -> Reading:
    """No charge found on the unplugged unit."""
    return taken(first, second, Quantity.VOLTAGE, "0.0 V")


T, E, P1, P2 = PointRole.TOUCHABLE_PART, PointRole.EARTH, PointRole.PIN_1, PointRole.PIN_2


def dead_readings(path: str = "10.2 kΩ") -> tuple[Reading, ...]:
    """Every reading without voltage that the plan of a two-core pot with a switch asks for."""
    return (
        stored(P1, P2),
        stored(P1, T),
        stored(P2, T),
        dead(P1, T, path),
        dead(P2, T, path),
        dead(P1, P2, "9.8"),
        dead(P1, T, "OL", off=True),
        dead(P2, T, path, off=True),
    )


RESISTOR = Load(kind=LoadKind.RESISTOR, resistance=47e3, tolerance=0.05)
LAMP = Load(kind=LoadKind.LAMP, rated_voltage=120.0, rated_power=15.0)

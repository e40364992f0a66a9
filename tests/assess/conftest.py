"""Cases whose readings come from the network with known parameters, without noise."""

import math
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, Competence, Household, ResidualCurrentDevice
from hazardreport.case.picture import Point, PointRole
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
from hazardreport.case.wiring import Element, Plug, ProtectiveEarth, SwitchPoles, Wiring
from hazardreport.circuit.observations import Observation, predicted_reading
from hazardreport.circuit.unit_network import NetworkParameters, parameters_of

sys.path.insert(0, str(Path(__file__).parent))

ROLES = {
    "A": PointRole.TOUCHABLE_PART,
    "B": PointRole.PIN_1,
    "C": PointRole.PIN_2,
    "D": PointRole.EARTH_PIN,
    "E": PointRole.EARTH,
    "F": PointRole.LINE,
    "G": PointRole.NEUTRAL,
    "H": PointRole.SECOND_PART,
}
METER = Instrument(
    id="instrument-001",
    name="multimeter",
    input_resistance=10e6,
    input_capacitance=0.0,
    lead_resistance=0.0,
    calibrated="2026-03-02",
    accuracies=(
        Accuracy(quantity=Quantity.VOLTAGE, range_to=600.0, percent=0.1, digits=1, resolution=0.001),
        Accuracy(quantity=Quantity.RESISTANCE, range_to=600e6, percent=0.1, digits=1, resolution=0.001),
    ),
)
KITCHEN = Household(
    earthed_metal_in_reach=Answer.YES,
    conductive_floor=Answer.YES,
    both_hands=Answer.NO,
    wet_hands=Answer.NO,
    residual_current_device=ResidualCurrentDevice.NONE,
)


class Bench:
    """A unit with known parameters, and readings that an ideal meter would show on it."""

    def __init__(self, wiring: Wiring, parameters: NetworkParameters) -> None:
        self.wiring = wiring
        self.parameters = parameters
        self.case = Case(
            id="T-1",
            wiring=wiring,
            household=KITCHEN,
            instruments=(METER,),
            points=tuple(Point(letter=letter, role=role) for letter, role in ROLES.items()),
            competence=Competence(name="N. N.", qualification="electrician", permitted="workshop", stated="2026-11-25"),
        )

    def read(self, points: str, quantity: Quantity, state: State, load: Load | None = None) -> "Bench":
        """The bench with one more reading, as the network would answer it."""
        load = load or Load()
        meter = 1.0 / METER.input_resistance
        resistance = load.resistance if load.kind is LoadKind.RESISTOR else None
        impedance = 1.0 / (meter + (1.0 / resistance if resistance else 0.0))
        observation = Observation(
            id="x",
            kind=quantity,
            first=ROLES[points[0]],
            second=ROLES[points[1]],
            state=state,
            value=1.0,
            standard_uncertainty=1.0,
            load_impedance=impedance if quantity is Quantity.VOLTAGE else math.inf,
        )
        value = float(predicted_reading(observation, self.wiring, self.parameters))
        typed = "OL" if math.isinf(value) else f"{value:.4f} {'V' if quantity is Quantity.VOLTAGE else 'Ω'}"
        return self.typed(points, quantity, state, typed, load)

    def typed(self, points: str, quantity: Quantity, state: State, typed: str, load: Load | None = None) -> "Bench":
        """The bench with one more reading, as typed."""
        reading = Reading(
            id=f"reading-{len(self.case.readings) + 1:03d}",
            first=points[0],
            second=points[1],
            quantity=quantity,
            typed=typed,
            state=state,
            load=load or Load(),
            instrument=METER.id,
            supply_typed="" if state.plug is PlugPosition.UNPLUGGED else "120 V",
            proved=True,
            taken="2026-11-20",
        )
        self.case = replace(self.case, readings=(*self.case.readings, reading))
        return self


DEAD = State(plug=PlugPosition.UNPLUGGED, switch=SwitchPosition.ON)
REVERSED_OFF = State(plug=PlugPosition.REVERSED, switch=SwitchPosition.OFF)
REVERSED_ON = State(plug=PlugPosition.REVERSED, switch=SwitchPosition.ON)
STRAIGHT_ON = State(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.ON)
STRAIGHT_OFF = State(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.OFF)


@pytest.fixture
def bench() -> Callable[..., Bench]:
    def make(
        fault_resistance: float = 1000.0, fault_position: float = 0.25, element: float = 9.6, **wiring: object
    ) -> Bench:
        described = Wiring(
            nominal_voltage=120.0,
            frequency=60.0,
            cord_cores=2,
            plug=Plug.REVERSIBLE,
            protective_earth=ProtectiveEarth.NONE,
            switch=SwitchPoles.POLE_1,
            element=Element(rated_voltage=120.0, rated_power=1500.0, hot_factor=1.0),
        )
        described = replace(described, **wiring)  # type: ignore[arg-type]
        parameters = parameters_of(
            described,
            element_resistance=element,
            fault_position=fault_position,
            fault_resistance=fault_resistance,
            hot_factor=1.0,
        )
        return Bench(described, parameters)

    return make


@pytest.fixture
def dead_bench(bench: Callable[..., Bench]) -> Callable[..., Bench]:
    """A bench on which the three resistances and the supply were read."""

    def make(*args: object, **kwargs: object) -> Bench:
        made = bench(*args, **kwargs)
        for points in ("BC", "BA", "CA"):
            made.read(points, Quantity.RESISTANCE, DEAD)
        return made.typed("FG", Quantity.VOLTAGE, DEAD, "120.0 V")

    return make

"""The test plan, made from the wiring in safe order, and the next test. Live tests stand behind the competence gate.

Order: look, then without voltage, then live by rising energy of the load. A test that cannot be done is left out by an
absence with its reason for the field ``test.<id>`` of the case; the plan then goes on.
"""

import re
from collections.abc import Iterator
from dataclasses import replace

from hazardreport.case.case import Case
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import Load, LoadKind, PlugPosition, Quantity, State, SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Plug, ProtectiveEarth, SwitchPoles
from hazardreport.circuit.unit_network import unit_state
from hazardreport.quantity.typed import Bound
from hazardreport.readings.answers import Answers, LoadClass
from hazardreport.readings.planned import PlannedTest, competent

RESISTOR = 47e3
INSULATED = 1e6
SMALLEST_DEVICE = 6.0
DEFAULT_VOLTAGE = 240.0

T, E = PointRole.TOUCHABLE_PART, PointRole.EARTH
_PINS = (PointRole.PIN_1, PointRole.PIN_2)
_LOOK = ("last_word", "plug_out", "cool_down", "do_not_open")
_DEAD = ("last_word", "plug_out", "stored_charge", "prove_meter")
_INSULATION = ("last_word", "plug_out", "insulation_spoils", "nobody_touches", "prove_meter")
_LIVE = (
    "last_word",
    "competent_here",
    "second_person",
    "dead_tests_done",
    "device_tried",
    "meter_rated",
    "prove_meter",
    "clip_plug_out",
    "never_feel",
    "one_hand",
    "no_ammeter",
    "vessel_as_used",
)
_LOADED = (*_LIVE, "load_boxed")
_TRIPPING = (*_LOADED, "device_may_trip")


def test_plan(case: Case) -> tuple[PlannedTest, ...]:
    """All tests for the unit as it is wired, in the order in which they are done, each with whether it is done.

    Without the statement of competence the live tests are two requests to ask a competent person, and nothing else.
    """
    answers = Answers(case)
    live = tuple(_live(case, answers))
    if not competent(case):
        live = _asked(live)
    return tuple(_left_out(planned, case) for planned in (*_dead(case, answers), *live))


def next_planned(case: Case, established: frozenset[str], current_shown_dangerous: bool) -> PlannedTest | None:
    """The one test that comes next, or None when enough is known or no further voltage may be applied.

    Parameters
    ----------
    case : Case
        With the readings so far.
    established : frozenset of str
        Keys of the unit states in which the source at the touchable part is established.
    current_shown_dangerous : bool
        The current through a person is shown above 5 mA with 95 %: no live test is needed any more.

    Returns
    -------
    PlannedTest or None
        A test without voltage as long as one is open. Without the statement of competence never more than a request
        to ask a competent person.
    """
    plan = test_plan(case)
    dead = next((planned for planned in plan if not planned.live and not planned.done), None)
    if dead is not None:
        return dead
    if current_shown_dangerous or energising_refused(case) or not open_states(case, established):
        return None
    live = tuple(planned for planned in plan if planned.live and not planned.done)
    if not competent(case):
        return next((planned for planned in live if planned.key == "ask_part"), None)
    return next((planned for planned in live if planned.state is None or _open(planned, case, established)), None)


def plan_states(case: Case) -> tuple[State, ...]:
    """States in which the unit can be plugged in: off before on, straight before reversed."""
    plugs = [PlugPosition.STRAIGHT]
    if case.wiring.plug is not Plug.ONE_WAY:
        plugs.append(PlugPosition.REVERSED)
    return tuple(State(plug=plug, switch=switch) for plug in plugs for switch in _switches(case))


def open_states(case: Case, established: frozenset[str]) -> tuple[UnitState, ...]:
    """The states among them that are not established."""
    states = (unit_state(state, case.wiring) for state in plan_states(case))
    return tuple(state for state in states if state.key not in established)


def energising_refused(case: Case) -> bool:
    """Whether the tests without voltage predict an earth current that a fuse or breaker must clear.

    Only with a protective earth that is connected; the resistance from a pin to the touchable part stands for the loop.
    """
    if case.wiring.protective_earth is not ProtectiveEarth.CONNECTED:
        return False
    paths = [value for value, bound in Answers(case).paths_to_part() if bound is not Bound.ABOVE]
    voltage = case.wiring.nominal_voltage or DEFAULT_VOLTAGE
    rating = re.search(r"\d+(?:\.\d+)?", case.wiring.circuit_breaker)
    limit = float(rating.group()) if rating else SMALLEST_DEVICE
    return any(voltage > limit * max(path, 0.0) for path in paths)


def _open(planned: PlannedTest, case: Case, established: frozenset[str]) -> bool:
    return planned.state is not None and unit_state(planned.state, case.wiring).key not in established


def _switches(case: Case) -> tuple[SwitchPosition, ...]:
    if case.wiring.switch is SwitchPoles.NONE:
        return (SwitchPosition.NONE,)
    return SwitchPosition.OFF, SwitchPosition.ON


def _dead(case: Case, answers: Answers) -> Iterator[PlannedTest]:
    yield PlannedTest(id="photograph", key="photograph", done=bool(case.pictures), cautions=_LOOK)
    on = State(switch=SwitchPosition.NONE if case.wiring.switch is SwitchPoles.NONE else SwitchPosition.ON)
    for pair in ((*_PINS,), (PointRole.PIN_1, T), (PointRole.PIN_2, T)):
        yield _reading(answers, "stored_charge", pair, Quantity.VOLTAGE, on, _DEAD)
    resistances = [_reading(answers, "resistance_part", (pin, T), Quantity.RESISTANCE, on, _DEAD) for pin in _PINS]
    yield from resistances
    yield _reading(answers, "resistance_pins", _PINS, Quantity.RESISTANCE, on, _DEAD)
    if _has_earth_pin(case):
        earth = (PointRole.EARTH_PIN, T)
        yield _reading(answers, "resistance_earth", earth, Quantity.RESISTANCE, on, _DEAD)
    if on.switch is SwitchPosition.ON:
        off = State(switch=SwitchPosition.OFF)
        for pin in _PINS:
            yield _reading(answers, "resistance_part", (pin, T), Quantity.RESISTANCE, off, _DEAD)
    tried = answers.insulation_tried()
    paths = answers.paths_to_part()
    found = any(value < INSULATED and bound is not Bound.ABOVE for value, bound in paths)
    if tried or (all(planned.done for planned in resistances) and not found):
        yield PlannedTest(
            id="insulation",
            key="insulation",
            state=on,
            roles=(PointRole.PIN_1, T),
            quantity=Quantity.RESISTANCE,
            done=tried,
            cautions=_INSULATION,
        )
    if tried:
        for planned in resistances:
            again = answers.repeated_after_insulation(planned.roles, on)
            yield replace(planned, id=planned.id.replace("_part", "_repeat", 1), key="resistance_repeat", done=again)


def _has_earth_pin(case: Case) -> bool:
    return (
        case.wiring.cord_cores == 3
        or case.wiring.protective_earth in (ProtectiveEarth.OPEN, ProtectiveEarth.CONNECTED)
        or any(point.role is PointRole.EARTH_PIN for point in case.points)
    )


def _reading(
    answers: Answers,
    key: str,
    roles: tuple[PointRole, ...],
    quantity: Quantity,
    state: State,
    cautions: tuple[str, ...],
) -> PlannedTest:
    """A test without voltage that is a reading."""
    switch = f".{state.switch.value}" if key == "resistance_part" else ""
    return PlannedTest(
        id=f"{key}.{'.'.join(role.name.lower() for role in roles)}{switch}",
        key=key,
        state=state,
        roles=roles,
        quantity=quantity,
        done=answers.answered(roles, quantity, state if quantity is Quantity.RESISTANCE else None),
        cautions=cautions,
    )


def _live(case: Case, answers: Answers) -> Iterator[PlannedTest]:
    for pair in ((PointRole.LINE, PointRole.NEUTRAL), (PointRole.LINE, E), (PointRole.NEUTRAL, E)):
        yield PlannedTest(
            id=f"supply_proof.{pair[0].name.lower()}.{pair[1].name.lower()}",
            key="supply_proof",
            live=True,
            roles=pair,
            quantity=Quantity.VOLTAGE,
            low_impedance=True,
            done=answers.supply_proved(pair),
            cautions=(*_LIVE, "device_may_trip"),
        )
    resistor = Load(kind=LoadKind.RESISTOR, resistance=RESISTOR)
    for key, load_class, load, cautions in (
        ("live_meter", LoadClass.METER, Load(), _LIVE),
        ("live_resistor", LoadClass.RESISTOR, resistor, _LOADED),
        ("live_low_impedance", LoadClass.LOW, Load(), _TRIPPING),
        ("live_lamp", LoadClass.LAMP, Load(kind=LoadKind.LAMP), _TRIPPING),
    ):
        for state in plan_states(case):
            yield PlannedTest(
                id=f"{key}.{state.plug.value}.{state.switch.value}",
                key=key,
                live=True,
                state=state,
                roles=(T, E),
                quantity=Quantity.VOLTAGE,
                load=load,
                low_impedance=load_class is LoadClass.LOW,
                done=answers.loaded(load_class, state),
                optional=load_class in (LoadClass.LOW, LoadClass.LAMP),
                cautions=cautions,
            )


def _asked(live: tuple[PlannedTest, ...]) -> tuple[PlannedTest, ...]:
    """What stands in the place of live tests before a competent person is named: no state, points, load or caution."""
    proofs = all(planned.done for planned in live if planned.key == "supply_proof")
    parts = all(planned.done for planned in live if planned.key != "supply_proof" and not planned.optional)
    return tuple(
        PlannedTest(id=key, key=key, live=True, shown=False, done=done)
        for key, done in (("ask_supply", proofs), ("ask_part", parts))
    )


def _left_out(planned: PlannedTest, case: Case) -> PlannedTest:
    return replace(planned, done=True) if case.absence(f"test.{planned.id}") else planned

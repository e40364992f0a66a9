"""The test plan, made from the wiring in safe order, and the next test. Live tests stand behind the competence gate.

Order: look, then without voltage, then live by rising energy of the load. A test that cannot be done is left out by an
absence with its reason for the field ``test.<id>`` of the case; the plan then goes on.
"""

import re
from collections.abc import Iterator, Mapping
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
THRESHOLDS = (0.5e-3, 5e-3, 50e-3)

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


def next_planned(
    case: Case,
    established: frozenset[str],
    current_shown_dangerous: bool,
    ranges: Mapping[str, tuple[float, float]] | None = None,
    fault_currents: Mapping[str, float] | None = None,
) -> PlannedTest | None:
    """The one test that comes next, or None when enough is known or no further voltage may be applied.

    Parameters
    ----------
    case : Case
        With the readings so far.
    established : frozenset of str
        Keys of the unit states in which the source at the touchable part is established.
    current_shown_dangerous : bool
        The current through a person is shown above 5 mA with 95 %: no live test is needed any more.
    ranges : mapping of str to (float, float), optional
        Lowest and highest possible current through a person [A] by state key; a state without one is wide open.
        Among live tests of one load the state comes first whose range spans most of 0.5 mA, 5 mA and 50 mA, then the
        widest, then the one that stands first in the plan.
    fault_currents : mapping of str to float, optional
        Predicted current through the protective earth [A] by state key; no voltage in a state where it is above the
        rated current of the device upstream.

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
    if current_shown_dangerous or energising_refused(case):
        return None
    permitted = _permitted(case, established, fault_currents)
    if not permitted:
        return None
    live = tuple(planned for planned in plan if planned.live and not planned.done)
    if not competent(case):
        return next((planned for planned in live if planned.key == "ask_part"), None)
    fitting = [planned for planned in live if planned.state is None or _key(planned.state, case) in permitted]
    first = next(iter(fitting), None)
    if first is None or first.state is None:
        return first
    return min((planned for planned in fitting if planned.key == first.key), key=lambda one: _rank(one, case, ranges))


def no_further_test(
    case: Case,
    established: frozenset[str],
    current_shown_dangerous: bool,
    fault_currents: Mapping[str, float] | None = None,
) -> str:
    """Why `next_planned` gives no test; empty if it gives one. Parameters as of `next_planned`.

    "dangerous_shown", "settled" (no state is open), "energising_refused" (an open state must not be energised), or
    "plan_done" (a state is open, and the plan holds nothing more). The sentences are tests.no_further.<key>.
    """
    if next_planned(case, established, current_shown_dangerous, fault_currents=fault_currents) is not None:
        return ""
    if current_shown_dangerous:
        return "dangerous_shown"
    left = {state.key for state in open_states(case, established)}
    if not left:
        return "settled"
    if energising_refused(case) or left - _permitted(case, established, fault_currents):
        return "energising_refused"
    return "plan_done"


def plan_choices(case: Case) -> tuple[str, ...]:
    """Keys in choices.toml of the choices of ours that shaped the plan of this case."""
    made = []
    if energising_refused(case):
        made.append("energising_refused")
    answers = Answers(case)
    found = any(value < INSULATED and bound is not Bound.ABOVE for value, bound in answers.paths_to_part())
    if found and not answers.insulation_tried():
        made.append("insulation_when_open")
    return tuple(made)


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
    return any(voltage > _device_current(case) * max(path, 0.0) for path in paths)


def _device_current(case: Case) -> float:
    """Rated current of the device upstream [A]; the smallest one where it is not stated."""
    rating = re.search(r"\d+(?:\.\d+)?", case.wiring.circuit_breaker)
    return float(rating.group()) if rating else SMALLEST_DEVICE


def _permitted(case: Case, established: frozenset[str], fault_currents: Mapping[str, float] | None) -> frozenset[str]:
    """Keys of the open states in which no current is predicted that the device upstream must clear."""
    currents = fault_currents or {}
    limit = _device_current(case)
    return frozenset(state.key for state in open_states(case, established) if currents.get(state.key, 0.0) <= limit)


def _key(state: State, case: Case) -> str:
    return unit_state(state, case.wiring).key


def _rank(planned: PlannedTest, case: Case, ranges: Mapping[str, tuple[float, float]] | None) -> tuple[int, float]:
    """The smaller, the sooner: thresholds that the range spans, then its width [A]."""
    if not ranges or planned.state is None:
        return 0, 0.0
    low, high = ranges.get(_key(planned.state, case), (0.0, float("inf")))
    return -sum(low < threshold < high for threshold in THRESHOLDS), low - high


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

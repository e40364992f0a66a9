"""Tests of the plan without voltage: look, stored charge, low-voltage resistance, insulation, and resistance again."""

from collections.abc import Iterator
from dataclasses import replace

from hazardreport.case.case import Case
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import CutOut, Quantity, State, SwitchPosition
from hazardreport.case.wiring import ProtectiveEarth, SwitchPoles
from hazardreport.quantity.typed import Bound
from hazardreport.readings.answers import Answers
from hazardreport.readings.plan_states import positions, second_part_apart
from hazardreport.readings.planned import PlannedTest

INSULATED = 1e6

PINS = (PointRole.PIN_1, PointRole.PIN_2)
_PART, _SECOND = PointRole.TOUCHABLE_PART, PointRole.SECOND_PART
_LOOK = ("last_word", "plug_out", "cool_down", "do_not_open")
_DEAD = ("last_word", "plug_out", "stored_charge", "prove_meter")
_INSULATION = ("last_word", "plug_out", "insulation_spoils", "nobody_touches", "prove_meter")


def dead_tests(case: Case, answers: Answers) -> Iterator[PlannedTest]:
    """The tests in their order; insulation only if no path was found before it."""
    yield PlannedTest(id="photograph", key="photograph", done=bool(case.pictures), cautions=_LOOK)
    parts = (_PART, _SECOND) if second_part_apart(case) else (_PART,)
    on = closed(case)
    for pair in (PINS, *((pin, part) for part in parts for pin in PINS)):
        yield _reading(case, answers, "stored_charge", pair, Quantity.VOLTAGE, on)
    resistances = _to_part(case, answers, _PART, on)
    yield from resistances
    yield _reading(case, answers, "resistance_pins", PINS, Quantity.RESISTANCE, on)
    if _has_earth_pin(case):
        yield _earth(case, answers, on)
    if len(parts) > 1:
        yield _reading(case, answers, "resistance_parts", parts, Quantity.RESISTANCE, on)
        yield from _to_part(case, answers, _SECOND, on)
    for switch, cut_out in positions(case):
        state = State(switch=switch, cut_out=cut_out)
        if state != on:
            for part in parts:
                yield from _to_part(case, answers, part, state)
    yield from _insulation(case, answers, resistances, on)


def closed(case: Case) -> State:
    """Unplugged, with switch and cut-out closed as far as the unit has them."""
    on = SwitchPosition.NONE if case.wiring.switch is SwitchPoles.NONE else SwitchPosition.ON
    return State(switch=on)


def _to_part(case: Case, answers: Answers, part: PointRole, state: State) -> tuple[PlannedTest, ...]:
    return tuple(_reading(case, answers, "resistance_part", (pin, part), Quantity.RESISTANCE, state) for pin in PINS)


def _insulation(case: Case, answers: Answers, resistances: tuple[PlannedTest, ...], on: State) -> Iterator[PlannedTest]:
    tried = answers.insulation_tried()
    found = any(value < INSULATED and bound is not Bound.ABOVE for value, bound in answers.paths_to_part())
    if tried or (all(planned.done for planned in resistances) and not found):
        yield PlannedTest(
            id="insulation",
            key="insulation",
            state=on,
            roles=(PointRole.PIN_1, _PART),
            quantity=Quantity.RESISTANCE,
            done=tried,
            cautions=_with_thermostat(case, on, _INSULATION),
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


def _earth(case: Case, answers: Answers, on: State) -> PlannedTest:
    """Earth pin to part: no switch lies between them, so a reading with it in any position answers."""
    roles = (PointRole.EARTH_PIN, _PART)
    planned = _reading(case, answers, "resistance_earth", roles, Quantity.RESISTANCE, on)
    return replace(planned, done=answers.answered(roles, Quantity.RESISTANCE, None))


def _reading(
    case: Case, answers: Answers, key: str, roles: tuple[PointRole, ...], quantity: Quantity, state: State
) -> PlannedTest:
    """A test without voltage that is a reading."""
    where = ""
    if key == "resistance_part":
        where = f".{state.switch.value}" + (".open" if state.cut_out is CutOut.OPEN else "")
    return PlannedTest(
        id=f"{key}.{'.'.join(role.name.lower() for role in roles)}{where}",
        key=key,
        state=state,
        roles=roles,
        quantity=quantity,
        done=answers.answered(roles, quantity, state if quantity is Quantity.RESISTANCE else None),
        cautions=_with_thermostat(case, state, _DEAD),
    )


def _with_thermostat(case: Case, state: State, cautions: tuple[str, ...]) -> tuple[str, ...]:
    return (*cautions, "thermostat_set") if thermostat_matters(case, state) else cautions


def thermostat_matters(case: Case, state: State) -> bool:
    """Whether a thermostat or cut-out has to stand one way for a test in this state."""
    return case.wiring.cut_out is not SwitchPoles.NONE and state.switch is not SwitchPosition.OFF

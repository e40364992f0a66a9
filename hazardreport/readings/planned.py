"""One test of the plan, and the words that may be shown of it."""

from dataclasses import dataclass

from hazardreport import wording
from hazardreport.case.case import Case
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import Load, LoadKind, PlugPosition, Quantity, State, SwitchPosition
from hazardreport.case.wiring import Supply, SwitchPoles
from hazardreport.quantity.formatting import format_value


@dataclass(frozen=True, kw_only=True, slots=True)
class PlannedTest:
    """One test of the plan. A live test of a case without a competent person holds nothing that tells how to do it.

    id         unique in its plan: "resistance_part.pin 1.on"; "test.<id>" names an absence with its reason
    key        in tests.toml: "tests.<key>.name", ".instruction", ".reason"
    live       needs voltage, and the statement of competence
    shown      False for a live test without that statement
    state      that the unit is in; None where it is not connected, or if not shown
    roles      of the two points; empty for a test that is no reading
    quantity   that is read; None for a test that is no reading
    load       besides the meter
    done       a reading of the case answers it, or the case says why it is left out
    low_impedance   the meter is in its low-impedance mode
    optional   only if still undecided; never waited for
    cautions   keys in cautions.toml, in the order in which they stand before the instruction
    """

    id: str
    key: str
    live: bool = False
    shown: bool = True
    state: State | None = None
    roles: tuple[PointRole, ...] = ()
    quantity: Quantity | None = None
    load: Load = Load()
    low_impedance: bool = False
    done: bool = False
    optional: bool = False
    cautions: tuple[str, ...] = ()


def competent(case: Case) -> bool:
    """Whether someone stated, by name, date and for this case, that a competent person measures where permitted."""
    statement = case.competence
    return (
        statement is not None
        and statement.dated
        and all(text.strip() for text in (statement.name, statement.qualification, statement.permitted))
    )


def name(planned: PlannedTest, case: Case) -> str:
    """Name of the test, for a list; behind the gate."""
    return _text("name", planned, case)


def instruction(planned: PlannedTest, case: Case) -> str:
    """How to do the test; behind the gate, where a live one is only "Ask a competent person to measure …"."""
    return _text("instruction", planned, case)


def reason(planned: PlannedTest, case: Case) -> str:
    """Why the test stands in the plan; behind the gate."""
    return _text("reason", planned, case)


def cautions(planned: PlannedTest, case: Case) -> tuple[str, ...]:
    """Keys of the cautions that stand before the instruction; behind the gate."""
    return () if _gated(planned, case) else planned.cautions


def fields(planned: PlannedTest, case: Case) -> tuple[tuple[str, str], ...]:
    """Fields of the test's wording as (name, text); none for a live test behind the gate."""
    if _gated(planned, case):
        return ()
    found = [(place, _point(role, case)) for place, role in zip(("first", "second"), planned.roles, strict=False)]
    if planned.state is not None:
        found.append(("plug", _plug(planned.state, case)))
        found.append(("switch", _switch(planned.state, case)))
    if planned.live:
        found.append(("load", _load(planned)))
    return tuple(found)


def _plug(state: State, case: Case) -> str:
    two = "_of_two" if _two_poles(case) and state.plug in (PlugPosition.STRAIGHT, PlugPosition.REVERSED) else ""
    return wording.sentence(f"tests.plug.{state.plug.name.lower()}{two}")


def _switch(state: State, case: Case) -> str:
    switch = wording.sentence(f"tests.switch.{state.switch.name.lower()}")
    if case.wiring.cut_out is SwitchPoles.NONE or state.switch is SwitchPosition.OFF:
        return switch
    return wording.sentence(f"tests.switch.cut_out_{state.cut_out.name.lower()}", switch=switch)


def _two_poles(case: Case) -> bool:
    return case.wiring.supply in (Supply.TWO_LIVE_POLES, Supply.TWO_PHASES)


def _gated(planned: PlannedTest, case: Case) -> bool:
    return planned.live and not competent(case)


def _text(entry: str, planned: PlannedTest, case: Case) -> str:
    key = planned.key
    if _gated(planned, case) and not key.startswith("ask_"):
        key = "ask_supply" if planned.key == "supply_proof" else "ask_part"
    return wording.sentence(f"tests.{key}.{entry}", **dict(fields(planned, case)))


def role_words(role: PointRole, case: Case) -> str:
    """What a point is electrically; the conductors of a socket with two live poles are no line and neutral."""
    pole = "_of_two" if _two_poles(case) and role in (PointRole.LINE, PointRole.NEUTRAL) else ""
    return wording.sentence(f"tests.role.{role.name.lower()}{pole}")


def _point(role: PointRole, case: Case) -> str:
    words = role_words(role, case)
    letter = next((point.letter for point in case.points if point.role is role), "")
    return wording.sentence("tests.role.with_letter", letter=letter, role=words) if letter else words


def _load(planned: PlannedTest) -> str:
    if planned.low_impedance:
        return wording.sentence("tests.load.low_impedance")
    if planned.load.kind is LoadKind.RESISTOR and planned.load.resistance is not None:
        return wording.sentence("tests.load.resistor", resistance=format_value(planned.load.resistance, "ohm", 2))
    return wording.sentence("tests.load.lamp" if planned.load.kind is LoadKind.LAMP else "tests.load.none")

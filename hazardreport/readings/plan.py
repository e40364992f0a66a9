"""The test plan, made from the wiring in safe order, and the next test. Live tests stand behind the competence gate.

Order: look, then without voltage, then live by rising energy of the load. A test that cannot be done is left out by an
absence with its reason for the field ``test.<id>`` of the case; the plan then goes on.
"""

from collections.abc import Mapping
from dataclasses import replace

from hazardreport.case.case import Case
from hazardreport.case.reading import State
from hazardreport.circuit.unit_network import unit_state
from hazardreport.quantity.typed import Bound
from hazardreport.readings.answers import Answers
from hazardreport.readings.dead_tests import INSULATED, dead_tests
from hazardreport.readings.energising import energising_refused, rated_current
from hazardreport.readings.live_tests import CLASSES, at_second_part, live_tests
from hazardreport.readings.plan_states import open_states, second_part_apart
from hazardreport.readings.planned import PlannedTest, competent

THRESHOLDS = (0.5e-3, 5e-3, 50e-3)


def test_plan(case: Case) -> tuple[PlannedTest, ...]:
    """All tests for the unit as it is wired, in the order in which they are done, each with whether it is done.

    Without the statement of competence the live tests are two requests to ask a competent person, and nothing else.
    """
    answers = Answers(case)
    live = tuple(live_tests(case, answers))
    if not competent(case):
        live = _asked(live)
    return tuple(_left_out(planned, case) for planned in (*dead_tests(case, answers), *live))


def next_planned(
    case: Case,
    established: frozenset[str],
    current_shown_dangerous: bool,
    ranges: Mapping[str, tuple[float, float]] | None = None,
    fault_currents: Mapping[str, float] | None = None,
    second_settled: bool = False,
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
    second_settled : bool
        Nothing more is asked of a second touchable part that is not joined to the first; its tests come after those
        of the first part with the same load.

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
    live = tuple(planned for planned in plan if planned.live and not planned.done)
    permitted = _permitted(case, established, fault_currents)
    second = frozenset() if second_settled else _permitted(case, frozenset(), fault_currents)
    if not competent(case):
        return next((one for one in live if one.key == "ask_part"), None) if permitted or _asks(case, second) else None
    fitting = [
        planned
        for planned in live
        if planned.state is not None and _key(planned.state, case) in (second if at_second_part(planned) else permitted)
    ]
    if not fitting:
        return None
    proof = next((planned for planned in live if planned.key == CLASSES[0]), None)
    return proof or min(fitting, key=lambda one: _rank(one, case, ranges))


def no_further_test(
    case: Case,
    established: frozenset[str],
    current_shown_dangerous: bool,
    fault_currents: Mapping[str, float] | None = None,
    second_settled: bool = False,
) -> str:
    """Why `next_planned` gives no test; empty if it gives one. Parameters as of `next_planned`.

    "dangerous_shown", "settled" (no state is open), "energising_refused" (an open state must not be energised), or
    "plan_done" (a state is open, and the plan holds nothing more). The sentences are tests.no_further.<key>.
    """
    if next_planned(case, established, current_shown_dangerous, None, fault_currents, second_settled) is not None:
        return ""
    if current_shown_dangerous:
        return "dangerous_shown"
    left = {state.key for state in open_states(case, established)}
    if not left and (second_settled or not second_part_apart(case)):
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


def _permitted(case: Case, established: frozenset[str], fault_currents: Mapping[str, float] | None) -> frozenset[str]:
    """Keys of the open states in which no current is predicted that the device upstream must clear."""
    currents = fault_currents or {}
    limit = rated_current(case)
    return frozenset(state.key for state in open_states(case, established) if currents.get(state.key, 0.0) <= limit)


def _asks(case: Case, second: frozenset[str]) -> bool:
    """Whether anything is left to ask about a second part."""
    return bool(second) and second_part_apart(case)


def _key(state: State, case: Case) -> str:
    return unit_state(state, case.wiring).key


def _rank(
    planned: PlannedTest, case: Case, ranges: Mapping[str, tuple[float, float]] | None
) -> tuple[int, bool, int, float]:
    """The smaller, the sooner: load, second part, thresholds that the range spans, its width [A]."""
    load = CLASSES.index(planned.key)
    if at_second_part(planned):
        return load, True, 0, 0.0
    if not ranges or planned.state is None:
        return load, False, 0, 0.0
    low, high = ranges.get(_key(planned.state, case), (0.0, float("inf")))
    return load, False, -sum(low < threshold < high for threshold in THRESHOLDS), low - high


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

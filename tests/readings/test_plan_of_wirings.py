"""The plan of units with a thermostat, a second touchable part, two live poles; the gate holds for every wiring."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reading_benches import P1, P2, STATEMENT, T, bench, dead, dead_readings, live, stored
from test_plan import competent, live_only_words, proofs, words

from hazardreport.case.case import Case
from hazardreport.case.picture import Point, PointRole
from hazardreport.case.reading import CutOut, PlugPosition, Reading, State, SupplyKind, SwitchPosition, Waveform
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Plug, ProtectiveEarth, SecondPart, Supply, SwitchPoles
from hazardreport.circuit.unit_network import unit_state
from hazardreport.readings import planned
from hazardreport.readings.plan import next_planned, no_further_test
from hazardreport.readings.plan import test_plan as plan_of
from hazardreport.readings.plan_states import plan_states
from hazardreport.readings.planned import PlannedTest

NOTHING: frozenset[str] = frozenset()
KNOWN_POLES = (SwitchPoles.POLE_1, SwitchPoles.POLE_2, SwitchPoles.BOTH)


def ids(case: Case, *, live_tests: bool) -> list[str]:
    return [test.id for test in plan_of(case) if test.live is live_tests]


def test_a_thermostat_is_measured_open_and_closed_without_voltage_and_live() -> None:
    case = competent(cut_out=SwitchPoles.POLE_1)
    resistances = [test for test in ids(case, live_tests=False) if test.startswith("resistance_part.pin_1")]

    assert resistances == [f"resistance_part.pin_1.touchable_part.{where}" for where in ("on", "off", "on.open")]
    assert [test for test in ids(case, live_tests=True) if test.startswith("live_meter")] == [
        f"live_meter.{plug}.{where}" for plug in ("straight", "reversed") for where in ("off", "on.open", "on")
    ]


@pytest.mark.parametrize("poles", KNOWN_POLES)
def test_the_states_of_the_plan_are_the_states_of_the_unit(poles: SwitchPoles) -> None:
    case = competent(cut_out=poles, plug=Plug.ONE_WAY)
    assert {unit_state(state, case.wiring).key for state in plan_states(case)} == {
        UnitState(plug=PlugPosition.STRAIGHT, switch=switch, cut_out_open=opened).key
        for switch, opened in ((SwitchPosition.OFF, False), (SwitchPosition.ON, True), (SwitchPosition.ON, False))
    }


def test_a_thermostat_of_unknown_poles_is_only_closed() -> None:
    case = competent(cut_out=SwitchPoles.UNKNOWN)
    tests = plan_of(case)
    assert not any(test.state and test.state.cut_out is CutOut.OPEN for test in tests)
    on = next(test for test in tests if test.id == "live_meter.straight.on")
    assert "thermostat closed" in planned.instruction(on, case)


def test_how_the_thermostat_stands_is_said_before_and_in_the_test() -> None:
    case = competent(cut_out=SwitchPoles.BOTH)
    for test in plan_of(case):
        matters = test.state is not None and test.state.switch is not SwitchPosition.OFF
        assert ("thermostat_set" in test.cautions) is matters, test.id
        if matters and "switch {switch}" in planned.instruction(test, case):
            assert "thermostat" in planned.instruction(test, case)
    assert not any("thermostat_set" in test.cautions for test in plan_of(competent()))


def test_a_reading_with_the_thermostat_open_does_not_answer_the_closed_one() -> None:
    opened = State(cut_out=CutOut.OPEN)
    case = bench(dead(P1, T, "OL", state=opened), cut_out=SwitchPoles.POLE_1)
    done = {test.id for test in plan_of(case) if test.done and test.key == "resistance_part"}
    assert done == {"resistance_part.pin_1.touchable_part.on.open"}


def test_with_the_switch_off_the_thermostat_says_nothing() -> None:
    off = State(switch=SwitchPosition.OFF, cut_out=CutOut.OPEN)
    case = bench(dead(P1, T, "OL", state=off), cut_out=SwitchPoles.POLE_1)
    assert "resistance_part.pin_1.touchable_part.off" in {test.id for test in plan_of(case) if test.done}


# --- a second part ------------------------------------------------------------------------------------------------


def with_second_part(case: Case) -> Case:
    return replace(case, points=(*case.points, Point(letter="S", role=PointRole.SECOND_PART, description="knob")))


@pytest.mark.parametrize(
    ("second", "point", "there"),
    [
        (SecondPart.NONE, False, False),
        (SecondPart.NONE, True, True),
        (SecondPart.JOINED, True, False),
        (SecondPart.SEPARATE, False, True),
        (SecondPart.UNKNOWN, True, True),
    ],
)
def test_a_second_part_that_is_not_joined_is_measured_by_itself(second: SecondPart, point: bool, there: bool) -> None:
    case = competent(second_part=second)
    case = with_second_part(case) if point else case
    found = {test.id for test in plan_of(case) if PointRole.SECOND_PART in test.roles}

    assert bool(found) is there
    if there:
        assert {
            "stored_charge.pin_1.second_part",
            "resistance_parts.touchable_part.second_part",
            "resistance_part.pin_2.second_part.off",
            "live_meter.second_part.earth.straight.off",
            "live_resistor.touchable_part.second_part.reversed.on",
        } <= found
        assert not any(one.startswith(("live_low_impedance", "live_lamp")) for one in found)


def second_dead() -> tuple[Reading, ...]:
    def at(reading: Reading) -> Reading:
        return replace(reading, second="S")

    return (
        *dead_readings(),
        at(stored(P1, T)),
        at(stored(P2, T)),
        at(dead(T, P1, "OL")),
        *(at(dead(pin, T, "OL", off=off)) for pin in (P1, P2) for off in (False, True)),
    )


def test_the_second_part_follows_the_first_with_the_same_load() -> None:
    case = with_second_part(competent(*second_dead(), *proofs(), second_part=SecondPart.SEPARATE))
    keys = frozenset({"straight-off", "straight-on", "reversed-off"})
    first = next_planned(case, keys, False)
    assert first is not None
    assert first.id == "live_meter.reversed.on"

    second = next_planned(case, keys | {"reversed-on"}, False)
    assert second is not None
    assert second.id == "live_meter.second_part.earth.straight.off"
    assert next_planned(case, keys | {"reversed-on"}, False, second_settled=True) is None
    assert no_further_test(case, keys | {"reversed-on"}, False, second_settled=True) == "settled"
    assert no_further_test(case, keys | {"reversed-on"}, False) == ""


def test_between_the_parts_a_load_answers_only_there() -> None:
    between = replace(live("3.0 V"), second="S")
    case = with_second_part(competent(between, second_part=SecondPart.SEPARATE))
    assert [test.id for test in plan_of(case) if test.live and test.done and test.key == "live_meter"] == [
        "live_meter.touchable_part.second_part.straight.on"
    ]


# --- what answers a live test -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("reading", "answers"),
    [
        (live("119.9 V"), True),
        (live("< 5 V"), True),
        (live("tripped"), True),
        (live("not detected", supply=SupplyKind.ISOLATING), False),
        (live("> 60 V", proved=False), False),
        (live("60 V", state=State(plug=PlugPosition.STRAIGHT, waveform=Waveform.HALF)), False),
    ],
)
def test_only_what_may_speak_answers_a_live_test(reading: Reading, answers: bool) -> None:
    case = competent(reading)
    done = {test.id for test in plan_of(case) if test.live and test.done}
    assert ("live_meter.straight.on" in done) is answers


# --- two live poles -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("supply", [Supply.TWO_LIVE_POLES, Supply.TWO_PHASES])
def test_two_live_poles_are_neither_line_nor_neutral(supply: Supply) -> None:
    case = competent(*dead_readings(), supply=supply)
    for test in plan_of(case):
        said = planned.name(test, case) + planned.instruction(test, case)
        assert "neutral of the socket" not in said
        assert "on the line conductor" not in said
    proof = next(test for test in plan_of(case) if test.key == "supply_proof")
    assert "live pole 1 of the socket" in planned.name(proof, case)


# --- the gate, for every wiring -----------------------------------------------------------------------------------

SECRET = live_only_words()


def everything(test: PlannedTest, case: Case) -> str:
    return (
        planned.name(test, case)
        + planned.instruction(test, case)
        + planned.reason(test, case)
        + repr(planned.cautions(test, case))
        + repr(planned.fields(test, case))
    )


@settings(derandomize=True, deadline=None, max_examples=200)
@given(
    supply=st.sampled_from((Supply.EARTHED_NEUTRAL, Supply.TWO_LIVE_POLES, Supply.TWO_PHASES)),
    plug=st.sampled_from(Plug),
    switch=st.sampled_from(SwitchPoles),
    cut_out=st.sampled_from(SwitchPoles),
    earth=st.sampled_from(ProtectiveEarth),
    second=st.sampled_from(SecondPart),
    cores=st.sampled_from((None, 2, 3)),
    readings=st.sampled_from(
        ((), dead_readings(), dead_readings("OL"), (*dead_readings(), *proofs(), live("119.9 V")))
    ),
    point=st.booleans(),
)
def test_without_competence_no_wiring_makes_a_live_instruction(
    supply: Supply,
    plug: Plug,
    switch: SwitchPoles,
    cut_out: SwitchPoles,
    earth: ProtectiveEarth,
    second: SecondPart,
    cores: int | None,
    readings: tuple[Reading, ...],
    point: bool,
) -> None:
    case = bench(
        *readings,
        supply=supply,
        plug=plug,
        switch=switch,
        cut_out=cut_out,
        protective_earth=earth,
        second_part=second,
        cord_cores=cores,
    )
    case = with_second_part(case) if point else case
    shown = [test for test in plan_of(case) if test.live]
    following = next_planned(case, NOTHING, False)
    kept = [test for test in plan_of(replace(case, competence=STATEMENT)) if test.live]

    assert [(test.key, test.state, test.roles, test.cautions) for test in shown] == [
        (key, None, (), ()) for key in ("ask_supply", "ask_part")
    ]
    for test in (*shown, *kept, *([following] if following is not None and following.live else [])):
        assert words(everything(test, case)) & SECRET == set()
        assert planned.instruction(test, case).startswith("Ask a competent person to measure ")


@settings(derandomize=True, deadline=None, max_examples=100)
@given(
    switch=st.sampled_from(SwitchPoles),
    cut_out=st.sampled_from(SwitchPoles),
    second=st.sampled_from(SecondPart),
    earth=st.sampled_from(ProtectiveEarth),
    point=st.booleans(),
)
def test_every_plan_has_ids_of_its_own_words_and_the_dead_tests_first(
    switch: SwitchPoles, cut_out: SwitchPoles, second: SecondPart, earth: ProtectiveEarth, point: bool
) -> None:
    case = competent(switch=switch, cut_out=cut_out, second_part=second, protective_earth=earth)
    case = with_second_part(case) if point else case
    tests = plan_of(case)

    assert len({test.id for test in tests}) == len(tests)
    assert [test.live for test in tests] == sorted(test.live for test in tests)
    keys = [test.key for test in tests if not test.live]
    assert keys.index("stored_charge") < keys.index("resistance_part")
    assert all("{" not in everything(test, case) for test in tests if test.key != "photograph")

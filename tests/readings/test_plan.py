"""The plan goes from looking over tests without voltage to live ones by rising energy; nothing live passes the gate."""

import re
from dataclasses import replace

import pytest
from reading_benches import (
    LAMP,
    LETTERS,
    METER,
    P1,
    P2,
    PICTURE,
    RESISTOR,
    STATEMENT,
    TESTER,
    E,
    T,
    bench,
    dead,
    dead_readings,
    live,
    stored,
    taken,
)

from hazardreport import wording
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Competence
from hazardreport.case.edits import state_absence
from hazardreport.case.picture import Point, PointRole
from hazardreport.case.reading import PlugPosition, Quantity, Reading, SwitchPosition
from hazardreport.case.wiring import Plug, ProtectiveEarth, SwitchPoles
from hazardreport.readings import plan, planned
from hazardreport.readings.energising import energising_refused
from hazardreport.readings.plan import next_planned
from hazardreport.readings.planned import PlannedTest

NONE_ESTABLISHED: frozenset[str] = frozenset()
ALL_STATES = frozenset({"straight-off", "straight-on", "reversed-off", "reversed-on"})


def competent(*readings: Reading, **wiring: object) -> Case:
    return replace(bench(*readings, **wiring), competence=STATEMENT)


def proofs() -> tuple[Reading, ...]:
    pairs = ((PointRole.LINE, PointRole.NEUTRAL), (PointRole.LINE, E), (PointRole.NEUTRAL, E))
    return tuple(taken(first, second, Quantity.VOLTAGE, "120.0 V") for first, second in pairs)


def every_state(typed: str, **changes: object) -> tuple[Reading, ...]:
    return tuple(
        live(typed, plug=plug, off=off, **changes)
        for plug in (PlugPosition.STRAIGHT, PlugPosition.REVERSED)
        for off in (True, False)
    )


def test_the_plan_looks_first_then_measures_without_voltage_then_live() -> None:
    keys = list(dict.fromkeys(test.key for test in plan.test_plan(competent())))

    assert keys == [
        "photograph",
        "stored_charge",
        "resistance_part",
        "resistance_pins",
        "supply_proof",
        "live_meter",
        "live_resistor",
        "live_low_impedance",
        "live_lamp",
    ]
    lives = [test.live for test in plan.test_plan(competent())]
    assert lives == sorted(lives)


def test_every_test_of_the_plan_has_an_id_of_its_own() -> None:
    for case in (competent(), bench(), competent(*dead_readings("OL"))):
        ids = [test.id for test in plan.test_plan(case)]
        assert len(ids) == len(set(ids))


def test_live_tests_stand_for_each_plug_and_switch_position() -> None:
    states = [test.state for test in plan.test_plan(competent()) if test.key == "live_meter"]
    assert [(state.plug, state.switch) for state in states if state] == [
        (PlugPosition.STRAIGHT, SwitchPosition.OFF),
        (PlugPosition.STRAIGHT, SwitchPosition.ON),
        (PlugPosition.REVERSED, SwitchPosition.OFF),
        (PlugPosition.REVERSED, SwitchPosition.ON),
    ]


def test_a_one_way_plug_and_no_switch_leave_one_state() -> None:
    case = competent(plug=Plug.ONE_WAY, switch=SwitchPoles.NONE)
    assert len([test for test in plan.test_plan(case) if test.key == "live_meter"]) == 1


@pytest.mark.parametrize(
    ("wiring", "there"),
    [({"cord_cores": 2}, False), ({"cord_cores": 3}, True), ({"protective_earth": ProtectiveEarth.OPEN}, True)],
)
def test_the_earth_pin_is_measured_where_there_is_one(wiring: dict[str, object], there: bool) -> None:
    assert any(test.key == "resistance_earth" for test in plan.test_plan(bench(**wiring))) is there


@pytest.mark.parametrize("off", [False, True])
def test_the_earth_pin_test_is_answered_whatever_the_switch_position(off: bool) -> None:
    case = bench(dead(PointRole.EARTH_PIN, T, "0.12", off=off), cord_cores=3)
    pin = Point(letter=LETTERS[PointRole.EARTH_PIN], role=PointRole.EARTH_PIN)
    case = replace(case, points=(*case.points, pin))

    assert [test.done for test in plan.test_plan(case) if test.key == "resistance_earth"] == [True]


def test_readings_tick_off_their_tests() -> None:
    done = {test.id for test in plan.test_plan(bench(stored(P1, P2), dead(T, P1, "10.2 kΩ"))) if test.done}
    assert done == {"photograph", "stored_charge.pin_1.pin_2", "resistance_part.pin_1.touchable_part.on"}


def test_a_refused_reading_ticks_off_nothing() -> None:
    done = {test.id for test in plan.test_plan(bench(dead(P1, T, "ten"))) if test.done}
    assert done == {"photograph"}


def test_over_range_is_an_answer() -> None:
    case = bench(dead(P1, T, "OL", instrument=""))
    assert "resistance_part.pin_1.touchable_part.on" in {test.id for test in plan.test_plan(case) if test.done}


def test_the_next_test_follows_the_plan() -> None:
    case = replace(competent(), pictures=())
    order = []
    for pictures, readings in ((False, 0), *((True, count) for count in range(len(dead_readings()) + 1))):
        case = replace(competent(*dead_readings()[:readings]), pictures=(PICTURE,) if pictures else ())
        following = next_planned(case, NONE_ESTABLISHED, False)
        assert following is not None
        order.append(following.id)

    assert order == [
        "photograph",
        "stored_charge.pin_1.pin_2",
        "stored_charge.pin_1.touchable_part",
        "stored_charge.pin_2.touchable_part",
        "resistance_part.pin_1.touchable_part.on",
        "resistance_part.pin_2.touchable_part.on",
        "resistance_pins.pin_1.pin_2",
        "resistance_part.pin_1.touchable_part.off",
        "resistance_part.pin_2.touchable_part.off",
        "supply_proof.line.neutral",
    ]


@pytest.mark.parametrize("left_out", range(len(dead_readings())))
def test_no_live_test_is_offered_while_a_test_without_voltage_is_open(left_out: int) -> None:
    readings = [reading for place, reading in enumerate(dead_readings()) if place != left_out]
    following = next_planned(competent(*readings), NONE_ESTABLISHED, False)

    assert following is not None
    assert not following.live


def test_a_test_that_cannot_be_done_is_left_out_with_its_reason() -> None:
    case = competent(*dead_readings("OL"))
    following = next_planned(case, NONE_ESTABLISHED, False)
    assert following is not None
    assert following.key == "insulation"

    following = next_planned(state_absence(case, "test.insulation", "no tester at hand"), NONE_ESTABLISHED, False)
    assert following is not None
    assert following.key == "supply_proof"


def test_insulation_is_tested_only_if_no_path_was_found() -> None:
    assert not any(test.key == "insulation" for test in plan.test_plan(competent(*dead_readings("10.2 kΩ"))))
    assert any(test.key == "insulation" for test in plan.test_plan(competent(*dead_readings("OL"))))
    assert not any(test.key == "insulation" for test in plan.test_plan(competent()))


def test_the_resistances_are_read_again_after_an_insulation_test() -> None:
    readings = (*dead_readings("OL"), dead(P1, T, "> 200 MΩ", instrument=TESTER.id))
    following = next_planned(competent(*readings), NONE_ESTABLISHED, False)
    assert following is not None
    assert following.id == "resistance_repeat.pin_1.touchable_part.on"

    again = (*readings, dead(P1, T, "OL"), dead(P2, T, "OL"))
    following = next_planned(competent(*again), NONE_ESTABLISHED, False)
    assert following is not None
    assert following.key == "supply_proof"


def test_live_tests_rise_in_energy_and_end_when_all_is_established() -> None:
    readings = dead_readings() + proofs()
    steps = []
    for more in ((), every_state("119.9 V"), every_state("98.0 V", load=RESISTOR)):
        readings += more
        following = next_planned(competent(*readings), NONE_ESTABLISHED, False)
        assert following is not None
        steps.append((following.key, following.optional))
    low = replace(METER, input_resistance=3000.0)
    case = competent(*readings)
    case = replace(case, instruments=(*case.instruments, replace(low, id="instrument-003")))
    more = every_state("27.7 V", instrument="instrument-003")
    following = next_planned(replace(case, readings=(*case.readings, *more)), NONE_ESTABLISHED, False)
    assert following is not None
    steps.append((following.key, following.optional))

    assert steps == [("live_meter", False), ("live_resistor", False), ("live_low_impedance", True), ("live_lamp", True)]
    lit = every_state("60 V", load=LAMP)
    everything = replace(case, readings=(*case.readings, *more, *lit))
    assert next_planned(everything, NONE_ESTABLISHED, False) is None
    assert next_planned(competent(*readings), ALL_STATES, False) is None


def test_established_states_are_not_measured_again() -> None:
    following = next_planned(competent(*dead_readings(), *proofs()), frozenset({"straight-off"}), False)
    assert following is not None
    assert following.id == "live_meter.straight.on"


def test_no_live_test_is_offered_once_the_current_is_shown_dangerous() -> None:
    assert next_planned(competent(*dead_readings()), NONE_ESTABLISHED, True) is None
    assert next_planned(competent(), NONE_ESTABLISHED, True) is not None


@pytest.mark.parametrize(
    ("earth", "breaker", "path", "refused"),
    [
        (ProtectiveEarth.CONNECTED, "B16", "2.0", True),
        (ProtectiveEarth.CONNECTED, "B16", "12.0", False),
        (ProtectiveEarth.CONNECTED, "", "12.0", True),
        (ProtectiveEarth.CONNECTED, "13 A fuse", "8.0", True),
        (ProtectiveEarth.CONNECTED, "", "OL", False),
        (ProtectiveEarth.OPEN, "B16", "2.0", False),
    ],
)
def test_a_unit_whose_fault_current_a_breaker_must_clear_is_not_energised(
    earth: ProtectiveEarth, breaker: str, path: str, refused: bool
) -> None:
    case = competent(dead(P1, T, path), protective_earth=earth, circuit_breaker=breaker)
    assert energising_refused(case) is refused


def test_a_reading_that_decides_nothing_ticks_off_no_live_test() -> None:
    case = competent(*dead_readings(), *proofs(), live("119.9 V", off=True, proved=False))
    following = next_planned(case, NONE_ESTABLISHED, False)
    assert following is not None
    assert following.id == "live_meter.straight.off"


# --- the gate -----------------------------------------------------------------------------------------------------

LIVE_KEYS = ("supply_proof", "live_meter", "live_resistor", "live_low_impedance", "live_lamp")
STATEMENTS = [
    None,
    Competence(name="", qualification="electrician", permitted="here", stated="2026-05-02"),
    Competence(name="Ida Brandt", qualification=" ", permitted="here", stated="2026-05-02"),
    Competence(name="Ida Brandt", qualification="electrician", permitted="", stated="2026-05-02"),
    Competence(name="Ida Brandt", qualification="electrician", permitted="here", stated=""),
    Competence(name="Ida Brandt", qualification="electrician", permitted="here", stated="yesterday"),
    Competence(name="Ida Brandt", qualification="electrician", permitted="here", stated="2026-13-02"),
]


def words(text: str) -> set[str]:
    return set(re.findall(r"[^\W\d_]{4,}|\d+", text.casefold()))


def live_only_words() -> set[str]:
    """Words that occur in live names, instructions, reasons and cautions, and nowhere in what everybody may see."""
    entries = ("name", "instruction", "reason")
    secret = " ".join(wording.template(f"tests.{key}.{entry}") for key in LIVE_KEYS for entry in entries)
    cautions = {caution for test in plan.test_plan(competent()) if test.live for caution in test.cautions}
    open_cautions = {
        caution
        for test in plan.test_plan(competent(*dead_readings("OL")))
        if not test.live
        for caution in test.cautions
    }
    secret += " ".join(wording.template(f"cautions.{caution}.text") for caution in cautions - open_cautions) + " 47"
    shown = " ".join(
        wording.template(f"tests.{key}.{entry}")
        for key in (
            "photograph",
            "stored_charge",
            "resistance_part",
            "resistance_pins",
            "resistance_earth",
            "insulation",
            "resistance_repeat",
            "ask_supply",
            "ask_part",
        )
        for entry in entries
    )
    shown += " ".join(
        wording.template(f"cautions.{caution}.{entry}") for caution in open_cautions for entry in ("text", "basis")
    )
    shown += " ".join(
        wording.template(key) for key in wording.keys("tests") if key.split(".")[1] in ("role", "plug", "switch")
    )
    return words(secret) - words(shown)


def everything_shown(case: Case) -> str:
    """All text that can be had of the live part of a plan, and of the next test."""
    tests = [test for test in plan.test_plan(case) if test.live]
    following = next_planned(case, NONE_ESTABLISHED, False)
    if following is not None:
        tests.append(following)
    texts = [
        planned.name(test, case)
        + planned.instruction(test, case)
        + planned.reason(test, case)
        + repr(planned.cautions(test, case))
        + repr(planned.fields(test, case))
        for test in tests
    ]
    return " ".join(texts)


@pytest.mark.parametrize("statement", STATEMENTS)
def test_nothing_live_passes_the_gate(statement: Competence | None) -> None:
    secret = live_only_words()
    assert {"47", "clip", "lamp"} <= secret
    for readings in ((), dead_readings(), dead_readings() + proofs() + every_state("119.9 V")):
        case = replace(bench(*readings), competence=statement)
        shown = [test for test in plan.test_plan(case) if test.live]

        assert {test.key for test in shown} == {"ask_supply", "ask_part"}
        for test in shown:
            assert test == PlannedTest(id=test.key, key=test.key, live=True, shown=False, done=test.done)
        for test in shown:
            assert planned.instruction(test, case).startswith("Ask a competent person to measure ")
        assert words(everything_shown(case)) & secret == set()


@pytest.mark.parametrize("key", LIVE_KEYS)
def test_a_live_test_kept_from_before_is_silent_when_the_statement_is_withdrawn(key: str) -> None:
    test = next(test for test in plan.test_plan(competent()) if test.key == key)
    case = bench()

    assert planned.instruction(test, case).startswith("Ask a competent person to measure ")
    assert (planned.cautions(test, case), planned.fields(test, case)) == ((), ())
    assert words(planned.name(test, case) + planned.reason(test, case)) & live_only_words() == set()


def test_the_gate_test_sees_a_planted_leak() -> None:
    case = competent(*dead_readings(), *proofs())
    assert words(everything_shown(case)) & live_only_words()


def test_behind_the_gate_the_next_test_is_a_request() -> None:
    following = next_planned(bench(*dead_readings()), NONE_ESTABLISHED, False)
    assert following is not None
    assert (following.key, following.live, following.shown) == ("ask_part", True, False)
    assert next_planned(bench(*dead_readings()), ALL_STATES, False) is None


# --- the words ----------------------------------------------------------------------------------------------------


def test_every_test_has_words_and_every_caution_its_basis() -> None:
    for case in (
        competent(),
        competent(*dead_readings("OL"), dead(P1, T, "OL", instrument=TESTER.id)),
        bench(cord_cores=3),
    ):
        for test in plan.test_plan(case):
            assert "{" not in planned.name(test, case) + planned.instruction(test, case) + planned.reason(test, case)
            assert len(set(test.cautions)) == len(test.cautions)
            for caution in test.cautions:
                assert wording.sentence(f"cautions.{caution}.text")
                assert wording.sentence(f"cautions.{caution}.basis")


def test_no_caution_is_without_a_test() -> None:
    case = competent(*dead_readings("OL"), cut_out=SwitchPoles.POLE_1)
    used = {caution for test in plan.test_plan(case) for caution in test.cautions}
    assert used == {key.split(".")[1] for key in wording.keys("cautions")}


def test_local_codes_have_the_last_word_before_every_test() -> None:
    for test in plan.test_plan(competent(*dead_readings("OL"))):
        assert test.cautions[0] == "last_word"
    assert "Local codes" in wording.sentence("cautions.last_word.text")


def test_an_instruction_names_the_points_by_their_letters() -> None:
    case = bench()
    test = next(test for test in plan.test_plan(case) if test.key == "resistance_part")
    assert "from C (pin 1 of the plug) to A (the touchable part)" in planned.instruction(test, case)


def test_no_test_asks_to_defeat_a_device_or_to_measure_current_to_earth() -> None:
    for test in plan.test_plan(competent(*dead_readings("OL"))):
        assert test.quantity in (None, Quantity.VOLTAGE, Quantity.RESISTANCE)
    texts = " ".join(wording.template(key) for key in wording.keys("tests")).casefold()
    assert "bypass" not in texts
    assert "remove the" not in texts


def test_a_higher_load_is_said_beforehand_to_trip_a_residual_current_device() -> None:
    for test in plan.test_plan(competent()):
        if test.key in ("live_low_impedance", "live_lamp"):
            assert "device_may_trip" in test.cautions

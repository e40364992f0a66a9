"""Which state is measured next: the range that spans most thresholds; no voltage where a device would have to clear."""

import itertools

import pytest
from reading_benches import P1, STATEMENT, T, bench, dead, dead_readings
from test_plan import ALL_STATES, NONE_ESTABLISHED, competent, proofs

from hazardreport import wording
from hazardreport.case.case import Case
from hazardreport.case.edits import state_absence
from hazardreport.case.wiring import Plug, ProtectiveEarth, SwitchPoles
from hazardreport.readings import planned as words
from hazardreport.readings.plan import next_planned, no_further_test, plan_choices
from hazardreport.readings.plan import test_plan as plan_of

RANGES = {
    "straight-off": (0.0, 0.1e-3),
    "straight-on": (1e-3, 9e-3),
    "reversed-off": (0.1e-3, 60e-3),
    "reversed-on": (0.1e-3, 70e-3),
}


def dead_done(case: Case) -> Case:
    """The case with every test without voltage done or left out."""
    while (following := next_planned(case, NONE_ESTABLISHED, False)) is not None and not following.live:
        case = state_absence(case, f"test.{following.id}", "left out")
    return case


def order(case: Case, ranges: dict[str, tuple[float, float]] | None) -> list[str]:
    found = []
    while (following := next_planned(case, NONE_ESTABLISHED, False, ranges)) is not None:
        found.append(following.id)
        case = state_absence(case, f"test.{following.id}", "left out")
    return found


def test_most_thresholds_first_then_the_widest_and_never_a_higher_load_before_a_lower() -> None:
    found = order(dead_done(competent(*dead_readings(), *proofs())), RANGES)

    assert found[:8] == [
        f"{key}.{state}"
        for key in ("live_meter", "live_resistor")
        for state in ("reversed.on", "reversed.off", "straight.on", "straight.off")
    ]


def test_without_ranges_the_order_of_the_plan_stays() -> None:
    case = dead_done(competent(*dead_readings(), *proofs()))
    assert order(case, None) == [planned.id for planned in plan_of(case) if not planned.done]


def test_a_state_without_a_range_is_wide_open() -> None:
    case = dead_done(competent(*dead_readings(), *proofs()))
    ranges = {key: RANGES[key] for key in RANGES if key != "straight-off"}
    assert order(case, ranges)[0] == "live_meter.straight.off"


def test_no_voltage_in_a_state_whose_predicted_current_the_device_must_clear() -> None:
    case = dead_done(competent(*dead_readings(), *proofs(), circuit_breaker="B16"))
    first = next_planned(case, NONE_ESTABLISHED, False, RANGES, {"reversed-on": 16.1, "reversed-off": 15.9})
    assert first is not None
    assert first.id == "live_meter.reversed.off"
    every = dict.fromkeys(ALL_STATES, 20.0)
    assert next_planned(case, NONE_ESTABLISHED, False, RANGES, every) is None
    assert no_further_test(case, NONE_ESTABLISHED, False, every) == "energising_refused"


def test_why_there_is_no_further_test() -> None:
    case = dead_done(competent(*dead_readings(), *proofs()))
    assert no_further_test(case, NONE_ESTABLISHED, False) == ""
    assert no_further_test(case, ALL_STATES, False) == "settled"
    assert no_further_test(case, NONE_ESTABLISHED, True) == "dangerous_shown"
    done = case
    for planned in plan_of(case):
        done = state_absence(done, f"test.{planned.id}", "left out")
    assert no_further_test(done, NONE_ESTABLISHED, False) == "plan_done"


@pytest.mark.parametrize("key", ["settled", "dangerous_shown", "energising_refused", "plan_done"])
def test_each_reason_has_a_sentence(key: str) -> None:
    assert wording.sentence(f"tests.no_further.{key}").startswith("No further")


def test_choices_that_shaped_the_plan() -> None:
    assert plan_choices(competent(dead(P1, T, "OL"))) == ()
    assert plan_choices(competent(dead(P1, T, "812"))) == ("insulation_when_open",)
    earthed = competent(dead(P1, T, "2.0"), protective_earth=ProtectiveEarth.CONNECTED, circuit_breaker="B16")
    assert plan_choices(earthed) == ("energising_refused", "insulation_when_open")
    for key in plan_choices(earthed):
        assert wording.sentence(f"choices.{key}")


@pytest.mark.parametrize(
    ("plug", "switch", "earth", "cores"),
    list(itertools.product(Plug, SwitchPoles, ProtectiveEarth, (2, 3))),
)
def test_nothing_live_leaks_without_competence(
    plug: Plug, switch: SwitchPoles, earth: ProtectiveEarth, cores: int
) -> None:
    case = bench(*dead_readings(), plug=plug, switch=switch, protective_earth=earth, cord_cores=cores)
    assert STATEMENT is not case.competence
    for planned in plan_of(case):
        if planned.live:
            assert (planned.key[:4], planned.shown, planned.state) == ("ask_", False, None)
            assert (planned.roles, planned.cautions, words.fields(planned, case)) == ((), (), ())
    following = next_planned(dead_done(case), NONE_ESTABLISHED, False, RANGES)
    assert following is None or (following.key == "ask_part" and following.state is None)

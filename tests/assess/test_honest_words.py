"""What the readings do not show is not said: left-out readings, read voltages, proof without readings."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from hazardreport.app.cli_summary import summary
from hazardreport.assess.agreement import entered, with_misfits, without_misfits
from hazardreport.assess.assessment import assess
from hazardreport.assess.records import ArtefactArgument, Assessment, Basis, StateCell
from hazardreport.case.case import Case
from hazardreport.case.reading import Load, LoadKind, PlugPosition, Quantity, State, SwitchPosition

DEAD = State(plug=PlugPosition.UNPLUGGED, switch=SwitchPosition.ON)
STRAIGHT_ON = State(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.ON)
REVERSED_ON = State(plug=PlugPosition.REVERSED, switch=SwitchPosition.ON)
REVERSED_OFF = State(plug=PlugPosition.REVERSED, switch=SwitchPosition.OFF)
ODD_LOAD = Load(kind=LoadKind.RESISTOR, resistance=10_000.0)
PROOFS = ("FG", "FE", "GE")


def live(dead_bench: Callable[..., Any]) -> Any:
    """Resistances and supply, and the meter alone in three states; source impedance far below the meter's."""
    made = dead_bench(fault_resistance=1000.0)
    for state in (REVERSED_OFF, STRAIGHT_ON, REVERSED_ON):
        made.read("AE", Quantity.VOLTAGE, state)
    return proved(made)


def proved(made: Any) -> Any:
    made.case = replace(made.case, readings=tuple(replace(one, proved=True) for one in made.case.readings))
    return made


def odd_one(dead_bench: Callable[..., Any]) -> Any:
    made = live(dead_bench)
    made.typed("AE", Quantity.VOLTAGE, REVERSED_OFF, "60 V", ODD_LOAD)
    return proved(made)


def cell(found: Assessment, state: str) -> StateCell:
    return next(one for one in found.states if one.state.key == state)


def argument(found: Assessment, word: str) -> ArtefactArgument:
    return next(one for one in found.artefact if word in one.text)


def flat(case: Case, found: Assessment) -> str:
    return " ".join(summary(case, found, "case").split())


def test_a_reading_that_does_not_fit_is_named_where_the_agreement_is_told(dead_bench: Callable[..., Any]) -> None:
    case = odd_one(dead_bench).case
    odd = case.readings[-1].id
    found = assess(case)

    assert found.fit is not None
    assert found.fit.consistent
    assert found.fit.left_out == (odd,)
    assert odd not in {residual.reading for residual in found.fit.residuals}
    assert "do not all tell one story" in without_misfits(found)
    assert f"{odd}, because all others would make it" in without_misfits(found)
    assert odd in with_misfits(found)
    assert f"1 does not fit and was left out ({odd})" in entered(found)
    said = flat(case, found)
    assert "They tell one story" not in said
    assert f"left out of the fit: {odd}" in said
    assert argument(found, "Not all readings agree").supports is None
    assert not [one for one in found.artefact if odd in one.readings and one.supports and "Under a load" in one.text]


def test_the_count_of_those_that_entered_is_that_of_the_fit(dead_bench: Callable[..., Any]) -> None:
    case = odd_one(dead_bench).case
    found = assess(case)

    assert found.fit is not None
    fitted = len(found.fit.residuals)
    assert f"{fitted} of {len(case.readings)} readings enter the fit" in entered(found)
    assert fitted == len(case.readings) - 1


def test_a_set_that_agrees_tells_one_story_and_names_its_bounds(dead_bench: Callable[..., Any]) -> None:
    made = live(dead_bench)
    made.typed("AD", Quantity.RESISTANCE, DEAD, "> 1 GΩ")
    case = made.case
    found = assess(case)

    assert without_misfits(found) == with_misfits(found) == ""
    assert "They tell one story" in flat(case, found)
    assert found.fit is not None
    assert found.fit.left_out == ()


def test_a_bound_that_the_others_contradict_is_left_out_and_named(dead_bench: Callable[..., Any]) -> None:
    made = live(dead_bench)
    made.typed("BA", Quantity.RESISTANCE, DEAD, "> 20 MΩ")
    found = assess(made.case)

    odd = made.case.readings[-1].id
    assert found.fit is not None
    assert odd in found.fit.left_out
    assert odd not in found.fit.bounds
    assert f"{odd}, a bound that the others contradict" in without_misfits(found)


def test_without_a_fit_only_how_many_count_is_said(bench: Callable[..., Any]) -> None:
    found = assess(bench().case)

    assert found.fit is None
    assert entered(found) == "0 of 0 readings enter the calculation."


def test_a_voltage_read_with_a_proved_meter_is_measured_and_its_current_predicted(
    dead_bench: Callable[..., Any],
) -> None:
    found = assess(live(dead_bench).case)

    assert cell(found, "reversed-off").basis is Basis.VOLTAGE_MEASURED
    assert cell(found, "straight-off").basis is Basis.PREDICTED
    assert "The voltage on the part was read in this state" in found.verdict.sentence
    assert "the current that it drives is predicted" in found.verdict.sentence


def test_a_meter_that_nobody_proved_measures_no_voltage(dead_bench: Callable[..., Any]) -> None:
    made = dead_bench(fault_resistance=1000.0).read("AE", Quantity.VOLTAGE, REVERSED_OFF)
    readings = tuple(replace(one, proved=False) for one in made.case.readings)

    assert cell(assess(replace(made.case, readings=readings)), "reversed-off").basis is Basis.PREDICTED


def test_a_source_that_the_meter_loads_has_no_measured_voltage(dead_bench: Callable[..., Any]) -> None:
    made = proved(dead_bench(fault_resistance=2e6).read("AE", Quantity.VOLTAGE, REVERSED_OFF))

    assert cell(assess(made.case), "reversed-off").basis is Basis.PREDICTED


def test_a_loaded_reading_makes_the_state_measured(dead_bench: Callable[..., Any]) -> None:
    made = live(dead_bench)
    made.read("AE", Quantity.VOLTAGE, REVERSED_OFF, ODD_LOAD)
    found = assess(proved(made).case)

    assert cell(found, "reversed-off").basis is Basis.MEASURED
    assert "The source at the part is measured in this state." in found.verdict.sentence
    assert found.would_measure == ""


def test_what_would_measure_the_current_stands_behind_the_gate(dead_bench: Callable[..., Any]) -> None:
    case = live(dead_bench).case
    gated = replace(case, competence=None)
    found, closed = assess(case), assess(gated)

    assert "47\u00a0kΩ" in found.would_measure
    assert " ".join(found.would_measure.split()) in flat(case, found)
    assert closed.verdict.headline == found.verdict.headline
    assert closed.would_measure == ""
    assert "47\u00a0kΩ" not in summary(gated, closed, "case")


def test_established_is_explained_once(dead_bench: Callable[..., Any]) -> None:
    case = live(dead_bench).case

    assert flat(case, assess(case)).count("Established: readings of this unit fix the state") == 1


def test_proof_without_its_readings_is_told_as_a_note(dead_bench: Callable[..., Any]) -> None:
    found = assess(live(dead_bench).case)

    told = argument(found, "noted as proved")
    assert told.supports is None
    assert "line of the socket to earth" in told.text
    assert "line of the socket to neutral" not in told.text
    assert not [one for one in found.artefact if one.text.startswith("The meter was proved")]


def test_proof_with_its_readings_supports(dead_bench: Callable[..., Any]) -> None:
    made = live(dead_bench)
    for points, typed in zip(PROOFS[1:], ("120.0 V", "0.2 V"), strict=True):
        made.typed(points, Quantity.VOLTAGE, DEAD, typed)
    found = assess(proved(made).case)

    assert argument(found, "The meter was proved").supports is True

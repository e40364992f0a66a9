"""States that contradict the wiring are refused or remarked; remarks on live readings together stand once."""

from dataclasses import replace

import pytest
from reading_benches import LETTERS, METER, P1, P2, E, T, bench, dead, live, taken

from hazardreport import wording
from hazardreport.case.picture import Point, PointRole
from hazardreport.case.reading import (
    CutOut,
    EarthState,
    PlugPosition,
    Quantity,
    Reading,
    State,
    SupplyKind,
    TrippingDevice,
)
from hazardreport.case.wiring import ProtectiveEarth, SecondPart, Supply, SwitchPoles
from hazardreport.quantity.typed import Bound
from hazardreport.readings.all_readings import read_numbers
from hazardreport.readings.checks import GENTLE, REFUSING, UNDECIDING
from hazardreport.readings.number import read_number
from hazardreport.readings.result import Purpose, ReadingResult

PLUGGED = State(plug=PlugPosition.STRAIGHT)


def keys(result: ReadingResult) -> set[str]:
    return {key for key, _ in result.problems}


def proofs(*pairs: tuple[PointRole, PointRole]) -> tuple[Reading, ...]:
    return tuple(taken(first, second, Quantity.VOLTAGE, "120.0 V") for first, second in pairs)


@pytest.mark.parametrize(
    ("poles", "refused"),
    [
        (SwitchPoles.NONE, True),
        (SwitchPoles.UNKNOWN, False),
        (SwitchPoles.POLE_1, False),
        (SwitchPoles.BOTH, False),
    ],
)
def test_a_unit_without_cut_out_has_none_open(poles: SwitchPoles, refused: bool) -> None:
    state = State(plug=PlugPosition.STRAIGHT, cut_out=CutOut.OPEN)
    result = read_number(live("60 V", state=state), bench(cut_out=poles))
    assert (result.refused, "no_such_cut_out" in keys(result)) == (refused, refused)


@pytest.mark.parametrize(
    ("wiring", "remarked"),
    [
        ({"cord_cores": 2, "protective_earth": ProtectiveEarth.NONE}, True),
        ({"cord_cores": 2, "protective_earth": ProtectiveEarth.UNKNOWN}, True),
        ({"cord_cores": 3, "protective_earth": ProtectiveEarth.OPEN}, False),
    ],
)
def test_an_earth_joined_to_a_unit_without_one_is_remarked_and_used(wiring: dict[str, object], remarked: bool) -> None:
    state = State(plug=PlugPosition.STRAIGHT, earth=EarthState.CONNECTED)
    result = read_number(live("0.4 V", state=state), bench(**wiring))
    assert (result.used, "earth_on_two_cores" in keys(result)) == (True, remarked)


@pytest.mark.parametrize("supply", [SupplyKind.ISOLATING, SupplyKind.INVERTER, SupplyKind.UNKNOWN])
@pytest.mark.parametrize("typed", ["not detected", "< 5 V", "> 60 V", "OL"])
def test_a_bound_behind_isolation_restricts_nothing(supply: SupplyKind, typed: str) -> None:
    result = read_number(live(typed, supply=supply), bench())
    assert (result.used, result.restricts) == (False, False)
    assert result.bound is not Bound.NONE


def test_a_bound_without_proof_restricts_nothing() -> None:
    assert not read_number(live("not detected", proved=False), bench()).restricts
    assert read_number(live("not detected"), bench()).restricts
    assert read_number(dead(P1, T, "OL"), bench()).restricts


def with_second_part(*readings: Reading, **wiring: object):
    case = bench(*readings, **wiring)
    return replace(case, points=(*case.points, Point(letter="S", role=PointRole.SECOND_PART, description="knob")))


def test_a_second_part_is_a_part_of_the_unit() -> None:
    charge = replace(taken(P1, T, Quantity.VOLTAGE, "0.0 V"), second="S")
    case = with_second_part(charge, second_part=SecondPart.SEPARATE)
    result = read_number(charge, case)
    assert (result.purpose, result.used, result.problems) == (Purpose.STORED_CHARGE, True, ())
    assert "no_second_part" in keys(read_number(charge, with_second_part(charge)))


@pytest.mark.parametrize("other", [LETTERS[E], LETTERS[T]])
def test_an_ammeter_across_a_second_part_is_refused(other: str) -> None:
    current = replace(taken(T, E, Quantity.CURRENT, "5 mA", state=PLUGGED, proved=True), first="S", second=other)
    case = with_second_part(current, second_part=SecondPart.SEPARATE)
    assert "ammeter_across_part" in keys(read_number(current, case))


def test_leads_that_are_more_than_the_reading_are_refused() -> None:
    reading = dead(P1, P2, "9.8 Ω")
    case = replace(bench(reading), instruments=(replace(METER, lead_resistance=20.0),))
    result = read_number(reading, case)
    assert (result.refused, "below_leads" in keys(result)) == (True, True)


@pytest.mark.parametrize("typed", ["0 V", "-230 V", "230 VDC", "230 kV"])
def test_a_supply_that_cannot_be_is_left_out(typed: str) -> None:
    result = read_number(live("60 V", supply_typed=typed), bench())
    assert (result.supply_voltage, result.used) == (None, True)
    assert keys(result) == {"supply_not_possible"}
    assert result.supply_uncertainty > 0.0


@pytest.mark.parametrize("changes", [{"percent": -1.0}, {"digits": -3.0}, {"resolution": 0.0}, {"range_to": -6.0}])
def test_an_accuracy_that_no_maker_states_is_left_out(changes: dict[str, float]) -> None:
    reading = live("119.9 V", supply_typed="120.0 V")
    wrong = replace(METER, accuracies=tuple(replace(one, **changes) for one in METER.accuracies))
    result = read_number(reading, replace(bench(reading), instruments=(wrong,)))
    common = read_number(replace(reading, instrument=""), bench(reading))

    assert "instrument_not_possible" in keys(result)
    assert result.value is not None
    assert common.value is not None
    assert result.value.standard_uncertainty == pytest.approx(common.value.standard_uncertainty)


# --- remarks on live readings together ----------------------------------------------------------------------------

PAIRS = (
    (PointRole.LINE, PointRole.NEUTRAL),
    (PointRole.LINE, PointRole.EARTH),
    (PointRole.NEUTRAL, PointRole.EARTH),
)


@pytest.mark.parametrize("missing", range(3))
def test_a_proof_that_is_not_in_the_case_is_named_once(missing: int) -> None:
    there = [pair for place, pair in enumerate(PAIRS) if place != missing]
    results = read_numbers(bench(*proofs(*there), live("60 V"), live("61 V")))
    found = [
        dict(fields)["missing"] for result in results for key, fields in result.problems if key == "proofs_not_noted"
    ]

    words = [wording.sentence(f"tests.role.{role.name.lower()}") for role in PAIRS[missing]]
    assert found == [f"{words[0]} to {words[1]}"]
    assert all(result.used for result in results)


def test_all_three_proofs_leave_nothing_to_say() -> None:
    results = read_numbers(bench(*proofs(*PAIRS), live("60 V")))
    assert not any("proofs_not_noted" in keys(result) for result in results)


def test_two_live_poles_are_named_as_such() -> None:
    results = read_numbers(bench(live("60 V"), supply=Supply.TWO_LIVE_POLES))
    fields = next(dict(fields) for key, fields in results[0].problems if key == "proofs_not_noted")
    assert fields["missing"].startswith("live pole 1 of the socket to live pole 2 of the socket; ")


def test_devices_that_are_not_noted_are_counted_once() -> None:
    noted = replace(live("60 V"), device=TrippingDevice.NONE)
    results = read_numbers(bench(dead(P1, T, "9.8"), noted, live("61 V"), live("62 V")))
    found = [
        (result.reading_id, dict(fields))
        for result in results
        for key, fields in result.problems
        if key == "device_not_noted"
    ]
    assert found == [("reading-003", {"count": "2"})]


def test_an_earth_without_description_is_asked_for() -> None:
    case = bench(live("60 V"))
    assert "earth_not_named" in keys(read_numbers(case)[0])
    described = tuple(replace(point, description="clip on the tap") for point in case.points)
    assert "earth_not_named" not in keys(read_numbers(replace(case, points=described))[0])


def test_what_is_gentle_neither_refuses_nor_is_without_words() -> None:
    assert not GENTLE & REFUSING
    assert {"earth_by_ohmmeter", "dark_lamp"} == GENTLE & UNDECIDING
    worded = {key.split(".")[1] for key in wording.keys("problems")}
    assert worded >= GENTLE

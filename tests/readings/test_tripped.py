"""A device that tripped bounds the circuit's current by its kind, decides nothing and restricts nothing."""

import pytest
from reading_benches import LAMP, RESISTOR, E, T, bench, live, taken

from hazardreport import wording
from hazardreport.case.reading import PlugPosition, Quantity, State, TrippingDevice
from hazardreport.quantity.typed import Bound
from hazardreport.readings.number import read_number

PLUGGED = State(plug=PlugPosition.STRAIGHT)


def keys(problems: tuple[tuple[str, object], ...]) -> set[str]:
    return {key for key, _ in problems}


@pytest.mark.published("ul-943", "class A, 4 mA")
def test_class_a_never_acts_below_its_printed_current(printed) -> None:
    result = read_number(live("tripped", device=TrippingDevice.GFCI_A), bench())
    assert result.value is not None
    assert result.value.value * 1e3 == printed("4")


@pytest.mark.published("iec-61008-1", "non-operating current 0.5 of the rated one")
def test_a_device_of_30_ma_carried_half_of_it(printed) -> None:
    result = read_number(live("tripped", device=TrippingDevice.MA_30), bench())
    assert result.value is not None
    assert result.value.value * 1e3 / 30 == printed("0.5")


@pytest.mark.parametrize(
    ("device", "least"),
    [
        (TrippingDevice.NOT_NOTED, 4e-3),
        (TrippingDevice.OTHER, 4e-3),
        (TrippingDevice.GFCI_A, 4e-3),
        (TrippingDevice.MA_30, 15e-3),
    ],
)
@pytest.mark.parametrize(
    "given",
    [
        live("tripped"),
        live(" Tripped ", load=RESISTOR),
        live("tripped", quantity=Quantity.LAMP, load=LAMP),
        taken(T, E, Quantity.CURRENT, "tripped", state=PLUGGED, proved=True, load=RESISTOR),
    ],
    ids=["at plug-in", "at a load", "at a lamp", "as a current"],
)
def test_every_trip_is_a_lower_bound_of_the_current(given, device: TrippingDevice, least: float) -> None:
    from dataclasses import replace

    result = read_number(replace(given, device=device), bench())

    assert result.value is not None
    assert (result.value.value, result.value.unit) == (pytest.approx(least), "A")
    assert (result.quantity, result.bound) == (Quantity.CURRENT, Bound.ABOVE)
    assert (result.used, result.restricts, result.refused) == (False, False, False)
    assert "device_tripped" in keys(result.problems)
    assert "tripped" in result.choices
    assert wording.sentence("choices.tripped")


def test_without_a_device_a_trip_bounds_nothing() -> None:
    result = read_number(live("tripped", device=TrippingDevice.NONE), bench())

    assert (result.value, result.bound, result.restricts) == (None, Bound.ABOVE, False)
    assert "tripped_without_device" in keys(result.problems)


def test_nothing_trips_while_the_unit_is_unplugged() -> None:
    assert read_number(live("tripped", state=State()), bench()).refused


def test_the_words_name_the_current() -> None:
    for device, said in ((TrippingDevice.NOT_NOTED, "4 mA"), (TrippingDevice.MA_30, "15 mA")):
        result = read_number(live("tripped", device=device), bench())
        fields = dict(next(fields for key, fields in result.problems if key == "device_tripped"))
        assert said in wording.sentence("problems.device_tripped.what", **fields).replace("\u00a0", " ")

"""The demo case with fewer readings: what still follows."""

from dataclasses import replace

import pytest

from hazardreport.assess.assessment import assess
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.reading import LoadKind, PlugPosition, Quantity, Reading
from hazardreport.case.wiring import Supply, Wiring
from hazardreport.resources_dir import DEMO_CASE
from hazardreport.severity.terms import SignalWord
from hazardreport.storage.folder import open_case


@pytest.fixture(scope="module")
def demo() -> Case:
    return open_case(DEMO_CASE, for_writing=False).case


def only(case: Case, kept: object) -> Case:
    assert callable(kept)
    return replace(case, readings=tuple(reading for reading in case.readings if kept(reading)))


def dead(reading: Reading) -> bool:
    return reading.state.plug is PlugPosition.UNPLUGGED and reading.quantity is Quantity.RESISTANCE


def test_tests_without_voltage_settle_the_demo(demo: Case) -> None:
    found = assess(only(demo, dead))
    whole = assess(demo)

    assert found.verdict.word is SignalWord.DANGER
    assert found.verdict.headline == whole.verdict.headline
    assert all(cell.established for cell in found.states if cell.plausible)
    assert isc(found) == pytest.approx(isc(whole), rel=0.1)


def isc(found: Assessment) -> float:
    return found.number(found.verdict.figures[1]).measured.value


def test_unloaded_readings_alone_settle_nothing_of_the_demo(demo: Case) -> None:
    found = assess(only(demo, lambda reading: not dead(reading) and reading.load.kind is LoadKind.NONE))

    assert found.verdict.word is SignalWord.NOT_EXCLUDED
    assert not any(cell.established for cell in found.states)


@pytest.mark.parametrize(
    "wiring",
    [Wiring(), Wiring(nominal_voltage=230.0), Wiring(nominal_voltage=230.0, frequency=50.0, supply=Supply.ISOLATED)],
    ids=["nothing stated", "no frequency", "a supply that is refused"],
)
def test_a_supply_that_nobody_stated_gives_no_word_below_not_excluded(demo: Case, wiring: Wiring) -> None:
    found = assess(replace(demo, wiring=wiring))

    assert found.verdict.word is SignalWord.NOT_EXCLUDED
    assert "do not use" in found.verdict.sentence
    assert "limit" in found.verdict.sentence

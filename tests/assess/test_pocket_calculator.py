"""Every number of a trace comes out again from its printed inputs, or by the class that its text names."""

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from pocket_calculator import NotEvaluableError, comes_out, overlap, printed_interval
from told_case import Told, planted, told
from told_otherwise import CLASSES

from hazardreport.case.case import Case
from hazardreport.case.circumstances import FindingAnswer, Grip, ResidualCurrentDevice
from hazardreport.case.exposure import BodyPath, ContactArea, OwnExposure, Skin
from hazardreport.case.reading import LoadKind, PlugPosition, Quantity
from hazardreport.case.requirement import RequirementAnswer
from hazardreport.case.wiring import Earthing, Filter, SecondPart, Supply, SupplyFault, SwitchPoles
from hazardreport.quantity.measured import Measured
from hazardreport.quantity.trace import Number, Trace
from hazardreport.resources_dir import DEMO_CASE
from hazardreport.storage.bench_sheet import read_bench_sheet
from hazardreport.storage.folder import open_case
from hazardreport.storage.unit_sheet import read_unit_sheet

WITHOUT_DOUBT = "share of adults, exact by inversion"
COARSE = (
    "share of adults in seeded trials over population and measurement",
    "95 % end by profile: the sum of squares with all other parameters fitted anew",
)
"""Held to the tolerance of the trials or of the search, which is coarser than printed digits."""
MATERIAL = Path(__file__).resolve().parents[1] / "material" / "glue-pot"


@cache
def demo() -> Case:
    return open_case(DEMO_CASE, for_writing=False).case


@cache
def glue_pot() -> Case:
    return read_bench_sheet(read_unit_sheet(Case(id="C-1"), MATERIAL / "unit.toml"), MATERIAL / "readings.csv")


def _plugged_in(case: Case, *, plugged_in: bool) -> Case:
    kept = (PlugPosition.STRAIGHT, PlugPosition.REVERSED)
    return replace(case, readings=tuple(one for one in case.readings if (one.state.plug in kept) == plugged_in))


def _unloaded(case: Case) -> Case:
    live = _plugged_in(case, plugged_in=True)
    return replace(live, readings=tuple(one for one in live.readings if one.load.kind is LoadKind.NONE))


def _people(case: Case) -> Case:
    own = OwnExposure(
        id="exposure-001",
        skin=Skin.WATER_WET,
        percentile=5,
        path=BodyPath.HAND_TO_FEET,
        area=ContactArea.LARGE,
        series_resistance=300.0,
        duration=2.0,
    )
    household = replace(
        case.household,
        floor_resistance=1000.0,
        grip=Grip.FINGERTIP,
        residual_current_device=ResidualCurrentDevice.MA_30,
    )
    return replace(case, household=household, exposures=(own,))


CASES: dict[str, Callable[[], Case]] = {
    "demo": demo,
    "glue pot": glue_pot,
    "demo, dead tests alone": lambda: _plugged_in(demo(), plugged_in=False),
    "demo, plugged in alone": lambda: _plugged_in(demo(), plugged_in=True),
    "demo, nothing under load": lambda: _unloaded(demo()),
    "demo, other people": lambda: _people(demo()),
    "glue pot, plugged in alone": lambda: _plugged_in(glue_pot(), plugged_in=True),
    "glue pot, two live poles": lambda: _supplied(glue_pot(), Supply.TWO_LIVE_POLES),
    "glue pot, two phases, nothing under load": lambda: _unloaded(_supplied(glue_pot(), Supply.TWO_PHASES)),
    "glue pot, a filter": lambda: _filtered(glue_pot()),
    "glue pot, switch in both poles": lambda: replace(
        glue_pot(), wiring=replace(glue_pot().wiring, switch=SwitchPoles.BOTH)
    ),
    "glue pot, a reading at the part in one state": lambda: replace(
        glue_pot(), readings=_unloaded(glue_pot()).readings[:1]
    ),
    "demo, a filter": lambda: _filtered(demo()),
    "demo, two live poles": lambda: _supplied(demo(), Supply.TWO_LIVE_POLES),
    "demo, two phases": lambda: _supplied(demo(), Supply.TWO_PHASES),
    "demo, an electrode": lambda: _wired(demo(), earthing=Earthing.TT, electrode_resistance=20.0),
    "demo, neutral lost": lambda: _wired(demo(), supply_fault=SupplyFault.NEUTRAL),
    "demo, a second part": lambda: _wired(demo(), second_part=SecondPart.SEPARATE),
    "demo, a cut-out": lambda: _wired(demo(), cut_out=SwitchPoles.POLE_1),
    "demo, a current through a resistor": lambda: _with_current(demo()),
    "glue pot, plug not noted": lambda: _not_noted(glue_pot()),
    "glue pot, element open": lambda: _wired(glue_pot(), element=replace(glue_pot().wiring.element, open_at=0.5)),
    "demo, extra-low voltage asked": lambda: replace(
        demo(), requirements=(RequirementAnswer(id="extra-low-voltage", answer=FindingAnswer.COULD_NOT_CHECK),)
    ),
    "empty": lambda: Case(id="C-2"),
}


def _wired(case: Case, **changes: object) -> Case:
    return replace(case, wiring=replace(case.wiring, **changes))  # type: ignore[arg-type]


def _with_current(case: Case) -> Case:
    """The first reading under a resistor once more, as the current through it."""
    under = next(one for one in case.readings if one.load.kind is LoadKind.RESISTOR)
    current = replace(under, id="reading-090", quantity=Quantity.CURRENT, typed="4.70 mA")
    return replace(case, readings=(*case.readings, current))


def _not_noted(case: Case) -> Case:
    return replace(
        case,
        readings=tuple(
            one
            if one.state.plug is PlugPosition.UNPLUGGED
            else replace(one, state=replace(one.state, plug=PlugPosition.UNKNOWN))
            for one in case.readings
        ),
    )


def _supplied(case: Case, supply: Supply) -> Case:
    return replace(case, wiring=replace(case.wiring, supply=supply))


def _filtered(case: Case) -> Case:
    parts = Filter(y_capacitance_1=2.2e-9, y_capacitance_2=2.2e-9)
    return replace(case, wiring=replace(case.wiring, filter=parts))


@cache
def assessed(name: str) -> Told:
    return told(CASES[name]())


def holds(case: Told, number: Number) -> bool:
    """Whether a number comes out again; not if its text is neither an equation of its inputs nor a listed class."""
    listed = CLASSES.get(number.equation)
    try:
        return listed(case, number) if listed else comes_out(number, case.trace)
    except NotEvaluableError:
        return False


@pytest.mark.parametrize("name", CASES)
def test_every_number_comes_out_again(name: str) -> None:
    case = assessed(name)
    assert [f"{number.id}: {number.equation}" for number in case.trace if not holds(case, number)] == []


def test_the_cases_hold_every_listed_class() -> None:
    """All but one: no reading gives a source without doubt."""
    met = {number.equation for name in CASES for number in assessed(name).trace}
    assert set(CLASSES) - met == {WITHOUT_DOUBT}


def _example(text: str) -> tuple[Told, Number]:
    """A number of that text that is neither nothing nor endless."""
    return next(
        (assessed(name), number)
        for name in CASES
        for number in assessed(name).trace
        if number.equation == text and 0.0 < abs(number.measured.value) < float("inf")
    )


def _texts() -> list[str]:
    """Texts of all traces, closed forms and listed classes, with a number that a planted error can change."""
    found = dict.fromkeys(
        number.equation
        for name in CASES
        for number in assessed(name).trace
        if 0.0 < abs(number.measured.value) < float("inf")
    )
    return list(found)


@pytest.mark.parametrize("factor", [1.001, 1.5])
def test_a_planted_wrong_number_is_caught_in_every_class_and_every_equation(factor: float) -> None:
    missed = []
    for text in _texts():
        case, number = _example(text)
        wrong = planted(case, number.id, 1.5 if text in COARSE else factor)
        if holds(wrong, wrong.trace[number.id]):
            missed.append(f"{number.id}: {text}")
    assert missed == []


def test_a_planted_text_that_is_neither_equation_nor_class_is_caught() -> None:
    case, number = _example("U0 / |Zs|")
    for text in (
        "by experience",
        "U0 / (|Zs| + Zx)",
        "U0 divided by Zs",
        "__import__('os').getcwd()",
        "U0 / |Zs|; see there",
        "U0.real / Zs",
        "(lambda: 1)()",
        "",
    ):
        assert not holds(case, replace(number, equation=text)), text


def test_a_number_without_its_input_is_caught() -> None:
    case, number = _example("U0 / |Zs|")
    assert holds(case, number)
    assert not holds(case, replace(number, inputs=number.inputs[:1]))


def test_two_inputs_of_one_symbol_are_caught() -> None:
    case, number = _example("U0 / |Zs|")
    other = next(item.id for item in case.trace if item.symbol == "Zs" and item.id not in number.inputs)
    assert not holds(case, replace(number, inputs=(*number.inputs, other)))


@pytest.mark.parametrize(
    ("value", "unit", "low", "high"),
    [
        (231.09866088, "V", 231.0985, 231.0995),
        (0.0264831, "A", 0.02648305, 0.02648315),
        (4.7e-9, "F", 4.699995e-9, 4.700005e-9),
        (0.25, "1", 0.2499995, 0.2500005),
        (0.0, "A", 0.0, 0.0),
        (float("inf"), "s", float("inf"), float("inf")),
    ],
)
def test_printed_digits_span_half_a_step(value: float, unit: str, low: float, high: float) -> None:
    number = Number(
        id="n", name="n", symbol="n", measured=Measured(value=value, standard_uncertainty=0.0, unit=unit), equation="n"
    )
    found = printed_interval(number)
    assert found == pytest.approx((low, high), rel=1e-12)


def _number(symbol: str, value: float, text: str = "as stated", inputs: tuple[str, ...] = ()) -> Number:
    measured = Measured(value=value, standard_uncertainty=0.0, unit="1")
    return Number(id=symbol, name=symbol, symbol=symbol, measured=measured, equation=text, inputs=inputs)


@pytest.mark.parametrize(
    ("text", "right", "wrong"),
    [
        ("2·a − b", 3.0, 3.1),
        ("√(a² + b²)", 5.0**0.5, 5.0),
        ("a / √3", 2.0 / 3.0**0.5, 1.0),
        ("|a − j·b|", 5.0**0.5, 2.0),
        ("a·k; k = 2·π·b", 4.0 * 3.141592653589793, 4.0),
        ("min(a, b)", 1.0, 2.0),
        ("max(a, c); c = 3·b", 3.0, 2.0),
        ("y² = a·b; without C: √(a·b)", 2.0**0.5, 2.0),
    ],
)
def test_the_calculator_reads_what_is_printed(text: str, right: float, wrong: float) -> None:
    inputs = (_number("a", 2.0), _number("b", 1.0))
    for value, expected in ((right, True), (wrong, False)):
        number = _number("y", value, text, ("a", "b"))
        assert comes_out(number, Trace(numbers=(*inputs, number))) is expected


def test_intervals_overlap_where_they_touch() -> None:
    assert overlap((1.0, 2.0), (2.0, 3.0))
    assert not overlap((1.0, 2.0), (2.001, 3.0))

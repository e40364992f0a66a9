"""The schematic shows the wiring as described, the fault as fitted, and the way of the current."""

from collections.abc import Callable
from dataclasses import replace
from itertools import cycle, product
from typing import Any

import pytest

from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.reading import PlugPosition, SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import (
    Earthing,
    Element,
    Filter,
    ProtectiveEarth,
    SecondPart,
    Supply,
    SupplyFault,
    SwitchPoles,
    Wiring,
)
from hazardreport.figures.drawing import Drawing, Fill, Stroke, Words
from hazardreport.figures.inks import LIVE
from hazardreport.figures.schematic import schematic


def words(drawing: Drawing) -> str:
    return " | ".join(shape.text for shape in drawing.shapes if isinstance(shape, Words)).replace("\u00a0", " ")


def highlighted(drawing: Drawing) -> bool:
    """Whether a way of the current is drawn: broad strokes that one can see through."""
    return any(
        isinstance(shape, Stroke) and shape.width == 2.0 and shape.ink.opacity < 1 and shape.ink.role == LIVE.role
        for shape in drawing.shapes
    )


def test_fitted_values_stand_beside_their_parts(case: Case, assessment: Assessment) -> None:
    shown = words(schematic(case, assessment, 170, 80, person=True))
    for text in (
        "Re = 24.00 Ω",
        "Rf = 12.4 Ω",
        "x = 0.3200",
        "U0 = 117.4 V",
        "Isc = 6.80 A",
        "82.6 mA",
        "120 V",
        "600 W",
    ):
        assert text in shown, text
    assert "plug reversed, switch off" in shown


def test_the_tap_stands_at_the_fitted_place(case: Case, assessment: Assessment) -> None:
    drawing = schematic(case, assessment, 170, 80)
    head = next(shape for shape in drawing.shapes if isinstance(shape, Fill) and shape.ink == LIVE)
    element = max(
        (shape for shape in drawing.shapes if isinstance(shape, Stroke) and shape.closed and not shape.dashes),
        key=lambda shape: max(y for _, y in shape.points) - min(y for _, y in shape.points),
    )
    top, bottom = min(y for _, y in element.points), max(y for _, y in element.points)
    assert (head.points[0][1] - top) / (bottom - top) == pytest.approx(0.32, abs=1e-6)


@pytest.mark.common_practice
@pytest.mark.parametrize(
    ("plug", "poles", "flows"),
    [
        (PlugPosition.STRAIGHT, SwitchPoles.POLE_1, False),
        (PlugPosition.REVERSED, SwitchPoles.POLE_1, True),
        (PlugPosition.STRAIGHT, SwitchPoles.POLE_2, True),
        (PlugPosition.REVERSED, SwitchPoles.POLE_2, False),
        (PlugPosition.STRAIGHT, SwitchPoles.BOTH, False),
        (PlugPosition.REVERSED, SwitchPoles.NONE, True),
        (PlugPosition.UNPLUGGED, SwitchPoles.NONE, False),
    ],
)
def test_a_switched_off_unit_leads_current_where_the_switch_is_in_the_other_pole(
    case: Case, assessment: Assessment, plug: PlugPosition, poles: SwitchPoles, flows: bool
) -> None:
    state = UnitState(plug=plug, switch=SwitchPosition.OFF)
    other = replace(case, wiring=replace(case.wiring, switch=poles))
    drawing = schematic(other, assessment, 170, 80, state, person=True)
    assert highlighted(drawing) is flows
    assert ("through the person" in drawing.description) is flows


def test_an_interrupted_earth_is_drawn_open_and_named(case: Case) -> None:
    assert "PE, interrupted" in words(schematic(case, None, 170, 80))
    built = UnitState(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.ON, earthed=True)
    assert "interrupted" not in words(schematic(case, None, 170, 80, built))


def test_a_unit_that_nobody_described_yet_is_drawn_with_questions() -> None:
    drawing = schematic(Case(id="case-2"), None, 120, 70)
    assert words(drawing).count("?") == 3
    assert "not determined" in drawing.description


@pytest.mark.parametrize("size", [(170.0, 80.0), (120.0, 66.0), (182.0, 90.0)], ids=str)
@pytest.mark.parametrize("person", [False, True], ids=["alone", "person"])
def test_all_is_inside_and_no_text_lies_on_another(
    case: Case,
    assessment: Assessment,
    size: tuple[float, float],
    person: bool,
    beyond_the_edge: Callable[[Drawing], list[str]],
    texts_upon_each_other: Callable[[Drawing], list[tuple[str, str]]],
) -> None:
    states = cycle([None, *(UnitState(plug=plug, switch=SwitchPosition.OFF) for plug in PlugPosition)])
    for (supply, earth, poles), state in zip(product(Supply, ProtectiveEarth, SwitchPoles), states, strict=False):
        wiring: Wiring = replace(case.wiring, supply=supply, protective_earth=earth, switch=poles)
        for results in (None, assessment):
            drawing = schematic(replace(case, wiring=wiring), results, *size, state, person)
            assert beyond_the_edge(drawing) == []
            assert texts_upon_each_other(drawing) == []
            assert drawing.description


FILTER = Filter(y_capacitance_1=2.2e-9, y_capacitance_2=2.2e-9, x_capacitance=100e-9, bleeder_resistance=1e6)
ELEMENT = Element(rated_voltage=120.0, rated_power=600.0)
RICHER: dict[str, dict[str, Any]] = {
    "filter": {"filter": FILTER},
    "only between the pins": {"filter": Filter(x_capacitance=100e-9)},
    "only to the metal": {"filter": Filter(y_capacitance_1=4.7e-9)},
    "thermostat": {"cut_out": SwitchPoles.POLE_2},
    "thermostat not known where": {"cut_out": SwitchPoles.UNKNOWN},
    "broken": {"element": replace(ELEMENT, open_at=0.6)},
    "further elements": {"more_elements": (ELEMENT, replace(ELEMENT, rated_power=900.0)), "faulty_element": 3},
    "second part": {"second_part": SecondPart.SEPARATE},
    "neutral lost": {"supply_fault": SupplyFault.NEUTRAL},
    "PEN lost": {"supply_fault": SupplyFault.PEN},
    "own electrode": {"earthing": Earthing.TT},
    "all": {
        "filter": FILTER,
        "cut_out": SwitchPoles.BOTH,
        "more_elements": (ELEMENT, ELEMENT, ELEMENT),
        "element": replace(ELEMENT, open_at=0.9),
        "second_part": SecondPart.JOINED,
        "earthing": Earthing.TT,
    },
}


@pytest.mark.parametrize("size", [(170.0, 82.0), (120.0, 66.0)], ids=str)
@pytest.mark.parametrize("more", RICHER.values(), ids=RICHER)
def test_richer_units_stay_inside_and_legible(
    case: Case,
    assessment: Assessment,
    more: dict[str, Any],
    size: tuple[float, float],
    beyond_the_edge: Callable[[Drawing], list[str]],
    texts_upon_each_other: Callable[[Drawing], list[tuple[str, str]]],
) -> None:
    supplies = (Supply.EARTHED_NEUTRAL, Supply.TWO_LIVE_POLES, Supply.TWO_PHASES)
    plugs, parts = cycle(PlugPosition), cycle(SecondPart)
    for (earth, poles), supply, part in zip(
        product(ProtectiveEarth, SwitchPoles), cycle(supplies), parts, strict=False
    ):
        given = {"second_part": part, **more}
        wiring = replace(case.wiring, supply=supply, protective_earth=earth, switch=poles, **given)
        state = UnitState(plug=next(plugs), switch=SwitchPosition.ON, cut_out_open=True)
        for person in (False, True):
            drawing = schematic(replace(case, wiring=wiring), assessment, *size, state, person)
            assert beyond_the_edge(drawing) == []
            assert texts_upon_each_other(drawing) == []


@pytest.mark.parametrize(
    ("more", "shown", "said"),
    [
        ("filter", "C1 = 2.2 nF, C2 = 2.2 nF, Cx = 100 nF, Rb = 1 MΩ", "C1 and C2 lead"),
        ("thermostat", "Thermostat", "interrupts: pole 2"),
        ("broken", "broken at 60 %", "broken at 60 %"),
        ("further elements", "Element 3", "poles: 2"),
        ("second part", "Second part", "separate"),
    ],
)
def test_what_only_some_units_have_is_named_in_figure_and_words(
    case: Case, assessment: Assessment, more: str, shown: str, said: str
) -> None:
    plain = schematic(case, assessment, 170, 82)
    richer = schematic(replace(case, wiring=replace(case.wiring, **RICHER[more])), assessment, 170, 82)
    assert shown in words(richer)
    assert shown not in words(plain)
    assert said in richer.description.replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("state", "more", "flows"),
    [
        (UnitState(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.ON), {}, True),
        (UnitState(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.ON), {"cut_out": SwitchPoles.POLE_1}, True),
        (
            UnitState(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.ON, cut_out_open=True),
            {"cut_out": SwitchPoles.POLE_1},
            False,
        ),
        (
            UnitState(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.ON, cut_out_open=True),
            {"cut_out": SwitchPoles.POLE_2},
            True,
        ),
        (
            UnitState(plug=PlugPosition.STRAIGHT, switch=SwitchPosition.ON),
            {"element": replace(ELEMENT, open_at=0.6)},
            True,
        ),
        (
            UnitState(plug=PlugPosition.REVERSED, switch=SwitchPosition.ON),
            {"element": replace(ELEMENT, open_at=0.6)},
            False,
        ),
    ],
    ids=[
        "on",
        "cut-out closed",
        "cut-out open in the live pole",
        "cut-out open in the other",
        "break beyond",
        "break before",
    ],
)
def test_an_open_cut_out_or_a_break_stops_the_current_only_on_its_own_way(
    case: Case, assessment: Assessment, state: UnitState, more: dict[str, Any], flows: bool
) -> None:
    """The fault lies at 0.32 of the element."""
    other = replace(case, wiring=replace(case.wiring, **more))
    assert highlighted(schematic(other, assessment, 170, 82, state, person=True)) is flows


def test_unplugged_no_conductor_reaches_the_part(case: Case, assessment: Assessment) -> None:
    state = UnitState(plug=PlugPosition.UNPLUGGED, switch=SwitchPosition.ON)
    assert "no conductor of the supply" in schematic(case, assessment, 170, 82, state).description

"""What the settled part prints: explanations ranked, shares of adults, profiles, charge at the pins, further parts."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from types import ModuleType

import pytest

from hazardreport.addressees.profiles import profile
from hazardreport.assess.records import (
    Assessment,
    Basis,
    LeastCurrent,
    LimitComparison,
    Otherwise,
    ParameterProfile,
    PartSource,
    PinCharge,
    PopulationResult,
    Problem,
    Rival,
    Settled,
)
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer
from hazardreport.case.exposure import BodyPath, ContactArea, OwnExposure, Skin
from hazardreport.case.reading import PlugPosition, SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Filter
from hazardreport.quantity.measured import Measured
from hazardreport.quantity.trace import Number, Source, Trace
from hazardreport.report.build import report_document
from hazardreport.report.context import Context, context, percent
from hazardreport.report.document import (
    Block,
    Figure,
    Items,
    KeyNumbers,
    Missing,
    Reference,
    ReportDocument,
    Runs,
    Table,
    anchors,
    blocks,
    runs_of,
)
from hazardreport.report.explanations import explanations, summary
from hazardreport.report.key_numbers import key_numbers, stated_exposures
from hazardreport.report.limits import limits
from hazardreport.report.pdf.draw import draw_pdf
from hazardreport.report.population import contact_of, curve_of, population
from hazardreport.report.severity import severity
from hazardreport.report.unplugged import unplugged
from hazardreport.severity.population import exact_shares
from hazardreport.severity.terms import LimitDecision
from hazardreport.standards.tables import table

SHARES = ("above_perception", "above_let_go", "above_c1", "above_c2")
ADULTS = Source(key="own-choices", place="adults")


def rival(key: str, explains: bool | None, chi: float = 2.0, against: tuple[str, ...] = ()) -> Rival:
    return Rival(
        key=key,
        name=key,
        text=f"It assumes {key}.",
        chi_square=chi,
        degrees_of_freedom=0 if explains is None else 3,
        probability=None if explains is None else 0.57 if explains else 0.0,
        score=chi,
        difference=chi - 2.0,
        explains=explains,
        against=against,
    )


def number(id: str, value: float, unit: str, symbol: str = "y", inputs: tuple[str, ...] = ()) -> Number:
    measured = Measured(value=value, unit=unit, standard_uncertainty=0.0)
    return Number(id=id, name=f"name of {id}", symbol=symbol, measured=measured, equation="as given", inputs=inputs)


def with_numbers(assessment: Assessment, *numbers: Number) -> Assessment:
    return replace(assessment, trace=Trace(numbers=(*assessment.trace, *numbers)))


def settled(assessment: Assessment, material: ModuleType) -> Assessment:
    """The rich assessment with a settled part; shares of the one plausible exposure, hand to hand and dry."""
    state = material.HEADLINE
    numbers = [
        number(f"share.{name}", value, "1") for name, value in zip(SHARES, (1.0, 0.999, 0.934, 0.7), strict=True)
    ]
    numbers += [number("profile.low", 290.0, "ohm"), number("profile.high", 370.0, "ohm")]
    across = number("across", 80.0, "V", "UB", (f"{state.key}.u0", f"{state.key}.zs"))
    exposures = tuple(
        replace(one, body_voltage="across") if one.state == state and one.percentile == 50 else one
        for one in assessment.exposures
    )
    result = PopulationResult(
        state=state,
        skin=Skin.DRY,
        path=BodyPath.HAND_TO_HAND,
        duration=exposures[0].duration,
        **{name: f"share.{name}" for name in SHARES},
        sentence="About 7 in 10 adults would.",
        trials=40000,
        tolerance=0.0045,
        seed=99,
        plausible=True,
        sources=(ADULTS,),
    )
    assert assessment.fit is not None
    parameter = assessment.fit.parameters[1]
    return replace(
        with_numbers(assessment, *numbers, across),
        exposures=exposures,
        settled=Settled(
            rivals=(
                rival("fault", True),
                rival("capacitance", False, 5000.0, tuple(f"reading-00{n}" for n in range(1, 7))),
            ),
            profiles=(ParameterProfile(symbol="Rf", number=parameter.number, low="profile.low", high="profile.high"),),
            population=(result,),
        ),
    )


@pytest.fixture
def whole(assessment: Assessment, material: ModuleType) -> Assessment:
    return settled(assessment, material)


def given(case: Case, assessment: Assessment) -> Context:
    return context(case, assessment, profile("eu-maker-notice"), "2026-11-25T12:00:00+00:00", "a4")


def text(runs: Runs) -> str:
    return "".join(run.text if isinstance(run, Reference) else run for run in runs).replace("\u00a0", " ")


def texts(found: tuple[Block, ...]) -> str:
    def lines() -> Iterator[str]:
        for block in found:
            yield from (text(runs) for runs in runs_of(block))
            if isinstance(block, Missing):
                yield f"{block.what}: {block.why}"
            if isinstance(block, Table):
                yield block.note

    return "\n".join(lines()).replace("\u00a0", " ")


def rows(found: tuple[Block, ...]) -> list[list[str]]:
    return [[text(cell) for cell in row.cells] for block in found if isinstance(block, Table) for row in block.rows]


def document(case: Case, assessment: Assessment) -> ReportDocument:
    return report_document(case, assessment, profile("eu-maker-notice"), created="2026-11-25T12:00:00+00:00")


@pytest.mark.parametrize(
    ("standing", "said"),
    [
        ((True, False), "The readings are explained by: e0. Excluded by the readings: e1."),
        (
            (True, True, False),
            "The readings are explained by: e0. They also agree with the following, which remain possible: e1.",
        ),
        ((None, None), "No reading is left over to test the following, which remain possible: e0; e1."),
        ((False, False), "None of the explanations compared agrees with the readings; the nearest is: e0."),
    ],
    ids=["one", "two", "untested", "none"],
)
def test_one_sentence_says_what_explains_and_what_is_excluded(standing: tuple[bool | None, ...], said: str) -> None:
    found = summary(tuple(rival(f"e{place}", explains) for place, explains in enumerate(standing)))
    assert found.startswith(said)
    assert ("Excluded" in found) is (False in standing and standing != (False, False))


def test_explanations_are_ranked_with_agreement_and_the_readings_against_them(case: Case, whole: Assessment) -> None:
    found = explanations(given(case, whole))
    first, second = rows(found)
    assert first[0] == "fault"
    assert first[2] == "2.00 / 3, P 57 %"
    assert first[3:] == ["0.00", "no reading"]
    assert second[2] == "> 1000 / 3, P < 1 %"
    assert second[4] == "reading-001, reading-002, reading-003 and 3 more"
    links = [run for block in found for runs in runs_of(block) for run in runs if isinstance(run, Reference)]
    assert {link.target for link in links} <= anchors(document(case, whole))


def test_a_broken_bound_excludes_an_explanation_whose_values_agree(case: Case, whole: Assessment) -> None:
    assert whole.settled is not None
    bound = replace(rival("fault", False), probability=0.95)
    found = explanations(given(case, replace(whole, settled=replace(whole.settled, rivals=(bound,)))))
    assert rows(found)[0][2] == "2.00 / 3, P 95 %, but a bound is broken"


def test_a_least_current_stands_with_the_reading_that_proves_it(
    case: Case, assessment: Assessment, material: ModuleType
) -> None:
    least = LeastCurrent(state=material.HEADLINE, path=BodyPath.HAND_TO_FEET, number="least", reading="reading-007")
    other = replace(with_numbers(assessment, number("least", 0.02, "A")), least=(least,))
    sections = severity(given(case, other), 5).sections
    states = next(section for section in sections if section.title == "All states of plug and switch")
    assert "hand to both feet, at least 20.0 mA (reading-007)" in texts(states.blocks)


def test_a_reading_that_was_left_out_is_named_and_no_story_is_one(case: Case, whole: Assessment) -> None:
    assert whole.fit is not None
    odd = Problem(key="misfit", kind="reading", id="reading-006", fields=(("count", "1"), ("expected", "221 V")))
    fit = replace(whole.fit, left_out=("reading-006",))
    other = given(case, replace(whole, fit=fit, problems=(*whole.problems, odd)))
    said = texts(severity(given(case, whole), 5).sections[0].blocks)
    assert "The readings tell one story: chi-square 2.31" in said
    told = texts(severity(other, 5).sections[0].blocks)
    assert "tell one story:" not in told
    assert "left out of the fit: reading-006, because all others would make it 221 V" in told
    assert "held against all readings, reading-006 included" in texts(explanations(other))


def test_a_voltage_that_was_read_is_measured_on_the_cover_and_its_current_predicted(
    case: Case, whole: Assessment
) -> None:
    states = tuple(replace(cell, basis=Basis.VOLTAGE_MEASURED) for cell in whole.states)
    read = given(case, replace(whole, states=states))
    numbers = next(block for block in key_numbers(read) if isinstance(block, KeyNumbers)).numbers
    assert numbers[0].note.startswith("measured")
    assert numbers[1].note.startswith("predicted from the fitted network")
    table = next(section for section in severity(read, 5).sections if section.title == "All states of plug and switch")
    assert "voltage measured, current predicted from the fitted network" in rows(table.blocks)[0][4]


def test_without_a_settled_part_its_sections_say_so(case: Case, assessment: Assessment) -> None:
    assert assessment.settled is None
    assert "Ranking of explanations: " in texts(explanations(given(case, assessment)))
    assert "Shares of adults: " in texts(population(given(case, assessment)))


def test_shares_are_printed_with_tolerance_and_seed_and_are_no_probability_of_death(
    case: Case, whole: Assessment
) -> None:
    found = population(given(case, whole))
    assert rows(found) == [["hand to hand, dry skin", "> 99", "> 99", "93", "70", "0.45", "40 000", "99"]]
    assert "About 7 in 10 adults would." in texts(found)
    assert "never a probability of death" in texts(found)


def test_exact_shares_say_exact_and_name_no_seed(case: Case, whole: Assessment) -> None:
    assert whole.settled is not None
    exact = tuple(replace(one, trials=0, tolerance=0.0, seed=0) for one in whole.settled.population)
    other = replace(whole, settled=replace(whole.settled, population=exact))
    assert rows(population(given(case, other)))[0][5:] == ["exact", "–", "–"]


def test_exposures_of_which_the_same_is_said_share_a_sentence(case: Case, whole: Assessment) -> None:
    assert whole.settled is not None
    dry = replace(whole.settled.population[0], sentence="About 7 in 10 adults (dry, hand to hand) would.")
    wet = replace(dry, skin=Skin.WATER_WET, sentence="About 7 in 10 adults (water-wet, hand to hand) would.")
    other = replace(dry, skin=Skin.SALT_WET, sentence="About 8 in 10 adults (saltwater-wet, hand to hand) would.")
    found = population(given(case, replace(whole, settled=replace(whole.settled, population=(dry, wet, other)))))
    items = next(block for block in found if isinstance(block, Items)).items
    assert [text(item) for item in items] == [
        f"{dry.sentence} The same holds for: hand to hand, skin wet with water.",
        other.sentence,
    ]
    assert len(rows(found)) == 3


@pytest.mark.parametrize("answer", list(Answer))
def test_children_among_the_users_are_named_as_outside_the_tables(
    case: Case, whole: Assessment, assessment: Assessment, answer: Answer
) -> None:
    other = replace(case, household=replace(case.household, children=answer))
    for one in (whole, assessment):
        said = "Children are among the users" in texts(population(given(other, one)))
        assert said is (answer is Answer.YES)


def test_the_curve_shows_the_shares_of_the_same_source(case: Case, whole: Assessment, material: ModuleType) -> None:
    assert whole.settled is not None
    found = given(case, whole)
    drawn = curve_of(found, whole.settled.population[0])
    assert drawn is not None
    shares = [share for _, share in drawn.points]
    assert shares == sorted(shares, reverse=True)
    assert shares[0] > 0.999
    assert shares[-1] < 0.001
    contact = contact_of(found, whole.settled.population[0])
    assert contact is not None
    assert contact.source_impedance == whole.number(f"{material.HEADLINE.key}.zs").measured.value
    exact = exact_shares(contact)
    by_mark = {threshold.mark: threshold for threshold in drawn.thresholds}
    assert by_mark["c2"].current == pytest.approx(0.05 / 0.4)
    assert by_mark["c2"].share == f"{percent(exact.above_c2)} %"
    assert by_mark["c1"].share == f"{percent(exact.above_c1)} %"
    figures = [block for block in population(found) if isinstance(block, Figure)]
    assert len(figures) == 1
    assert "hand to hand, dry skin" in figures[0].drawing.description


def test_a_reactance_of_the_source_enters_the_curve(case: Case, whole: Assessment, material: ModuleType) -> None:
    assert whole.settled is not None
    across = replace(whole.number("across"), inputs=(f"{material.HEADLINE.key}.u0", "rs", "xs"))
    numbers = tuple(one for one in whole.trace if one.id != "across")
    trace = Trace(numbers=(*numbers, number("rs", 0.0, "ohm", "Rs"), number("xs", -47e3, "ohm", "Xs"), across))
    drawn = curve_of(given(case, replace(whole, trace=trace)), whole.settled.population[0])
    assert drawn is not None
    voltage = whole.number(f"{material.HEADLINE.key}.u0").measured.value
    assert drawn.median == pytest.approx(voltage / 47e3, rel=0.05)


def fit_table(case: Case, assessment: Assessment) -> Table:
    sections = severity(given(case, assessment), 5).sections
    return next(block for block in sections[0].blocks if isinstance(block, Table))


def test_an_interval_by_profile_stands_beside_its_parameter(case: Case, whole: Assessment) -> None:
    assert len(fit_table(case, replace(whole, settled=None)).columns) == 4
    shown = fit_table(case, whole)
    assert [text(row.cells[3]) for row in shown.rows] == ["–", "290 Ω to 370 Ω", "–"]


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [("", "profile.high", "up to 370 Ω"), ("profile.low", "", "from 290 Ω"), ("", "", "the readings set no end")],
)
def test_an_end_that_the_readings_do_not_set_is_said(
    case: Case, whole: Assessment, low: str, high: str, said: str
) -> None:
    assert whole.settled is not None
    profiles = (replace(whole.settled.profiles[0], low=low, high=high),)
    shown = fit_table(case, replace(whole, settled=replace(whole.settled, profiles=profiles)))
    assert text(shown.rows[1].cells[3]) == said


def test_a_parameter_that_is_not_determined_shows_its_range_and_no_value(case: Case, whole: Assessment) -> None:
    assert whole.fit is not None
    open_ = replace(number("open.x", 1.6e-8, "1"), low=0.0, high=1.0)
    first = replace(whole.fit.parameters[0], number="open.x", determined=False)
    fit = replace(whole.fit, parameters=(first, *whole.fit.parameters[1:]))
    shown = fit_table(case, replace(with_numbers(whole, open_), fit=fit))
    assert text(shown.rows[0].cells[2]) == "0 to 1"


def pins(assessment: Assessment, comparison: LimitDecision | None) -> Assessment:
    values = (
        ("v1", 40.0, "V"),
        ("v2", 41.0, "V"),
        ("q", 3.3e-5, "C"),
        ("e", 5.3e-3, "J"),
        ("t", 1.3, "s"),
        ("limit", 34.0, "V"),
    )
    compared = None
    if comparison is not None:
        compared = LimitComparison(name="pins", number="v1", limit="limit", probability=0.97, decision=comparison)
    pin = PinCharge(
        switch=SwitchPosition.OFF,
        voltage_rated="v1",
        voltage_measured="v2",
        charge="q",
        energy="e",
        time_to_safe="t",
        comparison=compared,
    )
    return replace(with_numbers(assessment, *(number(*value) for value in values)), pins=(pin,))


def test_what_stays_between_the_pins_is_compared_with_its_limit(case: Case, assessment: Assessment) -> None:
    (section,) = unplugged(given(case, pins(assessment, LimitDecision.EXCEEDED)))
    assert rows(section.blocks) == [
        [
            "off",
            "40.0 V",
            "limit exceeded, by calculation (exceeded with 97 %)",
            "41.0 V",
            "33.0 µC",
            "5.30 mJ",
            "1.30 s",
        ]
    ]
    shown = next(block for block in section.blocks if isinstance(block, Table))
    assert "34\u00a0V" in shown.columns[2].title
    (section,) = unplugged(given(case, pins(assessment, None)))
    assert rows(section.blocks)[0][2] == "no limit applies to so small a capacitance"


def test_charge_is_spoken_of_only_where_someone_could_ask(case: Case, assessment: Assessment) -> None:
    plain = replace(
        case,
        readings=tuple(one for one in case.readings if one.state.plug is not PlugPosition.UNPLUGGED),
        wiring=replace(case.wiring, filter=Filter()),
    )
    assert unplugged(given(plain, assessment)) == ()
    filtered = replace(plain, wiring=replace(plain.wiring, filter=Filter(y_capacitance_1=2.2e-9)))
    (section,) = unplugged(given(filtered, assessment))
    assert texts(section.blocks) == "Charge after unplugging: no capacitor between the pins is known"


def further(
    assessment: Assessment,
    state: UnitState,
    *,
    area: ContactArea = ContactArea.LARGE,
    own: str = "",
    series_resistance: str = "",
) -> Assessment:
    usual = next(one for one in assessment.exposures if one.state == state and one.percentile == 50)
    added = replace(usual, plausible=False, area=area, own=own, series_resistance=series_resistance)
    return replace(assessment, exposures=(*assessment.exposures, added))


def test_a_medium_area_is_marked_approximate_and_decides_nothing(
    case: Case, assessment: Assessment, material: ModuleType
) -> None:
    other = further(assessment, material.HEADLINE, area=ContactArea.MEDIUM)
    sections = {section.title: section for section in severity(given(case, other), 5).sections}
    shown = rows(sections["A person touching the part"].blocks)
    assert shown[-1][0] == "hand to hand, dry skin, medium area of contact (approximate)"
    found = given(case, other)
    cell = other.cell(material.HEADLINE)
    assert cell is not None
    assert all(one.area is ContactArea.LARGE for one in stated_exposures(found, cell).values())


def test_an_exposure_that_the_case_adds_is_shown_with_its_reason(
    case: Case, assessment: Assessment, material: ModuleType
) -> None:
    own = OwnExposure(id="exposure-001", series_resistance=1000.0, reason="thin cotton gloves are worn")
    with_series = with_numbers(assessment, number("rser", 1000.0, "ohm"))
    other = further(with_series, material.HEADLINE, own=own.id, series_resistance="rser")
    sections = severity(given(replace(case, exposures=(own,)), other), 5).sections
    shown = rows(next(s for s in sections if s.title == "A person touching the part").blocks)
    assert shown[-1][0] == "hand to hand, dry skin. Added by this case: thin cotton gloves are worn"
    assert shown[-1][2] == "1 kΩ"


def test_a_second_part_has_a_table_of_its_own(case: Case, assessment: Assessment, material: ModuleType) -> None:
    key = material.HEADLINE.key
    part = PartSource(
        name="hook to rim",
        between=True,
        state=material.HEADLINE,
        voltage=f"{key}.u0",
        impedance=f"{key}.zs",
        current=f"{key}.isc",
        body_current=f"{key}.ib.50",
        established=False,
        plausible=True,
    )
    sections = severity(given(case, replace(assessment, second_part=(part,))), 5).sections
    states = next(section for section in sections if section.title == "All states of plug and switch")
    assert rows(states.blocks)[-1][0] == "hook to rim"
    assert rows(states.blocks)[-1][-1] == "not established"


def test_a_verdict_on_the_second_part_shows_its_numbers_on_the_first_page(
    case: Case, assessment: Assessment, material: ModuleType
) -> None:
    values = (("p.u0", 77.0, "V"), ("p.zs", 900.0, "ohm"), ("p.isc", 0.08, "A"), ("p.ib", 0.033, "A"))
    part = PartSource(
        name="hook to rim",
        between=True,
        state=material.HEADLINE,
        voltage="p.u0",
        impedance="p.zs",
        current="p.isc",
        body_current="p.ib",
        established=True,
        plausible=True,
    )
    verdict = replace(assessment.verdict, figures=("p.u0", "p.isc", "p.ib"))
    other = with_numbers(assessment, *(number(*value) for value in values))
    made = document(case, replace(other, second_part=(part,), verdict=verdict))
    shown = next(block for block in blocks(made) if isinstance(block, KeyNumbers)).numbers
    assert [one.value.replace("\u00a0", " ") for one in shown] == [
        "77 V",
        "80 mA",
        "not determined",
        "33 mA",
        "not determined",
    ]
    assert all("hook to rim" in one.label + one.note for one in shown)
    assert {one.target for one in shown if one.target} <= anchors(made)


def test_a_verdict_on_a_lower_bound_shows_it_on_the_first_page(
    case: Case, assessment: Assessment, material: ModuleType
) -> None:
    numbers = (
        replace(number("l.v", 184.0, "V", "V"), low=184.0),
        replace(number("l.i", 0.085, "A", "I"), low=0.085),
        replace(number("l.ib", 0.084, "A", "IB", ("l.i", "l.v")), low=0.084),
    )
    least = LeastCurrent(state=material.HEADLINE, path=BodyPath.HAND_TO_FEET, number="l.ib", reading="reading-007")
    cells = tuple(
        replace(cell, open_circuit_voltage="", source_impedance="", available_fault_current="", body_current="")
        for cell in assessment.states
    )
    verdict = replace(assessment.verdict, figures=("l.ib",))
    other = replace(with_numbers(assessment, *numbers), states=cells, least=(least,), exposures=(), verdict=verdict)
    shown = next(block for block in blocks(document(case, other)) if isinstance(block, KeyNumbers)).numbers
    values = [one.value.replace("\u00a0", " ") for one in shown]
    assert (values[0], values[1], values[3]) == ("> 184 V", "> 85.0 mA", "> 84.0 mA")
    assert all("reading-007" in shown[place].note for place in (0, 1, 3))


def test_what_another_construction_would_have_done_stands_with_its_number(
    case: Case, assessment: Assessment, material: ModuleType
) -> None:
    one = Otherwise(
        key="double_pole_switch",
        text="With both poles there would have been none.",
        state=material.HEADLINE,
        voltage="zero",
    )
    other = replace(with_numbers(assessment, number("zero", 0.0, "V")), otherwise=(one,))
    sections = severity(given(case, other), 5).sections
    built = next(section for section in sections if section.title == "If it had been built right")
    assert "With both poles there would have been none. (U0 = 0 V)" in texts(built.blocks)


def test_the_coverage_study_is_printed_row_by_row(case: Case, assessment: Assessment) -> None:
    sections = limits(given(case, assessment), 9).sections
    blocks_ = next(section for section in sections if section.title == "How often the stated doubt holds").blocks
    printed = texts(blocks_)
    study = table("own-choices", "coverage-study")
    assert study.rows
    for quantity, cases, covered in study.rows:
        assert quantity in printed
        assert f"{covered} of {cases}" in printed
    assert "95 %" in printed


def test_every_number_of_the_settled_part_has_its_worked_calculation(case: Case, whole: Assessment) -> None:
    made = document(case, whole)
    names = anchors(made)
    for name in SHARES:
        assert f"number-share.{name}" in names
    assert {"number-profile.low", "number-profile.high"} <= names
    targets = {run.target for b in blocks(made) for runs in runs_of(b) for run in runs if isinstance(run, Reference)}
    assert targets <= names


def test_the_settled_part_is_drawn_and_twice_alike(
    case: Case,
    whole: Assessment,
    pictures: Callable[[str], bytes],
    pages_of: Callable[[bytes], tuple[str, ...]],
) -> None:
    made = document(case, pins(whole, LimitDecision.NOT_DECIDED))
    first = draw_pdf(made, pictures)
    assert first == draw_pdf(document(case, pins(whole, LimitDecision.NOT_DECIDED)), pictures)
    printed = "\n".join(pages_of(first))
    for said in ("How many adults would be affected", "Of 10 adults", "c2, fibrillation", "P 57 %", "40 000"):
        assert said in printed
    assert "Unplugged: what stays between the pins" in printed

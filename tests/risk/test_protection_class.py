"""Class of protection reasoned from what was seen: which class fits, what contradicts what, what is never claimed."""

from dataclasses import replace
from itertools import product

import pytest

from hazardreport.case.case import Case
from hazardreport.case.circumstances import FindingAnswer
from hazardreport.case.picture import Point, PointRole
from hazardreport.case.requirement import RequirementAnswer
from hazardreport.case.situation import Situation, Territory
from hazardreport.case.stated import Stated, unknown, value
from hazardreport.case.unit import Unit
from hazardreport.case.wiring import ProtectiveEarth, Supply, Wiring
from hazardreport.quantity.trace import Status
from hazardreport.risk.protection_class import ClassReasoning, reasoned_class, stated_class

SEEN, NOT_SEEN, COULD_NOT = FindingAnswer.SEEN, FindingAnswer.NOT_SEEN, FindingAnswer.COULD_NOT_CHECK


def case(
    plate: str = "",
    cores: int | None = None,
    earth: ProtectiveEarth = ProtectiveEarth.UNKNOWN,
    volts: float | None = 230.0,
    supply: Supply = Supply.EARTHED_NEUTRAL,
    bought: Territory = Territory.OPEN,
    **answers: FindingAnswer,
) -> Case:
    """A case with a plate, a cord, an earth path, a supply, a territory, and answers (key with underscores)."""
    return Case(
        id="T-1",
        unit=Unit(protection_class=value(plate)),
        wiring=Wiring(cord_cores=cores, protective_earth=earth, nominal_voltage=volts, supply=supply),
        situation=Situation(bought_in=bought),
        requirements=tuple(
            RequirementAnswer(id=key.replace("_", "-"), answer=answer) for key, answer in answers.items()
        ),
    )


def pairs(found: ClassReasoning) -> set[frozenset[str]]:
    return {frozenset(item.links) for item in found.contradictions}


@pytest.mark.published("iec-61140", "classes 0, I, II and III, as restated")
@pytest.mark.parametrize(
    ("told", "evident", "fits"),
    [
        pytest.param(case(cores=3), "I", ("I",), id="three wires"),
        pytest.param(case(earth=ProtectiveEarth.CONNECTED), "I", ("I",), id="earth path"),
        pytest.param(case(earth_contact=SEEN), "I", ("I",), id="earth contact"),
        pytest.param(case(cores=3, plate="class I", earth=ProtectiveEarth.OPEN), "I", ("I",), id="class I interrupted"),
        pytest.param(case(cores=2, double_square=SEEN), "II", ("II",), id="two wires and double square"),
        pytest.param(case(cores=2, plate="Class II"), "II", ("II",), id="plate II"),
        pytest.param(case(double_square=SEEN, earth_contact=NOT_SEEN), "II", ("II",), id="no earth contact"),
        pytest.param(case(volts=12.0, class_three_mark=SEEN), "III", ("III",), id="class III at 12 V"),
        pytest.param(case(volts=100.0, supply=Supply.DIRECT_CURRENT, plate="III"), "III", ("III",), id="100 V d.c."),
        pytest.param(case(cores=2, class_0_marked=SEEN), "0", ("0",), id="marked class 0"),
        pytest.param(case(plate="0I", cores=2, earth=ProtectiveEarth.CONNECTED), "0I", ("0I",), id="class 0I"),
        pytest.param(case(cores=2), "", ("0", "II"), id="two wires alone"),
        pytest.param(case(cores=2, volts=None), "", ("0", "II", "III"), id="two wires, supply not known"),
        pytest.param(case(earth=ProtectiveEarth.NONE), "", ("0", "II"), id="no earth path"),
        pytest.param(case(double_square=NOT_SEEN), "", ("0", "I", "II"), id="no double square"),
        pytest.param(case(), "", ("0", "I", "II"), id="nothing but the supply"),
    ],
)
def test_the_class_that_the_evidence_fits(told: Case, evident: str, fits: tuple[str, ...]) -> None:
    found = reasoned_class(told)

    assert (found.evident, found.fits, found.contradictions) == (evident, fits, ())


@pytest.mark.parametrize(
    ("told", "links"),
    [
        pytest.param(case(plate="I", cores=2), ("unit.protection_class", "wiring.cord_cores"), id="plate I, two wires"),
        pytest.param(
            case(plate="I", earth_contact=NOT_SEEN),
            ("unit.protection_class", "requirements.earth-contact"),
            id="plate I, no earth contact",
        ),
        pytest.param(
            case(double_square=SEEN, earth_contact=SEEN),
            ("requirements.double-square", "requirements.earth-contact"),
            id="class II mark and an earth contact",
        ),
        pytest.param(
            case(double_square=SEEN, cores=3), ("requirements.double-square", "wiring.cord_cores"), id="II, three wires"
        ),
        pytest.param(
            case(cores=2, earth=ProtectiveEarth.CONNECTED),
            ("wiring.cord_cores", "wiring.protective_earth"),
            id="two wires and an earth path",
        ),
        pytest.param(
            case(class_three_mark=SEEN),
            ("requirements.class-three-mark", "wiring.nominal_voltage"),
            id="class III at 230 V",
        ),
        pytest.param(
            case(cores=3, earth_wire_in_cord=NOT_SEEN),
            ("wiring.cord_cores", "requirements.earth-wire-in-cord"),
            id="wires counted twice",
        ),
        pytest.param(
            case(double_square=SEEN, no_class_evident=SEEN),
            ("requirements.double-square", "requirements.no-class-evident"),
            id="no class evident, and a double square",
        ),
    ],
)
def test_a_contradiction_is_shown_and_makes_no_class_evident(told: Case, links: tuple[str, str]) -> None:
    found = reasoned_class(told)

    assert frozenset(links) in pairs(found)
    assert (found.evident, found.fits, found.neither) == ("", (), False)
    assert "contradicts itself" in found.sentence
    assert all("no class fits both" in item.text for item in found.contradictions)


def neither(bought: Territory) -> Case:
    return case(cores=2, touchable_metal=SEEN, double_square=NOT_SEEN, bought=bought)


def test_two_wires_touchable_metal_and_no_double_square_leave_the_class_open() -> None:
    found = reasoned_class(neither(bought=Territory.EU))

    assert (found.evident, found.neither) == ("", True)
    assert "neither class I nor class II" in found.sentence
    assert "our inference" in found.sentence
    assert "class 0" in found.sentence.casefold()
    assert found.caution == ""
    assert Status.CHOICE in {source.status for source in found.sources}


@pytest.mark.parametrize("volts", [None, 12.0])
@pytest.mark.parametrize("bought", [Territory.EU, Territory.GREAT_BRITAIN, Territory.OPEN])
def test_class_0_is_not_said_to_remain_while_class_iii_is_not_excluded(volts: float | None, bought: Territory) -> None:
    told = case(cores=2, volts=volts, touchable_metal=SEEN, double_square=NOT_SEEN, bought=bought)
    found = reasoned_class(told)

    assert (found.neither, found.fits) == (True, ("0", "II", "III"))
    assert "class 0" not in found.sentence.casefold()
    assert "Class III" in found.sentence
    assert "not excluded" in found.sentence


def test_no_class_is_left_alone_by_a_mark_that_was_not_found() -> None:
    found = reasoned_class(case(cores=2, touchable_metal=NOT_SEEN, double_square=NOT_SEEN))

    assert (found.evident, found.fits) == ("", ("0", "II"))
    assert found.sentence == "What was seen fits class 0 or II; it does not tell which."


@pytest.mark.parametrize(
    "told",
    [
        case(cores=2, touchable_metal=SEEN),
        case(cores=2, double_square=NOT_SEEN),
        case(cores=2, double_square=NOT_SEEN, touchable_metal=NOT_SEEN),
        case(touchable_metal=SEEN, double_square=NOT_SEEN),
        case(cores=2, touchable_metal=SEEN, double_square=COULD_NOT),
        case(cores=3, touchable_metal=SEEN, double_square=NOT_SEEN),
        case(cores=2, volts=12.0, class_three_mark=SEEN, touchable_metal=SEEN, double_square=NOT_SEEN),
    ],
)
def test_one_of_the_three_signs_missing_claims_nothing(told: Case) -> None:
    assert not reasoned_class(told).neither


def test_a_touchable_point_of_the_case_stands_for_touchable_metal_until_that_is_answered() -> None:
    point = Point(letter="A", role=PointRole.TOUCHABLE_PART, description="rim")
    marked = replace(case(cores=2, double_square=NOT_SEEN), points=(point,))
    denied = replace(case(cores=2, double_square=NOT_SEEN, touchable_metal=NOT_SEEN), points=(point,))

    assert reasoned_class(marked).neither
    assert not reasoned_class(denied).neither


@pytest.mark.published("16-cfr-1115", "1115.4(a)")
def test_in_the_united_states_the_caution_stands_beside_a_two_wire_cord() -> None:
    found = reasoned_class(neither(bought=Territory.UNITED_STATES))

    assert "proves no breach" in found.caution
    assert "1115.4(a)" in found.caution
    assert "not permitted" not in found.sentence
    assert {source.key for source in found.sources} >= {"16-cfr-1115", "nfpa-70"}


@pytest.mark.parametrize(
    ("told", "cautioned"),
    [
        (case(cores=2), True),
        (case(two_pin_plug=SEEN), True),
        (case(earth_contact=NOT_SEEN, bought=Territory.UNITED_STATES), True),
        (case(cores=2, bought=Territory.EU), False),
        (case(cores=3, bought=Territory.UNITED_STATES), False),
        (case(), False),
    ],
)
def test_the_caution_stands_where_that_country_is_not_left_out(told: Case, cautioned: bool) -> None:
    assert bool(reasoned_class(told).caution) is cautioned


@pytest.mark.parametrize("territory", [Territory.GREAT_BRITAIN, Territory.NORTHERN_IRELAND])
def test_the_third_pin_of_a_british_plug_tells_nothing(territory: Territory) -> None:
    found = reasoned_class(case(cores=2, double_square=SEEN, earth_contact=SEEN, bought=territory))

    assert (found.evident, found.contradictions) == ("II", ())
    assert not [reason for reason in found.reasons if reason.link == "requirements.earth-contact"]


@pytest.mark.parametrize(
    ("stated", "expected"),
    [
        (value("I"), "I"),
        (value("class ii"), "II"),
        (value("Class III"), "III"),
        (value("0"), "0"),
        (value("0i"), "0I"),
        (value("II (double square)"), "II"),
        (value("II, double square"), "II"),
        (value("class I with earth pin"), "I"),
        (value("II double square"), "II"),
        (value("I could not read the plate"), ""),
        (value("I or II"), ""),
        (value("class I/II"), ""),
        (value("0.75 mm"), ""),
        (value("0 V"), ""),
        (value("IP 44"), ""),
        (value("first class"), ""),
        (value("IV"), ""),
        (unknown("plate worn off"), ""),
        (Stated(), ""),
    ],
)
def test_the_class_on_the_plate_is_read_from_its_text(stated: Stated, expected: str) -> None:
    assert stated_class(stated) == expected


def test_without_anything_the_class_is_open() -> None:
    found = reasoned_class(Case(id="T-0"))

    assert (found.evident, found.reasons, found.caution) == ("", (), "")
    assert found.sentence == "Nothing recorded so far tells the class of protection."


def test_a_mark_alone_says_that_it_is_only_a_mark() -> None:
    assert "is marked as class II" in reasoned_class(case(plate="II")).sentence
    assert "What was seen fits" in reasoned_class(case(plate="II", cores=2)).sentence


def test_an_interrupted_earth_path_is_told_with_the_class() -> None:
    assert "appears to be interrupted" in reasoned_class(case(cores=3, earth=ProtectiveEarth.OPEN)).sentence


def test_an_answer_that_could_not_be_given_tells_nothing() -> None:
    keys = ("double_square", "earth_contact", "earth_wire_in_cord", "class_three_mark", "touchable_metal")
    found = reasoned_class(case(volts=None, **dict.fromkeys(keys, COULD_NOT)))

    assert found == reasoned_class(case(volts=None))


def test_whatever_is_answered_the_reasoning_holds_together() -> None:
    """Every mixture of plate, cord, earth and three answers: a class is evident only where everything fits it."""
    answers = (None, SEEN, NOT_SEEN)
    for plate, cores, earth, square, contact, third in product(
        ("", "I", "II", "0I"), (None, 2, 3), ProtectiveEarth, answers, answers, answers
    ):
        given = {"double_square": square, "earth_contact": contact, "class_three_mark": third}
        found = reasoned_class(
            case(plate, cores, earth, **{key: answer for key, answer in given.items() if answer is not None})
        )

        assert bool(found.fits) is not bool(found.contradictions)
        assert len(found.fits) != 1 or found.evident == found.fits[0]
        assert not found.evident or all(found.evident in reason.fits for reason in found.reasons)
        assert not (found.evident and found.contradictions)
        assert found.sentence
        assert all(reason.fits and reason.text and reason.link for reason in found.reasons)


@pytest.mark.parametrize("volts", [120.0, 230.0])
def test_a_mark_that_was_not_found_rules_no_class_out(volts: float) -> None:
    """Facts, section 6: without a mark neither class I nor class II is evident; more does not follow."""
    found = reasoned_class(
        case("", 2, volts=volts, double_square=NOT_SEEN, class_three_mark=NOT_SEEN, touchable_metal=NOT_SEEN)
    )
    assert found.fits == ("0", "II")
    assert not found.evident
    assert not found.neither
    assert "nly class" not in found.sentence

"""Unit sheets: read as they are written, refused as a whole."""

import itertools
import re
from collections.abc import Callable
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

import pytest

from hazardreport import errors, wording
from hazardreport.case.case import Case
from hazardreport.case.circumstances import (
    Answer,
    Competence,
    Consents,
    Custody,
    Finding,
    FindingAnswer,
    FindingClaim,
    Household,
    Occurrence,
    Submitter,
)
from hazardreport.case.custody import Item, Step, StepEffect, Transfer
from hazardreport.case.exposure import BodyPath, OwnExposure, Skin
from hazardreport.case.letter import Letter
from hazardreport.case.picture import Point, PointRole
from hazardreport.case.reading import Accuracy, Instrument, Quantity
from hazardreport.case.requirement import RequirementAnswer
from hazardreport.case.scenario import Consumer, HarmFactors, Scenario, ScenarioStep
from hazardreport.case.situation import Situation
from hazardreport.case.stated import not_applicable, unknown, value
from hazardreport.case.unit import ConformityMark, Unit
from hazardreport.case.upkeep import Alteration, Kept
from hazardreport.case.wiring import Element, ElementMaterial, Filter, Plug, ProtectiveEarth, SwitchPoles, Wiring
from hazardreport.storage.unit_sheet import read_unit_sheet
from hazardreport.storage.unit_sheet_template import unit_sheet_template

CASE = Case(id="C-1")
Make = Callable[[str | bytes], Path]


@pytest.fixture
def sheet(tmp_path: Path) -> Make:
    def make(text: str | bytes) -> Path:
        path = tmp_path / "unit.toml"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    return make


def refusal(path: Path, case: Case = CASE) -> errors.UnitSheetRefusedError:
    with pytest.raises(errors.UnitSheetRefusedError) as caught:
        read_unit_sheet(case, path)
    assert caught.value.count == len(caught.value.details)
    assert caught.value.listing in wording.what(caught.value)
    return caught.value


def places(error: errors.UnitSheetRefusedError) -> list[str]:
    return [fault.place for fault in error.details]


def test_the_template_as_it_stands_changes_nothing(sheet: Make) -> None:
    assert read_unit_sheet(CASE, sheet(unit_sheet_template())) == CASE


def test_the_template_names_every_field() -> None:
    text = unit_sheet_template()
    for record in (
        Unit,
        Wiring,
        Element,
        Filter,
        Household,
        Occurrence,
        Submitter,
        Consents,
        Custody,
        Point,
        Instrument,
        Accuracy,
        OwnExposure,
        Finding,
        Item,
        Transfer,
        Step,
        Situation,
        Kept,
        Alteration,
        HarmFactors,
        ConformityMark,
        RequirementAnswer,
        Scenario,
        ScenarioStep,
        Letter,
    ):
        unnamed = (
            (Scenario, "steps"),
            (Wiring, "element"),
            (Wiring, "filter"),
            (Wiring, "more_elements"),
            (Instrument, "id"),
            (Instrument, "accuracies"),
            (OwnExposure, "id"),
            (Finding, "id"),
        )
        for field in fields(record):
            if (record, field.name) not in unnamed:
                assert re.search(rf"^(# )?{field.name} = ", text, re.MULTILINE), (record, field.name)


def test_the_template_explains_every_field() -> None:
    """By a line above it, or by words behind it."""
    lines = unit_sheet_template().splitlines()
    tables, silent = 0, []
    for before, line in itertools.pairwise(lines[lines.index('title = ""') - 1 :]):
        tables += bool(re.match(r"(# )?\[+[a-z_.]+\]+", line))
        field = re.match(r'(?:# )?([a-z_0-9]+) = (?:"[^"]*"|\[[^\]]*\]|[^ ]+)(.*)', line)
        above = before.startswith("# ") and " = " not in before and not before.startswith("# [")
        if field and not above and not re.search("# .*[a-z]", field[2]):
            silent.append(line)
    assert silent == []
    assert tables > 30


def test_the_template_says_what_the_window_says() -> None:
    assert wording.template("fields.unit.model").split(",")[0] in unit_sheet_template()
    assert wording.template("fields.upkeep.misuse").split(".")[0] in unit_sheet_template()


def test_the_template_with_its_examples_is_read_in_full(sheet: Make) -> None:
    text = unit_sheet_template()
    body = text[text.index("title = ") :]
    example = re.sub(r"^# (?=\[\[|[a-z_0-9]+ = )", "", body, flags=re.MULTILINE)
    case = read_unit_sheet(CASE, sheet(example))
    assert case.wiring == Wiring(
        nominal_voltage=230.0,
        frequency=50.0,
        cord_cores=3,
        element=Element(rated_voltage=230.0, rated_power=600.0, hot_factor=1.03, open_at=0.4),
        electrode_resistance=20.0,
        switch_leakage=1e6,
        cut_out_leakage=1e6,
        more_elements=(Element(rated_voltage=230.0, rated_power=400.0),),
        filter=Filter(y_capacitance_1=2.2e-9, y_capacitance_2=2.2e-9, x_capacitance=1e-7, bleeder_resistance=1e6),
    )
    assert case.points == (Point(letter="A", role=PointRole.TOUCHABLE_PART, description="rim of the pot, bare metal"),)
    assert case.instruments == (
        Instrument(
            id="instrument-001",
            name="multimeter 1",
            serial="12345",
            input_resistance=10e6,
            input_capacitance=100e-12,
            lead_resistance=0.15,
            calibrated="2026-01-15",
            calibrated_by="Calibration bench of the club",
            accuracies=(Accuracy(quantity=Quantity.VOLTAGE, range_to=600.0, percent=0.8, digits=3.0, resolution=0.1),),
        ),
    )
    assert case.exposures == (
        OwnExposure(
            id="exposure-001",
            skin=Skin.WATER_WET,
            series_resistance=1000.0,
            duration=0.3,
            reason="apprentices work barefoot at the sink",
        ),
    )
    assert case.findings == (Finding(id="finding-001", text="The sheath of the element is cracked near terminal 2."),)
    assert case.items == (
        Item(
            id="item-001",
            description="wax pot with its cord",
            label="seal 0417",
            place="cabinet of the club",
            condition="whole, soot at the vent",
            since="2026-05-04T09:00:00+02:00",
        ),
    )
    assert case.transfers == (
        Transfer(
            id="transfer-001",
            items=("item-001",),
            giver="R. Oakes",
            taker="test bench of the college",
            when="2026-05-06T10:00:00+02:00",
            purpose="examination",
            place="the club's office",
            condition="as received",
            seal_whole=Answer.YES,
        ),
    )
    assert case.steps == (
        Step(
            id="step-001",
            what="base taken off",
            when="2026-05-07T08:00:00+02:00",
            by="K. Sander",
            effect=StepEffect.DESTRUCTIVE,
            opens=True,
            informed="maker, by letter of 2026-05-05, no answer",
            items=("item-001",),
        ),
    )
    assert case.conformity_marks == (
        ConformityMark(
            id="conformity-mark-001",
            mark="XY in a circle",
            holder="Lumenta Works",
            number="E 12345",
            place="plate",
            note="not in the public list of its office, looked up by R. Oakes on 2026-05-05",
        ),
    )
    assert case.requirements == (
        RequirementAnswer(
            id="rating-plate", answer=FindingAnswer.NOT_SEEN, note="no plate anywhere, base and box looked at"
        ),
    )
    assert case.scenarios == (
        Scenario(
            id="scenario-001",
            title="child touches rim and tap",
            consumer=Consumer.VULNERABLE,
            who="child of 10 in a craft club",
            hazard="high-or-low-voltage",
            injury="electric-shock",
            severity=4,
            severity_reason="a shock from hand to hand may stop the heart",
            steps=(
                ScenarioStep(
                    text="the rim is live whenever the plug is in this way round",
                    probability="1/2",
                    reason="the plug goes in both ways round",
                ),
            ),
        ),
    )
    assert case.letters == (
        Letter(
            id="letter-001",
            addressee="us-agency-harm",
            whom="reports office",
            day="2026-05-12",
            means="own form on a website",
            revision=3,
        ),
    )
    assert read_unit_sheet(case, sheet(example)) == case


def test_every_choice_that_the_template_offers_is_one(sheet: Make) -> None:
    table = ""
    tried = 0
    for line in unit_sheet_template().splitlines():
        if header := re.match(r"\[([a-z_.]+)\]", line):
            table = header[1]
        if (offer := re.match(r'([a-z_]+) = "" +# (.*)', line)) and " / " in offer[2]:
            words = re.sub(r"; pole 1 leads.*", "", offer[2])
            options = [option.strip() for option in words.split(" / ")]
            options[0] = options[0].split(": ")[-1]
            options[-1] = options[-1].split(": ")[0]
            for option in options:
                case = read_unit_sheet(CASE, sheet(f'[{table}]\n{offer[1]} = "{option}"'))
                record: Any = case
                for part in table.split("."):
                    record = getattr(record, part)
                assert getattr(record, offer[1]) == option
                tried += 1
    assert tried > 100


def test_what_is_stated_comes_in(sheet: Make) -> None:
    path = sheet("""\ufefftitle = "Wax pot"
[unit]
brand = "Lumenta"
model = { value = "WP-600", picture = "picture-001", point = "B" }
serial = { unknown = "plate scratched" }
importer = { not_applicable = "made here" }
purchased = 2026-03-04
maker_address = \"\"\"
1 Lane
Town\"\"\"
[wiring]
plug = "Reversible"
protective_earth = "provided,  interrupted"
switch = "pole 1"
nominal_voltage = 230
cord_cores = 3
[wiring.element]
rated_power = 600.0
material = "nickel-chromium"
[household]
children = "yes"
[consents]
verified = "yes"
verified_on = 2026-05-04
[competence]
name = "Kim Sander"
qualification = "electrician"
permitted = "own workshop"
stated = 2026-05-04T09:30:00Z
[[points]]
letter = "a"
role = "touchable part"
""")
    case = read_unit_sheet(CASE, path)
    assert case.title == "Wax pot"
    assert case.unit == Unit(
        brand=value("Lumenta"),
        model=value("WP-600", picture="picture-001", point="B"),
        serial=unknown("plate scratched"),
        importer=not_applicable("made here"),
        purchased=value("2026-03-04"),
        maker_address=value("1 Lane\nTown"),
    )
    assert case.wiring == Wiring(
        plug=Plug.REVERSIBLE,
        protective_earth=ProtectiveEarth.OPEN,
        switch=SwitchPoles.POLE_1,
        nominal_voltage=230.0,
        cord_cores=3,
        element=Element(rated_power=600.0, material=ElementMaterial.NICKEL_CHROMIUM),
    )
    assert case.household.children is Answer.YES
    assert case.consents == Consents(verified=Answer.YES, verified_on="2026-05-04")
    assert case.competence == Competence(
        name="Kim Sander",
        qualification="electrician",
        permitted="own workshop",
        stated="2026-05-04T09:30:00+00:00",
    )
    assert case.points == (Point(letter="A", role=PointRole.TOUCHABLE_PART),)
    assert read_unit_sheet(case, path) == case


def test_a_sheet_leaves_what_it_does_not_name(sheet: Make) -> None:
    case = replace(
        CASE,
        unit=Unit(brand=value("Lumenta")),
        points=(Point(letter="A", role=PointRole.EARTH, description="tap"),),
        instruments=(Instrument(id="instrument-004", name="m", serial="1"),),
    )
    text = """[unit]
brand = ""
model = "X"
[[points]]
letter = "A"
description = "sink"
[[instruments]]
name = "m"
kind = "clamp"
"""
    changed = read_unit_sheet(case, sheet(text))
    assert changed.unit == Unit(brand=value("Lumenta"), model=value("X"))
    assert changed.points == (Point(letter="A", role=PointRole.EARTH, description="sink"),)
    assert changed.instruments == (Instrument(id="instrument-004", name="m", serial="1", kind="clamp"),)


def test_all_faults_are_told_together_with_line_and_field(sheet: Make) -> None:
    error = refusal(
        sheet("""titel = "x"
[unit]
barcode = 4006381333931
modell = "X"
serial = { unknown = "" }
batch = { value = "1", unknown = "why" }
[wiring]
plug = "sideways"
nominal_voltage = "230 V"
frequency = -50
cord_cores = 4
line_resistance = inf
[household]
children = true
[[points]]
letter = "A1"
[[points]]
role = "touchable part"
[[instruments]]
name = "m"
[[instruments.accuracies]]
quantity = "voltage"
range_to = 600
[nonsense]
x = 1
""")
    )
    assert set(places(error)) == {
        "line 1, titel",
        "line 24, nonsense",
        "line 3, unit.barcode",
        "line 4, unit.modell",
        "line 5, unit.serial",
        "line 6, unit.batch",
        "line 8, wiring.plug",
        "line 9, wiring.nominal_voltage",
        "line 10, wiring.frequency",
        "line 11, wiring.cord_cores",
        "line 12, wiring.line_resistance",
        "line 14, household.children",
        "line 16, points[0].letter",
        "line 17, points[1].letter",
        "line 21, instruments[0].accuracies[0].percent",
        "line 21, instruments[0].accuracies[0].digits",
        "line 21, instruments[0].accuracies[0].resolution",
    }
    assert "“title” may be meant" in error.listing
    assert "“reversible”" in error.listing


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("[unit\n", "line 1"),
        ("[unit]\nbrand = Lumenta\n", "line 2"),
        ('[unit]\nbrand = "a"\nbrand = "b"\n', "line 3"),
        (b'[unit]\nbrand = "\xff"', ""),
        ("unit = 3\n", "line 1, unit"),
        ("points = 3\n", "line 1, points"),
        ("points = [3]\n", "line 1, points[0]"),
        ("\0", "line 1"),
        ("x = " + "[" * 2000, ""),
    ],
)
def test_what_is_no_sheet_is_refused(sheet: Make, text: str | bytes, place: str) -> None:
    assert place in places(refusal(sheet(text)))[0]


def test_a_letter_twice_is_a_fault(sheet: Make) -> None:
    error = refusal(sheet('[[points]]\nletter = "A"\n[[points]]\nletter = "a"\n'))
    assert places(error) == ["line 4, points[1].letter"]


def test_half_a_statement_of_competence_is_none(sheet: Make) -> None:
    error = refusal(sheet('[competence]\nname = "Kim"\nqualification = ""\n'))
    assert places(error) == [
        "line 3, competence.qualification",
        "line 1, competence.permitted",
        "line 1, competence.stated",
    ]


@pytest.mark.parametrize("when", ["yesterday", "2026-02-30", "4.5.2026"])
def test_a_statement_of_competence_needs_a_date(sheet: Make, when: str) -> None:
    text = '[competence]\nname = "Kim"\nqualification = "electrician"\npermitted = "own bench"\nstated = "{}"\n'
    error = refusal(sheet(text.format(when)))

    assert places(error) == ["line 5, competence.stated"]
    assert f"“{when}” is no date" in error.listing
    for right in ("2026-05-04", "2026-05-04T09:30:00+02:00", "2026-05-04T07:30:00Z"):
        assert read_unit_sheet(CASE, sheet(text.format(right))).competence is not None


@pytest.mark.parametrize(
    ("table", "field", "most", "more"),
    [
        ("wiring", "nominal_voltage", "1000", "1000.1"),
        ("wiring", "frequency", "1000", "1001"),
        ("wiring.filter", "y_capacitance_1", "100e-6", "101e-6"),
        ("wiring.filter", "y_capacitance_2", "100e-6", "2.2"),
        ("wiring.filter", "x_capacitance", "100e-6", "100"),
        ("wiring.element", "rated_power", "100e3", "101e3"),
        ("wiring.element", "rated_voltage", "1000", "23e3"),
    ],
)
def test_a_number_that_no_household_unit_has_is_refused(
    sheet: Make, table: str, field: str, most: str, more: str
) -> None:
    read_unit_sheet(CASE, sheet(f"[{table}]\n{field} = {most}\n"))
    for wrong in (more, "0"):
        error = refusal(sheet(f"[{table}]\n{field} = {wrong}\n"))
        assert places(error) == [f"line 2, {table}.{field}"]
    error = refusal(sheet("[[wiring.more_elements]]\nrated_power = 2e5\n"))
    assert places(error) == ["line 2, wiring.more_elements[0].rated_power"]


def test_a_file_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(errors.CouldNotReadError):
        read_unit_sheet(CASE, tmp_path / "unit.toml")


def test_findings_come_in_once_and_are_described_anew(sheet: Make) -> None:
    path = sheet("""[[findings]]
text = "The earth conductor was crimped onto paint."
claim = "protection that was missing or failed"
cause = "production"
""")
    case = read_unit_sheet(CASE, path)

    assert case.findings == (
        Finding(
            id="finding-001",
            text="The earth conductor was crimped onto paint.",
            claim=FindingClaim.PROTECTION,
            cause="production",
        ),
    )
    assert read_unit_sheet(case, path) == case
    changed = read_unit_sheet(case, sheet('[[findings]]\nid = "finding-001"\nanswer = "could not check"\n'))
    assert changed.findings == (replace(case.findings[0], answer=FindingAnswer.COULD_NOT_CHECK),)


def test_exposures_come_in_once_and_are_described_anew(sheet: Make) -> None:
    text = '[[exposures]]\nskin = "dry"\npercentile = 95\npath = "hand to hand"\nreason = "between pot and tap"\n'
    case = read_unit_sheet(CASE, sheet(text))
    own = OwnExposure(
        id="exposure-001", percentile=95, path=BodyPath.HAND_TO_HAND, reason="between pot and tap", skin=Skin.DRY
    )
    assert case.exposures == (own,)
    assert read_unit_sheet(case, sheet(text)) == case
    changed = read_unit_sheet(case, sheet('[[exposures]]\nid = "exposure-001"\nseries_resistance = 2000\n'))
    assert changed.exposures == (replace(own, series_resistance=2000.0),)
    assert len(read_unit_sheet(changed, sheet(text)).exposures) == 2


def test_an_exposure_that_no_table_holds_is_refused(sheet: Make) -> None:
    path = sheet(
        '[[exposures]]\npercentile = 33\nduration = 0\n[[exposures]]\nskin = "damp"\n'
        '[[exposures]]\nid = "a b"\n[[exposures]]\nseries_resistance = -5\n'
    )
    assert places(refusal(path)) == [
        "line 2, exposures[0].percentile",
        "line 3, exposures[0].duration",
        "line 5, exposures[1].skin",
        "line 7, exposures[2].id",
        "line 9, exposures[3].series_resistance",
    ]


def test_elements_and_filters_that_cannot_be_are_refused(sheet: Make) -> None:
    path = sheet(
        "[wiring]\nfaulty_element = 3\nswitch_leakage = 0\nelectrode_resistance = 0\n"
        "[wiring.element]\nopen_at = 1.5\n[wiring.filter]\nx_capacitance = 0\n"
        "[[wiring.more_elements]]\nrated_power = 0\n"
    )
    assert sorted(places(refusal(path))) == [
        "line 10, wiring.more_elements[0].rated_power",
        "line 2, wiring.faulty_element",
        "line 3, wiring.switch_leakage",
        "line 4, wiring.electrode_resistance",
        "line 6, wiring.element.open_at",
        "line 8, wiring.filter.x_capacitance",
    ]


def test_a_finding_rests_on_what_the_case_has(sheet: Make) -> None:
    path = sheet('[[findings]]\ntext = "x"\npictures = ["picture-009"]\nreadings = ["reading-001"]\n[[findings]]\n')

    assert places(refusal(path)) == [
        "line 3, findings[0].pictures",
        "line 4, findings[0].readings",
        "line 5, findings[1].text",
    ]
    assert places(refusal(sheet('[[findings]]\ntext = "x"\npictures = "picture-001"\n'))) == [
        "line 3, findings[0].pictures"
    ]


@pytest.mark.parametrize("table", ["points", "instruments", "exposures", "findings", "items", "transfers", "steps"])
def test_a_name_that_is_not_known_is_refused_though_it_says_nothing(sheet: Make, table: str) -> None:
    needed = 'letter = "A"' if table == "points" else 'text = "x"' if table == "findings" else ""
    assert places(refusal(sheet(f'[[{table}]]\n{needed}\ncolour = ""\n'))) == [f"line 3, {table}[0].colour"]


def test_why_something_is_absent_comes_in(sheet: Make) -> None:
    case = read_unit_sheet(CASE, sheet('[absent]\npictures = "the phone was lost"\nprotection = "not opened"\n'))

    assert case.absence("pictures") == "the phone was lost"
    assert case.absence("findings.protection") == "not opened"
    assert places(refusal(sheet('[absent]\npicture = "x"\nreadings = 3\n'))) == [
        "line 2, absent.picture",
        "line 3, absent.readings",
    ]

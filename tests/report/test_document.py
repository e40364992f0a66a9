"""The tree of the report: parts in the addressee's order, nothing blank, whole references, consents obeyed."""

import re
from collections.abc import Iterator
from dataclasses import fields, replace
from pathlib import Path

import pytest

import hazardreport
from hazardreport import wording
from hazardreport.addressees.profiles import profile, profile_keys
from hazardreport.assess.records import Assessment, Basis, RouteKind
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, FindingAnswer, FindingClaim, Grip, Occasion, ResidualCurrentDevice
from hazardreport.case.custody import AnchorKind, ItemKind, StepEffect
from hazardreport.case.letter import AttackedPoint, LetterKind
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import (
    EarthState,
    LoadKind,
    PlugPosition,
    Quantity,
    SupplyKind,
    SwitchPosition,
    Temperature,
    TrippingDevice,
    Waveform,
)
from hazardreport.case.scenario import Consumer, HarmGrade, Likelihood, ProbabilityBasis
from hazardreport.case.situation import Territory
from hazardreport.case.unit import Unit
from hazardreport.case.upkeep import Excluded, Knowing
from hazardreport.case.wiring import (
    ElementMaterial,
    Plug,
    ProtectiveEarth,
    SecondPart,
    Supply,
    SupplyFault,
    SwitchPoles,
)
from hazardreport.quantity.trace import Status
from hazardreport.report.build import report_document
from hazardreport.report.context import context
from hazardreport.report.document import (
    Calculation,
    KeyNumbers,
    KeyValues,
    Missing,
    Reference,
    ReportDocument,
    anchors,
    blocks,
    runs_of,
)
from hazardreport.report.key_numbers import headline_cell
from hazardreport.report.measurements import headline_value, plate_values
from hazardreport.resources_dir import RESOURCES
from hazardreport.risk.records import ShiftKind
from hazardreport.risk.requirements import BasisStatus, Group
from hazardreport.severity.terms import BodyPath, LimitDecision, Operation, SignalWord, Skin

CREATED = "2026-11-25T12:00:00+00:00"


def words(document: ReportDocument) -> Iterator[str]:
    for block in blocks(document):
        for runs in runs_of(block):
            yield "".join(run.text if isinstance(run, Reference) else run for run in runs)
        if isinstance(block, KeyNumbers):
            yield from (f"{n.value} {n.label} {n.note}" for n in block.numbers)
        elif isinstance(block, Missing):
            yield f"{block.what}: {block.why}"


def built(case: Case, assessment: Assessment, key: str = "eu-maker-notice") -> ReportDocument:
    return report_document(case, assessment, profile(key), created=CREATED)


def empty(assessment: Assessment) -> Assessment:
    return replace(
        assessment,
        readings=(),
        routes=(),
        fit=None,
        states=(),
        exposures=(),
        devices=(),
        as_built=(),
        limits=(),
        artefact=(),
        next_test=None,
        verdict=replace(
            assessment.verdict,
            word=SignalWord.NOT_ASSESSED,
            sentence="No reading.",
            reason="there is no reading",
            figures=(),
            headline=None,
        ),
    )


def test_parts_follow_the_order_of_the_addressee(document: ReportDocument) -> None:
    order = [part.key for part in document.parts]
    assert order in ([*profile("eu-maker-notice").parts], [*profile("us-agency-harm").parts])
    assert [part.number for part in document.parts] == list(range(1, len(order) + 1))
    assert document.parts[-1].detachable


def test_every_reference_leads_to_an_anchor(document: ReportDocument) -> None:
    targets = {
        run.target for b in blocks(document) for runs in runs_of(b) for run in runs if isinstance(run, Reference)
    }
    assert targets <= anchors(document)


def test_no_value_is_blank(document: ReportDocument) -> None:
    for block in blocks(document):
        if isinstance(block, KeyValues):
            assert all(
                "".join(r.text if isinstance(r, Reference) else r for r in row.runs).strip() for row in block.rows
            )


@pytest.mark.parametrize("key", ["eu-maker-notice", "us-agency-harm"])
def test_an_empty_case_says_everywhere_what_is_missing(assessment: Assessment, key: str) -> None:
    document = built(Case(id="WP-0"), empty(assessment), key)
    missing = [block for block in blocks(document) if isinstance(block, Missing)]
    assert len(missing) > 12
    assert all(block.what.strip() and block.why.strip() for block in missing)
    assert all(text.strip() for text in words(document))


def test_every_calculation_shows_equation_result_and_source_with_status(document: ReportDocument) -> None:
    shown = [block for block in blocks(document) if isinstance(block, Calculation)]
    assert len(shown) > 30
    assert all(one.equation and one.guarded and one.sources for one in shown)
    memory = [one for one in shown if any("from memory" in source for source in one.sources)]
    assert memory


def test_inputs_stand_before_the_numbers_that_use_them(document: ReportDocument) -> None:
    seen: set[str] = set()
    for block in blocks(document):
        if isinstance(block, Calculation):
            assert {one.target for one in block.inputs} <= seen
            seen.add(block.anchor)


def test_a_closed_number_can_be_redone_from_its_printed_inputs(document: ReportDocument) -> None:
    scale = {"V": 1.0, "mV": 1e-3, "A": 1.0, "mA": 1e-3, "µA": 1e-6, "Ω": 1.0, "kΩ": 1e3, "MΩ": 1e6}

    def amount(text: str) -> float:
        number, unit = text.split("\u00a0")
        return float(number) * scale[unit]

    redone = 0
    for block in blocks(document):
        if isinstance(block, Calculation) and block.equation == "U0 / (Zs + ZB)":
            volts, source, body = (amount(one.value) for one in block.inputs)
            assert amount(block.guarded) == pytest.approx(volts / (source + body), rel=1e-5)
            redone += 1
    assert redone > 3


def test_values_from_memory_carry_the_mark(case: Case, assessment: Assessment) -> None:
    text = "\n".join(words(built(case, assessment)))
    printed = re.findall(r"\d+\.\d+\u00a0mA†", text)
    assert len(printed) >= 2
    assert "by values from memory" in text


def test_names_are_withheld_from_a_firm_without_consent(case: Case, assessment: Assessment) -> None:
    refused = replace(case, consents=replace(case.consents, contact_to_firm=Answer.NO))
    text = "\n".join(words(built(refused, assessment)))
    for name in ("Marten", "Almut", "Quay Street", "a.marten@club.example"):
        assert name not in text
    assert "withheld" in text
    assert "Marten" in "\n".join(words(built(refused, assessment, "us-agency-harm")))
    assert "Marten" in "\n".join(words(built(case, assessment)))


def test_address_and_contact_stand_on_the_last_sheet_alone(document: ReportDocument) -> None:
    others = replace(document, parts=document.parts[:-1])
    text = "\n".join(words(others))
    for private in ("Quay Street", "a.marten@club.example"):
        assert private not in text
        assert private in "\n".join(words(document))


def test_the_agency_gets_text_to_enter_and_is_told_that_this_is_not_its_form(
    case: Case, assessment: Assessment
) -> None:
    document = built(case, assessment, "us-agency-harm")
    assert document.paper == "letter"
    assert [part.key for part in document.parts[1:3]] == ["form_text", "law"]
    assert sum("is not that form" in text for text in words(document)) == 2


def test_a_device_that_is_not_there_does_not_shorten_anything(case: Case, assessment: Assessment) -> None:
    def device(present: ResidualCurrentDevice) -> str:
        household = replace(case.household, residual_current_device=present)
        numbers = next(
            b for b in blocks(built(replace(case, household=household), assessment)) if isinstance(b, KeyNumbers)
        )
        return numbers.numbers[-1].value

    assert device(ResidualCurrentDevice.NONE) == "never"
    assert device(ResidualCurrentDevice.UNKNOWN) == "not determined"


def test_the_part_on_limits_says_whether_risk_is_in_the_report(document: ReportDocument) -> None:
    there = "risk" in [part.key for part in document.parts]
    assert any(text.startswith("A part on risk") for text in words(document)) != there
    assert any(text.startswith("The probabilities in the part on risk") for text in words(document)) == there


def test_a_paper_that_is_not_known_is_refused(case: Case, assessment: Assessment) -> None:
    with pytest.raises(ValueError, match="a7"):
        report_document(case, assessment, profile("eu-maker-notice"), created=CREATED, paper="a7")


WORDING = sorted(path.stem for path in (RESOURCES / "wording" / "en").glob("report*.toml"))


@pytest.mark.parametrize("stem", WORDING)
def test_every_sentence_of_the_report_is_used(stem: str) -> None:
    source = "\n".join(path.read_text(encoding="utf-8") for path in Path(hazardreport.__file__).parent.rglob("*.py"))
    whole = set(re.findall(rf"[\"']({stem}\.[a-z_.0-9]+)[\"']", source))
    prefixes = tuple(re.findall(rf"[\"']({stem}\.[a-z_.]+[._])\{{", source))
    assert whole
    unused = [key for key in wording.keys(stem) if key not in whole and not key.startswith(prefixes)]
    assert unused == []


ENUMS = {
    "plug": PlugPosition,
    "switch": SwitchPosition,
    "reading_earth": EarthState,
    "temperature": Temperature,
    "supply_kind": SupplyKind,
    "load": LoadKind,
    "basis": Basis,
    "status": Status,
    "answer": Answer,
    "finding_answer": FindingAnswer,
    "findings": FindingClaim,
    "operation": Operation,
    "decision": LimitDecision,
    "path": BodyPath,
    "skin": Skin,
    "route": RouteKind,
    "quantity": Quantity,
    "grip": Grip,
    "residual_current_device": ResidualCurrentDevice,
    "supply": Supply,
    "plug_kind": Plug,
    "protective_earth": ProtectiveEarth,
    "switch_poles": SwitchPoles,
    "material": ElementMaterial,
    "point_role": PointRole,
    "waveform": Waveform,
    "tripping_device": TrippingDevice,
    "supply_fault": SupplyFault,
    "second_part": SecondPart,
    "signal": SignalWord,
    "item_kind": ItemKind,
    "step_effect": StepEffect,
    "anchor_kind": AnchorKind,
    "territory": Territory,
    "report_circumstances.occasion": Occasion,
    "report_circumstances.knowing": Knowing,
    "report_circumstances.excluded": Excluded,
    "report_requirements.group": Group,
    "report_requirements.status": BasisStatus,
    "report_risk.consumer": Consumer,
    "report_risk.basis": ProbabilityBasis,
    "report_risk.harm": HarmGrade,
    "report_risk.likelihood": Likelihood,
    "report_risk.sensitivity": ShiftKind,
    "report_letters.kind": LetterKind,
    "report_letters.point": AttackedPoint,
    "report_notice.found": SignalWord,
}


@pytest.mark.parametrize("table", ENUMS)
def test_every_member_of_every_enumeration_has_its_words(table: str) -> None:
    stem = table if "." in table else f"report.{table}"
    for member in ENUMS[table]:
        assert wording.template(f"{stem}.{member.name.lower()}").strip()


def test_every_field_of_the_unit_and_every_part_has_its_words() -> None:
    for field in fields(Unit):
        assert wording.template(f"report.unit_fields.{field.name}")
    for key in {key for one in profile_keys() for key in profile(one).parts}:
        assert wording.template(f"report.parts.{key}")


def test_the_first_page_names_the_submitter_only_if_the_firm_may_know(case: Case, assessment: Assessment) -> None:
    def first_page(answer: Answer) -> str:
        told = replace(case, consents=replace(case.consents, contact_to_firm=answer))
        document = report_document(told, assessment, profile("us-agency-harm"), created=CREATED)
        return " ".join(words(replace(document, parts=document.parts[:1])))

    name = case.submitter.last_name.text
    assert name in first_page(Answer.YES)
    assert name not in first_page(Answer.NO)
    assert name not in first_page(Answer.OPEN)


def test_the_first_plate_shows_at_most_one_value(case: Case, assessment: Assessment) -> None:
    given = context(case, assessment, profile("eu-maker-notice"), CREATED, "a4")
    cell = headline_cell(given)
    assert cell is not None
    shown = headline_value(given, cell.state, [point.letter for point in case.points])
    assert len(shown) <= 1
    assert set(shown) <= {reading.id for reading in case.readings if reading.state.switch is cell.state.switch}
    assert plate_values(given).keys() == {reading.id for reading in case.readings}
